/* midcourse: keeps clear-aligner cases on plan. The program joins commands and console. */
#include "midcourse/command.h"
#include "midcourse/console.h"

#include <locale.h>
#ifdef __GLIBC__
#include <malloc.h>
#endif

/* A case takes a megabyte and gives it back at every look at it: memory once had is kept, instead
 * of asking the system for it anew each time, which took a quarter of an assessment. */
static void keep_memory(void) {
#ifdef __GLIBC__
    enum { KEPT = 16 << 20 };
    mallopt(M_MMAP_THRESHOLD, KEPT);
    mallopt(M_TRIM_THRESHOLD, KEPT);
#endif
}

int main(int argc, char **argv) {
    keep_memory();
    setlocale(LC_CTYPE, ""); /* numbers stay plain: never LC_NUMERIC */
    return mc_command_run(argc, argv, mc_console_run);
}
