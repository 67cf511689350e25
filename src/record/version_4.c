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

/* clang-format on */

const char *const version_4[] = {correction_drafts, NULL};
