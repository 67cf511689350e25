/* The share of a planned movement that teeth deliver, from published studies. The figures stand in
 * fixtures/published.csv with their sources; tests/published/test_share.c derives this table's
 * answers from that file anew. */
#include "midcourse/tracking.h"

#include <math.h>

enum { EITHER_ARCH = -1, ANY_POSITION = 0 };
enum {
    CENTRALS = 1 << MC_CENTRAL,
    LATERALS = 1 << MC_LATERAL,
    CANINES = 1 << MC_CANINE,
    PREMOLARS = 1 << MC_FIRST_PREMOLAR | 1 << MC_SECOND_PREMOLAR,
    MOLARS = 1 << MC_MOLAR,
    INCISORS = CENTRALS | LATERALS,
    ANTERIOR = INCISORS | CANINES,
    ROUND = CANINES | PREMOLARS,
    ALL = ANTERIOR | PREMOLARS | MOLARS
};
enum { ALL_MOVEMENTS = MC_MOVEMENTS };

typedef struct {
    int arch;     /* mc_arch or EITHER_ARCH */
    int classes;  /* bits of mc_tooth_class */
    int position; /* 1..8, or ANY_POSITION */
    int movement; /* mc_movement, or ALL_MOVEMENTS */
    double percent;
    bool from_memory;
} figure;

static const figure FIGURES[] = {
    /* Lombardo et al. Prog Orthod 2017;18:35 */
    {EITHER_ARCH, ALL, ANY_POSITION, ALL_MOVEMENTS, 73.6, false},
    {EITHER_ARCH, ALL, ANY_POSITION, MC_MOVE_ANGULATION, 82.5, false},
    {EITHER_ARCH, ALL, ANY_POSITION, MC_MOVE_TIPPING, 72.9, false},
    {EITHER_ARCH, ALL, ANY_POSITION, MC_MOVE_ROTATION, 66.8, false},
    {MC_UPPER, MOLARS, ANY_POSITION, MC_MOVE_ANGULATION, 93.4, false},
    {MC_LOWER, PREMOLARS, ANY_POSITION, MC_MOVE_ANGULATION, 96.7, false},
    {MC_LOWER, CANINES, ANY_POSITION, MC_MOVE_ROTATION, 54.2, false},
    /* Simon et al. BMC Oral Health 2014;14:68 */
    {EITHER_ARCH, ALL, ANY_POSITION, ALL_MOVEMENTS, 59, false},
    {MC_UPPER, INCISORS, ANY_POSITION, MC_MOVE_TORQUE, 42, false},
    {EITHER_ARCH, PREMOLARS, ANY_POSITION, MC_MOVE_ROTATION, 40, false},
    {MC_UPPER, MOLARS, ANY_POSITION, MC_MOVE_DISTAL, 87, false},
    /* Bilello et al. Prog Orthod 2022;23:12 */
    {EITHER_ARCH, ALL, ANY_POSITION, MC_MOVE_ROTATION, 86, false},
    {MC_UPPER, CENTRALS, ANY_POSITION, MC_MOVE_ROTATION, 96, false},
    {MC_LOWER, 1 << MC_FIRST_PREMOLAR, ANY_POSITION, MC_MOVE_ROTATION, 70.4, false},
    {EITHER_ARCH, ANTERIOR, ANY_POSITION, MC_MOVE_INTRUSION, 92, false},
    {MC_LOWER, CANINES, ANY_POSITION, MC_MOVE_INTRUSION, 86.7, false},
    {EITHER_ARCH, ALL, ANY_POSITION, MC_MOVE_TIPPING, 93.1, false},
    {MC_UPPER, CENTRALS, ANY_POSITION, MC_MOVE_TIPPING, 80.7, false},
    /* Castroflorio et al. Prog Orthod 2023;24:2; a discrepancy of 0.4 per 1 planned, read as 60 %
       delivered */
    {EITHER_ARCH, ROUND, ANY_POSITION, MC_MOVE_ROTATION, 60, false},
    /* Smith et al. Prog Orthod 2022, doi 10.1186/s40510-022-00433-4 */
    {MC_LOWER, INCISORS, ANY_POSITION, MC_MOVE_ANGULATION, 40, false},
    /* Haouili et al. Am J Orthod Dentofacial Orthop 2020;158:420-425, from memory */
    {EITHER_ARCH, ALL, ANY_POSITION, ALL_MOVEMENTS, 50, true},
    {EITHER_ARCH, ALL, ANY_POSITION, MC_MOVE_TIPPING, 56, true},
    {EITHER_ARCH, ALL, ANY_POSITION, MC_MOVE_ROTATION, 46, true},
    {MC_LOWER, INCISORS, ANY_POSITION, MC_MOVE_INTRUSION, 35, true},
    {MC_UPPER, CANINES, ANY_POSITION, MC_MOVE_ROTATION, 37, true},
    {MC_LOWER, MOLARS, 6, MC_MOVE_ROTATION, 28, true},
    /* Kravitz et al. Am J Orthod Dentofacial Orthop 2009;135:27-35, from memory; lingual
       constriction is lingual */
    {EITHER_ARCH, ANTERIOR, ANY_POSITION, MC_MOVE_LINGUAL, 47.1, true},
    {EITHER_ARCH, ANTERIOR, ANY_POSITION, MC_MOVE_EXTRUSION, 29.6, true},
    /* Angle Orthod 2023;93:375 (extraction cases) */
    {MC_LOWER, CENTRALS, ANY_POSITION, MC_MOVE_INTRUSION, 43, false},
    {MC_LOWER, CENTRALS, ANY_POSITION, MC_MOVE_TIPPING, 75, false},
    {MC_LOWER, CANINES, ANY_POSITION, MC_MOVE_INTRUSION, 60, false},
    {MC_LOWER, CANINES, ANY_POSITION, MC_MOVE_ANGULATION, 53, false},
};
enum { FIGURE_COUNT = sizeof FIGURES / sizeof *FIGURES };

