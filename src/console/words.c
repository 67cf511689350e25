/* Numbers, days and directions in words. */
#include "words.h"

#include <math.h>
#include <stdarg.h>
#include <stdio.h>
#include <string.h>

void words_add(char *out, size_t size, const char *format, ...) {
    size_t used = strlen(out);
    va_list values;
    va_start(values, format);
    vsnprintf(out + used, size - used, format, values);
    va_end(values);
}

int words_decimals(mc_component c) {
    return mc_component_is_linear(c) ? 2 : 1;
}

const char *words_unit(mc_component c) {
    return mc_component_is_linear(c) ? "mm" : "deg";
}

void words_number(const theme *look, double value, int decimals, bool is_signed, int width,
                  char *out, size_t size) {
    if (isnan(value)) {
        int places = decimals > 0 ? decimals + 1 : 0;
        snprintf(out, size, "%*s%s%*s", width - places - 1, "", theme_mark(look, MARK_NOT_READ),
                 places, "");
        return;
    }
    double unit = pow(10, -decimals);
    bool nought = fabs(value) < unit / 2;
    int length = snprintf(out, size, is_signed && !nought ? "%+*.*f" : "%*.*f", width, decimals,
                          nought ? 0.0 : value);
    if (length > width && decimals > 0)
        words_number(look, value, decimals - 1, is_signed, width, out, size);
}

void words_signed(double value, int decimals, char out[40]) {
    enum { TEN = 10 };
    bool nought = fabs(value) * pow(TEN, decimals) < 0.5;
    snprintf(out, 40, nought ? "%.*f" : "%+.*f", decimals, nought ? 0.0 : value);
}

void words_spread(const theme *look, double sd, int decimals, char out[16]) {
    const char *sign = theme_mark(look, MARK_PLUS_MINUS);
    char digits[40];
    bool below_one = decimals == 2 && sd < 0.995;
    snprintf(digits, sizeof digits, "%.*f", below_one ? 2 : sd < 9.95 ? 1 : 0, sd);
    snprintf(out, 16, "%s%.8s", sign, below_one ? digits + 1 : digits);
}

int words_way_to_plan(const mc_tooth_score *score, int item) {
    if (item < 0)
        return 0;
    double off = score->item[item].planned - score->item[item].mean;
    return off > 0 ? 1 : off < 0 ? -1 : 0;
}

const char *words_item(int item) {
    if (item == MC_WORST_SEAT_GAP)
        return "seat gap";
    return item < 0 ? "" : mc_component_name((mc_component)item);
}

const char *words_way(int item, mc_tooth tooth, int way) {
    if (item < 0 || way == 0)
        return "";
    return mc_component_word((mc_component)item, tooth, way > 0);
}

void words_code(const theme *look, int item, mc_tooth tooth, int way, char out[16]) {
    const char *word = words_way(item, tooth, way);
    const char *last = strrchr(word, ' ');
    if (item == MC_WORST_SEAT_GAP)
        snprintf(out, 16, "gap");
    else if (word[0] == '\0')
        snprintf(out, 16, " %s ", theme_mark(look, MARK_NOT_READ));
    else if (item == MC_ROTATION)
        snprintf(out, 16, "%s%s", theme_mark(look, MARK_TURN), way > 0 ? "in" : "ou");
    else if (last)
        snprintf(out, 16, "%s%.2s", theme_mark(look, MARK_TILT), last + 1);
    else
        snprintf(out, 16, "%.3s", word);
}

static bool is_height(mc_relative what) {
    return what == MC_HEIGHT_TO_MESIAL || what == MC_HEIGHT_TO_DISTAL;
}

void words_relative(mc_notation notation, mc_relative what, mc_tooth other, char *out,
                    size_t size) {
    const char *name = mc_relative_is_space(what) ? "space" : is_height(what) ? "height" : "step";
    if (other == MC_NO_TOOTH)
        snprintf(out, size, "%s", mc_relative_name(what));
    else
        snprintf(out, size, "%s to %s", name, words_tooth(notation, other).text);
}

void words_relative_number(mc_relative what, double value, char out[40]) {
    int decimals = words_decimals(mc_relative_component(what));
    if (mc_relative_is_space(what))
        snprintf(out, 40, "%.*f", decimals, value);
    else
        words_signed(value, decimals, out);
}

const char *words_relative_way(mc_relative what, mc_tooth tooth, double value) {
    double least = what == MC_CROWN_ANGLE ? 0.05 : 0.005; /* that shows */
    if (mc_relative_is_space(what) || !(fabs(value) >= least))
        return "";
    if (is_height(what))
        return value > 0 ? "occlusal" : "gingival";
    return mc_component_word(mc_relative_component(what), tooth, value > 0);
}

void words_relative_code(const theme *look, mc_relative what, mc_tooth tooth, double value,
                         char out[16]) {
    const char *way = words_relative_way(what, tooth, value);
    if (what == MC_CROWN_ANGLE && way[0])
        words_code(look, MC_ROTATION, tooth, value > 0 ? 1 : -1, out);
    else
        snprintf(out, 16, "%.3s", way);
}

void words_due(mc_day due, mc_day today, char *out, size_t size) {
    long days = (long)due - today;
    if (due == MC_NO_DAY)
        snprintf(out, size, "-");
    else if (days == 0)
        snprintf(out, size, "today");
    else if (days > 0)
        snprintf(out, size, "in %ld d", days);
    else
        snprintf(out, size, "%ld d late", -days);
}

void words_count(size_t count, char out[WORDS_COUNT_SIZE]) {
    char digits[WORDS_COUNT_SIZE];
    int length = snprintf(digits, sizeof digits, "%zu", count), used = 0;
    for (int i = 0; i < length; i++) {
        if (i > 0 && (length - i) % 3 == 0)
            out[used++] = ',';
        out[used++] = digits[i];
    }
    out[used] = '\0';
}

const char *words_proposal_short(mc_proposal_choice choice) {
    static const char *const names[] = {"examine", "reseat", "repair",   "contact",
                                        "review",  "wear",   "measure",  "correct",
                                        "local",   "hold",   "carry on", "finish"};
    return names[choice];
}

void words_choices(unsigned choices, char *out, size_t size) {
    out[0] = '\0';
    for (int choice = 0; choice < MC_CHOICES; choice++) {
        if (!(choices & 1u << choice))
            continue;
        size_t used = strlen(out);
        snprintf(out + used, size - used, "%s%s", used ? ", " : "",
                 mc_choice_words((mc_choice)choice));
    }
}

tooth_text words_tooth(mc_notation notation, mc_tooth tooth) {
    tooth_text out = {""};
    mc_tooth_text(notation, tooth, out.text);
    return out;
}
