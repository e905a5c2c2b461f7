"""The short answer: fits a screen, wears a frame for its verdict, leaves out nothing that safety asks for."""

from __future__ import annotations

import io
import re
from dataclasses import replace

import pytest
import sample_result as sample
from rich.console import RenderableType

import jamcalc
from jamcalc.nouns import outcome
from jamcalc.screens import answer_screen, layout, output, scaling_screen, short_screen
from jamcalc.words.phrases import bought

EASY = (["3 lb plums", "1 1/2 lb frozen blackberries"], {"sweetener": "honey", "altitude": "4300 ft"})
HARD = (
    ["3 lb figs", "1 lb pears", "2 lb rhubarb", "1 lb apricots"],
    {"sweetener": "maple syrup", "on_hand": ["7 half-pints", "2 pints"]},
)


def batch(case: tuple[list[str], dict[str, object]]) -> outcome.BatchResult:
    lines, options = case
    return jamcalc.batch(lines, draws=0, **options)  # type: ignore[arg-type]


def printed(screen: RenderableType, *, encoding: str = "utf-8", width: int = 80) -> str:
    raw = io.BytesIO()
    stream = io.TextIOWrapper(raw, encoding=encoding, newline="\n")
    layout.console(stream, color=False, width=width).print(layout.Trimmed(screen))
    stream.flush()
    return raw.getvalue().decode(encoding)


def words(text: str) -> str:
    return " ".join(re.sub("[\u2500-\u259f]", " ", text).split())


def short(result: outcome.BatchResult, **options: object) -> str:
    return words(printed(short_screen.answer(result, **options)))  # type: ignore[arg-type]


def test_the_batch_of_the_readme_fits_24_lines() -> None:
    assert len(printed(short_screen.answer(batch(EASY))).splitlines()) <= 23, "and the prompt below it"


def test_the_hardest_fits_36() -> None:
    assert len(printed(short_screen.answer(batch(HARD))).splitlines()) <= 36


def test_what_the_head_of_a_cold_box_says_is_not_said_again_at_its_end() -> None:
    text = short(jamcalc.batch(["2 lb figs"], draws=0))
    assert "COLD, NOT THE SHELF" in text
    assert "Not for the shelf." not in text
    unread = short(jamcalc.check({"title": "Mine", "ingredients": ["3 lb plums", "1/2 cup honey", "4 tsp calcium-set pectin"]}, draws=0))
    assert "COLD until a meter shows otherwise" in unread
    assert "Not for the shelf." in unread


def test_a_shelf_batch_says_what_it_must() -> None:
    text = short(batch(EASY))
    for phrase in (
        "calculated, not a tested recipe",
        "bottled lemon juice 1/2 cup, never less",
        "SHELF: 20 minutes in boiling water, half-pints, 4,300 ft",
        "Heat 10 jars, expect 9 half-pints (7 to 10), fill to 1/4 in.",
        "4.20 or lower: full boil, hot jars, 20 min; above: cold.",
        "room temperature",
        "No larger jar, shorter time or less acid.",
        "extension service",
        "Local rules",
        "No honey for a baby under 1 year",
        "--full",
        "--working",
    ):
        assert phrase in text, phrase


def test_lemon_is_said_where_none_is_needed_and_its_cautions_only_where_there_is_acid() -> None:
    result = jamcalc.batch(["4 cups mashed cranberries"], sweetener="sugar", draws=0)
    assert result.lemon_juice.grams == 0
    assert "lemon juice none needed" in short(result)
    assert "less acid" not in short(result)
    assert not {caution.id for caution in result.cautions} & {"bottled-lemon", "acid"}


def test_a_reading_in_hand_needs_no_step_to_take_it() -> None:
    result = jamcalc.batch(["3 lb plums"], sweetener="honey", reading="batch pH 3.9", draws=0)
    assert "Measure:" not in short(result)
    assert "for this pot alone" in short(result)


def test_cold_until_a_meter_shows_otherwise_has_the_step_whole() -> None:
    text = short(sample.cold())
    assert "COLD until a meter" in text
    assert "4.20 or lower: full boil, hot jars, the minutes for your altitude; above: cold." in text


