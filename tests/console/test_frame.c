/* The frame by its own values: prompts, who is at the keyboard, the lock; its clock is set here. */
#include "frame.h"
#include "help.h"
#include "lock.h"
#include "random.h"
#include "sign_in.h"

#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include <curses.h>
#include <locale.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>
#include <wchar.h>

static char folder[64], record[100];
static mc_demo_person doctor, assistant, desk;

static mc_day today(void) {
    mc_day day = 0;
    assert_true(mc_day_parse("2026-03-02", &day));
    return day;
}

/* ---- a screen that tells what reaches it ---- */

enum { PROBE_KEY = 'x' };

typedef struct probe {
    int keys, typed, idles;
    bool speaks;     /* when it notices the time */
    char text[3000]; /* that a prompt handed over */
    int handed;
} probe;

static void probe_key(console *con, void *self) {
    (void)con;
    ((probe *)self)->keys++;
}

static void probe_typed(console *con, void *self, int key) {
    (void)con;
    (void)key;
    ((probe *)self)->typed++;
}

static void probe_title(const console *con, const void *self, char *left, size_t size) {
    (void)con;
    (void)self;
    snprintf(left, size, "ZZZ Zorrel, Z.");
}

static void probe_draw(console *con, void *self, area body) {
    (void)self;
    for (int row = 0; row < body.rows; row++)
        for (int col = 0; col < body.cols; col++)
            put(&con->theme, body.row + row, body.col + col, 1, STYLE_PLAIN, "Z");
}

static bool probe_idle(console *con, void *self) {
    probe *p = self;
    p->idles++;
    if (p->speaks)
        frame_say_now(con, "Zorrel was changed.");
    return p->speaks;
}

static const key_row PROBE_KEYS[] = {{PROBE_KEY, 0, "x", "probe", "probes", probe_key}, {0}};
static const screen_ops PROBE = {.name = "probe",
                                 .keys = PROBE_KEYS,
                                 .typed = probe_typed,
                                 .title = probe_title,
                                 .draw = probe_draw,
                                 .idle = probe_idle};

static void probe_text(console *con, void *screen, const char *text) {
    probe *p = screen;
    (void)con;
    p->handed++;
    snprintf(p->text, sizeof p->text, "%s", text);
}

/* ---- a console on a terminal that nobody sees ---- */

typedef struct stage {
    console con;
    probe probe;
    SCREEN *screen;
    FILE *out, *in;
} stage;

static int begin(void **state) {
    stage *s = calloc(1, sizeof *s);
    mc_error error = {0};
    assert_non_null(s);
    s->out = fopen("/dev/null", "w");
    s->in = fopen("/dev/null", "r");
    s->screen = newterm("xterm-256color", s->out, s->in);
    assert_non_null(s->screen);
    resizeterm(24, 80);
    s->con.today = today();
    theme_start(&s->con.theme, false, false);
    if (mc_practice_open(record, today(), &s->con.practice, &error) != MC_OK)
        fail_msg("%s", error.text);
    frame_open(&s->con, &PROBE, &s->probe);
    *state = s;
    return 0;
}

static int end(void **state) {
    stage *s = *state;
    frame_close(&s->con);
    mc_practice_close(s->con.practice);
    endwin();
    delscreen(s->screen);
    fclose(s->out);
    fclose(s->in);
    free(s);
    return 0;
}

static void act_as(stage *s, const mc_demo_person *person) {
    mc_error error = {0};
    assert_int_equal(mc_practice_act_as(s->con.practice, person->initials, &error), MC_OK);
    sign_in_look_up(&s->con);
}

static void key(stage *s, int which) {
    frame_key(&s->con, which);
}

static void type(stage *s, const char *text) {
    for (; *text; text++)
        key(s, (unsigned char)*text);
}

static void enter(stage *s, const char *text) {
    type(s, text);
    key(s, '\n');
}

/* So many seconds go by without a key. */
static void wait(stage *s, double seconds) {
    s->con.now += seconds;
    frame_tick(&s->con);
}

/* ---- what stands on the screen ---- */

enum { MOST_COLS = 200, MOST_ROWS = 60 };

static const char *row_text(int row, char out[4 * MOST_COLS + 1]) {
    wchar_t cells[MOST_COLS + 1];
    mbstate_t shift = {0};
    const wchar_t *from = cells;
    assert_int_not_equal(mvinnwstr(row, 0, cells, COLS), ERR);
    out[wcsrtombs(out, &from, 4 * MOST_COLS, &shift)] = '\0';
    return out;
}

static int seen(stage *s, const char *text) {
    char line[4 * MOST_COLS + 1];
    frame_draw(&s->con);
    for (int row = 0; row < LINES; row++)
        if (strstr(row_text(row, line), text))
            return row;
    return -1;
}

#define sees(s, text)                                                                              \
    do {                                                                                           \
        if (seen(s, text) < 0)                                                                     \
            fail_msg("'%s' is not on the screen; status '%s'", text, (s)->con.status);             \
    } while (0)

/* The whole screen as one text. */
static char *picture(stage *s) {
    char line[4 * MOST_COLS + 1];
    char *all = calloc((size_t)LINES, sizeof line);
    assert_non_null(all);
    frame_draw(&s->con);
    for (int row = 0; row < LINES; row++) {
        strcat(all, row_text(row, line));
        strcat(all, "\n");
    }
    return all;
}

