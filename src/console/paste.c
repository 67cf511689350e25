/* Pasting: into a line of text that is asked for, and into a screen that finds by what is typed.
 * Line ends become blanks, since an Enter among them would hand over half of the text and leave the
 * rest to the keys of the screen. */
#include "paste.h"

#include "prompt.h"

static void text_key(console *con, int key) {
    const screen_ops *ops = con->stack[con->depth - 1].ops;
    if (con->prompt.open)
        prompt_key(con, key);
    else if (con->locked || con->answer != 0)
        return;
    else if (ops->takes_paste && ops->typed)
        ops->typed(con, con->stack[con->depth - 1].self, key);
    else
        frame_say(con, "Pasted text is taken only where text is asked for.");
}

bool paste_key(console *con, int key) {
    if (key == KEY_PASTE_BEGIN || key == KEY_PASTE_END) {
        con->pasting = key == KEY_PASTE_BEGIN;
        con->paste_blank = false;
        return true;
    }
    if (!con->pasting)
        return false;
    if (terminal_character(key) != 0) {
        if (con->paste_blank) /* only within the text, not at its end */
            text_key(con, ' ');
        con->paste_blank = false;
        text_key(con, key);
    } else if (key == '\n' || key == '\t') {
        con->paste_blank = true;
    }
    return true;
}
