/* The three ways of writing a tooth. Each spelling is written by one function; reading compares
 * with what would be written, so that the two can never differ. */
#include "midcourse/dentition.h"

#include <stdio.h>
#include <string.h>

/* Universal: 1 to 32 clockwise from the upper right third molar, as seen from the front; deciduous
 * A to T the same way from the upper right second molar. Quadrants run distal to mesial on the
 * right above and on the left below, else mesial to distal. */
static int universal_rank(mc_tooth tooth, int teeth_in_quadrant) {
    static const int order[2][2] = {{1, 0}, {2, 3}}; /* by arch, then whether on the right */
    const bool right = mc_tooth_is_right(tooth);
    const mc_arch arch = mc_tooth_arch(tooth);
    const bool toward_midline = right == (arch == MC_UPPER);
    const int position = mc_tooth_position(tooth);
    return order[arch][right] * teeth_in_quadrant +
           (toward_midline ? teeth_in_quadrant - position : position - 1);
}

static void write_universal(mc_tooth tooth, char out[4]) {
    if (mc_tooth_is_deciduous(tooth)) {
        snprintf(out, 4, "%c", 'A' + universal_rank(tooth, 5));
    } else {
        snprintf(out, 4, "%d", (universal_rank(tooth, 8) + 1) % 100);
    }
}

static void write_quadrant(mc_tooth tooth, char out[4]) {
    const int position = mc_tooth_position(tooth);
    out[0] = mc_tooth_arch(tooth) == MC_UPPER ? 'U' : 'L';
    out[1] = mc_tooth_is_right(tooth) ? 'R' : 'L';
    out[2] = (char)((mc_tooth_is_deciduous(tooth) ? 'A' - 1 : '0') + position);
    out[3] = '\0';
}

void mc_tooth_text(mc_notation notation, mc_tooth tooth, char out[4]) {
    if (tooth < 0 || tooth >= MC_TEETH) {
        snprintf(out, 4, "-");
    } else if (notation == MC_NOTATION_UNIVERSAL) {
        write_universal(tooth, out);
    } else if (notation == MC_NOTATION_QUADRANT) {
        write_quadrant(tooth, out);
    } else {
        snprintf(out, 4, "%d", mc_tooth_iso(tooth) % 100);
    }
}

static char upper_case(char c) {
    return (char)(c >= 'a' && c <= 'z' ? c - 'a' + 'A' : c);
}

mc_tooth mc_tooth_parse(mc_notation notation, const char *text) {
    char wanted[4] = "", written[4];
    for (int i = 0; text[i] != '\0'; i++) {
        if (i == 3) {
            return MC_NO_TOOTH;
        }
        wanted[i] = upper_case(text[i]);
    }
    for (mc_tooth tooth = 0; tooth < MC_TEETH; tooth++) {
        mc_tooth_text(notation, tooth, written);
        if (strcmp(wanted, written) == 0) {
            return tooth;
        }
    }
    return MC_NO_TOOTH;
}

bool mc_notation_parse(const char *text, mc_notation *notation) {
    static const char *const names[] = {"iso", "universal", "quadrant"};
    for (int i = 0; i < 3; i++) {
        if (strcmp(text, names[i]) == 0) {
            *notation = (mc_notation)i;
            return true;
        }
    }
    return false;
}
