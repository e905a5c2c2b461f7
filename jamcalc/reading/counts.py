"""Fruit that is counted, or comes by the bushel or the basket: "6 large peaches", "half a bushel of apples", "juice of 2 lemons".

Gives the weight as bought with its light and its heavy end (data/counts.toml), and says what it took. Which fruit is meant is
read by lines, which calls it for what has no unit of weight or volume.
"""

from __future__ import annotations

import math
import re
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from jamcalc import facts
from jamcalc.errors import InputError
from jamcalc.nouns.known import Figure
from jamcalc.nouns.said import Amount, Finding, Line
from jamcalc.words.phrases import bought, joined, plural, sentence
from jamcalc.words.units import MAX_KG, MAX_TEXT, convert, read_number, shown

SIZES = {
    "small": "small", "little": "small", "medium": "medium", "average": "medium", "large": "large", "big": "large",
    "extra large": "extra large", "extra-large": "extra large", "jumbo": "extra large",
}  # fmt: skip
_SIZE = re.compile(r" ?(extra[ -]large|jumbo|small|little|medium|average|large|big)(?:[ -]sized?)?(?: |$)", re.IGNORECASE)
_STALK = re.compile(r" ?(?:stalks?|ribs?|stems?)(?: of)? ", re.IGNORECASE)
_BY_QUART = r"(?:[0-9]{1,2}[ -](?:qt|quart)[ -])"
_CONTAINER = re.compile(
    rf" ?(half[ -]bushels?|bushels?|bu|pecks?|lugs?|crates?|flats?|{_BY_QUART}(?:basket|tray)s?|baskets?|trays?|bags?|bunch(?:es)?|boxe?s?|"
    r"(?:us )?dry (?:pints?|pts?|quarts?|qts?)|half[ -]pints?|gallons?|gals?|punnets?|clamshells?|buckets?|pails?|cases?|sacks?|cartons?|"
    r"tubs?|grocery bags?|packages?|jars?)\.?(?: of)? ",
    re.IGNORECASE,
)
_SHORT = {
    "bu": "bushel",
    "dry pts": "pint",
    "dry pt": "pint",
    "dry qts": "quart",
    "dry qt": "quart",
    "boxes": "box",
    "bunches": "bunch",
    "gal": "gallon",
    "gals": "gallon",
}
_JUICE = re.compile(r"(?:the )?(?:fresh )?(?:(?:zest|rind|peel) and )?juice (?:and (?:zest|rind|peel) )?(?:of|from) ", re.IGNORECASE)
_JUICED = re.compile(r"(.+?),? (?:juiced|squeezed)$", re.IGNORECASE)
ASK = "weigh the fruit, and write its weight, such as"
OF_A_BUSHEL = {"half-bushel": 1 / 2, "peck": 1 / 4}  # NIST Handbook 44, Appendix C


@dataclass(frozen=True, kw_only=True)
class Counted:
    """A number of pieces or containers: `kind` "size", "container" or "juice"; `word` which of them, "" for a piece of no size."""

    number: float
    kind: str
    word: str
    rest: str  # the fruit, with whatever form was named
    said: str  # the number as written


def counted(line: str) -> Counted | None:
    """What is counted in a plain line ("6 large peaches"), or None where it begins with no number of anything."""
    juice = _JUICE.match(line)
    if juice:
        from jamcalc.words.spoken import plainly

        line = plainly(line[juice.end() :])
    elif done := _JUICED.fullmatch(line):
        line, juice = done[1], _JUICE.match("juice of ")
    try:
        number, said, end = read_number(line, 0)
    except InputError:
        return None
    if container := (None if juice else _CONTAINER.match(line, end)):
        return Counted(number=number, kind="container", word=_container(container[1]), rest=line[container.end() :], said=said)
    word = ""
    if size := _SIZE.match(line, end):
        word, end = SIZES[size[1].lower()], size.end()
    elif stalk := _STALK.match(line, end):
        word, end = "stalk", stalk.end()
    rest = line[end:].strip()
    if re.search(r" (?:stalks?|ribs?)$", rest):
        word, rest = "stalk", rest.rpartition(" ")[0]
    return Counted(number=number, kind="juice" if juice else "size", word=word, rest=rest.removeprefix("of "), said=said) if rest else None


def _container(words: str) -> str:
    """Our name of a container: "half-bushel", "pint" (dry), "4-quart basket"."""
    word = re.sub(r"[ -]+", " ", words.lower()).removeprefix("us ")
    if quarts := re.match(r"([0-9]+) (?:qt|quart) (basket|tray)", word):
        return f"{quarts[1]}-quart {quarts[2]}"
    word = _SHORT.get(word, word)
    return word.removesuffix("s").removeprefix("dry ").replace("half ", "half-")


