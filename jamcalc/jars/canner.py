"""Canner loads and pots: which jars go in together and for how long, and in how many pots a batch is cooked.

It chooses no jars (mix) and finds no minutes (process): both are handed in. The pot rule is here and nowhere else.
"""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from jamcalc.errors import NotPossible
from jamcalc.facts import figure, jar, table
from jamcalc.nouns.known import Jar
from jamcalc.nouns.said import Finding
from jamcalc.words.measures import CUP_ML, fraction, jam_text, measured
from jamcalc.words.phrases import grouped, jar_words

QUART_ML = 4 * CUP_ML
_ROUNDING = 1e-6
WATER_OVER_JARS = {"us": "an inch", "metric": "25 mm"}  # USDA-GUIDE1: 1 in


@dataclass(frozen=True, kw_only=True)
class Load:
    """Jars that are processed together."""

    jars: tuple[tuple[str, int], ...]  # jar key, how many
    minutes: int


@dataclass(frozen=True, kw_only=True)
class PotPlan:
    """Equal potfuls of a batch, and how many of the kitchen's pots can hold one."""

    potfuls: int
    mashed_cups_each: float
    pots_that_hold_one: int | None  # None: no pot is known
    findings: tuple[Finding, ...] = ()


def capacity(holds: Sequence[tuple[str, int]] = ()) -> dict[str, int]:
    """How many jars of each size class one load takes, from what a kitchen says of its canner.

    A smaller jar fits where a larger one does, so "7 quarts" or "7 jars" are at least 7 of each.

    Parameters
    ----------
    holds : (jar key, or "jar" for any; how many); nothing: the usual canner

    Returns
    -------
    {"half-pint": jars, "pint": jars}

    References: USDA-GUIDE1, CANNER-RACK
    """
    usual = {size: int(figure(table("kitchen")["canner"][size]).typical) for size in ("half-pint", "pint")}
    if not holds:
        return usual
    said: dict[str, int] = {}
    for key, count in holds:
        size = "any" if key == "jar" else jar(key).size_class
        said[size] = max(said.get(size, 0), count)
    larger = max(said.get("any", 0), said.get("too large", 0))
    pints = max(said.get("pint", 0), larger)
    half_pints = max(said.get("half-pint", 0), pints)
    return {"half-pint": half_pints, "pint": pints or min(usual["pint"], half_pints)}


