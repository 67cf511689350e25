#!/usr/bin/env python3
"""Make fixtures/forecast_reference.csv: where every component will be at its arch's last stage, as one dense Gaussian.

The end of every component, its share and the shared pace a stand in the one Gaussian vector of posterior_reference.py,
conditioned on all readings so far. That a component ends outside its finishing tolerance is then a normal probability.
That a tooth, or the mouth, ends inside is a probability of a box under that Gaussian. Given a, nothing joins two
components any more (checked on the matrix); so it is one integral over a, taken by adaptive quadrature, not by nodes. On
boxes of few sides it is held against the distribution function of the multivariate normal as well.

    python3 tests/published/forecast_reference.py fixtures/forecast_reference.csv
"""
import sys

import numpy as np
import scipy
from scipy.integrate import quad
from scipy.stats import multivariate_normal, norm

import posterior_reference as reference
from posterior_reference import FIRST, FIRST_SHARE, Point, Track, course, posterior, readings
from reference_case import (ANY, Play, components_read, linear, pieces, planned, reading_variance, stage_of, tolerance,
                            unplanned_sd)

GRIP_SHARE = 1 / 3  # of its rate, that a tooth delivers which has lost its grip
NINETY = norm.ppf(0.95)


def finishing_tolerance(component):
    return 1.0 if linear(component) else 5.0


