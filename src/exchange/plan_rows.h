/* The rows of a plan file with the places where they stand. */
#ifndef MIDCOURSE_EXCHANGE_PLAN_ROWS_H
#define MIDCOURSE_EXCHANGE_PLAN_ROWS_H

#include "midcourse/exchange.h"

typedef struct plan_source {
    mc_plan_row row;
    long line, row_column;      /* of its first field */
    long column[MC_COMPONENTS]; /* of each component's field, row_column where the file has none */
} plan_source;

/* The columns of a plan file, in the order in which they are written. */
enum {
    PLAN_TOOTH,
    PLAN_STAGE,
    PLAN_FIRST_COMPONENT,
    PLAN_ATTACHMENT = PLAN_FIRST_COMPONENT + MC_COMPONENTS,
    PLAN_IPR_MESIAL,
    PLAN_IPR_DISTAL,
    PLAN_COLUMNS
};
const char *plan_column(int column);
/* "placed", "removed", or "". */
const char *plan_mark_name(mc_mark mark);

/* What is unlikely in a plan: rows are in chart order, as the plan has them. */
mc_status plan_warn(const mc_settings *settings, mc_notation notation, const mc_plan *plan,
                    const plan_source *rows, size_t count, mc_warnings *warnings, mc_error *error);

#endif
