/* Well-formed files with bytes changed, dropped, doubled and spliced, the same ones at each run.
 * Whatever comes in: no crash, no byte beyond the end looked at (a sanitizer build sees it), a
 * refusal always says why and where, and what is taken over can be written and read again. */
#include "given.h"
#include "random.h"

#include <stdio.h>
#include <utf8proc.h>

enum { MUTATIONS = 10000, LARGEST = 4096 };

static const char *const PLANS[] = {
    PLAN_HEADER "12,8,0.40,-0.30,0.25,6,2,0\n12,24,1.20,-0.90,0.75,18,6,0\n",
    "\xef\xbb\xbf# Draft, invented\r\n"
    "# made-from: 000102030405060708090a0b0c0d0eff checkup 3 preview\r\n"
    "stage,tooth,\"mesial_mm\",attachment,ipr_distal_mm\r\n\r\n"
    "0,33,0,placed,\r\n24,33,\"1.5\",,0.25\r\n999,41,-0.000000000000001,removed,\r\n",
    "tooth,stage,rotation_deg,angulation_deg\n11,1,1,1\n11,2,3.0000000000000004,89\n55,7,-61,0\n"};

static const char *const CHECKUPS[] = {
    "tooth,seat_gap_mm,mesial_mm,buccal_mm,occlusal_mm,rotation_deg,angulation_deg,"
    "inclination_deg,attachment,mobility\n12,0.5,0.35,,,6.5,,,lost,1\n",
    "# \xc3\xa4\r\ntooth,rotation_deg,pain,contact_mesial,method,recession_mm\r\n"
    "12,2.5s,yes,open,scan,\r\n\"13\",,no,tight,,0.5\r\n12,\"3s\",,,eye,\r\n",
    "tooth,seat_gap_mm\n12,none\n13,under 0.5\n14,over-1\n",
    "tooth,space_mesial_mm,step_distal_mm,height_mesial_mm,crown_angle_deg\n"
    "12,0.5,-0.4,1.2,-31\n17,0,,0.2,179.5\n12,0.6,,,\n"};

static const char *const ARCHES[] = {
    "tooth,right_mm,anterior_mm,outward_deg\n12,11,37.25,61\n11,4.25,40,82.5\n21,-4.25,40,97.5\n",
    "# \xc3\xa4\r\ntooth,outward_deg,turned_deg,width_mm,thickness_mm,anterior_mm,right_mm\r\n"
    "41,88,-12.5,5.2,,40,\"2.75\"\r\n31,92,,,6.1,40,-2.75\r\n42,80,7,,,38,8\r\n"};

/* Bytes that mean something to a reader, more often than chance would bring them. */
static const char *const TOKENS[] = {
    ",", "\n", "\r", "\"", "\"\"", "#",   "-",  "s",    ".",    "e",    "9",
    "0", ";",  "\t", " ",  "nan",  "999", "12", "\xff", "\xc3", "\xe2", "# made-from: "};

typedef struct bytes {
    char data[LARGEST];
    size_t size;
} bytes;

/* Replace count bytes at a place by others. */
static void splice(bytes *b, size_t place, size_t count, const char *with, size_t size) {
    if (b->size - count + size > LARGEST) {
        return;
    }
    memmove(b->data + place + size, b->data + place + count, b->size - place - count);
    memcpy(b->data + place, with, size);
    b->size = b->size - count + size;
}

/* Another digit in the place of the next one: still well formed, another number, tooth or stage. */
static void change_digit(random_source *source, bytes *b, size_t place) {
    while (place < b->size && (b->data[place] < '0' || b->data[place] > '9')) {
        place++;
    }
    if (place < b->size) {
        b->data[place] = (char)('0' + random_below(source, 10));
    }
}

