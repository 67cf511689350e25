/* The practice's inside: who acts, and the frame of every action. */
#ifndef PRACTICE_H
#define PRACTICE_H

#include "midcourse/practice.h"

#include <jansson.h>

struct mc_practice {
    mc_record *record;
    mc_day today;
    bool has_actor;
    mc_person actor;
    mc_syncer *syncer; /* NULL until something was entered at the chair */
};

/* mc_practice_make in two parts, for who has more to put in before it stands in its place; what is
 * not settled is abandoned, and leaves no file. *out, *practice are NULL after a refusal. */
mc_status mc_practice_begin_making(const char *path, mc_day today, const char *doctor,
                                   const char *passphrase, mc_practice **out, mc_error *error);
mc_status mc_practice_settle(mc_practice **practice, mc_error *error);
void mc_practice_abandon(mc_practice **practice);

/* Bits of the roles that may do an action. */
enum {
    BY_DOCTOR = 1 << MC_DOCTOR,
    BY_TEAM = 1 << MC_DOCTOR | 1 << MC_ASSISTANT,
    BY_ANYONE = BY_TEAM | 1 << MC_DESK
};

/* Begin an action's transaction, refusing who may not do it. durable: see mc_record_begin. */
mc_status mc_action_begin(mc_practice *practice, int roles, bool durable, mc_error *error);
/* Write the journal entry and commit; on any failure, and where status is not MC_OK, roll back.
 * detail is taken over (may be NULL when out of memory). Returns the status of the whole action. */
mc_status mc_action_end(mc_practice *practice, mc_status status, const mc_id *case_id,
                        const char *action, json_t *detail, mc_error *error);
/* The object with one more member, both taken over; NULL (and both freed) where either is missing
 * or memory is, so that what the journal is to say is said whole or not at all. */
json_t *mc_json_with(json_t *object, const char *key, json_t *value);

/* Begin a change as mc_action_begin does, not waiting for the disk, of which mc_action_soon then
 * says that it is to be there within a second. Where no second thread can see to that, or it is in
 * trouble, the commit itself waits for the disk, and tells what is wrong with it. */
mc_status mc_action_begin_soon(mc_practice *practice, int roles, mc_error *error);
void mc_action_soon(mc_practice *practice);

/* Refuses warnings that are not accepted: "2 warnings: to import it all the same, accept
 * them". */
mc_status mc_accept_warnings(const mc_warnings *warnings, bool accepted, const char *doing,
                             mc_error *error);

/* ---- what a check-up file and a check-up at the chair share ---- */

/* Refuses aligners, their days and hours of wear that cannot be on this plan. */
mc_status mc_check_frame(const mc_plan *plan, const mc_checkup *checkup, mc_error *error);
/* Warn of an aligner more than two away from what the dates before the check-up say, or that hardly
 * follows the check-up before on this plan (NULL: none) where that was the same day, and of a day
 * yet to come. */
mc_status mc_warn_of_dates(const mc_practice *practice, const mc_series series[MC_ARCHES],
                           const mc_score *before, const mc_checkup *checkup, mc_warnings *warnings,
                           mc_error *error);
/* The last reading of each component at the last on_plan of the first `scores` check-ups; NaN where
 * there is none. */
void mc_last_readings(const mc_assessment *a, size_t scores, size_t on_plan,
                      double out[MC_TEETH][MC_COMPONENTS]);
/* What a check-up is read against, but for its teeth, last readings and notation. */
mc_checkup_context mc_checkup_context_of(const mc_plan *plan, const mc_settings *settings,
                                         const mc_checkup *checkup);
/* How a check-up stands in the journal: its frame; the readings stay in the check-up. */
json_t *mc_describe_checkup(const mc_checkup *checkup, int number, int version);

/* The case's active plan, or MC_REFUSED "no plan". */
mc_status mc_active_plan(mc_practice *practice, const mc_case *kase, mc_plan_info *info,
                         mc_plan **plan, mc_error *error);

/* The plan that is worn on a day: the active one from its first day on, until then the one it was
 * corrected from. Refuses where there is no active plan, and a first one that begins later. */
mc_status mc_worn_plan(mc_practice *practice, const mc_case *kase, mc_day on, mc_plan_info *info,
                       mc_error *error);

/* Poses that an order may rest on: of every tooth, each component's mean and variance over readings
 * by scan or landmarks at a check-up; NaN where there is none. */
typedef struct {
    double mean[MC_TEETH][MC_COMPONENTS];
    double variance[MC_TEETH][MC_COMPONENTS];
} exact_poses;
void mc_exact_poses(const mc_checkup *checkup, const mc_settings *settings, exact_poses *out);
/* Why no order may rest on the check-up's poses for the teeth that move: a sentence, or "" where
 * one may. most_days: as old as they may be by today. */
void mc_why_preview(const mc_assessment *a, const exact_poses *poses, const bool moves[MC_TEETH],
                    double most_days, mc_day today, char *out, size_t size);

/* How the aligner that is worn until a corrected series comes was seen to seat. */
typedef enum { INTERIM_SEATS, INTERIM_GAPS, INTERIM_NOT_READ } interim_fit;
/* By the last check-up on the plan that read it; the largest gap and where. */
interim_fit mc_interim_fit(const mc_assessment *a, int worn, mc_arch arch, mc_tooth *at,
                           double *gap);
/* Warn of one that does not seat. */
mc_status mc_warn_of_interim(const mc_assessment *a, const mc_decide *what, mc_warnings *warnings,
                             mc_error *error);
/* Warn of neighbours whose measured crowns a corrected plan lets overlap by more than is allowed.
 */
mc_status mc_warn_of_crossing(const mc_assessment *a, const mc_plan *plan, mc_warnings *warnings,
                              mc_error *error);

/* mc_sign where the passphrase of who acts is known to be right: the demo has just made its people,
 * and a passphrase is slow to check on purpose. */
mc_status mc_sign_known(mc_practice *practice, const mc_case *kase, const mc_decide *what,
                        mc_decision *out, mc_warnings *warnings, mc_error *error);

/* A signed decision in a series' dates: where it goes back to, and how long it holds. date is that
 * of the check-up it was made on. */
void mc_series_decided(mc_series *series, unsigned choices, int to, int days, mc_day date);

/* Whether the decision closes the plan: finish, where every arch is at its last aligner. */
bool mc_closes_plan(const mc_assessment *a, const mc_decide *what);

/* Fill in the part of an outlook that follows from the series alone. */
void mc_outlook_follow(const mc_series series[MC_ARCHES], mc_day on, mc_outlook *out);

/* What the rules look at, from an assessment whose scores are filled in; earlier has room for
 * a->checkups. */
void mc_situation_of(const mc_assessment *a, mc_earlier *earlier, mc_situation *out);

#endif
