/* The arches as seen from the occlusal side. */
#include "arch_draw.h"

#include "words.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

static const double DEGREE = 3.14159265358979323846 / 180;

/* ---- what may be in sight ---- */

enum { FRONT_HALF, BACK_HALF, ALL_OF_IT, PARTS };

/* Room about the crowns for their way and their marks, mm: toward cheek and lip, at the back. */
static const double ROOM_OUTSIDE = 4, ROOM_BEHIND = 1.5;

static const arch_window NO_WINDOW = {INFINITY, -INFINITY, INFINITY, -INFINITY};

static void take_crown(arch_window *w, mc_tooth tooth, const mc_crown *crown) {
    for (int i = 0; i < ARCH_CORNERS; i++) {
        double right, anterior;
        mc_crown_outline(tooth, crown, (double)i / ARCH_CORNERS, &right, &anterior);
        w->low_right = fmin(w->low_right, right);
        w->high_right = fmax(w->high_right, right);
        w->low_anterior = fmin(w->low_anterior, anterior);
        w->high_anterior = fmax(w->high_anterior, anterior);
    }
}

static void give_room(arch_window *w) {
    w->low_right -= ROOM_OUTSIDE;
    w->high_right += ROOM_OUTSIDE;
    w->high_anterior += ROOM_OUTSIDE;
    w->low_anterior -= ROOM_BEHIND;
}

static void frame_tooth(arch_picture *picture, mc_tooth tooth, const mc_crown *crown) {
    enum { SHARED = 4 }; /* the position that is in both halves of its quadrant */
    mc_arch arch = mc_tooth_arch(tooth);
    arch_window *part = picture->part[arch][mc_tooth_is_right(tooth) ? 0 : 1];
    int position = mc_tooth_position(tooth);
    picture->has[arch] = true;
    take_crown(&picture->whole[arch], tooth, crown);
    take_crown(&part[ALL_OF_IT], tooth, crown);
    if (position <= SHARED)
        take_crown(&part[FRONT_HALF], tooth, crown);
    if (position >= SHARED)
        take_crown(&part[BACK_HALF], tooth, crown);
}

void arch_picture_frame(arch_picture *picture, const mc_arches *arches) {
    for (int arch = 0; arch < MC_ARCHES; arch++) {
        picture->has[arch] = false;
        picture->whole[arch] = NO_WINDOW;
        for (int i = 0; i < 2 * PARTS; i++)
            picture->part[arch][i / PARTS][i % PARTS] = NO_WINDOW;
    }
    for (mc_tooth tooth = 0; tooth < MC_TEETH; tooth++)
        if (arches->crown[tooth].stands)
            frame_tooth(picture, tooth, &arches->crown[tooth]);
    for (int arch = 0; arch < MC_ARCHES; arch++) {
        arch_window *w = &picture->whole[arch];
        give_room(w);
        for (int i = 0; i < 2 * PARTS; i++)
            give_room(&picture->part[arch][i / PARTS][i % PARTS]);
        /* the midline is in the middle, so that the arches stand above each other */
        w->high_right = fmax(w->high_right, -w->low_right);
        w->low_right = -w->high_right;
    }
    arch_picture_changed(picture);
}

/* ---- outlines ---- */

void arch_picture_changed(arch_picture *picture) {
    picture->traced = 0;
}

/* The crown where the tooth is, its way from where it should be enlarged. */
static mc_crown enlarged(const arch_tooth *tooth, double by) {
    mc_crown out = tooth->now;
    const mc_crown *wanted = &tooth->wanted;
    out.right = wanted->right + by * (out.right - wanted->right);
    out.anterior = wanted->anterior + by * (out.anterior - wanted->anterior);
    out.turned_deg = wanted->turned_deg + by * (out.turned_deg - wanted->turned_deg);
    return out;
}

static void trace(mc_tooth tooth, const mc_crown *crown, arch_spot out[ARCH_CORNERS]) {
    for (int i = 0; i < ARCH_CORNERS; i++)
        mc_crown_outline(tooth, crown, (double)i / ARCH_CORNERS, &out[i].right, &out[i].anterior);
}

static void trace_all(arch_picture *picture, double enlarge) {
    if (picture->traced == enlarge)
        return;
    for (mc_tooth t = 0; t < MC_TEETH; t++) {
        const arch_tooth *tooth = &picture->tooth[t];
        if (!tooth->wanted.stands)
            continue;
        picture->shown[t] = tooth->now.stands ? enlarged(tooth, enlarge) : tooth->wanted;
        trace(t, &tooth->wanted, picture->wanted[t]);
        trace(t, &picture->shown[t], picture->now[t]);
    }
    picture->traced = enlarge;
}

/* ---- from mm to dots ---- */

