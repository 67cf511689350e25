/* Importing the plan that a case begins with. */
#ifndef CONSOLE_IMPORT_PLAN_H
#define CONSOLE_IMPORT_PLAN_H

#include "frame.h"

/* Ask for file, notation and dates on a page; show what is in the file and what is unlikely in it
 * on another, and ask for leave there. done gets the screen below, once the plan is on record. */
void import_plan_ask(console *con, const mc_case *kase,
                     void (*done)(console *con, void *screen, const mc_plan_info *info));

#endif
