/* What stands behind an entry of the history: what the doctor saw when signing, and a check-up as
 * it was entered. */
#include "history.h"
#include "pager.h"
#include "words.h"

#include "midcourse/exchange.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

static pager *new_page(console *con, const mc_case *kase, const char *what) {
    char label[MC_LABEL_SIZE], text[120];
    mc_case_label(kase, label);
    snprintf(text, sizeof text, "%s  %s", label, what); /* no name: it would not be hidden */
    pager *page = pager_new(text);
    if (!page)
        frame_say(con, "Out of memory.");
    return page;
}

/* "2026-03-02 09:30 UTC by IBA". */
static void add_signature(pager *page, const char *label, const char *at, const char *by) {
    pager_format(page, STYLE_STRONG, label, "%.10s %.5s UTC by %s", at,
                 strlen(at) > 11 ? at + 11 : "", by[0] ? by : "nobody named");
}

/* ---- a signed decision ---- */

static void add_choice(pager *page, const mc_seen *seen) {
    const mc_decision *d = &seen->decision;
    char choices[160];
    words_choices(d->choices, choices, sizeof choices);
    pager_add(page, STYLE_STRONG, "chosen", choices);
    if (d->days > 0)
        pager_format(page, STYLE_STRONG, "for", "%d day%s", d->days, d->days == 1 ? "" : "s");
    if (d->to >= 0)
        pager_format(page, STYLE_STRONG, "back to", "aligner %d", d->to);
    if (d->cause != MC_CAUSE_NONE)
        pager_add(page, STYLE_STRONG, "cause", mc_cause_name(d->cause));
    if (seen->opened > 0)
        pager_format(page, STYLE_STRONG, "opened", "plan %d", seen->opened);
    pager_add(page, STYLE_STRONG, "reason", d->reason[0] ? d->reason : "none given");
}

static void add_seen_teeth(const console *con, pager *page, const mc_seen *seen) {
    if (seen->count == 0)
        pager_add(page, STYLE_PLAIN, "", "No tooth measured was slipping or worse.");
    for (size_t i = 0; i < seen->count; i++) {
        const mc_seen_tooth *tooth = &seen->off[i];
        char label[60];
        snprintf(label, sizeof label, "%s %s %s", words_tooth(con->notation, tooth->tooth).text,
                 theme_mark(&con->theme, mark_of_state(tooth->state)), mc_state_word(tooth->state));
        pager_format(page, style_of_state(tooth->state), label, "lag index %.2f, worst item: %s",
                     tooth->lag_index, tooth->worst[0] ? tooth->worst : "none");
    }
}

/* In per cent, never nought or a hundred. */
static void say_percent(double p, char out[8]) {
    if (p > 0.995 || p < 0.005)
        snprintf(out, 8, "%s", p > 0.995 ? ">99" : "<1");
    else
        snprintf(out, 8, "%.0f", 100 * p);
}

enum { NAME_COLS = 32 };

static void add_seen_option(const console *con, pager *page, const mc_option *option, bool chosen) {
    char words[MC_OPTION_WORDS_SIZE], name[4 * MC_OPTION_WORDS_SIZE], teeth[40], all[8], day[11];
    mc_option_words(&option->ask, words);
    int width = mc_text_fit(words, NAME_COLS, con->theme.ascii, name, sizeof name);
    style ink = chosen ? STYLE_STRONG : STYLE_PLAIN;
    if (!option->possible) {
        pager_format(page, ink, "", "%s%*s %s", name, NAME_COLS - width, "", option->why_not);
        return;
    }
    say_percent(option->p_all_in, all);
    snprintf(teeth, sizeof teeth, "%7.2f %8s", option->expected_out, all);
    mc_day_text(option->ends, day);
    pager_format(page, ink, "", "%s%*s %16s %s %9d%s", name, NAME_COLS - width, "",
                 isnan(option->expected_out) ? "not known" : teeth, day, option->aligners,
                 chosen ? " chosen" : "");
}

