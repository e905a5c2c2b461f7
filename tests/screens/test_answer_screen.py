"""The screens: width, ASCII, no escape codes, harmless user text, and the words that must not be missing."""

from __future__ import annotations

import io
import itertools
import re
from collections.abc import Callable
from dataclasses import fields, replace
from types import SimpleNamespace

import pytest
import sample_result as sample
from rich.cells import cell_len
from rich.console import RenderableType

import jamcalc
from jamcalc import facts
from jamcalc.answers import record
from jamcalc.formula import storage
from jamcalc.nouns import known, outcome
from jamcalc.nouns.known import Estimate
from jamcalc.nouns.said import Finding
from jamcalc.reading import lines
from jamcalc.screens import answer_screen, facts_screen, layout, output, process_screen, scaling_screen, short_screen
from jamcalc.words import phrases

LONG = "a very long name " * 12
ROWS = (
    SimpleNamespace(item="plum", tested_text="3 cups mashed", exact_text="4.5 cups", measure_text="4 1/2 cups mashed", off_percent=0.2),
    SimpleNamespace(item="calcium-set pectin", tested_text="3 tsp", exact_text="4.5 tsp", measure_text="4 3/8 tsp", off_percent=-2.8),
)
SCREENS: dict[str, Callable[[], RenderableType]] = {
    "shelf": lambda: answer_screen.answer(sample.RESULT, working=True),
    "short shelf": lambda: short_screen.answer(sample.RESULT),
    "short, no altitude": lambda: short_screen.answer(sample.no_altitude(), units="metric"),
    "short cold": lambda: short_screen.answer(sample.cold()),
    "short refused": lambda: short_screen.answer(sample.refused()),
    "short, at a prompt": lambda: short_screen.answer(sample.RESULT, at_prompt=True),
    "no altitude": lambda: answer_screen.answer(sample.no_altitude(), units="metric"),
    "cold": lambda: answer_screen.answer(sample.cold()),
    "refused": lambda: answer_screen.answer(sample.refused()),
    "tested": lambda: answer_screen.answer(replace(sample.RESULT, standing="tested", command="check")),
    "long": lambda: answer_screen.answer(
        replace(
            sample.RESULT,
            title=LONG,
            refused="n" * 300,
            ingredients=(replace(sample.RESULT.ingredients[0], name="w" * 200, measure="x" * 90),),
        )
    ),
    "wide letters": lambda: answer_screen.answer(replace(sample.RESULT, title="\u685c\u6843 \u00e9t\u00e9 " * 20)),
    "process": lambda: process_screen.process_screen(sample.PROCESS, sample.RESULT.cautions),
    "scaled": lambda: scaling_screen.table(ROWS, tested=True),
    "fruit": lambda: facts_screen.facts_screen(sample.PLUM, sample.SOURCES),
    "sweetener": lambda: facts_screen.facts_screen(sample.HONEY, sample.SOURCES),
    "acid": lambda: facts_screen.facts_screen(sample.LEMON, ()),
    "jar": lambda: facts_screen.facts_screen(sample.HALF_PINT, sample.SOURCES),
    "index": lambda: facts_screen.facts_index({"fruit": ["plum", "blackberry", LONG], "jars": ["half-pint"]}),
}


