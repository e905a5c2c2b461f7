"""The single figures that the rules rest on stand in data/limits.toml, each with its source, and nowhere else."""

from __future__ import annotations

import re

import pytest

from jamcalc import facts

LIMITS = facts.table("limits")
CODE = {path.stem: path.read_text(encoding="utf-8") for path in facts.DATA.parent.rglob("*.py")}


@pytest.mark.parametrize("name", LIMITS)
def test_a_limit_is_taken_from_the_table_alone(name: str) -> None:
    assert any(f'limit("{name}")' in text for text in CODE.values()), f'no module takes it: facts.limit("{name}").typical'
    assert LIMITS[name]["sources"] or LIMITS[name]["grade"] in ("judgement", "common practice", "memory"), "name its source"
    assert LIMITS[name].get("note") or LIMITS[name]["sources"] or LIMITS[name]["grade"] == "memory", "a judgement says why, in a note"


@pytest.mark.parametrize("module", ["storage", "acidity"])
def test_the_rule_and_the_chemistry_hold_no_figure_of_their_own(module: str) -> None:
    ours = {"LOWEST_PH", "HIGHEST_PH", "LOWEST_POT_PH", "DRAWN_WITHIN_PH", "MOST_ROUNDS", "QUICK_ROUNDS", "SETTLED", "STRONGEST"}
    ours |= {"START_PH", "SETTLED_PH", "DRAWN_SETTLED_PH", "MOST_STEP", "MOST_STEPS", "ROUNDING"}
    literal = set(re.findall(r"(?m)^([A-Z_]+)(?:, [A-Z_]+)?(?:: \w+)? = (?!.*limit\()\(?-?[0-9.]", CODE[module]))
    assert literal <= ours  # bounds of the search, which say why beside them