/* What each choice was expected to bring. */
static void add_seen_options(const console *con, pager *page, const mc_seen *seen) {
    const mc_decision *d = &seen->decision;
    if (seen->option_count == 0)
        return;
    pager_heading(page, "What the doctor saw: the choices side by side");
    pager_format(page, STYLE_FAINT, "", "%-*s %7s %8s %-10s %9s", NAME_COLS, "choice", "outside",
                 "all in %", "ends", "aligners");
    for (size_t i = 0; i < seen->option_count; i++) {
        const mc_option_ask *ask = &seen->options[i].ask;
        bool chosen = ask->choices == d->choices && (ask->days == 0 || ask->days == d->days) &&
                      (ask->to < 0 || ask->to == d->to);
        add_seen_option(con, page, &seen->options[i], chosen);
    }
}

/* A proposal by its name on record. */
static const char *proposal_words(const char *name) {
    for (int choice = 0; choice <= MC_PROPOSE_FINISH; choice++)
        if (strcmp(name, mc_proposal_name((mc_proposal_choice)choice)) == 0)
            return mc_proposal_words((mc_proposal_choice)choice);
    return name;
}

void history_show_decision(console *con, const mc_case *kase, const mc_deed *deed) {
    mc_seen seen;
    mc_error error = {0};
    char text[80];
    if (mc_history_seen(con->practice, kase, deed->decision, &seen, &error) != MC_OK) {
        frame_refuse(con, &error);
        return;
    }
    pager *page = new_page(con, kase, "a signed decision");
    if (page) {
        snprintf(text, sizeof text, "Decision on check-up %d, plan %d", seen.decision.checkup,
                 seen.plan);
        pager_heading(page, text);
        add_signature(page, "signed", seen.decision.at, seen.decision.by);
        add_choice(page, &seen);
        pager_heading(page, "What the doctor saw: the proposal, its teeth in ISO numbers");
        pager_format(page, STYLE_STRONG, "proposed", "%s (rule %d)", proposal_words(seen.proposal),
                     seen.rule);
        pager_add(page, STYLE_STRONG, "because", seen.sentence);
        add_seen_options(con, page, &seen);
        pager_heading(page, "What the doctor saw: teeth slipping or worse");
        add_seen_teeth(con, page, &seen);
        pager_heading(page, "Kept with it");
        pager_format(page, STYLE_FAINT, "checksum", "%s", seen.decision.hash);
        pager_open(con, page);
    }
    mc_seen_free(&seen);
}

/* ---- a check-up as it was entered ---- */

/* Things said of a tooth, with "; " between them. */
typedef struct sayings {
    char text[1000];
    size_t used;
} sayings;

static void add(sayings *s, const char *what, const char *value) {
    int length = snprintf(s->text + s->used, sizeof s->text - s->used, "%s%s %s",
                          s->used ? "; " : "", what, value);
    s->used += length > 0 ? (size_t)length : 0;
    if (s->used >= sizeof s->text)
        s->used = sizeof s->text - 1;
}

static void add_number(sayings *s, const char *what, double value, const char *unit,
                       bool short_of_plan) {
    char digits[40], text[80];
    if (isnan(value))
        return;
    mc_decimal_text(value, digits, sizeof digits);
    snprintf(text, sizeof text, "%s %s%s", digits, unit, short_of_plan ? " short of plan" : "");
    add(s, what, text);
}

/* What was read against the neighbours, as it was read. */
static void add_relatives(sayings *s, const mc_reading *row) {
    for (int i = 0; i < MC_RELATIVES; i++) {
        mc_relative what = (mc_relative)i;
        const char *way = words_relative_way(what, row->tooth, row->relative[i]);
        char unit[40];
        snprintf(unit, sizeof unit, "%s%s%s", words_unit(mc_relative_component(what)),
                 way[0] ? " " : "", way);
        add_number(s, mc_relative_name(what), row->relative[i], unit, false);
    }
}

static void add_findings(sayings *s, const mc_reading *row) {
    char text[20];
    if (row->attachment != MC_ATTACHMENT_UNSAID)
        add(s, "attachment", mc_attachment_name(row->attachment));
    if (row->contact_mesial != MC_CONTACT_UNSAID)
        add(s, "contact mesial", mc_contact_name(row->contact_mesial));
    if (row->contact_distal != MC_CONTACT_UNSAID)
        add(s, "contact distal", mc_contact_name(row->contact_distal));
    snprintf(text, sizeof text, "grade %d", row->mobility);
    if (row->mobility >= 0)
        add(s, "mobility", text);
    if (row->pain != MC_UNSAID)
        add(s, "pain on biting:", row->pain == MC_YES ? "yes" : "no");
    if (row->swelling != MC_UNSAID)
        add(s, "swelling or pus:", row->swelling == MC_YES ? "yes" : "no");
    add_number(s, "recession", row->recession, "mm", false);
    if (row->method != MC_METHOD_OF_CHECKUP)
        add(s, "read by", mc_method_name((mc_method)row->method));
}

