#!/usr/bin/env python3
"""Make fixtures/posterior_reference.csv: what the room tracking estimates, as one dense Gaussian posterior.

No filter here. The position of every component at every check-up and the shared pace a are one Gaussian vector, whose
covariance is written down from the model in continuous form, and all readings so far are conditioned on at once. With
u the stages that a component has passed (back ones too), v(u) its planned slope there and V(t) the integral of v to t,

    x(t) = start + V(t) (mu + own + a) + integral over u of K(u) dB(u) + noise of variance (0.1 v)^2 + q^2 a stage

where rho wanders by B (variance w^2 a stage), K(u) = V(t) - V(u) before t and 0 after it. On a corrected plan x starts
anew, but own, a and what B has done so far carry over, so that K(u) = V(t) for all u of the plans before.

    python3 tests/published/posterior_reference.py fixtures/posterior_reference.csv
"""
import sys

import numpy as np

from reference_case import (ANY, OWN, PACE, STEP, WANDER, Play, components_read, pieces, planned, reading_variance,
                            stage_of, tolerance, unplanned_sd)


class Point:
    """x of one component at one moment: its mean and what it is made of."""

    def __init__(self, key, course, mean, way, kernel, start, noise):
        self.key, self.course, self.mean, self.way, self.kernel = key, course, mean, way, kernel
        self.start, self.noise = start, noise  # variance of its plan's start; accumulated independent variance


def inner(a, b):
    """Integral of the product of two kernels, each [(from, to, at from, at to)], straight in between."""
    total = 0.0
    for f, t, fa, ta in a:
        for g, u, gb, ub in b:
            low, high = max(f, g), min(t, u)
            if low < high:
                def at(x):
                    return (fa + (x - f) / (t - f) * (ta - fa)) * (gb + (x - g) / (u - g) * (ub - gb))
                total += (high - low) / 6 * (at(low) + 4 * at((low + high) / 2) + at(high))  # exact for a parabola
    return total


def covariance(a, b):
    total = PACE ** 2 * a.way * b.way
    if a.key == b.key:
        total += OWN ** 2 * a.way * b.way + WANDER ** 2 * inner(a.kernel, b.kernel)
        if a.course == b.course:
            total += min(a.start, b.start) + min(a.noise, b.noise)  # independent increments: what the earlier of the two has
    return total


class Track:
    """One component over all courses: where it stands and the pieces that it has passed."""

    def __init__(self, key):
        self.key, self.before = key, 0.0

    def begin(self, number, course):
        self.number, self.course = number, course
        self.before += sum(l for l, _ in getattr(self, "passed", []))
        self.at, self.passed = 0.0, []

    def point(self, s=None):
        """x now, or after going on to stage s."""
        passed = self.passed + (pieces(self.course["plan"], *self.key, self.at, s) if s is not None else [])
        way = sum(l * v for l, v in passed)
        q = unplanned_sd(self.course["plan"], *self.key)
        kernel, u, gone = [(0.0, self.before, way, way)] if self.before else [], self.before, 0.0
        for l, v in passed:
            kernel.append((u, u + l, way - gone, way - gone - l * v))
            u, gone = u + l, gone + l * v
        noise = sum(l * ((STEP * v) ** 2 + q ** 2) for l, v in passed)
        return Point(self.key, self.number, way * self.course["share"].get(self.key, ANY), way,
                     [k for k in kernel if k[0] < k[1]], self.course["variance"].get(self.key, 0.0), noise)

    def move(self, s):
        self.passed += pieces(self.course["plan"], *self.key, self.at, s)
        self.at = s


def posterior(points, seen):
    """Mean and covariance of x at the points, then a, given the readings [(point, value, variance)]."""
    everything = [p for p, _, _ in seen] + points
    n = len(everything)
    mean = np.array([p.mean for p in everything] + [0.0])
    cov = np.empty((n + 1, n + 1))
    for i, a in enumerate(everything):
        cov[i, n] = cov[n, i] = PACE ** 2 * a.way
        for j, b in enumerate(everything):
            cov[i, j] = covariance(a, b)
    cov[n, n] = PACE ** 2
    m = len(seen)
    H = np.eye(m, n + 1)
    gain = np.linalg.solve(H @ cov @ H.T + np.diag([variance for _, _, variance in seen]), H @ cov).T
    mean = mean + gain @ (np.array([value for _, value, _ in seen]) - H @ mean)
    cov = cov - gain @ H @ cov
    return mean[m:], cov[m:, m:]


