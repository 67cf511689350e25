/* Whether bytes are text that can be read: UTF-8 without control characters. */
#ifndef MIDCOURSE_EXCHANGE_ENCODING_H
#define MIDCOURSE_EXCHANGE_ENCODING_H

#include <stddef.h>

/* Bytes of the mark that UTF-8 files may begin with: 3 or 0. */
size_t encoding_mark(const char *data, size_t size);

/* The first byte that no text file has: its offset, and why in *why; size and NULL where all is
 * well. */
size_t encoding_fault(const char *data, size_t size, const char **why);

#endif
