"""One of several equal potfuls: the jars that it fills and has hot, in the order of work too.

Divides an answer, works nothing out anew.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from jamcalc.answers import order_of_work
from jamcalc.nouns.outcome import BatchResult, JarsOf


def of_the_potful(result: BatchResult, number: int, potfuls: int) -> BatchResult:
    """The answer with the jars of potful `number` of `potfuls` alone: together the potfuls have as many hot as the batch.

    The first ones have the odd jars; a jar that one leaves empty serves the next.
    """
    if potfuls == 1:
        return result
    jars, own = result.yield_.jars, result.kitchen
    share = replace(
        jars,
        low=jars.low / potfuls,
        expected=jars.expected / potfuls,
        high=jars.high / potfuls,
        heat=_part(jars.heat, number, potfuls),
    )
    kitchen = own and replace(own, heat=_parts(own.heat, number, potfuls), fill_expected=_parts(own.fill_expected, number, potfuls))
    potful = replace(result, yield_=replace(result.yield_, jars=share), kitchen=kitchen)
    return replace(potful, tasks=order_of_work.with_jars(result.tasks, to_heat(potful)))


def to_heat(result: BatchResult) -> tuple[JarsOf, ...]:
    """The jars to have hot: this kitchen's own, or those that the answer counts in."""
    if result.kitchen is not None and result.kitchen.heat:
        return result.kitchen.heat
    jars = result.yield_
    return (JarsOf(jar=result.batch.settings.jar, name=jars.jar, count=jars.jars.heat),)


def _part(count: int, number: int, potfuls: int) -> int:
    return count // potfuls + (number <= count % potfuls)


def _parts(jars: Sequence[JarsOf], number: int, potfuls: int) -> tuple[JarsOf, ...]:
    parts = (replace(kind, count=_part(kind.count, number, potfuls)) for kind in jars)
    return tuple(kind for kind in parts if kind.count)
