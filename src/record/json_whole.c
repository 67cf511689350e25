/* JSON written whole or not at all. */
#include <jansson.h>
#include <stdlib.h>

#include "midcourse/record.h"

/* json_dumps may pass over a key that it found no memory for (jansson 2.14) and give what is no
 * JSON; so it is measured first, and written into memory that is there. */
char *mc_json_whole(const struct json_t *value, size_t flags) {
    const size_t size = json_dumpb(value, NULL, 0, flags);
    char *text = size > 0 ? malloc(size + 1) : NULL;
    if (text == NULL) {
        return NULL;
    }
    if (json_dumpb(value, text, size, flags) != size) {
        free(text);
        return NULL;
    }
    text[size] = '\0';
    return text;
}
