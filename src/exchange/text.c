/* Text from the record made safe for the screen. */
#include "midcourse/exchange.h"

#include <string.h>
#include <utf8proc.h>
#include <wchar.h>

enum { MOST_MARKS = 4 }; /* a screen cell holds one character and four marks */

/* The next code point of *at, which moves on; -1 for a byte that is not UTF-8. */
static utf8proc_int32_t decode(const char **at) {
    utf8proc_int32_t point = -1;
    utf8proc_ssize_t used = utf8proc_iterate((const utf8proc_uint8_t *)*at, -1, &point);
    if (used <= 0) {
        *at += 1;
        return -1;
    }
    *at += used;
    return point;
}

/* Whether the terminal, which goes by the C library's widths, will agree with ours. */
static bool width_agrees(utf8proc_int32_t point, int width) {
    return wcwidth((wchar_t)point) == width;
}

/* A mark drawn over the character before it. */
static bool is_mark(utf8proc_int32_t point) {
    if (point < 0x300 || utf8proc_get_property(point)->ignorable)
        return false;
    utf8proc_category_t category = utf8proc_category(point);
    bool mark = category == UTF8PROC_CATEGORY_MN || category == UTF8PROC_CATEGORY_ME ||
                category == UTF8PROC_CATEGORY_MC;
    return mark && width_agrees(point, 0);
}

bool mc_text_is_seen(int32_t point) {
    switch (utf8proc_category(point)) {
    case UTF8PROC_CATEGORY_CC:
    case UTF8PROC_CATEGORY_CF:
    case UTF8PROC_CATEGORY_CS:
    case UTF8PROC_CATEGORY_CO:
    case UTF8PROC_CATEGORY_CN:
    case UTF8PROC_CATEGORY_ZL:
    case UTF8PROC_CATEGORY_ZP:
        return false;
    default:
        return true;
    }
}

/* A character that shows as itself. */
static bool is_visible(utf8proc_int32_t point, int width) {
    if (point < 0 || width < 1 || utf8proc_get_property(point)->ignorable)
        return false;
    return mc_text_is_seen(point) && width_agrees(point, width);
}

static void set_cell(mc_text_cell *out, const char *bytes, int width) {
    out->size = strlen(bytes);
    memcpy(out->bytes, bytes, out->size + 1);
    out->width = width;
}

static void add_point(mc_text_cell *out, utf8proc_int32_t point) {
    out->size += (size_t)utf8proc_encode_char(point, (utf8proc_uint8_t *)out->bytes + out->size);
    out->bytes[out->size] = '\0';
}

/* The ASCII character nearest to a code point, '?' where there is none. */
static char ascii_of(utf8proc_int32_t point) {
    static const struct {
        utf8proc_int32_t point;
        char near;
    } letters[] = {{0xdf, 's'},    {0xf8, 'o'},   {0xd8, 'O'},   {0x142, 'l'},
                   {0x141, 'L'},   {0x111, 'd'},  {0x110, 'D'},  {0x2018, '\''},
                   {0x2019, '\''}, {0x2013, '-'}, {0x2014, '-'}, {0x2212, '-'}};
    if (point >= 0x20 && point < 0x7f)
        return (char)point;
    if (point < 0x80)
        return '?';
    for (size_t i = 0; i < sizeof letters / sizeof *letters; i++)
        if (letters[i].point == point)
            return letters[i].near;
    utf8proc_int32_t parts[8];
    int boundary = 0;
    utf8proc_ssize_t count =
        utf8proc_decompose_char(point, parts, 8, UTF8PROC_DECOMPOSE | UTF8PROC_COMPAT, &boundary);
    bool one = count >= 1 && count <= 8 && parts[0] >= 0x20 && parts[0] < 0x7f;
    return one ? (char)parts[0] : '?';
}

/* The marks that follow in *at: drawn up to a number, the rest passed over. */
static void take_marks(const char **at, bool draw, mc_text_cell *out) {
    int taken = 0;
    for (;;) {
        const char *next = *at;
        if (*next == '\0' || !is_mark(decode(&next)))
            return;
        const char *again = *at;
        utf8proc_int32_t point = decode(&again);
        if (draw && taken++ < MOST_MARKS)
            add_point(out, point);
        *at = next;
    }
}

/* Plain ASCII with no mark upon it, which most text is: known without any table. */
static bool is_plain(const char *at) {
    return at[0] >= 0x20 && at[0] < 0x7f && (unsigned char)at[1] < 0x80;
}

bool mc_text_next(const char **at, bool ascii, mc_text_cell *out) {
    if (**at == '\0')
        return false;
    if (is_plain(*at)) {
        *out = (mc_text_cell){.bytes = {**at}, .size = 1, .width = 1};
        *at += 1;
        return true;
    }
    utf8proc_int32_t point = decode(at);
    if (ascii) {
        char one[2] = {point < 0 ? '?' : ascii_of(point), '\0'};
        set_cell(out, one, 1);
        if (one[0] != '?')
            take_marks(at, false, out);
        return true;
    }
    int width = point < 0 ? 0 : utf8proc_charwidth(point);
    if (!is_visible(point, width)) {
        set_cell(out, "\xef\xbf\xbd", 1); /* U+FFFD */
        return true;
    }
    set_cell(out, "", width);
    if (utf8proc_category(point) == UTF8PROC_CATEGORY_ZS && width == 1)
        point = ' ';
    add_point(out, point);
    take_marks(at, true, out);
    return true;
}

int mc_text_width(const char *text, bool ascii) {
    mc_text_cell cell;
    int width = 0;
    while (mc_text_next(&text, ascii, &cell))
        width += cell.width;
    return width;
}

int mc_text_fit(const char *text, int columns, bool ascii, char *out, size_t size) {
    const char *ellipsis = ascii ? ".." : "\xe2\x80\xa6";
    int ellipsis_width = ascii ? 2 : 1;
    size_t used = 0, cut = 0; /* bytes so far; bytes after which an ellipsis would still fit */
    int width = 0, cut_width = 0;
    mc_text_cell cell;
    while (mc_text_next(&text, ascii, &cell)) {
        bool fits = width + cell.width <= columns && used + cell.size + 4 < size;
        if (!fits) {
            bool room = cut_width + ellipsis_width <= columns;
            strcpy(out + cut, room ? ellipsis : "");
            return cut_width + (room ? ellipsis_width : 0);
        }
        memcpy(out + used, cell.bytes, cell.size);
        used += cell.size;
        width += cell.width;
        if (width + ellipsis_width <= columns) {
            cut = used;
            cut_width = width;
        }
    }
    out[used] = '\0';
    return width;
}

bool mc_text_line(const char **at, int columns, bool ascii, char *out, size_t size) {
    while (**at == ' ')
        *at += 1;
    if (**at == '\0')
        return false;
    const char *next = *at, *blank = NULL; /* where the line may be broken */
    size_t used = 0, blank_used = 0;
    int width = 0;
    for (;;) {
        const char *before = next;
        mc_text_cell cell;
        bool more = mc_text_next(&next, ascii, &cell);
        if (!more || *before == ' ') {
            blank = before;
            blank_used = used;
        }
        if (!more)
            break;
        bool full = width + cell.width > columns || used + cell.size + 1 >= size;
        if (full) {
            if (!blank) /* at least one cell a line, so that it ends however narrow */
                blank = used > 0 ? before : next, blank_used = used;
            break;
        }
        memcpy(out + used, cell.bytes, cell.size);
        used += cell.size;
        width += cell.width;
    }
    out[blank_used] = '\0';
    *at = blank;
    return true;
}
