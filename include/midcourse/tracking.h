/* tracking: readings, expected share, where each tooth is, and the score of a check-up.
 * The method, with its sources, is told in midcourse-method(7). Lengths mm, angles deg, time in
 * stages. */
#ifndef MIDCOURSE_TRACKING_H
#define MIDCOURSE_TRACKING_H

#include "midcourse/movement.h"
#include "midcourse/settings.h"

/* ---- what is read at the chair ---- */

typedef enum mc_method {
    MC_EYE,
    MC_CALIPER,
    MC_PHOTO,
    MC_LANDMARKS,
    MC_SCAN,
    MC_METHODS
} mc_method;
enum { MC_METHOD_OF_CHECKUP = -1 }; /* a reading taken by the check-up's own method */

/* In every one of these 0 means "not said"; the others rise from well to ill. */
typedef enum mc_attachment {
    MC_ATTACHMENT_UNSAID,
    MC_ATTACHMENT_INTACT,
    MC_ATTACHMENT_WORN,
    MC_ATTACHMENT_LOOSE,
    MC_ATTACHMENT_LOST
} mc_attachment;
typedef enum mc_contact {
    MC_CONTACT_UNSAID,
    MC_CONTACT_OPEN,
    MC_CONTACT_NORMAL,
    MC_CONTACT_TIGHT
} mc_contact;
typedef enum mc_yes { MC_UNSAID, MC_NO, MC_YES } mc_yes;

/* What can be read of a tooth against something else, as seen on the day: a space, a step or a
 * height step to the neighbour on one side, and the angle of the crown on an occlusal photograph.
 * Whatever mark it is read from, the same thing is read again at every check-up. */
typedef enum mc_relative {
    MC_SPACE_TO_MESIAL, /* mm of space to the neighbour on that side: from 0 */
    MC_SPACE_TO_DISTAL,
    MC_STEP_TO_MESIAL, /* the step to the neighbour, mm, positive: the tooth stands more buccal */
    MC_STEP_TO_DISTAL,
    MC_HEIGHT_TO_MESIAL, /* the height step, mm, positive: the tooth stands more occlusal */
    MC_HEIGHT_TO_DISTAL,
    MC_CROWN_ANGLE, /* deg against the midline of the arch, positive mesial-in, -180..180 */
    MC_RELATIVES
} mc_relative;
const char *mc_relative_name(mc_relative what);   /* "space mesial", "step distal", "crown angle" */
const char *mc_relative_column(mc_relative what); /* "space_mesial_mm" ... "crown_angle_deg" */
/* The component of the tooth that it measures: mesial, buccal, occlusal, rotation. */
mc_component mc_relative_component(mc_relative what);
/* How much a change of the tooth itself by +1, and of its neighbour by +1, changes what is read
 * (-1, 0 or +1); across the midline the mesial directions face each other. neighbour is not looked
 * at for the crown angle. */
int mc_relative_own(mc_relative what);
int mc_relative_other(mc_relative what, mc_tooth tooth, mc_tooth neighbour);
/* The neighbour it is read against; MC_NO_TOOTH where there is none, and for the crown angle. */
mc_tooth mc_relative_neighbour(mc_relative what, mc_tooth tooth,
                               const mc_tooth_state states[MC_TEETH]);

/* How far it is from one value to another; angles go the short way round, so within -180..180. */
double mc_relative_between(mc_relative what, double from, double to);
/* The largest that can be read either way (a space: from 0): 20 mm, 180 deg. */
double mc_relative_most(mc_relative what);
bool mc_relative_is_space(mc_relative what);

/* One row of a check-up: what was read on one tooth, once. NaN: not read. A second row for the same
 * tooth is a repeated reading. */
typedef struct mc_reading {
    mc_tooth tooth;
    double seat_gap;             /* mm, 0..5 */
    bool seat_in_bulk;           /* the gap of 0 was said of all the rest at once */
    double value[MC_COMPONENTS]; /* displacement from stage 0, or how much short of today's plan */
    bool short_of_plan[MC_COMPONENTS]; /* value is short of plan */
    double relative[MC_RELATIVES];     /* as read, not as a displacement */
    int method;                        /* mc_method, or MC_METHOD_OF_CHECKUP */
    mc_attachment attachment;
    mc_contact contact_mesial, contact_distal;
    int mobility;     /* grade 0..3, -1 not said */
    mc_yes pain;      /* pain on biting */
    mc_yes swelling;  /* swelling or pus */
    double recession; /* mm, NaN not said */
} mc_reading;

