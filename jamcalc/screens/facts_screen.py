"""The screens of `facts`: what is held about one fruit, sweetener, acid or jar, each figure with its source.

Shows figures as they were printed; looks nothing up and judges nothing.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import fields
from typing import TYPE_CHECKING

from rich.console import Group, RenderableType
from rich.text import Text

from jamcalc.nouns.known import Acidulant, Figure, Fruit, Jar, Source, Sweetener
from jamcalc.screens.layout import Fitted, InColumns, listed, pairs, ruled, titled
from jamcalc.words.phrases import plain

if TYPE_CHECKING:
    from jamcalc.nouns.learned import OfFruit

Item = Fruit | Sweetener | Acidulant | Jar

LABELS = {
    "ph": "pH",
    "titratable_percent": "titratable acidity",
    "potassium_mg": "potassium",
    "strong_ion_meq_per_kg": "alkaline ash",
    "calcium_mg": "calcium",
    "calcium_available": "calcium, available",
    "water_percent": "water",
    "soluble_solids_percent": "soluble solids",
    "insoluble_percent": "insoluble",
    "sugars_percent": "sugars",
    "native_pectin_percent": "its own pectin",
    "refuse_percent": "lost in preparing",
    "mashed_g_per_cup": "a cup, mashed",
    "chopped_g_per_cup": "a cup, chopped",
    "whole_g_per_cup": "a cup, whole",
    "government_lemon_g_per_kg": "lemon juice, official",
    "instead_of_lemon": "mL for a mL of lemon juice, in print",
    "strength_percent": "strength",
    "g_per_ml": "density",
    "sweetness": "sweetness",
    "carbohydrate_percent": "carbohydrate",
    "sugar_alcohol_percent": "sugar alcohol",
    "energy_kcal_per_g": "energy",
    "g_per_cup": "a cup",
    "g_per_tsp": "a teaspoon",
    "cold_limit_g_per_100g_water": "crystallizes above",
    "sweetness_ceiling_percent": "sweetness levels at",
    "fill_ml": "holds, at 1/4 in",
    "bore_mm": "mouth, inside",
    "energy_kcal": "energy",
    "carbohydrate_g": "carbohydrate",
    "fibre_g": "fiber",
    "protein_g": "protein",
    "fat_g": "fat",
    "ash_g": "ash",
    "sodium_mg": "sodium",
    "vitamin_c_mg": "vitamin C",
}
WITH_CAPITALS = {"asian": "Asian", "american": "American", "concord": "Concord", "ml": "mL", "a)": "A)"}
FITNESS = {
    "fit": "may be canned at low sugar, with the acid that the batch asks for",
    "tested-only": "on the shelf only by a tested recipe, as written",
    "do-not-can": "NOT FOR CANNING at low sugar",
}

END_GRADES = {
    "seen": "a row that was seen ends there",
    "within seen": "judged, inside a row that was seen",
    "beyond seen": "judged, outside every row that was seen",
    "computed": "computed, near the 5th or 95th percentile",
    "borrowed": "borrowed from {lender}",
    "judgement": "judged: no row was seen",
    "memory": "from memory: no row was seen",
}


def facts_screen(item: Item, sources: Sequence[Source], hers: OfFruit | None = None) -> RenderableType:
    """One item: what it is, then each figure with low, typical, high, unit, grade and source.

    Parameters
    ----------
    item : what to show; sources : every source that its figures name; they stand at the foot, numbered as they are pointed to
    hers : what the cook's own batches say of the fruit
    """
    rows = list(_figures(item))
    texts = {source.key: source for source in sources}
    pointed_to = [key for key in dict.fromkeys(_pointers(item, rows)) if key in texts]
    numbers = {key: str(number) for number, key in enumerate(pointed_to, 1)}
    notes = [(label, figure.note) for label, figure in rows if figure.note]
    parts: list[RenderableType] = [Text(plain(item.name), style="bold"), pairs(_traits(item, numbers)), Text(), figure_table(rows, numbers)]
    if hers is not None:
        parts.append(titled("Yours", pairs(list(_yours(hers)))))
    ends = list(_ends(rows, numbers))
    if ends:
        parts.append(titled("What the ends rest on", pairs(ends)))
    if notes:
        parts.append(titled("Notes", pairs(notes)))
    if numbers:
        foot = ((number, f"{key}: {texts[key].text} ({texts[key].status})") for key, number in numbers.items())
        parts.append(titled("Sources", listed(foot)))
    return Group(*parts)


def _yours(hers: OfFruit) -> Iterator[tuple[str, str]]:
    """Her own fruit beside the table: what is likely of her next lot, and what she read."""
    for name, taught, unit in (("ph", hers.ph, ""), ("soluble_solids_percent", hers.solids_percent, " g/100 g")):
        if taught is not None:
            ends = f"{taught.value - taught.next_sd:.2f} to {taught.value + taught.next_sd:.2f}"
            text = f"{taught.value:.2f} ({ends}){unit}, from {taught.batches} of your batches; table {taught.table:g}"
            yield LABELS[name], f"{text}; batch {taught.last_slip} set aside" if taught.last_slip is not None else text
    if hers.readings:
        batches = "1 batch" if hers.readings == 1 else f"{hers.readings} batches"
        yield "pH that you read", f"{hers.read_low:g} to {hers.read_high:g}, in {batches}"
    if hers.highest_ph is not None:
        yield "taken as high as", f"pH {hers.highest_ph:.2f}, since batch {hers.highest_batch}: above the table's high end"


def facts_index(names_by_kind: Mapping[str, Sequence[str]]) -> RenderableType:
    """All names that are held, in columns under their kinds."""
    blocks = [titled(plain(kind), InColumns([as_written(plain(name)) for name in names])) for kind, names in names_by_kind.items()]
    return Group(Text("jamcalc facts NAME shows what is held about:"), *blocks)


def as_written(name: str) -> str:
    """A name of the index, which is in lower case, with its capitals: "Asian pear", "250 mL jar"."""
    return " ".join(WITH_CAPITALS.get(word, word) for word in name.split())


def figure_table(rows: Sequence[tuple[str, Figure]], numbers: Mapping[str, str]) -> RenderableType:
    """Figures as printed: low, typical, high, unit, how far the source was read, and its number."""
    table = ruled(1)
    table.add_column("figure", overflow="fold")
    for name in ("low", "typical", "high"):
        table.add_column(name, justify="right", overflow="fold")
    # the last three give way first, so that figures and their names stay on one line
    for name, width in (("unit", 11), ("grade", 9), ("source", 12)):
        table.add_column(name, max_width=width, overflow="fold")
    for label, figure in rows:
        values = (f"{value:.6g}" for value in (figure.low, figure.typical, figure.high))
        table.add_row(*map(Text, (label, *values, plain(figure.unit), figure.grade, _named(figure.sources, numbers))))
    return Fitted(table)


def _figures(item: Item) -> Iterator[tuple[str, Figure]]:
    for field in fields(item):
        value = getattr(item, field.name)
        if isinstance(value, Figure):
            yield LABELS[field.name], value
    if isinstance(item, Fruit):
        for name, figure in item.nutrients.items():
            yield LABELS[name], figure


def _ends(rows: Sequence[tuple[str, Figure]], numbers: Mapping[str, str]) -> Iterator[tuple[str, str]]:
    """Each end that has a grade of its own, and the extreme beyond it."""
    for label, figure in rows:
        for end, value, grade, extreme in (
            ("low", figure.low, figure.low_grade, figure.extreme_low),
            ("high", figure.high, figure.high_grade, figure.extreme_high),
        ):
            if grade is None:
                continue
            text = END_GRADES[grade].format(lender=figure.borrowed_from.replace("_", " "))
            if extreme is not None:
                text += f"; extreme {extreme.value:.6g} ({extreme.grade}{f': {extreme.note}' if extreme.note else ''})"
                text += _in_brackets(extreme.sources, numbers)
            yield f"{label}, {end} {value:.6g}", text


def _pointers(item: Item, rows: Sequence[tuple[str, Figure]]) -> Iterator[str]:
    """The keys of all sources in the order in which the screen points to them."""
    if isinstance(item, Fruit):
        yield from (*item.fit.sources, *item.acid_share_sources)
    for _, figure in rows:
        yield from figure.sources
    for _, figure in rows:
        for extreme in (figure.extreme_low, figure.extreme_high):
            yield from extreme.sources if extreme else ()


def _named(keys: Sequence[str], numbers: Mapping[str, str]) -> str:
    return ", ".join(numbers.get(key, key) for key in keys)


def _in_brackets(keys: Sequence[str], numbers: Mapping[str, str]) -> str:
    return f" [{_named(keys, numbers)}]" if keys else ""


def _traits(item: Item, numbers: Mapping[str, str]) -> Iterator[tuple[str, str]]:
    """What is known in words rather than figures."""
    if isinstance(item, Fruit):
        fit = item.fit
        because = f": {fit.why.rstrip('.')}" if fit.why else ""
        instead = f". {fit.instead.rstrip('.')}" if fit.instead else ""
        said = f"{FITNESS[fit.fitness]}{because}{instead}"
        yield "shelf", said + _in_brackets(fit.sources, numbers)
    if isinstance(item, Jar):
        none = "none: too large for jam" if item.size_class == "too large" else "none: not a two-piece lid" if item.closure else ""
        yield "process time", none or f"that of a {item.size_class}"
    elif item.titrated_as:
        shares = ", ".join(f"{acid} {share:.0%}" for acid, share in item.acid_share.items())
        named = _in_brackets(item.acid_share_sources, numbers) if isinstance(item, Fruit) else ""
        yield "acids", f"{shares}{named}; titratable acidity is given as {item.titrated_as}"
    if isinstance(item, Sweetener):
        yield "on a label", item.label_name
        yield "canner", "stands it" if item.stands_process else "loses its sweetness there: stir into cooled jam"
    note = getattr(item, "note", "")
    if note:
        yield "note", note
