/* The practice screen: what the practice's ended plans achieved, read case by case while it can be
 * looked at and left, and the errors of its methods. */
#include "practice_screen.h"

#include "pager.h"
#include "practice_view.h"

#include <curses.h>
#include <stdlib.h>

const mc_own_share *practice_share(const practice_view *v, int line) {
    return &v->found.of[v->line[line].of][v->line[line].movement];
}

const char *practice_standing(const mc_own_share *share) {
    return share->taken > 0                      ? "in use"
           : share->can_be_used                  ? "ready"
           : share->patients < MC_LEAST_PATIENTS ? "too few"
                                                 : "no use";
}

/* ---- reading ---- */

/* The line under the cursor stays under it when others come before it. */
static void list_lines(practice_view *v) {
    practice_line at = v->count > 0 ? v->line[v->cursor] : (practice_line){0, 0};
    v->count = 0;
    for (int c = 0; c < MC_OWN_CLASSES; c++)
        for (int m = 0; m < MC_OWN_MOVEMENTS; m++) {
            if (v->found.of[c][m].patients == 0)
                continue;
            if (c == at.of && m == at.movement)
                v->cursor = v->count;
            v->line[v->count++] = (practice_line){c, m};
        }
    if (v->cursor >= v->count)
        v->cursor = v->count > 0 ? v->count - 1 : 0;
}

bool practice_look(console *con, practice_view *v) {
    mc_error error = {0};
    v->change = mc_record_change(mc_practice_record(con->practice));
    mc_status status = mc_own_methods_measure(con->practice, NULL, 0, false, &v->methods, &error);
    if (status == MC_OK && v->work)
        status = mc_accuracy_so_far(v->work, &v->found, &error);
    if (status != MC_OK)
        frame_refuse(con, &error);
    list_lines(v);
    return status == MC_OK;
}

/* Cases are read for a part of a second, with a look for keys between them. */
static bool read_on(console *con, practice_view *v) {
    const double until = terminal_seconds() + 0.2;
    mc_error error = {0};
    mc_status status = MC_OK;
    do
        status = mc_accuracy_step(v->work, &v->done, &v->total, &error);
    while (status == MC_OK && v->done < v->total && !terminal_has_key() &&
           terminal_seconds() < until);
    if (status != MC_OK) {
        mc_accuracy_free(v->work);
        v->work = NULL;
        frame_refuse(con, &error);
        return true;
    }
    practice_look(con, v);
    con->busy = practice_is_reading(v);
    return true;
}

static bool idle(console *con, void *self) {
    practice_view *v = self;
    if (practice_is_reading(v))
        return read_on(con, v);
    if (frame_is_asking(con) || mc_record_change(mc_practice_record(con->practice)) == v->change)
        return false;
    practice_look(con, v); /* settings may have been changed at another console */
    return true;
}

/* ---- the screen ---- */

static void title(const console *con, const void *self, char *left, size_t size) {
    (void)con;
    (void)self;
    snprintf(left, size, "Practice: own accuracy and method errors");
}

static void marks(console *con, void *self, pager *page) {
    (void)con;
    (void)self;
    pager_heading(page, "What the columns are");
    pager_add(page, STYLE_STRONG, "patients",
              "whose closed or superseded plans moved such a tooth so, far enough to be judged");
    pager_add(page, STYLE_STRONG, "own",
              "how much of the planned movement was delivered, in %, pooled over patients; SE is "
              "its standard error");
    pager_add(page, STYLE_STRONG, "SD",
              "how much patients differ: the standard deviation between them, in %");
    pager_add(page, STYLE_STRONG, "published",
              "what studies found; from - to where the teeth of the class differ");
    pager_add(page, STYLE_STRONG, "used now",
              "what is expected of a new plan: published, and where it was taken over the own "
              "share too, each by its precision");
    pager_add(page, STYLE_STRONG, "in use", "a doctor took the own share over");
    pager_add(page, STYLE_STRONG, "ready", "five patients or more: a doctor may take it over (t)");
    pager_add(page, STYLE_STRONG, "too few", "fewer than five patients");
    pager_add(page, STYLE_STRONG, "no use", "a figure that cannot be a share");
    pager_add(page, STYLE_STRONG, "scale",
              "on a wide terminal: the line is what is published, the cross the own share");
}

static void close_view(void *self) {
    practice_view *v = self;
    mc_accuracy_free(v->work);
    free(v);
}

/* ---- keys ---- */

static void move_to(practice_view *v, int place) {
    place = place >= v->count ? v->count - 1 : place;
    v->cursor = place < 0 ? 0 : place;
}

static void down(console *con, void *self) {
    (void)con;
    move_to(self, ((practice_view *)self)->cursor + 1);
}

static void up(console *con, void *self) {
    (void)con;
    move_to(self, ((practice_view *)self)->cursor - 1);
}

static void page_down(console *con, void *self) {
    practice_view *v = self;
    (void)con;
    move_to(v, v->cursor + v->rows);
}

static void page_up(console *con, void *self) {
    practice_view *v = self;
    (void)con;
    move_to(v, v->cursor - v->rows);
}

static void home(console *con, void *self) {
    (void)con;
    move_to(self, 0);
}

static void end(console *con, void *self) {
    (void)con;
    move_to(self, PRACTICE_MOST);
}

static bool begin(console *con, practice_view *v) {
    mc_error error = {0};
    mc_accuracy_work *work = NULL;
    if (mc_accuracy_begin(con->practice, &work, &error) != MC_OK) {
        frame_refuse(con, &error);
        return false;
    }
    mc_accuracy_free(v->work);
    v->work = work;
    v->done = 0;
    v->total = mc_accuracy_cases(work);
    con->busy = practice_is_reading(v);
    return practice_look(con, v);
}

static void read_again(console *con, void *self) {
    if (begin(con, self))
        frame_say(con, "The plans are read again.");
}

static const key_row KEYS[] = {
    {KEY_ESC, 'q', "Esc", "back", "back to the roster; stops reading (q too)", frame_back},
    {KEY_DOWN, 'j', "Down", "next", "a line on (j too)", down},
    {KEY_UP, 'k', "Up", NULL, "a line back (k too)", up},
    {KEY_NPAGE, 0, "PgDn", NULL, "a page on", page_down},
    {KEY_PPAGE, 0, "PgUp", NULL, "a page back", page_up},
    {KEY_HOME, 0, "Home", NULL, "to the first", home},
    {KEY_END, 0, "End", NULL, "to the last", end},
    {'t', 0, "t", "take over", "a doctor takes over every own share that is ready, with a reason",
     practice_take_over},
    {'m', 0, "m", "method errors",
     "how exact the methods are, measured from what was read twice; a doctor may keep it",
     practice_measure},
    {KEY_F(5), 0, "F5", "read again", "read the plans again", read_again},
    {0}};

static const screen_ops OPS = {.name = "practice",
                               .keys = KEYS,
                               .title = title,
                               .draw = practice_draw,
                               .marks = marks,
                               .idle = idle,
                               .close = close_view};

void practice_screen_open(console *con, void *screen) {
    (void)screen;
    practice_view *v = calloc(1, sizeof *v);
    if (!v) {
        frame_say(con, "Out of memory.");
        return;
    }
    if (!begin(con, v)) {
        close_view(v);
        return;
    }
    frame_open(con, &OPS, v);
}
