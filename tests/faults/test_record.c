/* Memory and disks that fail under the record, at every place in turn: each failure is an error in
 * words or is overcome, and leaves a record that verifies, as it was or with the whole change. */
#include "record_tests.h"

#include "broken.h"

/* One action on the record; the number makes what it adds its own. */
typedef mc_status (*action)(room *r, int number, mc_error *error);

/* A measured arch of two crowns at the first check-up. */
static mc_status add_arch(mc_record *record, const mc_case *of, mc_error *error) {
    mc_measured_arch arch = {.checkup = 1, .arch = MC_LOWER, .by = "AB"};
    for (int iso = 31; iso <= 41; iso += 10) {
        arch.crown[mc_tooth_from_iso(iso)] = (mc_crown){.stands = true,
                                                        .right = iso == 41 ? 2.5 : -2.5,
                                                        .anterior = 40,
                                                        .outward_deg = 90,
                                                        .width = 5,
                                                        .thickness = 6};
    }
    return mc_record_add_arch(record, &of->id, &arch, error);
}

/* A thing of every kind in one transaction. */
static mc_status add_everything(room *r, const mc_case *of, mc_error *error) {
    mc_plan_info info = {.start = 20000, .interval = {7, 0}, .by = "AB"};
    mc_reading rows[4];
    mc_checkup checkup = {.date = 20100,
                          .aligner = {2, MC_NO_ALIGNER},
                          .day = {3, -1},
                          .wear_hours = 22,
                          .rows = rows,
                          .count = some_readings(rows)};
    mc_checkup_info seen;
    mc_decision decision = a_decision(1);
    int64_t set;
    int version;
    mc_plan *plan = mc_plan_new();
    mc_plan_row row = {.tooth = 3, .stage = 4};
    row.pose.c[MC_MESIAL] = 1;
    mc_status status = plan != NULL ? mc_plan_add(plan, &row, error) : MC_REFUSED;
    if (status == MC_OK) {
        status = mc_record_add_plan(r->record, &of->id, plan, NULL, &info, error);
    }
    if (status == MC_OK) {
        status =
            mc_record_add_checkup(r->record, &of->id, &info.id, &checkup, 1, "CD", &seen, error);
    }
    if (status == MC_OK) {
        status = add_arch(r->record, of, error);
    }
    if (status == MC_OK) {
        status = mc_record_amend_checkup(r->record, &of->id, 1, &checkup, "CD", "again", &version,
                                         error);
    }
    if (status == MC_OK) {
        status = mc_record_add_decision(r->record, &of->id, &decision, error);
    }
    if (status == MC_OK) {
        status =
            mc_record_add_settings(r->record, &of->id, "hold_days", 14, "so", "AB", &set, error);
    }
    mc_plan_free(plan);
    return status == MC_OK ? mc_record_append(r->record, "AB", &of->id, "all added",
                                              "{\"b\":1,\"a\":[2,3]}", error)
                           : status;
}

static mc_status write_action(room *r, int number, mc_error *error) {
    mc_tooth_state states[MC_TEETH];
    mc_case made;
    char chart[16];
    snprintf(chart, sizeof chart, "%d", number);
    all_present(states);
    mc_status status = mc_record_begin(r->record, true, error);
    if (status == MC_OK) {
        status =
            mc_record_add_case(r->record, chart, "Invented, Ina", 0, 19999, states, &made, error);
        if (status == MC_OK) {
            status = add_everything(r, &made, error);
        }
        if (status == MC_OK) {
            return mc_record_commit(r->record, error);
        }
        mc_record_rollback(r->record);
    }
    return status;
}

