/* The arches on the workbench, as seen from the occlusal side: each crown where it is at the stage
 * looked at, and where its target is. */
#include "bench_view.h"
#include "words.h"

#include <stdio.h>

/* Fewer rows show only the arch of the tooth under the cursor. */
enum { BOTH_ROWS = 30 };

static bool is_lower(const bench_view *v) {
    return v->cursor != MC_NO_TOOTH && mc_tooth_arch(v->cursor) == MC_LOWER;
}

/* A contact that lacks room is to be found at once. */
static bool lacks_room(const bench_view *v, mc_tooth tooth) {
    for (size_t i = 0; i < v->contacts; i++) {
        const mc_restaged_contact *k = v->contact[i].of;
        if ((k->right == tooth || k->left == tooth) && k->missing > 0)
            return true;
    }
    return false;
}

void bench_picture(bench_view *v) {
    const mc_restaged *account = mc_bench_account(bench_of(v));
    for (mc_tooth t = 0; t < MC_TEETH; t++) {
        bool lacks = lacks_room(v, t), moves = account->tooth[t].moves;
        v->picture.tooth[t] = (arch_tooth){.wanted = v->should[t],
                                           .now = v->is[t],
                                           .ink = lacks   ? STYLE_CARE
                                                  : moves ? STYLE_STRONG
                                                          : STYLE_FAINT,
                                           .flag = lacks ? MARK_CARE : MARKS,
                                           .fill = lacks ? FILL_HALF : FILL_NONE};
    }
    arch_picture_changed(&v->picture);
}

static void say_caption(const bench_view *v, mc_arch arch, char *out, size_t size) {
    const mc_arches *arches = mc_bench_arches(bench_of(v));
    int stages = mc_bench_account(bench_of(v))->stages[arch];
    int stage = v->stage < stages ? v->stage : stages;
    snprintf(out, size, "%s", arches->estimated[arch] ? "estimated" : "measured");
    if (v->shows == BENCH_STAGE)
        words_add(out, size, ", %d of %d", stage, stages);
}

static void say_legend(const bench_view *v, const arch_drawn *drawn, char *out, size_t size) {
    if (drawn->dots_per_mm <= 0) {
        snprintf(out, size, "No crown is known: nothing is drawn.");
        return;
    }
    snprintf(out, size, "solid: now");
    if (v->shows == BENCH_STAGE)
        snprintf(out, size, "solid: stage %d", v->stage);
    words_add(out, size, ", dotted: target");
    if (drawn->enlarge > 1)
        words_add(out, size, ", %.0f-fold", drawn->enlarge);
}

void bench_draw_arches(const console *con, bench_view *v, area box) {
    char caption[MC_ARCHES][40], legend[80];
    arch_drawn drawn;
    bool both = box.rows >= BOTH_ROWS;
    arch_sight sight = {.arch = {both || !is_lower(v), both || is_lower(v)},
                        .zoom = v->zoom,
                        .selected = v->cursor,
                        .notation = con->notation};
    for (int arch = 0; arch < MC_ARCHES; arch++) {
        say_caption(v, (mc_arch)arch, caption[arch], sizeof caption[arch]);
        sight.caption[arch] = caption[arch];
    }
    area arches = {box.row, box.col, box.rows - 1, box.cols};
    arch_draw(&con->theme, &v->picture, &sight, arches, &drawn);
    say_legend(v, &drawn, legend, sizeof legend);
    put(&con->theme, box.row + box.rows - 1, box.col + 1, box.cols - 2, STYLE_FAINT, legend);
}
