/* One sentence for each action of the journal. Every number in a sentence was kept in the entry;
 * an action without a sentence of its own is told by its name and its details. */
#include "history.h"

#include <stdio.h>
#include <string.h>

/* ---- parts of a detail ---- */

static const char *text_of(json_t *detail, const char *key) {
    const char *text = json_string_value(json_object_get(detail, key));
    return text ? text : "";
}

static bool whole_of(json_t *detail, const char *key, long long *out) {
    json_t *value = json_object_get(detail, key);
    *out = json_integer_value(value);
    return json_is_integer(value);
}

static void tell_number(telling *out, double value) {
    char text[40];
    mc_decimal_text(value, text, sizeof text);
    tell(out, "%s", text);
}

/* "hold for 7 days, local measures". */
static void tell_choices(telling *out, json_t *detail) {
    json_t *list = json_object_get(detail, "choices");
    long long value;
    for (size_t i = 0; i < json_array_size(list); i++) {
        const char *text = json_string_value(json_array_get(list, i));
        mc_choice choice;
        bool known = text && mc_choice_parse(text, &choice);
        tell(out, "%s%s", i ? ", " : "", known ? mc_choice_words(choice) : text ? text : "");
        if (known && choice == MC_HOLD && whole_of(detail, "days", &value))
            tell(out, " for %lld day%s", value, value == 1 ? "" : "s");
        if (known && choice == MC_GO_BACK && whole_of(detail, "to", &value))
            tell(out, " to aligner %lld", value);
    }
}

/* ---- any action at all ---- */

static void tell_any(telling *out, json_t *value);

static void tell_members(telling *out, json_t *object) {
    const char *key, *before = "";
    json_t *value;
    json_object_foreach(object, key, value) {
        tell(out, "%s%s ", before, key);
        tell_any(out, value);
        before = ", ";
    }
}

static void tell_items(telling *out, json_t *array) {
    for (size_t i = 0; i < json_array_size(array); i++) {
        tell(out, i ? " " : "");
        tell_any(out, json_array_get(array, i));
    }
}

static void tell_any(telling *out, json_t *value) {
    if (json_is_object(value))
        tell_members(out, value);
    else if (json_is_string(value))
        tell(out, "%s", json_string_value(value));
    else if (json_is_number(value))
        tell_number(out, json_number_value(value));
    else if (json_is_boolean(value))
        tell(out, "%s", json_is_true(value) ? "yes" : "no");
    else if (json_is_null(value))
        tell(out, "none");
    else
        tell_items(out, value);
}

static void tell_plainly(telling *out, const mc_entry *entry, json_t *detail) {
    tell(out, "%s", entry->action);
    if (json_object_size(detail) > 0) {
        tell(out, ": ");
        tell_members(out, detail);
    }
}

/* ---- the practice ---- */

static const char *with_article(const char *role) {
    return strcmp(role, "assistant") == 0 ? "an assistant"
           : strcmp(role, "doctor") == 0  ? "a doctor"
                                          : "desk";
}

static bool person_added(telling *out, const mc_entry *entry, json_t *detail,
                         const case_facts *facts) {
    (void)facts;
    const char *initials = text_of(detail, "initials");
    if (json_is_true(json_object_get(detail, "first")))
        tell(out, "%s added as the first doctor", entry->by);
    else
        tell(out, "%s added as %s", initials, with_article(text_of(detail, "role")));
    return true;
}

static bool person_retired(telling *out, const mc_entry *entry, json_t *detail,
                           const case_facts *facts) {
    (void)entry, (void)facts;
    tell(out, "%s retired", text_of(detail, "initials"));
    return true;
}

static bool setting_changed(telling *out, const mc_entry *entry, json_t *detail,
                            const case_facts *facts) {
    (void)facts;
    json_t *value = json_object_get(detail, "value");
    if (!json_is_number(value))
        return false;
    tell(out, "setting %s changed to ", text_of(detail, "key"));
    tell_number(out, json_number_value(value));
    tell(out, "%s: %s", mc_id_is_none(&entry->case_id) ? "" : " for this case",
         text_of(detail, "reason"));
    return true;
}

