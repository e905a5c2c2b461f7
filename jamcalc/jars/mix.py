"""Which of the jars on hand to fill: the mix with the least left over in the fewest jars, and which jars to have hot.

Whole numbers by scipy's mixed-integer solver; it knows volumes, not jam, and no process times.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from functools import lru_cache

from jamcalc.chemistry.roots import best_whole_numbers

# One jar more must put away at least a tablespoon more: nobody washes four jars to save a teaspoon (judgement).
JAR_IS_WORTH_ML = 15.0
# "Larger first" among mixes that are otherwise alike, as a discount per jar and square liter: far under what can be measured.
LARGER_FIRST_ML = 1.0
# Branches that the search looks at. Three or four kinds of jar need a few; with more than a dozen it might go on for a minute
# over the last drop. 50 of them take a tenth to half a second, and miss the best by 10 mL at worst of 25 large cupboards (computed).
MOST_NODES = 50
MOST_ASKED = 100  # kinds of jar times rounds of cooking: beyond that every round takes the largest jars first (judgement)
_ROUNDING_ML = 0.01  # a jar that is full but for rounding counts as full


@dataclass(frozen=True, kw_only=True)
class Stock:
    """Jars of one kind on hand, and what one takes at the headspace in use."""

    jar: str
    count: int
    fill_ml: float


@dataclass(frozen=True, kw_only=True)
class Mix:
    """How many full jars of each kind, largest first, and what is left over."""

    jars: tuple[tuple[str, int], ...]
    over_ml: float
    best: bool = True  # False: the search was cut short, and another mix may leave a little less

    @property
    def count(self) -> int:
        """All jars together."""
        return sum(count for _, count in self.jars)


@dataclass(frozen=True, kw_only=True)
class JarPlan:
    """What to heat, and what to fill as the batch turns out."""

    heat: tuple[tuple[str, int], ...]  # holds the mix of each yield, and the high end to the last spoon while jars last
    low_mix: Mix
    expected_mix: Mix
    high_mix: Mix
    over_ml: float  # left over at the expected yield: a part jar for the refrigerator, or what finds no jar
    short_ml: float  # at the high end, what finds no jar at all
    expected_rounds: tuple[Mix, ...]  # the expected mix, cooking by cooking
    high_rounds: tuple[Mix, ...]

    @property
    def best(self) -> bool:
        """Whether no other mixes are better."""
        return self.low_mix.best and self.expected_mix.best and self.high_mix.best


def best_mix(volume_ml: float, jars: Sequence[Stock], most_nodes: int = MOST_NODES) -> Mix:
    """The full jars that hold a volume best.

        least of  left over + 15 mL per jar - 1 mL per jar and square liter of its fill

    So the least is left over; of mixes within a tablespoon a jar of that, the one of fewest jars; of those the one with the larger jars.

    Parameters
    ----------
    volume_ml : to fill [mL]
    jars : on hand; several entries of one jar count together
    most_nodes : branches to search before the best mix so far is taken, which is never worse than the largest jars first

    Returns
    -------
    Mix : empty where no jar fills; the order of `jars` makes no difference. `best` says whether the search came to its end

    Range of validity: 0 and above.

    Raises
    ------
    ValueError : a negative volume, or a jar that takes nothing

    References: judgement
    """
    kinds = _merged(jars)
    if volume_ml < 0 or any(kind.fill_ml <= 0 for kind in kinds):
        raise ValueError(f"not to be filled: {volume_ml} mL in {kinds}")
    room = [(kind, min(kind.count, int((volume_ml + _ROUNDING_ML) / kind.fill_ml))) for kind in kinds]
    return _searched(volume_ml, tuple(replace(kind, count=count) for kind, count in room if count), most_nodes)


@lru_cache(maxsize=200)  # while there are jars enough, each round of cooking asks the same as the one before
def _searched(volume_ml: float, kinds: tuple[Stock, ...], most_nodes: int) -> Mix:
    """The best mix of so many of each kind as the volume could fill, largest first."""
    # In liters, and what is left over as a variable of its own: so put, the solver needs a millisecond or two instead of ten.
    volume_l = (volume_ml + _ROUNDING_ML) / 1000
    fills_l = [kind.fill_ml / 1000 for kind in kinds]
    whole_numbers = best_whole_numbers(
        cost=[_cost_ml(kind) / 1000 for kind in kinds] + [1.0],
        rows=[[*fills_l, 1.0]], low=[volume_l], high=[volume_l],
        upper_bounds=[*(float(kind.count) for kind in kinds), volume_l], loose=1, most_nodes=most_nodes)  # fmt: skip
    if whole_numbers.best and whole_numbers.values is not None:
        return _mix(volume_ml, kinds, whole_numbers.values)
    tries = [_largest_first(volume_ml, kinds), *([] if whole_numbers.values is None else [whole_numbers.values])]

    def total_ml(counts: Sequence[int]) -> float:
        return _mix(volume_ml, kinds, counts).over_ml + sum(count * _cost_ml(kind) for count, kind in zip(counts, kinds, strict=True))

    return replace(_mix(volume_ml, kinds, min(tries, key=total_ml)), best=False)


def _cost_ml(kind: Stock) -> float:
    """What filling one jar of a kind costs, as so much left over."""
    return JAR_IS_WORTH_ML - LARGER_FIRST_ML * (kind.fill_ml / 1000) ** 2


def _largest_first(volume_ml: float, kinds: Sequence[Stock]) -> tuple[int, ...]:
    """As many of the largest jars as fill, then of the next: what a cook does who does not sit down to it."""
    counts, left_ml = [], volume_ml + _ROUNDING_ML
    for kind in kinds:
        counts.append(min(kind.count, int(left_ml / kind.fill_ml)))
        left_ml -= counts[-1] * kind.fill_ml
    return tuple(counts)


def plan(
    low_ml: float,
    expected_ml: float,
    high_ml: float,
    jars: Sequence[Stock],
    most_nodes: int = MOST_NODES,
    shares: Sequence[float] = (1.0,),
) -> JarPlan:
    """The best mix at each end and the middle of the yield, and the jars to have hot.

    What is cooked in rounds is filled in rounds: no jar waits half full for the next pot, so each round has its own best mix of the
    jars that are left, and what it leaves over is not counted on for the next.

    Hot are the jars of all three mixes, so that whichever it comes to can be filled, and one more for each round, the smallest that is
    left, where the high end does not quite fit.

    Parameters
    ----------
    low_ml, expected_ml, high_ml : volume to fill [mL]
    jars : on hand; most_nodes : as of `best_mix`
    shares : of the batch in each round of cooking; they sum to 1

    Returns
    -------
    JarPlan

    Range of validity: 0 <= low <= expected <= high. Raises ValueError as `best_mix`.

    References: common practice (one jar more than predicted)
    """
    kinds = _merged(jars)
    most_nodes = -(-most_nodes // len(shares)) if len(kinds) * len(shares) <= MOST_ASKED else 0  # for all rounds together
    rounds = [_in_rounds(volume_ml, kinds, shares, most_nodes) for volume_ml in (low_ml, expected_ml, high_ml)]
    low, expected, high = (_together(mixes) for mixes in rounds)
    hot = Counter(dict(low.jars)) | Counter(dict(expected.jars)) | Counter(dict(high.jars))
    room_ml = sum(hot[kind.jar] * kind.fill_ml for kind in kinds)
    for _ in shares:  # the high mix of a round leaves less than any jar that is still cold, so one is enough for each
        spare = next((kind for kind in reversed(kinds) if hot[kind.jar] < kind.count), None)
        if spare is None or high_ml - room_ml <= _ROUNDING_ML:
            break
        hot[spare.jar] += 1
        room_ml += spare.fill_ml
    return JarPlan(
        heat=tuple((kind.jar, hot[kind.jar]) for kind in kinds if hot[kind.jar]),
        low_mix=low, expected_mix=expected, high_mix=high,
        over_ml=expected.over_ml, short_ml=max(high_ml - room_ml, 0.0), expected_rounds=rounds[1], high_rounds=rounds[2])  # fmt: skip


def _in_rounds(volume_ml: float, kinds: Sequence[Stock], shares: Sequence[float], most_nodes: int) -> tuple[Mix, ...]:
    """The best mix of each round, out of the jars that those before it have left."""
    mixes, left = list[Mix](), list(kinds)
    for share in shares:
        mixes.append(best_mix(volume_ml * share, left, most_nodes))
        filled = dict(mixes[-1].jars)
        left = [replace(kind, count=kind.count - filled.get(kind.jar, 0)) for kind in left]
    return tuple(mixes)


def _together(mixes: Sequence[Mix]) -> Mix:
    """All rounds as one; what is left over is the sum."""
    jars: Counter[str] = Counter()
    for mix in mixes:
        jars.update(dict(mix.jars))
    return Mix(jars=tuple(jars.items()), over_ml=sum(mix.over_ml for mix in mixes), best=all(mix.best for mix in mixes))


def _merged(jars: Iterable[Stock]) -> list[Stock]:
    """One entry for each kind, the largest first."""
    counts: Counter[tuple[float, str]] = Counter()
    for stock in jars:
        counts[-stock.fill_ml, stock.jar] += stock.count
    return [Stock(jar=jar, count=count, fill_ml=-less) for (less, jar), count in sorted(counts.items()) if count > 0]


def _mix(volume_ml: float, kinds: Sequence[Stock], counts: Sequence[int]) -> Mix:
    held_ml = sum(count * kind.fill_ml for kind, count in zip(kinds, counts, strict=True))
    filled = tuple((kind.jar, count) for kind, count in zip(kinds, counts, strict=True) if count)
    return Mix(jars=filled, over_ml=max(volume_ml - held_ml, 0.0))
