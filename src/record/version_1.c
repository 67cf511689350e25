/* version_1: the first schema. What stands here is in files out there and never changes; a later
 * version is a migration of its own. */
#include "schema.h"

/* clang-format off */

/* Conditions that many columns share. A column that may be null passes them with null. */
#define TOOTH \
    "(tooth BETWEEN 11 AND 18 OR tooth BETWEEN 21 AND 28 OR tooth BETWEEN 31 AND 38 OR" \
    " tooth BETWEEN 41 AND 48 OR tooth BETWEEN 51 AND 55 OR tooth BETWEEN 61 AND 65 OR" \
    " tooth BETWEEN 71 AND 75 OR tooth BETWEEN 81 AND 85)"
#define DAY(column) \
    "(" column " GLOB '[12][0-9][0-9][0-9]-[01][0-9]-[0-3][0-9]'" \
    " AND date(" column ", '+0 days') = " column ")"
#define MOMENT(column) \
    "(" column " GLOB '[12][0-9][0-9][0-9]-[01][0-9]-[0-3][0-9]T[0-2][0-9]:[0-5][0-9]:[0-6][0-9]Z')"
#define ID(column) "(length(" column ") = 16)"
#define HASH(column) "(length(" column ") = 32)"
#define BYTES(column, least, most) \
    "(length(CAST(" column " AS BLOB)) BETWEEN " least " AND " most ")"

/* What is on record stays: amended and superseded by new rows, never rewritten. */
#define STAYS(table, what) \
    "CREATE TRIGGER " table "_unchanged BEFORE UPDATE ON " table \
    " BEGIN SELECT RAISE(ABORT, '" what " is never changed'); END;" \
    "CREATE TRIGGER " table "_undeleted BEFORE DELETE ON " table \
    " BEGIN SELECT RAISE(ABORT, '" what " is never deleted'); END;"

/* n is a row's short number inside this file; id is the identity, random and for ever. */
static const char people[] =
    "CREATE TABLE people ("
    " initials TEXT PRIMARY KEY"
    "  CHECK (length(initials) BETWEEN 1 AND 8 AND initials NOT GLOB '*[^A-Za-z0-9]*'),"
    " role TEXT NOT NULL CHECK (role IN ('doctor', 'assistant', 'desk')),"
    " passphrase TEXT NOT NULL CHECK (passphrase GLOB '$argon2id$*'),"
    " retired INTEGER NOT NULL DEFAULT 0 CHECK (retired IN (0, 1))"
    ") STRICT, WITHOUT ROWID;"
    "CREATE UNIQUE INDEX people_by_letters ON people (initials COLLATE NOCASE);"
    "CREATE TRIGGER people_keep_initials BEFORE UPDATE OF initials ON people"
    " BEGIN SELECT RAISE(ABORT, 'initials are never changed'); END;"
    "CREATE TRIGGER people_undeleted BEFORE DELETE ON people"
    " BEGIN SELECT RAISE(ABORT, 'a person is never deleted'); END;";

static const char patients[] =
    "CREATE TABLE patients ("
    " n INTEGER PRIMARY KEY,"
    " id BLOB NOT NULL UNIQUE CHECK " ID("id") ","
    " chart TEXT NOT NULL UNIQUE"
    "  CHECK (" BYTES("chart", "1", "32") " AND instr(chart, '/') = 0),"
    " name TEXT NOT NULL CHECK " BYTES("name", "1", "255") ","
    " born TEXT NOT NULL CHECK " DAY("born")
    ") STRICT;"
    "CREATE TRIGGER patients_undeleted BEFORE DELETE ON patients"
    " BEGIN SELECT RAISE(ABORT, 'a patient is never deleted'); END;";

