"""Cases of fuel quality: density, grade, warming, settling, water, reconciliation."""

from fractions import Fraction as F

from mpmath import exp, findroot, mpf, sqrt

from case_file import number, write_csv

# MPMS 11.1-1980, table 54B: K0, K1, A.
GASOLINE = ("346.4228", "0.4388", "0")
TRANSITION = ("2680.3206", "0", "-0.00336312")
JET = ("594.5418", "0", "0")
FUEL_OIL = ("186.9696", "0.4862", "0")


def group(rho15):
    """Constants and name of the group of a density at 15 degC."""
    if mpf(rho15) <= 770:
        return GASOLINE, "gasoline"
    if mpf(rho15) < 788:
        return TRANSITION, "transition"
    return (JET, "jet") if mpf(rho15) < 839 else (FUEL_OIL, "fuel oil")


def alpha(rho15, constants):
    k0, k1, a = map(mpf, constants)
    return k0 / mpf(rho15) ** 2 + k1 / mpf(rho15) + a


def vcf(rho15, t, constants=None):
    x = alpha(rho15, constants or group(rho15)[0]) * (mpf(t) - 15)
    return exp(-x * (1 + mpf("0.8") * x))


def at_15(rho, t, constants):
    """The root of the equation, found by secants, not by halving."""
    return findroot(lambda r: r * vcf(r, t, constants) - mpf(rho), mpf(rho) + (mpf(t) - 15) * mpf("0.8"))


def glass(reading, t):
    dt = mpf(t) - 15
    return mpf(reading) * (1 - mpf("0.000023") * dt - mpf("0.00000002") * dt * dt)


def corrections():
    inside = [
        ("653", "-50"), ("712.5", "31"), ("769.9", "40"), ("770", "40"), ("770.1", "40"),
        ("787.9", "-25"), ("788", "-25"), ("804.2", "33"), ("838.9", "5"), ("839", "5"),
        ("1075", "95"),
    ]
    table = []
    for rho15, t in inside:
        constants, name = group(rho15)
        factor = vcf(rho15, t)
        table.append((rho15, t, number(factor), number(alpha(rho15, constants)),
                      number(mpf(rho15) * factor), name, ""))
    for rho15, t, error in (
        ("652.9", "20", "density at 15 degC is 652.9 kg/m3"),
        ("1075.1", "20", "density at 15 degC is 1075.1 kg/m3"),
        ("720", "-50.1", "temperature of the fuel is -50.1 degC"),
        ("720", "95.1", "temperature of the fuel is 95.1 degC"),
    ):
        table.append((rho15, t, "", "", "", "", error))
    write_csv(
        "volume-correction-exact.csv",
        "volume-correction",
        ["vcf = 1e-12 1, digits written", "alpha = 1e-14 1/K, digits written",
         "density = 1e-9 kg/m3, digits written"],
        "density_15 [kg/m3],temperature [degC],=vcf [1],=alpha [1/K],=density [kg/m3],=group,=error",
        table,
    )


def densities():
    cases = [
        ("701.3", "28.5", GASOLINE), ("745", "-12", GASOLINE), ("771.2", "21", TRANSITION),
        ("793.6", "24", JET), ("812", "-5", JET), ("846", "40", FUEL_OIL),
    ]
    table = []
    for rho, t, constants in cases:
        plain, read = at_15(rho, t, constants), at_15(glass(rho, t), t, constants)
        assert group(plain)[0] == group(read)[0] == constants, (rho, t)
        table.append((rho, t, number(plain), number(read), group(plain)[1], ""))
    table += [
        ("560", "20", "", "", "", "density at 15 degC is 56"),
        ("1100", "20", "", "", "", "density at 15 degC is 110"),
        ("549.9", "20", "", "", "", "density as read is 549.9 kg/m3"),
    ]
    write_csv(
        "density-at-15-exact.csv",
        "density-at-15",
        ["density_15 = 1e-9 kg/m3, digits written",
         "density_15_hydrometer = 1e-9 kg/m3, digits written"],
        "density [kg/m3],temperature [degC],=density_15 [kg/m3],=density_15_hydrometer [kg/m3],=group,=error",
        table,
    )


