/* readings: the rows of a check-up's version, and the hash of the whole version. */
#ifndef MIDCOURSE_RECORD_READINGS_H
#define MIDCOURSE_RECORD_READINGS_H

#include "query.h"

/* Refuse what cannot be, naming the row (error->line, from 1) and the tooth. */
mc_status readings_check(const mc_checkup *checkup, mc_error *error);
mc_status readings_add(mc_record *record, int64_t version_n, const mc_checkup *checkup,
                       mc_error *error);
/* Make ready to load the rows of versions, and load those of one into info->checkup (freed by
 * mc_checkup_info_free). */
query readings_query(mc_record *record, mc_error *error);
void readings_load(query *q, int64_t version_n, mc_checkup_info *info);
/* Fill in info->hash from everything else in info but open. */
void readings_hash(mc_checkup_info *info);

#endif