@pytest.mark.parametrize("encoding", ["utf-8", "ascii"])
def test_each_verdict_has_its_own_frame(encoding: str) -> None:
    frames = set()
    for result in (sample.RESULT, sample.cold(), sample.refused()):
        for screen in (short_screen.answer(result), answer_screen.answer(result)):
            lines = printed(screen, encoding=encoding).splitlines()
            head = next(line for line in lines if any(each in line for each in ("SHELF:", "COLD until", "DO NOT MAKE")))
            frames.add((head[0], head[-1]))
    assert len(frames) == 3


def test_a_head_too_long_for_its_frame_goes_on_inside() -> None:
    text = printed(short_screen.answer(sample.RESULT), width=50)
    assert "..." not in text
    assert "\u2026" not in text
    assert words(text).count("half-pints, 4,300 ft") == 1


def test_the_reasons_of_a_refusal_come_first_and_its_remedy_is_in_the_box() -> None:
    result = jamcalc.check(
        {"title": "Bananas", "ingredients": ["1 kg prepared bananas", "1 cup sugar", "1/4 cup bottled lemon juice"]}, draws=0
    )
    text = printed(short_screen.answer(result))
    box = text[text.index("DO NOT MAKE THIS AS ENTERED") :]
    assert "tested recipe as written" in words(box.split("\u2588\u2584")[0])


@pytest.mark.parametrize("case", [EASY, HARD])
def test_what_is_left_out_stands_in_the_full_answer(case: tuple[list[str], dict[str, object]]) -> None:
    result = batch(case)
    full = words(printed(answer_screen.answer(result)))
    for finding in result.findings:
        assert words(finding.text) in full, finding.id
    left_out = [finding for finding in result.findings if words(finding.text) not in short(result)]
    assert all(finding.may_wait for finding in left_out)
    counted = re.search(r"(\d+) more to know", short(result))
    assert (int(counted[1]) if counted else 0) == len(left_out)


def test_no_blanks_at_the_ends_of_lines() -> None:
    for result in (sample.RESULT, sample.cold(), sample.refused(), batch(HARD)):
        for screen in (short_screen.answer(result), answer_screen.answer(result, working=True)):
            assert not re.search(" $", output.plain_text(screen), re.MULTILINE)


def test_jars_are_heated_for_the_canner_alone() -> None:
    assert "Heat 7 jars" in short(batch((["3 lb plums"], {"sweetener": "honey", "altitude": "4300 ft"})))
    cold = short(batch((["3 lb elderberries"], {"sweetener": "honey"})))
    assert "Have ready 7 jars" in cold
    assert "Heat" not in cold


def test_a_cold_batch_of_a_metric_kitchen_is_told_millimeters_and_degrees_of_its_own() -> None:
    cold = short(batch((["1.5 kg elderberries"], {"units": "metric"})), units="metric")
    assert "13 mm headspace" in cold
    assert "(4 C or below)" in cold
    assert not re.search(r"\d (in|F|ft|lb|oz|cups?|tsp|tbsp)\b", cold)


def test_the_scale_says_what_it_is_a_scale_of() -> None:
    for case in (EASY, (["3 lb plums"], {"reading": ["plum pH 3.3"]})):
        rows = printed(short_screen.answer(batch(case))).splitlines()
        assert [row.split()[:3] for row in rows if row.startswith("pH ")] == [["pH", "2.8", "3.0"]]


def test_metric_is_metric() -> None:
    text = short(jamcalc.batch(["1.5 kg plums"], sweetener="honey", units="metric", altitude="1300 m", draws=0), units="metric")
    assert "1,300 m" in text
    assert "60 mL" in text
    assert "120 mL water" in text
    assert not re.search(r"\b(tbsp|cups?|in\.|ft|oz|lb)\b", text)


def test_the_two_bars_stand_under_each_other() -> None:
    lines = printed(short_screen.answer(batch(EASY))).splitlines()
    before, after, numbers, marks = lines[next(i for i, line in enumerate(lines) if line.startswith("before")) :][:4]
    assert after.startswith("after")
    assert "(2.8 to 4.0)" in after, "without draws the low end is another"
    assert after.index("|") == numbers.index("2.8") + 1
    assert after.rindex("|") == numbers.index("4.0") + 1
    assert before.rindex("|") > after.rindex("|")
    assert marks.index("^") == numbers.index("4.0") + 1