/* ---- prompts ---- */

static void ask(stage *s, bool secret) {
    frame_prompt(&s->con, "Reason:", NULL, secret, probe_text);
}

static void a_prompt_takes_every_key_and_hands_over_the_text(void **state) {
    stage *s = *state;
    ask(s, false);
    type(s, "x1?q");
    key(s, KEY_F(1));
    key(s, KEY_F(2));
    key(s, KEY_UP);
    assert_int_equal(s->con.depth, 1);
    assert_int_equal(s->probe.keys + s->probe.typed, 0);
    assert_int_equal(seen(s, "Reason: x1?q"), 22);
    assert_int_equal(s->con.cursor_col, 1 + 12);
    key(s, '\n');
    assert_int_equal(s->probe.handed, 1);
    assert_string_equal(s->probe.text, "x1?q");
    key(s, 'x');
    assert_int_equal(s->probe.keys, 1);
}

static void escape_takes_a_prompt_away(void **state) {
    stage *s = *state;
    const int ways[] = {KEY_ESC, CTRL_C};
    for (int i = 0; i < 2; i++) {
        ask(s, false);
        type(s, "never mind");
        key(s, ways[i]);
        assert_false(s->con.prompt.open);
        assert_int_equal(seen(s, "Not changed."), 22);
        assert_int_equal(seen(s, "Reason:"), -1);
    }
    assert_int_equal(s->probe.handed, 0);
    assert_false(s->con.leaving);
}

static void ask_the_next(console *con, void *screen, const char *text) {
    probe_text(con, screen, text);
    frame_say(con, "Said before.");
    frame_prompt(con, "And then:", "so", false, probe_text);
}

static void one_question_leads_to_the_next(void **state) {
    stage *s = *state;
    frame_prompt(&s->con, "First:", NULL, false, ask_the_next);
    enter(s, "one");
    assert_string_equal(s->probe.text, "one");
    assert_int_equal(seen(s, "And then: so"), 22);
    assert_int_equal(seen(s, "Said before."), 21);
    enter(s, "!");
    assert_string_equal(s->probe.text, "so!");
}

/* Anywhere in the console's own memory. */
static bool remembers(const console *con, const char *text) {
    const char *memory = (const char *)con;
    size_t length = strlen(text);
    for (size_t i = 0; i + length <= sizeof *con; i++)
        if (memcmp(memory + i, text, length) == 0)
            return true;
    return false;
}

static void a_secret_is_never_shown_and_never_kept(void **state) {
    stage *s = *state;
    ask(s, true);
    type(s, "bramble");
    assert_int_equal(seen(s, "bramble"), -1);
    sees(s, "Reason: *******");
    assert_true(remembers(&s->con, "bramble"));
    key(s, '\n');
    assert_string_equal(s->probe.text, "bramble");
    assert_false(remembers(&s->con, "bramble"));
    enum { CTRL_U = 21, TIME = -2 };
    const int ways[] = {KEY_ESC, CTRL_U, TIME, KEY_F(4)};
    for (int i = 0; i < 4; i++) {
        act_as(s, &doctor);
        ask(s, true);
        type(s, "bramble");
        if (ways[i] == TIME) {
            s->con.lock_after = 300;
            wait(s, 300);
        } else {
            key(s, ways[i]);
        }
        if (remembers(&s->con, "bramble"))
            fail_msg("way %d", i);
        if (s->con.locked)
            lock_open(&s->con);
    }
}

static void point(text_line *l, int32_t code) {
    assert_true(line_key(l, code < 128 ? code : KEY_CHARACTER + code));
}

static void characters_are_typed_and_taken_back_whole(void **state) {
    (void)state;
    text_line l;
    line_start(&l, NULL, 0);
    point(&l, 'a');
    point(&l, 0xe9);   /* e with an accent */
    point(&l, 0x6587); /* two columns wide */
    point(&l, 'o');
    point(&l, 0x308); /* two marks upon the o */
    point(&l, 0x301);
    assert_string_equal(l.text, "a\xc3\xa9\xe6\x96\x87o\xcc\x88\xcc\x81");
    point(&l, 'n');
    line_key(&l, KEY_BACKSPACE);
    line_key(&l, KEY_BACKSPACE); /* the o goes with its marks */
    assert_string_equal(l.text, "a\xc3\xa9\xe6\x96\x87");
    line_key(&l, KEY_BACKSPACE);
    assert_string_equal(l.text, "a\xc3\xa9");
    line_key(&l, KEY_BACKSPACE);
    line_key(&l, KEY_BACKSPACE);
    line_key(&l, KEY_BACKSPACE);
    assert_int_equal(l.used, 0);
    line_key(&l, KEY_CHARACTER + 0x301); /* a mark upon nothing */
    assert_string_equal(l.text, "");
}

static void what_cannot_be_seen_is_not_typed(void **state) {
    (void)state;
    text_line l;
    const int32_t unseen[] = {0x1b, 0x9b, 0x202e, 0x200b, 0xfeff, 0xe000, 0xffff, 0x2028, 7};
    line_start(&l,
               "ab\x1b"
               "c\xe2\x80\xae",
               0);
    assert_string_equal(l.text, "abc");
    for (size_t i = 0; i < sizeof unseen / sizeof *unseen; i++)
        assert_false(line_key(&l, KEY_CHARACTER + unseen[i]));
    assert_false(line_key(&l, KEY_LEFT));
    assert_false(line_key(&l, KEY_ESC));
    assert_string_equal(l.text, "abc");
    assert_true(line_key(&l, 21));
    assert_string_equal(l.text, "");
}

