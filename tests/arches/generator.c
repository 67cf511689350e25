/* Random arches: teeth, targets, starts, tasks. */
#include "generator.h"

#include <stdlib.h>
#include <string.h>

static const double DEGREE = 3.14159265358979323846 / 180;

const char *arch_kind_name(arch_kind kind) {
    static const char *const names[ARCH_KINDS] = {"spaced", "touching", "crowded"};
    return names[kind];
}

static bool chance(random_source *random, double share) {
    return random_unit(random) < share;
}

/* ---- the arch ---- */

/* A piece of a circle, this many degrees on each side, then straight on. */
static const double BEND = 72;

/* The crown put at a way from the midline, positive to the patient's right. */
static mc_crown stand_at(double radius, double way, mc_crown crown) {
    const double side = way < 0 ? -1 : 1;
    const double round = fmin(fabs(way), radius * BEND * DEGREE), angle = round / radius;
    const double straight = fabs(way) - round;
    crown.right = side * (radius * sin(angle) + straight * cos(angle));
    crown.anterior = radius * cos(angle) - straight * sin(angle);
    crown.outward_deg = 90 - side * angle / DEGREE;
    return crown;
}

static mc_tooth tooth_at(mc_arch arch, bool right, int position, bool deciduous) {
    const int quadrant = arch == MC_UPPER ? (right ? 1 : 2) : (right ? 4 : 3);
    return mc_tooth_from_iso(10 * (quadrant + (deciduous ? 4 : 0)) + position);
}

/* Which teeth stand, and the space (mm) that a missing one leaves behind the one before it. */
static void choose_teeth(random_source *random, random_arch *a, double space[ARCH_TEETH]) {
    const bool wisdom = chance(random, 0.1), mixed = chance(random, 0.08);
    double left_open = 0;
    for (int place = 0; place < ARCH_TEETH; place++) {
        const bool right = place < ARCH_TEETH / 2;
        const int position = right ? ARCH_TEETH / 2 - place : place - ARCH_TEETH / 2 + 1;
        const bool deciduous = mixed && position >= 3 && position <= 5 && chance(random, 0.7);
        const mc_tooth tooth = tooth_at(a->arch, right, position, deciduous);
        const bool missing = position > 1 && chance(random, 0.05), kept = chance(random, 0.5);
        if (position == 8 && !wisdom) {
            continue;
        }
        if (missing) {
            left_open += kept ? mc_tooth_usual_size(tooth).crown_width : 0;
            continue;
        }
        space[a->teeth] = left_open;
        left_open = 0;
        a->tooth[a->teeth++] = tooth;
    }
}

static mc_crown crown_of(random_source *random, mc_tooth tooth) {
    const mc_tooth_size size = mc_tooth_usual_size(tooth);
    const double share = 1 + 0.07 * fmax(-2, fmin(2, random_normal(random)));
    return (mc_crown){.stands = true,
                      .width = size.crown_width * share,
                      .thickness = size.crown_thickness * (1 + 0.5 * (share - 1))};
}

/* IPR of every contact; shared between the two teeth, or all on one. */
static void draw_ipr(random_source *random, random_arch *a) {
    const double often[ARCH_KINDS] = {0.03, 0.15, 0.3};
    for (int i = 0; i + 1 < a->teeth; i++) {
        const bool any = chance(random, often[a->kind]), late = chance(random, 0.25);
        const double mm = random_between(random, 0.1, 0.5);
        const int stage = late ? 2 + random_below(random, 8) : random_below(random, 2);
        const double first = random_below(random, 3) / 2.0;
        if (any) {
            const mc_tooth one = a->tooth[i], other = a->tooth[i + 1];
            mc_tooth_ipr *x = &a->ask.ipr[one], *y = &a->ask.ipr[other];
            *(mc_tooth_is_right(one) ? &x->mesial : &x->distal) = (mc_ipr){first * mm, stage};
            *(mc_tooth_is_right(other) ? &y->distal : &y->mesial) =
                (mc_ipr){(1 - first) * mm, stage};
        }
    }
}

