#include "words.h"

#include <sodium.h>
#include <string.h>
#include <time.h>

mc_id id_new(void) {
    mc_id id;
    randombytes_buf(id.byte, sizeof id.byte);
    return id;
}

void mc_id_text(const mc_id *id, char out[33]) {
    sodium_bin2hex(out, 33, id->byte, sizeof id->byte);
}

bool mc_id_same(const mc_id *a, const mc_id *b) {
    return memcmp(a->byte, b->byte, sizeof a->byte) == 0;
}

bool mc_id_is_none(const mc_id *id) {
    return sodium_is_zero(id->byte, sizeof id->byte);
}

void moment_now(char out[21]) {
    time_t now = time(NULL);
    struct tm parts;
    gmtime_r(&now, &parts);
    strftime(out, 21, "%Y-%m-%dT%H:%M:%SZ", &parts);
}

/* How many bytes the character at p has, 0 where it is no UTF-8. Each shape has the smallest code
 * it may carry, so that none is written longer than it needs to be. */
static size_t character(const unsigned char *p) {
    static const struct {
        unsigned char mask, mark;
        unsigned long least;
    } shapes[] = {{0x80, 0x00, 0}, {0xe0, 0xc0, 0x80}, {0xf0, 0xe0, 0x800}, {0xf8, 0xf0, 0x10000}};

    for (size_t more = 0; more < 4; more++) {
        if ((p[0] & shapes[more].mask) != shapes[more].mark) {
            continue;
        }
        unsigned long code = p[0] & (unsigned char)~shapes[more].mask;
        for (size_t i = 1; i <= more; i++) {
            if ((p[i] & 0xc0) != 0x80) {
                return 0;
            }
            code = code << 6 | (p[i] & 0x3f);
        }
        bool surrogate = code >= 0xd800 && code <= 0xdfff;
        return code >= shapes[more].least && code <= 0x10ffff && !surrogate ? more + 1 : 0;
    }
    return 0;
}

/* Control characters of ASCII and, in two bytes, of the Latin block above it. */
static bool is_control(const unsigned char *p) {
    return p[0] < 0x20 || p[0] == 0x7f || (p[0] == 0xc2 && p[1] < 0xa0);
}

/* Characters that are not seen but turn the text around or make two texts look the same:
 * U+200B, U+200E and F, U+2028 to 202E, U+2060 to 206F, U+FEFF. The joiners, which some scripts
 * need, are not among them. */
static bool is_unseen(const unsigned char *p) {
    if (p[0] == 0xe2 && p[1] == 0x80) {
        return p[2] == 0x8b || p[2] == 0x8e || p[2] == 0x8f || (p[2] >= 0xa8 && p[2] <= 0xae);
    }
    return (p[0] == 0xe2 && p[1] == 0x81 && p[2] >= 0xa0 && p[2] <= 0xaf) ||
           (p[0] == 0xef && p[1] == 0xbb && p[2] == 0xbf);
}

/* Bytes of the blank that stands at p, of any width: U+0020, 00A0, 1680, 2000 to 200A, 202F, 205F,
 * 3000, and the ends of cells and lines; 0 where none does. */
static size_t blank(const unsigned char *p) {
    if (*p == ' ' || *p == '\t' || *p == '\n') {
        return 1;
    }
    if (p[0] == 0xc2) {
        return p[1] == 0xa0 ? 2 : 0;
    }
    bool is = (p[0] == 0xe1 && p[1] == 0x9a && p[2] == 0x80) ||
              (p[0] == 0xe2 && p[1] == 0x80 && ((p[2] >= 0x80 && p[2] <= 0x8a) || p[2] == 0xaf)) ||
              (p[0] == 0xe2 && p[1] == 0x81 && p[2] == 0x9f) ||
              (p[0] == 0xe3 && p[1] == 0x80 && p[2] == 0x80);
    return is ? 3 : 0;
}

static bool all_blank(const char *text) {
    const unsigned char *p = (const unsigned char *)text;
    for (size_t size; (size = blank(p)) > 0;) {
        p += size;
    }
    return *p == '\0';
}

/* Whether checked text begins or ends with a blank. */
static bool blank_edge(const char *text) {
    const unsigned char *p = (const unsigned char *)text, *last = p;
    for (const unsigned char *at = p; *at != '\0'; at += character(at)) {
        last = at;
    }
    return blank(p) > 0 || blank(last) > 0;
}

mc_status text_check(const char *what, const char *text, size_t most, bool lines, mc_error *error) {
    if (text == NULL || all_blank(text)) {
        return mc_fail(error, MC_REFUSED, "the %s is empty", what);
    }
    if (strlen(text) > most) {
        return mc_fail(error, MC_REFUSED, "the %s is longer than %zu bytes", what, most);
    }
    const unsigned char *p = (const unsigned char *)text;
    while (*p != '\0') {
        size_t size = character(p);
        if (size == 0) {
            return mc_fail(error, MC_REFUSED, "the %s is not UTF-8", what);
        }
        if (is_control(p) && !(lines && (*p == '\n' || *p == '\t'))) {
            return mc_fail(error, MC_REFUSED, "the %s holds a control character", what);
        }
        p += size;
    }
    return MC_OK;
}

mc_status name_check(const char *what, const char *text, size_t most, mc_error *error) {
    mc_status status = text_check(what, text, most, false, error);
    if (status == MC_OK && blank_edge(text)) {
        return mc_fail(error, MC_REFUSED, "the %s begins or ends with a blank", what);
    }
    for (const char *p = text; status == MC_OK && *p != '\0'; p++) {
        if (is_unseen((const unsigned char *)p)) {
            return mc_fail(error, MC_REFUSED, "the %s holds a character that is not seen", what);
        }
    }
    return status;
}

mc_status note_check(const char *note, mc_error *error) {
    if (note == NULL || note[0] == '\0') {
        return MC_OK;
    }
    mc_status status = text_check("note", note, MC_NOTE_SIZE - 1, false, error);
    size_t characters = 0;
    for (const char *p = note; *p != '\0'; p++) {
        characters += ((unsigned char)*p & 0xc0) != 0x80;
    }
    if (status == MC_OK && characters > MC_NOTE_CHARACTERS) {
        return mc_fail(error, MC_REFUSED, "the note has %zu characters; at most %d are kept",
                       characters, MC_NOTE_CHARACTERS);
    }
    return status;
}
