/* The check-up form as it is used at the chair: keys counted, a caliper typing along, and what is
 * on record afterwards whatever became of the terminal. */
#include "chair.h"

/* The mouth as one goes through it: upper from the patient's right, lower from the left. */
static const int WALK[28] = {17, 16, 15, 14, 13, 12, 11, 21, 22, 23, 24, 25, 26, 27,
                             37, 36, 35, 34, 33, 32, 31, 41, 42, 43, 44, 45, 46, 47};

/* ---- the fit pass ---- */

static void a_quick_check_takes_fifteen_keys(void **state) {
    (void)state;
    mc_checkup_info *list = NULL;
    size_t count = 0;
    mc_error error = {0};
    enum { MOST_KEYS = 20 };
    const char *const keys[] = {"t123", "t225", "t342", "a", "e", "y"};
    const char *const shows[] = {"12 seat gap 0.3 mm",   "22 seat gap 0.5 mm",
                                 "34 seat gap 0.2 mm",   "All the rest seat: 25 teeth",
                                 "Complete check-up 4?", "Check-up 4 is completed"};
    size_t typed = 0;
    pty p = at_form(SMALL, "1001");
    for (int i = 0; i < 6; i++) {
        type_until(&p, keys[i], shows[i]);
        typed += strlen(keys[i]);
    }
    assert_true(typed <= MOST_KEYS);
    assert_true(pty_find(&p, "check-up 4 of 4") == 0); /* the chart below is the new one */
    assert_true(pty_find(&p, "22 upper left lateral incisor") == 10); /* from its first tooth */
    assert_true(pty_find(&p, "Proposal, rule") > 0);
    leave(&p);
    look l = look_at("1001");
    assert_int_equal(mc_record_checkups(mc_practice_record(l.practice), &l.kase.id, false, &list,
                                        &count, &error),
                     MC_OK);
    assert_int_equal(count, 4);
    int bulk = 0;
    for (size_t i = 0; i < list[3].checkup.count; i++) {
        const mc_reading *r = &list[3].checkup.rows[i];
        int iso = mc_tooth_iso(r->tooth);
        double wanted = iso == 12 ? 0.3 : iso == 22 ? 0.5 : iso == 34 ? 0.2 : 0;
        assert_true(fabs(r->seat_gap - wanted) < 1e-12);
        assert_int_equal(r->seat_in_bulk, wanted < 0.1);
        bulk += r->seat_in_bulk;
    }
    assert_int_equal(bulk, 25);
    mc_checkup_info_free(list, count);
    look_end(&l);
}

static void digits_go_through_the_mouth(void **state) {
    (void)state;
    pty p = at_form(SMALL, "1001");
    type_until(&p, "0123456789s210", "37 lower left second molar");
    leave(&p);
}

/* Twenty-eight readings in one burst: each on its own tooth. */
static void a_caliper_goes_through_the_mouth(void **state) {
    (void)state;
    char keys[28 * 8] = "";
    pty p = at_form(SMALL, "1001");
    for (int i = 0; i < 28; i++) {
        size_t used = strlen(keys);
        snprintf(keys + used, sizeof keys - used, i % 3 == 1 ? "%d,%02d\r" : "%d.%02d\r", i % 2,
                 (7 * i) % 100);
    }
    type_until(&p, keys, "every gap is said");
    type_until(&p, "0.5\r", "nothing of it was taken"); /* one too many */
    leave(&p);
    look l = look_at("1001");
    for (int i = 0; i < 28; i++)
        assert_true(fabs(gap_of(&l, WALK[i], 0) - (i % 2 + (7 * i) % 100 / 100.0)) < 1e-12);
    look_end(&l);
}

/* A digit that says what was said already makes no step: the point behind it takes none back. */
static void a_tooth_said_already_is_said_anew(void **state) {
    (void)state;
    pty p = at_form(SMALL, "1001");
    type_until(&p, "00t170.4\r", "17 seat gap 0.4 mm");
    leave(&p);
    look l = look_at("1001");
    assert_true(fabs(gap_of(&l, 17, 0) - 0.4) < 1e-12);
    assert_true(fabs(gap_of(&l, 16, 0)) < 1e-12);
    look_end(&l);
}

