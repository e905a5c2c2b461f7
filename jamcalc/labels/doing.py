"""What is set out and what is done, as a print shows it: rows of amounts, and steps with the amounts and times in them.

Words only, out of the answer; each name is the cook's own.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from itertools import zip_longest

from jamcalc.answers import measuring, order_of_work
from jamcalc.errors import InputError
from jamcalc.formula import storage
from jamcalc.formula.ruling import process_of
from jamcalc.nouns.label import AmountRow, Piece, Step
from jamcalc.nouns.outcome import BatchResult, Ingredient, PotShare
from jamcalc.nouns.said import Line
from jamcalc.words import measures
from jamcalc.words.forms import name_and_forms
from jamcalc.words.phrases import bought, jar_words, likely_jars, plain, weight
from jamcalc.words.units import read_amount

FIRST_POWDER = ("1/2 tsp", "1/2 cup")
FIRST_POWDER_ML = (0.5 * measures.TSP_ML, 0.5 * measures.CUP_ML)  # as data/setting.toml has it
MOST_WATER_TSP = 24.0  # half a cup of calcium water
NEVER_LESS, SHAKEN = "never less", "shake it first"
IN_GRAMS = re.compile(r"^[0-9.]+ (?:kg|g)$")
# Words after which a name is the thing itself, and not the thing with something done to it ("the sweet pectin").
BEFORE_NAME = r"(?:(?:\ball )?\bthe |(?<=, )|\b(?:in|into|with|and|add|of|stir|mix|beat|work) )"
KINDS = "bottled|fresh|calcium-set|no-sugar|standard|liquid|white|granulated"  # words that a step may leave out or put in
STRONG = re.compile(
    r"\b[0-9][0-9/ ]*(?:(?: to |-)[0-9/]+)? (?:min|minutes?|h|hours?|in)\b(?! of water)|\b[0-9]\.[0-9]{1,2} or (?:lower|less)\b|^Measure:"
)
GIVEN_MINUTES = re.compile(r"\bfor the minutes given\b")
# The measuring step in as few words as a page has room for, and nothing left out of it.
MEASURE = (
    f"Measure: pot off the heat. Blend {{some}} smooth; at room temperature, meter set on its {measuring.BUFFERS}, read twice; "
    f"throw it away. {storage.SHELF_READING_PH:.2f} or lower: full boil again, into hot jars{{minutes}}. "
    "Above: add acid and measure again, or keep it cold."
)
PROCESSING = re.compile(r"\bprocess(?:ed|ing)?\b|\bcanner\b", re.IGNORECASE)


# ---------------------------------------------------------------- amounts


def own_name(line: Line, *, form: bool = False) -> str:
    """What the cook calls an ingredient; with its form where asked for: "frozen blackberries". "" where her line has no plain name."""
    try:
        _, rest = read_amount(line.text)
    except InputError:
        return ""
    rest = plain(rest)
    return rest if form else name_and_forms(rest)[0]


def fruit_names(result: BatchResult) -> list[str]:
    """The fruits of the pot as the cook calls them, in the order of her lines."""
    pairs = zip_longest(result.batch.fruits, _fruit_lines(result)[: len(result.batch.fruits)])
    return [(own_name(line) if line else "") or part.plural for part, line in pairs]


def amount_rows(result: BatchResult, share: PotShare | None = None, *, powder_is_a_step: bool = False) -> tuple[AmountRow, ...]:
    """What to set out, the calcium water first, since its powder is stirred into water before all else.

    Parameters
    ----------
    result : the answer
    share : of several potfuls, what goes into each; None for the whole batch
    powder_is_a_step : how calcium water is made is said among the steps, and not beside its amount
    """
    several = share is not None and share.potfuls > 1 and bool(share.shares)
    potfuls = share.potfuls if several and share is not None else 1
    shares = list(share.shares if several and share is not None else ())
    rows, fruits = [], iter(_fruit_lines(result))
    for ingredient in result.ingredients:
        of_each = next((part for part in shares if part.name == ingredient.name), None)
        if of_each is not None:
            shares.remove(of_each)  # two lines may have one name: each has its own share
        grams = ingredient.grams / potfuls
        shown = "" if not grams else weight(grams) if grams >= 0.1 else measures.grams_text(grams)
        line = next(fruits, None) if ingredient.role == "fruit" else _line_of(ingredient, result)
        amount, name, note = _said(ingredient, line, result)
        if ingredient.role == "calcium water" and powder_is_a_step:
            note = SHAKEN
        if of_each is not None:
            amount = of_each.volume or of_each.amount
            if ingredient.role == "fruit":
                bare = (own_name(line) if line is not None else "") or plain(ingredient.name)
                name, note = f"mashed {bare}" if of_each.mashed else bare, ""
        same = shown.replace(",", "") == amount
        rows.append(AmountRow(role=ingredient.role, amount=amount, name=name, note=note, grams="" if same else shown))
    return tuple(sorted(rows, key=lambda row: row.role != "calcium water"))


def _fruit_lines(result: BatchResult) -> list[Line | None]:
    lines: list[Line | None] = [line for line in result.batch.lines if line.role == "fruit"]
    return lines if len(lines) == len(result.batch.fruits) else [None] * len(result.batch.fruits)


def _line_of(ingredient: Ingredient, result: BatchResult) -> Line | None:
    return next((line for line in result.batch.lines if line.role == ingredient.role and line.item == ingredient.item), None)


def _said(ingredient: Ingredient, line: Line | None, result: BatchResult) -> tuple[str, str, str]:
    """Amount, name and note of one ingredient."""
    measure, name = plain(ingredient.measure), plain(ingredient.name)
    own = own_name(line, form=True) if line is not None else ""
    if ingredient.role == "fruit":
        return _fruit_said(ingredient, line, result.batch.settings.units == "metric", own or name)
    if ingredient.role == "other":
        return "", name, ""
    if ingredient.role == "acid":
        return measure, own or name, NEVER_LESS
    if ingredient.role == "calcium water":
        powder = powder_and_water(result)
        return measure, name, f"first: shake {powder[0]} powder in {powder[1]} water" if powder else SHAKEN
    if ingredient.role == "pectin":
        return measure, "pectin" if re.search(r"packet|pouch|box", measure) and "pectin" not in name else name, ""
    return measure, own or name, ""


def _fruit_said(ingredient: Ingredient, line: Line | None, metric: bool, name: str) -> tuple[str, str, str]:
    measure = plain(ingredient.measure)
    if line is None or (line.amount.ml is not None and not metric):
        amount, _, form = measure.partition(" mashed")
        return amount, name if line is not None or form is None or measure == amount else f"mashed {name}", ""
    bare = own_name(line) or name
    if line.amount.ml is not None:
        return measure.removesuffix(" mashed"), name, ""
    if metric:
        typed = plain(line.amount.text)
        return typed if IN_GRAMS.search(typed) else bought(ingredient.as_bought_g or ingredient.grams, "metric"), name, measure
    return plain(line.amount.text), name if name != bare or line.form != "frozen" else f"frozen {bare}", measure


def powder_and_water(result: BatchResult) -> tuple[str, str] | None:
    """What the batch's calcium water is made of, first of all; a large batch takes more than the usual jar holds.

    None where it is not of the usual strength, where the recipe's own steps say how, and where there is none in it.
    """
    water_ml = sum(ingredient.ml or 0.0 for ingredient in result.ingredients if ingredient.role == "calcium water")
    told = any("calcium powder" in step for step in result.order_of_work)
    if not water_ml or told or result.batch.settings.calcium_water_mg_per_tsp is not None:
        return None
    times, units = max(1, -(-water_ml // (MOST_WATER_TSP * measures.TSP_ML))), result.batch.settings.units
    if times == 1 and units == "us":
        return FIRST_POWDER
    powder, water = (measures.measured(times * ml, units).text for ml in FIRST_POWDER_ML)
    return powder, water


# ---------------------------------------------------------------- steps


def worded_steps(result: BatchResult, rows: Sequence[AmountRow], loads: int = 1) -> tuple[Step, ...]:
    """The order of work with the amount of each ingredient where it is first named, and the minutes in bold.

    Each of the canner's `loads` is asked for its own times.

    Our own steps are said in fewer words, a recipe's stand as written; where they say no more than "process", the time in the canner
    follows as a step.
    """
    waiting = {row: _pattern(row) for row in rows if row.role in ("acid", "sweetener", "pectin", "calcium water") and row.amount}
    some = measures.SAMPLE[result.batch.settings.units]
    steps = []
    for task in result.tasks:
        said = plain(task.short or task.text)
        if result.batch.boil_given:
            said = GIVEN_MINUTES.sub(f"for {result.batch.settings.boil_min:g} min", said)
        if task.kind == "measure":
            said = MEASURE.format(some=some, minutes=_then(result))
        if measuring.BUFFERS in said:  # in a recipe's own words too
            steps.append(Step(pieces=tuple(_timed(said)), asks=("pH", "again"), kind="measure"))
        else:
            steps.append(Step(pieces=_with_amounts(said, waiting), kind=task.kind))
    return _with_times(steps, result, loads)


def first_of_all(result: BatchResult, potfuls: int, jars: str) -> tuple[Step, ...]:
    """The step before all others: the calcium water, made once, and of several potfuls the jars of the whole batch."""
    powder = powder_and_water(result)
    pieces = [Piece(text="First:" if potfuls == 1 else f"First, for all {potfuls} potfuls:", strong=True)]
    if powder:
        pieces += [Piece(text=" shake "), Piece(text=f"{powder[0]} calcium powder", strong=True), Piece(text=" in ")]
        pieces += [Piece(text=f"{powder[1]} water", strong=True), Piece(text=".")]
    if potfuls > 1:
        pieces += [Piece(text=" Have "), Piece(text=jars, strong=True), Piece(text=" ready; one left empty serves the next potful.")]
    return (Step(pieces=tuple(pieces)),) if len(pieces) > 1 else ()


def _then(result: BatchResult) -> str:
    """What follows a reading that is low enough, where the work goes on as for the cold."""
    if result.process is not None:
        return ""
    minutes = shelf_minutes(result)
    return f", {minutes} min in boiling water" if minutes is not None else ", and the minutes for your altitude in boiling water"


def shelf_minutes(result: BatchResult) -> int | None:
    """The minutes of a cold batch, should its reading let it stand on a shelf; None: the altitude is not known, or has none."""
    process = process_of(result.batch, 0.0)
    return process.minutes if process is not None and process.altitude_ft is not None else None


def _pattern(row: AmountRow) -> re.Pattern[str]:
    names = {row.name, re.sub(rf"^(?:{KINDS}) ", "", row.name)}
    if row.role == "sweetener":
        names |= {word for word in ("sugar", "honey") if word in row.name.split()}
        names |= {row.name.removesuffix(end) for end in (" syrup", " extract")}
    either = "|".join(re.escape(name) for name in sorted(names, key=len, reverse=True) if len(name) > 2)
    packed = r"(?:(?:packet|pouch|box) of )?" if row.role == "pectin" else ""
    return re.compile(rf"({BEFORE_NAME})({packed}(?:(?:{KINDS}) )?(?:{either}))\b(?! (?:powder|juice|concentrate))", re.IGNORECASE)


def _with_amounts(text: str, waiting: dict[AmountRow, re.Pattern[str]]) -> tuple[Piece, ...]:
    places: list[tuple[int, int, str]] = []
    for row, pattern in list(waiting.items()):
        match = next(
            (spot for spot in pattern.finditer(text) if not any(start < spot.end() and spot.start() < end for start, end, _ in places)),
            None,
        )
        if match:
            lead = re.sub(r"(?:\ball )?\bthe $", "", match[1], flags=re.IGNORECASE)
            name = re.sub("^(?:packet|pouch|box) of", "of", match[2])
            places.append((match.start() + len(lead), match.end(), f"{row.amount} {name}"))
            del waiting[row]
    pieces: list[Piece] = []
    at = 0
    for start, end, words in sorted(places):
        pieces += [*_timed(text[at:start]), Piece(text=words, strong=True)]
        at = end
    return (*pieces, *_timed(text[at:]))


def _timed(text: str) -> list[Piece]:
    """A stretch without amounts, its times and depths in bold."""
    pieces, at = [], 0
    for match in STRONG.finditer(text):
        pieces += [Piece(text=text[at : match.start()]), Piece(text=match[0], strong=True)]
        at = match.end()
    return [piece for piece in (*pieces, Piece(text=text[at:])) if piece.text]


def _with_times(steps: Sequence[Step], result: BatchResult, loads: int) -> tuple[Step, ...]:
    """The step in the canner asks when the jars went in and came out, and for its minutes where the altitude is not known; it is added
    where a recipe only says to process."""
    if result.process is None or not steps:
        return tuple(steps)
    process = next((place for place, step in enumerate(steps) if step.kind == "process"), None)
    if process is None:
        named = [place for place, step in enumerate(steps) if PROCESSING.search(step.text)]
        process = named[-1] + 1 if named else len(steps)
        text = order_of_work.boiling(order_of_work.process_time(result.process), result.batch.settings.units)
        steps = [*steps[:process], Step(pieces=tuple(_timed(text))), *steps[process:]]
    numbered = [f"load {number}: in at" if loads > 1 else "in at" for number in range(1, loads + 1)]
    unknown = ("altitude", "minutes") if result.process.altitude_ft is None else ()
    asks = (*unknown, *(ask for load in numbered for ask in (load, "out at")))
    timed = Step(pieces=steps[process].pieces, asks=asks, kind="process")
    return (*steps[:process], timed, *steps[process + 1 :])


def on_a_card(worded: Sequence[Step], processed: str) -> tuple[Step, ...]:
    """The steps that make this recipe this recipe, without what every canner does and how it was measured.

    `processed` says method, minutes and altitude in place of the step in the canner.
    """
    own = [step for step in worded if step.kind not in ("routine", "measure")]
    return tuple(Step(pieces=(Piece(text=processed),)) if step.kind == "process" else step for step in own)


def makes(result: BatchResult) -> str:
    """How many jars to expect: "makes about 9 half-pints"."""
    return f"makes about {jar_words(plain(result.yield_.jar), likely_jars(result.yield_.jars))}"