static void a_line_holds_so_many_characters(void **state) {
    (void)state;
    text_line l;
    line_start(&l,
               "o\xcc\x88i\xcc\x81"
               "abc",
               4);
    assert_string_equal(l.text, "o\xcc\x88i\xcc\x81"
                                "ab");
    line_key(&l, 'c');
    assert_string_equal(l.text, "o\xcc\x88i\xcc\x81"
                                "ab");
    point(&l, 0x301); /* a mark is no further one */
    assert_string_equal(l.text, "o\xcc\x88i\xcc\x81"
                                "ab\xcc\x81");
    line_key(&l, KEY_BACKSPACE);
    line_key(&l, 'd');
    assert_string_equal(l.text, "o\xcc\x88i\xcc\x81"
                                "ad");
}

/* What is offered is taken with Enter, typed over by a character, and mended by Backspace. */
static void what_is_offered_is_typed_over(void **state) {
    stage *s = *state;
    text_line *l = &s->con.prompt.line;
    ask(s, false);
    line_offer(l, "IBA", 3);
    key(s, KEY_LEFT); /* no character */
    assert_string_equal(l->text, "IBA");
    type(s, "jt");
    assert_string_equal(l->text, "jt");
    line_offer(l, "X", 1);
    key(s, 'y');
    assert_string_equal(l->text, "y");
    assert_string_equal(s->con.status, ""); /* there was room */
    key(s, 'z');
    sees(s, "There is no room for more.");
    line_offer(l, "IBA", 3);
    key(s, KEY_BACKSPACE);
    key(s, 'C');
    assert_string_equal(l->text, "IBC");
    line_offer(l, "", 3);
    assert_false(l->offered);
}

static void a_huge_paste_is_held_in(void **state) {
    stage *s = *state;
    ask(s, false);
    for (int i = 0; i < 1000; i++) {
        key(s, 'p');
        key(s, KEY_CHARACTER + 0xe9);
    }
    assert_true(s->con.prompt.line.used < LINE_SIZE);
    sees(s, "There is no room for more.");
    sees(s, "p\xc3\xa9p"); /* its end */
    key(s, '\n');
    assert_in_range(strlen(s->probe.text), LINE_SIZE - 3, LINE_SIZE - 1);
    assert_int_equal(s->con.stack[0].ops == &PROBE, 1);
}

/* Whatever is typed, in whatever room: the cursor stands in it, behind the last character. */
static void a_long_text_shows_its_end(void **state) {
    stage *s = *state;
    random_source source = random_seed(3);
    const int32_t points[] = {'a', 0xe9, 0x6587, 'z', 0x301};
    for (int ascii = 0; ascii < 2; ascii++) {
        s->con.theme.ascii = ascii;
        for (int columns = 4; columns < 80; columns++) {
            text_line l;
            line_start(&l, NULL, 0);
            for (int i = 0; i < 100; i++) {
                line_key(&l, KEY_CHARACTER + points[random_bits(&source) % 5]);
                erase();
                int cursor = line_draw(&s->con.theme, &l, 5, 0, columns, false);
                assert_in_range(cursor, 0, columns - 1);
                assert_int_equal(mvinch(5, cursor) & A_CHARTEXT, ' ');
            }
            line_key(&l, '#');
            int cursor = line_draw(&s->con.theme, &l, 5, 0, columns, false);
            assert_int_equal(mvinch(5, cursor - 1) & A_CHARTEXT, '#');
        }
    }
}

static void a_long_question_stands_above_its_text(void **state) {
    stage *s = *state;
    frame_prompt(&s->con,
                 "Why does the case go back to an aligner that was worn before, in one sentence "
                 "that the next doctor understands?",
                 NULL, false, probe_text);
    type(s, "lost");
    sees(s, "Why does the case");
    assert_int_equal(seen(s, "doctor understands?"), 21);
    assert_int_equal(seen(s, "lost"), 22);
    assert_int_equal(s->con.cursor_col, 1 + 4);
}

static void another_size_keeps_what_is_typed(void **state) {
    stage *s = *state;
    ask(s, false);
    type(s, "half a sen");
    resizeterm(40, 120);
    key(s, KEY_RESIZE);
    assert_int_equal(seen(s, "Reason: half a sen"), 38);
    resizeterm(10, 40);
    key(s, KEY_RESIZE);
    type(s, "zz"); /* unseen: not taken */
    key(s, '\n');
    assert_int_equal(s->probe.handed, 0);
    resizeterm(24, 80);
    enter(s, "tence");
    assert_string_equal(s->probe.text, "half a sentence");
}

static void opening_and_closing_a_screen_ends_what_was_asked(void **state) {
    stage *s = *state;
    ask(s, false);
    frame_open(&s->con, &PROBE, &s->probe);
    assert_false(frame_is_asking(&s->con));
    ask(s, false);
    frame_back(&s->con, NULL);
    assert_false(frame_is_asking(&s->con));
    frame_ask(&s->con, 'y', probe_key, "Really?");
    frame_open(&s->con, &PROBE, &s->probe);
    key(s, 'y');
    assert_int_equal(s->probe.keys, 0);
}

