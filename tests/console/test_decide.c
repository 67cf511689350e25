/* Deciding at the console, on the demo practice under a real terminal: every choice signed as the
 * command would sign it, what is refused, who signs, and how many keys it takes. */
#include "pty.h"
#include "values.h"

#include "midcourse/console.h"

#include "chart.h"
#include "decide_view.h"

#define ESC "\033"
#define ENTER "\r"
#define PAGE_DOWN "\033[6~"
#define CTRL_Q "\021"
#define TODAY "2026-03-02"
#define DOCTOR_WORDS "copper-fern-lantern"
#define ASSISTANT_WORDS "quiet-basalt-kettle"

/* The demo is made once; each test has a copy, and a sister to which the command does the same. */
static char folder[64], demo[100], record[100], sister[100], draft[100];

static mc_day day(const char *text) {
    mc_day out = 0;
    assert_true(mc_day_parse(text, &out));
    return out;
}

static void run(const char *format, ...) __attribute__((format(printf, 1, 2)));
static void run(const char *format, ...) {
    char command[1000];
    va_list values;
    va_start(values, format);
    vsnprintf(command, sizeof command, format, values);
    va_end(values);
    if (system(command) != 0)
        fail_msg("%s", command);
}

static int make_demo(void **state) {
    (void)state;
    mc_practice *practice = NULL;
    mc_error error = {0};
    snprintf(folder, sizeof folder, "/tmp/midcourse-test-XXXXXX");
    assert_non_null(mkdtemp(folder));
    snprintf(demo, sizeof demo, "%s/demo.db", folder);
    snprintf(record, sizeof record, "%s/here.db", folder);
    snprintf(sister, sizeof sister, "%s/sister.db", folder);
    snprintf(draft, sizeof draft, "%s/draft.csv", folder);
    if (mc_demo_make(demo, day(TODAY), &practice, &error) != MC_OK)
        fail_msg("%s", error.text);
    mc_practice_close(practice);
    run("printf '%s' >'%s/words'", DOCTOR_WORDS, folder);
    return 0;
}

static int remove_demo(void **state) {
    (void)state;
    char command[100];
    snprintf(command, sizeof command, "rm -rf '%s'", folder);
    return system(command);
}

static int fresh(void **state) {
    (void)state;
    run("rm -f '%s' '%s'* '%s'* && cp '%s' '%s' && cp '%s' '%s'", draft, record, sister, demo,
        record, demo, sister);
    return 0;
}

/* ---- the console under the terminal ---- */

typedef struct visit {
    const char *label; /* of the case to open; NULL: the roster */
    const char *who;   /* is signed in; NULL: nobody */
} visit;

static void play(void *context) {
    const visit *v = context;
    mc_practice *practice = NULL;
    mc_error error = {0};
    mc_status status = mc_practice_open(record, day(TODAY), &practice, &error);
    if (status == MC_OK && v->who)
        status = mc_practice_act_as(practice, v->who, &error);
    if (status == MC_OK)
        status = mc_console_run(practice, v->label, NULL, &error);
    mc_practice_close(practice);
    _exit((int)status);
}

static const char *told(const pty *p) {
    return pty_told(p);
}

static void comes(pty *p, const char *text) {
    pty_comes(p, text);
}

static const pty_setting SMALL = {.rows = 24, .cols = 80};

static pty at_chart_in(pty_setting setting, const char *label, const char *who) {
    visit v = {label, who};
    pty p = pty_start(setting, play, &v);
    comes(&p, "F1 ? help");
    return p;
}

static pty at_chart(const char *label, const char *who) {
    return at_chart_in(SMALL, label, who);
}

static pty deciding_in(pty_setting setting, const char *label, const char *who) {
    pty p = at_chart_in(setting, label, who);
    pty_keys(&p, "d");
    comes(&p, "choice by itself");
    return p;
}

static pty deciding(const char *label, const char *who) {
    return deciding_in(SMALL, label, who);
}

static void leave(pty *p) {
    pty_keys(p, CTRL_Q);
    pty_ended_well(p);
}

static void press(pty *p, const char *keys, const char *then) {
    pty_keys(p, keys);
    comes(p, then);
}

static void lacks(const pty *p, const char *text) {
    if (!strstr(told(p), text))
        return;
    pty_print(p);
    fail_msg("'%s' stands there", text);
}

/* From what is chosen to the signature of the doctor who is signed in. */
static void sign(pty *p) {
    press(p, "s", "Signed by (initials): IBA");
    press(p, ENTER, "Passphrase of IBA:");
    press(p, DOCTOR_WORDS ENTER, "Signed by IBA:");
}

/* ---- what is on record ---- */

static mc_practice *opened(const char *path) {
    mc_practice *practice = NULL;
    mc_error error = {0};
    if (mc_practice_open(path, day(TODAY), &practice, &error) != MC_OK)
        fail_msg("%s", error.text);
    return practice;
}

static mc_assessment *assessed(mc_practice *practice, const char *label) {
    mc_case kase;
    mc_assessment *a = NULL;
    mc_error error = {0};
    if (mc_case_find(practice, label, &kase, &error) != MC_OK ||
        mc_assess(practice, &kase, 0, false, &a, &error) != MC_OK)
        fail_msg("%s", error.text);
    return a;
}

static size_t decisions_of(const char *label) {
    mc_practice *practice = opened(record);
    mc_assessment *a = assessed(practice, label);
    size_t count = a->decision_count;
    mc_assessment_free(a);
    mc_practice_close(practice);
    return count;
}

static void command_on(const char *path, const char *arguments) {
    run("MIDCOURSE_TODAY=%s MIDCOURSE_PASSPHRASE_FILE='%s/words' '%s' --db '%s' --as IBA %s "
        ">'%s/said'",
        TODAY, folder, PROGRAM, path, arguments, folder);
}

/* The sister record, by the command. */
static void by_command(const char *arguments) {
    command_on(sister, arguments);
}

/* What was seen at the last signing; the caller frees. */
static char *evidence_of(mc_practice *practice, const mc_case *kase) {
    mc_decision *list = NULL;
    size_t count = 0;
    assert_int_equal(
        mc_record_decisions(mc_practice_record(practice), &kase->id, &list, &count, NULL), MC_OK);
    assert_true(count > 0);
    char *evidence = list[count - 1].evidence;
    list[count - 1].evidence = NULL;
    mc_decision_free(list, count);
    return evidence;
}

