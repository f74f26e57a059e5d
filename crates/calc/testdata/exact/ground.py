"""Cases of static electricity and spills."""

import mpmath as mp
from case_file import DIGITS, number, write_csv
from mpmath import mpf

EPS0 = mpf("8.8541878128e-12")
G0 = mpf("9.80665")
LB = mpf("0.45359237")
FT = mpf("0.3048")
MMHG = mpf("133.322387415")


def disc(d_mm):
    return mp.pi * (mpf(d_mm) / 2000) ** 2


def charges():
    liquid = []
    for eps, kappa, after in (
        ("2.0", "1", "30"),
        ("2.15", "4.7", "12.5"),
        ("2.1", "320", "1"),
        ("2", "50", ""),
    ):
        tau = mpf(eps) * EPS0 / (mpf(kappa) * mpf("1e-12"))
        left = number(100 / mp.exp(mpf(after) / tau)) if after else ""
        liquid.append((eps, kappa, after, number(tau), left, ""))
    for eps, kappa, after, error in (
        ("0.9", "1", "", "relative permittivity is 0.9 1"),
        ("2", "0", "", "conductivity of the fuel is 0 pS/m"),
        ("2", "1", "86401", "time is 86401 s"),
    ):
        liquid.append((eps, kappa, after, "", "", error))
    limits = [f"relaxation = rel 1e-11, {DIGITS}", f"charge_left = rel 1e-11, {DIGITS}"]
    write_csv(
        "charge-relaxation-exact.csv",
        "charge-relaxation",
        limits,
        "permittivity [1],conductivity [pS/m],after [s],=relaxation [s],=charge_left [%],=error",
        liquid,
    )
    body = []
    for ohm, pf, after in (("1e6", "100", "0.0002"), ("1e10", "1500", "30"), ("10", "2000", "")):
        tau = mpf(ohm) * mpf(pf) * mpf("1e-12")
        left = number(100 / mp.exp(mpf(after) / tau)) if after else ""
        body.append((ohm, pf, after, number(tau), left, ""))
    body.append(("1e6", "0", "", "", "", "capacitance is 0 pF"))
    write_csv(
        "bond-relaxation-exact.csv",
        "bond-relaxation",
        limits,
        "resistance [ohm],capacitance [pF],after [s],=relaxation [s],=charge_left [%],=error",
        body,
    )
    sparks = []
    for pf, kv, least in (("20", "50", "0.25"), ("100", "3", "0.2"), ("187.3", "11.9", "")):
        c, v = mpf(pf) * mpf("1e-12"), mpf(kv) * 1000
        # By the charge moved against the mean voltage, not by the square.
        q = c * v
        energy = q * v / 2
        times = number(energy * 1000 / mpf(least)) if least else ""
        sparks.append((pf, kv, least, number(q * 10**6), number(energy * 1000), times, ""))
    sparks += [
        ("0", "5", "", "", "", "", "capacitance is 0 pF"),
        ("100", "501", "", "", "", "", "voltage is 501 kV"),
        ("100", "5", "0", "", "", "", "must be above nothing"),
    ]
    write_csv(
        "spark-energy-exact.csv",
        "spark-energy",
        [f"{key} = rel 1e-11, {DIGITS}" for key in ("charge", "energy", "times_ignition")],
        "capacitance [pF],voltage [kV],ignition [mJ],=charge [uC],=energy [mJ],"
        "=times_ignition [1],=error",
        sparks,
    )


