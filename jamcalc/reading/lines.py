"""One ingredient line, as a cook writes it, to a Line.

It finds what is meant and how much; what a line weighs or does is worked out when the batch is put together. The grammar is
`AMOUNT [FORM] ITEM`; what people say for an amount is put into its words by spoken, and what is counted is weighed by counts.
"""

from __future__ import annotations

import re
from dataclasses import replace
from typing import TYPE_CHECKING

from jamcalc import facts
from jamcalc.errors import InputError, UnknownItem
from jamcalc.nouns.known import Fruit
from jamcalc.nouns.said import Amount, Finding, Form, Line, Role
from jamcalc.reading.extras import refuse_spice
from jamcalc.words.forms import FILLS, READY, SAY_NOTHING, name_and_forms
from jamcalc.words.units import CANS, HEAPS, MAX_TEXT, read_amount, shown, spoon_findings, tidy

if TYPE_CHECKING:
    from jamcalc.reading.counts import Counted

PACKET_G = facts.limit("pectin_packet_g").typical
FREEZER_PACKET_G = facts.limit("freezer_pectin_packet_g").typical
POUCH_ML = facts.limit("liquid_pectin_pouch_ml").typical

# What a stated weight comes in: "12 oz bag cranberries".
_HOLDERS = {"bag", "bags", "clamshell", "clamshells", "carton", "cartons", "punnet", "punnets", "tub", "tubs", "container", "containers",
            "package", "packages", "packet", "packets", "pack", "packs", "basket", "baskets", "box", "boxes", "case", "crate"}  # fmt: skip
_DRY = re.compile(r"([0-9 ./]+) (pint|quart|gallon)s?")

_PECTIN = {
    name: kind
    for kind, names in {
        "calcium-set": ("calcium set", "low methoxyl", "lm", "low methoxyl lm"),
        "standard": ("standard", "regular", "full sugar", "high methoxyl", "hm"),
        "no-sugar": ("no sugar", "no sugar needed", "low or no sugar", "low or no sugar needed"),
        "freezer": ("freezer", "freezer jam", "no cook", "no cook freezer", "no cook freezer jam"),
        "liquid": ("liquid",),
    }.items()
    for name in names
}
_WATER = {"water", "cold water", "hot water", "boiling water", "tap water", "filtered water", "warm water"}
_CALCIUM_POWDER = {"calcium powder", "monocalcium phosphate", "calcium"}
_ITEM = re.compile(r"[^\W\d_](?:[^\W\d_]|[ '\u2019().-])*")
_NO_DIGITS = str.maketrans("0123456789/", "x" * 11)  # jars are named by size: "250 ml"
_ROLES: dict[str, Role] = {"fruit": "fruit", "juice": "fruit", "vegetable": "fruit", "sweetener": "sweetener", "acid": "acid"}

ASK_PECTIN = "calcium-set pectin, standard pectin, no-sugar pectin or liquid pectin"


def read_line(text: str) -> Line:
    """One ingredient line, such as "3 lb plums" or "1/4 cup bottled lemon juice".

    Parameters
    ----------
    text : one line of at most 120 characters

    Returns
    -------
    Line : `item` is the key in the facts, or the pectin kind ("calcium-set" ...), "calcium water" or "water";
        `form` is "as bought" unless a form is named; a count of packets has its grams or milliliters beside it;
        cautious readings stand in `findings`

    Raises
    ------
    InputError : the line cannot be read; says what to write instead
    UnknownItem : no such item; with the nearest names
    """
    try:
        return _as_it_stands(text)
    except (InputError, UnknownItem):
        if len(text) > MAX_TEXT:  # beyond the cap nothing reads the text
            raise
        read = _put_otherwise(text)
        if read is None:
            raise
        return read