def volumes():
    table = [
        (v, t, rho15, number(mpf(v) * vcf(rho15, t)), "")
        for v, t, rho15 in (("200", "34", "712"), ("57.5", "-8", "801"), ("0", "20", "720"))
    ]
    table += [("50001", "20", "720", "", "fuel is 50001 L")]
    write_csv(
        "volume-at-15-exact.csv",
        "volume-at-15",
        ["volume_15 = 1e-9 L, digits written"],
        "volume [L],temperature [degC],density_15 [kg/m3],=volume_15 [L],=error",
        table,
    )
    masses = []
    for rho15, t, volume, mass in (("712", "34", "142", ""), ("801", "-8", "", "96.5")):
        rho = mpf(rho15) * vcf(rho15, t)
        m = mpf(mass) if mass else mpf(volume) * rho / 1000
        v = mpf(volume) if volume else m / rho * 1000
        masses.append((rho15, t, volume, mass, number(rho), number(m), number(v),
                       number(v * vcf(rho15, t)), ""))
    masses += [
        ("712", "34", "", "", "", "", "", "", "give the volume or the mass"),
        ("712", "34", "10", "7", "", "", "", "", "give the volume or the mass"),
    ]
    write_csv(
        "fuel-mass-at-temperature-exact.csv",
        "fuel-mass-at-temperature",
        [f"{key} = 1e-9 {unit}, digits written"
         for key, unit in (("density", "kg/m3"), ("mass", "kg"), ("volume", "L"), ("volume_15", "L"))],
        "density_15 [kg/m3],temperature [degC],volume [L],mass [kg],=density [kg/m3],=mass [kg],"
        "=volume [L],=volume_15 [L],=error",
        masses,
    )


def grades():
    purity = ("Colour and density together still cannot prove that a fuel is pure: some jet fuel in "
              "avgas changes neither enough to be noticed, and its octane is already lower.")
    table = [
        (rho, "15", word, f'"{purity}"') for rho, word in (
            ("694.9", "neither"), ("695", "avgas"), ("725", "avgas"), ("725.1", "neither"),
            ("774.9", "neither"), ("775", "Jet A-1"), ("840", "Jet A-1"), ("840.1", "neither"),
        )
    ]
    # Taken as read, each of these would be neither.
    for rho, t, constants, word in (("685", "30", GASOLINE, "avgas"), ("735", "-5", GASOLINE, "avgas"),
                                    ("764", "38", TRANSITION, "Jet A-1")):
        density = at_15(rho, t, constants)
        assert group(density)[0] == constants
        low, high = (695, 725) if word == "avgas" else (775, 840)
        assert low < density < high
        table.append((rho, t, word, f'"{purity}"'))
    write_csv(
        "grade-by-density-edges.csv",
        "grade-by-density",
        [],
        "density [kg/m3],temperature [degC],=consistent_with,=purity",
        table,
    )


def jet_shares():
    """The slopes by differences, not by the derivative."""
    table = []
    for rho, t, ur, ut, avgas, jet, ua, uj in (
        ("709.5", "27", "0.5", "0.5", "714", "800", "", ""),
        ("702", "22", "0.5", "1", "708", "812", "2", "4"),
        ("705.6", "20", "1", "0.5", "710", "795", "3", ""),
        ("725", "20", "0.5", "0.5", "712", "802", "", "5"),
        ("690", "15", "0.3", "0.2", "705", "790", "", ""),
    ):
        density = at_15(rho, t, GASOLINE)
        assert density <= 770
        step = mpf("1e-15")
        by_rho = (at_15(mpf(rho) + step, t, GASOLINE) - at_15(mpf(rho) - step, t, GASOLINE)) / (2 * step)
        by_t = (at_15(rho, mpf(t) + step, GASOLINE) - at_15(rho, mpf(t) - step, GASOLINE)) / (2 * step)
        u15 = sqrt((by_rho * mpf(ur)) ** 2 + (by_t * mpf(ut)) ** 2)
        span = mpf(jet) - mpf(avgas)
        x = (density - mpf(avgas)) / span
        ux = sqrt(u15**2 + ((1 - x) * mpf(ua or 0)) ** 2 + (x * mpf(uj or 0)) ** 2) / span
        means = "no more than the errors explain"
        if x > 2 * ux:
            means = '"jet fuel, or something else that is heavier"'
        if x < -2 * ux:
            means = "lighter than the avgas it is taken for"
        table.append((rho, t, ur, ut, avgas, jet, ua, uj, number(density), number(u15),
                      number(x * 100), number(ux * 100), number(ux * 200), means, ""))
    blank = ("",) * 6
    table += [
        ("705", "20", "0.5", "0.5", "760.1", "800", "", "", *blank, "density of the pure avgas"),
        ("705", "20", "0.5", "0.5", "710", "774.9", "", "", *blank, "density of Jet A-1"),
        ("705", "20", "50.1", "0.5", "710", "800", "", "", *blank, "uncertainty of the density"),
        ("705", "20", "0.5", "10.1", "710", "800", "", "", *blank, "uncertainty of the temperature"),
    ]
    write_csv(
        "jet-in-avgas-exact.csv",
        "jet-in-avgas",
        ["density_15 = 1e-9 kg/m3, digits written", "density_15_error = 1e-9 kg/m3, digits written",
         "share = 1e-9 %, digits written", "share_error = 1e-9 %, digits written",
         "visible = 1e-9 %, digits written"],
        "density [kg/m3],temperature [degC],density_error [kg/m3],temperature_error [degC_step],"
        "avgas [kg/m3],jet [kg/m3],avgas_error [kg/m3],jet_error [kg/m3],=density_15 [kg/m3],"
        "=density_15_error [kg/m3],=share [%],=share_error [%],=visible [%],=means,=error",
        table,
    )