/* Keys by hand between readings by caliper, and forms that gauges have. */
static void hand_and_caliper_may_mix(void **state) {
    (void)state;
    const double expected[] = {0.3, 0.4, 0, 0.25, 1.2, 0, 0.7, 0.5};
    pty p = at_form(SMALL, "1001");
    type_until(&p,
               "30.4\r"
               "s.25\r+1.2\r"
               "07"
               "0,5\r",
               "22 upper left lateral incisor");
    leave(&p);
    look l = look_at("1001");
    for (int i = 0; i < 8; i++)
        assert_true(fabs(gap_of(&l, WALK[i], 0) - expected[i]) < 1e-12);
    assert_true(isnan(gap_of(&l, WALK[8], 0)));
    look_end(&l);
}

static void a_number_for_no_field_goes_by_whole(void **state) {
    (void)state;
    pty p = at_form(SMALL, "1001");
    type_until(&p, "b1.25\r", "nothing of it was taken"); /* among choices */
    type_until(&p, "t1.25\r", "nothing of it was taken"); /* where a tooth is asked for */
    type_until(&p, "t0.25\r", "nothing of it was taken");
    leave(&p);
    nothing_is_said("1001");
}

static void what_is_half_typed_is_not_lost_silently(void **state) {
    (void)state;
    pty p = at_form(SMALL, "1001");
    type_until(&p, ".4" RIGHT, ".4 is typed but not entered");
    type_until(&p, "\r", "17 seat gap 0.4 mm");
    type_until(&p, ".7" BACKSPACE "6\r", "16 seat gap 0.6 mm");
    leave(&p);
}

static void a_refused_value_stays_in_its_field(void **state) {
    (void)state;
    pty p = at_form(SMALL, "1001");
    pty_keys(&p, "+9.5\r");
    pty_settle(&p);
    assert_true(pty_find(&p, "entered  +9.5") > 0);
    assert_true(pty_find(&p, "17 upper right second molar") == 10);
    nothing_is_said("1001");
    type_until(&p, "0.5\r", "17 seat gap 0.5 mm"); /* begins anew */
    leave(&p);
}

/* Typed before it is seen that the value in front was refused: it would land on the wrong tooth. */
static void what_is_typed_ahead_of_a_refusal_is_forgotten(void **state) {
    (void)state;
    pty p = at_form(SMALL, "1001");
    type_until(&p, "+9.5\r123", "cannot be");
    pty_settle(&p);
    assert_true(pty_find(&p, "17 upper right second molar") == 10);
    leave(&p);
    nothing_is_said("1001");
}

/* ---- the reading pass ---- */

static void six_positions_take_their_digits_and_six_enters(void **state) {
    (void)state;
    const char *const keys[] = {"0.4\r", "0,2\r", "0.1\r", "3\r", "1.5\r", "1\r"};
    const double expected[] = {0.4, 0.2, 0.1, 3, 1.5, 1};
    pty p = at_form(SMALL, "1001");
    type_until(&p, "t12r", "12 upper right lateral incisor");
    for (int i = 0; i < 6; i++) {
        pty_keys(&p, keys[i]);
        pty_settle(&p);
    }
    pty_await(&p, "; next ");
    assert_int_equal(pty_find(&p, "12 upper right lateral incisor"), -1);
    leave(&p);
    look l = look_at("1001");
    for (int c = 0; c < 6; c++)
        assert_true(fabs(position_of(&l, 12, (mc_component)c) - expected[c]) < 1e-12);
    look_end(&l);
}

static void short_of_plan_or_as_observed(void **state) {
    (void)state;
    pty p = at_form(SMALL, "1001");
    type_until(&p, "t12r\r\r\r", "12 rotation: deg short of today's plan");
    type_until(&p, "3\r", "12 rotation 3.0 deg short of plan");
    type_until(&p, ESC, "e goes on with it");
    type_until(&p, "e", "being entered");
    type_until(&p, "t12r\r\r\ro5\r", "12 rotation 5.0 deg observed");
    leave(&p);
    look l = look_at("1001");
    const mc_reading *r = mc_draft_row(l.draft, mc_tooth_from_iso(12), 0);
    assert_false(r->short_of_plan[MC_ROTATION]);
    look_end(&l);
}

