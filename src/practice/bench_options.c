/* What this very series is expected to bring, beside carrying on and finishing first. */
#include "bench.h"

static size_t add(const mc_bench *bench, mc_choice choice, const mc_plan *draft, mc_option *out) {
    const mc_option_ask ask = {.choices = 1u << choice, .to = -1};
    mc_assess_option_with(bench->a, draft, &ask, out);
    return out->failed ? 0 : 1;
}

size_t mc_bench_options(const mc_bench *bench, mc_option out[MC_BENCH_OPTIONS]) {
    size_t count = add(bench, MC_CARRY_ON, NULL, out);
    count += add(bench, MC_FINISH, NULL, out + count);
    if (bench->made->plan)
        count += add(bench, MC_CORRECT, bench->made->plan, out + count);
    return count;
}
