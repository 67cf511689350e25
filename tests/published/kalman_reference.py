#!/usr/bin/env python3
"""Make fixtures/kalman_reference.csv: the filter of the room tracking, by a general-purpose Kalman filter.

The shared pace a stands in the state beside every component's position and share, (x, rho, x, rho, ..., a), so that
nothing of the one-pass treatment of it is repeated here. Each straight piece of the plan is a step of its own, without an
observation; several readings of one component at one check-up are observations of their own.

    python3 tests/published/kalman_reference.py fixtures/kalman_reference.csv
"""
import sys

import numpy as np
import statsmodels
from statsmodels.tsa.statespace.kalman_filter import KalmanFilter

from reference_case import (ANY, OWN, PACE, STEP, WANDER, Play, components_read, pieces, reading_variance, stage_of,
                            unplanned_sd)


def step(length, slope, q):
    """F and Q of one straight piece, as the model states them."""
    F = np.array([[1, slope * length], [0, 1]])
    w = WANDER ** 2
    off = w * slope * length ** 2 / 2
    Q = np.array([[(STEP * slope) ** 2 * length + q ** 2 * length + w * slope ** 2 * length ** 3 / 3, off],
                  [off, w * length]])
    return F, Q


class Joint:
    """All components of one plan and the pace, and the steps that the filter will be run over."""

    def __init__(self, course, keys):
        self.course, self.keys, self.n = course, keys, 2 * len(keys) + 1
        self.at = {key: 0.0 for key in keys}
        self.mean, self.cov = np.zeros(self.n), np.zeros((self.n, self.n))
        self.cov[-1, -1] = PACE ** 2
        for i, key in enumerate(keys):
            self.mean[2 * i + 1] = course["share"].get(key, ANY)
            self.cov[2 * i, 2 * i] = course["variance"].get(key, 0.0)
            self.cov[2 * i + 1, -1] = self.cov[-1, 2 * i + 1] = PACE ** 2
            for j in range(len(keys)):
                self.cov[2 * i + 1, 2 * j + 1] = PACE ** 2 + (OWN ** 2 if i == j else 0)
        self.transitions, self.noises, self.observations = [], [], [[]]

    def steps_to(self, key, s):
        q = unplanned_sd(self.course["plan"], *key)
        return [step(l, v, q) for l, v in pieces(self.course["plan"], *key, self.at[key], s)]

    def move(self, key, s):
        i = 2 * self.keys.index(key)
        for F, Q in self.steps_to(key, s):
            whole_F, whole_Q = np.eye(self.n), np.zeros((self.n, self.n))
            whole_F[i:i + 2, i:i + 2], whole_Q[i:i + 2, i:i + 2] = F, Q
            self.transitions.append(whole_F)
            self.noises.append(whole_Q)
            self.observations.append([])
        self.at[key] = s

    def filtered(self):
        """Mean and covariance after the last step, by the library."""
        n, steps, most = self.n, len(self.observations), max(1, max(map(len, self.observations)))
        kf = KalmanFilter(k_endog=most, k_states=n, tolerance=0)
        endog = np.full((steps, most), np.nan)
        design, noise = np.zeros((most, n, steps)), np.zeros((most, most, steps))
        transition, state_cov = np.zeros((n, n, steps)), np.zeros((n, n, steps))
        for t, rows in enumerate(self.observations):
            noise[:, :, t] = np.eye(most)
            for r, (i, value, variance) in enumerate(rows):
                endog[t, r], design[r, i, t], noise[r, r, t] = value, 1, variance
            last = t == steps - 1
            transition[:, :, t] = np.eye(n) if last else self.transitions[t]
            state_cov[:, :, t] = 0 if last else self.noises[t]
        kf.bind(endog)
        kf["design"], kf["obs_cov"], kf["transition"], kf["state_cov"] = design, noise, transition, state_cov
        kf["selection"] = np.eye(n)
        kf.initialize_known(self.mean, self.cov)
        result = kf.filter()
        return result.filtered_state[:, -1], result.filtered_state_cov[:, :, -1]


def play(out, name, course):
    keys = components_read([course])
    joint, followed = Joint(course, keys), set()
    out.add("case", name)
    out.begin(course)
    for checkup in course["checkups"]:
        out.checkup(checkup)
        readings = checkup[4]
        for key in keys:
            if any(r[:2] == key for r in readings):
                joint.move(key, stage_of(checkup, key[0]))
                followed.add(key)
        joint.observations[-1] = [(2 * keys.index(r[:2]), r[3], reading_variance(r[2], r[1])) for r in readings]
        mean, cov = joint.filtered()
        for key in sorted(followed):
            i = 2 * keys.index(key)
            m, c = mean[i:i + 2], cov[i:i + 2, i:i + 2]
            s = stage_of(checkup, key[0])
            if s is not None and s != joint.at[key]:  # not read today: carried to where the arch is
                for F, Q in joint.steps_to(key, s):
                    m, c = F @ m, F @ c @ F.T + Q
            out.add("item", *key, float(m[0]), float(np.sqrt(c[0, 0])))
        out.add("pace", float(mean[-1]), float(np.sqrt(cov[-1, -1])))


def course(plan, checkups, share=None):
    return {"plan": plan, "share": share or {}, "variance": {}, "checkups": checkups}


def upper(aligner, readings, day=-1):
    return (aligner, day, -1, -1, readings)


