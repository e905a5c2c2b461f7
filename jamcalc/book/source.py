"""A kept batch where a recipe is expected: `card 7`, `check 7`, `scale 7`; a file called 7 is ./7.

The batch brings its own words where none are typed: its readings, its altitude, for a card its day and number, and what a meter read
in it wherever that is not milder than the answer.
"""

from __future__ import annotations

import json
from dataclasses import replace
from datetime import date
from pathlib import Path
from types import SimpleNamespace
from typing import Any

from jamcalc.book.store import Book
from jamcalc.errors import InputError
from jamcalc.formula.storage import SHELF_READING_PH
from jamcalc.kept.entries import Kept
from jamcalc.kept.now import now
from jamcalc.kept.safety import advice, marks
from jamcalc.nouns.written import Recipe
from jamcalc.reading import recipefile
from jamcalc.words.complaint import complain
from jamcalc.words.phrases import joined


def recipe_of(number: int, path: Path, options: SimpleNamespace) -> Recipe:
    """The recipe of a kept batch; fills in the options that were not typed.

    Raises
    ------
    BookError, UnknownItem : no book, or no such batch; InputError : it was kept without a recipe
    """
    with Book(path, reading=True) as book:
        batch = book.batch(number)
    if batch.papers is None or not batch.papers.recipe:
        raise InputError(f"batch {number} was kept without its recipe")
    state = now(batch)
    if getattr(options, "altitude", "") is None and batch.altitude_ft is not None:
        options.altitude = batch.altitude_ft
    measured = hasattr(options, "reading")  # scale takes none: what a meter read of the formula must then count in another way
    if getattr(options, "reading", None) is None:
        options.reading = _readings(batch) or None
    if getattr(options, "date", "") is None:
        options.date = state.made.isoformat()
    if getattr(options, "lot", "") is None:
        options.lot = str(number)
    if reasons := marks(batch, state):
        complain(
            f"batch {number} is off the shelf: {joined([mark.text for mark in reasons])}. {advice(batch, state, reasons, date.today())}"
        )
    recipe = recipefile.from_text(batch.papers.recipe, f"batch {number}")
    if not measured and state.highest_ph is not None and state.highest_ph > SHELF_READING_PH:
        return replace(recipe, keep="cold", process_min=None, printed_times=())  # once read too mild, this formula is for the cold
    return recipe


def _readings(batch: Kept) -> list[str]:
    """The readings that the batch was answered with, and the highest that came of it."""
    assert batch.papers is not None
    asked: Any = json.loads(batch.papers.asked)
    options = asked.get("options") if isinstance(asked, dict) else None
    said = options.get("reading") if isinstance(options, dict) else None
    texts = [text for text in (said if isinstance(said, list) else [said]) if isinstance(text, str)]
    read = now(batch).highest_ph
    if read is not None and (batch.storage == "shelf" or read > SHELF_READING_PH):
        texts = [text for text in texts if not text.strip().lower().startswith("batch")]
        texts.append(f"batch pH {read:g}")
    return texts
