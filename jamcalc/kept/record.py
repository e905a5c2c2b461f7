"""The book as plain dictionaries: the JSON that scripts rely on, and flat rows for a data frame.

Names and rounds, and decides nothing.
"""

from __future__ import annotations

import json
import math
from collections.abc import Iterable, Sequence
from datetime import date
from typing import Any

from jamcalc.kept.entries import Entry, Jars, Kept
from jamcalc.kept.now import Now, now, total
from jamcalc.kept.safety import Mark, advice, marks, name_of
from jamcalc.kept.season import Season
from jamcalc.kept.shelf import ShelfRow, date_of, place_of
from jamcalc.nouns.known import Estimate

SCHEMA = "jamcalc-book/1"


def _range(spread: Estimate, digits: int) -> dict[str, float]:
    return {name: round(getattr(spread, name), digits) for name in ("low", "typical", "high")}


def _jars(jars: Iterable[Jars]) -> list[dict[str, Any]]:
    return [{"jar": name_of(kind.jar), "count": kind.count} for kind in jars]


def _marks(reasons: Iterable[Mark]) -> list[dict[str, str]]:
    return [{"id": reason.id, "text": reason.text} for reason in reasons]


def listed(batch: Kept, today: date) -> dict[str, Any]:
    """A batch as the list has it; `jars_left` and `jars_filled` are null until jars were counted."""
    state = now(batch)
    reasons = marks(batch, state)
    kind, day = date_of(batch, today)
    return {
        "number": batch.number,
        "title": batch.title,
        "made": state.made.isoformat(),
        "command": batch.command,
        "standing": batch.standing,
        "storage": batch.storage,
        "fruits": [{"item": fruit.item, "grams": round(fruit.grams, 1)} for fruit in batch.fruits],
        "jar": name_of(batch.jar),
        "jars_predicted": math.floor(batch.jars.typical * 100 + 1e-9) / 100,  # down, as in the answer
        "jars_predicted_range": _range(batch.jars, 2),
        "jars_filled": _jars(state.filled) if state.filled else None,
        "jars_left": state.jars_left if state.filled else None,
        "jars_left_by_size": _jars(state.left),
        "unsealed": total(state.unsealed),
        "unsealed_left": _jars(state.left_unsealed),
        "over_ml": state.over_ml,
        "place": place_of(batch, state),
        "best_by": None if day is None else day.isoformat(),
        "date_kind": kind,
        "ph_predicted": _range(batch.ph, 2),
        "ph_read": state.ph,
        "ph_read_highest": state.highest_ph,
        "solids_percent_predicted": _range(batch.solids_percent, 1),
        "brix_read": state.brix,
        "set_judged": state.found,
        "boil_min": state.boil_min,
        "process_min_answered": _answered_min(batch),
        "process_min": state.processed_min,
        "off_shelf": _marks(reasons),
        "todo": advice(batch, state, reasons, today) or None,
        "notes": list(state.notes),
        "finished": state.finished,
    }


def _answered_min(batch: Kept) -> int | None:
    return batch.minutes_half_pint if batch.minutes_half_pint is not None else batch.minutes_pint


def in_full(batch: Kept, today: date) -> dict[str, Any]:
    """A batch with its history, what was asked, what was answered, and the figures used."""
    papers = batch.papers
    return {
        **listed(batch, today),
        "kept": batch.written,
        "version": batch.version,
        "altitude_ft": batch.altitude_ft,
        "history": [entry_dict(entry) for entry in batch.entries],
        "asked": None if papers is None else json.loads(papers.asked),
        "answer": None if papers is None else json.loads(papers.answer),
        "recipe": None if papers is None else papers.recipe,
        "figures": None if papers is None else {item: json.loads(text) for item, text in papers.figures},
    }


def entry_dict(entry: Entry) -> dict[str, Any]:
    """One entry, with what it says and nothing else."""
    values: dict[str, Any] = {"kind": entry.kind, "written": entry.written, "day": entry.day.isoformat()}
    if entry.jars is not None:
        values |= {"jars": _jars((entry.jars,)), "of_unsealed": entry.of_unsealed}
    values |= {} if entry.made is None else {"made": entry.made.isoformat()}
    for name in ("ph", "brix", "over_ml", "found", "boil_min", "processed_min", "stored"):
        if getattr(entry, name) is not None:
            values[name] = getattr(entry, name)
    if entry.used:
        values["used"] = [{"line": line.line, "item": line.item, "role": line.role, "grams": line.grams} for line in entry.used]
    if entry.filled:
        values["jars_filled"] = _jars(entry.filled)
    if entry.unsealed is not None:
        values["unsealed"] = _jars(entry.unsealed)
    return {**values, "note": entry.note} if entry.note else values


def book(batches: Sequence[dict[str, Any]], **more: Any) -> dict[str, Any]:
    """The object that every form of `book --json` prints."""
    return {"schema": SCHEMA, "batches": list(batches), **more}


def shelf_row(row: ShelfRow) -> dict[str, Any]:
    """One row of the shelf."""
    return {
        "number": row.batch.number,
        "title": row.batch.title,
        "made": now(row.batch).made.isoformat(),
        "jar": name_of(row.jars.jar),
        "left": row.jars.count,
        "place": row.place,
        "date": None if row.until is None else row.until.isoformat(),
        "date_kind": row.kind,
        "past": row.past,
        "off_shelf": _marks(row.off_shelf),
        "todo": row.todo or None,
    }


def season_dict(season: Season) -> dict[str, Any]:
    """A season; jars by month and fruit, the fruit put up in grams as bought."""
    return {
        "year": season.year,
        "batches": len(season.batches),
        "jars": season.jars,
        "unfinished": season.unfinished,
        "fruit_g": round(season.fruit_g, 1),
        "by_month": [
            {"month": name, "fruits": [{"item": fruit, "jars": jars} for fruit, jars in parts]} for name, parts in season.by_month
        ],
        "by_fruit": [{"item": name, "jars": jars, "grams": round(grams, 1)} for name, jars, grams in season.by_fruit],
    }


def flat(batch: Kept, today: date) -> dict[str, Any]:
    """A batch as one row of plain values, units in the names; lists as words."""
    state: Now = now(batch)
    out: dict[str, Any] = {}
    for name, value in listed(batch, today).items():
        if isinstance(value, dict):
            out |= {f"{name}_{end}": part for end, part in value.items()}
        elif isinstance(value, list):
            out[name] = "; ".join(_words(part) for part in value)
        else:
            out[name] = value
    out["fruit_g"] = round(sum(fruit.grams for fruit in batch.fruits), 1)
    out["jars_filled_number"] = total(state.filled) if state.filled else None
    return out


def _words(value: Any) -> str:
    if not isinstance(value, dict):
        return str(value)
    if "count" in value:
        return f"{value['count']} {value['jar']}"
    return f"{value['item']} {value['grams']} g" if "item" in value else str(value["text"])