/* The last decision is the same in both records, word for word, and so are the dates after it. */
static void same_as_by_command(const char *label) {
    mc_practice *mine = opened(record), *theirs = opened(sister);
    mc_assessment *a = assessed(mine, label), *b = assessed(theirs, label);
    assert_true(a->decision_count > 0);
    assert_int_equal(a->decision_count, b->decision_count);
    const mc_decision *one = &a->decisions[a->decision_count - 1];
    const mc_decision *other = &b->decisions[b->decision_count - 1];
    assert_int_equal(one->checkup, other->checkup);
    assert_int_equal(one->choices, other->choices);
    assert_int_equal(one->days, other->days);
    assert_int_equal(one->to, other->to);
    assert_int_equal(one->cause, other->cause);
    assert_string_equal(one->reason, other->reason);
    assert_string_equal(one->by, other->by);
    assert_int_equal(mc_id_is_none(&one->plan), mc_id_is_none(&other->plan));
    char *seen = evidence_of(mine, &a->kase), *also_seen = evidence_of(theirs, &b->kase);
    assert_string_equal(seen, also_seen);
    free(seen);
    free(also_seen);
    mc_outlook first, second;
    mc_outlook_of(a, NULL, day(TODAY), NULL, &first);
    mc_outlook_of(b, NULL, day(TODAY), NULL, &second);
    assert_int_equal(first.next_change, second.next_change);
    assert_int_equal(first.next_checkup, second.next_checkup);
    assert_string_equal(a->info.hash, b->info.hash);
    assert_int_equal(a->info.start, b->info.start);
    mc_assessment_free(a);
    mc_assessment_free(b);
    mc_practice_close(mine);
    mc_practice_close(theirs);
}

/* The day of the next check-up that is on record stands on the screen. */
static void shows_the_next_checkup(const pty *p, const char *label) {
    mc_practice *practice = opened(record);
    mc_assessment *a = assessed(practice, label);
    mc_outlook outlook;
    char date[11], text[40];
    mc_outlook_of(a, NULL, day(TODAY), NULL, &outlook);
    mc_day_text(outlook.next_checkup, date);
    snprintf(text, sizeof text, "check-up %s", date);
    if (!strstr(told(p), outlook.over ? "the plan is finished" : text)) {
        pty_print(p);
        fail_msg("'%s' is not said", text);
    }
    mc_assessment_free(a);
    mc_practice_close(practice);
}

/* ---- every choice ---- */

static void every_choice_is_signed_as_by_command(void **state) {
    static const struct {
        const char *label, *keys, *chosen, *arguments;
    } rows[] = {
        {"1016", "c", "Chosen: carry on.", "decide 1016 --choice carry-on"},
        {"1011", "p", "Chosen: hold 7 days.", "decide 1011 --choice hold --days 7"},
        {"1011", "hh", "Chosen: hold 14 days.", "decide 1011 --choice hold --days 14"},
        {"1011", "d10\r", "Chosen: hold 10 days.", "decide 1011 --choice hold --days 10"},
        {"1006", "b", "Chosen: go back to 6.", "decide 1006 --choice go-back --to 6"},
        {"1006", "t8\r", "Chosen: go back to 8.", "decide 1006 --choice go-back --to 8"},
        {"1003", "p", "Chosen: local measures.", "decide 1003 --choice local"},
        {"1009", "f", "Chosen: finish.", "decide 1009 --choice finish"},
        {"1006", "bbhl", "Chosen: local measures.",
         "decide 1006 --choice go-back --to 8 --choice hold --days 7 --choice local"},
        {"1008", "crseen, firm\r", "The reason is kept",
         "decide 1008 --choice carry-on --reason 'seen, firm'"},
    };
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        fresh(state);
        pty p = deciding(rows[i].label, "IBA");
        press(&p, rows[i].keys, rows[i].chosen);
        sign(&p);
        lacks(&p, "decision waits");
        shows_the_next_checkup(&p, rows[i].label);
        leave(&p);
        by_command(rows[i].arguments);
        same_as_by_command(rows[i].label);
    }
}

static void what_is_signed_is_told_before_and_after(void **state) {
    (void)state;
    pty p = deciding("1011", "IBA");
    comes(&p, "Nothing is chosen yet");
    lacks(&p, "[x]");
    press(&p, "hl", "To sign: hold 7 days and local measures on check-up 3 of case 1011");
    comes(&p, "Next: upper 10 on 2026-03-09; lower 14 on 2026-03-13; check-up 2026-03-07");
    press(&p, "rbutton on 33" ENTER, "reason: button on 33");
    press(&p, "s", "Signed by (initials): IBA");
    press(&p, "iba" ENTER, "Passphrase of IBA:"); /* typed all the same */
    comes(&p, "Sign: hold 7 days and local measures on check-up 3 of case 1011");
    pty_keys(&p, DOCTOR_WORDS);
    pty_settle(&p);
    lacks(&p, DOCTOR_WORDS);
    press(&p, ENTER,
          "Signed by IBA: hold 7 days and local measures. Next: upper 10 on 2026-03-09;");
    comes(&p, "signed hold, local measures (IBA)");
    leave(&p);
}

static void choices_that_exclude_each_other_say_so(void **state) {
    (void)state;
    pty p = deciding("1011", "IBA");
    press(&p, "c", "[x] carry on");
    press(&p, "h", "Chosen: hold 7 days, instead of carry on: they exclude each other.");
    comes(&p, "[x] hold 7 days");
    lacks(&p, "[x] carry on");
    press(&p, "b", "[x] go back to 12");
    press(&p, "c", "Chosen: carry on, instead of hold, go back");
    pty_keys(&p, ENTER); /* to confirm, or a scanner's: never the proposal instead */
    pty_settle(&p);
    comes(&p, "[x] carry on");
    lacks(&p, "[x] hold");
    lacks(&p, "[x] go back");
    press(&p, "c", "No longer chosen: carry on.");
    press(&p, "s", "Nothing is chosen yet: type");
    leave(&p);
    assert_int_equal(decisions_of("1011"), 2);
}

