"""Twilight and sunrise from the JPL ephemeris DE421.

The altitude is that of the Sun's centre, topocentric and without air, at sea level on WGS84.
The day is the local mean solar day: 12 h on either side of 12:00 UTC less longitude / 15 deg/h.
Its dawn is the first upward crossing of the wanted altitude, its dusk the last downward one.
"""

import random
import warnings
from datetime import date, datetime, timedelta, timezone

import numpy
from skyfield.api import Loader, load, wgs84

from table import Limit, Table

with warnings.catch_warnings():
    # The package warns that its Earth orientation file is old; only its ephemeris is used.
    warnings.simplefilter("ignore", RuntimeWarning)
    from skyfield_data import get_skyfield_data_path

    DATA = get_skyfield_data_path()

SOURCE = (
    "skyfield 1.55 with the JPL ephemeris DE421; centre of the Sun; topocentric and airless; "
    "sea level on WGS84; roots of the altitude to a millisecond"
)
CIVIL_DEG = -6.0
HORIZON_DEG = -50.0 / 60.0
STEP_S = 300
# Nearer than this to the wanted altitude at noon or midnight, the Sun only grazes it. Nearer
# than the second, whether it reaches the altitude at all is a matter of the last digits.
GRAZING_DEG = 0.3
TOUCHING_DEG = 0.01

# The outputs: case, first rise, last set.
CIVIL = ("case", "dawn", "dusk")
SUN = ("sunrise_case", "sunrise", "sunset")

# The project's own ceilings are 20 s up to 60 deg of latitude and 90 s up to 72; these are tighter.
AWAY = "own limit; the 0.0003 deg that the algorithm states is 0.1 to 0.3 s of time up to 72 deg"
GRAZES = "own limit for a Sun that grazes the altitude, where 0.0003 deg is several seconds"


class Sky:
    """The Sun over a place, in seconds from noon."""

    def __init__(self) -> None:
        self.time = load.timescale(builtin=True)
        bodies = Loader(DATA)("de421.bsp")
        self.earth, self.sun = bodies["earth"], bodies["sun"]

    def day(self, latitude: float, longitude: float, day: date):
        """The altitude as a function of seconds from local mean noon, and that noon."""
        observer = self.earth + wgs84.latlon(latitude, longitude)
        middle = datetime(day.year, day.month, day.day, 12, tzinfo=timezone.utc)
        noon = middle - timedelta(hours=longitude / 15.0)
        start = self.time.from_datetime(noon)

        def altitude(seconds):
            moment = self.time.tt_jd(start.whole, start.tt_fraction + seconds / 86400.0)
            return observer.at(moment).observe(self.sun).apparent().altaz()[0].degrees

        return altitude, noon

    def declination(self, day: date) -> float:
        """Of the Sun at noon UTC, in degrees."""
        moment = self.time.utc(day.year, day.month, day.day, 12)
        return self.earth.at(moment).observe(self.sun).apparent().radec("date")[1].degrees


def events(altitude, wanted_deg: float, grid, above):
    """First rise and last set in seconds from noon; None where there is none."""
    rises = [i for i in range(len(grid) - 1) if not above[i] and above[i + 1]]
    sets = [i for i in range(len(grid) - 1) if above[i] and not above[i + 1]]
    root = lambda i: crossing(altitude, wanted_deg, grid[i], grid[i + 1])  # noqa: E731
    return root(rises[0]) if rises else None, root(sets[-1]) if sets else None


def crossing(altitude, wanted_deg: float, low: float, high: float) -> float:
    """Narrows a bracket, nine points at a time, to less than a millisecond."""
    while high - low > 5e-4:
        points = numpy.linspace(low, high, 9)
        above = altitude(points) >= wanted_deg
        place = int(numpy.argmax(above != above[0])) - 1
        low, high = points[place], points[place + 1]
    return (low + high) / 2.0


def instant(noon: datetime, seconds: float | None) -> str:
    if seconds is None:
        return "none"
    moment = noon + timedelta(seconds=float(seconds))
    return moment.strftime("%Y-%m-%dT%H:%M:%S.") + f"{moment.microsecond // 1000:03d}Z"