/* By how much crown i is to overlap the one before at the target. */
static double wanted_overlap(random_source *random, const random_arch *a, int i, double space) {
    const double gap = random_between(random, 0.2, 1.2), wrong = random_between(random, 0.06, 0.3);
    const bool mistake = a->kind == CROWDED && chance(random, 0.005);
    return -space + (a->kind == SPACED ? -gap : 0) + arch_ipr_by(a, i - 1, 1, 1) +
           (mistake ? wrong : 0);
}

/* Each crown along the form until it stands to the one before as wanted. */
static void place_targets(random_source *random, random_arch *a, const double space[ARCH_TEETH]) {
    double length = 0;
    for (int i = 0; i < a->teeth; i++) {
        mc_crown crown = crown_of(random, a->tooth[i]);
        crown.turned_deg = chance(random, 0.3) ? random_between(random, -4, 4) : 0;
        a->target[a->tooth[i]] = crown;
        length += crown.width + space[i] + (a->kind == SPACED ? 0.7 : 0);
    }
    const double radius = 0.2 * length;
    double way = length / 2;
    for (int i = 0; i < a->teeth; i++) {
        mc_crown *crown = &a->target[a->tooth[i]];
        const double wanted = i > 0 ? wanted_overlap(random, a, i, space[i]) : 0;
        double near = way, far = i > 0 ? way - 40 : way;
        for (int k = 0; k < 60; k++) {
            const double middle = (near + far) / 2;
            *crown = stand_at(radius, middle, *crown);
            if (i > 0 && mc_crown_overlap(a->tooth[i - 1], &a->target[a->tooth[i - 1]], a->tooth[i],
                                          crown) > wanted) {
                near = middle;
            } else {
                far = middle;
            }
        }
        way = far;
        *crown = stand_at(radius, way, *crown);
    }
}

/* ---- the starts ---- */

static double up_to(random_source *random, double share, double most) {
    const double amount = random_between(random, -most, most);
    return chance(random, share) ? amount : 0;
}

/* What remains for a tooth, whatever stands beside it. `wider` grows when it finds no place. */
static mc_pose draw_remaining(random_source *random, const random_arch *a, double wider) {
    const double mesial[ARCH_KINDS] = {1.2, 0.8, 2.2}, buccal[ARCH_KINDS] = {1, 0.8, 2};
    const double rotation[ARCH_KINDS] = {12, 12, 30};
    mc_pose r = {{0}};
    r.c[MC_MESIAL] = up_to(random, 0.85, mesial[a->kind]) - (a->kind == CROWDED ? 0.5 : 0);
    r.c[MC_BUCCAL] = up_to(random, 0.85, buccal[a->kind] * wider);
    r.c[MC_ROTATION] = up_to(random, 0.7, rotation[a->kind]);
    r.c[MC_OCCLUSAL] = up_to(random, 0.3, 1);
    r.c[MC_ANGULATION] = up_to(random, 0.4, 8);
    r.c[MC_INCLINATION] = up_to(random, 0.4, 10);
    return r;
}

static mc_crown back_from(mc_tooth tooth, const mc_crown *target, const mc_pose *remaining) {
    mc_pose back;
    for (int c = 0; c < MC_COMPONENTS; c++) {
        back.c[c] = -remaining->c[c];
    }
    return mc_crown_moved(tooth, target, &back);
}

/* How deep a start of tooth i runs into those of the two on either side. */
static double runs_in(const random_arch *a, int i, const mc_crown *start) {
    double most = -INFINITY;
    for (int other = i < 2 ? 0 : i - 2; other <= i + 2 && other < a->teeth; other++) {
        if (other != i) {
            const mc_tooth tooth = a->tooth[other];
            most = fmax(most, mc_crown_overlap(tooth, &a->ask.crown[tooth], a->tooth[i], start));
        }
    }
    return most;
}

