/* The proposal: the rules in their order, the first that holds decides. */
#include "rules.h"

#include <string.h>

static rule *const rules[] = {rule_examine, rule_reseat,    rule_repair,  rule_open_contact,
                              rule_review,  rule_talk_wear, rule_measure, rule_correct,
                              rule_local,   rule_hold,      rule_carry_on};

/* What can still be done about teeth that wait for another series. */
static rule *const while_waiting[] = {rule_examine, rule_reseat,    rule_repair, NULL,
                                      NULL,         rule_talk_wear, NULL,        NULL,
                                      NULL,         NULL,           rule_wait};

void mc_propose(const mc_situation *situation, mc_proposal *out) {
    rule *const *asked = situation->waiting ? while_waiting : rules;
    bool holds = false;
    for (size_t i = 0; i < sizeof rules / sizeof rules[0] && !holds; i++) {
        memset(out, 0, sizeof *out);
        out->rule = (int)i + 1;
        out->arch = MC_ARCHES;
        out->to = -1;
        holds = asked[i] && asked[i](situation, out);
    }
}
