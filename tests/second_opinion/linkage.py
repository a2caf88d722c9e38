"""A second opinion on the linkage: the same corners solved by SciPy's least squares, a general-purpose solver.

    python linkage.py CASES [--store FILE PER_LAYOUT_AND_SIDE]

CASES holds lines of JSON by the example `corner_cases`. The constraints are written anew here, from what a rigid link and a strut are: a link keeps
the distance of its joints, a strut's axis goes through its top, and the wheel's centre is at its height. Rates are differences of solved poses.
It prints the worst disagreement of each kind and the ratio of times, and fails where one is beyond its bound. `--store` keeps SciPy's answers for
tests/linkage_outside.rs. Lengths are in millimetres, angles in degrees.
"""

import argparse
import json
import statistics
import sys
import time

import numpy as np
import scipy
from scipy.optimize import least_squares
from scipy.spatial.transform import Rotation

POSE_BOUND = 1e-9  # mm or degrees
RATE_BOUND = 1e-8  # degrees a mm, or mm a mm
MET = 1e-9  # a residual below this, in mm, is a solution
STEP = 0.05  # mm, of the differences


class Corner:
    def __init__(self, case):
        drawn, wheel = case["drawn"], case["wheel"]
        self.car = np.array([link[0] for link in drawn["links"]])
        self.carrier = np.array([link[1] for link in drawn["links"]])
        self.strut = drawn["strut"] and [np.array(point) for point in drawn["strut"]]
        self.axis = drawn["axis"]
        self.centre = np.array(wheel["centre"])
        self.radius = wheel["radius"]
        self.out = 1.0 if case["side"] == "left" else -1.0
        toe, camber = np.radians(wheel["toe"]), np.radians(wheel["camber"])
        self.spin = np.array(
            [np.sin(toe) * np.cos(camber), self.out * np.cos(toe) * np.cos(camber), -np.sin(camber)]
        )
        self.lengths = np.linalg.norm(self.carrier - self.car, axis=1)

    def residuals(self, unknown, changes, travel):
        turn, centre = Rotation.from_rotvec(unknown[:3]), unknown[3:] * 1e3
        now = lambda points: turn.apply(points - self.centre) + centre
        off = list(np.linalg.norm(now(self.carrier) - self.car, axis=1) - self.lengths - changes)
        if self.strut:
            top, on_axis = self.strut
            along = turn.apply(top - on_axis)
            # Three numbers for two constraints: all are nothing where the top lies on the axis.
            off += list(np.cross(top - now(on_axis), along / np.linalg.norm(along)))
        return np.array(off + [centre[2] - self.centre[2] - travel])

    def solve(self, changes, travel, start=None):
        """From the drawn pose, or from another. Turns are in radians and the centre in metres, so that all unknowns are of a size."""
        if start is None:
            start = np.concatenate([np.zeros(3), self.centre / 1e3])
        found = least_squares(
            self.residuals, start, args=(changes, travel), method="lm", xtol=1e-15, ftol=1e-15, gtol=1e-15
        )
        return found.x, np.max(np.abs(found.fun))

    def wheel(self, unknown):
        turn, centre = Rotation.from_rotvec(unknown[:3]), unknown[3:] * 1e3
        spin = turn.apply(self.spin)
        down = spin * spin[2] - np.array([0.0, 0.0, 1.0])
        found = {
            "toe": np.degrees(np.arctan2(spin[0], self.out * spin[1])),
            "camber": np.degrees(-np.arcsin(spin[2])),
            "centre": centre,
            "contact": centre + self.radius * down / np.linalg.norm(down),
        }
        if self.axis:
            lower, upper = (
                np.array(end["point"])
                if end["on"] == "car"
                else turn.apply(np.array(end["point"]) - self.centre) + centre
                for end in self.axis
            )
            along = upper - lower
            found["caster"] = np.degrees(np.arctan2(-along[0], along[2]))
            found["kingpin"] = np.degrees(np.arctan2(-self.out * along[1], along[2]))
        return found

    def rate(self, start, changes, travel, by_change, by_travel):
        """Differences of the fourth order of solved poses."""
        at = lambda share: self.wheel(
            self.solve(changes + share * STEP * by_change, travel + share * STEP * by_travel, start)[0]
        )
        near, far = (at(1.0), at(-1.0)), (at(2.0), at(-2.0))
        slope = lambda of: (8.0 * (near[0][of] - near[1][of]) - (far[0][of] - far[1][of])) / (12.0 * STEP)
        return {of: slope(of) for of in ("toe", "camber", "centre", "contact")}

    def rates(self, start, changes, travel):
        none = np.zeros(len(changes))
        links = [self.rate(start, changes, travel, row, 0.0) for row in np.eye(len(changes))]
        return {"links": links, "travel": self.rate(start, changes, travel, none, 1.0)}