/* Read everything that a console would. */
static mc_status read_case(room *r, mc_record *record, const mc_case *of, mc_error *error) {
    mc_plan_info *plans = NULL;
    mc_checkup_info *checkups = NULL;
    mc_decision *decisions = NULL;
    mc_measured_arch *arches = NULL;
    size_t n_plans = 0, n_checkups = 0, n_decisions = 0, n_arches = 0;
    mc_plan *plan = NULL;
    mc_start start;
    mc_settings settings;
    mc_tooth_state states[MC_TEETH];
    (void)r;
    mc_status status = mc_record_plans(record, &of->id, &plans, &n_plans, error);
    if (status == MC_OK && n_plans > 0) {
        status = mc_record_plan(record, &plans[0].id, &plan, &start, error);
    }
    if (status == MC_OK) {
        status = mc_record_checkups(record, &of->id, true, &checkups, &n_checkups, error);
    }
    if (status == MC_OK) {
        status = mc_record_measured_arches(record, &of->id, &arches, &n_arches, error);
    }
    if (status == MC_OK) {
        assert_int_equal(n_arches, 1);
        status = mc_record_decisions(record, &of->id, &decisions, &n_decisions, error);
    }
    if (status == MC_OK) {
        status = mc_record_settings(record, &of->id, &settings, NULL, error);
    }
    if (status == MC_OK) {
        status = mc_record_teeth(record, &of->id, 20000, states, error);
    }
    free(plans);
    free(arches);
    mc_plan_free(plan);
    mc_checkup_info_free(checkups, n_checkups);
    mc_decision_free(decisions, n_decisions);
    return status;
}

static mc_status read_action(room *r, int number, mc_error *error) {
    mc_record *record;
    mc_case *cases = NULL;
    mc_entry *entries = NULL;
    mc_person *people = NULL;
    size_t n_cases = 0, n_entries = 0, n_people = 0;
    (void)number;
    mc_status status = mc_record_open(r->path, &record, error);
    if (status != MC_OK) {
        return status;
    }
    status = mc_record_cases(record, &cases, &n_cases, error);
    if (status == MC_OK) {
        status = read_case(r, record, &cases[0], error);
    }
    if (status == MC_OK) {
        status = mc_record_people(record, &people, &n_people, error);
    }
    if (status == MC_OK) {
        status = mc_record_journal(record, NULL, &entries, &n_entries, error);
    }
    free(cases);
    free(people);
    mc_entries_free(entries, n_entries);
    mc_record_close(record);
    return status;
}

static mc_status verify_action(room *r, int number, mc_error *error) {
    (void)number;
    return mc_record_verify(r->record, NULL, error);
}

static mc_status create_action(room *r, int number, mc_error *error) {
    mc_record *record;
    char name[32];
    snprintf(name, sizeof name, "new-%d.db", number);
    mc_status status = mc_record_create(beside(r, name), &record, error);
    mc_record_close(record);
    return status;
}

static mc_status backup_action(room *r, int number, mc_error *error) {
    char name[32];
    snprintf(name, sizeof name, "copy-%d.db", number);
    return mc_record_backup(r->record, beside(r, name), error);
}

static mc_status restore_action(room *r, int number, mc_error *error) {
    char name[32];
    snprintf(name, sizeof name, "again-%d.db", number);
    return mc_record_restore(beside(r, "copy-0.db"), beside(r, name), false, error);
}

/* ---- what stands afterwards ---- */

static size_t cases_in(mc_record *record) {
    mc_case *list;
    size_t count;
    done(mc_record_cases(record, &list, &count, &why));
    free(list);
    return count;
}

/* The record verifies, and has as many cases as entries that tell of them. */
static size_t check_whole(mc_record *record) {
    mc_entry *list;
    size_t count, told = 0;
    done(mc_record_verify(record, NULL, &why));
    done(mc_record_journal(record, NULL, &list, &count, &why));
    for (size_t i = 0; i < count; i++) {
        told += strcmp(list[i].action, "all added") == 0;
    }
    mc_entries_free(list, count);
    assert_int_equal(cases_in(record), told + 1);
    return told;
}