def loads(jars: Sequence[tuple[Jar, int]], minutes: Mapping[str, int], holds: Mapping[str, int]) -> tuple[Load, ...]:
    """The jars of a batch in canner loads; each takes the time of its largest jar.

    The fewest loads; pints and half-pints apart, but for half-pints that ride with the last pints where that saves a load.

    Parameters
    ----------
    jars : how many full jars of each kind
    minutes : process time by size class at the kitchen's altitude [min]
    holds : jars of each size class in one load, from `capacity`

    Returns
    -------
    tuple : the loads of pints first

    Raises
    ------
    NotPossible : a jar of a size class without a time

    References: USDA-GUIDE1
    """
    singly = sorted((kind for kind, count in jars for _ in range(count)), key=lambda kind: (-kind.fill_ml.typical, kind.key))
    for kind in singly:
        if kind.size_class not in minutes:
            raise NotPossible(f"a {kind.name} has no published process time for jam: use pints or smaller, or keep this batch cold")
    pints = [kind for kind in singly if kind.size_class == "pint"]
    small = [kind for kind in singly if kind.size_class == "half-pint"]
    free = -len(pints) % holds["pint"]  # places for pints in their last load, of which half-pints get their share
    beside = min(free * holds["half-pint"] // holds["pint"], len(small))
    riding = len(small) % holds["half-pint"] or holds["half-pint"]  # what the last load of half-pints would hold
    if not small or riding > beside:
        riding = 0
    grouped = _chunks(pints, holds["pint"])
    if riding:
        grouped[-1] += small[len(small) - riding :]
    grouped += _chunks(small[: len(small) - riding], holds["half-pint"])
    return tuple(
        Load(jars=tuple(Counter(kind.key for kind in group).items()), minutes=max(minutes[kind.size_class] for kind in group))
        for group in grouped
    )


def _chunks(jars: Sequence[Jar], size: int) -> list[list[Jar]]:
    return [list(jars[start : start + size]) for start in range(0, len(jars), size)]


def load_findings(planned: Sequence[Load], units: str) -> tuple[Finding, ...]:
    """What to know where the jars do not go into the canner together."""
    if len(planned) < 2:
        return ()
    minutes = " + ".join(str(load.minutes) for load in planned)
    text = (
        f"{len(planned)} canner loads, {minutes} min besides heating up: fill the jars of one load only when it can go in, and keep the "
        "rest of the jam hot under a lid; filled jars should not wait."
    )
    if any(all(jar(key).size_class == "half-pint" for key, _ in load.jars) for load in planned):
        text += (
            f" A canner deep enough takes a second layer of half-pints on its own rack, with {WATER_OVER_JARS[units]} of water over the "
            "top lids."
        )
    return (Finding(id="canner-loads", kind="do", text=text, sources=("USDA-GUIDE1", "LM-PACKER-QUESTIONS")),)


def several_loads(jar_key: str, jars: int) -> tuple[Finding, ...]:
    """What to know where jars of one kind [full jars] are more than the usual canner takes at once."""
    kind = jar(jar_key)
    load = capacity()[kind.size_class]
    if jars <= load:
        return ()
    text = f"{jar_words(kind.name, jars)} are {math.ceil(jars / load)} canner loads of up to {load}: cook each pot when its load can go in."
    return (Finding(id="canner-loads", kind="do", text=text, sources=("USDA-GUIDE1",)),)


def packet_pots(batches: int) -> tuple[Finding, ...]:
    """What to know where packet pectin makes several batches, which set by one packet each."""
    if batches < 2:
        return ()
    text = f"Cook {batches} equal batches, each in a pot of its own: a double batch with packet pectin often stays soft."
    return (Finding(id="pots", kind="do", text=text),)


def pots_needed(
    mashed_cups: float, volume_ml: float = 0.0, pot_quarts: Sequence[float] = (), *, calcium_set: bool, units: str = "us"
) -> PotPlan:
    """In how many equal potfuls a batch is cooked, so that each comes back to the boil and none boils over.

        up to 12 cups of mashed fruit in one pot (from 8 on with a warning), above that parts of up to 8;
        a potful is at most 1/2 of the pot with calcium-set pectin, 1/4 with any other or none

    Parameters
    ----------
    mashed_cups : fruit of the batch, as if all of it were mashed [US cups]
    volume_ml : all that goes into the pot [mL]; asked only where the pots are known
    pot_quarts : what each pot of the kitchen holds to the brim [US quarts]; nothing: only the cups count
    calcium_set : the kind of pectin
    units : what the findings count in: "us" or "metric"

    Returns
    -------
    PotPlan : worked out on the largest pot, with what there is to say of it

    Range of validity: above 0.

    References: LM-PACKER-QUESTIONS, POT-ROOM
    """
    rule = {name: figure(raw).typical for name, raw in table("kitchen")["pot"].items()}
    easy_cups, most_cups = rule["easy_cups"], rule["most_cups"]
    times = rule["least_times" if calcium_set else "foam_times"]
    by_cups = 1 if mashed_cups <= most_cups + _ROUNDING else math.ceil(mashed_cups / easy_cups - _ROUNDING)
    largest_ml = max(pot_quarts, default=0.0) * QUART_ML
    by_pot = math.ceil(volume_ml * times / largest_ml - _ROUNDING) if pot_quarts else 1
    potfuls = max(by_cups, by_pot)
    each_cups, each_ml = mashed_cups / potfuls, volume_ml / potfuls
    mashed = grouped(measured(each_cups * CUP_ML, units).text)
    findings = []
    if potfuls > 1:
        why = (
            f": a pot of {_pot_text(largest_ml, units)} takes about {_deep_text(largest_ml / times, units)} of jam at a full boil"
            if by_pot >= by_cups
            else ", or it may not set"  # a large pot is slow to come back to the boil once the pectin is in
        )
        text = f"Cook it as {potfuls} equal potfuls of {mashed} mashed fruit{why}."
        findings.append(Finding(id="pots", kind="do", text=text, sources=("POT-ROOM",) if by_pot >= by_cups else ("LM-PACKER-QUESTIONS",)))
    if each_cups > easy_cups + _ROUNDING:
        text = f"{mashed} of mashed fruit is a lot for one pot: use a wide one, or two."
        findings.append(Finding(id="large-pot", kind="do", text=text, sources=("LM-PACKER-QUESTIONS",)))
    if calcium_set and pot_quarts and each_ml * rule["easy_times"] > largest_ml * (1 + _ROUNDING):
        text = f"The pot is more than a third full at {_deep_text(each_ml, units)}: stir all the time, and mind that it can boil over."
        findings.append(Finding(id="full-pot", kind="do", text=text, sources=("POT-ROOM",)))
    holding = sum(quarts * QUART_ML * (1 + _ROUNDING) >= each_ml * times for quarts in pot_quarts) if pot_quarts else None
    return PotPlan(potfuls=potfuls, mashed_cups_each=each_cups, pots_that_hold_one=holding, findings=tuple(findings))


def _pot_text(ml: float, units: str) -> str:
    """What a pot holds to the brim: "8 quarts", "7.5 L"."""
    return f"{ml / 1000:.3g} L" if units == "metric" else f"{ml / QUART_ML:.3g} {_quarts(ml)}"


def _deep_text(ml: float, units: str) -> str:
    """How much jam stands in a pot: "2 1/4 quarts", "2.1 L"."""
    return jam_text(ml, units) if units == "metric" else f"{fraction(ml / QUART_ML, 4)} {_quarts(ml)}"


def _quarts(ml: float) -> str:
    return "quart" if round(4 * ml / QUART_ML) <= 4 else "quarts"
