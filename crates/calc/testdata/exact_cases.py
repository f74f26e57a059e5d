"""Writes the reference cases of load, fuel and strip that are computed, not published.

    python3 crates/calc/testdata/exact_cases.py

Everything is exact: fractions where the answer is rational, mpmath with 50 digits where a
square root comes in. Nothing here follows the program's way of computing: the burn path is
flown step by step and its worst point is searched, not solved; the greatest mass is found by
bisection on the forward reading. Needs mpmath (written with 1.3.0).
"""

import json
import pathlib
from fractions import Fraction as F

import mpmath

mpmath.mp.dps = 50
HERE = pathlib.Path(__file__).parent
HOW = "Python fractions and mpmath 1.3.0, exact_cases.py beside this file"


def text(value, unit, digits=13):
    """A quantity as the cases write it."""
    value = mpmath.mpf(value.numerator) / value.denominator if isinstance(value, F) else value
    return f"{mpmath.nstr(mpmath.mpf(value), digits, strip_zeros=True)} {unit}"


def rows(*names):
    """Turns tuples into records: rows("arm m", "mass kg")([(1, 2)])."""
    def build(table):
        keys = [name.split(" ", 1) for name in names]
        return [{k: f"{v} {u}" for (k, u), v in zip(keys, row)} for row in table]
    return build


CORNERS = rows("arm m", "mass kg")


def write_json(name, sum_, tolerance, cases, note=None):
    head = {"sum": sum_, "source": HOW, "read": "computed"}
    if note:
        head["note"] = note
    head |= {"tolerance": tolerance, "count": len(cases), "cases": cases}
    (HERE / name).write_text(json.dumps(head, indent=1) + "\n")


def write_csv(name, sum_, tolerances, header, table):
    lines = [f"# sum: {sum_}", f"# source: {HOW}", "# read: computed"]
    lines += [f"# tolerance: {line}" for line in tolerances]
    lines += [f"# count: {len(table)}", header]
    lines += [",".join(str(cell) for cell in row) for row in table]
    (HERE / name).write_text("\n".join(lines) + "\n")


def number(value, digits=13):
    return text(value, "", digits).strip()


# --- burn path -------------------------------------------------------------------------

class Aeroplane:
    """Flies the burn: `tanks` are (fuel, [(fuel, arm), ...], order), all numbers exact."""

    def __init__(self, dry, arm, tanks):
        self.dry, self.arm, self.tanks = F(dry), F(arm), tanks
        self.total = sum((F(t[0]) for t in tanks), F(0))

    def left(self, burnt):
        """Fuel in each tank after `burnt`, poured off order by order in equal shares."""
        left = [mpmath.mpf(F(t[0]).numerator) / F(t[0]).denominator for t in self.tanks]
        burnt = mpmath.mpf(burnt)
        for order in sorted({t[2] for t in self.tanks}):
            group = [i for i, t in enumerate(self.tanks) if t[2] == order]
            while burnt > 0 and any(left[i] > 0 for i in group):
                feeding = [i for i in group if left[i] > 0]
                each = min(min(left[i] for i in feeding), burnt / len(feeding))
                for i in feeding:
                    left[i] -= each
                burnt -= each * len(feeding)
        return left

    def state(self, burnt):
        mass = mpmath.mpf(self.dry.numerator) / self.dry.denominator
        moment = mass * mpmath.mpf(self.arm.numerator) / self.arm.denominator
        for fuel, (_, points, _) in zip(self.left(burnt), self.tanks):
            mass += fuel
            moment += fuel * arm_of(points, fuel)
        return mass, moment / mass


def arm_of(points, fuel):
    """Linear between the points, level outside them."""
    points = [(mpmath.mpf(str(q)), mpmath.mpf(str(a))) for q, a in points]
    if fuel <= points[0][0]:
        return points[0][1]
    for (q1, a1), (q2, a2) in zip(points, points[1:]):
        if fuel <= q2:
            return a1 + (a2 - a1) * (fuel - q1) / (q2 - q1)
    return points[-1][1]


def limit(boundary, mass):
    """Arm of a boundary [(mass, arm), ...] that rises in mass, held outside."""
    return arm_of([(m, a) for m, a in boundary], mass)


def search(plane, stop, distance):
    """The least distance along the burn: sweep, then close in on the best place."""
    end = mpmath.mpf(str(plane.total - F(stop)))
    count = 1200
    at = [end * i / count for i in range(count + 1)] if end > 0 else [mpmath.mpf(0)]
    best = min(range(len(at)), key=lambda i: distance(*plane.state(at[i])))
    low, high = at[max(best - 1, 0)], at[min(best + 1, len(at) - 1)]
    for _ in range(150):
        a, b = low + (high - low) / 3, high - (high - low) / 3
        if distance(*plane.state(a)) <= distance(*plane.state(b)):
            high = b
        else:
            low = a
    burnt = min([at[best], low, high], key=lambda s: distance(*plane.state(s)))
    return burnt, distance(*plane.state(burnt))


