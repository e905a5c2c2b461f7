"""The screens of batch, check, scale and process: an answer as a cook reads it, on 80 columns, without colour.

Returns things that rich can print; prints nothing, looks nothing up, decides nothing.
Text that a user wrote goes through `Text(plain(...))`, never through markup. Called by the command line.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from rich import box
from rich.console import Console, ConsoleOptions, Group, RenderableType, RenderResult
from rich.padding import Padding
from rich.panel import Panel
from rich.table import Table
from rich.text import Text

from jamcalc import facts
from jamcalc.formula import storage
from jamcalc.nouns.model import Finding, Source
from jamcalc.nouns.outcome import BatchResult, Ingredient, Process
from jamcalc.screens.layout import listed, pairs, ruled, titled
from jamcalc.words import phrases
from jamcalc.words.phrases import plain

TITLE_LIMIT = 140  # two lines
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
NOT_FOR_THE_CANNER = "Keep it cold as said above: it was not reckoned for the canner."
UNSETTLED = "The sums did not settle: do not use these amounts."
SAME_JAR = "No larger jar and no shorter time than stand above."
PREFER_TESTED = (
    "Where a tested recipe for the fruit exists, prefer it: an extension service has them. Before you sell any, ask the local authority."
)
# Cautions that the heading, the box, the order of work or the last block spell out already.
SAID_ABOVE = frozenset({"tested-recipe", "opened", "sale", "altitude", "jar-size", "seal-check", "meter", "no-altitude"})
# The ids that storage.py gives as reasons to keep a batch cold; a meter can mend only the last.
NO_METER_MENDS = frozenset({
    "do-not-can", "tested-only", "unfit-extra", "ph-over-limit", "jar-too-large", "altitude", "heat-shy-sweetener",
    "not-hot-packed", "thinned", "reading-odd", "larger-jar", "no-printed-time",
})  # fmt: skip
COLD_REASONS = NO_METER_MENDS | {"measure"}
INSTEAD = frozenset({"acid-left-out", "run-instead"})
# What mends a pot that nothing but its pH keeps cold; said beside the reason.
REMEDIES = frozenset({"rescue", "rescue-out-of-reach", "lemon-short", "lemon-out-of-reach"})


# ---------------------------------------------------------------- the answer


def answer(result: BatchResult, *, units: str = "us", working: bool = False, under_title: Sequence[RenderableType] = ()) -> RenderableType:
    """The whole answer: what goes in the pot, how it may be kept, where its acidity lies, jars, work, findings.

    Parameters
    ----------
    result : the answer to show; `ingredients` holds every line of the pot, lemon juice and pectin too
    units : us or metric, for weights as bought, altitude and headspace; working : show every step as well
    under_title : blocks that come first
    """
    pot = titled("In the pot", pot_table(result.ingredients, units))
    keeping = [keeping_box(result, units), *_finding_list(result)]
    # who asks for a batch looks for quantities first; who checks a recipe, for the verdict
    first = [*keeping, pot] if result.command == "check" else [pot, *keeping]
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
    cautions = [caution.text for caution in result.cautions if caution.id not in SAID_ABOVE]
    if cautions:
        parts.append(titled("Take care", listed(("-", text) for text in cautions)))
    if result.standing != "tested":
        parts.append(_rely_on(result))
    if working:
        parts.append(working_screen(result))
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
            Text(plain(ingredient.name)),
            Text(plain(ingredient.measure), style="bold"),
            Text(phrases.weight(ingredient.grams) if ingredient.grams > 0 else ""),
            Text(as_bought),
        )
    return table


def keeping_box(result: BatchResult, units: str) -> RenderableType:
    """How it may be kept, in one box: shelf with its minutes, or cold with the reasons and how long."""
    body: list[RenderableType] = []
    process = result.process
    if result.refused:
        head = "NOT TO BE MADE AS " + ("WRITTEN" if result.command == "check" else "ASKED")
        body.append(Text(plain(result.refused)))
    elif result.storage == "cold":
        head = "COLD until a meter shows otherwise" if _meter_may_mend(result) else "COLD: refrigerator or freezer, not the shelf"
    elif process is not None and process.altitude_ft is not None:
        head = f"SHELF: {process.minutes} minutes in boiling water"
    else:
        head = "SHELF: boiling water, minutes by altitude"
    if process is not None:
        body += _process_lines(process, units)
    reasons = [plain(finding.text) for finding in _shown_reasons(result) if finding.text != result.refused]
    instead = [plain(finding.text) for finding in _instead(result)]
    if result.storage == "cold" and not reasons and result.batch.settings.store == "cold":
        reasons = ["Cold, as its recipe says." if result.batch.keep == "cold" else "Cold, as you asked."]
    body += [Text(text) for text in (*reasons, plain(result.keeping), *instead)]
    boxed = Panel(Group(*body), title=Text(head, style="bold"), title_align="left", box=box.HEAVY, padding=(0, 1))
    return Padding(boxed, (1, 0, 0, 0))


def _process_lines(process: Process, units: str) -> list[RenderableType]:
    if process.altitude_ft is None:
        return [
            Text(f"For a {phrases.one_jar(process.jar)}, by the altitude of your kitchen (--altitude picks it):"),
            _band_row(process, units),
        ]
    boils = phrases.temperature(process.boiling_point_degc, units)
    return [Text(f"For a {phrases.one_jar(process.jar)} at {phrases.altitude(process.altitude_ft, units)}; water boils at {boils}.")]


def _cold_reasons(result: BatchResult) -> list[Finding]:
    return [finding for finding in result.findings if finding.id in COLD_REASONS] if result.storage == "cold" else []


def _shown_reasons(result: BatchResult) -> list[Finding]:
    """The reasons in the box. What a meter might show is beside the point where no reading makes the batch fit: it would read like a way
    out; where nothing else bars the shelf, what mends it stands there too."""
    reasons = _cold_reasons(result)
    remedies = [finding for finding in result.findings if finding.id in REMEDIES]
    return [reason for reason in reasons if reason.id in NO_METER_MENDS] or [*reasons, *(remedies if reasons else ())]


def _instead(result: BatchResult) -> list[Finding]:
    """What was left out of a batch that is for the cold, and what to run instead."""
    return [finding for finding in result.findings if finding.id in INSTEAD]


def _meter_may_mend(result: BatchResult) -> bool:
    unread = result.batch.settings.batch_ph is None
    return {finding.id for finding in _cold_reasons(result)} == {"measure"} and (unread or result.rescue is not None)


def _cold_whatever_the_ph(result: BatchResult) -> bool:
    asked = result.storage == "cold" and result.batch.settings.store == "cold"
    return asked or any(reason.id in NO_METER_MENDS - {"ph-over-limit"} for reason in _cold_reasons(result))


def _finding_list(result: BatchResult) -> list[RenderableType]:
    """All findings in order of weight, less those that the box has already given as its reason."""
    reasons = [*_cold_reasons(result), *_shown_reasons(result), *_instead(result)]
    findings = [finding.text for finding in result.findings if finding not in reasons and finding.text != result.refused]
    if not result.solution.converged:
        findings.insert(0, UNSETTLED)
    return [titled("Findings", listed(("!", text) for text in findings))] if findings else []


def _band_row(process: Process, units: str) -> Table:
    row = Table.grid(padding=(0, 2, 0, 0))
    bands = [(band.metres if units == "metric" else band.feet).removesuffix(" ft").removesuffix(" m") for band in process.by_band]
    row.add_row(Text("metres" if units == "metric" else "feet"), *map(Text, bands))
    row.add_row(Text("minutes", style="bold"), *(Text(str(band.minutes), style="bold") for band in process.by_band))
    return row


class _Ruler:
    """The pH ruler, as wide as the screen lets it be; left out where it would not fit, for the sentence above says the same."""

    def __init__(self, result: BatchResult) -> None:
        self._result = result

    def __rich_console__(self, _console: Console, options: ConsoleOptions) -> RenderResult:
        measured = self._result.batch.settings.batch_ph is not None
        if _cold_whatever_the_ph(self._result):
            zones = ("acid enough", "not shown", "too mild")
        else:
            zones = ("may stand on a shelf", "cold" if measured else "measure it", "cold only")
        for columns_per_tenth in (3, 2):
            lines = phrases.ruler(
                self._result.acidity.ph,
                shelf_ph=storage.SHELF_READING_PH if measured else storage.SHELF_HIGH_SIDE_PH,
                wall_ph=storage.WALL_PH,
                zones=zones,
                columns_per_tenth=columns_per_tenth,
            )
            if max(map(len, lines)) <= options.max_width:
                yield from (Text(line) for line in lines)
                return


def acidity(result: BatchResult) -> RenderableType:
    """Where the pH lies, in a sentence and on a ruler with marks at the shelf's limit and the wall."""
    said = f"pH {phrases.ph_words(result.acidity.ph)}"
    if result.lemon_juice.grams > 0:
        said += f"; before the lemon juice {phrases.ph_words(result.acidity.ph_before_lemon)}"
    if result.standing == "tested":
        decides = "Reckoned from tables; the test of this recipe counts for more."
    elif _cold_whatever_the_ph(result):
        decides = "It stays cold whatever its pH."
    elif result.batch.settings.batch_ph is not None:
        decides = "The meter's reading decides how it may be kept."
    else:
        decides = "The high end decides how it may be kept."
    return Group(Text(f"{said}."), Text(decides), Text(), _Ruler(result))


