/* Measured arches: taken to a check-up, journalled, and what an assessment makes of them. */
#include "acting.h"

#include "near.h"

/* A case's estimated arch as a file, moved to the right. */
static char *arch_file(house *h, mc_arch of, double moved, size_t *size) {
    mc_assessment *a = assessed(h->practice, "1001", 0);
    mc_arches arches;
    mc_arch_crowns crowns = {.arch = of};
    char *data;
    mc_assess_arches(a, &arches);
    for (mc_tooth t = 0; t < MC_TEETH; t++)
        if (mc_tooth_arch(t) == of) {
            crowns.crown[t] = arches.crown[t];
            crowns.crown[t].right += moved;
        }
    done(mc_arch_write(&crowns, MC_NOTATION_ISO, NULL, &data, size, &why));
    mc_assessment_free(a);
    return data;
}

static mc_status import(house *h, const char *data, int number, mc_measured_arch *out) {
    mc_case kase = find(h->practice, "1001");
    return mc_import_arch(h->practice, &kase, data, strlen(data), MC_NOTATION_ISO, number, out,
                          &why);
}

static void arch_is_kept_and_told(void **state) {
    house *h = *state;
    size_t size, count;
    mc_measured_arch kept;
    mc_deed *deeds;
    mc_case kase = find(h->practice, "1001");
    first_checkup(h);
    char *data = arch_file(h, MC_UPPER, 3, &size);
    act_as(h, "EF");
    refused(h, "", import(h, data, 0, &kept)); /* the desk reads no teeth */
    act_as(h, "CD");
    journalled(h, "arch measured", import(h, data, 0, &kept));
    assert_int_equal(kept.checkup, 1);
    assert_int_equal(kept.entry, 1);
    assert_string_equal(kept.by, "CD");
    act_as(h, "AB");
    journalled(h, "arch measured", import(h, data, 1, &kept));
    assert_int_equal(kept.entry, 2);
    done(mc_history(h->practice, &kase, &deeds, &count, &why));
    assert_string_equal(deeds[count - 2].sentence, "upper arch measured at check-up 1: 15 crowns");
    assert_string_equal(deeds[count - 1].sentence,
                        "upper arch measured anew at check-up 1: 15 crowns");
    mc_deeds_free(deeds, count);
    free(data);
}

static void what_cannot_be_is_refused(void **state) {
    house *h = *state;
    size_t size;
    mc_measured_arch kept;
    mc_case kase = find(h->practice, "1001");
    char *data = arch_file(h, MC_UPPER, 0, &size);
    refused(h, "has no check-up on its plan", import(h, data, 0, &kept));
    first_checkup(h);
    refused(h, "has no check-up 2", import(h, data, 2, &kept));
    char *cut = strrchr(data, '\n');
    *cut = '\0';
    *(strrchr(data, '\n') + 1) = '\0'; /* the last line: 28 */
    refused(h, "the file ends without tooth 28", import(h, data, 0, &kept));
    assert_true(why.line > 1);
    refused(h, "does not have tooth 18",
            import(h, "tooth,right_mm,anterior_mm,outward_deg\n18,20,5,0\n", 0, &kept));
    free(data);
    data = arch_file(h, MC_LOWER, 0, &size);
    done(mc_case_close(h->practice, &kase, &why));
    refused(h, "is closed", import(h, data, 0, &kept));
    free(data);
}

static void expect_crown(const mc_assessment *a, int iso, double right) {
    mc_arches arches;
    mc_assess_arches(a, &arches);
    assert_near(arches.crown[mc_tooth_from_iso(iso)].right, right, 1e-12);
}

/* The crowns stand as measured when the teeth are at the check-up's poses; the other arch stays
 * estimated, and an earlier check-up knows nothing of it. */
static void last_measured_counts(void **state) {
    house *h = *state;
    size_t size;
    mc_measured_arch kept;
    mc_arches arches;
    const mc_tooth t = mc_tooth_from_iso(12);
    first_checkup(h);
    second_checkup(h);
    mc_assessment *a = assessed(h->practice, "1001", 0);
    mc_assess_arches(a, &arches);
    assert_true(arches.estimated[MC_UPPER] && arches.estimated[MC_LOWER]);
    const double estimated = arches.crown[t].right;
    mc_assessment_free(a);

    char *data = arch_file(h, MC_UPPER, 5, &size);
    done(import(h, data, 2, &kept));
    a = assessed(h->practice, "1001", 0);
    mc_assess_arches(a, &arches);
    assert_true(!arches.estimated[MC_UPPER] && arches.estimated[MC_LOWER]);
    assert_int_equal(a->measured_at[MC_UPPER], 2);
    assert_near(arches.crown[t].right, estimated + 5, 1e-12);
    assert_true(arches.crown[mc_tooth_from_iso(41)].stands);
    assert_false(arches.crown[mc_tooth_from_iso(18)].stands);
    /* by scan where read so (0.42 mm, 6.4 deg), else planned: of 13 nothing was read */
    assert_near(arches.at[t].c[MC_BUCCAL], 0.42, 1e-12);
    assert_near(arches.at[t].c[MC_ROTATION], 6.4, 1e-12);
    assert_near(arches.at[mc_tooth_from_iso(13)].c[MC_MESIAL], 0, 0);
    mc_assessment_free(a);

    a = assessed(h->practice, "1001", 1);
    assert_int_equal(a->measured_at[MC_UPPER], 0);
    expect_crown(a, 12, estimated);
    mc_assessment_free(a);
    free(data);

    /* measured at the first, and anew: it counts there, and not at the second */
    mc_case kase = find(h->practice, "1001");
    mc_measured_arch again = kept;
    again.checkup = 1;
    for (mc_tooth u = 0; u < MC_TEETH; u++)
        again.crown[u].right += 2;
    data = NULL;
    mc_arch_crowns crowns = {.arch = MC_UPPER};
    memcpy(crowns.crown, again.crown, sizeof crowns.crown);
    done(mc_arch_write(&crowns, MC_NOTATION_ISO, NULL, &data, &size, &why));
    done(mc_import_arch(h->practice, &kase, data, size, MC_NOTATION_ISO, 1, &kept, &why));
    free(data);
    a = assessed(h->practice, "1001", 1);
    expect_crown(a, 12, estimated + 7);
    /* read by caliper there: as estimated */
    mc_assess_arches(a, &arches);
    assert_near(arches.at[t].c[MC_BUCCAL], a->score->tooth[t].item[MC_BUCCAL].mean, 0);
    mc_assessment_free(a);
    a = assessed(h->practice, "1001", 2);
    expect_crown(a, 12, estimated + 5);
    mc_assessment_free(a);
}