static void what_is_unlikely_is_asked_back_once(void **state) {
    (void)state;
    pty p = at_form(SMALL, "1001");
    type_until(&p, "t12r\r\r\r", "12 rotation: deg short");
    type_until(&p, "30\r", "y: yes, n: no");
    pty_keys(&p, "0.4\r"); /* a caliper answers nothing, and loses nothing */
    pty_settle(&p);
    assert_true(pty_find(&p, "y: yes, n: no") > 0);
    assert_true(pty_find(&p, "Is 12 rotation 30.0 deg short? Plan ") > 0);
    pty_keys(&p, "n");
    pty_settle(&p);
    assert_int_equal(pty_find(&p, "y: yes, n: no"), -1);
    nothing_is_said("1001");
    type_until(&p, "30\r", "y: yes, n: no");
    type_until(&p, "y", "12 rotation 30.0 deg short of plan");
    leave(&p);
    look l = look_at("1001");
    assert_true(fabs(position_of(&l, 12, MC_ROTATION) - 30) < 1e-12);
    look_end(&l);
}

static void a_tooth_may_be_read_twice(void **state) {
    (void)state;
    pty p = at_form(SMALL, "1001");
    type_until(&p, "t120.4\r" LEFT, "12 upper right lateral incisor");
    type_until(&p, "=", "reading 2 of 2");
    type_until(&p, "0.6\r" LEFT, "reading 1 of 2");
    leave(&p);
    look l = look_at("1001");
    assert_true(fabs(gap_of(&l, 12, 0) - 0.4) < 1e-12);
    assert_true(fabs(gap_of(&l, 12, 1) - 0.6) < 1e-12);
    look_end(&l);
}

/* ---- findings and the frame ---- */

static void findings_by_letter_and_digit(void **state) {
    (void)state;
    pty p = at_form(SMALL, "1001");
    type_until(&p, "t12b", "1 intact  2 worn  3 loose  4 lost  0 not said");
    type_until(&p, "4", "12 attachment lost");
    type_until(&p, "c3", "12 mesial contact tight");
    type_until(&p, "cc1", "12 distal contact open");
    type_until(&p, "m2", "12 mobility grade 2");
    type_until(&p, "p2", "12 pain on biting yes");
    assert_true(pty_find(&p, " ! As it stands, rule 1, examine:") > 0);
    type_until(&p, "w1", "12 swelling or pus no");
    type_until(&p, "x0.5\r", "12 recession 0.5 mm");
    type_until(&p, "b" DELETE, "12 attachment not said");
    leave(&p);
    look l = look_at("1001");
    const mc_reading *r = mc_draft_row(l.draft, mc_tooth_from_iso(12), 0);
    assert_non_null(r);
    assert_int_equal(r->attachment, MC_ATTACHMENT_UNSAID);
    assert_int_equal(r->contact_mesial, MC_CONTACT_TIGHT);
    assert_int_equal(r->contact_distal, MC_CONTACT_OPEN);
    assert_int_equal(r->mobility, 2);
    assert_int_equal(r->pain, MC_YES);
    assert_int_equal(r->swelling, MC_NO);
    assert_true(fabs(r->recession - 0.5) < 1e-12);
    look_end(&l);
}

/* 12 has one by the plan, 11 has none. */
static void an_attachment_that_is_not_planned_is_pointed_out(void **state) {
    (void)state;
    pty p = at_form(SMALL, "1001");
    type_until(&p, "t11b4", "11 attachment lost; the plan has none there.");
    type_until(&p, "b0", "11 attachment not said.");
    type_until(&p, "t12b4", "12 attachment lost.");
    leave(&p);
}

/* Before it is completed it is told what was found and where, as long as there is room. */
static void the_review_tells_what_was_found(void **state) {
    (void)state;
    pty p = at_form(SMALL, "1001");
    type_until(&p, "t22b4t35m1", "35 mobility grade 1");
    type_until(&p, "e", "findings   22 attachment lost; 35 mobility grade 1");
    type_until(&p, "n", "35 gap:");
    type_until(&p, "t12c1t13c1t14c1", "14 mesial contact open");
    type_until(&p, "e", "findings   14 13 12 22 35");
    type_until(&p, "n", "14 gap:");
    leave(&p);
}

