/* Every command with its words, its options and its help. */
#include "context.h"

#define END                                                                                        \
    { NULL, NULL, NULL }
#define NOTATION                                                                                   \
    { "notation", "NAME", "tooth notation of the file: iso, universal or quadrant" }
#define ACCEPT                                                                                     \
    { "accept-warnings", NULL, "go on in spite of warnings" }

static const option_spec INIT[] = {{"doctor", "INITIALS", "the first doctor"}, END};
static const option_spec DEMO[] = {{"no-open", NULL, "do not open the console"}, END};
static const option_spec STAFF_ADD[] = {{"role", "ROLE", "doctor, assistant or desk"}, END};
static const option_spec SETTINGS_LIST[] = {{"case", "CASE", "as they hold for this case"}, END};
static const option_spec SETTINGS_SET[] = {
    {"case", "CASE", "for this case only"}, {"reason", "TEXT", "why (kept in the journal)"}, END};
static const option_spec METHOD_MEASURE[] = {
    {"from-record", NULL, "what was read twice at check-ups, beside or instead of a file"},
    {"keep", NULL, "make the measured errors those in use (a doctor)"},
    {"reason", "TEXT", "why (kept in the journal)"},
    END};
static const option_spec ACCURACY_USE[] = {{"reason", "TEXT", "why (kept in the journal)"}, END};
static const option_spec CASE_NEW[] = {{"chart", "NO", "the person's chart number"},
                                       {"name", "NAME", "'Family, Given'"},
                                       {"born", "DATE", "date of birth"},
                                       {"missing", "TEETH", "missing teeth, as in 18,28"},
                                       {"fixed", "TEETH", "teeth that must not be moved"},
                                       END};
static const option_spec CASE_TOOTH[] = {{"date", "DATE", "since when (today)"}, END};
static const option_spec PLAN_IMPORT[] = {
    {"start", "DATE", "first day of the first aligner"},
    {"interval", "DAYS", "days of wear of each aligner, both arches (14)"},
    {"upper-interval", "DAYS", "the same for the upper arch only"},
    {"lower-interval", "DAYS", "the same for the lower arch only"},
    NOTATION,
    ACCEPT,
    END};
static const option_spec PLAN_SHOW[] = {{"stage", "N", "at this stage (the last)"}, END};
static const option_spec PLAN_EXPORT[] = {
    {"out", "FILE", "a new file (standard output)"}, NOTATION, END};
static const option_spec PLAN_DELIVERED[] = {{"date", "DATE", "day of the delivery"}, END};
static const option_spec PLAN_BEGIN[] = {
    {"date", "DATE", "first day of the new series, in every arch that has one"},
    {"upper", "DATE", "first day in the upper arch only"},
    {"lower", "DATE", "first day in the lower arch only"},
    END};
static const option_spec CHECKUP_IMPORT[] = {
    {"date", "DATE", "day of the check-up"},
    {"aligner", "K", "aligner worn, in every arch that has a series"},
    {"upper", "K", "aligner worn, in the upper arch only"},
    {"lower", "K", "aligner worn, in the lower arch only"},
    {"day", "D", "which day of that aligner it is"},
    {"wear", "HOURS", "hours of wear a day"},
    {"method", "NAME", "eye, caliper (default), photo, landmarks or scan"},
    {"note", "TEXT", "a note on the whole check-up, at most 500 characters"},
    NOTATION,
    ACCEPT,
    END};
static const option_spec CHECKUP_AMEND[] = {
    {"reason", "TEXT", "why it is amended"},
    {"note", "TEXT", "another note (as before; \"\" takes it away)"},
    NOTATION,
    ACCEPT,
    END};
static const option_spec CHECKUP_EXPECT[] = {
    {"date", "DATE", "on this day (today)"},
    {"aligner", "K", "aligner worn, in every arch that has a series (by the dates)"},
    {"upper", "K", "aligner worn, in the upper arch only"},
    {"lower", "K", "aligner worn, in the lower arch only"},
    {"day", "D", "which day of that aligner it is"},
    END};
static const option_spec ARCH_IMPORT[] = {
    {"checkup", "N", "at this check-up's poses (the last)"}, NOTATION, END};
static const option_spec ARCH_SHOW[] = {
    {"stage", "N", "as planned at this stage (where the teeth are)"}, END};
static const option_spec ARCH_EXPORT[] = {{"arch", "ARCH", "upper or lower"},
                                          {"out", "FILE", "a new file (standard output)"},
                                          NOTATION,
                                          END};
static const option_spec SCORE[] = {
    {"checkup", "N", "this check-up (the last)"},
    {"settings", "current", "with today's settings, not the remembered ones"},
    {"check", NULL, "exit 4 when something is behind or stalled"},
    END};