def flows():
    table = []
    for bore, flow, v_most, vd_most, first in (
        ("25", "40", "7", "0.5", "1"),
        ("100", "2356", "7", "0.5", "1"),
        ("38.1", "212.5", "5", "0.35", ""),
        ("51", "", "7", "", "1"),
        ("25", "12.5", "", "", ""),
    ):
        d, area = mpf(bore) / 1000, disc(bore)
        row = [bore, flow, v_most, vd_most, first]
        if flow:
            v = mpf(flow) / 60000 / area
            row += [number(v), number(v * d)]
        else:
            row += ["", ""]
        if v_most:
            caps = [(mpf(v_most), "speed")]
            if vd_most:
                caps.append((mpf(vd_most) / d, "speed times bore"))
            v, why = min(caps, key=lambda cap: cap[0])
            row += [number(v), number(v * area * 60000), why]
        else:
            row += ["", "", ""]
        caps = [mpf(first or 0)] + ([mpf(vd_most) / d] if vd_most else [])
        row.append(number(min(caps) * area * 60000) if first else "")
        table.append((*row, ""))
    table += [
        ("25", "0", "", "", "", "", "", "", "", "", "", "rate of flow is 0 L/min"),
        ("25", "", "", "0.5", "", "", "", "", "", "", "", "speed_limit is missing"),
        ("25", "", "", "", "", "", "", "", "", "", "", "give a rate"),
        ("501", "", "7", "", "", "", "", "", "", "", "", "bore of the hose is 501 mm"),
        ("25", "", "51", "", "", "", "", "", "", "", "", "limit of the speed in the hose is 51 m/s"),
        ("25", "", "7", "51", "", "", "", "", "", "", "", "limit of speed times bore is 51 m2/s"),
    ]
    keys = ("velocity", "velocity_bore", "greatest_velocity", "greatest_flow", "first_flow")
    write_csv(
        "hose-flow-exact.csv",
        "hose-flow",
        [f"{key} = rel 1e-11, {DIGITS}" for key in keys],
        "bore [mm],flow [L/min],speed_limit [m/s],speed_bore_limit [m2/s],first_speed_limit [m/s],"
        "=velocity [m/s],=velocity_bore [m2/s],=greatest_velocity [m/s],=greatest_flow [L/min],"
        "=held_down_by,=first_flow [L/min],=error",
        table,
    )
    rests = []
    conducts, asked, blind = (
        "not asked: the fuel conducts",
        "asked",
        "asked: the conductivity is not known",
    )
    for bore, length, chamber, flow, rest, kappa, above in (
        ("25", "15", "", "40", "30", "12", "50"),
        ("25", "15", "12.5", "40", "30", "", "50"),
        ("38.1", "20", "20", "60", "30", "51", "50"),
        ("50", "30.5", "0", "", "45", "50", "50"),
        ("32", "9", "", "75", "", "", ""),
    ):
        contents = disc(bore) * mpf(length) * 1000 + mpf(chamber or 0)
        stay = contents / mpf(flow) * 60 if flow else None
        words = ""
        if above:
            words = blind if not kappa else conducts if mpf(kappa) > mpf(above) else asked
        enough = ""
        if flow and rest:
            enough = "yes" if stay >= mpf(rest) or words == conducts else "no"
        rests.append(
            (bore, length, chamber, flow, rest, kappa, above, number(contents),
             number(stay) if flow else "", number(contents / mpf(rest) * 60) if rest else "",
             words, enough, "")
        )
    rests += [
        ("25", "501", *[""] * 10, "length of the hose is 501 m"),
        ("25", "10", "", "", "0.09", *[""] * 7, "time to rest after the filter is 0.09 s"),
    ]
    write_csv(
        "filter-residence-exact.csv",
        "filter-residence",
        [f"{key} = rel 1e-11, {DIGITS}" for key in ("contents", "residence", "greatest_flow")],
        "bore [mm],length [m],chamber [L],flow [L/min],rest [s],conductivity [pS/m],"
        "conducts_above [pS/m],=contents [L],=residence [s],=greatest_flow [L/min],=rest_asked,"
        "=enough,=error",
        rests,
    )


def huppert():
    """The coefficient of the spread from its profile, by quadrature: all the fuel is in it."""
    # h = xi^(2/3) (3 nu V / (g t))^(1/4) (3/16)^(1/3) (1 - y^2)^(1/3), r = y R
    shape = mp.quad(lambda y: 2 * mp.pi * y * (1 - y * y) ** (mpf(1) / 3), [0, 1])
    xi = (1 / (shape * (mpf(3) / 16) ** (mpf(1) / 3))) ** (mpf(3) / 8)
    assert abs(xi - (mpf(1024) / (81 * mp.pi**3)) ** (mpf(1) / 8)) < mpf("1e-12")
    return xi


def spreads():
    xi = huppert()
    table = []
    for litres, nu, t in (("1", "0.6", "60"), ("20", "1.6", "120"), ("208", "0.55", "3600")):
        v = mpf(litres) / 1000
        r = xi * (G0 * v**3 * mpf(t) / (3 * mpf(nu) / 10**6)) ** (mpf(1) / 8)
        area = mp.pi * r * r
        table.append((litres, nu, t, number(r), number(area), number(v / area * 1000), ""))
    table += [
        ("0.009", "0.6", "60", "", "", "", "fuel spilt is 0.009 L"),
        ("1", "0.09", "60", "", "", "", "kinematic viscosity is 0.09 mm2/s"),
        ("1", "0.6", "0.9", "", "", "", "time since the spill is 0.9 s"),
    ]
    keys = ("radius", "area", "depth")
    limits = [f"{key} = rel 1e-11, {DIGITS}" for key in keys]
    outs = "=radius [m],=area [m2],=depth [mm],=error"
    write_csv(
        "spill-spread-exact.csv",
        "spill-spread",
        limits,
        f"volume [L],viscosity [mm2/s],since [s],{outs}",
        table,
    )
    pools = []
    for litres, depth in (("1", "10"), ("37.5", "4"), ("208", "10")):
        area = mpf(litres) / mpf(depth)
        pools.append((litres, depth, number(mp.sqrt(area / mp.pi)), number(area), depth, ""))
    pools.append(("1", "0.09", "", "", "", "depth of the pool is 0.09 mm"))
    write_csv(
        "spill-pool-exact.csv", "spill-pool", limits, f"volume [L],depth [mm],{outs}", pools
    )