def last_stage(plan, tooth):
    """N of the tooth's arch."""
    upper = tooth // 10 in (1, 2)
    return max((rows[-1][0] for t, rows in plan.items() if (t // 10 in (1, 2)) == upper), default=0)


class Ahead(Track):
    """A track that can be followed on from where it was last read: to today's stage, and from there to the end."""

    def __init__(self, track):
        super().__init__(track.key)
        self.before, self.number, self.course = track.before, track.number, track.course
        self.at, self.passed = track.at, list(track.passed)

    def go(self, s, part=1.0):
        self.passed += [(l, part * v) for l, v in pieces(self.course["plan"], *self.key, self.at, s)]
        self.at = s

    def share(self):
        """rho now: the expected share, its own difference, a, and what it has wandered on all plans."""
        u = self.before + sum(l for l, _ in self.passed)
        return Point(self.key, self.number, self.course["share"].get(self.key, ANY), 1.0,
                     [(0.0, u, 1.0, 1.0)] if u else [], 0.0, 0.0)


def leg_direction(plan, key, s):
    """The direction of a component that never turns and has gone far enough; None where this does not say."""
    way = [planned(plan, *key, t) for t in np.linspace(0, s, 200)]
    steps = np.diff(way)
    if abs(way[-1]) < (0.05 if linear(key[1]) else 0.2) or (np.any(steps > 1e-12) and np.any(steps < -1e-12)):
        return None
    return 1 if way[-1] > 0 else -1


def inside(a, mean, cov, targets, tolerances):
    """The chance that all end inside at a pace of a; the last of mean and cov is the pace."""
    gain = cov[:-1, -1] / cov[-1, -1]
    at = mean[:-1] + gain * (a - mean[-1])
    left = cov[:-1, :-1] - np.outer(gain, cov[-1, :-1])
    sd = np.sqrt(np.diag(left))
    assert np.all(np.abs(left - np.diag(np.diag(left))) <= 1e-11 * (1 + np.outer(sd, sd)))
    return np.prod(norm.cdf((targets + tolerances - at) / sd) - norm.cdf((targets - tolerances - at) / sd))


def all_inside(mean, cov, targets, tolerances):
    """The same whatever the pace is."""
    a, sd = mean[-1], np.sqrt(cov[-1, -1])
    value, _ = quad(lambda z: norm.pdf(z) * inside(a + z * sd, mean, cov, targets, tolerances), -10, 10,
                    epsabs=1e-13, epsrel=1e-13, limit=500, points=np.linspace(-9, 9, 19))
    if len(targets) <= 4:
        other = multivariate_normal.cdf(targets + tolerances, mean[:-1], cov[:-1, :-1], maxpts=2000000, abseps=1e-7,
                                        releps=1e-7, lower_limit=targets - tolerances)
        assert abs(value - other) < 1e-5, (value, other)
    return float(value)


def forecast(out, now, seen, checkup, lost):
    """What must come out after a check-up; lost: teeth without their grip."""
    keys = sorted(now)
    present, shares, ends = [], [], []
    for key in keys:
        track, tooth = Ahead(now[key]), key[0]
        plan, s, n = track.course["plan"], stage_of(checkup, tooth), last_stage(now[key].course["plan"], tooth)
        if s is not None and s != track.at:
            track.go(s)
        present.append(track.point())
        shares.append(track.share())
        if n > track.at:
            track.go(n, GRIP_SHARE if tooth in lost else 1.0)
        ends.append(track.point())
        assert unplanned_sd(plan, *key) > 0
    mean, cov = posterior(present + shares + ends, seen)
    sd, k = np.sqrt(np.diag(cov)), len(keys)
    for tooth in sorted(lost):
        out.add("lost", tooth)
    out.add("forecast")
    targets = np.array([planned(now[key].course["plan"], *key, last_stage(now[key].course["plan"], key[0])) for key in keys])
    tolerances = np.array([finishing_tolerance(key[1]) for key in keys])
    for i, key in enumerate(keys):
        e = 2 * k + i
        p_out = norm.sf((targets[i] + tolerances[i] - mean[e]) / sd[e]) + norm.cdf((targets[i] - tolerances[i] - mean[e]) / sd[e])
        out.add("end", *key, float(mean[e]), float(sd[e]), float(p_out))
        out.add("interval", *key, float(mean[e] - NINETY * sd[e]), float(mean[e] + NINETY * sd[e]))
        out.add("rate", *key, float(mean[k + i]), float(sd[k + i]))
        at = stage_of(checkup, key[0])
        at = now[key].at if at is None else at
        g = leg_direction(now[key].course["plan"], key, at)
        if g is not None:
            off = g * (planned(now[key].course["plan"], *key, at) - mean[i])
            out.add("behind", *key, float(norm.sf((tolerance(key[1]) - off) / sd[i])))
    sum_out = 0.0
    for tooth in sorted({key[0] for key in keys}):
        of = [i for i, key in enumerate(keys) if key[0] == tooth]
        which = [2 * k + i for i in of] + [3 * k]
        out_of = 1 - all_inside(mean[which], cov[np.ix_(which, which)], targets[of], tolerances[of])
        sum_out += out_of
        out.add("out", tooth, out_of)
    which = list(range(2 * k, 3 * k + 1))
    out.add("mouth", sum_out, all_inside(mean[which], cov[np.ix_(which, which)], targets, tolerances))


def play(out, name, case, lost=()):
    tracks, seen = {key: Track(key) for key in components_read(case)}, []
    out.add("case", name)
    for number, one in enumerate(case):
        out.begin(one)
        followed = set()
        for track in tracks.values():
            track.begin(number, one)
        for checkup in one["checkups"]:
            out.checkup(checkup)
            read = sorted({r[:2] for r in checkup[4]})
            followed.update(read)
            for key in read:
                tracks[key].move(stage_of(checkup, key[0]))
            seen += [(tracks[r[:2]].point(), r[3], reading_variance(r[2], r[1])) for r in checkup[4]]
            now = {key: tracks[key] for key in followed}
            forecast(out, now, seen, checkup, ())
            if lost:
                forecast(out, now, seen, checkup, lost)


def mirrored(case):
    """The same mouth seen in a mirror: every tooth is that of the other side, every number is as it was."""
    def other(tooth):
        return {1: 2, 2: 1, 3: 4, 4: 3}[tooth // 10] * 10 + tooth % 10

    def keyed(values):
        return {(other(tooth), component): value for (tooth, component), value in values.items()}
    return [course({other(tooth): rows for tooth, rows in one["plan"].items()}, keyed(one["share"]),
                   [(*c[:4], [(other(r[0]), *r[1:]) for r in c[4]]) for c in one["checkups"]], keyed(one["variance"]))
            for one in case]


LONG = {12: [(10, {"rotation": 12, "buccal": -0.8}), (30, {"rotation": 30, "buccal": -2.4, "occlusal": 1.0})],
        25: [(12, {"rotation": -9}), (15, {"rotation": -9}), (26, {"rotation": -25, "mesial": 1.5})],
        36: [(24, {"mesial": -3.0, "angulation": -9})], 31: [(8, {"buccal": 1.2}), (20, {"buccal": 0.2})]}
LONG_SHARE = {(12, "rotation"): (66.8 + 86 + 46) / 300, (12, "buccal"): 47.1 / 100,  # L17d, B22a, H20c; K09b
              (12, "occlusal"): 29.6 / 100, (25, "rotation"): (40 + 60) / 200,       # K09c; S14c, C23a
              (36, "angulation"): 82.5 / 100, (31, "buccal"): ANY}                   # L17b


def cases():
    """Name, case, and teeth of which the grip is also taken away."""
    rng = np.random.default_rng(2104)

    def long(*which):
        return readings(rng, LONG, *which)
    k12, k36 = [(12, "rotation"), (12, "buccal"), (12, "occlusal")], [(36, "mesial"), (36, "angulation")]
    golden = {12: [(8, {"mesial": 0.4, "buccal": -0.3, "occlusal": 0.25, "rotation": 6, "angulation": 2}),
                   (24, {"mesial": 1.2, "buccal": -0.9, "occlusal": 0.75, "rotation": 18, "angulation": 6})]}
    yield "fixtures/golden-plan.csv with its attachment lost", [course(golden, LONG_SHARE, [
        (12, -1, -1, -1, [(12, "mesial", "caliper", 0.35), (12, "rotation", "caliper", 6.5)])])], (12,)
    yield "one component and one reading", [course({12: LONG[12]}, LONG_SHARE, [
        long((8, -1, -1, -1), "caliper", [(12, "rotation")], 0.5)])], (12,)
    late = [long((6, -1, 5, -1), "caliper", k12 + k36 + [(25, "rotation")], 0.5),
            long((12, 2, 11, -1), "photo", k12[:1] + k36[:1] + [(31, "buccal")], 0.6),
            long((12, 2, -1, -1), "caliper", k12 + k12[:1] + [(25, "mesial"), (25, "buccal")], 0.6),
            long((9, -1, 16, 1), "caliper", [(25, "rotation"), (36, "mesial")], 0.7),
            long((30, -1, 24, -1), "scan", k12[:2] + k36, 0.7)]
    yield "missing and repeated and gone back and to the end", [course(LONG, LONG_SHARE, late)], (12, 36)
    same = [long((7, -1, 7, -1), "caliper", k12 + [(25, "rotation")], 0.4),
            long((7, -1, 7, -1), "caliper", k12 + [(25, "rotation")], 0.4),
            long((7, 3, 7, -1), "eye", k12[:1] + k36, 0.5)]
    yield "two check-ups at one stage", [course(LONG, LONG_SHARE, same)], ()
    yield "the same in a mirror", mirrored([course(LONG, LONG_SHARE, same)]), ()
    for name, case in reference.cases():
        yield name, case, (13, 44) if "corrected" in name else ()


def main():
    out = Play("The forecast as one dense Gaussian: ends, their intervals and chances, shares, and the joint chances.",
               f"numpy {np.__version__} and scipy {scipy.__version__}, tests/published/forecast_reference.py")
    for name, case, lost in cases():
        play(out, name, case, lost)
    out.write(sys.argv[1])


if __name__ == "__main__":
    main()