/* A lateral behind its canine: the lateral goes out, the canine goes distally and in. */
static void lateral_behind(random_source *random, mc_tooth tooth, mc_pose *r) {
    const mc_tooth_class class = mc_tooth_class_of(tooth);
    const double along = random_between(random, 0.5, 2.5), out = random_between(random, 1.5, 3);
    if (class == MC_LATERAL) {
        r->c[MC_BUCCAL] = out;
        r->c[MC_MESIAL] = along / 4;
    } else if (class == MC_CANINE) {
        r->c[MC_BUCCAL] = -out;
        r->c[MC_MESIAL] = -along;
    }
}

/* Now and then the present pose is not stage 0 of the plan, and what remains is between the two. */
static void set_task(random_source *random, random_arch *a, mc_tooth tooth, mc_pose *remaining) {
    mc_remaining_task *task = &a->ask.task[tooth];
    const bool under_way = chance(random, 0.3);
    for (int c = 0; c < MC_COMPONENTS; c++) {
        const double most = mc_component_is_linear((mc_component)c) ? 1 : 6;
        const double present = random_between(random, -most, most);
        task->present.c[c] = under_way ? present : 0;
    }
    if (mc_pose_compose(&task->present, remaining, &task->target, NULL) != MC_OK ||
        mc_pose_between(&task->present, &task->target, remaining, NULL) != MC_OK) {
        abort(); /* such angles are far from 90 deg */
    }
    task->move = true;
    if (chance(random, 0.04)) {
        task->limit[MC_ROTATION] = 0.8;
        task->limit[MC_MESIAL] = 0.1;
    }
}

/* Another start for a tooth: the first of so many that runs into nothing by more than a little;
 * else it keeps the one it has. */
static void draw_start(random_source *random, random_arch *a, int i, bool behind) {
    enum { TRIES = 40 };
    const mc_tooth tooth = a->tooth[i];
    const bool lapped = chance(random, 0.05);
    const double little = lapped ? random_between(random, 0, 0.3) : 0.02;
    bool found = false;
    for (int k = 0; k < TRIES && !found; k++) {
        mc_pose r = draw_remaining(random, a, 1 + k / (TRIES / 1.0));
        if (behind) {
            lateral_behind(random, tooth, &r);
        }
        const mc_crown start = back_from(tooth, &a->target[tooth], &r);
        found = runs_in(a, i, &start) <= little;
        if (found) {
            a->remaining[tooth] = r;
            a->ask.crown[tooth] = start;
        }
    }
}

/* From the targets, where all stand in a row, tooth by tooth to other places and again. */
static void draw_starts(random_source *random, random_arch *a) {
    enum { PASSES = 4 };
    bool stays[ARCH_TEETH];
    const bool story = a->kind == CROWDED && chance(random, 0.5), right = chance(random, 0.5);
    for (int i = 0; i < a->teeth; i++) {
        a->ask.crown[a->tooth[i]] = a->target[a->tooth[i]];
        stays[i] = chance(random, 0.1);
    }
    for (int k = 0; k < PASSES * a->teeth; k++) {
        const int i = k % a->teeth;
        if (!stays[i]) {
            draw_start(random, a, i, story && mc_tooth_is_right(a->tooth[i]) == right);
        }
    }
    for (int i = 0; i < a->teeth; i++) {
        const mc_tooth tooth = a->tooth[i];
        if (!stays[i]) {
            set_task(random, a, tooth, &a->remaining[tooth]);
            a->ask.crown[tooth] = back_from(tooth, &a->target[tooth], &a->remaining[tooth]);
        }
    }
}

