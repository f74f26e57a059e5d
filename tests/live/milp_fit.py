"""The fit as a mixed-integer linear programme, written from the question and not from our search.

What is linear: an upright envelope, tanks with fixed arms that feed one after the other. Masses
along the burn depend on whole steps of fuel, so the share of the margin times a mass is made
linear exactly, by one binary for each number of steps (convex hull of a product with a choice).
"""

import highspy
import numpy as np

from milp import Model


def model(case: dict) -> tuple[Model, int]:
    """The programme that makes the smallest margin greatest, and the column of that margin."""
    made = Fit(case)
    made.places()
    made.fuel()
    made.balance()
    made.sides()
    return made.model, made.margin


def changes(case: dict, margin: float) -> Model:
    """The programme that makes the fewest changes with at least that margin."""
    made = Fit(case)
    made.places()
    made.fuel()
    made.balance()
    made.sides()
    made.model.row({made.margin: 1.0}, margin, highspy.kHighsInf)
    made.model.cost = dict.fromkeys(range(made.model.columns), 0.0)
    made.count_changes()
    return made.model


class Fit:
    def __init__(self, case: dict) -> None:
        self.case = case
        self.model = Model()
        self.tanks = case["tanks"]
        self.dry = case["empty"][0] + sum(thing[0] for thing in case["things"])
        self.base = sum(tank[2] for tank in self.tanks)
        self.step = self.tanks[0][3]
        self.greatest = self.bound()
        self.margin = self.model.column(0.0, max(self.greatest, 0.0), cost=-1.0)

    def bound(self) -> float:
        """No margin passes that of the totals alone: a tight bound helps the solver."""
        ramp, take_off, landing, used, _, required = self.case["masses"]
        steps = np.arange(sum(tank[4] for tank in self.tanks) + 1)
        fuel = self.base + self.step * steps
        mass = self.dry + fuel
        shares = [
            (ramp - mass) / ramp,
            (take_off - mass + self.case["taxi"]) / take_off,
            (landing - mass + used) / landing,
            (fuel - required) / required,
        ]
        return float(np.min(shares, axis=0).max())

    def places(self) -> None:
        case, model = self.case, self.model
        allowed = [thing[2] for thing in case["things"]]
        for thing, places in case["within"]:
            allowed[thing] &= places
        self.put = [
            {
                p: model.binary()
                for p in range(len(case["places"]))
                if allowed[thing] >> p & 1
            }
            for thing in range(len(case["things"]))
        ]
        for columns in self.put:
            model.row(dict.fromkeys(columns.values(), 1.0), 1.0, 1.0)
        for p, (_, _, seats, _, most, moved) in enumerate(case["places"]):
            inside = [(i, c[p]) for i, c in enumerate(self.put) if p in c]
            if seats:
                row = {column: 1.0 for i, column in inside if case["things"][i][1]}
                model.row(row, -highspy.kHighsInf, seats)
            if most is not None:
                row = {column: case["things"][i][0] for i, column in inside}
                if moved:
                    row[self.margin] = most
                model.row(row, -highspy.kHighsInf, most)
        for a, b in case["together"]:
            for number in {place[3] for place in case["places"]}:
                row = {}
                for thing, sign in [(a, 1.0), (b, -1.0)]:
                    for p, column in self.put[thing].items():
                        if case["places"][p][3] == number:
                            row[column] = sign
                model.row(row, 0.0, 0.0)

    def fuel(self) -> None:
        model, case = self.model, self.case
        self.steps = []
        for _, _, base, step, most, _, usable, _ in self.tanks:
            column = model.integer(0, most)
            self.steps.append(column)
            model.row({column: step, self.margin: usable}, -highspy.kHighsInf, usable - base)
        ramp, take_off, landing, used, zero_fuel, required = case["masses"]
        total = dict.fromkeys(self.steps, self.step)
        for limit, gone in [(ramp, 0.0), (take_off, case["taxi"]), (landing, used)]:
            most = limit - self.dry - self.base + gone
            model.row(total | {self.margin: limit}, -highspy.kHighsInf, most)
        model.row(total | {self.margin: -required}, required - self.base, highspy.kHighsInf)
        if self.dry > zero_fuel * (1 + 1e-9):
            model.row({}, 1.0, 1.0)

    def corner(self, first: int) -> tuple[dict[int, float], dict[int, float], float]:
        """Steps left when the tanks before `first` are empty: as a sum, times the margin, and the
        mass without them."""
        model = self.model
        left = self.steps[first:]
        mass = self.dry + sum(tank[2] for tank in self.tanks[first:])
        if first == 0:
            mass -= self.case["taxi"]
        count = sum(tank[4] for tank in self.tanks[first:])
        one, product = {}, {}
        chosen, parts = {}, {self.margin: -1.0}
        for value in range(count + 1):
            is_it = model.binary()
            part = model.column(0.0, max(self.greatest, 0.0))
            model.row({part: 1.0, is_it: -self.greatest}, -highspy.kHighsInf, 0.0)
            chosen[is_it], parts[part] = 1.0, 1.0
            one[is_it] = -float(value)
            product[part] = self.step * value
        if not left:
            return {}, {}, mass
        model.row(chosen, 1.0, 1.0)
        model.row(parts, 0.0, 0.0)
        model.row(one | dict.fromkeys(left, 1.0), 0.0, 0.0)
        return dict.fromkeys(left, self.step), product, mass

    def balance(self) -> None:
        case, model = self.case, self.model
        arms = [corner[0] for corner in case["corners"]]
        forward, aft = min(arms), max(arms)
        infinite = highspy.kHighsInf
        for first in range(len(self.tanks) + 1):
            steps, product, mass = self.corner(first)
            along, across = {}, {}
            for thing, columns in zip(case["things"], self.put, strict=True):
                for p, column in columns.items():
                    arm, lateral = case["places"][p][:2]
                    along[column], across[column] = thing[0] * arm, thing[0] * lateral
            moment, roll = case["empty"][1:]
            for tank, column in zip(self.tanks[first:], self.steps[first:], strict=True):
                arm, lateral, base, step = tank[:4]
                along[column], across[column] = step * arm, step * lateral
                moment, roll = moment + base * arm, roll + base * lateral
            if first == 0:
                moment -= case["taxi"] * self.tanks[0][0]
                roll -= case["taxi"] * self.tanks[0][1]
            width = aft - forward

            def margins(sign: float, of: float) -> dict[int, float]:
                row = {column: sign * of * part for column, part in product.items()}
                return row | {self.margin: sign * of * mass}

            # moment - forward mass >= margin width mass, and so on.
            row = along | {c: along[c] - forward * s for c, s in steps.items()}
            model.row(row | margins(-1.0, width), forward * mass - moment, infinite)
            row = along | {c: along[c] - aft * s for c, s in steps.items()}
            model.row(row | margins(1.0, width), -infinite, aft * mass - moment)
            if case["lateral"] is not None:
                limit = case["lateral"]
                row = across | {c: across[c] - limit * s for c, s in steps.items()}
                model.row(row | margins(1.0, limit), -infinite, limit * mass - roll)
                row = across | {c: across[c] + limit * s for c, s in steps.items()}
                model.row(row | margins(-1.0, limit), -limit * mass - roll, infinite)

    def sides(self) -> None:
        limit = self.case["imbalance"]
        if limit is None:
            return
        for first in range(len(self.tanks)):
            row, base = {}, 0.0
            for tank, column in zip(self.tanks[first:], self.steps[first:], strict=True):
                row[column] = tank[3] * tank[7]
                base += tank[2] * tank[7]
            self.model.row(row | {self.margin: limit}, -highspy.kHighsInf, limit - base)
            self.model.row(row | {self.margin: -limit}, -limit - base, highspy.kHighsInf)

    def count_changes(self) -> None:
        model = self.model
        for thing, columns in zip(self.case["things"], self.put, strict=True):
            for p, column in columns.items():
                model.cost[column] = float(p != thing[3])
        for tank, column in zip(self.tanks, self.steps, strict=True):
            most, now = tank[4], tank[5]
            changed = model.binary()
            model.cost[changed] = 1.0
            if now is None:
                model.row({changed: 1.0}, 1.0, 1.0)
            else:
                model.row({column: 1.0, changed: -float(most)}, -highspy.kHighsInf, now)
                model.row({column: 1.0, changed: float(most)}, now, highspy.kHighsInf)
