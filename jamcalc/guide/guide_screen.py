"""What the guide shows of an answer: a short form for one screen, and what a change has moved.

Every number and verdict is the answer's own; the whole answer is answer_screen's.
"""

from __future__ import annotations

from dataclasses import replace

from rich.console import Group, RenderableType
from rich.padding import Padding
from rich.text import Text

from jamcalc.guide import in_words
from jamcalc.nouns.outcome import BatchResult
from jamcalc.nouns.said import Finding
from jamcalc.screens import answer_screen, short_screen
from jamcalc.screens.layout import Fitted, listed, prose, ruled
from jamcalc.screens.verdict_screen import UNSETTLED, said_in_box, short_box, verdict
from jamcalc.words import phrases
from jamcalc.words.phrases import grouped, plain

ABSENT = "none"


def short_form(result: BatchResult) -> RenderableType:
    """The short answer, without what has been said already and without the options of a command line."""
    return short_screen.answer(replace(result, findings=tuple(_news(result))), units=result.batch.settings.units, at_prompt=True)


def long_form(result: BatchResult) -> RenderableType:
    """The whole answer, without the options of a command line."""
    said = replace(result, findings=in_words.findings(result.findings), cautions=in_words.findings(result.cautions))
    return answer_screen.answer(said, units=result.batch.settings.units, at_prompt=True)


def _jars(result: BatchResult) -> dict[str, str]:
    """How many jars it makes, and where the kitchen's own are known, which of them to have hot."""
    own = result.kitchen
    words = {"jars": phrases.jar_count_words(result.yield_.jars, result.yield_.jar, verb="heat" if own is None else "")}
    return words if own is None else {**words, "have hot": phrases.all_jars(own.heat) if own.heat else ABSENT}


def _news(result: BatchResult) -> list[Finding]:
    """The findings less what was said when the fruit was named, and less the settings that the cook has just been asked for."""
    news = (finding for finding in result.findings if finding.kind != "note" and finding not in result.batch.findings)
    return list(in_words.findings(news))


def moved(before: BatchResult, now: BatchResult) -> tuple[tuple[str, str, str], ...]:
    """What a change has moved: (name, before, now) of each line of the pot, jars, set, pH, keeping and minutes that differ."""
    pots, verdicts = (_pot(before), _pot(now)), (_verdict(before), _verdict(now))
    rows = []
    for was, is_ in (pots, verdicts):
        for name in dict.fromkeys((*was, *is_)):
            one, other = was.get(name, ABSENT), is_.get(name, ABSENT)
            if one != other:
                rows.append((name, one, other))
    return tuple(rows)


def _pot(result: BatchResult) -> dict[str, str]:
    """What goes in the pot, by name: the fruit as bought, all else as the cook measures it."""
    units = result.batch.settings.units
    said: dict[str, list[str]] = {}
    for ingredient in result.ingredients:
        measure = ingredient.measure if ingredient.as_bought_g is None else phrases.bought(ingredient.as_bought_g, units)
        said.setdefault(plain(ingredient.name), []).append(plain(measure))
    return {name: " and ".join(measures) for name, measures in said.items()}


def _verdict(result: BatchResult) -> dict[str, str]:
    """Jars, set, pH and how it may be kept, in the words in which they are compared."""
    said = {
        **_jars(result),
        "set": result.gel_set.strength,
        "pH": phrases.ph_words(result.acidity.ph),
        "keeps": "not to be made so" if result.refused else "on the shelf" if result.storage == "shelf" else "cold only",
    }
    process = result.process
    if process is not None:
        minutes = [band.minutes for band in process.by_band]
        said["minutes"] = f"{min(minutes)} to {max(minutes)}, by altitude" if process.altitude_ft is None else str(process.minutes)
    return said


def difference(before: BatchResult, now: BatchResult) -> RenderableType:
    """Before and after, only what moved; the verdict in its box where it is another; and in full whatever is newly said of the batch."""
    told = replace(now, findings=in_words.findings(now.findings))
    box = short_box(told, now.batch.settings.units, at_prompt=True) if verdict(before) != verdict(now) else None
    known = {finding.text for finding in in_words.findings(before.findings)} | {before.refused}
    known |= {now.refused, *said_in_box(told)} if box is not None else set()
    texts = [*([now.refused] if now.refused else []), *(finding.text for finding in _news(now))]
    notes = [text for text in dict.fromkeys(texts) if text not in known]
    if not now.solution.converged:
        notes.insert(0, UNSETTLED)
    rows = moved(before, now)
    parts: list[RenderableType] = [Text("Nothing moves.")] if not rows else []
    if box is not None:  # before the table: that a batch is not for the shelf may not be a word in its last row
        parts += [box, Text()]
    if rows:
        table = ruled(1)
        for name in ("what moves", "before", "now"):
            table.add_column(name, overflow="fold", no_wrap=name == "what moves")
        for name, was, is_ in rows:
            table.add_row(Text(name), prose(grouped(was)), prose(grouped(is_), "bold"))
        parts.append(Padding(Fitted(table), (0, 0, 0, 2)))
    if notes:
        parts.append(Padding(listed(("!", text) for text in notes), (1, 0, 0, 2)))
    return Group(*parts)
