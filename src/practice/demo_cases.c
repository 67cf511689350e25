/* What the demo's invented people went through: who they are, which teeth are not as usual, and
 * their check-ups with what was signed on each. Their names are made of plants and minerals. */
#include "demo.h"

#include <math.h>

#define BOTH(value)                                                                                \
    { value, value }
#define SIGNED(choices, days, reason)                                                              \
    { choices, days, MC_CAUSE_NONE, reason }
#define NOT_YET SIGNED(0, 0, NULL)
#define CARRIED_ON SIGNED(CARRY_ON, 0, NULL)

#define GONE(iso)                                                                                  \
    { iso, MC_TOOTH_MISSING }
#define TO_COME(iso)                                                                               \
    { iso, MC_TOOTH_UNERUPTED }
#define MILK(iso)                                                                                  \
    { iso, MC_TOOTH_PRESENT }
#define NO_THIRD_MOLARS GONE(18), GONE(28), GONE(38), GONE(48)

enum {
    CARRY_ON = 1 << MC_CARRY_ON,
    HOLD = 1 << MC_HOLD,
    LOCAL = 1 << MC_LOCAL_MEASURES,
    CORRECT = 1 << MC_CORRECT,
    FINISH = 1 << MC_FINISH
};

/* A check-up's line: day of the plan, aligners worn, their day, hours of wear, method, decision,
 * why it was amended. */