static void the_frame_is_by_the_dates_until_entered(void **state) {
    (void)state;
    pty p = at_form(SMALL, "1001");
    assert_true(pty_find(&p, "by the dates") == 3);
    type_until(&p, "k", "Check-up 4: aligners worn");
    type_until(&p, "12\r", "Upper aligner 12");
    type_until(&p, "9\r", "Day 9 of the upper aligner");
    type_until(&p, DOWN DOWN "21,5\r", "Wear 21.5 h a day");
    type_until(&p, "3", "Method photo");
    type_until(&p, "\rslept badly, forgot two nights\r", "Note \"slept badly");
    type_until(&p, "f", "as entered");
    leave(&p);
    look l = look_at("1001");
    const mc_checkup *c = mc_draft_checkup(l.draft);
    assert_int_equal(c->aligner[MC_UPPER], 12);
    assert_int_equal(c->day[MC_UPPER], 9);
    assert_true(fabs(c->wear_hours - 21.5) < 1e-12);
    assert_int_equal(c->method, MC_PHOTO);
    assert_string_equal(c->note, "slept badly, forgot two nights");
    look_end(&l);
}

/* Nothing of a note that is too long is lost: it is asked for again as it was typed. */
static void a_note_too_long_is_asked_for_again(void **state) {
    (void)state;
    char note[502];
    memset(note, 'n', 500);
    note[500] = 'Z';
    note[501] = '\0';
    pty p = at_form(SMALL, "1001");
    type_until(&p, "k" DOWN DOWN DOWN DOWN DOWN DOWN "\r", "Note:");
    pty_keys(&p, note);
    type_until(&p, "\r", "500");
    pty_await(&p, "nnnZ");
    type_until(&p, BACKSPACE "\r", "Note \"nnn");
    leave(&p);
    look l = look_at("1001");
    assert_int_equal(strlen(mc_draft_checkup(l.draft)->note), 500);
    look_end(&l);
}

/* What is unlikely of the whole is listed before the question, and refused without a yes. */
static void what_is_unlikely_of_the_whole_is_listed(void **state) {
    (void)state;
    pty p = at_form(SMALL, "1001");
    type_until(&p, "a", "All the rest seat: 28 teeth");
    type_until(&p, "k20\r", "Upper aligner 20");
    type_until(&p, "s", "First back to the teeth"); /* of no tooth that is not seen */
    type_until(&p, "fe", "upper aligner 20 is worn, but by the dates it should be 13");
    assert_true(pty_find(&p, "Complete check-up 4? y: yes, n: no.") == 22);
    type_until(&p, "n", "Gaps on 28 of 28 teeth");
    type_until(&p, "e", "Unlikely, as it stands above.");
    type_until(&p, "y", "Check-up 4 is completed");
    leave(&p);
}

static void nothing_read_is_no_check_up(void **state) {
    (void)state;
    pty p = at_form(SMALL, "1001");
    type_until(&p, "e", "othing was read");
    leave(&p);
    nothing_is_said("1001");
}

/* ---- undo and redo ---- */

static void steps_are_taken_back_and_done_again(void **state) {
    (void)state;
    pty p = at_form(SMALL, "1001");
    type_until(&p, "34", "16 seat gap 0.4 mm: slipping, lag 0.80; next 15.");
    type_until(&p, "u", "Taken back: 16 seat gap 0.4 mm");
    assert_true(pty_find(&p, "16 upper right first molar") == 10);
    type_until(&p, "u", "Taken back: 17 seat gap 0.3 mm");
    nothing_is_said("1001");
    type_until(&p, "U", "Done again: 17 seat gap 0.3 mm");
    type_until(&p, CTRL_R, "Done again: 16 seat gap 0.4 mm");
    leave(&p);
    look l = look_at("1001");
    assert_true(fabs(gap_of(&l, 17, 0) - 0.3) < 1e-12);
    assert_true(fabs(gap_of(&l, 16, 0) - 0.4) < 1e-12);
    look_end(&l);
}

static void it_may_be_thrown_away(void **state) {
    (void)state;
    pty p = at_form(SMALL, "1001");
    type_until(&p, "34D", "Throw check-up 4 away?");
    type_until(&p, "1\ry", "Check-up 4 was thrown away");
    leave(&p);
    nothing_is_said("1001");
}

/* ---- whatever becomes of the terminal ---- */