static void mutate(random_source *source, bytes *b) {
    const size_t place = (size_t)random_below(source, (int)b->size + 1);
    const size_t rest = b->size - place;
    const size_t some = rest == 0 ? 0 : (size_t)random_below(source, rest < 20 ? (int)rest : 20);
    switch (random_below(source, 9)) {
    case 0: {
        const char any = (char)random_below(source, 256);
        splice(b, place, rest > 0, &any, 1);
        break;
    }
    case 1:
        splice(b, place, some, "", 0);
        break;
    case 2: {
        char copy[20];
        memcpy(copy, b->data + place, some);
        splice(b, (size_t)random_below(source, (int)b->size + 1), 0, copy, some);
        break;
    }
    case 3:
        b->size = random_below(source, 8) == 0 ? place : b->size;
        break;
    case 4:
    case 5:
    case 6:
        change_digit(source, b, place);
        break;
    default: {
        const char *token = TOKENS[random_below(source, (int)(sizeof TOKENS / sizeof *TOKENS))];
        splice(b, place, random_below(source, 2) && rest > 0, token, strlen(token));
    }
    }
}

/* A file of the list, changed a few times, in memory that ends with its last byte. */
static char *next_file(random_source *source, const char *const *files, int count, size_t *size) {
    bytes b;
    const char *file = files[random_below(source, count)];
    b.size = strlen(file);
    memcpy(b.data, file, b.size);
    for (int changes = 1 + random_below(source, 4); changes > 0; changes--) {
        mutate(source, &b);
    }
    char *exact = malloc(b.size > 0 ? b.size : 1);
    assert_non_null(exact);
    memcpy(exact, b.data, b.size);
    *size = b.size;
    return exact;
}

static void expect_utf8(const char *text) {
    assert_true(text[0] != '\0');
    for (const char *at = text; *at;) {
        utf8proc_int32_t c;
        const utf8proc_ssize_t used = utf8proc_iterate((const utf8proc_uint8_t *)at, -1, &c);
        if (used < 1 || c < 0x20) {
            fail_msg("a message that is no plain text: %s", text);
        }
        at += used;
    }
}

static long lines_in(const char *data, size_t size) {
    long lines = 1;
    for (size_t i = 0; i < size; i++) {
        lines += data[i] == '\n' || data[i] == '\r';
    }
    return lines;
}

static void expect_told(const mc_error *error, const char *data, size_t size) {
    assert_int_equal(error->status, MC_REFUSED);
    expect_utf8(error->text);
    assert_true(error->line >= 1 && error->line <= lines_in(data, size));
    assert_true(error->column >= 1 && error->column <= (long)size + 1);
}

static void expect_in_order(const mc_warnings *warnings) {
    for (size_t i = 0; i < warnings->count; i++) {
        const mc_warning *one = &warnings->list[i], *before = i > 0 ? one - 1 : one;
        expect_utf8(one->text);
        assert_true(one->line >= 2 && one->column >= 1);
        assert_true(before->line < one->line ||
                    (before->line == one->line && before->column <= one->column));
    }
}

static void expect_again(const plan_read *read) {
    char *data;
    size_t size;
    assert_int_equal(
        mc_plan_write(read->plan, MC_NOTATION_ISO, &read->origin, NULL, &data, &size, NULL), MC_OK);
    plan_read again = read_plan_bytes(data, size, MC_NOTATION_ISO, NULL);
    assert_int_equal(again.status, MC_OK);
    expect_same_plan(read->plan, again.plan);
    assert_int_equal(again.warnings.count, read->warnings.count);
    plan_read_free(&again);
    free(data);
}

static void changed_plan_files(void **state) {
    (void)state;
    random_source source = random_seed(91);
    int taken = 0, warned = 0;
    for (int i = 0; i < MUTATIONS; i++) {
        size_t size;
        char *data = next_file(&source, PLANS, 3, &size);
        plan_read read = read_plan_bytes(data, size, MC_NOTATION_ISO, NULL);
        if (read.status == MC_OK) {
            expect_in_order(&read.warnings);
            expect_again(&read);
            taken++;
            warned += read.warnings.count > 0;
        } else {
            expect_told(&read.error, data, size);
            assert_null(read.plan);
            assert_null(read.warnings.list);
        }
        plan_read_free(&read);
        free(data);
    }
    print_message("%d of %d plans taken, %d of them with warnings\n", taken, MUTATIONS, warned);
    assert_true(taken > MUTATIONS / 20 && taken < MUTATIONS * 3 / 4 && warned > 0);
}

