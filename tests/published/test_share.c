/* The expected share of every tooth and movement, derived anew from the words of
 * fixtures/published.csv:
 *
 *   the mean, each counting once, of the "achieved share" rows whose tooth group contains the tooth
 *   and whose movement matches, groups before "all"; else the rows for the movement on all teeth;
 *   else the rows for all movements on all teeth. The leading number where two are given. Rows of a
 *   group for all movements are left out. Deciduous teeth take the rows for all teeth.
 */
#include "published.h"

#include "midcourse/tracking.h"
#include "near.h"

/* ---- the words for teeth; a permanent tooth is its ISO number ---- */

static bool is_upper(int iso) {
    return iso / 10 <= 2;
}

/* Takes word and the blank after it off the front of *text. */
static bool take_word(const char **text, const char *word) {
    size_t length = strlen(word);
    if (strncmp(*text, word, length) != 0 || ((*text)[length] != ' ' && (*text)[length] != 0))
        return false;
    *text += length + ((*text)[length] == ' ');
    return true;
}

/* The positions from the midline, first and last, that a word for teeth stands for. */
static void positions_of(const char *text, int *first, int *last) {
    static const struct {
        const char *words;
        int first, last;
    } KNOWN[] = {{"central incisors", 1, 1},        {"incisors", 1, 2},        {"canines", 3, 3},
                 {"anterior teeth", 1, 3},          {"first premolars", 4, 4}, {"premolars", 4, 5},
                 {"teeth with round crowns", 3, 5}, {"first molars", 6, 6},    {"molars", 6, 8}};
    for (size_t i = 0; i < sizeof KNOWN / sizeof *KNOWN; i++)
        if (strcmp(text, KNOWN[i].words) == 0) {
            *first = KNOWN[i].first;
            *last = KNOWN[i].last;
            return;
        }
    fail_msg("unknown teeth: %s", text);
}

static bool group_has(const char *teeth, int iso) {
    bool upper = take_word(&teeth, "upper"), lower = !upper && take_word(&teeth, "lower");
    int first = 1, last = 0;
    positions_of(teeth, &first, &last);
    return !(upper && !is_upper(iso)) && !(lower && is_upper(iso)) && iso % 10 >= first &&
           iso % 10 <= last;
}

/* ---- the words for movements ---- */

static mc_movement movement_of(const char *text) {
    static const struct {
        const char *words;
        mc_movement movement;
    } KNOWN[] = {{"mesiodistal tip", MC_MOVE_ANGULATION},
                 {"vestibulolingual tip", MC_MOVE_TIPPING},
                 {"torque", MC_MOVE_TORQUE},
                 {"rotation", MC_MOVE_ROTATION},
                 {"intrusion", MC_MOVE_INTRUSION},
                 {"extrusion", MC_MOVE_EXTRUSION},
                 {"distal translation", MC_MOVE_DISTAL},
                 {"lingual constriction", MC_MOVE_LINGUAL}};
    for (size_t i = 0; i < sizeof KNOWN / sizeof *KNOWN; i++)
        if (strcmp(text, KNOWN[i].words) == 0)
            return KNOWN[i].movement;
    fail_msg("unknown movement: %s", text);
    return MC_MOVEMENTS;
}

/* ---- the rule ---- */

typedef struct {
    double sum;
    int count;
    bool memory;
} mean;

static void count_in(mean *m, const published_row *row) {
    char *end;
    double value = strtod(row->value, &end);
    assert_ptr_not_equal(end, row->value);
    assert_string_equal(row->unit, "%");
    m->sum += value;
    m->count++;
    m->memory = m->memory || strncmp(row->seen, "from memory", 11) == 0;
}

/* iso 0: a tooth that is in no group. */
static double derived_share(const published *all, int iso, mc_movement movement, bool *memory) {
    mean group = {0}, everywhere = {0}, everything = {0};
    for (size_t i = 0; i < all->count; i++) {
        const published_row *row = &all->row[i];
        if (strcmp(row->quantity, "achieved share of planned movement") != 0)
            continue;
        bool all_teeth = strcmp(row->teeth, "all") == 0;
        if (strcmp(row->movement, "all") == 0) {
            if (all_teeth)
                count_in(&everything, row);
        } else if (movement_of(row->movement) == movement) {
            if (all_teeth)
                count_in(&everywhere, row);
            else if (iso > 0 && group_has(row->teeth, iso))
                count_in(&group, row);
        }
    }
    const mean *m = group.count ? &group : everywhere.count ? &everywhere : &everything;
    assert_true(m->count > 0);
    *memory = m->memory;
    return m->sum / m->count / 100;
}

