"""What the book makes of observations, against sums over a grid written here, which know nothing of conjugate priors."""

from __future__ import annotations

import math
import random

import pytest

from jamcalc.lessons.learning import Counted, Posterior, Prior, Seen, Sums, between, constant, faded, posterior, replay, summed

KNOWN = Prior(mean=0.0, spread=0.1, lots=0.05)


def normal(x: float, mean: float, sd: float) -> float:
    return math.exp(-0.5 * ((x - mean) / sd) ** 2) / sd


def below(x: float) -> float:
    return 0.5 * (1.0 + math.erf(x / math.sqrt(2.0)))


def moments(points: list[float], heights: list[float]) -> tuple[float, float]:
    whole = math.fsum(heights)
    mean = math.fsum(x * h for x, h in zip(points, heights, strict=True)) / whole
    return mean, math.sqrt(math.fsum((x - mean) ** 2 * h for x, h in zip(points, heights, strict=True)) / whole)


def grid(middle: float, sd: float, steps: int = 801) -> list[float]:
    return [middle + sd * (8.0 * step / (steps - 1) * 2.0 - 8.0) for step in range(steps)]


def measured(values: list[float], season: int = 2026) -> list[Seen]:
    return [Seen(season=season, low=value, high=value) for value in values]


@pytest.mark.parametrize("values", [[-0.08], [0.02, -0.03, 0.05], [-0.12, -0.05, -0.09, -0.1, -0.02, -0.11, -0.07, -0.08, -0.1, -0.06]])
def test_with_known_lots_it_is_the_sum_over_a_grid(values: list[float]) -> None:
    points = grid(0.0, KNOWN.spread)
    heights = [normal(x, 0.0, KNOWN.spread) * math.prod(normal(y, x, KNOWN.lots) for y in values) for x in points]
    found = posterior(KNOWN, summed(replay(KNOWN, measured(values))))
    assert (found.mean, found.sd) == (
        pytest.approx(moments(points, heights)[0], abs=1e-4),
        pytest.approx(moments(points, heights)[1], rel=1e-3),
    )


@pytest.mark.parametrize("spread", [0.02, 0.05, 0.09])
def test_with_lots_to_learn_it_is_near_the_sum_over_a_grid_of_both(spread: float) -> None:
    """The whole posterior of both, lots as a scaled inverse chi-squared; ours puts the middle of lots in as if known, hence `near`."""
    draw = random.Random(1)
    values = [0.06 + draw.gauss(0.0, spread) for _ in range(12)]
    prior = Prior(mean=0.0, spread=0.1, lots=0.05, least_lots=0.001)
    count = constant("prior_batches")
    points, widths = grid(0.0, prior.spread, 241), [0.005 * 1.03**step for step in range(140)]
    marginal = dict.fromkeys(points, 0.0)
    of_width = []
    for width in widths:
        chance = width ** (-count - 1.0) * math.exp(-count * prior.lots**2 / (2.0 * width**2)) * width  # the grid is of the logarithm
        row = [normal(x, 0.0, prior.spread) * chance * math.prod(normal(y, x, width) for y in values) for x in points]
        of_width.append(math.fsum(row))
        for x, height in zip(points, row, strict=True):
            marginal[x] += height
    mean, sd = moments(points, list(marginal.values()))
    found = posterior(prior, summed(Counted(value=value, weight=1.0) for value in values))
    assert found.mean == pytest.approx(mean, abs=0.15 * sd)
    assert found.sd == pytest.approx(sd, rel=0.15)
    assert found.lots == pytest.approx(moments(widths, of_width)[0], rel=0.15)


def judged(x: float, low: float, high: float, lots: float) -> float:
    slip = constant("slip_fraction")
    return (1.0 - slip) * (below((high - x) / lots) - below((low - x) / lots)) + slip


@pytest.mark.parametrize(("low", "high"), [(-math.inf, -0.1), (-0.14, 0.13), (0.13, math.inf), (0.6, math.inf), (-0.5, -0.4)])
def test_one_word_is_the_sum_over_a_grid(low: float, high: float) -> None:
    known = Posterior(mean=0.02, sd=0.2, lots=0.15)
    points = grid(0.02, 0.2)
    mean, sd = moments(points, [normal(x, 0.02, 0.2) * judged(x, low, high, 0.15) for x in points])
    assert between(known, low, high) == (pytest.approx(mean, abs=1e-4), pytest.approx(sd, rel=1e-3))