static void numbers_out_of_range_are_refused(void **state) {
    (void)state;
    pty p = deciding("1011", "IBA");
    press(&p, "d61" ENTER, "A whole number from 1 to 60");
    press(&p, "d7.5" ENTER, "A whole number from 1 to 60");
    lacks(&p, "[x]");
    press(&p, "t13" ENTER, "A whole number from 10 to 12");
    press(&p, "t9" ENTER, "A whole number from 10 to 12");
    lacks(&p, "[x]");
    press(&p, "b", "[x] go back to 12");
    press(&p, "b", "[x] go back to 11");
    press(&p, "b", "[x] go back to 10");
    press(&p, "b", "No longer chosen: go back.");
    leave(&p);
}

static void a_proposal_of_another_kind_is_not_a_choice(void **state) {
    (void)state;
    pty p = deciding("1006", "IBA");
    press(&p, "p",
          "\"reseat\" is done at the chair; where it does not seat then, b goes back to 6.");
    lacks(&p, "[x]");
    leave(&p);
    p = deciding("1004", "IBA");
    press(&p, "p", "\"repair\" is done at the chair");
    lacks(&p, "[x]");
    press(&p, "l", "[x] local measures");
    sign(&p);
    leave(&p);
}

/* ---- side by side ---- */

/* In whole per cent as they are shown, blanks apart. */
static void percent(double p, char out[8]) {
    if (p > 0.995 || p < 0.005)
        snprintf(out, 8, "%s", p > 0.995 ? ">99" : "<1");
    else
        snprintf(out, 8, "%.0f", 100 * p);
}

/* A row of the comparison as it reads, each gap one blank. */
static void row_of(const char *name, const mc_option *o, const mc_option *carry_on, char out[160]) {
    char all[8], ends[11];
    int later = o->days - carry_on->days;
    percent(o->p_all_in, all);
    mc_day_text(o->ends, ends);
    snprintf(out, 160, later == 0 ? "%s %.2f %s %s %d %d" : "%s %.2f %s %s %+d %d", name,
             o->expected_out, all, ends, later, o->aligners);
}

static mc_option weighed(const char *label, mc_option_ask ask) {
    mc_practice *practice = opened(record);
    mc_assessment *a = assessed(practice, label);
    mc_option out;
    mc_assess_option(a, &ask, &out);
    mc_assessment_free(a);
    mc_practice_close(practice);
    assert_true(out.possible);
    return out;
}

static const mc_option_ask CARRYING_ON = {1u << MC_CARRY_ON, 0, -1};

/* The row stands there, with nothing between. */
static void has_row(const pty *p, const char *label, const char *name, mc_option_ask ask) {
    char row[160];
    mc_option option = weighed(label, ask), carry_on = weighed(label, CARRYING_ON);
    row_of(name, &option, &carry_on, row);
    if (strstr(told(p), row))
        return;
    pty_print(p);
    fail_msg("'%s' does not stand there", row);
}

static void shows_every_choice(const pty *p, bool all) {
    static const struct {
        const char *name;
        mc_option_ask ask;
        bool further; /* has a row of its own where there is room */
    } rows[] = {
        {"c [ ] carry on", {1u << MC_CARRY_ON, 0, -1}, false},
        {"h [ ] hold 7 days", {1u << MC_HOLD, 7, -1}, false},
        {"[ ] hold 14 days", {1u << MC_HOLD, 14, -1}, true},
        {"b [ ] go back to 12", {1u << MC_GO_BACK, 0, 12}, false},
        {"[ ] go back to 11", {1u << MC_GO_BACK, 0, 11}, true},
        {"[ ] go back to 10", {1u << MC_GO_BACK, 0, 10}, true},
        {"l [ ] local measures", {1u << MC_LOCAL_MEASURES, 0, -1}, false},
        {"k [ ] correct now", {1u << MC_CORRECT, 0, -1}, false},
        {"f [ ] finish, then correct", {1u << MC_FINISH, 0, -1}, false},
    };
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++)
        if (all || !rows[i].further)
            has_row(p, "1011", rows[i].name, rows[i].ask);
        else
            lacks(p, rows[i].name);
}

static void the_choices_stand_side_by_side(void **state) {
    (void)state;
    static const pty_setting settings[] = {{.rows = 24, .cols = 80},
                                           {.rows = 24, .cols = 80, .ascii = "1"},
                                           {.rows = 24, .cols = 80, .term = "vt100"},
                                           {.rows = 27, .cols = 80},
                                           {.rows = 40, .cols = 120},
                                           {.rows = 60, .cols = 200, .no_colour = "1"}};
    for (size_t i = 0; i < sizeof settings / sizeof *settings; i++) {
        pty p = deciding_in(settings[i], "1011", "IBA");
        shows_every_choice(&p, settings[i].rows > 24);
        comes(&p, "Proposal, rule 10 (teeth behind), hold, decision waits");
        comes(&p, "Only a proposal. Rests on ");
        comes(&p, " not known.");
        char line[PTY_LINE]; /* marked by a word, in its own row and in no other */
        int row = pty_find(&p, "hold 7 days  ");
        assert_non_null(strstr(pty_row(&p, row, line), " proposed"));
        for (int other = pty_find(&p, "choice by itself"); other < 21; other++)
            if (other != row)
                assert_null(strstr(pty_row(&p, other, line), " proposed"));
        leave(&p);
    }
}

/* The points of one column stand below each other. */
static void numbers_align_on_the_point(void **state) {
    (void)state;
    pty p = deciding("1011", "IBA");
    char line[PTY_LINE];
    int first = pty_find(&p, "choice by itself") + 1;
    for (int row = first; row < first + MC_CHOICES; row++) {
        pty_row(&p, row, line);
        assert_int_equal(line[32], '.');
        assert_int_equal(line[49], '-');
        assert_int_equal(line[52], '-');
    }
    leave(&p);
}

