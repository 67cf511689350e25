/* The teeth most worth reading. */
#include "stand.h"

/* The first of them in order: "12 22". */
static void assert_worth(const stand *st, size_t most, const char *wanted) {
    mc_tooth teeth[MC_TEETH];
    char seen[300] = "";
    const size_t count = mc_worth_reading(&st->situation, most, teeth);
    assert_true(count <= most);
    for (size_t i = 0; i < count; i++) {
        const size_t length = strlen(seen);
        snprintf(seen + length, sizeof seen - length, "%s%d", length ? " " : "",
                 mc_tooth_iso(teeth[i]));
    }
    assert_string_equal(seen, wanted);
}

static void test_what_is_left_out(void **state) {
    (void)state;
    stand *st = stand_new();
    assert_worth(st, 6, ""); /* all were read */
    stand_unread(st, 36);
    assert_worth(st, 6, "36");
    stand_gap(&st->now, mc_tooth_from_iso(36), 0); /* a gap is no position */
    assert_worth(st, 6, "36");
    st->now.present[mc_tooth_from_iso(36)] = false;
    assert_worth(st, 6, "");
    st->now.present[mc_tooth_from_iso(36)] = true;
    st->now.effective_stage[MC_LOWER] = NAN;
    assert_worth(st, 6, "");
    st->now.effective_stage[MC_LOWER] = 12;
    st->states[mc_tooth_from_iso(18)] = MC_TOOTH_PRESENT;
    st->now.present[mc_tooth_from_iso(18)] = true; /* stands, but the plan does not move it */
    assert_worth(st, 6, "36");
    assert_worth(st, 0, "");
    stand_free(st);
}

/* Never read on this plan: what is planned more, expected less and weighs more comes first. */
static void test_never_read(void **state) {
    (void)state;
    stand *st = stand_new();
    static const int unread[] = {11, 13, 14, 12, 37};
    for (int i = 0; i < 5; i++) {
        stand_unread(st, unread[i]);
    }
    /* 12 (10 deg, weight 1.5) and 13 (12 deg, 1.25) before 37 (1 mm) and 11 (2 deg); 14 has
     * 0.2 mm */
    assert_worth(st, 6, "13 12 37 11 14");
    assert_worth(st, 2, "13 12");
    st->settings.risk_tooth[12] = 4;
    assert_worth(st, 3, "12 13 37");
    stand_free(st);
}

/* Read before on this plan: where it was thought to be short comes before where it was not. */
static void test_read_before(void **state) {
    (void)state;
    stand *st = stand_new();
    for (int iso = 36; iso <= 46; iso += 10) {
        stand_unread(st, iso);
        mc_item *item = &stand_tooth(st, iso)->item[MC_MESIAL];
        item->followed = true;
        item->mean = 1.0;
        item->sd_x = 0.2;
    }
    stand_tooth(st, 36)->item[MC_MESIAL].mean = 0.5;
    assert_worth(st, 6, "36 46");
    stand_tooth(st, 36)->item[MC_MESIAL].mean = 1.5; /* ahead: surely not short */
    assert_worth(st, 6, "46 36");
    stand_tooth(st, 36)->item[MC_MESIAL].mean = 0.5;
    stand_tooth(st, 46)->item[MC_MESIAL].mean = 0.5;
    assert_worth(st, 6, "46 36");                    /* alike: chart order */
    stand_tooth(st, 36)->item[MC_MESIAL].sd_x = 0.3; /* the less certain */
    assert_worth(st, 6, "36 46");
    stand_gap(&st->now, mc_tooth_from_iso(46), 0.7); /* does not seat: surely behind */
    assert_worth(st, 6, "46 36");
    stand_free(st);
}

/* Before the plan has moved anything all are alike: chart order. */
static void test_at_the_start(void **state) {
    (void)state;
    stand *st = stand_new();
    stand_unread(st, 46);
    stand_unread(st, 16);
    st->now.effective_stage[MC_UPPER] = st->now.effective_stage[MC_LOWER] = 0;
    assert_worth(st, 6, "16 46");
    stand_free(st);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_what_is_left_out),
        cmocka_unit_test(test_never_read),
        cmocka_unit_test(test_read_before),
        cmocka_unit_test(test_at_the_start),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