/* A reading with nothing read on the tooth. */
mc_reading mc_reading_none(mc_tooth tooth);

enum { MC_NO_ALIGNER = -1 };

/* A check-up on one plan. rows is the caller's memory. */
typedef struct mc_checkup {
    int number; /* 1, 2, ... in the case */
    mc_day date;
    int aligner[MC_ARCHES]; /* worn now: 0..N, MC_NO_ALIGNER where the arch has no series or was not
                               looked at */
    int day[MC_ARCHES];     /* day of that aligner, negative where not known */
    double wear_hours;      /* a day; NaN not said */
    mc_method method;
    const char *note; /* of the whole check-up, at most 500 characters; NULL or "": none */
    const mc_tooth_state *states; /* MC_TEETH of them on that day, for who is whose neighbour; NULL:
                                     the permanent teeth all stand. Not kept by the tracker */
    const mc_reading *rows;
    size_t count;
} mc_checkup;

/* "eye" ... "scan", "intact" ..., "open" ...; parse accepts exactly these. */
const char *mc_method_name(mc_method method);
bool mc_method_parse(const char *text, mc_method *method);
const char *mc_attachment_name(mc_attachment a); /* "unsaid" for 0 */
bool mc_attachment_parse(const char *text, mc_attachment *a);
const char *mc_contact_name(mc_contact c);
bool mc_contact_parse(const char *text, mc_contact *c);
/* The tracking tolerance and the finishing tolerance of a component. */
double mc_tolerance(const mc_settings *settings, mc_component c);
double mc_finishing_tolerance(const mc_settings *settings, mc_component c);
/* The method a row was read by: its own, else the check-up's. */
mc_method mc_reading_method(const mc_reading *row, mc_method of_checkup);
/* Standard deviation of one reading of a component by a method. */
double mc_method_sd(const mc_settings *settings, mc_method method, mc_component c);

/* ---- expected share ---- */

typedef enum mc_movement {
    MC_MOVE_MESIAL,
    MC_MOVE_DISTAL,
    MC_MOVE_BUCCAL,
    MC_MOVE_LINGUAL,
    MC_MOVE_EXTRUSION,
    MC_MOVE_INTRUSION,
    MC_MOVE_ROTATION,
    MC_MOVE_ANGULATION, /* mesiodistal tip */
    MC_MOVE_TIPPING,    /* inclination by crown tipping */
    MC_MOVE_TORQUE,     /* inclination by root movement */
    MC_MOVEMENTS
} mc_movement;

const char *mc_movement_name(mc_movement movement);
/* Which movement component c of the tooth's plan is: its direction from the last pose where that
 * reaches mc_component_least, else from the largest |P|. */
mc_movement mc_plan_movement(const mc_plan *plan, mc_tooth tooth, mc_component c);
/* The share of a planned movement that published studies found delivered (0.6 = 60 %): mean of the
 * rows whose tooth group contains the tooth, else of the rows for all teeth. from_memory (may be
 * NULL): whether any of them was not seen at its source. Deciduous teeth take the rows for all
 * teeth. */
double mc_expected_share(mc_tooth tooth, mc_movement movement, bool *from_memory);

/* The share that is expected under a practice's numbers: the published one, and where the practice
 * has taken its own accuracy over (settings own_share_...), both, each by its precision: the
 * pooled mean by its standard error, the published one by a spread between studies of 0.15
 * (assumed). Deciduous teeth take the published one. */
double mc_share_for(const mc_settings *settings, mc_tooth tooth, mc_movement movement);

/* Standard deviations, as shares of the planned movement, of a component's own share about the
 * expected one, and of the pace that a mouth's teeth share. Assumed, to be replaced by evidence. */
extern const double MC_OWN_SPREAD, MC_PACE_SPREAD;

/* ---- where each tooth is ---- */

/* The poses that a corrected plan starts from: variance (mm^2, deg^2) of each component at its
 * stage 0. All zero for a first plan. */
