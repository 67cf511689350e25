#!/usr/bin/env python3
"""Write arch_form_reference.csv: ways along the beta function's arch form, by numerical integration.

    arch_form_reference.py > fixtures/arch_form_reference.csv

Each line has a form (width, depth), a point of it (x to the right of the midline, y), and the way along the curve
from the midline to that point, all in mm. The curve is written by an angle, x = width/2 sin t, which is another way
than the program goes; the integration is QUADPACK's, which copes with the power 0.6 of cos t at the end.
"""
import math

import numpy
import scipy
from scipy.integrate import quad

FORMS = [(56.0, 44.0), (60.0, 45.0), (53.0, 45.9), (40.0, 60.0), (70.0, 30.0), (1.0, 0.866)]
SHARES = [0.02, 0.2, 0.4, 0.6, 0.8, 0.95, 0.999, 1.0]


def y_of(width, depth, t):
    return 3.0314 * depth * (math.cos(t) ** 2 / 4) ** 0.8


def speed(t, width, depth):
    dx = width / 2 * math.cos(t)
    # y = 3.0314 depth cos(t)^1.6 / 4^0.8
    dy = 3.0314 * depth * 1.6 * math.cos(t) ** 0.6 * math.sin(t) / 4 ** 0.8
    return math.hypot(dx, dy)


def main():
    print(f"# Ways along the beta function's arch form: tests/published/arch_form_reference.py, scipy {scipy.__version__}, "
          f"numpy {numpy.__version__}")
    print("width,depth,x,y,way")
    for width, depth in FORMS:
        for share in SHARES:
            t = math.asin(share)
            way, error = quad(speed, 0, t, args=(width, depth), epsabs=1e-12, epsrel=1e-13, limit=500)
            assert error < 1e-8
            y = y_of(width, depth, t) if share < 1 else 0.0
            print(",".join(repr(float(n)) for n in (width, depth, width / 2 * share, y, way)))


main()
