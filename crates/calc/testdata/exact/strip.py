"""Cases of charts, factors and the greatest mass, which is found by bisection, not solved."""

from fractions import Fraction as F

from case_file import DIGITS, number, rows, text, write_csv, write_json

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

    return along(
        MASSES,
        mass,
        lambda i: along(
            ALTITUDES,
            altitude,
            lambda j: along(TEMPERATURES, temperature, lambda k: F(value(i, j, k))),
        ),
    )


def chart_readings():
    def case(name, mass, altitude, temperature, expect):
        at = {
            "mass": f"{mass} kg",
            "pressure_altitude": f"{altitude} m",
            "temperature": f"{temperature} degC",
        }
        return {"name": name, "inputs": CHART | at, "expect": expect}

    def inside(name, *at, word="inside", **more):
        return case(name, *at, {"value": text(reading(*at), "m"), "reading": word} | more)

    def broken(name, error, **changed):
        broken = case(name, 950, 500, 20, {"error": error})
        broken["inputs"] |= changed
        return broken

    past = lambda name, word, *at: case(
        name, *at, {"reading": "beyond", "remark": f"{word} than the chart"}
    )
    alone = {
        "name": "a chart of one value ignores what it has no lines of",
        "inputs": {"values": "300 m", "mass": "950 kg"},
        "expect": {
            "value": "300 m",
            "reading": "inside",
            "remark": "the chart has no lines of mass: it is ignored",
        },
    }
    missing = {
        "name": "a condition that is missing",
        "expect": {"error": "temperature is missing"},
        "inputs": CHART | {"mass": "950 kg", "pressure_altitude": "500 m"},
    }
    return [
        inside("between all lines", 950, 500, 20),
        inside("in the last cells", 1120, 2100, "37.5"),
        inside("on a crossing of lines", 1000, 1000, 15),
        inside("at the heavy, high, hot corner", 1150, 2500, 40),
        inside("light, low and cold are held", 800, -100, -5, word="held"),
        inside(
            "only cold is held",
            1050,
            1700,
            -20,
            word="held",
            remark="colder than the chart: its coldest line is used",
        ),
        past("heavier", "heavier", "1150.1", 500, 20),
        past("higher", "higher", 950, "2500.1", 20),
        past("hotter", "hotter", 950, 500, "40.1"),
        alone,
        missing,
        broken(
            "a value too few",
            "27 times but there are 26",
            values=sum(sum(CHART["values"], []), [])[:26],
        ),
        broken("lines in disorder", "line 2 of mass", masses=["900 kg", "900 kg", "1150 kg"]),
        broken("not a number", "not a finite number", mass="NaN kg"),
    ]


def greatest_masses():
    def case(name, altitude, temperature, factor, available, outcome, **more):
        inputs = CHART | {
            "pressure_altitude": f"{altitude} m",
            "temperature": f"{temperature} degC",
            "factor": f"{factor} 1",
            "available": f"{available} m",
        }
        fits = lambda mass: reading(mass, altitude, temperature) * F(str(factor)) <= F(
            str(available)
        )
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

    flat = {
        "temperatures": ["0 degC", "30 degC"],
        "values": ["300 m", "360 m"],
        "temperature": "15 degC",
        "factor": "1.2 1",
        "available": "396 m",
    }
    return [
        case("between the first two lines of mass", 500, 20, "1.15", 400, "mass"),
        case("between the last two lines of mass", 1800, 31, "1.33", 700, "mass"),
        case("an awkward factor", 2222, 27, "1.2345", 611, "mass"),
        case("not even the lightest", 2500, 40, "1.43", 500, "none"),
        case("every mass of the chart", 0, 0, "1.15", 900, "whole chart"),
        case(
            "cold is held and said",
            1000,
            -10,
            "1.15",
            450,
            "mass",
            remark="colder than the chart: its coldest line is used",
        ),
        case(
            "hotter than the chart", 1000, 41, "1.15", 900, "beyond", remark="hotter than the chart"
        ),
        {
            "name": "a chart without mass that fits",
            "inputs": flat,
            "expect": {"outcome": "any mass"},
        },
        {
            "name": "a chart without mass that does not fit",
            "inputs": flat | {"available": "395.9 m"},
            "expect": {"outcome": "none"},
        },
    ]


