#!/usr/bin/env python3
"""Write overlap_reference.csv: how deep two crowns overlap, by a general-purpose geometry library.

    overlap_reference.py > fixtures/overlap_reference.csv      (ten minutes)

Crowns are drawn as polygons whose corners lie on the outline |x/a|^2.5 + |y/b|^2.5 = 1. The translations that leave
two convex shapes overlapping are the differences of their points, whose convex hull is here that of the differences of
all their corners; the depth is the distance of "no translation" to its border, counted negative from outside. Where
they are apart that must be what the library finds between the polygons themselves; where they overlap, a translation
just longer than the depth must part them, and one just shorter not.

Each line: tooth (ISO 3950), right, anterior, outward, turned, width and thickness of the first crown and of the second,
mm and degrees; the depth of the polygons; and by how much the depth of the outlines may be more: what the outlines rise
above the polygons' sides, both together.
"""
import numpy
import scipy
import shapely
from scipy.spatial import ConvexHull
from shapely.affinity import translate
from shapely.geometry import Point, Polygon

SEED = 20260317
CORNERS = 2400
RIGHT, LEFT = (13, 46), (24, 31)


def superellipse(angles, width, thickness):
    c, s = numpy.cos(angles), numpy.sin(angles)
    return numpy.stack([numpy.sign(c) * abs(c) ** 0.8 * width / 2, numpy.sign(s) * abs(s) ** 0.8 * thickness / 2], 1)


def rise(width, thickness):
    """The most that the outline rises above the polygon's sides, at seven points between each two corners."""
    step = 2 * numpy.pi / CORNERS
    corners = superellipse(numpy.arange(CORNERS + 1) * step, width, thickness)
    side = corners[1:] - corners[:-1]
    normal = numpy.stack([side[:, 1], -side[:, 0]], 1) / numpy.hypot(side[:, 0], side[:, 1])[:, None]
    return max(((superellipse((numpy.arange(CORNERS) + k / 8) * step, width, thickness) - corners[:-1]) * normal)
               .sum(1).max() for k in range(1, 8))


def corners_of(tooth, right, anterior, outward, turned, width, thickness):
    """In space; its own axes have the mesial end at +x, the buccal face at +y, and turn positive from buccal to mesial."""
    own = superellipse(numpy.arange(CORNERS) * 2 * numpy.pi / CORNERS, width, thickness)
    angle, out = numpy.radians(turned), numpy.radians(outward)
    along = numpy.cos(angle) * own[:, 0] + numpy.sin(angle) * own[:, 1]
    across = numpy.cos(angle) * own[:, 1] - numpy.sin(angle) * own[:, 0]
    buccal = numpy.array([numpy.cos(out), numpy.sin(out)])
    # of a right tooth mesial is a quarter turn to the left of outward, of a left one to the right
    mesial = numpy.array([-buccal[1], buccal[0]]) * (1 if tooth // 10 in (1, 4) else -1)
    return numpy.array([right, anterior]) + along[:, None] * mesial + across[:, None] * buccal


def depth_of(first, second):
    differences = (first[:, None, :] - second[None, :, :]).reshape(-1, 2)
    hull = Polygon(differences[ConvexHull(differences).vertices])
    here = Point(0, 0)
    depth = hull.exterior.distance(here) * (1 if hull.contains(here) else -1)
    a, b = Polygon(first), Polygon(second)
    assert a.is_valid and b.is_valid
    if depth < 0:
        assert abs(a.distance(b) + depth) < 1e-9
    elif depth > 1e-3:
        nearest = hull.exterior.interpolate(hull.exterior.project(here))
        assert not a.intersects(translate(b, nearest.x * (1 + 1e-6), nearest.y * (1 + 1e-6)))
        assert a.intersects(translate(b, nearest.x * (1 - 1e-6), nearest.y * (1 - 1e-6)))
    return depth


def crown(draw, tooth, right, anterior, outward, turned, least=4.5, most=11):
    return [tooth, right, anterior, outward, turned, draw.uniform(least, most), draw.uniform(least, most)]


def pair(draw, kind):
    a = crown(draw, int(draw.choice(RIGHT)), draw.uniform(-25, 25), draw.uniform(0, 40), draw.uniform(0, 180),
              draw.uniform(-60, 60))
    b = crown(draw, int(draw.choice(RIGHT + LEFT)), 0, 0, draw.uniform(0, 180), draw.uniform(-90, 90))
    way = draw.uniform(0, 2 * numpy.pi)
    if kind == "neighbours":
        # the second stands at the first's mesial end, little turned against it
        b[0], b[3], b[4] = a[0], a[3] + draw.uniform(-25, 25), a[4] + draw.uniform(-30, 30)
        way = numpy.radians(a[3] + 90 + a[4] + draw.uniform(-15, 15))
        apart = (a[5] + b[5]) / 2 + draw.uniform(-0.6, 0.3)
    elif kind == "touching":
        # end to end on one axis
        b[0], b[3], b[4] = a[0], a[3], a[4]
        way, apart = numpy.radians(a[3] + 90 + a[4]), (a[5] + b[5]) / 2
    elif kind == "deep":
        apart = draw.uniform(0, 3)
    elif kind == "apart":
        apart = draw.uniform(9, 25)
    elif kind == "slender":
        a[5] = draw.uniform(0.5, 2)
        b[6] = draw.uniform(0.5, 2)
        apart = draw.uniform(0, 8)
    else:
        apart = draw.uniform(2, 10)
    b[1], b[2] = a[1] + apart * numpy.cos(way), a[2] + apart * numpy.sin(way)
    return a, b


def main():
    draw = numpy.random.default_rng(SEED)
    print(f"# How deep two crowns overlap: tests/published/overlap_reference.py, shapely {shapely.__version__} (GEOS "
          f"{'.'.join(map(str, shapely.geos.geos_version))}), scipy {scipy.__version__}, numpy {numpy.__version__}, "
          f"seed {SEED}")
    names = ["tooth", "right", "anterior", "outward", "turned", "width", "thickness"]
    print(",".join(["kind"] + [n + "_1" for n in names] + [n + "_2" for n in names] + ["depth", "more"]))
    for kind, count in (("neighbours", 60), ("touching", 10), ("deep", 20), ("apart", 20), ("slender", 20),
                        ("turned", 30)):
        for _ in range(count):
            a, b = pair(draw, kind)
            depth = depth_of(corners_of(*a), corners_of(*b))
            more = rise(*a[5:]) + rise(*b[5:])
            print(",".join([kind, str(a[0])] + [repr(float(n)) for n in a[1:]] + [str(b[0])]
                           + [repr(float(n)) for n in (*b[1:], depth, more)]), flush=True)


main()
