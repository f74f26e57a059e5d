"""Cases of thrust, restraint, running away and batteries."""

from itertools import combinations

import mpmath as mp
from case_file import DIGITS, number, text, write_csv, write_json
from mpmath import mpf

G0 = mpf("9.80665")
HP = 550 * mpf("0.3048") * mpf("0.45359237") * G0


def thrust(power, diameter, rho, merit):
    """From the speed through the disc, which alone takes the useful power: P = 2 rho A w^3."""
    area = mp.pi * diameter**2 / 4
    w = mp.cbrt(merit * power / (2 * rho * area))
    return 2 * rho * area * w * w


def thrusts():
    table = []
    for hp, inches, rho, merit in (
        ("100", "72", "1.225", "0.7"),
        ("65", "72", "1.225", "1"),
        ("187.5", "77.5", "1.0823", "0.735"),
        ("0", "72", "1.225", "0.7"),
    ):
        given = (mpf(hp) * HP, mpf(inches) * mpf("0.0254"), mpf(rho))
        pulls = [number(thrust(*given, share)) for share in (1, mpf(merit))]
        table.append((hp, inches, rho, merit, *pulls, ""))
    for row, error in (
        (("-1", "72", "1.2", "0.7"), "power at the propeller is -1 hp"),
        (("100", "19", "1.2", "0.7"), "diameter of the propeller is 0.4826 m"),
        (("100", "72", "0.39", "0.7"), "density of the air is 0.39 kg/m3"),
        (("100", "72", "1.2", "1.01"), "figure of merit is 1.01 1"),
    ):
        table.append((*row, "", "", error))
    write_csv(
        "static-thrust-exact.csv",
        "static-thrust",
        [f"{key} = 1e-8 N, {DIGITS}" for key in ("ideal", "thrust")],
        "power [hp],diameter [in],air_density [kg/m3],merit [1],=ideal [N],=thrust [N],=error",
        table,
    )


def angle(r, h, face=None):
    """The contact from level, by the triangle of axle, edge and ground; the flatter face if any."""
    edge = mp.acos((r - h) / r)
    return min(edge, mp.radians(face)) if face is not None else edge


def held(theta, mu):
    """The greatest push that a free wheel and its block can stand, as a share of the load.

    Every state of rest is tried: n presses the tyre on the ground, f is the friction that both
    tyre and block put on the wheel (they balance about the axle). All conditions are linear, so
    the greatest push is at a corner of what they leave.
    """
    s, c = mp.sin(theta), mp.cos(theta)
    # Block presses the wheel with p = (1 - n - f s) / c; everything written as a n + b f + d >= 0.
    p = (-1 / c, -s / c, 1 / c)
    push = tuple(s * x for x in p)
    push = (push[0], push[1] - c + 1, push[2])
    across = (s * p[0], s * p[1] - c, s * p[2])
    down = (c * p[0], c * p[1] + s, c * p[2])
    limits = [(1, 0, 0), p]
    for most, what in (((1, 0, 0), (0, 1, 0)), (p, (0, 1, 0)), (down, across)):
        for sign in (1, -1):
            limits.append(tuple(mu * m + sign * w for m, w in zip(most, what)))
    best = mpf(0)
    for (a, b, d), (e, f, g) in combinations(limits, 2):
        det = a * f - b * e
        if abs(det) < mpf("1e-30"):
            continue
        x, y = (b * g - d * f) / det, (d * e - a * g) / det
        if all(k * x + l * y + m > -mpf("1e-25") for k, l, m in limits):
            best = max(best, push[0] * x + push[1] * y + push[2])
    return best


def way(theta, mu):
    share = held(theta, mu)
    if share < mpf("1e-20"):
        return share, "it is squeezed out and holds nothing"
    if abs(share - mp.tan(theta)) < mpf("1e-20"):
        return share, "the wheel climbs it"
    assert abs(share - mu) < mpf("1e-20")
    return share, "it slides with the wheel"