def warmings():
    table = []
    for c, v, t1, t2, rho15, shell in (
        ("216.5", "205", "12", "48", "712", ""), ("216.5", "205", "12", "48", "712", "0.000036"),
        ("218.3", "214", "5", "55", "708", "0.000036"), ("216.5", "205", "30", "4", "801", ""),
    ):
        after = mpf(v) * vcf(rho15, t1) / vcf(rho15, t2)
        room = mpf(c) * (1 + mpf(shell or 0) * (mpf(t2) - mpf(t1)))
        ullage, overflow = max(room - after, mpf(0)), max(after - room, mpf(0))
        table.append((c, v, t1, t2, rho15, shell, number(after), number(after - mpf(v)),
                      number(ullage), number(ullage / mpf(c) * 100), number(overflow), ""))
    table += [("200", "200.1", "12", "48", "712", "", "", "", "", "", "", "fuel in the drum is 0.2001")]
    write_csv(
        "drum-warming-exact.csv",
        "drum-warming",
        ["volume = 1e-9 L, digits written", "growth = 1e-9 L, digits written",
         "ullage = 1e-9 L, digits written", "ullage_share = 1e-9 %, digits written",
         "overflow = 1e-9 L, digits written"],
        "capacity [L],volume [L],temperature [degC],warmed_to [degC],density_15 [kg/m3],shell [1/K],"
        "=volume [L],=growth [L],=ullage [L],=ullage_share [%],=overflow [L],=error",
        table,
    )


def settlings():
    table = []
    for depth, d, fuel, mu, water, pt, pd in (
        ("0.85", "20", "0.715", "0.5", "998", "", ""), ("0.85", "20", "0.8", "1.4", "", "1", "0.3048"),
        ("0.55", "60", "0.71", "0.6", "1020", "1", "0.3048"), ("0", "20", "0.72", "0.55", "", "1", "0.3"),
    ):
        v = F("9.80665") * (F(water or 998) - F(fuel) * 1000) * (F(d) / 10**6) ** 2 / (18 * F(mu) / 1000)
        stokes = F(depth) / v / 3600
        policy = F(depth) * F(pt) / F(pd) if pt else None
        longer = policy is not None and policy >= stokes
        table.append((depth, d, fuel, mu, water, pt, pd, number(v * 3600), number(stokes),
                      number(policy) if pt else "", number(policy if longer else stokes),
                      "policy" if longer else "stokes", ""))
    blank = ("",) * 5
    table += [
        ("0.85", "300", "0.715", "0.5", "998", "", "", *blank, "Reynolds number of the droplet is"),
        ("0.85", "0.9", "0.715", "0.5", "998", "", "", *blank, "diameter of the droplet is 0.9 um"),
        ("0.85", "20", "0.715", "0.5", "998", "1", "", *blank, "policy_depth is missing"),
        ("10.1", "20", "0.715", "0.5", "998", "", "", *blank, "depth of the fuel is 10.1 m"),
    ]
    write_csv(
        "settling-time-exact.csv",
        "settling-time",
        ["velocity = 1e-12 m/h, digits written", "stokes = 1e-10 h, digits written",
         "policy = 1e-10 h, digits written", "time = 1e-10 h, digits written"],
        "depth [m],droplet [um],density [kg/L],viscosity [mPa.s],density_water [kg/m3],policy_time [h],"
        "policy_depth [m],=velocity [m/h],=stokes [h],=policy [h],=time [h],=used,=error",
        table,
    )
    table = [(d, t, p, number(F(d) * F(t) / F(p)), "") for d, t, p in
             (("0.85", "15", "0.3"), ("1.2", "60", "0.3048"), ("0", "60", "0.3048"))]
    table = [(d, t, p, hours if hours == "0" else number(mpf(hours) / 60), e) for d, t, p, hours, e in table]
    table += [("0.85", "15", "0.009", "", "depth of the policy is 0.009 m")]
    write_csv(
        "settling-depth-policy-exact.csv",
        "settling-depth-policy",
        ["time = 1e-10 h, digits written"],
        "depth [m],policy_time [min],policy_depth [m],=time [h],=error",
        table,
    )


