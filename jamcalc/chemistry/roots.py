"""Roots and whole-number plans: the only module that knows scipy.

scipy takes a third of a second to import, so each function imports what it needs when it is called.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Any

INFEASIBLE = 2  # as scipy's milp says it
MOST_TURNS = 60  # of a function that is applied to its own result; those of a batch settle in four or five
SETTLED = 1e-5  # of values scaled to about 1: a hundredth of a gram in a kilogram, and the next round of a batch changes a tenth of that
RUN_AWAY = 1e6


@dataclass(frozen=True, kw_only=True)
class Root:
    """Where a function crosses zero, and how the search went."""

    value: float
    converged: bool
    iterations: int


@dataclass(frozen=True, kw_only=True)
class SystemRoot:
    """The solution of several equations at once; `residual` is the largest one left."""

    values: tuple[float, ...]
    converged: bool
    residual: float
    iterations: int


@dataclass(frozen=True, kw_only=True)
class WholeNumbers:
    """The numbers found, None where the search ended before it had any, and whether no others cost less."""

    values: tuple[int, ...] | None
    best: bool


def bracketed_root(function: Callable[[float], float], low: float, high: float, *, tolerance: float = 1e-10) -> Root:
    """The root of a continuous function that changes sign between `low` and `high` (Brent's method).

    Raises ValueError where there is no change of sign.
    """
    from scipy.optimize import brentq

    value, report = brentq(function, low, high, xtol=tolerance, rtol=1e-12, full_output=True)
    return Root(value=float(value), converged=bool(report.converged), iterations=int(report.iterations))


def fixed_point(function: Callable[[Sequence[float]], Sequence[float]], start: Sequence[float]) -> SystemRoot:
    """Values that `function` maps onto themselves; scale them to about 1.

    A function that changes little when its argument does, as the doses of a batch do, is applied to its own result until that stays.
    Where it does not settle so, Powell's hybrid method looks for the root of function(x) - x from where it began.
    `converged` is False where that fails too, by the method's own word or with more than 0.00001 left over; the values are then its last.
    """
    values = tuple(start)
    for turn in range(1, MOST_TURNS + 1):
        mapped = tuple(function(values))
        residual = _largest_change(values, mapped)
        values = mapped
        if residual < SETTLED:
            return SystemRoot(values=values, converged=True, residual=residual, iterations=turn)
        if not residual < RUN_AWAY:
            break
    return _hybrid(function, start)


def _hybrid(function: Callable[[Sequence[float]], Sequence[float]], start: Sequence[float]) -> SystemRoot:
    import numpy
    from scipy.optimize import root

    def change(values: Any) -> Any:
        return numpy.asarray(function(values.tolist())) - values

    solution = root(change, numpy.asarray(start, dtype=float), method="hybr")
    values = tuple(solution.x.tolist())
    residual = _largest_change(values, function(values))
    return SystemRoot(
        values=values,
        converged=bool(solution.success) and residual < SETTLED,
        residual=residual,
        iterations=MOST_TURNS + int(solution.nfev),
    )


def _largest_change(before: Sequence[float], after: Sequence[float]) -> float:
    return max(abs(new - old) for new, old in zip(after, before, strict=True))


def many_roots(function: Callable[..., Any], low: float, high: float, columns: tuple[Any, ...], *, tolerance: float = 1e-3) -> Any:
    """One root between `low` and `high` for each row of the columns, all searched at once (Chandrupatla's method).

    `function(x, *columns)` works on as many rows as are still open.
    """
    import numpy
    from scipy.optimize.elementwise import find_root

    shape = columns[0].shape
    return find_root(function, (numpy.full(shape, low), numpy.full(shape, high)), args=columns, tolerances={"xatol": tolerance}).x


def best_whole_numbers(
    cost: Sequence[float],
    rows: Sequence[Sequence[float]],
    low: Sequence[float],
    high: Sequence[float],
    upper_bounds: Sequence[float],
    *,
    loose: int = 0,
    most_nodes: int,
) -> WholeNumbers:
    """The whole numbers from 0 to their upper bounds that cost least while low <= rows x numbers <= high.

    The last `loose` variables may be any number and are not returned. Scale the rows to about 1: the branch and bound
    works to 1e-6. It looks at `most_nodes` branches and no more: a count, not a time, so that every machine finds the same.
    Raises ArithmeticError where no numbers will do.
    """
    import numpy
    from scipy.optimize import Bounds, LinearConstraint, milp

    whole = len(cost) - loose
    solution = milp(
        cost, constraints=LinearConstraint(rows, low, high), bounds=Bounds(0, upper_bounds),
        integrality=numpy.array([1] * whole + [0] * loose), options={"mip_rel_gap": 0.0, "node_limit": most_nodes})  # fmt: skip
    if solution.status == INFEASIBLE:
        raise ArithmeticError(f"no whole numbers found: {solution.message}")
    numbers = None if solution.x is None else tuple(round(number) for number in solution.x[:whole].tolist())
    return WholeNumbers(values=numbers, best=bool(solution.success))