def burn_case(name, dry, arm, tanks, corners, forward, aft, stop=None, verdict=None, flat=False):
    """`forward` and `aft` restate the corners as boundaries, so that the search needs no polygon.

    On a `flat` path the margin is the same at many masses, so none of them is expected.
    """
    plane = Aeroplane(dry, arm, [(F(str(f)), pts, o) for f, pts, o in tanks])
    expect = {"envelope": verdict}
    for key, distance in (
        ("forward", lambda m, x: x - limit(forward, m)),
        ("aft", lambda m, x: limit(aft, m) - x),
    ):
        burnt, margin = search(plane, F(str(stop or 0)), distance)
        mass, at = plane.state(burnt)
        expect[f"{key}_margin"] = text(margin, "m")
        if flat:
            continue
        expect |= {
            f"{key}_mass": text(mass, "kg", 9),
            f"{key}_arm": text(at, "m", 9),
            f"{key}_fuel": text(mass - mpmath.mpf(str(dry)), "kg", 9),
        }
    expect["start_mass"] = text(F(str(dry)) + plane.total, "kg")
    expect["end_mass"] = text(F(str(dry)) + min(F(str(stop or 0)), plane.total), "kg")
    records = []
    for fuel, points, order in tanks:
        record = {"fuel": f"{fuel} kg", "order": str(order)}
        if len(points) == 1:
            record["arm"] = f"{points[0][1]} m"
        else:
            record["arm_points"] = rows("fuel kg", "arm m")(points)
        records.append(record)
    inputs = {
        "zero_fuel_mass": f"{dry} kg",
        "zero_fuel_arm": f"{arm} m",
        "tanks": records,
        "corners": CORNERS(corners),
    }
    if stop is not None:
        inputs["stop"] = f"{stop} kg"
    return {"name": name, "inputs": inputs, "expect": expect}


BOX = [("1.0", 800), ("1.0", 1400), ("1.19", 1400), ("1.19", 800)]
UPRIGHT = [(800, "1.0"), (1400, "1.0")], [(800, "1.19"), (1400, "1.19")]
LEANING = [("1.4", 800), ("1.7", 1400), ("1.0", 1400), ("1.0", 800)]
LEANING_SIDES = [(800, "1.0"), (1400, "1.0")], [(800, "1.4"), (1400, "1.7")]
CLIPPED = [("0.9", 600), ("0.9", 900), ("1.0", 1100), ("1.25", 1100), ("1.25", 600)]
CLIPPED_SIDES = [(600, "0.9"), (900, "0.9"), (1100, "1.0")], [(600, "1.25"), (1100, "1.25")]


def burn_paths():
    fixed = lambda arm: [(0, arm)]
    curve = [(0, "0.95"), (60, "1.05"), (140, "1.10")]
    return [
        burn_case("both ends inside, the middle outside aft", 1000, "1.15",
                  [("120", fixed("0.9"), 1), ("60", fixed("2.0"), 2)], BOX, *UPRIGHT, verdict="outside"),
        burn_case("the same with the tanks in the other order", 1000, "1.15",
                  [("120", fixed("0.9"), 2), ("60", fixed("2.0"), 1)], BOX, *UPRIGHT, verdict="inside"),
        burn_case("the same stopped before the forward tank is empty", 1000, "1.15",
                  [("120", fixed("0.9"), 1), ("60", fixed("2.0"), 2)], BOX, *UPRIGHT,
                  stop=150, verdict="inside"),
        burn_case("nearest the aft limit at a turning point, no corner and no end", 850, "1.36",
                  [("500", fixed("2.0"), 1)], LEANING, *LEANING_SIDES, verdict="inside"),
        burn_case("arm of the fuel changes with its quantity", 780, "1.02",
                  [("140", curve, 1), ("70", fixed("1.3"), 1)], CLIPPED, *CLIPPED_SIDES, verdict="inside"),
        burn_case("too far forward at the start, where the limit leans", 800, "0.93",
                  [("280", fixed("1.12"), 1)], CLIPPED, *CLIPPED_SIDES, verdict="outside"),
        burn_case("three tanks, two of them together", 820, "1.21",
                  [("70", fixed("1.3"), 2), ("45", fixed("1.0"), 1), ("25", fixed("1.45"), 1)],
                  CLIPPED, *CLIPPED_SIDES, verdict="inside"),
        burn_case("no fuel at all", 900, "1.1", [("0", fixed("1.0"), 1)],
                  CLIPPED, *CLIPPED_SIDES, verdict="inside"),
        burn_case("too heavy at the start, balance inside", 1000, "1.1",
                  [("101", fixed("1.1"), 1)], CLIPPED, *CLIPPED_SIDES, verdict="outside", flat=True),
    ]


