/* Plan files that are refused: each fault at its line and column, and nothing taken over. */
#include "given.h"

#include <stdio.h>

/* ---- the file as a whole ---- */

static void no_text(void **state) {
    (void)state;
    refuse_plan("", 1, 1, "the file is empty");
    refuse_plan("\xef\xbb\xbf", 1, 1, "the file is empty");
    refuse_plan_bytes("\xff\xfet\0o\0", 6, MC_NOTATION_ISO, NULL, 1, 1,
                      "the file is UTF-16, save it as UTF-8");
    refuse_plan_bytes("tooth,stage\n12,\0001\n", 17, MC_NOTATION_ISO, NULL, 2, 4, "a NUL byte");
    refuse_plan("tooth,stage\n12,1\xe4\n", 2, 5, "no UTF-8");
    refuse_plan("%PDF-1.4\n\x01\x02", 1, 1, "unknown column \"%PDF-1.4\"");
}

static void no_header(void **state) {
    (void)state;
    refuse_plan("\n\n", 1, 1, "the header line with the names of the columns is missing");
    refuse_plan("# only a remark\n", 1, 1, "the header line");
    refuse_plan("12,8,0.4\n", 1, 1, "the header line with the names of the columns is missing");
}

static void no_rows(void **state) {
    (void)state;
    refuse_plan("# remark\n" PLAN_HEADER, 2, 1, "there are no rows below the header");
    refuse_plan(PLAN_HEADER "# remark\n\n", 1, 1, "there are no rows");
}

static void other_separators(void **state) {
    (void)state;
    refuse_plan("tooth;stage;mesial_mm\n12;8;0,4\n", 1, 1, "commas, not by semicolons");
    refuse_plan("tooth\tstage\n12\t8\n", 1, 1, "commas, not by tabs");
}

static void unknown_columns(void **state) {
    (void)state;
    refuse_plan("tooth,stage,mesial\n12,8,0.4\n", 1, 13, "unknown column \"mesial\"");
    refuse_plan("Tooth,stage\n12,8\n", 1, 1, "unknown column \"Tooth\"");
    refuse_plan("tooth,stage,\n12,8,\n", 1, 13, "a column without a name");
}

static void repeated_columns(void **state) {
    (void)state;
    refuse_plan("tooth,stage,mesial_mm,stage\n12,8,0,8\n", 1, 23, "repeated column \"stage\"");
}

static void missing_columns(void **state) {
    (void)state;
    refuse_plan("stage,mesial_mm\n8,0.4\n", 1, 1, "the column \"tooth\" is missing");
    refuse_plan("# remark\ntooth,mesial_mm\n12,0.4\n", 2, 1, "the column \"stage\" is missing");
}

/* ---- a row's fields ---- */

static void missing_fields(void **state) {
    (void)state;
    refuse_plan(PLAN_HEADER "12,8,0.40\n", 2, 10,
                "missing field: the row ends before \"buccal_mm\"");
    refuse_plan(PLAN_HEADER "12,8,0.4,-0.3,0.25,6,2,0\n12,24,1.2,-0.9,0.7", 3, 19,
                "missing field: the row ends before \"rotation_deg\"");
    refuse_plan("tooth,stage\n12\n", 2, 3, "missing field: the row ends before \"stage\"");
    refuse_plan("tooth,stage\n,8\n", 2, 1, "the tooth is missing");
    refuse_plan("tooth,stage\n12,\n", 2, 4, "the stage is missing");
}

static void a_field_too_many(void **state) {
    (void)state;
    refuse_plan("tooth,stage\n12,8,\n", 2, 6, "a field more than there are columns");
    refuse_plan("tooth,stage,mesial_mm\n12,8,0,4\n", 2, 8, "a field more than there are columns");
}

static void unknown_teeth(void **state) {
    (void)state;
    refuse_plan("tooth,stage\n12,8\n19,8\n", 3, 1, "unknown tooth \"19\" in ISO 3950 notation");
    refuse_plan("stage,tooth\n8,UR2\n", 2, 3, "unknown tooth \"UR2\"");
    refuse_plan_bytes("tooth,stage\n33,8\n", 17, MC_NOTATION_UNIVERSAL, NULL, 2, 1,
                      "unknown tooth \"33\" in the 1-32/A-T notation");
    refuse_plan_bytes("tooth,stage\n12,8\n", 17, MC_NOTATION_QUADRANT, NULL, 2, 1,
                      "unknown tooth \"12\" in the quadrant notation");
}

static void repeated_tooth_and_stage(void **state) {
    (void)state;
    refuse_plan("tooth,stage\n12,8\n13,8\n12,9\n12,08\n", 5, 1,
                "stage 8 of tooth 12 is repeated: line 2 has it already");
    refuse_plan("stage,tooth\n8,12\n8,12\n", 3, 3, "stage 8 of tooth 12 is repeated");
}

