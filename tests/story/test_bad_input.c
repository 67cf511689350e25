/* What people and machines get wrong, by commands: each gets a clear message, the right exit
 * status, and leaves the record as it was. Invented people and teeth. */
#include "document.h"

#include <sqlite3.h>
#include <sys/stat.h>

static char journal_before[1 << 16];

/* The journal's entries, one after the other: nothing is done to a record without one. */
static void take_journal(char *out, size_t size) {
    assert_int_equal(run("midcourse --json journal"), 0);
    assert_true(strlen(run_output) < size);
    snprintf(out, size, "%s", run_output);
}

static int begin(void **state) {
    (void)state;
    run_begin();
    setenv("MIDCOURSE_TODAY", "2026-11-25", 1);
    setenv("MIDCOURSE_DB", "p.db", 1);
    write_text("doctor", "slow river stones\n");
    setenv("MIDCOURSE_PASSPHRASE_FILE", "doctor", 1);
    setenv("MIDCOURSE_NEW_PASSPHRASE_FILE", "doctor", 1);
    assert_run(0, "", "midcourse init --doctor AB");
    assert_run(0, "",
               "midcourse --as AB case new --chart 1001 --name 'Larkspur, Odile' --born 1999-02-03 "
               "--missing 18,28,38,48 --fixed 36");
    assert_run(0, "",
               "midcourse --as AB case new --chart 1002 --name 'Larkspur, Bo' --born 2001-02-03");
    assert_run(0, "",
               "midcourse --as AB plan import 1001 " FIXTURES
               "/golden-plan.csv --start 2026-07-01");
    assert_run(0, "",
               "midcourse --as AB checkup import 1001 " FIXTURES
               "/golden-checkup.csv --date 2026-11-20 --aligner 12");
    take_journal(journal_before, sizeof journal_before);
    return 0;
}

static int end(void **state) {
    (void)state;
    run_end();
    return 0;
}

static void assert_untouched(void) {
    static char now[sizeof journal_before];
    take_journal(now, sizeof now);
    assert_string_equal(now, journal_before);
    assert_run(0, "is sound", "midcourse verify");
}

static void wrong_usage(void **state) {
    (void)state;
    assert_run(2, "no such command", "midcourse frobnicate");
    assert_run(2, "no such command", "midcourse \"$(printf 'Esc\\033[31m')\"");
    assert_null(strchr(run_output, 27)); /* what was typed cannot steer the terminal */
    assert_run(2, "case new", "midcourse case");
    assert_run(2, "no such command", "midcourse help frobnicate");
    assert_run(2, "usage: midcourse score CASE", "midcourse score");
    assert_run(2, "no such option", "midcourse score 1001 --frob");
    assert_run(2, "a value is missing", "midcourse score 1001 --checkup");
    assert_run(2, "whole number", "midcourse score 1001 --checkup 1.5");
    assert_run(2, "YYYY-MM-DD", "midcourse roster --on 2026-02-30");
    assert_run(2, "MIDCOURSE_TODAY", "MIDCOURSE_TODAY=tomorrow midcourse roster");
    assert_run(2, "--role", "midcourse --as AB staff add XY --role king");
    assert_run(2, "which aligner", "midcourse --as AB checkup import 1001 x.csv --date 2026-11-21");
    assert_run(2, "it is carry-on", "midcourse --as AB decide 1001 --choice perhaps");
    assert_run(2, "plain number", "midcourse --as AB settings set tolerance_mm 0x10 --reason why");
    assert_untouched();
}