def step_path():
    """The forward limit steps from 0.9 m to 1.06 m at 1000 kg. With x = 2 - 945 / m both ends and
    the point below the step are inside; just above it the path is 5 mm too far forward."""
    corners = [("0.9", 700), ("0.9", 1000), ("1.06", 1000), ("1.06", 1200), ("1.4", 1200), ("1.4", 700)]
    inputs = {"zero_fuel_mass": "900 kg", "zero_fuel_arm": "0.95 m", "corners": CORNERS(corners),
              "tanks": [{"fuel": "200 kg", "arm": "2 m", "order": "1"}]}
    expect = {"envelope": "outside", "forward_margin": text(2 - F(945, 1000) - F("1.06"), "m"),
              "forward_mass": "1000 kg"}
    return {"name": "a step of the forward limit in mid-burn", "inputs": inputs, "expect": expect}


def lateral_path():
    """Left tank first, then the right one: x = (50 * -1.5 + 50 * 1.5) and so on, over the mass."""
    tanks = [{"fuel": "50 kg", "arm": "1.1 m", "order": "1", "lateral": "-1.5 m"},
             {"fuel": "50 kg", "arm": "1.1 m", "order": "2", "lateral": "1.5 m"}]
    inputs = {"zero_fuel_mass": "900 kg", "zero_fuel_arm": "1.1 m", "zero_fuel_lateral": "0.01 m",
              "tanks": tanks, "corners": CORNERS(CLIPPED)}
    start, middle, end = F(9, 1000), F(9 + 75, 950), F(1, 100)
    expect = {"envelope": "inside", "leftmost": text(min(start, middle, end), "m"),
              "rightmost": text(max(start, middle, end), "m")}
    return {"name": "left tank first leans right in between", "inputs": inputs, "expect": expect}


def refused_paths():
    corners = CORNERS(CLIPPED)
    def case(name, tanks, error, **more):
        inputs = {"zero_fuel_mass": "900 kg", "zero_fuel_arm": "1.1 m", "tanks": tanks,
                  "corners": corners} | more
        return {"name": name, "inputs": inputs, "expect": {"error": error}}
    tank = {"fuel": "10 kg", "arm": "1 m", "order": "1"}
    points = rows("fuel kg", "arm m")
    return [
        case("nine tanks", [tank] * 9, "9 tanks; at most 8"),
        case("an arm and arm points", [tank | {"arm_points": points([(0, 1)])}], "one of the two"),
        case("neither arm nor points", [{"fuel": "10 kg", "order": "1"}], "one of the two"),
        case("arm points in disorder",
             [{"fuel": "10 kg", "order": "1", "arm_points": points([(20, 1), (10, 1)])}],
             "point 2 does not rise"),
        case("lateral for one tank only", [tank, tank | {"lateral": "1 m"}], "for some and not for all"),
        case("ninth in order", [tank | {"order": "9"}], "one of: 1, 2"),
        case("no mass", [tank], "there is no mass", zero_fuel_mass="0 kg"),
    ]


# --- envelope --------------------------------------------------------------------------

def envelope_case(name, arm, mass, expect):
    inputs = {"corners": CORNERS(CLIPPED), "arm": f"{arm} m", "mass": f"{mass} kg"}
    return {"name": name, "inputs": inputs, "expect": expect}


def sloping(name, arm, mass, verdict):
    """Against the edge from 0.9 m at 900 kg to 1.0 m at 1100 kg."""
    x, m = F(str(arm)), F(str(mass))
    forward = F(9, 10) + (m - 900) / 2000
    expect = {
        "envelope": verdict,
        "forward_limit": text(forward, "m"),
        "aft_limit": "1.25 m",
        "to_forward": text(x - forward, "m"),
        "to_aft": text(F(5, 4) - x, "m"),
        "below_top": text(1100 - m, "kg"),
        "above_bottom": text(m - 600, "kg"),
    }
    if 900 <= m <= 1100:
        expect["edges[1].along_arm"] = text(x - forward, "m")
    if F(9, 10) <= x <= 1:
        expect["edges[1].along_mass"] = text(900 + 2000 * (x - F(9, 10)) - m, "kg")
    return envelope_case(name, arm, mass, expect)


