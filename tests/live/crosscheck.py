"""The program against general-purpose libraries.

    crosscheck.py PROGRAM              ask the libraries now
    crosscheck.py PROGRAM --committed  use the values they gave when they were last asked
    crosscheck.py --write              ask the libraries and keep what they say

Exit 1 on any value outside its limit. The last line is the summary.
"""

import sys
from dataclasses import dataclass
from datetime import datetime

from program import Program
from table import FOLDER, Limit, ShapeTable, Table

# Fewer rows than this would not be the check that was promised. Of the pairs of shapes only
# some are kept, so fewer are enough where the libraries cannot be asked.
LEAST = {"sun-events": 150, "geodesic-inverse": 100, "geodesic-direct": 100, "shape-distance": 300}
ASKED = LEAST | {"shape-distance": 10_000}

# Bands of latitude for the summary, in degrees.
BANDS = [(0.0, 60.0), (60.0, 72.0), (72.0, 90.0)]


@dataclass(frozen=True)
class Comparison:
    """One output of one row: how far it lies from the library, None where it is no such thing."""

    table: Table
    row: dict[str, str]
    key: str
    size: float | None
    got: str

    @property
    def limit(self) -> Limit | None:
        return self.table.limits.get(self.key)

    @property
    def holds(self) -> bool:
        # NaN is not below anything, so it does not hold.
        most = self.limit.size if self.limit else 0.0
        return self.size is not None and self.size <= most

    def __str__(self) -> str:
        where = ", ".join(f"{key}={value}" for key, value in self.table.inputs(self.row).items())
        want, unit = self.table.expected(self.row)[self.key]
        off = "" if self.size is None else f", off by {self.size:.3g}"
        return f"{self.table.name}: {where}: {self.key}: wanted {want} {unit}, got {self.got}{off}"


def asked() -> list[Table]:
    """Tables as the libraries fill them now. Imported here: they may not be installed."""
    import air
    import geodesic
    import plane
    import sun

    return sun.tables() + air.tables() + geodesic.tables() + plane.tables()


def committed() -> list[Table]:
    """Tables as they were last written."""
    rows = [Table.committed(path) for path in sorted(FOLDER.glob("live-*.csv"))]
    lists = [ShapeTable.committed(path) for path in sorted(FOLDER.glob("live-*.json"))]
    return rows + lists


def distance(got: object, want: str, unit: str, limit: Limit | None) -> float | None:
    """How far `got` lies from `want`, in the unit of `limit`; None where they differ in kind."""
    if want == "none" or got is None:
        return 0.0 if want == "none" and got is None else None
    if limit is None:
        return 0.0 if got == want else None
    if limit.unit == "s":
        seconds = moment(got) - moment(want) if isinstance(got, str) else None
        return None if seconds is None else abs(seconds.total_seconds())
    if not isinstance(got, (int, float)):
        return None
    size = abs(got - float(want))
    if unit == "deg":
        size = min(size % 360.0, 360.0 - size % 360.0)
    return size / abs(float(want)) if limit.unit == "rel" else size


def moment(text: str) -> datetime:
    """An instant in UTC; the program may print more digits than Python keeps."""
    seconds, _, fraction = text.removesuffix("Z").partition(".")
    return datetime.fromisoformat(f"{seconds}.{fraction[:6]:0<6}+00:00")


def compare(program: Program, table: Table) -> list[Comparison]:
    """Every expected output of `table` against what the program answers."""
    compared = []
    answers = program.sums(table.sum, [table.inputs(row) for row in table.rows])
    for row, answer in zip(table.rows, answers, strict=True):
        outputs = answer.get("outputs", {})
        for key, (want, unit) in table.expected(row).items():
            if key not in outputs:
                said = str(answer.get("error", "no such output"))
                compared.append(Comparison(table, row, key, None, said))
                continue
            value, shown = outputs[key]["value"], outputs[key].get("unit") or ""
            limit = table.limits.get(key)
            size = distance(value, want, unit, limit) if shown == unit else None
            compared.append(Comparison(table, row, key, size, f"{value} {shown}".strip()))
    return compared