/* "caliper_mm 0.28 from 24 pairs, caliper_deg 2.1 from 18 pairs". */
static bool method_errors_kept(telling *out, const mc_entry *entry, json_t *detail,
                               const case_facts *facts) {
    (void)entry, (void)facts;
    const char *key, *before = "";
    json_t *figure, *figures = json_object_get(detail, "figures");
    tell(out, "method errors measured and kept: ");
    json_object_foreach(figures, key, figure) {
        long long pairs = 0;
        whole_of(figure, "pairs", &pairs);
        tell(out, "%s%s %.2g from %lld pairs", before, key,
             json_number_value(json_object_get(figure, "error")), pairs);
        before = ", ";
    }
    tell(out, ": %s", text_of(detail, "reason"));
    return json_object_size(figures) > 0;
}

/* "own accuracy taken over for 2 movements: canine rotation 55 % (6 patients), ...": the first few.
 */
static bool own_accuracy_taken_over(telling *out, const mc_entry *entry, json_t *detail,
                                    const case_facts *facts) {
    enum { NAMED = 6 };
    (void)entry, (void)facts;
    const char *name;
    json_t *share, *shares = json_object_get(detail, "shares");
    size_t count = json_object_size(shares), told = 0;
    tell(out, "own accuracy taken over for %zu movement%s: ", count, count == 1 ? "" : "s");
    json_object_foreach(shares, name, share) {
        long long patients = 0;
        char words[80];
        if (told++ == NAMED)
            break;
        whole_of(share, "patients", &patients);
        snprintf(words, sizeof words, "%s", name);
        for (char *c = words; *c; c++)
            *c = *c == '_' ? ' ' : *c;
        tell(out, "%s%s %.0f %% (%lld patients)", told > 1 ? ", " : "", words,
             100 * json_number_value(json_object_get(share, "mean")), patients);
    }
    tell(out, "%s: %s", count > NAMED ? " ..." : "", text_of(detail, "reason"));
    return count > 0;
}

static bool demo_made(telling *out, const mc_entry *entry, json_t *detail,
                      const case_facts *facts) {
    (void)entry, (void)facts;
    long long cases;
    if (!whole_of(detail, "cases", &cases))
        return false;
    tell(out, "demo made: %lld invented cases", cases);
    return true;
}

static bool record_made(telling *out, const mc_entry *entry, json_t *detail,
                        const case_facts *facts) {
    (void)entry, (void)facts, (void)detail;
    tell(out, "record made");
    return true;
}

/* ---- the case and its teeth ---- */

/* "missing", "not to be moved": a tooth's state as it stands in a sentence. */
static const char *state_word(const char *name) {
    static const struct {
        const char *name, *word;
    } words[] = {{"shedding", "about to be shed"},
                 {"implant", "an implant"},
                 {"bridge", "a bridge abutment"},
                 {"fixed", "not to be moved"}};
    for (size_t i = 0; i < sizeof words / sizeof *words; i++)
        if (strcmp(words[i].name, name) == 0)
            return words[i].word;
    return name;
}

/* "; missing: 18, 28": the teeth of one state. */
static void tell_teeth_in(telling *out, json_t *teeth, mc_tooth_state state) {
    const char *iso, *before = "";
    json_t *value;
    const char *name = mc_tooth_state_name(state);
    json_object_foreach(teeth, iso, value) {
        if (strcmp(json_string_value(value) ? json_string_value(value) : "", name) != 0)
            continue;
        if (!*before)
            tell(out, "; %s: ", state_word(name));
        tell(out, "%s%s", before, iso);
        before = ", ";
    }
}

static bool case_opened(telling *out, const mc_entry *entry, json_t *detail,
                        const case_facts *facts) {
    (void)entry, (void)facts;
    long long course = 1;
    whole_of(detail, "course", &course);
    tell(out, "case opened");
    if (course > 1)
        tell(out, ", course %lld", course);
    for (int state = 0; state < MC_TOOTH_STATES; state++)
        tell_teeth_in(out, json_object_get(detail, "teeth"), (mc_tooth_state)state);
    return true;
}

static bool case_closed(telling *out, const mc_entry *entry, json_t *detail,
                        const case_facts *facts) {
    (void)entry, (void)facts, (void)detail;
    tell(out, "case closed");
    return true;
}

