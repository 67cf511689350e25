/* The workbench on the demo practice under a real terminal: a number typed over, the series made
 * anew at once, what is refused, what is kept, and an order signed from it. What stands on the
 * screen is held to the same changes made on a bench of the test's own. */
#include "chair.h"

#include "midcourse/exchange.h"

#define ENTER "\r"
#define UP "\033OA"
#define TAB "\t"
#define DOCTOR_WORDS "copper-fern-lantern"

static void press(pty *p, const char *keys, const char *then) {
    pty_keys(p, keys);
    pty_comes(p, then);
}

static void lacks(const pty *p, const char *text) {
    if (!strstr(pty_told(p), text))
        return;
    pty_print(p);
    fail_msg("'%s' stands there", text);
}

static pty at_bench_in(pty_setting setting, const char *label, const char *who) {
    pty p = at_chart(setting, label, who);
    press(&p, "d", "choice by itself");
    press(&p, "k", "Correction: draft from check-up ");
    pty_comes(&p, "F1 ? help");
    return p;
}

static pty at_bench(const char *label) {
    return at_bench_in(SMALL, label, "IBA");
}

/* Leave, losing what is not kept. */
static void get_up(pty *p) {
    pty_keys(p, CTRL_Q);
    while (!p->ended && !strstr(pty_told(p), "leave without them?"))
        pty_read(p, 50);
    pty_keys(p, "y");
    pty_ended_well(p);
}

/* ---- a bench beside the screen ----
 * Laid out once the terminal has started: no process may take an open record over from another. */

typedef struct beside {
    mc_practice *practice;
    mc_case kase;
    mc_bench *bench;
} beside;

static beside lay_out(const char *label, bool kept) {
    beside b = {0};
    mc_error error = {0};
    if (mc_practice_open(record, today(), &b.practice, &error) != MC_OK ||
        mc_practice_act_as(b.practice, "IBA", &error) != MC_OK ||
        mc_case_find(b.practice, label, &b.kase, &error) != MC_OK ||
        mc_bench_open(b.practice, &b.kase, kept, &b.bench, &error) != MC_OK)
        fail_msg("%s", error.text);
    return b;
}

static void clear_away(beside *b) {
    mc_bench_close(b->bench);
    mc_practice_close(b->practice);
}

static void make(beside *b, mc_bench_edit edit) {
    mc_error error = {0};
    if (mc_bench_change(b->bench, &edit, &error) != MC_OK)
        fail_msg("%s", error.text);
}

static int stages(const beside *b, mc_arch arch) {
    return mc_bench_account(b->bench)->stages[arch];
}

static int stages_kept(const char *label) {
    beside b = lay_out(label, true);
    int count = (int)mc_bench_changes(b.bench);
    clear_away(&b);
    return count;
}

static mc_tooth tooth(int iso) {
    return mc_tooth_from_iso(iso);
}

/* ---- what is to go ---- */

/* "35 rotation +8.0 to go: upper 4 aligners; lower 6 aligners, was 12": as the bench has it. */
static void lower_became(pty *p, const beside *b, int was) {
    char text[100];
    snprintf(text, sizeof text, "; lower %d aligners, was %d; ends ", stages(b, MC_LOWER), was);
    pty_comes(p, text);
    snprintf(text, sizeof text, "Lower %2d aligners to ", stages(b, MC_LOWER));
    assert_true(pty_find(p, text) > 0);
}

static void a_number_typed_over_is_staged_anew_at_once(void **state) {
    (void)state;
    static const char *const typed[] = {"8" ENTER, "8.0" ENTER, "+8,0" ENTER};
    for (size_t i = 0; i < sizeof typed / sizeof *typed; i++) {
        pty p = at_bench("1005");
        beside b = lay_out("1005", false);
        mc_bench_tooth of;
        mc_bench_tooth_of(b.bench, tooth(35), &of);
        int was = stages(&b, MC_LOWER);
        pty_comes(&p, "> 35");
        press(&p, typed[i], "35 rotation +8.0 to go: upper ");
        make(&b, (mc_bench_edit){.what = MC_BENCH_TARGET,
                                 .tooth = tooth(35),
                                 .component = MC_ROTATION,
                                 .number = of.present.c[MC_ROTATION] + 8});
        assert_true(stages(&b, MC_LOWER) < was);
        lower_became(&p, &b, was);
        pty_comes(&p, "+8.0*");
        pty_comes(&p, "1 change, not kept");
        get_up(&p);
        clear_away(&b);
    }
}