void arch_draw(arch_kind kind, uint64_t seed, int number, random_arch *out) {
    random_source random = random_seed(seed * 1000003 + (uint64_t)number * ARCH_KINDS + kind);
    double space[ARCH_TEETH] = {0};
    memset(out, 0, sizeof *out);
    out->kind = kind;
    out->arch = chance(&random, 0.5) ? MC_UPPER : MC_LOWER;
    out->ask.check_overlap = true;
    choose_teeth(&random, out, space);
    draw_ipr(&random, out);
    place_targets(&random, out, space);
    draw_starts(&random, out);
    for (mc_tooth tooth = 0; tooth < MC_TEETH; tooth++) {
        out->ask.task[tooth].gone = !out->ask.crown[tooth].stands;
    }
}

/* ---- the same arch otherwise ---- */

random_arch arch_mirrored(const random_arch *a) {
    random_arch out = *a;
    memset(&out.ask, 0, sizeof out.ask);
    out.ask.check_overlap = a->ask.check_overlap;
    for (int i = 0; i < a->teeth; i++) {
        out.tooth[a->teeth - 1 - i] = mc_tooth_mirror(a->tooth[i]);
    }
    for (mc_tooth tooth = 0; tooth < MC_TEETH; tooth++) {
        const mc_tooth to = mc_tooth_mirror(tooth);
        out.ask.task[to] = a->ask.task[tooth];
        out.ask.ipr[to] = a->ask.ipr[tooth];
        out.remaining[to] = a->remaining[tooth];
        out.ask.crown[to] = a->ask.crown[tooth];
        out.target[to] = a->target[tooth];
        mc_crown *const crowns[] = {&out.ask.crown[to], &out.target[to]};
        for (int k = 0; k < 2; k++) {
            crowns[k]->right = -crowns[k]->right;
            crowns[k]->outward_deg = 180 - crowns[k]->outward_deg;
        }
    }
    return out;
}

static void place_crown(mc_crown *crown, double turn_deg, double right, double anterior) {
    const double c = cos(turn_deg * DEGREE), s = sin(turn_deg * DEGREE);
    const double x = crown->right, y = crown->anterior;
    crown->right = c * x - s * y + right;
    crown->anterior = s * x + c * y + anterior;
    crown->outward_deg += turn_deg;
}

random_arch arch_placed(const random_arch *a, double turn_deg, double right, double anterior) {
    random_arch out = *a;
    for (int i = 0; i < a->teeth; i++) {
        place_crown(&out.ask.crown[a->tooth[i]], turn_deg, right, anterior);
        place_crown(&out.target[a->tooth[i]], turn_deg, right, anterior);
    }
    return out;
}

/* ---- IPR ---- */

/* Whether the side of tooth i that faces the next one, or the one before, is its mesial one. */
static bool is_mesial(const random_arch *a, int i, bool next) {
    return mc_tooth_is_right(a->tooth[i]) == next;
}

static mc_ipr *side_of(mc_tooth_ipr *of, bool mesial) {
    return mesial ? &of->mesial : &of->distal;
}

double arch_ipr_by(const random_arch *a, int i, int stage, int n) {
    double sum = 0;
    for (int k = 0; k < 2; k++) {
        mc_tooth_ipr of = a->ask.ipr[a->tooth[i + k]];
        const mc_ipr *ipr = side_of(&of, is_mesial(a, i + k, k == 0));
        const int due = ipr->stage < 1 ? 1 : ipr->stage < n ? ipr->stage : n;
        sum += due <= stage ? ipr->mm : 0;
    }
    return sum;
}

void arch_grant(random_arch *a, int i, double mm) {
    mc_ipr *one = side_of(&a->ask.ipr[a->tooth[i]], is_mesial(a, i, true));
    mc_ipr *other = side_of(&a->ask.ipr[a->tooth[i + 1]], is_mesial(a, i + 1, false));
    mc_ipr *to = one->mm > 0 && (other->mm <= 0 || one->stage > other->stage) ? other : one;
    to->mm += mm;
    to->stage = 1;
}