static void stages_below_0_or_not_whole(void **state) {
    (void)state;
    static const char *const wrong[] = {"-1", "1.5", "1.0", "1e1", "+1", "x", "0x8"};
    for (size_t i = 0; i < sizeof wrong / sizeof *wrong; i++) {
        char text[64];
        snprintf(text, sizeof text, "tooth,stage\n12,%s\n", wrong[i]);
        refuse_plan(text, 2, 4, "is no whole number from 0 to 999");
    }
}

static void stages_beyond_999(void **state) {
    (void)state;
    refuse_plan("tooth,stage\n12,1000\n", 2, 4, "stage: 1000 is outside 0 to 999");
    refuse_plan("tooth,stage\n12,99999999999999999999999\n", 2, 4, "is outside 0 to 999");
}

static void numbers_that_are_none(void **state) {
    (void)state;
    static const char *const wrong[] = {"abc", "1e-1", "0x1p3", "nan", "inf", "1.2.3", "--1",
                                        "1 2", "1_0",  ".",     "-",   "12s", "0.4mm"};
    for (size_t i = 0; i < sizeof wrong / sizeof *wrong; i++) {
        char text[64], part[64];
        snprintf(text, sizeof text, "tooth,stage,rotation_deg\n12,8,%s\n", wrong[i]);
        snprintf(part, sizeof part, "rotation_deg: \"%s\" is no plain decimal number", wrong[i]);
        refuse_plan(text, 2, 6, part);
    }
    refuse_plan("tooth,stage,mesial_mm\n12,8,\"0,4\"\n", 2, 6,
                "mesial_mm: \"0,4\" is no plain decimal number (the point is the decimal mark)");
}

static void numbers_beyond_all_bounds(void **state) {
    (void)state;
    refuse_plan("tooth,stage,mesial_mm\n12,8,1000001\n", 2, 6,
                "mesial_mm: 1000001 is outside -1000000 to 1000000");
}

static void attachment_words(void **state) {
    (void)state;
    refuse_plan("tooth,stage,attachment\n12,8,lost\n", 2, 6,
                "attachment: \"lost\" is neither placed nor removed");
}

static void ipr_that_cannot_be(void **state) {
    (void)state;
    refuse_plan("tooth,stage,ipr_mesial_mm\n12,8,-0.1\n", 2, 6,
                "ipr_mesial_mm: -0.1 is outside 0 to 2");
    refuse_plan("tooth,stage,ipr_mesial_mm,ipr_distal_mm\n12,8,,2.1\n", 2, 7,
                "ipr_distal_mm: 2.1 is outside 0 to 2");
}

/* ---- what a row says ---- */

static void a_stage_0_that_is_not_zero(void **state) {
    (void)state;
    refuse_plan(PLAN_HEADER "12,8,0.4,0,0,0,0,0\n12,0,0,0,0.1,0,0,0\n", 3, 10,
                "stage 0 of 12 must be all zero");
}

static void angulation_of_90(void **state) {
    (void)state;
    refuse_plan("tooth,stage,angulation_deg\n12,8,90\n", 2, 6, "angulation of 90 deg or more");
    refuse_plan("tooth,stage,angulation_deg\n12,8,-90.5\n", 2, 6, "angulation of 90 deg or more");
    refuse_plan("tooth,stage,angulation_deg\n12,8,89.9999999999\n", 2, 6, "90 deg or more");
}

static void teeth_that_the_case_does_not_have(void **state) {
    (void)state;
    static const mc_tooth_state absent[] = {MC_TOOTH_MISSING, MC_TOOTH_EXTRACTED,
                                            MC_TOOTH_UNERUPTED};
    for (int i = 0; i < 3; i++) {
        mc_tooth_state states[MC_TEETH] = {MC_TOOTH_PRESENT};
        char part[80];
        states[tooth_of(18)] = absent[i];
        snprintf(part, sizeof part, "the case does not have tooth 18 (%s)",
                 mc_tooth_state_name(absent[i]));
        const char *text = "tooth,stage,mesial_mm\n17,8,0.1\n18,8,0\n";
        refuse_plan_bytes(text, strlen(text), MC_NOTATION_ISO, states, 3, 1, part);
    }
}

static void teeth_that_may_not_move(void **state) {
    (void)state;
    for (int fixed = MC_TOOTH_IMPLANT; fixed < MC_TOOTH_STATES; fixed++) {
        mc_tooth_state states[MC_TEETH] = {MC_TOOTH_PRESENT};
        char part[80];
        states[tooth_of(36)] = (mc_tooth_state)fixed;
        snprintf(part, sizeof part, "tooth 36 may not be moved (%s)",
                 mc_tooth_state_name((mc_tooth_state)fixed));
        const char *text = "tooth,stage,mesial_mm,rotation_deg\n36,4,0,0\n36,8,0,0.001\n";
        refuse_plan_bytes(text, strlen(text), MC_NOTATION_ISO, states, 3, 8, part);
    }
}

static void a_plan_without_aligners(void **state) {
    (void)state;
    refuse_plan("tooth,stage\n12,0\n13,0\n", 2, 1, "no stage above 0 is listed");
}

