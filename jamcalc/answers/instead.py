"""A batch that is cold for another reason than its acidity: what acid was left out of it, and the very command to run instead.

Mends the batch by what bars it (jar, fruit, sweetener, boil), solves that, and spells it as a command line; where nothing mends it,
the command that asks for the cold.
"""

from __future__ import annotations

import re
import shlex
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any

from jamcalc import facts
from jamcalc.answers import measuring
from jamcalc.formula import swapping
from jamcalc.formula.solver import Solved, solve
from jamcalc.nouns.asked import Batch, Settings
from jamcalc.nouns.outcome import BatchResult
from jamcalc.nouns.said import Finding
from jamcalc.reading.readings import read_reading
from jamcalc.words.phrases import joined

SHELF_JAR = "pint"  # the largest that has a time
FIRST = (  # the order in which options are spelled; any other follows
    "sweetener", "set", "jar", "want", "parts", "on_hand", "altitude", "store", "boil", "simmer", "headspace", "sweetness", "acid",
    "reading", "pectin_spoon", "calcium_spoon", "title", "units",
)  # fmt: skip
PYTHON_ALONE = ("draws",)  # no option of the command line
UNIT = {"altitude": " ft", "headspace": " mm"}  # of a bare number, from Python
# What leaves the acid out before anything is dosed: how it may be mended, and where None stands, that it cannot.
MENDS: dict[str, str | None] = {
    "jar-too-large": "in pints",
    "jar-closure": "in canning jars",
    "do-not-can": "without the {fruits}",
    "tested-only": "without the {fruits}",
    "heat-shy-sweetener": "without the {sweeteners}",
    "not-hot-packed": "cooked",
    **dict.fromkeys(("altitude", "thinned", "reading-odd", "unfit-extra", "no-printed-time")),
}
_JAR_BARS = frozenset({"jar-too-large", "jar-closure"})
_BARE = re.compile(r"[A-Za-z0-9_.:/=+,-]+")
_UNSAFE_IN_QUOTES = re.compile(r"[\"$`\\!]")


@dataclass(frozen=True, kw_only=True)
class Said:
    """The command as it was given: lines or names, and the options of the line alone, None where not given."""

    words: Sequence[str]
    options: Mapping[str, Any]


def finding(batch: Batch, result: BatchResult, said: Said) -> tuple[Finding, ...]:
    """What the shelf would take and how to ask for it; nothing where the batch is for the shelf, or where only a meter is missing.

    Parameters
    ----------
    batch : as it was put together; result : its answer; said : the command that asked for it

    Returns
    -------
    one finding, `acid-left-out` where the batch holds less acid than the shelf asks for, else `run-instead`; or none
    """
    if result.storage != "cold":
        return ()
    bars = [finding.id for finding in result.findings if finding.id in MENDS]
    asked_cold = batch.settings.store == "cold"
    if not (bars or asked_cold):
        return () if not _over_the_wall(result) else (_cold(said),)
    mended = _mended(batch, bars) if all(MENDS[bar] for bar in bars) else None
    then = None if mended is None else solve(replace(mended, settings=replace(mended.settings, draws=0)))
    if mended is None or then is None or not (then.verdict.storage == "shelf" or measuring.may_be_mended(then)):
        return () if asked_cold else (_cold(said),)
    return (_shelf(batch, result, mended, then, bars, said),)


def _shelf_jar(batch: Batch) -> str:
    """The canning jar in the place of one that is too large, or has another lid."""
    size = facts.jar(batch.settings.jar).size_class
    return "half-pint" if size == "half-pint" else SHELF_JAR


def _over_the_wall(result: BatchResult) -> bool:
    return any(finding.kind == "too mild" for finding in result.findings) and result.batch.settings.batch_ph is None


def _mended(batch: Batch, bars: Sequence[str]) -> Batch | None:
    """The batch without what bars it; None where no fruit is left."""
    settings = replace(batch.settings, store=None)
    if _JAR_BARS.intersection(bars):
        settings = replace(settings, jar=_shelf_jar(batch))
    if "not-hot-packed" in bars:
        settings = replace(settings, boil_min=Settings().boil_min)
    fruits = tuple(part for part in batch.fruits if part.fruit.fit.fitness == "fit")
    if not fruits:
        return None
    kept = {part.fruit.key for part in fruits}
    sweeteners = tuple(part for part in batch.sweeteners if part.sweetener.stands_process)
    sweet = {part.sweetener.key for part in sweeteners}
    left = tuple(
        line for line in batch.lines if (line.role != "fruit" or line.item in kept) and (line.role != "sweetener" or line.item in sweet)
    )
    if left != batch.lines:
        settings = replace(settings, batch_ph=None)  # of another pot
    return replace(batch, settings=settings, fruits=fruits, sweeteners=sweeteners, lines=left)