def chocks():
    table = []
    for load, r, h, face, mu in (
        ("285", "0.21", "0.08", "", ""),
        ("285", "0.21", "0.05", "", "0.9"),
        ("285", "0.21", "0.08", "", "0.75"),
        ("285", "0.21", "0.08", "", "0.6"),
        ("285", "0.21", "0.08", "", "0.35"),
        ("285", "0.21", "0.02", "", "0.35"),
        ("310.5", "0.1905", "0.0762", "45", "1.05"),
        ("310.5", "0.1905", "0.0762", "70", "0.8"),
    ):
        theta = angle(mpf(r), mpf(h), mpf(face) if face else None)
        weight = mpf(load) * G0
        if mu:
            share, words = way(theta, mpf(mu))
            holds = number(share * weight) if share > mpf("1e-20") else "0"
        else:
            holds, words = "", ""
        ratio = mp.tan(theta)
        climb = number(ratio), number(ratio * weight)
        table.append((load, r, h, face, mu, *climb, holds, words, ""))
    for row, error in (
        (("285", "0.21", "0.21", "", ""), "not lower than the axle"),
        (("285", "0.21", "0.3", "", "0.7"), "not lower than the axle"),
        (("285", "1.1", "0.08", "", ""), "radius of the wheel is 1.1 m"),
        (("285", "0.21", "0.08", "9", ""), "slope of the face of the chock is 9 deg"),
        (("285", "0.21", "0.08", "", "1.6"), "friction is 1.6 1"),
        (("-1", "0.21", "0.08", "", ""), "load on the wheel is -1 kg"),
    ):
        table.append((*row, "", "", "", "", error))
    limits = [f"climb_ratio = 1e-11 1, {DIGITS}"]
    limits += [f"{key} = 1e-8 N, {DIGITS}" for key in ("climb_force", "holds")]
    write_csv(
        "chock-hold-exact.csv",
        "chock-hold",
        limits,
        "load [kg],radius [m],chock_height [m],chock_face [deg],friction [1],=climb_ratio [1],"
        "=climb_force [N],=holds [N],=gives_way,=error",
        table,
    )


def main(place, load, brake="off", holds=None, chock=None):
    row = {"place": place, "load": f"{load} kg", "brake": brake}
    if holds:
        row["brake_holds"] = f"{holds} N"
    if chock:
        row |= {"radius": f"{chock[0]} m", "chock_height": f"{chock[1]} m"}
    return row


def wheel_holds(row, kept, tyre, chock):
    load = mpf(row["load"].split()[0]) * (kept if row["place"] != "middle" else 1)
    grip = tyre * load * G0
    brake = grip if row["brake"] == "locks" else mpf(0)
    if "brake_holds" in row:
        brake = min(grip, mpf(row["brake_holds"].split()[0]))
    block = mpf(0)
    if "radius" in row:
        r, h = (mpf(row[key].split()[0]) for key in ("radius", "chock_height"))
        block = held(angle(r, h), min(tyre, chock)) * load * G0
    return max(brake, block)


def restraint(thrust, wheels, tyre, chock, tie=None, stance=None):
    shift = mpf(thrust) * mpf(stance[1]) / mpf(stance[2]) if stance else mpf(0)
    on_mains = sum(mpf(w["load"].split()[0]) for w in wheels if w["place"] != "middle") * G0
    kept = mpf(1)
    if stance and stance[0] == "nose":
        kept = max(mpf(0), 1 - shift / on_mains)
    sides = {"left": mpf(0), "right": mpf(0), "middle": mpf(0)}
    for wheel in wheels:
        sides[wheel["place"]] += wheel_holds(wheel, kept, mpf(tyre), mpf(chock))
    back = mpf(tie[0]) * mp.cos(mp.radians(mpf(tie[1]))) if tie else mpf(0)
    without = 2 * min(sides["left"], sides["right"]) + sides["middle"]
    total = without + back
    tail = None
    if stance and stance[0] == "tail":
        carried = sum(mpf(w["load"].split()[0]) for w in wheels if w["place"] == "middle") * G0
        down = mpf(tie[0]) * mp.sin(mp.radians(mpf(tie[1]))) if tie else mpf(0)
        tail = carried - shift + down
    yes = total >= mpf(thrust) and (tail is None or tail >= 0)
    inputs = {
        "thrust": f"{thrust} N",
        "wheels": wheels,
        "tyre_friction": f"{tyre} 1",
        "chock_friction": f"{chock} 1",
    }
    if tie:
        inputs |= {"tie": f"{tie[0]} N", "tie_slope": f"{tie[1]} deg"}
    if stance:
        third, height, base = stance
        inputs |= {"third_wheel": third, "thrust_height": f"{height} m", "wheelbase": f"{base} m"}
    expect = {key: text(value, "N") for key, value in sides.items()}
    expect |= {
        "tie": text(back, "N"),
        "total": text(total, "N"),
        "without_tie": text(without, "N"),
        "margin": text(total - mpf(thrust), "N"),
        "held": "yes" if yes else "no",
        "load_shift": "reckoned" if stance else "not reckoned: no stance given",
    }
    if tail is not None:
        expect["tail"] = text(tail, "N")
    return inputs, expect


