"""The odds of the clinic round, drawn by NumPy: the same model, whole arrays at a time.

    odds_speed.py FIGURES [DRAWS]

FIGURES is what `cargo run --release -p stillprop-plan --example odds_speed` printed. The spread of
each input, the courses of the legs and the limits of daylight are taken from it; everything else is
read from the demonstration's documents and reckoned here, by code that shares nothing with the
program. Prints the time beside the program's, and fails where a chance differs by more than
sampling explains, or where what is typed does not give the same margins.

Left to it: limits that nothing drawn can change. Simplified in its favour: the balance is looked at
where a stretch of the burn begins and ends, and not at the turning points between.
"""

import math
import sys
import time
import tomllib
from pathlib import Path

import numpy as np

DEMO = Path(__file__).resolve().parents[2] / "demo"
CHUNK = 50_000
KT, FT, NM, L = 1852 / 3600, 0.3048, 1852.0, 1e-3
CREDIT, CHARGE = 0.5, 1.5  # demo-operator B 5
TAKE_OFF, LANDING = 1.25, 1.43  # demo-operator B 1
GRAVEL = 1.1  # demo-operator B 2, landing
GRADIENT = 0.06  # au


def number(text: str) -> float:
    return float(text.split()[0])


def document(name: str) -> dict:
    return tomllib.loads((DEMO / name).read_text(encoding="utf-8"))


def figures(path: str) -> dict:
    """What the program printed, by its first word."""
    out: dict = {"input": {}, "limit": {}, "base": {}, "leg": []}
    for line in Path(path).read_text(encoding="utf-8").splitlines():
        word, *rest = line.split()
        if word == "input":
            out["input"][rest[0]] = float(rest[1])
        elif word == "limit":
            out["limit"][rest[0]] = (int(rest[1]), int(rest[2]))
        elif word == "base":
            out["base"][rest[0]] = (float(rest[1]), float(rest[2]))
        elif word == "leg":
            out["leg"].append([float(value) for value in rest])
        elif word == "all":
            out["all"] = (int(rest[0]), int(rest[1]))
        else:
            out[word] = float(rest[0])
    return out


class Chart:
    """A grid of mass, pressure altitude and temperature, the altitude fixed for the day."""

    def __init__(self, table: dict, altitude: float, scale: float) -> None:
        self.masses = np.array([number(mass) for mass in table["masses"]])
        self.degrees = np.array([number(degree) for degree in table["temperatures"]])
        levels = np.array([number(level) for level in table["pressure_altitudes"]])
        values = np.array(table["values"], dtype=float) * scale
        at = int(np.clip(np.searchsorted(levels, altitude) - 1, 0, len(levels) - 2))
        part = (altitude - levels[at]) / (levels[at + 1] - levels[at])
        self.slice = values[:, at, :] * (1 - part) + values[:, at + 1, :] * part

    def read(self, mass: np.ndarray, degrees: np.ndarray) -> np.ndarray:
        """Beyond the heavy or hot end there is no value: NaN, which holds nothing."""
        outside = (mass > self.masses[-1]) | (degrees > self.degrees[-1])
        mass = np.maximum(mass, self.masses[0])
        degrees = np.maximum(degrees, self.degrees[0])
        i = np.clip(np.searchsorted(self.masses, mass) - 1, 0, len(self.masses) - 2)
        j = np.clip(np.searchsorted(self.degrees, degrees) - 1, 0, len(self.degrees) - 2)
        u = (mass - self.masses[i]) / (self.masses[i + 1] - self.masses[i])
        v = (degrees - self.degrees[j]) / (self.degrees[j + 1] - self.degrees[j])
        s = self.slice
        low = s[i, j] * (1 - v) + s[i, j + 1] * v
        high = s[i + 1, j] * (1 - v) + s[i + 1, j + 1] * v
        out = low * (1 - u) + high * u
        out[outside] = np.nan
        return out


def pressure_altitude(elevation_ft: float, qnh: float) -> float:
    n = 9.80665 / (287.05287 * 0.0065)
    p = 1013.25 * ((qnh / 1013.25) ** (1 / n) - 0.0065 * elevation_ft * FT / 288.15) ** n
    return (288.15 / 0.0065) * (1 - (p / 1013.25) ** (1 / n)) / FT