/* What remains of a rotation is the number typed, though the target's angles compose. */
static void what_is_typed_is_what_remains(void **state) {
    (void)state;
    pty p = at_bench("1005");
    press(&p, "3,3" ENTER, "35 rotation +3.3 to go");
    press(&p, "k", "Kept as this case's draft: 1 change.");
    get_up(&p);
    beside b = lay_out("1005", true);
    assert_float_equal(mc_bench_account(b.bench)->tooth[tooth(35)].remaining.c[MC_ROTATION], 3.3,
                       1e-6);
    clear_away(&b);
}

static void where_it_ends_can_be_typed_too(void **state) {
    (void)state;
    pty p = at_bench("1005");
    press(&p, "r", "where each tooth ends, from stage 0");
    pty_comes(&p, "+20.0");
    press(&p, "12" ENTER, "35 rotation ends at +12.0: ");
    press(&p, "k", "Kept as this case's draft: 1 change.");
    get_up(&p);
    beside b = lay_out("1005", true);
    mc_bench_tooth of;
    mc_bench_tooth_of(b.bench, tooth(35), &of);
    assert_float_equal(of.target.c[MC_ROTATION], 12, 1e-12);
    clear_away(&b);
}

static void what_is_no_number_changes_nothing(void **state) {
    (void)state;
    pty p = at_bench("1005");
    press(&p, "8x" ENTER, "A number is asked for");
    press(&p, "8.5.1" ENTER, "A number is asked for");
    press(&p, "800" ENTER, "35: a target is -180 to 180 deg");
    press(&p, "8" ESC, "Not changed.");
    pty_comes(&p, "nothing changed");
    press(&p, ">", "Stage 0 of ");
    press(&p, "8", "The stages are worked out from the targets");
    press(&p, ENTER, "The stages are worked out from the targets");
    get_up(&p);
}

/* ---- limits, overcorrection, IPR, staying ---- */

static void a_limit_of_nought_is_refused_in_a_sentence(void **state) {
    (void)state;
    pty p = at_bench("1005");
    beside b = lay_out("1005", false);
    int was = stages(&b, MC_LOWER);
    press(&p, "l0" ENTER, "35: the limit of one aligner is above 0 and at most 90 deg.");
    pty_comes(&p, "nothing changed");
    press(&p, "l1" ENTER, "35 rotation at most 1.0 deg an aligner: ");
    make(&b,
         (mc_bench_edit){
             .what = MC_BENCH_LIMIT, .tooth = tooth(35), .component = MC_ROTATION, .number = 1});
    lower_became(&p, &b, was);
    pty_comes(&p, "limit 1.0 (own)");
    press(&p, "l" ENTER, "35 rotation has the settings' limit: ");
    lacks(&p, "(own)");
    clear_away(&b);
    press(&p, "g", "Back to the plan's own");
    get_up(&p);
}

static void overcorrection_is_suggested_taken_and_capped(void **state) {
    (void)state;
    pty p = at_bench("1005");
    beside b = lay_out("1005", false);
    int was = stages(&b, MC_LOWER);
    pty_comes(&p, "not overcorrected");
    pty_comes(&p, "(30 % suggested; it stalled)");
    press(&p, "p31" ENTER, "Overcorrection is 0 to 30 percent of what remains.");
    pty_comes(&p, "nothing changed");
    press(&p, "t", "35 rotation overcorrected by 30 %: ");
    make(&b, (mc_bench_edit){.what = MC_BENCH_OVERCORRECT,
                             .tooth = tooth(35),
                             .component = MC_ROTATION,
                             .number = 30});
    lower_became(&p, &b, was);
    pty_comes(&p, "; overcorrected 30 %");
    pty_comes(&p, " to +20.0 and 5.0 beyond; limit 1.5;");
    lacks(&p, "suggested");
    press(&p, "%10" ENTER, "35 rotation overcorrected by 10 %: ");
    press(&p, "p" ENTER, "35 rotation not overcorrected: ");
    clear_away(&b);
    get_up(&p);
}