def _weights(group: str, key: str) -> Mapping[str, Any]:
    held = facts.table("counts")
    other = held["same" if group == "container" else "same_count"].get(key)
    weights: Mapping[str, Any] = held[group].get(key, held[group].get(other, {}))
    return weights


def sold_dry(key: str) -> bool:
    """Whether a fruit is sold by the dry pint and quart, in boxes."""
    return bool({"pint", "quart"} & set(_weights("container", key)))


def by_the_container(line: str, item: facts.Item) -> Line | None:
    """The line of a box of fruit, which the strict reader takes for a packet; None where it is no container."""
    from jamcalc.words.spoken import plainly

    what = counted(plainly(line))
    return line_of(line, what, item, what.rest) if what and what.kind == "container" else None


def line_of(line: str, what: Counted, item: facts.Item, name: str, *, frozen: bool = False) -> Line:
    """The line of fruit by the piece or the container: with its peel and stones, whatever becomes of them."""
    fruit = facts.fruit(item.key)
    names = (item.said, plural(item.said)) if item.said else (fruit.name, fruit.plural)
    amount, taken = weighed(what, item.key, names, line)
    return Line(
        text=shown(line, MAX_TEXT),
        role="fruit",
        item=item.key,
        amount=amount,
        form="frozen" if frozen else "as bought",
        findings=(taken, *((item.finding,) if item.finding else ())),
        named=item.said,
        words=f"{'frozen ' if frozen else ''}{name}",
    )


def by_the_box(line: str, number: str, unit: str, item: facts.Item, name: str) -> Line | None:
    """The line of so many pints or quarts of fruit that is sold so, in boxes: the US dry measure; None for other fruit."""
    if not sold_dry(item.key) or (unit == "gallon" and unit not in _weights("container", item.key)):
        return None
    value, said, _ = read_number(number, 0)
    return line_of(line, Counted(number=value, kind="container", word=unit, rest=name, said=said), item, name)


def weighed(what: Counted, key: str, names: tuple[str, str], line: str) -> tuple[Amount, Finding]:
    """The weight as bought of what was counted, with its ends, and what was taken.

    Parameters
    ----------
    what : from `counted`; key : of the fruit; names : one of it and many; line : as typed, for messages

    Raises
    ------
    InputError : no such size or container is held, or it means two things; says which there are, with their weights
    """
    many = names[1]
    if what.number <= 0:
        raise InputError(f'"{shown(line)}": an amount is above zero; leave the line out if there is none')
    if what.kind == "container":
        return _in_containers(what, key, many, line)
    sizes = _weights("count", key)
    if not sizes:
        raise InputError(
            f'"{shown(line)}": no weight of one is held for {shown(many, 30)}, and a bare number says neither weight nor volume: '
            f'{ASK} "2 lb {shown(many, 30)}"'
        )
    size_row = sizes.get(what.word)
    if size_row is None:
        held = joined([f"{word} (about {facts.figure(size).typical:g} g each)" for word, size in sizes.items()])
        size = "medium" if "medium" in sizes else next(iter(sizes))
        example = f"{what.said} {size} {shown(names[0] if what.number <= 1 else many, 30)}"
        raise InputError(
            f'"{shown(line)}": which size? Held of {shown(many, 30)}: {held}: write for instance "{example}", or better the weight, '
            f'such as "2 lb {shown(many, 30)}"'
        )
    figure = facts.figure(size_row)
    if what.word == "stalk":
        text = f"{what.said} {'stalk' if what.number <= 1 else 'stalks'} of {names[0]}"
    else:
        text = f"{what.said} {what.word} {names[0] if what.number <= 1 else many}"
    return _taken(what.number, figure, 1.0, text, line, note=figure.note if len(sizes) == 1 else "")


