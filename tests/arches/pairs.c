/* Random neighbours for both searches. */
#include "pairs.h"

#include <string.h>

#include "in_words.h"

extern inline bool comparison_agrees(const comparison *c);

static const double DEGREE = 3.14159265358979323846 / 180;
/* An aligner, where corners are not looked at. */
static const double QUICK_MM = 0.5, QUICK_DEG = 4, THREE_QUICK_MM = 0.9, THREE_QUICK_DEG = 6;

static bool chance(random_source *random, double share) {
    return random_unit(random) < share;
}

/* ---- who, and where they end ---- */

static mc_tooth tooth_along(mc_arch arch, int place) {
    const bool right = place < 8;
    const int quadrant = arch == MC_UPPER ? (right ? 1 : 2) : (right ? 4 : 3);
    return mc_tooth_from_iso(10 * quadrant + (right ? 8 - place : place - 7));
}

static void place_targets(random_source *random, neighbours *n) {
    tried *t = &n->tried;
    const mc_arch arch = chance(random, 0.5) ? MC_UPPER : MC_LOWER;
    const int first = random_below(random, 16 - t->teeth + 1);
    double outward = random_between(random, 20, 160);
    for (int i = 0; i < t->teeth; i++) {
        mc_crown *crown = &t->crown[i];
        const mc_tooth tooth = t->tooth[i] = tooth_along(arch, first + i);
        const mc_tooth_size size = mc_tooth_usual_size(tooth);
        const double ipr = i > 0 && chance(random, 0.2) ? random_between(random, 0.1, 0.5) : 0;
        const double gap = chance(random, 0.8) ? random_between(random, 0.05, 0.2 * t->teeth) : 0;
        *crown = (mc_crown){.stands = true,
                            .outward_deg = outward,
                            .turned_deg = random_between(random, -5, 5),
                            .width = size.crown_width * random_between(random, 0.9, 1.1),
                            .thickness = size.crown_thickness};
        if (i > 0) {
            const double along = (outward + 90 - 6) * DEGREE;
            double near = 0, far = 30;
            for (int k = 0; k < 50; k++) {
                const double way = (near + far) / 2;
                crown->right = crown[-1].right + way * cos(along);
                crown->anterior = crown[-1].anterior + way * sin(along);
                const double depth = mc_crown_overlap(t->tooth[i - 1], crown - 1, tooth, crown);
                *(depth > ipr - gap ? &near : &far) = way;
            }
            t->allowed[i - 1] = 0.05 + ipr;
            mc_tooth_ipr *of = &n->ask.ipr[tooth];
            (mc_tooth_is_right(tooth) ? &of->distal : &of->mesial)->mm = ipr;
        }
        outward += random_between(random, 2, 20);
    }
}

/* ---- their ways ---- */

/* So many steps of the most that components and corner allow in one direction. */
static mc_pose straight_way(random_source *random, const mc_settings *settings, int aligners) {
    const double angle = random_between(random, 0, 360) * DEGREE;
    const double c = cos(angle), s = sin(angle);
    const double step =
        fmin(settings->step_corner_mm, settings->step_mesiodistal_mm / fmax(fabs(c), fabs(s)));
    mc_pose r = {{0}};
    r.c[MC_MESIAL] = aligners * step * c;
    r.c[MC_BUCCAL] = aligners * step * s;
    return r;
}

/* So many steps of a rotation, or of extrusion, with some translation besides. */
static mc_pose other_way(random_source *random, mc_tooth tooth, const mc_settings *settings,
                         int aligners) {
    const double turn =
        mc_tooth_is_round(tooth) ? settings->step_round_rotation_deg : settings->step_rotation_deg;
    const double most =
        (settings->step_corner_mm > 1 ? settings->step_mesiodistal_mm : 0.12) * aligners;
    mc_pose r = {{0}};
    r.c[MC_MESIAL] = random_between(random, -most, most);
    r.c[MC_BUCCAL] = random_between(random, -most, most);
    if (chance(random, 0.85)) {
        r.c[MC_ROTATION] = (chance(random, 0.5) ? turn : -turn) * aligners;
    } else {
        r.c[MC_OCCLUSAL] = 0.15 * aligners;
    }
    return r;
}

/* Whether no step between two places of the grid passes the corner's limit. */
static bool corners_allow(const neighbours *n, int i) {
    const tried *t = &n->tried;
    const int whole = t->aligners[i] * t->cells;
    for (int place = 0; place + t->cells <= whole; place++) {
        const mc_pose before = part_of(&t->remaining[i], (double)place / whole);
        const mc_pose after = part_of(&t->remaining[i], (double)(place + t->cells) / whole);
        if (corners_in_words(t->tooth[i], &before, &after) > n->settings.step_corner_mm + 1e-10) {
            return false;
        }
    }
    return true;
}