static const option_spec FORECAST[] = {{"checkup", "N", "from this check-up (the last)"}, END};
static const option_spec OPTIONS[] = {{"checkup", "N", "this check-up (the last)"}, END};
static const option_spec REVISE[] = {
    {"out", "FILE", "the draft, a new file"},
    {"target", "FILE", "plan file whose last poses are the targets"},
    {"overcorrect", "PERCENT", "go further by this share of what remains"},
    {"set", "T:C=VALUE", "target of tooth T in component C, as in 12:rotation=4.5; or =plan"},
    {"more", "T:C=PERCENT", "go further in this component only; 0: no further"},
    {"limit", "T:C=VALUE", "at most so much with one aligner; or =usual"},
    {"ipr", "T:S=MM@STAGE", "IPR on side S, mesial or distal, done before STAGE (1); or =plan"},
    {"stay", "T", "the tooth stays where it is"},
    {"move", "T", "the tooth goes to its target again"},
    {"kept", NULL, "begin with the draft kept on record"},
    {"keep", NULL, "keep the changes as the draft on record (a doctor)"},
    NOTATION,
    ACCEPT,
    END};
static const option_spec DECIDE[] = {
    {"choice", "CHOICE", "carry-on, hold, go-back, local, correct, finish; may repeat"},
    {"days", "D", "how long to hold"},
    {"to", "K", "aligner to go back to"},
    {"plan", "FILE", "the corrected plan"},
    {"cause", "CAUSE",
     "wear, contact, attachment, aligner, staging, interference, elastics, root, unknown"},
    {"start", "DATE", "first day of the corrected plan (today plus the laboratory's days)"},
    {"interval", "DAYS", "days of wear of each of its aligners (as before)"},
    {"reason", "TEXT", "needed where another choice than the proposed is made"},
    ACCEPT,
    END};
static const option_spec ROSTER[] = {{"on", "DATE", "as of this day (today)"},
                                     {"check", NULL, "exit 4 when something is behind or stalled"},
                                     END};
static const option_spec RESTORE[] = {
    {"replace", NULL, "put it in the place of an existing record"}, END};

