/* The worklist as the roster holds it. */
#include "roster_list.h"

#include <stdlib.h>
#include <string.h>

const mc_roster_row *roster_list_at(const roster_list *l, size_t i) {
    return &l->rows[l->find.shown[i]];
}

/* ---- taking rows ---- */

static void count_up(roster_list *l, mc_day today) {
    l->waiting = l->late = 0;
    for (size_t i = 0; i < l->count; i++) {
        l->waiting += l->rows[i].decision_due;
        l->late += l->rows[i].next_checkup != MC_NO_DAY && l->rows[i].next_checkup < today;
    }
    mc_pace_of_rows(l->rows, l->count, &l->pace);
}

void roster_list_end(roster_list *l) {
    find_end(&l->find);
    free(l->rows);
    free(l->order);
    free(l->due);
    *l = (roster_list){0};
}

void roster_list_go(roster_list *l, const mc_id *case_id) {
    for (size_t i = 0; i < l->find.shown_count; i++)
        if (mc_id_same(&roster_list_at(l, i)->kase.id, case_id)) {
            l->cursor = i;
            return;
        }
}

/* Show the rows in their present order, the cursor's case staying where the eye has it. */
static void show_again(roster_list *l, const mc_id *kept) {
    size_t line = l->cursor - l->top;
    find_again(&l->find);
    if (kept && l->touched) {
        roster_list_go(l, kept);
        l->top = l->cursor > line ? l->cursor - line : 0;
    }
}

bool roster_list_take(roster_list *l, mc_roster_row *rows, size_t count, mc_day today) {
    roster_list new = {.rows = rows, .count = count, .cursor = l->cursor, .top = l->top};
    mc_id kept;
    bool has_kept = l->cursor < l->find.shown_count;
    if (has_kept)
        kept = roster_list_at(l, l->cursor)->kase.id;
    new.order = calloc(count + 1, sizeof *new.order);
    new.due = calloc(count + 1, sizeof *new.due);
    if (!new.order || !new.due || !mc_roster_order(rows, count, new.order) ||
        !find_start(&new.find, rows, count)) {
        free(new.order);
        free(new.due);
        return false;
    }
    for (size_t i = 0; i < count; i++) {
        new.due[i] = rows[i].unread;
        new.due_count += rows[i].unread;
    }
    new.find.order = new.order;
    strcpy(new.find.text, l->find.text);
    new.page = l->page;
    new.touched = l->touched;
    new.seen = l->seen;
    new.entry = l->entry;
    roster_list_end(l);
    *l = new;
    count_up(l, today);
    show_again(l, has_kept ? &kept : NULL);
    l->touched = l->touched || l->due_count == 0;
    return true;
}

mc_status roster_list_read(roster_list *l, mc_practice *practice, mc_day today, mc_error *error) {
    mc_roster_row *rows = NULL;
    mc_record *record = mc_practice_record(practice);
    mc_id *none = NULL;
    size_t count = 0;
    bool others;
    l->seen = mc_record_change(record); /* before reading: what comes after it is news */
    l->entry = -1;
    mc_status status = mc_record_cases_after(record, &l->entry, &none, &count, &others, error);
    free(none);
    if (status == MC_OK)
        status = mc_roster_begin(practice, today, &rows, &count, error);
    if (status == MC_OK && !roster_list_take(l, rows, count, today)) {
        free(rows);
        status = mc_fail(error, MC_REFUSED, "out of memory");
    }
    return status;
}

/* ---- keeping up with the record ---- */

static void make_due(roster_list *l, size_t row) {
    l->due_count += !l->due[row];
    l->due[row] = true;
}

/* False where the case is none of the list's. */
static bool make_case_due(roster_list *l, const mc_id *case_id) {
    for (size_t i = 0; i < l->count; i++)
        if (mc_id_same(&l->rows[i].kase.id, case_id)) {
            make_due(l, i);
            return true;
        }
    return false;
}

