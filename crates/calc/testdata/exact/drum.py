"""Cases of drums, sliced the other way: sheets along the axis, where the program takes slices across."""

from mpmath import asin, cos, findroot, mpf, pi, quad, radians, sin, sqrt, tan

from case_file import number, write_csv


def clamp(value, low, high):
    return min(max(value, low), high)


def integral(sheet, r, kinks):
    """Over the drum's breadth, y = r sin p so that the ends are smooth; parted at the kinks."""
    parts = sorted({-pi / 2, pi / 2, *(asin(k / r) for k in kinks if -r < k < r)})
    return quad(lambda p: 2 * (r * cos(p)) ** 2 * sheet(r * sin(p)), parts)


def side(diameter, length, tilt, at, dip):
    """Sheets square to the upright plane of the axis, y below the axis negative."""
    r, l, slope = mpf(diameter) / 2, mpf(length), tan(radians(mpf(tilt)))
    if slope == 0:
        return integral(lambda y: l if y < mpf(dip) - r else mpf(0), r, [mpf(dip) - r])
    top = lambda x: mpf(dip) - (x - mpf(at)) * slope - r
    wet = lambda y: clamp(mpf(at) + (mpf(dip) - r - y) / slope, mpf(0), l)
    return integral(wet, r, [top(mpf(0)), top(l)])


def upright(diameter, length, lean, at, dip):
    """Sheets along the axis, y towards the low side."""
    r, l, slope = mpf(diameter) / 2, mpf(length), tan(radians(mpf(lean)))
    depth = lambda y: clamp(mpf(dip) + (y - mpf(at)) * slope, mpf(0), l)
    kinks = [] if slope == 0 else [mpf(at) - mpf(dip) / slope, mpf(at) + (l - mpf(dip)) / slope]
    return integral(depth, r, kinks)


def litres(cubic_millimetres):
    return number(cubic_millimetres / 10**6)


def share(volume, diameter, length):
    return number(volume / (pi * mpf(diameter) ** 2 / 4 * mpf(length)) * 100)


D, LONG = "571.5", "851"


def dips():
    table = []
    for tilt, at, dip in (("", "", "123.4"), ("0", "", "571.5"), ("0.00001", "300", "250"), ("4.5", "40", "210"),
                          ("4.5", "811", "31"), ("27", "425.5", "400"), ("80", "800", "100")):
        volume = side(D, LONG, tilt or 0, at or 0, dip)
        table.append((D, LONG, dip, tilt, at, litres(volume), share(volume, D, LONG), ""))
    table += [
        (D, LONG, "571.6", "", "", "", "", "dip is 0.5716 m"),
        (D, LONG, "-0.1", "", "", "", "", "dip is -0.0001 m"),
        (D, LONG, "100", "5", "", "", "", "at is missing"),
        (D, LONG, "100", "5", "851.1", "", "", "place of the dip is 0.8511 m"),
        (D, LONG, "100", "80.1", "10", "", "", "slant of the drum is 80.1 deg"),
        ("99", LONG, "10", "", "", "", "", "inside diameter is 99 mm"),
        (D, "12001", "10", "", "", "", "", "inside length is 12001 mm"),
    ]
    tolerances = ["volume = 1e-7 L, digits written; nearly level slices lose the last",
                  "share = 1e-7 %, as the volume"]
    write_csv(
        "drum-dip-side-exact.csv",
        "drum-dip-side",
        tolerances,
        "diameter [mm],length [mm],dip [mm],tilt [deg],at [mm],=volume [L],=share [%],=error",
        table,
    )
    table = []
    for lean, at, dip in (("", "", "123.4"), ("0", "200", "851"), ("0.00001", "100", "250"), ("7", "230", "64"),
                          ("7", "-230", "64"), ("22", "0", "420"), ("38", "150", "800")):
        volume = upright(D, LONG, lean or 0, at or 0, dip)
        table.append((D, LONG, dip, lean, at, "", litres(volume), share(volume, D, LONG), ""))
    for lean, level in (("15", "-20"), ("15", "900"), ("", "400")):
        volume = upright(D, LONG, lean or 0, 0, level)
        table.append((D, LONG, "", lean, "", level, litres(volume), share(volume, D, LONG), ""))
    table += [
        (D, LONG, "851.1", "", "", "", "", "", "dip is 0.8511 m"),
        (D, LONG, "100", "5", "285.8", "", "", "", "place of the dip is 0.2858 m"),
        (D, LONG, "100", "5", "", "", "", "", "at is missing"),
        (D, LONG, "100", "", "", "100", "", "", "axis_level alone"),
        (D, LONG, "", "5", "", "-5001", "", "", "level on the axis is -5.001 m"),
        (D, LONG, "", "5", "10", "", "", "", "dip is missing"),
    ]
    write_csv(
        "drum-dip-upright-exact.csv",
        "drum-dip-upright",
        tolerances,
        "diameter [mm],length [mm],dip [mm],lean [deg],at [mm],axis_level [mm],=volume [L],=share [%],=error",
        table,
    )