def envelopes():
    bad = lambda name, corners, error: {
        "name": name,
        "inputs": {"corners": CORNERS(corners), "arm": "1 m", "mass": "700 kg"},
        "expect": {"error": error},
    }
    held = {"envelope": "outside", "forward_limit": "1 m", "to_forward": "0.1 m", "below_top": "-37.5 kg"}
    low = {"envelope": "outside", "forward_limit": "0.9 m", "above_bottom": "-12.25 kg"}
    return [
        sloping("inside, near the sloping edge", "0.99", "1000", "inside"),
        sloping("on the sloping edge", "0.98125", "1062.5", "inside"),
        sloping("ahead of the sloping edge", "0.94", "1033", "outside"),
        sloping("behind the aft limit", "1.2500001", "950", "outside"),
        sloping("on the top corner", "1.0", "1100", "inside"),
        envelope_case("above the top: its limits are held", "1.1", "1137.5", held),
        envelope_case("below the bottom: its limits are held", "1.1", "587.75", low),
        bad("two corners", CLIPPED[:2], "at least three corners"),
        bad("edges that cross", [CLIPPED[0], CLIPPED[2], CLIPPED[1], CLIPPED[3]], "crosses the edge"),
        bad("no area", [("1", 600), ("1.1", 700), ("1.2", 800)], "enclose no area"),
        bad("folds back",
            [("0.9", 600), ("0.9", 1100), ("1.0", 700), ("1.1", 1100), ("1.2", 600)], "folds back"),
    ]


# --- charts ----------------------------------------------------------------------------

MASSES, ALTITUDES, TEMPERATURES = [900, 1000, 1150], [0, 1000, 2500], [0, 15, 40]


def value(i, j, k):
    """An invented take-off run: whole metres, rising along every axis, nowhere linear."""
    return 240 + 22 * i * i + 31 * i + 47 * j + 19 * j * j + 21 * k + 9 * k * k + 6 * i * j * k


CHART = {
    "masses": [f"{m} kg" for m in MASSES],
    "pressure_altitudes": [f"{h} m" for h in ALTITUDES],
    "temperatures": [f"{t} degC" for t in TEMPERATURES],
    "values": [[[f"{value(i, j, k)} m" for k in range(3)] for j in range(3)] for i in range(3)],
}


def reading(mass, altitude, temperature):
    """Linear along mass, then altitude, then temperature, exactly; held below the first line."""
    def along(lines, x, of):
        x = max(F(str(x)), F(lines[0]))
        low = max(n for n in range(len(lines)) if lines[n] <= x)
        if lines[low] == x:
            return of(low)
        share = (x - lines[low]) / (lines[low + 1] - lines[low])
        return of(low) * (1 - share) + of(low + 1) * share
    return along(MASSES, mass, lambda i: along(ALTITUDES, altitude, lambda j: along(
        TEMPERATURES, temperature, lambda k: F(value(i, j, k)))))


def chart_readings():
    def case(name, mass, altitude, temperature, expect):
        at = {"mass": f"{mass} kg", "pressure_altitude": f"{altitude} m",
              "temperature": f"{temperature} degC"}
        return {"name": name, "inputs": CHART | at, "expect": expect}
    def inside(name, *at, word="inside", **more):
        return case(name, *at, {"value": text(reading(*at), "m"), "reading": word} | more)
    def broken(name, error, **changed):
        broken = case(name, 950, 500, 20, {"error": error})
        broken["inputs"] |= changed
        return broken
    past = lambda name, word, *at: case(name, *at, {"reading": "beyond", "remark": f"{word} than the chart"})
    alone = {"name": "a chart of one value ignores what it has no lines of",
             "inputs": {"values": "300 m", "mass": "950 kg"},
             "expect": {"value": "300 m", "reading": "inside",
                        "remark": "the chart has no lines of mass: it is ignored"}}
    missing = {"name": "a condition that is missing", "expect": {"error": "temperature is missing"},
               "inputs": CHART | {"mass": "950 kg", "pressure_altitude": "500 m"}}
    return [
        inside("between all lines", 950, 500, 20),
        inside("in the last cells", 1120, 2100, "37.5"),
        inside("on a crossing of lines", 1000, 1000, 15),
        inside("at the heavy, high, hot corner", 1150, 2500, 40),
        inside("light, low and cold are held", 800, -100, -5, word="held"),
        inside("only cold is held", 1050, 1700, -20, word="held",
               remark="colder than the chart: its coldest line is used"),
        past("heavier", "heavier", "1150.1", 500, 20),
        past("higher", "higher", 950, "2500.1", 20),
        past("hotter", "hotter", 950, 500, "40.1"),
        alone,
        missing,
        broken("a value too few", "27 times but there are 26", values=sum(sum(CHART["values"], []), [])[:26]),
        broken("lines in disorder", "line 2 of mass", masses=["900 kg", "900 kg", "1150 kg"]),
        broken("not a number", "not a finite number", mass="NaN kg"),
    ]


