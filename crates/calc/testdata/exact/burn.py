"""Cases of the burn path: flown step by step, its worst point searched, not solved."""

from fractions import Fraction as F

import mpmath

from case_file import CLIPPED, CORNERS, DIGITS, rows, text, write_json


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
CLIPPED_SIDES = [(600, "0.9"), (900, "0.9"), (1100, "1.0")], [(600, "1.25"), (1100, "1.25")]


def burn_paths():
    fixed = lambda arm: [(0, arm)]
    curve = [(0, "0.95"), (60, "1.05"), (140, "1.10")]
    return [
        burn_case(
            "both ends inside, the middle outside aft",
            1000,
            "1.15",
            [("120", fixed("0.9"), 1), ("60", fixed("2.0"), 2)],
            BOX,
            *UPRIGHT,
            verdict="outside",
        ),
        burn_case(
            "the same with the tanks in the other order",
            1000,
            "1.15",
            [("120", fixed("0.9"), 2), ("60", fixed("2.0"), 1)],
            BOX,
            *UPRIGHT,
            verdict="inside",
        ),
        burn_case(
            "the same stopped before the forward tank is empty",
            1000,
            "1.15",
            [("120", fixed("0.9"), 1), ("60", fixed("2.0"), 2)],
            BOX,
            *UPRIGHT,
            stop=150,
            verdict="inside",
        ),
        burn_case(
            "nearest the aft limit at a turning point, no corner and no end",
            850,
            "1.36",
            [("500", fixed("2.0"), 1)],
            LEANING,
            *LEANING_SIDES,
            verdict="inside",
        ),
        burn_case(
            "arm of the fuel changes with its quantity",
            780,
            "1.02",
            [("140", curve, 1), ("70", fixed("1.3"), 1)],
            CLIPPED,
            *CLIPPED_SIDES,
            verdict="inside",
        ),
        burn_case(
            "too far forward at the start, where the limit leans",
            800,
            "0.93",
            [("280", fixed("1.12"), 1)],
            CLIPPED,
            *CLIPPED_SIDES,
            verdict="outside",
        ),
        burn_case(
            "three tanks, two of them together",
            820,
            "1.21",
            [("70", fixed("1.3"), 2), ("45", fixed("1.0"), 1), ("25", fixed("1.45"), 1)],
            CLIPPED,
            *CLIPPED_SIDES,
            verdict="inside",
        ),
        burn_case(
            "no fuel at all",
            900,
            "1.1",
            [("0", fixed("1.0"), 1)],
            CLIPPED,
            *CLIPPED_SIDES,
            verdict="inside",
        ),
        burn_case(
            "too heavy at the start, balance inside",
            1000,
            "1.1",
            [("101", fixed("1.1"), 1)],
            CLIPPED,
            *CLIPPED_SIDES,
            verdict="outside",
            flat=True,
        ),
    ]


def step_path():
    """The forward limit steps from 0.9 m to 1.06 m at 1000 kg. With x = 2 - 945 / m both ends and
    the point below the step are inside; just above it the path is 5 mm too far forward."""
    corners = [
        ("0.9", 700),
        ("0.9", 1000),
        ("1.06", 1000),
        ("1.06", 1200),
        ("1.4", 1200),
        ("1.4", 700),
    ]
    inputs = {
        "zero_fuel_mass": "900 kg",
        "zero_fuel_arm": "0.95 m",
        "corners": CORNERS(corners),
        "tanks": [{"fuel": "200 kg", "arm": "2 m", "order": "1"}],
    }
    expect = {
        "envelope": "outside",
        "forward_margin": text(2 - F(945, 1000) - F("1.06"), "m"),
        "forward_mass": "1000 kg",
    }
    return {"name": "a step of the forward limit in mid-burn", "inputs": inputs, "expect": expect}


def lateral_path():
    """Left tank first, then the right one: x = (50 * -1.5 + 50 * 1.5) and so on, over the mass."""
    tanks = [
        {"fuel": "50 kg", "arm": "1.1 m", "order": "1", "lateral": "-1.5 m"},
        {"fuel": "50 kg", "arm": "1.1 m", "order": "2", "lateral": "1.5 m"},
    ]
    inputs = {
        "zero_fuel_mass": "900 kg",
        "zero_fuel_arm": "1.1 m",
        "zero_fuel_lateral": "0.01 m",
        "tanks": tanks,
        "corners": CORNERS(CLIPPED),
    }
    start, middle, end = F(9, 1000), F(9 + 75, 950), F(1, 100)
    expect = {
        "envelope": "inside",
        "leftmost": text(min(start, middle, end), "m"),
        "rightmost": text(max(start, middle, end), "m"),
    }
    return {"name": "left tank first leans right in between", "inputs": inputs, "expect": expect}


def refused_paths():
    corners = CORNERS(CLIPPED)

    def case(name, tanks, error, **more):
        inputs = {
            "zero_fuel_mass": "900 kg",
            "zero_fuel_arm": "1.1 m",
            "tanks": tanks,
            "corners": corners,
        } | more
        return {"name": name, "inputs": inputs, "expect": {"error": error}}

    tank = {"fuel": "10 kg", "arm": "1 m", "order": "1"}
    points = rows("fuel kg", "arm m")
    return [
        case("nine tanks", [tank] * 9, "9 tanks; at most 8"),
        case("an arm and arm points", [tank | {"arm_points": points([(0, 1)])}], "one of the two"),
        case("neither arm nor points", [{"fuel": "10 kg", "order": "1"}], "one of the two"),
        case(
            "arm points in disorder",
            [{"fuel": "10 kg", "order": "1", "arm_points": points([(20, 1), (10, 1)])}],
            "point 2 does not rise",
        ),
        case(
            "lateral for one tank only",
            [tank, tank | {"lateral": "1 m"}],
            "for some and not for all",
        ),
        case("ninth in order", [tank | {"order": "9"}], "one of: 1, 2"),
        case("no mass", [tank], "there is no mass", zero_fuel_mass="0 kg"),
    ]


def write():
    flat = "a minimum is flat: half the digits of its depth"
    limits = {
        "start_mass": ["1e-9 kg", DIGITS],
        "end_mass": ["1e-6 kg", DIGITS],
        "leftmost": ["1e-11 m", DIGITS],
        "rightmost": ["1e-11 m", DIGITS],
    }
    for side in ("forward", "aft"):
        limits[f"{side}_margin"] = ["1e-11 m", DIGITS]
        limits[f"{side}_arm"] = ["1e-7 m", flat]
        for key in ("mass", "fuel"):
            limits[f"{side}_{key}"] = ["1e-4 kg", flat]
    cases = [*burn_paths(), step_path(), lateral_path(), *refused_paths()]
    write_json("burn-path-exact.json", "burn-path", limits, cases, "invented aeroplanes")
