"""Numbers and strangers' text as words for a screen: ranges, weights, altitudes, and the pH ruler.

Plain ASCII strings out of numbers; text that a user wrote comes out without control characters.
Knows nothing of terminals and of what is safe.
"""

from __future__ import annotations

import math
import re
import unicodedata
from collections.abc import Sequence
from typing import TYPE_CHECKING

from jamcalc.words.measures import CUP_ML, HARDLY_ANY_ML, METRES_PER_FOOT, OUNCE_G, fraction, inches_text, whole

if TYPE_CHECKING:  # a word for a list loads no noun
    from jamcalc.nouns.known import Estimate
    from jamcalc.nouns.outcome import JarCount, JarsOf

# The ruler's ends, in tenths of a pH unit: every fruit that sets a jam, and room beyond the wall at 4.6.
RULER_FIRST_TENTH = 28
RULER_LAST_TENTH = 50
RULER_MARGIN = 8  # "low 3.1 " may stand left of the first mark

# A blank at which no line may end, until `loose` makes it one again. Of Unicode's own, Python takes each for a blank like others;
# this one is for private use, and `plain` lets none through from anyone's text.
HOLD = "\ue000"
_SIZES = "lb|oz|fl oz|g|kg|mg|mL|L|cups?|tbsp|tsp|quarts?|in|mm|cm|ft|m|F|C|%|kcal|min|h|hours?|days?|weeks?|months?"
_UNITS = f"{_SIZES}|half-pints?|pints?|jars?|lids?"
_MOST_IN_QUOTES = 20  # characters of a quoted part that a line can well take whole
_TOGETHER = re.compile(rf"(?<=\d) (?=\d+/\d)|(?<=\d) (?=(?:{_UNITS})(?![\w-]))|(?<=\bpH) (?=\d)|(?<=\d) (?=to \d)|(?<=\d to) (?=\d)")
_OPTION = re.compile(rf'(--[a-z][a-z-]*) (?=\w|"[^"]{{1,{_MOST_IN_QUOTES}}}")')
_IN_QUOTES = re.compile(rf'"[^"\n]{{1,{_MOST_IN_QUOTES}}}"')
_ON_MENU = re.compile(r"(?<=  )\d+ [a-z]+(?: [a-z]+)*(?=  |$)", re.MULTILINE)  # "12 fair card", between two blanks and two
_LONG_NUMBER = re.compile(r"(?<![\d.,/])(\d{1,3})(\d{3})(?= (?:g|mL|kg)\b)")


def plain(text: str, limit: int | None = None) -> str:
    """User text made harmless: no control, format or surrogate characters, fractions as 1/2, cut at `limit` characters."""
    out: list[str] = []
    for character in text if limit is None else text[: 4 * limit]:
        if unicodedata.decomposition(character).startswith("<fraction>"):
            space = " " if out and out[-1][-1].isdigit() else ""
            out.append(space + unicodedata.normalize("NFKD", character).replace("\N{FRACTION SLASH}", "/"))
        elif character.isspace():
            out.append(" ")
        elif unicodedata.category(character)[0] != "C":
            out.append(character)
    clean = " ".join("".join(out).split())
    return clean if limit is None or len(clean) <= limit else clean[: limit - 3] + "..."


def unbroken(text: str) -> str:
    """The text with HOLD for each blank inside a phrase that is read as one: "1 1/2 tsp", "4,300 ft", "3.1 to 4.0", "--store cold"."""
    held = _TOGETHER.sub(HOLD, text)
    held = _OPTION.sub(rf"\1{HOLD}", held)
    for phrase in (_IN_QUOTES, _ON_MENU):
        held = phrase.sub(lambda match: match[0].replace(" ", HOLD), held)
    return held


def loose(text: str) -> str:
    """The text after its lines are broken: each HOLD a blank again."""
    return text.replace(HOLD, " ")


def grouped(text: str) -> str:
    """A measure as it is shown: "1,279 g", "4,700 mL". What is written to be read again has no comma."""
    return _LONG_NUMBER.sub(r"\1,\2", text)


def weight(grams: float) -> str:
    """Grams as a kitchen scale shows them: whole, or tenths below 10 g for a small scale."""
    if round(grams, 1) < 10 and round(grams, 1) != round(grams):
        return f"{grams:.1f} g"
    return f"{whole(grams):,} g"


def bought(grams: float, units: str) -> str:
    """A weight as a shop names it: "3 lb 4 oz", or kilograms."""
    if units == "metric":
        return f"{grams / 1000:.2f} kg" if grams >= 1000 else f"{whole(grams)} g"
    pounds, ounces = divmod(round(grams / OUNCE_G), 16)
    words = ([f"{pounds} lb"] if pounds else []) + ([f"{ounces} oz"] if ounces or not pounds else [])
    return " ".join(words)


def about(estimate: Estimate, *, unit: str = "") -> str:
    """A range in whole numbers, "about 22 % (19 to 25)"; one number where the ends print alike."""
    low, typical, high = (f"{value:,.0f}" for value in (estimate.low, estimate.typical, estimate.high))
    return f"about {typical}{unit}" if low == high else f"about {typical}{unit} ({low} to {high})"