def greatest_masses():
    def case(name, altitude, temperature, factor, available, outcome, **more):
        inputs = CHART | {"pressure_altitude": f"{altitude} m", "temperature": f"{temperature} degC",
                          "factor": f"{factor} 1", "available": f"{available} m"}
        fits = lambda mass: reading(mass, altitude, temperature) * F(str(factor)) <= F(str(available))
        expect = {"outcome": outcome} | more
        if outcome == "mass":
            low, high = F(900), F(1150)
            for _ in range(60):
                middle = (low + high) / 2
                low, high = (middle, high) if fits(middle) else (low, middle)
            expect["mass"] = text(low, "kg", 12)
        if outcome == "whole chart":
            assert fits(1150)
            expect["mass"] = "1150 kg"
        if outcome == "none":
            assert not fits(900)
        return {"name": name, "inputs": inputs, "expect": expect}
    flat = {"temperatures": ["0 degC", "30 degC"], "values": ["300 m", "360 m"],
            "temperature": "15 degC", "factor": "1.2 1", "available": "396 m"}
    return [
        case("between the first two lines of mass", 500, 20, "1.15", 400, "mass"),
        case("between the last two lines of mass", 1800, 31, "1.33", 700, "mass"),
        case("an awkward factor", 2222, 27, "1.2345", 611, "mass"),
        case("not even the lightest", 2500, 40, "1.43", 500, "none"),
        case("every mass of the chart", 0, 0, "1.15", 900, "whole chart"),
        case("cold is held and said", 1000, -10, "1.15", 450, "mass",
             remark="colder than the chart: its coldest line is used"),
        case("hotter than the chart", 1000, 41, "1.15", 900, "beyond", remark="hotter than the chart"),
        {"name": "a chart without mass that fits", "inputs": flat, "expect": {"outcome": "any mass"}},
        {"name": "a chart without mass that does not fit",
         "inputs": flat | {"available": "395.9 m"}, "expect": {"outcome": "none"}},
    ]


# --- load ------------------------------------------------------------------------------

def loads():
    items = rows("mass kg", "arm m", "lateral m")
    table = [("641.5", "1.02", "0.004"), ("86", "0.94", "-0.28"), ("71.5", "0.94", "0.28"),
             ("33.25", "1.93", "-0.2"), ("102", "1.15", "0")]
    gone = [("12.5", "1.93", "-0.2")]
    mass = sum(F(r[0]) for r in table) - F(gone[0][0])
    moment = sum(F(r[0]) * F(r[1]) for r in table) - F(gone[0][0]) * F(gone[0][1])
    side = sum(F(r[0]) * F(r[2]) for r in table) - F(gone[0][0]) * F(gone[0][2])
    arm = moment / mass
    whole = {
        "name": "lateral arm, share of the chord, something taken off, inside",
        "inputs": {"items": items(table), "removed": items(gone), "lemac": "0.68 m", "mac": "1.52 m",
                   "corners": CORNERS(CLIPPED)},
        "expect": {"mass": text(mass, "kg"), "moment": text(moment, "kg.m"),
                   "centre_of_gravity": text(arm, "m"), "lateral": text(side / mass, "m"),
                   "percent_mac": text((arm - F("0.68")) / F("1.52") * 100, "%"), "envelope": "inside"},
    }
    def refused(name, error, **inputs):
        return {"name": name, "inputs": inputs, "expect": {"error": error}}
    one = {"mass": "100 kg", "arm": "1 m"}
    return [
        whole,
        {"name": "too far aft", "expect": {"envelope": "outside", "centre_of_gravity": "1.3 m"},
         "inputs": {"items": [{"mass": "900 kg", "arm": "1.3 m"}], "corners": CORNERS(CLIPPED)}},
        refused("nothing aboard", "there is no mass", items=[]),
        refused("all of it taken off", "there is no mass", items=[one], removed=[one]),
        refused("an arm and a moment", "items[1] must be", items=[one, one | {"moment": "100 kg.m"}]),
        refused("neither", "items[0] must be", items=[{"mass": "100 kg"}]),
        refused("lateral for some", "for some and not for all", items=[one, one | {"lateral": "0.1 m"}]),
        refused("a chord without its edge", "lemac is missing", items=[one], mac="1.5 m"),
        refused("an empty envelope", "at least three corners", items=[one], corners=[]),
        refused("negative mass", "accepted: 0 to", items=[{"mass": "-1 kg", "arm": "1 m"}]),
        refused("no unit", "has no unit", items=[{"mass": "100", "arm": "1 m"}]),
    ]