def quiet_table(result: BatchResult, units: str) -> Table:
    """Jars, set, soluble solids and water activity, with a word on what each means."""
    yield_, gel_set = result.yield_, result.gel_set
    over = phrases.over_words(yield_.over_ml, units)
    at_home = result.kitchen is not None  # then its own block says which jars
    rows = [("jars", phrases.jar_count_words(yield_.jars, yield_.jar, heat=not at_home))]
    if over and not at_home:
        rows.append(("", f"as reckoned {yield_.full_jars} full and {over} over"))
    if result.batch.stated_yield:
        whose = "the recipe's own yield, scaled" if result.command == "scale" else "by the recipe itself"
        rows.append(("stated yield", f"{result.batch.stated_yield}, {whose}"))
    rows.append(("headspace", phrases.headspace(yield_.headspace_mm, units)))
    if result.batch.pectin_kind != "calcium-set":
        rows.append(("set", "not reckoned: only calcium-set pectin is"))
    elif gel_set.strength == "none":
        rows.append(("set", "none to expect: too little pectin or calcium"))
    else:
        excess = "more calcium than it can use: may weep or turn grainy"
        calcium = excess if gel_set.too_much_calcium else "calcium within bounds"
        rows.append(("set", f"{gel_set.strength}: {gel_set.pectin_percent:.1f} % pectin, {calcium}"))
    rows.append(("soluble solids", f"{phrases.about(result.solids_percent, unit=' %')}; a full-sugar jam has 65 %"))
    sugar = ": it does not keep by its sugar" if result.water_activity > KEEPS_BY_ITS_SUGAR else ""
    rows.append(("water activity", f"about {result.water_activity:.2f}{sugar}"))
    return pairs(rows)


