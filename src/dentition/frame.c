/* A tooth's axes in space. */
#include "midcourse/dentition.h"

#include <math.h>

void mc_tooth_frame(mc_tooth tooth, double outward_deg, double axes[3][3]) {
    const double degree = 3.14159265358979323846 / 180;
    const double right = cos(outward_deg * degree), front = sin(outward_deg * degree);
    /* going round the arch from right to left, outward turns left; the left teeth look the other
     * way */
    const double side = mc_tooth_is_right(tooth) ? 1 : -1;
    const double up = mc_tooth_arch(tooth) == MC_UPPER ? -1 : 1; /* toward the other jaw */
    const double rows[3][3] = {{-side * front, side * right, 0}, {right, front, 0}, {0, 0, up}};
    for (int i = 0; i < 3; i++) {
        for (int j = 0; j < 3; j++) {
            axes[i][j] = rows[i][j];
        }
    }
}
