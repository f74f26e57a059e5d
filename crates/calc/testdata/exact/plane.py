"""Cases of shapes on the apron and of the walking path, in closed form."""

from mpmath import asin, mpf, pi, sqrt, tan

from case_file import DIGITS, rows, text, write_json

CORNERS = rows("east m", "north m")
TRIANGLE = [(0, 0), (4, 0), (0, 4)]
BLOCK = [(4, 4), (9, 4), (9, 9), (4, 9)]
SQUARE = [(0, 0), (4, 0), (4, 4), (0, 4)]
NOTCHED = [(0, 0), (4, 0), (4, 4), (2, 1), (0, 4)]
# Walls of 1 m around a yard of 10 m by 10 m, with a gate of 2 m in the middle of one side.
YARD = [
    (4, 0), (0, 0), (0, 10), (10, 10), (10, 0), (6, 0),
    (6, -1), (11, -1), (11, 11), (-1, 11), (-1, -1), (4, -1),
]  # fmt: skip
SPOILT = [
    ("two corners", SQUARE[:2], "three corners or more"),
    ("a corner twice", [*SQUARE[:2], SQUARE[1], *SQUARE[2:]], "corner 3 repeats"),
    ("all on one line", [(0, 0), (1, 1), (3, 3)], "on one line"),
    ("folded back", [(0, 0), (4, 0), (2, 0), (2, 2)], "folds back on itself at corner 2"),
    ("crossed", [SQUARE[0], SQUARE[2], SQUARE[1], SQUARE[3]], "after corner 1 meets"),
    ("a corner on another edge", [(0, 0), (4, 0), (4, 4), (2, 0), (0, 4)], "after corner 1 meets"),
    ("too far away", [(0, 0), (4, 0), (0, 1000001)], "coordinate is 1000.001 km"),
]


def case(name, inputs, expect):
    return {"name": name, "inputs": inputs, "expect": expect}


def at(key, east, north):
    return {f"{key}_east": f"{east} m", f"{key}_north": f"{north} m"}


def refused(inputs):
    return [case(name, inputs(corners), {"error": error}) for name, corners, error in SPOILT]


def limits(**units):
    return {key: [limit, DIGITS] for key, limit in units.items()}


def shapes():
    # The notch is a triangle of 4 m by 3 m, centroid at (2, 3), taken out of the square.
    notched = {
        "area": "10.0 m2",
        "perimeter": text(12 + 2 * sqrt(13), "m"),
        "centroid_east": "2.0 m",
        "centroid_north": text(mpf(16 * 2 - 6 * 3) / 10, "m"),
        "convex": "no",
        "hull_area": "16.0 m2",
    }
    level = {"area": "16.0 m2", "perimeter": "16.0 m", "convex": "yes", "hull_area": "16.0 m2"}
    middle = [*SQUARE[:2], (4, 2), *SQUARE[2:]]
    cases = [
        case("a square with a notch", {"corners": CORNERS(NOTCHED)}, notched),
        case("the same, clockwise", {"corners": CORNERS(NOTCHED[::-1])}, notched),
        case("a corner in the middle of a side", {"corners": CORNERS(middle)}, level),
        *refused(lambda corners: {"corners": CORNERS(corners)}),
    ]
    centroid = {"centroid_east": "1e-11 m", "centroid_north": "1e-11 m"}
    lengths = {"area": "1e-11 m2", "perimeter": "1e-11 m", "hull_area": "1e-11 m2"}
    write_json("shape-exact.json", "shape", limits(**lengths, **centroid), cases)


def distances():
    def pair(name, shape, other, expect):
        return case(name, {"shape": CORNERS(shape), "other": CORNERS(other)}, expect)

    def shared(area):
        return {"distance": "0.0 m", "overlaps": "yes", "overlap_area": text(mpf(area), "m2")}

    spike = [(-5, 2), (9, 1), (9, 3)]
    # Its edges rise and fall by 1 in 14; between 0 and 4 it is 2 (5 + x) / 14 high.
    crossed = mpf(4) * 2 * (5 + 2) / 14
    apart = {
        "distance": text(2 * sqrt(2), "m"),
        "overlaps": "no",
        "from_east": "2.0 m",
        "from_north": "2.0 m",
        "to_east": "4.0 m",
        "to_north": "4.0 m",
        "overlap_area": "0.0 m2",
    }
    inner = [(1, 1), (2, 1), (1, 2)]
    cases = [
        pair("a corner against a slanting edge", TRIANGLE, BLOCK, apart),
        pair("a corner on an edge", SQUARE, [(4, 2), (6, 1), (6, 3)], shared(0)),
        pair("a corner on a corner", SQUARE, [(4, 4), (6, 5), (5, 6)], shared(0)),
        pair("a part of an edge", SQUARE, [(4, 1), (6, 1), (6, 3), (4, 3)], shared(0)),
        pair("through it, without a corner inside", SQUARE, spike, shared(crossed)),
        pair("inside", SQUARE, inner, shared(mpf(1) / 2)),
        pair("around it", inner, SQUARE, shared(mpf(1) / 2)),
        pair("the same shape", NOTCHED, NOTCHED[::-1], shared(10)),
        pair("in the notch", NOTCHED, [(2, 2), (3, 4), (1, 4)], {"overlaps": "no"}),
        *refused(lambda corners: {"shape": CORNERS(SQUARE), "other": CORNERS(corners)}),
    ]
    places = {f"{end}_{axis}": "1e-11 m" for end in ("from", "to") for axis in ("east", "north")}
    tolerance = limits(distance="1e-11 m", **places, overlap_area="1e-11 m2")
    write_json("shape-distance-exact.json", "shape-distance", tolerance, cases)


