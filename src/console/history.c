/* The history screen: the journal of a case in sentences, the latest first, as the chart has its
 * check-ups and decisions. */
#include "history.h"

#include "midcourse/exchange.h"

#include <curses.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

typedef struct history {
    mc_case kase;
    mc_deed *list; /* oldest first */
    size_t count;
    int selected, top; /* places on the screen's list: 0 is the latest */
    int rows;          /* of the list when it was last drawn */
} history;

/* ---- drawing ---- */

enum { WHEN_COL = 1, WHO_COL = 19, TEXT_COL = 29, MOST_TEXT = 110 };

static const mc_deed *deed_at(const history *h, int place) {
    return &h->list[h->count - 1 - (size_t)place];
}

static int text_columns(int cols) {
    int room = cols - TEXT_COL - 1;
    return room < MOST_TEXT ? room : MOST_TEXT;
}

static int rows_of(const console *con, const mc_deed *deed, int cols) {
    char line[4 * MOST_TEXT + 30];
    const char *text = deed->sentence;
    int rows = 0;
    while (mc_text_line(&text, text_columns(cols), con->theme.ascii, line, sizeof line))
        rows++;
    return rows > 0 ? rows : 1;
}

/* The selected entry stands on the screen whole, or from its first line on. */
static void scroll_to(const console *con, history *h, area box) {
    if (h->top > h->selected)
        h->top = h->selected;
    int rows = 0;
    for (int place = h->top; place <= h->selected; place++)
        rows += rows_of(con, deed_at(h, place), box.cols);
    while (rows > box.rows && h->top < h->selected)
        rows -= rows_of(con, deed_at(h, h->top++), box.cols);
}

static int draw_deed(const console *con, const mc_deed *deed, area box, bool selected) {
    const theme *look = &con->theme;
    put_format(look, box.row, box.col + WHEN_COL, WHO_COL - WHEN_COL - 1, STYLE_PLAIN, "%.10s %.5s",
               deed->at, strlen(deed->at) > 11 ? deed->at + 11 : "");
    put(look, box.row, box.col + WHO_COL, TEXT_COL - WHO_COL - 1, STYLE_PLAIN,
        deed->by[0] ? deed->by : theme_mark(look, MARK_NOT_READ));
    int rows =
        put_wrapped(look, (area){box.row, box.col + TEXT_COL, box.rows, text_columns(box.cols)},
                    STYLE_PLAIN, deed->sentence);
    rows = rows > 0 ? rows : 1;
    if (selected)
        paint_over(look, (area){box.row, box.col, rows, TEXT_COL + text_columns(box.cols) + 1},
                   STYLE_SELECTED);
    return rows;
}

static void draw(console *con, void *self, area body) {
    history *h = self;
    const theme *look = &con->theme;
    put(look, body.row, body.col + WHEN_COL, 16, STYLE_HEADING, "UTC");
    put(look, body.row, body.col + WHO_COL, 8, STYLE_HEADING, "by");
    put(look, body.row, body.col + TEXT_COL, 20, STYLE_HEADING, "what was done");
    area list = {body.row + 1, body.col, body.rows - 1, body.cols};
    h->rows = list.rows;
    if (h->count == 0) {
        put(look, list.row, WHEN_COL, 40, STYLE_PLAIN, "nothing yet");
        return;
    }
    scroll_to(con, h, list);
    int row = list.row, end = list.row + list.rows, place = h->top;
    for (; place < (int)h->count && row < end; place++) {
        const mc_deed *deed = deed_at(h, place);
        if (row + rows_of(con, deed, list.cols) > end && place > h->selected)
            break; /* entries stand whole */
        row +=
            draw_deed(con, deed, (area){row, list.col, end - row, list.cols}, place == h->selected);
    }
    int more = (int)h->count - place;
    if (more > 0 && con->status[0] == '\0')
        frame_say(con, "%d earlier below", more);
}

static void title(const console *con, const void *self, char *left, size_t size) {
    const history *h = self;
    enum { NAME_COLS = 28 };
    char label[MC_LABEL_SIZE], name[400];
    mc_case_label(&h->kase, label);
    mc_text_fit(frame_name(con, &h->kase), NAME_COLS, con->theme.ascii, name, sizeof name);
    snprintf(left, size, "%s %s  history, the latest first", label, name);
}

static void close_history(void *self) {
    history *h = self;
    mc_deeds_free(h->list, h->count);
    free(h);
}

/* ---- keys ---- */

static void select_place(history *h, int place) {
    int last = (int)h->count - 1;
    place = place > last ? last : place;
    h->selected = place < 0 ? 0 : place;
}

static void up(console *con, void *self) {
    history *h = self;
    (void)con;
    select_place(h, h->selected - 1);
}

static void down(console *con, void *self) {
    history *h = self;
    (void)con;
    select_place(h, h->selected + 1);
}

static void page_up(console *con, void *self) {
    history *h = self;
    (void)con;
    select_place(h, h->selected - h->rows / 2);
}

static void page_down(console *con, void *self) {
    history *h = self;
    (void)con;
    select_place(h, h->selected + h->rows / 2);
}

static void latest(console *con, void *self) {
    (void)con;
    select_place(self, 0);
}

static void first(console *con, void *self) {
    history *h = self;
    (void)con;
    select_place(h, (int)h->count);
}

static void look_further(console *con, void *self) {
    const history *h = self;
    if (h->count == 0)
        return;
    const mc_deed *deed = deed_at(h, h->selected);
    if (deed->decision[0])
        history_show_decision(con, &h->kase, deed);
    else if (deed->checkup > 0 && deed->version > 0)
        history_show_checkup(con, &h->kase, deed);
    else
        frame_say(con, "All that is kept of this stands here.");
}

static const key_row KEYS[] = {
    {KEY_ESC, 'q', "Esc", "back", "back to the chart (q too)", frame_back},
    {KEY_DOWN, 'j', "Down", "earlier", "to what was done before (j too)", down},
    {KEY_UP, 'k', "Up", "later", "to what was done after (k too)", up},
    {'\n', 'w', "Enter", "look",
     "of a signed decision what the doctor saw, of a check-up its readings (w too)", look_further},
    {KEY_NPAGE, 0, "PgDn", NULL, "half a page on", page_down},
    {KEY_PPAGE, 0, "PgUp", NULL, "half a page back", page_up},
    {KEY_HOME, 0, "Home", NULL, "to the latest", latest},
    {KEY_END, 0, "End", NULL, "to the first", first},
    {0}};

static const screen_ops OPS = {
    .name = "history", .keys = KEYS, .title = title, .draw = draw, .close = close_history};

void history_open(console *con, const mc_case *kase) {
    mc_error error = {0};
    history *h = calloc(1, sizeof *h);
    if (!h) {
        frame_say(con, "Out of memory.");
        return;
    }
    h->kase = *kase;
    if (mc_history(con->practice, kase, &h->list, &h->count, &error) != MC_OK) {
        frame_refuse(con, &error);
        free(h);
        return;
    }
    frame_open(con, &OPS, h);
}