typedef struct mc_start {
    double variance[MC_TEETH][MC_COMPONENTS];
} mc_start;

/* Follows every tooth of one mouth through its check-ups and plans, in order. Owns its memory; one
 * at a time may be used by one thread. */
typedef struct mc_tracker mc_tracker;
mc_tracker *mc_tracker_new(const mc_settings *settings); /* NULL when out of memory */
void mc_tracker_free(mc_tracker *tracker);
/* A second one that has taken in the same and goes its own way from here, so that what comes last
 * can be tried without replaying all before it. NULL when out of memory. */
mc_tracker *mc_tracker_copy(const mc_tracker *tracker);

/* Begin a plan (the first, or the one that supersedes the last). The plan must outlive the tracker.
 * start may be NULL. What was learnt of each component's own pace and of the mouth's shared pace is
 * kept. */
void mc_tracker_begin(mc_tracker *tracker, const mc_plan *plan, const mc_start *start);

/* Take in one check-up on the present plan. Refuses (naming the tooth; changing nothing) a reading
 * of a tooth in an arch whose aligner is not given, "short of plan" on a component that has no leg
 * yet, values that cannot be, an aligner beyond the series. error->line is the row (from 1). */
mc_status mc_tracker_add(mc_tracker *tracker, const mc_checkup *checkup, mc_error *error);

typedef enum mc_kind { MC_KIND_NONE, MC_KIND_SHORT, MC_KIND_PAST, MC_KIND_DRIFT } mc_kind;
const char *mc_kind_name(mc_kind kind);

/* One component of one tooth at a check-up. Values that do not exist are NaN. */
typedef struct mc_item {
    bool read;         /* read at this check-up */
    bool followed;     /* read at least once on this plan: mean and sd are known */
    int readings;      /* at this check-up */
    double planned;    /* P at the effective stage */
    double observed;   /* O, weighted mean of the readings; NaN unless read */
    double sd;         /* of the observed value */
    double mean, sd_x; /* true position now as estimated (mc_tracker_estimate) */
    double leg_from;   /* B, NaN without a leg */
    int direction;     /* g: +1, -1, or 0 without a leg */
    mc_kind kind;      /* MC_KIND_NONE unless read */
    double shortfall;  /* g (P - x); NaN without a leg */
    double tolerance, index, raw_index, weight, p;
} mc_item;

/* What was read of a tooth against something else at a check-up. NaN: does not exist. */
typedef struct mc_relative_item {
    int readings;       /* at this check-up; 0: not read, and nothing else is said */
    double read;        /* mean of them */
    mc_tooth neighbour; /* it was read against; MC_NO_TOOTH for the crown angle */
    double baseline;    /* NaN: none against this neighbour, so the reading is kept, but not used */
    double should_read; /* by plan */
} mc_relative_item;

typedef enum mc_state {
    MC_STATE_UNMEASURED,
    MC_STATE_STALLED,
    MC_STATE_BEHIND,
    MC_STATE_DRIFTING,
    MC_STATE_PAST_PLAN,
    MC_STATE_SLIPPING,
    MC_STATE_SEATED,
    MC_STATE_ON_PLAN,
    MC_STATES
} mc_state;
const char *mc_state_name(mc_state state); /* "unmeasured" ... "past_plan" ... "on_plan" */
const char *mc_state_word(mc_state state); /* the same for people: "past plan", "on plan" */

enum { MC_WORST_NONE = -2, MC_WORST_SEAT_GAP = -1 }; /* else an mc_component */

/* One tooth at a check-up. NaN: does not exist. */
typedef struct mc_tooth_score {
    mc_state state;
    double lag_index;   /* L; NaN when nothing was read */
    double risk_weight; /* the tooth's own */
    int worst;          /* MC_WORST_..., or the component */
    double p_behind;    /* largest p of kind short; NaN when nothing of that kind was read */
    double lag_stages, lag_stages_low, lag_stages_high; /* behind positive; at one SD either way */
    double stage_equivalent, off_path;
    double tracked_share, tracked_share_se;
    double seat_gap, seat_index, seat_p; /* NaN when not read */
    mc_kind seat_kind;
    mc_attachment attachment;
    mc_contact contact_mesial, contact_distal;
    int mobility; /* -1 not said */
    mc_yes pain, swelling;
    double recession;
    mc_item item[MC_COMPONENTS]; /* what was read against a neighbour is part of these */
    mc_relative_item relative[MC_RELATIVES];
} mc_tooth_score;