def points():
    def place(name, east, north, position, distance, corners=NOTCHED):
        inputs = {"east": f"{east} m", "north": f"{north} m", "corners": CORNERS(corners)}
        return case(name, inputs, {"position": position, "distance": text(mpf(distance), "m")})

    cases = [
        place("inside", 2, "0.5", "inside", 0),
        place("on a corner that points inwards", 2, 1, "border", 0),
        place("a hair above it", 2, "1.0000000000000002", "outside", 0),
        place("on a slanting edge", 3, "2.5", "border", 0),
        place("in the notch", 2, 3, "outside", 4 / sqrt(13)),
        place("level with a corner, west of it", -1, 4, "outside", 1),
        place("beyond a corner", 7, -4, "outside", 5),
        *refused(lambda corners: {"east": "0 m", "north": "0 m", "corners": CORNERS(corners)}),
    ]
    write_json("point-distance-exact.json", "point-distance", limits(distance="1e-11 m"), cases)


def offsets():
    def around(name, corners, by, expect):
        return case(name, {"corners": CORNERS(corners), "by": f"{by} m"}, expect)

    def yard(d):
        """Between the posts of the gate the arcs leave a bulge of the same form on both sides."""
        bulge = 2 * (d - (sqrt(d * d - 1) + d * d * asin(1 / d)) / 2)
        hole = (10 - 2 * d) ** 2 + bulge
        return hole, 144 + 48 * d + pi * d * d - bulge - hole

    hole, area = yard(mpf("1.2"))
    shut, just = yard(mpf(1))
    # A notch of right angles: a square of 4 m without its upper right quarter.
    bent = [(0, 0), (4, 0), (4, 2), (2, 2), (2, 4), (0, 4)]
    # Five outward corners; at the inward one two strips share a square of the distance.
    d = mpf("0.75")
    notched = 12 + 16 * d - d * d + 5 * pi * d * d / 4
    cases = [
        around("a square", SQUARE, 1, {"area": text(16 + 16 + pi, "m2"), "outline": text(16 + 2 * pi, "m"), "holes": []}),
        around("no distance", SQUARE, 0, {"area": "16.0 m2", "outline": "16.0 m", "grown_area": "16.0 m2"}),
        around("an inward corner", bent, d, {"area": text(notched, "m2"), "holes": []}),
        around(
            "a gate that closes", YARD, "1.2", {"area": text(area, "m2"), "holes": [{"area": text(hole, "m2")}]}
        ),
        around("a gate that just closes", YARD, 1, {"area": text(just, "m2"), "holes": [{"area": text(shut, "m2")}]}),
        around("below nothing", SQUARE, -1, {"error": "offset is -1 m"}),
        around("a corner and no distance", SQUARE[:2], 1, {"error": "three corners or more"}),
    ]  # fmt: skip
    # Straight sides that touch the arcs: six in each quarter of a turn.
    sides = 24 * tan(pi / 24)
    cases.append(around("its straight-sided shape", SQUARE, 2, {"grown_area": text(16 + 32 + 4 * sides, "m2")}))
    tolerance = {
        "area": ["1e-10 m2", DIGITS],
        "outline": ["1e-10 m", DIGITS],
        "holes.area": ["1e-10 m2", DIGITS],
        "grown_area": ["1e-6 m2", "the sides lie 1e-9 m farther out, to be sure"],
    }
    write_json("shape-offset-exact.json", "shape-offset", tolerance, cases)


def block(west, south, east, north):
    return [(west, south), (east, south), (east, north), (west, north)]


