#!/usr/bin/env python3
"""Write pose_reference.csv: rotation matrices of poses by a general-purpose rotation library.

    pose_reference.py > fixtures/pose_reference.csv

Each line has two poses' angles (rotation, angulation, inclination, in degrees), the matrix of the first by
rows, and the matrix that carries the first to the second. In the library's words a pose is the extrinsic
z-y-x rotation by (-rotation, angulation, -inclination).
"""
import numpy
import scipy
from scipy.spatial.transform import Rotation

SEED = 20240229
CORNERS = [(0, 0, 0), (30, 0, 0), (0, 30, 0), (0, 0, 30), (10, 20, 30), (-10, -20, -30), (180, 0, 0),
           (90, 45, -90), (12, 89, 34), (12, -89, 34), (12, 89.999, 34), (-77, -89.99999, 160), (5, 89.9999999, -5)]


def rotation_of(angles):
    rho, phi, tau = angles
    return Rotation.from_euler("zyx", [-rho, phi, -tau], degrees=True)


def main():
    draw = numpy.random.default_rng(SEED)
    firsts = [numpy.array(c, dtype=float) for c in CORNERS]
    firsts += [draw.uniform([-180, -85, -180], [180, 85, 180]) for _ in range(200)]
    firsts += [draw.uniform([-20, -20, -20], [20, 20, 20]) for _ in range(100)]
    print(f"# Poses as rotation matrices: tests/published/pose_reference.py, scipy {scipy.__version__}, "
          f"numpy {numpy.__version__}, seed {SEED}")
    names = ["rotation", "angulation", "inclination"]
    cells = [f"{i}{j}" for i in range(3) for j in range(3)]
    print(",".join([n + "_1" for n in names] + [n + "_2" for n in names] + ["first_" + c for c in cells]
                   + ["between_" + c for c in cells]))
    for first in firsts:
        second = first + draw.uniform(-25, 25, 3)
        second[1] = max(-80, min(80, second[1]))
        one, two = rotation_of(first), rotation_of(second)
        numbers = [*first, *second, *one.as_matrix().ravel(), *(two * one.inv()).as_matrix().ravel()]
        print(",".join(repr(float(n)) for n in numbers))


main()
