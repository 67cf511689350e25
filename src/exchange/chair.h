/* Teeth as the fields of a file name them, and whether the case has them. */
#ifndef MIDCOURSE_EXCHANGE_CHAIR_H
#define MIDCOURSE_EXCHANGE_CHAIR_H

#include "midcourse/dentition.h"
#include "sheet.h"

/* The tooth that a field names. */
mc_status chair_tooth(const table_field *field, mc_notation notation, mc_tooth *tooth,
                      mc_error *error);
/* Refuses a tooth that does not stand in the mouth. states may be NULL: then every tooth does. */
mc_status chair_stands(const table_field *field, mc_notation notation, mc_tooth tooth,
                       const mc_tooth_state *states, mc_error *error);
/* "mm" or "deg". */
const char *chair_unit(bool linear);

#endif