def ph_tenths(ph: Estimate) -> tuple[int, int, int]:
    """Low, typical and high in tenths of pH, the ends rounded outward: a range is never shown narrower than it is.

    So 4.04 is shown as 4.1, and what stands on the screen never seems to pass a limit that it does not pass.
    """
    low, typical, high = (round(value * 100) for value in (ph.low, ph.typical, ph.high))
    return low // 10, (typical + 5) // 10, -(-high // 10)


def ph_words(ph: Estimate) -> str:
    """A pH range in words, "about 3.5 (3.1 to 4.0)", ends rounded outward."""
    low, typical, high = ph_tenths(ph)
    return f"about {typical / 10:.1f}" if low == high else f"about {typical / 10:.1f} ({low / 10:.1f} to {high / 10:.1f})"


def jar_words(jar: str, count: float) -> str:
    """A number of jars by the jar's name: "1 pint", "5 half-pints", "3 jars of 250 mL", "2 clip jars of 500 mL"."""
    return f"{count:g} {_jars(jar, many=count != 1)}"


def more_jars(jar: str, count: int) -> str:
    """Jars that are missing: "1 more pint", "9 more half-pints"."""
    return f"{count} more {_jars(jar, many=count != 1)}"


def _jars(jar: str, *, many: bool) -> str:
    size, unit, kind = jar.partition(" mL ")  # the names in data/jars.toml
    word = kind if unit else jar if jar.endswith(("pint", "quart")) else f"{jar} jar"
    return f"{word}{'s' if many else ''}{f' of {size} mL' if unit else ''}"


def one_jar(jar: str) -> str:
    """A jar's name as a thing: "half-pint jar", "250 mL jar"."""
    return jar if jar.endswith("jar") else f"{jar} jar"


def several_jars(jar: str) -> str:
    """A jar's name for many, with no number: "half-pints", "jars of 250 mL"."""
    return _jars(jar, many=True)


def likely_jars(jars: JarCount) -> int:
    """How many jars a batch most likely fills, as every screen and print counts them."""
    return max(1, round(jars.expected))


def jars_expected(jars: JarCount, jar: str) -> str:
    """How many jars to expect, rounded outward: "9 half-pints (7 to 10)"."""
    low, high = math.floor(jars.low), math.ceil(jars.high)
    return jar_words(jar, likely_jars(jars)) + ("" if low == high else f" ({low} to {high})")


def all_jars(jars: Sequence[JarsOf]) -> str:
    """Jars of several kinds: "7 half-pints and 2 pints"."""
    return joined([jar_words(kind.name, kind.count) for kind in jars])


def joined(words: Sequence[str]) -> str:
    """Words in a row: "plums", "plums and pears", "plums, pears and figs"."""
    return " and ".join([", ".join(words[:-1]), words[-1]] if len(words) > 1 else words)


def plural(name: str) -> str:
    """The plural of a fruit's name: "huckleberries", "peaches", "damsons"."""
    if name.endswith("y") and name[-2:-1] not in "aeiou":
        return f"{name[:-1]}ies"
    return f"{name}{'es' if name.endswith(('ch', 'sh', 's', 'x', 'z')) else 's'}"


def counted(count: int, noun: str) -> str:
    """A number of things: "1 batch", "3 batches"."""
    return f"{count} {noun if count == 1 else plural(noun)}"


def sentence(text: str) -> str:
    """The text with a capital in front and all else as it is."""
    return text[:1].upper() + text[1:]


def jar_count_words(jars: JarCount, jar: str, *, verb: str = "heat") -> str:
    """The jar count with its range, rounded outward: "about 5 half-pints (4 to 6); heat 6"; with no verb, only what to expect."""
    return f"about {jars_expected(jars, jar)}" + (f"; {verb} {jars.heat}" if verb else "")


def over_words(over_ml: float, units: str) -> str:
    """What is left after the full jars, to 10 mL and the quarter cup; empty where it is not worth a jar."""
    if over_ml < HARDLY_ANY_ML:
        return ""
    quarters = round(4 * over_ml / CUP_ML)
    measure = f" ({fraction(quarters / 4, 4)} cup)" if units == "us" and 1 <= quarters <= 4 else ""
    return f"about {round(over_ml, -1):.0f} mL{measure}"


def altitude(feet: float, units: str) -> str:
    """An altitude in the cook's own unit: "4,300 ft", "1,311 m"."""
    return f"{feet * METRES_PER_FOOT:,.0f} m" if units == "metric" else f"{feet:,.0f} ft"


def temperature(degc: float, units: str) -> str:
    """A boiling point on the cook's own scale; weather moves it by half a degree, so no decimals."""
    return f"{degc:.0f} C" if units == "metric" else f"{degc * 1.8 + 32:.0f} F"


def headspace(mm: float, units: str) -> str:
    """Headspace in the cook's own unit, to the nearest millimeter or eighth of an inch: "1/4 in", "6 mm"."""
    return f"{mm:.0f} mm" if units == "metric" else inches_text(mm)


