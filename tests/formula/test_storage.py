"""The table of storage, row by row, each with its edges; and how much lemon juice it asks for."""

from __future__ import annotations

import inspect
import re
from dataclasses import replace
from typing import Any

import pytest

from jamcalc import facts
from jamcalc.answers import keeping
from jamcalc.formula import storage
from jamcalc.nouns.known import Fit
from jamcalc.nouns.said import Finding

BAR = Finding(id="do-not-can", kind="never", text="Never.")
QUART, CLIP = storage.jar_bar(facts.jar("quart")), storage.jar_bar(facts.jar("250-ml-clip"))


def decide(high: float = 3.9, **more: Any) -> storage.Verdict:
    plain: dict[str, Any] = {
        "typical_ph": 3.5,
        "batch_reading_ph": None,
        "bars": (),
        "unshown": None,
        "jar_bar": None,
        "altitude_refused": None,
        "heat_shy_sweeteners": (),
        "asked": None,
        "tested": None,
    }
    return storage.decide(high_side_ph=high, **{**plain, **more})


def kept(verdict: storage.Verdict, *, units: str = "us", freezes: bool | None = None) -> str:
    return keeping.kept(verdict.keeping, units=units, standing="calculated", own_weeks=None, freezes=freezes)


def ids(verdict: storage.Verdict) -> list[str]:
    return [finding.id for finding in verdict.findings]


# ---------------------------------------------------------------- the high side


@pytest.mark.parametrize(
    ("high", "kept", "found"),
    [
        (2.90, "shelf", []),
        (4.00, "shelf", []),
        (4.004, "shelf", []),  # reported as 4.00, and the reported figure decides
        (4.0051, "cold", ["measure"]),
        (4.01, "cold", ["measure"]),
        (4.59, "cold", ["measure"]),
        (4.60, "cold", ["measure"]),
        (4.604, "cold", ["measure"]),
        (4.6051, "cold", ["ph-over-limit"]),
        (4.61, "cold", ["ph-over-limit"]),
        (6.90, "cold", ["ph-over-limit"]),
    ],
)
def test_the_high_side_decides(high: float, kept: str, found: list[str]) -> None:
    verdict = decide(high)
    assert verdict.storage == kept
    assert ids(verdict) == found
    assert verdict.refused is None


def test_a_shelf_answer_says_where_it_keeps_and_a_cold_one_how_long() -> None:
    assert "dark" in kept(decide(3.9))
    for words in ("3 weeks", "frozen", "1/2 in headspace"):
        assert words in kept(decide(4.3))


@pytest.mark.parametrize("high", [4.3, 4.9])
@pytest.mark.parametrize("freezes", [None, True, False])
def test_a_metric_kitchen_is_told_degrees_and_millimeters(high: float, freezes: bool | None) -> None:
    said = kept(decide(high), units="metric", freezes=freezes)
    assert "(4 C or below)" in said
    assert ("13 mm headspace" in said) == (freezes is not False)
    assert not re.search(r"\d (F|in)\b", said)


# ---------------------------------------------------------------- a reading of the batch


@pytest.mark.parametrize(
    ("reading", "kept", "found"),
    [
        (3.90, "shelf", []),
        (4.20, "shelf", []),
        (4.204, "shelf", []),
        (4.21, "cold", ["measure"]),
        (4.60, "cold", ["measure"]),
        (4.61, "cold", ["ph-over-limit"]),
    ],
)
@pytest.mark.parametrize("high", [3.5, 4.3, 5.2])
def test_a_reading_counts_for_more_than_the_reckoning(reading: float, kept: str, found: list[str], high: float) -> None:
    verdict = decide(high, batch_reading_ph=reading)
    assert (verdict.storage, ids(verdict)) == (kept, found)


def test_no_reading_mends_a_fruit_that_is_barred() -> None:
    verdict = decide(3.2, batch_reading_ph=3.2, bars=(BAR,))
    assert (verdict.storage, ids(verdict)) == ("cold", ["do-not-can"])


def test_nobody_is_sent_to_a_meter_with_a_barred_fruit() -> None:
    assert ids(decide(4.3, bars=(BAR,))) == ["do-not-can"]
    assert ids(decide(4.7, bars=(BAR,))) == ["do-not-can", "ph-over-limit"]


