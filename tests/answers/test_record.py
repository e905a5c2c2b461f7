"""The record: the contract's keys, its rounding, and nothing that JSON cannot hold."""

from __future__ import annotations

import json
import math
from dataclasses import replace
from typing import Any

import pytest
import sample_result as sample

from jamcalc.answers import record
from jamcalc.nouns import outcome

RANGE = {"low", "typical", "high"}
KEYS: dict[str, set[str]] = {
    "lemon_juice": {"g", "ml", "measure", "needed_g", "replaced_by"},
    "pectin": {"g", "tsp", "measure", "needed_g"},
    "calcium_water": {"ml", "tsp", "calcium_mg", "measure", "optional"},
    "acidity": {"ph", "ph_before_lemon", "titratable_percent", "meter_needed"},
    "set": {"pectin_percent", "calcium_mg_per_g_pectin", "calcium_from_fruit_mg", "class", "too_much_calcium"},
    "solids_percent": RANGE,
    "yield": {"mass_g", "hot_volume_ml", "jar", "jars", "full_jars", "over_ml", "headspace_mm"},
    "process": {"jar", "minutes", "altitude_ft", "boiling_point_c", "by_band"},
    "solution": {"converged", "residual", "iterations"},
}
TOP = {
    *("schema", "command", "title", "standing", "storage", "keeping", "ingredients", "lemon_juice", "pectin", "calcium_water"),
    *("acidity", "set", "solids_percent", "water_activity", "yield", "process", "findings", "refused", "cautions"),
    *("order_of_work", "working", "solution", "sources", "acid"),
}


def numbers(value: Any) -> list[float]:
    if isinstance(value, dict):
        return [number for each in value.values() for number in numbers(each)]
    if isinstance(value, list):
        return [number for each in value for number in numbers(each)]
    return [value] if isinstance(value, float) else []


def test_keys_are_the_contract() -> None:
    answer = record.to_dict(sample.RESULT)
    assert set(answer) == TOP
    assert answer["schema"] == "jamcalc/1"
    for name, keys in KEYS.items():
        assert set(answer[name]) == keys, name
    for ingredient in answer["ingredients"]:
        assert set(ingredient) == {"item", "name", "role", "as_bought_g", "grams", "ml", "measure"}
    for name in ("ph", "ph_before_lemon", "titratable_percent"):
        assert set(answer["acidity"][name]) == RANGE
    assert set(answer["yield"]["jars"]) == {"low", "expected", "high", "heat"}
    assert set(answer["process"]["by_band"][0]) == {"feet", "metres", "minutes"}
    assert answer["findings"] == [{"id": each.id, "kind": each.kind, "text": each.text} for each in sample.RESULT.findings]
    assert answer["sources"][0] == {"id": "INVENTED-A", "text": "An invented bulletin on stone fruit, table 2"}


def test_it_is_json_and_comes_back() -> None:
    answer = record.to_dict(sample.RESULT)
    assert json.loads(json.dumps(answer, allow_nan=False)) == answer


def test_rounding() -> None:
    answer = record.to_dict(sample.RESULT)
    assert answer["acidity"]["ph"] == {"low": 3.12, "typical": 3.46, "high": 3.98}
    assert answer["water_activity"] == 0.973
    assert answer["solids_percent"]["typical"] == 22.0
    assert answer["lemon_juice"]["needed_g"] == 114.3
    assert answer["yield"]["headspace_mm"] == 6.35
    assert answer["set"]["pectin_percent"] == 0.5


def test_full_jars_stay_the_floor_of_what_is_printed() -> None:
    jars = outcome.JarCount(low=4.4, expected=4.9999, high=5.5, heat=6)
    answer = record.to_dict(replace(sample.RESULT, yield_=replace(sample.RESULT.yield_, jars=jars, full_jars=4)))
    assert math.floor(answer["yield"]["jars"]["expected"]) == answer["yield"]["full_jars"] == 4


def test_no_process_when_cold() -> None:
    answer = record.to_dict(sample.cold())
    assert answer["storage"] == "cold"
    assert answer["process"] is None


@pytest.mark.parametrize("value", [math.nan, math.inf, -math.inf])
def test_numbers_that_json_does_not_know_become_null(value: float) -> None:
    broken = replace(
        sample.RESULT,
        water_activity=value,
        solution=outcome.Solution(converged=False, residual=value, iterations=50),
        yield_=replace(sample.RESULT.yield_, jars=outcome.JarCount(low=0, expected=value, high=1, heat=1)),
    )
    answer = record.to_dict(broken)
    json.dumps(answer, allow_nan=False)
    assert answer["water_activity"] is None
    assert answer["solution"]["residual"] is None
    assert answer["yield"]["jars"]["expected"] is None


def test_no_minus_zero() -> None:
    answer = record.to_dict(replace(sample.RESULT, lemon_juice=outcome.LemonDose(grams=-0.0, ml=-0.01, measure="", needed_g=0)))
    assert all(math.copysign(1, number) > 0 for number in numbers(answer["lemon_juice"]))


def test_process_alone() -> None:
    alone = record.process_dict(sample.PROCESS)
    assert alone["jar"] == "half-pint"
    assert alone["minutes"] == 20
    assert alone["altitude_ft"] == 4300
    assert alone["boiling_point_c"] == 95.6
    assert alone["by_band"][2] == {"feet": "3,001-6,000 ft", "metres": "915-1,828 m", "minutes": 20}
    assert record.process_dict(replace(sample.PROCESS, altitude_ft=None))["altitude_ft"] is None