static void ipr_has_its_side_and_its_aligner(void **state) {
    (void)state;
    pty p = at_bench("1005");
    press(&p, "m0,2 3" ENTER, "35 mesial IPR 0.20 mm before aligner 3: ");
    press(&p, "b0.1" ENTER, "35 distal IPR 0.10 mm before aligner 1: ");
    pty_comes(&p, "; IPR 0.20 mesial before 3, 0.10 distal before 1");
    press(&p, "\t\t", "34-35");
    press(&p, "s", "IPR on 1 tooth");
    press(&p, "k", "to go");
    press(&p, "m0.2 0" ENTER, "IPR is said as 0.2");
    press(&p, "m9" ENTER, "35: IPR is 0 to 2 mm a side");
    press(&p, "m" ENTER, "35 mesial IPR as the plan has it: ");
    lacks(&p, "0.20 mesial");
    get_up(&p);
}

static void a_tooth_stays_and_moves_again(void **state) {
    (void)state;
    pty p = at_bench("1005");
    beside b = lay_out("1005", false);
    int was = stages(&b, MC_LOWER);
    press(&p, "h", "35 stays where it is: ");
    make(&b, (mc_bench_edit){.what = MC_BENCH_STAY, .tooth = tooth(35), .whole = 1});
    lower_became(&p, &b, was);
    char line[PTY_LINE];
    assert_non_null(strstr(pty_row(&p, pty_find(&p, "> 35"), line), "stays"));
    press(&p, "h", "35 moves again: ");
    clear_away(&b);
    get_up(&p);
}

/* ---- contacts that lack room ---- */

/* The upper crowns, taken for measured where they are estimated to be: a wished target moves them
 * no more. */
static void measure_upper(const char *label) {
    beside b = lay_out(label, false);
    mc_arch_crowns crowns = {.arch = MC_UPPER};
    mc_measured_arch kept;
    mc_error error = {0};
    char *data = NULL;
    size_t size = 0;
    for (mc_tooth t = 0; t < MC_TEETH; t++)
        if (mc_tooth_arch(t) == MC_UPPER)
            crowns.crown[t] = mc_bench_arches(b.bench)->crown[t];
    if (mc_arch_write(&crowns, MC_NOTATION_ISO, NULL, &data, &size, &error) != MC_OK ||
        mc_import_arch(b.practice, &b.kase, data, size, MC_NOTATION_ISO, 0, &kept, &error) != MC_OK)
        fail_msg("%s", error.text);
    free(data);
    clear_away(&b);
}

/* What 14 and 13 lack when 14 is to go so far mesially. */
static void say_lack_after(double mm, char *out, size_t size) {
    beside b = lay_out("1005", false);
    mc_bench_tooth of;
    mc_bench_tooth_of(b.bench, tooth(14), &of);
    make(&b, (mc_bench_edit){.what = MC_BENCH_TARGET,
                             .tooth = tooth(14),
                             .component = MC_MESIAL,
                             .number = of.present.c[MC_MESIAL] + mm});
    const mc_restaged *account = mc_bench_account(b.bench);
    double missing = 0;
    for (size_t i = 0; i < account->contacts; i++)
        if (account->contact[i].right == tooth(14) && account->contact[i].left == tooth(13))
            missing = account->contact[i].missing;
    assert_true(missing > 1 && missing < mm + 0.5);
    snprintf(out, size, "14-13 lacks %.2f mm at the targets.", ceil(missing * 100 - 1e-6) / 100);
    clear_away(&b);
}

static void a_target_without_room_is_named_and_cannot_be_signed(void **state) {
    (void)state;
    measure_upper("1005");
    pty p = at_bench("1005");
    pty_comes(&p, "Crowns: upper measured, lower estimated.");
    char lack[80];
    say_lack_after(2, lack, sizeof lack);
    press(&p, DOWN, "> 14");
    press(&p, LEFT LEFT LEFT, "14 mesial:");
    press(&p, "2" ENTER, "14 mesial +2.00 to go: no series: 14 and 13 lack ");
    pty_comes(&p, "PREVIEW, not to be signed or ordered: 14 and 13 lack ");
    pty_comes(&p, "mm of room at their targets: grant IPR there, or change their targets");
    pty_comes(&p, "Upper no series: a contact lacks room");
    pty_comes(&p, lack);
    press(&p, "s", "It cannot be signed: 14 and 13 lack ");
    press(&p, ">", "There is no series to step through.");
    press(&p, "w", "There is no series to write");
    press(&p, TAB TAB, "at targets");
    press(&p, "u", "Taken back: upper ");
    pty_comes(&p, "It can be signed as an order.");
    get_up(&p);
}

