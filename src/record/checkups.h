/* checkups: a check-up as the rest of the room needs it. */
#ifndef MIDCOURSE_RECORD_CHECKUPS_H
#define MIDCOURSE_RECORD_CHECKUPS_H

#include "cases.h"
#include "plans.h"
#include "query.h"

/* A check-up, whichever version. */
typedef struct checkup_row {
    int64_t n, plan_n;
    mc_id id, plan;
    int number;
    mc_day date;
} checkup_row;

/* Find a completed check-up of a case by its number. */
mc_status checkup_find(mc_record *record, int64_t case_n, const char *case_text, int number,
                       checkup_row *out, mc_error *error);
/* ---- what completed and open check-ups share ---- */

/* Every version of every check-up; more conditions may follow. */
#define CHECKUP_VERSIONS                                                                           \
    "SELECT c.id, p.id, c.number, c.date, v.version, c.state = 'open', v.upper_aligner,"           \
    " v.lower_aligner, v.upper_day, v.lower_day, v.wear_hours, v.method, v.settings_set, v.by,"    \
    " v.reason, v.hash, v.note, v.n FROM checkups c JOIN plans p ON p.n = c.plan_n"                \
    " JOIN checkup_versions v ON v.checkup_n = c.n"
/* Take a row of these: everything but the rows. Gives the version's n. */
int64_t checkup_take_version(query *q, mc_checkup_info *out);
/* Free what it holds, not the info itself. */
void checkup_info_empty(mc_checkup_info *info);

/* Days and aligners that are not known have one form on record. */
mc_checkup checkup_tidied(const mc_checkup *given);
/* Refuse contents that cannot be on this plan. */
mc_status checkup_check_content(mc_record *record, int64_t plan_n, const mc_checkup *checkup,
                                const char *by, mc_error *error);
/* All that can be refused of a new check-up; with its number, the info of the one to be added. */
mc_status checkup_prepare(mc_record *record, const mc_id *case_id, const mc_id *plan,
                          const mc_checkup *checkup, int64_t settings, const char *by, bool rows,
                          case_row *of, plan_row *on, mc_checkup_info *out, mc_error *error);
/* Refuse where a check-up of the case is being entered, saying which and by whom. */
mc_status checkup_none_open(mc_record *record, const case_row *of, mc_error *error);
/* Fill in the next six parameters: aligners, days, wear, method. */
void checkup_put_frame(query *q, const mc_checkup *checkup);
/* The row of a check-up, open at first, and that of a version of it. */
mc_status checkup_insert(mc_record *record, int64_t case_n, int64_t plan_n,
                         const mc_checkup_info *info, int64_t *n, mc_error *error);
mc_status checkup_insert_version(mc_record *record, int64_t checkup_n, const mc_checkup_info *info,
                                 int64_t *n, mc_error *error);
/* Add a version's readings, and seal it: with its hash it never changes any more. */
mc_status checkup_fill_version(mc_record *record, int64_t version_n, mc_checkup_info *info,
                               mc_error *error);
mc_status checkup_set_completed(mc_record *record, int64_t checkup_n, mc_error *error);

/* Check the hash of every completed version, and the steps of the open ones. */
mc_status checkups_check(mc_record *record, mc_error *error);

#endif
