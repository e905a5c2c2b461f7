"""The whole book as one CSV table, a row for each batch and each entry, units in the names of the columns; and back, losing nothing.

Cells that a spreadsheet would run as a formula get an apostrophe in front, and lose it again on the way in.
"""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Iterable, Mapping
from functools import partial
from typing import Any

from jamcalc.errors import InputError
from jamcalc.kept.entries import LONGEST_PAPER, Jars, Kept
from jamcalc.kept.exchange import SCHEMA, as_dict, checked, compact, from_dict, loaded

# column of the file: name in the exchange's dictionary, and what it holds
BATCH = {
    "number": ("number", "int"), "uid": ("uid", "text"), "title": ("title", "free"), "made": ("made", "text"),
    "written_utc": ("written", "text"), "version": ("version", "text"), "command": ("command", "text"),
    "standing": ("standing", "text"), "storage": ("storage", "text"), "own_weeks": ("own_weeks", "float"),
    "freezes": ("freezes", "yes or no"),
    "altitude_ft": ("altitude_ft", "float"), "batch_ph": ("batch_ph", "float"), "jar": ("jar", "text"),
    "process_half_pint_min": ("minutes_half_pint", "int"), "process_pint_min": ("minutes_pint", "int"),
}  # fmt: skip
SPREADS = {"jars": "jars_predicted", "ph": "ph_predicted", "solids_percent": "solids_predicted_percent"}
ENTRY = {
    "day": ("day", "text"), "made_corrected": ("made", "text"), "ph_read": ("ph", "float"), "brix_read_percent": ("brix", "float"),
    "over_ml": ("over_ml", "float"), "boil_min": ("boil_min", "float"), "processed_min": ("processed_min", "float"),
    "set_judged": ("found", "text"), "stored": ("stored", "text"), "note": ("note", "free"),
}  # fmt: skip
JARS = ("filled", "unsealed", "jars")
PAPERS = {"asked_json": "asked", "answer_json": "answer", "figures_json": "figures", "recipe_toml": "recipe", "screen_text": "screen"}
COLUMNS = (
    "record", *BATCH, *(f"{name}_{end}" for name in SPREADS.values() for end in ("low", "typical", "high")), "fruits_g", *ENTRY,
    *(f"jars_{name}" for name in ("filled", "unsealed", "taken")), "of_unsealed", "used_json", *PAPERS,
)  # fmt: skip
_FORMULA = tuple("=+-@'\t")
_FRUIT = re.compile(r"([a-z0-9_.-]+) ([0-9.e+-]+) g(?: \(([0-9.e+-]+) g as bought\))?", re.ASCII)
_JAR = re.compile(r"(\d{1,3}) ([a-z0-9_.-]+)", re.ASCII)
NONE = "none"  # said, and no jar: all sealed


def write(batches: Iterable[Kept]) -> str:
    """The batches as CSV with a line of names."""
    out = io.StringIO()
    table = csv.DictWriter(out, COLUMNS, restval="", lineterminator="\n")
    table.writeheader()
    for batch in batches:
        value = as_dict(batch)
        table.writerow(_batch_row(value))
        table.writerows({"number": value["number"], **_entry_row(entry)} for entry in value["entries"])
    return out.getvalue()


def _cells(value: Mapping[str, Any], columns: Mapping[str, tuple[str, str]]) -> dict[str, str]:
    return {column: _free(value[name]) if kind == "free" else _plain(value[name]) for column, (name, kind) in columns.items()}


def _plain(value: Any) -> str:
    words = {None: "", True: "yes", False: "no"}
    return words[value] if value is None or isinstance(value, bool) else repr(value) if isinstance(value, float) else str(value)


def _free(text: str) -> str:
    return f"'{text}" if text.startswith(_FORMULA) else text


def _unfree(text: str) -> str:
    return text[1:] if text.startswith("'") and text[1:].startswith(_FORMULA) else text


def _batch_row(value: Mapping[str, Any]) -> dict[str, str]:
    row = {"record": "batch", **_cells(value, BATCH)}
    for name, column in SPREADS.items():
        row |= {f"{column}_{end}": repr(value[name][end]) for end in ("low", "typical", "high")}
    fruits = [
        f"{fruit['item']} {fruit['grams']!r} g" + (f" ({fruit['as_bought_g']!r} g as bought)" if fruit["as_bought_g"] is not None else "")
        for fruit in value["fruits"]
    ]
    row["fruits_g"] = "; ".join(fruits)
    papers = value["papers"]
    if papers is not None:
        for column, name in PAPERS.items():
            row[column] = compact(papers[name]) if column.endswith("_json") else _free(papers[name])
    return row


def _jars_cell(jars: Any) -> str:
    if jars is None:
        return ""
    return "; ".join(f"{kind['count']} {kind['jar']}" for kind in ([jars] if isinstance(jars, dict) else jars)) or NONE