/* A whole mouth at a check-up. */
typedef struct mc_score {
    int number;
    mc_day date;
    int aligner[MC_ARCHES], day[MC_ARCHES], stages[MC_ARCHES];
    double effective_stage[MC_ARCHES]; /* NaN where no aligner is given */
    double wear_hours;
    double pace_mean, pace_sd; /* the mouth's shared pace a */
    bool present[MC_TEETH];    /* standing in the mouth: only these are counted */
    int count[MC_STATES];      /* teeth present, by state */
    int present_count, measured;
    mc_tooth worst; /* MC_NO_TOOTH when nothing was read */
    double lag_index;
    mc_tooth_score tooth[MC_TEETH];
} mc_score;

/* Score the last check-up added on this plan; with none, nothing is read. states are the teeth of
 * the case at that day. */
void mc_tracker_score(const mc_tracker *tracker, const mc_tooth_state states[MC_TEETH],
                      mc_score *out);

/* Where a followed component is now (mean, SD, shared pace included): at its last reading, and from
 * there carried to the stage at which its arch stood at the last check-up. False where it was never
 * read on this plan. */
bool mc_tracker_estimate(const mc_tracker *tracker, mc_tooth tooth, mc_component c, double *mean,
                         double *sd);

/* What a relative reading should read by plan at stage s of its arch, from the baseline that the
 * tracker has of it on this plan: baseline and the planned change of the tooth and its neighbour.
 * NaN without a baseline, or where the neighbour is another than then. A baseline is what was read
 * at the first check-up on this plan that read it, where its arch stood at stage 0 then. A space is
 * never below 0: a plan that wants less (it grants stripping there, or crowns that overlap) wants
 * the teeth to touch, and a reading then tells nothing of where the tooth is. */
double mc_tracker_should_read(const mc_tracker *tracker, mc_tooth tooth, mc_relative what,
                              const mc_tooth_state states[MC_TEETH], double s);
/* The baseline itself; NaN where there is none. */
double mc_tracker_baseline(const mc_tracker *tracker, mc_tooth tooth, mc_relative what);
/* The last reading of it on this plan; NaN where it was never read. */
double mc_tracker_last_read(const mc_tracker *tracker, mc_tooth tooth, mc_relative what);

/* ---- forecast ---- */

/* One component carried to the end of its arch's series, the shared pace integrated. NaN where it
 * does not exist. */
typedef struct mc_component_forecast {
    bool known;           /* read at least once on this plan */
    double mean, sd;      /* where it is now (mc_tracker_estimate) */
    double rate, rate_sd; /* share of the planned movement that it delivers */
    double expected;      /* share it was expected to deliver */
    double planned;       /* P(N) */
    double end, end_sd;   /* where it will be at stage N */
    double low, high;     /* 90 % interval of that */
    double p_behind;      /* short of plan now by the tracking tolerance; NaN without a leg */
    double p_out;         /* |P(N) - x| above the finishing tolerance at the end */
} mc_component_forecast;

/* One tooth. p_behind: the largest of its components' (NaN where none has one); p_out: that any
 * known component ends outside, the pace being shared. Both NaN where nothing of it is known. */
typedef struct mc_tooth_forecast {
    bool known;
    bool partly; /* less than half of what the plan still asks of it (in tolerances, squared) is of
                    components that are known: its end is known in part only */
    bool grip;   /* as carried: it keeps its grip */
    double p_behind, p_out;
    mc_component_forecast component[MC_COMPONENTS];
} mc_tooth_forecast;

/* The whole mouth. Only teeth present are counted. expected_out (sum of p_out) and p_all_in (that
 * every known tooth ends inside) are NaN where no tooth is known. */
typedef struct mc_forecast {
    double pace_mean, pace_sd;
    double expected_out, p_all_in;
    int known, unknown, partly;
    mc_tooth_forecast tooth[MC_TEETH];
} mc_forecast;

