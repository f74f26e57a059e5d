"""Cases of mass and balance, and of the envelope."""

from fractions import Fraction as F

from case_file import CLIPPED, CORNERS, DIGITS, number, rows, text, write_csv, write_json


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
    held = {
        "envelope": "outside",
        "forward_limit": "1 m",
        "to_forward": "0.1 m",
        "below_top": "-37.5 kg",
    }
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
        bad(
            "edges that cross", [CLIPPED[0], CLIPPED[2], CLIPPED[1], CLIPPED[3]], "crosses the edge"
        ),
        bad("no area", [("1", 600), ("1.1", 700), ("1.2", 800)], "enclose no area"),
        bad(
            "folds back",
            [("0.9", 600), ("0.9", 1100), ("1.0", 700), ("1.1", 1100), ("1.2", 600)],
            "folds back",
        ),
    ]


def loads():
    items = rows("mass kg", "arm m", "lateral m")
    table = [
        ("641.5", "1.02", "0.004"),
        ("86", "0.94", "-0.28"),
        ("71.5", "0.94", "0.28"),
        ("33.25", "1.93", "-0.2"),
        ("102", "1.15", "0"),
    ]
    gone = [("12.5", "1.93", "-0.2")]
    mass = sum(F(r[0]) for r in table) - F(gone[0][0])
    moment = sum(F(r[0]) * F(r[1]) for r in table) - F(gone[0][0]) * F(gone[0][1])
    side = sum(F(r[0]) * F(r[2]) for r in table) - F(gone[0][0]) * F(gone[0][2])
    arm = moment / mass
    whole = {
        "name": "lateral arm, share of the chord, something taken off, inside",
        "inputs": {
            "items": items(table),
            "removed": items(gone),
            "lemac": "0.68 m",
            "mac": "1.52 m",
            "corners": CORNERS(CLIPPED),
        },
        "expect": {
            "mass": text(mass, "kg"),
            "moment": text(moment, "kg.m"),
            "centre_of_gravity": text(arm, "m"),
            "lateral": text(side / mass, "m"),
            "percent_mac": text((arm - F("0.68")) / F("1.52") * 100, "%"),
            "envelope": "inside",
        },
    }

    def refused(name, error, **inputs):
        return {"name": name, "inputs": inputs, "expect": {"error": error}}

    one = {"mass": "100 kg", "arm": "1 m"}
    return [
        whole,
        {
            "name": "too far aft",
            "expect": {"envelope": "outside", "centre_of_gravity": "1.3 m"},
            "inputs": {"items": [{"mass": "900 kg", "arm": "1.3 m"}], "corners": CORNERS(CLIPPED)},
        },
        refused("nothing aboard", "there is no mass", items=[]),
        refused("all of it taken off", "there is no mass", items=[one], removed=[one]),
        refused(
            "an arm and a moment", "items[1] must be", items=[one, one | {"moment": "100 kg.m"}]
        ),
        refused("neither", "items[0] must be", items=[{"mass": "100 kg"}]),
        refused(
            "lateral for some", "for some and not for all", items=[one, one | {"lateral": "0.1 m"}]
        ),
        refused("a chord without its edge", "lemac is missing", items=[one], mac="1.5 m"),
        refused("an empty envelope", "at least three corners", items=[one], corners=[]),
        refused("negative mass", "accepted: 0 to", items=[{"mass": "-1 kg", "arm": "1 m"}]),
        refused("no unit", "has no unit", items=[{"mass": "100", "arm": "1 m"}]),
    ]