def ruler(ph: Estimate, *, shelf_ph: float, wall_ph: float, zones: tuple[str, str, str], columns_per_tenth: int = 3) -> tuple[str, ...]:
    """A pH scale in plain ASCII with the range above it and two marks below it, named in words.

    Parameters
    ----------
    ph : the range to draw; what lies off the scale ends in an arrow
    shelf_ph, wall_ph : where the marks stand; zones : words for left of both, between, and right of both
    columns_per_tenth : 3 needs 80 columns, 2 needs 60

    Returns
    -------
    tuple : lines of text; pH p stands in column RULER_MARGIN + (10 p - 28) x columns_per_tenth
    """

    def column(tenth: int) -> int:
        return _column(tenth, columns_per_tenth)

    low, typical, high = ph_tenths(ph)
    bar = _bar(ph, columns_per_tenth)
    width = len(bar)

    labels, scale, numbers, words = ([" "] * width for _ in range(4))
    _put(labels, f"high {high / 10:.1f}", min(column(high), width - 8))
    _put(labels, f"low {low / 10:.1f}", column(low) - 6)
    _put(labels, f" about {typical / 10:.1f} ", column(typical) - 5)
    for tenth in range(RULER_FIRST_TENTH, RULER_LAST_TENTH + 1):
        even = tenth % 2 == 0
        _put(scale, "+" if even else "-", column(tenth))
        if even:
            _put(numbers, f"{tenth / 10:.1f}", column(tenth) - 1)
    scale[column(RULER_FIRST_TENTH) :] = "".join(scale[column(RULER_FIRST_TENTH) :]).rstrip().replace(" ", "-")
    _put_zones(words, column(round(shelf_ph * 10)), column(round(wall_ph * 10)), zones)
    return tuple("".join(line).rstrip() for line in (labels, bar, scale, numbers, words))


def bars(
    rows: Sequence[tuple[str, Estimate]], *, shelf_ph: float, wall_ph: float, zones: tuple[str, str, str], columns_per_tenth: int = 3
) -> tuple[str, ...]:
    """The same scale with one bar for each (name, range), its numbers beside it where there is room; names of 7 letters at most."""
    lines = []
    for name, ph in rows:
        bar = _bar(ph, columns_per_tenth)
        _put(bar, name, 0)
        low, _, high = ph_tenths(ph)
        ends = f"{low / 10:.1f} to {high / 10:.1f}"
        for words in (ph_words(ph), ends):
            right, left = _column(high, columns_per_tenth) + 2, _column(low, columns_per_tenth) - len(words) - 1
            place = right if right + len(words) <= len(bar) else left if left > RULER_MARGIN else None
            if place is not None:
                _put(bar, words, place)
                break
        lines.append(bar)
    numbers, under = ([" "] * len(lines[0]) for _ in range(2))
    _put(numbers, "pH", 0)
    for tenth in range(RULER_FIRST_TENTH, RULER_LAST_TENTH + 1, 2):
        _put(numbers, f"{tenth / 10:.1f}", _column(tenth, columns_per_tenth) - 1)
    _put_zones(under, _column(round(shelf_ph * 10), columns_per_tenth), _column(round(wall_ph * 10), columns_per_tenth), zones)
    return tuple("".join(line).rstrip() for line in (*lines, numbers, under))


def _column(tenth: int, columns_per_tenth: int) -> int:
    return RULER_MARGIN + (min(max(tenth, RULER_FIRST_TENTH), RULER_LAST_TENTH) - RULER_FIRST_TENTH) * columns_per_tenth


def _bar(ph: Estimate, columns_per_tenth: int) -> list[str]:
    """A range on the scale: | at its ends, O at the likeliest, an arrow where it goes on beyond the scale."""
    low, typical, high = (_column(tenth, columns_per_tenth) for tenth in ph_tenths(ph))
    bar = [" "] * (_column(RULER_LAST_TENTH, columns_per_tenth) + 3)
    bar[low : high + 1] = "=" * (high - low + 1)
    for tenth in (ph_tenths(ph)[0], ph_tenths(ph)[2]):
        bar[_column(tenth, columns_per_tenth)] = "<" if tenth < RULER_FIRST_TENTH else ">" if tenth > RULER_LAST_TENTH else "|"
    if low < typical < high:
        bar[typical] = "O"
    return bar


def _put_zones(line: list[str], shelf: int, wall: int, zones: tuple[str, str, str]) -> None:
    """The two marks and the words left of, between and right of them."""
    for mark in (shelf, wall):
        _put(line, "^", mark)
    _put(line, zones[0], shelf - len(zones[0]) - 1)
    _put(line, zones[1], shelf + 1 + (wall - shelf - len(zones[1])) // 2)
    _put(line, zones[2], wall + 2)


def _put(line: list[str], text: str, start: int) -> None:
    """Write `text` where there is room for it and a space on either side; else leave it out."""
    around = line[max(start - 1, 0) : start + len(text) + 1]
    if len(text) == 1 or all(character == " " for character in around):
        line[start : start + len(text)] = text
