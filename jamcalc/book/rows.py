"""Kept batches and entries as rows of the tables, and back; knows the columns and nothing of files and transactions.

Takes a connection whose transaction is open.
"""

from __future__ import annotations

import hashlib
from collections.abc import Iterable, Mapping, Sequence
from datetime import date
from sqlite3 import Connection, Row
from typing import Any

from jamcalc.kept.entries import Entry, FruitOf, Jars, Kept, Papers, Used
from jamcalc.nouns.known import Estimate

SPREADS = ("jars", "ph", "solids_percent")
PLAIN = ("uid", "title", "written", "version", "command", "standing", "storage", "own_weeks", "altitude_ft", "batch_ph", "jar",
         "minutes_half_pint", "minutes_pint")  # fmt: skip
FINISH = ("ph", "brix", "over_ml", "found", "boil_min", "processed_min", "stored", "note")


def _insert(connection: Connection, table: str, values: Mapping[str, Any]) -> int:
    names, marks = ", ".join(values), ", ".join("?" * len(values))
    return int(connection.execute(f"INSERT INTO {table} ({names}) VALUES ({marks})", tuple(values.values())).lastrowid or 0)


# ---------------------------------------------------------------- writing


def add_batch(connection: Connection, batch: Kept) -> None:
    """Insert a batch under its number, with its papers and all its entries."""
    values: dict[str, Any] = {"number": batch.number, "made": batch.made.isoformat(), **{name: getattr(batch, name) for name in PLAIN}}
    values["freezes"] = None if batch.freezes is None else int(batch.freezes)
    for name in SPREADS:
        spread: Estimate = getattr(batch, name)
        values |= {f"{name}_low": spread.low, f"{name}_typical": spread.typical, f"{name}_high": spread.high}
    _insert(connection, "batch", values)
    for position, fruit in enumerate(batch.fruits):
        row = {"batch": batch.number, "position": position, "item": fruit.item, "grams": fruit.grams, "as_bought_g": fruit.as_bought_g}
        _insert(connection, "fruit", row)
    if batch.papers is not None:
        _add_papers(connection, batch.number, batch.papers)
    for entry in batch.entries:
        add_entry(connection, batch.number, entry)


def _add_papers(connection: Connection, number: int, papers: Papers) -> None:
    texts = {"asked": papers.asked, "answer": papers.answer, "recipe": papers.recipe, "screen": papers.screen}
    _insert(connection, "papers", {"batch": number, **texts})
    for position, (item, text) in enumerate(papers.figures):  # the same figures serve many batches, and stand in the book once
        digest = hashlib.sha256(text.encode()).hexdigest()
        connection.execute("INSERT OR IGNORE INTO figures (digest, text) VALUES (?, ?)", (digest, text))
        _insert(connection, "figures_of", {"batch": number, "position": position, "item": item, "digest": digest})


def add_entry(connection: Connection, number: int, entry: Entry) -> None:
    """Insert an entry after those that are there."""
    values: dict[str, Any] = {"batch": number, "kind": entry.kind, "written": entry.written, "day": entry.day.isoformat()}
    values |= {"made": None if entry.made is None else entry.made.isoformat(), **{name: getattr(entry, name) for name in FINISH}}
    values |= {"seals_said": int(entry.unsealed is not None), "of_unsealed": int(entry.of_unsealed)}
    entry_id = _insert(connection, "entry", values)
    taken = () if entry.jars is None else (entry.jars,)
    for what, jars in (("filled", entry.filled), ("unsealed", entry.unsealed or ()), ("taken", taken)):
        for position, kind in enumerate(jars):
            _insert(connection, "jars", {"entry": entry_id, "position": position, "what": what, "jar": kind.jar, "count": kind.count})
    for position, line in enumerate(entry.used):
        row = {"entry": entry_id, "position": position, "line": line.line, "item": line.item, "role": line.role, "grams": line.grams}
        _insert(connection, "used", row)


# ---------------------------------------------------------------- reading


