/* Marks and colours. The colours are blue, orange and yellow with the terminal's own: these stay
 * apart for every common kind of colour blindness, red beside green does not. */
#include "theme.h"

#include <curses.h>
#include <string.h>

static const struct {
    const char *unicode, *ascii;
} MARK_TABLE[MARKS] = {
    [MARK_UNMEASURED] = {"?", "?"},
    [MARK_STALLED] = {"\xe2\x96\xa0", "X"},   /* a filled square: stands still */
    [MARK_BEHIND] = {"\xe2\x96\xbc", "V"},    /* filled, pointing down */
    [MARK_DRIFTING] = {"\xe2\x97\x86", "%"},  /* filled diamond */
    [MARK_PAST_PLAN] = {"\xe2\x96\xb2", "^"}, /* filled, pointing up */
    [MARK_SLIPPING] = {"\xe2\x96\xbd", "v"},  /* hollow, pointing down */
    [MARK_SEATED] = {"\xe2\x97\x8b", "o"},    /* hollow circle */
    [MARK_ON_PLAN] = {"\xe2\x9c\x93", "="},   /* tick */
    [MARK_NOT_READ] = {"\xc2\xb7", "."},
    [MARK_ATTACHMENT_UNSAID] = {"?", "?"},
    [MARK_ATTACHMENT_INTACT] = {"A", "A"},
    [MARK_ATTACHMENT_WORN] = {"W", "W"},
    [MARK_ATTACHMENT_LOOSE] = {"L", "L"},
    [MARK_ATTACHMENT_LOST] = {"\xc3\x97", "x"}, /* a cross */
    [MARK_FIXED] = {"#", "#"},
    [MARK_CARE] = {"!", "!"},
    [MARK_SECOND] = {"+", "+"},
    [MARK_WAITS] = {"\xe2\x96\xb8", ">"},
    [MARK_MOVES] = {"\xe2\x80\xba", ">"},
    [MARK_PLACED] = {"+", "+"},
    [MARK_REMOVED] = {"-", "-"},
    [MARK_PLANNED] = {"a", "a"},
    [MARK_IPR] = {"i", "i"},
    [MARK_TURN] = {"\xe2\x86\xbb", "@"},
    [MARK_TILT] = {"/", "/"},
    [MARK_PLUS_MINUS] = {"\xc2\xb1", "~"},
    [MARK_TIMES] = {"\xc3\x97", "x"},
    [MARK_ENDS_OUT] = {"\xe2\x89\xa0", "<"},       /* not equal: not where it was to end */
    [MARK_PLOT_AHEAD] = {"\xe2\x96\x91", ":"},     /* a light shade */
    [MARK_PLOT_TOLERANCE] = {"\xe2\x95\x8c", "-"}, /* a dashed line across */
    [MARK_PLOT_NOW] = {"\xe2\x94\x8a", "|"},       /* a dashed line down */
    [MARK_PLOT_PLAN] = {"\xe2\xa0\xa4", "*"},      /* dots */
    [MARK_PLOT_SPREAD] = {"\xe2\x94\x82", "I"},    /* a line down */
    [MARK_PLOT_FINISH] = {"\xe2\x95\x90", "="},    /* a double line across */
    [MARK_PLOT_END] = {"\xe2\x97\x8e", "E"},       /* a ring with a centre */
    [MARK_PLOT_ESTIMATE] = {"\xe2\x97\x8f", "e"},  /* a filled circle */
    [MARK_PLOT_READING] = {"\xe2\x97\x87", "r"},   /* a hollow diamond */
    [MARK_PLOT_BOTH] = {"\xe2\x97\x88", "b"},      /* a diamond with a filled centre */
    [MARK_LINE] = {"\xe2\x94\x80", "-"},
    [MARK_MIDLINE] = {"\xe2\x94\x82", "|"},
    [MARK_CROSSING] = {"\xe2\x94\xbc", "+"},
};

bool theme_wants_ascii(const char *codeset, const char *asked) {
    if (asked && asked[0] != '\0' && strcmp(asked, "0") != 0)
        return true;
    return strcmp(codeset, "UTF-8") != 0;
}

/* Orange, blue and yellow; where there are only eight colours, the nearest of those. */
static void start_colours(theme *look) {
    enum { ORANGE = 1, BLUE, YELLOW, EIGHT = 8, MANY = 256 };
    if (start_color() == ERR || COLORS < EIGHT || COLOR_PAIRS <= YELLOW)
        return;
    bool many = COLORS >= MANY;
    short back = use_default_colors() == OK ? -1 : COLOR_BLACK;
    init_pair(ORANGE, many ? 208 : COLOR_YELLOW, back);
    init_pair(BLUE, many ? 75 : COLOR_CYAN, back);
    init_pair(YELLOW, many ? 186 : COLOR_YELLOW, back);
    look->colour = true;
    look->attributes[STYLE_BEHIND] |= COLOR_PAIR(ORANGE);
    look->attributes[STYLE_CARE] |= COLOR_PAIR(ORANGE);
    look->attributes[STYLE_OFF] |= COLOR_PAIR(BLUE);
    look->attributes[STYLE_ESTIMATE] |= COLOR_PAIR(BLUE);
    look->attributes[STYLE_SLIPPING] |= COLOR_PAIR(YELLOW);
}

void theme_start(theme *look, bool ascii, bool no_colour) {
    *look = (theme){.ascii = ascii};
    look->attributes[STYLE_PLAIN] = A_NORMAL;
    look->attributes[STYLE_FAINT] = A_DIM;
    look->attributes[STYLE_STRONG] = A_BOLD;
    look->attributes[STYLE_TITLE] = A_REVERSE;
    look->attributes[STYLE_HEADING] = A_UNDERLINE;
    look->attributes[STYLE_WORST] = A_UNDERLINE | A_BOLD;
    look->attributes[STYLE_SELECTED] = A_REVERSE;
    look->attributes[STYLE_BEHIND] = A_BOLD;
    look->attributes[STYLE_OFF] = A_BOLD;
    look->attributes[STYLE_SLIPPING] = A_NORMAL;
    look->attributes[STYLE_ESTIMATE] = A_BOLD;
    look->attributes[STYLE_CARE] = A_BOLD;
    if (!no_colour && has_colors())
        start_colours(look);
}

const char *theme_mark(const theme *look, mark which) {
    return look->ascii ? MARK_TABLE[which].ascii : MARK_TABLE[which].unicode;
}

mark mark_of_state(mc_state state) {
    return (mark)(MARK_UNMEASURED + state);
}

mark mark_of_attachment(mc_attachment attachment) {
    return (mark)(MARK_ATTACHMENT_UNSAID + attachment);
}

style style_of_state(mc_state state) {
    switch (state) {
    case MC_STATE_STALLED:
    case MC_STATE_BEHIND:
        return STYLE_BEHIND;
    case MC_STATE_DRIFTING:
    case MC_STATE_PAST_PLAN:
        return STYLE_OFF;
    case MC_STATE_SLIPPING:
        return STYLE_SLIPPING;
    case MC_STATE_UNMEASURED:
        return STYLE_FAINT;
    default:
        return STYLE_PLAIN;
    }
}