STRAIGHT = {11: [(24, {"mesial": 2.4})]}
TURNS = {21: [(3, {"buccal": 0.2}), (7, {"buccal": 1.0}), (10, {"buccal": 0.4}), (16, {"buccal": 1.6}),
              (20, {"buccal": 1.6}), (24, {"buccal": 0.9})]}
THREE = {12: [(8, {"mesial": 0.4, "buccal": -0.3, "rotation": 6}), (24, {"mesial": 1.2, "buccal": -0.9, "rotation": 18})],
         23: [(6, {"rotation": 0}), (20, {"rotation": -14, "occlusal": 0.6})],
         36: [(10, {"mesial": -1.0, "angulation": 4}), (18, {"mesial": -1.0, "angulation": -2})]}
THREE_SHARE = {(12, "buccal"): (47.1 / 100),                        # K09b, anterior teeth lingually
               (12, "rotation"): (66.8 + 86 + 46) / 300,            # L17d, B22a, H20c
               (23, "rotation"): (60 + 37) / 200,                   # C23a, H20e
               (23, "occlusal"): 29.6 / 100,                        # K09c
               (36, "mesial"): ANY,                                 # distal on a lower molar
               (36, "angulation"): 82.5 / 100}                      # L17b

CASES = [
    ("one straight component", course(STRAIGHT, [
        upper(4, [(11, "mesial", "caliper", 0.31)]),
        upper(8, [(11, "mesial", "caliper", 0.55)]),
        upper(12, [(11, "mesial", "caliper", 0.62)])])),
    ("listed stages and turns and every method", course(TURNS, [
        upper(2, [(21, "buccal", "eye", 0.4)], day=1),
        upper(5, [(21, "buccal", "photo", 0.35)]),
        upper(9, [(21, "buccal", "scan", 0.48)], day=3),
        upper(15, [(21, "buccal", "landmarks", 0.97)], day=9),
        upper(22, [(21, "buccal", "caliper", 1.1)], day=2)])),
    ("the same stage again", course(STRAIGHT, [
        upper(6, [(11, "mesial", "caliper", 0.2)]),
        upper(6, [(11, "mesial", "caliper", 0.5)]),
        upper(6, [(11, "mesial", "eye", 0.1)]),
        upper(10, [(11, "mesial", "scan", 0.7)])])),
    ("gone back", course(STRAIGHT, [
        upper(12, [(11, "mesial", "caliper", 0.5)]),
        upper(9, [(11, "mesial", "caliper", 0.8)], day=2),
        upper(9, [(11, "mesial", "photo", 0.77)], day=3),
        upper(15, [(11, "mesial", "caliper", 0.9)])])),
    ("not planned to move or hardly", course(
        {11: [(24, {"mesial": 2.4, "buccal": 0.049, "occlusal": 0.05, "angulation": -0.19, "inclination": -0.2})]}, [
            upper(4, [(11, "rotation", "caliper", 2.5), (11, "buccal", "caliper", 0.3), (11, "occlusal", "caliper", 0.3)]),
            upper(8, [(11, "rotation", "caliper", 1.5), (11, "angulation", "photo", 1.0),
                      (11, "inclination", "photo", 1.0)]),
            upper(12, [(11, "rotation", "scan", 2.1), (11, "buccal", "scan", 0.2), (11, "occlusal", "scan", 0.2),
                       (11, "angulation", "scan", 1.2), (11, "inclination", "scan", 1.2)])],
        {(11, "occlusal"): 29.6 / 100, (11, "angulation"): 82.5 / 100,
         # tipping of an upper central, B22g, would come with a crown that goes palatally; at -0.2 deg and 0.049 mm
         # buccally the apex goes further: torque of an upper incisor, S14b
         (11, "inclination"): 42 / 100})),
    ("readings combined", course(STRAIGHT, [
        upper(5, [(11, "mesial", "caliper", 0.2), (11, "mesial", "caliper", 0.5)]),
        upper(11, [(11, "mesial", "scan", 0.71), (11, "mesial", "eye", 1.6), (11, "mesial", "photo", 0.8)])])),
    ("three teeth in both arches", course(THREE, [
        (4, -1, 3, 2, [(12, "mesial", "caliper", 0.1), (12, "rotation", "caliper", 1.5), (23, "rotation", "caliper", 1.0),
                       (36, "mesial", "caliper", -0.2)]),
        (9, 3, 8, -1, [(12, "buccal", "caliper", -0.1), (12, "rotation", "photo", 4.2), (36, "angulation", "caliper", 2.0),
                       (36, "mesial", "caliper", -0.6)]),
        (7, -1, -1, -1, [(12, "mesial", "photo", 0.2), (23, "occlusal", "photo", 0.05)]),
        (16, 1, 15, -1, [(12, "mesial", "scan", 0.52), (12, "buccal", "scan", -0.35), (12, "rotation", "scan", 7.9),
                         (23, "rotation", "scan", -4.0), (23, "occlusal", "scan", 0.12), (36, "mesial", "scan", -0.66),
                         (36, "angulation", "scan", 1.4), (36, "buccal", "scan", 0.2)])], THREE_SHARE)),
]


def main():
    out = Play("The filter on short series: position and SD of every component read so far, and the mouth's pace.",
               f"the Kalman filter of statsmodels {statsmodels.__version__} with numpy {np.__version__}, "
               "tests/published/kalman_reference.py")
    for name, one in CASES:
        play(out, name, one)
    out.write(sys.argv[1])


if __name__ == "__main__":
    main()
