/* digest: BLAKE2b-256 over canonical bytes. What is hashed is a row of fields in a fixed order;
 * each field is its length, eight bytes, the highest first, and then its bytes:
 *
 *   text      its UTF-8 bytes, no NUL; an absent text has none
 *   whole     eight bytes, two's complement, the highest first
 *   real      the eight bytes of its IEEE 754 form, the highest first, -0 taken as 0; NaN has none
 *   bytes     as they are
 *
 * The first field is a label that says what is hashed, so that no two kinds can be mixed up. */
#ifndef MIDCOURSE_RECORD_DIGEST_H
#define MIDCOURSE_RECORD_DIGEST_H

#include <sodium.h>

#include "midcourse/base.h"

enum { DIGEST_SIZE = 32 };

typedef struct digest {
    crypto_generichash_state state;
} digest;

void digest_begin(digest *d, const char *label);
void digest_bytes(digest *d, const void *bytes, size_t size);
void digest_text(digest *d, const char *text); /* NULL: absent */
void digest_whole(digest *d, int64_t value);
void digest_real(digest *d, double value);
void digest_end(digest *d, unsigned char out[DIGEST_SIZE]);
/* The end, as lower-case hex. */
void digest_end_hex(digest *d, char out[2 * DIGEST_SIZE + 1]);

#endif