/* Where an arch stands on the canvas. */
typedef struct arch_place {
    bool drawn;
    arch_window window;
    double x, y; /* dots: of the window's upper left corner */
    double scale;
    bool front_down;
} arch_place;

static double width_of(const arch_window *w) {
    return w->high_right - w->low_right;
}

static double depth_of(const arch_window *w) {
    return w->high_anterior - w->low_anterior;
}

static canvas_point dots_of(const arch_place *place, double right, double anterior) {
    const arch_window *w = &place->window;
    double down = place->front_down ? anterior - w->low_anterior : w->high_anterior - anterior;
    return (canvas_point){place->x + (w->high_right - right) * place->scale,
                          place->y + down * place->scale};
}

static double fit(double width, double depth, int rows, int cols) {
    return fmin(cols * DOTS_ACROSS / width, rows * DOTS_DOWN / depth);
}

/* One window in the middle of the canvas. */
static void place_window(const arch_window *w, bool front_down, int rows, int cols,
                         arch_place *out) {
    *out = (arch_place){.drawn = true, .window = *w, .front_down = front_down};
    out->scale = fit(width_of(w), depth_of(w), rows, cols);
    out->x = (cols * DOTS_ACROSS - width_of(w) * out->scale) / 2;
    out->y = (rows * DOTS_DOWN - depth_of(w) * out->scale) / 2;
}

/* The quadrant of a tooth, or that half of it in which the tooth stands: whichever is needed for
 * crowns that are worth the zoom. */
static void place_quadrant(const arch_picture *picture, mc_tooth tooth, int rows, int cols,
                           arch_place out[MC_ARCHES]) {
    enum { LAST_IN_FRONT = 4 };
    const double worth = 1.6;
    mc_arch arch = mc_tooth_arch(tooth);
    const arch_window *part = picture->part[arch][mc_tooth_is_right(tooth) ? 0 : 1];
    const arch_window *whole = &picture->whole[arch];
    int half = mc_tooth_position(tooth) <= LAST_IN_FRONT ? FRONT_HALF : BACK_HALF;
    bool lower = arch == MC_LOWER;
    place_window(&part[ALL_OF_IT], lower, rows, cols, &out[arch]);
    if (out[arch].scale < worth * fit(width_of(whole), depth_of(whole), rows, cols))
        place_window(&part[half], lower, rows, cols, &out[arch]);
}

/* The arches in sight above each other, both in one scale. */
static void place_arches(const arch_picture *picture, const bool wanted[MC_ARCHES], int rows,
                         int cols, arch_place out[MC_ARCHES]) {
    double width = 0, depth = 0;
    for (int arch = 0; arch < MC_ARCHES; arch++) {
        out[arch].drawn = wanted[arch] && picture->has[arch];
        if (!out[arch].drawn)
            continue;
        width = fmax(width, width_of(&picture->whole[arch]));
        depth += depth_of(&picture->whole[arch]);
    }
    double scale = fit(width, depth, rows, cols), y = (rows * DOTS_DOWN - depth * scale) / 2;
    for (int arch = 0; arch < MC_ARCHES; arch++) {
        const arch_window *w = &picture->whole[arch];
        if (!out[arch].drawn)
            continue;
        out[arch] = (arch_place){true, *w,    cols * DOTS_ACROSS / 2.0 - width_of(w) / 2 * scale,
                                 y,    scale, arch == MC_LOWER};
        y += depth_of(w) * scale;
    }
}

static void place(const arch_picture *picture, const arch_sight *sight, int rows, int cols,
                  arch_place out[MC_ARCHES]) {
    mc_tooth tooth = sight->selected;
    if (sight->zoom && tooth != MC_NO_TOOTH && picture->tooth[tooth].wanted.stands &&
        picture->has[mc_tooth_arch(tooth)])
        place_quadrant(picture, tooth, rows, cols, out);
    else
        place_arches(picture, sight->arch, rows, cols, out);
}

/* ---- drawing ---- */

/* Everything that a draw hands from part to part. */
typedef struct drawing {
    canvas *on;
    const theme *look;
    arch_picture *picture;
    const arch_sight *sight;
    arch_place place[MC_ARCHES];
} drawing;

static void to_dots(const drawing *d, mc_tooth tooth, const arch_spot *spot,
                    canvas_point out[ARCH_CORNERS]) {
    for (int i = 0; i < ARCH_CORNERS; i++)
        out[i] = dots_of(&d->place[mc_tooth_arch(tooth)], spot[i].right, spot[i].anterior);
}

