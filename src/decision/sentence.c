/* Building a proposal: the teeth it names and the sentence it says. */
#include "sentence.h"

#include <math.h>
#include <stdarg.h>
#include <stdio.h>
#include <string.h>

void name_tooth(named *teeth, mc_tooth tooth, double urgency) {
    size_t place = teeth->count;
    urgency = isnan(urgency) ? 0 : urgency;
    while (place > 0 && teeth->urgency[place - 1] < urgency) {
        teeth->tooth[place] = teeth->tooth[place - 1];
        teeth->urgency[place] = teeth->urgency[place - 1];
        place--;
    }
    teeth->tooth[place] = tooth;
    teeth->urgency[place] = urgency;
    teeth->count++;
}

void propose(mc_proposal *out, mc_proposal_choice choice, const named *teeth) {
    out->choice = choice;
    out->count = teeth->count;
    memcpy(out->teeth, teeth->tooth, teeth->count * sizeof teeth->tooth[0]);
}

void say(mc_proposal *out, const char *format, ...) {
    const size_t length = strlen(out->sentence);
    va_list values;
    va_start(values, format);
    vsnprintf(out->sentence + length, sizeof out->sentence - length, format, values);
    va_end(values);
}

void say_teeth(mc_proposal *out, const mc_tooth *teeth, size_t count) {
    enum { MOST = 6 };
    const size_t shown = count > MOST ? MOST : count;
    for (size_t i = 0; i < shown; i++) {
        const char *before = i == 0 ? "" : i + 1 == count ? " and " : ", ";
        say(out, "%s%d", before, mc_tooth_iso(teeth[i]));
    }
    if (count > shown) {
        say(out, " and %zu more", count - shown);
    }
}

static printed rounded(double value, double parts, const char *unit) {
    char number[40];
    printed out;
    mc_decimal_text(round(value * parts) / parts + 0.0, number, sizeof number);
    snprintf(out.text, sizeof out.text, "%.38s%s", number, unit);
    return out;
}

printed plain(double value) {
    return rounded(value, 10, "");
}

printed so_many_teeth(double expected) {
    return rounded(expected, 10, round(expected * 10) == 10 ? " tooth" : " teeth");
}

void say_outside_instead(mc_proposal *out, double with, double without) {
    const printed one = so_many_teeth(with), other = so_many_teeth(without);
    if (strcmp(one.text, other.text) == 0) {
        say(out, "%s outside either way", one.text);
    } else {
        say(out, "%s outside instead of %s", one.text, plain(without).text);
    }
}

printed millimetres(double value) {
    return rounded(value, 100, " mm");
}

printed percent(double share) {
    return rounded(share * 100, 1, " %");
}

printed chance_of(double p) {
    const double rounded_to = round(p * 100);
    if (rounded_to <= 0) {
        return (printed){"under 1 %"};
    }
    if (rounded_to >= 100) {
        return (printed){"over 99 %"};
    }
    return percent(p);
}

printed size_of(double value, mc_component c) {
    return rounded(value, 10, mc_component_is_linear(c) ? " mm" : " deg");
}

const char *movement_word(mc_tooth tooth, mc_component c, bool positive) {
    return mc_component_is_linear(c) ? mc_component_word(c, tooth, positive) : mc_component_name(c);
}

void say_more(mc_proposal *out, size_t count) {
    if (count > TOLD_ONE_BY_ONE) {
        say(out, "; and %zu more", count - TOLD_ONE_BY_ONE);
    }
}

const char *arch_word(mc_arch arch) {
    return arch == MC_UPPER ? "upper" : "lower";
}