def _in_containers(what: Counted, key: str, many: str, line: str) -> tuple[Amount, Finding]:
    rows, lb = _weights("container", key), convert(1.0, "pound", "gram")
    word, number = what.word, what.number
    if two := facts.table("counts")["two_ways"].get(key, {}).get(word):
        meanings = [f'"{meaning} {many}" (about {_two(meaning, rows):g} lb)' for meaning in two["of"]]
        raise InputError(f'"{shown(line)}": a {word} of {shown(many, 30)} is two things: write {" or ".join(meanings)}, or the weight')
    if word == "bushel" and number in (0.5, 0.25):
        smaller = "half-bushel" if number == 0.5 else "peck"
        if smaller in rows:
            word, number = smaller, 1.0
    share = 1.0
    if word == "half-pint" and "pint" in rows:
        word, share = "pint", 0.5
    elif word == "pint" and "pint" not in rows and "quart" in rows:
        word, share = "quart", 0.5
    elif word == "quart" and "quart" not in rows and "pint" in rows:
        word, share = "pint", 2.0
    elif word not in rows and word in OF_A_BUSHEL and "bushel" in rows:
        word, share = "bushel", OF_A_BUSHEL[word]
    if word not in rows:
        by_weight = sorted(rows.items(), key=_heavy)
        held = joined([f"{container} (about {facts.figure(row).typical:g} lb)" for container, row in by_weight]) if rows else ""
        there = f"; held of {shown(many, 30)} are {held}" if held else ""
        none = f"no weight is held for a {what.word} of {shown(many, 30)}{there}"
        raise InputError(f'"{shown(line)}": {none}: {ASK} "2 lb {shown(many, 30)}"')
    figure = facts.figure(rows[word])
    dry = "dry " if what.word in ("pint", "quart", "half-pint") else ""
    text = f"{what.said} {dry}{what.word if what.number <= 1 else plural(what.word)} of {many}"
    note = "US dry measure, of whole fruit" if dry else ""
    return _taken(number, figure, lb * share, text, line, note=note)


def _heavy(row: tuple[str, Any]) -> float:
    return facts.figure(row[1]).typical


def _two(measure: str, rows: Mapping[str, Any]) -> float:
    """Pounds in one of two meanings, such as "8 dry quarts"."""
    number, _, unit = measure.split(" ")
    return round(float(number) * facts.figure(rows[unit.removesuffix("s")]).typical * 2) / 2


def _taken(number: float, weight: Figure, g: float, text: str, line: str, note: str) -> tuple[Amount, Finding]:
    low, typical, high = (number * value * g for value in (weight.low, weight.typical, weight.high))
    if high > MAX_KG * 1000:
        raise InputError(f'"{shown(line)}" is more than {MAX_KG:.0f} kg: check the number')
    lb = typical / convert(1.0, "pound", "gram")
    pounds = f"{lb:.0f} lb, " if lb >= 30 else f"{bought(typical, 'us')}, "
    mass, ends = f"{typical:.0f} g", f"{low:.0f} to {high:.0f} g"
    if high >= 2000:
        mass, ends = f"{typical / 1000:.1f} kg", f"{low / 1000:.1f} to {high / 1000:.1f} kg"
    between = "" if low == high else f"; as bought it weighs {ends}: weigh it, and write the weight"
    said = f"{text[0].upper()}{text[1:]}{f' ({note})' if note else ''}: taken as {pounds}{mass}{between}."
    light, heavy = (low, high) if low < high else (None, None)
    amount = Amount(grams=typical, text=f"{typical:.0f} g", units=("gram",), light_g=light, heavy_g=heavy)
    return amount, Finding(id="weigh", kind="know", text=said, sources=weight.sources)


def juice(what: Counted, fruit: str, line: str) -> tuple[str, Finding]:
    """The juice of so many as a line for the strict reader, and what was taken. Raises InputError where nothing is held of the fruit."""
    held = facts.table("counts")["juice"]
    if fruit not in held:
        raise InputError(f'"{shown(line)}": the juice of one is held for {joined(list(held))} only: measure it, and write cups or tbsp')
    each_ml = facts.figure(held[fruit]).typical
    if what.number * each_ml < 1:
        raise InputError(f'"{shown(line)}" is too little to measure: leave the line out, or check the number')
    if fruit == "orange":
        measure, how, of = f"{what.number * each_ml:.0f} mL", f"{each_ml:.0f} mL an orange", "orange juice"
    else:
        spoons = round(convert(each_ml, "milliliter", "tablespoon"))
        halves = math.floor(2 * spoons * what.number)  # an acid is never rounded up
        measure = f"{halves // 2}{' 1/2' if halves % 2 else ''} tbsp".removeprefix("0 ")
        if not halves:
            measure = f"{math.floor(what.number * each_ml)} mL"
        how, of = f"{spoons} tbsp a {fruit}", f"fresh {fruit} juice"
    text = f"{sentence(shown(line))} is taken as {measure}, {how}: measure it, and write that."
    return f"{measure} {of}", Finding(id="weigh", kind="know", text=text)