@pytest.fixture(autouse=True)
def _wide_terminal(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("COLUMNS", "200")
    monkeypatch.delenv("NO_COLOR", raising=False)


def printed(screen: RenderableType, *, width: int = 80, encoding: str = "utf-8", color: bool | None = None) -> str:
    raw = io.BytesIO()
    stream = io.TextIOWrapper(raw, encoding=encoding, newline="\n")
    layout.console(stream, width=width, color=color).print(screen)
    stream.flush()
    return raw.getvalue().decode(encoding)


def words(screen: RenderableType) -> str:
    return " ".join(re.sub("[\u2500-\u259f]", " ", printed(screen)).split())


@pytest.mark.parametrize("name", SCREENS)
@pytest.mark.parametrize("width", [80, 60, 50])
def test_no_line_is_wider_than_the_screen(name: str, width: int) -> None:
    assert max(cell_len(line) for line in printed(SCREENS[name](), width=width).splitlines()) <= width


@pytest.mark.parametrize("name", SCREENS)
def test_ascii_terminals_get_ascii_in_the_same_columns(name: str) -> None:
    text = printed(SCREENS[name](), encoding="ascii")
    assert max(map(len, text.splitlines())) <= 80
    assert len(text.splitlines()) == len(printed(SCREENS[name]()).splitlines())


@pytest.mark.parametrize(
    ("locale", "more", "ascii_alone"),
    [
        ("C", {}, True),
        ("POSIX", {}, True),
        ("C.UTF-8", {}, False),
        ("en_US.UTF-8", {}, False),
        ("C", {"PYTHONUTF8": "1"}, False),
        ("C", {"PYTHONIOENCODING": "utf-8"}, False),
    ],
)
def test_the_plain_locale_asks_for_ascii(locale: str, more: dict[str, str], ascii_alone: bool, monkeypatch: pytest.MonkeyPatch) -> None:
    """Where LC_ALL is C, Python writes UTF-8 all the same (PEP 540)."""
    for name in ("PYTHONUTF8", "PYTHONIOENCODING"):
        monkeypatch.delenv(name, raising=False)
    for name, value in {"LC_ALL": locale, **more}.items():
        monkeypatch.setenv(name, value)
    assert printed(answer_screen.answer(sample.RESULT)).isascii() == ascii_alone


def test_a_file_holds_every_letter_in_any_locale(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("LC_ALL", "C")
    assert "cr\u00e8me" in output.plain_text(answer_screen.answer(replace(sample.RESULT, title="cr\u00e8me")))


@pytest.mark.parametrize("name", SCREENS)
def test_no_escape_codes_without_color(name: str) -> None:
    assert "\x1b" not in printed(SCREENS[name]())


def test_other_letters_become_ascii_of_the_same_width() -> None:
    text = printed(answer_screen.answer(replace(sample.RESULT, title="cr\u00e8me \u685c \u0153uf \u2019")), encoding="latin-1")
    assert text.splitlines()[0].rstrip() == "creme ?? ?uf ?"


def test_color_is_bold_alone() -> None:
    codes = set(re.findall("\x1b\\[([0-9;]*)m", printed(answer_screen.answer(sample.RESULT), color=True)))
    assert codes == {"0", "1"}


class _Terminal(io.StringIO):
    def isatty(self) -> bool:
        return True


def test_no_color_is_obeyed_on_a_terminal(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("TERM", "xterm")
    bold, bare = _Terminal(), _Terminal()
    layout.console(bold).print(answer_screen.answer(sample.RESULT))
    monkeypatch.setenv("NO_COLOR", "1")
    layout.console(bare).print(answer_screen.answer(sample.RESULT))
    assert "\x1b[1m" in bold.getvalue()
    assert "\x1b" not in bare.getvalue()


def test_narrow_terminals_win(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("COLUMNS", "61")
    assert layout.console(io.StringIO()).width == 61


@pytest.mark.parametrize("width", [80, 60, 50])
def test_no_number_is_cropped(width: int) -> None:
    pot = printed(answer_screen.answer(sample.RESULT), width=width)
    for number in ("1,279 g", "3 lb", "1 lb 8 oz", "1 cup", "1/2 cup"):
        assert number in pot
    facts = printed(facts_screen.facts_screen(sample.PLUM, sample.SOURCES), width=width)
    for number in ("3.45", "87.2", "11.5", "157"):
        assert number in facts
    assert not {"…", "?"} & set(pot + facts + printed(scaling_screen.table(ROWS, tested=True), width=width))


def test_user_text_is_text() -> None:
    title = "[cup] [/oops] [bold]jam[/bold] \x1b[31mred\x1b[0m :cherry: \x07"
    result = replace(
        sample.RESULT,
        title=title,
        ingredients=(replace(sample.RESULT.ingredients[0], name="[/x]plum\x1b]0;t\x07"),),
        findings=(Finding(id="x", kind="know", text="[link=1]say\x1b[2J"),),
    )
    for color in (True, False):
        text = printed(answer_screen.answer(result), color=color)
        assert "[cup] [/oops] [bold]jam[/bold] [31mred[0m :cherry:" in text
        assert "[/x]plum]0;t" in text
        assert "[link=1]say[2J" in text
        assert set(re.findall("\x1b[^m]*m", text)) <= {"\x1b[1m", "\x1b[0m"}


def test_jars_for_the_cold_are_not_said_to_be_heated() -> None:
    """The short answer said "Have ready 6 jars", the long one "heat 6"."""
    cold = jamcalc.batch(["3 lb plums"], store="cold", draws=0)
    assert f"; have ready {cold.yield_.jars.heat}" in words(answer_screen.answer(cold))


def test_the_answer_says_what_it_must() -> None:
    text = words(answer_screen.answer(sample.RESULT))
    assert text.startswith(sample.RESULT.title + " A calculated formula is not a tested recipe")
    for phrase in (
        "plums 5 1/2 cups mashed 1,279 g 3 lb",
        "SHELF: 20 minutes in boiling water",
        "4,300 ft; water boils at 204 F",
        "pH about 3.5 (3.1 to 4.0)",
        "about 9 half-pints (8 to 10); heat 10",
        "headspace 1/4 in",
        "calibrated meter",
        "extension service",
        "--working",
        "jamcalc facts plum",
        *(caution.text for caution in sample.RESULT.cautions),
        *(step for step in sample.RESULT.order_of_work),
    ):
        assert phrase in text, phrase
    assert text.index("In the pot") < text.index("SHELF") < text.index("Acidity")


def test_it_fits_two_screens() -> None:
    assert len(printed(answer_screen.answer(sample.RESULT)).splitlines()) <= 80


def test_every_band_is_shown_when_no_altitude_was_given() -> None:
    text = words(answer_screen.answer(sample.no_altitude()))
    assert "SHELF: boiling water, minutes by altitude" in text
    assert "feet 0-1,000 1,001-3,000 3,001-6,000 6,001-8,000 8,001-10,000 minutes 10 15 20 25 30" in text


def test_cold_says_why_and_how_long() -> None:
    text = words(answer_screen.answer(sample.cold()))
    assert "COLD until a meter shows otherwise" in text
    assert text.count("not unsafe, not shown") == 1
    assert "Refrigerated about 3 weeks; frozen a year" in text
    assert "SHELF" not in text


def test_a_meter_is_not_offered_where_it_mends_nothing() -> None:
    barred = Finding(id="do-not-can", kind="never", text="Elderberries must not be canned at low sugar.")
    text = words(answer_screen.answer(replace(sample.cold(), findings=(barred, *sample.cold().findings))))
    assert "COLD, NOT THE SHELF" in text
    assert "Elderberries must not be canned" in text
    assert "until a meter" not in text
    assert "calibrated meter" not in text
    assert "with a meter" not in text
    assert "It stays cold whatever its pH." in text
    assert "acid enough ^ not sure ^ too mild" in text
    assert "not worked out for the canner" in text


def test_every_reason_of_the_storage_rule_is_known_to_the_screen() -> None:
    fit = known.Fit(fitness="do-not-can", why="why", instead="instead")
    fruits = [replace(sample.PLUM, fit=fit), replace(sample.PLUM, fit=replace(fit, fitness="tested-only"))]
    doubts = storage.unproven(hot_packed=False, fruit_g=1.0, added_water_g=2.0, odd_readings=["plum at pH 2 is far off"])
    untimed = [storage.untimed(sample.HALF_PINT, ["pints"], larger=larger, feet=None) for larger in (True, False)]
    bars = (*storage.barred(fruits, ["fresh basil"], "calculated"), *doubts, *untimed)
    found = set()
    late = (*storage.unfilled(0, "half-pint"), *storage.too_thick(98.0))
    for high, barred, jar in ((4.3, (), "half-pint"), (4.7, (*bars, *late), "quart"), (4.7, bars, "250-ml-clip")):
        verdict = storage.decide(
            high_side_ph=high,
            batch_reading_ph=None,
            bars=barred,
            typical_ph=4.0,
            unshown=None,
            jar_bar=storage.jar_bar(facts.jar(jar)),
            altitude_refused="too high" if barred else None,
            heat_shy_sweeteners=["a sweetener"] if barred else [],
            asked=None,
            tested=None,
        )
        found |= {finding.id for finding in verdict.findings}
        assert all(finding.keeps_cold for finding in verdict.findings)
        assert all(finding.bars_any_reading for finding in verdict.findings if finding.id != "measure")
    assert len(found) == 16


def test_cold_as_asked() -> None:
    asked = replace(sample.RESULT.batch, settings=replace(sample.RESULT.batch.settings, store="cold"))
    assert "Cold, as you asked." in words(answer_screen.answer(replace(sample.RESULT, storage="cold", process=None, batch=asked)))


def test_check_gives_the_verdict_and_findings_first() -> None:
    text = words(answer_screen.answer(sample.refused()))
    assert text.index("DO NOT MAKE THIS AS ENTERED") < text.index("Lemon juice is under") < text.index("In the pot")
    assert text.count("no time in the canner mends that") == 1
    assert "Order of work" not in text


def test_a_tested_recipe_keeps_its_standing() -> None:
    text = words(SCREENS["tested"]())
    assert "A tested recipe" in text
    assert "the test of this recipe counts for more" in text
    assert "Before you rely on it" not in text


def test_a_reading_moves_the_mark_to_its_own_limit() -> None:
    batch = replace(sample.RESULT.batch, settings=replace(sample.RESULT.batch.settings, batch_ph=4.1))
    measured = replace(sample.RESULT.acidity, ph=Estimate(low=4.1, typical=4.1, high=4.1))
    lines = printed(answer_screen.answer(replace(sample.RESULT, batch=batch, acidity=measured))).splitlines()
    numbers, marks = next((lines[i - 1], line) for i, line in enumerate(lines) if "may stand on a shelf ^" in line)
    assert marks.index("^") == numbers.index("4.2") + 1
    assert any("The meter's reading decides" in line for line in lines)
    assert any("the next pot" in line for line in lines)


def test_the_set_and_the_recipes_own_yield() -> None:
    batch = replace(sample.RESULT.batch, stated_yield="5 to 6 half-pints", source_text="A bulletin")
    too_much = replace(sample.RESULT.gel_set, too_much_calcium=True)
    text = words(answer_screen.answer(replace(sample.RESULT, batch=batch, gel_set=too_much)))
    assert "stated yield 5 to 6 half-pints, by the recipe itself" in text
    assert "From: A bulletin" in text
    assert "may weep or turn grainy" in text
    assert "none to expect" in words(answer_screen.answer(replace(sample.RESULT, gel_set=replace(too_much, strength="none"))))
    assert "not worked out: only" in words(answer_screen.answer(replace(sample.RESULT, batch=replace(batch, pectin_kind="standard"))))


def test_sums_that_do_not_settle_are_not_hidden() -> None:
    result = replace(sample.RESULT, solution=outcome.Solution(converged=False, residual=0.1, iterations=50))
    assert "do not use these amounts" in words(answer_screen.answer(result))


def test_working_names_sources() -> None:
    text = words(answer_screen.answer(sample.RESULT, working=True))
    assert "1. lemon juice: 122 g" in text
    assert "[INVENTED-A]" in text
    assert "INVENTED-A An invented bulletin on stone fruit, table 2" in text
    assert "--working" not in text


def test_process_screen() -> None:
    text = words(process_screen.process_screen(sample.PROCESS))
    assert text.startswith("Half-pint jar: 20 minutes in boiling water At 4,300 ft, where water boils at 204 F.")
    assert "3,001-6,000 ft 20 <- 4,300 ft 6,001-8,000 ft 25" in text, "the row of one's own kitchen is marked, and no other"
    assert text.count("<-") == 1
    everywhere = words(process_screen.process_screen(replace(sample.PROCESS, altitude_ft=None, minutes=10)))
    assert "10 minutes up to 1,000 ft" in everywhere
    metric = words(process_screen.process_screen(sample.PROCESS, units="metric"))
    assert "At 1,311 m, where water boils at 96 C." in metric
    assert "915-1,828 m 20 <- 1,311 m" in metric
    assert not re.search(r"\d (ft|F)\b", metric)


@pytest.mark.parametrize("width", [80, 60, 50])
def test_no_band_is_cropped(width: int) -> None:
    for units, bands in (("us", ("1,001-3,000 ft", "8,001-10,000 ft")), ("metric", ("915-1,828 m", "2,439-3,048 m"))):
        text = printed(process_screen.process_screen(sample.PROCESS, units=units), width=width)
        assert all(band in text for band in bands)


@pytest.mark.parametrize("width", [80, 60, 50])
@pytest.mark.parametrize("pots", [1, 2])
def test_a_scaled_table_breaks_no_word(width: int, pots: int) -> None:
    result = jamcalc.check("strawberry-rhubarb", draws=0)
    scaled = jamcalc.scale_answer("strawberry-rhubarb", times=1.5 if pots == 1 else 4.0)
    text = printed(scaling_screen.one_table(scaled.scaled, scaled.result, tested=False), width=width)
    assert scaled.scaled.pots.number == pots
    for whole in ("strawberries", "calcium-set", "8 cups" if pots == 2 else "3 cups"):
        assert whole in text
    assert not {"…", "?"} & set(text)
    assert text.count(" %") == len(result.ingredients)


def test_what_does_not_fit_side_by_side_stands_below_each_other() -> None:
    table = layout.ruled(1)
    table.add_column("item")
    table.add_column("all")
    table.add_column("off", justify="right")
    table.add_row("strawberries", "3 tbsp + 1 1/2 tsp", "-2 %")
    wide = printed(layout.Fitted(table), width=80).splitlines()
    assert wide[2].split() == ["strawberries", "3", "tbsp", "+", "1", "1/2", "tsp", "-2", "%"]
    for name in ("as written, in pounds", "in each of three"):
        table.add_column(name.replace(" ", "-"))
    table.columns[-2]._cells, table.columns[-1]._cells = ["2 cups"], [""]
    assert printed(layout.Trimmed(layout.Fitted(table)), width=50).splitlines() == [
        "strawberries",
        "  all: 3 tbsp + 1 1/2 tsp; off: -2 %;",
        "  as-written,-in-pounds: 2 cups",
    ], "no head without a number"


def test_the_index_writes_names_as_the_items_do() -> None:
    for kind, held in (("fruit", facts.fruit), ("sweetener", facts.sweetener), ("acid", facts.acidulant), ("jar", facts.jar)):
        for key in facts.keys(kind):  # type: ignore[arg-type]
            name, indexed = held(key).name, str(facts.table("items")[kind][key][0])
            shown = facts_screen.as_written(indexed)
            assert shown.casefold() == indexed
            assert shown == name or name.casefold() not in (indexed, indexed.removesuffix(" jar")), (shown, name)


def test_weights_of_the_working_have_their_comma() -> None:
    text = words(answer_screen.working_screen(jamcalc.batch(["3 kg plums"], sweetener="honey", draws=0)))
    assert "3,000 g as bought" in text
    assert not re.search(r"(?<![\d.,])\d{4,} g\b", text)


def test_a_text_is_broken_between_phrases(capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("COLUMNS", "60")
    output.show('What fruit is on hand? One line for each, such as, "3 lb plums".')
    assert capsys.readouterr().out == 'What fruit is on hand? One line for each, such as,\n"3 lb plums".\n'


def test_scaling_table() -> None:
    text = words(scaling_screen.table(ROWS, tested=True))
    assert "plum 3 cups mashed 4.5 cups 4 1/2 cups mashed 0 %" in text
    assert "4 3/8 tsp -3 %" in text
    anew = SimpleNamespace(item="honey", tested_text="200 g", exact_text="300 g", measure_text="1 cup", off_percent=None)
    assert words(scaling_screen.table((anew,), tested=False)).endswith("honey 200 g 300 g 1 cup")


@pytest.mark.parametrize("kind", [known.Fruit, known.Sweetener, known.Acidulant, known.Jar])
def test_every_figure_has_a_name(kind: type) -> None:
    figures = {each.name for each in fields(kind) if "Figure" in str(each.type) and "Mapping" not in str(each.type)}
    assert figures
    assert figures <= set(facts_screen.LABELS)


@pytest.mark.parametrize("name", ["strawberry", "plum", "honey", "lemon juice", "half-pint", "elderberry"])
def test_every_number_at_the_foot_is_pointed_to(name: str) -> None:
    item = lines.read_item(name, facts.KINDS)
    hold: dict[str, Callable[[str], facts_screen.Item]] = {"sweetener": facts.sweetener, "acid": facts.acidulant, "jar": facts.jar}
    held = hold.get(item.kind, facts.fruit)(item.key)
    text = printed(layout.Trimmed(facts_screen.facts_screen(held, facts.sources(record.source_keys(held)))))
    above, foot = text.partition("\nNotes\n")[0], text.partition("\nSources\n")[2]
    cells = re.findall(r"(?<=\[)[\d, ]+(?=\])|(?<= )(?:\d+, ?)*\d+,?$", above, re.MULTILINE)
    cited = list(dict.fromkeys(re.findall(r"\d+", " ".join(cells))))
    numbered = re.findall(r"^ +(\d+) \S+: ", foot, re.MULTILINE)
    assert numbered
    assert numbered == cited, "in the order in which they are pointed to"


def test_facts_show_figure_grade_and_source() -> None:
    text = words(facts_screen.facts_screen(sample.PLUM, sample.SOURCES))
    assert "pH 2.9 3.45 4.3 pH seen 1, 2" in text
    assert "energy 42 46 50 kcal/100 g seen 2" in text
    assert "1 INVENTED-A: An invented bulletin" in text
    assert "early, sour kinds to dessert plums" in text
    unfit = replace(sample.PLUM, fit=known.Fit(fitness="do-not-can", why="too mild", instead="freeze it"))
    assert "NOT FOR CANNING at low sugar: too mild. freeze it" in words(facts_screen.facts_screen(unfit, ()))


def test_words_that_depend_on_the_batch() -> None:
    assert "does not keep by its sugar" in words(answer_screen.answer(sample.RESULT))
    assert "does not keep by its sugar" not in words(answer_screen.answer(replace(sample.RESULT, water_activity=0.8)))
    sour = replace(sample.RESULT.batch.fruits[0], fruit=replace(sample.PLUM, name="sour cherry"))
    batch = replace(sample.RESULT.batch, fruits=(sour,))
    assert 'jamcalc facts "sour cherry"' in words(answer_screen.answer(replace(sample.RESULT, batch=batch)))
    over = replace(sample.RESULT.yield_, over_ml=118.0)
    assert "worked out: 9 full and about 120 mL (1/2 cup) over" in words(answer_screen.answer(replace(sample.RESULT, yield_=over)))
    spice = outcome.Ingredient(item="extra", name="1 cinnamon stick", role="other", grams=0.0, measure="as written")
    spiced = replace(sample.RESULT, ingredients=(*sample.RESULT.ingredients, spice))
    assert "1 cinnamon stick as written SHELF" in words(answer_screen.answer(spiced))
    said = Finding(id="tested-recipe", kind="usual", text="Said by the heading.")
    assert "Said by the heading" not in words(answer_screen.answer(replace(sample.RESULT, cautions=(said,))))
    unasked = replace(sample.RESULT, lemon_juice=replace(sample.RESULT.lemon_juice, grams=0.0))
    assert "before the lemon juice" not in words(answer_screen.answer(unasked))


@pytest.mark.parametrize("width", [80, 60, 50])
def test_no_line_ends_within_a_measure(width: int) -> None:
    options = {"sweetener": "maple syrup", "on_hand": ["7 half-pints", "2 pints"]}
    result = jamcalc.batch(["3 lb figs", "1 lb pears", "2 lb rhubarb", "1 lb apricots"], draws=0, **options)  # type: ignore[arg-type]
    for screen in (short_screen.answer(result), answer_screen.answer(result, working=False)):
        text = printed(layout.Trimmed(screen), width=width)
        inside = [re.sub(r"^[\W_]+|[\W_]+$", "", line) for line in text.splitlines()]
        torn = [
            f"{line} / {after}"
            for line, after in itertools.pairwise(inside)
            if re.search(r"\d$", line) and re.match(r"\d/\d|(?:lb|oz|g|tsp|tbsp|cups?|min|ft|in|F|weeks?|to \d)\b", after)
        ]
        assert not torn
        assert phrases.HOLD not in text
