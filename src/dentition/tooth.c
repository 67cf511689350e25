/* Teeth by place: what each is, and which stands beside it. */
#include "midcourse/dentition.h"

/* ISO 3950 numbers in chart order. */
static const int iso_of[MC_TEETH] = {
    18, 17, 16, 15, 14, 13, 12, 11, 55, 54, 53, 52, 51, /* upper right */
    21, 22, 23, 24, 25, 26, 27, 28, 61, 62, 63, 64, 65, /* upper left */
    48, 47, 46, 45, 44, 43, 42, 41, 85, 84, 83, 82, 81, /* lower right */
    31, 32, 33, 34, 35, 36, 37, 38, 71, 72, 73, 74, 75, /* lower left */
};

mc_tooth mc_tooth_from_iso(int iso) {
    for (mc_tooth tooth = 0; tooth < MC_TEETH; tooth++) {
        if (iso_of[tooth] == iso) {
            return tooth;
        }
    }
    return MC_NO_TOOTH;
}

int mc_tooth_iso(mc_tooth tooth) {
    return tooth >= 0 && tooth < MC_TEETH ? iso_of[tooth] : 0;
}

/* ISO quadrant 1 to 4 of a tooth of either dentition: upper right, upper left, lower left, lower
 * right. */
static int quadrant_of(mc_tooth tooth) {
    return (iso_of[tooth] / 10 - 1) % 4 + 1;
}

extern mc_arch mc_tooth_arch(mc_tooth tooth); /* inline where it is called */

bool mc_tooth_is_right(mc_tooth tooth) {
    const int quadrant = quadrant_of(tooth);
    return quadrant == 1 || quadrant == 4;
}

bool mc_tooth_is_deciduous(mc_tooth tooth) {
    return iso_of[tooth] >= 50;
}

int mc_tooth_position(mc_tooth tooth) {
    return iso_of[tooth] % 10;
}

mc_tooth_class mc_tooth_class_of(mc_tooth tooth) {
    static const mc_tooth_class classes[8] = {
        MC_CENTRAL,         MC_LATERAL, MC_CANINE, MC_FIRST_PREMOLAR,
        MC_SECOND_PREMOLAR, MC_MOLAR,   MC_MOLAR,  MC_MOLAR};
    const int position = mc_tooth_position(tooth);
    if (position > 3 && mc_tooth_is_deciduous(tooth)) {
        return MC_MOLAR; /* deciduous teeth have no premolars */
    }
    return classes[position - 1];
}

const char *mc_tooth_class_name(mc_tooth_class of) {
    static const char *const names[] = {"central",        "lateral",         "canine",
                                        "first_premolar", "second_premolar", "molar"};
    return names[of];
}

const char *mc_tooth_class_word(mc_tooth_class of) {
    static const char *const words[] = {"central",        "lateral",         "canine",
                                        "first premolar", "second premolar", "molar"};
    return words[of];
}

bool mc_tooth_is_incisor(mc_tooth tooth) {
    return mc_tooth_position(tooth) <= 2;
}

bool mc_tooth_is_round(mc_tooth tooth) {
    const mc_tooth_class class = mc_tooth_class_of(tooth);
    return class == MC_CANINE || class == MC_FIRST_PREMOLAR || class == MC_SECOND_PREMOLAR;
}

const char *mc_tooth_name(mc_tooth tooth) {
#define PERMANENT(side)                                                                            \
    {                                                                                              \
        side " central incisor", side " lateral incisor", side " canine", side " first premolar",  \
            side " second premolar", side " first molar", side " second molar",                    \
            side " third molar"                                                                    \
    }
#define DECIDUOUS(side)                                                                            \
    {                                                                                              \
        side " deciduous central incisor", side " deciduous lateral incisor",                      \
            side " deciduous canine", side " first deciduous molar",                               \
            side " second deciduous molar"                                                         \
    }
    static const char *const names[8][8] = {PERMANENT("upper right"), PERMANENT("upper left"),
                                            PERMANENT("lower left"),  PERMANENT("lower right"),
                                            DECIDUOUS("upper right"), DECIDUOUS("upper left"),
                                            DECIDUOUS("lower left"),  DECIDUOUS("lower right")};
#undef PERMANENT
#undef DECIDUOUS
    return names[iso_of[tooth] / 10 - 1][mc_tooth_position(tooth) - 1];
}

/* The tooth across the midline: quadrants 1 and 2, 3 and 4 (5 and 6, 7 and 8) face each other. */
mc_tooth mc_tooth_mirror(mc_tooth tooth) {
    const int iso = iso_of[tooth];
    return mc_tooth_from_iso(iso / 10 % 2 == 1 ? iso + 10 : iso - 10);
}

/* The standing tooth at a position of an ISO quadrant 1 to 4, the permanent one first. */
static mc_tooth standing_in(int quadrant, int position, const bool standing[MC_TEETH]) {
    const mc_tooth permanent = mc_tooth_from_iso(quadrant * 10 + position);
    if (standing[permanent]) {
        return permanent;
    }
    const mc_tooth deciduous = mc_tooth_from_iso((quadrant + 4) * 10 + position);
    return deciduous != MC_NO_TOOTH && standing[deciduous] ? deciduous : MC_NO_TOOTH;
}

mc_tooth mc_tooth_mesial(mc_tooth tooth, const bool standing[MC_TEETH]) {
    const int quadrant = quadrant_of(tooth);
    for (int position = mc_tooth_position(tooth) - 1; position >= 1; position--) {
        const mc_tooth found = standing_in(quadrant, position, standing);
        if (found != MC_NO_TOOTH) {
            return found;
        }
    }
    const int other = quadrant_of(mc_tooth_mirror(tooth));
    for (int position = 1; position <= 8; position++) {
        const mc_tooth found = standing_in(other, position, standing);
        if (found != MC_NO_TOOTH) {
            return found;
        }
    }
    return MC_NO_TOOTH;
}

mc_tooth mc_tooth_distal(mc_tooth tooth, const bool standing[MC_TEETH]) {
    for (int position = mc_tooth_position(tooth) + 1; position <= 8; position++) {
        const mc_tooth found = standing_in(quadrant_of(tooth), position, standing);
        if (found != MC_NO_TOOTH) {
            return found;
        }
    }
    return MC_NO_TOOTH;
}

mc_tooth mc_tooth_standing_at(mc_arch arch, bool right, int position,
                              const bool standing[MC_TEETH]) {
    return standing_in(arch == MC_UPPER ? (right ? 1 : 2) : (right ? 4 : 3), position, standing);
}
