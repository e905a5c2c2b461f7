"""A batch in a kitchen's own jars, canner and pots: what fits, what does not, and for how long it boils."""

from __future__ import annotations

import functools
import io
import json
import re

import pytest

import jamcalc
from jamcalc import facts
from jamcalc.errors import InputError
from jamcalc.jars import filling
from jamcalc.kitchen import plan
from jamcalc.kitchen.household import Kitchen, Pot
from jamcalc.kitchen.plan import usual_jar
from jamcalc.nouns.outcome import BatchResult, JarsOf
from jamcalc.screens.answer_screen import answer
from jamcalc.screens.layout import console

# Low-sugar jam in boiling water, by altitude band: half-pints and smaller, pints. Extension tables, as in data/process.toml.
PUBLISHED_MIN = {"half-pint": (10, 15, 20, 25, 30), "pint": (20, 25, 30, 35, 35)}
TOP_OF_BAND_FT = (1000, 3000, 6000, 8000, 10000)
SMALL = Kitchen(altitude_ft=4300, pots=(Pot(quarts=4),), jars_on_hand=(("half-pint", 7), ("pint", 2)))

THREE_POTS = Kitchen(pots=(Pot(quarts=12),) * 3)  # a whole batch is ready at once


def batch(*lines: str, **options: object) -> BatchResult:
    return jamcalc.batch(list(lines), draws=0, **options)  # type: ignore[arg-type]


def counts(jars: tuple[JarsOf, ...]) -> dict[str, int]:
    return {each.jar: each.count for each in jars}


def held_ml(jars: tuple[JarsOf, ...], headspace_mm: float = 6.35) -> float:
    return sum(each.count * filling.fill_ml(facts.jar(each.jar), headspace_mm) for each in jars)


def text_of(result: BatchResult, finding: str) -> str:
    return next(each.text for each in result.findings if each.id == finding)


def screen(result: BatchResult, units: str = "us") -> str:
    stream = io.StringIO()
    console(stream, color=False).print(answer(result, units=units))
    return stream.getvalue()


# ---------------------------------------------------------------- jars


def test_a_mix_that_may_not_be_the_best_is_said_to_be_so(monkeypatch: pytest.MonkeyPatch) -> None:
    on_hand = ["11 half-pints", "5 pints", "6 quarter-pints"]
    whole = batch("9 lb plums", on_hand=on_hand)
    assert all(each.id != "mix-cut-short" for each in whole.findings)
    monkeypatch.setattr(plan, "plan", functools.partial(plan.plan, most_nodes=0))
    short = batch("9 lb plums", on_hand=on_hand)
    assert "With 3 kinds of jar" in text_of(short, "mix-cut-short")
    assert short.kitchen is not None
    assert held_ml(short.kitchen.fill_expected) <= short.yield_.hot_volume_ml.typical + 0.02


@pytest.mark.parametrize(("key", "ml_per_quarter_inch"), [("half-pint", 18), ("pint", 18), ("wide-half-pint", 29), ("wide-pint", 29)])
@pytest.mark.parametrize("quarter_inches", [0, 0.5, 1, 2])
def test_fill_at_each_headspace_follows_the_mouth(key: str, ml_per_quarter_inch: float, quarter_inches: float) -> None:
    """USDA Complete Guide, Guide 1: mouths of about 2 3/8 and 3 in, hence 18 and 29 mL to the quarter inch."""
    jar = facts.jar(key)
    less_ml = jar.fill_ml.typical - filling.fill_ml(jar, 6.35 * quarter_inches)
    assert less_ml == pytest.approx((quarter_inches - 1) * ml_per_quarter_inch, abs=0.3)


@pytest.mark.parametrize("headspace", ["1/8 in", "1/4 in", "1/2 in"])
def test_hot_jars_hold_the_high_end_and_the_sums_come_out(headspace: str) -> None:
    result = batch("4 lb plums", sweetener="honey", on_hand=["11 half-pints", "5 pints"], headspace=headspace)
    volume, made = result.yield_.hot_volume_ml, result.kitchen
    assert made is not None
    assert made.short_ml == 0
    assert made.more_jars is None
    each_mm = result.yield_.headspace_mm
    assert held_ml(made.heat, each_mm) >= volume.high
    assert held_ml(made.fill_expected, each_mm) + made.over_ml == pytest.approx(volume.typical)
    for filled in (made.fill_low, made.fill_expected, made.fill_high):
        assert all(count <= counts(made.heat)[jar] for jar, count in counts(filled).items())


def test_the_same_question_twice_has_the_same_answer() -> None:
    first, second = (batch("5 lb plums", sweetener="honey", kitchen=SMALL).to_dict() for _ in range(2))
    assert json.dumps(first) == json.dumps(second)


