#!/usr/bin/env python3
"""Make fixtures/relative_reference.csv: what readings against a neighbour say, as one dense Gaussian posterior.

The vector is that of posterior_reference.py: positions of components and the shared pace. What is read against a
neighbour is one more kind of linear observation of it: against the baseline of stage 0, where both stood at 0,

    own (read - baseline) = x + own other x_neighbour + own (noise of the reading - noise of the baseline)

Its variance is that of the mean of the readings and of the mean of the baseline's, and two readings against one baseline
share the latter. The teeth that are read so, and the pace, are compared after the last check-up. The pass leaves a
neighbour with its own readings; so it is as good as the posterior where each neighbour is needed once, and the angle of
the crown, which has none, may be read at many check-ups. Space, mesial: own -1, other +1, across the midline -1; distal: own
+1, other -1. Steps and heights: own +1, other -1. The angle of the crown: own +1, no neighbour.

    python3 tests/published/relative_reference.py fixtures/relative_reference.csv
"""
import sys

import numpy as np

from posterior_reference import Track, covariance
from reference_case import PACE, Play, reading_variance, stage_of

KINDS = {"space mesial": ("mesial", -1, 1), "space distal": ("mesial", 1, -1), "step mesial": ("buccal", 1, -1),
         "step distal": ("buccal", 1, -1), "height mesial": ("occlusal", 1, -1), "height distal": ("occlusal", 1, -1),
         "crown angle": ("rotation", 1, 0)}


def posterior(points, seen):
    """As posterior_reference.posterior, each reading of ([(factor, point)], value, variance, baseline): a name for the
    baseline and its variance, or None."""
    everything = [p for terms, _, _, _ in seen for _, p in terms] + points
    n, m = len(everything), len(seen)
    mean = np.array([p.mean for p in everything] + [0.0])
    cov = np.empty((n + 1, n + 1))
    for i, a in enumerate(everything):
        cov[i, n] = cov[n, i] = PACE ** 2 * a.way
        for j, b in enumerate(everything):
            cov[i, j] = covariance(a, b)
    cov[n, n] = PACE ** 2
    H, at = np.zeros((m, n + 1)), 0
    for i, (terms, _, _, _) in enumerate(seen):
        for factor, _ in terms:
            H[i, at] = factor
            at += 1
    noise = np.diag([variance for _, _, variance, _ in seen])
    for i, (_, _, _, one) in enumerate(seen):
        for j, (_, _, _, other) in enumerate(seen):
            if one and other and one[0] == other[0]:
                noise[i, j] += one[1]
    gain = np.linalg.solve(H @ cov @ H.T + noise, H @ cov).T
    mean = mean + gain @ (np.array([value for _, value, _, _ in seen]) - H @ mean)
    cov = cov - gain @ H @ cov
    first = n - len(points)
    return mean[first:], cov[first:, first:]


def average(values):
    """Mean by 1/variance of [(value, variance)], and its variance."""
    weight = sum(1 / variance for _, variance in values)
    return sum(value / variance for value, variance in values) / weight, 1 / weight


def by_thing(relatives):
    """{(tooth, what, neighbour): [(value, variance)]}."""
    out = {}
    for tooth, what, neighbour, method, value in relatives:
        variance = reading_variance(method, KINDS[what][0])
        out.setdefault((tooth, what, neighbour), []).append((value, variance))
    return out


def write_checkup(out, checkup, relatives):
    out.add("checkup", *checkup[:4])
    for tooth, component, method, value in checkup[4]:
        out.add("reading", tooth, component, method, float(value))
    for tooth, what, _, method, value in relatives:
        out.add("relative", tooth, what, method, float(value))
    out.add("take")


