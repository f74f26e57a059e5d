"""How a case file is written: exact numbers as text, one head, one table or one record."""

import json
import pathlib
from fractions import Fraction as F

import mpmath

mpmath.mp.dps = 50
TESTDATA = pathlib.Path(__file__).parent.parent
HOW = "Python fractions and mpmath 1.3.0, the scripts in exact/ beside this file"
DIGITS = "digits written"


def text(value, unit, digits=13):
    """A quantity as the cases write it."""
    value = mpmath.mpf(value.numerator) / value.denominator if isinstance(value, F) else value
    return f"{mpmath.nstr(mpmath.mpf(value), digits, strip_zeros=True)} {unit}"


def number(value, digits=13):
    """A quantity without its unit, for a table whose header says it."""
    return text(value, "", digits).strip()


def rows(*names):
    """Turns tuples into records: rows("arm m", "mass kg")([(1, 2)])."""

    def build(table):
        keys = [name.split(" ", 1) for name in names]
        return [{k: f"{v} {u}" for (k, u), v in zip(keys, row)} for row in table]

    return build


CORNERS = rows("arm m", "mass kg")
CLIPPED = [("0.9", 600), ("0.9", 900), ("1.0", 1100), ("1.25", 1100), ("1.25", 600)]


def write_json(name, sum_, tolerance, cases, note=None):
    head = {"sum": sum_, "source": HOW, "read": "computed"}
    if note:
        head["note"] = note
    head |= {"tolerance": tolerance, "count": len(cases), "cases": cases}
    (TESTDATA / name).write_text(json.dumps(head, indent=1) + "\n")


def write_csv(name, sum_, tolerances, header, table):
    lines = [f"# sum: {sum_}", f"# source: {HOW}", "# read: computed"]
    lines += [f"# tolerance: {line}" for line in tolerances]
    lines += [f"# count: {len(table)}", header]
    lines += [",".join(str(cell) for cell in row) for row in table]
    (TESTDATA / name).write_text("\n".join(lines) + "\n")
