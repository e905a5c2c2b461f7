"""What people must be told: which cautions go with which answer, and what they say. Sources stand in data/cautions.toml."""

from __future__ import annotations

import re
from typing import Any

import pytest

import jamcalc
from jamcalc import facts
from jamcalc.labels import card
from jamcalc.nouns.label import CardRequest
from jamcalc.nouns.outcome import BatchResult

PLUMS = ["3 lb plums"]


def batch(*lines: str, **options: Any) -> BatchResult:
    return jamcalc.batch(list(lines) or PLUMS, **{"sweetener": "honey", "draws": 0, **options})


def own(*extras: str, **more: Any) -> BatchResult:
    lines = ["4 cups mashed plums", "1/2 cup sugar", "1/4 cup bottled lemon juice", "2 tsp calcium-set pectin", "2 tsp calcium water"]
    return jamcalc.check({"title": "Plum", "ingredients": lines, "extras": list(extras), **more}, draws=0)


def ids(result: BatchResult) -> set[str]:
    return {caution.id for caution in result.cautions}


def said(result: BatchResult) -> dict[str, str]:
    return {caution.id: caution.text for caution in result.cautions}


def test_no_caution_suggests_that_the_nose_finds_the_toxin() -> None:
    """USDA, Complete Guide to Home Canning, Guide 1 (spoiled food is not tasted); CDC, Home-canned foods (no smell, no taste)."""
    for result in (batch(), batch(store="cold"), own()):
        text = said(result)
        assert all(word in text["spoiled"] for word in ("bulged", "leaking", "spurts", "do not taste", "discard", "safely"))
        assert "neither smell nor taste" in text["botulism"]


@pytest.mark.parametrize("result", [batch(store="cold"), batch(jar="quart"), batch("2 lb mangoes"), batch("2 lb pears", "2 lb figs")])
def test_a_cold_jam_is_cooled_within_two_hours_and_frozen_in_straight_jars(result: BatchResult) -> None:
    """USDA FSIS, Danger zone: 2 hours; NCHFP, Freezing: containers with straight sides."""
    assert result.storage == "cold"
    assert "2 hours" in said(result)["two-hours"]
    assert "straight-sided" in said(result)["freezer-jars"]
    assert "hot-glass" not in ids(result)


def test_a_shelf_jam_needs_no_word_of_the_freezer() -> None:
    assert not {"two-hours", "freezer-jars"} & ids(batch())


def test_calcium_water_is_explained_wherever_it_is_asked_for() -> None:
    """Leaflets of calcium-set pectins: 1/2 tsp in 1/2 cup, shaken, several months in the refrigerator."""
    for result in (batch(), own(), batch(store="cold"), jamcalc.check("strawberry-rhubarb", draws=0)):
        text = said(result)["calcium-water"]
        assert all(word in text for word in ("monocalcium phosphate", "1/2 tsp", "1/2 cup", "hake", "months"))
    assert "calcium-water" not in ids(jamcalc.check("peach-pineapple-spread", draws=0))


@pytest.mark.parametrize(
    ("extra", "caution"),
    [
        ("1 tbsp honey", "infant-honey"),
        ("a drizzle of clover honey", "infant-honey"),
        ("2 tsp xylitol", "xylitol-dogs"),
        ("1 tbsp birch sugar", "xylitol-dogs"),
        ("1 packet aspartame", "phenylalanine"),
    ],
)
def test_a_sweetener_among_the_extras_still_warns(extra: str, caution: str) -> None:
    result = own(extra)
    assert caution in ids(result)
    warnings = " ".join(card.content(result, CardRequest()).warnings)
    label = facts.table("label")["warnings"]
    assert next(each["text"] for each in label.values() if each["caution"] == caution) in warnings


@pytest.mark.parametrize("extra", ["1 cinnamon stick", "zest of 1 lemon", "1 tsp vanilla extract"])
def test_a_spice_does_not_warn_of_honey(extra: str) -> None:
    assert not {"infant-honey", "xylitol-dogs", "phenylalanine"} & ids(own(extra))


def test_steam_has_no_temperature_where_no_altitude_is_given() -> None:
    """NCHFP, Burning issue: atmospheric steam canners: pure steam is 212 F at the sea alone."""
    assert "212" not in said(batch())["steam-canner"]
    assert "your altitude" in said(batch())["steam-canner"]
    assert "204 F" in said(batch(altitude="4300 ft"))["steam-canner"]


@pytest.mark.parametrize(("units", "not_ours"), [("us", r"[0-9] (?:mL|mm|C)\b"), ("metric", r"[0-9] (?:cups?|tsp|in|F)\b|\ban inch\b")])
def test_cautions_and_steps_speak_in_the_kitchens_own_units(units: str, not_ours: str) -> None:
    """One measure for a thing: the other beside it is one more figure to misread at the stove."""
    for storage in ("shelf", "cold"):
        made = jamcalc.batch(
            ["20 lb peaches", "1 lb dates"] if storage == "cold" else ["20 lb peaches"], sweetener="honey", altitude="4300 ft",
            units=units, on_hand=["40 half-pints"],
        )  # fmt: skip
        fixed = ("opened", "calcium-water", "canner-loads")
        texts = [each.text for each in (*made.cautions, *made.findings) if each.id in fixed]
        texts += [step for step in made.order_of_work if "Measure it" in step or "Boil the jars" in step]
        assert not [text for text in (*texts, made.keeping) if re.search(not_ours, text)]