def _put_otherwise(text: str) -> Line | None:
    """The line of a text whose words stand in another order, which it says; None where there is no other order.

    Raises InputError or UnknownItem where the words are in order and are not understood.
    """
    from jamcalc.words.wording import ways

    if "," in text or not text.isprintable():
        return None
    line = tidy(text)
    complaint: InputError | UnknownItem | None = None
    for other in ways(line):
        try:
            read = _as_it_stands(other)
        except (InputError, UnknownItem) as error:
            complaint = complaint or error
            continue
        said = Finding(id="read-as", kind="know", text=f'"{shown(line, MAX_TEXT)}" is read as "{shown(other, MAX_TEXT)}".')
        return replace(read, text=shown(line, MAX_TEXT), findings=(*read.findings, said))
    if complaint is not None and not line[0].isdigit():  # "strawbery, 2 lb" is in order, and the name is wrong
        raise complaint
    return None


def _as_it_stands(text: str) -> Line:
    """The line of a text in the order of the grammar."""
    if "(" in text and len(text) <= MAX_TEXT and (said := _without_aside(tidy(text))) is not None:
        return said
    try:
        amount, rest = read_amount(text)
    except InputError:
        if len(text) > MAX_TEXT:  # beyond the cap nothing reads the text
            raise
        if (said := _as_people_say(text)) is not None:
            return said
        refuse_spice(text, text)
        raise
    return _read(text, amount, rest)


def _read(text: str, amount: Amount, words: str) -> Line:
    """The line of an amount and what it is of."""
    line = _of_what(shown(tidy(text), 120), amount, words)
    return line if line.words else replace(line, words=words)  # of a box of fruit it is told already


def _of_what(line: str, amount: Amount, rest: str) -> Line:
    if amount.count is None and (holder := rest.partition(" ")[0].lower()) in _HOLDERS | CANS:
        rest = ("canned " if holder in CANS else "") + rest.partition(" ")[2].removeprefix("of ")
    if not rest:
        raise InputError(f'"{shown(line)}" has an amount but no item: write for instance "{shown(amount.text, 20)} plums"')
    _check_name(rest, f'"{shown(line)}"')
    plain = rest.lower().replace("-", " ").replace("(", "").replace(")", "")
    spoons = spoon_findings(amount)
    if plain.endswith("pectin") or plain.endswith("pectin powder"):
        kind = _pectin_kind(plain, line)
        _check_measured(amount, line, liquid=kind == "liquid")
        if amount.count is not None and kind == "calcium-set":
            raise InputError(f'"{line}": packets of calcium-set pectin differ: write teaspoons or grams, such as "2 tsp"')
        return Line(text=line, role="pectin", item=kind, amount=_packets(amount, kind), form="as bought", findings=spoons)
    if plain in _CALCIUM_POWDER:
        raise InputError(f'"{line}": the powder is stirred into water first: write the calcium water, such as "2 tsp calcium water"')
    if plain == "calcium water" or plain in _WATER:
        _check_measured(amount, line, liquid=True, packets=False)
        role: Role = "calcium water" if plain == "calcium water" else "liquid"
        return Line(text=line, role=role, item="calcium water" if role == "calcium water" else "water", amount=amount, form="as bought",
                    findings=spoons)  # fmt: skip
    if " or " in plain:
        raise InputError(f'"{line}": one or the other? Write the one that goes in the pot')
    return _from_facts(line, rest, amount, spoons)


def _without_aside(line: str) -> Line | None:
    """The line of a text with a second measure in brackets, which counts for nothing; None for any other."""
    from jamcalc.words.spoken import aside

    short, second = aside(line)
    if not second:
        return None
    read = read_line(short)
    left = Finding(
        id="set-aside", kind="know", text=f'"{shown(second)}" in "{shown(line)}" is left aside: {read.amount.text} is what counts.'
    )
    return replace(read, text=shown(line, MAX_TEXT), findings=(*read.findings, left))


