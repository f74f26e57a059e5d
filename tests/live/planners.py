"""The planners against a mixed-integer solver, on the same cases in one run.

    planners.py fit CASES.jsonl
    planners.py uplift CASES.jsonl

Cases come from `crates/plan/examples/plan_cases.rs`, with our answer and our time in each. The
time of HiGHS is that of its own solve, without building the model; for the uplift that of the
first of three solves. Exit 1 when an answer differs.
"""

import json
import statistics
import sys
from pathlib import Path

# Seconds for one solve. What is not finished then is counted, not compared.
LIMIT = 30.0
# Margins are compared in hundredths of a percent.
SAME = 1.01e-4


def fit(case: dict) -> tuple[float, int, str | None]:
    import milp_fit

    model, _ = milp_fit.model(case)
    value, spent, ended = model.solve(1e-5, LIMIT)
    ours = case["ours"]
    if not ended:
        return spent, 0, None
    if value is None:
        return spent, 1, None if "conflict" in ours else "infeasible to the solver"
    if "margin" not in ours or abs(ours["margin"] + value) > SAME:
        return spent, 1, f"margin {-value}"
    fewest, _, ended = milp_fit.changes(case, ours["margin"] - 5e-5).solve(0.5, LIMIT)
    if ended and (fewest is None or round(fewest) != ours["changes"]):
        return spent, 1, f"changes {fewest}"
    return spent, 1 + int(ended), None


def uplift(case: dict) -> tuple[float, int, str | None]:
    import milp_uplift

    found, times = milp_uplift.solve(case, LIMIT / 5)
    ours = case["ours"]
    if found is None:
        return times[0], 3, None if "conflict" in ours else "infeasible to the solver"
    want = [ours.get(key) for key in ("cost", "parts", "step_days")]
    return times[0], len(found), None if found == want[: len(found)] else f"{found}"


def main(kind: str, path: str) -> int:
    compare = {"fit": fit, "uplift": uplift}[kind]
    us, them, aims, misses = [], [], 0, 0
    for line in Path(path).read_text(encoding="utf-8").splitlines():
        case = json.loads(line)
        spent, compared, miss = compare(case)
        us.append(case["ours"]["ms"])
        them.append(spent)
        aims += compared
        if miss:
            misses += 1
            print(f"case {case['number']}: ours {case['ours']}, {miss}", file=sys.stderr)
    ours, theirs = statistics.median(us), statistics.median(them)
    print(f"{kind}, median of {len(us)}  {ours:.4f} ms")
    print(f"{kind}, the slowest  {max(us):.4f} ms")
    print(f"{kind}, HiGHS  {theirs:.4f} ms")
    print(f"{kind}, ours as part of HiGHS  {ours / theirs:.6f}")
    print(f"{kind}, aims compared  {aims}")
    print(f"{kind}, answers that differ  {misses}")
    return int(misses > 0)


if __name__ == "__main__":
    sys.exit(main(*sys.argv[1:]))