static void only_a_letter_answers_a_question(void **state) {
    stage *s = *state;
    const int others[] = {'\n', '1', 'n', KEY_ESC, 'Y'};
    for (int i = 0; i < 5; i++) {
        frame_ask(&s->con, 'y', probe_key, "Really?");
        key(s, others[i]);
        assert_int_equal(s->probe.keys, 0);
        assert_false(frame_is_asking(&s->con));
    }
    frame_ask(&s->con, 'y', probe_key, "Really?");
    key(s, 'y');
    assert_int_equal(s->probe.keys, 1);
}

/* ---- pasting ---- */

static void paste(stage *s, const char *text) {
    key(s, KEY_PASTE_BEGIN);
    type(s, text);
    key(s, KEY_PASTE_END);
}

static void what_is_pasted_is_text_alone(void **state) {
    stage *s = *state;
    ask(s, false);
    paste(s, "one line\nx\n\nand\t\021another\033\n");
    assert_int_equal(s->probe.handed, 0);
    assert_string_equal(s->con.prompt.line.text, "one line x and another");
    key(s, '\n');
    assert_string_equal(s->probe.text, "one line x and another");
    paste(s, "xx\n?q"); /* no key of the screen's or the frame's */
    assert_int_equal(s->probe.keys + s->probe.typed, 0);
    assert_int_equal(s->con.depth, 1);
    sees(s, "Pasted text is taken only where text is asked for.");
    frame_ask(&s->con, 'y', probe_key, "Really?");
    paste(s, "yyy");
    assert_true(frame_is_asking(&s->con)); /* nor an answer */
    sees(s, "Really?");
    key(s, 'n');
    assert_int_equal(s->probe.keys, 0);
}

static void a_passphrase_may_be_pasted(void **state) {
    stage *s = *state;
    char text[100];
    act_as(s, &doctor);
    key(s, KEY_F(4));
    snprintf(text, sizeof text, "%s\n", doctor.passphrase);
    paste(s, text);
    assert_true(s->con.locked);
    key(s, '\n');
    assert_false(s->con.locked);
}

static void a_paste_without_end_does_not_last(void **state) {
    stage *s = *state;
    key(s, KEY_PASTE_BEGIN);
    type(s, "xx");
    assert_int_equal(s->probe.keys, 0);
    wait(s, 0.25);
    type(s, "xx");
    assert_int_equal(s->probe.keys, 2);
}

/* ---- the status line ---- */

static void a_refusal_is_a_sentence(void **state) {
    stage *s = *state;
    const struct {
        const char *error, *said;
    } cases[] = {{"no case 99999", "No case 99999."},
                 {"plan.csv: it ends early", "plan.csv: it ends early."},
                 {"NF is at the desk; this is for a doctor", "NF is at the desk; this is for a "
                                                             "doctor."},
                 {"that's all?", "That's all?"},
                 {"", ""}};
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        mc_error error = {.status = MC_REFUSED};
        snprintf(error.text, sizeof error.text, "%s", cases[i].error);
        frame_refuse(&s->con, &error);
        assert_string_equal(s->con.status, cases[i].said);
    }
}

/* Shown without waiting for the next round of the loop. */
static void what_takes_long_is_said_before(void **state) {
    stage *s = *state;
    char line[4 * MOST_COLS + 1];
    frame_draw(&s->con);
    frame_say_now(&s->con, "Checking ...");
    assert_string_equal(row_text(22, line) + 1, "Checking ...                              "
                                                "                                     ");
}

/* Every word of it is on the screen, in order, and above the keys. */
static void a_long_refusal_is_shown_whole(void **state) {
    enum { WORDS = 70 };
    stage *s = *state;
    mc_error error = {0};
    char word[20];
    size_t used = 0;
    for (int i = 0; i < WORDS; i++)
        used += (size_t)snprintf(error.text + used, sizeof error.text - used, "word%02d ", i);
    frame_refuse(&s->con, &error);
    int row = 1;
    for (int i = 1; i < WORDS; i++) {
        snprintf(word, sizeof word, "word%02d", i);
        int at = seen(s, word);
        assert_in_range(at, row, 22);
        row = at;
    }
    assert_int_equal(row, 22);
    key(s, KEY_UP);
    assert_int_equal(seen(s, "word"), -1);
    sees(s, "ZZZZ");
}

/* ---- who is at the keyboard ---- */

static void answer_sign_in(stage *s, const char *initials, const char *passphrase) {
    assert_true(s->con.prompt.open);
    key(s, 21);
    enter(s, initials);
    enter(s, passphrase);
}

static void sign_in_as(stage *s, const char *initials, const char *passphrase) {
    key(s, KEY_F(2));
    answer_sign_in(s, initials, passphrase);
}

static void a_person_signs_in(void **state) {
    stage *s = *state;
    mc_person person;
    sees(s, "not signed in  2026-03-02");
    key(s, KEY_F(2));
    assert_int_equal(seen(s, "Initials:"), 22);
    type(s, "iba"); /* whatever the letter case */
    key(s, '\n');
    assert_int_equal(seen(s, "Passphrase of iba:"), 22);
    type(s, doctor.passphrase);
    assert_int_equal(seen(s, doctor.passphrase), -1);
    key(s, '\n');
    sees(s, "IBA, doctor, is signed in.");
    assert_int_equal(seen(s, "IBA doctor  2026-03-02"), 0);
    assert_true(mc_practice_actor(s->con.practice, &person));
    assert_string_equal(person.initials, "IBA");
    assert_false(remembers(&s->con, doctor.passphrase));
    sign_in_as(s, "NF", desk.passphrase); /* and another takes over */
    assert_int_equal(seen(s, "NF desk  2026-03-02"), 0);
    key(s, KEY_F(2));
    key(s, KEY_ESC);
    sees(s, "NF stays signed in.");
}

