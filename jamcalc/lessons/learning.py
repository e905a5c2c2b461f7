"""What observations make of a figure that was known as a range: plain floats in, plain floats out.

A kitchen's own value lies about the table's (`spread`), and each batch lies about the kitchen's own (`lots`). With a normal distribution
for both, what is known after some batches is normal again, and needs their number, sum and sum of squares alone: Gelman and others,
Bayesian Data Analysis, 3rd ed. 2013, chapters 2 (known spread) and 3 (the spread as a scaled inverse chi-squared; its middle is taken).
Factors are observed as logarithms. Knows no fruit, no pot and no book.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from functools import cache

from jamcalc.facts import figure, table

_SQRT_2 = math.sqrt(2.0)
_SQRT_2PI = math.sqrt(2.0 * math.pi)


@cache
def constant(name: str) -> float:
    """A figure of data/learning.toml."""
    return figure(table("learning")[name]).typical


@dataclass(frozen=True, kw_only=True)
class Prior:
    """What is known before the first batch: where a kitchen's own value lies (mean, `spread`), and how its batches differ (`lots`).

    All in the unit of the figure, as one standard deviation. `least_lots` is the least that is believed of her batches; None: `lots` is
    held as it is, for words such as "runny" say too little to learn it.
    """

    mean: float
    spread: float
    lots: float
    least_lots: float | None = None


@dataclass(frozen=True, kw_only=True)
class Sums:
    """Observations added up: how many batches, what they weigh together, their weighted sum and sum of squares."""

    batches: float = 0.0
    weight: float = 0.0
    total: float = 0.0
    squares: float = 0.0

    def plus(self, other: Sums) -> Sums:
        """These and the others."""
        return Sums(
            batches=self.batches + other.batches,
            weight=self.weight + other.weight,
            total=self.total + other.total,
            squares=self.squares + other.squares,
        )


@dataclass(frozen=True, kw_only=True)
class Posterior:
    """What is known now: the kitchen's own value (`mean`, `sd`) and how its batches differ (`lots`)."""

    mean: float
    sd: float
    lots: float

    @property
    def next_sd(self) -> float:
        """How far the next batch may lie from the mean: one standard deviation."""
        return math.hypot(self.sd, self.lots)


@dataclass(frozen=True, kw_only=True)
class Seen:
    """One batch's observation: a value between `low` and `high`, which are the same where it was measured.

    A set that was judged "well" lies between two bounds, one "runny" below the lower: the other end is then infinite. `weight` is 1 where
    the value is as good as its lots let it be, less where it was inferred from something else.
    """

    season: int
    low: float
    high: float
    weight: float = 1.0

    @property
    def measured(self) -> bool:
        return self.low == self.high


@dataclass(frozen=True, kw_only=True)
class Counted:
    """What became of an observation: the value and the weight it counts with; 0: set aside as a slip, or from before a change."""

    value: float
    weight: float
    slip: bool = False
    change: bool = False  # from this batch on the kitchen is another


def faded(seasons: Iterable[tuple[int, Sums]], now: int) -> Sums:
    """Sums of several seasons as one, older ones for less: half after `half_life_seasons` years. Those after `now` count in full."""
    batches = weight = total = squares = 0.0
    half_life = constant("half_life_seasons")
    for season, sums in seasons:
        times = 0.5 ** (max(0, now - season) / half_life)
        batches += sums.batches
        weight += times * sums.weight
        total += times * sums.total
        squares += times * sums.squares
    return Sums(batches=batches, weight=weight, total=total, squares=squares)


def posterior(prior: Prior, sums: Sums) -> Posterior:
    """What is known after the observations that were summed up.

        lots^2 = (n0 lots0^2 + sum w (y - mean y)^2) / (n0 + sum w - 1), not under its floor
        1 / sd^2 = 1 / spread^2 + sum w / lots^2
        mean = sd^2 (mean0 / spread^2 + sum w y / lots^2)

    Parameters
    ----------
    prior : from the tables, in the unit of the figure; sums : weighted observations in the same unit

    Standard results: Bayesian Data Analysis, 3rd ed. 2013, chapters 2 and 3; the spread of the lots is put in as if it were known.
    """
    if sums.weight <= 0.0:
        return Posterior(mean=prior.mean, sd=prior.spread, lots=prior.lots)
    lots = prior.lots
    if prior.least_lots is not None:
        apart = max(0.0, sums.squares - sums.total**2 / sums.weight)
        counts = constant("prior_batches")
        lots = math.sqrt((counts * prior.lots**2 + apart) / (counts + max(0.0, sums.weight - 1.0)))
        lots = max(lots, prior.least_lots)
    before, seen = 1.0 / prior.spread**2, 1.0 / lots**2
    precision = before + seen * sums.weight
    return Posterior(mean=(before * prior.mean + seen * sums.total) / precision, sd=math.sqrt(1.0 / precision), lots=lots)


def _density(x: float) -> float:
    return math.exp(-0.5 * x * x) / _SQRT_2PI if math.isfinite(x) else 0.0