static void wrong_values(void **state) {
    (void)state;
    assert_run(1, "9999", "midcourse score 9999");
    assert_run(1, "no check-up 7", "midcourse score 1001 --checkup 7");
    assert_run(1, "has no plan", "midcourse score 1002");
    assert_run(1, "tolerance_inch", "midcourse --as AB settings set tolerance_inch 1 --reason why");
    assert_run(1, "tolerance_mm", "midcourse --as AB settings set tolerance_mm 1000 --reason why");
    assert_run(1, "chart", "midcourse --as AB case new --chart '' --name X --born 2000-01-01");
    assert_run(
        1, "1001",
        "midcourse --as AB case new --chart 1001 --name 'Larkspur, Odile' --born 1999-02-03");
    assert_run(1, "after today",
               "midcourse --as AB case new --chart 77 --name 'X, Y' --born 2030-01-01");
    assert_run(1, "before the plan's start",
               "midcourse --as AB checkup import 1001 " FIXTURES
               "/golden-checkup.csv --date 2026-06-01 --aligner 12");
    assert_run(1, "before check-up 1",
               "midcourse --as AB checkup import 1001 " FIXTURES
               "/golden-checkup.csv --date 2026-11-01 --aligner 12");
    assert_run(1, "not in the series of 24",
               "midcourse --as AB checkup import 1001 " FIXTURES
               "/golden-checkup.csv --date 2026-11-21 --aligner 25");
    assert_run(1, "lower arch has no series",
               "midcourse --as AB checkup import 1001 " FIXTURES
               "/golden-checkup.csv --date 2026-11-21 --lower 3");
    assert_run(1, "0 to 24",
               "midcourse --as AB checkup import 1001 " FIXTURES
               "/golden-checkup.csv --date 2026-11-21 --aligner 12 --wear 25");
    assert_run(1, "by the dates it should be",
               "midcourse --as AB checkup import 1001 " FIXTURES
               "/golden-checkup.csv --date 2026-11-21 --aligner 20");
    assert_run(1, "has plan 1 already",
               "midcourse --as AB plan import 1001 " FIXTURES
               "/golden-plan.csv --start 2026-12-01");
    assert_run(1, "nobody is named", "midcourse case close 1001");
    assert_run(1, "ZZ", "midcourse --as ZZ case close 1001");
    assert_untouched();
}

static void wrong_passphrase(void **state) {
    (void)state;
    write_text("wrong", "slow river stone\n");
    write_text("empty", "");
    write_text("short", "abc\n");
    const char *decide = "midcourse --as AB decide 1001 --choice carry-on --reason seen";
    assert_run(1, "passphrase", "MIDCOURSE_PASSPHRASE_FILE=wrong %s", decide);
    assert_run(1, "empty", "MIDCOURSE_PASSPHRASE_FILE=empty %s", decide);
    assert_run(1, "absent", "MIDCOURSE_PASSPHRASE_FILE=absent %s", decide);
    assert_run(1, "no terminal",
               "unset MIDCOURSE_PASSPHRASE_FILE; export MIDCOURSE_TODAY; setsid -w '%s' --as AB "
               "decide 1001 "
               "--choice carry-on --reason seen </dev/null",
               PROGRAM);
    assert_run(1, "passphrase",
               "MIDCOURSE_NEW_PASSPHRASE_FILE=short midcourse --as AB staff add CD --role desk");
    assert_untouched();
}

/* Import a file as a plan of case 1002 and as a check-up of case 1001: both refuse, naming the
 * file. */
static void assert_no_file(const char *path, const char *why) {
    assert_run(1, why, "midcourse --as AB plan import 1002 %s --start 2026-07-01", path);
    assert_non_null(strstr(run_output, path));
    assert_run(1, why, "midcourse --as AB checkup import 1001 %s --date 2026-11-21 --aligner 12",
               path);
    assert_non_null(strstr(run_output, path));
}

static void broken_files(void **state) {
    (void)state;
    write_text("empty.csv", "");
    assert_run(0, "", "head -c 4096 /dev/urandom > binary.csv; printf '\\000\\001' >> binary.csv");
    assert_run(0, "", "head -c 200000000 /dev/zero > enormous.csv");
    assert_run(0, "", "printf '\\377\\376t\\000o\\000' > sixteen.csv");
    assert_run(0, "", "printf 'tooth,\\351\\n12,4\\n' > latin.csv");
    assert_no_file("empty.csv", "empty");
    assert_no_file("binary.csv", "binary.csv");
    assert_no_file("enormous.csv", "8");
    assert_no_file("sixteen.csv", "UTF-16");
    assert_no_file("latin.csv", "UTF-8");
    assert_no_file("absent.csv", "No such file");
    assert_no_file(".", "a folder");
    assert_run(0, "", "head -c 110 " FIXTURES "/golden-plan.csv > cut.csv");
    assert_no_file("cut.csv", ":");
    assert_untouched();
}

