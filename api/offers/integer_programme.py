"""Integer programmes with whole coefficients, solved exactly by HiGHS (`highspy`). Pure.

The solver reckons in floating point. Its answer is rounded to whole numbers, every row and the objective
are recomputed in integers, and it is taken only where the rows hold and the solver's own bound leaves no
room for an objective that is one smaller; else `NotSolvedExactly` is raised.
"""

from collections.abc import Mapping, Sequence
from math import inf

import attrs
import highspy
import numpy as np

from api.errors import DomainError

OPTIONS: Mapping[str, float | int | bool] = {
    "output_flag": False,
    "threads": 1,
    "mip_heuristic_run_feasibility_jump": False,  # costs 3 ms, finds nothing that the search does not
    "mip_allow_restart": False,  # starts anew more often than it helps at this size
    "mip_rel_gap": 0.0,
    "mip_abs_gap": 0.5,  # objectives are whole: less than one apart is equal
    "mip_max_nodes": 100_000,  # some ten seconds: rather no answer than a thread that is lost
    "mip_feasibility_tolerance": 1e-9,
    "primal_feasibility_tolerance": 1e-9,
    "dual_feasibility_tolerance": 1e-9,
}

LARGEST_JOINT_FACTOR = 10**8
"""Up to here two objectives are weighed in one solve; beyond, one after the other (our judgement)."""


@attrs.frozen
class NotSolvedExactly(DomainError):
    """A programme's best answer cannot be told to the last unit, or not in any sensible time."""

    largest: int

    def explain(self) -> str:
        """Return how large the amounts are, and what was expected."""
        return (
            f"The prices of the offers (up to {self.largest} minor units) are too far apart to find the "
            "cheapest basket to the minor unit; expected prices of parts of one starter."
        )


class _QuietSolver(highspy.Highs):
    """The solver without its callbacks, which nobody calls: switching them on prints a banner."""

    def __init__(self) -> None:
        super(highspy.Highs, self).__init__()


class IntegerProgramme:
    """Columns (whole numbers from 0 to an upper bound), rows over them, two objectives in turn."""

    def __init__(self) -> None:
        self._first: list[int] = []
        self._second: list[int] = []
        self._upper: list[int] = []
        self._rows: list[tuple[float, float, Mapping[int, int]]] = []

    def column(self, upper: int, cost: int = 0, tie: int = 0) -> int:
        """Add an unknown from 0 to `upper`, its share in either objective (0 or more in the second)."""
        self._upper.append(upper)
        self._first.append(cost)
        self._second.append(tie)
        return len(self._upper) - 1

    def add_cost(self, column: int, cost: int) -> None:
        """Raise a column's share in the first objective."""
        self._first[column] += cost

    def row(self, entries: Mapping[int, int], lower: float = -inf, upper: float = inf) -> int:
        """Add a condition: `lower` <= sum of coefficient times unknown <= `upper`."""
        self._rows.append((lower, upper, entries))
        return len(self._rows) - 1

    def bound(self, row: int, lower: int, upper: int) -> None:
        """Change the bounds of a row."""
        self._rows[row] = (lower, upper, self._rows[row][2])

    def forget_rows(self, first: int) -> None:
        """Take away the rows from `first` onward."""
        del self._rows[first:]

    def solve(self) -> list[int] | None:
        """Return the unknowns with the least first objective and, among those, the least second one.

        None where no unknowns keep every row. Raises `NotSolvedExactly`.
        """
        weight = 1 + sum(cost * upper for cost, upper in zip(self._second, self._upper, strict=True))
        if weight * max(map(abs, self._first), default=0) <= LARGEST_JOINT_FACTOR:
            joint = [weight * first + second for first, second in zip(self._first, self._second, strict=True)]
            return self._least(joint)
        found = self._least(self._first)
        if found is None or not any(self._second):
            return found
        least = _product(self._first, found)
        last = self.row({place: cost for place, cost in enumerate(self._first) if cost}, upper=least)
        try:
            return self._least(self._second)
        finally:
            self.forget_rows(last)

    def _least(self, objective: Sequence[int]) -> list[int] | None:
        solver = _QuietSolver()
        for name, value in OPTIONS.items():
            solver.setOptionValue(name, value)
        solver.passModel(self._written(objective))
        solver.run()
        if solver.getModelStatus() == highspy.HighsModelStatus.kInfeasible:
            return None
        found = [round(value) for value in solver.getSolution().col_value]
        if (
            solver.getModelStatus() != highspy.HighsModelStatus.kOptimal
            or not self._keeps_rows(found)
            or _product(objective, found) >= solver.getInfo().mip_dual_bound + 1
        ):
            raise NotSolvedExactly(max(map(abs, self._first)))
        return found

    def _keeps_rows(self, found: Sequence[int]) -> bool:
        bounded = all(0 <= value <= upper for value, upper in zip(found, self._upper, strict=True))
        return bounded and all(
            lower <= sum(factor * found[place] for place, factor in entries.items()) <= upper
            for lower, upper, entries in self._rows
        )

    def _written(self, objective: Sequence[int]) -> highspy.HighsLp:
        lp = highspy.HighsLp()
        lp.num_col_, lp.num_row_ = len(self._upper), len(self._rows)
        lp.col_cost_ = np.array(objective, dtype=float)
        lp.col_lower_ = np.zeros(len(self._upper))
        lp.col_upper_ = np.array(self._upper, dtype=float)
        lp.integrality_ = [highspy.HighsVarType.kInteger] * len(self._upper)
        lp.row_lower_ = np.array([lower for lower, _, _ in self._rows], dtype=float)
        lp.row_upper_ = np.array([upper for _, upper, _ in self._rows], dtype=float)
        matrix = lp.a_matrix_
        matrix.format_ = highspy.MatrixFormat.kRowwise
        matrix.start_ = np.cumsum([0, *(len(entries) for _, _, entries in self._rows)])
        matrix.index_ = np.array([place for _, _, entries in self._rows for place in entries], dtype=np.int32)
        matrix.value_ = np.array([value for *_, each in self._rows for value in each.values()], dtype=float)
        return lp


def _product(objective: Sequence[int], found: Sequence[int]) -> int:
    return sum(cost * value for cost, value in zip(objective, found, strict=True))