def _shelf(batch: Batch, result: BatchResult, mended: Batch, then: Solved, bars: Sequence[str], said: Said) -> Finding:
    changes: dict[str, Any] = {"store": "shelf" if said.options.get("store") == "shelf" else None}
    if _JAR_BARS.intersection(bars):
        changes |= {"jar": _shelf_jar(batch), "want": None, "parts": None}
    if "not-hot-packed" in bars:
        changes["boil"] = None
    if any(part.grams is None and not part.sweetener.stands_process for part in batch.sweeteners):
        changes["sweetener"] = None
    other_lines = mended.lines != batch.lines
    if other_lines:
        changes["reading"] = _readings_left(mended, said.options.get("reading"))
    as_lines = other_lines or said.options.get("want") is not None
    command = spelled([line.text for line in mended.lines] if as_lines else said.words, {**said.options, **changes})
    fruits = joined(list(dict.fromkeys(part.plural for part in batch.fruits if part.fruit.fit.fitness != "fit")))
    sweet = joined([part.sweetener.name for part in batch.sweeteners if not part.sweetener.stands_process])
    ways = joined(list(dict.fromkeys(way.format(fruits=fruits, sweeteners=sweet) for bar in bars if (way := MENDS[bar]))))
    how, comma = (f", {ways}", ",") if ways else ("", "")
    change = ": change that here." if ways else ': change "keep".'
    if then.verdict.storage != "shelf":
        return _to_run("run-instead", f"For the shelf{how}{comma} once a meter shows that it is sour enough", command, change)
    if then.acid is None and then.pot.doses.lemon_g <= result.lemon_juice.grams + swapping.LITTLE_ACID_G:
        text, at_prompt = f"For the shelf{how}{comma} run: {command}", f"For the shelf{how}{change}"
        return Finding(id="run-instead", kind="instead", text=text, at_prompt=at_prompt)
    text = f"The acid for the shelf is left out, for this is for the cold. For the shelf{how}{comma} it takes {_dose(then)}"
    return _to_run("acid-left-out", text, command, change)


def _to_run(id: str, text: str, command: str, change: str) -> Finding:
    """A text that ends in the command to run, and at the guide's prompt in what to change there."""
    return Finding(id=id, kind="instead", text=f"{text}: {command}", at_prompt=f"{text}{change}")


def _readings_left(mended: Batch, readings: str | Sequence[str] | None) -> list[str] | None:
    """The readings of the fruits that are left; of the finished batch none, for it is another one now."""
    texts = [readings] if isinstance(readings, str) else list(readings or ())
    kept = {part.fruit.key for part in mended.fruits}
    return [text for text in texts if read_reading(text).item in kept] or None


def _dose(then: Solved) -> str:
    return measuring.dose_words(then) if then.acid is not None or then.pot.doses.lemon_g > 0.0 else "no lemon juice"


def _cold(said: Said) -> Finding:
    command = spelled(said.words, {**said.options, "store": "cold"})
    text = "The acid for a shelf is left out: what is in it is for set and taste alone. To ask for it cold"
    return _to_run("acid-left-out", text, command, ', change "keep".')


def of_recipe(result: BatchResult, name: str, options: Mapping[str, Any]) -> tuple[Finding, ...]:
    """The command that checks a recipe in a jar that may be canned, where its own or the one asked for is too large."""
    if result.batch.keep == "cold" or not any(finding.id == "jar-too-large" for finding in result.findings):
        return ()
    return (Finding(id="run-instead", kind="instead", text=f"In pints: {spelled([name], {**options, 'jar': SHELF_JAR}, command='check')}"),)


def spelled(words: Sequence[str], options: Mapping[str, Any], command: str = "batch") -> str:
    """A command as it is typed; what needs quotes has them."""
    parts = ["jamcalc", command, *(_quoted(word) for word in words)]
    for name in (*FIRST, *sorted({*options} - {*FIRST, *PYTHON_ALONE})):
        values = options.get(name)
        for value in () if values is None else (values,) if isinstance(values, str | float | int) else values:
            text = value if isinstance(value, str) else f"{value:g}{UNIT.get(name, '')}"
            parts += [f"--{name.replace('_', '-')}", _quoted(text)] if text else []
    return " ".join(parts)


def _quoted(text: str) -> str:
    clean = " ".join(text.split())
    if _BARE.fullmatch(clean):
        return clean
    return shlex.quote(clean) if _UNSAFE_IN_QUOTES.search(clean) else f'"{clean}"'