/* A new file that an action was to make is there and whole, or is not there. */
static void check_made(room *r, const char *name, bool made) {
    const char *path = beside(r, name);
    const char *ends[] = {"", "-wal", "-shm", "-journal", ".restoring", ".making"};
    if (made) {
        mc_record *record;
        done(mc_record_open(path, &record, &why));
        done(mc_record_verify(record, NULL, &why));
        mc_record_close(record);
        assert_int_equal(unlink(path), 0);
    }
    for (size_t i = 0; i < sizeof ends / sizeof ends[0]; i++) {
        char full[200];
        snprintf(full, sizeof full, "%s%s", path, ends[i]);
        if (access(full, F_OK) == 0) {
            fail_msg("%s was left behind", full);
        }
    }
}

/* ---- memory ---- */

/* Numbers that no test gives twice. */
static int next_number(void) {
    static int number = 10000;
    return number++;
}

/* Let each step-th allocation of the action fail in turn, alone or with all after it, until it is
 * done without meeting the one that would fail. Every so often the whole record is verified. made
 * begins the name of the file that the action makes; NULL: none. */
static void each_allocation(room *r, action act, const char *made, bool from_then, int step) {
    size_t told = check_whole(r->record);
    long refused = 0, overcome = 0;
    for (int at = 1;; at += step) {
        mc_error error = {.text = ""};
        int number = next_number();
        break_at(&memory, at, from_then);
        mc_status status = act(r, number, &error);
        bool met = memory.happened;
        mend();
        if (status != MC_OK && !tells_of_memory(&error)) {
            fail_msg("allocation %d: status %d: %s", at, status, error.text);
        }
        if (made != NULL) {
            char name[32];
            snprintf(name, sizeof name, "%s-%d.db", made, number);
            check_made(r, name, status == MC_OK);
        }
        size_t added = act == write_action && status == MC_OK;
        if (number % 97 == 0 || !met) {
            assert_int_equal(check_whole(r->record), told + added);
        } else {
            assert_int_equal(cases_in(r->record), told + added + 1);
        }
        told += added;
        refused += status != MC_OK;
        overcome += status == MC_OK && met;
        if (!met) {
            assert_int_equal(status, MC_OK);
            print_message("%ld allocations failed: %ld times refused, %ld times overcome\n",
                          refused + overcome, refused, overcome);
            assert_true(refused > 20);
            return;
        }
    }
}

/* Furnished once and copied for every test, as a passphrase is slow to make on purpose. */
static room *template_room;

static int make_template(void **state) {
    (void)state;
    files_in_memory();
    mend();
    if (room_setup((void **)&template_room) != 0) {
        return -1;
    }
    furnish_record(template_room->record);
    done(write_action(template_room, 1, &why));
    done(mc_record_backup(template_room->record, beside(template_room, "copy-0.db"), &why));
    return 0;
}

static int remove_template(void **state) {
    (void)state;
    return room_teardown((void **)&template_room);
}

static int furnished_setup(void **state) {
    char command[300];
    room *r = *state = calloc(1, sizeof *r);
    assert_non_null(r);
    mend();
    room_place(r);
    const char *copy = beside(template_room, "copy-0.db");
    snprintf(command, sizeof command, "cp '%s' '%s' && cp '%s' '%s'", copy, r->path, copy,
             beside(r, "copy-0.db"));
    assert_int_equal(system(command), 0);
    done(mc_record_open(r->path, &r->record, &why));
    return 0;
}

static int mended_teardown(void **state) {
    mend();
    return room_teardown(state);
}

static void test_memory_fails_while_writing(void **state) {
    each_allocation(*state, write_action, NULL, false, 1);
    each_allocation(*state, write_action, NULL, true, 11);
}

static void test_memory_fails_while_reading(void **state) {
    each_allocation(*state, read_action, NULL, false, 3);
    each_allocation(*state, read_action, NULL, true, 11);
}

static void test_memory_fails_while_verifying(void **state) {
    each_allocation(*state, verify_action, NULL, false, 47);
    each_allocation(*state, verify_action, NULL, true, 73);
}

static void test_memory_fails_while_making(void **state) {
    each_allocation(*state, create_action, "new", false, 53);
}