static const char cases[] =
    "CREATE TABLE cases ("
    " n INTEGER PRIMARY KEY,"
    " id BLOB NOT NULL UNIQUE CHECK " ID("id") ","
    " patient_n INTEGER NOT NULL REFERENCES patients (n),"
    " number INTEGER NOT NULL CHECK (number >= 1),"
    " opened TEXT NOT NULL CHECK " DAY("opened") ","
    " closed TEXT CHECK (" DAY("closed") " AND closed >= opened),"
    " UNIQUE (patient_n, number)"
    ") STRICT;"
    "CREATE UNIQUE INDEX one_open_case ON cases (patient_n) WHERE closed IS NULL;"
    "CREATE TRIGGER cases_unchanged BEFORE UPDATE OF n, id, patient_n, number, opened ON cases"
    " BEGIN SELECT RAISE(ABORT, 'a case is never changed'); END;"
    "CREATE TRIGGER cases_stay_closed BEFORE UPDATE OF closed ON cases WHEN OLD.closed IS NOT NULL"
    " BEGIN SELECT RAISE(ABORT, 'a closed case stays closed'); END;"
    "CREATE TRIGGER cases_undeleted BEFORE DELETE ON cases"
    " BEGIN SELECT RAISE(ABORT, 'a case is never deleted'); END;";

/* change: 1 as at the opening, 2 the first change of this tooth ... */
static const char teeth[] =
    "CREATE TABLE teeth ("
    " case_n INTEGER NOT NULL REFERENCES cases (n),"
    " tooth INTEGER NOT NULL CHECK " TOOTH ","
    " change INTEGER NOT NULL CHECK (change >= 1),"
    " since TEXT NOT NULL CHECK " DAY("since") ","
    " state TEXT NOT NULL CHECK (state IN ('present', 'missing', 'extracted', 'unerupted',"
    "  'shedding', 'implant', 'ankylosed', 'bridge', 'fixed')),"
    " PRIMARY KEY (case_n, tooth, change)"
    ") STRICT, WITHOUT ROWID;"
    STAYS("teeth", "the history of a tooth");

/* A set of a case with from_practice is there because the practice changed a number of its own.
 * hash: of the whole set; from it on the set never changes. */
static const char settings_sets[] =
    "CREATE TABLE settings_sets ("
    " number INTEGER PRIMARY KEY CHECK (number >= 1),"
    " case_n INTEGER REFERENCES cases (n),"
    " from_practice INTEGER REFERENCES settings_sets (number),"
    " key TEXT CHECK ((key IS NULL) = (number = 1)),"
    " value REAL CHECK ((value IS NULL) = (number = 1)),"
    " reason TEXT CHECK (" BYTES("reason", "1", "500") " AND (reason IS NULL) = (number = 1)),"
    " by TEXT REFERENCES people (initials) CHECK ((by IS NULL) = (number = 1)),"
    " at TEXT NOT NULL CHECK " MOMENT("at") ","
    " hash BLOB CHECK " HASH("hash") ","
    " CHECK (from_practice IS NULL OR (case_n IS NOT NULL AND from_practice < number))"
    ") STRICT;"
    "CREATE INDEX settings_of_case ON settings_sets (case_n, number);"
    "CREATE TRIGGER settings_sets_unchanged BEFORE UPDATE ON settings_sets"
    " WHEN OLD.hash IS NOT NULL"
    " BEGIN SELECT RAISE(ABORT, 'a settings set is never changed'); END;"
    "CREATE TRIGGER settings_sets_undeleted BEFORE DELETE ON settings_sets"
    " BEGIN SELECT RAISE(ABORT, 'a settings set is never deleted'); END;";

static const char settings_values[] =
    "CREATE TABLE settings_values ("
    " set_number INTEGER NOT NULL REFERENCES settings_sets (number),"
    " key TEXT NOT NULL CHECK (length(key) BETWEEN 1 AND 39),"
    " value REAL NOT NULL,"
    " PRIMARY KEY (set_number, key)"
    ") STRICT, WITHOUT ROWID;"
    "CREATE TRIGGER settings_values_sealed BEFORE INSERT ON settings_values"
    " WHEN (SELECT hash FROM settings_sets WHERE number = NEW.set_number) IS NOT NULL"
    " BEGIN SELECT RAISE(ABORT, 'a settings set is never changed'); END;"
    STAYS("settings_values", "a settings set");

