/* file: opening, making and closing the record's one file. */
#ifndef MIDCOURSE_RECORD_FILE_H
#define MIDCOURSE_RECORD_FILE_H

#include "query.h"

/* Make an empty file, readable by its owner only; refuses where anything of that name exists. */
mc_status file_reserve(const char *path, mc_error *error);
/* The same under a name of ours beside another's: what one that was killed left there goes first.
 */
mc_status file_reserve_scratch(const char *path, mc_error *error);
/* Connect to an existing file without asking what is in it. */
mc_status file_connect(const char *path, mc_record **out, mc_error *error);
/* The same with a record that is being made under another name than its own (NULL: under its own);
 * messages name its own. */
mc_status file_connect_making(const char *path, const char *making, mc_record **out,
                              mc_error *error);
/* Readers and one writer at a time without waiting for each other. */
mc_status file_use_wal(mc_record *record, mc_error *error);
/* Refuse a file that another connection is using, now or in the middle of something. What cannot be
 * read at all is in nobody's use. Closing the only connection leaves one file, nothing beside it.
 */
mc_status file_unused(const char *path, mc_error *error);
/* Give a file another name where nothing stands, not even a link to nothing. */
mc_status file_place(const char *from, const char *to, mc_error *error);
/* Refuse what is no record of ours. */
mc_status file_is_record(mc_record *record, mc_error *error);
/* Put a file, and its name in its folder, on the disk. Not for a file that any mc_record of this
 * process has open: closing it here would drop that one's locks. */
mc_status file_to_disk(const char *path, mc_error *error);
/* From now on wait for another writer as long as usual, or not at all. */
void file_wait(mc_record *record, bool wait);
/* Remove a file of ours that came to nothing, with what SQLite keeps beside it. */
void file_remove(const char *path);
/* path with something behind it, freed by the caller; NULL when out of memory. */
char *file_beside(const char *path, const char *end);

#endif