def waters():
    def s(t):
        return 28 + F(17) * F(t) / 20 if F(t) <= 20 else 45 + F(37) * (F(t) - 20) / 20

    table = [
        (v, t1, t2, number(s(t1)), number(s(t2)), number(F(v) * (s(t1) - s(t2)) / 1000), "")
        for v, t1, t2 in (("200", "30", "5"), ("57", "20", "0"), ("1000", "40", "20"), ("10", "13", "13"))
    ]
    table += [
        ("200", "40.1", "5", "", "", "", "temperature of the kerosene is 40.1 degC"),
        ("200", "30", "-0.1", "", "", "", "temperature of the kerosene is -0.1 degC"),
        ("200", "5", "30", "", "", "", "fall of temperature is -25 degC_step"),
    ]
    write_csv(
        "water-from-cooling-exact.csv",
        "water-from-cooling",
        ["dissolved_before = 1e-9 ppm, digits written", "dissolved_after = 1e-9 ppm, digits written",
         "water = 1e-9 mL, digits written"],
        "volume [L],temperature [degC],cooled_to [degC],=dissolved_before [ppm],=dissolved_after [ppm],"
        "=water [mL],=error",
        table,
    )

    def e(t, ice=False):
        a, b = ("22.46", "272.62") if ice else ("17.62", "243.12")
        return mpf("611.2") * exp(mpf(a) * mpf(t) / (mpf(b) + mpf(t)))

    gas = mpf("8.314472") / mpf("0.01801528")
    table = []
    for u, t1, t2, h in (("150", "30", "10", "100"), ("90", "24.5", "6", "62"), ("60", "9", "-7.5", "80"),
                         ("60", "25", "20", "20")):
        k1, k2 = mpf(t1) + mpf("273.15"), mpf(t2) + mpf("273.15")
        a1 = e(t1) * mpf(h) / 100 / (gas * k1)
        a2 = e(t2, mpf(t2) < 0) / (gas * k2)
        air = mpf(u) * (k1 / k2 - 1)
        own = mpf(u) * (a1 - a2)
        table.append((u, t1, t2, h, number(max(own, mpf(0))), number(max(own + air * a1, mpf(0))),
                      number(air), ""))
    table += [
        ("60", "60.1", "20", "50", "", "", "", "temperature of the air above the fuel is 60.1 degC"),
        ("60", "20", "-45.1", "50", "", "", "", "temperature of the air above the fuel is -45.1 degC"),
        ("60", "20", "21", "50", "", "", "", "fall of temperature is -1 degC_step"),
        ("60", "20", "10", "100.1", "", "", "", "relative humidity is 100.1 %"),
    ]
    write_csv(
        "water-breathed-exact.csv",
        "water-breathed",
        ["water = 1e-9 g, digits written", "water_most = 1e-9 g, digits written",
         "air_drawn_in = 1e-9 L, digits written"],
        "ullage [L],temperature [degC],cooled_to [degC],relative_humidity [%],=water [g],=water_most [g],"
        "=air_drawn_in [L],=error",
        table,
    )


def reconciliations():
    table = []
    for dip, gauge, delivered, burned in (
        ("142", "138", "230", "84.5"), ("96", "104", "150", "53"), ("80.5", "71", "140", "70.4"),
        ("0", "0", "60", "60"), ("50", "60", "70", "0"),
    ):
        a, b, c = F(dip), F(gauge), F(delivered) - F(burned)
        pairs = [(abs(a - b), "dip and gauge"), (abs(a - c), "dip and reckoned"),
                 (abs(b - c), "gauge and reckoned")]
        top, span = max(a, b, c), max(a, b, c) - min(a, b, c)
        table.append((dip, gauge, delivered, burned, number(c), number(a - b), number(a - c),
                      number(b - c), number(span), number(span / top * 100 if top else F(0)),
                      min(pairs, key=lambda pair: pair[0])[1], ""))
    table += [("10", "10", "20", "20.1", *("",) * 7, "fuel burned is 0.0201")]
    write_csv(
        "reconcile-fuel-exact.csv",
        "reconcile-fuel",
        [f"{key} = 1e-9 {unit}, digits written" for key, unit in (
            ("reckoned", "L"), ("dip_over_gauge", "L"), ("dip_over_reckoned", "L"),
            ("gauge_over_reckoned", "L"), ("disagreement", "L"), ("share", "%"))],
        "dip [L],gauge [L],delivered [L],burned [L],=reckoned [L],=dip_over_gauge [L],"
        "=dip_over_reckoned [L],=gauge_over_reckoned [L],=disagreement [L],=share [%],=best_agreement,=error",
        table,
    )


def write():
    corrections()
    densities()
    volumes()
    grades()
    jet_shares()
    warmings()
    settlings()
    waters()
    reconciliations()