/* Rows that say otherwise than the record which check-up is being entered. */
static mc_status compare_entering(roster_list *l, mc_record *record, mc_error *error) {
    mc_entering *now = NULL;
    size_t count = 0;
    mc_status status = mc_record_entering(record, &now, &count, error);
    for (size_t i = 0; status == MC_OK && i < l->count; i++) {
        int number = 0;
        for (size_t k = 0; k < count; k++)
            if (mc_id_same(&now[k].case_id, &l->rows[i].kase.id))
                number = now[k].number;
        if (number != l->rows[i].entering)
            make_due(l, i);
    }
    free(now);
    return status;
}

mc_status roster_list_look(roster_list *l, mc_practice *practice, mc_day today, bool *changed,
                           mc_error *error) {
    enum { MANY = 200 }; /* changed cases, from which on reading all is quicker */
    mc_record *record = mc_practice_record(practice);
    int64_t now = mc_record_change(record), entry = l->entry;
    mc_id *cases = NULL;
    size_t count = 0, before = l->due_count;
    bool others = false;
    *changed = false;
    if (now == l->seen)
        return MC_OK;
    mc_status status = mc_record_cases_after(record, &entry, &cases, &count, &others, error);
    bool anew = others || count > MANY;
    for (size_t i = 0; status == MC_OK && !anew && i < count; i++)
        anew = !make_case_due(l, &cases[i]);
    free(cases);
    if (status == MC_OK && !anew)
        status = compare_entering(l, record, error);
    l->seen = now; /* whatever came of it: what cannot be read is said once */
    l->entry = entry;
    if (status == MC_OK && anew)
        status = roster_list_read(l, practice, today, error);
    *changed = anew || l->due_count != before;
    return status;
}

/* ---- filling ---- */

enum { A_FEW = 4 };

static size_t pick(const roster_list *l, size_t from, size_t to, bool shown, size_t n,
                   size_t picked[A_FEW]) {
    for (size_t i = from; i < to && n < A_FEW; i++) {
        size_t row = shown ? l->find.shown[i] : i;
        bool already = false;
        for (size_t k = 0; k < n; k++)
            already = already || picked[k] == row;
        if (l->due[row] && !already)
            picked[n++] = row;
    }
    return n;
}

/* Rows that are due: those in sight, then the others one after the other. */
static size_t pick_due(roster_list *l, size_t picked[A_FEW]) {
    size_t bottom = l->top + (size_t)l->page;
    bottom = bottom < l->find.shown_count ? bottom : l->find.shown_count;
    size_t n = pick(l, l->top, bottom, true, 0, picked);
    while (n < A_FEW && l->next_due < l->count) {
        n = pick(l, l->next_due, l->next_due + 1, false, n, picked);
        l->next_due++;
    }
    if (n == 0)
        l->next_due = 0;
    return n;
}

mc_status roster_list_fill(roster_list *l, mc_practice *practice, mc_day today, mc_error *error) {
    size_t picked[A_FEW];
    mc_roster_row *rows[A_FEW] = {NULL};
    bool closed = false;
    if (l->due_count == 0)
        return MC_OK;
    size_t n = pick_due(l, picked);
    if (n == 0) /* begun anew at the first row */
        n = pick_due(l, picked);
    for (size_t i = 0; i < n; i++)
        rows[i] = &l->rows[picked[i]];
    mc_status status = mc_roster_fill(practice, today, rows, n, error);
    for (size_t i = 0; i < n; i++) {
        l->due[picked[i]] = false;
        l->due_count--;
        closed = closed || l->rows[picked[i]].kase.closed != MC_NO_DAY;
    }
    if (status == MC_OK && closed) /* it is on the list no more */
        status = roster_list_read(l, practice, today, error);
    return status;
}

bool roster_list_settle(roster_list *l, mc_day today) {
    mc_id kept;
    bool has_kept = l->cursor < l->find.shown_count;
    if (has_kept)
        kept = roster_list_at(l, l->cursor)->kase.id;
    if (!mc_roster_order(l->rows, l->count, l->order))
        return false;
    count_up(l, today);
    show_again(l, has_kept ? &kept : NULL);
    l->touched = l->touched || l->due_count == 0;
    return true;
}