static void test_memory_fails_while_copying(void **state) {
    each_allocation(*state, backup_action, "copy", false, 73);
    each_allocation(*state, restore_action, "again", false, 73);
}

/* ---- the disk ---- */

/* Connect anew, so that every file is opened, read and locked again under the layer. */
static void reopen(room *r) {
    mc_record_close(r->record);
    r->record = NULL;
    done(mc_record_open(r->path, &r->record, &why));
}

/* Let each operation on the disk fail in turn. A commit that fails is undone, but what it had
 * written to the log by then may still be taken up where the log must be read anew, so that after a
 * failure the change may stand, whole. The record is verified after each, every so often where the
 * action does not write to it. */
static void each_operation(room *r, action act, const char *made, bool from_then, bool full) {
    size_t told = check_whole(r->record);
    long refused = 0, overcome = 0;
    for (int at = 1;; at++) {
        mc_error error = {.text = ""};
        int number = next_number();
        reopen(r);
        disk_full = full;
        break_at(&disk, at, from_then);
        mc_status status = act(r, number, &error);
        bool met = disk.happened;
        if (made == NULL) {
            /* Closing too may need the disk. */
            mc_record_close(r->record);
            r->record = NULL;
        }
        mend();
        if (status != MC_OK && (status != MC_REFUSED || error.text[0] == '\0')) {
            fail_msg("operation %d: status %d: %s", at, status, error.text);
        }
        if (full && status != MC_OK && strstr(error.text, "no room left") == NULL) {
            fail_msg("operation %d: %s", at, error.text);
        }
        if (made != NULL) {
            char name[32];
            snprintf(name, sizeof name, "%s-%d.db", made, number);
            check_made(r, name, status == MC_OK);
        } else {
            done(mc_record_open(r->path, &r->record, &why));
        }
        bool writes = act == write_action;
        size_t now =
            writes || at % 8 == 0 || !met ? check_whole(r->record) : cases_in(r->record) - 1;
        if (status == MC_OK) {
            assert_int_equal(now, told + writes);
        } else {
            assert_true(now == told || (writes && now == told + 1));
        }
        told = now;
        refused += status != MC_OK;
        overcome += status == MC_OK && met;
        if (!met) {
            assert_int_equal(status, MC_OK);
            print_message("%ld operations failed: %ld times refused, %ld times overcome\n",
                          refused + overcome, refused, overcome);
            assert_true(refused > 0);
            return;
        }
    }
}

static void test_disk_fails_while_writing(void **state) {
    each_operation(*state, write_action, NULL, false, false);
    each_operation(*state, write_action, NULL, true, false);
}

static void test_disk_is_full_while_writing(void **state) {
    each_operation(*state, write_action, NULL, true, true);
}

static void test_disk_fails_while_reading(void **state) {
    each_operation(*state, read_action, NULL, true, false);
}

static void test_disk_fails_while_making(void **state) {
    each_operation(*state, create_action, "new", false, false);
    each_operation(*state, create_action, "new", true, true);
}

static void test_disk_fails_while_copying(void **state) {
    each_operation(*state, backup_action, "copy", false, false);
    each_operation(*state, backup_action, "copy", true, true);
    each_operation(*state, restore_action, "again", false, false);
    each_operation(*state, restore_action, "again", true, true);
}

#define in_room(test) cmocka_unit_test_setup_teardown(test, furnished_setup, mended_teardown)

int main(void) {
    const struct CMUnitTest tests[] = {
        in_room(test_memory_fails_while_writing),   in_room(test_memory_fails_while_reading),
        in_room(test_memory_fails_while_verifying), in_room(test_memory_fails_while_making),
        in_room(test_memory_fails_while_copying),   in_room(test_disk_fails_while_writing),
        in_room(test_disk_is_full_while_writing),   in_room(test_disk_fails_while_reading),
        in_room(test_disk_fails_while_making),      in_room(test_disk_fails_while_copying),
    };
    if (!memory_breakable() || !disk_breakable()) {
        return 1;
    }
    return cmocka_run_group_tests(tests, make_template, remove_template);
}
