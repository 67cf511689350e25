/* The rules of the proposal, each in its order. */
#ifndef MIDCOURSE_DECISION_RULES_H
#define MIDCOURSE_DECISION_RULES_H

#include "look.h"

/* Whether the rule holds; then *out, which was empty, is its proposal. */
typedef bool rule(const mc_situation *s, mc_proposal *out);

rule rule_examine, rule_reseat, rule_repair, rule_open_contact, rule_review, rule_talk_wear,
    rule_measure, rule_correct, rule_local, rule_hold, rule_carry_on, rule_wait;

#endif