/* ---- back and forth, keeping ---- */

static void changes_are_undone_and_done_again(void **state) {
    (void)state;
    pty p = at_bench("1005");
    press(&p, "u", "There is nothing to undo.");
    press(&p, "8" ENTER, "1 change, not kept");
    press(&p, "5" ENTER, "2 changes, not kept");
    press(&p, "u", "Taken back: ");
    pty_comes(&p, "+8.0*");
    press(&p, "U", "Done again: ");
    pty_comes(&p, "+5.0*");
    press(&p, CTRL_R, "There is nothing to redo.");
    press(&p, "5" ENTER, "it is so already");
    press(&p, "g", "Back to the plan's own");
    pty_comes(&p, "nothing changed");
    press(&p, "g", "Nothing is changed");
    press(&p, "UU", "2 changes");
    press(&p, DELETE, "35 rotation ends where the plan had it: ");
    lacks(&p, "*");
    get_up(&p);
}

static void what_is_kept_is_there_again(void **state) {
    (void)state;
    pty p = at_bench("1005");
    press(&p, "8" ENTER, "1 change, not kept");
    press(&p, "k", "Kept as this case's draft: 1 change.");
    pty_comes(&p, "1 change, kept");
    press(&p, ESC, "choice by itself");
    press(&p, ESC, "d decide"); /* nothing is asked */
    get_up(&p);
    assert_int_equal(stages_kept("1005"), 1);
    p = at_bench("1005");
    pty_comes(&p, "The draft that is kept on record is taken up");
    pty_comes(&p, "+8.0*");
    pty_comes(&p, "1 change, kept");
    get_up(&p);
}

static void only_a_doctor_keeps(void **state) {
    (void)state;
    pty p = at_bench_in(SMALL, "1005", "JT");
    press(&p, "8" ENTER, "1 change, not kept");
    press(&p, "k", "nly a doctor keeps a correction");
    press(&p, ESC, "not kept");
    get_up(&p);
    assert_int_equal(stages_kept("1005"), 0);
}

/* Enter and digits, which a caliper or a scanner types, never lose anything. */
static void leaving_with_changes_asks_once(void **state) {
    (void)state;
    pty p = at_bench("1005");
    press(&p, "8" ENTER, "1 change, not kept");
    press(&p, ESC, "its changes are not kept on record yet");
    press(&p, ESC, "The changes on the workbench are not kept");
    press(&p, ENTER, "choice by itself");
    lacks(&p, "are not kept");
    press(&p, "q", "leave without them? Type y for yes");
    press(&p, "1", "choice by itself");
    press(&p, "k", "+8.0*");
    press(&p, CTRL_Q, "leave without them? Type y for yes");
    press(&p, "n", "+8.0*");
    press(&p, ESC, "choice by itself");
    press(&p, "\033[15~", "leave without them?"); /* F5 */
    press(&p, "y", "Read again; nothing is chosen.");
    press(&p, "k", "nothing changed");
    press(&p, "8" ENTER, "1 change, not kept");
    press(&p, ESC ESC, "leave without them?");
    press(&p, "y", "d decide");
    lacks(&p, "choice by itself");
    get_up(&p);
}

/* ---- signing ---- */

static void a_changed_series_is_signed_as_an_order(void **state) {
    (void)state;
    pty p = at_bench("1005");
    beside b = lay_out("1005", false);
    press(&p, "t", "35 rotation overcorrected by 30 %: ");
    make(&b, (mc_bench_edit){.what = MC_BENCH_OVERCORRECT,
                             .tooth = tooth(35),
                             .component = MC_ROTATION,
                             .number = 30});
    int lower = stages(&b, MC_LOWER), upper = stages(&b, MC_UPPER);
    clear_away(&b);
    press(&p, "s", "Chosen: correct.");
    char text[100];
    snprintf(text, sizeof text, "new plan: %d upper and %d lower aligners from", upper, lower);
    pty_comes(&p, text);
    press(&p, "s", "A correction needs its cause.");
    press(&p, "5" ENTER, "Signed by (initials): IBA");
    press(&p, ENTER, "Passphrase of IBA:");
    press(&p, DOCTOR_WORDS ENTER, "Signed by IBA: correct. Plan 2 starts on ");
    get_up(&p);
    mc_practice *practice = NULL;
    mc_case kase;
    mc_assessment *a = NULL;
    mc_error error = {0};
    if (mc_practice_open(record, today(), &practice, &error) != MC_OK ||
        mc_case_find(practice, "1005", &kase, &error) != MC_OK ||
        mc_assess(practice, &kase, 0, false, &a, &error) != MC_OK)
        fail_msg("%s", error.text);
    assert_true(a->turn.waiting); /* the old one is worn until it comes */
    assert_int_equal(a->turn.next.number, 2);
    assert_int_equal(a->turn.stages[MC_LOWER], lower);
    assert_int_equal(a->turn.stages[MC_UPPER], upper);
    mc_assessment_free(a);
    mc_practice_close(practice);
}