static void wrong_rows(void **state) {
    (void)state;
    write_text("plan.csv", "tooth,stage,mesial_mm\n12,4,0.4\n19,4,0.4\n");
    assert_run(1, "midcourse: plan.csv:3:1: ",
               "midcourse --as AB plan import 1002 plan.csv --start 2026-07-01");
    write_text("checkup.csv", "tooth,mesial_mm\n12,twelve\n");
    assert_run(1, "midcourse: checkup.csv:2:4: ",
               "midcourse --as AB checkup import 1001 checkup.csv --date 2026-11-21 --aligner 12");
    write_text("checkup.csv", "tooth,mesial_mm\n18,1\n");
    assert_run(1, "midcourse: checkup.csv:2:1: ",
               "midcourse --as AB checkup import 1001 checkup.csv --date 2026-11-21 --aligner 12");
    write_text("checkup.csv", "tooth,mesial_mm\n12,4\n");
    assert_run(1, "midcourse: checkup.csv:2:4: warning: ",
               "midcourse --as AB checkup import 1001 checkup.csv --date 2026-11-21 --aligner 12");
    assert_untouched();
}

static void no_record(void **state) {
    (void)state;
    write_text("text.db", "this is no database, but it is long enough to have had a header of one "
                          "hundred bytes; really, it is.\n");
    write_text("zero.db", "");
    assert_run(3, "text.db", "midcourse --db text.db roster");
    assert_int_not_equal(run("midcourse --db zero.db roster"), 0);
    assert_non_null(strstr(run_output, "zero.db"));
    assert_run(1, "there is no record yet", "midcourse --db absent.db roster");
    assert_run(1, "HOME is not set",
               "unset MIDCOURSE_DB XDG_DATA_HOME HOME; midcourse init --doctor AB");
    assert_run(1, "p.db: there is a record already; it was not touched",
               "midcourse init --doctor AB");
    assert_run(1, "is a folder", "midcourse --db . init --doctor AB");
    assert_run(1, "choose another", "midcourse --db practice.db demo --no-open");
    assert_run(1, "is no demo", "cp p.db q.db; midcourse --db q.db demo --no-open");
    assert_run(1, "practice's own", "midcourse --db p.db demo --no-open");
    assert_untouched();
}

/* Whoever is killed while making a record leaves the place free, and the next one clears up. */
static void killed_half_way(void **state) {
    (void)state;
    assert_run(0, "",
               "'%s' --db k.db demo --no-open >/dev/null & made=$!; "
               "until [ -e k.db.making ] || [ -e k.db ]; do :; done; kill -KILL $made; wait",
               PROGRAM);
    assert_run(0, "", "test ! -e k.db");
    assert_run(0, "Made the demo practice k.db", "midcourse --db k.db demo --no-open");
    assert_run(0, "is sound", "midcourse --db k.db verify");
    assert_run(0, "", "ls k.db*");
    assert_string_equal(run_output, "k.db\n");
    assert_untouched();
}

static void newer_record(void **state) {
    (void)state;
    sqlite3 *db;
    assert_run(0, "", "midcourse backup newer.db");
    assert_int_equal(sqlite3_open("newer.db", &db), SQLITE_OK);
    assert_int_equal(sqlite3_exec(db, "PRAGMA user_version = 9999", NULL, NULL, NULL), SQLITE_OK);
    assert_int_equal(sqlite3_close(db), SQLITE_OK);
    assert_run(3, "9999", "midcourse --db newer.db roster");
    assert_run(3, "9999", "midcourse --db other.db restore newer.db");
    assert_untouched();
}

/* Targets that are unlikely are shown, and taken on purpose only. */
static void unlikely_target(void **state) {
    (void)state;
    write_text("target.csv", "tooth,stage,rotation_deg,mesial_mm,buccal_mm\n12,2,16,1.2,-0.9\n");
    assert_run(1, "midcourse: target.csv:2:6: warning: ",
               "midcourse revise 1001 --target target.csv --out draft.csv");
    assert_non_null(strstr(run_output, "--accept-warnings"));
    assert_run(0, "", "test ! -e draft.csv");
    assert_run(0, "Wrote draft.csv",
               "midcourse revise 1001 --target target.csv --out draft.csv --accept-warnings");
    assert_non_null(strstr(run_output, "warning: "));
    assert_untouched();
}

