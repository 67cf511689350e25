/* The form of an arch: the beta function by the way along it.
 *
 * The curve stands upright at its ends, where its slope has no bound. Written by v, 0 at the end
 * and 1 at the midline, with x = width/2 (1 - v^5), both coordinates and their slopes are smooth
 * all the way, so that Gauss and Legendre's rule gives its length to the last digits. */
#include "midcourse/dentition.h"

#include <math.h>

static const double PI = 3.14159265358979323846;
static const double FACTOR = 3.0314, EXPONENT = 0.8;

enum { PANELS = 8, HALF_NODES = 8 };

/* Gauss and Legendre's rule of 16 points on -1 to 1, its positive half. */
static const double node[HALF_NODES] = {
    0.0950125098376374401853193354249581, 0.2816035507792589132304605014604961,
    0.4580167776572273863424194429835776, 0.6178762444026437484466717640487910,
    0.7554044083550030338951011948474422, 0.8656312023878317438804678977123931,
    0.9445750230732325760779884155346083, 0.9894009349916499325961541734503326};
static const double weight[HALF_NODES] = {
    0.1894506104550684962853967232082831, 0.1826034150449235888667636679692199,
    0.1691565193950025381893120790303599, 0.1495959888165767320815017305474786,
    0.1246289712555338720524762821920164, 0.0951585116824927848099251076022462,
    0.0622535239386478928628438369943777, 0.0271524594117540948517805724560181};

/* No source was seen that says how deep an arch is to its second molars' distal ends for its width
 * there. Mina et al., Odontology 2017;105:229-236 (the abstract was
 * seen), give means to the first molars: between their buccal faces 57.92 mm above and 54.19 below,
 * their depth 31.59 and 28.10. With these proportions the usual crowns stand so on the form; a test
 * in tests/published holds that. */
double mc_arch_form_proportion(mc_arch arch) {
    return arch == MC_UPPER ? 0.866 : 0.852;
}

/* How x and y grow with v; x to the right of the midline. */
static void slopes(const mc_arch_form *form, double v, double *dx, double *dy) {
    const double v2 = v * v, v4 = v2 * v2, z = v4 * v;
    *dx = -2.5 * form->width * v4;
    /* d/dv of ((1 - z/2) z/2)^0.8, z = v^5: the power -0.2 of z/2 is 2^0.2 / v */
    *dy = FACTOR * form->depth * EXPONENT * pow((1 - z / 2) / 2, EXPONENT - 1) * 2.5 * v2 * v *
          (1 - z);
}

static double speed(const mc_arch_form *form, double v) {
    double dx, dy;
    slopes(form, v, &dx, &dy);
    return sqrt(dx * dx + dy * dy); /* mm: nothing that hypot is slow for */
}

/* The length between two values of v, close enough together for one panel of the rule. */
static double length_between(const mc_arch_form *form, double low, double high) {
    const double middle = (low + high) / 2, half = (high - low) / 2;
    double sum = 0;
    for (int i = 0; i < HALF_NODES; i++) {
        sum += weight[i] *
               (speed(form, middle - half * node[i]) + speed(form, middle + half * node[i]));
    }
    return sum * half;
}

double mc_arch_form_length(const mc_arch_form *form) {
    double length = 0;
    for (int i = 0; i < PANELS; i++) {
        length += length_between(form, (double)i / PANELS, (double)(i + 1) / PANELS);
    }
    return 2 * length;
}

/* The v at a way from the midline within a panel that ends at `high`, nearer the midline, and is
 * so long. Newton's steps: one smaller than this share leaves nothing to find. */
static double within_panel(const mc_arch_form *form, double high, double way, double length) {
    static const double LAST_STEP = 1e-9;
    double low = high - 1.0 / PANELS, most = high;
    double v = high - way / length / PANELS;
    for (int i = 0; i < 60 && most - low > 0; i++) {
        const double beyond = length_between(form, v, high) - way;
        if (beyond > 0) {
            low = v;
        } else {
            most = v;
        }
        const double slope = speed(form, v), next = slope > 0 ? v + beyond / slope : v;
        const bool last = fabs(next - v) <= LAST_STEP * v;
        v = next >= low && next <= most ? next : (low + most) / 2;
        if (last) {
            break;
        }
    }
    return v;
}

/* The v at a way from the midline; *beyond is what is left of it past the form's end. */
static double v_at(const mc_arch_form *form, double way, double *beyond) {
    *beyond = 0;
    if (way == 0) {
        return 1;
    }
    for (int i = PANELS; i > 0; i--) {
        const double high = (double)i / PANELS;
        const double length = length_between(form, high - 1.0 / PANELS, high);
        if (way <= length) {
            return within_panel(form, high, way, length);
        }
        way -= length;
    }
    *beyond = way;
    return 0;
}

void mc_arch_form_at(const mc_arch_form *form, double way, double *right, double *anterior,
                     double *outward_deg) {
    double beyond, dx, dy, outward = 90;
    const double v = v_at(form, fabs(way), &beyond), z = pow(v, 5);
    const double x = form->width / 2 * (1 - z);
    const double y = FACTOR * form->depth * pow((1 - z / 2) * z / 2, EXPONENT);
    if (way != 0) { /* a quarter turn from the way back to the end, where it goes straight back */
        slopes(form, v, &dx, &dy);
        outward = v > 0 ? atan2(-dx, dy) * 180 / PI : 0;
    }
    *anterior = y - beyond;
    *right = way < 0 ? -x : x;
    *outward_deg = way < 0 ? 180 - outward : outward;
}
