/* The settings as one table: everything that is said about a number is said in its line here. */
#include "midcourse/settings.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#define PRACTICE "common practice"
#define ASSUMED "assumed"
#define OWN_PAIRS "measured by the practice"
#define MEASURED "the practice's own closed plans, where a doctor took it over"
#define RELEVANT                                                                                   \
    "Gruenheid et al. Angle Orthod 2017;87:809-815; Al-Nadawi et al. Angle Orthod 2021;91:157-163"
#define ROUND_CROWNS                                                                               \
    "Simon et al. BMC Oral Health 2014;14:68 (premolars, from memory); canines: common practice"
#define SCANNER                                                                                    \
    "assumed; the scanner's own part, on models: Anh et al. Korean J Orthod 2016;46:3-12"

typedef struct line {
    const char *key, *unit, *meaning, *source;
    double initial, low, high;
    size_t offset;
    bool whole;
    bool measured; /* 0 says that it is not */
} line;

#define REAL(name, unit, initial, low, high, source, meaning)                                      \
    { #name, unit, meaning, source, initial, low, high, offsetof(mc_settings, name), false, false }
#define WHOLE(name, unit, initial, low, high, source, meaning)                                     \
    { #name, unit, meaning, source, initial, low, high, offsetof(mc_settings, name), true, false }

/* How many pairs of repeated readings the method error of the same name rests on. */
#define PAIRS(name)                                                                                \
    {                                                                                              \
#name, "pairs", "pairs of repeated readings that the method error rests on; 0: assumed",   \
            OWN_PAIRS, 0, 0, 100000, offsetof(mc_settings, name), true, true                       \
    }

/* In the order of the struct; the weights of single teeth follow after the table, and then the
 * practice's own shares, each with its standard error. */
static const line table[] = {
    REAL(settle_days, "days", 4, 0.5, 30, PRACTICE,
         "days until the teeth have reached a new aligner"),

    REAL(eye_mm, "mm", 0.5, 0.01, 5, ASSUMED, "one reading by eye, standard deviation"),
    REAL(eye_deg, "deg", 5, 0.1, 45, ASSUMED, "one reading by eye, standard deviation"),
    REAL(caliper_mm, "mm", 0.35, 0.01, 5, ASSUMED, "one reading by caliper, standard deviation"),
    REAL(caliper_deg, "deg", 3, 0.1, 45, ASSUMED, "one reading by protractor, standard deviation"),
    REAL(photo_mm, "mm", 0.15, 0.01, 5, ASSUMED,
         "one reading from a photograph against the stage drawing, standard deviation"),
    REAL(photo_deg, "deg", 1.5, 0.1, 45, ASSUMED,
         "one reading from a photograph against the stage drawing, standard deviation"),
    REAL(landmarks_mm, "mm", 0.15, 0.01, 5, ASSUMED,
         "one reading by digitised landmarks, standard deviation"),
    REAL(landmarks_deg, "deg", 1.5, 0.1, 45, ASSUMED,
         "one reading by digitised landmarks, standard deviation"),
    REAL(scan_mm, "mm", 0.10, 0.01, 5, SCANNER, "one reading by scan, standard deviation"),
    REAL(scan_deg, "deg", 0.7, 0.1, 45, SCANNER, "one reading by scan, standard deviation"),

    PAIRS(eye_mm_pairs),
    PAIRS(eye_deg_pairs),
    PAIRS(caliper_mm_pairs),
    PAIRS(caliper_deg_pairs),
    PAIRS(photo_mm_pairs),
    PAIRS(photo_deg_pairs),
    PAIRS(landmarks_mm_pairs),
    PAIRS(landmarks_deg_pairs),
    PAIRS(scan_mm_pairs),
    PAIRS(scan_deg_pairs),

    REAL(tolerance_mm, "mm", 0.5, 0.05, 5, RELEVANT, "tracking tolerance of a translation"),
    REAL(tolerance_deg, "deg", 2, 0.2, 45, RELEVANT, "tracking tolerance of an angle"),
    REAL(tolerance_gap_mm, "mm", 0.5, 0.05, 5, PRACTICE, "seat gap tolerance"),
    REAL(state_probability, "1", 0.8, 0.5, 1, ASSUMED,
         "a tooth is called behind, drifting or past plan from this probability"),
    REAL(slipping_index, "1", 0.6, 0.05, 10, ASSUMED, "slipping from this weighted index"),
    REAL(stalled_share, "1", 0.25, 0, 1, ASSUMED,
         "a tooth behind is stalled below this share of the movement planned since"),
    REAL(risk_upper_lateral, "1", 1.5, 0.25, 4, PRACTICE, "risk weight of upper lateral incisors"),
    REAL(risk_lower_lateral, "1", 1.25, 0.25, 4, PRACTICE, "risk weight of lower lateral incisors"),
    REAL(risk_round_rotation, "1", 1.25, 0.25, 4, PRACTICE,
         "risk weight of canines and premolars on rotation"),
    REAL(risk_incisor_occlusal, "1", 1.25, 0.25, 4, PRACTICE,
         "risk weight of incisors on planned extrusion or intrusion"),

    REAL(finish_mm, "mm", 1.0, 0.05, 10, PRACTICE, "finishing tolerance of a translation"),
    REAL(finish_deg, "deg", 5, 0.2, 45, PRACTICE, "finishing tolerance of an angle"),

    WHOLE(examine_mobility, "grade", 3, 1, 3, PRACTICE, "examine: mobility of this grade"),
    WHOLE(examine_mobility_own, "grade", 2, 1, 3, PRACTICE,
          "examine: of this grade where it is above the tooth's own"),
    REAL(examine_recession_mm, "mm", 1, 0.1, 10, PRACTICE,
         "examine: recession that has grown by this much"),
    REAL(reseat_gap_mm, "mm", 1.0, 0.1, 5, PRACTICE, "reseat: a seat gap above this on any tooth"),
    REAL(reseat_small_gap_mm, "mm", 0.5, 0.1, 5, PRACTICE,
         "reseat: a seat gap of this on many teeth; an aligner seats up to it"),
    REAL(reseat_share, "1", 1.0 / 3.0, 0.01, 1, PRACTICE,
         "reseat: share of the teeth read that show the smaller gap"),
    WHOLE(reseat_minutes, "min", 3, 1, 60, PRACTICE, "reseat: minutes of chewing in"),
    WHOLE(reseat_back, "aligners", 3, 1, 20, PRACTICE,
          "reseat, go back: how many aligners back may be worn again"),
    REAL(grip_gap_mm, "mm", 1.0, 0.1, 5, ASSUMED, "grip is kept up to this seat gap"),
    REAL(grip_short_mm, "mm", 1.0, 0.1, 10, ASSUMED, "grip is kept up to this translation short"),
    REAL(grip_short_deg, "deg", 8, 0.5, 45, ASSUMED, "grip is kept up to this angle short"),
    REAL(grip_share, "1", 1.0 / 3.0, 0, 1, ASSUMED,
         "share of its rate that a tooth without grip delivers"),
    REAL(review_index, "1", 1.5, 0.1, 10, PRACTICE,
         "review: index of a tooth past plan or drifting"),
    REAL(review_overjet_mm, "mm", 1, 0.1, 10, PRACTICE, "review: overjet above plan"),
    REAL(wear_hours, "h/day", 20, 1, 24, PRACTICE, "talk about wear below these hours"),
    REAL(wear_hours_full, "h/day", 22, 1, 24, PRACTICE, "hours of wear that are aimed for"),
    REAL(measure_share, "1", 0.6, 0, 1, PRACTICE,
         "measure: share of the teeth moved so far that must have a position read"),
    REAL(measure_mm, "mm", 1, 0.05, 10, PRACTICE, "measure: translation from which a tooth counts"),
    REAL(measure_deg, "deg", 5, 0.2, 45, PRACTICE, "measure: angle from which a tooth counts"),
    WHOLE(measure_teeth, "teeth", 6, 1, 52, PRACTICE, "measure: how many teeth are named"),
    REAL(correct_mm, "mm", 1.0, 0.1, 10, PRACTICE, "correct: weighted translation short"),
    REAL(correct_deg, "deg", 8, 0.5, 45, PRACTICE, "correct: weighted angle short"),
    WHOLE(correct_teeth, "teeth", 3, 1, 52, PRACTICE, "correct: this many teeth short together"),
    REAL(correct_tolerances, "1", 2, 0.5, 20, PRACTICE,
         "correct: how many tolerances short those teeth are"),
    WHOLE(correct_aligners_left, "aligners", 4, 0, 999, PRACTICE,
          "correct: only with this many aligners left"),
    REAL(correct_series_left, "1", 0.20, 0, 1, PRACTICE,
         "correct: only with this share of the series left"),
    REAL(correct_fewer_out, "teeth", 1, 0, 52, PRACTICE,
         "correct: so many expected teeth fewer outside than when finishing first"),
    WHOLE(correct_sooner_days, "days", 28, 0, 999, PRACTICE,
          "correct: or so many days sooner than when finishing first"),
    WHOLE(local_teeth, "teeth", 2, 0, 52, PRACTICE, "local measures: up to this many teeth behind"),
    WHOLE(hold_days, "days", 7, 1, 60, PRACTICE, "hold: days on the same aligner"),
    REAL(finish_series_left, "1", 0.1, 0, 1, PRACTICE,
         "finish: from this share of the series left"),
    REAL(name_probability, "1", 0.8, 0.5, 1, PRACTICE,
         "carry on: teeth that end outside with this probability are named"),
    REAL(name_series_left, "1", 1.0 / 3.0, 0, 1, PRACTICE,
         "carry on: while this share of the series is left"),
    REAL(hold_seated_share, "1", 0.5, 0, 1, ASSUMED,
         "hold: share of a shortfall left after a week where the aligner seats"),
    REAL(hold_loose_share, "1", 0.75, 0, 1, ASSUMED, "hold: the same where it seats less well"),
    REAL(hold_loose_gap_mm, "mm", 1.0, 0.1, 5, ASSUMED,
         "hold: beyond this seat gap nothing is made up"),
    WHOLE(checkup_weeks, "weeks", 6, 1, 52, PRACTICE, "weeks from one check-up to the next"),
    WHOLE(laboratory_days, "days", 21, 0, 180, PRACTICE, "days until new aligners are delivered"),
    WHOLE(shortest_interval_days, "days", 7, 1, 60, PRACTICE,
          "an interval shorter than this is never proposed"),

    REAL(step_mesiodistal_mm, "mm", 0.25, 0.01, 2, PRACTICE, "most mesial or distal an aligner"),
    REAL(step_buccolingual_mm, "mm", 0.25, 0.01, 2, PRACTICE, "most buccal or lingual an aligner"),
    REAL(step_intrusion_mm, "mm", 0.20, 0.01, 2, PRACTICE, "most intrusion an aligner"),
    REAL(step_extrusion_mm, "mm", 0.15, 0.01, 2, PRACTICE, "most extrusion an aligner"),
    REAL(step_rotation_deg, "deg", 2, 0.1, 15, PRACTICE, "most rotation an aligner"),
    REAL(step_round_rotation_deg, "deg", 1.5, 0.1, 15, ROUND_CROWNS,
         "most rotation an aligner, canines and premolars"),
    REAL(step_tipping_deg, "deg", 2, 0.1, 15, PRACTICE,
         "most angulation or inclination an aligner by crown tipping"),
    REAL(step_root_deg, "deg", 1, 0.1, 15, PRACTICE,
         "most angulation or inclination an aligner by root movement"),
    REAL(step_corner_mm, "mm", 0.30, 0.01, 3, PRACTICE,
         "most movement of a crown's corner an aligner"),
    WHOLE(order_pose_days, "days", 14, 0, 180, PRACTICE,
          "oldest poses, in days, that an order may rest on"),
    REAL(estimate_trust_mm, "mm", 0.25, 0, 2, ASSUMED,
         "so little missing room is passed over where crowns are estimated"),
    REAL(overcorrect_percent, "%", 30, 0, 100, PRACTICE, "most overcorrection"),

    WHOLE(hide_seconds, "s", 60, 5, 3600, ASSUMED, "an idle console hides names after this time"),
    WHOLE(lock_minutes, "min", 5, 1, 120, ASSUMED, "an idle console locks after this time"),
};

enum {
    LINES = sizeof table / sizeof table[0],
    TEETH = 52,
    OWN = MC_OWN_CLASSES * MC_OWN_MOVEMENTS
};

/* ISO 3950 numbers upward: quadrants 1 to 4 with eight teeth, then 5 to 8 with five. */
static int iso_number(size_t i) {
    const int place = (int)i;
    return place < 32 ? (place / 8 + 1) * 10 + place % 8 + 1
                      : ((place - 32) / 5 + 5) * 10 + (place - 32) % 5 + 1;
}

/* What the key of a tooth's risk weight begins with. */
#define TOOTH_KEY "risk_tooth_"

static mc_setting describe_tooth(int iso) {
    mc_setting out = {.unit = "1",
                      .meaning = "risk weight of this tooth; 0: as its class says",
                      .source = PRACTICE,
                      .initial = 0,
                      .low = 0,
                      .high = 4,
                      .of_many = true,
                      .offset = offsetof(mc_settings, risk_tooth) + (size_t)iso * sizeof(double)};
    snprintf(out.key, sizeof out.key, TOOTH_KEY "%d", iso);
    return out;
}

/* What the keys of the practice's own shares and of their standard errors begin with; the second
 * begins with the first. */
#define SHARE_KEY "own_share_"
#define ERROR_KEY "own_share_se_"

/* In the order of mc_tooth_class and mc_movement. */
static const char *const CLASS[MC_OWN_CLASSES] = {"central",        "lateral",         "canine",
                                                  "first_premolar", "second_premolar", "molar"};
static const char *const MOVEMENT[MC_OWN_MOVEMENTS] = {
    "mesial",    "distal",   "buccal",     "lingual", "extrusion",
    "intrusion", "rotation", "angulation", "tipping", "torque"};

/* i: class by class, within it movement by movement. */
static mc_setting describe_own(size_t i, bool error) {
    const size_t base =
        error ? offsetof(mc_settings, own_share_se) : offsetof(mc_settings, own_share);
    mc_setting out = {
        .unit = "1",
        .meaning = error ? "standard error of the own share; 0: the share is not used"
                         : "own accuracy: share of this movement delivered; 0: not taken over",
        .source = MEASURED,
        .initial = 0,
        .low = 0,
        .high = error ? 1 : 1.5,
        .of_many = true,
        .taken = true,
        .offset = base + i * sizeof(double)};
    snprintf(out.key, sizeof out.key, "%s%s_%s", error ? ERROR_KEY : SHARE_KEY,
             CLASS[i / MC_OWN_MOVEMENTS], MOVEMENT[i % MC_OWN_MOVEMENTS]);
    return out;
}

size_t mc_settings_count(void) {
    return LINES + TEETH + 2 * (size_t)OWN;
}

mc_setting mc_settings_describe(size_t i) {
    if (i >= mc_settings_count()) {
        return (mc_setting){0};
    }
    if (i >= LINES + TEETH) {
        const size_t own = i - LINES - TEETH;
        return describe_own(own % OWN, own >= OWN);
    }
    if (i >= LINES) {
        return describe_tooth(iso_number(i - LINES));
    }
    const line *found = &table[i];
    mc_setting out = {.unit = found->unit,
                      .meaning = found->meaning,
                      .source = found->source,
                      .initial = found->initial,
                      .low = found->low,
                      .high = found->high,
                      .whole = found->whole,
                      .of_many = found->measured,
                      .taken = found->measured,
                      .offset = found->offset};
    snprintf(out.key, sizeof out.key, "%s", found->key);
    return out;
}

static void store(mc_settings *settings, size_t offset, double value) {
    memcpy((char *)settings + offset, &value, sizeof value);
}

/* The method errors stand one behind the other, and their pairs so too, in the same order. */
#define TO_PAIRS (offsetof(mc_settings, eye_mm_pairs) - offsetof(mc_settings, eye_mm))

static bool is_method_error(size_t offset) {
    return offset >= offsetof(mc_settings, eye_mm) && offset <= offsetof(mc_settings, scan_deg);
}

void mc_settings_defaults(mc_settings *out) {
    *out = (mc_settings){0}; /* and so each tooth's own risk weight, and each own share */
    for (size_t i = 0; i < LINES; i++) {
        store(out, table[i].offset, table[i].initial);
    }
}

/* The place of a word that text begins with; -1 where none does. *rest is what follows it. */
static int word_at(const char *const *words, int count, const char *text, const char **rest) {
    for (int i = 0; i < count; i++) {
        const size_t length = strlen(words[i]);
        if (strncmp(text, words[i], length) == 0) {
            *rest = text + length;
            return i;
        }
    }
    return -1;
}

static bool find_own(const char *key, mc_setting *found) {
    const bool error = strncmp(key, ERROR_KEY, sizeof ERROR_KEY - 1) == 0;
    const char *rest = key + (error ? sizeof ERROR_KEY : sizeof SHARE_KEY) - 1;
    const int of = word_at(CLASS, MC_OWN_CLASSES, rest, &rest);
    if (of < 0 || *rest != '_') {
        return false;
    }
    const int movement = word_at(MOVEMENT, MC_OWN_MOVEMENTS, rest + 1, &rest);
    if (movement < 0 || *rest) {
        return false;
    }
    *found = describe_own((size_t)of * MC_OWN_MOVEMENTS + (size_t)movement, error);
    return true;
}

static bool find(const char *key, mc_setting *found) {
    for (size_t i = 0; i < LINES; i++) {
        if (strcmp(table[i].key, key) == 0) {
            *found = mc_settings_describe(i);
            return true;
        }
    }
    if (strncmp(key, SHARE_KEY, sizeof SHARE_KEY - 1) == 0) {
        return find_own(key, found);
    }
    if (strncmp(key, TOOTH_KEY, sizeof TOOTH_KEY - 1) != 0) {
        return false;
    }
    const int wanted = atoi(key + sizeof TOOTH_KEY - 1);
    for (size_t i = 0; i < TEETH; i++) {
        if (iso_number(i) == wanted) {
            *found = describe_tooth(wanted);
            return strcmp(found->key, key) == 0; /* no sign, no naught before it */
        }
    }
    return false;
}

bool mc_settings_get(const mc_settings *settings, const char *key, double *value) {
    mc_setting setting;
    if (!find(key, &setting)) {
        return false;
    }
    memcpy(value, (const char *)settings + setting.offset, sizeof *value);
    return true;
}

mc_status mc_settings_set(mc_settings *settings, const char *key, double value, mc_error *error) {
    mc_setting setting;
    char low[40], high[40];
    if (!find(key, &setting)) {
        return mc_fail(error, MC_REFUSED, "there is no setting \"%.60s\"", key);
    }
    if (!isfinite(value)) {
        return mc_fail(error, MC_REFUSED, "%s: this is no number", setting.key);
    }
    if (value < setting.low || value > setting.high) {
        mc_decimal_text(setting.low, low, sizeof low);
        mc_decimal_text(setting.high, high, sizeof high);
        return mc_fail(error, MC_REFUSED, "%s: must be from %s to %s %s", setting.key, low, high,
                       strcmp(setting.unit, "1") == 0 ? "" : setting.unit);
    }
    if (setting.whole && value != floor(value)) {
        return mc_fail(error, MC_REFUSED, "%s: must be a whole number", setting.key);
    }
    store(settings, setting.offset, value);
    if (is_method_error(setting.offset)) {
        store(settings, setting.offset + TO_PAIRS, 0);
    }
    return MC_OK;
}

void mc_settings_source(const mc_settings *settings, const mc_setting *about,
                        char out[MC_SOURCE_SIZE]) {
    double pairs = 0;
    if (is_method_error(about->offset)) {
        memcpy(&pairs, (const char *)settings + about->offset + TO_PAIRS, sizeof pairs);
    }
    if (pairs > 0) {
        snprintf(out, MC_SOURCE_SIZE, "measured, %.0f pairs", pairs);
    } else {
        snprintf(out, MC_SOURCE_SIZE, "%s", about->source);
    }
}