def restraints():
    chock = ("0.21", "0.08")
    low = ("0.21", "0.04")
    tail = main("middle", "30")
    cases = []

    def case(name, *given, **more):
        inputs, expect = restraint(*given, **more)
        cases.append({"name": name, "inputs": inputs, "expect": expect})

    def refused(name, change, error):
        inputs, _ = restraint("1950", both("locks"), "0.6", "0.6")
        cases.append({"name": name, "inputs": inputs | change, "expect": {"error": error}})

    def both(brake="off", holds=None, chock=None):
        return [main(side, "260", brake, holds, chock) for side in ("left", "right")] + [tail]

    case("brakes alone on wet grass", "1950", both("locks"), "0.2", "0.2")
    case("brakes alone on dry concrete", "1950", both("locks"), "0.75", "0.75")
    case("a weak brake", "1950", both("locks", "700"), "0.75", "0.75")
    case("chocks alone, squeezed out", "1950", both(chock=chock), "0.35", "0.35")
    case("low chocks alone, climbed", "1950", both(chock=low), "0.75", "0.75")
    case("brakes and low chocks do not add", "1950", both("locks", chock=low), "0.5", "0.75")
    case("spiked chocks grip no better than the tyre", "1950", both(chock=chock), "0.7", "1.3")
    one = [main("left", "260", "locks"), main("right", "260"), tail]
    case("one brake alone swings", "1950", one, "0.75", "0.75")
    case("one brake and a tie", "1950", one, "0.75", "0.75", tie=("2500", "15"))
    case(
        "a tail that lifts is not held",
        "1950", both("locks", chock=chock), "0.75", "0.75", stance=("tail", "1.3", "4.6"),
    )
    case(
        "a tie that leads down keeps it",
        "1950", both("locks", chock=chock), "0.75", "0.75",
        tie=("2000", "20"), stance=("tail", "1.3", "4.6"),
    )
    nosed = [main(side, "330", "locks", None, chock) for side in ("left", "right")]
    case(
        "thrust lifts load off the main wheels of a nose wheel type",
        "2598", [*nosed, main("middle", "190")], "0.6", "0.6", stance=("nose", "1.1", "1.65"),
    )
    case("nothing set", "1950", both(), "0.75", "0.75")
    refused("a chock as high as the axle", {"wheels": [main("left", "260", chock=("0.2", "0.2"))]},
            "not lower than the axle")
    refused("half a chock", {"wheels": [{**main("left", "260"), "radius": "0.2 m"}]},
            "chock_height is missing")
    refused("a brake that is off and holds", {"wheels": [main("left", "260", "off", "500")]},
            "wheels[0] must be a brake")
    refused("half a tie", {"tie": "2500 N"}, "tie_slope is missing")
    refused("half a stance", {"wheelbase": "4 m"}, "third_wheel is missing")
    refused(
        "no tail wheel to lift",
        {"wheels": both("locks")[:2], "third_wheel": "tail", "thrust_height": "1.3 m",
         "wheelbase": "4.6 m"},
        "load on the nose or tail wheel is not given",
    )
    keys = ("left", "right", "middle", "tie", "total", "without_tie", "margin", "tail")
    tolerance = {key: ["1e-8 N", DIGITS] for key in keys}
    note = "what a wheel holds: the greatest push among all states of rest, searched and not solved"
    write_json("restraint-exact.json", "restraint", tolerance, cases, note)


