/* What this very series is expected to bring, beside carrying on and finishing first. */
#include "bench.h"

size_t mc_bench_options(const mc_bench *bench, mc_option out[MC_BENCH_OPTIONS]) {
    static const mc_choice choices[MC_BENCH_OPTIONS] = {MC_CARRY_ON, MC_FINISH, MC_CORRECT};
    size_t count = 0;
    for (int i = 0; i < MC_BENCH_OPTIONS; i++) {
        const mc_option_ask ask = {.choices = 1u << choices[i], .to = -1};
        mc_assess_option(bench->a, &ask, &out[count]);
        count += !out[count].failed;
    }
    return count;
}