def strip_tables():
    steps = [
        (c, s, number(1 + F(c) / 100 * F(s)), "")
        for c, s in (("-10", "0.5"), ("-7", "2"), ("10", "3"), ("5", "0"), ("20", "1.25"))
    ]
    steps += [
        ("-10", "9.5", "", "factor on a distance is 0.05"),
        ("-91", "0.5", "", "change of distance is -91 %"),
    ]
    write_csv(
        "correction-exact.csv",
        "correction",
        ["factor = 1e-12 1, digits written"],
        "change [%],steps [1],=factor [1],=error",
        steps,
    )
    wind = [
        (w, c, t, number(F(w) * F(c if F(w) >= 0 else t) / 100), "")
        for w, c, t in (
            ("13", "50", "150"),
            ("-5", "50", "150"),
            ("0", "50", "150"),
            ("9", "0", "100"),
        )
    ]
    wind += [
        ("9", "301", "150", "", "share of the wind is 301 %"),
        ("9", "50", "", "", "charge is missing"),
    ]
    write_csv(
        "counted-wind-exact.csv",
        "counted-wind",
        ["counted = 1e-9 kt, digits written"],
        "headwind [kt],credit [%],charge [%],=counted [kt],=error",
        wind,
    )
    factors = lambda *all_: [{"factor": f"{f} 1"} for f in all_]

    def case(name, chart, all_, expect):
        return {"name": name, "inputs": {"chart": f"{chart} m", "factors": all_}, "expect": expect}

    product = F("1.15") * F("1.07") * F("0.94")
    write_json(
        "strip-distance-exact.json",
        "strip-distance",
        {"required": ["1e-9 m", "digits written"], "factor": ["1e-12 1", "digits written"]},
        [
            case(
                "factors multiply",
                412,
                factors("1.15", "1.07", "0.94"),
                {"required": text(412 * product, "m"), "factor": text(product, "1")},
            ),
            case("no factor at all", 412, [], {"required": "412 m", "factor": "1 1"}),
            case(
                "a factor and a change",
                412,
                [{"factor": "1.1 1", "change": "5 %", "steps": "1 1"}],
                {"error": "factors[0] must be either a factor"},
            ),
            case(
                "a change without its steps",
                412,
                factors("1.1") + [{"change": "5 %"}],
                {"error": "factors[1] must be either a factor"},
            ),
            case(
                "a factor out of range",
                412,
                factors("10.1"),
                {"error": "factor on a distance is 10.1"},
            ),
        ],
    )
    points = rows("mass kg", "factor 1")
    graded = lambda name, table, mass, expect: {
        "name": name,
        "inputs": {"points": points(table), "mass": f"{mass} kg"},
        "expect": expect,
    }
    three = [(1000, "1.1"), (1800, "1.3"), (2500, "1.35")]
    write_json(
        "graded-factor-exact.json",
        "graded-factor",
        {"factor": ["1e-12 1", "digits written"]},
        [
            graded(
                "between the first two",
                three,
                1234,
                {"factor": text(F("1.1") + F(2, 10) * F(234, 800), "1")},
            ),
            graded(
                "between the last two",
                three,
                2001,
                {"factor": text(F("1.3") + F(5, 100) * F(201, 700), "1")},
            ),
            graded("held below", three, 600, {"factor": "1.1 1"}),
            graded("held above", three, 5700, {"factor": "1.35 1"}),
            graded(
                "masses in disorder",
                [(1000, "1.1"), (1000, "1.2")],
                1000,
                {"error": "points[1] must be"},
            ),
            graded("no point", [], 1000, {"error": "points[0] must be"}),
        ],
    )


def write():
    chart = "an invented chart"
    write_json(
        "chart-reading-exact.json",
        "chart-reading",
        {"value": ["1e-9 m", DIGITS]},
        chart_readings(),
        chart,
    )
    write_json(
        "greatest-mass-for-strip-exact.json",
        "greatest-mass-for-strip",
        {"mass": ["1e-7 kg", "digits written; bisection to 2e-16 kg"]},
        greatest_masses(),
        chart,
    )
    strip_tables()
