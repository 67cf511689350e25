/* The small pieces that every document is made of. Each gives a new reference, or NULL when out of
 * memory. */
#ifndef MIDCOURSE_EXCHANGE_JSON_PARTS_H
#define MIDCOURSE_EXCHANGE_JSON_PARTS_H

#include <jansson.h>

#include "midcourse/exchange.h"

/* null where the value does not exist. */
json_t *json_measure(double value);         /* NaN */
json_t *json_count(int value, bool exists); /* what the caller says */
json_t *json_word(const char *text, bool exists);
json_t *json_tooth(mc_tooth tooth); /* in ISO 3950 notation; MC_NO_TOOTH */
json_t *json_day(mc_day day);       /* MC_NO_DAY */
json_t *json_yes(mc_yes yes);       /* MC_UNSAID */
json_t *json_arch(mc_arch arch);    /* "upper", "lower"; else null */
json_t *json_spread(double mean, double sd);
/* Which check-up a document is about, and where its arches stand. */
json_t *json_checkup(const mc_score *score);

/* Put a member, taking over the value's reference. False where object or value is NULL. */
bool json_put(json_t *object, const char *key, json_t *value);
bool json_add(json_t *array, json_t *value);
/* The thing when ok; else lets go of it and gives NULL. */
json_t *json_done(json_t *thing, bool ok);
/* A document begun: format, and the case unless case_label is NULL. */
json_t *json_document(const char *case_label);

#endif