def tracked_share(course, tooth, read, s, mean, cov, keys):
    """Share and standard error over the components read, on plans whose legs start at 0; None below 1."""
    weights, whole = np.zeros(len(mean)), 0.0
    for key in read:
        if key[0] == tooth:
            P = planned(course["plan"], *key, s)
            if abs(P) >= (0.05 if tolerance(key[1]) == 0.5 else 0.2):
                weights[keys.index(key)] = P / tolerance(key[1]) ** 2
                whole += (P / tolerance(key[1])) ** 2
    if whole < 1:
        return None
    return float(weights @ mean) / whole, float(np.sqrt(weights @ cov @ weights)) / whole


def play(out, name, case):
    tracks, seen = {key: Track(key) for key in components_read(case)}, []
    out.add("case", name)
    for number, course in enumerate(case):
        out.begin(course)
        followed = set()
        for track in tracks.values():
            track.begin(number, course)
        for checkup in course["checkups"]:
            out.checkup(checkup)
            read = sorted({r[:2] for r in checkup[4]})
            followed.update(read)
            for key in read:
                tracks[key].move(stage_of(checkup, key[0]))
            seen += [(tracks[r[:2]].point(), r[3], reading_variance(r[2], r[1])) for r in checkup[4]]
            keys = sorted(followed)
            points = [tracks[k].point(None if k in read else stage_of(checkup, k[0])) for k in keys]
            mean, cov = posterior(points, seen)
            for i, key in enumerate(keys):
                out.add("item", *key, float(mean[i]), float(np.sqrt(cov[i, i])))
            out.add("pace", float(mean[-1]), float(np.sqrt(cov[-1, -1])))
            for tooth in sorted({key[0] for key in read}):
                share = tracked_share(course, tooth, read, stage_of(checkup, tooth), mean, cov, keys)
                if share:
                    out.add("share", tooth, *share)


def course(plan, share, checkups, variance=None):
    return {"plan": plan, "share": share, "variance": variance or {}, "checkups": checkups}


def readings(rng, plan, checkup, method, keys, rate):
    """Invented: what is planned times a rate, with the method's noise, to two digits."""
    return checkup + ([(*key, method, round(rate * planned(plan, *key, stage_of(checkup + ([],), key[0]))
                                            + rng.normal() * reading_variance(method, key[1]) ** 0.5, 2))
                       for key in keys],)


ROTATION_13, ROTATION_44 = (60 + 37) / 200, (40 + 70.4 + 60) / 300  # C23a, H20e; S14c, B22c, C23a
FIRST = {13: [(6, {"rotation": -6, "mesial": 0.5}), (20, {"rotation": -14, "mesial": 0.9, "buccal": 0.4})],
         17: [(16, {"mesial": -1.8, "angulation": -5, "occlusal": -0.3})],
         44: [(4, {"rotation": 2}), (9, {"rotation": 9}), (18, {"rotation": 20, "inclination": 6})]}
FIRST_SHARE = {(13, "rotation"): ROTATION_13, (17, "mesial"): 0.87,                      # S14d, distal
               (17, "angulation"): 93.4 / 100,                                           # L17e
               (17, "occlusal"): ANY, (44, "rotation"): ROTATION_44,
               (44, "inclination"): ANY}                  # no buccal translation: the apex moves, torque, no row
SECOND = {13: [(10, {"rotation": -5, "mesial": -0.6})], 17: [(12, {"mesial": 0.9, "buccal": -0.5})],
          44: [(5, {"rotation": 0}), (14, {"rotation": -7, "inclination": 2, "buccal": 1.0})]}
