"""What both reference scripts share: a case as plain data, and the file that a C test plays.

A case is a list of courses, one a plan. A course is
    plan      {tooth: [(stage, {component: value})]}, cumulative from stage 0
    share     {(tooth, component): expected share}, worked out by hand from fixtures/published.csv
    variance  {(tooth, component): variance at stage 0}, nothing for a first plan
    checkups  [(upper, upper day, lower, lower day, [(tooth, component, method, value)])]
with -1 for an arch without an aligner and for a day that is not known. All of it is invented.

The numbers of the model are those of "Where a tooth is" in midcourse-method(7).
"""

COMPONENTS = ["mesial", "buccal", "occlusal", "rotation", "angulation", "inclination"]
READING_SD = {"eye": (0.5, 5), "caliper": (0.35, 3), "photo": (0.15, 1.5), "landmarks": (0.15, 1.5), "scan": (0.10, 0.7)}
OWN, PACE, STEP, WANDER = 0.20, 0.20, 0.1, 0.025
ANY = (73.6 + 59 + 50) / 300  # all movements on all teeth: L17a, S14a, H20a


def linear(component):
    return COMPONENTS.index(component) < 3


def tolerance(component):
    return 0.5 if linear(component) else 2.0


def reading_variance(method, component):
    return READING_SD[method][0 if linear(component) else 1] ** 2


def effective_stage(aligner, day):
    """None where the arch has no aligner."""
    if aligner < 0:
        return None
    return float(aligner) if day < 0 or aligner == 0 else aligner - 1 + min(1, day / 4)


def stage_of(checkup, tooth):
    upper, upper_day, lower, lower_day, _ = checkup
    return effective_stage(upper, upper_day) if tooth // 10 in (1, 2) else effective_stage(lower, lower_day)


def rows_of(plan, tooth, component):
    return [(0, 0.0)] + [(stage, pose.get(component, 0.0)) for stage, pose in plan.get(tooth, [])]


def planned(plan, tooth, component, s):
    rows = rows_of(plan, tooth, component)
    for (a, at_a), (b, at_b) in zip(rows, rows[1:]):
        if s <= b:
            return at_a + (s - a) / (b - a) * (at_b - at_a)
    return rows[-1][1]


def unplanned_sd(plan, tooth, component):
    """q of the model: a tenth of the tolerance on a component that is not planned to move."""
    largest = max(abs(value) for _, value in rows_of(plan, tooth, component))
    if largest < (0.05 if linear(component) else 0.2):
        return tolerance(component) / 10
    return 0.01 if linear(component) else 0.05


def pieces(plan, tooth, component, start, end):
    """(length, slope) of every straight piece from stage start to stage end; back is one piece without slope."""
    if end <= start:
        return [(start - end, 0.0)]
    stops = [start] + [stage for stage, _ in rows_of(plan, tooth, component) if start < stage < end] + [end]
    return [(b - a, (planned(plan, tooth, component, b) - planned(plan, tooth, component, a)) / (b - a))
            for a, b in zip(stops, stops[1:])]


def components_read(case):
    """Every (tooth, component) that is read anywhere in a case."""
    return sorted({(r[0], r[1]) for course in case for checkup in course["checkups"] for r in checkup[4]})


class Play:
    """The file: lines that build plans, take in check-ups and say what must come out."""

    def __init__(self, title, made_with):
        self.lines = [f"# {title}", f"# Invented plans and readings; results by {made_with}."]

    def add(self, *fields):
        self.lines.append(",".join(repr(float(f)) if isinstance(f, float) else str(f) for f in fields))

    def begin(self, course):
        for tooth, rows in course["plan"].items():
            for stage, pose in rows:
                self.add("plan", tooth, stage, *[float(pose.get(c, 0)) for c in COMPONENTS])
        for (tooth, component), variance in course["variance"].items():
            self.add("start", tooth, component, float(variance))
        self.add("begin")

    def checkup(self, checkup):
        self.add("checkup", *checkup[:4])
        for tooth, component, method, value in checkup[4]:
            self.add("reading", tooth, component, method, float(value))
        self.add("take")

    def write(self, path):
        with open(path, "w", encoding="utf-8") as out:
            out.write("\n".join(self.lines) + "\n")
