#!/usr/bin/env python3
"""Write pose_reference.csv: rotation matrices of poses by a general-purpose rotation library.

    pose_reference.py > fixtures/pose_reference.csv

Each line has two poses' angles (rotation, angulation, inclination, in degrees), the matrix of the first by
rows, the matrix that carries the first to the second, and that of the first and then the second one upon the other. In
the library's words a pose is the extrinsic z-y-x rotation by (-rotation, angulation, -inclination). The last lines are
such that the two together come to the poses of CORNERS, and to others near 90 deg of angulation.
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


def angles_of(rotation):
    rho, phi, tau = rotation.as_euler("zyx", degrees=True)
    return numpy.array([-rho, phi, -tau])


def pairs(draw):
    firsts = [numpy.array(c, dtype=float) for c in CORNERS]
    firsts += [draw.uniform([-180, -85, -180], [180, 85, 180]) for _ in range(200)]
    firsts += [draw.uniform([-20, -20, -20], [20, 20, 20]) for _ in range(100)]
    for first in firsts:
        second = first + draw.uniform(-25, 25, 3)
        second[1] = max(-80, min(80, second[1]))
        yield first, second
    ends = [numpy.array(c, dtype=float) for c in CORNERS]
    ends += [draw.uniform([-180, -1, -180], [180, 1, 180]) for _ in range(40)]
    for end in ends[len(CORNERS):]:
        end[1] = numpy.copysign(90 - abs(end[1]) ** 4 - 1e-6, end[1])
    for end in ends:
        first = draw.uniform([-180, -60, -180], [180, 60, 180])
        yield first, angles_of(rotation_of(end) * rotation_of(first).inv())


def main():
    draw = numpy.random.default_rng(SEED)
    print(f"# Poses as rotation matrices: tests/published/pose_reference.py, scipy {scipy.__version__}, "
          f"numpy {numpy.__version__}, seed {SEED}")
    names = ["rotation", "angulation", "inclination"]
    cells = [f"{i}{j}" for i in range(3) for j in range(3)]
    print(",".join([n + "_1" for n in names] + [n + "_2" for n in names] + ["first_" + c for c in cells]
                   + ["between_" + c for c in cells] + ["composed_" + c for c in cells]))
    for first, second in pairs(draw):
        one, two = rotation_of(first), rotation_of(second)
        numbers = [*first, *second, *one.as_matrix().ravel(), *(two * one.inv()).as_matrix().ravel(),
                   *(two * one).as_matrix().ravel()]
        print(",".join(repr(float(n)) for n in numbers))


main()
