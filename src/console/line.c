/* One line of text being typed. */
#include "line.h"

#include "midcourse/exchange.h"
#include "terminal.h"

#include <curses.h>
#include <string.h>
#include <utf8proc.h>

enum { CTRL_U = 21 };

void line_start(text_line *l, const char *text, size_t most) {
    line_wipe(l);
    l->most = most;
    const utf8proc_uint8_t *at = (const utf8proc_uint8_t *)(text ? text : "");
    while (*at) {
        utf8proc_int32_t point;
        utf8proc_ssize_t length = utf8proc_iterate(at, -1, &point);
        if (length <= 0)
            return;
        line_key(l, KEY_CHARACTER + point);
        at += length;
    }
}

void line_offer(text_line *l, const char *text, size_t most) {
    line_start(l, text, most);
    l->offered = l->used > 0;
}

void line_wipe(text_line *l) {
    explicit_bzero(l, sizeof *l);
}

/* ---- typing ---- */

static bool is_mark(utf8proc_int32_t point) {
    utf8proc_category_t category = utf8proc_category(point);
    return category == UTF8PROC_CATEGORY_MN || category == UTF8PROC_CATEGORY_ME ||
           category == UTF8PROC_CATEGORY_MC;
}

/* The code point at the end of the text; the text is not empty. *start is where it begins. */
static utf8proc_int32_t last_point(const text_line *l, size_t *start) {
    utf8proc_int32_t point = -1;
    *start = l->used - 1;
    while (*start > 0 && ((unsigned char)l->text[*start] & 0xc0) == 0x80)
        --*start;
    utf8proc_iterate((const utf8proc_uint8_t *)l->text + *start,
                     (utf8proc_ssize_t)(l->used - *start), &point);
    return point;
}

/* Characters as a person counts them: a mark belongs to the one before it. */
static size_t characters(const text_line *l) {
    const utf8proc_uint8_t *at = (const utf8proc_uint8_t *)l->text;
    size_t count = 0;
    while (*at) {
        utf8proc_int32_t point;
        utf8proc_ssize_t length = utf8proc_iterate(at, -1, &point);
        if (length <= 0)
            break;
        count += !is_mark(point);
        at += length;
    }
    return count;
}

static void add(text_line *l, utf8proc_int32_t point) {
    utf8proc_uint8_t bytes[4];
    utf8proc_ssize_t length = utf8proc_encode_char(point, bytes);
    bool alone = !is_mark(point);
    bool room = length > 0 && l->used + (size_t)length < sizeof l->text &&
                (!alone || l->most == 0 || characters(l) < l->most);
    if (!room || (!alone && l->used == 0))
        return;
    memcpy(l->text + l->used, bytes, (size_t)length);
    l->used += (size_t)length;
    l->text[l->used] = '\0';
}

static void take_last(text_line *l) {
    bool alone = false;
    while (!alone && l->used > 0) {
        size_t start;
        alone = !is_mark(last_point(l, &start));
        explicit_bzero(l->text + start, l->used - start);
        l->used = start;
    }
}

size_t line_stays(const text_line *l) {
    return l->offered ? 0 : l->used;
}

bool line_key(text_line *l, int key) {
    int32_t point = terminal_character(key);
    if (key == KEY_BACKSPACE)
        take_last(l);
    else if (key == CTRL_U)
        line_start(l, NULL, l->most);
    else if (point != 0 && mc_text_is_seen(point)) {
        if (l->offered)
            line_start(l, NULL, l->most);
        add(l, point);
    } else
        return false;
    l->offered = false;
    return true;
}

/* ---- drawing ---- */

/* The end of the text that takes at most so many columns; *cut where that is not all of it. */
static const char *end_of(const char *text, int columns, bool ascii, bool *cut) {
    int width = mc_text_width(text, ascii);
    *cut = width > columns;
    while (width > columns) {
        mc_text_cell cell;
        if (!mc_text_next(&text, ascii, &cell))
            break;
        width -= cell.width;
    }
    return text;
}

int line_draw(const theme *look, const text_line *l, int row, int col, int columns, bool secret) {
    char marks[LINE_SIZE];
    const char *before = look->ascii ? ".." : "\xe2\x80\xa6";
    const char *text = l->text;
    int room = columns - 1, taken = 0; /* the cursor stands behind the text */
    bool cut = false;
    if (secret) {
        size_t count = characters(l);
        memset(marks, '*', count);
        marks[count] = '\0';
        text = marks;
    }
    text = end_of(text, room, look->ascii, &cut);
    if (cut) {
        taken = put(look, row, col, room, STYLE_FAINT, before);
        text = end_of(text, room - taken, look->ascii, &cut);
    }
    return col + taken +
           put(look, row, col + taken, room - taken, l->offered ? STYLE_SELECTED : STYLE_STRONG,
               text);
}
