#include "digest.h"

#include <math.h>
#include <string.h>

static void high_first(uint64_t value, unsigned char out[8]) {
    for (int i = 7; i >= 0; i--) {
        out[i] = (unsigned char)(value & 0xff);
        value >>= 8;
    }
}

void digest_begin(digest *d, const char *label) {
    crypto_generichash_init(&d->state, NULL, 0, DIGEST_SIZE);
    digest_text(d, label);
}

void digest_bytes(digest *d, const void *bytes, size_t size) {
    unsigned char length[8];
    high_first(size, length);
    crypto_generichash_update(&d->state, length, sizeof length);
    if (size > 0) {
        crypto_generichash_update(&d->state, bytes, size);
    }
}

void digest_text(digest *d, const char *text) {
    digest_bytes(d, text, text != NULL ? strlen(text) : 0);
}

void digest_whole(digest *d, int64_t value) {
    unsigned char bytes[8];
    high_first((uint64_t)value, bytes);
    digest_bytes(d, bytes, sizeof bytes);
}

void digest_real(digest *d, double value) {
    uint64_t form;
    unsigned char bytes[8];
    if (isnan(value)) {
        digest_bytes(d, NULL, 0);
        return;
    }
    value = value == 0 ? 0 : value;
    memcpy(&form, &value, sizeof form);
    high_first(form, bytes);
    digest_bytes(d, bytes, sizeof bytes);
}

void digest_end(digest *d, unsigned char out[DIGEST_SIZE]) {
    crypto_generichash_final(&d->state, out, DIGEST_SIZE);
}

void digest_end_hex(digest *d, char out[2 * DIGEST_SIZE + 1]) {
    unsigned char bytes[DIGEST_SIZE];
    digest_end(d, bytes);
    sodium_bin2hex(out, 2 * DIGEST_SIZE + 1, bytes, sizeof bytes);
}