/* hash: of the listed stages. seal: of the whole plan; from it on the plan never changes. */
static const char plans[] =
    "CREATE TABLE plans ("
    " n INTEGER PRIMARY KEY,"
    " id BLOB NOT NULL UNIQUE CHECK " ID("id") ","
    " case_n INTEGER NOT NULL REFERENCES cases (n),"
    " number INTEGER NOT NULL CHECK (number >= 1),"
    " status TEXT NOT NULL CHECK (status IN ('active', 'superseded', 'closed')),"
    " start TEXT NOT NULL CHECK " DAY("start") ","
    " upper_interval INTEGER NOT NULL CHECK (upper_interval BETWEEN 0 AND 365),"
    " lower_interval INTEGER NOT NULL CHECK (lower_interval BETWEEN 0 AND 365),"
    " made_from INTEGER,"
    " supersedes INTEGER REFERENCES plans (n) CHECK ((supersedes IS NULL) = (number = 1)),"
    " by TEXT NOT NULL REFERENCES people (initials),"
    " hash BLOB NOT NULL CHECK " HASH("hash") ","
    " seal BLOB CHECK " HASH("seal") ","
    " UNIQUE (case_n, number),"
    " FOREIGN KEY (case_n, made_from) REFERENCES checkups (case_n, number)"
    ") STRICT;"
    "CREATE UNIQUE INDEX one_active_plan ON plans (case_n) WHERE status = 'active';"
    "CREATE TRIGGER plans_unchanged BEFORE UPDATE OF n, id, case_n, number, start, upper_interval,"
    " lower_interval, made_from, supersedes, by, hash, seal ON plans WHEN OLD.seal IS NOT NULL"
    " BEGIN SELECT RAISE(ABORT, 'a plan is never changed'); END;"
    "CREATE TRIGGER plans_stay_closed BEFORE UPDATE OF status ON plans WHEN OLD.status <> 'active'"
    " BEGIN SELECT RAISE(ABORT, 'a closed plan stays closed'); END;"
    "CREATE TRIGGER plans_undeleted BEFORE DELETE ON plans"
    " BEGIN SELECT RAISE(ABORT, 'a plan is never deleted'); END;";

/* Further than 1000 mm or deg no tooth goes: the number is no number. */
#define PLACE(column) column " REAL NOT NULL CHECK (" column " BETWEEN -1000 AND 1000),"
static const char plan_rows[] =
    "CREATE TABLE plan_rows ("
    " plan_n INTEGER NOT NULL REFERENCES plans (n),"
    " tooth INTEGER NOT NULL CHECK " TOOTH ","
    " stage INTEGER NOT NULL CHECK (stage BETWEEN 0 AND 999),"
    PLACE("mesial") PLACE("buccal") PLACE("occlusal") PLACE("rotation")
    " angulation REAL NOT NULL CHECK (angulation > -90 AND angulation < 90),"
    PLACE("inclination")
    " attachment TEXT CHECK (attachment IN ('placed', 'removed')),"
    " ipr_mesial REAL NOT NULL CHECK (ipr_mesial BETWEEN 0 AND 10),"
    " ipr_distal REAL NOT NULL CHECK (ipr_distal BETWEEN 0 AND 10),"
    " PRIMARY KEY (plan_n, tooth, stage)"
    ") STRICT, WITHOUT ROWID;"
    "CREATE TRIGGER plan_rows_sealed BEFORE INSERT ON plan_rows"
    " WHEN (SELECT seal FROM plans WHERE n = NEW.plan_n) IS NOT NULL"
    " BEGIN SELECT RAISE(ABORT, 'a plan is never changed'); END;"
    STAYS("plan_rows", "a plan");

/* Variances of the poses that a corrected plan starts from; a tooth without a row has none. */
#define VARIANCE(column) column " REAL NOT NULL CHECK (" column " BETWEEN 0 AND 1e6),"
static const char plan_starts[] =
    "CREATE TABLE plan_starts ("
    " plan_n INTEGER NOT NULL REFERENCES plans (n),"
    " tooth INTEGER NOT NULL CHECK " TOOTH ","
    VARIANCE("mesial") VARIANCE("buccal") VARIANCE("occlusal")
    VARIANCE("rotation") VARIANCE("angulation") VARIANCE("inclination")
    " PRIMARY KEY (plan_n, tooth)"
    ") STRICT, WITHOUT ROWID;"
    "CREATE TRIGGER plan_starts_sealed BEFORE INSERT ON plan_starts"
    " WHEN (SELECT seal FROM plans WHERE n = NEW.plan_n) IS NOT NULL"
    " BEGIN SELECT RAISE(ABORT, 'a plan is never changed'); END;"
    STAYS("plan_starts", "a plan");