/* A choice made before follows what is changed after it, and goes where there is no order. */
static void what_is_chosen_is_what_stands_on_the_bench(void **state) {
    (void)state;
    measure_upper("1005");
    pty p = at_bench("1005");
    press(&p, "s", "[x] correct");
    press(&p, "k", "> 35");
    press(&p, "h", "35 stays where it is: ");
    beside b = lay_out("1005", false);
    make(&b, (mc_bench_edit){.what = MC_BENCH_STAY, .tooth = tooth(35), .whole = 1});
    char text[100];
    snprintf(text, sizeof text, "and %d lower aligners from", stages(&b, MC_LOWER));
    clear_away(&b);
    press(&p, ESC, text);
    press(&p, "k" DOWN LEFT LEFT LEFT, "14 mesial:");
    press(&p, "2" ENTER, "correct is no longer chosen");
    press(&p, ESC, "[ ] correct");
    get_up(&p);
}

static void a_preview_says_why_and_what_to_do(void **state) {
    (void)state;
    pty p = at_bench("1003");
    pty_comes(&p, "; preview");
    pty_comes(&p, "PREVIEW, not to be signed or ordered: an order needs all six components of "
                  "every moving tooth by scan");
    press(&p, "s", "It cannot be signed: an order needs all six components");
    press(&p, ESC, "[ ] correct now, preview");
    get_up(&p);
}

/* ---- stepping through, and what is drawn ---- */

static void stages_are_stepped_through(void **state) {
    (void)state;
    char text[100];
    pty p = at_bench("1005");
    beside b = lay_out("1005", false);
    snprintf(text, sizeof text, "Stage 0 of %d of the new series", stages(&b, MC_LOWER));
    press(&p, ">", text);
    press(&p, "<", "Stage 0 of "); /* there is none before */
    for (int stage = 1; stage <= 3; stage++) {
        double there = mc_plan_at(mc_bench_plan(b.bench), tooth(35), MC_ROTATION, stage);
        snprintf(text, sizeof text, "35 rotation at stage %d of %d: %+.1f of ", stage,
                 stages(&b, MC_LOWER), there);
        press(&p, ">", text);
    }
    pty_comes(&p, "; overlap ");
    press(&p, "<", "35 rotation at stage 2 of ");
    press(&p, "r", "what is to go");
    lacks(&p, "at stage");
    clear_away(&b);
    get_up(&p);
}

static void every_tooth_can_be_seen_and_changed(void **state) {
    (void)state;
    pty p = at_bench("1005");
    press(&p, "e", "Every standing tooth.");
    press(&p, DOWN, "> 17");
    pty_comes(&p, "there already");
    press(&p, "0.2" ENTER, "17 rotation +0.2 to go: ");
    press(&p, "e", "The teeth that move, or were changed.");
    pty_comes(&p, "> 17");
    get_up(&p);
}

static void targets_come_from_a_file(void **state) {
    (void)state;
    FILE *file = fopen("targets.csv", "w");
    assert_non_null(file);
    fputs("tooth,stage,rotation_deg\n35,2,9\n", file);
    fclose(file);
    pty p = at_bench("1005");
    press(&p, "Otargets.csv" ENTER, "Targets read");
    pty_comes(&p, "1 change, not kept");
    press(&p, "r", "+9.0*");
    press(&p, "Onone.csv" ENTER, "none.csv: ");
    pty_comes(&p, "1 change, not kept");
    get_up(&p);
}

