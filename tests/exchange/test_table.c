/* The bytes of a CSV file as rows of fields with their places. */
#include "given.h"
#include "table.h"

#include <stdio.h>

/* Everything that was handed over, as one text: fields as text@line:column, rows in lines. */
typedef struct record {
    char text[4096];
    size_t size;
} record;

static void note(record *r, const char *format, ...) __attribute__((format(printf, 2, 3)));
static void note(record *r, const char *format, ...) {
    va_list values;
    va_start(values, format);
    r->size += (size_t)vsnprintf(r->text + r->size, sizeof r->text - r->size, format, values);
    va_end(values);
    assert_true(r->size < sizeof r->text);
}

static mc_status note_row(void *context, const table_row *row, mc_error *error) {
    (void)error;
    for (size_t i = 0; i < row->count; i++) {
        note(context, "%s[%s]@%ld:%ld", i == 0 ? "" : " ", row->field[i].text, row->field[i].line,
             row->field[i].column);
    }
    note(context, " end %ld:%ld\n", row->end_line, row->end_column);
    return MC_OK;
}

static mc_status note_remark(void *context, const char *text, size_t size, long line,
                             mc_error *error) {
    (void)error;
    note(context, "remark %ld <%.*s>\n", line, (int)size, text);
    return MC_OK;
}

static mc_status read_table(const char *data, size_t size, record *r, mc_error *error) {
    *r = (record){.size = 0};
    const table_taker taker = {r, note_row, note_remark};
    return table_read(data, size, &taker, error);
}

static void expect_rows(const char *text, const char *rows) {
    record r;
    mc_error error;
    assert_int_equal(read_table(text, strlen(text), &r, &error), MC_OK);
    assert_string_equal(r.text, rows);
}

static void expect_fault(const char *data, size_t size, const char *rows, long line, long column,
                         const char *part) {
    record r;
    mc_error error;
    assert_int_equal(read_table(data, size, &r, &error), MC_REFUSED);
    expect_refusal(&error, line, column, part);
    assert_string_equal(r.text, rows);
}

static void fault_of(const char *text, const char *rows, long line, long column, const char *part) {
    expect_fault(text, strlen(text), rows, line, column, part);
}

static void places_count_from_one(void **state) {
    (void)state;
    expect_rows("a,bc,d\n1,,3\n", "[a]@1:1 [bc]@1:3 [d]@1:6 end 1:7\n"
                                  "[1]@2:1 []@2:3 [3]@2:4 end 2:5\n");
}

static void line_ends_are_lf_or_crlf_or_missing_at_the_end(void **state) {
    (void)state;
    const char *rows = "[a]@1:1 [b]@1:3 end 1:4\n[1]@2:1 [2]@2:3 end 2:4\n";
    expect_rows("a,b\n1,2\n", rows);
    expect_rows("a,b\r\n1,2\r\n", rows);
    expect_rows("a,b\r1,2\r", rows);
    expect_rows("a,b\n1,2", rows);
    expect_rows("a,b\r\n1,2", rows);
}

static void a_last_empty_field_is_a_field(void **state) {
    (void)state;
    expect_rows("1,\n2,", "[1]@1:1 []@1:3 end 1:3\n[2]@2:1 []@2:3 end 2:3\n");
}

static void blank_lines_are_skipped_and_counted(void **state) {
    (void)state;
    expect_rows("\n\r\na\n  \t\n\nb\n", "[a]@3:1 end 3:2\n[b]@6:1 end 6:2\n");
}

static void blanks_around_a_field_do_not_count(void **state) {
    (void)state;
    expect_rows("  a , b\t\n \"c\" ,d\n", "[a]@1:3 [b]@1:7 end 1:9\n[c]@2:2 [d]@2:7 end 2:8\n");
}