static bool tooth_recorded(telling *out, const mc_entry *entry, json_t *detail,
                           const case_facts *facts) {
    (void)entry, (void)facts;
    tell(out, "tooth %s %s from %s", text_of(detail, "tooth"), state_word(text_of(detail, "state")),
         text_of(detail, "from"));
    return true;
}

static bool plan_imported(telling *out, const mc_entry *entry, json_t *detail,
                          const case_facts *facts) {
    (void)entry, (void)facts;
    long long plan, upper, lower, warnings = 0;
    if (!whole_of(detail, "plan", &plan) || !whole_of(detail, "upper_stages", &upper) ||
        !whole_of(detail, "lower_stages", &lower))
        return false;
    tell(out, "plan %lld imported: ", plan);
    if (upper > 0 && lower > 0)
        tell(out, "upper %lld, lower %lld aligners", upper, lower);
    else
        tell(out, "%s %lld aligners only", upper > 0 ? "upper" : "lower", upper + lower);
    tell(out, " from %s", text_of(detail, "start"));
    whole_of(detail, "warnings_accepted", &warnings);
    if (warnings > 0)
        tell(out, "; %lld warning%s accepted", warnings, warnings == 1 ? "" : "s");
    return true;
}

/* ---- check-ups ---- */

/* ": upper 12, lower 12, scan, 28 rows", of whatever is kept. */
static void tell_frame(telling *out, json_t *detail) {
    long long value;
    const char *before = ": ";
    static const char *const arches[] = {"upper", "lower"};
    for (int arch = 0; arch < MC_ARCHES; arch++)
        if (whole_of(detail, arches[arch], &value)) {
            tell(out, "%s%s %lld", before, arches[arch], value);
            before = ", ";
        }
    if (*text_of(detail, "method")) {
        tell(out, "%s%s", before, text_of(detail, "method"));
        before = ", ";
    }
    if (whole_of(detail, "rows", &value))
        tell(out, "%s%lld row%s", before, value, value == 1 ? "" : "s");
}

/* "check-up 2 of 2026-03-02". */
static bool tell_checkup(telling *out, json_t *detail) {
    long long number;
    if (!whole_of(detail, "checkup", &number))
        return false;
    tell(out, "check-up %lld", number);
    if (*text_of(detail, "date"))
        tell(out, " of %s", text_of(detail, "date"));
    return true;
}

/* Begun, completed and discarded: the action's own word stands behind the number. */
static bool checkup_done(telling *out, const mc_entry *entry, json_t *detail,
                         const case_facts *facts) {
    (void)facts;
    if (!tell_checkup(out, detail))
        return false;
    tell(out, " %s", strchr(entry->action, ' ') + 1);
    tell_frame(out, detail);
    return true;
}

static bool checkup_amended(telling *out, const mc_entry *entry, json_t *detail,
                            const case_facts *facts) {
    (void)entry;
    long long number = 0, version = 0;
    whole_of(detail, "checkup", &number);
    if (!whole_of(detail, "version", &version) || !tell_checkup(out, detail))
        return false;
    tell(out, " amended (version %lld): %s", version, text_of(detail, "reason"));
    history_tell_changes(out, facts, (int)number, (int)version);
    return true;
}

/* "upper arch measured at check-up 3: 14 crowns". */
static bool arch_measured(telling *out, const mc_entry *entry, json_t *detail,
                          const case_facts *facts) {
    (void)entry, (void)facts;
    long long checkup, crowns, times = 1;
    if (!whole_of(detail, "checkup", &checkup) || !whole_of(detail, "crowns", &crowns))
        return false;
    whole_of(detail, "entry", &times);
    tell(out, "%s arch measured %sat check-up %lld: %lld crown%s", text_of(detail, "arch"),
         times > 1 ? "anew " : "", checkup, crowns, crowns == 1 ? "" : "s");
    return true;
}

/* ---- decisions ---- */

static void tell_opened(telling *out, long long plan, const case_facts *facts) {
    char day[11];
    tell(out, "; plan %lld opened", plan);
    for (size_t i = 0; i < facts->plan_count; i++)
        if (facts->plans[i].number == plan) {
            mc_day_text(facts->plans[i].start, day);
            tell(out, ", from %s", day);
        }
}

