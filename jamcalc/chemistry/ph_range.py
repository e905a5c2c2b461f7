"""How wide the pH of a batch may lie: every fruit drawn many times from its ranges, all draws solved at once.

Shown beside the answer; it decides nothing.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass
from functools import lru_cache
from typing import Any

from jamcalc import facts
from jamcalc.chemistry.acidity import AcidPool, drawn_ph, pooled
from jamcalc.nouns.known import Estimate

PH_TO_TITRATABLE_CORRELATION = facts.limit("ph_to_titratable_correlation").typical
LOW_PERCENTILE = 5.0
SEED = 20230914  # any fixed number: the same question gives the same answer
JUICE = "juice"


def drawn(name: str, draws: int, ph: Estimate, titratable: Estimate, kilogram: Callable[[Any, Any], AcidPool]) -> AcidPool:
    """One kilogram of a fruit, drawn: pH and titratable acidity from triangles over their ranges, tied together."""
    first, second = _ranks(name, draws)
    return kilogram(_triangular(ph, first), _triangular(titratable, second))


@dataclass(frozen=True, kw_only=True)
class Draw:
    """All fruits of a batch, drawn; `juice` is the range of the lemon juice's strength."""

    draws: int
    fruits: AcidPool
    juice: Estimate

    def low_ph(self, rest: AcidPool, lemon: AcidPool | None, typical_ph: float) -> float:
        """The low end of the drawn pH about a typical one, with the rest of the pot and the lemon juice (at typical strength) poured in."""
        import numpy

        pools = [self.fruits, rest]
        if lemon is not None:
            pools.append(lemon.times(_triangular(self.juice, _ranks(JUICE, self.draws)[0]) / self.juice.typical))
        drawn = drawn_ph(pooled(pools), typical_ph)
        finite_ph = drawn[numpy.isfinite(drawn)]
        return float(numpy.percentile(finite_ph, LOW_PERCENTILE)) if finite_ph.size else typical_ph


@lru_cache(maxsize=64)
def _ranks(name: str, draws: int) -> tuple[Any, Any]:
    """Two columns of evenly spaced ranks in (0, 1) in random order, correlated as pH and acidity are."""
    import numpy

    random = numpy.random.default_rng([SEED, *name.encode()])
    first, second = random.standard_normal((2, draws))
    tied = PH_TO_TITRATABLE_CORRELATION
    second = tied * first + math.sqrt(1.0 - tied * tied) * second
    first_rank, second_rank = ((column.argsort().argsort() + 0.5) / draws for column in (first, second))
    return first_rank, second_rank


def _triangular(span: Estimate, rank: Any) -> Any:
    """The values at these ranks of a triangular distribution over a range."""
    import numpy

    width, rise, fall = span.high - span.low, span.typical - span.low, span.high - span.typical
    if width <= 0.0:
        return numpy.full_like(rank, span.typical)
    return numpy.where(rank < rise / width, span.low + numpy.sqrt(rank * width * rise), span.high - numpy.sqrt((1.0 - rank) * width * fall))