static void every_share_follows_from_the_published_rows(void **state) {
    (void)state;
    published *all = published_read(FIXTURES "/published.csv");
    for (mc_tooth tooth = 0; tooth < MC_TEETH; tooth++)
        for (int m = 0; m < MC_MOVEMENTS; m++) {
            int iso = mc_tooth_iso(tooth);
            bool memory, memory_seen;
            double want = derived_share(all, iso < 50 ? iso : 0, (mc_movement)m, &memory);
            double got = mc_expected_share(tooth, (mc_movement)m, &memory_seen);
            if (!(fabs(got - want) <= 1e-12) || memory != memory_seen)
                fail_msg("%d %s: %.15g %d, wanted %.15g %d", iso, mc_movement_name((mc_movement)m),
                         got, memory_seen, want, memory);
            assert_near(mc_expected_share(tooth, (mc_movement)m, NULL), got, 0);
        }
    free(all);
}

/* A few by hand, so that the derivation above is held too. */
static void shares_by_hand(void **state) {
    (void)state;
    bool memory;
#define SHARE(iso, movement) mc_expected_share(mc_tooth_from_iso(iso), movement, &memory)
    /* torque on an upper incisor: 42; elsewhere there is no row for torque: L17a, S14a, H20a */
    assert_near(SHARE(21, MC_MOVE_TORQUE), 0.42, 1e-12);
    assert_false(memory);
    assert_near(SHARE(31, MC_MOVE_TORQUE), (73.6 + 59 + 50) / 300, 1e-12);
    assert_true(memory);
    /* a lower canine turns by C23a and L17g; an upper one by C23a and H20e; a lower first premolar
     * by S14c, B22c and C23a */
    assert_near(SHARE(33, MC_MOVE_ROTATION), (60 + 54.2) / 200, 1e-12);
    assert_false(memory);
    assert_near(SHARE(13, MC_MOVE_ROTATION), (60 + 37.0) / 200, 1e-12);
    assert_true(memory);
    assert_near(SHARE(44, MC_MOVE_ROTATION), (40 + 70.4 + 60) / 300, 1e-12);
    /* an upper second molar distally: S14d; mesially nothing but all movements on all teeth */
    assert_near(SHARE(27, MC_MOVE_DISTAL), 0.87, 1e-12);
    assert_near(SHARE(27, MC_MOVE_MESIAL), (73.6 + 59 + 50) / 300, 1e-12);
    /* a lower central intrudes by B22d, W23b and H20d, a lateral without W23b */
    assert_near(SHARE(41, MC_MOVE_INTRUSION), (92 + 43 + 35.0) / 300, 1e-12);
    assert_near(SHARE(42, MC_MOVE_INTRUSION), (92 + 35.0) / 200, 1e-12);
    /* K09a, all movements of the anterior teeth, is a group's row for all movements: left out */
    assert_near(SHARE(11, MC_MOVE_BUCCAL), (73.6 + 59 + 50) / 300, 1e-12);
    /* a deciduous canine turns by the rows for all teeth: L17d, B22a, H20c */
    assert_near(SHARE(53, MC_MOVE_ROTATION), (66.8 + 86 + 46) / 300, 1e-12);
#undef SHARE
}

/* Every row that the rule uses is used, and by no other text than the rule's. */
static void the_file_has_the_rows_that_the_rule_speaks_of(void **state) {
    (void)state;
    published *all = published_read(FIXTURES "/published.csv");
    int shares = 0, memory = 0, group_for_all = 0;
    for (size_t i = 0; i < all->count; i++) {
        const published_row *row = &all->row[i];
        if (strcmp(row->quantity, "achieved share of planned movement") != 0)
            continue;
        shares++;
        memory += strncmp(row->seen, "from memory", 11) == 0;
        group_for_all += strcmp(row->movement, "all") == 0 && strcmp(row->teeth, "all") != 0;
        assert_true(row->source[0] != 0);
    }
    assert_int_equal(shares, 33);
    assert_int_equal(memory, 9);
    assert_int_equal(group_for_all, 1); /* K09a */
    free(all);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(every_share_follows_from_the_published_rows),
        cmocka_unit_test(shares_by_hand),
        cmocka_unit_test(the_file_has_the_rows_that_the_rule_speaks_of),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