def load_tables():
    add, remove, shift, ballast, room = [], [], [], [], []
    for mass, arm, other, at in (("812.5", "1.07", "93", "1.95"), ("1333", "0.884", "250.5", "-0.31")):
        w, x, m, a = F(mass), F(arm), F(other), F(at)
        for table, sign in ((add, 1), (remove, -1)):
            total, moment = w + sign * m, w * x + sign * m * a
            cells = (total, moment / total, moment / total - x, moment)
            table.append((mass, arm, other, at, *map(number, cells), ""))
    remove.append(("100", "1", "100", "1", "", "", "", "", "there is no mass"))
    for mass, arm, moved, start, end in (("812.5", "1.07", "20", "1.95", "0.9"), ("1000", "", "7", "-1", "3")):
        change = F(moved) * (F(end) - F(start)) / F(mass)
        after = number(F(arm) + change) if arm else ""
        shift.append((mass, arm, moved, start, end, number(change), after, ""))
    shift.append(("10", "1", "11", "0", "1", "", "", "more mass is moved than there is"))
    for mass, arm, target, at in (("612", "1.31", "1.24", "-0.85"), ("850", "0.87", "0.9", "4.4")):
        m = F(mass) * (F(target) - F(arm)) / (F(at) - F(target))
        ballast.append((mass, arm, target, at, number(m), number(F(mass) + m), ""))
    ballast.append(("850", "0.87", "0.9", "0.2", "", "", "cannot bring the balance there"))
    for mass, arm, limit_, at, top in (("980", "1.1", "1.19", "2.2", "1200"), ("980", "1.1", "1.19", "2.2", "1050"),
                                       ("980", "1.1", "1.19", "1.1", "1050")):
        reach = F(at) - F(limit_)
        m = F(mass) * (F(limit_) - F(arm)) / reach if reach > 0 else None
        left = F(top) - F(mass)
        added = left if m is None else min(m, left)
        room.append((mass, arm, limit_, at, top, number(added), "mass" if added == left else "balance", ""))
    room.append(("980", "1.1", "1.19", "1.1", "", "", "", "cannot bring the balance there"))
    room.append(("980", "1.1", "1.19", "2.2", "979", "", "", "already above its limit"))
    digits = "digits written"
    changed = [f"mass = 1e-9 kg, {digits}", f"centre_of_gravity = 1e-11 m, {digits}",
               f"change = 1e-11 m, {digits}", f"moment = 1e-8 kg.m, {digits}"]
    after = "=mass [kg],=centre_of_gravity [m],=change [m],=moment [kg.m],=error"
    write_csv("mass-add-exact.csv", "mass-add", changed,
              f"mass [kg],centre_of_gravity [m],added [kg],arm [m],{after}", add)
    write_csv("mass-remove-exact.csv", "mass-remove", changed,
              f"mass [kg],centre_of_gravity [m],removed [kg],arm [m],{after}", remove)
    write_csv("mass-shift-exact.csv", "mass-shift",
              [f"change = 1e-11 m, {digits}", f"centre_of_gravity = 1e-11 m, {digits}"],
              "mass [kg],centre_of_gravity [m],moved [kg],from [m],to [m],=change [m],"
              "=centre_of_gravity [m],=error", shift)
    write_csv("ballast-exact.csv", "ballast", [f"ballast = 1e-9 kg, {digits}", f"mass = 1e-9 kg, {digits}"],
              "mass [kg],centre_of_gravity [m],target [m],ballast_arm [m],=ballast [kg],=mass [kg],=error",
              ballast)
    write_csv("greatest-added-mass-exact.csv", "greatest-added-mass", [f"added = 1e-9 kg, {digits}"],
              "mass [kg],centre_of_gravity [m],limit [m],added_arm [m],greatest_mass [kg],=added [kg],"
              "=set_by,=error", room)
    chord = [(c, e, m, number((F(c) - F(e)) / F(m) * 100), "") for c, e, m in
             (("1.07", "0.68", "1.52"), ("0.5", "0.68", "1.52"))]
    chord += [("1.07", "0.68", "0.09", "", "accepted: 0.1 to 20 m")]
    write_csv("percent-mac-exact.csv", "percent-mac", [f"percent_mac = 1e-9 %, {digits}"],
              "centre_of_gravity [m],lemac [m],mac [m],=percent_mac [%],=error", chord)


# --- fuel ------------------------------------------------------------------------------

