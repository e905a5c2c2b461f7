"""From lines to a batch: what each line weighs, whose reading is whose, and what clashes."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest

from jamcalc import facts
from jamcalc.chemistry import setting
from jamcalc.errors import InputError, UnknownItem
from jamcalc.formula import assemble
from jamcalc.nouns.asked import Batch, Settings
from jamcalc.nouns.said import Amount, Reading
from jamcalc.reading import lines, several
from jamcalc.reading.readings import read_reading

PLUM = facts.fruit("plum")
KEPT = 1.0 - PLUM.refuse_percent.typical / 100.0
POUND_G = 453.59237


def batch(*texts: str, readings: tuple[str, ...] = (), **more: Any) -> Batch:
    return assemble.put_together(several.read_lines(list(texts)), Settings(), readings=[read_reading(text) for text in readings], **more)


# ---------------------------------------------------------------- what a fruit line weighs


@pytest.mark.parametrize(
    ("text", "bought_g", "ready_g"),
    [
        ("3 lb plums", 3 * POUND_G, 3 * POUND_G * KEPT),
        ("900 g prepared plums", 900.0 / KEPT, 900.0),
        ("900 g frozen plums", 900.0, 900.0),  # bought ready for the pot
        ("4 cups mashed plums", 4 * PLUM.mashed_g_per_cup.typical / KEPT, 4 * PLUM.mashed_g_per_cup.typical),
        ("4 cups chopped plums", 4 * PLUM.chopped_g_per_cup.typical / KEPT, 4 * PLUM.chopped_g_per_cup.typical),
        ("1 kg mashed plums", 1000.0 / KEPT, 1000.0),
    ],
)
def test_a_fruit_line_in_grams(text: str, bought_g: float, ready_g: float) -> None:
    part = assemble.fruit_part(lines.read_line(text))
    assert part.as_bought_g == pytest.approx(bought_g)
    assert part.grams == pytest.approx(ready_g)
    assert part.as_bought_g >= part.grams


def test_what_was_counted_keeps_its_light_and_its_heavy_end() -> None:
    """As shares of the typical weight, so that peel and stones change nothing in them; what was weighed has one weight."""
    line = lines.read_line("6 medium plums")
    assert line.amount.grams and line.amount.light_g and line.amount.heavy_g  # noqa: PT018
    part = assemble.fruit_part(line)
    assert part.light_times == pytest.approx(line.amount.light_g / line.amount.grams)
    assert part.heavy_times == pytest.approx(line.amount.heavy_g / line.amount.grams)
    assert part.light_times < 1.0 < part.heavy_times
    weighed = assemble.fruit_part(lines.read_line("3 lb plums"))
    assert (weighed.light_times, weighed.heavy_times) == (1.0, 1.0)


def test_whole_berries_fill_more_cups() -> None:
    mashed, whole = (assemble.fruit_part(lines.read_line(f"4 cups {form} strawberries")).grams for form in ("mashed", "whole"))
    assert 1.3 < mashed / whole < 2.0


def test_juice_is_a_fruit_and_needs_no_form() -> None:
    part = assemble.fruit_part(lines.read_line("3 cups apple juice"))
    assert part.fruit.key == "apple_juice"
    assert part.grams == pytest.approx(3 * facts.fruit("apple_juice").mashed_g_per_cup.typical)
    assert part.as_bought_g == pytest.approx(part.grams)


@pytest.mark.parametrize("key", [key for key in facts.keys("fruit") if facts.fruit(key).whole_g_per_cup is None][:3])
def test_no_cup_of_whole_fruit_where_none_was_weighed(key: str) -> None:
    with pytest.raises(InputError, match="no cup weight is known"):
        assemble.fruit_part(lines.read_line(f"4 cups whole {facts.fruit(key).plural}"))


def test_a_volume_without_a_form_says_why() -> None:
    with pytest.raises(InputError, match="whole berries fill half again the space"):
        batch("4 cups strawberries")
    mashed = lines.read_line("4 cups mashed strawberries")
    for amiss in (replace(mashed, form="as bought"), replace(mashed, amount=Amount(text="some"))):
        with pytest.raises(InputError, match="whole berries fill half again the space"):
            assemble.fruit_part(amiss)


@pytest.mark.parametrize(
    ("text", "said"),
    [("4 cups mashed plums", "4 cups mashed"), ("3 cups apple juice", "3 cups"), ("3 lb plums", ""), ("1 kg apple juice", "")],
)
def test_a_volume_is_kept_as_the_cook_measured_it(text: str, said: str) -> None:
    assert assemble.fruit_part(lines.read_line(text)).said == said


@pytest.mark.parametrize(
    ("text", "called"),
    [
        ("1 kg damsons", ("damson", "damsons")),  # which are treated as plums
        ("1 kg plums", ("plum", "plums")),
        ("3 cups grape juice", ("grape juice", "grape juice")),  # as white grape juice; of a juice there is no plural
        ("3 cups apple juice", ("apple juice", "apple juice")),
    ],
)
def test_a_fruit_is_called_what_the_cook_calls_it(text: str, called: tuple[str, str]) -> None:
    part = assemble.fruit_part(lines.read_line(text))
    assert (part.name, part.plural) == called
    assert (part.named is None) == (part.fruit.name == called[0])


# ---------------------------------------------------------------- the other lines


@pytest.mark.parametrize(
    ("text", "key", "grams"),
    [
        ("100 g honey", "honey", 100.0),
        ("1/2 cup honey", "honey", 0.5 * 339.0),
        ("1 cup sugar", "sugar", 200.0),
    ],
)
def test_a_sweetener_line_in_grams(text: str, key: str, grams: float) -> None:
    (part,) = batch("1 kg plums", text).sweeteners
    assert part.sweetener.key == key
    assert part.grams == pytest.approx(grams, rel=0.01)


def test_a_sweetener_that_is_never_measured_by_the_cup_asks_for_grams() -> None:
    unmeasured = [
        key
        for key in facts.keys("sweetener")
        if (found := facts.sweetener(key)).g_per_cup is None and found.g_per_tsp is None and key != "none"
    ]
    assert unmeasured
    for key in unmeasured:
        with pytest.raises(InputError, match="must be weighed: write grams"):
            batch("1 kg plums", f"1 cup {facts.table('items')['sweetener'][key][0]}")


def test_a_spoon_of_an_intense_sweetener_goes_by_its_cup() -> None:
    per_cup = facts.sweetener("stevia_extract").g_per_cup
    assert per_cup is not None
    (part,) = batch("1 kg plums", "1/2 tsp stevia extract").sweeteners
    assert part.grams == pytest.approx(per_cup.typical / 96.0)


def test_a_sweetener_of_which_no_cup_was_weighed_goes_by_its_spoon() -> None:
    """A packet says "1 tsp = 2 g" as often as it names a cup: 48 teaspoons are one."""
    powder = replace(facts.sweetener("stevia_extract"), g_per_cup=None)
    assert powder.g_per_tsp is not None
    assert powder.g_per_tsp.typical == 2.0
    for text, grams in (("1/2 tsp stevia extract", 1.0), ("1 tbsp stevia extract", 6.0), ("1 cup stevia extract", 96.0)):
        assert assemble.sweetener_grams(lines.read_line(text), powder) == pytest.approx(grams)
    unmeasured = replace(lines.read_line("1 tsp stevia extract"), amount=Amount(text="some"))
    for sweetener in (powder, facts.sweetener("stevia_extract"), replace(powder, g_per_tsp=None)):
        with pytest.raises(InputError, match="must be weighed: write grams"):
            assemble.sweetener_grams(unmeasured, sweetener)


def test_pectin_by_spoon_gram_and_packet() -> None:
    per_tsp = setting.pectin_g_per_tsp()
    assert batch("1 kg plums", "3 tsp calcium-set pectin").pectin_g == pytest.approx(3 * per_tsp)
    assert batch("1 kg plums", "10 g calcium-set pectin").pectin_g == 10.0
    packet = batch("1 kg plums", "1 packet standard pectin")
    assert (packet.pectin_g, packet.pectin_kind) == (pytest.approx(49.6), "standard")
    assert batch("1 kg plums").pectin_g is None  # to be dosed
    assert batch("1 kg plums").pectin_kind == "calcium-set"


def test_the_cooks_own_spoon_of_pectin() -> None:
    read = several.read_lines(["1 kg plums", "3 tsp calcium-set pectin"])
    assert assemble.put_together(read, Settings(pectin_g_per_tsp=2.0)).pectin_g == pytest.approx(6.0)


def test_calcium_water_water_and_acids() -> None:
    made = batch("1 kg plums", "2 tsp calcium water", "1 cup water", "100 g water", "2 tbsp bottled lemon juice", "1 tsp citric acid")
    assert made.calcium_water_ml == pytest.approx(9.858, abs=0.001)
    assert made.water_g == pytest.approx(236.588 * 0.998 + 100.0, abs=0.1)
    assert [part.acidulant.key for part in made.acids] == ["bottled_lemon_juice", "citric_acid"]
    assert made.acids[0].grams == pytest.approx(29.574 * facts.acidulant("bottled_lemon_juice").g_per_ml.typical, abs=0.01)
    assert made.acids[1].grams == pytest.approx(4.929 * facts.acidulant("citric_acid").g_per_ml.typical, abs=0.01)


def test_a_sweetener_to_be_sized_has_no_grams_yet() -> None:
    (part,) = batch("1 kg plums", sweetener="honey").sweeteners
    assert (part.sweetener.key, part.grams) == ("honey", None)
    assert batch("1 kg plums", sweetener="none").sweeteners == ()
    assert [each.grams for each in batch("1 kg plums", "100 g sugar", sweetener="honey").sweeteners] == [100.0, None]


# ---------------------------------------------------------------- readings


def test_a_reading_belongs_to_its_fruit_on_every_line() -> None:
    made = batch("1 kg plums", "500 g frozen plums", "1 kg blackberries", readings=("plum pH 3.4 TA 1.2",))
    assert [part.reading is not None for part in made.fruits] == [True, True, False]
    assert made.fruits[0].reading == Reading(item="plum", ph=3.4, titratable_percent=1.2)


def test_a_reading_of_the_batch_is_a_setting() -> None:
    made = batch("1 kg plums", readings=("batch pH 3.9",))
    assert made.settings.batch_ph == 3.9
    assert made.fruits[0].reading is None


@pytest.mark.parametrize("ph", [1.5, 7.5])
def test_the_ends_of_what_can_be_read_can_be_read(ph: float) -> None:
    """Only what is under 1.5 or over 7.5 is a slip of the meter (judgement), as the message says."""
    made = batch("1 kg plums", readings=(f"plum pH {ph}", f"batch pH {ph}"))
    assert made.fruits[0].reading == Reading(item="plum", ph=ph)
    assert made.settings.batch_ph == ph
    for slip in (ph + 0.01, ph - 0.01):
        if not 1.5 <= slip <= 7.5:
            with pytest.raises(InputError, match=r"no fruit reads under 1\.5 or over 7\.5"):
                batch("1 kg plums", readings=(f"plum pH {slip:.2f}",))


@pytest.mark.parametrize(
    ("readings", "words"),
    [
        (("peach pH 3.8",), "not in the batch: name one of plum"),
        (("plum pH 3.4", "plum TA 1.2"), "put them in one"),
        (("batch pH 3.9", "batch pH 4.0"), "two readings of batch"),
        (("plum pH 1.2",), "reads under 1.5 or over 7.5"),
        (("plum pH 7.9",), "check the meter"),
        (("batch Brix 30",), "only the pH is used|reading of the batch is its pH"),
    ],
)
def test_readings_that_do_not_fit(readings: tuple[str, ...], words: str) -> None:
    with pytest.raises(InputError, match=words):
        batch("1 kg plums", readings=readings)


# ---------------------------------------------------------------- clashes


@pytest.mark.parametrize(
    ("texts", "more", "words"),
    [
        (("1/2 cup honey",), {}, 'no fruit in the batch: write a line such as "3 lb plums"'),
        (("1 kg plums", "1/2 cup honey"), {"sweetener": "honey"}, "the same sweetener"),
        (("1 kg plums", "2 tsp calcium-set pectin", "1 packet standard pectin"), {}, "pectin is named twice"),
        (("1 kg plums", "2 tsp calcium water", "1 tsp calcium water"), {}, "calcium water is named twice"),
        (("1 kg plums", "10 g calcium water"), {}, "by volume"),
    ],
)
def test_clashes_say_what_to_write(texts: tuple[str, ...], more: dict[str, str], words: str) -> None:
    with pytest.raises(InputError, match=words) as caught:
        batch(*texts, **more)
    assert "\n" not in str(caught.value)


@pytest.mark.parametrize(
    ("acids", "slip"),
    [
        (["100 g citric acid"], False),
        (["101 g citric acid"], True),
        (["60 g citric acid", "41 g citric acid"], True),
        (["2 cups vinegar"], False),
    ],
)
def test_powdered_acid_is_a_tenth_of_the_fruit_at_the_most(acids: list[str], slip: bool) -> None:
    """Of the fruit that is ready for the pot (judgement); juices and vinegar are mostly water and may be more."""
    fruit = ["600 g prepared plums", "400 g prepared raspberries"]
    if not slip:
        assert len(batch(*fruit, *acids).acids) == len(acids)
        return
    with pytest.raises(InputError, match="more than a tenth of the fruit"):
        batch(*fruit, *acids)


def test_two_lines_of_the_same_sweetener_or_fruit_are_no_clash() -> None:
    made = batch("1 kg plums", "1 lb plums", "1/4 cup honey", "50 g honey")
    assert len(made.fruits) == 2
    assert len(made.sweeteners) == 2


def test_an_unknown_sweetener_key_is_an_error_of_ours() -> None:
    with pytest.raises(UnknownItem):
        batch("1 kg plums", sweetener="no such key")


def test_cautious_readings_are_carried_along() -> None:
    assert [finding.id for finding in batch("1 kg cherries", "1/4 cup lemon juice").findings] == ["read-as", "fresh-lemon"]