def runaways():
    table = []
    for force, mass, c, after, away in (
        ("1950", "520", "0.05", "3", "15"),
        ("2598.3", "757", "0.02", "4.5", "30"),
        ("400", "600", "0", "120", "0"),
        ("200", "600", "0.08", "5", ""),
    ):
        net = max(mpf(0), mpf(force) - mpf(c) * mpf(mass) * G0)
        # By impulse and work, not by the formulas of the path.
        v = net * mpf(after) / mpf(mass)
        s = v * mpf(after) / 2
        at = mp.sqrt(2 * net * mpf(away) / mpf(mass)) if away and net else None
        reach = (2 * mpf(away) / at if at else mpf(0)) if at is not None else None
        table.append(
            (force, mass, c, after, away, number(net / mpf(mass)), number(s), number(v),
             number(reach) if reach is not None else "", number(at) if at is not None else "",
             "yes" if net else "no", "")
        )
    for row, error in (
        (("-1", "520", "0.05", "3", "15"), "thrust is -1 N"),
        (("1950", "49", "0.05", "3", "15"), "mass of the aeroplane is 49 kg"),
        (("1950", "520", "0.51", "3", "15"), "rolling resistance is 0.51 1"),
        (("1950", "520", "0.05", "121", "15"), "time since it broke loose is 121 s"),
        (("1950", "520", "0.05", "3", "1001"), "distance is 1001 m"),
    ):
        table.append((*row, *[""] * 6, error))
    units = {"acceleration": "m/s2", "distance_after": "m", "velocity_after": "m/s",
             "time_to": "s", "velocity_at": "m/s"}
    write_csv(
        "runaway-exact.csv",
        "runaway",
        [f"{key} = 1e-9 {unit}, {DIGITS}" for key, unit in units.items()],
        "thrust [N],mass [kg],rolling_resistance [1],after [s],distance [m],=acceleration [m/s2],"
        "=distance_after [m],=velocity_after [m/s],=time_to [s],=velocity_at [m/s],=moves,=error",
        table,
    )


def law(c, h, i, k):
    """By logarithms: ln t = ln H + k ln(C / (I H))."""
    return mp.exp(mp.log(h) + k * (mp.log(c) - mp.log(i) - mp.log(h)))


def batteries():
    table = []
    for c, h, k, i in (
        ("35", "1", "1.15", "10"),
        ("100", "20", "1.2", "10"),
        ("100", "20", "1.2", "5"),
        ("24.5", "5", "1", "13.2"),
    ):
        t = law(*map(mpf, (c, h, i, k)))
        table.append((c, h, k, i, number(t), number(t * mpf(i)), ""))
    for row, error in (
        (("0.09", "1", "1.15", "10"), "rated capacity is 0.09 Ah"),
        (("35", "0.04", "1.15", "10"), "time of the rating is 0.04 h"),
        (("35", "1", "0.99", "10"), "exponent of the battery is 0.99 1"),
        (("35", "1", "1.15", "0"), "current is 0 A"),
    ):
        table.append((*row, "", "", error))
    write_csv(
        "peukert-time-exact.csv",
        "peukert-time",
        [f"time = 1e-10 h, {DIGITS}", f"delivered = 1e-9 Ah, {DIGITS}"],
        "capacity [Ah],rated_time [h],exponent [1],current [A],=time [h],=delivered [Ah],=error",
        table,
    )
    table = []
    for c1, h1, k, c2 in (("100", "20", "1.17925", ""), ("35", "1", "1.12", "")):
        # Forwards from an exponent: the second rating is where the law takes the battery.
        i2 = mpf("1.8") * mpf(c1) / mpf(h1)
        h2 = law(mpf(c1), mpf(h1), i2, mpf(k))
        table.append((c1, h1, number(i2 * h2, 18), number(h2, 18), k, ""))
    for row, error in (
        (("100", "20", "50", "10"), "both ratings are of the same current"),
        (("100", "20", "130", "10"), "exponent of the battery is 0.7"),
        (("100", "20", "51", "10"), "exponent of the battery is 35"),
    ):
        table.append((*row, "", error))
    write_csv(
        "peukert-exponent-exact.csv",
        "peukert-exponent",
        [f"exponent = 1e-10 1, {DIGITS}"],
        "capacity [Ah],rated_time [h],other_capacity [Ah],other_rated_time [h],=exponent [1],"
        "=error",
        table,
    )


