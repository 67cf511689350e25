/* The roster: the practice's open cases, most urgent first. */
#ifndef CONSOLE_ROSTER_H
#define CONSOLE_ROSTER_H

#include "frame.h"

/* Show the rows (from mc_roster; taken over, freed with free()). */
void roster_show(console *con, mc_roster_row *rows, size_t count);
/* Read the practice and show it. */
mc_status roster_open(console *con, mc_error *error);

#endif
