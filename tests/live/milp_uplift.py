"""The trip uplift as a mixed-integer linear programme, written from the question.

Three solves one after the other: least cost, then fewest part-drums at that cost, then oldest fuel
at both.
"""

import highspy

from milp import Model


class Trip:
    def __init__(self, trip: dict) -> None:
        self.model = model = Model()
        self.cost: dict[int, float] = {}
        self.parts: dict[int, float] = {}
        self.age: dict[int, float] = {}
        # Everything in steps, so that the whole numbers of the programme are of one size.
        step, density = trip["step"], trip["density"]
        taken: dict[int, float] = {}
        burnt = 0.0
        for zero_fuel, most_mass, most_landing, required, burn, reserve, sources in trip["stops"]:
            for source in sources:
                taken |= self.source(*source)
            low = max(required, burn + reserve)
            high = min(
                trip["capacity"],
                (most_mass - zero_fuel) / density,
                (most_landing - zero_fuel) / density + burn,
            )
            before = trip["aboard"] - burnt
            model.row(dict(taken), (low - before) / step - 1e-6, (high - before) / step + 1e-6)
            burnt += burn

    def source(
        self,
        drum: bool,
        holds: int,
        to_open: int,
        per_step: int,
        age: int,
        most_age: int | None,
        whole: bool,
    ) -> dict[int, float]:
        model = self.model
        if most_age is not None and age > most_age:
            return {}
        opened = model.binary()
        self.cost[opened] = to_open
        if whole:
            self.cost[opened] = to_open + per_step * holds
            self.age[opened] = -age * holds
            return {opened: float(holds)}
        steps = model.integer(0, holds)
        model.row({steps: 1.0, opened: -float(holds)}, -highspy.kHighsInf, 0.0)
        self.cost[steps] = per_step
        self.age[steps] = -age
        if drum:
            emptied = model.binary()
            model.row({steps: 1.0, emptied: -float(holds)}, 0.0, highspy.kHighsInf)
            model.row({emptied: 1.0, opened: -1.0}, -highspy.kHighsInf, 0.0)
            self.parts[opened], self.parts[emptied] = 1.0, -1.0
        return {steps: 1.0}


def solve(trip: dict, limit: float) -> tuple[list[int] | None, list[float]]:
    """Cost, part-drums and step-days, as many as came to their end in time (`None` when nothing
    is feasible), and the milliseconds of each solve."""
    made = Trip(trip)
    found, times = [], []
    for goal in [made.cost, made.parts, made.age]:
        made.model.cost = {column: float(value) for column, value in goal.items()}
        value, spent, ended = made.model.solve(0.5, limit)
        times.append(spent)
        if not ended:
            return found, times
        if value is None:
            return None, times
        found.append(round(value) if goal is not made.age else -round(value))
        made.model.row(dict(made.model.cost), -highspy.kHighsInf, round(value) + 0.25)
    return found, times