const demo_case demo_cases[] = {
    /* on plan */
    {.chart = "1001",
     .name = "Larkspur, Odile",
     .years = 27.3,
     .start = 127,
     .interval = BOTH(10),
     .teeth = {NO_THIRD_MOLARS},
     .checkups = 3,
     .checkup = {{39, BOTH(4), BOTH(10), 22, MC_SCAN, CARRIED_ON, NULL},
                 {81, BOTH(9), BOTH(2), 21.5, MC_SCAN, CARRIED_ON, NULL},
                 {119, BOTH(12), BOTH(10), 22, MC_SCAN, CARRIED_ON, NULL}}},
    /* upper laterals slipping, the next check-up overdue */
    {.chart = "1002",
     .name = "Feldspar, Anselm",
     .years = 34.8,
     .start = 176,
     .interval = BOTH(14),
     .teeth = {NO_THIRD_MOLARS},
     .checkups = 3,
     .checkup = {{41, BOTH(3), BOTH(14), 21, MC_CALIPER, CARRIED_ON, NULL},
                 {83, BOTH(6), BOTH(14), 21, MC_PHOTO, CARRIED_ON, NULL},
                 {125, BOTH(9), BOTH(14), 20.5, MC_PHOTO, CARRIED_ON, NULL}}},
    /* a canine's rotation behind */
    {.chart = "1003",
     .name = "Sorrel, Mirela",
     .years = 22.1,
     .start = 134,
     .interval = BOTH(10),
     .teeth = {NO_THIRD_MOLARS},
     .checkups = 4,
     .checkup = {{42, BOTH(5), BOTH(3), 22, MC_CALIPER, CARRIED_ON, NULL},
                 {84, BOTH(9), BOTH(5), 21, MC_CALIPER,
                  SIGNED(HOLD, 7, "13 turns slowly: more time on this aligner"),
                  "12 and 22 had been written down for each other"},
                 {91, BOTH(9), BOTH(12), 22, MC_CALIPER, CARRIED_ON, NULL},
                 {133, BOTH(13), BOTH(7), 21.5, MC_CALIPER, NOT_YET, NULL}}},
    /* a lost attachment */
    {.chart = "1004",
     .name = "Gypsum, Bertil",
     .years = 41.6,
     .start = 126,
     .interval = BOTH(14),
     .teeth = {NO_THIRD_MOLARS},
     .checkups = 3,
     .checkup = {{42, BOTH(4), BOTH(1), 21, MC_CALIPER, CARRIED_ON, NULL},
                 {83, BOTH(6), BOTH(14), 22, MC_CALIPER, CARRIED_ON, NULL},
                 {126, BOTH(10), BOTH(1), 21, MC_CALIPER, NOT_YET, NULL}}},
    /* a stalled premolar, its poses scanned today */
    {.chart = "1005",
     .name = "Juniper, Ravna",
     .years = 31.4,
     .start = 125,
     .interval = BOTH(10),
     .teeth = {NO_THIRD_MOLARS},
     .checkups = 3,
     .checkup = {{39, BOTH(4), BOTH(10), 22, MC_CALIPER, CARRIED_ON, NULL},
                 {82, BOTH(9), BOTH(3), 22, MC_PHOTO, SIGNED(LOCAL, 0, NULL), NULL},
                 {125, BOTH(13), BOTH(6), 21.5, MC_SCAN, NOT_YET, NULL}}},
    /* an arch that does not seat */
    {.chart = "1006",
     .name = "Obsidian, Taran",
     .years = 38.9,
     .start = 125,
     .interval = BOTH(14),
     .teeth = {NO_THIRD_MOLARS},
     .checkups = 3,
     .checkup = {{41, BOTH(3), BOTH(14), 21, MC_CALIPER, CARRIED_ON, NULL},
                 {82, BOTH(6), BOTH(13), 20.5, MC_CALIPER, CARRIED_ON, NULL},
                 {125, BOTH(9), BOTH(14), 20, MC_CALIPER, NOT_YET, NULL}}},
    /* low wear */
    {.chart = "1007",
     .name = "Thistle, Corvin",
     .years = 15.2,
     .start = 84,
     .interval = BOTH(7),
     .teeth = {NO_THIRD_MOLARS},
     .checkups = 2,
     .checkup = {{41, BOTH(6), BOTH(7), 20, MC_CALIPER, CARRIED_ON, NULL},
                 {83, BOTH(12), BOTH(7), 15, MC_CALIPER, NOT_YET, NULL}}},
    /* a mobile tooth; the first check-up is the baseline */
    {.chart = "1008",
     .name = "Marcasite, Edda",
     .years = 58.7,
     .start = 84,
     .interval = BOTH(14),
     .teeth = {NO_THIRD_MOLARS, {46, MC_TOOTH_EXTRACTED}},
     .checkups = 3,
     .checkup = {{0, BOTH(0), BOTH(-1), NAN, MC_CALIPER, CARRIED_ON, NULL},
                 {41, BOTH(3), BOTH(13), 22, MC_CALIPER, CARRIED_ON, NULL},
                 {84, BOTH(6), BOTH(14), 22, MC_CALIPER, NOT_YET, NULL}}},
    /* missing and fixed teeth, near the end of the series */
    {.chart = "1009",
     .name = "Alder, Quenby",
     .years = 63.5,
     .start = 180,
     .interval = BOTH(14),
     .teeth = {NO_THIRD_MOLARS,
               GONE(15),
               {25, MC_TOOTH_EXTRACTED},
               {24, MC_TOOTH_BRIDGE},
               {26, MC_TOOTH_BRIDGE},
               {36, MC_TOOTH_IMPLANT},
               {47, MC_TOOTH_FIXED}},
     .checkups = 4,
     .checkup = {{41, BOTH(3), BOTH(14), 22, MC_CALIPER, CARRIED_ON, NULL},
                 {83, BOTH(6), BOTH(14), 22, MC_CALIPER, CARRIED_ON, NULL},
                 {125, BOTH(9), BOTH(14), 21, MC_CALIPER, CARRIED_ON, NULL},
                 {180, BOTH(13), BOTH(13), 22, MC_CALIPER, NOT_YET, NULL}}},
    /* just corrected: the new aligners came three days ago */
    {.chart = "1010",
     .name = "Bryony, Lazlo",
     .years = 29.9,
     .start = 145,
     .interval = BOTH(10),
     .teeth = {NO_THIRD_MOLARS},
     .checkups = 3,
     .checkup =
         {{40, BOTH(5), BOTH(1), 21, MC_CALIPER, CARRIED_ON, NULL},
          {81, BOTH(9), BOTH(2), 21, MC_PHOTO,
           SIGNED(LOCAL, 0, "12 and 13 follow less and less: seating exercises"), NULL},
          {121, BOTH(13), BOTH(2), 21.5, MC_SCAN, {CORRECT, 0, MC_CAUSE_STAGING, NULL}, NULL}}},
    /* upper and lower at different aligners, several teeth behind */
    {.chart = "1011",
     .name = "Tansy, Ilka",
     .years = 19.4,
     .start = 126,
     .interval = {14, 10},
     .teeth = {NO_THIRD_MOLARS},
     .checkups = 3,
     .checkup = {{41, {3, 5}, {14, 2}, 21, MC_PHOTO, CARRIED_ON, NULL},
                 {83, {6, 9}, {14, 4}, 20, MC_PHOTO, CARRIED_ON, NULL},
                 {124, {9, 13}, {13, 5}, 20.5, MC_PHOTO, NOT_YET, NULL}}},
    /* nothing read yet */
    {.chart = "1012",
     .name = "Cinnabar, Wim",
     .years = 45.0,
     .start = 12,
     .interval = BOTH(14),
     .teeth = {NO_THIRD_MOLARS}},
    /* finished */
    {.chart = "1013",
     .name = "Yarrow, Signe",
     .years = 24.6,
     .start = 169,
     .interval = BOTH(10),
     .teeth = {NO_THIRD_MOLARS},
     .checkups = 3,
     .checkup = {{40, BOTH(5), BOTH(1), 22, MC_CALIPER, CARRIED_ON, NULL},
                 {82, BOTH(9), BOTH(3), 22, MC_PHOTO, CARRIED_ON, NULL},
                 {139, {14, 12}, {10, 30}, 22, MC_SCAN, SIGNED(FINISH, 0, NULL), NULL}}},
    /* mixed dentition, a tight contact */
    {.chart = "1014",
     .name = "Heather, Emeric",
     .years = 10.3,
     .start = 83,
     .interval = BOTH(14),
     .teeth = {NO_THIRD_MOLARS, TO_COME(17), TO_COME(27), TO_COME(37), TO_COME(47), TO_COME(13),
               TO_COME(14),     TO_COME(15), TO_COME(23), TO_COME(24), TO_COME(25), TO_COME(33),
               TO_COME(34),     TO_COME(35), TO_COME(43), TO_COME(44), TO_COME(45), MILK(53),
               MILK(54),        MILK(55),    MILK(63),    MILK(64),    MILK(65),    MILK(73),
               MILK(74),        MILK(75),    MILK(83),    MILK(84),    MILK(85)},
     .later = {53, MC_TOOTH_SHEDDING},
     .later_at = 2,
     .checkups = 2,
     .checkup = {{41, {3, MC_NO_ALIGNER}, {14, -1}, 21, MC_CALIPER, CARRIED_ON, NULL},
                 {83, {6, MC_NO_ALIGNER}, {14, -1}, 20, MC_PHOTO, NOT_YET, NULL}}},
    /* too little measured */
    {.chart = "1015",
     .name = "Azurite, Pella",
     .years = 36.2,
     .start = 85,
     .interval = BOTH(7),
     .teeth = {NO_THIRD_MOLARS},
     .checkups = 2,
     .checkup = {{40, BOTH(6), BOTH(6), 21, MC_CALIPER, CARRIED_ON, NULL},
                 {83, BOTH(12), BOTH(7), 21, MC_EYE, NOT_YET, NULL}}},
    /* lost anchorage: a molar drifts while canines go back into extraction spaces */
    {.chart = "1016",
     .name = "Teasel, Maren",
     .years = 17.8,
     .start = 122,
     .interval = BOTH(10),
     .teeth = {NO_THIRD_MOLARS, {14, MC_TOOTH_EXTRACTED}, {24, MC_TOOTH_EXTRACTED}},
     .checkups = 3,
     .checkup = {{40, BOTH(5), BOTH(1), 22, MC_PHOTO, CARRIED_ON, NULL},
                 {81, BOTH(9), BOTH(2), 21, MC_PHOTO, CARRIED_ON, NULL},
                 {122, BOTH(13), BOTH(3), 21, MC_PHOTO, NOT_YET, NULL}}},
};
const size_t demo_case_count = sizeof demo_cases / sizeof demo_cases[0];