@pytest.mark.parametrize("reading", [None, 4.3, 4.6])
@pytest.mark.parametrize(
    ("more", "found"),
    [
        ({"bars": (BAR,)}, ["do-not-can"]),
        ({"jar_bar": QUART}, ["jar-too-large"]),
        ({"jar_bar": CLIP}, ["jar-closure"]),
        ({"altitude_refused": "too high"}, ["altitude"]),
        ({"heat_shy_sweeteners": ("aspartame",)}, ["heat-shy-sweetener"]),
        ({"asked": "cold"}, []),
    ],
)
def test_nobody_is_told_to_measure_and_can_what_no_meter_mends(more: dict[str, Any], found: list[str], reading: float | None) -> None:
    verdict = decide(4.3, batch_reading_ph=reading, unshown="not held", **more)
    assert (verdict.storage, ids(verdict)) == ("cold", found)


@pytest.mark.parametrize(
    ("high", "reading", "mild"),
    [(4.60, None, False), (4.61, None, True), (5.2, 4.3, False), (5.2, 4.6, False), (3.5, 4.61, True), (4.3, 4.9, True)],
)
def test_over_the_wall_cold_means_days_or_the_freezer(high: float, reading: float | None, mild: bool) -> None:
    """A reading of the batch takes the place of what was worked out here too: the usual weeks are for acid jam."""
    for asked in (None, "cold"):
        said = kept(decide(high, batch_reading_ph=reading, asked=asked))
        assert ("a few days" in said) == mild
        assert ("about 3 weeks" in said) == (not mild)


# ---------------------------------------------------------------- fruit and extras


@pytest.mark.parametrize("standing", ["calculated", "published"])
@pytest.mark.parametrize("name", ["banana", "fig", "tomato", "mango", "papaya", "persimmon", "asian_pear", "date", "coconut"])
def test_tested_only_fruit_needs_a_tested_recipe(name: str, standing: Any) -> None:
    assert [finding.id for finding in storage.barred([facts.fruit(name)], (), standing)] == ["tested-only"]
    assert storage.barred([facts.fruit(name)], (), "tested") == ()


@pytest.mark.parametrize("standing", ["calculated", "published", "tested"])
@pytest.mark.parametrize("name", ["elderberry", "white_peach", "white_nectarine", "melon", "watermelon", *facts.keys("vegetable")])
def test_do_not_can_is_for_every_recipe(name: str, standing: Any) -> None:
    fruit = facts.fruit(name)
    (found,) = storage.barred([fruit], (), standing)
    assert found.id == "do-not-can"
    assert fruit.plural.lower() in found.text.lower()
    assert fruit.fit.instead in found.text


def test_fit_fruit_is_not_barred() -> None:
    fit = [facts.fruit(name) for name in ("strawberry", "plum", "peach", "rhubarb")]
    assert storage.barred(fit, (), "calculated") == ()
    assert len(storage.barred([*fit, replace(fit[0], fit=Fit(fitness="do-not-can", why="why", instead="instead"))], (), "calculated")) == 1


def test_an_unfit_extra_bars_and_is_named() -> None:
    (found,) = storage.barred([], ("fresh basil",), "calculated")
    assert found.id == "unfit-extra"
    assert found.text.startswith("Fresh basil: ")


# ---------------------------------------------------------------- jar, altitude, sweetener, what was asked


def test_a_jar_too_large_an_altitude_and_a_heat_shy_sweetener_each_make_it_cold() -> None:
    assert ids(decide(jar_bar=QUART)) == ["jar-too-large"]
    assert ids(decide(jar_bar=CLIP)) == ["jar-closure"]
    assert ids(decide(heat_shy_sweeteners=("aspartame",))) == ["heat-shy-sweetener"]
    high_up = decide(altitude_refused="too high")
    assert (ids(high_up), high_up.refused, high_up.storage) == (["altitude"], "too high", "cold")


def test_asked_for_cold() -> None:
    assert decide(asked="cold").storage == "cold"
    assert decide(asked="cold").refused is None
    assert decide(4.3, asked="cold").refused is None
    assert decide(altitude_refused="too high", asked="cold").refused is None  # it is not boiled in jars


def test_asked_for_the_shelf_in_vain_is_refused_with_the_reason() -> None:
    assert decide(asked="shelf").refused is None
    for more in ({"high": 4.3}, {"high": 4.7}, {"bars": (BAR,)}, {"jar_bar": QUART}, {"heat_shy_sweeteners": ("aspartame",)}):
        verdict = decide(**{"asked": "shelf", **more})
        assert verdict.storage == "cold"
        assert verdict.refused == verdict.findings[0].text