SECOND_SHARE = {(13, "rotation"): ROTATION_13, (44, "rotation"): ROTATION_44,
                (17, "angulation"): 93.4 / 100,                                          # L17e; read, not planned
                (44, "inclination"): (72.9 + 93.1 + 56) / 300}                           # L17c, B22f, H20b: tipping
SECOND_VARIANCE = {(13, "rotation"): 0.49, (13, "mesial"): 0.01, (17, "mesial"): 0.01, (17, "buccal"): 0.04,
                   (44, "rotation"): 2.25}
THIRD = {17: [(6, {"mesial": -0.4, "buccal": -0.5})], 44: [(8, {"rotation": -7})]}
THIRD_SHARE = {(17, "mesial"): 0.87, (44, "rotation"): ROTATION_44}


def cases():
    rng = np.random.default_rng(1903)
    k13, k17, k44 = [(13, "rotation"), (13, "mesial")], [(17, "mesial"), (17, "angulation")], [(44, "rotation")]
    def first(*which):
        return readings(rng, FIRST, *which)
    straight = {11: [(20, {"mesial": 1.6, "buccal": -1.2, "rotation": 12})], 15: [(20, {"rotation": -20, "mesial": 0.8})],
                26: [(20, {"mesial": -1.5, "angulation": -6})]}
    straight_share = {(11, "buccal"): 47.1 / 100,                                        # K09b, palatally
                      (11, "rotation"): 0.96, (15, "rotation"): (40 + 60) / 200,         # B22b; S14c, C23a
                      (26, "mesial"): 0.87, (26, "angulation"): 93.4 / 100}
    every = [(t, c) for t, rows in straight.items() for c in rows[0][1]]
    def fourth(*which):
        return readings(rng, straight, *which)
    yield "three teeth and four check-ups", [course(straight, straight_share, [
        fourth((4, -1, -1, -1), "caliper", every, 0.6), fourth((8, -1, -1, -1), "caliper", every, 0.7),
        fourth((12, 2, -1, -1), "photo", every[:5], 0.6), fourth((16, -1, -1, -1), "scan", every, 0.65)])]
    before = [first((4, -1, 3, -1), "caliper", k13 + k44, 0.9), first((8, 1, 8, -1), "caliper", k17 + k44, 0.8),
              first((6, -1, 12, -1), "caliper", k13 + k17 + [(17, "occlusal")], 0.9),
              first((6, -1, 12, -1), "photo", k13 + k44 + k44 + [(44, "inclination"), (13, "buccal")], 0.7)]
    yield "both arches and gone back and repeated", [course(FIRST, FIRST_SHARE, before)]
    after = [readings(rng, SECOND, (2, -1, 3, -1), "caliper", k13 + k17 + k44, 0.8),
             readings(rng, SECOND, (6, -1, 6, 3), "caliper", k17 + [(17, "buccal"), (44, "inclination")], 0.8),
             readings(rng, SECOND, (9, -1, 12, -1), "scan", k13 + k44 + [(17, "buccal"), (44, "buccal")], 0.9)]
    two = [course(FIRST, FIRST_SHARE, before), course(SECOND, SECOND_SHARE, after, SECOND_VARIANCE)]
    yield "a corrected plan", two
    end = [readings(rng, THIRD, (3, -1, 2, -1), "caliper", [(17, "mesial"), (44, "rotation")], 0.5),
           readings(rng, THIRD, (6, -1, 8, -1), "photo", [(17, "mesial"), (17, "buccal"), (44, "rotation")], 0.5)]
    yield "corrected twice", two + [course(THIRD, THIRD_SHARE, end, {(17, "buccal"): 0.01, (44, "rotation"): 0.25})]


def main():
    out = Play("The estimate as one dense Gaussian posterior: position and SD of every component read so far on the "
               "plan, the pace, and tracked shares.",
               f"numpy {np.__version__}, tests/published/posterior_reference.py")
    for name, case in cases():
        play(out, name, case)
    out.write(sys.argv[1])


if __name__ == "__main__":
    main()