static void everything_is_kept(int signal_number) {
    pty p = at_form(SMALL, "1001");
    type_until(&p, "34t12r\r0.4\r", "12 buccal 0.40 mm short of plan");
    kill(p.pid, signal_number);
    int status = pty_wait(&p);
    pty_close(&p);
    assert_true(signal_number == SIGKILL ? WIFSIGNALED(status) : WIFEXITED(status));
    look l = look_at("1001");
    assert_int_equal(mc_draft_steps(l.draft), 3);
    assert_true(fabs(gap_of(&l, 17, 0) - 0.3) < 1e-12);
    assert_true(fabs(gap_of(&l, 16, 0) - 0.4) < 1e-12);
    assert_true(fabs(position_of(&l, 12, MC_BUCCAL) - 0.4) < 1e-12);
    look_end(&l);
    p = at_chart(SMALL, "1001", "JT");
    assert_true(pty_find(&p, "Check-up 4 is being entered: e goes on with it.") > 0);
    type_until(&p, "e", "being entered, 2026");
    assert_true(pty_find(&p, "Check-up 4 goes on where it stood: 3 steps so far.") > 0);
    assert_true(pty_find(&p, "Gaps on 2 of 28 teeth, positions on 1") > 0);
    assert_true(pty_find(&p, "15 upper right second premolar") == 10); /* the first not said */
    type_until(&p, "u", "Taken back: 12 buccal 0.40 mm short of plan");
    leave(&p);
}

/* Left once every gap was said: a digit typed on coming back is no gap of the first tooth. */
static void it_goes_on_with_the_readings_once_every_gap_is_said(void **state) {
    (void)state;
    pty p = at_form(SMALL, "1001");
    type_until(&p, "t124a", "Most worth reading: 12.");
    type_until(&p, "\033", "kept as it is");
    type_until(&p, "e", "goes on where it stood: 2 steps so far.");
    assert_true(pty_find(&p, "12 upper right lateral incisor") == 10);
    type_until(&p, "\r0.4\r", "12 buccal 0.40 mm short of plan");
    leave(&p);
    look l = look_at("1001");
    assert_true(gap_of(&l, 17, 0) < 1e-12);
    look_end(&l);
}

static void a_killed_process_loses_nothing(void **state) {
    (void)state;
    everything_is_kept(SIGKILL);
}

static void a_hung_up_terminal_loses_nothing(void **state) {
    (void)state;
    everything_is_kept(SIGHUP);
}

static void two_at_once_see_each_other(void **state) {
    (void)state;
    pty one = at_form(SMALL, "1001"), two = at_form(SMALL, "1001");
    type_until(&one, "t123", "12 seat gap 0.3 mm");
    pty_await(&two, "Somebody else has changed something");
    assert_true(pty_find(&two, "Gaps on 1 of 28 teeth") > 0);
    type_until(&two, "t225", "22 seat gap 0.5 mm");
    pty_await(&one, "Gaps on 2 of 28 teeth");
    leave(&one);
    leave(&two);
}

static void a_check_up_completed_elsewhere_is_noticed(void **state) {
    (void)state;
    pty one = at_form(SMALL, "1001"), two = at_form(SMALL, "1001");
    type_until(&one, "a", "All the rest seat");
    pty_await(&two, "Somebody else has changed something");
    type_until(&one, "e", "Complete check-up 4?");
    type_until(&one, "y", "Check-up 4 is completed");
    pty_await(&two, "Check-up 4 was completed or thrown away by somebody else");
    assert_true(pty_find(&two, "check-up 4 of 4") == 0);
    leave(&one);
    leave(&two);
}

static void act(mc_status (*what)(mc_practice *, const mc_case *, mc_error *), const char *label) {
    mc_practice *practice = NULL;
    mc_case kase;
    mc_error error = {0};
    mc_status status = mc_practice_open(record, today(), &practice, &error);
    if (status == MC_OK)
        status = mc_practice_act_as(practice, "IBA", &error);
    if (status == MC_OK)
        status = mc_case_find(practice, label, &kase, &error);
    if (status == MC_OK)
        status = what(practice, &kase, &error);
    if (status != MC_OK)
        fail_msg("%s", error.text);
    mc_practice_close(practice);
}

