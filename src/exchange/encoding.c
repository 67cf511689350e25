#include "encoding.h"

#include <stdbool.h>
#include <string.h>
#include <utf8proc.h>

size_t encoding_mark(const char *data, size_t size) {
    return size >= 3 && memcmp(data, "\xef\xbb\xbf", 3) == 0 ? 3 : 0;
}

static bool is_utf16(const char *data, size_t size) {
    return size >= 2 && (memcmp(data, "\xff\xfe", 2) == 0 || memcmp(data, "\xfe\xff", 2) == 0);
}

static const char *fault_of(utf8proc_int32_t c) {
    if (c == 0) {
        return "a NUL byte: this is no text file";
    }
    if ((c < 0x20 && c != '\t' && c != '\n' && c != '\r') || (c >= 0x7f && c < 0xa0)) {
        return "a control character: this is no text file";
    }
    return NULL;
}

size_t encoding_fault(const char *data, size_t size, const char **why) {
    *why = NULL;
    if (is_utf16(data, size)) {
        *why = "the file is UTF-16, save it as UTF-8";
        return 0;
    }
    for (size_t i = encoding_mark(data, size); i < size;) {
        utf8proc_int32_t c;
        const utf8proc_ssize_t used =
            utf8proc_iterate((const utf8proc_uint8_t *)data + i, (utf8proc_ssize_t)(size - i), &c);
        *why = used < 1 ? "bytes that are no UTF-8: save the file as UTF-8" : fault_of(c);
        if (*why) {
            return i;
        }
        i += (size_t)used;
    }
    return size;
}
