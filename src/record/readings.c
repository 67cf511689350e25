#include "readings.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "digest.h"

static const double most_linear = 20, most_angle = 90; /* mm, deg: further no tooth goes */
static const double most_gap = 5, most_recession = 20, most_crown_angle = 180;
static const char *const yes_names[] = {NULL, "no", "yes"};
/* By mc_relative; the hash of a version names what was read by these. */
static const char *const relative_names[MC_RELATIVES] = {
    [MC_SPACE_TO_MESIAL] = "space_mesial",   [MC_SPACE_TO_DISTAL] = "space_distal",
    [MC_STEP_TO_MESIAL] = "step_mesial",     [MC_STEP_TO_DISTAL] = "step_distal",
    [MC_HEIGHT_TO_MESIAL] = "height_mesial", [MC_HEIGHT_TO_DISTAL] = "height_distal",
    [MC_CROWN_ANGLE] = "crown_angle"};
enum { YES_NAMES = sizeof yes_names / sizeof yes_names[0], WORD = 16 };

/* ---- names; NULL for what was not said ---- */

static const char *method_of(int method) {
    return method == MC_METHOD_OF_CHECKUP ? NULL : mc_method_name((mc_method)method);
}

static const char *attachment_of(mc_attachment a) {
    return a == MC_ATTACHMENT_UNSAID ? NULL : mc_attachment_name(a);
}

static const char *contact_of(mc_contact c) {
    return c == MC_CONTACT_UNSAID ? NULL : mc_contact_name(c);
}

static int shorts_of(const mc_reading *row) {
    int bits = 0;
    for (int c = 0; c < MC_COMPONENTS; c++) {
        bits |= row->short_of_plan[c] ? 1 << c : 0;
    }
    return bits;
}

/* ---- what cannot be ---- */

static bool within(double value, double low, double high) {
    return isnan(value) || (value >= low && value <= high);
}

static bool names_stand(const mc_reading *row) {
    return row->method >= MC_METHOD_OF_CHECKUP && row->method < MC_METHODS &&
           (unsigned)row->attachment <= MC_ATTACHMENT_LOST &&
           (unsigned)row->contact_mesial <= MC_CONTACT_TIGHT &&
           (unsigned)row->contact_distal <= MC_CONTACT_TIGHT && (unsigned)row->pain <= MC_YES &&
           (unsigned)row->swelling <= MC_YES;
}

static bool relative_stands(const mc_reading *row, int what) {
    const bool space = what == MC_SPACE_TO_MESIAL || what == MC_SPACE_TO_DISTAL;
    const double most = what == MC_CROWN_ANGLE ? most_crown_angle : most_linear;
    return within(row->relative[what], space ? 0 : -most, most);
}

static const char *fault_of(const mc_reading *row) {
    for (int c = 0; c < MC_COMPONENTS; c++) {
        double most = mc_component_is_linear((mc_component)c) ? most_linear : most_angle;
        if (!within(row->value[c], -most, most)) {
            return mc_component_column((mc_component)c);
        }
    }
    for (int i = 0; i < MC_RELATIVES; i++) {
        if (!relative_stands(row, i)) {
            return mc_relative_column((mc_relative)i);
        }
    }
    if (!within(row->seat_gap, 0, most_gap)) {
        return "seat_gap_mm";
    }
    if (row->seat_in_bulk && !(row->seat_gap == 0)) {
        return "seat_in_bulk";
    }
    if (!within(row->recession, 0, most_recession)) {
        return "recession_mm";
    }
    if (row->mobility < -1 || row->mobility > 3) {
        return "mobility";
    }
    return names_stand(row) ? NULL : "a word";
}

mc_status readings_check(const mc_checkup *checkup, mc_error *error) {
    for (size_t i = 0; i < checkup->count; i++) {
        const mc_reading *row = &checkup->rows[i];
        if (row->tooth < 0 || row->tooth >= MC_TEETH) {
            return mc_fail_at(error, (long)i + 1, 0, "row %zu is of no tooth", i + 1);
        }
        const char *fault = fault_of(row);
        if (fault != NULL) {
            return mc_fail_at(error, (long)i + 1, 0, "tooth %d: %s cannot be so",
                              mc_tooth_iso(row->tooth), fault);
        }
    }
    return MC_OK;
}

/* ---- in ---- */