static void it_stands_at_every_size(void **state) {
    (void)state;
    static const pty_setting settings[] = {{.rows = 24, .cols = 80},
                                           {.rows = 24, .cols = 80, .ascii = "1"},
                                           {.rows = 24, .cols = 80, .term = "vt100"},
                                           {.rows = 40, .cols = 80},
                                           {.rows = 40, .cols = 120},
                                           {.rows = 40, .cols = 120, .ascii = "1"},
                                           {.rows = 60, .cols = 200, .no_colour = "1"}};
    for (size_t i = 0; i < sizeof settings / sizeof *settings; i++) {
        bool tall = settings[i].rows > 24, wide = settings[i].cols > 80;
        pty p = at_bench_in(settings[i], "1005", "IBA");
        pty_comes(&p, "Lower 12 aligners to ");
        pty_comes(&p, "need worn limited by");
        pty_comes(&p, "35 rotation: +");
        press(&p, UP, "Decision support: the doctor decides. Estimated crowns are no measurement.");
        char line[PTY_LINE];
        pty_row(&p, pty_find(&p, "> 35"), line);
        assert_int_equal(line[10], '.'); /* the points below each other, at every size */
        assert_int_equal(line[35], '.');
        if (tall)
            pty_comes(&p, "this series");
        else
            lacks(&p, "this series");
        if (wide)
            pty_comes(&p, "solid: now, dotted: target");
        else
            lacks(&p, "solid: now");
        pty_keys(&p, TAB);
        pty_comes(&p, wide && tall ? "Everything is in sight." : "solid: now, dotted: target");
        get_up(&p);
    }
}

static void it_follows_the_terminal(void **state) {
    (void)state;
    pty p = at_bench("1005");
    press(&p, "8" ENTER, "+8.0*");
    pty_resize(&p, 60, 200);
    pty_comes(&p, "Assumed: each tooth keeps");
    pty_comes(&p, "+8.0*");
    pty_resize(&p, 20, 70);
    pty_comes(&p, "midcourse needs 80x24");
    pty_resize(&p, 40, 120);
    pty_comes(&p, "solid: now, dotted: target");
    pty_comes(&p, "+8.0*");
    press(&p, "5", "35 rotation, deg to go: 5"); /* while something is asked */
    pty_resize(&p, 24, 80);
    pty_comes(&p, "35 rotation, deg to go: 5");
    press(&p, ENTER, "+5.0*");
    get_up(&p);
}

static void help_tells_keys_and_marks(void **state) {
    (void)state;
    pty p = at_bench_in((pty_setting){.rows = 100, .cols = 120}, "1005", "IBA");
    press(&p, "?", "Help: workbench");
    pty_comes(&p, "the most that one aligner may do of this movement of this tooth");
    pty_comes(&p, "overlap of neighbouring crowns in mm, negative where they are apart");
    pty_comes(&p, "That is no measurement");
    get_up(&p);
}

#define bench_test(name) cmocka_unit_test_setup(name, fresh)

int main(void) {
    const struct CMUnitTest tests[] = {
        bench_test(a_number_typed_over_is_staged_anew_at_once),
        bench_test(what_is_typed_is_what_remains),
        bench_test(where_it_ends_can_be_typed_too),
        bench_test(what_is_no_number_changes_nothing),
        bench_test(a_limit_of_nought_is_refused_in_a_sentence),
        bench_test(overcorrection_is_suggested_taken_and_capped),
        bench_test(ipr_has_its_side_and_its_aligner),
        bench_test(a_tooth_stays_and_moves_again),
        bench_test(a_target_without_room_is_named_and_cannot_be_signed),
        bench_test(changes_are_undone_and_done_again),
        bench_test(what_is_kept_is_there_again),
        bench_test(only_a_doctor_keeps),
        bench_test(leaving_with_changes_asks_once),
        bench_test(a_changed_series_is_signed_as_an_order),
        bench_test(what_is_chosen_is_what_stands_on_the_bench),
        bench_test(a_preview_says_why_and_what_to_do),
        bench_test(stages_are_stepped_through),
        bench_test(every_tooth_can_be_seen_and_changed),
        bench_test(targets_come_from_a_file),
        bench_test(it_stands_at_every_size),
        bench_test(it_follows_the_terminal),
        bench_test(help_tells_keys_and_marks),
    };
    return cmocka_run_group_tests(tests, make_demo, remove_demo);
}