class Worst:
    def __init__(self):
        self.by_kind = {}

    def compare(self, kind, ours, theirs):
        off = float(np.max(np.abs(np.asarray(ours) - np.asarray(theirs))))
        self.by_kind[kind] = max(self.by_kind.get(kind, 0.0), off)

    def rates(self, name, ours, theirs):
        for of, value in theirs.items():
            self.compare(f"{of} by {name}", ours[of], value)


def plain(value):
    if isinstance(value, dict):
        return {key: plain(inner) for key, inner in value.items()}
    if isinstance(value, (list, tuple, np.ndarray)):
        return [plain(inner) for inner in value]
    return float(value)


def main():
    arguments = argparse.ArgumentParser()
    arguments.add_argument("cases")
    arguments.add_argument("--store", nargs=2, metavar=("FILE", "PER_LAYOUT_AND_SIDE"))
    asked = arguments.parse_args()

    poses, rates = Worst(), Worst()
    ours_micros, scipy_micros = [], []
    far = {"both": 0, "neither": 0, "only SciPy": 0, "only here": 0}
    stored, missed = {}, []
    with open(asked.cases) as lines:
        cases = [json.loads(line) for line in lines]
    for case in cases:
        corner, ours = Corner(case), case["ours"]
        changes, travel = np.array(case["changes"]), case["travel"]
        start = time.perf_counter()
        unknown, residual = corner.solve(changes, travel)
        micros = (time.perf_counter() - start) * 1e6
        met = residual < MET
        if case["far"]:
            far[{(1, 1): "both", (0, 0): "neither", (1, 0): "only SciPy", (0, 1): "only here"}[met, ours is not None]] += 1
            continue
        if not met or ours is None:
            missed.append(f"{case['layout']}, {case['side']}: residual {residual:.1e} mm, here: {case['refused'] or 'solved'}")
            continue
        scipy_micros.append(micros)
        ours_micros.append(case["micros"])
        wheel, slopes = corner.wheel(unknown), corner.rates(unknown, changes, travel)
        for of, value in wheel.items():
            poses.compare(of, ours[of], value)
        for mine, theirs in zip(ours["links"], slopes["links"], strict=True):
            rates.rates("link", mine, theirs)
        rates.rates("travel", ours["travel"], slopes["travel"])
        kept = {name: case[name] for name in ("layout", "side", "points", "wheel", "changes", "travel")}
        stored.setdefault((case["layout"], case["side"]), []).append({**kept, "found": plain({**wheel, **slopes})})

    print(f"SciPy {scipy.__version__}: {len(ours_micros)} corners within 60 mm of travel and 8 mm of each length, cold")
    for name, worst, bound in (("pose", poses, POSE_BOUND), ("rate", rates, RATE_BOUND)):
        for kind, off in sorted(worst.by_kind.items()):
            print(f"  worst difference of {name}, {kind}: {off:.1e} (bound {bound:.0e})")
            if not off <= bound:
                missed.append(f"{name}, {kind}: {off:.1e}")
    ours, theirs = statistics.median(ours_micros), statistics.median(scipy_micros)
    print(f"  median time of a solve: here, with rates, {ours:.2f} µs; SciPy, without, {theirs:.0f} µs: {theirs / ours:.0f} times")
    print(f"  {sum(far.values())} corners up to 300 mm of travel and 120 mm of each length, solved by: " + ", ".join(f"{who} {count}" for who, count in far.items()))
    if asked.store:
        path, count = asked.store
        answers = {
            "source": f"SciPy {scipy.__version__}, least_squares (lm), by tests/second_opinion/linkage.py; corners by the example corner_cases",
            "tolerance": {"pose": POSE_BOUND, "rate": RATE_BOUND},
            "units": "mm, degrees; rates in degrees a mm and mm a mm",
            "cases": [case for of_kind in stored.values() for case in of_kind[: int(count)]],
        }
        with open(path, "w") as file:
            head = {name: value for name, value in answers.items() if name != "cases"}
            lines = ",\n    ".join(json.dumps(case) for case in answers["cases"])
            file.write(json.dumps(head, indent=2)[:-2] + ',\n  "cases": [\n    ' + lines + "\n  ]\n}\n")
    sys.exit("\n".join(["Not agreed:", *missed]) if missed or not ours_micros else 0)


main()
