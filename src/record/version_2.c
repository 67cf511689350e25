/* version_2: check-ups entered at the chair, and the roster's summaries. What stands here is in
 * files out there and never changes; a later version is a migration of its own. */
#include "schema.h"

/* clang-format off */

/* Whether a seat gap of 0 was said of this tooth alone, or of all the rest at once. */
static const char seats_in_bulk[] =
    "ALTER TABLE readings ADD COLUMN seat_in_bulk INTEGER NOT NULL DEFAULT 0"
    " CHECK (seat_in_bulk = 0 OR (seat_in_bulk = 1 AND seat_gap = 0));";

static const char notes[] =
    "ALTER TABLE checkup_versions ADD COLUMN note TEXT"
    " CHECK (length(note) BETWEEN 1 AND 500);";

/* What was entered into an open check-up, a value a step, in the order of entry: the check-up is
 * what the steps that are not undone make together. They go when it is completed. */
static const char steps[] =
    "CREATE TABLE steps ("
    " checkup_n INTEGER NOT NULL REFERENCES checkups (n),"
    " number INTEGER NOT NULL CHECK (number >= 1),"
    " what TEXT NOT NULL CHECK (what <> ''),"
    " arch INTEGER CHECK (arch IN (0, 1)),"
    " tooth INTEGER,"
    " row INTEGER CHECK (row >= 0),"
    " component INTEGER CHECK (component BETWEEN 0 AND 5),"
    " value REAL,"
    " whole INTEGER,"
    " short_of_plan INTEGER NOT NULL CHECK (short_of_plan IN (0, 1)),"
    " text TEXT CHECK (length(text) BETWEEN 1 AND 500),"
    " by TEXT NOT NULL REFERENCES people (initials),"
    " undone INTEGER NOT NULL CHECK (undone IN (0, 1)),"
    " PRIMARY KEY (checkup_n, number)"
    ") STRICT, WITHOUT ROWID;"
    "CREATE TRIGGER steps_of_open BEFORE INSERT ON steps"
    " WHEN (SELECT state FROM checkups WHERE n = NEW.checkup_n) IS NOT 'open'"
    " BEGIN SELECT RAISE(ABORT, 'a completed check-up is never changed'); END;";

/* A cache: what the roster says of a case, and the key of what that was computed from. It may be
 * dropped at any moment. */
static const char summaries[] =
    "CREATE TABLE summaries ("
    " case_n INTEGER PRIMARY KEY REFERENCES cases (n),"
    " key BLOB NOT NULL CHECK (length(key) = 32),"
    " content BLOB NOT NULL"
    ") STRICT;";

/* clang-format on */

const char *const version_2[] = {seats_in_bulk, notes, steps, summaries, NULL};
