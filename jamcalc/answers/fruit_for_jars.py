"""From the jars wanted back to the fruit: how much of each to buy or pick, found on the same system as any batch.

One unknown, the prepared fruit in all; works out nothing itself and answers nothing: api solves the lines that come out.
"""

from __future__ import annotations

import math
import re
from collections.abc import Callable, Sequence
from dataclasses import dataclass

from jamcalc import facts
from jamcalc.chemistry.roots import bracketed_root
from jamcalc.errors import InputError, NotPossible, UnknownItem
from jamcalc.formula.assemble import fruit_part
from jamcalc.formula.solver import solve
from jamcalc.nouns.asked import Batch, FruitPart
from jamcalc.nouns.known import Jar
from jamcalc.nouns.said import Finding, Line
from jamcalc.reading import lines
from jamcalc.reading.readings import read_jars
from jamcalc.words import measures
from jamcalc.words.phrases import bought, counted, jar_words, joined
from jamcalc.words.units import MAX_KG, shown

MOST_G = 1000.0 * MAX_KG
SCALE_STEP_G = {"us": measures.OUNCE_G, "metric": 10.0}  # what a kitchen scale shows
JUICE_STEP_ML = {"us": measures.CUP_ML / 4, "metric": 10.0}
# Prepared fruit to jam: the least and the most that boiling and sweetener leave (judgement, wide on purpose).
PREPARED_G_PER_ML = (0.2, 4.0)
CLOSE_G = 0.5  # far below what a scale shows
SAMPLE_G = 1000.0  # any weight that a line may say
ALMOST = 0.98  # leaves room to round up
ROUNDING = 1e-9


@dataclass(frozen=True, kw_only=True)
class Asked:
    """Fruits by name, their parts of the prepared fruit by weight, and the jars wanted; of a range of jars its upper end counts."""

    names: tuple[str, ...]
    parts: tuple[float, ...]
    want: str


def asked(words: Sequence[str], parts: str | None, want: str | None) -> Asked | None:
    """The fruits named without an amount and their parts; None where the lines have amounts.

    Raises
    ------
    InputError : names and amounts mixed, parts that cannot be read or do not match, or no jars wanted
    """
    bare = [word for word in words if not _has_amount(word)]
    if parts is not None and (want is None or not bare):
        raise InputError(
            "--parts goes with fruit names alone and the jars wanted: "
            'jamcalc batch "plums" "blackberries" --parts 2:1 --want "8 half-pints"'
        )
    if not bare or want is None:
        return None
    if len(bare) < len(words):
        line = next(word for word in words if _has_amount(word))
        raise InputError(
            f'"{shown(line)}" has an amount and "{shown(bare[0])}" has none: with --want name the fruits alone '
            "(a sweetener goes by --sweetener NAME), or give every line its amount"
        )
    names = _names(bare, parts)
    return Asked(names=names, parts=_parts(parts, len(names)), want=want)


def _has_amount(word: str) -> bool:
    from jamcalc.words.spoken import plainly

    return any(character.isnumeric() for character in plainly(word[:200].strip()))  # "half a bushel of apples" too


def _names(words: Sequence[str], parts: str | None) -> tuple[str, ...]:
    """Each word a fruit; words without quotes may be one name, such as: sour cherries."""
    whole = " ".join(words)
    if len(words) > 1 and all(len(word.split()) == 1 for word in words) and (parts is None or ":" not in parts):
        try:
            _line(whole, SAMPLE_G)
            return (whole,)
        except (InputError, UnknownItem):
            pass
    for word in words:
        _line(word, SAMPLE_G)
    return tuple(words)


def _line(name: str, grams: float) -> Line:
    line = lines.read_line(f"{grams:.6g} g {name}")
    if line.role != "fruit":
        raise InputError(
            f'"{shown(name)}" is no fruit: with --want name the fruits alone; a sweetener goes by --sweetener NAME, the rest is dosed'
        )
    return line


def _parts(text: str | None, count: int) -> tuple[float, ...]:
    if text is None:
        return (1.0,) * count
    numbers = [piece.strip() for piece in text[:200].split(":")]
    if not all(re.fullmatch(r"[0-9]{1,4}(?:\.[0-9]{1,3})?", number) for number in numbers):
        raise InputError(f'--parts "{shown(text)}" cannot be read: write a number for each fruit, such as 2:1')
    values = tuple(float(number) for number in numbers)
    if min(values) <= 0.0:
        raise InputError(f'--parts "{shown(text)}": a part of nothing; leave that fruit out')
    if len(values) != count:
        fruits = counted(count, "fruit")
        raise InputError(
            f'--parts "{shown(text)}" has {len(values)} parts for {fruits}: write one for each, such as '
            f"{':'.join(['2'] + ['1'] * (count - 1))}"
        )
    return values


