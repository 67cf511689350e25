/* fixtures/published.csv, row by row, for the tests that derive their expectations from it. The
 * reader is the tests' own, so that nothing is compared with itself. */
#ifndef PUBLISHED_H
#define PUBLISHED_H

#include <setjmp.h>
#include <stdarg.h>
#include <stdbool.h>
#include <stddef.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

enum { PUBLISHED_MOST = 200, PUBLISHED_WIDTH = 200, PUBLISHED_FIELDS = 9 };

typedef struct {
    char id[PUBLISHED_WIDTH], quantity[PUBLISHED_WIDTH], measure[PUBLISHED_WIDTH],
        teeth[PUBLISHED_WIDTH], movement[PUBLISHED_WIDTH], value[PUBLISHED_WIDTH],
        unit[PUBLISHED_WIDTH], source[PUBLISHED_WIDTH], seen[PUBLISHED_WIDTH];
} published_row;

typedef struct {
    published_row row[PUBLISHED_MOST];
    size_t count;
} published;

/* One field of a line: up to the next comma, or a quoted text in which commas are plain. Returns
 * what follows its comma; NULL at the end of the line. */
static inline const char *published_field(const char *text, char out[PUBLISHED_WIDTH]) {
    bool quoted = *text == '"';
    size_t length = 0;
    text += quoted;
    while (*text && *text != '\n' && *text != '\r' && *text != (quoted ? '"' : ',')) {
        assert_true(length + 1 < PUBLISHED_WIDTH);
        out[length++] = *text++;
    }
    out[length] = 0;
    if (quoted) {
        assert_int_equal(*text, '"');
        text++;
    }
    return *text == ',' ? text + 1 : NULL;
}

static inline published *published_read(const char *path) {
    char line[2000];
    published *all = calloc(1, sizeof *all);
    FILE *file = fopen(path, "r");
    assert_non_null(all);
    assert_non_null(file);
    while (fgets(line, sizeof line, file)) {
        assert_true(all->count < PUBLISHED_MOST);
        published_row *row = &all->row[all->count++];
        char *field[PUBLISHED_FIELDS] = {row->id,    row->quantity, row->measure,
                                         row->teeth, row->movement, row->value,
                                         row->unit,  row->source,   row->seen};
        const char *rest = line;
        for (int i = 0; i < PUBLISHED_FIELDS; i++) {
            if (!rest)
                fail_msg("line %zu of %s has too few fields", all->count, path);
            rest = published_field(rest, field[i]);
        }
        assert_null(rest);
    }
    fclose(file);
    assert_true(all->count > 1);
    assert_string_equal(all->row[0].id, "id");
    assert_string_equal(all->row[0].seen, "seen");
    memmove(all->row, all->row + 1, --all->count * sizeof *all->row);
    return all;
}

static inline const published_row *published_find(const published *all, const char *id) {
    for (size_t i = 0; i < all->count; i++)
        if (strcmp(all->row[i].id, id) == 0)
            return &all->row[i];
    fail_msg("no row %s", id);
    return NULL;
}

#endif
