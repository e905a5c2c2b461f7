"""The screens of batch, check, scale and process: an answer as a cook reads it, on 80 columns, without color.

Returns things that rich can print; prints nothing, looks nothing up, decides nothing.
Text that a user wrote goes through `plain`, never through markup.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import TYPE_CHECKING

from rich.console import Group, RenderableType
from rich.padding import Padding
from rich.table import Table
from rich.text import Text

from jamcalc import facts
from jamcalc.formula import storage
from jamcalc.nouns.known import Source
from jamcalc.screens.layout import listed, pairs, prose, ruled, titled
from jamcalc.screens.verdict_screen import (
    TITLE_LIMIT,
    UNSETTLED,
    Scale,
    cold_whatever_the_ph,
    keeping_box,
    meter_may_mend,
    outside_the_box,
    ph_said,
    readied,
)
from jamcalc.words import phrases
from jamcalc.words.phrases import grouped, plain, unbroken

if TYPE_CHECKING:
    from jamcalc.nouns.outcome import BatchResult, Ingredient

KEEPS_BY_ITS_SUGAR = facts.limit("low_acid_water_activity").typical
STANDINGS = {
    "calculated": "A calculated formula is not a tested recipe; no laboratory has measured it.",
    "published": "Printed by a cook or a packer; no agency has tested it.",
    "tested, on your word": "Tested, on your word: judged here like any other recipe.",
    "tested": "A tested recipe; its time and storage hold while nothing in it is changed.",
}
OWN_FORMULA = "Somebody's own formula, not a tested recipe; no laboratory has measured it."
MEASURE_IT = (
    "The pH is worked out from tables, and fruit varies. Measure the cooled, blended batch with a calibrated meter; "
    f"over {storage.SHELF_READING_PH:.1f} it goes in the refrigerator or the freezer."
)
MEASURED = "The reading holds for this pot, cooled and blended; the next pot wants its own. Check the meter with its buffers."
NOT_FOR_THE_CANNER = "Keep it cold as said above: it was not worked out for the canner."
SAME_JAR = "No larger jar and no shorter time than stand above."
PREFER_TESTED = (
    "Where a tested recipe for the fruit exists, prefer it: an extension service has them. Before you sell any, ask the local authority."
)


# ---------------------------------------------------------------- the answer


def answer(
    result: BatchResult,
    *,
    units: str = "us",
    working: bool = False,
    under_title: Sequence[RenderableType] = (),
    at_prompt: bool = False,
) -> RenderableType:
    """The whole answer: what goes in the pot, how it may be kept, where its acidity lies, jars, work, findings.

    Parameters
    ----------
    result : the answer to show; `ingredients` holds every line of the pot, lemon juice and pectin too
    units : us or metric, for weights as bought, altitude and headspace; working : show every step as well
    under_title : blocks that come first; at_prompt : without the options of the command line, for a question follows
    """
    pot = titled("In the pot", pot_table(result.ingredients, units))
    keeping = [keeping_box(result, units, at_prompt=at_prompt), *_finding_list(result)]
    # who asks for a batch looks for quantities first; who checks a recipe, for the verdict; and what is refused is not measured out
    first = [*keeping, pot] if result.command == "check" or result.refused else [pot, *keeping]
    parts: list[RenderableType] = [
        _heading(result),
        *under_title,
        *first,
        titled("Acidity", acidity(result)),
        titled("Jars and set", quiet_table(result, units)),
        *_at_home(result, units),
    ]
    if result.order_of_work and not result.refused:
        numbered = ((f"{number}.", text) for number, text in enumerate(result.order_of_work, 1))
        parts.append(titled("Order of work", listed(numbered)))
    said = {finding.says_caution for finding in result.findings}
    cautions = [caution.text for caution in result.cautions if caution.kind not in ("usual", "time") and caution.id not in said]
    if cautions:
        parts.append(titled("Take care", listed(("-", text) for text in cautions)))
    if result.standing != "tested":
        parts.append(_rely_on(result))
    if working:
        parts.append(working_screen(result))
    if not at_prompt:
        parts.append(_pointers(result, working))
    return Group(*parts)


def _at_home(result: BatchResult, units: str) -> list[RenderableType]:
    """The batch in this kitchen, and what to buy, where that was asked for."""
    if result.refused or (result.kitchen is None and not result.to_buy):
        return []
    from jamcalc.screens import kitchen_screen  # a plain batch need not load it

    return [*kitchen_screen.kitchen(result, units), *kitchen_screen.to_buy(result.to_buy)]


def _heading(result: BatchResult) -> RenderableType:
    # a recipe without a source is somebody's own; only batch has calculated the whole of what it shows
    own = result.standing == "calculated" and result.command != "batch"
    lines = [Text(plain(result.title, TITLE_LIMIT), style="bold"), Text(OWN_FORMULA if own else STANDINGS[result.standing])]
    if result.batch.source_text:
        lines.append(Text(f"From: {plain(result.batch.source_text)}"))
    return Group(*lines)


def pot_table(ingredients: Sequence[Ingredient], units: str) -> Table:
    """What goes in the pot: item, cook's measure, grams, and the fruit as bought."""
    table = ruled()
    # left alone, rich crops on a narrow screen what does not fit: a number cut short would be another number
    table.add_column("item", overflow="fold")
    table.add_column("measure", overflow="fold")
    table.add_column("weight", justify="right", min_width=8, overflow="fold")
    table.add_column("as bought", justify="right", min_width=10, overflow="fold")
    for ingredient in ingredients:
        as_bought = "" if ingredient.as_bought_g is None else phrases.bought(ingredient.as_bought_g, units)
        table.add_row(
            prose(plain(ingredient.name)),
            prose(grouped(plain(ingredient.measure)), "bold"),
            Text(phrases.weight(ingredient.grams) if ingredient.grams > 0 else ""),
            Text(as_bought),
        )
    return table


