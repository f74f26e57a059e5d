"""A table of reference cases, in the format of crates/calc/testdata/README.md.

One table belongs to one sum of the program. The libraries fill it afresh, or it is read
from the file that an earlier run wrote; the comparison is the same.
"""

import csv
import io
import json
from dataclasses import dataclass, field
from pathlib import Path

FOLDER = Path(__file__).resolve().parents[2] / "crates" / "calc" / "testdata"


@dataclass(frozen=True)
class Limit:
    """How far an output may lie from the library: a number, its unit, the reason."""

    size: float
    unit: str
    why: str

    def __str__(self) -> str:
        return f"rel {self.size:g}" if self.unit == "rel" else f"{self.size:g} {self.unit}"


@dataclass
class Table:
    """Cases of one sum. A cell is text; `columns` says its unit, or "" for none."""

    name: str
    sum: str
    source: str
    columns: dict[str, str]
    limits: dict[str, Limit]
    rows: list[dict[str, str]] = field(default_factory=list)

    def inputs(self, row: dict[str, str]) -> dict[str, str]:
        """The arguments of a row as the program takes them."""
        keys = [key for key in self.columns if not key.startswith(("=", "~"))]
        return {key: f"{row[key]} {self.columns[key]}".strip() for key in keys if row[key]}

    def expected(self, row: dict[str, str]) -> dict[str, tuple[str, str]]:
        """The expected outputs of a row, each with its unit."""
        keys = [key for key in self.columns if key.startswith("=")]
        return {key[1:]: (row[key], self.columns[key]) for key in keys if row[key]}

    @property
    def lasting(self) -> list[dict[str, str]]:
        """The rows that are kept."""
        return self.rows

    @property
    def path(self) -> Path:
        return FOLDER / f"live-{self.name}.csv"

    def write(self) -> None:
        """Keeps the table for the day the libraries are not to be had."""
        out = io.StringIO()
        for key, value in [("sum", self.sum), ("source", self.source), ("read", "computed")]:
            out.write(f"# {key}: {value}\n")
        for key, limit in self.limits.items():
            out.write(f"# tolerance: {key} = {limit}, {limit.why}\n")
        out.write(f"# count: {len(self.rows)}\n")
        out.write("# written by: tests/live/crosscheck.py --write\n")
        writer = csv.writer(out, lineterminator="\n")
        writer.writerow(f"{key} [{unit}]" if unit else key for key, unit in self.columns.items())
        writer.writerows([row[key] for key in self.columns] for row in self.rows)
        self.path.write_text(out.getvalue(), encoding="utf-8")

    @classmethod
    def committed(cls, path: Path) -> "Table":
        """Reads back what `write` wrote."""
        lines = path.read_text(encoding="utf-8").splitlines()
        head = [line[2:].split(": ", 1) for line in lines if line.startswith("# ")]
        said = {key: value for key, value in head if key != "tolerance"}
        cells = csv.reader(line for line in lines if not line.startswith("#"))
        columns = dict(split_unit(cell) for cell in next(cells))
        rows = [dict(zip(columns, row, strict=True)) for row in cells]
        if len(rows) != int(said["count"]):
            raise ValueError(f"{path.name}: {len(rows)} rows, the head says {said['count']}")
        limits = dict(read_limit(value) for key, value in head if key == "tolerance")
        name = path.stem.removeprefix("live-")
        return cls(name, said["sum"], said["source"], columns, limits, rows)


@dataclass
class ShapeTable(Table):
    """Cases with lists of corners, which a cell writes as `east north; east north; ...`.

    Kept as JSON, and only the first `kept` rows of it: ten thousand would be too much to keep.
    """

    kept: int = 0

    def inputs(self, row: dict[str, str]) -> dict:
        """The arguments of a row, corners as records."""
        texts = super().inputs(row)
        return {
            key: records(row[key], self.columns[key]) if ";" in text else text
            for key, text in texts.items()
        }

    @property
    def lasting(self) -> list[dict[str, str]]:
        return self.rows[: self.kept]

    @property
    def path(self) -> Path:
        return FOLDER / f"live-{self.name}.json"

    def write(self) -> None:
        cases = [
            {
                "name": str(number + 1),
                "inputs": self.inputs(row),
                "expect": {k: f"{v} {u}".strip() for k, (v, u) in self.expected(row).items()},
            }
            for number, row in enumerate(self.lasting)
        ]
        head = {
            "sum": self.sum,
            "source": self.source,
            "read": "computed",
            "note": "written by tests/live/crosscheck.py --write; the first cases of the live run",
            "tolerance": {key: [str(limit), limit.why] for key, limit in self.limits.items()},
            "count": len(cases),
        }
        lines = ",\n".join("  " + json.dumps(case) for case in cases)
        text = json.dumps(head, indent=1).removesuffix("\n}")
        self.path.write_text(f'{text},\n "cases": [\n{lines}\n ]\n}}\n', encoding="utf-8")

    @classmethod
    def committed(cls, path: Path) -> "ShapeTable":
        said = json.loads(path.read_text(encoding="utf-8"))
        columns, rows = {}, []
        for case in said["cases"]:
            row = {}
            for key, value in case["inputs"].items():
                row[key], columns[key] = packed(value)
            for key, value in case["expect"].items():
                row[f"={key}"], columns[f"={key}"] = packed(value)
            rows.append(row)
        if len(rows) != said["count"]:
            raise ValueError(f"{path.name}: {len(rows)} rows, the head says {said['count']}")
        limits = dict(
            read_limit(f"{key} = {size}, {why}") for key, (size, why) in said["tolerance"].items()
        )
        name = path.stem.removeprefix("live-")
        return cls(name, said["sum"], said["source"], columns, limits, rows, len(rows))


def records(cell: str, unit: str) -> list[dict[str, str]]:
    """Corners as the program takes them."""
    corners = [corner.split() for corner in cell.split(";")]
    return [{"east": f"{east} {unit}", "north": f"{north} {unit}"} for east, north in corners]


def packed(value: str | list) -> tuple[str, str]:
    """A kept argument as a cell, with its unit."""
    if isinstance(value, str):
        number, _, unit = value.partition(" ")
        return number, unit
    corners = [(corner["east"].split()[0], corner["north"].split()[0]) for corner in value]
    return "; ".join(f"{east} {north}" for east, north in corners), "m"


def split_unit(cell: str) -> tuple[str, str]:
    """`elevation [ft]` as `elevation` and `ft`."""
    key, _, unit = cell.partition(" [")
    return key, unit.rstrip("]")


def read_limit(text: str) -> tuple[str, Limit]:
    """`dawn = 3 s, reason` as the output and its limit."""
    key, rest = text.split(" = ", 1)
    size, why = rest.split(", ", 1)
    first, second = size.split(" ", 1)
    number, unit = (second, first) if first == "rel" else (first, second)
    return key, Limit(float(number), unit, why)