static mc_status throw_away_and_close(mc_practice *practice, const mc_case *kase, mc_error *error) {
    mc_draft *draft = NULL;
    mc_status status = mc_draft_open(practice, kase, &draft, error);
    if (status == MC_OK)
        status = mc_draft_discard(draft, error);
    mc_draft_close(draft);
    return status == MC_OK ? mc_case_close(practice, kase, error) : status;
}

/* The form is left with the case; it never says that something is kept that is not. */
static void a_case_closed_elsewhere_is_left(void **state) {
    (void)state;
    pty begun = at_form(SMALL, "1001");
    type_until(&begun, "t123", "12 seat gap 0.3 mm");
    act(throw_away_and_close, "1001");
    pty_await(&begun, "Check-up 4 was completed or thrown away by somebody else");
    assert_true(pty_find(&begun, "being entered") < 0);
    leave(&begun);
    pty unbegun = at_form(SMALL, "1002");
    act(mc_case_close, "1002");
    pty_await(&unbegun, "Case 1002 was closed on");
    assert_true(pty_find(&unbegun, "being entered") < 0);
    leave(&unbegun);
}

/* ---- who may, and what cannot ---- */

static void the_desk_does_not_enter(void **state) {
    (void)state;
    pty p = at_chart(SMALL, "1001", "NF");
    type_until(&p, "e", "NF is at the desk");
    assert_int_equal(pty_find(&p, "being entered"), -1);
    leave(&p);
}

static void nobody_is_asked_who_they_are(void **state) {
    (void)state;
    pty p = at_chart(SMALL, "1001", NULL);
    type_until(&p, "e", "sign in first");
    type_until(&p, "JT\r", "Passphrase of JT");
    type_until(&p, "quiet-basalt-kettle\r", "being entered");
    leave(&p);
}

static void an_arch_without_an_aligner_says_so(void **state) {
    (void)state;
    pty p = at_form(SMALL, "1014"); /* only the upper arch has a series */
    type_until(&p, "\033OF3", "lag 0.60; the lower arch has no series.");
    type_until(&p, "5", "was the last tooth");
    type_until(&p, DOWN, "the lower arch has no series, so there is no gap to read");
    leave(&p);
}

/* ---- looks ---- */

static void at_80x24(void **state) {
    (void)state;
    pty p = at_form(SMALL, "1001");
    type_until(&p, "t124", "12 seat gap 0.4 mm");
    assert_int_equal(pty_find(&p, "gap mm mesial mm buccal mm occl. mm  rot. deg"), 11);
    const char *const labels[] = {" planned ", " last read ", " entered ", " estimate ", " index "};
    for (int i = 0; i < 5; i++)
        assert_int_equal(pty_find(&p, labels[i]), 12 + i);
    assert_int_equal(pty_find(&p, " b attachment  c contact mes"), 17);
    assert_int_equal(pty_find(&p, " Gaps on 1 of 28 teeth"), 19);
    assert_int_equal(pty_find(&p, " As it stands, rule "), 20);
    assert_int_equal(pty_find(&p, "Proposal only: the doctor decides"), 21);
    leave(&p);
}

static void large_terminals_get_more(void **state) {
    (void)state;
    pty_setting medium = {.rows = 40, .cols = 120}, large = {.rows = 60, .cols = 200};
    pty p = at_form(medium, "1001");
    type_until(&p, "t124", "Said so far");
    assert_true(pty_find(&p, "gap 0.4") > 0);
    assert_true(pty_find(&p, "over the check-ups, the latest first") > 0);
    leave(&p);
    p = at_form(large, "1001");
    assert_true(pty_find(&p, "In words") > 0);
    leave(&p);
}

static void without_colour_and_in_ascii(void **state) {
    (void)state;
    pty_setting poor = {.rows = 24, .cols = 80, .term = "vt100", .ascii = "1"};
    pty p = at_form(poor, "1001");
    type_until(&p, "t124ar", "12");
    for (int row = 0; row < p.rows; row++)
        for (int col = 0; col < p.cols; col++)
            assert_true(pty_cell(&p, row, col).chars[0] < 127);
    leave(&p);
}