def fuel_tables():
    legs = [(d, v, b, number(F(d) / F(v) * 60), number(F(d) / F(v) * F(b)), "")
            for d, v, b in (("137", "94", "38.5"), ("62.5", "111", "41"), ("0", "90", "40"))]
    legs += [("100", "0.9", "40", "", "", "groundspeed is 0.9 kt"), ("100", "90", "0.09", "", "", "fuel burn is")]
    write_csv("leg-fuel-exact.csv", "leg-fuel",
              ["time = 1e-9 min, digits written", "fuel = 1e-9 L, digits written"],
              "distance [NM],groundspeed [kt],burn [L/h],=time [min],=fuel [L],=error", legs)
    held = [(t, b, number(F(t) / 60 * F(b)), "") for t, b in (("45", "38.5"), ("30", "27"), ("0", "40"))]
    held += [("2881", "40", "", "time is 48.01")]
    write_csv("time-fuel-exact.csv", "time-fuel", ["fuel = 1e-9 L, digits written"],
              "time [min],burn [L/h],=fuel [L],=error", held)
    shares = [(v, s, number(F(v) * F(s) / 100), "") for v, s in (("83.2", "5"), ("120", "10"), ("57", "0"))]
    shares += [("57", "100.1", "", "share of trip fuel is 100.1 %")]
    write_csv("contingency-exact.csv", "contingency", ["contingency = 1e-9 L, digits written"],
              "trip [L],share [%],=contingency [L],=error", shares)
    ladders = [("4.5", "83.2", "4.16", "21", "0", "19.25", "0"), ("6", "120", "12", "0", "20", "29", "15")]
    table = [(*rungs, number(sum(map(F, rungs))), "") for rungs in ladders]
    table += [("6", "120", "12", "", "20", "29", "15", "", "alternate is missing")]
    write_csv("fuel-required-exact.csv", "fuel-required", ["required = 1e-9 L, digits written"],
              "start_and_taxi [L],trip [L],contingency [L],alternate [L],holding [L],final_reserve [L],"
              "extra [L],=required [L],=error", table)
    lasting = [(v, b, number(F(v) / F(b)), "") for v, b in (("142", "38.5"), ("96.4", "41"), ("0", "40"))]
    lasting += [("-1", "40", "", "fuel is -1 L")]
    write_csv("endurance-exact.csv", "endurance", ["endurance = 1e-9 h, digits written"],
              "fuel [L],burn [L/h],=endurance [h],=error", lasting)
    points = [("5", "110", "130"), ("3.25", "95", "95"), ("4.4", "140", "72.5")]
    turning, equal = [], []
    for hours, out, home in points:
        # Solved from the two times, not from the formula: out t1, home t - t1, same distance.
        time = F(hours) * F(home) / (F(out) + F(home))
        assert time * F(out) == (F(hours) - time) * F(home)
        turning.append((hours, out, home, number(time * F(out)), number(time * 60), ""))
    for whole, out, home in (("300", "110", "130"), ("187", "95", "95"), ("421.5", "140", "72.5")):
        at = F(whole) * F(home) / (F(out) + F(home))
        assert (F(whole) - at) / F(out) == at / F(home)
        equal.append((whole, out, home, number(at), number(at / F(out) * 60), ""))
    turning.append(("5", "110", "0", "", "", "groundspeed is 0 kt"))
    equal.append(("5001", "110", "100", "", "", "distance is 5001 NM"))
    limits = ["distance = 1e-9 NM, digits written", "time = 1e-9 min, digits written"]
    speeds = "groundspeed_out [kt],groundspeed_home [kt],=distance [NM],=time [min],=error"
    write_csv("point-of-no-return-exact.csv", "point-of-no-return", limits, f"endurance [h],{speeds}", turning)
    write_csv("equal-time-point-exact.csv", "equal-time-point", limits, f"distance [NM],{speeds}", equal)
    steps = [(v, s, number(-(-F(v) // F(s)) * F(s)), "") for v, s in
             (("41", "5"), ("40", "5"), ("40.001", "5"), ("0", "5"), ("18.3333", "0.1"), ("0.3", "0.1"))]
    steps += [("10", "0", "", "step of the dispenser is 0 L")]
    write_csv("round-up-exact.csv", "round-up", ["rounded_up = 1e-9 L, whole steps"],
              "volume [L],step [L],=rounded_up [L],=error", steps)
    fuels = [(v, d, number(F(v) * F(d)), "") for v, d in (("142", "0.72"), ("57.5", "0.804"))]
    fuels += [("10", "0.95", "", "density of fuel is 0.95 kg/L")]
    write_csv("mass-of-fuel-exact.csv", "mass-of-fuel", ["mass = 1e-9 kg, digits written"],
              "volume [L],density [kg/L],=mass [kg],=error", fuels)
    over = [(m, "0.72", s, number(F(m) / F("0.72")), number(-(-F(m) / F("0.72") // F(s)) * F(s)) if s else "", "")
            for m, s in (("34", "1"), ("36", "0.5"), ("12.25", ""))]
    over += [("10", "0.55", "1", "", "", "density of fuel is 0.55 kg/L")]
    write_csv("mass-over-to-fuel-exact.csv", "mass-over-to-fuel",
              ["volume = 1e-9 L, digits written", "rounded_up = 1e-9 L, whole steps"],
              "over [kg],density [kg/L],step [L],=volume [L],=rounded_up [L],=error", over)


# --- strip -----------------------------------------------------------------------------

def strip_tables():
    steps = [(c, s, number(1 + F(c) / 100 * F(s)), "") for c, s in
             (("-10", "0.5"), ("-7", "2"), ("10", "3"), ("5", "0"), ("20", "1.25"))]
    steps += [("-10", "9.5", "", "factor on a distance is 0.05"), ("-91", "0.5", "", "change of distance is -91 %")]
    write_csv("correction-exact.csv", "correction", ["factor = 1e-12 1, digits written"],
              "change [%],steps [1],=factor [1],=error", steps)
    wind = [(w, c, t, number(F(w) * F(c if F(w) >= 0 else t) / 100), "") for w, c, t in
            (("13", "50", "150"), ("-5", "50", "150"), ("0", "50", "150"), ("9", "0", "100"))]
    wind += [("9", "301", "150", "", "share of the wind is 301 %"), ("9", "50", "", "", "charge is missing")]
    write_csv("counted-wind-exact.csv", "counted-wind", ["counted = 1e-9 kt, digits written"],
              "headwind [kt],credit [%],charge [%],=counted [kt],=error", wind)
    factors = lambda *all_: [{"factor": f"{f} 1"} for f in all_]
    def case(name, chart, all_, expect):
        return {"name": name, "inputs": {"chart": f"{chart} m", "factors": all_}, "expect": expect}
    product = F("1.15") * F("1.07") * F("0.94")
    write_json("strip-distance-exact.json", "strip-distance",
               {"required": ["1e-9 m", "digits written"], "factor": ["1e-12 1", "digits written"]},
               [case("factors multiply", 412, factors("1.15", "1.07", "0.94"),
                     {"required": text(412 * product, "m"), "factor": text(product, "1")}),
                case("no factor at all", 412, [], {"required": "412 m", "factor": "1 1"}),
                case("a factor and a change", 412, [{"factor": "1.1 1", "change": "5 %", "steps": "1 1"}],
                     {"error": "factors[0] must be either a factor"}),
                case("a change without its steps", 412, factors("1.1") + [{"change": "5 %"}],
                     {"error": "factors[1] must be either a factor"}),
                case("a factor out of range", 412, factors("10.1"), {"error": "factor on a distance is 10.1"})])
    points = rows("mass kg", "factor 1")
    graded = lambda name, table, mass, expect: {
        "name": name, "inputs": {"points": points(table), "mass": f"{mass} kg"}, "expect": expect}
    three = [(1000, "1.1"), (1800, "1.3"), (2500, "1.35")]
    write_json("graded-factor-exact.json", "graded-factor", {"factor": ["1e-12 1", "digits written"]},
               [graded("between the first two", three, 1234, {"factor": text(F("1.1") + F(2, 10) * F(234, 800), "1")}),
                graded("between the last two", three, 2001, {"factor": text(F("1.3") + F(5, 100) * F(201, 700), "1")}),
                graded("held below", three, 600, {"factor": "1.1 1"}),
                graded("held above", three, 5700, {"factor": "1.35 1"}),
                graded("masses in disorder", [(1000, "1.1"), (1000, "1.2")], 1000, {"error": "points[1] must be"}),
                graded("no point", [], 1000, {"error": "points[0] must be"})])


def main():
    digits = "digits written"
    ends = {f"{side}_{key}": [limit_, why] for side in ("forward", "aft") for key, limit_, why in
            (("margin", "1e-11 m", digits), ("mass", "1e-4 kg", "a minimum is flat: half the digits of its depth"),
             ("arm", "1e-7 m", "as flat as the mass"), ("fuel", "1e-4 kg", "as flat as the mass"))}
    masses = {"start_mass": ["1e-9 kg", digits], "end_mass": ["1e-6 kg", digits]}
    sides = {"leftmost": ["1e-11 m", digits], "rightmost": ["1e-11 m", digits]}
    write_json("burn-path-exact.json", "burn-path", ends | masses | sides,
               [*burn_paths(), step_path(), lateral_path(), *refused_paths()], "invented aeroplanes")
    outputs = {"forward_limit": "m", "aft_limit": "m", "to_forward": "m", "to_aft": "m",
               "below_top": "kg", "above_bottom": "kg", "edges.along_arm": "m", "edges.along_mass": "kg"}
    write_json("envelope-exact.json", "envelope",
               {key: ["1e-11 m" if unit == "m" else "1e-8 kg", digits] for key, unit in outputs.items()},
               envelopes(), "an invented envelope")
    write_json("chart-reading-exact.json", "chart-reading", {"value": ["1e-9 m", digits]},
               chart_readings(), "an invented chart")
    write_json("greatest-mass-for-strip-exact.json", "greatest-mass-for-strip",
               {"mass": ["1e-7 kg", "digits written; bisection to 2e-16 kg"]}, greatest_masses(), "an invented chart")
    write_json("centre-of-gravity-exact.json", "centre-of-gravity",
               {"mass": ["1e-9 kg", digits], "moment": ["1e-8 kg.m", digits],
                "centre_of_gravity": ["1e-11 m", digits], "lateral": ["1e-11 m", digits],
                "percent_mac": ["1e-9 %", digits]}, loads(), "invented aeroplanes")
    load_tables()
    fuel_tables()
    strip_tables()


if __name__ == "__main__":
    main()
