/* Usual sizes of the teeth, mm. The numbers are those of the textbook tables:
 *
 *   permanent teeth: Ash, Nelson. Wheeler's Dental Anatomy, Physiology and Occlusion, table
 * "measurements of the teeth" (root of upper molars: the buccal roots) deciduous teeth: Black's
 * means, as the same book gives them
 *
 * The tables themselves were not seen. A line is marked as seen (last value false) where all four
 * of its numbers were read in an appendix, card or lecture that gives them for that tooth; the
 * others are from memory, or partly so. What was read, and where, is listed in
 * fixtures/tooth_sizes.csv, and a test holds this table to it. */
#include "midcourse/dentition.h"

/* width, thickness, height, root length, from memory; from the midline outward */
static const mc_tooth_size permanent[MC_ARCHES][8] = {
    {
        {8.5, 7.0, 10.5, 13.0, false},
        {6.5, 6.0, 9.0, 13.0, false},
        {7.5, 8.0, 10.0, 17.0, true},
        {7.0, 9.0, 8.5, 14.0, false},
        {7.0, 9.0, 8.5, 14.0, false},
        {10.0, 11.0, 7.5, 12.0, false},
        {9.0, 11.0, 7.0, 11.0, true},
        {8.5, 10.0, 6.5, 11.0, true},
    },
    {
        {5.0, 6.0, 9.0, 12.5, false},
        {5.5, 6.5, 9.5, 14.0, false},
        {7.0, 7.5, 11.0, 16.0, false},
        {7.0, 7.5, 8.5, 14.0, false},
        {7.0, 8.0, 8.0, 14.5, true},
        {11.0, 10.5, 7.5, 14.0, true},
        {10.5, 10.0, 7.0, 13.0, false},
        {10.0, 9.5, 7.0, 11.0, true},
    },
};

/* Heights and root lengths were seen (of the upper second molar's root another value, 11); widths
 * and thicknesses were not. */
static const mc_tooth_size deciduous[MC_ARCHES][5] = {
    {
        {6.5, 5.0, 6.0, 10.0, true},
        {5.1, 4.0, 5.6, 11.4, true},
        {7.0, 7.0, 6.5, 13.5, true},
        {7.3, 8.5, 5.1, 10.0, true},
        {8.2, 10.0, 5.7, 11.7, true},
    },
    {
        {4.2, 4.0, 5.0, 9.0, true},
        {4.1, 4.0, 5.2, 10.0, true},
        {5.0, 4.8, 6.0, 11.5, true},
        {7.7, 7.0, 6.0, 9.8, true},
        {9.9, 8.7, 5.5, 11.3, true},
    },
};

mc_tooth_size mc_tooth_usual_size(mc_tooth tooth) {
    const mc_arch arch = mc_tooth_arch(tooth);
    const int place = mc_tooth_position(tooth) - 1;
    return mc_tooth_is_deciduous(tooth) ? deciduous[arch][place] : permanent[arch][place];
}