def test_a_meter_is_no_reason_where_the_jar_is() -> None:
    verdict = decide(4.3, jar_bar=QUART, asked="shelf")
    assert verdict.refused is not None
    assert "pint" in verdict.refused
    assert "meter" not in verdict.refused


# ---------------------------------------------------------------- a tested recipe


def test_a_tested_recipe_keeps_its_own_storage() -> None:
    assert decide(4.3, tested="shelf").storage == "shelf"
    assert decide(5.0, tested="shelf").findings == ()
    assert decide(3.2, tested="cold").storage == "cold"


@pytest.mark.parametrize(("typical", "kept", "found"), [(4.3, "shelf", []), (4.6, "shelf", []), (4.61, "cold", ["ph-over-limit"])])
def test_no_tested_recipe_comes_out_over_the_wall(typical: float, kept: str, found: list[str]) -> None:
    """4.6 (21 CFR 114.3): what comes out milder is not the recipe that was tested, whatever the file says."""
    verdict = decide(5.5, tested="shelf", typical_ph=typical)
    assert (verdict.storage, ids(verdict)) == (kept, found)


def test_a_tested_recipe_is_not_above_jar_altitude_or_a_reading() -> None:
    assert decide(4.0, tested="shelf", jar_bar=QUART).storage == "cold"
    assert decide(4.0, tested="shelf", altitude_refused="too high").refused == "too high"
    assert ids(decide(3.5, tested="shelf", batch_reading_ph=4.7)) == ["ph-over-limit"]


# ---------------------------------------------------------------- lemon juice


def test_for_the_shelf_the_larger_dose_counts() -> None:
    assert storage.shelf_dose_g(50.0, 0.0) == storage.shelf_dose_g(50.0, 40.0) == 50.0
    assert storage.shelf_dose_g(50.0, 70.0) == storage.shelf_dose_g(0.0, 70.0) == 70.0
    assert storage.shelf_dose_g(0.0, 0.0) == 0.0


def test_for_taste_no_more_than_is_pleasant() -> None:
    assert storage.taste_dose_g(20.0, 1000.0) == 20.0
    assert storage.taste_dose_g(90.0, 1000.0) == 60.0
    assert storage.taste_dose_g(90.0, 2000.0) == 90.0


@pytest.mark.parametrize(
    ("lemon_g", "fruit_g", "beyond"), [(150.0, 1000.0, False), (150.01, 1000.0, True), (300.0, 2000.0, False), (0.0, 1000.0, False)]
)
def test_more_than_spoils_the_jam_is_out_of_reach(lemon_g: float, fruit_g: float, beyond: bool) -> None:
    assert storage.beyond_reach(lemon_g, fruit_g) == beyond


# ---------------------------------------------------------------- jars, amounts and fruits that are not shown


@pytest.mark.parametrize("key", sorted(facts.table("jars")))
def test_a_jar_is_for_the_shelf_with_a_two_piece_lid_and_up_to_a_pint(key: str) -> None:
    jar, bar = facts.jar(key), storage.jar_bar(facts.jar(key))
    assert (bar is None) == (jar.size_class != "too large" and not jar.closure)
    if bar is not None:
        assert decide(2.9, jar_bar=bar).storage == "cold"


def test_nothing_is_left_to_a_default() -> None:
    """Every piece of evidence has to be named by whoever asks: what is forgotten must not count as fit."""
    import inspect

    given = inspect.signature(storage.decide).parameters.values()
    assert all(each.default is inspect.Parameter.empty for each in given)


@pytest.mark.parametrize("grade", ["memory", "judgement", None, "guessed"])
def test_a_high_ph_from_memory_or_judgement_asks_for_a_reading_of_the_batch(grade: Any) -> None:
    fruit = facts.fruit("strawberry")
    weak = replace(fruit, ph=replace(fruit.ph, high_grade=grade))
    why = storage.unshown([fruit, weak], 2)
    assert why is not None
    assert fruit.plural in why
    assert ids(decide(2.9, unshown=why)) == ["measure"]
    assert decide(2.9, unshown=why, batch_reading_ph=3.9).storage == "shelf"
    assert decide(2.9, unshown=why, asked="cold").findings == ()
    assert ids(decide(2.9, unshown=why, bars=(BAR,))) == ["do-not-can"]


