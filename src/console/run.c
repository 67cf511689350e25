/* The console from beginning to end. */
#include "midcourse/console.h"

#include "chart.h"
#include "frame.h"
#include "roster.h"
#include "sign_in.h"

/* Who acts, and the practice's own settings of the console. */
static void look_up(console *con) {
    mc_settings settings;
    int64_t set = 0;
    mc_error ignored;
    sign_in_look_up(con);
    mc_record *record = mc_practice_record(con->practice);
    if (mc_record_settings(record, NULL, &settings, &set, &ignored) != MC_OK)
        return;
    con->hide_after = settings.hide_seconds;
    con->lock_after = 60 * settings.lock_minutes;
}

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
    look_up(&con);
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