def _as_people_say(text: str) -> Line | None:
    """The line of an amount in people's words, of a count or of a container; None where the strict reader's own complaint stands."""
    from jamcalc.reading import counts
    from jamcalc.words.spoken import plainly

    line = tidy(text)
    plain = plainly(line)
    if plain != line:
        try:
            amount, rest = read_amount(plain)
        except InputError:
            pass
        else:
            read = _read(plain, amount, rest)
            return replace(read, text=shown(line, MAX_TEXT))
    what = counts.counted(plain)
    if what is None:
        return None
    name, words = name_and_forms(what.rest)
    if what.kind == "juice":
        return _juice_of(what, name, line)
    try:
        _check_name(name, f'"{shown(line)}"')
        item, turned = _item_of(name, ("fruit", "vegetable"))
    except (InputError, UnknownItem) as error:
        is_asked = isinstance(error, InputError) and bool(_ITEM.fullmatch(name)) and what.rest.split()[0].lower() not in HEAPS | CANS
        if what.kind == "container" or what.word or is_asked:
            refuse_spice(line, line)
            raise
        return None  # a word that is no unit: the strict reader says which there are
    read = counts.line_of(line, what, item, name, frozen="frozen" in words)
    return replace(read, findings=(*read.findings, *turned))


def _item_of(name: str, kinds: tuple[facts.Kind, ...]) -> tuple[facts.Item, tuple[Finding, ...]]:
    """The item of a name, and that it was read with its words turned ("currants red"); InputError or UnknownItem if there is none."""
    try:
        return facts.lookup(name, kinds), ()
    except UnknownItem:
        from jamcalc.words.wording import turned

        for other in turned(name):
            try:
                return facts.lookup(other, kinds), (Finding(id="read-as", kind="know", text=f'"{shown(name)}" is read as {shown(other)}.'),)
            except (InputError, UnknownItem):
                continue
        raise


def _by_the_container(line: str, item: facts.Item) -> Line | None:
    from jamcalc.reading import counts

    return counts.by_the_container(line, item)


def _by_the_box(line: str, amount: Amount, item: facts.Item, name: str) -> Line | None:
    """The line of a pint or quart of fruit that is sold so: the US dry measure; None for any other amount or fruit."""
    unit = _DRY.fullmatch(amount.text)
    if unit is None:
        return None
    from jamcalc.reading import counts

    return counts.by_the_box(line, unit[1], unit[2], item, name)


def _juice_of(what: Counted, name: str, line: str) -> Line:
    """ "juice of 2 lemons": fresh, counted at the least that a lemon gives."""
    from jamcalc.reading import counts

    plain, taken = counts.juice(what, facts.lookup(name, ("fruit",)).key, line)
    amount, rest = read_amount(plain)
    read = _read(plain, amount, rest)
    return replace(read, text=shown(line, MAX_TEXT), findings=(taken, *read.findings))


def read_item(text: str, kinds: tuple[facts.Kind, ...]) -> facts.Item:
    """The item of a name typed alone (`--sweetener honey`, `facts plum`, `--jar pint`); InputError or UnknownItem if there is none."""
    name = tidy(text)
    _check_name(name, f'"{shown(name)}"', digits="jar" in kinds)
    return facts.lookup(name, kinds)


def _check_name(name: str, where: str, *, digits: bool = False) -> None:
    if not _ITEM.fullmatch(name.translate(_NO_DIGITS) if digits else name) or len(name) > 60:
        raise InputError(f'{where}: "{shown(name)}" is no item: a name in plain letters, one ingredient in a line, such as "3 lb plums"')


