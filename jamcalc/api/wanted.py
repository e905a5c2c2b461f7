"""The lines of a batch: as written, or those to buy for the jars wanted; and how the fruit on hand compares with those jars."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace

from jamcalc import facts
from jamcalc.nouns.asked import Batch
from jamcalc.nouns.outcome import BatchResult
from jamcalc.nouns.said import Finding, Line
from jamcalc.reading import several
from jamcalc.words.phrases import jar_words, joined

CLOSE = 0.05  # of the jars wanted: as near as a yield can be told


def lines_to_solve(
    words: list[str], parts: str | None, want: str | None, quick_batch: Callable[[Sequence[Line]], Batch]
) -> tuple[tuple[Line, ...], Finding | None]:
    """The lines as written; or those to buy for the jars wanted, and what to say of them.

    Parameters
    ----------
    words : ingredient lines, or fruit names alone
    parts : "2:1", by weight of prepared fruit; want : "8 half-pints"
    quick_batch : puts lines together as the batch will be, without its drawn ranges

    Raises
    ------
    InputError, UnknownItem, NotPossible : as reading the lines, and as fruit_for_jars
    """
    from jamcalc.answers import fruit_for_jars

    question = fruit_for_jars.asked(words, parts, want)
    return (several.read_lines(words), None) if question is None else fruit_for_jars.lines_for(question, quick_batch)


def compared(result: BatchResult, count: float) -> BatchResult:
    """The answer, and how its fruit compares with that for `count` jars."""
    factor = count / result.yield_.jars.expected
    jars = jar_words(facts.jar(result.batch.settings.jar).name, count)
    if abs(factor - 1.0) < CLOSE:
        text = f"This fruit makes the {jars} you want."
    else:
        from jamcalc.answers.fruit_for_jars import as_weighed
        from jamcalc.recipes.portions import portion

        units = result.batch.settings.units
        fruit = [as_weighed(portion(line, factor), units) for line in result.batch.lines if line.role == "fruit"]
        text = f"For {jars} take {factor:.2f} times this fruit: {joined(fruit)}."
    return replace(result, findings=(Finding(id="want", kind="desk", text=text), *result.findings))
