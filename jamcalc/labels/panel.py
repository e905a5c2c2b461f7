"""The nutrition panel: a composition laid out per spoonful and per 100 g, rounded by 21 CFR 101.9(c).

Only rounds and arranges; what the food holds is for nutrition, what may be claimed for claims.
"""

from __future__ import annotations

import math
import textwrap
from collections.abc import Mapping
from typing import Any

from jamcalc import facts
from jamcalc.nouns.known import Estimate, Source
from jamcalc.nouns.label import Composition, Panel, PanelLine


def lay_out(food: str, content: Composition) -> Panel:
    """The lines of a panel from a composition, rounded once, from the unrounded figure.

    Parameters
    ----------
    food : what is described
    content : per 100 g

    Returns
    -------
    Panel : serving [g] = 15 mL at the density of the food
    """
    label = facts.table("label")
    serving_ml: float = label["serving"]["reference_ml"]
    serving_g = serving_ml * content.g_per_ml
    lines = tuple(_line(row, getattr(content, row["nutrient"]), serving_g / 100) for row in label["panel"]["line"])
    notes = (label["notes"]["estimate"] + ".", label["not_reckoned"]["text"], *(f"Not worked out: {name}." for name in content.left_out))
    return Panel(food=food, serving_ml=serving_ml, serving_g=serving_g, composition=content, lines=lines, notes=notes)


def rounded(rule: str, amount: float) -> str:
    """An amount as the label prints it: to the nearest step of its size, halves up.

    Parameters
    ----------
    rule : a table of [rounding] in the label data: calories, fat, sodium, carbohydrate, mineral, percent, percent_mineral
    amount : unrounded, in the unit of that rule

    Returns
    -------
    str : digits, or words where the rule has words ("less than 1")

    References: CFR-101-9 (c), FDA-2009.
    """
    for step in facts.table("label")["rounding"][rule]["steps"]:
        if amount < step.get("below", math.inf) and amount <= step.get("upto", math.inf):
            return str(step["show"]) if "show" in step else f"{to_step(amount, step['step']):g}"
    raise AssertionError(f"the last step of {rule} has no limit")


def to_step(amount: float, step: float) -> float:
    """The nearest multiple of `step`, halves upward, which Python's own `round` would send to the even neighbor."""
    return math.floor(amount / step + 0.5 + 1e-9) * step


def sources() -> tuple[Source, ...]:
    """Where the rules of the panel were read."""
    label = facts.table("label")
    return facts.sources(
        key for group in ("serving", "energy", "soluble_fibre_fraction", "rounding", "panel") for key in label[group]["sources"]
    )


def to_dict(printed: Panel) -> dict[str, Any]:
    """The panel for JSON: what the label prints beside what was computed."""
    return {
        "food": printed.food,
        "serving": {
            "measure": facts.table("label")["serving"]["reference_amount"],
            "ml": printed.serving_ml,
            "g": round(printed.serving_g, 1),
        },
        "lines": [
            {
                "nutrient": line.nutrient,
                "unit": line.unit or "kcal",
                "serving": line.serving_text,
                "serving_range": line.serving_range,
                "serving_unrounded": _plain(line.serving),
                "per_100_g": line.per_100_g_text,
                "per_100_g_range": line.per_100_g_range,
                "per_100_g_unrounded": _plain(line.per_100_g),
                "daily_percent": line.daily_percent or None,
            }
            for line in printed.lines
        ],
        "notes": list(printed.notes),
        "sources": [{"id": source.key, "text": source.text} for source in sources()],
    }


def as_text(printed: Panel, *, unrounded: bool = False) -> str:
    """The panel as plain text, 60 columns, for a terminal or a file.

    Parameters
    ----------
    printed : the panel
    unrounded : print what was computed, to 0.1, in place of what a label would print

    Returns
    -------
    str : lines; ends with the note that this is an estimate
    """
    serving = f"{facts.table('label')['serving']['reference_amount']}, {printed.serving_g:.0f} g"
    out = [f"{'':<24}{serving:>16}{'100 g':>16}"]
    for line in printed.lines:
        indent = {"fibre_g": 1, "sugars_g": 1, "added_sugars_g": 1, "sugar_alcohol_g": 1}.get(line.nutrient, 0)
        if unrounded:
            one, hundred = _decimals(line.serving), _decimals(line.per_100_g)
        else:
            one, hundred = line.serving_range, line.per_100_g_range
        unit = " " + line.unit if line.unit else ""
        percent = f"{line.daily_percent}%" if line.daily_percent else ""
        out.append(f"{'  ' * indent + line.label:<24}{one + unit:>16}{hundred + unit:>16}{percent:>4}".rstrip())
    out += ["", *(wrapped for note in ("% is of the Daily Value, for a spoonful.", *printed.notes) for wrapped in textwrap.wrap(note, 60))]
    return "\n".join(out)


def _line(row: Mapping[str, Any], per_100_g: Estimate, hundreds: float) -> PanelLine:
    serving = per_100_g.times(hundreds)
    rule = row["rounding"]
    percent = ""
    if "daily" in row:
        # 101.9(d)(7)(ii) lets either the declared or the unrounded amount be divided; the unrounded one rounds once
        percent = rounded("percent_mineral" if row.get("mineral") else "percent", serving.typical / row["daily"] * 100)
    return PanelLine(
        nutrient=row["nutrient"],
        label=row["label"],
        unit=row["unit"],
        serving=serving,
        per_100_g=per_100_g,
        serving_text=rounded(rule, serving.typical),
        serving_range=_span(rule, serving),
        per_100_g_text=rounded(rule, per_100_g.typical),
        per_100_g_range=_span(rule, per_100_g),
        daily_percent=percent,
    )


def _span(rule: str, amount: Estimate) -> str:
    low, high = rounded(rule, amount.low), rounded(rule, amount.high)
    return low if low == high else f"{low} to {high}"


def _plain(amount: Estimate) -> dict[str, float]:
    return {"low": round(amount.low, 3), "typical": round(amount.typical, 3), "high": round(amount.high, 3)}


def _decimals(amount: Estimate) -> str:
    digits = 1 if amount.high < 100 else 0
    low, high = f"{amount.low:.{digits}f}", f"{amount.high:.{digits}f}"
    return low if low == high else f"{low} to {high}"