class Way:
    """One direction of a strip: what wind, slope and surface make of a distance."""

    def __init__(self, bearing: float, fixed: dict[str, float]) -> None:
        self.bearing = bearing
        self.fixed = fixed

    def wind(self, speed, gust, direction):
        angle = direction - self.bearing
        along, across = np.cos(angle), np.sin(angle)
        head = speed * along
        head = np.where(head < 0, gust * along, head)
        return head, np.abs(gust * across)

    @staticmethod
    def factor(head):
        helped = np.minimum(head * CREDIT, 20 * KT)
        hindered = -head * CHARGE
        out = np.where(head > 0, 1 - 0.09 * helped / (10 * KT), 1 + 0.10 * hindered / (3 * KT))
        return np.where(-head > 10 * KT, np.nan, out)


class Model:
    def __init__(self, path: str) -> None:
        self.f = figures(path)
        self.craft = document("aircraft/comfrey-six.toml")
        self.stop = document("turnarounds/ready.toml")
        self.sigma = self.f["input"]
        seats = {seat["label"]: seat for seat in self.craft["seats"] + self.craft["lockers"]}
        self.places = seats
        self.people = self.stop["people"]
        self.items = self.stop["items"]
        table = self.craft["performance"]
        high = pressure_altitude(5610, 1016)
        self.run = Chart(table["take_off_run"], high, 1.0)
        self.distance = Chart(table["take_off_distance"], high, 1.0)
        self.climb = Chart(table["climb"], high, FT / 60)
        self.back = Chart(table["landing_distance"], high, 1.0)
        self.there = [
            Chart(table["landing_distance"], pressure_altitude(3140, 1013), 1.0),
            Chart(table["landing_distance"], pressure_altitude(4430, 1014), 1.0),
        ]
        rad = math.radians
        self.ways = {
            "15": Way(rad(152), {"run": 0.7 * 1.15 * TAKE_OFF, "distance": 0.7 * 1.1 * TAKE_OFF}),
            "33": Way(rad(332), {"landing": 0.7 * 1.18 * LANDING}),
            "16": Way(rad(161), {"landing": (1 + 0.08 * 0.4) * LANDING}),
            "04": Way(rad(40.5), {"landing": (1 - 0.03 * 1.2) * GRAVEL * LANDING}),
        }

    def chunk(self, rng, n: int) -> dict[str, np.ndarray]:
        """Every limit of so many draws: margin, not negative where it holds."""
        sigma, zero = self.sigma, np.zeros(n)

        def around(name: str, middle: float) -> np.ndarray:
            return middle + sigma.get(name, 0.0) * rng.standard_normal(n)

        margin: dict[str, np.ndarray] = {}
        mass, moment, side = 1004 + zero, 1004 * 1.062 + zero, 1004 * -0.002 + zero
        load = {label: zero for label in self.places}
        for index, person in enumerate(self.people):
            middle = number(person["mass"]) + self.f["allowance"] * (person["known"] == "stated")
            each = np.maximum(around(f"Person({index})", middle), 0)
            load[person["seat"]] = load[person["seat"]] + each
        for index, item in enumerate(self.items):
            each = np.maximum(around(f"Item({index})", number(item["mass"])), 0)
            load[item["in"]] = load[item["in"]] + each
        for label, place in self.places.items():
            kind = "locker" if label in ("pod", "aft locker") else "seat"
            name = f"load.{kind}.{label.replace(' ', '-')}"
            margin[name] = number(place["max_mass"]) - load[label]
            mass = mass + load[label]
            moment = moment + load[label] * number(place["arm"])
            side = side + load[label] * number(place.get("lateral", "0 m"))
        fuel = [around("Tank(0)", 81 * L) / L, around("Tank(1)", 82 * L) / L, around("Tank(2)", 0.0) / L]
        usable = [158, 158, 114]
        fuel = [np.clip(each, 0, most) for each, most in zip(fuel, usable, strict=True)]
        for name, each, most in zip(("left-wing", "right-wing", "aft"), fuel, usable, strict=True):
            margin[f"fuel.tank.{name}"] = most - each
        aboard = fuel[0] + fuel[1] + fuel[2]
        factor = np.maximum(around("Burn", 1.0), 0.1)
        used, landed = self.legs(rng, n, factor, around)
        self.masses(margin, mass, aboard, used)
        self.balance(margin, mass, moment, side, fuel)
        self.required(margin, aboard, used, factor)
        self.strips(margin, rng, n, mass + aboard * self.density, used)
        for name, time_used, latest in zip(
            ("Oumbrel", "Taskel-Bend"), landed, self.latest, strict=True
        ):
            margin[f"light.arrival.{name}"] = latest - np.ceil(time_used)
        return margin

    def legs(self, rng, n, factor, around):
        """Fuel used and time flown to each landing."""
        burnt, elapsed, used, landed = np.zeros(n), np.zeros(n), [], []
        self.trip = np.zeros(n)
        for index, (distance, track, stop) in enumerate(self.f["leg"]):
            typed = (math.radians(120), 14 * KT)
            east = around(f"WindAloft({index})", -typed[1] * math.sin(typed[0]))
            north = around(f"WindAloft({index})", -typed[1] * math.cos(typed[0]))
            along = east * math.sin(track) + north * math.cos(track)
            across = east * math.cos(track) - north * math.sin(track)
            tas = 138 * KT
            ground = tas * np.cos(np.arcsin(across / tas)) + along
            drift = np.minimum((ground - tas) * 480.0, 0)
            cruise = np.maximum(distance - np.maximum(13 * NM + drift, 0), 0) / ground
            fuel = (11 + 58 * cruise / 3600) * factor
            self.trip = self.trip + fuel
            burnt = burnt + 6 + fuel
            elapsed = elapsed + 480 + 480 + cruise
            used.append(burnt)
            landed.append(elapsed)
            elapsed = elapsed + stop
        return used, landed

    def masses(self, margin, mass, aboard, used):
        ramp = mass + aboard * self.density
        margin["load.zero-fuel-mass"] = 1560 - mass
        margin["load.ramp-mass"] = 1655 - ramp
        margin["load.take-off-mass"] = 1650 - (ramp - 6 * self.density)
        margin["load.envelope-mass"] = 1655 - (ramp - 6 * self.density)
        for name, burnt in zip(("Oumbrel", "Taskel-Bend"), used, strict=True):
            margin[f"load.landing-mass.{name}"] = 1620 - (ramp - burnt * self.density)
        margin["load.envelope-least-mass"] = ramp - used[-1] * self.density - 950

    def arm(self, q):
        """Arm of a wing tank by the fuel in it, in litres."""
        return np.interp(q, [20, 80, 158], [1.08, 1.11, 1.15])

    def balance(self, margin, mass, moment, side, fuel):
        taxi = 3.0
        left, right = np.maximum(fuel[0] - taxi, 0), np.maximum(fuel[1] - taxi, 0)
        least = np.minimum(left, right)
        forward = aft = lateral = imbalance = None
        for l, r, a in (
            (left, right, fuel[2]),
            (left - least, right - least, fuel[2]),
            (0 * left, 0 * right, fuel[2]),
            (0 * left, 0 * right, 0 * fuel[2]),
        ):
            m = mass + (l + r + a) * self.density
            x = (moment + self.density * (l * self.arm(l) + r * self.arm(r) + a * 3.05)) / m
            edge = np.where(m > 1200, 0.92 + 0.2 * (m - 1200) / 455, 0.92)
            y = np.abs(side + self.density * 2.45 * (r - l)) / m
            d = np.abs(r - l)
            forward = x - edge if forward is None else np.minimum(forward, x - edge)
            aft = 1.41 - x if aft is None else np.minimum(aft, 1.41 - x)
            lateral = y if lateral is None else np.maximum(lateral, y)
            imbalance = d if imbalance is None else np.maximum(imbalance, d)
        margin["load.cg-forward"], margin["load.cg-aft"] = forward, aft
        margin["load.cg-lateral"] = 0.060 - lateral
        margin["fuel.imbalance"] = 60 - imbalance

    def required(self, margin, aboard, used, factor):
        burn = np.maximum(40, 58) * factor
        reserve = self.f["reserve"] / 3600 * burn
        required = 12 + self.trip * (1 + self.f["contingency"]) + reserve
        margin["fuel.required"] = aboard - required
        for name, burnt in zip(("Oumbrel", "Taskel-Bend"), used, strict=True):
            margin[f"fuel.final-reserve.{name}"] = aboard - burnt - reserve

    def strips(self, margin, rng, n, ramp, used):
        def blow(spot, speed, gust, direction):
            """Speed first, then direction, each with its spread."""
            sigma = self.sigma[f"SurfaceWind({spot})"]
            by = sigma * rng.standard_normal(n)
            turn = math.radians(16) * sigma / (3.9 * KT) * rng.standard_normal(n)
            mean = np.maximum(speed * KT + by, 0)
            strongest = np.maximum(mean, np.maximum(gust * KT + by, 0))
            return mean, strongest, math.radians(direction) + turn

        def degrees(spot, middle):
            return middle + self.sigma[f"Temperature({spot})"] * rng.standard_normal(n)

        here, wind = degrees(0, 26.0), blow(0, 6, 6, 70)
        mass = ramp - 6 * self.density
        off, back = self.ways["15"], self.ways["33"]
        head, cross = off.wind(*wind)
        factor = off.factor(head)
        distance = self.distance.read(mass, here) * factor * off.fixed["distance"]
        margin["strip.take-off-run"] = 610 - self.run.read(mass, here) * factor * off.fixed["run"]
        margin["strip.take-off-distance"] = 650 - distance
        margin["strip.climb"] = self.climb.read(mass, here) / (102 * KT) - GRADIENT
        margin["strip.crosswind.take-off"] = 17 * KT - cross
        margin["strip.tailwind.take-off"] = 10 * KT + np.minimum(head, 0)
        head, _ = back.wind(*wind)
        needed = self.back.read(mass, here) * back.factor(head) * back.fixed["landing"]
        margin["strip.landing-back-here"] = 640 - needed
        spots = (("Oumbrel", "16", 29.0, (8, 8, 150), 1200), ("Taskel-Bend", "04", 27.0, (7, 12, 71.5), 880))
        for index, (name, way, middle, typed, available) in enumerate(spots):
            there, wind = degrees(index + 1, middle), blow(index + 1, *typed)
            way = self.ways[way]
            head, cross = way.wind(*wind)
            mass = ramp - used[index] * self.density
            needed = self.there[index].read(mass, there) * way.factor(head) * way.fixed["landing"]
            margin[f"strip.landing-distance.{name}"] = available - needed
            margin[f"strip.crosswind.{name}"] = 17 * KT - cross
            margin[f"strip.tailwind.{name}"] = 10 * KT + np.minimum(head, 0)

    def prepare(self):
        self.density = self.f["density"]
        self.latest = [self.f["latest0"], self.f["latest1"]]


