/* words: identities, moments, and what a text on record may be. */
#ifndef MIDCOURSE_RECORD_WORDS_H
#define MIDCOURSE_RECORD_WORDS_H

#include "midcourse/record.h"

mc_id id_new(void);
/* The present moment, UTC, 2026-01-31T09:30:00Z. */
void moment_now(char out[21]);

/* Refuse a text that is empty or blank, longer than most bytes, no UTF-8, or holds a control
 * character (line breaks and tabs pass where lines is true). what names it in the message. */
mc_status text_check(const char *what, const char *text, size_t most, bool lines, mc_error *error);
/* The same for a text of one line that does not begin or end with a blank and in which every
 * character is seen. */
mc_status name_check(const char *what, const char *text, size_t most, mc_error *error);
/* Refuse a note of a check-up that cannot be kept; NULL and "" are none. */
mc_status note_check(const char *note, mc_error *error);

#endif
