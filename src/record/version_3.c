/* version_3: readings against a neighbour. What stands here is in files out there and never
 * changes; a later version is a migration of its own. */
#include "schema.h"

/* clang-format off */

#define SPACE(column) "ALTER TABLE readings ADD COLUMN " column " REAL CHECK (" column " BETWEEN 0 AND 20);"
#define STEP(column) "ALTER TABLE readings ADD COLUMN " column " REAL CHECK (" column " BETWEEN -20 AND 20);"

/* As read on the day, not as displacements: mm, and degrees for the angle of the crown. */
static const char relatives[] =
    SPACE("space_mesial") SPACE("space_distal")
    STEP("step_mesial") STEP("step_distal")
    STEP("height_mesial") STEP("height_distal")
    "ALTER TABLE readings ADD COLUMN crown_angle REAL CHECK (crown_angle BETWEEN -180 AND 180);";

/* clang-format on */

const char *const version_3[] = {relatives, NULL};