def _below(x: float) -> float:
    return 0.5 * math.erfc(-x / _SQRT_2)


def between(known: Posterior, low: float, high: float) -> tuple[float, float]:
    """Mean and standard deviation of the kitchen's own value once one batch is seen to lie between two bounds.

        a batch is normal about the kitchen's own, and cut at the bounds; of what that tells, sd^2 / (sd^2 + lots^2) is the kitchen's

    With a small chance (`slip_fraction`) the word says nothing at all, and then the kitchen's value is as it was. Exact for one batch.
    Standard results: moments of the truncated normal distribution; of a mixture.
    """
    variance = known.sd**2
    width = math.hypot(known.sd, known.lots)
    a, b = (low - known.mean) / width, (high - known.mean) / width
    chance = _below(b) - _below(a) if a < 0.0 else _below(-a) - _below(-b)
    slip = constant("slip_fraction")
    real = (1.0 - slip) * chance / ((1.0 - slip) * chance + slip)
    if chance < 1e-12:
        return known.mean, known.sd
    first = (_density(a) - _density(b)) / chance
    at_a, at_b = (x * _density(x) if math.isfinite(x) else 0.0 for x in (a, b))
    second = (at_a - at_b) / chance
    share = variance / width**2
    mean = known.mean + share * width * first
    inside = variance * (1.0 - share) + share**2 * width**2 * max(0.0, 1.0 + second - first**2)
    mixed = real * mean + (1.0 - real) * known.mean
    spread = real * (inside + mean**2) + (1.0 - real) * (variance + known.mean**2) - mixed**2
    return mixed, math.sqrt(max(spread, 1e-12))


def _as_value(known: Posterior, seen: Seen) -> tuple[float, float]:
    """An observation between bounds as the value and weight that would teach the same."""
    mean, sd = between(known, seen.low, seen.high)
    gained = 1.0 / sd**2 - 1.0 / known.sd**2
    if gained <= 1e-3 / known.lots**2:
        return mean, 0.0
    value = (mean / sd**2 - known.mean / known.sd**2) / gained
    return value, seen.weight * gained * known.lots**2


def replay(prior: Prior, observations: Sequence[Seen]) -> tuple[Counted, ...]:
    """What each observation counts for, in the order in which the batches were made.

    A value too far from what was expected is a slip (a jar miscounted, a point in the wrong place) and is set aside; but several in a row
    on one side are no slips: something has changed, and what was before counts no more.
    """
    counted: list[Counted] = []
    seasons: dict[int, Sums] = {}
    before: list[Posterior] = []  # what was known ahead of each observation since the last change
    since = 0
    for place, seen in enumerate(observations):
        known = posterior(prior, faded(seasons.items(), seen.season))
        before.append(known)
        if not seen.measured:
            value, weight = _as_value(known, seen)
            counted.append(Counted(value=value, weight=weight))
        else:
            far = abs(seen.low - known.mean) > constant("set_aside_sd") * math.hypot(known.sd, known.lots / math.sqrt(seen.weight))
            counted.append(Counted(value=seen.low, weight=0.0 if far else seen.weight, slip=far))
            run = round(constant("change_batches"))
            first = place - run + 1
            if first >= since and _is_change(before[first - since], observations[first : place + 1]):
                counted[since:first] = [replace(observation, weight=0.0) for observation in counted[since:first]]
                counted[first:] = [
                    Counted(value=observation.low, weight=observation.weight, change=not at)
                    for at, observation in enumerate(observations[first : place + 1])
                ]
                since, before, seasons = first, [], {}
                for observation, what in zip(observations[first : place + 1], counted[first:], strict=True):
                    before.append(posterior(prior, faded(seasons.items(), observation.season)))
                    _add(seasons, observation.season, what)
                continue
        _add(seasons, seen.season, counted[-1])
    return tuple(counted)


def _is_change(known: Posterior, run: Sequence[Seen]) -> bool:
    """Whether a run of batches lies to one side of what was known, further than slips and lots would put it."""
    off = sorted((observation.low - known.mean) for observation in run)
    if off[0] < 0.0 < off[-1] or min(abs(off[0]), abs(off[-1])) < constant("change_each_sd") * known.next_sd:
        return False
    return abs(off[len(off) // 2]) > constant("change_middle_sd") * math.hypot(known.sd, known.lots / math.sqrt(len(run)))


def _add(seasons: dict[int, Sums], season: int, what: Counted) -> None:
    if what.weight > 0.0:
        moment = what.weight * what.value
        one = Sums(batches=1, weight=what.weight, total=moment, squares=moment * what.value)
        seasons[season] = seasons[season].plus(one) if season in seasons else one


def summed(counted: Iterable[Counted]) -> Sums:
    """Observations added up; a slip, and what was before a change, adds nothing."""
    kept = [observation for observation in counted if observation.weight > 0.0]
    return Sums(
        batches=len(kept),
        weight=math.fsum(observation.weight for observation in kept),
        total=math.fsum(observation.weight * observation.value for observation in kept),
        squares=math.fsum(observation.weight * observation.value**2 for observation in kept),
    )
