/* A page to read. */
#include "pager.h"

#include "midcourse/exchange.h"

#include <curses.h>
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum { LABEL_COLS = 18, TEXT_COLS = 100, LINE_BYTES = 4096 };

typedef struct paragraph {
    bool heading;
    bool personal;
    style style;
    char label[40];
    char *text;
} paragraph;

struct pager {
    char title[80];
    paragraph *list;
    size_t count, room;
    int top;       /* the first line shown */
    int drawn_top; /* and when it was last drawn */
    int shown;     /* how many lines there was room for when it was last drawn */
    int lines;     /* how many there are at that width */
    void (*on_yes)(console *con, void *subject); /* NULL: the page is only read */
    void *subject;
};

pager *pager_new(const char *title) {
    pager *page = calloc(1, sizeof *page);
    if (page)
        snprintf(page->title, sizeof page->title, "%s", title);
    return page;
}

static void add(pager *page, bool heading, style ink, const char *label, const char *text) {
    if (page->count == page->room) {
        size_t room = page->room ? 2 * page->room : 32;
        paragraph *list = realloc(page->list, room * sizeof *list);
        if (!list)
            return;
        page->list = list;
        page->room = room;
    }
    paragraph *new = &page->list[page->count];
    *new = (paragraph){.heading = heading, .style = ink, .text = strdup(text)};
    snprintf(new->label, sizeof new->label, "%s", label);
    page->count += new->text != NULL;
}

void pager_heading(pager *page, const char *text) {
    if (page->count > 0)
        add(page, false, STYLE_PLAIN, "", "");
    add(page, true, STYLE_PLAIN, "", text);
}

void pager_add(pager *page, style ink, const char *label, const char *text) {
    add(page, false, ink, label, text);
}

void pager_add_personal(pager *page, const char *label, const char *text) {
    size_t count = page->count;
    add(page, false, STYLE_PLAIN, label, text);
    if (page->count > count)
        page->list[count].personal = true;
}

void pager_format(pager *page, style ink, const char *label, const char *format, ...) {
    char text[1500];
    va_list values;
    va_start(values, format);
    vsnprintf(text, sizeof text, format, values);
    va_end(values);
    add(page, false, ink, label, text);
}

/* ---- drawing ---- */

/* Draw a paragraph's lines from line number `line` of the page on; returns the next line's. */
static int draw_paragraph(const console *con, const pager *page, const paragraph *p, int line,
                          area body) {
    const theme *look = &con->theme;
    char text[LINE_BYTES];
    const char *at = p->personal && con->names_hidden ? "(hidden)" : p->text;
    bool labelled = p->label[0] != '\0';
    int indent = labelled ? LABEL_COLS : 0;
    int room = body.cols - 2 - indent;
    int width = room < TEXT_COLS ? room : TEXT_COLS;
    bool first = true;
    while (mc_text_line(&at, width, look->ascii, text, sizeof text) || first) {
        int row = body.row + line - page->top;
        bool seen = line >= page->top && line < page->top + body.rows;
        if (seen && p->heading)
            put_heading(look, row, body.col, body.cols, p->text);
        else if (seen && first)
            put(look, row, body.col + 1, LABEL_COLS - 1, p->style, p->label);
        if (seen && !p->heading && *p->text)
            put(look, row, body.col + 1 + indent, width, labelled ? STYLE_PLAIN : p->style, text);
        line++;
        first = false;
        if (*at == '\0')
            break;
    }
    return line;
}

/* In an area of no rows they are only counted. */
static int draw_paragraphs(const console *con, const pager *page, area body) {
    int line = 0;
    for (size_t i = 0; i < page->count; i++)
        line = draw_paragraph(con, page, &page->list[i], line, body);
    return line;
}

/* Never beyond the last line, never before the first. */
static void scroll_by(pager *page, int lines) {
    int most = page->lines - page->shown;
    int top = page->top + lines;
    page->top = top > most ? most : top;
    if (page->top < 0)
        page->top = 0;
}

static void draw(console *con, void *self, area body) {
    pager *page = self;
    int top_before = page->drawn_top;
    page->shown = body.rows;
    page->lines = draw_paragraphs(con, page, (area){body.row, body.col, 0, body.cols});
    scroll_by(page, 0);
    page->drawn_top = page->top;
    con->repaint |= page->top != top_before;
    draw_paragraphs(con, page, body);
    int below = page->lines - page->top - page->shown;
    if (below > 0 && con->status[0] == '\0')
        frame_say(con, "%d more line%s below", below, below == 1 ? "" : "s");
}

static void title(const console *con, const void *self, char *left, size_t size) {
    (void)con;
    const pager *page = self;
    snprintf(left, size, "%s", page->title);
}

static void close_page(void *self) {
    pager *page = self;
    for (size_t i = 0; i < page->count; i++)
        free(page->list[i].text);
    free(page->list);
    free(page);
}

/* ---- keys ---- */

static void up(console *con, void *self) {
    (void)con;
    scroll_by(self, -1);
}

static void down(console *con, void *self) {
    (void)con;
    scroll_by(self, 1);
}

static void page_up(console *con, void *self) {
    (void)con;
    scroll_by(self, -(((pager *)self)->shown - 1));
}

static void page_down(console *con, void *self) {
    (void)con;
    scroll_by(self, ((pager *)self)->shown - 1);
}

static void top(console *con, void *self) {
    (void)con;
    ((pager *)self)->top = 0;
}

static void end(console *con, void *self) {
    (void)con;
    scroll_by(self, ((pager *)self)->lines);
}

static void yes(console *con, void *self) {
    const pager *page = self;
    page->on_yes(con, page->subject);
}

/* What scrolls every page. */
#define SCROLLING                                                                                  \
    {KEY_DOWN, ' ', "Down", "scroll", "a line on", down},                                          \
        {KEY_UP, 0, "Up", NULL, "a line back", up},                                                \
        {KEY_NPAGE, 0, "PgDn", NULL, "a page on", page_down},                                      \
        {KEY_PPAGE, 0, "PgUp", NULL, "a page back", page_up},                                      \
        {KEY_HOME, 0, "Home", NULL, "to the beginning", top},                                      \
        {KEY_END, 0, "End", NULL, "to the end", end}, {                                            \
        0                                                                                          \
    }

static const key_row KEYS[] = {{KEY_ESC, 'q', "Esc", "back", "back to where you were", frame_back},
                               SCROLLING};

static const key_row ASKING_KEYS[] = {
    {'y', 'Y', "y", "yes, do it", "do what the page tells", yes},
    {KEY_ESC, 'n', "Esc", "no, back", "back without doing it (n too)", frame_back},
    SCROLLING};

static const screen_ops OPS = {
    .name = "page", .keys = KEYS, .title = title, .draw = draw, .close = close_page};
static const screen_ops ASKING = {.name = "page that asks",
                                  .keys = ASKING_KEYS,
                                  .title = title,
                                  .draw = draw,
                                  .close = close_page};

void pager_open(console *con, pager *page) {
    frame_open(con, &OPS, page);
}

void pager_open_asking(console *con, pager *page, void (*on_yes)(console *con, void *subject),
                       void *subject) {
    page->on_yes = on_yes;
    page->subject = subject;
    frame_open(con, &ASKING, page);
}