def batches(connection: Connection, rows: Sequence[Row], *, papers: bool) -> tuple[Kept, ...]:
    """Rows of the table `batch` with all that belongs to them, in the order of the rows."""
    numbers = [row["number"] for row in rows]
    fruits = _by_batch(connection, "fruit", "position", numbers)
    entries = _entries(connection, numbers)
    return tuple(
        Kept(
            number=row["number"],
            made=date.fromisoformat(row["made"]),
            **{name: row[name] for name in PLAIN},
            freezes=None if row["freezes"] is None else bool(row["freezes"]),
            **_spreads(row),
            fruits=tuple(
                FruitOf(item=fruit["item"], grams=fruit["grams"], as_bought_g=fruit["as_bought_g"])
                for fruit in fruits.get(row["number"], ())
            ),
            entries=tuple(entries.get(row["number"], ())),
            papers=_papers(connection, row["number"]) if papers else None,
        )
        for row in rows
    )


def _spreads(row: Row) -> dict[str, Any]:
    return {name: Estimate(low=row[f"{name}_low"], typical=row[f"{name}_typical"], high=row[f"{name}_high"]) for name in SPREADS}


def _select(connection: Connection, text: str, values: Sequence[int]) -> Iterable[Row]:
    """The rows of a query with `{}` for a list of values; asked in pieces, for a query takes so many and no more."""
    for start in range(0, len(values), 500):
        piece = values[start : start + 500]
        yield from connection.execute(text.format(", ".join("?" * len(piece))), tuple(piece))


def _by_batch(connection: Connection, table: str, order: str, numbers: Sequence[int]) -> dict[int, list[Row]]:
    by_batch: dict[int, list[Row]] = {}
    for row in _select(connection, f"SELECT * FROM {table} WHERE batch IN ({{}}) ORDER BY batch, {order}", numbers):
        by_batch.setdefault(row["batch"], []).append(row)
    return by_batch


def _entries(connection: Connection, numbers: Sequence[int]) -> dict[int, list[Entry]]:
    rows = _by_batch(connection, "entry", "id", numbers)
    ids = [row["id"] for of_batch in rows.values() for row in of_batch]
    jars: dict[tuple[int, str], list[Jars]] = {}
    for row in _select(connection, "SELECT * FROM jars WHERE entry IN ({}) ORDER BY entry, what, position", ids):
        jars.setdefault((row["entry"], row["what"]), []).append(Jars(jar=row["jar"], count=row["count"]))
    used: dict[int, list[Used]] = {}
    for row in _select(connection, "SELECT * FROM used WHERE entry IN ({}) ORDER BY entry, position", ids):
        used.setdefault(row["entry"], []).append(Used(line=row["line"], item=row["item"], role=row["role"], grams=row["grams"]))
    return {number: [_entry(row, jars, used.get(row["id"], ())) for row in of_batch] for number, of_batch in rows.items()}


def _entry(row: Row, jars: Mapping[tuple[int, str], Sequence[Jars]], used: Iterable[Used]) -> Entry:
    taken = jars.get((row["id"], "taken"), ())
    return Entry(
        kind=row["kind"],
        written=row["written"],
        day=date.fromisoformat(row["day"]),
        made=None if row["made"] is None else date.fromisoformat(row["made"]),
        **{name: row[name] for name in FINISH},
        filled=tuple(jars.get((row["id"], "filled"), ())),
        unsealed=tuple(jars.get((row["id"], "unsealed"), ())) if row["seals_said"] else None,
        used=tuple(used),
        jars=taken[0] if taken else None,
        of_unsealed=bool(row["of_unsealed"]),
    )


def _papers(connection: Connection, number: int) -> Papers | None:
    row = connection.execute("SELECT * FROM papers WHERE batch = ?", (number,)).fetchone()
    if row is None:
        return None
    figures = connection.execute(
        "SELECT item, text FROM figures_of JOIN figures USING (digest) WHERE batch = ? ORDER BY position", (number,)
    ).fetchall()
    return Papers(
        asked=row["asked"],
        answer=row["answer"],
        recipe=row["recipe"],
        screen=row["screen"],
        figures=tuple((figure["item"], figure["text"]) for figure in figures),
    )