static void remarks_of_origin(void **state) {
    (void)state;
    static const char *const wrong[] = {
        "# made-from: 000102030405060708090a0b0c0d0eff checkup 3",
        "# made-from: 000102030405060708090a0b0c0d0eff checkup 3 draft",
        "# made-from: 000102030405060708090a0b0c0d0eff checkup 3 version order",
        "# made-from: 000102030405060708090a0b0c0d0eff checkup 3 version 1 order",
        "# made-from: 000102030405060708090a0b0c0d0eff checkup 3 version 02 order",
        "# made-from: 000102030405060708090a0b0c0d0eff checkup 3 version -2 order",
        "# made-from: 000102030405060708090a0b0c0d0eff checkup 3 version 2",
        "# made-from: 000102030405060708090a0b0c0d0eff checkup 3 order ",
        "# made-from: 000102030405060708090a0b0c0d0eff checkup 03 order",
        "# made-from: 000102030405060708090a0b0c0d0eff checkup -3 order",
        "# made-from: 000102030405060708090a0b0c0d0eff  checkup 3 order",
        "# made-from: 000102030405060708090A0B0C0D0EFF checkup 3 order",
        "# made-from: 000102030405060708090a0b0c0d0e checkup 3 order",
        "# made-from: 000102030405060708090a0b0c0d0efff checkup 3 order",
        "# made-from: 00000000000000000000000000000000 checkup 3 order",
        "# made-from: zz0102030405060708090a0b0c0d0eff checkup 3 order",
        "# made-from: 000102030405060708090a0b0c0d0eff checkup 9999999 order",
        "#made-from: 000102030405060708090a0b0c0d0eff checkup 3 order",
        "# made-from",
        "##  made-from order"};
    for (size_t i = 0; i < sizeof wrong / sizeof *wrong; i++) {
        char text[200];
        snprintf(text, sizeof text, "tooth,stage\n%s\n12,1\n", wrong[i]);
        refuse_plan(text, 2, 1, "a made-from remark that is not spelled");
    }
    refuse_plan(
        "# made-from: 000102030405060708090a0b0c0d0eff checkup 3 order\n"
        "# made-from: 000102030405060708090a0b0c0d0eff checkup 3 order\ntooth,stage\n12,1\n",
        2, 1, "a second made-from remark");
}

/* ---- which fault is told ---- */

static void the_first_fault_of_the_file(void **state) {
    (void)state;
    refuse_plan("tooth,stage,mesial_mm\n12,8,x\n19,8,0\n", 2, 6, "mesial_mm");
    refuse_plan("tooth,stage,mesial_mm\n12,8,1\n19,y,x\n12,8,1\n", 3, 1, "unknown tooth");
    refuse_plan("mesial_mm,tooth,stage\nx,19,y\n", 2, 1, "mesial_mm");
    /* a byte that is no text lies behind it */
    refuse_plan("tooth,stage,mesial_mm\n12,8,x\n12,9,\xff\n", 2, 6, "mesial_mm");
    refuse_plan("tooth,stage,mesial_mm\n12,8,1\n12,9,\"0\n", 3, 6, "never closed");
}

static void places_after_quotes_and_lines(void **state) {
    (void)state;
    refuse_plan("\xef\xbb\xbf# \xc3\xa4\r\ntooth,stage,mesial_mm\r\n\r\n\"12\",\"8\",\"x\"\r\n", 4,
                10, "mesial_mm: \"x\"");
    refuse_plan("tooth,\"stage\n\"\n12,8\n", 1, 7, "unknown column \"stage\xef\xbf\xbd\"");
    refuse_plan("tooth,stage,mesial_mm\n12,\"8\n\",0\n13,8,x\n", 2, 4, "stage: \"8\xef\xbf\xbd\"");
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(no_text),
        cmocka_unit_test(no_header),
        cmocka_unit_test(no_rows),
        cmocka_unit_test(other_separators),
        cmocka_unit_test(unknown_columns),
        cmocka_unit_test(repeated_columns),
        cmocka_unit_test(missing_columns),
        cmocka_unit_test(missing_fields),
        cmocka_unit_test(a_field_too_many),
        cmocka_unit_test(unknown_teeth),
        cmocka_unit_test(repeated_tooth_and_stage),
        cmocka_unit_test(stages_below_0_or_not_whole),
        cmocka_unit_test(stages_beyond_999),
        cmocka_unit_test(numbers_that_are_none),
        cmocka_unit_test(numbers_beyond_all_bounds),
        cmocka_unit_test(attachment_words),
        cmocka_unit_test(ipr_that_cannot_be),
        cmocka_unit_test(a_stage_0_that_is_not_zero),
        cmocka_unit_test(angulation_of_90),
        cmocka_unit_test(teeth_that_the_case_does_not_have),
        cmocka_unit_test(teeth_that_may_not_move),
        cmocka_unit_test(a_plan_without_aligners),
        cmocka_unit_test(remarks_of_origin),
        cmocka_unit_test(the_first_fault_of_the_file),
        cmocka_unit_test(places_after_quotes_and_lines),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