def test_jars_named_beat_the_kitchen_file() -> None:
    result = batch("2 lb plums", kitchen=SMALL, on_hand="9 quarter-pints, 6 quarter-pints")
    assert result.kitchen is not None
    assert set(counts(result.kitchen.heat)) == {"quarter-pint"}
    assert result.yield_.jar == "quarter-pint"
    assert "jars" not in text_of(result, "from-kitchen-file")


def test_the_jar_to_count_in() -> None:
    assert usual_jar([("half-pint", 7), ("pint", 9), ("quart", 20)]) == "pint"
    assert usual_jar([("pint", 5), ("half-pint", 5)]) == "half-pint"
    assert usual_jar([("quart", 20)]) is None
    assert batch("2 lb plums", on_hand="9 pints", jar="half-pint").yield_.jar == "half-pint"


def test_jars_too_large_for_jam_are_left_out_of_the_canner_only() -> None:
    result = batch("3 lb plums", on_hand=["3 quarts", "11 half-pints"])
    assert result.kitchen is not None
    assert "quart" not in counts(result.kitchen.heat)
    assert text_of(result, "jars-too-large").startswith("3 quarts left out")
    cold = batch("3 lb plums", on_hand=["3 quarts", "11 half-pints"], store="cold")
    assert cold.kitchen is not None
    assert "quart" in counts(cold.kitchen.heat)
    assert cold.kitchen.loads == ()


def test_nothing_but_jars_that_are_too_large() -> None:
    result = batch("3 lb plums", on_hand="3 quarts")
    assert result.kitchen is not None
    assert result.kitchen.heat == ()
    assert result.storage == "shelf"
    assert "it takes 6 more half-pints" in text_of(result, "jars-short")


@pytest.mark.parametrize("text", ["x", "half-pints", "0 pints", "2.5 pints", "3 tubs", "1" * 200, ",", " "])
def test_jars_that_cannot_be_read(text: str) -> None:
    with pytest.raises(InputError, match="jars on hand") as caught:
        batch("3 lb plums", on_hand=text)
    assert "\n" not in str(caught.value)
    assert len(str(caught.value)) < 300


# ---------------------------------------------------------------- the canner


@pytest.mark.parametrize(("band", "top_ft"), list(enumerate(TOP_OF_BAND_FT)))
def test_each_load_has_the_published_minutes_of_its_largest_jar(band: int, top_ft: int) -> None:
    result = batch("9 lb plums", sweetener="honey", on_hand=["14 half-pints", "6 pints"], altitude=f"{top_ft} ft", kitchen=THREE_POTS)
    assert result.kitchen is not None
    assert len(result.kitchen.loads) == 2
    for load in result.kitchen.loads:
        largest = "pint" if "pint" in counts(load.jars) else "half-pint"
        assert load.minutes == PUBLISHED_MIN[largest][band]
        assert load.by_band == PUBLISHED_MIN[largest]
    # what the answer says at its head is for any of the jars
    assert result.process is not None
    assert (result.process.jar, result.process.minutes) == ("pint", PUBLISHED_MIN["pint"][band])


def test_the_work_names_each_load_and_its_time() -> None:
    result = batch("9 lb plums", sweetener="honey", on_hand=["14 half-pints", "6 pints"], altitude="4300 ft", kitchen=THREE_POTS)
    work = " ".join(result.order_of_work)
    assert "Wash 6 pints and 8 half-pints" in work
    assert "30 min for the load of 6 pints and 20 min for the load of 5 half-pints (any load with a pint 30 min)" in work
    assert "20 half-pints" not in work


def test_pints_alone_take_no_half_pints_time() -> None:
    """A batch counted in half-pints that goes into pints must not carry the shorter time anywhere."""
    result = batch("3 lb plums", sweetener="honey", on_hand=["6 pints"], jar="half-pint", altitude="500 ft")
    assert result.process is not None
    assert result.process.minutes == 20
    assert any("Boil the jars 20 min" in step for step in result.order_of_work)
    assert "10 min up to" not in screen(result)


def test_a_longer_time_that_was_asked_for_stays() -> None:
    result = batch("3 lb plums", on_hand="11 half-pints", jar="pint", altitude="500 ft")
    assert result.process is not None
    assert result.process.minutes == 20


def test_without_an_altitude_each_load_shows_every_band() -> None:
    result = batch("3 lb plums", on_hand="11 half-pints")
    assert result.process is not None
    assert result.process.altitude_ft is None
    assert "10, 15, 20, 25, 30 min by altitude band" in screen(result)
    assert "canner-loads" not in [each.id for each in result.findings]


