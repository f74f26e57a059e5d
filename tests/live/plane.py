"""Distances, shared areas and round offsets of random polygons from GEOS."""

import math
import random

import shapely
from shapely.geometry import Polygon

from table import Limit, ShapeTable

SOURCE = "shapely 2 (GEOS), planar; seeded random polygons, convex and not"
PAIRS = 10_000
# So many of each kind are kept for the day GEOS is not to be had; all are asked where it is.
KEPT = 150
OFFSETS = 200
# Straight sides for a quarter of a circle: an arc lacks (pi / 4 / n)^2 / 6 of its sector.
QUARTER = 1024

SPOT = "both are doubles; the promise"
SHARE = "both are doubles; the promise"
NOTHING = "they share nothing; a share of nothing cannot be measured"
SIDES = "1024 straight sides for a quarter of a circle lack 4e-7 of the sector"

Corners = list[tuple[float, float]]


def tables() -> list[ShapeTable]:
    """Pairs of polygons that share an area, pairs that share none, and offsets."""
    return [*distances(), offsets()]


def star(chance: random.Random, middle: tuple[float, float], size: float) -> Corners:
    """A simple polygon: corners in the order of their bearing, less than half a turn apart."""
    count = chance.randint(3, 14)
    rough = chance.choice([0.0, 0.3, 0.85])
    turn = chance.uniform(0.0, math.tau)
    corners = []
    for n in range(count):
        angle = turn + math.tau * (n + chance.uniform(0.0, 0.4)) / count
        reach = size * (1.0 - chance.uniform(0.0, rough))
        corners.append((middle[0] + reach * math.cos(angle), middle[1] + reach * math.sin(angle)))
    return thousandths(corners)


def bay(chance: random.Random, middle: tuple[float, float], size: float) -> Corners:
    """A thick arc, open on one side."""
    steps = chance.randint(4, 9)
    turn, opening = chance.uniform(0.0, math.tau), chance.uniform(0.2, 1.6)
    outer, inner = [], []
    for n in range(steps + 1):
        angle = turn + opening / 2.0 + (math.tau - opening) * n / steps
        for side, low, high in [(outer, 0.8, 1.0), (inner, 0.5, 0.7)]:
            reach = size * chance.uniform(low, high)
            side.append((middle[0] + reach * math.cos(angle), middle[1] + reach * math.sin(angle)))
    return thousandths(outer + inner[::-1])


def thousandths(corners: Corners) -> Corners:
    """Millimetres, so that text and number are the same corner."""
    return [(round(x, 3), round(y, 3)) for x, y in corners]


def simple(chance: random.Random, middle: tuple[float, float], size: float) -> Corners:
    """A polygon that is still simple after rounding."""
    while True:
        form = bay if chance.random() < 0.2 else star
        corners = form(chance, middle, size)
        if Polygon(corners).is_valid:
            return corners


def pair(chance: random.Random, number: int) -> tuple[Corners, Corners]:
    """Apart, near, crossing, one inside the other, or touching at a corner."""
    one = simple(chance, (0.0, 0.0), 10.0)
    match number % 5:
        case 0:
            at = (chance.uniform(-80.0, 80.0), chance.uniform(-80.0, 80.0))
        case 1:
            angle = chance.uniform(0.0, math.tau)
            at = (19.0 * math.cos(angle), 19.0 * math.sin(angle))
        case 2:
            at = (chance.uniform(-9.0, 9.0), chance.uniform(-9.0, 9.0))
        case 3:
            return one, simple(chance, (0.0, 0.0), chance.choice([2.0, 40.0]))
        case _:
            other = simple(chance, (chance.uniform(-20.0, 20.0), 15.0), 8.0)
            (x, y), (u, v) = chance.choice(one), chance.choice(other)
            return one, thousandths([(a + x - u, b + y - v) for a, b in other])
    return one, simple(chance, at, chance.uniform(1.0, 15.0))


def distances() -> list[ShapeTable]:
    chance = random.Random("pairs of polygons")
    columns = {"shape": "m", "other": "m", "=distance": "m", "=overlaps": "", "=overlap_area": "m2"}
    sharing, apart = (
        ShapeTable(
            name,
            "shape-distance",
            SOURCE,
            columns,
            {"distance": Limit(1e-6, "m", SPOT), "overlap_area": area},
            kept=KEPT,
        )
        for name, area in [
            ("shapes-sharing", Limit(1e-9, "rel", SHARE)),
            ("shapes-apart", Limit(1e-12, "m2", NOTHING)),
        ]
    )
    pairs = []
    while len(pairs) < PAIRS:
        one, other = pair(chance, len(pairs))
        if Polygon(one).is_valid and Polygon(other).is_valid:
            pairs.append((one, other))
    ones = shapely.polygons([shapely.linearrings(one) for one, _ in pairs])
    others = shapely.polygons([shapely.linearrings(other) for _, other in pairs])
    distances = shapely.distance(ones, others)
    areas = shapely.area(shapely.intersection(ones, others))
    for (one, other), distance, area in zip(pairs, distances, areas, strict=True):
        table = sharing if area > 0.0 else apart
        table.rows.append({
            "shape": packed(one),
            "other": packed(other),
            "=distance": repr(float(distance)),
            "=overlaps": "yes" if distance == 0.0 else "no",
            "=overlap_area": repr(float(area)),
        })
    return [sharing, apart]


def offsets() -> ShapeTable:
    chance = random.Random("offsets")
    table = ShapeTable(
        "shape-offset",
        "shape-offset",
        SOURCE,
        {"corners": "m", "by": "m", "=area": "m2"},
        {"area": Limit(5e-7, "rel", SIDES)},
        kept=OFFSETS,
    )
    for number in range(OFFSETS):
        form = bay if number % 2 else star
        corners = form(chance, (0.0, 0.0), 10.0)
        while not Polygon(corners).is_valid:
            corners = form(chance, (0.0, 0.0), 10.0)
        by = round(chance.uniform(0.1, 8.0), 3)
        area = Polygon(corners).buffer(by, quad_segs=QUARTER).area
        table.rows.append({"corners": packed(corners), "by": repr(by), "=area": repr(area)})
    return table


def packed(corners: Corners) -> str:
    return "; ".join(f"{x!r} {y!r}" for x, y in corners)
