"""What a kitchen adds to a batch: its own settings where none are given, and afterwards jars, canner, pots and the shopping.

Small, since every batch asks it; what it calls is imported only where there is something to fit.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any

from jamcalc.kitchen.household import Kitchen
from jamcalc.nouns.outcome import BatchResult
from jamcalc.nouns.said import Finding
from jamcalc.reading.lines import read_item
from jamcalc.reading.readings import jars_wanted, of_its_kind
from jamcalc.words.phrases import altitude, joined

USUAL_JAR = "half-pint"


@dataclass(frozen=True, kw_only=True)
class Home:
    """The options of a batch with the kitchen's own filled in, the jars on hand, and what to say of where they came from."""

    kitchen: Kitchen
    options: Mapping[str, Any]
    jars: tuple[tuple[str, int], ...]
    findings: tuple[Finding, ...]


def home(kitchen: Kitchen | None, options: Mapping[str, Any], on_hand: str | Sequence[str] | None, jar: str | None = None) -> Home:
    """Options beat the kitchen file, the file beats the defaults.

    Parameters
    ----------
    kitchen : None: there is no file
    options : of a batch, None where not given
    on_hand : "11 half-pints", several of these, or None; beats the jars of the file
    jar : key of the jar that was asked for, with --jar or --want; of the file's jars only those count then

    Raises
    ------
    InputError : jars that cannot be read
    """
    kitchen = kitchen or Kitchen()
    file = {
        "altitude": kitchen.altitude_ft,
        "units": kitchen.units,
        "pectin_spoon": kitchen.pectin_g_per_tsp,
        "calcium_spoon": kitchen.calcium_water_mg_per_tsp,
    }
    taken = {name: value for name, value in file.items() if value is not None and options.get(name) is None}
    jars = kitchen.jars_on_hand if jar is None else tuple(held for held in kitchen.jars_on_hand if held[0] == jar)
    own_jars, options = bool(jars) and not on_hand, {**options, **taken}
    if on_hand:
        from jamcalc.kitchen import plan

        jars = plan.read_jars([on_hand] if isinstance(on_hand, str) else on_hand)
    return Home(
        kitchen=kitchen, options=options, jars=jars, findings=_from_file(kitchen, taken, options.get("units") or "us", own_jars=own_jars)
    )


def _from_file(kitchen: Kitchen, taken: Mapping[str, Any], units: str, *, own_jars: bool) -> tuple[Finding, ...]:
    """Which settings came from the file, where they bear on the answer."""
    words = []
    if "altitude" in taken:
        words.append(f"altitude {altitude(taken['altitude'], units)}")
    if "pectin_spoon" in taken:
        words.append(f"{taken['pectin_spoon']:g} g of pectin to the teaspoon")
    if "calcium_spoon" in taken:
        words.append(f"{taken['calcium_spoon']:g} mg of calcium to the teaspoon of calcium water")
    things = {"jars": own_jars, "pots": kitchen.pots, "canner": kitchen.canner_holds}
    if any(things.values()):
        words.append("your " + joined([name for name, told in things.items() if told]))
    return (Finding(id="from-kitchen-file", kind="asked", text=f"From your kitchen file: {joined(words)}."),) if words else ()


def own_jar(own: Home) -> str | None:
    """The jar to count in, where none is named: the one of which there are most; None: nothing is known of jars."""
    if not own.jars:
        return None
    from jamcalc.kitchen import plan

    return plan.usual_jar(own.jars)


def fitted(result: BatchResult, own: Home, *, fruit_on_hand: bool, tables: Callable[[], BatchResult] | None = None) -> BatchResult:
    """The answer with the kitchen's plan and what to buy, where there is anything to go by; else as it was.

    `tables` gives the answer without the batch book, where there is one: the minutes of the jars that it has hot are the least.
    """
    kitchen = own.kitchen
    to_fit = bool(own.jars or kitchen.pots or kitchen.canner_holds)
    stores = (
        kitchen.lids,
        kitchen.lemon_juice_ml,
        kitchen.pectin_g,
        kitchen.calcium_powder_g,
        kitchen.sweeteners_g or None,
        kitchen.packages or None,
    )
    if not to_fit and fruit_on_hand and not kitchen.sweeteners_g and not kitchen.packages and all(store is None for store in stores):
        return result
    from jamcalc.kitchen import plan, shopping

    if to_fit:
        least = None if tables is None or not own.jars else plan.fit(tables(), own.jars, kitchen).process
        result = plan.fit(result, own.jars, kitchen, least)
    return replace(result, to_buy=shopping.to_buy(result, kitchen, own.jars, fruit_on_hand=fruit_on_hand))


def jar_in_use(jar: str | None, want: str | None, kitchen: Kitchen | None) -> str:
    """The key of the jar that "6 jars" are of: as named, as wanted, the one that the kitchen has most of, or a half-pint."""
    if jar is None and want is not None and of_its_kind(want, USUAL_JAR) == want:
        return jars_wanted(want)[1]
    if jar is not None:
        return read_item(jar, ("jar",)).key
    if kitchen is not None and kitchen.jars_on_hand:
        from jamcalc.kitchen import plan

        return plan.usual_jar(kitchen.jars_on_hand) or USUAL_JAR
    return USUAL_JAR