def _finding_list(result: BatchResult) -> list[RenderableType]:
    """All findings in order of weight, less those that the box has already given as its reason."""
    findings = [finding.text for finding in outside_the_box(result)]
    if not result.solution.converged:
        findings.insert(0, UNSETTLED)
    return [titled("Findings", listed(("!", text) for text in findings))] if findings else []


def acidity(result: BatchResult) -> RenderableType:
    """Where the pH lies, in a sentence and on a ruler with marks at the shelf's limit and the wall."""
    if result.standing == "tested":
        decides = "Worked out from tables; the test of this recipe counts for more."
    elif cold_whatever_the_ph(result):
        decides = "It stays cold whatever its pH."
    elif result.batch.settings.batch_ph is not None:
        decides = "The meter's reading decides how it may be kept."
    else:
        decides = "The high end decides how it may be kept."
    return Group(prose(ph_said(result)), Text(decides), Text(), Scale(result))


def quiet_table(result: BatchResult, units: str) -> Table:
    """Jars, set, soluble solids and water activity, with a word on what each means."""
    yield_, gel_set = result.yield_, result.gel_set
    over = phrases.over_words(yield_.over_ml, units)
    at_home = result.kitchen is not None  # then its own block says which jars
    rows = [("jars", phrases.jar_count_words(yield_.jars, yield_.jar, verb="" if at_home else readied(result).lower()))]
    if over and not at_home:
        rows.append(("", f"worked out: {yield_.full_jars} full and {over} over"))
    if result.batch.stated_yield:
        whose = "the recipe's own yield, scaled" if result.command == "scale" else "by the recipe itself"
        rows.append(("stated yield", f"{result.batch.stated_yield}, {whose}"))
    rows.append(("headspace", phrases.headspace(yield_.headspace_mm, units)))
    if result.batch.pectin_kind != "calcium-set":
        rows.append(("set", "not worked out: only calcium-set pectin is"))
    elif gel_set.strength == "none":
        rows.append(("set", "none to expect: too little pectin or calcium"))
    else:
        excess = "more calcium than it can use: may weep or turn grainy"
        calcium = excess if gel_set.too_much_calcium else "enough calcium, and not too much"
        rows.append(("set", f"{gel_set.strength}: {gel_set.pectin_percent:.1f} % pectin, {calcium}"))
    rows.append(("soluble solids", f"{phrases.about(result.solids_percent, unit=' %')}; a full-sugar jam has 65 %"))
    sugar = ": it does not keep by its sugar" if result.water_activity > KEEPS_BY_ITS_SUGAR else ""
    rows.append(("water activity", f"about {result.water_activity:.2f}{sugar}"))
    return pairs(rows)


def _rely_on(result: BatchResult) -> RenderableType:
    cannable = result.storage == "shelf" or meter_may_mend(result)
    first = MEASURE_IT if result.batch.settings.batch_ph is None else MEASURED
    same = (SAME_JAR,) if result.process is not None else ()
    said = (first, *same, PREFER_TESTED) if cannable else (NOT_FOR_THE_CANNER, PREFER_TESTED)
    return titled("Before you rely on it", listed(("-", text) for text in said))


def _pointers(result: BatchResult, working: bool) -> RenderableType:
    names = [part.fruit.name for part in result.batch.fruits[:1]]
    facts = " ".join(["jamcalc facts", *(f'"{name}"' if " " in name else name for name in names)])
    steps = "" if working else "Every step: --working. "
    lines = [prose(f"{steps}Figures and sources: {plain(facts)}")]
    if meter_may_mend(result):
        lines.append(prose('Once you have measured it: --reading "batch pH 3.9", or whatever the meter says.'))
    if any(finding.id == "worth-measuring" for finding in result.findings):
        lines.append(prose('A fruit that you have measured: --reading "plum pH 3.6", for one.'))
    return Padding(Group(*lines), (1, 0, 0, 0))


# ---------------------------------------------------------------- the other screens


def working_screen(result: BatchResult) -> RenderableType:
    """How each number came about, step by step, and the sources that the steps name."""
    grid = Table.grid(padding=(0, 2, 0, 0))
    grid.add_column(justify="right")
    grid.add_column(overflow="fold")
    for number, step in enumerate(result.working, 1):
        grid.add_row(Text(f"{number}."), Text.assemble((plain(step.what), "bold"), ": ", unbroken(grouped(plain(step.value)))))
        named = f" [{', '.join(step.sources)}]" if step.sources else ""
        grid.add_row(Text(), prose(grouped(plain(step.how)) + named))
    return Group(titled("Working", grid), *source_list(result.sources))


def source_list(sources: Iterable[Source]) -> list[RenderableType]:
    """The sources by their keys; nothing where there are none."""
    rows = [(source.key, f"{source.text} ({source.status})") for source in sources]
    return [titled("Sources", pairs(rows))] if rows else []
