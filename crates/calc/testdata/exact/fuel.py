"""Cases of time, fuel and the points on the way out."""

from fractions import Fraction as F

from case_file import number, write_csv


def write():
    legs = [
        (d, v, b, number(F(d) / F(v) * 60), number(F(d) / F(v) * F(b)), "")
        for d, v, b in (("137", "94", "38.5"), ("62.5", "111", "41"), ("0", "90", "40"))
    ]
    legs += [
        ("100", "0.9", "40", "", "", "groundspeed is 0.9 kt"),
        ("100", "90", "0.09", "", "", "fuel burn is"),
    ]
    write_csv(
        "leg-fuel-exact.csv",
        "leg-fuel",
        ["time = 1e-9 min, digits written", "fuel = 1e-9 L, digits written"],
        "distance [NM],groundspeed [kt],burn [L/h],=time [min],=fuel [L],=error",
        legs,
    )
    held = [
        (t, b, number(F(t) / 60 * F(b)), "") for t, b in (("45", "38.5"), ("30", "27"), ("0", "40"))
    ]
    held += [("2881", "40", "", "time is 48.01")]
    write_csv(
        "time-fuel-exact.csv",
        "time-fuel",
        ["fuel = 1e-9 L, digits written"],
        "time [min],burn [L/h],=fuel [L],=error",
        held,
    )
    shares = [
        (v, s, number(F(v) * F(s) / 100), "")
        for v, s in (("83.2", "5"), ("120", "10"), ("57", "0"))
    ]
    shares += [("57", "100.1", "", "share of trip fuel is 100.1 %")]
    write_csv(
        "contingency-exact.csv",
        "contingency",
        ["contingency = 1e-9 L, digits written"],
        "trip [L],share [%],=contingency [L],=error",
        shares,
    )
    ladders = [
        ("4.5", "83.2", "4.16", "21", "0", "19.25", "0"),
        ("6", "120", "12", "0", "20", "29", "15"),
    ]
    table = [(*rungs, number(sum(map(F, rungs))), "") for rungs in ladders]
    table += [("6", "120", "12", "", "20", "29", "15", "", "alternate is missing")]
    write_csv(
        "fuel-required-exact.csv",
        "fuel-required",
        ["required = 1e-9 L, digits written"],
        "start_and_taxi [L],trip [L],contingency [L],alternate [L],holding [L],final_reserve [L],"
        "extra [L],=required [L],=error",
        table,
    )
    lasting = [
        (v, b, number(F(v) / F(b)), "") for v, b in (("142", "38.5"), ("96.4", "41"), ("0", "40"))
    ]
    lasting += [("-1", "40", "", "fuel is -1 L")]
    write_csv(
        "endurance-exact.csv",
        "endurance",
        ["endurance = 1e-9 h, digits written"],
        "fuel [L],burn [L/h],=endurance [h],=error",
        lasting,
    )
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
    write_csv(
        "point-of-no-return-exact.csv",
        "point-of-no-return",
        limits,
        f"endurance [h],{speeds}",
        turning,
    )
    write_csv(
        "equal-time-point-exact.csv", "equal-time-point", limits, f"distance [NM],{speeds}", equal
    )
    steps = [
        (v, s, number(-(-F(v) // F(s)) * F(s)), "")
        for v, s in (
            ("41", "5"),
            ("40", "5"),
            ("40.001", "5"),
            ("0", "5"),
            ("18.3333", "0.1"),
            ("0.3", "0.1"),
        )
    ]
    steps += [("10", "0", "", "step of the dispenser is 0 L")]
    write_csv(
        "round-up-exact.csv",
        "round-up",
        ["rounded_up = 1e-9 L, whole steps"],
        "volume [L],step [L],=rounded_up [L],=error",
        steps,
    )
    fuels = [(v, d, number(F(v) * F(d)), "") for v, d in (("142", "0.72"), ("57.5", "0.804"))]
    fuels += [("10", "0.95", "", "density of fuel is 0.95 kg/L")]
    write_csv(
        "mass-of-fuel-exact.csv",
        "mass-of-fuel",
        ["mass = 1e-9 kg, digits written"],
        "volume [L],density [kg/L],=mass [kg],=error",
        fuels,
    )
    over = [
        (
            m,
            "0.72",
            s,
            number(F(m) / F("0.72")),
            number(-(-F(m) / F("0.72") // F(s)) * F(s)) if s else "",
            "",
        )
        for m, s in (("34", "1"), ("36", "0.5"), ("12.25", ""))
    ]
    over += [("10", "0.55", "1", "", "", "density of fuel is 0.55 kg/L")]
    write_csv(
        "mass-over-to-fuel-exact.csv",
        "mass-over-to-fuel",
        ["volume = 1e-9 L, digits written", "rounded_up = 1e-9 L, whole steps"],
        "over [kg],density [kg/L],step [L],=volume [L],=rounded_up [L],=error",
        over,
    )