/* A check-up is open while it is entered and completed for ever after. */
static const char checkups[] =
    "CREATE TABLE checkups ("
    " n INTEGER PRIMARY KEY,"
    " id BLOB NOT NULL UNIQUE CHECK " ID("id") ","
    " case_n INTEGER NOT NULL REFERENCES cases (n),"
    " plan_n INTEGER NOT NULL REFERENCES plans (n),"
    " number INTEGER NOT NULL CHECK (number >= 1),"
    " date TEXT NOT NULL CHECK " DAY("date") ","
    " state TEXT NOT NULL CHECK (state IN ('open', 'completed')),"
    " UNIQUE (case_n, number)"
    ") STRICT;"
    "CREATE UNIQUE INDEX one_open_checkup ON checkups (case_n) WHERE state = 'open';"
    "CREATE TRIGGER checkups_unchanged BEFORE UPDATE ON checkups WHEN OLD.state = 'completed'"
    " BEGIN SELECT RAISE(ABORT, 'a completed check-up is never changed'); END;"
    "CREATE TRIGGER checkups_undeleted BEFORE DELETE ON checkups WHEN OLD.state = 'completed'"
    " BEGIN SELECT RAISE(ABORT, 'a completed check-up is never deleted'); END;";

/* hash: of the whole version; from it on the version never changes. */
#define METHODS "('eye', 'caliper', 'photo', 'landmarks', 'scan')"
static const char checkup_versions[] =
    "CREATE TABLE checkup_versions ("
    " n INTEGER PRIMARY KEY,"
    " checkup_n INTEGER NOT NULL REFERENCES checkups (n),"
    " version INTEGER NOT NULL CHECK (version >= 1),"
    " upper_aligner INTEGER CHECK (upper_aligner BETWEEN 0 AND 999),"
    " lower_aligner INTEGER CHECK (lower_aligner BETWEEN 0 AND 999),"
    " upper_day INTEGER CHECK (upper_day BETWEEN 0 AND 9999),"
    " lower_day INTEGER CHECK (lower_day BETWEEN 0 AND 9999),"
    " wear_hours REAL CHECK (wear_hours BETWEEN 0 AND 24),"
    " method TEXT NOT NULL CHECK (method IN " METHODS "),"
    " settings_set INTEGER NOT NULL REFERENCES settings_sets (number),"
    " by TEXT NOT NULL REFERENCES people (initials),"
    " reason TEXT CHECK (" BYTES("reason", "1", "500") " AND (reason IS NULL) = (version = 1)),"
    " hash BLOB CHECK " HASH("hash") ","
    " UNIQUE (checkup_n, version)"
    ") STRICT;"
    "CREATE TRIGGER checkup_versions_unchanged BEFORE UPDATE ON checkup_versions"
    " WHEN OLD.hash IS NOT NULL"
    " BEGIN SELECT RAISE(ABORT, 'a completed check-up is never changed'); END;"
    "CREATE TRIGGER checkup_versions_undeleted BEFORE DELETE ON checkup_versions"
    " WHEN OLD.hash IS NOT NULL"
    " BEGIN SELECT RAISE(ABORT, 'a completed check-up is never deleted'); END;";

/* short_of_plan: bit 1 << mc_component for each value that is short of plan. */
#define LINEAR(column) column " REAL CHECK (" column " BETWEEN -20 AND 20),"
#define ANGLE(column) column " REAL CHECK (" column " BETWEEN -90 AND 90),"
#define OF_SEALED(version) \
    " WHEN (SELECT hash FROM checkup_versions WHERE n = " version ") IS NOT NULL" \
    " BEGIN SELECT RAISE(ABORT, 'a completed check-up is never changed'); END;"