static void the_byte_order_mark_has_no_column(void **state) {
    (void)state;
    expect_rows("\xef\xbb\xbf"
                "a,b\n",
                "[a]@1:1 [b]@1:3 end 1:4\n");
    expect_rows("\xef\xbb\xbf# note\na\n", "remark 1 <# note>\n[a]@2:1 end 2:2\n");
}

static void columns_count_characters_not_bytes(void **state) {
    (void)state;
    expect_rows("\xc3\xa4\xe2\x82\xac,b\n", "[\xc3\xa4\xe2\x82\xac]@1:1 [b]@1:4 end 1:5\n");
}

static void quoted_fields_begin_at_their_quote(void **state) {
    (void)state;
    expect_rows("\"a\",\"b,\"\"c\"\"\"\nx\n", "[a]@1:1 [b,\"c\"]@1:5 end 1:14\n[x]@2:1 end 2:2\n");
    expect_rows("\"\"\n", "[]@1:1 end 1:3\n");
}

static void a_quoted_field_may_span_lines(void **state) {
    (void)state;
    expect_rows("\"a\n#b\",c\nd\n", "[a\n#b]@1:1 [c]@2:5 end 2:6\n[d]@3:1 end 3:2\n");
    expect_rows("\"a\r\nb\",c\r\nd\r\n", "[a\r\nb]@1:1 [c]@2:4 end 2:5\n[d]@3:1 end 3:2\n");
}

static void remarks_begin_a_line(void **state) {
    (void)state;
    expect_rows("# one, \"two\na\n#\nb,#c\n# last",
                "remark 1 <# one, \"two>\n[a]@2:1 end 2:2\nremark 3 <#>\n"
                "[b]@4:1 [#c]@4:3 end 4:5\nremark 5 <# last>\n");
    expect_rows("# one\r\na\r\n", "remark 1 <# one>\n[a]@2:1 end 2:2\n");
    expect_rows("\"#\"\n", "[#]@1:1 end 1:4\n");
}

static void quotes_out_of_place_are_refused(void **state) {
    (void)state;
    fault_of("a\nb\"c\n", "[a]@1:1 end 1:2\n", 2, 2, "a quote that does not belong here");
    fault_of("a\n\"b\"c\n", "[a]@1:1 end 1:2\n", 2, 4, "a quote that does not belong here");
    fault_of("a\nb,\"c\nd\n", "[a]@1:1 end 1:2\n", 2, 3, "never closed");
}

static void other_encodings_are_refused(void **state) {
    (void)state;
    expect_fault("\xff\xfe"
                 "1\0,\0",
                 6, "", 1, 1, "the file is UTF-16, save it as UTF-8");
    expect_fault("\xfe\xff\0"
                 "1",
                 4, "", 1, 1, "the file is UTF-16, save it as UTF-8");
    fault_of("a\nb,\xe4\n", "[a]@1:1 end 1:2\n", 2, 3, "no UTF-8");
    fault_of("a\n\xc3", "[a]@1:1 end 1:2\n", 2, 1, "no UTF-8");
    fault_of("\xed\xa0\x80\n", "", 1, 1, "no UTF-8"); /* half a surrogate pair */
    fault_of("\xc0\xaf\n", "", 1, 1, "no UTF-8");     /* longer than it need be */
    fault_of("# r\xe4marque\na\n", "remark 1 <# r>\n", 1, 4, "no UTF-8");
}

static void what_is_no_text_is_refused(void **state) {
    (void)state;
    expect_fault("a\n1,\0002\n", 7, "[a]@1:1 end 1:2\n", 2, 3, "a NUL byte");
    fault_of("\x7f"
             "ELF",
             "", 1, 1, "a control character");
    fault_of("a\nb\x1b[2J\n", "[a]@1:1 end 1:2\n", 2, 2, "a control character");
    fault_of("a\xc2\x9b\n", "", 1, 2, "a control character");
}

static void an_empty_file_says_so(void **state) {
    (void)state;
    fault_of("", "", 1, 1, "the file is empty");
    fault_of("\xef\xbb\xbf", "", 1, 1, "the file is empty");
}

