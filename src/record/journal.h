/* journal: who did what, each entry chained to the one before. The hash of an entry is a digest
 * (digest.h) of these fields:
 *
 *   1 text    "midcourse journal entry 1"
 *   2 bytes   the hash of the entry before; of the first entry, 32 zero bytes
 *   3 whole   number
 *   4 text    at
 *   5 text    by; absent where nobody
 *   6 bytes   the case's identity; none where it concerns no case
 *   7 text    action
 *   8 text    detail: JSON without blanks, keys sorted by their bytes, as jansson writes it with
 *             JSON_COMPACT and JSON_SORT_KEYS */
#ifndef MIDCOURSE_RECORD_JOURNAL_H
#define MIDCOURSE_RECORD_JOURNAL_H

#include "digest.h"
#include "query.h"

/* The hash of an entry, its own hash not looked at. */
void journal_hash(const mc_entry *entry, const unsigned char before[DIGEST_SIZE],
                  unsigned char out[DIGEST_SIZE]);
/* Walk the whole chain up to its head. */
mc_status journal_check(mc_record *record, int64_t *entries, mc_error *error);

#endif