def test_a_small_canner_takes_more_loads() -> None:
    kitchen = Kitchen(altitude_ft=500, jars_on_hand=(("half-pint", 20),), canner_holds=(("jar", 4),))
    made = batch("5 lb plums", sweetener="honey", kitchen=kitchen).kitchen
    assert made is not None
    assert [sum(counts(load.jars).values()) for load in made.loads] == [4, 4, 1]
    assert made.most_loads == 3


# ---------------------------------------------------------------- pots


def test_one_small_pot_and_few_jars() -> None:
    """9 lb against a 4 quart pot, 7 half-pints and 2 pints: what fits, what does not, and what to do with the rest."""
    result = batch("9 lb plums", sweetener="honey", kitchen=SMALL)
    made = result.kitchen
    assert made is not None
    assert counts(made.heat) == {"half-pint": 7, "pint": 2}
    assert counts(made.fill_expected) == {"half-pint": 7, "pint": 2}
    assert made.over_ml == pytest.approx(result.yield_.hot_volume_ml.typical - held_ml(made.heat))
    assert made.more_jars is not None
    assert made.more_jars.count == -(-(result.yield_.hot_volume_ml.high - held_ml(made.heat)) // 236.6)
    said = text_of(result, "jars-short")
    holds = "hold about 11 cups of the 17 3/4 cups expected"
    for words in (holds, "find 9 more half-pints", "cook about 5 lb 9 oz", "freeze the other 3 lb 7 oz", "refrigerator"):
        assert words in said
    assert made.pots.potfuls == 3
    assert "a pot of 4 quarts" in text_of(result, "pots")
    assert [each.id for each in result.findings].count("pots") == 1  # this kitchen's pots have the say
    shown = screen(result)
    assert max(map(len, shown.splitlines())) <= 80
    assert "one after the other" in " ".join(shown.split())
    assert "2 lb 13 oz (1,279 g), about 5 1/3 cups mashed" in shown


def test_a_metric_kitchen_sees_its_potfuls_in_grams_alone() -> None:
    shown = screen(batch("9 lb plums", sweetener="honey", kitchen=SMALL, units="metric"), "metric")
    assert re.search(r"plums +1,279 g, about 1,250 mL mashed", shown)


def test_shares_of_the_pots_add_up_and_never_thin_the_acid() -> None:
    result = batch("9 lb plums", sweetener="honey", kitchen=SMALL)
    assert result.kitchen is not None
    shares = {share.name: share.measure for share in result.kitchen.pots.shares}
    assert shares["plums"].startswith("1279 g, about 5 1/3 cups mashed")
    lines = [f"1279 g prepared {'plums'}", f"{shares['honey']} honey", f"{shares['bottled lemon juice']} bottled lemon juice"]
    one = jamcalc.check({"title": "A potful", "ingredients": [*lines, f"{shares['calcium-set pectin']} calcium-set pectin"]}, draws=0)
    assert one.acidity.ph.high <= result.acidity.ph.high
    assert 3 * one.lemon_juice.grams >= result.lemon_juice.grams


def test_a_kitchen_that_says_nothing_changes_nothing() -> None:
    plain = batch("3 lb plums").to_dict()
    assert batch("3 lb plums", kitchen=Kitchen()).to_dict() == plain
    assert "kitchen" not in plain
    assert "to_buy" not in plain


def test_the_answer_says_what_came_from_the_kitchen_file() -> None:
    kitchen = Kitchen(altitude_ft=4300, pectin_g_per_tsp=3.2, calcium_water_mg_per_tsp=12, pots=(Pot(quarts=8),))
    said = text_of(batch("3 lb plums", kitchen=kitchen), "from-kitchen-file")
    assert said == (
        "From your kitchen file: altitude 4,300 ft, 3.2 g of pectin to the teaspoon, "
        "12 mg of calcium to the teaspoon of calcium water and your pots."
    )
    own = batch("3 lb plums", kitchen=kitchen, altitude="500 ft", pectin_spoon=3.0, calcium_spoon=14.6)
    assert text_of(own, "from-kitchen-file") == "From your kitchen file: your pots."
    assert own.process is not None
    assert own.process.altitude_ft == 500


def test_an_answer_in_jars_that_are_not_there_says_so() -> None:
    other = batch("3 lb plums", want="3 pints", on_hand="7 half-pints", altitude=0)
    assert text_of(other, "other-jars").startswith("Worked out in pints, and you have 7 half-pints")
    assert other.process is not None
    assert other.process.minutes == 20  # the longer of the two stands in the box
    same = batch("3 lb plums", want="3 pints", on_hand="7 pints", altitude=0)
    assert "other-jars" not in [each.id for each in same.findings]


# ---------------------------------------------------------------- what is asked on the line, and pots and loads together

MANY_PINTS = Kitchen(jars_on_hand=(("pint", 12), ("half-pint", 4)), altitude_ft=4300)


@pytest.mark.parametrize(
    ("options", "kind"),
    [({"jar": "half-pint"}, "half-pint"), ({"want": "8 half-pints"}, "half-pint"), ({"jar": "quarter-pint"}, "quarter-pint"),
     ({"jar": "pint"}, "pint"), ({"jar": "wide-mouth half-pint"}, "wide-half-pint")],
)  # fmt: skip
def test_the_jar_on_the_line_beats_the_jars_of_the_kitchen_file(options: dict[str, str], kind: str) -> None:
    result = batch("3 lb plums", sweetener="honey", kitchen=MANY_PINTS, **options)
    size = "pint" if kind == "pint" else "half-pint"
    assert result.process is not None
    assert result.process.minutes == PUBLISHED_MIN[size][2]
    assert result.batch.settings.jar == kind
    if result.kitchen is not None:
        assert {each.jar for each in (*result.kitchen.heat, *result.kitchen.fill_expected)} <= {kind}
        assert all(load.minutes == PUBLISHED_MIN[size][2] for load in result.kitchen.loads)


def test_without_a_jar_on_the_line_the_kitchens_own_are_filled() -> None:
    result = batch("3 lb plums", sweetener="honey", kitchen=MANY_PINTS)
    assert result.process is not None
    assert result.process.minutes == 30


def test_too_few_of_the_jar_asked_for_are_said_to_be_too_few() -> None:
    result = batch("3 lb plums", sweetener="honey", kitchen=MANY_PINTS, jar="half-pint")
    assert "half-pints" in text_of(result, "jars-short")
    assert "pints left out" not in " ".join(each.text for each in result.findings)


@pytest.mark.parametrize("pots", [(4.0,), (6.0,), (8.0,), (6.0, 6.0), (12.0, 12.0, 12.0), ()])
@pytest.mark.parametrize("on_hand", [["20 pints"], ["40 half-pints"], ["6 pints", "30 half-pints"]])
@pytest.mark.parametrize("fruit", ["9 lb plums", "14 lb plums", "5 lb plums"])
def test_no_load_comes_from_more_jam_than_is_cooked(pots: tuple[float, ...], on_hand: list[str], fruit: str) -> None:
    kitchen = Kitchen(pots=tuple(Pot(quarts=quarts) for quarts in pots), altitude_ft=4300)
    result = batch(fruit, sweetener="honey", on_hand=on_hand, kitchen=kitchen)
    made = result.kitchen
    assert made is not None
    at_once = max(1, made.pots.pots_that_hold_one or 1)
    cooked_ml = result.yield_.hot_volume_ml.typical * min(1.0, at_once / made.pots.potfuls)
    for load in made.loads:
        assert held_ml(load.jars) <= cooked_ml + 0.1
    in_loads: dict[str, int] = {}
    for load in made.loads:
        for each in load.jars:
            in_loads[each.jar] = in_loads.get(each.jar, 0) + each.count
    assert in_loads == counts(made.fill_expected)
    assert held_ml(made.fill_expected) + made.over_ml == pytest.approx(result.yield_.hot_volume_ml.typical, abs=0.1)
    assert all(made_count <= counts(made.heat)[jar] for jar, made_count in in_loads.items())


def test_what_each_round_leaves_is_said() -> None:
    result = batch("9 lb plums", sweetener="honey", on_hand=["20 pints"], kitchen=Kitchen(pots=(Pot(quarts=6),), altitude_ft=4300))
    assert result.kitchen is not None
    assert result.kitchen.pots.potfuls > 1
    assert "part jars" in text_of(result, "part-jars")


def test_a_kitchen_that_says_nothing_of_jars_is_never_short_of_them() -> None:
    """A part jar may be left by each round of cooking."""
    for pounds in (3, 9, 14):
        for kitchen in (Kitchen(canner_holds=(("jar", 7),)), Kitchen(pots=(Pot(quarts=4.0),))):
            result = jamcalc.batch([f"{pounds} lb strawberries"], sweetener="honey", kitchen=kitchen)
            assert result.kitchen is not None
            assert result.kitchen.more_jars is None
            assert not any(each.id == "jars-short" for each in result.findings)


def test_one_jar_holds_and_several_hold() -> None:
    for count, verb in ((1, "holds"), (3, "hold")):
        result = jamcalc.batch(["9 lb plums"], sweetener="honey", on_hand=f"{count} half-pints")
        assert any(f"half-pint{'s' * (count > 1)} {verb} about" in each.text for each in result.findings)