def test_one_bar_where_there_is_no_acid() -> None:
    none = replace(sample.RESULT, lemon_juice=replace(sample.RESULT.lemon_juice, grams=0.0))
    text = printed(short_screen.answer(none))
    assert "before" not in text
    assert "\npH " in text


@pytest.mark.parametrize(
    ("lines", "more"), [(["3 lb mangoes"], {}), (["3 lb plums"], {"jar": "quart"}), (["2 lb strawberries"], {"sweetener": "aspartame"})]
)
def test_a_reading_is_not_said_to_decide_where_it_does_not(lines: list[str], more: dict[str, str]) -> None:
    case = batch((lines, {"reading": ["batch pH 4.3"], **more}))
    assert "Your reading decides" not in short(case)
    assert "4.20 or lower" not in short(case)
    assert "measure" not in {finding.id for finding in case.findings}
    assert "Your reading decides" in short(batch((["3 lb plums"], {"reading": ["batch pH 4.3"]})))


def test_no_band_of_altitude_is_cut_short() -> None:
    for width in (80, 60, 50):
        text = printed(short_screen.answer(sample.no_altitude()), width=width)
        assert "\u2026" not in text
        assert "1,001-3,000" in text
        assert "8,001-10,000" in text


def test_a_scaled_recipe_says_what_to_buy_and_how_calcium_water_is_mixed() -> None:
    """It was asked for in pounds, and the table answers in cups and grams."""
    made = jamcalc.api.scale_answer("strawberry-rhubarb", fruit="5 lb rhubarb", draws=0)
    text = words(printed(scaling_screen.one_table(made.scaled, made.result, tested=False)))
    rhubarb = next(part for part in made.result.ingredients if part.name == "rhubarb")
    assert f"(to buy or pick: 4 lb 13 oz strawberries and {bought(rhubarb.as_bought_g or 0.0, 'us')} rhubarb)" in text
    assert "(calcium water: 1/2 tsp powder shaken in 1/2 cup water)" in text
    cold = jamcalc.api.scale_answer("refrigerated-apple-spread", times=2, draws=0)  # a juice is bought by the bottle
    assert "to buy" not in words(printed(scaling_screen.one_table(cold.scaled, cold.result, tested=True)))


def test_a_scaled_recipe_is_one_table() -> None:
    made = jamcalc.api.scale_answer("strawberry-rhubarb", times=4, draws=0)
    text = words(printed(scaling_screen.one_table(made.scaled, made.result, tested=False)))
    assert "item as written all each of 2 pots weight off" in text
    assert "sugar 1 1/4 cups 5 cups 2 1/2 cups 1,000 g 0 %" in text
    assert "calcium-set pectin 2 1/2 tsp 3 tbsp + 1 tsp 1 tbsp + 2 tsp 30 g 0 %" in text
    one = jamcalc.api.scale_answer("peach-pineapple-spread", times=2, draws=0)
    assert "each of" not in words(printed(scaling_screen.one_table(one.scaled, one.result, tested=True)))


def test_a_refusal_stands_before_the_pot_and_is_a_sentence() -> None:
    """Nobody measures out first what is not to be made."""
    result = jamcalc.batch(["3 lb plums"], altitude="10500 ft", draws=0)
    assert result.refused
    for screen in (short_screen.answer(result), answer_screen.answer(result)):
        text = words(printed(screen))
        assert text.index("DO NOT MAKE") < text.index("cups mashed")
        assert "No process time is published above 10,000 ft" in text
        assert "extension service. " in text


def test_a_thousand_of_a_measure_has_its_comma_in_what_is_to_be_done_too() -> None:
    result = jamcalc.batch(["5 kg plums", "2.5 kg blackberries"], sweetener="honey", units="metric", draws=0)
    text = short(result, units="metric")
    assert "mL mashed fruit" in text
    assert not re.search(r"(?<![\d.,])\d{4,} (?:g|mL)\b", text)
