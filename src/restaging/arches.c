/* Where crowns stand when nobody has measured it: an estimate on the beta function's arch form.
 *
 * Each side is laid out from the midline to the back as if it were the patient's right, and the
 * left mirrored, so that a mirrored mouth has exactly the mirrored arch. */
#include "midcourse/restaging.h"

#include <math.h>

/* How closely overlaps are met and the form's ends are reached, mm. */
static const double OVERLAP_NEAR = 1e-10, END_NEAR = 1e-9;
enum { MOST_STEPS = 100, MOST_FITS = 40, PLACES = 8 };

/* One side of an arch, from the midline outward. */
typedef struct side {
    mc_tooth tooth[PLACES];
    double due[PLACES];   /* overlap with the one before it; of the first with the other side's */
    double way[PLACES];   /* of its centre along the form */
    double apart[PLACES]; /* the way from the one before it, where it was laid out; else 0 */
    int count;
    int to_end;  /* how many stand before the form's end: all but third molars */
    double back; /* usual widths of the teeth to the second molar that do not stand at the back */
} side;

typedef struct arch_of {
    mc_arch arch;
    const mc_tooth_ipr *due;
    mc_arch_form form;
    side side[2]; /* right, left */
} arch_of;

static double width_of(mc_tooth tooth) {
    return mc_tooth_usual_size(tooth).crown_width;
}

static mc_tooth permanent(mc_arch arch, bool right, int position) {
    const int quadrant = arch == MC_UPPER ? (right ? 1 : 2) : (right ? 4 : 3);
    return mc_tooth_from_iso(quadrant * 10 + position);
}

/* IPR due between a tooth and its mesial neighbour. */
static double due_between(const mc_tooth_ipr due[MC_TEETH], mc_tooth mesial, mc_tooth distal) {
    return fmax(due[mesial].distal.mm, 0) + fmax(due[distal].mesial.mm, 0);
}

static side side_of(const bool stands[MC_TEETH], const mc_tooth_ipr due[MC_TEETH], mc_arch arch,
                    bool right) {
    side s = {.count = 0};
    for (int position = 1; position <= PLACES; position++) {
        const mc_tooth tooth = mc_tooth_standing_at(arch, right, position, stands);
        if (tooth != MC_NO_TOOTH) {
            if (s.count > 0) {
                s.due[s.count] = due_between(due, s.tooth[s.count - 1], tooth);
            }
            s.tooth[s.count++] = tooth;
            s.to_end = position < PLACES ? s.count : s.to_end;
        }
    }
    for (int position = 1; position < PLACES && s.to_end > 0; position++) {
        if (position > mc_tooth_position(s.tooth[s.to_end - 1])) {
            s.back += width_of(permanent(arch, right, position));
        }
    }
    return s;
}

/* A tooth's crown on the form, at a way to the side that it stands on. */
static mc_crown crown_on(const mc_arch_form *form, mc_tooth tooth, double way) {
    const mc_tooth_size size = mc_tooth_usual_size(tooth);
    mc_crown crown = {.stands = true, .width = size.crown_width, .thickness = size.crown_thickness};
    mc_arch_form_at(form, mc_tooth_is_right(tooth) ? way : -way, &crown.right, &crown.anterior,
                    &crown.outward_deg);
    return crown;
}

/* Two neighbours that are to overlap by what is due: `own` goes along the form until they do.
 * Across the midline both go outward alike; else the other stays at its way. */
typedef struct pairing {
    const mc_arch_form *form;
    mc_tooth own, other;
    bool across;
    double other_way; /* across: to be added to own's */
    mc_crown other_crown;
    double due;
} pairing;

/* How much more than due they overlap. */
static double beyond_due(const pairing *p, double way) {
    const mc_crown own = crown_on(p->form, p->own, way);
    const mc_crown other =
        p->across ? crown_on(p->form, p->other, way + p->other_way) : p->other_crown;
    return mc_crown_overlap(p->other, &other, p->own, &own) - p->due;
}

/* A way at which they overlap by more than due and one at which they do not. */
typedef struct between {
    double low, at_low, high, at_high;
} between;

/* The way in between at which they overlap by what is due: by the chord, half of the end that stays
 * being given up each time (Illinois). */
static double meeting(const pairing *p, between b) {
    double way = b.high;
    int stayed = 0;
    for (int i = 0; i < MOST_STEPS && b.high - b.low > 1e-13; i++) {
        way = b.high - b.at_high * (b.high - b.low) / (b.at_high - b.at_low);
        const double at = beyond_due(p, way);
        if (fabs(at) <= OVERLAP_NEAR) {
            break;
        }
        if (at > 0) {
            b.low = way;
            b.at_low = at;
            b.at_high = stayed > 0 ? b.at_high / 2 : b.at_high;
            stayed = 1;
        } else {
            b.high = way;
            b.at_high = at;
            b.at_low = stayed < 0 ? b.at_low / 2 : b.at_low;
            stayed = -1;
        }
    }
    return way;
}

/* The way at which they overlap by what is due, no less than `least`; `first` is where to begin. A
 * little more way is about as much less overlap. */
static double paired(const pairing *p, double least, double first) {
    double way = fmax(first, least), at = beyond_due(p, way);
    for (int i = 0; i < MOST_STEPS && fabs(at) > OVERLAP_NEAR; i++) {
        const double before = way, at_before = at;
        way = fmax(way + at * 1.1, least);
        if (way == before) {
            break; /* even side by side they do not overlap by so much */
        }
        at = beyond_due(p, way);
        if ((at > 0) != (at_before > 0)) {
            return meeting(p, at > 0 ? (between){way, at, before, at_before}
                                     : (between){before, at_before, way, at});
        }
    }
    return way;
}

