/* Numbers, days and directions as this console says them. */
#ifndef CONSOLE_WORDS_H
#define CONSOLE_WORDS_H

#include "theme.h"

#include "midcourse/decision.h"

/* Append to what is in out already, cut where it does not fit. */
void words_add(char *out, size_t size, const char *format, ...)
    __attribute__((format(printf, 3, 4)));

/* A number in a column of `width`, its point `decimals` from the right; a sign where is_signed and
 * it is not nought. One that is too long gives up decimals; NaN shows as the mark for "not read" at
 * the place of the last whole digit. */
void words_number(const theme *look, double value, int decimals, bool is_signed, int width,
                  char *out, size_t size);

/* Signed but for nought: "+0.36", "0.00". */
void words_signed(double value, int decimals, char out[40]);

/* "±.15", "±1.9", "±12": a standard deviation in four columns; decimals of the number before it. */
void words_spread(const theme *look, double sd, int decimals, char out[16]);

/* Decimals of a component's unit (mm two, deg one), and the unit. */
int words_decimals(mc_component c);
const char *words_unit(mc_component c);

/* The three columns that tell an item and the way it has to go: "mes", "lab", "ext" bodily; a turn
 * mark with in or out; a tilt mark with two letters; "gap". way 0, and MC_WORST_NONE: the mark for
 * "not read". */
void words_code(const theme *look, int item, mc_tooth tooth, int way, char out[16]);
/* The way in a word: mc_component_word, "" for a gap and for none. */
const char *words_way(int item, mc_tooth tooth, int way);
/* "seat gap", else the component's name. */
const char *words_item(int item);

/* What is read against a neighbour: "step to 11"; "step mesial" where other is MC_NO_TOOTH, and
 * "crown angle". As it is read: "+0.40", "0.30". Which way the tooth stands or is turned, as a word
 * ("labial", "gingival", "mesial-in") and as three columns; "" for a space and for nought. */
void words_relative(mc_notation notation, mc_relative what, mc_tooth other, char *out, size_t size);
void words_relative_number(mc_relative what, double value, char out[40]);
const char *words_relative_way(mc_relative what, mc_tooth tooth, double value);
void words_relative_code(const theme *look, mc_relative what, mc_tooth tooth, double value,
                         char out[16]);

/* Which way the item has to go to reach the plan, +1 or -1; 0 for a gap and where nothing is
 * known. */
int words_way_to_plan(const mc_tooth_score *score, int item);

/* "today", "in 3 d", "2 d late"; "-" where there is none. */
void words_due(mc_day due, mc_day today, char *out, size_t size);

/* A count with its thousands apart: "10,000". */
enum { WORDS_COUNT_SIZE = 28 };
void words_count(size_t count, char out[WORDS_COUNT_SIZE]);

/* A proposal in a word or two for a narrow column (at most 8). */
const char *words_proposal_short(mc_proposal_choice choice);
/* "hold, local measures": the choices of a decision. */
void words_choices(unsigned choices, char *out, size_t size);

/* The tooth in a notation. */
typedef struct tooth_text {
    char text[4];
} tooth_text;
tooth_text words_tooth(mc_notation notation, mc_tooth tooth);

#endif