def _rely_on(result: BatchResult) -> RenderableType:
    cannable = result.storage == "shelf" or _meter_may_mend(result)
    first = MEASURE_IT if result.batch.settings.batch_ph is None else MEASURED
    same = (SAME_JAR,) if result.process is not None else ()
    said = (first, *same, PREFER_TESTED) if cannable else (NOT_FOR_THE_CANNER, PREFER_TESTED)
    return titled("Before you rely on it", listed(("-", text) for text in said))


def _pointers(result: BatchResult, working: bool) -> RenderableType:
    names = [part.fruit.name for part in result.batch.fruits[:1]]
    facts = " ".join(["jamcalc facts", *(f'"{name}"' if " " in name else name for name in names)])
    steps = "" if working else "Every step: --working. "
    lines = [Text(f"{steps}Figures and sources: {plain(facts)}")]
    if _meter_may_mend(result):
        lines.append(Text('Once you have measured it: --reading "batch pH 3.9", or whatever the meter says.'))
    if any(finding.id == "worth-measuring" for finding in result.findings):
        lines.append(Text('A fruit that you have measured: --reading "plum pH 3.6", for one.'))
    return Padding(Group(*lines), (1, 0, 0, 0))


# ---------------------------------------------------------------- the other screens


def working_screen(result: BatchResult) -> RenderableType:
    """How each number came about, step by step, and the sources that the steps name."""
    grid = Table.grid(padding=(0, 2, 0, 0))
    grid.add_column(justify="right")
    grid.add_column(overflow="fold")
    for number, step in enumerate(result.working, 1):
        grid.add_row(Text(f"{number}."), Text.assemble((plain(step.what), "bold"), ": ", plain(step.value)))
        named = f" [{', '.join(step.sources)}]" if step.sources else ""
        grid.add_row(Text(), Text(plain(step.how) + named))
    return Group(titled("Working", grid), *source_list(result.sources))


def source_list(sources: Iterable[Source]) -> list[RenderableType]:
    """The sources by their keys; nothing where there are none."""
    rows = [(source.key, f"{source.text} ({source.status})") for source in sources]
    return [titled("Sources", pairs(rows))] if rows else []


def process_screen(process: Process, notes: Sequence[Finding] = (), *, units: str = "us") -> RenderableType:
    """Minutes in boiling water for one jar: at this altitude, and by band."""
    boils = phrases.temperature(process.boiling_point_degc, units)
    if process.altitude_ft is None:
        head = f"{process.jar}: minutes in boiling water by altitude"
        said = f"{process.minutes} minutes up to 1,000 ft; water boils at {boils} at the sea. Give --altitude for your own."
    else:
        head = f"{process.jar}: {process.minutes} minutes in boiling water"
        said = f"At {phrases.altitude(process.altitude_ft, units)}, where water boils at {boils}."
    table = ruled()
    for name in ("feet", "metres", "minutes"):
        table.add_column(name, justify="right")
    for band in process.by_band:
        table.add_row(Text(band.feet), Text(band.metres), Text(str(band.minutes)))
    care = [titled("Take care", listed(("-", note.text) for note in notes))] if notes else []
    return Group(Text(plain(head), style="bold"), Text(said), Padding(table, (1, 0, 0, 2)), *care)