static void draw_way(random_source *random, neighbours *n, int i) {
    tried *t = &n->tried;
    const bool stays = chance(random, 0.06), straight = chance(random, 0.5);
    t->aligners[i] = stays ? 0 : 1 + random_below(random, t->teeth == 2 ? 10 : 5);
    do {
        const mc_pose still = {{0}};
        t->remaining[i] = stays      ? still
                          : straight ? straight_way(random, &n->settings, t->aligners[i])
                                     : other_way(random, t->tooth[i], &n->settings, t->aligners[i]);
    } while (!corners_allow(n, i));
}

/* Back along the ways to where they start. */
static void go_back(const tried *targets, tried *t) {
    for (int i = 0; i < t->teeth; i++) {
        const mc_pose back = part_of(&t->remaining[i], -1);
        t->crown[i] = mc_crown_moved(t->tooth[i], &targets->crown[i], &back);
    }
}

static double deepest(const tried *t) {
    double most = -INFINITY;
    for (int i = 0; i + 1 < t->teeth; i++) {
        most = fmax(most,
                    mc_crown_overlap(t->tooth[i], &t->crown[i], t->tooth[i + 1], &t->crown[i + 1]));
    }
    return most;
}

/* Which pairs are wanted: most where the two would meet. */
typedef enum wish { ANY, MEET_SOMEWHERE, MEET_GOING_EVENLY } wish;

static double overlap_of(const tried *t, double share, double other_share) {
    const mc_pose parts[2] = {part_of(&t->remaining[0], share),
                              part_of(&t->remaining[1], other_share)};
    const mc_crown one = mc_crown_moved(t->tooth[0], &t->crown[0], &parts[0]);
    const mc_crown other = mc_crown_moved(t->tooth[1], &t->crown[1], &parts[1]);
    return mc_crown_overlap(t->tooth[0], &one, t->tooth[1], &other);
}

static bool fulfils(const tried *t, wish wanted) {
    enum { PLACES = 8 };
    bool meets = wanted == ANY;
    for (int k = 0; k < PLACES * PLACES && !meets; k++) {
        const int one = k % PLACES, other = k / PLACES;
        meets = (wanted == MEET_SOMEWHERE || one == other) &&
                overlap_of(t, one / (PLACES - 1.0), other / (PLACES - 1.0)) > t->allowed[0] + 0.03;
    }
    return meets;
}

void neighbours_draw(int teeth, uint64_t seed, int number, neighbours *out) {
    enum { TRIES = 250 };
    random_source random = random_seed(seed * 1000003 + (uint64_t)number * 7 + (uint64_t)teeth);
    memset(out, 0, sizeof *out);
    mc_settings_defaults(&out->settings);
    tried *t = &out->tried;
    t->teeth = teeth;
    t->cells = teeth == 2 ? 16 : 10;
    if (chance(&random, 0.75)) {
        out->settings.step_corner_mm = 100;
        out->settings.step_rotation_deg = out->settings.step_round_rotation_deg =
            teeth == 2 ? QUICK_DEG : THREE_QUICK_DEG;
        out->settings.step_mesiodistal_mm = out->settings.step_buccolingual_mm =
            teeth == 2 ? QUICK_MM : THREE_QUICK_MM;
    }
    const double kind = random_unit(&random);
    const wish wanted = kind < 0.1 ? ANY : kind < 0.3 ? MEET_SOMEWHERE : MEET_GOING_EVENLY;
    place_targets(&random, out);
    const tried targets = *t;
    bool found = false;
    for (int k = 0; k < TRIES && !found; k++) {
        for (int i = 0; i < teeth; i++) {
            draw_way(&random, out, i);
        }
        go_back(&targets, t);
        found = deepest(t) < (teeth == 2 ? -0.01 : -0.06) && fulfils(t, wanted);
    }
    out->ask.check_overlap = true;
    for (int i = 0; i + 1 < teeth; i++) {
        t->allowed[i] = fmax(t->allowed[i], mc_crown_overlap(t->tooth[i], &t->crown[i],
                                                             t->tooth[i + 1], &t->crown[i + 1]));
    }
    for (int i = 0; i < teeth; i++) {
        mc_remaining_task *task = &out->ask.task[t->tooth[i]];
        task->target = t->remaining[i];
        task->move = t->aligners[i] > 0;
        out->ask.crown[t->tooth[i]] = t->crown[i];
    }
}

comparison neighbours_compare(const neighbours *n) {
    comparison c = {.meets = false};
    mc_restaged out;
    mc_plan *plan;
    long hits;
    const tried *t = &n->tried;
    c.most = tried_fewest(t, -0.5, &hits);
    c.least = tried_fewest(t, 0.5, NULL);
    c.meets = hits > 0;
    for (int i = 0; i < t->teeth; i++) {
        c.bound = t->aligners[i] > c.bound ? t->aligners[i] : c.bound;
    }
    const mc_status status = mc_restage(&n->settings, &n->ask, &out, &plan, NULL);
    c.found = status == MC_OK ? out.stages[mc_tooth_arch(t->tooth[0])] : TRIED_NONE;
    c.failed = status != MC_OK && !out.blocked;
    mc_plan_free(plan);
    return c;
}