static void what_is_chosen_together_is_weighed_at_once(void **state) {
    (void)state;
    const unsigned hold = 1u << MC_HOLD, local = 1u << MC_LOCAL_MEASURES, back = 1u << MC_GO_BACK;
    pty p = deciding("1004", "IBA");
    comes(&p, "your choice type the letters of the choices");
    press(&p, "h", "Chosen: hold 7 days.");
    has_row(&p, "1004", "your choice", (mc_option_ask){hold, 7, -1});
    press(&p, "l", "Chosen: local measures.");
    has_row(&p, "1004", "your choice", (mc_option_ask){hold | local, 7, -1});
    has_row(&p, "1004", "[x] local measures", (mc_option_ask){local, 0, -1});
    press(&p, "d10" ENTER, "Chosen: hold 10 days.");
    has_row(&p, "1004", "[x] hold 10 days", (mc_option_ask){hold, 10, -1});
    has_row(&p, "1004", "your choice", (mc_option_ask){hold | local, 10, -1});
    press(&p, "b", "Chosen: go back to 9.");
    has_row(&p, "1004", "your choice", (mc_option_ask){hold | local | back, 10, 9});
    press(&p, "lhh", "No longer chosen: hold.");
    has_row(&p, "1004", "your choice", (mc_option_ask){back, 0, 9});
    leave(&p);
}

/* More is asked for than there is room to remember. */
static void choices_tried_for_long_are_weighed_still(void **state) {
    (void)state;
    pty p = deciding("1011", "IBA");
    for (int days = 15; days < 15 + MOST_WEIGHED; days++) {
        char keys[20], chosen[40];
        snprintf(keys, sizeof keys, "d%d" ENTER, days <= 60 ? days : days - 48);
        snprintf(chosen, sizeof chosen, "Chosen: hold %d days.", days <= 60 ? days : days - 48);
        press(&p, keys, chosen);
    }
    has_row(&p, "1011", "your choice",
            (mc_option_ask){1u << MC_HOLD, 15 + MOST_WEIGHED - 1 - 48, -1});
    has_row(&p, "1011", "b [ ] go back to 12", (mc_option_ask){1u << MC_GO_BACK, 0, 12});
    leave(&p);
}

/* A check-up of a case, entered whole. */
static void check_up(const char *label, const char *file, int upper, int lower) {
    mc_practice *practice = opened(record);
    mc_case kase;
    mc_error error = {0};
    mc_warnings warnings = {0};
    int number = 0;
    mc_checkup_import what = {.data = file,
                              .size = strlen(file),
                              .date = day(TODAY),
                              .aligner = {[MC_UPPER] = upper, [MC_LOWER] = lower},
                              .day = {-1, -1},
                              .wear_hours = NAN,
                              .method = MC_CALIPER,
                              .accept_warnings = true};
    if (mc_practice_act_as(practice, "JT", &error) != MC_OK ||
        mc_case_find(practice, label, &kase, &error) != MC_OK ||
        mc_import_checkup(practice, &kase, &what, &number, &warnings, &error) != MC_OK)
        fail_msg("%s", error.text);
    mc_warnings_free(&warnings);
    mc_practice_close(practice);
}

static void what_was_not_read_is_not_known(void **state) {
    (void)state;
    check_up("1012", "tooth,seat_gap_mm\n11,0.1\n12,0.2\n", 1, 1);
    pty p = deciding_in((pty_setting){.rows = 40, .cols = 120}, "1012", "IBA");
    mc_option option = weighed("1012", CARRYING_ON);
    assert_true(isnan(option.expected_out));
    char ends[11], row[80];
    mc_day_text(option.ends, ends);
    snprintf(row, sizeof row, "c [ ] carry on not known %s 0 %d", ends, option.aligners);
    comes(&p, row);
    comes(&p, "No position was read: no tooth's end is known.");
    comes(&p, "not known: no position was read on this plan");
    comes(&p, "there is no earlier aligner");
    leave(&p);
}

static void a_matter_at_the_chair_proposes_no_row(void **state) {
    (void)state;
    static const char *const labels[] = {"1004", "1006", "1008", "1015", "1016"};
    for (size_t i = 0; i < sizeof labels / sizeof *labels; i++) {
        pty p = deciding(labels[i], "IBA");
        comes(&p, "Done at the chair, no row is proposed. Rests on ");
        char line[PTY_LINE];
        for (int row = pty_find(&p, "choice by itself"); row < 22; row++)
            assert_null(strstr(pty_row(&p, row, line), " proposed"));
        leave(&p);
    }
}

/* Where the sentence does not name them all, or another notation is on, they are listed. */
static void the_teeth_are_listed_where_the_sentence_names_them_otherwise(void **state) {
    (void)state;
    pty p = deciding("1005", "IBA");
    comes(&p, "Correct now: 35: rotation 10.8 deg short");
    lacks(&p, "Teeth: ");
    lacks(&p, "the rest"); /* the longest that is usual has room */
    press(&p, "n", "(ISO numbers)");
    pty_keys(&p, PAGE_DOWN PAGE_DOWN);
    comes(&p, "Teeth: 20");
    leave(&p);
    p = deciding("1011", "IBA");
    comes(&p, "Teeth: 33 23 13 32");
    leave(&p);
}

/* Nothing follows then: it brings what carrying on does. */
static void finishing_at_the_end_closes_the_plan(void **state) {
    (void)state;
    check_up("1009", "tooth,rotation_deg\n12,1s\n", 14, 14);
    pty p = deciding("1009", "IBA");
    has_row(&p, "1009", "f [ ] finish: closes plan", CARRYING_ON);
    press(&p, "f", "Chosen: finish.");
    has_row(&p, "1009", "your choice", CARRYING_ON);
    leave(&p);
}

static void has_chances(const pty *p, const char *end, mc_tooth tooth, const mc_option *options[],
                        size_t count) {
    char row[200];
    size_t used = (size_t)snprintf(row, sizeof row, "%s", end);
    for (size_t i = 0; i < count; i++) {
        char text[8];
        percent(options[i]->p_out[tooth], text);
        used += (size_t)snprintf(row + used, sizeof row - used, " %s", text);
    }
    if (!strstr(told(p), row)) {
        pty_print(p);
        fail_msg("'%s' does not stand there", row);
    }
}