def lines_for(question: Asked, batch_of: Callable[[Sequence[Line]], Batch]) -> tuple[tuple[Line, ...], Finding]:
    """The lines to buy or pick so that a number of jars is expected, and a finding that says so.

        expected jars (prepared fruit) = jars wanted, then each fruit up to what a scale shows

    Parameters
    ----------
    question : from `asked`
    batch_of : puts lines together as the batch will be, with all its options; its units say whether fruit is weighed to the ounce
        (juice measured to the quarter cup) or to 10 g (10 mL)

    Returns
    -------
    lines and finding; the lines make at least the jars wanted

    Range of validity: up to 100 kg of fruit.

    Raises
    ------
    NotPossible : more fruit than one batch may have
    """
    _, count, key = read_jars(question.want)
    jar = facts.jar(key)
    shares = [part / sum(question.parts) for part in question.parts]
    samples = [fruit_part(_line(name, SAMPLE_G)) for name in question.names]
    fruits = tuple(
        zip(question.names, [share * _as_written(sample) for share, sample in zip(shares, samples, strict=True)], samples, strict=True)
    )

    def expected(fruit: Sequence[Line]) -> float:
        return solve(batch_of(fruit)).yield_.jars.expected

    def missing(prepared_g: float) -> float:
        return expected([_line(name, prepared_g * ratio) for name, ratio, _ in fruits]) - count

    least, most = (count * jar.fill_ml.typical * factor for factor in PREPARED_G_PER_ML)
    most = min(most, ALMOST * MOST_G / sum(ratio for _, ratio, _ in fruits))
    if least >= most or missing(most) < 0.0:
        raise NotPossible(f"{jar_words(jar.name, count)} take more than {MOST_G / 1000:g} kg of fruit: ask for fewer")
    units = batch_of([_line(name, SAMPLE_G) for name in question.names]).settings.units
    prepared_g = bracketed_root(missing, least, most, tolerance=CLOSE_G).value
    fruit = tuple(_on_a_scale(name, prepared_g * ratio, sample, units, 0) for name, ratio, sample in fruits)
    more = 0
    while expected(fruit) < count:  # rounded spoons and cups move the yield a little; a step of the scale moves it more
        more += 1
        fruit = tuple(_on_a_scale(name, prepared_g * ratio, sample, units, more) for name, ratio, sample in fruits)
    return fruit, _finding(question, fruit, units, count, jar)


def _as_written(sample: FruitPart) -> float:
    """Grams to write in a line for each gram in the pot."""
    return sample.as_bought_g / sample.grams if sample.form == "as bought" else 1.0


def _on_a_scale(name: str, grams: float, sample: FruitPart, units: str, more: int) -> Line:
    """A line with this much fruit, or the next step of the scale or cup above it, and some steps more."""
    if sample.fruit.kind == "juice":
        step_ml = JUICE_STEP_ML[units]
        ml = (math.ceil(grams / sample.fruit.mashed_g_per_cup.typical * measures.CUP_ML / step_ml - ROUNDING) + more) * step_ml
        text = f"{ml:.0f} mL" if units == "metric" else measures.cups_text(ml, measures.CUP_ML)
    else:
        step_g = SCALE_STEP_G[units]
        grams = (math.ceil(grams / step_g - ROUNDING) + more) * step_g
        text = f"{grams:.0f} g" if units == "metric" else measures.pounds_text(grams)
    return lines.read_line(f"{text} {name}")


def _to_buy(line: Line, units: str) -> str:
    """The fruit of a line by the weight to buy: with stones and stems, where the line says it without them."""
    part = fruit_part(line)
    if abs(part.as_bought_g - part.grams) < CLOSE_G or line.form == "as bought" or part.fruit.kind == "juice":
        return as_weighed(line, units)
    return f"{bought(part.as_bought_g, units)} {part.plural} (for {as_weighed(line, units)})"


def as_weighed(line: Line, units: str) -> str:
    """A line of fruit as the table of the pot names its weight: "5.04 kg plums" for "5040 g plums"."""
    in_grams = line.amount.units == ("gram",) and line.amount.grams is not None and line.amount.light_g is None
    return f"{bought(line.amount.grams or 0.0, units)} {line.words}" if in_grams and units == "metric" else line.text


def _finding(question: Asked, fruit: Sequence[Line], units: str, count: float, jar: Jar) -> Finding:
    text = f"For {jar_words(jar.name, count)} buy or pick {joined([_to_buy(line, units) for line in fruit])}."
    if len(fruit) > 1:
        text += f" That is {':'.join(f'{part:g}' for part in question.parts)} by weight of prepared fruit."
    return Finding(id="want", kind="desk", text=text)
