/* version_4: where crowns stand, the draft of a correction, and when a new series begins. What
 * stands here is in files out there and never changes; a later version is a migration of its own.
 */
#include "schema.h"

/* clang-format off */

/* The changes on a case's workbench, one set a case: the next takes its place. */
static const char correction_drafts[] =
    "CREATE TABLE correction_drafts ("
    " case_n INTEGER PRIMARY KEY REFERENCES cases (n),"
    " number INTEGER NOT NULL CHECK (number >= 1),"
    " version_n INTEGER NOT NULL REFERENCES checkup_versions (n),"
    " edits TEXT NOT NULL CHECK (edits <> ''),"
    " by TEXT NOT NULL REFERENCES people (initials),"
    " at TEXT NOT NULL CHECK (at <> ''),"
    " hash BLOB NOT NULL CHECK (length(hash) = 32)"
    ") STRICT;"
    "CREATE TRIGGER correction_drafts_undeleted BEFORE DELETE ON correction_drafts"
    " BEGIN SELECT RAISE(ABORT, 'a draft is only replaced'); END;";

/* Where the crowns of an arch stood at a check-up. entry: 1 the first of the check-up and arch; the
 * last counts. Sealed by its hash. */
static const char measured_arches[] =
    "CREATE TABLE measured_arches ("
    " n INTEGER PRIMARY KEY,"
    " checkup_n INTEGER NOT NULL REFERENCES checkups (n),"
    " arch INTEGER NOT NULL CHECK (arch IN (0, 1)),"
    " entry INTEGER NOT NULL CHECK (entry >= 1),"
    " by TEXT NOT NULL REFERENCES people (initials),"
    " at TEXT NOT NULL CHECK (at <> ''),"
    " hash BLOB CHECK (length(hash) = 32),"
    " UNIQUE (checkup_n, arch, entry)"
    ") STRICT;"
    "CREATE TRIGGER measured_arches_unchanged BEFORE UPDATE ON measured_arches"
    " WHEN OLD.hash IS NOT NULL"
    " BEGIN SELECT RAISE(ABORT, 'a measured arch is never changed'); END;"
    "CREATE TRIGGER measured_arches_undeleted BEFORE DELETE ON measured_arches"
    " BEGIN SELECT RAISE(ABORT, 'a measured arch is never deleted'); END;";

/* mm and deg; see midcourse-arch(5). */
static const char measured_crowns[] =
    "CREATE TABLE measured_crowns ("
    " arch_n INTEGER NOT NULL REFERENCES measured_arches (n),"
    " tooth INTEGER NOT NULL,"
    " to_right REAL NOT NULL CHECK (to_right BETWEEN -1000 AND 1000),"
    " anterior REAL NOT NULL CHECK (anterior BETWEEN -1000 AND 1000),"
    " outward REAL NOT NULL CHECK (outward BETWEEN -360 AND 360),"
    " turned REAL NOT NULL CHECK (turned BETWEEN -360 AND 360),"
    " width REAL NOT NULL CHECK (width > 0 AND width <= 100),"
    " thickness REAL NOT NULL CHECK (thickness > 0 AND thickness <= 100),"
    " PRIMARY KEY (arch_n, tooth)"
    ") STRICT, WITHOUT ROWID;"
    "CREATE TRIGGER measured_crowns_sealed BEFORE INSERT ON measured_crowns"
    " WHEN (SELECT hash FROM measured_arches WHERE n = NEW.arch_n) IS NOT NULL"
    " BEGIN SELECT RAISE(ABORT, 'a measured arch is never changed'); END;"
    "CREATE TRIGGER measured_crowns_unchanged BEFORE UPDATE ON measured_crowns"
    " BEGIN SELECT RAISE(ABORT, 'a measured arch is never changed'); END;"
    "CREATE TRIGGER measured_crowns_undeleted BEFORE DELETE ON measured_crowns"
    " BEGIN SELECT RAISE(ABORT, 'a measured arch is never deleted'); END;";

#define CIVIL_DAY(column) \
    "(" column " GLOB '[12][0-9][0-9][0-9]-[01][0-9]-[0-3][0-9]'" \
    " AND date(" column ", '+0 days') = " column ")"

/* What happened to a corrected plan between its signature and its first aligner. day: on which that
 * was; upper, lower: the first day of the arch's series, as expected from then on or as it was. The
 * last word on an arch holds. */
static const char plan_events[] =
    "CREATE TABLE plan_events ("
    " n INTEGER PRIMARY KEY,"
    " plan_n INTEGER NOT NULL REFERENCES plans (n),"
    " number INTEGER NOT NULL CHECK (number >= 1),"
    " what TEXT NOT NULL CHECK (what IN ('ordered', 'expected', 'delivered', 'begun')),"
    " day TEXT NOT NULL CHECK " CIVIL_DAY("day") ","
    " upper TEXT CHECK " CIVIL_DAY("upper") ","
    " lower TEXT CHECK " CIVIL_DAY("lower") ","
    " by TEXT NOT NULL REFERENCES people (initials),"
    " at TEXT NOT NULL"
    "  CHECK (at GLOB '[12][0-9][0-9][0-9]-[01][0-9]-[0-3][0-9]T[0-2][0-9]:[0-5][0-9]:[0-6][0-9]Z'),"
    " hash BLOB NOT NULL CHECK (length(hash) = 32),"
    " UNIQUE (plan_n, number)"
    ") STRICT;"
    "CREATE TRIGGER plan_events_unchanged BEFORE UPDATE ON plan_events"
    " BEGIN SELECT RAISE(ABORT, 'what happened to a plan is never changed'); END;"
    "CREATE TRIGGER plan_events_undeleted BEFORE DELETE ON plan_events"
    " BEGIN SELECT RAISE(ABORT, 'what happened to a plan is never deleted'); END;";

/* clang-format on */

const char *const version_4[] = {correction_drafts, measured_arches, measured_crowns, plan_events,
                                 NULL};