static bool is_for_all_teeth(const figure *f) {
    return f->arch == EITHER_ARCH && f->classes == ALL;
}

static bool group_contains(const figure *f, mc_tooth tooth) {
    return !mc_tooth_is_deciduous(tooth) &&
           (f->arch == EITHER_ARCH || f->arch == (int)mc_tooth_arch(tooth)) &&
           (f->classes & 1 << mc_tooth_class_of(tooth)) &&
           (f->position == ANY_POSITION || f->position == mc_tooth_position(tooth));
}

/* What the figures of one kind come to. */
typedef struct {
    double sum;
    int count;
    bool from_memory;
} figures;

static void count_in(figures *all, const figure *f) {
    all->sum += f->percent;
    all->count++;
    all->from_memory = all->from_memory || f->from_memory;
}

double mc_expected_share(mc_tooth tooth, mc_movement movement, bool *from_memory) {
    figures of_group = {0}, of_all_teeth = {0}, of_everything = {0};
    for (int i = 0; i < FIGURE_COUNT; i++) {
        const figure *f = &FIGURES[i];
        if (f->movement != (int)movement)
            continue;
        if (is_for_all_teeth(f))
            count_in(&of_all_teeth, f);
        else if (group_contains(f, tooth))
            count_in(&of_group, f);
    }
    const figures *best = of_group.count > 0 ? &of_group : &of_all_teeth;
    if (best->count == 0) {
        for (int i = 0; i < FIGURE_COUNT; i++)
            if (FIGURES[i].movement == ALL_MOVEMENTS && is_for_all_teeth(&FIGURES[i]))
                count_in(&of_everything, &FIGURES[i]);
        best = &of_everything;
    }
    if (from_memory)
        *from_memory = best->from_memory;
    return best->sum / best->count / 100;
}

/* Standard deviation between studies about the published mean; assumed. */
static const double BETWEEN_STUDIES_SD = 0.15;

_Static_assert((int)MC_OWN_MOVEMENTS == (int)MC_MOVEMENTS &&
                   (int)MC_OWN_CLASSES == (int)MC_MOLAR + 1,
               "the settings have a share for each class and movement");

double mc_share_for(const mc_settings *settings, mc_tooth tooth, mc_movement movement) {
    const mc_tooth_class of = mc_tooth_class_of(tooth);
    const double published = mc_expected_share(tooth, movement, NULL);
    const double own = settings->own_share[of][movement], se = settings->own_share_se[of][movement];
    if (mc_tooth_is_deciduous(tooth) || own <= 0 || se <= 0)
        return published;
    const double by_studies = 1 / (BETWEEN_STUDIES_SD * BETWEEN_STUDIES_SD);
    const double by_own = 1 / (se * se);
    return (by_studies * published + by_own * own) / (by_studies + by_own);
}

const char *mc_movement_name(mc_movement movement) {
    static const char *const NAME[MC_MOVEMENTS] = {
        "mesial",    "distal",   "buccal",     "lingual", "extrusion",
        "intrusion", "rotation", "angulation", "tipping", "torque"};
    return NAME[movement];
}

/* The pose that gives component c its direction: the last where it reaches the least movement, else
 * the one of the largest |P|, the first of equals. */
static mc_pose directing_pose(const mc_plan *plan, mc_tooth tooth, mc_component c) {
    const mc_plan_row *row = NULL;
    size_t count = mc_plan_tooth_rows(plan, tooth, &row);
    mc_pose best = {{0}};
    if (count == 0)
        return best;
    if (mc_reaches(fabs(row[count - 1].pose.c[c]), mc_component_least(c)))
        return row[count - 1].pose;
    for (size_t i = 0; i < count; i++)
        if (fabs(row[i].pose.c[c]) > fabs(best.c[c]))
            best = row[i].pose;
    return best;
}

mc_movement mc_plan_movement(const mc_plan *plan, mc_tooth tooth, mc_component c) {
    mc_pose pose = directing_pose(plan, tooth, c);
    bool positive = pose.c[c] >= 0;
    switch (c) {
    case MC_MESIAL:
        return positive ? MC_MOVE_MESIAL : MC_MOVE_DISTAL;
    case MC_BUCCAL:
        return positive ? MC_MOVE_BUCCAL : MC_MOVE_LINGUAL;
    case MC_OCCLUSAL:
        return positive ? MC_MOVE_EXTRUSION : MC_MOVE_INTRUSION;
    case MC_ROTATION:
        return MC_MOVE_ROTATION;
    case MC_ANGULATION:
        return MC_MOVE_ANGULATION;
    default:
        return mc_pose_is_root_movement(&pose, MC_INCLINATION,
                                        mc_tooth_usual_size(tooth).root_length)
                   ? MC_MOVE_TORQUE
                   : MC_MOVE_TIPPING;
    }
}