/* In the order of mc_relative. */
#define RELATIVE_COLUMNS                                                                           \
    " space_mesial, space_distal, step_mesial, step_distal, height_mesial, height_distal,"         \
    " crown_angle"

static void put_reading(query *q, int64_t version_n, int64_t number, const mc_reading *row) {
    query_again(q);
    query_put_whole(q, version_n);
    query_put_whole(q, number);
    query_put_whole(q, mc_tooth_iso(row->tooth));
    query_put_real(q, row->seat_gap);
    for (int c = 0; c < MC_COMPONENTS; c++) {
        query_put_real(q, row->value[c]);
    }
    query_put_whole(q, shorts_of(row));
    query_put_text(q, method_of(row->method));
    query_put_text(q, attachment_of(row->attachment));
    query_put_text(q, contact_of(row->contact_mesial));
    query_put_text(q, contact_of(row->contact_distal));
    query_put_whole_unless(q, row->mobility, -1);
    query_put_text(q, yes_names[row->pain]);
    query_put_text(q, yes_names[row->swelling]);
    query_put_real(q, row->recession);
    query_put_whole(q, row->seat_in_bulk);
    for (int i = 0; i < MC_RELATIVES; i++) {
        query_put_real(q, row->relative[i]);
    }
}

mc_status readings_add(mc_record *record, int64_t version_n, const mc_checkup *checkup,
                       mc_error *error) {
    query q = query_new(record,
                        "INSERT INTO readings (version_n, row, tooth, seat_gap, mesial, buccal,"
                        " occlusal, rotation, angulation, inclination, short_of_plan, method,"
                        " attachment, contact_mesial, contact_distal, mobility, pain, swelling,"
                        " recession, seat_in_bulk," RELATIVE_COLUMNS ")"
                        " VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?,"
                        " ?, ?, ?, ?, ?)",
                        error);
    for (size_t i = 0; i < checkup->count; i++) {
        put_reading(&q, version_n, (int64_t)i + 1, &checkup->rows[i]);
        query_row(&q);
    }
    return query_end(&q);
}

/* ---- out ---- */

static int take_method(query *q) {
    char name[WORD];
    mc_method method;
    query_take_text(q, name, sizeof name);
    if (name[0] == '\0') {
        return MC_METHOD_OF_CHECKUP;
    }
    if (!mc_method_parse(name, &method)) {
        query_damaged(q, "a reading has an unknown method");
        return MC_METHOD_OF_CHECKUP;
    }
    return method;
}

static mc_attachment take_attachment(query *q) {
    char name[WORD];
    mc_attachment a = MC_ATTACHMENT_UNSAID;
    query_take_text(q, name, sizeof name);
    if (name[0] != '\0' && !mc_attachment_parse(name, &a)) {
        query_damaged(q, "a reading has an unknown attachment");
    }
    return a;
}

static mc_contact take_contact(query *q) {
    char name[WORD];
    mc_contact c = MC_CONTACT_UNSAID;
    query_take_text(q, name, sizeof name);
    if (name[0] != '\0' && !mc_contact_parse(name, &c)) {
        query_damaged(q, "a reading has an unknown contact");
    }
    return c;
}

static mc_yes take_yes(query *q) {
    char name[WORD];
    query_take_text(q, name, sizeof name);
    for (int i = 1; i < YES_NAMES; i++) {
        if (strcmp(name, yes_names[i]) == 0) {
            return (mc_yes)i;
        }
    }
    if (name[0] != '\0') {
        query_damaged(q, "a finding is neither yes nor no");
    }
    return MC_UNSAID;
}

static void take_reading(query *q, mc_reading *row) {
    mc_tooth tooth = mc_tooth_from_iso((int)query_take_whole(q, 0));
    if (tooth == MC_NO_TOOTH) {
        query_damaged(q, "a reading is of no tooth");
        return;
    }
    *row = mc_reading_none(tooth);
    row->seat_gap = query_take_real(q);
    for (int c = 0; c < MC_COMPONENTS; c++) {
        row->value[c] = query_take_real(q);
    }
    int64_t shorts = query_take_whole(q, 0);
    for (int c = 0; c < MC_COMPONENTS; c++) {
        row->short_of_plan[c] = (shorts & (1 << c)) != 0;
    }
    row->method = take_method(q);
    row->attachment = take_attachment(q);
    row->contact_mesial = take_contact(q);
    row->contact_distal = take_contact(q);
    row->mobility = (int)query_take_whole(q, -1);
    row->pain = take_yes(q);
    row->swelling = take_yes(q);
    row->recession = query_take_real(q);
    row->seat_in_bulk = query_take_whole(q, 0) != 0;
    for (int i = 0; i < MC_RELATIVES; i++) {
        row->relative[i] = query_take_real(q);
    }
}