def main(path: str, draws: str = "1000000") -> None:
    model = Model(path)
    model.prepare()
    total, rng = int(draws), np.random.default_rng(1)
    model.sigma, typed = {key: 0.0 for key in model.sigma}, model.sigma
    wrong = 0
    for name, margin in model.chunk(rng, 1).items():
        want = model.f["base"].get(name)
        if want is None or abs(margin[0] * unit(name) - want[0]) > 1e-3 * max(abs(want[1]), 1e-9):
            print(f"typed: {name}: {margin[0] * unit(name):.6g}, the program says {want}")
            wrong += 1
    model.sigma = typed
    counts: dict[str, int] = {}
    held = done = 0
    begun = time.perf_counter()
    while done < total:
        n = min(CHUNK, total - done)
        every = np.ones(n, dtype=bool)
        for name, margin in model.chunk(rng, n).items():
            holds = margin >= -1e-9
            counts[name] = counts.get(name, 0) + int(holds.sum())
            every &= holds
        held += int(every.sum())
        done += n
    seconds = time.perf_counter() - begun
    counts["all"] = held
    model.f["limit"]["all"] = model.f["all"]
    worst = 0.0
    for name, count in sorted(counts.items()):
        theirs, of = model.f["limit"][name]
        a, b = count / total, theirs / of
        mean = (count + theirs) / (total + of)
        spread = math.sqrt(max(mean * (1 - mean), 1e-12) * (1 / total + 1 / of))
        off = abs(a - b) / spread if spread else 0.0
        worst = max(worst, off)
        if off > 4.5:
            print(f"{name}: {a:.6f} here, {b:.6f} there, {off:.1f} deviations apart")
            wrong += 1
    ours, of = model.f["seconds"], model.f["all"][1]
    print(f"chances  {len(counts)} compared, worst {worst:.1f} deviations apart")
    print(f"all hold  {held / total:.5f} here, {model.f['all'][0] / of:.5f} there")
    print(f"numpy  {seconds:.4f} s  for {total} draws")
    print(f"ours   {ours:.4f} s  for {of} draws")
    print(f"ratio  {seconds / total / (ours / of):.1f}")
    sys.exit(wrong > 0)


def unit(name: str) -> float:
    """The margins here in the unit of the program, which is SI."""
    return L if name.startswith("fuel.") else 1.0


if __name__ == "__main__":
    main(*sys.argv[1:])
