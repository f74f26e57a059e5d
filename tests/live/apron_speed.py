"""How long GEOS takes for all distances of one position on an apron.

    apron_speed.py APRON.txt

The same shapes as `crates/calc/examples/apron_speed.rs`, in the fastest form that shapely has:
arrays of pairs, in one call, and once more with prepared geometries. Prints the faster median
of many rounds, and the sum of the distances, which both must agree on.
"""

import math
import statistics
import sys
import time
from pathlib import Path

import numpy
import shapely

ROUNDS = 300
HEADING = math.radians(350.0)


def read(path: str) -> dict[str, list]:
    """Lines of points by kind."""
    kinds: dict[str, list] = {}
    for line in Path(path).read_text(encoding="utf-8").splitlines():
        if line.startswith("#"):
            continue
        kind, *points = line.split()
        corners = [tuple(float(value) for value in point.split(",")) for point in points]
        kinds.setdefault(kind, []).append(corners)
    return kinds


def placed(points: list, stand: tuple[float, float]) -> list:
    """Right and forward of the aeroplane, on the apron."""
    sin, cos = math.sin(HEADING), math.cos(HEADING)
    return [
        (stand[0] + forward * sin + right * cos, stand[1] + forward * cos - right * sin)
        for right, forward in points
    ]


def median(left: numpy.ndarray, right: numpy.ndarray) -> float:
    times = []
    for _ in range(ROUNDS):
        start = time.perf_counter()
        shapely.distance(left, right)
        times.append(time.perf_counter() - start)
    return statistics.median(times) * 1e6


def main(path: str) -> None:
    kinds = read(path)
    stand = kinds["stand"][0][0]
    movers = [shapely.Polygon(placed(kinds["aeroplane"][0], stand))]
    movers += [shapely.Point(placed(points, stand)[0]) for points in kinds["fuelling"]]
    areas = [shapely.Polygon(corners) for corners in kinds["area"]]
    pairs = [(mover, area) for area in areas for mover in movers]
    left, right = (numpy.array(side, dtype=object) for side in zip(*pairs, strict=True))
    plain = median(left, right)
    shapely.prepare(left)
    shapely.prepare(right)
    prepared = median(left, right)
    print(f"distances  {min(plain, prepared):.4f} us")
    print(f"sum  {shapely.distance(left, right).sum():.9f}")


if __name__ == "__main__":
    main(*sys.argv[1:])
