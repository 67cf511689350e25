/* A canvas of dots over the cells of the terminal. */
#include "canvas.h"

#include <math.h>
#include <string.h>

static canvas_cell *cell_at(canvas *on, int row, int col) {
    return &on->cell[(size_t)row * CANVAS_COLS + (size_t)col];
}

void canvas_clear(canvas *on, int rows, int cols) {
    on->rows = rows < 0 ? 0 : rows > CANVAS_ROWS ? CANVAS_ROWS : rows;
    on->cols = cols < 0 ? 0 : cols > CANVAS_COLS ? CANVAS_COLS : cols;
    for (int row = 0; row < on->rows; row++)
        memset(cell_at(on, row, 0), 0, (size_t)on->cols * sizeof(canvas_cell));
}

/* ---- dots ---- */

/* Where several things share a cell, it has the look of what has most dots in it; of equal ones of
 * what the eye has to find first. */
static int urgency_of(style ink) {
    switch (ink) {
    case STYLE_FAINT:
        return 0;
    case STYLE_PLAIN:
        return 1;
    case STYLE_STRONG:
        return 2;
    case STYLE_SLIPPING:
        return 3;
    case STYLE_OFF:
        return 4;
    default:
        return 5; /* behind, care, under the cursor */
    }
}

static style ink_of(const canvas_cell *cell) {
    int best = STYLE_PLAIN;
    for (int ink = 0; ink < STYLES; ink++)
        if (cell->dots[ink] > cell->dots[best] ||
            (cell->dots[ink] == cell->dots[best] &&
             urgency_of((style)ink) > urgency_of((style)best)))
            best = ink;
    return (style)best;
}

/* The cell of a dot and its bit there; NULL outside. */
static canvas_cell *cell_of(canvas *on, int x, int y, unsigned char *bit) {
    if (x < 0 || y < 0 || x >= on->cols * DOTS_ACROSS || y >= on->rows * DOTS_DOWN)
        return NULL;
    *bit = (unsigned char)(1U << (DOTS_ACROSS * (y % DOTS_DOWN) + x % DOTS_ACROSS));
    return cell_at(on, y / DOTS_DOWN, x / DOTS_ACROSS);
}

void canvas_dot(canvas *on, int x, int y, style ink) {
    unsigned char bit = 0;
    canvas_cell *cell = cell_of(on, x, y, &bit);
    if (!cell)
        return;
    cell->dots[ink]++;
    cell->line |= bit;
}

static void point_dot(canvas *on, int x, int y, style ink) {
    unsigned char bit = 0;
    canvas_cell *cell = cell_of(on, x, y, &bit);
    if (!cell)
        return;
    cell->dots[ink]++;
    cell->points |= bit;
}

static bool in_pattern(canvas_fill fill, int x, int y) {
    switch (fill) {
    case FILL_SPARSE:
        return x % 2 == 0 && y % 2 == 0;
    case FILL_STRIPES:
        return (x + y) % 3 == 0;
    case FILL_HALF:
        return (x + y) % 2 == 0;
    case FILL_WHOLE:
        return true;
    default:
        return false;
    }
}

static void fill_dot(canvas *on, int x, int y, canvas_fill fill, style ink) {
    unsigned char bit = 0;
    canvas_cell *cell = cell_of(on, x, y, &bit);
    if (!cell || !in_pattern(fill, x, y))
        return;
    cell->dots[ink]++;
    cell->inside |= bit;
    if (fill > cell->filled)
        cell->filled = (unsigned char)fill;
}

/* ---- lines ---- */

/* The dot that a place falls into; far outside is as good as just outside. */
static int dot_of(double at) {
    const double far = 1e6;
    return (int)floor(fmin(fmax(at, -far), far));
}

void canvas_line(canvas *on, canvas_point from, canvas_point to, style ink) {
    const double most = 4.0 * (CANVAS_COLS * DOTS_ACROSS + CANVAS_ROWS * DOTS_DOWN);
    double way = ceil(fmax(fabs(to.x - from.x), fabs(to.y - from.y)));
    if (!(way <= most)) /* it would leave the canvas by far */
        return;
    int steps = (int)way;
    for (int i = 0; i <= steps; i++) {
        double share = steps ? (double)i / steps : 0;
        canvas_dot(on, dot_of(from.x + share * (to.x - from.x)),
                   dot_of(from.y + share * (to.y - from.y)), ink);
    }
}

void canvas_dotted(canvas *on, const canvas_point *corner, int corners, double apart, style ink) {
    double rest = 0; /* of the way since the last dot */
    for (int i = 0; i < corners; i++) {
        const canvas_point *a = &corner[i], *b = &corner[(i + 1) % corners];
        double way = hypot(b->x - a->x, b->y - a->y), at = i == 0 ? 0 : apart - rest;
        while (at < way) {
            point_dot(on, dot_of(a->x + (b->x - a->x) * at / way),
                      dot_of(a->y + (b->y - a->y) * at / way), ink);
            at += apart;
        }
        rest = way - (at - apart);
    }
}