static const char readings[] =
    "CREATE TABLE readings ("
    " version_n INTEGER NOT NULL REFERENCES checkup_versions (n),"
    " row INTEGER NOT NULL CHECK (row >= 1),"
    " tooth INTEGER NOT NULL CHECK " TOOTH ","
    " seat_gap REAL CHECK (seat_gap BETWEEN 0 AND 5),"
    LINEAR("mesial") LINEAR("buccal") LINEAR("occlusal")
    ANGLE("rotation") ANGLE("angulation") ANGLE("inclination")
    " short_of_plan INTEGER NOT NULL CHECK (short_of_plan BETWEEN 0 AND 63),"
    " method TEXT CHECK (method IN " METHODS "),"
    " attachment TEXT CHECK (attachment IN ('intact', 'worn', 'loose', 'lost')),"
    " contact_mesial TEXT CHECK (contact_mesial IN ('open', 'normal', 'tight')),"
    " contact_distal TEXT CHECK (contact_distal IN ('open', 'normal', 'tight')),"
    " mobility INTEGER CHECK (mobility BETWEEN 0 AND 3),"
    " pain TEXT CHECK (pain IN ('yes', 'no')),"
    " swelling TEXT CHECK (swelling IN ('yes', 'no')),"
    " recession REAL CHECK (recession BETWEEN 0 AND 20),"
    " PRIMARY KEY (version_n, row)"
    ") STRICT, WITHOUT ROWID;"
    "CREATE TRIGGER readings_sealed BEFORE INSERT ON readings" OF_SEALED("NEW.version_n")
    "CREATE TRIGGER readings_unchanged BEFORE UPDATE ON readings" OF_SEALED("OLD.version_n")
    "CREATE TRIGGER readings_undeleted BEFORE DELETE ON readings" OF_SEALED("OLD.version_n");

/* choices: bit 1 << mc_choice for each: 1 carry-on, 2 hold, 4 go-back, 8 local, 16 correct,
 * 32 finish. plan_n: the plan it opened. seen_plan_hash: of the plan that the check-up was on. */
static const char decisions[] =
    "CREATE TABLE decisions ("
    " n INTEGER PRIMARY KEY,"
    " id BLOB NOT NULL UNIQUE CHECK " ID("id") ","
    " checkup_n INTEGER NOT NULL REFERENCES checkups (n),"
    " choices INTEGER NOT NULL CHECK (choices BETWEEN 1 AND 63),"
    " days INTEGER CHECK (days IS NULL OR (days BETWEEN 1 AND 365 AND choices & 2)),"
    " to_aligner INTEGER"
    "  CHECK (to_aligner IS NULL OR (to_aligner BETWEEN 0 AND 999 AND choices & 4)),"
    " cause TEXT CHECK (cause IN ('wear', 'contact', 'attachment', 'aligner', 'staging',"
    "  'interference', 'elastics', 'root', 'unknown')),"
    " reason TEXT CHECK " BYTES("reason", "1", "500") ","
    " plan_n INTEGER REFERENCES plans (n),"
    " by TEXT NOT NULL REFERENCES people (initials),"
    " at TEXT NOT NULL CHECK " MOMENT("at") ","
    " evidence TEXT NOT NULL CHECK (evidence <> ''),"
    " seen_plan_hash BLOB NOT NULL CHECK " HASH("seen_plan_hash") ","
    " hash BLOB NOT NULL CHECK " HASH("hash")
    ") STRICT;"
    "CREATE INDEX decisions_of_checkup ON decisions (checkup_n);"
    STAYS("decisions", "a signed decision");

static const char journal[] =
    "CREATE TABLE journal ("
    " number INTEGER PRIMARY KEY CHECK (number >= 1),"
    " at TEXT NOT NULL CHECK " MOMENT("at") ","
    " by TEXT REFERENCES people (initials),"
    " case_id BLOB REFERENCES cases (id),"
    " action TEXT NOT NULL CHECK " BYTES("action", "1", "32") ","
    " detail TEXT NOT NULL CHECK (detail GLOB '{*}'),"
    " hash BLOB NOT NULL CHECK " HASH("hash")
    ") STRICT;"
    "CREATE INDEX journal_of_case ON journal (case_id, number);"
    "CREATE TRIGGER journal_without_gaps BEFORE INSERT ON journal"
    " WHEN NEW.number <> (SELECT ifnull(max(number), 0) + 1 FROM journal)"
    " BEGIN SELECT RAISE(ABORT, 'the journal has no gaps'); END;"
    STAYS("journal", "a journal entry");

/* The last entry, so that one cut off at the end is missed. */
static const char journal_head[] =
    "CREATE TABLE journal_head ("
    " one INTEGER PRIMARY KEY CHECK (one = 1),"
    " entries INTEGER NOT NULL CHECK (entries >= 1),"
    " hash BLOB NOT NULL CHECK " HASH("hash")
    ") STRICT;";

/* clang-format on */

const char *const version_1[] = {
    people,    patients,  cases,        teeth,    settings_sets,    settings_values,
    plans,     plan_rows, plan_starts,  checkups, checkup_versions, readings,
    decisions, journal,   journal_head, NULL};
