/* Look into the JSON that the last command printed. */
#ifndef DOCUMENT_H
#define DOCUMENT_H

#include "run.h"

#include <jansson.h>

static inline json_t *document(void) {
    json_error_t error;
    json_t *root = json_loads(run_output, 0, &error);
    if (!root)
        fail_msg("line %d: %s in:\n%s", error.line, error.text, run_output);
    assert_int_equal(json_integer_value(json_object_get(root, "format")), 1);
    return root;
}

/* The member at "a.b.c"; NULL where there is none. */
static inline json_t *member(json_t *root, const char *path) {
    char words[200];
    snprintf(words, sizeof words, "%s", path);
    for (char *rest, *word = strtok_r(words, ".", &rest); word && root;
         word = strtok_r(NULL, ".", &rest))
        root = json_object_get(root, word);
    return root;
}

/* The object of an array whose member `key` is `value`. */
static inline json_t *entry(json_t *array, const char *key, const char *value) {
    size_t i;
    json_t *one;
    json_array_foreach(array, i, one) {
        const char *text = json_string_value(json_object_get(one, key));
        if (text && strcmp(text, value) == 0)
            return one;
    }
    return NULL;
}

#endif