@pytest.mark.parametrize("grade", ["seen", "within seen", "beyond seen", "computed", "borrowed"])
def test_a_high_ph_that_is_held_up_does_not(grade: Any) -> None:
    fruit = facts.fruit("strawberry")
    assert storage.unshown([replace(fruit, ph=replace(fruit.ph, high_grade=grade))], 6) is None


def test_more_than_six_fruits_ask_for_a_reading_of_the_batch() -> None:
    assert storage.unshown([], 6) is None
    assert storage.unshown([], 7) is not None


def test_a_part_jar_and_a_candy_are_not_for_the_shelf() -> None:
    assert storage.unfilled(1, "half-pint") == ()
    assert [each.id for each in storage.unfilled(0, "half-pint")] == ["part-jar"]
    assert storage.too_thick(70.0) == ()
    assert [each.id for each in storage.too_thick(75.1)] == ["too-thick"]


def test_nobody_leaves_out_what_the_rule_asks() -> None:
    """A default would be an answer that nobody gave."""
    for function in (storage.decide, storage.barred, storage.untimed, storage.unproven, storage.unfilled, storage.unshown):
        given = [name for name, each in inspect.signature(function).parameters.items() if each.default is not inspect.Parameter.empty]
        assert not given, function.__name__


# ---------------------------------------------------------------- how long it keeps cold


@pytest.mark.parametrize(
    ("standing", "own_weeks", "weeks"),
    [
        ("tested", None, 3), ("tested", 4, 4), ("tested", 2, 2), ("published", None, 3), ("published", 2, 2), ("published", 9, 3),
        ("tested, on your word", 9, 3), ("calculated", None, 3),
    ],
)  # fmt: skip
def test_only_a_tested_recipe_keeps_for_longer_than_three_weeks(standing: Any, own_weeks: float | None, weeks: float) -> None:
    assert storage.cold_weeks(standing, own_weeks) == weeks


# ---------------------------------------------------------------- what is said, and of what


def test_why_a_meter_is_asked_for_is_the_ph_or_what_tables_cannot_show() -> None:
    (by_ph,) = decide(4.23, unshown="Nobody has seen it.").findings
    assert "as high as pH 4.3." in by_ph.text, "in tenths, rounded up as on the scale"
    assert "above 4.0 only" in by_ph.text
    (by_tables,) = decide(4.0, unshown="Nobody has seen it.").findings
    assert by_tables.text.startswith("Nobody has seen it.")
    assert "above 4.0" not in by_tables.text
    assert any("as high as pH 4.7, over 4.60" in finding.text for finding in decide(4.63).findings)


def test_a_meter_decides_where_there_is_no_other_reason() -> None:
    measure, too_mild = decide(4.3).findings[0], decide(4.7).findings[0]
    assert storage.meter_decides([measure])
    assert not storage.meter_decides([])
    assert not storage.meter_decides([too_mild])
    assert not storage.meter_decides([measure, BAR])


def test_a_second_look_needs_a_reading_and_something_below_it() -> None:
    assert storage.second_look(None, None) == storage.second_look(None, 3.9) == storage.second_look(4.1, None) == ()
    (found,) = storage.second_look(4.1, 3.9)
    assert (found.id, "4.10" in found.text, "3.90" in found.text) == ("reading-high", True, True)


def test_a_file_on_its_word_is_judged_like_any_other_or_kept_cold_as_it_says() -> None:
    assert "judged like any other" in storage.on_your_word(None).text
    assert "judged like any other" in storage.on_your_word("shelf").text
    assert "kept cold, as it says itself" in storage.on_your_word("cold").text


def test_at_just_the_limit_it_is_within_the_limit() -> None:
    low, high = storage.SHELF_HEADSPACE_MM
    assert low <= 25.4 / 8.0 < 25.4 / 2.0 <= high
    assert storage.too_thick(75.0) == ()
    assert storage.own_time_stands(60.0)
    assert not storage.own_time_stands(59.99)
    assert storage.unproven(hot_packed=True, fruit_g=1000.0, added_water_g=1000.0, odd_readings=()) == ()
    assert not storage.beyond_reach(150.0, 1000.0)
    assert storage.beyond_reach(150.1, 1000.0)
