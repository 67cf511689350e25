/* command: the command line, over the same actions as the console. */
#ifndef MIDCOURSE_COMMAND_H
#define MIDCOURSE_COMMAND_H

#include "midcourse/practice.h"

/* What opens the console: given by the program, since command and console know nothing of each
 * other. */
typedef mc_status (*mc_open_console)(mc_practice *practice, const char *case_label,
                                     const char *heading, mc_error *error);

/* Run one command line; the return value is the exit status. */
int mc_command_run(int argc, char **argv, mc_open_console console);

#endif