/* ---- closed shapes ---- */

/* The dots of one row whose centres are within; none where last < first. */
typedef struct span {
    int first, last;
} span;

enum { MOST_SPANS = CANVAS_ROWS * DOTS_DOWN + 2 };

/* Rows `top` .. `top + count - 1` of a shape, with an empty row before and behind. */
typedef struct spans {
    int top, count;
    span row[MOST_SPANS];
} spans;

static void cross_row(const canvas_point *corner, int corners, double y, double *low,
                      double *high) {
    *low = INFINITY;
    *high = -INFINITY;
    for (int i = 0; i < corners; i++) {
        const canvas_point *a = &corner[i], *b = &corner[i + 1 < corners ? i + 1 : 0];
        if ((a->y <= y) == (b->y <= y))
            continue;
        double x = a->x + (b->x - a->x) * (y - a->y) / (b->y - a->y);
        *low = fmin(*low, x);
        *high = fmax(*high, x);
    }
}

static void single_dot(const canvas_point *corner, int corners, spans *out) {
    canvas_point middle = {0, 0};
    for (int i = 0; i < corners; i++) {
        middle.x += corner[i].x / corners;
        middle.y += corner[i].y / corners;
    }
    out->top = dot_of(middle.y);
    out->count = 1;
    out->row[0] = (span){dot_of(middle.x), dot_of(middle.x)};
}

static void spans_of(const canvas *on, const canvas_point *corner, int corners, spans *out) {
    const double half = 0.5;
    double least = INFINITY, most = -INFINITY;
    bool any = false;
    for (int i = 0; i < corners; i++) {
        least = fmin(least, corner[i].y);
        most = fmax(most, corner[i].y);
    }
    int first = dot_of(fmax(least, -1)), last = dot_of(fmin(most, on->rows * DOTS_DOWN));
    out->top = first;
    out->count = last < first ? 0 : last - first + 1;
    for (int i = 0; i < out->count; i++) {
        double low, high;
        cross_row(corner, corners, first + i + half, &low, &high);
        out->row[i] =
            low <= high ? (span){dot_of(ceil(low - half)), dot_of(high - half)} : (span){0, -1};
        any = any || out->row[i].first <= out->row[i].last;
    }
    if (!any && most - least < 2)
        single_dot(corner, corners, out);
}

static bool within(const spans *s, int i, int x) {
    return i >= 0 && i < s->count && x >= s->row[i].first && x <= s->row[i].last;
}

/* Whether all four neighbours of a dot within are within, too. */
static bool deep_within(const spans *s, int i, int x) {
    return x > s->row[i].first && x < s->row[i].last && within(s, i - 1, x) && within(s, i + 1, x);
}

static void draw_spans(canvas *on, const spans *s, bool outline, canvas_fill fill, style ink) {
    int right = on->cols * DOTS_ACROSS - 1;
    for (int i = 0; i < s->count; i++) {
        int first = s->row[i].first < 0 ? 0 : s->row[i].first;
        int last = s->row[i].last > right ? right : s->row[i].last;
        for (int x = first; x <= last; x++) {
            bool deep = deep_within(s, i, x);
            if (outline && !deep)
                canvas_dot(on, x, s->top + i, ink);
            else if (!outline && deep)
                fill_dot(on, x, s->top + i, fill, ink);
        }
    }
}

void canvas_outline(canvas *on, const canvas_point *corner, int corners, style ink) {
    spans s;
    spans_of(on, corner, corners, &s);
    draw_spans(on, &s, true, FILL_NONE, ink);
}

void canvas_wipe(canvas *on, const canvas_point *corner, int corners) {
    unsigned char bit = 0;
    spans s;
    spans_of(on, corner, corners, &s);
    for (int i = 0; i < s.count; i++)
        for (int x = s.row[i].first; x <= s.row[i].last; x++) {
            canvas_cell *cell = cell_of(on, x, s.top + i, &bit);
            if (!cell)
                continue;
            cell->line &= (unsigned char)~bit;
            cell->points &= (unsigned char)~bit;
            cell->inside &= (unsigned char)~bit;
            if (!cell->line && !cell->points && !cell->inside)
                memset(cell->dots, 0, sizeof cell->dots);
        }
}

void canvas_inside(canvas *on, const canvas_point *corner, int corners, canvas_fill fill,
                   style ink) {
    spans s;
    spans_of(on, corner, corners, &s);
    draw_spans(on, &s, false, fill, ink);
}