def inverses():
    """The dip by secants on the sheets."""
    table = []
    for pose, slant, at, volume, start in (
        ("side", "", "", "60", 180), ("side", "3", "85.1", "150", 380), ("side", "12", "800", "9", 20),
        ("upright", "", "", "140", 550), ("upright", "9", "-200", "31", 90), ("upright", "30", "250", "205", 950),
    ):
        solve = side if pose == "side" else upright
        dip = findroot(lambda h: solve(D, LONG, slant or 0, at or 0, h) / 10**6 - mpf(volume),
                       (mpf(start), mpf(start) + 10), tol=1e-30)
        most = mpf(D) if pose == "side" else mpf(LONG)
        stick = "stays dry" if dip < 0 else "is covered" if dip > most else "reads"
        slants = (slant, "") if pose == "side" else ("", slant)
        table.append((pose, D, LONG, volume, *slants, at, number(dip), stick, ""))
    table += [
        ("side", D, LONG, "0", "", "", "", "0", "reads", ""),
        ("upright", D, LONG, "0", "", "", "", "0", "reads", ""),
        ("side", D, LONG, "218.301", "", "", "", "", "", "contents is 218.301 L"),
        ("side", D, LONG, "20", "", "5", "10", "", "", "an upright one a lean"),
        ("upright", D, LONG, "20", "5", "", "10", "", "", "an upright one a lean"),
    ]
    write_csv(
        "drum-dip-for-volume-exact.csv",
        "drum-dip-for-volume",
        ["dip = 1e-6 mm, digits written; a thousandth of a millilitre"],
        "pose,diameter [mm],length [mm],volume [L],tilt [deg],lean [deg],at [mm],=dip [mm],=stick,=error",
        table,
    )


def remainders():
    table = []
    for clearance, lean, at in (("50", "", ""), ("50", "4", "230"), ("25", "12", "-230"), ("0", "4", "230")):
        left = [upright(D, LONG, lean or 0, at or 0, clearance),
                upright(D, LONG, lean or 0, -mpf(at or 0), clearance), upright(D, LONG, 0, 0, clearance)]
        table.append((D, LONG, clearance, lean, at, *map(litres, left), ""))
    table += [(D, LONG, "852", "", "", "", "", "", "dip is 0.852 m")]
    write_csv(
        "standpipe-remainder-exact.csv",
        "standpipe-remainder",
        [f"{key} = 1e-9 L, digits written" for key in ("left", "left_turned", "left_plumb")],
        "diameter [mm],length [mm],clearance [mm],lean [deg],at [mm],=left [L],=left_turned [L],"
        "=left_plumb [L],=error",
        table,
    )


def write():
    dips()
    inverses()
    remainders()
