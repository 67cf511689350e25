/* The aligner that is worn until a corrected series comes: the one of the check-up where every gap
 * of the arch is small, else the one that the doctor goes back to. */
#include "practice.h"

#include <math.h>
#include <stdarg.h>
#include <stdio.h>
#include <string.h>

static const char *const ARCHES[MC_ARCHES] = {"upper", "lower"};

static void add(char *out, size_t size, const char *format, ...)
    __attribute__((format(printf, 3, 4)));
static void add(char *out, size_t size, const char *format, ...) {
    size_t used = strlen(out);
    va_list values;
    va_start(values, format);
    vsnprintf(out + used, size - used, format, values);
    va_end(values);
}

/* The aligner that the arch wears until then, 0 none. */
static int worn_until(const mc_assessment *a, const mc_decide *what, int arch) {
    mc_series series = a->series[arch];
    if (!a->score || series.stages == 0)
        return 0;
    if (what)
        mc_series_decided(&series, what->choices | 1u << MC_CORRECT, what->to, 0, a->score->date);
    return mc_series_aligner_on(&series, a->score->date, NULL);
}

/* The largest gap of the arch at a check-up, NaN where none was read, and where it is. */
static double largest_gap(const mc_score *score, mc_arch arch, mc_tooth *at) {
    double gap = NAN;
    *at = MC_NO_TOOTH;
    for (mc_tooth t = 0; t < MC_TEETH; t++) {
        const double read = score->tooth[t].seat_gap;
        if (mc_tooth_arch(t) == arch && score->present[t] && !isnan(read) && !(read <= gap)) {
            gap = read;
            *at = t;
        }
    }
    return gap;
}

interim_fit mc_interim_fit(const mc_assessment *a, int worn, mc_arch arch, mc_tooth *at,
                           double *gap) {
    *gap = NAN;
    *at = MC_NO_TOOTH;
    const size_t first = a->checkups - a->checkups_before_on_plan - 1;
    for (size_t i = a->checkups; isnan(*gap) && i-- > first;)
        if (a->scores[i].aligner[arch] == worn)
            *gap = largest_gap(&a->scores[i], arch, at);
    if (isnan(*gap))
        return INTERIM_NOT_READ;
    return mc_reaches(a->settings.reseat_small_gap_mm, *gap) ? INTERIM_SEATS : INTERIM_GAPS;
}

/* " (it does not seat: 0.8 mm at 13)", or nothing where it does. */
static void add_fit(const mc_assessment *a, int worn, mc_arch arch, char *out, size_t size) {
    mc_tooth at;
    double gap;
    const interim_fit fit = mc_interim_fit(a, worn, arch, &at, &gap);
    if (fit == INTERIM_GAPS)
        add(out, size, " (it does not seat: %.1f mm at %02d)", gap, mc_tooth_iso(at));
    else if (fit == INTERIM_NOT_READ)
        add(out, size, " (its fit was not read)");
}

void mc_interim_words(const mc_assessment *a, const mc_decide *what,
                      char out[MC_INTERIM_WORDS_SIZE]) {
    const char *between = "";
    out[0] = '\0';
    for (int arch = 0; arch < MC_ARCHES; arch++) {
        const int worn = worn_until(a, what, arch);
        if (worn == 0)
            continue;
        add(out, MC_INTERIM_WORDS_SIZE, "%s%s %d", between, ARCHES[arch], worn);
        add_fit(a, worn, (mc_arch)arch, out, MC_INTERIM_WORDS_SIZE);
        between = " and ";
    }
    if (out[0] == '\0')
        add(out, MC_INTERIM_WORDS_SIZE, "no aligner");
}

mc_status mc_warn_of_interim(const mc_assessment *a, const mc_decide *what, mc_warnings *warnings,
                             mc_error *error) {
    mc_status status = MC_OK;
    for (int arch = 0; status == MC_OK && arch < MC_ARCHES; arch++) {
        const int worn = worn_until(a, what, arch);
        mc_tooth at;
        double gap;
        if (worn > 0 && mc_interim_fit(a, worn, (mc_arch)arch, &at, &gap) == INTERIM_GAPS)
            status = mc_warnings_add(
                warnings, error, 0, 0,
                "%s aligner %d does not seat (%.1f mm at %02d) and would be worn until the new "
                "series begins: go back to one that seats, where there is one",
                ARCHES[arch], worn, gap, mc_tooth_iso(at));
    }
    return status;
}
