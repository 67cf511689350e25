/* What an amendment changed, told from the two versions on record. */
#include "history.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

/* Changes being told, at most so many of them one by one. */
enum { MOST_TOLD = 12 };
typedef struct changes {
    telling *out;
    int count;
} changes;

/* A value as it stands on either side of the arrow. */
typedef struct value {
    char text[60];
} value;

static void changed(changes *list, mc_tooth tooth, const char *what, const value *from,
                    const value *to) {
    char iso[4];
    if (strcmp(from->text, to->text) == 0)
        return;
    list->count++;
    mc_tooth_text(MC_NOTATION_ISO, tooth, iso);
    if (list->count <= MOST_TOLD)
        tell(list->out, "; %s %s %s -> %s", iso, what, from->text, to->text);
}

static value number(double n, const char *unit, bool short_of_plan) {
    value out = {"not read"};
    char digits[40];
    if (isnan(n))
        return out;
    mc_decimal_text(n, digits, sizeof digits);
    snprintf(out.text, sizeof out.text, "%.30s %s%s", digits, unit, short_of_plan ? " short" : "");
    return out;
}

static value word(const char *text) {
    value out;
    snprintf(out.text, sizeof out.text, "%s", text);
    return out;
}

static value grade(int n) {
    value out = {"unsaid"};
    if (n >= 0)
        snprintf(out.text, sizeof out.text, "%d", n);
    return out;
}

static value yes(mc_yes y) {
    return word(y == MC_YES ? "yes" : y == MC_NO ? "no" : "unsaid");
}

static value method(int m) {
    return word(m == MC_METHOD_OF_CHECKUP ? "that of the check-up" : mc_method_name((mc_method)m));
}

static void compare_components(changes *list, const mc_reading *from, const mc_reading *to) {
    for (int c = 0; c < MC_COMPONENTS; c++) {
        const char *unit = mc_component_is_linear((mc_component)c) ? "mm" : "deg";
        value before = number(from->value[c], unit, from->short_of_plan[c]);
        value after = number(to->value[c], unit, to->short_of_plan[c]);
        changed(list, to->tooth, mc_component_name((mc_component)c), &before, &after);
    }
}

static void compare_relatives(changes *list, const mc_reading *from, const mc_reading *to) {
    for (int i = 0; i < MC_RELATIVES; i++) {
        const char *unit = i == MC_CROWN_ANGLE ? "deg" : "mm";
        value before = number(from->relative[i], unit, false);
        value after = number(to->relative[i], unit, false);
        changed(list, to->tooth, mc_relative_name((mc_relative)i), &before, &after);
    }
}

static void compare_rows(changes *list, const mc_reading *from, const mc_reading *to) {
    const struct {
        const char *what;
        value from, to;
    } sides[] = {
        {"seat gap", number(from->seat_gap, "mm", false), number(to->seat_gap, "mm", false)},
        {"method", method(from->method), method(to->method)},
        {"attachment", word(mc_attachment_name(from->attachment)),
         word(mc_attachment_name(to->attachment))},
        {"contact mesial", word(mc_contact_name(from->contact_mesial)),
         word(mc_contact_name(to->contact_mesial))},
        {"contact distal", word(mc_contact_name(from->contact_distal)),
         word(mc_contact_name(to->contact_distal))},
        {"mobility", grade(from->mobility), grade(to->mobility)},
        {"pain on biting", yes(from->pain), yes(to->pain)},
        {"swelling or pus", yes(from->swelling), yes(to->swelling)},
        {"recession", number(from->recession, "mm", false), number(to->recession, "mm", false)}};
    changed(list, to->tooth, sides[0].what, &sides[0].from, &sides[0].to);
    compare_components(list, from, to);
    compare_relatives(list, from, to);
    for (size_t i = 1; i < sizeof sides / sizeof *sides; i++)
        changed(list, to->tooth, sides[i].what, &sides[i].from, &sides[i].to);
}

/* Row `index` (from 0) of a tooth; nothing read where it has none. */
static mc_reading row_of(const mc_checkup *checkup, mc_tooth tooth, size_t index) {
    for (size_t i = 0; i < checkup->count; i++)
        if (checkup->rows[i].tooth == tooth && index-- == 0)
            return checkup->rows[i];
    return mc_reading_none(tooth);
}

static size_t rows_of(const mc_checkup *checkup, mc_tooth tooth) {
    size_t count = 0;
    for (size_t i = 0; i < checkup->count; i++)
        count += checkup->rows[i].tooth == tooth;
    return count;
}

static void compare(changes *list, const mc_checkup *from, const mc_checkup *to) {
    for (mc_tooth tooth = 0; tooth < MC_TEETH; tooth++) {
        size_t before = rows_of(from, tooth), after = rows_of(to, tooth);
        for (size_t i = 0; i < before || i < after; i++) {
            mc_reading old = row_of(from, tooth, i), new = row_of(to, tooth, i);
            compare_rows(list, &old, &new);
        }
    }
}

static const mc_checkup *version_of(const case_facts *facts, int checkup, int version) {
    for (size_t i = 0; i < facts->version_count; i++)
        if (facts->versions[i].checkup.number == checkup && facts->versions[i].version == version)
            return &facts->versions[i].checkup;
    return NULL;
}

void history_tell_changes(telling *out, const case_facts *facts, int checkup, int version) {
    const mc_checkup *from = version_of(facts, checkup, version - 1);
    const mc_checkup *to = version_of(facts, checkup, version);
    changes list = {.out = out};
    if (!from || !to)
        return;
    compare(&list, from, to);
    if (list.count > MOST_TOLD)
        tell(out, "; and %d more", list.count - MOST_TOLD);
    else if (list.count == 0)
        tell(out, "; every reading stayed");
}
