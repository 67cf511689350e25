/* The frame that every screen stands in: the title line at the top; at the bottom a line for what
 * was just done or asked, and a line of the keys that matter here; between them the screen. A
 * screen is one file with one table of operations and one table of keys; adding one touches nothing
 * else.
 */
#ifndef CONSOLE_FRAME_H
#define CONSOLE_FRAME_H

#include "line.h"
#include "paint.h"
#include "terminal.h"

#include "midcourse/practice.h"

enum { CONSOLE_COLS = 80, CONSOLE_ROWS = 24 }; /* the least that a screen is drawn in */

typedef struct console console;
typedef struct pager pager;

/* One key: it dispatches, it is in the key line where it has a brief word, and on the help page;
 * so what the help says is what the key does. A table ends with a row without act. */
typedef struct key_row {
    int key, alike;    /* and a second key that does the same, 0 for none */
    const char *name;  /* as printed */
    const char *brief; /* a word for the key line; NULL keeps it to the help page */
    const char *does;  /* for the help page; NULL where the row above tells of it */
    void (*act)(console *con, void *screen);
} key_row;

/* The operations of a screen; self is its own state. typing, typed,
 * marks, idle, unkept and close are NULL where a screen has no use for them. */
typedef struct screen_ops {
    const char *name; /* for the help page */
    const key_row *keys;
    const char *typing; /* what typing letters and digits does, for the help page; NULL: nothing */
    void (*typed)(console *con, void *self, int key); /* a key that no table has */
    void (*title)(const console *con, const void *self, char *left, size_t size);
    void (*draw)(console *con, void *self, area body);
    void (*marks)(console *con, void *self, pager *page); /* what its marks mean, on a page */
    bool (*idle)(console *con, void *self); /* no key for a moment; true: draw again */
    /* what leaving would lose, as a question; "" where nothing */
    const char *(*unkept)(const void *self);
    void (*close)(void *self);
    bool takes_paste; /* what is pasted is typed */
} screen_ops;

enum { MOST_SCREENS = 8, STATUS_SIZE = 640, PROMPT_LABEL = 200 };

/* A line of text that is being asked for. */
typedef struct text_prompt {
    bool open, secret;
    char label[PROMPT_LABEL];
    text_line line;
    void (*on_text)(console *con, void *screen, const char *text);
    void (*on_esc)(console *con); /* NULL: only says that nothing was changed */
} text_prompt;

/* What is said and asked in the bottom lines, kept while the console is locked. */
typedef struct talk {
    char status[STATUS_SIZE];
    style status_style;
    int answer;
    void (*on_yes)(console *con, void *screen);
    text_prompt prompt;
} talk;

/* Who is being asked for, and what is to be done once it is known. */
typedef struct signing_in {
    char initials[sizeof((mc_person *)0)->initials]; /* as typed */
    void (*then)(console *con, void *screen);
    unsigned roles;    /* that may do it; 0: everyone */
    const char *doing; /* what it is, for a refusal: "enters a check-up" */
    int wrong;         /* how often in a row the answer was wrong */
    double try_after;  /* by the console's clock: no answer is looked at before */
} signing_in;

struct console {
    mc_practice *practice; /* where the screens read; they draw from values read before */
    mc_day today;          /* asked once, at the edge */
    mc_pooled pace;        /* of the practice, as the roster last knew it; count 0: not known */
    char who[32];          /* the person acting, "" where nobody is named */
    char role[16];         /* and the role's word */
    signing_in sign_in;
    theme theme;
    mc_notation notation;
    double now, last_key; /* seconds by a clock that only goes forward; of the last key */
    double hide_after;    /* seconds without a key until names are hidden; 0 never */
    double lock_after;    /* and until the console locks; 0 never */
    bool names_hidden, locked;
    bool behind; /* the screen that runs now is behind the lock */
    talk kept;   /* of the screens, while it is locked */
    struct {
        const screen_ops *ops;
        void *self;
    } stack[MOST_SCREENS];
    size_t depth;
    char status[STATUS_SIZE];
    style status_style;
    int answer; /* the one key that means yes to the open question; 0 where none is open */
    void (*on_yes)(console *con, void *screen);
    bool at_chair; /* what an instrument types leaves the question open */
    text_prompt prompt;
    int cursor_row, cursor_col; /* where a screen wants the terminal's cursor; -1: hidden */
    bool busy;    /* set by a screen's idle: there is more to do, come back after a look for keys */
    bool repaint; /* write every line anew: what comes has little to do with what stands there */
    bool leaving;
    bool pasting, paste_blank; /* within what is pasted; a line ended there */
};

