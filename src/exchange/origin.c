#include "origin.h"

#include <stdio.h>
#include <string.h>

#define MARK "made-from"
enum { LARGEST_CHECKUP = 999999 };

bool origin_resembles(const char *text, size_t size) {
    while (size > 0 && (*text == ' ' || *text == '\t' || *text == '#')) {
        text++;
        size--;
    }
    return size >= strlen(MARK) && memcmp(text, MARK, strlen(MARK)) == 0;
}

void origin_write(const mc_plan_origin *origin, char out[ORIGIN_SIZE]) {
    char id[33];
    mc_id_text(&origin->case_id, id);
    char version[20] = "";
    if (origin->version > 1) {
        snprintf(version, sizeof version, "version %d ", origin->version);
    }
    snprintf(out, ORIGIN_SIZE, "# " MARK ": %s checkup %d %s%s\n", id, origin->checkup, version,
             origin->preview ? "preview" : "order");
}

static bool take_id(const char *hex, mc_id *id) {
    static const char digits[] = "0123456789abcdef";
    for (int i = 0; i < 32; i++) {
        const char *digit = hex[i] ? strchr(digits, hex[i]) : NULL;
        if (!digit) {
            return false;
        }
        const int value = (int)(digit - digits);
        id->byte[i / 2] = (unsigned char)(i % 2 == 0 ? value << 4 : id->byte[i / 2] | value);
    }
    return true;
}

/* Read what the remark can say at all; whether it is spelled exactly so shows when it is written
 * again. */
static bool parse(const char *line, mc_plan_origin *origin) {
    char hex[33], purpose[8];
    int checkup, version = 1;
    if ((sscanf(line, "# " MARK ": %32s checkup %6d %7s", hex, &checkup, purpose) != 3 ||
         (strcmp(purpose, "version") == 0 &&
          sscanf(line, "# " MARK ": %*s checkup %*d version %6d %7s", &version, purpose) != 2)) ||
        !take_id(hex, &origin->case_id) || checkup < 0 || checkup > LARGEST_CHECKUP) {
        return false;
    }
    origin->checkup = checkup;
    origin->version = version;
    origin->preview = strcmp(purpose, "preview") == 0;
    char again[ORIGIN_SIZE];
    origin_write(origin, again);
    again[strcspn(again, "\n")] = '\0';
    return strcmp(line, again) == 0 && !mc_id_is_none(&origin->case_id);
}

mc_status origin_read(const char *text, size_t size, long line, mc_plan_origin *origin,
                      mc_error *error) {
    if (!origin_resembles(text, size)) {
        return MC_OK;
    }
    if (!mc_id_is_none(&origin->case_id)) {
        return mc_fail_at(error, line, 1, "a second " MARK " remark");
    }
    char copy[ORIGIN_SIZE];
    mc_plan_origin found = {0};
    if (size < sizeof copy) {
        memcpy(copy, text, size);
        copy[size] = '\0';
    }
    if (size >= sizeof copy || !parse(copy, &found)) {
        return mc_fail_at(error, line, 1,
                          "a " MARK " remark that is not spelled \"# " MARK
                          ": CASE checkup NUMBER order\" (or preview)");
    }
    found.line = line;
    *origin = found;
    return MC_OK;
}
