/* dentition: teeth, their notations, neighbours, sizes and frames. Anatomy, no patient. */
#ifndef MIDCOURSE_DENTITION_H
#define MIDCOURSE_DENTITION_H

#include "midcourse/base.h"

/* A tooth is its place 0..51 in chart order, which is also the order of every document:
 * 18..11 55..51 21..28 61..65 48..41 85..81 31..38 71..75 (ISO 3950). MC_NO_TOOTH is none. */
typedef int mc_tooth;
enum { MC_TEETH = 52, MC_NO_TOOTH = -1 };

typedef enum mc_arch { MC_UPPER = 0, MC_LOWER = 1, MC_ARCHES = 2 } mc_arch;

typedef enum mc_tooth_class {
    MC_CENTRAL,
    MC_LATERAL,
    MC_CANINE,
    MC_FIRST_PREMOLAR,
    MC_SECOND_PREMOLAR,
    MC_MOLAR
} mc_tooth_class;

/* A tooth in a mouth. From MC_TOOTH_IMPLANT on it is present but not to be moved. */
typedef enum mc_tooth_state {
    MC_TOOTH_PRESENT,
    MC_TOOTH_MISSING,
    MC_TOOTH_EXTRACTED,
    MC_TOOTH_UNERUPTED,
    MC_TOOTH_SHEDDING, /* present, about to be lost */
    MC_TOOTH_IMPLANT,
    MC_TOOTH_ANKYLOSED,
    MC_TOOTH_BRIDGE, /* bridge abutment */
    MC_TOOTH_FIXED,  /* not to be moved by the doctor's choice */
    MC_TOOTH_STATES
} mc_tooth_state;

typedef enum mc_notation {
    MC_NOTATION_ISO,       /* ISO 3950: 11..48, 51..85 */
    MC_NOTATION_UNIVERSAL, /* 1-32 from the upper right third molar, A-T for deciduous teeth */
    MC_NOTATION_QUADRANT   /* UR1..UR8, UL, LL, LR; deciduous URA..URE */
} mc_notation;

/* ISO 3950 number to tooth and back; MC_NO_TOOTH for a number that is no tooth. */
mc_tooth mc_tooth_from_iso(int iso);
int mc_tooth_iso(mc_tooth tooth);

/* Exactly the notation's own spelling (letters in either case); MC_NO_TOOTH where it is no tooth.
 */
mc_tooth mc_tooth_parse(mc_notation notation, const char *text);
/* The spelling, at most three characters and a NUL. */
void mc_tooth_text(mc_notation notation, mc_tooth tooth, char out[4]);
/* "iso", "universal", "quadrant"; false for anything else. */
bool mc_notation_parse(const char *text, mc_notation *notation);

/* The upper arch comes first in the chart. */
inline mc_arch mc_tooth_arch(mc_tooth tooth) {
    return tooth < MC_TEETH / 2 ? MC_UPPER : MC_LOWER;
}

bool mc_tooth_is_right(mc_tooth tooth); /* on the patient's right */
bool mc_tooth_is_deciduous(mc_tooth tooth);
int mc_tooth_position(mc_tooth tooth); /* 1..8 from the midline, deciduous 1..5 */
mc_tooth_class mc_tooth_class_of(mc_tooth tooth);
const char *mc_tooth_class_name(mc_tooth_class of); /* "central" ... "first_premolar" ... "molar" */
const char *mc_tooth_class_word(mc_tooth_class of); /* the same for people: "first premolar" */
bool mc_tooth_is_incisor(mc_tooth tooth);
/* Canines and premolars, whose crowns are round (permanent teeth, and deciduous canines). */
bool mc_tooth_is_round(mc_tooth tooth);
/* "upper right lateral incisor", "lower left second deciduous molar". */
const char *mc_tooth_name(mc_tooth tooth);
/* The same tooth on the other side of the mouth. */
mc_tooth mc_tooth_mirror(mc_tooth tooth);

/* The nearest standing tooth on the mesial or distal side in the same arch; mesial of a central is
 * across the midline. standing[i] says whether tooth i stands in the arch. A deciduous tooth takes
 * the place of the permanent tooth of its position; where both stand the permanent one counts. */
mc_tooth mc_tooth_mesial(mc_tooth tooth, const bool standing[MC_TEETH]);
mc_tooth mc_tooth_distal(mc_tooth tooth, const bool standing[MC_TEETH]);
/* Who stands at a place, 1..8 from the midline, by the same rule; MC_NO_TOOTH. */
mc_tooth mc_tooth_standing_at(mc_arch arch, bool right, int position,
                              const bool standing[MC_TEETH]);

/* Usual sizes in mm. The source and which values come from memory stand beside the table. */
typedef struct mc_tooth_size {
    double crown_width;     /* mesiodistal */
    double crown_thickness; /* buccolingual */
    double crown_height;    /* cervico-occlusal */
    double root_length;
    bool from_memory;
} mc_tooth_size;
mc_tooth_size mc_tooth_usual_size(mc_tooth tooth);

/* The tooth's axes mesial, buccal, occlusal (rows) in space (right, anterior, superior), where its
 * outward direction stands outward_deg from the patient's right toward the front: 0 a right molar,
 * 90 the midline, 180 a left molar. Right-handed in quadrants 1 and 3 (5, 7), left-handed in 2 and
 * 4 (6, 8). */
void mc_tooth_frame(mc_tooth tooth, double outward_deg, double axes[3][3]);

/* The form of an arch as a beta function: over the distance x from the midline, in mm,
 *   y = 3.0314 depth (1/2 + x/width)^0.8 (1/2 - x/width)^0.8,  |x| <= width / 2,
 * y toward the front. Source: Braun, Hnat, Fender, Legan. Angle Orthod 1998;68:29-36. */
typedef struct mc_arch_form {
    double width; /* between the second molars' distal ends, mm */
    double depth; /* from there to the front, mm */
} mc_arch_form;
/* A usual proportion of depth to width in an arch; the source stands beside the numbers. */
double mc_arch_form_proportion(mc_arch arch);
double mc_arch_form_length(const mc_arch_form *form); /* of the whole curve, mm */
/* The point at a way along the form from the midline (mm, to the patient's right positive, to the
 * left negative; beyond the form's end straight on), and the direction outward there as in
 * mc_tooth_frame. */
void mc_arch_form_at(const mc_arch_form *form, double way, double *right, double *anterior,
                     double *outward_deg);

/* "present", "missing", ...; parse accepts exactly these. */
const char *mc_tooth_state_name(mc_tooth_state state);
bool mc_tooth_state_parse(const char *text, mc_tooth_state *state);
bool mc_tooth_stands(mc_tooth_state state);   /* present in the mouth */
bool mc_tooth_may_move(mc_tooth_state state); /* present and may be moved */

#endif