/* A tooth that erupted since has no measured crown: neighbours would be told wrong. */
static void arch_without_a_tooth_does_not_count(void **state) {
    house *h = *state;
    size_t size;
    mc_measured_arch kept;
    mc_case kase = find(h->practice, "1001");
    first_checkup(h);
    char *data = arch_file(h, MC_UPPER, 5, &size);
    done(import(h, data, 1, &kept));
    h->practice->today = day(SECOND_DAY);
    done(mc_case_set_tooth(h->practice, &kase, mc_tooth_from_iso(18), MC_TOOTH_PRESENT,
                           day("2025-05-01"), &why));
    second_checkup(h);
    mc_assessment *a = assessed(h->practice, "1001", 1);
    assert_int_equal(a->measured_at[MC_UPPER], 1);
    mc_assessment_free(a);
    a = assessed(h->practice, "1001", 2);
    assert_int_equal(a->measured_at[MC_UPPER], 0);
    mc_assessment_free(a);
    free(data);
}

/* The corrected plan's stage 0 is where the check-up found the teeth: there its arch stands too. */
static void a_corrected_plan_keeps_its_arch(void **state) {
    house *h = *state;
    size_t size;
    mc_measured_arch kept;
    mc_revision revision;
    mc_decision decision;
    mc_warnings warnings;
    mc_arches before, after;
    mc_case kase = find(h->practice, "1001");
    first_checkup(h);
    second_checkup(h);
    char *data = arch_file(h, MC_UPPER, 5, &size);
    done(import(h, data, 2, &kept));
    mc_assessment *a = assessed(h->practice, "1001", 0);
    mc_assess_arches(a, &before);
    mc_assessment_free(a);
    done(mc_revise(h->practice, &kase, NULL, 0, 0, &revision, &why));
    const mc_decide what = {.choices = 1U << MC_CORRECT,
                            .to = -1,
                            .start = mc_practice_today(h->practice), /* worn at once */
                            .cause = MC_CAUSE_STAGING,
                            .reason = "to be sure",
                            .plan = revision.file,
                            .plan_size = revision.file_size};
    done(mc_sign(h->practice, &kase, &what, DOCTOR_WORDS, &decision, &warnings, &why));
    free(decision.evidence);
    mc_warnings_free(&warnings);
    mc_revision_free(&revision);
    a = assessed(h->practice, "1001", 0);
    assert_int_equal(a->info.number, 2);
    assert_int_equal(a->measured_at[MC_UPPER], 2);
    mc_assess_arches(a, &after);
    for (mc_tooth t = 0; t < MC_TEETH; t++)
        for (int c = 0; mc_tooth_arch(t) == MC_UPPER && c < MC_COMPONENTS; c++) {
            assert_near(after.crown[t].right, before.crown[t].right, 0);
            assert_near(after.at[t].c[c], 0, 0);
        }
    assert_near(before.at[mc_tooth_from_iso(12)].c[MC_ROTATION], 6.4, 1e-12);
    mc_assessment_free(a);
    free(data);
}

/* Another version of the check-up says anew where the teeth were. */
static void an_amendment_moves_where_they_were(void **state) {
    house *h = *state;
    size_t size;
    int version;
    mc_measured_arch kept;
    mc_warnings warnings;
    mc_arches arches;
    mc_case kase = find(h->practice, "1001");
    first_checkup(h);
    second_checkup(h);
    char *data = arch_file(h, MC_UPPER, 5, &size);
    done(import(h, data, 2, &kept));
    const mc_checkup_import better = readings("tooth,buccal_mm\n12,0.31\n", SECOND_DAY, 9, 2);
    done(mc_amend_checkup(h->practice, &kase, 2, &better, "read again", &version, &warnings, &why));
    mc_warnings_free(&warnings);
    mc_assessment *a = assessed(h->practice, "1001", 0);
    mc_assess_arches(a, &arches);
    assert_near(arches.at[mc_tooth_from_iso(12)].c[MC_BUCCAL], 0.31, 1e-12);
    mc_assessment_free(a);
    free(data);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        acting_test(arch_is_kept_and_told),
        acting_test(what_cannot_be_is_refused),
        acting_test(last_measured_counts),
        acting_test(arch_without_a_tooth_does_not_count),
        acting_test(a_corrected_plan_keeps_its_arch),
        acting_test(an_amendment_moves_where_they_were),
    };
    return cmocka_run_group_tests(tests, make_template, remove_template);
}