def _from_facts(line: str, rest: str, amount: Amount, spoons: tuple[Finding, ...]) -> Line:
    """The line of a fruit, juice, sweetener or acid."""
    name, words = name_and_forms(rest)
    try:
        item, turned = _item_of(name, ("fruit", "juice", "vegetable", "sweetener", "acid"))
    except (InputError, UnknownItem):
        refuse_spice(line, f"{amount.text} {rest}")
        raise
    if item.key == "none":
        raise InputError(f'"{line}": to leave the sweetener out, write no line for it')
    role = _ROLES[item.kind]
    if role == "fruit" and amount.count is not None and (boxed := _by_the_container(line, item)):
        return boxed
    poured = item.kind == "juice" or (role == "acid" and "acid" not in item.key) or item.key.endswith("juice_concentrate")
    _check_measured(amount, line, liquid=poured, packets=False)
    findings = (*spoons, *((item.finding,) if item.finding else ()), *turned)
    if item.key.startswith("fresh_"):
        text = (
            item.finding.text if item.finding else "Fresh juice is counted at its weak end; for a jar that stands on a shelf use bottled."
        )
        findings = (*spoons, Finding(id="fresh-lemon", kind="know", text=text), *turned)
    form: Form = "as bought"
    if item.kind == "juice":
        form = "juice"
    elif role == "fruit":
        if set(words) <= SAY_NOTHING and (dry := _by_the_box(line, amount, item, name)):
            return dry
        form = _form(words, line, name, item.key, by_volume=amount.ml is not None)
    named = item.said if role == "fruit" else ""
    return Line(text=line, role=role, item=item.key, amount=amount, form=form, findings=findings, named=named)


def _form(words: list[str], line: str, name: str, key: str, *, by_volume: bool) -> Form:
    """The form that the words name; a volume needs one that says how the fruit fills the cup."""
    fills = {FILLS[word] for word in words if word in FILLS}
    if len(fills) > 1:
        raise InputError(f'"{line}": {" and ".join(sorted(fills))} fill a cup differently: name the form in which it was measured')
    if by_volume:
        if not fills and _fills_alike(facts.fruit(key)):
            return "chopped"
        if not fills:
            raise InputError(
                f'"{line}": a volume of fruit needs its form, as whole berries fill half again the space of mashed ones: write '
                f'"mashed {shown(name, 30)}", "chopped ..." or "whole ...", or a weight'
            )
        return fills.pop()
    if fills - {"whole"}:
        return fills.pop()
    ready = [READY[word] for word in words if word in READY]
    if "frozen" in ready:
        return "frozen"
    return "prepared" if ready else "as bought"  # weighed whole: with its stones and stems


def _fills_alike(fruit: Fruit) -> bool:
    """Whether a cup of it weighs the same in any form: sauce, and fruit in its liquid."""
    return fruit.whole_g_per_cup is None and fruit.mashed_g_per_cup.typical == fruit.chopped_g_per_cup.typical


def _pectin_kind(plain: str, line: str) -> str:
    name = plain.removesuffix("powder").strip().removesuffix("pectin").strip()
    kind = _PECTIN.get(name.removesuffix("powdered").removesuffix("dry").strip() or name)
    if kind is None:
        raise InputError(f'"{line}": which pectin? They set in different ways: write {ASK_PECTIN}')
    return kind


def _packets(amount: Amount, kind: str) -> Amount:
    """A count of packets with what they hold beside it."""
    if amount.count is None:
        return amount
    if kind == "liquid":
        return replace(amount, ml=amount.count * POUCH_ML)
    return replace(amount, grams=amount.count * (FREEZER_PACKET_G if kind == "freezer" else PACKET_G))


def _check_measured(amount: Amount, line: str, *, liquid: bool, packets: bool = True) -> None:
    """Refuse ounces of weight for what is poured (8 oz of juice is mostly meant as 8 fl oz) and packets of all but pectin."""
    if amount.count is not None and not packets:
        raise InputError(f'"{line}": packets are read for pectin only: write a weight or a measured volume')
    if liquid and "ounce" in amount.units and "pound" not in amount.units:
        raise InputError(f'"{line}": oz of a liquid can be weight or volume: write "{amount.text.replace(" oz", " fl oz")}", mL or g')
