/* schema: the tables, how an older file gets them, and whether a file still has them. */
#ifndef MIDCOURSE_RECORD_SCHEMA_H
#define MIDCOURSE_RECORD_SCHEMA_H

#include "query.h"

/* "mcrs": marks our files, in SQLite's application_id. */
enum { RECORD_APPLICATION_ID = 0x6d637273 };

/* A migration takes the file from one version to the next: a list of SQL texts, ended by NULL. The
 * schema's version, kept in SQLite's user_version, is how many have been done. */
typedef const char *const *migration;
extern const char *const version_1[];
extern const char *const version_2[];
extern const char *const version_3[];
extern const char *const version_4[];
extern const migration record_migrations[];
extern const int record_schema_version;

/* Bring the file up to count migrations in one transaction, others waiting. A file that is newer is
 * MC_DAMAGED; one that is level is left alone. */
mc_status schema_migrate(mc_record *record, const migration *migrations, int count,
                         mc_error *error);
/* Whether tables, indexes and triggers are exactly those that the migrations make. */
mc_status schema_check(mc_record *record, mc_error *error);

#endif