def test_ten_words_are_near_the_sum_over_a_grid() -> None:
    draw = random.Random(7)
    prior = Prior(mean=0.0, spread=0.2, lots=0.15)
    bounds = []
    for dose in (0.0, 0.05, 0.1, 0.1, 0.15, 0.1, 0.2, 0.1, 0.15, 0.1):
        x = -0.2 + dose + draw.gauss(0.0, 0.15)
        bounds.append((-math.inf, -0.14 - dose) if x < -0.14 else (0.13 - dose, math.inf) if x > 0.13 else (-0.14 - dose, 0.13 - dose))
    points = grid(0.0, 0.2)
    heights = [normal(x, 0.0, 0.2) * math.prod(judged(x, *each, 0.15) for each in bounds) for x in points]
    mean, sd = moments(points, heights)
    found = posterior(prior, summed(replay(prior, [Seen(season=2026, low=low, high=high) for low, high in bounds])))
    assert found.mean == pytest.approx(mean, abs=0.15 * sd)
    assert found.sd == pytest.approx(sd, rel=0.1)


def test_nothing_seen_is_the_table() -> None:
    assert posterior(KNOWN, Sums()) == Posterior(mean=0.0, sd=0.1, lots=0.05)


def test_one_batch_moves_it_a_little_and_ten_a_lot() -> None:
    prior = Prior(mean=0.0, spread=0.1, lots=0.05, least_lots=0.03)
    means = [posterior(prior, summed(replay(prior, measured([-0.1] * count)))).mean for count in (1, 10)]
    assert -0.09 < means[0] < -0.05
    assert means[1] < -0.095


def test_a_slip_is_named_and_does_not_drag() -> None:
    values = [-0.05, -0.07, -0.06, -0.69, -0.05]  # 6 jars, and once 3 written for 6
    counted = replay(KNOWN, measured(values))
    assert [each.slip for each in counted] == [False, False, False, True, False]
    honest = posterior(KNOWN, summed(replay(KNOWN, measured(values[:3] + values[4:]))))
    assert posterior(KNOWN, summed(counted)) == honest


def test_another_pot_is_no_slip() -> None:
    counted = replay(KNOWN, measured([0.01, -0.02, 0.0, 0.02, -0.01, 0.0, -0.3, -0.28, -0.31, -0.3]))
    assert [each.weight for each in counted] == [0.0] * 6 + [1.0] * 4
    assert [each.change for each in counted].index(True) == 6
    assert posterior(KNOWN, summed(counted)).mean == pytest.approx(-0.28, abs=0.02)


def test_one_slip_after_another_on_either_side_is_no_change() -> None:
    counted = replay(KNOWN, measured([0.0, 0.01, -0.01, 0.7, -0.7, 0.69, 0.0]))
    assert not any(each.change for each in counted)


def test_old_seasons_fade_by_half() -> None:
    one = Sums(batches=1, weight=1.0, total=0.1, squares=0.01)
    years = round(constant("half_life_seasons"))
    assert faded([(2026 - years, one)], 2026).weight == pytest.approx(0.5)
    assert faded([(2026, one), (2030, one)], 2026).weight == pytest.approx(2.0)  # a date in the future is not trusted more


def test_the_spread_of_the_lots_never_falls_under_its_floor() -> None:
    prior = Prior(mean=0.0, spread=0.1, lots=0.05, least_lots=0.03)
    assert posterior(prior, summed(replay(prior, measured([-0.1] * 200)))).lots == pytest.approx(0.03)


def test_a_word_that_contradicts_all_the_others_teaches_next_to_nothing() -> None:
    prior = Prior(mean=0.0, spread=0.2, lots=0.15)
    well = [Seen(season=2026, low=-0.14, high=0.13)] * 12
    with_slip = replay(prior, [*well, Seen(season=2026, low=0.8, high=math.inf)])
    known = [posterior(prior, summed(each)).mean for each in (with_slip, with_slip[:-1])]
    assert known[0] == pytest.approx(known[1], abs=0.02)