/* Whether a tooth is drawn so far from where it should be that two outlines can be told apart. */
static bool stands_apart(const drawing *d, mc_tooth tooth) {
    const double least = 0.6; /* of a dot */
    double most = 0;
    for (int i = 0; i < ARCH_CORNERS; i++) {
        const arch_spot *a = &d->picture->wanted[tooth][i], *b = &d->picture->now[tooth][i];
        most = fmax(most, hypot(a->right - b->right, a->anterior - b->anterior));
    }
    return most * d->place[mc_tooth_arch(tooth)].scale > least;
}

static void draw_wanted(const drawing *d, mc_tooth t, style ink) {
    const double apart = 2;
    canvas_point corner[ARCH_CORNERS];
    to_dots(d, t, d->picture->wanted[t], corner);
    canvas_dotted(d->on, corner, ARCH_CORNERS, apart, ink);
}

/* Where a crown faces the cheek: a short way outwards from the middle of that side, in dots. */
static void facing(const drawing *d, mc_tooth t, const mc_crown *crown, canvas_point out[2]) {
    const double from = 0.6, to = 2.4; /* mm from the outline */
    const double side = 0.25;
    double right, anterior;
    mc_crown_outline(t, crown, side, &right, &anterior);
    double x = right - crown->right, y = anterior - crown->anterior, length = hypot(x, y);
    out[0] = dots_of(&d->place[mc_tooth_arch(t)], right + from * x / length,
                     anterior + from * y / length);
    out[1] =
        dots_of(&d->place[mc_tooth_arch(t)], right + to * x / length, anterior + to * y / length);
}

/* A round crown looks the same however it is turned: one that is turned otherwise than it should be
 * has a tick where it faces, and one where it should. */
static void draw_facing(const drawing *d, mc_tooth t) {
    const double least = 1.5, apart = 2; /* dots */
    const double least_scale = 1.6;      /* below that a tick is no more than a blot */
    canvas_point is[2], wanted[2];
    facing(d, t, &d->picture->shown[t], is);
    facing(d, t, &d->picture->tooth[t].wanted, wanted);
    double turned = d->picture->shown[t].turned_deg - d->picture->tooth[t].wanted.turned_deg;
    double scale = d->place[mc_tooth_arch(t)].scale;
    double way = fabs(turned) * DEGREE * d->picture->shown[t].thickness / 2 * scale;
    if (scale < least_scale || !(way > least))
        return;
    canvas_dotted(d->on, wanted, 2, apart, STYLE_FAINT);
    canvas_line(d->on, is[0], is[1], d->picture->tooth[t].ink);
}

/* Where it is; where that is not known, where it should be, the outline dotted. */
static void draw_crown(const drawing *d, mc_tooth t) {
    const arch_tooth *tooth = &d->picture->tooth[t];
    canvas_point corner[ARCH_CORNERS];
    if (tooth->now.stands && stands_apart(d, t))
        draw_wanted(d, t, STYLE_FAINT);
    to_dots(d, t, d->picture->now[t], corner);
    if (tooth->fill != FILL_NONE)
        canvas_wipe(d->on, corner, ARCH_CORNERS);
    canvas_inside(d->on, corner, ARCH_CORNERS, tooth->fill, tooth->ink);
    if (tooth->now.stands && tooth->fill != FILL_NONE)
        draw_facing(d, t);
    if (tooth->now.stands)
        canvas_outline(d->on, corner, ARCH_CORNERS, tooth->ink);
    else
        draw_wanted(d, t, tooth->ink);
}

static bool in_sight(const drawing *d, mc_tooth t) {
    return d->picture->tooth[t].wanted.stands && d->place[mc_tooth_arch(t)].drawn;
}

/* Filled crowns lie on top of the others, the densest on top of all. */
static void draw_crowns(const drawing *d) {
    for (int fill = FILL_NONE; fill < FILLS; fill++)
        for (mc_tooth t = 0; t < MC_TEETH; t++)
            if (in_sight(d, t) && (int)d->picture->tooth[t].fill == fill)
                draw_crown(d, t);
}

/* A number without its quadrant where arch and side are seen anyway. */
static void number_text(const arch_sight *sight, mc_tooth tooth, char out[4]) {
    mc_tooth_text(sight->notation, tooth, out);
    if (sight->notation == MC_NOTATION_QUADRANT && !sight->zoom)
        memmove(out, out + 2, 2);
}

/* Where the number begins: in the middle of the crown that is drawn. */
static void draw_number(const drawing *d, mc_tooth t, int cell[2]) {
    char text[4];
    const arch_tooth *tooth = &d->picture->tooth[t];
    const mc_crown *crown = &d->picture->shown[t];
    canvas_point middle = dots_of(&d->place[mc_tooth_arch(t)], crown->right, crown->anterior);
    number_text(d->sight, t, text);
    int length = (int)strlen(text);
    int row = (int)floor(middle.y / DOTS_DOWN);
    int col = (int)floor(middle.x / DOTS_ACROSS - length / 2.0 + 0.5);
    style ink = t == d->sight->selected ? STYLE_SELECTED : tooth->ink;
    canvas_text(d->on, row, col, ink, text);
    bool inside = row >= 0 && row < d->on->rows && col >= 0 && col + length <= d->on->cols;
    cell[0] = inside ? row : -1;
    cell[1] = inside ? col : -1;
}