/* What was wrong is not told, by words or by what is asked next. */
static void a_wrong_answer_tells_nothing(void **state) {
    stage *s = *state;
    char said[STATUS_SIZE];
    sign_in_as(s, "IBA", "not the passphrase");
    snprintf(said, sizeof said, "%s", s->con.status);
    assert_non_null(strstr(said, "do not belong together"));
    sees(s, "Initials: IBA");
    key(s, KEY_ESC);
    sees(s, "Nobody is signed in.");
    s->con.now += 100;
    s->con.sign_in.wrong = 0;
    sign_in_as(s, "XYZ", "not the passphrase");
    assert_string_equal(s->con.status, said);
    sees(s, "Initials: XYZ");
    assert_string_equal(s->con.who, "");
    act_as(s, &doctor); /* also of the person who is signed in */
    key(s, KEY_ESC);
    s->con.now += 100;
    sign_in_as(s, "IBA", "not the passphrase");
    sees(s, "Initials: IBA");
    s->con.who[0] = '\0';
    s->con.now += 100;
    s->con.sign_in.wrong = 0;
    answer_sign_in(s, "JT", doctor.passphrase); /* right, but somebody else's */
    assert_string_equal(s->con.status, said);
    assert_string_equal(s->con.who, "");
}

/* Whose passphrase it is does not matter: it opens nothing for initials that are not that
 * person's. */
static void unknown_initials_never_sign_in(void **state) {
    stage *s = *state;
    const mc_demo_person *all[] = {&doctor, &assistant, &desk};
    for (int i = 0; i < 3; i++) {
        sign_in_as(s, "XYZ", all[i]->passphrase);
        assert_string_equal(s->con.who, "");
        key(s, KEY_ESC);
        s->con.now += 100;
    }
}

static void wrong_answers_wait_longer_and_longer(void **state) {
    stage *s = *state;
    double waited = 0;
    key(s, KEY_F(2));
    for (int i = 0; i < 8; i++) {
        answer_sign_in(s, "IBA", "not the passphrase");
        double wait_now = s->con.sign_in.try_after - s->con.now;
        assert_true(wait_now >= (waited < 60 ? waited + 1 : 60));
        waited = wait_now;
        s->con.now += wait_now;
    }
    assert_true(waited == 60);
    answer_sign_in(s, "IBA", "not the passphrase");
    answer_sign_in(s, "IBA", doctor.passphrase); /* too early: not looked at, but kept */
    sees(s, "Wait 60 s, then press Enter again.");
    assert_string_equal(s->con.who, "");
    s->con.now += 59.5;
    key(s, '\n');
    sees(s, "Wait 1 s, then press Enter again.");
    s->con.now += 0.5;
    key(s, '\n');
    assert_string_equal(s->con.who, "IBA");
    assert_int_equal(s->con.sign_in.wrong, 0);
    key(s, 'x'); /* and the screen is as usable as ever */
    assert_int_equal(s->probe.keys, 1);
}

static void a_number_scanned_is_no_try(void **state) {
    stage *s = *state;
    key(s, KEY_F(2));
    answer_sign_in(s, "1005", "1005");
    assert_int_equal(s->con.sign_in.wrong, 0);
    assert_true(s->con.sign_in.try_after <= s->con.now);
    assert_string_equal(s->con.who, "");
    sees(s, "do not belong together.");
}

static void an_action_waits_for_the_person(void **state) {
    stage *s = *state;
    frame_with_person(&s->con, probe_key);
    assert_int_equal(s->probe.keys, 0);
    sees(s, "sign in first");
    answer_sign_in(s, "JT", assistant.passphrase);
    assert_int_equal(s->probe.keys, 1);
    frame_with_person(&s->con, probe_key); /* known by now */
    assert_int_equal(s->probe.keys, 2);
}

static void an_action_given_up_is_never_done(void **state) {
    stage *s = *state;
    frame_with_person(&s->con, probe_key);
    key(s, KEY_ESC);
    sign_in_as(s, "JT", assistant.passphrase);
    assert_string_equal(s->con.who, "JT");
    assert_int_equal(s->probe.keys, 0);
}

static void a_role_is_refused_in_words(void **state) {
    stage *s = *state;
    frame_with_role(&s->con, BY_CHAIR, "enters a check-up", probe_key);
    answer_sign_in(s, "NF", desk.passphrase);
    assert_int_equal(s->probe.keys, 0);
    sees(s, "NF is at the desk: only a doctor or an assistant enters a check-up.");
    act_as(s, &assistant);
    frame_with_role(&s->con, BY_DOCTOR, "signs a decision", probe_key);
    sees(s, "JT is an assistant: only a doctor signs a decision.");
    assert_int_equal(s->probe.keys, 0);
    frame_with_role(&s->con, BY_CHAIR, "enters a check-up", probe_key);
    assert_int_equal(s->probe.keys, 1);
}