def evaporations():
    def flux(mw, mmhg, kelvin):
        return mpf("0.284") * mp.cbrt(mpf(mw)) ** 2 * mpf(mmhg) / (mpf("82.05") * kelvin)

    table = []
    for wind, mw, mmhg, celsius, m2, kg in (
        ("1.5", "68", "290", "20", "1.898", "0.72"),
        ("3", "68.5", "310.5", "31", "20.8", "14.98"),
        ("7.2", "130", "1.9", "25", "16.71", ""),
    ):
        ft2 = mpf(m2) / FT**2
        rate = flux(mw, mmhg, mpf(celsius) + mpf("273.15")) * mpf(wind) ** mpf("0.78") * ft2
        time = number(mpf(kg) / LB / rate) if kg else ""
        table.append((wind, mw, mmhg, celsius, m2, kg, number(rate), time, ""))
    good = ["1.5", "68", "290", "20", "1.9"]
    for place, value, error in (
        (0, "0.49", "wind over the pool is 0.49 m/s"),
        (1, "15.9", "molar mass is 15.9 g/mol"),
        (2, "761", "vapour pressure is 761 mmHg"),
        (3, "61", "temperature of the fuel is 61 degC"),
        (4, "0.009", "area of the pool is 0.009 m2"),
    ):
        bad = [*good]
        bad[place] = value
        table.append((*bad, "", "", "", error))
    write_csv(
        "spill-evaporation-exact.csv",
        "spill-evaporation",
        [f"{key} = rel 1e-11, {DIGITS}" for key in ("rate", "time")],
        "wind [m/s],molar_mass [g/mol],vapour_pressure [mmHg],temperature [degC],area [m2],"
        "mass [kg],=rate [lb/min],=time [min],=error",
        table,
    )
    factors = []
    for mw, mmhg, rho in (("53.06", "108", "800"), ("68", "290", "715"), ("130", "1.9", "804.5")):
        lfa = flux(mw, mmhg, 298)
        lb_ft3 = mpf(rho) * FT**3 / LB
        factors.append((mw, mmhg, rho, number(lfa), number(1 / (mpf("0.033") * lb_ft3)), ""))
    factors.append(("53.06", "108", "499", "", "", "density of the liquid is 0.499 kg/L"))
    write_csv(
        "spill-factors-exact.csv",
        "spill-factors",
        [f"{key} = rel 1e-11, {DIGITS}" for key in ("liquid_factor", "density_factor")],
        "molar_mass [g/mol],vapour_pressure [mmHg],density [kg/m3],=liquid_factor [lb/ft2/min],"
        "=density_factor [ft2/lb],=error",
        factors,
    )
    releases = []
    for lb, wind, lfa, df in (
        ("20000", "1.4", "0.018", "0.61"),
        ("31.7", "2.4", "0.0573", "0.679"),
    ):
        area = mpf(lb) * mpf(df)
        rate = area * mpf(wind) * mpf(lfa)
        releases.append(
            (lb, wind, lfa, df, number(area), number(rate), number(mpf(lb) / rate), "")
        )
    releases.append(("100", "1.4", "0", "0.6", "", "", "", "rate of evaporation is 0 lb/min"))
    write_csv(
        "spill-release-exact.csv",
        "spill-release",
        [f"{key} = rel 1e-11, {DIGITS}" for key in ("area", "rate", "time")],
        "mass [lb],wind_factor [1],liquid_factor [lb/ft2/min],density_factor [ft2/lb],"
        "=area [ft2],=rate [lb/min],=time [min],=error",
        releases,
    )
    sorbents = [
        ("20", "1.5", "", "", number(mpf(20) / mpf("1.5")), ""),
        ("208", "18.4", "", "", number(mpf(208) / mpf("18.4")), ""),
        ("20", "", "13", "0.72", number(mpf(20) * mpf("0.72") / 13), ""),
        ("55.5", "", "0.6", "0.804", number(mpf("55.5") * mpf("0.804") / mpf("0.6")), ""),
        ("20", "", "13", "", "", "density is missing"),
        ("20", "1.5", "13", "0.72", "", "one of them"),
        ("20", "", "", "", "", "one of them"),
        ("20", "0.009", "", "", "", "volume the sorbent takes is 0.009 L/kg"),
    ]
    write_csv(
        "sorbent-exact.csv",
        "sorbent",
        [f"sorbent = rel 1e-11, {DIGITS}"],
        "volume [L],takes_volume [L/kg],takes_mass [1],density [kg/L],=sorbent [kg],=error",
        sorbents,
    )


def write():
    charges()
    flows()
    spreads()
    evaporations()
