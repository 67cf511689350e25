/* Help: the keys of the screen below, from its own tables, and what its marks mean. */
#ifndef CONSOLE_HELP_H
#define CONSOLE_HELP_H

#include "pager.h"

void help_open(console *con);

/* Parts of a page that several screens need. */
void help_states(const console *con, pager *page);

#endif