/* The first crown of each side: in contact across the midline, which lies between them; alone, its
 * mesial end there. */
static void lay_out_middle(arch_of *a) {
    side *right = &a->side[0], *left = &a->side[1];
    for (int i = 0; i < 2; i++) {
        side *s = &a->side[i];
        s->way[0] = s->count > 0 ? width_of(s->tooth[0]) / 2 : 0;
    }
    if (right->count > 0 && left->count > 0) {
        const mc_tooth r = right->tooth[0], l = left->tooth[0];
        /* the narrower is `own`, so that a mirrored mouth is computed alike */
        const bool wider_right = right->way[0] > left->way[0];
        side *own = wider_right ? left : right, *other = wider_right ? right : left;
        const pairing p = {.form = &a->form,
                           .own = own->tooth[0],
                           .other = other->tooth[0],
                           .across = true,
                           .other_way = other->way[0] - own->way[0],
                           .due = fmax(a->due[r].mesial.mm, 0) + fmax(a->due[l].mesial.mm, 0)};
        own->way[0] = paired(&p, -p.other_way / 2, own->way[0]);
        other->way[0] = own->way[0] + p.other_way;
    }
}

/* All others of a side, each against the one before it, beginning where it stood before. */
static void lay_out_side(arch_of *a, side *s) {
    for (int i = 1; i < s->count; i++) {
        const mc_tooth own = s->tooth[i], other = s->tooth[i - 1];
        const pairing p = {.form = &a->form,
                           .own = own,
                           .other = other,
                           .other_crown = crown_on(&a->form, other, s->way[i - 1]),
                           .due = s->due[i]};
        const double touching = (width_of(own) + width_of(other)) / 2 - p.due;
        const double apart = s->apart[i] > 0 ? s->apart[i] : touching;
        s->way[i] = paired(&p, s->way[i - 1], s->way[i - 1] + apart);
        s->apart[i] = s->way[i] - s->way[i - 1];
    }
}

/* Lay out both sides on the form as it is. Returns how far the longer one goes along it, mm. */
static double lay_out(arch_of *a) {
    double reach = 0;
    lay_out_middle(a);
    for (int i = 0; i < 2; i++) {
        side *s = &a->side[i];
        lay_out_side(a, s);
        if (s->to_end > 0) {
            const int last = s->to_end - 1;
            reach = fmax(reach, s->way[last] + width_of(s->tooth[last]) / 2 + s->back);
        }
    }
    return reach;
}

static void scale_form(mc_arch_form *form, double half_length) {
    const double scale = half_length / (mc_arch_form_length(form) / 2);
    form->width *= scale;
    form->depth *= scale;
}

/* Half of the usual arch from the midline to the second molar's distal end, mm. */
static double usual_half(mc_arch arch) {
    double widths = 0;
    for (int position = 1; position < PLACES; position++) {
        widths += width_of(permanent(arch, true, position));
    }
    return widths;
}

/* Fit the form to the crowns: its half is to be as long as the longer side, teeth that do not stand
 * at its back being counted, so that the front of an arch that ends early has its usual form. How
 * far crowns reach hardly depends on the form's size: the chord through the last two sizes comes to
 * rest at once. Where hardly any tooth stands the form is half the usual one. */
static void fit(arch_of *a) {
    const double usual = usual_half(a->arch), least = usual / 2;
    double half = usual, before = 0, short_before = 0;
    a->form = (mc_arch_form){.width = 1, .depth = mc_arch_form_proportion(a->arch)};
    for (int i = 0; i < MOST_FITS; i++) {
        scale_form(&a->form, half);
        const double short_by = fmax(lay_out(a), least) - half;
        if (fabs(short_by) <= END_NEAR) {
            break;
        }
        double slope = i == 0 ? -1 : (short_by - short_before) / (half - before);
        slope = slope < -0.3 ? slope : -1;
        before = half;
        short_before = short_by;
        half = fmax(half - short_by / slope, least);
    }
}

/* A deciduous tooth beside its successor is nobody's neighbour: it stands where that one does. */
static double way_of_place(const side *s, mc_tooth tooth) {
    for (int i = 0; i < s->count; i++) {
        if (mc_tooth_position(s->tooth[i]) == mc_tooth_position(tooth)) {
            return s->way[i];
        }
    }
    return 0;
}

void mc_arches_estimate(const bool stands[MC_TEETH], const mc_pose target[MC_TEETH],
                        const mc_tooth_ipr due[MC_TEETH], mc_arches *out) {
    arch_of arches[MC_ARCHES];
    for (int i = 0; i < MC_ARCHES; i++) {
        arch_of *a = &arches[i];
        a->arch = (mc_arch)i;
        a->due = due;
        a->side[0] = side_of(stands, due, a->arch, true);
        a->side[1] = side_of(stands, due, a->arch, false);
        fit(a);
        out->estimated[i] = true;
    }
    for (mc_tooth tooth = 0; tooth < MC_TEETH; tooth++) {
        const arch_of *a = &arches[mc_tooth_arch(tooth)];
        const side *s = &a->side[mc_tooth_is_right(tooth) ? 0 : 1];
        out->at[tooth] = target[tooth];
        out->crown[tooth] = stands[tooth] ? crown_on(&a->form, tooth, way_of_place(s, tooth))
                                          : (mc_crown){.stands = false};
    }
}
