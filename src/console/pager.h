/* A page to read: paragraphs, with or without a label before them, wrapped to the width there is
 * and scrolled. */
#ifndef CONSOLE_PAGER_H
#define CONSOLE_PAGER_H

#include "frame.h"

/* A new empty page; NULL when out of memory. marks: see screen_ops. */
pager *pager_new(const char *title);
void pager_heading(pager *page, const char *text);
/* style is the label's; label may be "". The text stands beside it, wrapped. */
void pager_add(pager *page, style ink, const char *label, const char *text);
void pager_format(pager *page, style ink, const char *label, const char *format, ...)
    __attribute__((format(printf, 4, 5)));
/* The same, hidden with the names. */
void pager_add_personal(pager *page, const char *label, const char *text);
/* Show it; the frame owns it from then on. */
void pager_open(console *con, pager *page);

/* The same, asking for leave to do what the page tells: y does it, Esc goes back, and what a
 * caliper or a scanner types does nothing. on_yes gets its own subject, with the page still open.
 */
void pager_open_asking(console *con, pager *page, void (*on_yes)(console *con, void *subject),
                       void *subject);

#endif
