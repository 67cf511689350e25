/* The roster's columns: what stands in each, and on how wide a terminal. */
#ifndef CONSOLE_ROSTER_COLUMNS_H
#define CONSOLE_ROSTER_COLUMNS_H

#include "frame.h"

enum { ROSTER_MARGIN = 1 };

void roster_draw_headings(const console *con, int line, area body);
void roster_draw_row(const console *con, const mc_roster_row *row, int line, area body,
                     bool selected);

#endif
