/* The columns of the arch position file. */
#ifndef MIDCOURSE_EXCHANGE_ARCH_COLUMNS_H
#define MIDCOURSE_EXCHANGE_ARCH_COLUMNS_H

enum {
    ARCH_TOOTH,
    ARCH_RIGHT,
    ARCH_ANTERIOR,
    ARCH_OUTWARD,
    ARCH_NEEDED,
    ARCH_TURNED = ARCH_NEEDED,
    ARCH_WIDTH,
    ARCH_THICKNESS,
    ARCH_COLUMNS
};
const char *arch_column(int column);

#endif