def play(out, name, course, checkups):
    """checkups: [(checkup, relatives)], the baselines in the first."""
    out.add("case", name)
    out.begin(course)
    tracks, seen, baseline = {}, [], by_thing(checkups[0][1])

    def track(tooth, component):
        key = (tooth, component)
        if key not in tracks:
            tracks[key] = Track(key)
            tracks[key].begin(0, course)
        return tracks[key]

    compared = set()
    for n, (checkup, relatives) in enumerate(checkups):
        write_checkup(out, checkup, relatives)
        for tooth, component, method, value in checkup[4]:
            t = track(tooth, component)
            if t.at != stage_of(checkup, tooth):
                t.move(stage_of(checkup, tooth))
            seen.append(([(1.0, t.point())], value, reading_variance(method, component), None))
        for (tooth, what, neighbour), values in by_thing(relatives if n else []).items():
            component, own, other = KINDS[what]
            s = stage_of(checkup, tooth)
            t = track(tooth, component)
            if t.at != s:
                t.move(s)
            terms = [(1.0, t.point())]
            if neighbour:
                if what.startswith("space") and tooth // 10 != neighbour // 10:
                    other = -other
                n_track = track(neighbour, component)
                terms.append((float(own * other), n_track.point(s) if n_track.at != s else n_track.point()))
            (read, noise), (base, base_noise) = average(values), average(baseline[tooth, what, neighbour])
            seen.append((terms, own * (read - base), noise, ((tooth, what), base_noise)))
            compared.add((tooth, component))
    keys = sorted(compared)
    points = []
    for tooth, component in keys:
        t, s = track(tooth, component), stage_of(checkup, tooth)
        points.append(t.point(s) if t.at != s else t.point())
    mean, cov = posterior(points, seen)
    for i, key in enumerate(keys):
        out.add("item", *key, float(mean[i]), float(np.sqrt(cov[i, i])))
    out.add("pace", float(mean[-1]), float(np.sqrt(cov[-1, -1])))


def course(plan, share):
    return {"plan": plan, "share": share, "variance": {}, "checkups": []}


# Expected shares as in posterior_reference.py, from fixtures/published.csv by hand.
PLAN = {11: [(20, {"mesial": 0.9, "buccal": -1.2, "rotation": 9})],
        12: [(8, {"mesial": 0.3, "occlusal": 0.2}), (20, {"mesial": 1.4, "buccal": 1.0, "occlusal": 0.5, "rotation": 14})],
        13: [(20, {"mesial": 1.1, "buccal": -0.4, "occlusal": -0.6})],
        21: [(20, {"mesial": -0.5})]}
SHARES = {(11, "buccal"): 47.1 / 100,                                                    # K09b, palatally
          (11, "rotation"): 0.96, (12, "rotation"): (66.8 + 86 + 46) / 300,              # B22b; L17d, B22a, H20c
          (12, "occlusal"): 29.6 / 100, (13, "occlusal"): 92 / 100}                      # K09c; B22d


def cases():
    base = ((0, -1, -1, -1, []), [(12, "space mesial", 11, "caliper", 0.9), (12, "space mesial", 11, "caliper", 1.1),
                                  (12, "space distal", 13, "photo", 0.2), (12, "step mesial", 11, "caliper", -0.7),
                                  (12, "height distal", 13, "caliper", 0.4), (12, "crown angle", None, "photo", -31)])
    yield "neighbours read before or now", course(PLAN, SHARES), [
        base,
        ((6, -1, -1, -1, [(11, "mesial", "caliper", 0.2), (13, "mesial", "caliper", 0.5), (13, "occlusal", "photo", -0.1),
                          (11, "buccal", "caliper", -0.4)]), []),
        ((12, 2, -1, -1, [(11, "mesial", "scan", 0.41), (12, "mesial", "caliper", 0.6), (11, "rotation", "caliper", 4)]),
         [(12, "space mesial", 11, "caliper", 0.7), (12, "space distal", 13, "photo", 0.15),
          (12, "space distal", 13, "scan", 0.1), (12, "step mesial", 11, "caliper", 0.3),
          (12, "height distal", 13, "caliper", 0.6), (12, "crown angle", None, "photo", -25.5)])]
    yield "one angle at four check-ups", course(PLAN, SHARES), [
        ((0, -1, -1, -1, []), [(12, "crown angle", None, "caliper", 12)]),
        ((5, -1, -1, -1, []), [(12, "crown angle", None, "photo", 17)]),
        ((9, 1, -1, -1, [(12, "rotation", "caliper", 2.5), (11, "rotation", "caliper", 2)]),
         [(12, "crown angle", None, "photo", 19), (12, "crown angle", None, "photo", 20)]),
        ((14, -1, -1, -1, [(12, "rotation", "photo", 5)]), [(12, "crown angle", None, "caliper", 24)]),
        ((20, -1, -1, -1, []), [(12, "crown angle", None, "photo", 26)])]
    yield "across the midline", course(PLAN, SHARES), [
        ((0, -1, -1, -1, []), [(11, "space mesial", 21, "caliper", 1.3)]),
        ((10, -1, -1, -1, [(21, "mesial", "caliper", -0.1)]), [(11, "space mesial", 21, "caliper", 0.9)])]


def main():
    out = Play("Readings against a neighbour as one dense Gaussian posterior: position and SD of every component that "
               "is read so, and the pace.",
               f"numpy {np.__version__}, tests/published/relative_reference.py")
    for name, plan, checkups in cases():
        play(out, name, plan, checkups)
    out.write(sys.argv[1])


if __name__ == "__main__":
    main()