def _entry_row(entry: Mapping[str, Any]) -> dict[str, str]:
    return {
        "record": entry["kind"],
        "written_utc": entry["written"],
        **_cells(entry, ENTRY),
        "jars_filled": _jars_cell(entry["filled"] or None),
        "jars_unsealed": _jars_cell(entry["unsealed"]),
        "jars_taken": _jars_cell(entry["jars"]),
        "of_unsealed": "yes" if entry["of_unsealed"] else "",
        "used_json": compact(entry["used"]) if entry["used"] else "",
    }


# ---------------------------------------------------------------- in


def read(text: str, name: str) -> tuple[Kept, ...]:
    """The batches of a CSV text; InputError names the first row with a fault."""
    csv.field_size_limit(2 * LONGEST_PAPER)
    values: list[dict[str, Any]] = []
    starts: list[int] = []
    table = csv.reader(io.StringIO(text, newline=""), strict=True)
    line = 1
    while True:
        line = table.line_num + 1
        where = f"{name}, line {line}"
        row = checked(_next, table, where)
        if row is None:
            break
        if line == 1:
            if tuple(row) != COLUMNS:
                raise InputError(f"{name}: the first line does not hold the names that jamcalc book --export writes")
        else:
            count = len(values)
            checked(partial(_take_row, values), row, where)
            if len(values) > count:
                starts.append(line)
    if not values:
        raise InputError(f"{name}: no batch is in it; jamcalc book --export writes such a file")
    return tuple(checked(from_dict, value, f"{name}, line {start}") for value, start in zip(values, starts, strict=True))


def _next(table: Any) -> list[str] | None:
    try:
        row: list[str] | None = next(table, None)
    except csv.Error as error:
        raise ValueError(str(error)) from None
    return row


def _take_row(values: list[dict[str, Any]], row: list[str]) -> None:
    """Add a row to the batches so far."""
    if len(row) != len(COLUMNS):
        raise ValueError(f"{len(row)} cells in the row, and {len(COLUMNS)} belong there")
    cells = dict(zip(COLUMNS, row, strict=True))
    if cells["record"] == "batch":
        values.append(_batch_value(cells))
    elif values and str(values[-1]["number"]) == cells["number"]:
        values[-1]["entries"].append(_entry_value(cells))
    else:
        raise ValueError("an entry that does not follow its batch")


def _value(text: str, kind: str) -> Any:
    if kind == "free":
        return _unfree(text)
    if not text:
        return None
    if kind == "yes or no":
        return {"yes": True, "no": False}.get(text, text)
    return float(text) if kind == "float" else int(text) if kind == "int" else text


def _values(cells: Mapping[str, str], columns: Mapping[str, tuple[str, str]]) -> dict[str, Any]:
    return {name: _value(cells[column], kind) for column, (name, kind) in columns.items()}


def _batch_value(cells: Mapping[str, str]) -> dict[str, Any]:
    fruits = []
    for part in cells["fruits_g"].split("; "):
        if not (match := _FRUIT.fullmatch(part)):
            raise ValueError("fruits_g is not written as plum 1279.0 g")
        fruits.append({"item": match[1], "grams": float(match[2]), "as_bought_g": float(match[3]) if match[3] else None})
    papers: dict[str, Any] | None = None
    if cells["asked_json"]:
        papers = {name: loaded(cells[column]) if column.endswith("_json") else _unfree(cells[column]) for column, name in PAPERS.items()}
    return {
        "schema": SCHEMA,
        **_values(cells, BATCH),
        **{name: {end: float(cells[f"{column}_{end}"]) for end in ("low", "typical", "high")} for name, column in SPREADS.items()},
        "fruits": fruits,
        "entries": [],
        "papers": papers,
    }


def _jars_value(text: str) -> list[dict[str, Any]]:
    matches = [_JAR.fullmatch(part) for part in text.split("; ")] if text != NONE else []
    if None in matches:
        raise ValueError("jars are not written as 6 half-pint")
    return [{"jar": match[2], "count": Jars(jar=match[2], count=int(match[1])).count} for match in matches if match]


def _entry_value(cells: Mapping[str, str]) -> dict[str, Any]:
    taken = _jars_value(cells["jars_taken"]) if cells["jars_taken"] else [None]
    if len(taken) != 1 or cells["of_unsealed"] not in ("", "yes"):
        raise ValueError("jars_taken holds other than one kind of jar, or of_unsealed other than yes")
    return {
        "kind": cells["record"],
        "written": cells["written_utc"],
        **_values(cells, ENTRY),
        "used": loaded(cells["used_json"]) if cells["used_json"] else [],
        "filled": _jars_value(cells["jars_filled"]) if cells["jars_filled"] else [],
        "unsealed": _jars_value(cells["jars_unsealed"]) if cells["jars_unsealed"] else None,
        "jars": taken[0],
        "of_unsealed": cells["of_unsealed"] == "yes",
    }