static void larger_screens_say_what_each_choice_does_to_whom(void **state) {
    (void)state;
    const mc_tooth tooth = mc_tooth_from_iso(23);
    pty p = deciding_in((pty_setting){.rows = 40, .cols = 120}, "1011", "IBA");
    const mc_option one[] = {weighed("1011", CARRYING_ON),
                             weighed("1011", (mc_option_ask){1u << MC_HOLD, 7, -1}),
                             weighed("1011", (mc_option_ask){1u << MC_GO_BACK, 0, 12}),
                             weighed("1011", (mc_option_ask){1u << MC_LOCAL_MEASURES, 0, -1}),
                             weighed("1011", (mc_option_ask){1u << MC_CORRECT, 0, -1}),
                             weighed("1011", (mc_option_ask){1u << MC_FINISH, 0, -1})};
    const mc_option *columns[] = {&one[0], &one[1], &one[2], &one[3], &one[4], &one[5], &one[1]};
    press(&p, "h", "[x] hold 7 days");
    char end[60];
    mc_practice *practice = opened(record);
    mc_assessment *a = assessed(practice, "1011");
    const mc_component_forecast *f = &a->forecast.tooth[tooth].component[MC_ROTATION];
    snprintf(end, sizeof end, "23 rotation %.1f deg short", fabs(f->planned - f->end));
    mc_assessment_free(a);
    mc_practice_close(practice);
    has_chances(&p, end, tooth, columns, 7);
    comes(&p, "Assumed: each tooth keeps");
    comes(&p, "discarded check-ups unknown");
    leave(&p);
    p = deciding_in((pty_setting){.rows = 60, .cols = 200}, "1011", "IBA");
    comes(&p, "next upper next lower check-up");
    leave(&p);
}

/* What an option leaves outside is the sum over its teeth. */
static void the_teeth_add_up(void **state) {
    (void)state;
    mc_practice *practice = opened(record);
    mc_assessment *a = assessed(practice, "1011");
    mc_option options[MC_MOST_OPTIONS];
    size_t count = mc_assess_options(a, options);
    assert_int_equal(count, 9);
    for (size_t i = 0; i < count; i++) {
        double sum = 0;
        for (mc_tooth t = 0; t < MC_TEETH; t++)
            sum += isnan(options[i].p_out[t]) ? 0 : options[i].p_out[t];
        assert_true(sum > 0);
        assert_float_equal(sum, options[i].expected_out, 1e-9);
    }
    mc_assessment_free(a);
    mc_practice_close(practice);
}

/* ---- the reason ---- */

static void doing_otherwise_demands_a_reason_before_the_passphrase(void **state) {
    (void)state;
    pty p = deciding("1011", "IBA");
    press(&p, "c", "it needs a reason (r)");
    press(&p, "s", "The proposal is hold: choosing otherwise needs a reason.");
    comes(&p, "Reason:");
    lacks(&p, "Passphrase");
    press(&p, ENTER, "No reason is given.");
    press(&p, "s", "Reason:");
    press(&p, "goes on holiday" ENTER, "Signed by (initials): IBA");
    press(&p, ENTER, "Passphrase of IBA:");
    press(&p, DOCTOR_WORDS ENTER, "Signed by IBA: carry on.");
    leave(&p);
    by_command("decide 1011 --choice carry-on --reason 'goes on holiday'");
    same_as_by_command("1011");
}

static void going_on_over_a_finding_demands_a_reason(void **state) {
    (void)state;
    pty p = deciding("1008", "IBA");
    comes(&p, "Examine first: no aligner is changed until the doctor has seen this.");
    comes(&p, "mobility grade 2");
    press(&p, "cs", "The proposal is examine: choosing otherwise needs a reason.");
    press(&p, ESC, "Not changed.");
    leave(&p);
    assert_int_equal(decisions_of("1008"), 2);
}

static void a_long_reason_is_refused_or_seen_whole(void **state) {
    (void)state;
    char reason[520];
    pty p = deciding("1016", "IBA");
    memset(reason, 'a', sizeof reason);
    for (size_t i = 9; i < sizeof reason; i += 10)
        reason[i] = ' ';
    reason[501] = '\0';
    press(&p, "cr", "Reason:");
    pty_keys(&p, reason);
    press(&p, ENTER, "A reason is at most 500 bytes long");
    press(&p, "\025", "Reason:"); /* Ctrl-U */
    memcpy(reason + 490, "the end..", 10);
    pty_keys(&p, reason);
    press(&p, ENTER, "The reason is kept");
    lacks(&p, "the end..");
    press(&p, "s" ENTER, "Passphrase of IBA:");
    comes(&p, "the end..");
    comes(&p, "Sign: carry on on check-up 3 of case 1016; reason: aaaaaaaaa");
    leave(&p);
}

/* ---- who signs ---- */

static void a_wrong_passphrase_loses_nothing(void **state) {
    (void)state;
    pty p = deciding("1016", "IBA");
    press(&p, "c", "Chosen: carry on.");
    press(&p, "s" ENTER, "Passphrase of IBA:");
    press(&p, "not it" ENTER, "That is not the passphrase of IBA.");
    comes(&p, "Passphrase of IBA:");
    press(&p, ESC, "Not changed.");
    comes(&p, "[x] carry on");
    press(&p, "s" ENTER, "Passphrase of IBA:");
    press(&p, "nor this" ENTER, "That is not the passphrase of IBA.");
    assert_int_equal(decisions_of("1016"), 2);
    press(&p, DOCTOR_WORDS ENTER, "Signed by IBA: carry on.");
    leave(&p);
    assert_int_equal(decisions_of("1016"), 3);
}

static void only_a_doctor_signs_and_may_at_the_assistants_console(void **state) {
    (void)state;
    pty p = deciding("1011", "JT");
    comes(&p, "JT is no doctor: look and choose; a doctor signs here");
    press(&p, "ps", "Signed by (initials):");
    lacks(&p, "(initials): JT");
    press(&p, "JT" ENTER, "JT is not a doctor; only a doctor signs a decision.");
    press(&p, "brass-ke" ENTER, "Nobody has these initials"); /* a passphrase, too early */
    lacks(&p, "brass-ke");
    press(&p, "iba" ENTER, "Passphrase of IBA:");
    press(&p, ASSISTANT_WORDS ENTER, "That is not the passphrase of IBA.");
    press(&p, DOCTOR_WORDS ENTER, "Signed by IBA: hold 7 days.");
    char title[PTY_LINE];
    assert_non_null(strstr(pty_row(&p, 0, title), "JT"));
    press(&p, "d", "JT is no doctor"); /* still */
    leave(&p);
    by_command("decide 1011 --choice hold --days 7");
    same_as_by_command("1011");
}