static void the_role_gives_way_to_the_case(void **state) {
    stage *s = *state;
    act_as(s, &assistant);
    sees(s, "JT assistant  2026-03-02");
    snprintf(s->con.who, sizeof s->con.who, "%s", "ABCDEFGHABCDEFGHABCDEFGHABCDEFG");
    snprintf(s->con.role, sizeof s->con.role, "%s", "assistantabcdef");
    resizeterm(24, 80);
    assert_int_equal(seen(s, "ZZZ Zorrel, Z."), 0);
}

/* ---- the lock ---- */

/* Nothing that the screens draw or say stands anywhere. */
static void hides_all(stage *s) {
    char line[4 * MOST_COLS + 1];
    frame_draw(&s->con);
    for (int row = 0; row < LINES; row++)
        if (strchr(row_text(row, line), 'Z'))
            fail_msg("row %d: %s", row, line);
    sees(s, "This console is locked.");
}

static void unlock(stage *s, const char *passphrase) {
    assert_true(s->con.locked);
    enter(s, passphrase);
}

static void the_lock_hides_every_cell(void **state) {
    stage *s = *state;
    const int sizes[][2] = {{24, 80}, {40, 120}, {60, 200}};
    act_as(s, &doctor);
    for (int ascii = 0; ascii < 2; ascii++) {
        s->con.theme.ascii = ascii;
        for (int i = 0; i < 3; i++) {
            resizeterm(sizes[i][0], sizes[i][1]);
            frame_say(&s->con, "ZZZ is said.");
            frame_prompt(&s->con, "ZZZ is asked:", "ZZZ", false, probe_text);
            char *before = picture(s);
            key(s, KEY_F(4));
            hides_all(s);
            for (int other = 0; other < 3; other++) { /* nor when the size changes */
                resizeterm(sizes[other][0], sizes[other][1]);
                key(s, KEY_RESIZE);
                hides_all(s);
            }
            resizeterm(sizes[i][0], sizes[i][1]);
            unlock(s, doctor.passphrase);
            char *after = picture(s);
            assert_string_equal(after, before);
            free(before);
            free(after);
            key(s, KEY_ESC);
        }
    }
}

static void it_locks_when_nobody_types(void **state) {
    stage *s = *state;
    act_as(s, &doctor);
    s->con.hide_after = 60;
    s->con.lock_after = 300;
    key(s, 'x');
    wait(s, 59.9);
    assert_false(s->con.names_hidden);
    wait(s, 0.1);
    assert_true(s->con.names_hidden);
    wait(s, 239.9);
    assert_false(s->con.locked);
    key(s, 'x'); /* a key begins the time anew */
    assert_false(s->con.names_hidden);
    wait(s, 299);
    key(s, KEY_RESIZE); /* another size is no key */
    wait(s, 1);
    assert_true(s->con.locked);
    hides_all(s);
    unlock(s, doctor.passphrase);
    assert_false(s->con.locked);
    assert_int_equal(s->probe.keys, 2);
    s->con.now += 10000; /* the machine slept, and a key wakes it */
    key(s, 'x');
    assert_true(s->con.locked);
    assert_int_equal(s->probe.keys, 2);
    assert_int_equal(s->con.prompt.line.used, 0);
}

static void never_locks_where_no_time_is_set(void **state) {
    stage *s = *state;
    wait(s, 1e7);
    assert_false(s->con.locked || s->con.names_hidden);
}

static void the_settings_say_when(void **state) {
    stage *s = *state;
    mc_error error = {0};
    int64_t set = 0;
    frame_settings(&s->con);
    assert_true(s->con.hide_after == 60 && s->con.lock_after == 300);
    act_as(s, &doctor);
    if (mc_settings_change(s->con.practice, NULL, "hide_seconds", 20, "a busy desk", &set,
                           &error) != MC_OK ||
        mc_settings_change(s->con.practice, NULL, "lock_minutes", 7, "a busy desk", &set, &error) !=
            MC_OK)
        fail_msg("%s", error.text);
    frame_settings(&s->con);
    assert_true(s->con.hide_after == 20 && s->con.lock_after == 420);
}

static void locked_screens_get_no_key_but_notice_the_time(void **state) {
    stage *s = *state;
    act_as(s, &doctor);
    key(s, KEY_F(4));
    int idles = s->probe.idles;
    s->probe.speaks = true;
    const int keys[] = {'x', KEY_F(1), '?', 'q', KEY_UP, '\t', KEY_ESC, KEY_F(5), KEY_F(4), '\n'};
    for (size_t i = 0; i < sizeof keys / sizeof *keys; i++) {
        key(s, keys[i]);
        wait(s, 0.25);
        char line[4 * MOST_COLS + 1];
        for (int row = 0; row < LINES; row++) /* not for a moment */
            assert_null(strstr(row_text(row, line), "Zorrel"));
        hides_all(s);
    }
    assert_int_equal(s->probe.keys + s->probe.typed, 0);
    assert_int_equal(s->con.depth, 1);
    assert_int_equal(s->probe.idles, idles + 10);
    key(s, 21);
    unlock(s, doctor.passphrase);
    sees(s, "Zorrel was changed."); /* said behind the lock, read now */
}

static void the_wrong_passphrase_does_not_unlock(void **state) {
    stage *s = *state;
    act_as(s, &doctor);
    key(s, KEY_F(4));
    unlock(s, "not the passphrase");
    hides_all(s);
    sees(s, "That is not the passphrase of IBA. The next try is looked at in 1 s.");
    sees(s, "Passphrase of IBA:");
    s->con.now += 100;
    unlock(s, assistant.passphrase); /* somebody else's */
    assert_true(s->con.locked);
    s->con.now += 100;
    unlock(s, doctor.passphrase);
    assert_false(s->con.locked);
}