def walk(name, gate, door, forbidden, expect):
    inputs = at("gate", *gate) | at("door", *door)
    if forbidden:
        inputs["forbidden"] = [{"corners": CORNERS(corners)} for corners in forbidden]
    return case(name, inputs, expect)


def open_way(length, points=None, closest=None, to=None):
    expect = {"way": "open", "length": text(mpf(length), "m")}
    if points:
        expect["points"] = CORNERS(points)
    if closest is not None:
        expect |= {"closest": text(mpf(closest), "m"), "closest_to": str(to)}
    return expect


def shut(at, by):
    return {"way": "blocked", "blocked_at": at, "blocked_by": by}


def walks():
    walls = [block(-4, 3, 4, 4), block(-4, -4, 4, -3), block(3, -3, 4, 3)]
    west = lambda gap: block(-4, -3 + mpf(gap), -3, 3)
    bay = [(0, -5), (8, -5), (8, 5), (0, 5), (0, 4), (7, 4), (7, -4), (0, -4)]
    cases = [
        walk("nothing in the way", (0, 0), (3, 4), [], open_way(5, [(0, 0), (3, 4)])),
        walk("around the nearer end", (0, 0), (10, 0), [block(4, -4, 6, 3)],
             open_way(12, [(0, 0), (4, 3), (6, 3), (10, 0)], 0, 1)),
        walk("past it", (0, 0), (10, 0), [block(4, 2, 6, 3), block(4, -9, 6, -3)], open_way(10, None, 2, 1)),
        walk("along its border", (0, 3), (10, 3), [block(4, -4, 6, 3)], open_way(10, [(0, 3), (10, 3)], 0, 1)),
        walk("out of a bay", (6, 0), (12, 1), [bay],
             open_way(sqrt(36 + 16) + 1 + 8 + sqrt(16 + 16), [(6, 0), (0, 4), (0, 5), (8, 5), (12, 1)])),
        walk("from border to border", (0, "0.5"), (2, "0.5"), [block(0, 0, 2, 2)], open_way(3)),
        walk("between two, bending twice", (0, 0), (10, 4), [block(2, -9, 3, 3), block(6, 1, 7, 20)],
             open_way(sqrt(4 + 9) + 1 + sqrt(9 + 4) + 1 + sqrt(9 + 9))),
        walk("walls that touch are closed", (-10, 0), (0, 0), [*walls, west(0)], shut("between", "4")),
        walk("a gap of a millimetre", (-4, "-2.9995"), (-3, "-2.9995"), [*walls, west("0.001")], open_way(1)),
        walk("two rings", (-20, 0), (0, 0),
             [*walls, west(0), block(-8, 7, 8, 8), block(-8, -8, 8, -7), block(7, -8, 8, 8), block(-8, -8, -7, 8)],
             {"way": "blocked", "blocked_at": "between"}),
        walk("the gate inside two", ("1.5", "1.5"), (9, 9), [block(0, 0, 2, 2), block(1, 1, 3, 3)], shut("gate", "1, 2")),
        walk("the door inside", (9, 9), ("0.5", "0.5"), [block(0, 0, 2, 2)], shut("door", "1")),
        walk("a shape that is none", (0, 0), (3, 4), [SQUARE[:2]], {"error": "forbidden[0]: corners: a shape needs"}),
        walk("too many", (0, 0), (3, 4), [block(5, 5, 6, 6)] * 101, {"error": "at most 100"}),
    ]  # fmt: skip
    lengths = {key: "1e-11 m" for key in ("length", "closest", "points.east", "points.north")}
    write_json("walking-path-exact.json", "walking-path", limits(**lengths), cases)


def margins():
    """Around a block at one end, with round corners: two tangents, two arcs and a side."""

    def around(name, wide, margin):
        # From (-10, 0) to (10, 0); the block reaches from -wide to wide and up to 0.
        reach = 10 - wide
        arc_from = asin(margin / reach)
        length = 2 * sqrt(reach**2 - margin**2) + 2 * margin * arc_from + 2 * wide
        inputs = at("gate", -10, 0) | at("door", 10, 0)
        corners = block(-wide, -40, wide, 0)
        inputs["forbidden"] = [{"corners": CORNERS(corners), "margin": f"{margin} m"}]
        return case(name, inputs, {"way": "open", "length": text(length, "m")})

    cases = [around("two metres", 2, mpf(2)), around("five metres", 1, mpf(5)), around("little", 4, mpf("0.1"))]
    why = "straight sides around the arcs, 24 a turn: at most 1 / cos(pi / 24) - 1 of the arcs longer"
    write_json("walking-path-margin.json", "walking-path", {"length": ["rel 2e-3", why]}, cases)


def write():
    shapes()
    distances()
    points()
    offsets()
    walks()
    margins()

