/* midcourse: keeps clear-aligner cases on plan. The program joins commands and console. */
#include "midcourse/command.h"
#include "midcourse/console.h"

#include <locale.h>

int main(int argc, char **argv) {
    setlocale(LC_CTYPE, ""); /* numbers stay plain: never LC_NUMERIC */
    return mc_command_run(argc, argv, mc_console_run);
}