/* A corner of an outline may give way to a mark. */
static bool is_free(const canvas *on, int row, int col) {
    const canvas_cell *cell = &on->cell[(size_t)row * CANVAS_COLS + (size_t)col];
    unsigned dots = cell->line | cell->points | cell->inside;
    bool few = (dots & (dots - 1)) == 0; /* one at most */
    return few && cell->text[0] == '\0';
}

/* In the first free cell on the way from the crown outwards. */
static void draw_flag(const drawing *d, mc_tooth t) {
    enum { MOST_STEPS = 6 };
    const arch_tooth *tooth = &d->picture->tooth[t];
    const mc_crown *crown = &d->picture->shown[t];
    const arch_place *at = &d->place[mc_tooth_arch(t)];
    double away = crown->thickness / 2 + 1 / at->scale;
    double right = cos(crown->outward_deg * DEGREE), front = sin(crown->outward_deg * DEGREE);
    for (int i = 0; i < MOST_STEPS; i++, away += 1 / at->scale) {
        canvas_point spot =
            dots_of(at, crown->right + away * right, crown->anterior + away * front);
        int row = (int)floor(spot.y / DOTS_DOWN), col = (int)floor(spot.x / DOTS_ACROSS);
        if (row < 0 || col < 0 || row >= d->on->rows || col >= d->on->cols)
            return;
        if (is_free(d->on, row, col)) {
            canvas_text(d->on, row, col, tooth->ink, theme_mark(d->look, tooth->flag));
            return;
        }
    }
}

static void draw_caption(const drawing *d, mc_arch arch) {
    const char *text = d->sight->caption[arch];
    const arch_place *at = &d->place[arch];
    if (!text || d->sight->zoom)
        return;
    const double behind = 0.4; /* of the arch's depth, from its back */
    canvas_point middle = dots_of(at, 0, at->window.low_anterior + behind * depth_of(&at->window));
    canvas_text(d->on, (int)(middle.y / DOTS_DOWN),
                (int)(middle.x / DOTS_ACROSS) - (int)strlen(text) / 2, STYLE_PLAIN, text);
}

static double chosen_enlargement(double scale) {
    const double dots_to_show = 3, most = 3;
    return fmin(fmax(ceil(dots_to_show / scale - 1e-9), 1), most);
}

const canvas *arch_draw_on_canvas(const theme *look, arch_picture *picture, const arch_sight *sight,
                                  int rows, int cols, arch_drawn *drawn, int number[MC_TEETH][2]) {
    static canvas on;
    drawing d = {&on, look, picture, sight, {{0}}};
    *drawn = (arch_drawn){0, 1, -1, -1};
    for (mc_tooth t = 0; t < MC_TEETH; t++)
        number[t][0] = number[t][1] = -1;
    canvas_clear(&on, rows, cols);
    place(picture, sight, on.rows, on.cols, d.place);
    for (int arch = 0; arch < MC_ARCHES; arch++)
        if (d.place[arch].drawn)
            drawn->dots_per_mm = d.place[arch].scale;
    if (drawn->dots_per_mm <= 0)
        return &on;
    drawn->enlarge = sight->enlarge > 0 ? sight->enlarge : chosen_enlargement(drawn->dots_per_mm);
    trace_all(picture, drawn->enlarge);
    draw_crowns(&d);
    for (mc_tooth t = 0; t < MC_TEETH; t++)
        if (in_sight(&d, t))
            draw_number(&d, t, number[t]);
    for (mc_tooth t = 0; t < MC_TEETH; t++)
        if (in_sight(&d, t) && picture->tooth[t].flag != MARKS)
            draw_flag(&d, t);
    for (int arch = 0; arch < MC_ARCHES; arch++)
        if (d.place[arch].drawn)
            draw_caption(&d, (mc_arch)arch);
    return &on;
}

void arch_draw(const theme *look, arch_picture *picture, const arch_sight *sight, area box,
               arch_drawn *drawn) {
    int number[MC_TEETH][2];
    const canvas *on = arch_draw_on_canvas(look, picture, sight, box.rows, box.cols, drawn, number);
    canvas_put(look, on, box.row, box.col);
    mc_tooth tooth = sight->selected;
    if (tooth == MC_NO_TOOTH || number[tooth][0] < 0)
        return;
    drawn->row = box.row + number[tooth][0];
    drawn->col = box.col + number[tooth][1];
}
