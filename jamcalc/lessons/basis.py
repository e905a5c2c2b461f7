"""What the tables alone would have said of a batch that is kept, so that what came of it can be held against them.

Written into the papers of the batch when it is kept, and read from there as carefully as any file.
"""

from __future__ import annotations

import json
import math
from dataclasses import asdict, dataclass
from typing import Any

KEY = "by_tables"  # in what was asked
SHIFT_PH = 0.05  # for the slope of the batch's pH against its fruit's
LEAST_SLOPE = 0.2  # a pot that follows its fruit less says nothing of it


@dataclass(frozen=True, kw_only=True)
class OnlyFruit:
    """The fruit of a batch that has no other: from what was read of the whole to what the fruit was.

    `ph` and `ph_high` are the table's, `batch_ph` and `batch_ph_high` the batch's with them, `slope` how the one follows the other.
    `solids_percent` is what was taken for the fruit, `batch_solids_percent` the batch's with it, `spread_per_fruit` [g/g].
    """

    item: str
    ph: float
    ph_high: float
    batch_ph: float
    batch_ph_high: float
    slope: float
    solids_percent: float
    batch_solids_percent: float
    spread_per_fruit: float


@dataclass(frozen=True, kw_only=True)
class Read:
    """What the cook had read of one fruit: pH, and dissolved solids [g/100 g crushed fruit]."""

    item: str
    ph: float | None
    solids_percent: float | None


@dataclass(frozen=True, kw_only=True)
class Basis:
    """Jars, pectin that a set was to take and pectin measured [g], calcium in reach and calcium that is too much [mg per g of pectin].

    None where the batch has no such thing: pectin written by the cook, or of another kind.
    """

    jars: float
    pectin_needed_g: float | None = None
    pectin_g: float | None = None
    calcium_mg: float | None = None
    calcium_water_mg: float | None = None
    calcium_water_ml: float | None = None
    most_calcium_mg_per_g: float | None = None
    only: OnlyFruit | None = None
    read: tuple[Read, ...] = ()


def as_dict(basis: Basis) -> dict[str, Any]:
    """Plain values, as they stand in the papers."""
    return asdict(basis)


def read(asked: str | None) -> Basis | None:
    """The basis in the papers of a batch; None where there is none, or what stands there cannot be one."""
    try:
        values = json.loads(asked or "{}").get(KEY)
        if not isinstance(values, dict):
            return None
        only, reads = values.pop("only", None), values.pop("read", [])
        basis = Basis(
            **{name: _number(value) for name, value in values.items()},
            only=None if only is None else OnlyFruit(item=str(only.pop("item")), **{name: _number(value) for name, value in only.items()}),
            read=tuple(
                Read(item=str(reading["item"]), ph=_number(reading["ph"]), solids_percent=_number(reading["solids_percent"]))
                for reading in reads
            ),
        )
    except (ValueError, TypeError, AttributeError, KeyError, RecursionError):
        return None
    return basis if basis.jars > 0.0 else None


def _number(value: Any) -> Any:
    if value is None:
        return None
    if isinstance(value, bool) or not isinstance(value, int | float) or not math.isfinite(value):
        raise ValueError("no number")
    return float(value)