def endurances():
    cases = []

    def case(name, c, h, k, cold, age, essential, shed):
        share = mpf(cold) * mpf(age)
        usable = share * mpf(c)
        low = sum(map(mpf, essential))
        all_on = low + sum(map(mpf, shed))
        inputs = {
            "capacity": f"{c} Ah", "rated_time": f"{h} h", "exponent": f"{k} 1",
            "share_temperature": f"{cold} 1", "share_age": f"{age} 1",
            "essential": [f"{i} A" for i in essential],
        }
        if shed:
            inputs["shed"] = [f"{i} A" for i in shed]

        def minutes(i):
            return law(usable, mpf(h), i, mpf(k)) * 60, usable / i * 60

        by_law, at_most = minutes(low)
        cases.append({"name": name, "inputs": inputs, "expect": {
            "usable": text(usable, "Ah"), "current": text(all_on, "A"),
            "endurance": text(min(minutes(all_on)), "min"), "current_shed": text(low, "A"),
            "endurance_shed": text(min(by_law, at_most), "min"), "by_law": text(by_law, "min"),
        }})

    case("above the rated current", "24", "5", "1.2", "0.8", "0.75", ["3.2", "2.5", "1.1"], ["6.4"])
    case("below it no more than is usable", "35", "1", "1.15", "1", "0.8", ["6.5", "3.5"], ["12"])
    case("nothing to shed", "35", "1", "1.15", "0.9", "0.8", ["10"], [])
    bad = dict(cases[2]["inputs"])
    cases.append({"name": "a share above one", "inputs": bad | {"share_age": "1.01 1"},
                  "expect": {"error": "usable share of the capacity is 1.01 1"}})
    cases.append({"name": "no load", "inputs": bad | {"essential": ["0 A"]},
                  "expect": {"error": "current is 0 A"}})
    tolerance = {key: ["1e-9 Ah", DIGITS] for key in ("usable",)}
    tolerance |= {key: ["1e-10 A", DIGITS] for key in ("current", "current_shed")}
    tolerance |= {key: ["1e-8 min", DIGITS] for key in ("endurance", "endurance_shed", "by_law")}
    write_json("battery-endurance-exact.json", "battery-endurance", tolerance, cases)
    loads = []
    for name, c, share, fixed, cruise, wanted in (
        (
            "three fixed loads",
            "24",
            "0.8",
            [("31.5", "5"), ("12", "2.5"), ("26", "10")],
            "17.3",
            "30",
        ),
        ("not enough", "17", "0.6", [("31.5", "5")], "21", "30"),
        ("no fixed load", "35", "1", [], "20", None),
    ):
        usable = mpf(c) * 60 * mpf(share)
        taken = sum((mpf(i) * mpf(t) for i, t in fixed), mpf(0))
        lasts = (usable - taken) / mpf(cruise)
        total = lasts + sum((mpf(t) for _, t in fixed), mpf(0))
        inputs = {"capacity": f"{c} Ah", "share": f"{share} 1", "cruise": f"{cruise} A",
                  "fixed": [{"current": f"{i} A", "time": f"{t} min"} for i, t in fixed]}
        expect = {"usable": text(usable, "A.min"), "fixed": text(taken, "A.min"),
                  "left": text(usable - taken, "A.min"), "cruise_time": text(lasts, "min"),
                  "total": text(total, "min")}
        if wanted:
            inputs["wanted"] = f"{wanted} min"
            expect |= {"margin": text(total - mpf(wanted), "min"),
                       "enough": "yes" if total >= mpf(wanted) else "no"}
        loads.append({"name": name, "inputs": inputs, "expect": expect})
    over = loads[1]["inputs"] | {"fixed": [{"current": "100 A", "time": "10 min"}]}
    loads.append({"name": "fixed loads take all", "inputs": over,
                  "expect": {"error": "the fixed loads take more than the battery holds"}})
    tolerance = {key: ["1e-9 A.min", DIGITS] for key in ("usable", "fixed", "left")}
    tolerance |= {key: ["1e-10 min", DIGITS] for key in ("cruise_time", "total", "margin")}
    write_json("battery-load-exact.json", "battery-load", tolerance, loads)


def write():
    thrusts()
    chocks()
    restraints()
    runaways()
    batteries()
    endurances()
