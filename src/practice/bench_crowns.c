/* Where crowns stand on the bench. */
#include "bench.h"

void bench_crowns(const mc_bench *bench, bench_made *made) {
    (void)bench;
    made->ask.check_overlap = false;
}