static void a_field_has_at_most_400_bytes(void **state) {
    (void)state;
    char text[TABLE_FIELD_BYTES + 8] = "a,";
    memset(text + 2, 'x', TABLE_FIELD_BYTES);
    record r;
    mc_error error;
    assert_int_equal(read_table(text, TABLE_FIELD_BYTES + 2, &r, &error), MC_OK);
    text[TABLE_FIELD_BYTES + 2] = 'x';
    fault_of(text, "", 1, 3, "a field of more than 400 bytes");
    text[2] = '"'; /* a quote that swallows the rest of a file */
    fault_of(text, "", 1, 3, "a field of more than 400 bytes");
}

static void a_row_has_at_most_64_fields(void **state) {
    (void)state;
    char text[2 * TABLE_MOST_COLUMNS + 4];
    for (int i = 0; i <= TABLE_MOST_COLUMNS; i++) {
        memcpy(text + 2 * i, "1,", 3);
    }
    record r;
    mc_error error;
    assert_int_equal(read_table(text, 2 * TABLE_MOST_COLUMNS - 1, &r, &error), MC_OK);
    fault_of(text, "", 1, 2 * TABLE_MOST_COLUMNS + 1, "a row of more than 64 fields");
}

static mc_status refuse_second(void *context, const table_row *row, mc_error *error) {
    note_row(context, row, error);
    return row->field[0].line == 2 ? mc_fail_at(error, 2, 1, "enough") : MC_OK;
}

static void the_taker_can_end_the_reading(void **state) {
    (void)state;
    record r = {.size = 0};
    mc_error error;
    const table_taker taker = {&r, refuse_second, note_remark};
    const char *text = "a\nb\nc\n\"never closed";
    assert_int_equal(table_read(text, strlen(text), &taker, &error), MC_REFUSED);
    expect_refusal(&error, 2, 1, "enough");
    assert_string_equal(r.text, "[a]@1:1 end 1:2\n[b]@2:1 end 2:2\n");
}

static void quoted_text_cannot_steer_a_terminal(void **state) {
    (void)state;
    char out[200];
    table_quote("12", out);
    assert_string_equal(out, "12");
    table_quote("\x1b[2J\xe2\x80\xaex\n\xff", out); /* an override of direction among them */
    assert_string_equal(out, "\xef\xbf\xbd[2J\xef\xbf\xbdx\xef\xbf\xbd\xef\xbf\xbd");
    char longest[401];
    memset(longest, 'y', 400);
    longest[400] = '\0';
    table_quote(longest, out);
    assert_int_equal(mc_text_width(out, false), 40);
    memset(longest, '\x01', 400);
    table_quote(longest, out);
    assert_true(strlen(out) < sizeof out);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(places_count_from_one),
        cmocka_unit_test(line_ends_are_lf_or_crlf_or_missing_at_the_end),
        cmocka_unit_test(a_last_empty_field_is_a_field),
        cmocka_unit_test(blank_lines_are_skipped_and_counted),
        cmocka_unit_test(blanks_around_a_field_do_not_count),
        cmocka_unit_test(the_byte_order_mark_has_no_column),
        cmocka_unit_test(columns_count_characters_not_bytes),
        cmocka_unit_test(quoted_fields_begin_at_their_quote),
        cmocka_unit_test(a_quoted_field_may_span_lines),
        cmocka_unit_test(remarks_begin_a_line),
        cmocka_unit_test(quotes_out_of_place_are_refused),
        cmocka_unit_test(other_encodings_are_refused),
        cmocka_unit_test(what_is_no_text_is_refused),
        cmocka_unit_test(an_empty_file_says_so),
        cmocka_unit_test(a_field_has_at_most_400_bytes),
        cmocka_unit_test(a_row_has_at_most_64_fields),
        cmocka_unit_test(the_taker_can_end_the_reading),
        cmocka_unit_test(quoted_text_cannot_steer_a_terminal),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
