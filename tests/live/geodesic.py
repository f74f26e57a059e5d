"""Geodesics on WGS84 from the GeographicLib of Karney."""

import random

from geographiclib.geodesic import Geodesic

from table import Limit, Table

SOURCE = "geographiclib 2.1 (Python) on WGS84; seeded random pairs; after Karney 2013"
SPOT = "the same algorithm in another language; angles are held in radians"
BEARING = "rounding of radians; bearings of lines nearer than 1 deg to antipodal are left out"


def tables() -> list[Table]:
    """The inverse problem and the direct one."""
    return [inverse(), direct()]


def place(chance: random.Random) -> tuple[float, float]:
    return round(chance.uniform(-89.0, 89.0), 6), round(chance.uniform(-180.0, 180.0), 6)


def bearing(azimuth: float) -> str:
    return repr(azimuth % 360.0)


def inverse() -> Table:
    chance = random.Random("geodesic inverse")
    table = Table(
        "geodesic-inverse",
        "geodesic-inverse",
        SOURCE,
        {
            "from_latitude": "deg",
            "from_longitude": "deg",
            "to_latitude": "deg",
            "to_longitude": "deg",
            "=distance_metres": "m",
            "=initial_bearing": "deg",
            "=final_bearing": "deg",
        },
        {
            "distance_metres": Limit(1e-6, "m", SPOT),
            "initial_bearing": Limit(1e-9, "deg", BEARING),
            "final_bearing": Limit(1e-9, "deg", BEARING),
        },
    )
    for number in range(150):
        (lat1, lon1), (lat2, lon2) = place(chance), place(chance)
        if number < 40:
            # A short hop, as most flights of a light aeroplane are.
            lat2 = round(lat1 * 0.99 + chance.uniform(-0.5, 0.5), 6)
            lon2 = round(lon1 * 0.99 + chance.uniform(-0.5, 0.5), 6)
        line = Geodesic.WGS84.Inverse(lat1, lon1, lat2, lon2)
        certain = line["a12"] < 179.0
        table.rows.append({
            "from_latitude": repr(lat1),
            "from_longitude": repr(lon1),
            "to_latitude": repr(lat2),
            "to_longitude": repr(lon2),
            "=distance_metres": repr(line["s12"]),
            "=initial_bearing": bearing(line["azi1"]) if certain else "",
            "=final_bearing": bearing(line["azi2"]) if certain else "",
        })
    return table


def direct() -> Table:
    chance = random.Random("geodesic direct")
    table = Table(
        "geodesic-direct",
        "geodesic-direct",
        SOURCE,
        {
            "from_latitude": "deg",
            "from_longitude": "deg",
            "bearing": "deg",
            "distance": "m",
            "=latitude": "deg",
            "=longitude": "deg",
            "=final_bearing": "deg",
        },
        {
            "latitude": Limit(1e-11, "deg", "1e-6 m on the ground"),
            "longitude": Limit(1e-9, "deg", "1e-6 m on the ground at 89 deg of latitude"),
            "final_bearing": Limit(1e-9, "deg", "rounding of radians"),
        },
    )
    for _ in range(100):
        latitude, longitude = place(chance)
        azimuth = round(chance.uniform(0.0, 360.0), 6)
        distance = round(chance.uniform(1e3, 5e6), 3)
        line = Geodesic.WGS84.Direct(latitude, longitude, azimuth, distance)
        table.rows.append({
            "from_latitude": repr(latitude),
            "from_longitude": repr(longitude),
            "bearing": repr(azimuth),
            "distance": repr(distance),
            "=latitude": repr(line["lat2"]),
            "=longitude": repr(line["lon2"]),
            "=final_bearing": bearing(line["azi2"]),
        })
    return table