/* Somebody without write permission may look, and is refused clearly when writing. */
static void no_permission(void **state) {
    (void)state;
    char by[100] = "";
    if (geteuid() == 0)
        snprintf(by, sizeof by, "setpriv --reuid 65534 --regid 65534 --clear-groups ");
    assert_run(0, "", "mkdir shelf; cp '%s' ./program; chmod 755 . program shelf", PROGRAM);
    assert_run(
        0, "",
        "midcourse backup shelf/p.db; chmod 444 shelf/p.db; chmod 555 shelf; chmod 644 doctor");
    assert_run(0, "1001", "%s ./program --db shelf/p.db roster", by);
    assert_run(1, "shelf/p.db", "%s ./program --db shelf/p.db --as AB case close 1002", by);
    assert_run(1, "shelf/new.db", "%s ./program --db shelf/new.db init --doctor AB", by);
    assert_run(0, "", "chmod 755 shelf; chmod 000 shelf/p.db");
    assert_run(1, "shelf/p.db", "%s ./program --db shelf/p.db roster", by);
    assert_untouched();
}

/* Text that would steer a terminal, and letters of every width, stay text. */
static void strange_names(void **state) {
    (void)state;
    assert_run(1, "name",
               "midcourse --as AB case new --chart 66 --name \"$(printf 'Esc\\033[2J, X')\" --born "
               "2000-01-01");
    assert_untouched();
    assert_run(0, "Opened",
               "midcourse --as AB case new --chart 66 --name '\xe5\xb1\xb1\xe7\x94\xb0, "
               "\xc3\x89lo\xc3\xafse' --born 2000-01-01");
    assert_run(0, "\xe5\xb1\xb1\xe7\x94\xb0", "midcourse case list");
    take_journal(journal_before, sizeof journal_before);
}

/* What cannot be told is not begun. */
static void closed_output(void **state) {
    (void)state;
    assert_run(1, "nothing was done",
               "midcourse --as AB case new --chart 5 --name 'X, Y' --born 2000-01-01 >&-");
    assert_run(1, "nothing was done", "midcourse --db closed.db init --doctor AB >&-");
    assert_run(0, "", "test ! -e closed.db");
    assert_untouched();
}

/* Where it cannot be told afterwards, the message says that it was done. */
static void full_disk(void **state) {
    (void)state;
    assert_run(1, "the work itself was done",
               "midcourse --as AB case new --chart 77 --name 'X, Y' --born 2000-01-01 >/dev/full");
    assert_run(0, "X, Y", "midcourse case show 77");
}

/* Every line of the last command fits 80 columns and ends with what is seen. */
static void assert_lines(void) {
    const char *at = run_output;
    for (size_t size; *at; at += size + (at[size] == '\n')) {
        size = strcspn(at, "\n");
        if (size > 80 || (size > 0 && at[size - 1] == ' '))
            fail_msg("a line of %zu columns: %.*s|", size, (int)size, at);
    }
}

static void lines(void **state) {
    (void)state;
    static const char *const commands[] = {"score 1001", "checkup list 1001", "roster",
                                           "case list"};
    for (size_t i = 0; i < sizeof commands / sizeof commands[0]; i++) {
        assert_run(0, "", "midcourse %s", commands[i]);
        assert_lines();
    }
    assert_run(1, "\n  ", "midcourse --db absent.db roster");
    assert_lines();
    assert_run(1, "warning:",
               "midcourse --as AB checkup import 1001 " FIXTURES
               "/golden-checkup.csv --date 2026-11-20 --aligner 20");
    assert_non_null(strstr(run_output, "found aligner 12"));
    /* the name of a file stays whole, however long */
    assert_run(1,
               "midcourse: a-name-of-a-plan-file-that-is-longer-than-one-line-of-eighty-columns-can"
               "-ever-hold.csv:\n",
               "midcourse --as AB plan import 1002 a-name-of-a-plan-file-that-is-longer-than-one-"
               "line-of-eighty-columns-can-ever-hold.csv --start 2026-07-01");
    assert_untouched();
}

int main(void) {
    const struct CMUnitTest tests[] = {cmocka_unit_test(wrong_usage),
                                       cmocka_unit_test(wrong_values),
                                       cmocka_unit_test(wrong_passphrase),
                                       cmocka_unit_test(broken_files),
                                       cmocka_unit_test(wrong_rows),
                                       cmocka_unit_test(no_record),
                                       cmocka_unit_test(killed_half_way),
                                       cmocka_unit_test(newer_record),
                                       cmocka_unit_test(unlikely_target),
                                       cmocka_unit_test(closed_output),
                                       cmocka_unit_test(lines),
                                       cmocka_unit_test(no_permission),
                                       cmocka_unit_test(strange_names),
                                       cmocka_unit_test(full_disk)};
    return cmocka_run_group_tests(tests, begin, end);
}
