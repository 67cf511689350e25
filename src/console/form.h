/* A page to fill in: fields under each other, each with what is to be typed below it, or with why
 * it cannot be so. Nothing is done before every field can be so, and nothing by leaving. */
#ifndef CONSOLE_FORM_H
#define CONSOLE_FORM_H

#include "frame.h"

enum { MOST_FIELDS = 6 };

typedef struct form form;

typedef struct form_field {
    const char *label;
    const char *hint; /* what is to be typed, and how */
    size_t most;      /* characters; 0: as many as there is room for */
    bool personal;    /* hidden with the names */
    /* Whether the text can be so, without blanks at its edges; a refusal is a sentence that stands
     * at the field. May fill in fields below. NULL: whatever is typed. */
    mc_status (*check)(console *con, form *f, const char *text, mc_error *error);
} form_field;

typedef struct form_plan {
    const char *title;
    const char *heading; /* what the page is for */
    const char *given_up;
    const form_field *fields;
    size_t count;
    void (*filled)(console *con, form *f); /* every field can be so */
    void (*close)(void *owner);            /* NULL: nothing to be done */
} form_plan;

/* owner is what the fields' functions work on; closed with the form. NULL when out of memory (the
 * owner is closed then). */
form *form_new(const form_plan *plan, void *owner);
void form_open(console *con, form *f);
void *form_owner(const form *f);
/* What was typed, without blanks at its edges; good until the field changes. */
const char *form_text(const form *f, size_t field);
/* Put a text there that may be taken as it is or typed over. */
void form_set(form *f, size_t field, const char *text);
/* The field cannot be so: say it there, and go there. */
void form_fault(form *f, size_t field, const char *why);

/* "2026-11-25"; refuses with the sentence for the field. */
mc_status form_day(const char *text, mc_day *day, mc_error *error);

#endif
