/* Narrowing a list by what is typed. */
#include "find.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <utf8proc.h>

/* The same as fold for text of nothing but ASCII, which most names are; NULL where it is not, and
 * when out of memory. */
static char *fold_ascii(const char *text) {
    size_t length = strlen(text);
    char *out = malloc(length + 1);
    for (size_t i = 0; out && i <= length; i++) {
        unsigned char c = (unsigned char)text[i];
        if (c >= 0x80) {
            free(out);
            return NULL;
        }
        out[i] = (char)(c >= 'A' && c <= 'Z' ? c + ('a' - 'A') : c);
    }
    return out;
}

/* Without case and in one composition, so that what looks the same is the same. The caller frees;
 * text that is not UTF-8 is kept as it is. */
static char *fold(const char *text) {
    char *plain = fold_ascii(text);
    if (plain)
        return plain;
    utf8proc_uint8_t *out = NULL;
    utf8proc_ssize_t length =
        utf8proc_map((const utf8proc_uint8_t *)text, 0, &out,
                     UTF8PROC_NULLTERM | UTF8PROC_STABLE | UTF8PROC_COMPOSE | UTF8PROC_CASEFOLD);
    return length < 0 ? strdup(text) : (char *)out;
}

/* Rows that match what is typed: all of them where nothing is. */
static void narrow(find *f) {
    char *wanted = fold(f->text);
    f->shown_count = 0;
    for (size_t i = 0; wanted && i < f->count; i++) {
        size_t row = f->order ? f->order[i] : i;
        if (wanted[0] == '\0' || strstr(f->folded[row], wanted))
            f->shown[f->shown_count++] = row;
    }
    free(wanted);
}

void find_again(find *f) {
    narrow(f);
}

bool find_start(find *f, const mc_roster_row *rows, size_t count) {
    *f = (find){.rows = rows, .count = count};
    f->folded = calloc(count + 1, sizeof *f->folded);
    f->shown = calloc(count + 1, sizeof *f->shown);
    for (size_t i = 0; f->folded && i < count; i++) {
        char label[MC_LABEL_SIZE], text[MC_LABEL_SIZE + MC_NAME_SIZE + 2];
        mc_case_label(&rows[i].kase, label);
        snprintf(text, sizeof text, "%s\n%s", label, rows[i].kase.name);
        f->folded[i] = fold(text);
        if (!f->folded[i])
            f->count = i;
    }
    if (!f->folded || !f->shown || f->count != count) {
        find_end(f);
        return false;
    }
    narrow(f);
    return true;
}

void find_end(find *f) {
    for (size_t i = 0; f->folded && i < f->count; i++)
        free(f->folded[i]);
    free(f->folded);
    free(f->shown);
    *f = (find){0};
}

void find_add(find *f, int32_t character) {
    size_t used = strlen(f->text);
    utf8proc_uint8_t bytes[4];
    utf8proc_ssize_t length = utf8proc_encode_char(character, bytes);
    if (length <= 0 || used + (size_t)length >= sizeof f->text)
        return;
    memcpy(f->text + used, bytes, (size_t)length);
    f->text[used + (size_t)length] = '\0';
    narrow(f);
}

void find_remove(find *f) {
    size_t used = strlen(f->text);
    while (used > 0 && ((unsigned char)f->text[used - 1] & 0xc0) == 0x80)
        used--;
    f->text[used > 0 ? used - 1 : 0] = '\0';
    narrow(f);
}

void find_clear(find *f) {
    f->text[0] = '\0';
    narrow(f);
}

const mc_roster_row *find_exact(const find *f) {
    if (f->text[0] == '\0') /* no case is called that, and all are shown */
        return NULL;
    for (size_t i = 0; i < f->shown_count; i++) {
        char label[MC_LABEL_SIZE];
        const mc_roster_row *row = &f->rows[f->shown[i]];
        mc_case_label(&row->kase, label);
        if (strcmp(label, f->text) == 0)
            return row;
    }
    return NULL;
}