def stale(table: Table) -> list[str]:
    """What the committed values of `table` say differently from the libraries now."""
    if not table.path.exists():
        return [f"{table.path.name} is missing; run --write"]
    kept = type(table).committed(table.path)
    rows = table.lasting
    now, then = ([each.inputs(row) for row in each.lasting] for each in (table, kept))
    if kept.columns != table.columns or kept.limits != table.limits or now != then:
        return [f"{table.path.name} holds other cases; run --write"]
    faults = []
    for row, old in zip(rows, kept.rows, strict=True):
        for key, (want, unit) in table.expected(row).items():
            value, limit = old[f"={key}"], table.limits.get(key)
            got = None if value == "none" else value
            if limit and limit.unit != "s" and got is not None:
                got = float(got)
            size = distance(got, want, unit, limit)
            if size is None or not size <= (limit.size if limit else 0.0):
                faults.append(f"{table.path.name}: {key} was {value}, is {want}; run --write")
    return faults


def report(compared: list[Comparison], faults: list[str], how: str) -> int:
    """Prints the worst of every output, each miss, and the summary; returns the exit code."""
    print(f"{'table':<20}{'output':<18}{'compared':>9}  {'worst':<14}limit")
    groups: dict[tuple[str, str], list[Comparison]] = {}
    for each in compared:
        groups.setdefault((each.table.name, each.key), []).append(each)
    for (name, key), group in groups.items():
        limit = group[0].limit
        worst = max((each.size for each in group if each.size is not None), default=float("nan"))
        size = "exact" if limit is None else f"{worst:.3g} {limit.unit}"
        print(f"{name:<20}{key:<18}{len(group):>9}  {size:<14}{limit or 'exact'}")
    misses = [str(each) for each in compared if not each.holds] + faults
    for miss in misses:
        print(f"MISS {miss}")
    seen = f"{len(compared)} comparisons with {how}"
    print(f"live: {seen}, {twilight(compared)}, {len(misses)} misses")
    return 1 if misses else 0


def twilight(compared: list[Comparison]) -> str:
    """The worst civil twilight in each band of latitude."""
    told = []
    for low, high in BANDS:
        seconds = [
            each.size
            for each in compared
            if each.key in ("dawn", "dusk")
            and each.size is not None
            and low < abs(float(each.row["latitude"])) <= high
        ]
        told.append(f"{max(seconds, default=float('nan')):.2f} s to {high:.0f} deg")
    return "worst twilight " + ", ".join(told)


def too_few(tables: list[Table], promised: dict[str, int]) -> list[str]:
    """Sums with fewer rows than were promised."""
    faults = []
    for name, least in promised.items():
        rows = sum(len(table.rows) for table in tables if table.sum == name)
        if rows < least:
            faults.append(f"{name}: {rows} rows, at least {least} are needed")
    return faults


def check(path: str, tables: list[Table], faults: list[str], how: str) -> int:
    program = Program(path)
    compared = [each for table in tables for each in compare(program, table)]
    return report(compared, faults, how)


def main(args: list[str]) -> int:
    match args:
        case ["--write"]:
            for table in asked():
                table.write()
                print(f"{table.path.name}: {len(table.lasting)} rows")
            return 0
        case [path]:
            import due_calendar

            tables = asked()
            old = due_calendar.faults(path)
            old += [fault for table in tables for fault in stale(table)]
            return check(path, tables, old + too_few(tables, ASKED), "the libraries")
        case [path, "--committed"]:
            tables = committed()
            how = "committed values (LIBRARIES NOT ASKED)"
            return check(path, tables, too_few(tables, LEAST), how)
        case _:
            print(__doc__, file=sys.stderr)
            return 2


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