static void a_doctor_signs_where_nobody_is_signed_in(void **state) {
    (void)state;
    pty p = deciding("1016", NULL);
    press(&p, "cs", "Signed by (initials):");
    press(&p, ENTER, "no initials were given");
    press(&p, "s", "Signed by (initials):");
    press(&p, "IBA" ENTER, "Passphrase of IBA:");
    press(&p, DOCTOR_WORDS ENTER, "Signed by IBA: carry on.");
    leave(&p);
    assert_int_equal(decisions_of("1016"), 3);
}

/* ---- correcting ---- */

static void a_correction_is_drafted_signed_and_opened(void **state) {
    (void)state;
    char revise[300], decide[300];
    pty p = deciding("1005", "IBA");
    press(&p, "p", "It can be signed as an order.");
    comes(&p, "Lower 12 aligners to 2026-07-21; the limits need 12: 35 rotation");
    comes(&p, "Starts 2026-03-23, 10 days an aligner. Cause: not said (c).");
    press(&p, "c5" ENTER, "Cause: staging.");
    press(&p, "s", "[x] correct");
    comes(&p, "new plan: 4 upper and 12 lower aligners from 2026-03-23, cause: staging");
    comes(&p, "Next: waiting: wears upper and lower 13; new series expected 2026-03-23");
    press(&p, "s" ENTER, "Passphrase of IBA:");
    press(&p, DOCTOR_WORDS ENTER, "Signed by IBA: correct. Plan 2 starts on 2026-03-23");
    comes(&p, "worn until then: upper 13 and lower 13");
    comes(&p, "exp. 2026-03-23");
    shows_the_next_checkup(&p, "1005");
    leave(&p);
    snprintf(revise, sizeof revise, "revise 1005 --out '%s'", draft);
    snprintf(decide, sizeof decide, "decide 1005 --choice correct --plan '%s' --cause staging",
             draft);
    by_command(revise);
    by_command(decide);
    same_as_by_command("1005");
    mc_practice *practice = opened(record);
    mc_assessment *a = assessed(practice, "1005");
    assert_true(a->turn.waiting);
    assert_int_equal(a->turn.next.number, 2);
    assert_int_equal(a->turn.next.made_from, 3);
    mc_assessment_free(a);
    mc_practice_close(practice);
}

static void a_correction_has_its_dates_and_cause(void **state) {
    (void)state;
    char decide[300], revise[300];
    pty p = deciding("1005", "IBA");
    press(&p, "k", "It can be signed as an order.");
    lacks(&p, "Chosen"); /* looking is not choosing */
    press(&p, "s", "its cause is still asked for");
    press(&p, "k", "It can be signed as an order.");
    press(&p, "d2026-03-01" ENTER, "cannot start before today");
    press(&p, "d2026-04-31" ENTER, "A day is written");
    press(&p, "d2026-04-01" ENTER, "Starts 2026-04-01");
    press(&p, "i0" ENTER, "1 to 365 days");
    press(&p, "i7" ENTER, "Each aligner is worn 7 days.");
    press(&p, "c10" ENTER, "The cause is a number from 1 to 9.");
    press(&p, ESC, "aligners from 2026-04-01, 7 days each, its cause is still asked for");
    press(&p, "s", "A correction needs its cause.");
    press(&p, ESC, "Not changed.");
    press(&p, "s", "A correction needs its cause.");
    press(&p, "9" ENTER, "Signed by (initials): IBA");
    comes(&p, "aligners from 2026-04-01, 7 days each, cause: unknown");
    press(&p, ENTER, "Passphrase of IBA:");
    press(&p, DOCTOR_WORDS ENTER, "Signed by IBA:");
    leave(&p);
    snprintf(revise, sizeof revise, "revise 1005 --out '%s'", draft);
    snprintf(decide, sizeof decide,
             "decide 1005 --choice correct --plan '%s' --cause unknown --start 2026-04-01 "
             "--interval 7",
             draft);
    by_command(revise);
    by_command(decide);
    same_as_by_command("1005");
}

static void a_preview_is_shown_and_not_chosen(void **state) {
    (void)state;
    pty p = deciding("1003", "IBA");
    press(&p, "k", "PREVIEW, not to be signed or ordered");
    press(&p, "s", "It cannot be signed: ");
    comes(&p, "14, 13, 12, 11, 21, 22 ...");
    press(&p, ESC, "[ ] correct now, preview");
    lacks(&p, "[x]");
    press(&p, "s", "Nothing is chosen yet");
    leave(&p);
    assert_int_equal(decisions_of("1003"), 3);
}

static void correcting_now_stands_beside_finishing_first(void **state) {
    (void)state;
    static const pty_setting settings[] = {
        {.rows = 24, .cols = 80}, {.rows = 40, .cols = 120}, {.rows = 60, .cols = 200}};
    const mc_option_ask now = {1u << MC_CORRECT, 0, -1}, later = {1u << MC_FINISH, 0, -1};
    for (size_t i = 0; i < sizeof settings / sizeof *settings; i++) {
        char line[PTY_LINE];
        pty p = deciding_in(settings[i], "1011", "IBA");
        press(&p, "k", "Correction: draft from check-up 3");
        int first = pty_find(&p, "need worn    limited by") + 1; /* the reason before the others */
        assert_non_null(strstr(pty_row(&p, first, line), " 33 "));
        if (settings[i].rows == 24)
            press(&p, "\t\t", "this series");
        has_row(&p, "1011", "this series", now);
        has_row(&p, "1011", "finish, then correct", later);
        has_row(&p, "1011", "carry on", CARRYING_ON);
        if (settings[i].rows > 24) {
            comes(&p, "tooth carrying on it ends carry then this");
            comes(&p, "23 rotation ");
        }
        if (settings[i].cols >= 200)
            comes(&p, "Assumed: each tooth keeps its");
        leave(&p);
    }
}