static void changed_checkup_files(void **state) {
    (void)state;
    random_source source = random_seed(92);
    chair given;
    chair_set_up(&given);
    int taken = 0;
    for (int i = 0; i < MUTATIONS; i++) {
        size_t size;
        char *data = next_file(&source, CHECKUPS, 4, &size);
        checkup_read read = {.status = MC_OK};
        read.status = mc_checkup_read(data, size, &given.context, &read.rows, &read.count,
                                      &read.warnings, &read.error);
        if (read.status == MC_OK) {
            assert_true(read.count > 0);
            expect_in_order(&read.warnings);
            taken++;
        } else {
            expect_told(&read.error, data, size);
            assert_null(read.rows);
            assert_null(read.warnings.list);
        }
        checkup_read_free(&read);
        free(data);
    }
    print_message("%d of %d check-ups taken\n", taken, MUTATIONS);
    assert_true(taken > MUTATIONS / 20 && taken < MUTATIONS * 3 / 4);
    chair_free(&given);
}

static void expect_same_arch_again(const mc_arch_crowns *read) {
    mc_arch_crowns again;
    char *data;
    size_t size;
    assert_int_equal(mc_arch_write(read, MC_NOTATION_ISO, NULL, &data, &size, NULL), MC_OK);
    assert_int_equal(mc_arch_read(data, size, MC_NOTATION_ISO, NULL, &again, NULL), MC_OK);
    assert_int_equal(read->arch, again.arch);
    for (mc_tooth t = 0; t < MC_TEETH; t++) {
        const mc_crown *a = &read->crown[t], *b = &again.crown[t];
        assert_int_equal(a->stands, b->stands);
        assert_true(a->right == b->right && a->anterior == b->anterior &&
                    a->outward_deg == b->outward_deg && a->turned_deg == b->turned_deg &&
                    a->width == b->width && a->thickness == b->thickness);
    }
    free(data);
}

static void changed_arch_files(void **state) {
    (void)state;
    random_source source = random_seed(94);
    int taken = 0;
    for (int i = 0; i < MUTATIONS; i++) {
        size_t size;
        char *data = next_file(&source, ARCHES, 2, &size);
        mc_arch_crowns read;
        mc_error error = {.status = MC_OK};
        if (mc_arch_read(data, size, MC_NOTATION_ISO, NULL, &read, &error) == MC_OK) {
            expect_same_arch_again(&read);
            taken++;
        } else {
            expect_told(&error, data, size);
        }
        free(data);
    }
    print_message("%d of %d arches taken\n", taken, MUTATIONS);
    assert_true(taken > MUTATIONS / 20 && taken < MUTATIONS * 3 / 4);
}

/* No structure at all. */
static void bytes_at_random(void **state) {
    (void)state;
    random_source source = random_seed(93);
    for (int i = 0; i < MUTATIONS / 10; i++) {
        const size_t size = (size_t)random_below(&source, 300);
        char *data = malloc(size > 0 ? size : 1);
        assert_non_null(data);
        for (size_t b = 0; b < size; b++) {
            data[b] = (char)random_below(&source, 256);
        }
        plan_read read = read_plan_bytes(data, size, MC_NOTATION_ISO, NULL);
        assert_int_equal(read.status, MC_REFUSED);
        expect_told(&read.error, data, size);
        free(data);
    }
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(changed_plan_files),
        cmocka_unit_test(changed_checkup_files),
        cmocka_unit_test(changed_arch_files),
        cmocka_unit_test(bytes_at_random),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