static bool decision_signed(telling *out, const mc_entry *entry, json_t *detail,
                            const case_facts *facts) {
    (void)entry;
    long long checkup, value;
    if (!whole_of(detail, "checkup", &checkup))
        return false;
    tell(out, "decision signed on check-up %lld: ", checkup);
    tell_choices(out, detail);
    if (*text_of(detail, "cause"))
        tell(out, ", cause %s", text_of(detail, "cause"));
    if (whole_of(detail, "plan", &value))
        tell_opened(out, value, facts);
    if (*text_of(detail, "reason"))
        tell(out, "; reason: %s", text_of(detail, "reason"));
    return true;
}

/* "a correction drafted from check-up 3: 4 changes; upper 14, lower 9 aligners". */
static bool correction_drafted(telling *out, const mc_entry *entry, json_t *detail,
                               const case_facts *facts) {
    (void)entry, (void)facts;
    long long checkup, changes, upper = 0, lower = 0;
    if (!whole_of(detail, "checkup", &checkup) || !whole_of(detail, "changes", &changes))
        return false;
    tell(out, "a correction drafted from check-up %lld: ", checkup);
    tell(out,
         changes == 1  ? "1 change"
         : changes > 0 ? "%lld changes"
                       : "nothing changed",
         changes);
    whole_of(detail, "upper_stages", &upper);
    whole_of(detail, "lower_stages", &lower);
    if (upper > 0)
        tell(out, "; upper %lld", upper);
    if (lower > 0)
        tell(out, "%s lower %lld", upper > 0 ? "," : ";", lower);
    tell(out, upper + lower > 0 ? " aligners" : "; no series yet");
    return true;
}

/* ---- a corrected series on its way ---- */

static bool plan_delivered(telling *out, const mc_entry *entry, json_t *detail,
                           const case_facts *facts) {
    (void)entry, (void)facts;
    long long plan;
    if (!whole_of(detail, "plan", &plan))
        return false;
    tell(out, "plan %lld delivered on %s", plan, text_of(detail, "day"));
    return true;
}

/* " upper and lower on 2026-12-16", " upper on 2026-12-16, lower on 2027-01-06". */
static void tell_days(telling *out, json_t *detail) {
    const char *upper = text_of(detail, "upper"), *lower = text_of(detail, "lower");
    if (strcmp(upper, lower) == 0)
        tell(out, " upper and lower on %s", upper);
    else if (*upper && *lower)
        tell(out, " upper on %s, lower on %s", upper, lower);
    else
        tell(out, " %s on %s", *upper ? "upper" : "lower", *upper ? upper : lower);
}

static bool plan_begun(telling *out, const mc_entry *entry, json_t *detail,
                       const case_facts *facts) {
    (void)facts;
    long long plan;
    bool begun = strcmp(entry->action, "plan begun") == 0;
    if (!whole_of(detail, "plan", &plan))
        return false;
    tell(out, begun ? "plan %lld: first day" : "plan %lld: first day expected", plan);
    tell_days(out, detail);
    return true;
}

/* ---- the table ---- */

static const struct {
    const char *action;
    bool (*tell)(telling *out, const mc_entry *entry, json_t *detail, const case_facts *facts);
} SENTENCES[] = {{"record made", record_made},
                 {"demo made", demo_made},
                 {"person added", person_added},
                 {"person retired", person_retired},
                 {"setting changed", setting_changed},
                 {"method errors kept", method_errors_kept},
                 {"own accuracy taken over", own_accuracy_taken_over},
                 {"case opened", case_opened},
                 {"case closed", case_closed},
                 {"tooth recorded", tooth_recorded},
                 {"plan imported", plan_imported},
                 {"plan delivered", plan_delivered},
                 {"plan begun", plan_begun},
                 {"plan expected", plan_begun},
                 {"check-up begun", checkup_done},
                 {"check-up completed", checkup_done},
                 {"check-up discarded", checkup_done},
                 {"check-up amended", checkup_amended},
                 {"arch measured", arch_measured},
                 {"correction drafted", correction_drafted},
                 {"decision signed", decision_signed}};

void history_tell(telling *out, const mc_entry *entry, json_t *detail, const case_facts *facts) {
    for (size_t i = 0; i < sizeof SENTENCES / sizeof *SENTENCES; i++)
        if (strcmp(SENTENCES[i].action, entry->action) == 0 &&
            SENTENCES[i].tell(out, entry, detail, facts))
            return;
    tell_plainly(out, entry, detail);
}
