/* settings: the numbers of the computation that a practice may change, as one plain struct, and for
 * each its key, unit, range, default and source. A changed set is a new set; nothing here remembers
 * anything. */
#ifndef MIDCOURSE_SETTINGS_H
#define MIDCOURSE_SETTINGS_H

#include "midcourse/base.h"

enum { MC_OWN_CLASSES = 6, MC_OWN_MOVEMENTS = 10 };

/* Lengths mm, angles deg, times as named. Keys are the field names; risk_tooth's are risk_tooth_NN.
 */
typedef struct mc_settings {
    /* time on an aligner */
    double settle_days; /* days until the teeth have reached a new aligner */
    /* methods: standard deviation of one reading */
    double eye_mm, eye_deg, caliper_mm, caliper_deg, photo_mm, photo_deg, landmarks_mm,
        landmarks_deg, scan_mm, scan_deg;
    /* how many pairs of repeated readings each of those rests on; 0: it is assumed */
    double eye_mm_pairs, eye_deg_pairs, caliper_mm_pairs, caliper_deg_pairs, photo_mm_pairs,
        photo_deg_pairs, landmarks_mm_pairs, landmarks_deg_pairs, scan_mm_pairs, scan_deg_pairs;
    /* score */
    double tolerance_mm, tolerance_deg,
        tolerance_gap_mm;     /* tracking tolerance, seat gap tolerance */
    double state_probability; /* a state needs p of at least this */
    double slipping_index;    /* slipping from this weighted index */
    double stalled_share;     /* stalled below this share of the planned movement */
    double risk_upper_lateral, risk_lower_lateral, risk_round_rotation, risk_incisor_occlusal;
    double risk_tooth[89]; /* by ISO 3950 number; 0: as its class says */
    /* finishing */
    double finish_mm, finish_deg;
    /* rules of the proposal */
    double examine_mobility, examine_mobility_own, examine_recession_mm;
    double reseat_gap_mm, reseat_small_gap_mm, reseat_share, reseat_minutes, reseat_back;
    double grip_gap_mm, grip_short_mm, grip_short_deg, grip_share;
    double review_index, review_overjet_mm;
    double wear_hours, wear_hours_full;
    double measure_share, measure_mm, measure_deg, measure_teeth;
    double correct_mm, correct_deg, correct_teeth, correct_tolerances, correct_aligners_left,
        correct_series_left, correct_fewer_out, correct_sooner_days;
    double local_teeth, hold_days, finish_series_left, name_probability, name_series_left;
    /* what a week of holding makes up of a shortfall, by the fit */
    double hold_seated_share, hold_loose_share, hold_loose_gap_mm;
    double checkup_weeks, laboratory_days, shortest_interval_days;
    /* re-staging: most that one aligner may do */
    double step_mesiodistal_mm, step_buccolingual_mm, step_intrusion_mm, step_extrusion_mm,
        step_rotation_deg, step_round_rotation_deg, step_tipping_deg, step_root_deg, step_corner_mm;
    double order_pose_days;     /* oldest pose that an order may rest on */
    double estimate_trust_mm;   /* room missing by estimated crowns that an estimate cannot tell */
    double overcorrect_percent; /* most overcorrection */
    /* console */
    double hide_seconds, lock_minutes;
    /* the practice's own closed plans: achieved share pooled over patients and its standard error,
     * by tooth class and movement in the order of mc_tooth_class and mc_movement; 0: not taken
     * over. Keys own_share_CLASS_MOVEMENT and own_share_se_CLASS_MOVEMENT. */
    double own_share[MC_OWN_CLASSES][MC_OWN_MOVEMENTS];
    double own_share_se[MC_OWN_CLASSES][MC_OWN_MOVEMENTS];
} mc_settings;

/* One number: where it lives, what it means, what it may be. */
typedef struct mc_setting {
    char key[40];
    const char *unit;    /* "mm", "deg", "days", "1" ... */
    const char *meaning; /* one line for people */
    const char *source;  /* author, journal and year, or "common practice", or "assumed" */
    double initial, low, high;
    bool whole;    /* only whole numbers */
    bool of_many;  /* one of many alike: not worth a line of a list while it is at its default */
    bool taken;    /* measured and taken over by a doctor; 0 says that it is not, and then it is
                      neither kept nor told */
    size_t offset; /* of the double within mc_settings */
} mc_setting;

/* How many settings there are, and the i-th (0 to count - 1) in a fixed order. */
size_t mc_settings_count(void);
mc_setting mc_settings_describe(size_t i);
/* Where a number of these settings comes from: its source, or "measured, 24 pairs". */
enum { MC_SOURCE_SIZE = 200 };
void mc_settings_source(const mc_settings *settings, const mc_setting *about,
                        char out[MC_SOURCE_SIZE]);

/* The defaults. */
void mc_settings_defaults(mc_settings *out);

/* Read and set by key. Setting refuses an unknown key, a value outside the range, NaN, and a
 * fraction where whole numbers are wanted; *settings is then unchanged. A method error that is set
 * no longer rests on any pairs: those are to be set after it. */
bool mc_settings_get(const mc_settings *settings, const char *key, double *value);
mc_status mc_settings_set(mc_settings *settings, const char *key, double value, mc_error *error);

#endif