static void a_scanner_does_nothing_to_the_lock(void **state) {
    stage *s = *state;
    act_as(s, &doctor);
    key(s, KEY_F(4));
    for (int i = 0; i < 5; i++)
        enter(s, "1005");
    hides_all(s);
    unlock(s, doctor.passphrase); /* at once: no wait has grown */
    assert_false(s->con.locked);
    assert_int_equal(s->probe.keys + s->probe.typed, 0);
}

static void somebody_else_takes_over(void **state) {
    stage *s = *state;
    act_as(s, &doctor);
    frame_ask(&s->con, 'y', probe_key, "Really, Zorrel?");
    key(s, KEY_F(4));
    key(s, KEY_F(2));
    sees(s, "Initials:");
    key(s, KEY_ESC);
    sees(s, "Passphrase of IBA:");
    sign_in_as(s, "JT", assistant.passphrase);
    assert_false(s->con.locked);
    assert_string_equal(s->con.who, "JT");
    sees(s, "JT, assistant, is signed in.");
    key(s, 'y'); /* what was asked of the other is not answered */
    assert_int_equal(s->probe.keys, 0);
}

static void a_question_waits_behind_the_lock(void **state) {
    stage *s = *state;
    act_as(s, &doctor);
    frame_ask(&s->con, 'y', probe_key, "Really?");
    key(s, KEY_F(4));
    key(s, 'y');
    key(s, 21);
    assert_int_equal(s->probe.keys, 0);
    unlock(s, doctor.passphrase);
    sees(s, "Really? Type y for yes");
    key(s, 'y');
    assert_int_equal(s->probe.keys, 1);
}

static void with_nobody_signed_in_anybody_of_the_practice_unlocks(void **state) {
    stage *s = *state;
    key(s, KEY_F(4));
    hides_all(s);
    sees(s, "Nobody is signed in.");
    answer_sign_in(s, "ZZ", "not the passphrase");
    assert_true(s->con.locked);
    s->con.now += 100;
    answer_sign_in(s, "NF", desk.passphrase);
    assert_false(s->con.locked);
    assert_string_equal(s->con.who, "NF");
}

static void a_prompt_and_the_lock(void **state) {
    stage *s = *state;
    act_as(s, &doctor);
    ask(s, false);
    type(s, "half a sen");
    key(s, KEY_F(4));
    assert_int_equal(seen(s, "half"), -1);
    unlock(s, doctor.passphrase);
    sees(s, "Reason: half a sen");
    enter(s, "tence");
    assert_string_equal(s->probe.text, "half a sentence");
    ask(s, true); /* a secret goes */
    type(s, "bramble");
    key(s, KEY_F(4));
    unlock(s, doctor.passphrase);
    assert_false(s->con.prompt.open);
    sees(s, "Not changed.");
    s->con.hide_after = 60; /* also with the names */
    ask(s, true);
    type(s, "bramble");
    wait(s, 60);
    assert_false(s->con.prompt.open);
    ask(s, false);
    type(s, "stays");
    s->con.last_key = s->con.now;
    s->con.names_hidden = false;
    wait(s, 60);
    sees(s, "Reason: stays");
}

static void a_sign_in_half_way_does_not_outlive_the_lock(void **state) {
    stage *s = *state;
    frame_with_person(&s->con, probe_key);
    type(s, "JT");
    key(s, KEY_F(4));
    answer_sign_in(s, "NF", desk.passphrase);
    assert_false(s->con.locked || s->con.prompt.open);
    assert_int_equal(s->probe.keys, 0);
}

static void half_a_passphrase_on_the_lock_goes_with_the_names(void **state) {
    stage *s = *state;
    act_as(s, &doctor);
    s->con.hide_after = 60;
    key(s, KEY_F(4));
    type(s, "copper");
    wait(s, 60);
    assert_int_equal(s->con.prompt.line.used, 0);
    unlock(s, doctor.passphrase);
    assert_false(s->con.locked);
}

static void who_has_retired_does_not_unlock(void **state) {
    stage *s = *state;
    mc_error error = {0};
    act_as(s, &doctor);
    if (mc_staff_add(s->con.practice, "QQ", MC_ASSISTANT, "thistle-thistle", NULL, &error) != MC_OK)
        fail_msg("%s", error.text);
    sign_in_as(s, "QQ", "thistle-thistle");
    assert_string_equal(s->con.who, "QQ");
    key(s, KEY_F(4));
    act_as(s, &doctor); /* elsewhere */
    assert_int_equal(mc_staff_retire(s->con.practice, "QQ", NULL, &error), MC_OK);
    snprintf(s->con.who, sizeof s->con.who, "QQ");
    unlock(s, "thistle-thistle");
    assert_true(s->con.locked);
    s->con.now += 100;
    sign_in_as(s, "IBA", doctor.passphrase);
    assert_false(s->con.locked);
}

/* ---- the frame's keys ---- */