const command COMMANDS[] = {
    {"init", "--doctor INITIALS", "make an empty record and its first doctor", NULL, INIT, 0, 0,
     false, run_init},
    {"demo", "", "make and open an invented practice",
     "Goes into a new file, demo.db in this folder or what --db names, never into the practice's "
     "own. Where a demo stands "
     "there already it is opened again. Its people's passphrases are printed.",
     DEMO, 0, 0, false, run_demo},
    {"staff add", "INITIALS --role ROLE", "add a person",
     "By a doctor. The new person's passphrase is asked for; a new doctor needs the acting "
     "doctor's too.",
     STAFF_ADD, 1, 1, true, run_staff_add},
    {"staff list", "", "list people and roles", NULL, NULL, 0, 0, true, run_staff_list},
    {"staff retire", "INITIALS", "retire a person (a doctor); their entries stay", NULL, NULL, 1, 1,
     true, run_staff_retire},
    {"settings list", "", "list the numbers of the computation, with sources", NULL, SETTINGS_LIST,
     0, 0, true, run_settings_list},
    {"settings set", "KEY VALUE --reason TEXT", "change a number of the computation",
     "By a doctor. Makes a new set; check-ups keep the set they were scored with.", SETTINGS_SET, 2,
     2, true, run_settings_set},
    {"method measure", "[FILE]", "measure the error of the methods from repeated readings",
     "FILE holds pairs of readings of the same things: the columns method, kind (mm or deg), first "
     "and second. Nothing is changed without --keep.",
     METHOD_MEASURE, 0, 1, true, run_method_measure},
    {"accuracy", "", "tell what the practice's own plans achieved, beside what is published",
     "From all closed and superseded plans. accuracy use takes it over.", NULL, 0, 0, true,
     run_accuracy},
    {"accuracy use", "--reason TEXT", "expect of teeth what the practice's own plans achieved",
     "By a doctor. Takes over every share that rests on five patients or more, as a new set; it "
     "counts beside the published share, each by its precision.",
     ACCURACY_USE, 0, 0, true, run_accuracy_use},
    {"case new", "--chart NO --name NAME --born DATE", "open a case",
     "All 32 permanent teeth are taken as present but those named missing.", CASE_NEW, 0, 0, true,
     run_case_new},
    {"case list", "", "list the cases", NULL, NULL, 0, 0, true, run_case_list},
    {"case show", "CASE", "show a case: teeth, plan, dates", NULL, NULL, 1, 1, true, run_case_show},
    {"case tooth", "CASE TOOTH STATE", "record a tooth's state from a day on",
     "States: present, missing, extracted, unerupted, shedding, implant, ankylosed, bridge, fixed. "
     "The last four are present "
     "but never moved.",
     CASE_TOOTH, 3, 3, true, run_case_tooth},
    {"case close", "CASE", "close a case (a doctor)", NULL, NULL, 1, 1, true, run_case_close},
    {"plan import", "CASE FILE --start DATE", "import a case's plan",
     "The file is described in midcourse-plan(5).", PLAN_IMPORT, 2, 2, true, run_plan_import},
    {"plan show", "CASE", "show planned positions at a stage", NULL, PLAN_SHOW, 1, 1, true,
     run_plan_show},
    {"plan export", "CASE", "write the plan as a plan file", NULL, PLAN_EXPORT, 1, 1, true,
     run_plan_export},
    {"plan delivered", "CASE --date DATE", "record that a corrected series was delivered",
     "A corrected series is ordered by a signed decision; until it begins the last aligner that "
     "seats is worn.",
     PLAN_DELIVERED, 1, 1, true, run_plan_delivered},
    {"plan begin", "CASE --date DATE", "record the first day of a corrected series",
     "It may begin in the upper and in the lower arch on different days. From the earlier one on "
     "check-ups are on the new plan.",
     PLAN_BEGIN, 1, 1, true, run_plan_begin},
    {"plan expect", "CASE --date DATE", "record that a corrected series is expected another day",
     "For a series that has not begun: the day said at the signature, or before, no longer holds.",
     PLAN_BEGIN, 1, 1, true, run_plan_expect},
    {"checkup import", "CASE FILE --date DATE --aligner K", "enter and complete a check-up",
     "The file is described in midcourse-checkup(5). A completed check-up is never changed, only "
     "amended.",
     CHECKUP_IMPORT, 2, 2, true, run_checkup_import},
    {"checkup list", "CASE", "list check-ups and their versions", NULL, NULL, 1, 1, true,
     run_checkup_list},
    {"checkup amend", "CASE N FILE --reason TEXT", "add a corrected version of a check-up",
     "FILE says the whole check-up anew: what is not in it is no longer said. Date, aligners, "
     "method and note stay; the version before stays beside it.",
     CHECKUP_AMEND, 3, 3, true, run_checkup_amend},
    {"checkup expect", "CASE", "list what readings against a neighbour should say",
     "Spaces, steps, height steps and crown angles that were read at stage 0 of the plan: what "
     "they "
     "should read by plan.",
     CHECKUP_EXPECT, 1, 1, true, run_checkup_expect},
    {"checkup discard", "CASE", "throw away the check-up being entered on a console",
     "The journal keeps that it was begun and thrown away.", NULL, 1, 1, true, run_checkup_discard},
    {"arch import", "CASE FILE", "keep where the crowns of an arch stand, as measured",
     "The file is described in midcourse-arch(5). It tells where the crowns stood when the teeth "
     "were where the check-up found them.",
     ARCH_IMPORT, 2, 2, true, run_arch_import},
    {"arch show", "CASE", "show where crowns stand and how deep neighbours overlap", NULL,
     ARCH_SHOW, 1, 1, true, run_arch_show},
    {"arch export", "CASE --arch ARCH", "write where the crowns of an arch stand as a file",
     "As they stand where the last check-up found the teeth.", ARCH_EXPORT, 1, 1, true,
     run_arch_export},
    {"score", "CASE", "compare every tooth with its plan",
     "The computation is told in midcourse-method(7).", SCORE, 1, 1, true, run_score},
    {"forecast", "CASE", "where every tooth will be when its series has been worn",
     "The model is told in midcourse-method(7).", FORECAST, 1, 1, true, run_forecast},
    {"options", "CASE", "weigh the choices side by side, and propose the next step", NULL, OPTIONS,
     1, 1, true, run_options},
    {"revise", "CASE --out FILE", "re-stage a plan from where the teeth are now",
     "Writes a draft that a doctor may sign with decide, or a preview where the poses are not by "
     "scan or digitised "
     "landmarks, not of every moving tooth, or too old. Refused where neighbours lack room to pass "
     "each other: the account then says which. set, more, limit, ipr, stay and move may repeat.",
     REVISE, 1, 1, true, run_revise},
    {"decide", "CASE --choice CHOICE", "sign the decision on the last check-up (a doctor)",
     "The score, proposal, settings and plan that were seen are kept with the signature. What is "
     "proposed as examine, reseat, repair, open-contact, review, talk-wear or measure is done "
     "first; "
     "signed is the choice that follows from it.",
     DECIDE, 1, 1, true, run_decide},
    {"roster", "", "list the open cases, most urgent first", NULL, ROSTER, 0, 0, true, run_roster},
    {"journal", "[CASE]", "list who did what, when (UTC)", NULL, NULL, 0, 1, true, run_journal},
    {"backup", "FILE", "copy the record into a new file while it is in use", NULL, NULL, 1, 1, true,
     run_backup},
    {"restore", "FILE", "make the record that a backup holds", NULL, RESTORE, 1, 1, false,
     run_restore},
    {"verify", "", "check the whole record and the journal's chain", NULL, NULL, 0, 0, true,
     run_verify},
    {NULL, NULL, NULL, NULL, NULL, 0, 0, false, NULL}};