static void a_correction_is_taken_away_again(void **state) {
    (void)state;
    pty p = deciding("1005", "IBA");
    press(&p, "k", "It can be signed");
    press(&p, "s", "[x] correct");
    press(&p, "k", "It can be signed");
    press(&p, "x", "No longer chosen: correct.");
    lacks(&p, "[x] correct");
    press(&p, "k", "It can be signed");
    press(&p, "s", "[x] correct");
    press(&p, "c", "Chosen: carry on, instead of correct");
    lacks(&p, "[x] correct");
    leave(&p);
}

/* The draft goes to a file, and a changed one comes back: what is above the limits is warned of,
 * and signed on purpose only. */
static void a_changed_plan_file_is_read_warned_of_and_accepted(void **state) {
    (void)state;
    char keys[300], decide[300];
    pty p = deciding("1005", "IBA");
    press(&p, "k", "It can be signed");
    snprintf(keys, sizeof keys, "w%s" ENTER, draft);
    press(&p, keys, "Written to");
    press(&p, keys, "the file exists already"); /* never over another */
    run("sed -i 's/^35,12,/35,3,/' '%s'", draft);
    snprintf(keys, sizeof keys, "o%s" ENTER, draft);
    press(&p, keys, "Correction: draft.csv");
    comes(&p, "not accepted (a accepts, v reads all): ");
    comes(&p, "Read from a file, to be signed as it stands");
    press(&p, "7", "This plan was read from a file");
    press(&p, "c5" ENTER, "Cause: staging.");
    press(&p, "v", "Warnings of the plan");
    press(&p, ESC, "Correction: draft.csv");
    press(&p, "s", "cause: staging, ");
    press(&p, "s", "to sign it all the same, accept");
    press(&p, "a", "The warnings are accepted.");
    press(&p, ESC, "accepted");
    sign(&p);
    leave(&p);
    snprintf(decide, sizeof decide,
             "decide 1005 --choice correct --plan '%s' --cause staging --accept-warnings "
             "2>/dev/null",
             draft);
    by_command(decide);
    same_as_by_command("1005");
}

static void a_faulty_plan_file_changes_nothing(void **state) {
    (void)state;
    char keys[300];
    pty p = deciding("1005", "IBA");
    press(&p, "k", "It can be signed");
    snprintf(keys, sizeof keys, "o%s/none.csv" ENTER, folder);
    press(&p, keys, "none.csv: ");
    run("printf 'tooth,stage,rotation_deg\\n35,2,x\\n' >'%s'", draft);
    snprintf(keys, sizeof keys, "o%s" ENTER, draft);
    press(&p, keys, "draft.csv, line 2, column 6: ");
    comes(&p, "Correction: draft from check-up 3");
    comes(&p, "It can be signed as an order.");
    run("printf 'tooth,stage,rotation_deg\\n38,2,1\\n' >'%s'", draft); /* it has no 38 */
    press(&p, keys, "draft.csv, line 2, column 1: ");
    press(&p, "s", "12 lower aligners");
    leave(&p);
}

/* ---- looking and leaving ---- */

static void a_case_changed_elsewhere_is_read_again(void **state) {
    (void)state;
    pty p = deciding("1011", "IBA");
    press(&p, "p", "Chosen: hold 7 days.");
    press(&p, "s" ENTER, "Passphrase of IBA:");
    command_on(record, "decide 1011 --choice local --reason elsewhere");
    press(&p, DOCTOR_WORDS ENTER, "was changed on another console meanwhile. It was read again");
    lacks(&p, "[x]");
    comes(&p, "signed local measures (IBA)");
    leave(&p);
    assert_int_equal(decisions_of("1011"), 3);
}

static void only_the_last_checkup_is_decided_on(void **state) {
    (void)state;
    pty p = at_chart("1011", "IBA");
    press(&p, "[", "Check-up 2 of 3.");
    press(&p, "d", "A decision is made on the last check-up");
    leave(&p);
    p = at_chart("1012", "IBA");
    press(&p, "d", "a decision needs a check-up");
    leave(&p);
    p = at_chart("1013", "IBA");
    press(&p, "d", "This plan is finished");
    leave(&p);
    p = deciding("1001", "IBA");
    comes(&p, "A decision on this check-up is signed already");
    press(&p, ESC, "d decide");
    lacks(&p, "choice by itself");
    leave(&p);
}

static void help_tells_every_choice(void **state) {
    (void)state;
    pty p = deciding("1011", "IBA");
    press(&p, "?", "Help: decision");
    comes(&p, "carry on: aligners change by the dates");
    press(&p, ESC, "choice by itself");
    press(&p, "k", "PREVIEW");
    press(&p, "?", "Help: workbench");
    leave(&p);
}

/* What is being entered comes first. */
static void an_open_checkup_is_completed_first(void **state) {
    (void)state;
    mc_practice *practice = opened(record);
    mc_assessment *a = assessed(practice, "1011");
    mc_draft *entered = NULL;
    mc_error error = {0};
    bool doubt = false;
    mc_step step = {.what = MC_STEP_WEAR, .number = 21};
    if (mc_practice_act_as(practice, "JT", &error) != MC_OK ||
        mc_draft_open(practice, &a->kase, &entered, &error) != MC_OK ||
        mc_draft_enter(entered, &step, false, &doubt, &error) != MC_OK)
        fail_msg("%s", error.text);
    mc_draft_close(entered);
    mc_assessment_free(a);
    mc_practice_close(practice);
    pty p = deciding("1011", "IBA");
    comes(&p, "Check-up 4 is being entered");
    press(&p, "ps", "A check-up is being entered, number 4: complete it or throw it away");
    lacks(&p, "Signed by (initials)");
    leave(&p);
    assert_int_equal(decisions_of("1011"), 2);
}

/* From the roster to a signed "carry on" on an all-clear case, with a passphrase of 12. */
static void few_keys_from_roster_to_signature(void **state) {
    (void)state;
    enum { MOST_KEYS = 45, PASSPHRASE_KEYS = 12 };
    const char *const keys[] = {"1001" ENTER, "d", "c", "s", ENTER};
    const char *const then[] = {"check-up 3 of 3", "choice by itself", "Chosen: carry on.",
                                "Signed by (initials): IBA", "Passphrase of IBA:"};
    visit v = {NULL, "IBA"};
    size_t count = 0;
    pty p = pty_start(SMALL, play, &v);
    comes(&p, "16 open cases");
    for (size_t i = 0; i < sizeof keys / sizeof *keys; i++) {
        press(&p, keys[i], then[i]);
        count += strlen(keys[i]);
    }
    press(&p, DOCTOR_WORDS ENTER, "Signed by IBA: carry on.");
    count += PASSPHRASE_KEYS + strlen(ENTER);
    print_message("%zu keys\n", count);
    assert_in_range(count, 1, MOST_KEYS);
    leave(&p);
    assert_int_equal(decisions_of("1001"), 4);
}

