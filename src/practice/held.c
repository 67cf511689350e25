/* What the record holds of a case, taken from it in one look. */
#include "assess.h"

#include <stdlib.h>

void mc_held_free(held *h) {
    for (size_t i = 0; h->plan && i < h->plan_count; i++)
        mc_plan_free(h->plan[i]);
    free(h->plan);
    free(h->start);
    free(h->plans);
    mc_checkup_info_free(h->checkups, h->checkup_count);
    free(h->teeth);
    free(h->arches);
}

mc_status mc_held_load(mc_record *record, const mc_case *kase, held *h, mc_error *error) {
    *h = (held){0};
    mc_status status = mc_record_plans(record, &kase->id, &h->plans, &h->plan_count, error);
    if (status == MC_OK && h->plan_count > 0) {
        h->plan = calloc(h->plan_count, sizeof *h->plan);
        h->start = calloc(h->plan_count, sizeof *h->start);
        if (!h->plan || !h->start)
            status = mc_fail(error, MC_REFUSED, "out of memory");
    }
    for (size_t i = 0; status == MC_OK && i < h->plan_count; i++)
        status = mc_record_plan(record, &h->plans[i].id, &h->plan[i], &h->start[i], error);
    if (status == MC_OK)
        status =
            mc_record_checkups(record, &kase->id, false, &h->checkups, &h->checkup_count, error);
    if (status == MC_OK)
        status = mc_record_tooth_changes(record, &kase->id, &h->teeth, &h->tooth_count, error);
    if (status == MC_OK)
        status = mc_record_measured_arches(record, &kase->id, &h->arches, &h->arch_count, error);
    return status;
}

mc_status mc_held_append(held *h, const mc_checkup_info *open, mc_error *error) {
    mc_checkup_info *more = realloc(h->checkups, (h->checkup_count + 1) * sizeof *more);
    if (!more)
        return mc_fail(error, MC_REFUSED, "out of memory");
    h->checkups = more;
    mc_checkup_info *last = &more[h->checkup_count++];
    *last = *open;
    last->checkup.rows = NULL;
    last->checkup.count = 0;
    last->checkup.note = NULL;
    if (last->checkup.number == 0)
        last->checkup.number =
            h->checkup_count > 1 ? h->checkups[h->checkup_count - 2].checkup.number + 1 : 1;
    return MC_OK;
}