def load_tables():
    add, remove, shift, ballast, room = [], [], [], [], []
    for mass, arm, other, at in (
        ("812.5", "1.07", "93", "1.95"),
        ("1333", "0.884", "250.5", "-0.31"),
    ):
        w, x, m, a = F(mass), F(arm), F(other), F(at)
        for table, sign in ((add, 1), (remove, -1)):
            total, moment = w + sign * m, w * x + sign * m * a
            cells = (total, moment / total, moment / total - x, moment)
            table.append((mass, arm, other, at, *map(number, cells), ""))
    remove.append(("100", "1", "100", "1", "", "", "", "", "there is no mass"))
    for mass, arm, moved, start, end in (
        ("812.5", "1.07", "20", "1.95", "0.9"),
        ("1000", "", "7", "-1", "3"),
    ):
        change = F(moved) * (F(end) - F(start)) / F(mass)
        after = number(F(arm) + change) if arm else ""
        shift.append((mass, arm, moved, start, end, number(change), after, ""))
    shift.append(("10", "1", "11", "0", "1", "", "", "more mass is moved than there is"))
    for mass, arm, target, at in (("612", "1.31", "1.24", "-0.85"), ("850", "0.87", "0.9", "4.4")):
        m = F(mass) * (F(target) - F(arm)) / (F(at) - F(target))
        ballast.append((mass, arm, target, at, number(m), number(F(mass) + m), ""))
    ballast.append(("850", "0.87", "0.9", "0.2", "", "", "cannot bring the balance there"))
    for mass, arm, limit_, at, top in (
        ("980", "1.1", "1.19", "2.2", "1200"),
        ("980", "1.1", "1.19", "2.2", "1050"),
        ("980", "1.1", "1.19", "1.1", "1050"),
    ):
        reach = F(at) - F(limit_)
        m = F(mass) * (F(limit_) - F(arm)) / reach if reach > 0 else None
        left = F(top) - F(mass)
        added = left if m is None else min(m, left)
        room.append(
            (mass, arm, limit_, at, top, number(added), "mass" if added == left else "balance", "")
        )
    room.append(("980", "1.1", "1.19", "1.1", "", "", "", "cannot bring the balance there"))
    room.append(("980", "1.1", "1.19", "2.2", "979", "", "", "already above its limit"))
    changed = [
        f"mass = 1e-9 kg, {DIGITS}",
        f"centre_of_gravity = 1e-11 m, {DIGITS}",
        f"change = 1e-11 m, {DIGITS}",
        f"moment = 1e-8 kg.m, {DIGITS}",
    ]
    after = "=mass [kg],=centre_of_gravity [m],=change [m],=moment [kg.m],=error"
    write_csv(
        "mass-add-exact.csv",
        "mass-add",
        changed,
        f"mass [kg],centre_of_gravity [m],added [kg],arm [m],{after}",
        add,
    )
    write_csv(
        "mass-remove-exact.csv",
        "mass-remove",
        changed,
        f"mass [kg],centre_of_gravity [m],removed [kg],arm [m],{after}",
        remove,
    )
    write_csv(
        "mass-shift-exact.csv",
        "mass-shift",
        [f"change = 1e-11 m, {DIGITS}", f"centre_of_gravity = 1e-11 m, {DIGITS}"],
        "mass [kg],centre_of_gravity [m],moved [kg],from [m],to [m],=change [m],"
        "=centre_of_gravity [m],=error",
        shift,
    )
    write_csv(
        "ballast-exact.csv",
        "ballast",
        [f"ballast = 1e-9 kg, {DIGITS}", f"mass = 1e-9 kg, {DIGITS}"],
        "mass [kg],centre_of_gravity [m],target [m],ballast_arm [m],"
        "=ballast [kg],=mass [kg],=error",
        ballast,
    )
    write_csv(
        "greatest-added-mass-exact.csv",
        "greatest-added-mass",
        [f"added = 1e-9 kg, {DIGITS}"],
        "mass [kg],centre_of_gravity [m],limit [m],added_arm [m],greatest_mass [kg],=added [kg],"
        "=set_by,=error",
        room,
    )
    chord = [
        (c, e, m, number((F(c) - F(e)) / F(m) * 100), "")
        for c, e, m in (("1.07", "0.68", "1.52"), ("0.5", "0.68", "1.52"))
    ]
    chord += [("1.07", "0.68", "0.09", "", "accepted: 0.1 to 20 m")]
    write_csv(
        "percent-mac-exact.csv",
        "percent-mac",
        [f"percent_mac = 1e-9 %, {DIGITS}"],
        "centre_of_gravity [m],lemac [m],mac [m],=percent_mac [%],=error",
        chord,
    )


def write():
    lengths, masses = ["1e-11 m", DIGITS], ["1e-8 kg", DIGITS]
    limits = {key: lengths for key in ("forward_limit", "aft_limit", "to_forward", "to_aft")}
    limits |= {"edges.along_arm": lengths, "edges.along_mass": masses}
    limits |= {"below_top": masses, "above_bottom": masses}
    write_json("envelope-exact.json", "envelope", limits, envelopes(), "an invented envelope")
    limits = {key: lengths for key in ("centre_of_gravity", "lateral")}
    limits |= {"mass": masses, "moment": ["1e-8 kg.m", DIGITS], "percent_mac": ["1e-9 %", DIGITS]}
    write_json(
        "centre-of-gravity-exact.json", "centre-of-gravity", limits, loads(), "invented aeroplanes"
    )
    load_tables()