/* For tables of keys: leave the console; write the whole screen anew. */
void frame_leave(console *con, void *screen);
void frame_redraw(console *con, void *screen);

/* Put a screen on top, or take it off. The frame owns self from then on. */
void frame_open(console *con, const screen_ops *ops, void *self);
void frame_back(console *con, void *screen);

/* What was just done, until the next key. Long text takes as many lines as it needs. */
void frame_say(console *con, const char *format, ...) __attribute__((format(printf, 2, 3)));
/* The same, shown at once: before work that takes longer than a person notices. */
void frame_say_now(console *con, const char *text);
/* An error as a sentence; after it nothing has changed. */
void frame_refuse(console *con, const mc_error *error);
/* The same for a reason of one's own. */
void frame_refuse_words(console *con, const char *format, ...)
    __attribute__((format(printf, 2, 3)));
/* Ask a question that only one letter says yes to: digits and Enter, which a caliper or a scanner
 * types, never do. */
void frame_ask(console *con, char letter, void (*on_yes)(console *, void *), const char *question);
/* The same where an instrument may be typing: its digits, points, signs and Enter neither answer
 * the question nor take it away. */
void frame_ask_at_chair(console *con, char letter, void (*on_yes)(console *, void *),
                        const char *question);

/* Ask for a line of text in the status line: Enter hands it to on_text, Esc takes the question away
 * and says so. Until then every other key but those that lock and leave is text or does nothing.
 * start (may be NULL) stands there at first. on_text may ask the next one; what it says with
 * frame_say before that stands above the question. secret: only a mark per character is shown, and
 * what was typed is wiped afterwards; a question left alone goes away when the names are hidden.
 * Opening or closing a screen takes a question away: ask after frame_open. */
enum { PROMPT_SIZE = LINE_SIZE };
void frame_prompt(console *con, const char *label, const char *start, bool secret,
                  void (*on_text)(console *con, void *screen, const char *text));
/* A question or a prompt is open: what comes by itself is better not said now. */
bool frame_is_asking(const console *con);

/* Run act now where somebody is signed in, else once somebody has. */
void frame_with_person(console *con, void (*act)(console *con, void *screen));
/* The same for what only some roles do (bits 1 << mc_role); others are told so. doing stays with
 * the caller and continues "only a doctor ...": "signs a decision". */
enum { BY_DOCTOR = 1 << MC_DOCTOR, BY_CHAIR = 1 << MC_DOCTOR | 1 << MC_ASSISTANT };
void frame_with_role(console *con, unsigned roles, const char *doing,
                     void (*act)(console *con, void *screen));

/* The frame's own keys, at every screen; and those while a line of text is asked for. */
const key_row *frame_keys(void);
const key_row *prompt_keys(void);

enum { CTRL_C = 3, CTRL_L = 12, CTRL_Q = 17 };
/* Do what a table says of a key, for the screen on top; false where it says nothing. */
bool frame_dispatch(console *con, const key_row *keys, int key);

/* Handle one key; what is due when none came, at con->now (true: draw again); draw the whole screen
 * (without showing it, so that it can be measured). */
void frame_key(console *con, int key);
bool frame_tick(console *con);
void frame_draw(console *con);

/* Take over the practice's own settings of the console. */
void frame_settings(console *con);
/* Take the terminal over, and choose the look by what it and the environment (NO_COLOR,
 * MIDCOURSE_ASCII, the locale) ask for. */
mc_status frame_begin(console *con, terminal *t, mc_error *error);
/* Draw and listen until the person leaves or the terminal goes. */
void frame_run(console *con);
/* Close every screen. */
void frame_close(console *con);

/* A person's name as it may be shown now. */
const char *frame_name(const console *con, const mc_case *kase);

#endif
