"""A small mixed-integer linear programme, built column by column and handed to HiGHS at once."""

import time

import highspy
import numpy as np


class Model:
    def __init__(self) -> None:
        self.low: list[float] = []
        self.high: list[float] = []
        self.whole: list[bool] = []
        self.cost: dict[int, float] = {}
        self.rows: list[tuple[dict[int, float], float, float]] = []

    @property
    def columns(self) -> int:
        return len(self.low)

    def column(self, low: float, high: float, cost: float = 0.0, whole: bool = False) -> int:
        self.low.append(low)
        self.high.append(high)
        self.whole.append(whole)
        self.cost[len(self.low) - 1] = cost
        return len(self.low) - 1

    def binary(self) -> int:
        return self.column(0.0, 1.0, whole=True)

    def integer(self, low: float, high: float) -> int:
        return self.column(low, high, whole=True)

    def row(self, parts: dict[int, float], low: float, high: float) -> None:
        self.rows.append((parts, low, high))

    def highs(self) -> highspy.HighsLp:
        lp = highspy.HighsLp()
        lp.num_col_, lp.num_row_ = self.columns, len(self.rows)
        lp.col_lower_, lp.col_upper_ = np.array(self.low), np.array(self.high)
        lp.col_cost_ = np.array([self.cost.get(c, 0.0) for c in range(self.columns)])
        lp.row_lower_ = np.array([row[1] for row in self.rows])
        lp.row_upper_ = np.array([row[2] for row in self.rows])
        kinds = [highspy.HighsVarType.kContinuous, highspy.HighsVarType.kInteger]
        lp.integrality_ = [kinds[whole] for whole in self.whole]
        starts = np.cumsum([0, *(len(row[0]) for row in self.rows)])
        lp.a_matrix_.format_ = highspy.MatrixFormat.kRowwise
        lp.a_matrix_.start_ = starts.astype(np.int32)
        lp.a_matrix_.index_ = np.array([c for row in self.rows for c in row[0]], dtype=np.int32)
        lp.a_matrix_.value_ = np.array([v for row in self.rows for v in row[0].values()])
        return lp

    def solve(self, absolute_gap: float, limit: float) -> tuple[float | None, float, bool]:
        """The optimum (`None` when infeasible), milliseconds of the solver alone, and whether it
        came to its own end."""
        highs = highspy.Highs()
        highs.setOptionValue("output_flag", False)
        highs.setOptionValue("mip_rel_gap", 0.0)
        highs.setOptionValue("mip_abs_gap", absolute_gap)
        highs.setOptionValue("time_limit", limit)
        highs.passModel(self.highs())
        begun = time.perf_counter()
        highs.run()
        spent = (time.perf_counter() - begun) * 1e3
        status = highs.getModelStatus()
        if status == highspy.HighsModelStatus.kOptimal:
            return highs.getInfo().objective_function_value, spent, True
        none = {
            highspy.HighsModelStatus.kInfeasible,
            highspy.HighsModelStatus.kUnboundedOrInfeasible,
        }
        return None, spent, status in none