def case(rise: float | None, fall: float | None, above) -> str:
    if rise is None and fall is None:
        return "always above" if above.all() else "always below"
    if fall is None:
        return "rises only"
    return "sets only" if rise is None else "rises and sets"


def places(seed: str, bands: list[tuple[float, float, int]]):
    """Seeded places and dates, so many in each band of latitude."""
    chance = random.Random(seed)
    for low, high, count in bands:
        for _ in range(count):
            latitude = round(chance.uniform(low, high), 4)
            longitude = round(chance.uniform(-180.0, 180.0), 4)
            yield latitude, longitude, date(2024, 1, 1) + timedelta(chance.randrange(2557))


def grazing_places(sky: Sky, seed: str, bands: list[tuple[float, float, int]]):
    """Seeded places and dates where the midnight or noon Sun comes near civil twilight."""
    chance = random.Random(seed)
    for low, high, count in bands:
        while count:
            day = date(2024, 1, 1) + timedelta(chance.randrange(2557))
            hemisphere = chance.choice((-1, 1))
            declination = hemisphere * sky.declination(day)
            near = chance.uniform(-GRAZING_DEG, GRAZING_DEG)
            # The midnight Sun stands at latitude + declination - 90 degrees, the noon Sun at
            # 90 - latitude + declination; one of the two is to be near -6 degrees.
            latitude = 84.0 - declination + near if declination > 0 else 96.0 + declination - near
            if low < latitude < high:
                longitude = round(chance.uniform(-180.0, 180.0), 4)
                yield round(hemisphere * latitude, 4), longitude, day
                count -= 1


def tables() -> list[Table]:
    """Civil twilight, the days on which the Sun grazes it apart, and sunrise."""
    sky = Sky()
    bands = [(-60, 60, 120), (60, 72, 40), (-72, -60, 40), (72, 89.9, 20), (-89.9, -72, 20)]
    plain = rows(sky, CIVIL_DEG, CIVIL, places("civil twilight", bands))
    near = grazing_places(sky, "grazing", [(60, 72, 40), (72, 88, 10)])
    grazing = rows(sky, CIVIL_DEG, CIVIL, near)
    polar = [(-66, 66, 60), (66, 89, 10), (-89, -66, 10)]
    horizon = rows(sky, HORIZON_DEG, SUN, places("sunrise", polar))
    return [
        table("twilight", CIVIL, Limit(1, "s", AWAY), (row for away, row in plain if away)),
        table("twilight-grazing", CIVIL, Limit(5, "s", GRAZES), (row for _, row in grazing)),
        table("sunrise", SUN, Limit(1, "s", AWAY), (row for away, row in horizon if away)),
    ]


def table(name: str, keys: tuple[str, str, str], limit: Limit, rows) -> Table:
    columns = {"latitude": "deg", "longitude": "deg", "date": ""}
    columns |= {f"={key}": "" for key in keys} | {"~nearest": "deg"}
    return Table(name, "sun-events", SOURCE, columns, dict.fromkeys(keys[1:], limit), list(rows))


def rows(sky: Sky, wanted_deg: float, keys: tuple[str, str, str], where):
    """Each row, and whether its day stays away from grazing the altitude."""
    grid = numpy.arange(-43200, 43200 + STEP_S, STEP_S, dtype=float)
    for latitude, longitude, day in where:
        altitude, noon = sky.day(latitude, longitude, day)
        heights = altitude(grid)
        above = heights >= wanted_deg
        rise, fall = events(altitude, wanted_deg, grid, above)
        extremes = heights.max() - wanted_deg, heights.min() - wanted_deg
        nearest = min(extremes, key=abs)
        if abs(nearest) < TOUCHING_DEG:
            continue
        yield abs(nearest) > GRAZING_DEG, {
            "latitude": str(latitude),
            "longitude": str(longitude),
            "date": day.isoformat(),
            f"={keys[0]}": case(rise, fall, above),
            f"={keys[1]}": instant(noon, rise),
            f"={keys[2]}": instant(noon, fall),
            "~nearest": f"{nearest:.3f}",
        }