static void the_help_lists_every_key_of_the_frame(void **state) {
    stage *s = *state;
    resizeterm(60, 120);
    help_open(&s->con);
    const key_row *tables[] = {frame_keys(), prompt_keys()};
    for (int i = 0; i < 2; i++) {
        for (const key_row *row = tables[i]; row->act; row++) {
            int at = seen(s, row->name);
            if (at < 0 || !row->does)
                fail_msg("%s is not on the page", row->name);
            sees(s, row->does);
        }
    }
}

static void each_key_of_the_frame_does_what_it_says(void **state) {
    stage *s = *state;
    const int leaves[] = {CTRL_Q, CTRL_C, KEY_F(10)}, helps[] = {KEY_F(1), '?'};
    for (int i = 0; i < 3; i++) {
        key(s, leaves[i]);
        assert_true(s->con.leaving);
        s->con.leaving = false;
    }
    for (int i = 0; i < 2; i++) {
        key(s, helps[i]);
        assert_int_equal(s->con.depth, 2);
        assert_int_equal(seen(s, "Help: probe"), 0);
        key(s, KEY_ESC);
    }
    frame_draw(&s->con);
    refresh();
    key(s, CTRL_L);
    assert_true(is_cleared(stdscr)); /* everything is written anew */
    key(s, KEY_F(2));
    sees(s, "Initials:");
    key(s, KEY_ESC);
    key(s, KEY_F(4));
    assert_true(s->con.locked);
    for (int i = 0; i < 3; i++) { /* the lock can be left, too */
        key(s, leaves[i]);
        assert_true(s->con.leaving);
        s->con.leaving = false;
    }
    int count = 0;
    for (const key_row *row = frame_keys(); row->act; row++)
        count++;
    assert_int_equal(count, 6); /* a new one is to be tried here */
    lock_open(&s->con);
    ask(s, false);
    key(s, CTRL_Q);
    assert_true(s->con.leaving);
    s->con.leaving = false;
}

/* ---- */

static int make_demo(void **state) {
    (void)state;
    mc_practice *practice = NULL;
    mc_error error = {0};
    size_t count = 0;
    setlocale(LC_CTYPE, "C.UTF-8");
    snprintf(folder, sizeof folder, "/tmp/midcourse-test-XXXXXX");
    assert_non_null(mkdtemp(folder));
    snprintf(record, sizeof record, "%s/demo.db", folder);
    if (mc_demo_make(record, today(), &practice, &error) != MC_OK)
        fail_msg("%s", error.text);
    mc_practice_close(practice);
    const mc_demo_person *people = mc_demo_people(&count);
    for (size_t i = 0; i < count; i++)
        *(people[i].role == MC_DOCTOR      ? &doctor
          : people[i].role == MC_ASSISTANT ? &assistant
                                           : &desk) = people[i];
    return 0;
}

static int remove_demo(void **state) {
    (void)state;
    char command[100];
    snprintf(command, sizeof command, "rm -rf '%s'", folder);
    return system(command);
}

#define framed(test) cmocka_unit_test_setup_teardown(test, begin, end)

int main(void) {
    const struct CMUnitTest tests[] = {
        framed(a_prompt_takes_every_key_and_hands_over_the_text),
        framed(escape_takes_a_prompt_away),
        framed(one_question_leads_to_the_next),
        framed(a_secret_is_never_shown_and_never_kept),
        framed(characters_are_typed_and_taken_back_whole),
        framed(what_cannot_be_seen_is_not_typed),
        framed(a_line_holds_so_many_characters),
        framed(what_is_offered_is_typed_over),
        framed(a_huge_paste_is_held_in),
        framed(a_long_text_shows_its_end),
        framed(a_long_question_stands_above_its_text),
        framed(another_size_keeps_what_is_typed),
        framed(opening_and_closing_a_screen_ends_what_was_asked),
        framed(only_a_letter_answers_a_question),
        framed(what_is_pasted_is_text_alone),
        framed(a_passphrase_may_be_pasted),
        framed(a_paste_without_end_does_not_last),
        framed(a_refusal_is_a_sentence),
        framed(what_takes_long_is_said_before),
        framed(a_long_refusal_is_shown_whole),
        framed(a_person_signs_in),
        framed(a_wrong_answer_tells_nothing),
        framed(unknown_initials_never_sign_in),
        framed(wrong_answers_wait_longer_and_longer),
        framed(a_number_scanned_is_no_try),
        framed(an_action_waits_for_the_person),
        framed(an_action_given_up_is_never_done),
        framed(a_role_is_refused_in_words),
        framed(the_role_gives_way_to_the_case),
        framed(the_lock_hides_every_cell),
        framed(it_locks_when_nobody_types),
        framed(never_locks_where_no_time_is_set),
        framed(the_settings_say_when),
        framed(locked_screens_get_no_key_but_notice_the_time),
        framed(the_wrong_passphrase_does_not_unlock),
        framed(a_scanner_does_nothing_to_the_lock),
        framed(somebody_else_takes_over),
        framed(a_question_waits_behind_the_lock),
        framed(with_nobody_signed_in_anybody_of_the_practice_unlocks),
        framed(a_prompt_and_the_lock),
        framed(a_sign_in_half_way_does_not_outlive_the_lock),
        framed(half_a_passphrase_on_the_lock_goes_with_the_names),
        framed(who_has_retired_does_not_unlock),
        framed(the_help_lists_every_key_of_the_frame),
        framed(each_key_of_the_frame_does_what_it_says),
    };
    return cmocka_run_group_tests(tests, make_demo, remove_demo);
}