static void it_is_the_same_without_colour_and_in_ascii(void **state) {
    (void)state;
    const pty_setting plain[] = {{.rows = 24, .cols = 80, .term = "vt100"},
                                 {.rows = 24, .cols = 80, .no_colour = "1"},
                                 {.rows = 24, .cols = 80, .ascii = "1"}};
    char colour[24][PTY_LINE], line[PTY_LINE];
    pty p = deciding("1006", "IBA");
    press(&p, "b", "[x] go back to 6");
    for (int row = 0; row < 24; row++)
        snprintf(colour[row], PTY_LINE, "%s", pty_row(&p, row, line));
    leave(&p);
    for (int i = 0; i < 3; i++) {
        visit v = {"1006", "IBA"};
        p = pty_start(plain[i], play, &v);
        comes(&p, "F1 ? help");
        press(&p, "d", "choice by itself");
        press(&p, "b", "[x] go back to 6");
        for (int row = 10; row < 16; row++) /* the choices have no mark that is drawn otherwise */
            assert_string_equal(pty_row(&p, row, line)[0] ? line : "", colour[row]);
        leave(&p);
    }
}

/* ---- a proposal that is too long for its place, on values ---- */

static void page_on(console *con, void *self) {
    (void)con;
    decide_scroll(self, 1);
}

static void no_title(const console *con, const void *self, char *left, size_t size) {
    (void)con;
    (void)self;
    snprintf(left, size, "values");
}

static const key_row SCROLL_KEYS[] = {{'j', 0, "j", "on", "on", page_on}, {0}};
static const screen_ops SCROLLED = {
    .name = "values", .keys = SCROLL_KEYS, .title = no_title, .draw = decide_draw};

static void show_values(void *context) {
    terminal t;
    mc_error error = {0};
    console con = {.today = VALUES_TODAY};
    if (frame_begin(&con, &t, &error) != MC_OK)
        _exit(1);
    frame_open(&con, &SCROLLED, context);
    frame_run(&con);
    terminal_end(&t);
    _exit(0);
}

static void a_long_proposal_can_be_read_to_its_end(void **state) {
    (void)state;
    decide_view d = {.chart = {.a = values_every_state(), .cursor = MC_NO_TOOTH}};
    mc_proposal *proposal = &d.chart.a->proposal;
    d.chart.a->has_proposal = true;
    proposal->rule = 8;
    proposal->choice = MC_PROPOSE_CORRECT;
    proposal->count = 0;
    memset(proposal->sentence, 'x', sizeof proposal->sentence - 1);
    for (size_t i = 7; i < sizeof proposal->sentence; i += 8)
        proposal->sentence[i] = ' ';
    memcpy(proposal->sentence, "begin", 5);
    memcpy(proposal->sentence + sizeof proposal->sentence - 8, "finis.", 7);
    pty p = pty_start(SMALL, show_values, &d);
    comes(&p, "begin");
    comes(&p, "PgDn: the rest");
    lacks(&p, "finis.");
    press(&p, "jjjjjjjjjj", "finis.");
    leave(&p);
    const pty_setting tall = {.rows = 50, .cols = 80};
    p = pty_start(tall, show_values, &d);
    comes(&p, "finis.");
    lacks(&p, "the rest");
    leave(&p);
    mc_assessment_free(d.chart.a);
}

#define deciding_test(name) cmocka_unit_test_setup(name, fresh)

int main(void) {
    const struct CMUnitTest tests[] = {
        deciding_test(every_choice_is_signed_as_by_command),
        deciding_test(what_is_signed_is_told_before_and_after),
        deciding_test(choices_that_exclude_each_other_say_so),
        deciding_test(numbers_out_of_range_are_refused),
        deciding_test(a_proposal_of_another_kind_is_not_a_choice),
        deciding_test(the_choices_stand_side_by_side),
        deciding_test(numbers_align_on_the_point),
        deciding_test(what_is_chosen_together_is_weighed_at_once),
        deciding_test(choices_tried_for_long_are_weighed_still),
        deciding_test(what_was_not_read_is_not_known),
        deciding_test(a_matter_at_the_chair_proposes_no_row),
        deciding_test(the_teeth_are_listed_where_the_sentence_names_them_otherwise),
        deciding_test(finishing_at_the_end_closes_the_plan),
        deciding_test(larger_screens_say_what_each_choice_does_to_whom),
        deciding_test(the_teeth_add_up),
        deciding_test(doing_otherwise_demands_a_reason_before_the_passphrase),
        deciding_test(going_on_over_a_finding_demands_a_reason),
        deciding_test(a_long_reason_is_refused_or_seen_whole),
        deciding_test(a_wrong_passphrase_loses_nothing),
        deciding_test(only_a_doctor_signs_and_may_at_the_assistants_console),
        deciding_test(a_doctor_signs_where_nobody_is_signed_in),
        deciding_test(a_correction_is_drafted_signed_and_opened),
        deciding_test(a_correction_has_its_dates_and_cause),
        deciding_test(a_preview_is_shown_and_not_chosen),
        deciding_test(correcting_now_stands_beside_finishing_first),
        deciding_test(a_correction_is_taken_away_again),
        deciding_test(a_changed_plan_file_is_read_warned_of_and_accepted),
        deciding_test(a_faulty_plan_file_changes_nothing),
        deciding_test(a_case_changed_elsewhere_is_read_again),
        deciding_test(only_the_last_checkup_is_decided_on),
        deciding_test(help_tells_every_choice),
        deciding_test(an_open_checkup_is_completed_first),
        deciding_test(few_keys_from_roster_to_signature),
        deciding_test(it_is_the_same_without_colour_and_in_ascii),
        cmocka_unit_test(a_long_proposal_can_be_read_to_its_end),
    };
    return cmocka_run_group_tests(tests, make_demo, remove_demo);
}