query readings_query(mc_record *record, mc_error *error) {
    return query_new(record,
                     "SELECT tooth, seat_gap, mesial, buccal, occlusal, rotation, angulation,"
                     " inclination, short_of_plan, method, attachment, contact_mesial,"
                     " contact_distal, mobility, pain, swelling, recession,"
                     " seat_in_bulk," RELATIVE_COLUMNS
                     " FROM readings WHERE version_n = ? ORDER BY row",
                     error);
}

void readings_load(query *q, int64_t version_n, mc_checkup_info *info) {
    mc_reading *rows = NULL;
    size_t count = 0;
    query_again(q);
    query_put_whole(q, version_n);
    while (query_row(q)) {
        mc_reading *list = query_room(q, rows, count, sizeof *list);
        if (list == NULL) {
            break;
        }
        rows = list;
        take_reading(q, &rows[count++]);
    }
    if (q->status != MC_OK) {
        free(rows);
        return;
    }
    info->checkup.rows = rows;
    info->checkup.count = count;
}

/* ---- the hash ---- */

static void digest_reading(digest *d, const mc_reading *row) {
    digest_whole(d, mc_tooth_iso(row->tooth));
    digest_real(d, row->seat_gap);
    for (int c = 0; c < MC_COMPONENTS; c++) {
        digest_real(d, row->value[c]);
    }
    digest_whole(d, shorts_of(row));
    digest_text(d, method_of(row->method));
    digest_text(d, attachment_of(row->attachment));
    digest_text(d, contact_of(row->contact_mesial));
    digest_text(d, contact_of(row->contact_distal));
    digest_whole(d, row->mobility);
    digest_text(d, yes_names[row->pain]);
    digest_text(d, yes_names[row->swelling]);
    digest_real(d, row->recession);
    if (row->seat_in_bulk) {
        digest_text(d, "seat in bulk");
    }
    for (int i = 0; i < MC_RELATIVES; i++) {
        if (!isnan(row->relative[i])) {
            digest_text(d, relative_names[i]);
            digest_real(d, row->relative[i]);
        }
    }
}

/* The digest (digest.h) of a version: label, identities of check-up and plan, number, version,
 * date, aligners and days upper and lower (-1 where none), wear hours, method, settings set, by,
 * reason, and each row as the columns of the table readings stand up to recession. What the first
 * schema did not have is there only where it is said: behind its row the text "seat in bulk", and
 * for each reading against a neighbour the name of its column and its value, in the order of the
 * columns; at the end the text "note" and the note; no row begins with such a text, so nothing can
 * be mixed up. */
void readings_hash(mc_checkup_info *info) {
    const mc_checkup *checkup = &info->checkup;
    char date[11];
    digest d;
    mc_day_text(checkup->date, date);
    digest_begin(&d, "midcourse check-up 1");
    digest_bytes(&d, info->id.byte, sizeof info->id.byte);
    digest_bytes(&d, info->plan.byte, sizeof info->plan.byte);
    digest_whole(&d, checkup->number);
    digest_whole(&d, info->version);
    digest_text(&d, date);
    for (int arch = 0; arch < MC_ARCHES; arch++) {
        digest_whole(&d, checkup->aligner[arch] < 0 ? -1 : checkup->aligner[arch]);
        digest_whole(&d, checkup->day[arch] < 0 ? -1 : checkup->day[arch]);
    }
    digest_real(&d, checkup->wear_hours);
    digest_text(&d, mc_method_name(checkup->method));
    digest_whole(&d, info->settings);
    digest_text(&d, info->by);
    digest_text(&d, info->reason);
    for (size_t i = 0; i < checkup->count; i++) {
        digest_reading(&d, &checkup->rows[i]);
    }
    if (checkup->note != NULL && checkup->note[0] != '\0') {
        digest_text(&d, "note");
        digest_text(&d, checkup->note);
    }
    digest_end_hex(&d, info->hash);
}