static void add_reading(const console *con, pager *page, const mc_reading *row) {
    sayings s = {.used = 0};
    if (row->seat_in_bulk)
        add(&s, "seats", "(said of all the rest at once)");
    else
        add_number(&s, "seat gap", row->seat_gap, "mm", false);
    for (int c = 0; c < MC_COMPONENTS; c++)
        add_number(&s, mc_component_name((mc_component)c), row->value[c],
                   words_unit((mc_component)c), row->short_of_plan[c]);
    add_relatives(&s, row);
    add_findings(&s, row);
    pager_add(page, STYLE_STRONG, words_tooth(con->notation, row->tooth).text,
              s.used ? s.text : "nothing");
}

static void add_frame(pager *page, const mc_checkup_info *info) {
    const mc_checkup *checkup = &info->checkup;
    for (int arch = 0; arch < MC_ARCHES; arch++) {
        const char *label = arch == MC_UPPER ? "upper" : "lower";
        if (checkup->aligner[arch] == MC_NO_ALIGNER)
            pager_add(page, STYLE_STRONG, label, "not looked at");
        else if (checkup->day[arch] >= 0)
            pager_format(page, STYLE_STRONG, label, "aligner %d, its day %d",
                         checkup->aligner[arch], checkup->day[arch]);
        else
            pager_format(page, STYLE_STRONG, label, "aligner %d", checkup->aligner[arch]);
    }
    pager_add(page, STYLE_STRONG, "method", mc_method_name(checkup->method));
    if (isnan(checkup->wear_hours))
        pager_add(page, STYLE_STRONG, "wear", "not said");
    else
        pager_format(page, STYLE_STRONG, "wear", "%.1f hours a day", checkup->wear_hours);
    pager_format(page, STYLE_STRONG, "settings", "set %lld, which it is scored with",
                 (long long)info->settings);
    if (info->reason[0])
        pager_add(page, STYLE_STRONG, "amended because", info->reason);
    pager_add(page, STYLE_STRONG, "note",
              checkup->note && checkup->note[0] ? checkup->note : "none");
}

static void show_checkup(console *con, const mc_case *kase, const mc_deed *deed,
                         const mc_checkup_info *info) {
    char text[100], day[11];
    pager *page = new_page(con, kase, "a check-up as entered");
    if (!page)
        return;
    mc_day_text(info->checkup.date, day);
    snprintf(text, sizeof text, "Check-up %d, %s, version %d", info->checkup.number, day,
             info->version);
    pager_heading(page, text);
    add_signature(page, info->version > 1 ? "amended" : "completed", deed->at, info->by);
    add_frame(page, info);
    pager_heading(page, "Readings");
    for (size_t i = 0; i < info->checkup.count; i++)
        add_reading(con, page, &info->checkup.rows[i]);
    if (info->checkup.count == 0)
        pager_add(page, STYLE_PLAIN, "", "Nothing was read.");
    pager_open(con, page);
}

void history_show_checkup(console *con, const mc_case *kase, const mc_deed *deed) {
    mc_checkup_info *list = NULL;
    size_t count = 0;
    mc_error error = {0};
    if (mc_record_checkups(mc_practice_record(con->practice), &kase->id, true, &list, &count,
                           &error) != MC_OK) {
        frame_refuse(con, &error);
        return;
    }
    bool found = false;
    for (size_t i = 0; i < count && !found; i++) {
        found = list[i].checkup.number == deed->checkup && list[i].version == deed->version;
        if (found)
            show_checkup(con, kase, deed, &list[i]);
    }
    if (!found)
        frame_say(con, "Check-up %d is not on record.", deed->checkup);
    mc_checkup_info_free(list, count);
}