static void in_other_notations(void **state) {
    (void)state;
    pty p = at_form(SMALL, "1001");
    type_until(&p, "n", "1 to 32");
    type_until(&p, "t", "Tooth:");
    type_until(&p, "7\r4", "7 seat gap 0.4 mm");
    type_until(&p, "nt", "Tooth:");
    type_until(&p, "UL2\r5", "UL2 seat gap 0.5 mm");
    leave(&p);
    look l = look_at("1001");
    assert_true(fabs(gap_of(&l, 12, 0) - 0.4) < 1e-12);
    assert_true(fabs(gap_of(&l, 22, 0) - 0.5) < 1e-12);
    look_end(&l);
}

static void the_help_tells_every_key(void **state) {
    (void)state;
    pty_setting tall = {.rows = 120, .cols = 100};
    pty p = at_form(tall, "1001");
    type_until(&p, "?", "Help: check-up form");
    const char *const wanted[] = {"this tooth seats",   "all the rest seat", "mesial contact",
                                  "take the last step", "throw the whole",   "doctor first"};
    for (int i = 0; i < 6; i++)
        assert_true(pty_find(&p, wanted[i]) > 0);
    leave(&p);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test_setup(a_quick_check_takes_fifteen_keys, fresh),
        cmocka_unit_test_setup(digits_go_through_the_mouth, fresh),
        cmocka_unit_test_setup(a_caliper_goes_through_the_mouth, fresh),
        cmocka_unit_test_setup(a_tooth_said_already_is_said_anew, fresh),
        cmocka_unit_test_setup(hand_and_caliper_may_mix, fresh),
        cmocka_unit_test_setup(a_number_for_no_field_goes_by_whole, fresh),
        cmocka_unit_test_setup(what_is_half_typed_is_not_lost_silently, fresh),
        cmocka_unit_test_setup(a_refused_value_stays_in_its_field, fresh),
        cmocka_unit_test_setup(what_is_typed_ahead_of_a_refusal_is_forgotten, fresh),
        cmocka_unit_test_setup(six_positions_take_their_digits_and_six_enters, fresh),
        cmocka_unit_test_setup(short_of_plan_or_as_observed, fresh),
        cmocka_unit_test_setup(what_is_unlikely_is_asked_back_once, fresh),
        cmocka_unit_test_setup(a_tooth_may_be_read_twice, fresh),
        cmocka_unit_test_setup(findings_by_letter_and_digit, fresh),
        cmocka_unit_test_setup(an_attachment_that_is_not_planned_is_pointed_out, fresh),
        cmocka_unit_test_setup(the_review_tells_what_was_found, fresh),
        cmocka_unit_test_setup(the_frame_is_by_the_dates_until_entered, fresh),
        cmocka_unit_test_setup(a_note_too_long_is_asked_for_again, fresh),
        cmocka_unit_test_setup(what_is_unlikely_of_the_whole_is_listed, fresh),
        cmocka_unit_test_setup(nothing_read_is_no_check_up, fresh),
        cmocka_unit_test_setup(steps_are_taken_back_and_done_again, fresh),
        cmocka_unit_test_setup(it_may_be_thrown_away, fresh),
        cmocka_unit_test_setup(it_goes_on_with_the_readings_once_every_gap_is_said, fresh),
        cmocka_unit_test_setup(a_killed_process_loses_nothing, fresh),
        cmocka_unit_test_setup(a_hung_up_terminal_loses_nothing, fresh),
        cmocka_unit_test_setup(two_at_once_see_each_other, fresh),
        cmocka_unit_test_setup(a_check_up_completed_elsewhere_is_noticed, fresh),
        cmocka_unit_test_setup(a_case_closed_elsewhere_is_left, fresh),
        cmocka_unit_test_setup(the_desk_does_not_enter, fresh),
        cmocka_unit_test_setup(nobody_is_asked_who_they_are, fresh),
        cmocka_unit_test_setup(an_arch_without_an_aligner_says_so, fresh),
        cmocka_unit_test_setup(at_80x24, fresh),
        cmocka_unit_test_setup(large_terminals_get_more, fresh),
        cmocka_unit_test_setup(without_colour_and_in_ascii, fresh),
        cmocka_unit_test_setup(in_other_notations, fresh),
        cmocka_unit_test_setup(the_help_tells_every_key, fresh),
    };
    return cmocka_run_group_tests(tests, make_demo, remove_demo);
}
