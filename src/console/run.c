/* The console from beginning to end. */
#include "midcourse/console.h"

#include "chart.h"
#include "frame.h"
#include "roster.h"
#include "sign_in.h"

static mc_status open_screens(console *con, const char *case_label, mc_error *error) {
    mc_case kase;
    mc_status status = MC_OK;
    if (case_label)
        status = mc_case_find(con->practice, case_label, &kase, error);
    if (status == MC_OK)
        status = roster_open(con, error);
    if (status == MC_OK && case_label)
        status = chart_open(con, &kase, 0, error);
    if (status == MC_OK && con->depth == 0)
        status = mc_fail(error, MC_REFUSED, "out of memory");
    return status;
}

mc_status mc_console_run(mc_practice *practice, const char *case_label, const char *heading,
                         mc_error *error) {
    terminal t;
    console con = {.practice = practice, .today = mc_practice_today(practice)};
    sign_in_look_up(&con);
    frame_settings(&con);
    mc_status status = open_screens(&con, case_label, error);
    if (status == MC_OK)
        status = frame_begin(&con, &t, error);
    if (status == MC_OK) {
        if (heading)
            frame_say(&con, "%s", heading);
        frame_run(&con);
        terminal_end(&t);
    }
    frame_close(&con);
    return status;
}