/* ---- text ---- */

/* The bytes of the first character of a UTF-8 text. */
static size_t character_bytes(const char *text) {
    size_t bytes = 1;
    while (((unsigned char)text[bytes] & 0xc0) == 0x80)
        bytes++;
    return bytes;
}

void canvas_text(canvas *on, int row, int col, style ink, const char *text) {
    for (; *text != '\0'; col++) {
        size_t bytes = character_bytes(text);
        if (row >= 0 && row < on->rows && col >= 0 && col < on->cols && bytes < CANVAS_BYTES) {
            canvas_cell *cell = cell_at(on, row, col);
            memcpy(cell->text, text, bytes);
            cell->text[bytes] = '\0';
            cell->text_ink = (unsigned char)ink;
        }
        text += bytes;
    }
}

/* ---- characters ---- */

/* A cell's dots as a character of the Braille patterns, U+2800 and up: there the dots of the upper
 * three rows count column by column, those of the fourth last. */
static void braille(unsigned char dots, char out[CANVAS_BYTES]) {
    static const unsigned char BIT[DOTS_ACROSS * DOTS_DOWN] = {0, 3, 1, 4, 2, 5, 6, 7};
    unsigned code = 0x2800;
    for (unsigned i = 0; i < DOTS_ACROSS * DOTS_DOWN; i++)
        if (dots >> i & 1U)
            code |= 1U << BIT[i];
    out[0] = (char)(0xe0 | code >> 12);
    out[1] = (char)(0x80 | (code >> 6 & 0x3f));
    out[2] = (char)(0x80 | (code & 0x3f));
    out[3] = '\0';
}

/* The character that looks most like the lines through a cell: by which way its dots spread, and
 * how low they lie. */
static char edge(unsigned char dots) {
    int count = 0, sum_x = 0, sum_y = 0, sum_xy = 0, high = DOTS_DOWN, low = -1, columns = 0;
    for (int i = 0; i < DOTS_ACROSS * DOTS_DOWN; i++) {
        int x = i % DOTS_ACROSS, y = i / DOTS_ACROSS;
        if (!(dots >> i & 1))
            continue;
        count++;
        sum_x += x;
        sum_y += y;
        sum_xy += x * y;
        high = y < high ? y : high;
        low = y > low ? y : low;
        columns |= 1 << x;
    }
    int slant = count * sum_xy - sum_x * sum_y; /* above 0: falling to the right */
    if (count == 1)
        return low < DOTS_DOWN / 2 ? '\'' : ',';
    if (low - high <= 1 && columns == 3)
        return low == DOTS_DOWN - 1 ? '_' : low == 0 ? '"' : '-';
    if (columns != 3 || slant == 0)
        return '|';
    return slant > 0 ? '\\' : '/';
}

void canvas_character(const canvas *on, bool ascii, int row, int col, char out[CANVAS_BYTES]) {
    static const char FILLED[FILLS] = {' ', '.', '~', ':', '#'};
    const canvas_cell *cell = &on->cell[(size_t)row * CANVAS_COLS + (size_t)col];
    unsigned char dots = cell->line | cell->points | cell->inside;
    out[1] = '\0';
    if (cell->text[0] != '\0')
        memcpy(out, cell->text, CANVAS_BYTES);
    else if (dots == 0)
        out[0] = ' ';
    else if (!ascii)
        braille(dots, out);
    else
        out[0] = cell->line ? edge(cell->line) : cell->inside ? FILLED[cell->filled] : '.';
}

style canvas_ink(const canvas *on, int row, int col) {
    const canvas_cell *cell = &on->cell[(size_t)row * CANVAS_COLS + (size_t)col];
    return cell->text[0] != '\0' ? (style)cell->text_ink : ink_of(cell);
}

static bool is_blank(const canvas_cell *cell) {
    return cell->text[0] == '\0' && !cell->line && !cell->points && !cell->inside;
}

void canvas_put(const theme *look, const canvas *on, int row, int col) {
    char run[CANVAS_COLS * CANVAS_BYTES + 1];
    for (int r = 0; r < on->rows; r++) {
        const canvas_cell *cells = &on->cell[(size_t)r * CANVAS_COLS];
        for (int c = 0; c < on->cols;) {
            size_t used = 0;
            int from = c;
            if (is_blank(&cells[c])) {
                c++;
                continue;
            }
            style ink = canvas_ink(on, r, c);
            for (; c < on->cols && !is_blank(&cells[c]) && canvas_ink(on, r, c) == ink; c++) {
                canvas_character(on, look->ascii, r, c, run + used);
                used += strlen(run + used);
            }
            put(look, row + r, col + from, c - from, ink, run);
        }
    }
}