/* Whether each tooth keeps its grip as the tracker stands: attachment not loose or lost, seat gap
 * at most grip_gap_mm at the last check-up, no known component short by more than grip_short_mm or
 * grip_short_deg. What was not said does not stand against it. */
void mc_tracker_grip(const mc_tracker *tracker, bool grip[MC_TEETH]);
/* Carry everything to the end of its series. grip NULL: every tooth keeps its grip; one that does
 * not moves grip_share of what it would. */
void mc_tracker_forecast(const mc_tracker *tracker, const mc_tooth_state states[MC_TEETH],
                         const bool *grip, mc_forecast *out);
/* The same of one component at a stage ahead, for a band: false where it is not known. A stage
 * before the present one counts as the present one. */
bool mc_tracker_ahead(const mc_tracker *tracker, mc_tooth tooth, mc_component c, bool grip,
                      double stage, double *mean, double *sd);

/* ---- what if: for a copy of a tracker, see mc_tracker_copy ---- */

/* A known component is drawn toward `at` by a share h (0..1) of the way, at the stage where its
 * arch stands: x' = (1 - h) x + h at. */
void mc_tracker_pull(mc_tracker *tracker, mc_tooth tooth, mc_component c, double h, double at);
/* The arch goes back to an earlier stage: what is beyond the plan there takes the planned position,
 * what is short of it stays. The seat gaps and their grip are as good as the shortfall then. */
void mc_tracker_go_back(mc_tracker *tracker, mc_arch arch, double stage);
/* The arch stands at a later stage: every known component carried there, as for the forecast. */
void mc_tracker_advance(mc_tracker *tracker, mc_arch arch, double stage, const bool grip[MC_TEETH]);
/* A corrected plan begins: as mc_tracker_begin, but what was known stays known, and start holds the
 * variances. off: how far each tooth stands off the new plan's stage 0 and is not planned to be
 * moved from there. Every tooth has its grip, no gap and no finding. */
void mc_tracker_correct(mc_tracker *tracker, const mc_plan *plan, const mc_start *start,
                        const mc_pose off[MC_TEETH]);
/* The stage at which the arch stands; NaN where no aligner is given. */
double mc_tracker_stage(const mc_tracker *tracker, mc_arch arch);

/* Risk weight of a component, and of the tooth itself (for a seat gap), under this plan. */
double mc_risk_weight(const mc_settings *settings, const mc_plan *plan, mc_tooth tooth,
                      mc_component c);
double mc_risk_weight_tooth(const mc_settings *settings, mc_tooth tooth);

/* The present leg of a component at stage s: direction +1 or -1 and start B; 0 where there is no
 * leg yet. */
int mc_plan_leg(const mc_plan *plan, mc_tooth tooth, mc_component c, double s, double *from);

/* ---- small statistics used above ---- */

/* Line through the origin y = b x by least squares: slope, its standard deviation, residual
 * standard deviation (n - 1 degrees of freedom). n at least 2, not all x zero, else false. */
bool mc_line_through_origin(const double *x, const double *y, size_t n, double *slope,
                            double *slope_sd, double *residual_sd);

/* Method error from repeated readings of the same things: Dahlberg's figure sqrt(sum d^2 / 2n), and
 * whether the second series reads otherwise than the first: mean of second - first and its standard
 * error (NaN for one pair). False for no pair and for numbers that are not finite.
 * Source: Dahlberg, Statistical Methods for Medical and Biological Students, 1940. */
typedef struct mc_method_error {
    size_t pairs;
    double error, shift, shift_se;
} mc_method_error;
bool mc_dahlberg(const double *first, const double *second, size_t pairs, mc_method_error *out);

/* Random-effects mean of several studies (here: patients), each with the variance of its own value,
 * after DerSimonian and Laird, Control Clin Trials 1986;7:177-188. tau2 the variance between them
 * (not below 0), q Cochran's heterogeneity. False where n is 0, a value is not finite or a variance
 * not above 0. */
typedef struct mc_pooled {
    size_t count;
    double mean, se, tau2, q;
} mc_pooled;
bool mc_pool(const double *value, const double *variance, size_t n, mc_pooled *out);

#endif
