/* What is pasted is text and nothing else: no key of it does anything. */
#ifndef CONSOLE_PASTE_H
#define CONSOLE_PASTE_H

#include "frame.h"

/* True where the key begins, ends or belongs to what is pasted, and is dealt with. */
bool paste_key(console *con, int key);

#endif
