"""The card in words and as HTML: what stands on it, what stays blank, what is never invented, and that text cannot break out."""

from __future__ import annotations

import json
import re
from dataclasses import replace
from html import escape
from itertools import pairwise

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from label_sample import batch_result

from jamcalc import api
from jamcalc.errors import InputError
from jamcalc.kitchen import household, plan
from jamcalc.kitchen.household import Kitchen, Pot
from jamcalc.labels import card, card_text, doing, lemon_curve
from jamcalc.labels.card import CardRequest
from jamcalc.nouns.asked import UnitSystem
from jamcalc.nouns.outcome import BatchResult, PotShare, Share
from jamcalc.nouns.said import Finding
from jamcalc.prints import fair_page, page, wall_page
from jamcalc.prints.paper import lines
from jamcalc.prints.typeset import finished, heading, listed
from jamcalc.reading import recipefile
from jamcalc.recipes import to_recipe
from jamcalc.words.phrases import all_jars

HOSTILE = "<script>alert(\"1\")</script> & 'quoted' {brace} %s [bold]"


def blend(**changes: object) -> BatchResult:
    details: dict[str, object] = {"minutes": 15, "altitude_ft": 1850.0, "title": "Four-berry spread", **changes}
    return batch_result({"rhubarb": 390, "strawberry": 800, "raspberry": 436, "blueberry": 215}, {"honey": 170}, **details)  # type: ignore[arg-type]


def value(result: BatchResult, key: str, **request: object) -> str:
    return card.content(result, CardRequest(**request)).value(key)  # type: ignore[arg-type]


# ---------------------------------------------------------------- what stands on it


def test_ingredients_fall_by_weight_with_the_sweetener_named() -> None:
    """21 CFR 101.4(a): common names in descending order of predominance by weight."""
    assert value(blend(), "ingredients") == (
        "strawberries, raspberries, rhubarb, blueberries, honey, bottled lemon juice, pectin, monocalcium phosphate"
    )


def test_more_honey_moves_up_the_list() -> None:
    assert value(batch_result({"plum": 300}, {"honey": 301}), "ingredients").startswith("honey, plums")


def test_a_pinch_without_a_weight_closes_the_list() -> None:
    assert value(blend(extras=("1 cinnamon stick",)), "ingredients").endswith("monocalcium phosphate, cinnamon stick")


def test_a_blend_stands_under_its_name_with_its_parts() -> None:
    """Its parts have no weights of their own here: 21 CFR 101.4(b)(2)(i) (memory) lets them follow in parentheses."""
    made = card.content(batch_result({"plum": 900}, {"granulated_sucralose": 24}), CardRequest())
    assert made.value("ingredients").startswith("plums, bottled lemon juice, granulated sucralose (maltodextrin, sucralose), pectin")
    assert made.sweetening == "sweetened with maltodextrin and sucralose"


def test_extras_that_sweeten_and_set_are_said() -> None:
    """A spread set with gelatin and sweetened from a bottle is neither unsweetened nor without a setting agent; frost breaks gelatin."""
    carried = ("2 tbsp unflavored gelatin", "2 tbsp liquid low-calorie sweetener")
    plain = batch_result({"apple_juice": 700}, pectin_g=0, calcium_mg=0, minutes=None, extras=carried)
    made = card.content(replace(plain, batch=replace(plain.batch, extras=(), unfit_extras=carried, freezes=False)), CardRequest())
    assert made.sweetening == "sweetened with liquid low-calorie sweetener"
    assert made.value("set") == "unflavored gelatin"
    assert made.value("ingredients").endswith("unflavored gelatin, liquid low-calorie sweetener")
    assert made.keeping == "Keep refrigerated, use within 3 weeks; do not freeze."
    tested = replace(plain.batch, extras=(), unfit_extras=carried, freezes=False, keep_weeks=4.0, standing="tested")
    assert "within 4 weeks; do not freeze" in card.content(replace(plain, batch=tested), CardRequest()).keeping


def test_a_fruit_in_two_lines_is_named_once() -> None:
    first = batch_result({"plum": 300, "peach": 250})
    doubled = batch_result({"plum": 300, "peach": 250})
    doubled = type(doubled)(**{**doubled.__dict__, "ingredients": (*doubled.ingredients, *first.ingredients[1:2])})
    assert value(doubled, "ingredients").startswith("yellow peaches, plums, ")


def test_process_time_and_fractions_as_judges_read_them() -> None:
    made = card.content(blend(), CardRequest(date="2026-07-14", class_name="214", lot="7"))
    assert made.value("time") == "15 min"
    assert made.value("altitude") == "1,850 ft"
    assert made.value("headspace") == "1/4 in"
    assert made.value("method") == "boiling-water canner"
    assert made.value("date") == "July 14, 2026"
    assert made.value("set") == "calcium-set pectin, monocalcium phosphate"
    assert made.blanks == ()


def test_metric_kitchens() -> None:
    metric = blend(units="metric")
    assert value(metric, "headspace") == "6 mm"
    assert value(metric, "altitude") == "564 m"


@pytest.mark.parametrize(("kitchen", "said", "unsaid"), [("us", "1/4 cup", "mL"), ("metric", "60 mL", "cup")])
def test_the_sample_to_measure_is_in_the_kitchens_measures(kitchen: UnitSystem, said: str, unsaid: str) -> None:
    steps = doing.worded_steps(api.batch(["3 lb plums"], units=kitchen), (), 1)
    (text,) = ["".join(piece.text for piece in step.pieces) for step in steps if step.kind == "measure"]
    assert said in text
    assert unsaid not in text


WORKED = (
    {"lines": ["3 lb plums", "1 1/2 lb frozen blackberries"], "sweetener": "honey", "altitude": "4300 ft"},
    {"lines": ["3 lb strawberries"], "sweetener": "sugar", "store": "cold", "units": "metric"},
)


def test_a_print_says_the_steps_in_fewer_words_with_every_figure_and_thing_in_them() -> None:
    tasks = [task for asked in WORKED for task in api.batch(**asked).tasks if task.short]  # type: ignore[arg-type]
    assert len(tasks) > 7
    words = (
        "thaw", "juice", "prepare", "mash", "measure", "wide pot", "shaken first", "full boil", "pectin", "hard", "boil", "lump", "freeze",
        "heat off", "lid off", "straight up", "stand", "tighten", "seal", "refrigerat", "wipe", "label", "name", "date",
    )  # fmt: skip
    for task in tasks:
        text, short = task.text, task.short
        assert len(short) < len(text)
        assert re.findall(r"[0-9/.]+[0-9]|[0-9]", short) == re.findall(r"[0-9/.]+[0-9]|[0-9]", text)
        assert [word for word in words if word in text.lower() and word not in short.lower()] == []
        assert ("not" in text.split()) <= (" not " in short or "no lumps" in short or "not sealed" in short), short


def test_a_recipe_that_was_written_is_cooked_by_the_same_tasks() -> None:
    """Steps in a file that are ours to the letter are ours; a cook's own tell by their words what they are for."""
    batch = api.batch(["3 lb plums"], sweetener="honey", altitude="4300 ft")
    assert api.check(to_recipe.recipe_of(batch), altitude="4300 ft").tasks == batch.tasks
    metric = to_recipe.recipe_of(api.batch(["3 lb plums"], sweetener="honey", units="metric"))
    assert any(task.kind == "measure" for task in api.check(metric, altitude="4300 ft").tasks)  # in the other kitchen's measures
    steps = ["Wash the jars and keep them hot.", "Cook it.", "Boil the jars 10 min.", "Test the seals."]
    own = api.check({"title": "x", "ingredients": ["3 lb plums", "1/2 cup bottled lemon juice"], "steps": steps})
    assert [task.text for task in own.tasks if task.kind != "measure"] == steps
    assert [task.kind for task in own.tasks if task.kind != "measure"] == ["routine", "", "process", "routine"]


def test_a_recipes_own_steps_stand_as_written() -> None:
    steps = ("Bring the fruit to a full boil and skim it.", "Do not let it lump.")
    assert [step.text for step in doing.worded_steps(blend(steps=steps, minutes=None), ())] == list(steps)


def test_what_is_of_use_at_a_desk_alone_does_not_stand_on_the_kitchen_page() -> None:
    """Where an altitude was taken from is for whoever types; the page says the altitude itself."""
    saved = recipefile.from_text(to_recipe.file_text(api.batch(["3 lb plums"], altitude="4300 ft")))
    for result in (api.check(saved), api.batch(["3 lb plums"], altitude="4300")):
        text = words_of(wall(result))
        assert "4,300 ft" in text
        assert "recipe file" not in text
        assert "is read as" not in text


US_UNIT = re.compile(r"\b(?:cups?|tsp|tbsp|lb|oz|ft|feet|inch(?:es)?|[0-9] in|[0-9] F)\b")
METRIC = (
    {"lines": ["2 kg apricots"], "altitude": "1300 m"}, {"lines": ["2 kg apricots"]}, {"lines": ["2 kg figs"]},
    {"lines": ["1 kg pears", "500 mL mashed strawberries"], "store": "cold"}, {"lines": ["20 kg strawberries"], "altitude": "0 m"},
)  # fmt: skip


@pytest.mark.parametrize("asked", METRIC)
def test_nothing_on_a_metric_print_is_in_us_measures(asked: dict[str, object]) -> None:
    """An altitude that is left to write, and the bands to look it up in, are in meters too."""
    result = api.batch(sweetener="honey", units="metric", **asked)  # type: ignore[arg-type]
    made = card.content(result, CardRequest(date="2026-07-14"))
    printed = [page.print_html(made, kind).split('<section class="leaf"')[1:] for kind in ("card", "recipe", "front", "gift", "lid")]  # type: ignore[arg-type]
    for leaf in (*(leaf for leaves in printed for leaf in leaves), wall(result, paper="a4").split('<section class="leaf"')[1]):
        text = re.sub("<[^>]+>", " ", leaf).replace("\u00a0", " ")
        assert US_UNIT.findall(text) == []


def test_a_metric_amount_stands_as_it_was_typed_and_its_grams_once() -> None:
    rows = {row.name: row for row in doing.amount_rows(api.batch(["2 kg apricots", "1 lb plums"], sweetener="honey", units="metric"))}
    assert rows["apricots"].amount == "2 kg"
    assert rows["plums"].amount == "454 g", "no pounds in a metric kitchen"
    assert rows["honey"].amount.endswith(" g")
    assert rows["honey"].grams == ""


def test_what_is_unknown_is_a_blank_and_named() -> None:
    made = card.content(blend(), CardRequest())
    assert made.blanks == ("class", "lot", "date processed")
    assert made.refused is None
    strict = card.content(blend(), CardRequest(strict=True))
    assert strict.refused == "The card lacks: class, lot, date processed."
    assert card.content(blend(), CardRequest(strict=True, class_name="1", lot="2", date="2026-07-14")).refused is None


def test_no_altitude_no_minutes() -> None:
    """The lowest band's minutes would be wrong on any hill: a wrong time loses the entry."""
    made = card.content(blend(minutes=10, altitude_ft=None), CardRequest())
    assert made.value("time") == ""
    assert made.value("altitude") == ""
    assert {"time", "altitude"} < set(made.blanks)
    assert any("give it" in note for note in made.notes)


@pytest.mark.parametrize("request_", [{"altitude_ft": 6200.0}, {"jar": "pint"}])
def test_another_altitude_or_jar_than_was_reckoned_has_no_minutes(request_: dict[str, object]) -> None:
    assert value(blend(), "time", **request_) == ""


def test_kept_cold_prints_no_process() -> None:
    made = card.content(batch_result({"elderberry": 900}, {"xylitol": 100}, minutes=None), CardRequest(date="2026-08-09"))
    assert [each.key for each in made.fields] == ["class", "lot", "date", "keep", "jar", "ingredients", "set", "recipe"]
    assert made.value("keep") == "refrigerated, use within 3 weeks; or frozen, within a year."
    for text in (card_text.as_text(made), page.print_html(made, "card"), page.print_html(made, "front"), page.print_html(made, "lid")):
        assert "canner" not in text.split("</style>")[-1]
        assert " min<" not in text
        assert "efrigerated" in text
    assert made.warnings == ("Xylitol: poisonous to dogs.",)
    assert any("kept cold" in note for note in made.notes)


def test_the_kitchen_page_heats_no_jars_for_the_cold() -> None:
    cold = batch_result({"elderberry": 900}, minutes=None)
    page_of_it = wall_page.kitchen_html(cold, card=card.content(cold, CardRequest()))
    assert "Jars: have 6" in page_of_it
    assert "Jars: heat" not in page_of_it


def test_a_mild_batch_is_not_given_three_weeks() -> None:
    """Over pH 4.60 the answer allows a few days in the refrigerator: card and labels must not say more."""
    made = card.content(replace(batch_result({"elderberry": 900}, minutes=None), few_days=True), CardRequest(lot="7"))
    for text in (card_text.as_text(made), page.print_html(made, "card"), page.print_html(made, "front")):
        assert "3 weeks" not in text
        assert "few days" in " ".join(text.split())
    assert "Keep frozen" in page.print_html(made, "lid")


def test_why_a_recipe_with_a_time_shows_none_is_told() -> None:
    kept = batch_result({"raspberry": 900}, minutes=None)
    timed = replace(kept, batch=replace(kept.batch, settings=replace(kept.batch.settings, own_process_min=10.0)))
    assert not any("process time" in note for note in card.content(kept, CardRequest()).notes)
    assert any("process time" in note for note in card.content(timed, CardRequest()).notes)


def test_class_and_lot_stay_on_a_lid_without_minutes() -> None:
    html = page.print_html(card.content(blend(altitude_ft=None), CardRequest(class_name="214", lot="7")), "lid")
    assert "class 214, lot 7" in html
    assert "boiling-water" in html
    assert html.count('class="blank"') == 3, "date, minutes, feet"


def test_warnings_are_on_the_text_too() -> None:
    assert "Honey: not for a child" in card_text.as_text(card.content(blend(), CardRequest()))


def test_recipe_and_its_source() -> None:
    assert value(blend(), "recipe") == "own formula"
    assert (
        value(blend(standing="tested", source_text="An invented extension service, Jams, 2019"), "recipe")
        == "An invented extension service, Jams, 2019"
    )
    on_my_word = blend(standing="tested, on your word", source_text="An invented service, 2019")
    assert value(on_my_word, "recipe") == "An invented service, 2019 (tested, on the maker's word)"
    assert "judged here like any other recipe" in words_of(wall(on_my_word))
    assert value(blend(source_text="An invented booklet, 2011"), "recipe") == "own formula, after An invented booklet, 2011"
    assert "recipe" in card.content(blend(standing="published"), CardRequest()).blanks
    assert value(blend(standing="published"), "recipe", recipe="An invented book, 1998, page 12") == "An invented book, 1998, page 12"


def test_the_exhibitor_is_printed_on_request_only() -> None:
    plain = card.content(blend(), CardRequest())
    assert "exhibitor" not in [each.key for each in plain.fields]
    assert any("exhibitor" in note for note in plain.notes)
    assert value(blend(), "exhibitor", exhibitor="A. Maker") == "A. Maker"


@pytest.mark.parametrize(
    ("title", "told"),
    [("Plum Jam", True), ("PLUM JELLY", True), ("Mixed fruit preserves", True), ("Plum spread", False), ("Jamboree plums", False)],
)
def test_the_cooks_title_wins_and_the_law_is_told_beside_the_card(title: str, told: bool) -> None:
    made = card.content(batch_result({"plum": 900}, {"sugar": 200}, title=title), CardRequest())
    assert made.title == title
    assert made.sweetening == "sweetened with sugar"
    assert any("fruit spread" in note for note in made.notes) is told


def test_a_title_given_for_the_card_is_printed_as_given() -> None:
    assert card.content(batch_result({"plum": 900}), CardRequest(title="Plum Jam")).title == "Plum Jam"


def test_jam_by_law_keeps_its_name() -> None:
    made = card.content(
        batch_result({"strawberry": 470}, {"sugar": 550}, lemon_g=0, pectin_g=1, boiled_off_g=180, title="Strawberry Jam"), CardRequest()
    )
    assert made.title == "Strawberry Jam"
    assert made.sweetening == "sweetened with sugar"


def test_a_claim_in_the_title_that_does_not_hold_is_told() -> None:
    notes = card.content(batch_result({"plum": 900}, {"honey": 200}, title="Sugar-free plum spread"), CardRequest()).notes
    assert any('says "sugar free", which does not hold' in note and "21 CFR 101.60(c)(1)" in note for note in notes)


def test_unsweetened_is_said() -> None:
    assert card.content(batch_result({"apricot": 900}), CardRequest()).sweetening == "unsweetened"


def test_net_weight_only_where_asked() -> None:
    assert card.content(blend(), CardRequest()).net_weight == ""
    made = card.content(blend(), CardRequest(net_weight_g=252.3))
    assert made.net_weight == "net weight about 252 g (8.9 oz)"
    assert "252 g" in plain_spaces(page.print_html(made, "front"))


# ---------------------------------------------------------------- dates and limits


@pytest.mark.parametrize("text", ["2026-07-04", "7/4/2026", "07/04/2026", "July 4, 2026", "july 4 2026", "4 Jul 2026", "Jul. 4, 2026"])
def test_dates_are_written_in_full(text: str) -> None:
    assert card.read_date(text) == "July 4, 2026"


@pytest.mark.parametrize(
    "text", ["July 2026", "2026", "2026-13-01", "2026-02-30", "14/7/2026", "4.7.26", "today", "0000-01-01", "2026-07-04T00:00", "\x1b[31m"]
)
def test_no_full_date_is_refused(text: str) -> None:
    with pytest.raises(InputError, match="no full date") as error:
        card.read_date(text)
    assert "\x1b" not in str(error.value)


OPTION_OF = {"class_name": "class", "exhibitor": "name"}


@pytest.mark.parametrize("name", ["title", "class_name", "lot", "exhibitor", "recipe"])
def test_too_long_for_a_card_is_refused_with_the_option(name: str) -> None:
    with pytest.raises(InputError, match=f"--{OPTION_OF.get(name, name)}$"):
        card.content(blend(), CardRequest(**{name: "x" * (card.LONGEST[name] + 1)}))  # type: ignore[arg-type]


# ---------------------------------------------------------------- as text, data and HTML


def test_as_text_fits_and_rules_its_blanks() -> None:
    text = card_text.as_text(card.content(blend(), CardRequest(title="T" * 200)), width=60)
    assert max(map(len, text.splitlines())) == 60
    assert text.count("T" * 60) == 3
    assert "PROCESSED    ____" in text
    assert all(len(line) <= 40 for line in card_text.as_text(card.content(blend(), CardRequest()), width=40).splitlines())


def test_as_data() -> None:
    data = json.loads(json.dumps(card_text.to_dict(card.content(blend(), CardRequest(lot="7")))))
    assert data["fields"]["lot"] == "7"
    assert data["fields"]["class"] is None
    assert data["blanks"] == ["class", "date processed"]


def every_page(result: BatchResult, request: CardRequest) -> list[str]:
    made = card.content(result, request)
    return [
        wall_page.kitchen_html(result, card=made),
        *(page.print_html(made, kind) for kind in ("card", "recipe", "front", "gift")),  # type: ignore[arg-type]
        *(page.sheet_html(made, paper, kind) for paper in ("letter", "a4") for kind in ("card", "recipe", "front", "gift")),  # type: ignore[arg-type]
        page.print_html(replace(made, fields=tuple(replace(field, value="") for field in made.fields)), "lid"),  # that little it holds
    ]


def shown(text: str) -> str:
    """A text as a print has it."""
    return escape(finished(text))


def plain_spaces(html: str) -> str:
    return html.replace("\u00a0", " ")


def test_every_text_is_escaped_and_no_request_leaves_the_page() -> None:
    hostile = CardRequest(
        title=HOSTILE, class_name="<b>1</b>", lot="\"'><i>", exhibitor="</style>", recipe="<img src=x>", jar="&lt;", date="2026-07-14"
    )
    result = blend(extras=('<a href="http://example.org">zest</a>',), steps=("<script>1</script>",), title="<h1>")
    for html in every_page(result, hostile):
        assert "<script" not in html
        for forbidden in ("url(", "@import", 'href="', "<img", "<b>1</b>", "<a ", "<link", " onload"):
            assert forbidden not in html
        assert html.count("</style>") == 1
        link = '<a href="http://example.org">zest</a>'
        assert "http://" not in html.replace(shown(link), "").replace(escape(link), "")
        assert shown(HOSTILE) in html


@pytest.mark.parametrize(
    ("text", "count"),
    [
        ("plum", 1),
        ("plum " * 20, 5),
        ("p" * 100, 5),
        ("W" * 50, 5),
        ("\u6885" * 50, 6),
        ("plum " + "p" * 40, 3),
        ("\u00a0" * 30 + "plums pears", 2),
    ],
)
def test_lines_are_reckoned_as_a_browser_wraps_them(text: str, count: int) -> None:
    """At 10 pt in 100 pt, 10 em: a word too long for a line starts on a new one and breaks anywhere; a no-break space takes its room."""
    assert lines(text, 10.0, 100.0) == count


@pytest.mark.parametrize(
    ("text", "shown"),
    [
        ("1850 mL mashed", "1,850\u00a0mL mashed"), ("850 mL", "850\u00a0mL"), ("1279 g", "1,279\u00a0g"), ("1,279 g", "1,279\u00a0g"),
        ("in 1850 glasses", "in 1850 glasses"), ("1.1850 g", "1.1850\u00a0g"), ("12500 g", "12,500\u00a0g"), ("1850 mLs", "1850 mLs"),
    ],
)  # fmt: skip
def test_thousands_are_set_apart_before_a_unit(text: str, shown: str) -> None:
    assert finished(text) == shown


def test_a_short_name_in_a_list_is_not_parted() -> None:
    """A label read "bottled lemon" and, on the next line, "juice"."""
    assert listed("plums, bottled lemon juice, a blend of nearly everything") == (
        "plums, bottled\u00a0lemon\u00a0juice, a blend of nearly everything"
    )
    made = card.content(blend(), CardRequest())
    for kind in ("card", "front", "gift"):
        assert "bottled\u00a0lemon\u00a0juice" in page.print_html(made, kind)  # type: ignore[arg-type]


def test_a_title_is_not_broken_at_a_hyphen() -> None:
    html = heading("Late-September <b>-jam, Auntie's half-and-half - 1-2", 12.0)
    assert re.findall(r'<span class="unbroken">(.*?)</span>', html) == ["Late-September", "half-and-half", "1-2"]
    assert re.sub("<[^>]+>", "", html) == "Late-September &lt;b&gt;-jam, Auntie\u2019s half-and-half - 1-2"


def test_control_characters_and_overrides_do_not_reach_the_page() -> None:
    made = card.content(blend(), CardRequest(title="Plum\x1b[31m \u202etxeT\x00\u2028 end"))
    assert made.title == "Plum[31m txeT end"


@settings(max_examples=60, deadline=None)
@given(st.text(max_size=200), st.text(max_size=40), st.text(max_size=40))
def test_any_title_is_printed_whole_or_refused_with_what_to_do(title: str, class_name: str, lot: str) -> None:
    made = card.content(blend(altitude_ft=None), CardRequest(title=title, class_name=class_name, lot=lot))
    for kind in ("card", "recipe", "front", "gift", "lid"):
        try:
            html = page.print_html(made, kind)  # type: ignore[arg-type]
        except InputError as error:
            html = str(error)
        html = re.sub(r'<span class="unbroken">(.*?)</span>', r"\1", html)
        assert f">{shown(made.title)}</h1>" in html or ("--title" in html and (len(title) > 40 or kind == "lid"))


def test_pages_print_in_real_size() -> None:
    made = card.content(blend(), CardRequest())
    assert "@page { size: 5in 3in; margin: 0; }" in page.print_html(made, "card")
    assert "@page { size: 3in 2in; margin: 0; }" in page.print_html(made, "front")
    assert "@page { size: 2in 1in; margin: 0; }" in page.print_html(made, "lid")
    assert "@page { size: 8.5in 11in; margin: 0; }" in page.sheet_html(made, "letter")
    assert "@page { size: 210mm 297mm; margin: 0; }" in page.sheet_html(made, "a4")


@pytest.mark.parametrize(
    ("paper", "kind", "fits", "columns", "rows", "width", "height"),
    [
        ("letter", "card", 3, 1, 3, 5.0, 3.0), ("a4", "card", 3, 1, 3, 5.0, 3.0),
        ("letter", "gift", 10, 2, 5, 3.75, 2.0), ("a4", "gift", 10, 2, 5, 3.75, 2.0),
        ("letter", "front", 10, 2, 5, 3.0, 2.0),
        ("a4", "front", 10, 2, 5, 3.0, 2.0), ("letter", "lid", 30, 3, 10, 2.0, 1.0), ("a4", "lid", 30, 3, 10, 2.0, 1.0),
    ],
)  # fmt: skip
def test_sheets_are_true_to_size_with_marks_outside(
    paper: str, kind: str, fits: int, columns: int, rows: int, width: float, height: float
) -> None:
    html = page.sheet_html(card.content(blend(), CardRequest()), paper, kind)  # type: ignore[arg-type]
    cells = [(float(x), float(y)) for x, y in re.findall(r'class="cell" style="left:([\d.]+)in;top:([\d.]+)in"', html)]
    assert len(cells) == fits
    lefts, tops = sorted({x for x, _ in cells}), sorted({y for _, y in cells})
    assert (len(lefts), len(tops)) == (columns, rows)
    assert all(b - a == pytest.approx(width, abs=2e-4) for a, b in pairwise(lefts))
    assert all(b - a == pytest.approx(height, abs=2e-4) for a, b in pairwise(tops))
    marks = [(float(x), float(y)) for x, y in re.findall(r'class="mark" style="left:([\d.-]+)in;top:([\d.-]+)in', html)]
    assert len(marks) == 2 * (columns + 1) + 2 * (rows + 1)
    for x, y in marks:
        assert x >= 0
        assert y >= 0
        assert not (lefts[0] < x < lefts[-1] + width and tops[0] < y < tops[-1] + height)


def test_several_entries_are_laid_out_once_each() -> None:
    entries = [card.content(blend(title=f"Spread {number}"), CardRequest()) for number in range(4)]
    html = page.sheet_html(entries, "letter", "card")
    assert html.count('<section class="leaf"') == 2
    assert [html.count(f">Spread {number}</h1>") for number in range(4)] == [1, 1, 1, 1]
    assert page.print_html(entries, "card").count('class="card"') == 4


def test_unknown_paper_and_no_card_are_refused() -> None:
    with pytest.raises(InputError, match="letter, a4"):
        page.sheet_html(card.content(blend(), CardRequest()), "legal")  # type: ignore[arg-type]
    with pytest.raises(InputError, match="no card"):
        page.print_html([], "card")


# ---------------------------------------------------------------- what does not fit the front


CROWDED = CardRequest(
    title="The plum and blackberry spread of the late-September windfalls", recipe="An invented booklet of the county, " * 6
)


def test_what_the_front_has_no_room_for_goes_to_the_back() -> None:
    """A judge must find the recipe; type under 8 points she cannot read."""
    made = card.content(
        replace(blend(), title="x"), replace(CROWDED, exhibitor="A. Maker of the lower valley road", class_name="Low-sugar spreads")
    )
    assert "recipe" in fair_page.moved_to_the_back(made)
    front, back, *_ = plain_spaces(page.print_html(made, "card")).split('<section class="leaf"')[1:]
    assert "on the back" in front
    assert made.value("recipe") not in front
    assert made.value("recipe") in back
    assert made.title in re.sub("<[^>]+>", "", back)
    sheet = page.sheet_html(made, "letter", "card").split('<section class="leaf"')[1:]
    sides = page.print_html(made, "recipe").count('<article class="back"')
    assert [part.count('class="cell"') for part in sheet] == [3, 3 // sides * sides], "a sheet of fronts and one of backs, each whole"
    assert page.has_back("card", made)


def test_an_ordinary_card_has_no_back_unless_asked() -> None:
    made = card.content(blend(), CardRequest())
    assert page.print_html(made, "card").count('<section class="leaf"') == 1
    assert not page.has_back("card", made)


def test_the_back_holds_amounts_and_method() -> None:
    made = card.content(
        blend(steps=("Boil 2 min, fill, wipe, lid.", "Boil the jars 15 min, lid on.", "Heat off, lid off, wait.")), CardRequest()
    )
    back = plain_spaces(page.print_html(made, "recipe"))
    for text in (
        "4 cups",
        "strawberries",
        "800 g",
        "makes about 5 half-pints",
        "Boil 2 min, fill",
        "Boiling-water canner, 15 min at 1,850 ft.",
    ):
        assert text in back
    assert "Heat off" not in back, "what every canner does is no part of the recipe"


def test_a_recipes_own_washing_is_part_of_it() -> None:
    """Only the washing of jars is left off a card, not that of the fruit."""
    made = card.content(blend(steps=("Wash 4 lb of plums and pit them.", "Wash 6 half-pints and keep them hot.")), CardRequest())
    back = plain_spaces(page.print_html(made, "recipe"))
    assert "Wash 4 lb of plums" in back
    assert "keep them hot" not in back


def test_a_long_method_takes_a_second_side() -> None:
    steps = tuple(f"Stir hard, step {number}, and scrape the bottom of the pot until the boil is back. " * 2 for number in range(12))
    sides = page.print_html(card.content(blend(steps=steps), CardRequest()), "recipe").split('<section class="leaf"')[1:]
    assert len(sides) > 1
    assert "Side\u00a01\u00a0of\u00a0" in sides[0]  # on one line
    for number in range(12):
        assert sum(f"step {number}," in side for side in sides) == 1


# ---------------------------------------------------------------- in the maker's words


def test_method_and_recipe_overrule_the_words() -> None:
    assert value(blend(), "method", method="atmospheric steam canner") == "atmospheric steam canner"
    assert value(blend(), "recipe", recipe="County leaflet 12, 2021") == "County leaflet 12, 2021"


@pytest.mark.parametrize(
    ("method", "holds"), [("steam canner", True), ("Water-bath", True), ("pressure canner", False), ("open kettle", False)]
)
def test_the_minutes_of_boiling_water_are_no_other_methods(method: str, holds: bool) -> None:
    made = card.content(blend(), CardRequest(method=method))
    assert bool(made.value("time")) is holds
    assert any("time is left blank" in note for note in made.notes) is not holds


def test_the_name_is_on_every_print() -> None:
    made = card.content(blend(), CardRequest(exhibitor="A. Maker", date="2026-07-14"))
    for kind in ("card", "recipe", "front", "gift", "lid"):
        assert "A. Maker" in plain_spaces(page.print_html(made, kind))  # type: ignore[arg-type]
    assert "A. Maker" in wall_page.kitchen_html(blend(), card=made)
    assert "from A. Maker" in plain_spaces(page.print_html(made, "gift"))


def test_fruit_is_called_what_the_cook_calls_it() -> None:
    result = api.check(
        {"title": "x", "kind": "spread", "ingredients": ["2 lb Italian prune plums", "12 oz frozen red raspberries", "1/2 cup honey"]}
    )
    assert value(result, "ingredients").startswith("Italian prune plums, red raspberries, honey")


# ---------------------------------------------------------------- gifts


def test_a_gift_says_made_best_by_and_how_to_keep_it() -> None:
    html = plain_spaces(page.print_html(card.content(blend(), CardRequest(date="2026-07-14", class_name="214", lot="7")), "gift"))
    for text in (
        "made",
        "July 14, 2026",
        "best by",
        "July 2027",
        "half-pint",
        "Sealed: cool, dark and dry.",
        "After opening",
        "Honey: not for a child",
    ):
        assert text in html
    for text in ("214", "law", "fair", "formula", "altitude"):
        assert text not in html.split("</style>")[1]


def test_a_cold_gift_is_best_within_three_weeks_and_a_mild_one_says_no_day() -> None:
    """COLD: about 3 weeks in the refrigerator; over pH 4.60 a few days only, which no date stands for."""
    cold = batch_result({"raspberry": 900}, minutes=None)
    assert card.content(cold, CardRequest(date="2026-07-14")).best_by == "August 4, 2026"
    mild = replace(cold, few_days=True)
    made = card.content(mild, CardRequest(date="2026-07-14"))
    assert made.best_by == ""
    assert "best by" not in page.print_html(made, "gift")


# ---------------------------------------------------------------- the page for the kitchen


def wall(result: BatchResult, **options: object) -> str:
    html = wall_page.kitchen_html(result, card=card.content(result, CardRequest()), **options)  # type: ignore[arg-type]
    return html.split("</style>")[1].replace("\u00a0", " ")


def words_of(html: str) -> str:
    return re.sub(r"<[^>]+>", "", html).replace("\u2044", "/")


def test_the_kitchen_page_holds_what_is_done_and_asked() -> None:
    html = wall(blend(), paper="a4")
    for text in (
        "4 cups",
        "strawberries",
        "800 g",
        "pH read",
        "again",
        "jars",
        "sealed",
        "15 min",
        "Jars: heat 6",
        "4 sure, 5 likely, 1 to spare",
        "in at",
        "out at",
    ):
        assert text in words_of(html), text
    assert "For this batch" not in html, "nothing was found"
    rows = wall(blend(minutes=10, altitude_ft=None))
    assert "1,001-3,000 ft" in rows
    cold = words_of(wall(batch_result({"elderberry": 900}, minutes=None)))
    assert "in boiling water" not in cold
    assert "not for the shelf" in cold


def test_calcium_water_comes_first_and_amounts_stand_in_the_steps() -> None:
    steps = (
        "Stir the calcium water and the bottled lemon juice into the fruit.",
        "Work the pectin into the honey.",
        "Boil the jars 15 min, lid on.",
    )
    html = wall(blend(steps=steps))
    assert words_of(html).index("calcium water") < words_of(html).index("strawberries")
    first = words_of(html).index("First: shake 1/2 tsp calcium powder in 1/2 cup water.")
    assert first < words_of(html).index("Stir ")
    bold = [words_of(text) for text in re.findall(r"<b(?: style[^>]*)?>(.*?)</b>", html)]
    for text in ("4 tsp calcium water", "1/4 cup bottled lemon juice", "4 tsp pectin", "1/2 cup honey", "15 min"):
        assert text in bold


def test_a_recipe_that_only_says_process_gets_the_minutes() -> None:
    html = words_of(wall(blend(steps=("Cook.", "Fill hot half-pints and process."))))
    assert "Boil the jars 15 min" in html
    assert html.index("and process") < html.index("Boil the jars")


def test_a_page_for_each_potful_with_its_own_amounts() -> None:
    share = PotShare(
        potfuls=2,
        mashed_cups_each=6.0,
        pots_that_hold_one=None,
        shares=(Share(name="strawberries", amount="400 g", volume="2 cups", mashed=True), Share(name="honey", amount="1/4 cup")),
    )
    pages = wall(blend(), share=share).split('<section class="leaf"')[1:]
    assert len(pages) == 2
    for number, text in enumerate(map(words_of, pages), 1):
        assert f"Potful {number} of 2" in text
        assert "2 cups" in text
        assert "mashed strawberries" in text
        assert "400 g" in text


def potful_pages(jars: str, fruit: str = "18 lb strawberries") -> tuple[BatchResult, list[str]]:
    """The kitchen pages of a batch for a pot of 8 quarts and a canner of 7 jars, one for each potful."""
    said, _ = household.fields({"jars": jars, "pots": "8 quart", "canner": "7 jars"} if jars else {"pots": "8 quart", "canner": "7 jars"})
    kitchen = Kitchen(**said)
    result = api.batch([fruit], sweetener="honey", altitude="4300 ft", kitchen=kitchen)
    share, _ = plan.potfuls(result, kitchen)
    html = wall(result, share=share, loads=plan.loads_to_time(result, kitchen))
    return result, [words_of(text) for text in html.split('<section class="leaf"')[1:]]


@pytest.mark.parametrize(("jars", "fruit"), [("", "18 lb strawberries"), ("40 half-pints", "18 lb strawberries"), ("", "13 lb plums")])
def test_each_potful_has_one_page_with_its_own_jars(jars: str, fruit: str) -> None:
    result, pages = potful_pages(jars, fruit)
    share = result.kitchen
    assert share is not None
    assert len(pages) == share.pots.potfuls > 1
    washed = [re.findall(r"Wash (\d+) half-pints and keep them hot", text) for text in pages]
    assert [len(counts) for counts in washed] == [1] * len(pages)
    heat = [int(counts[0]) for counts in washed]
    assert sum(heat) == sum(kind.count for kind in share.heat)
    assert max(heat) - min(heat) <= 1
    assert all(text.count("in at") == -(-share.most_loads // len(pages)) for text in pages)


def test_what_is_for_the_whole_batch_is_said_once() -> None:
    result, pages = potful_pages("40 half-pints, 4 pints")
    assert result.kitchen is not None
    whole = all_jars(result.kitchen.heat)
    assert [f"Have {whole} ready" in text for text in pages] == [True, *[False] * (len(pages) - 1)]
    assert ["calcium powder" in text for text in pages] == [True, *[False] * (len(pages) - 1)]
    assert f"First, for all {len(pages)} potfuls: shake 1/2 tsp calcium powder in 1/2 cup water." in pages[0]
    assert not any(f"Wash {whole}" in text for text in pages)


def test_a_finding_on_the_whole_batch_stands_on_its_first_page_and_one_on_the_fruit_on_all() -> None:
    result, _ = potful_pages("")
    assert result.kitchen is not None
    whole = [finding.text for finding in result.findings if finding.kind in ("do", "know")]
    assert whole
    noted = replace(result, findings=(*result.findings, Finding(id="x", kind="note", text="Flesh only.")))
    pages = [words_of(text) for text in wall(noted, share=result.kitchen.pots).split('<section class="leaf"')[1:]]
    for text in whole:
        first = re.sub(r" \(--[^()]*\)", "", text).partition(",")[0]
        assert [first in text for text in pages] == [True, *[False] * (len(pages) - 1)], first
    assert all("Flesh only." in text for text in pages)


def test_minutes_that_are_not_known_are_left_to_write_in_the_step_in_the_canner() -> None:
    lines = ["3 lb plums"]
    (asked,) = [step.asks for step in doing.worded_steps(api.batch(lines), ()) if step.kind == "process"]
    assert asked == ("altitude", "minutes", "in at", "out at")
    (known,) = [step.asks for step in doing.worded_steps(api.batch(lines, altitude="4300 ft"), ()) if step.kind == "process"]
    assert known == ("in at", "out at")


def test_calcium_water_of_a_recipe_that_says_how_is_no_step_of_ours() -> None:
    assert "First:" not in words_of(wall(api.check("strawberry-rhubarb")))


def test_a_scale_on_which_no_reading_decides_says_so() -> None:
    cold = words_of(wall(api.batch(["3 lb figs"], sweetener="sugar")))
    assert "kept cold, whatever it reads" in cold
    for decided in (api.batch(["3 lb plums"], altitude="4300 ft"), api.batch(["3 lb strawberries"], sweetener="sugar", altitude="0 ft")):
        assert "whatever it reads" not in words_of(wall(decided))


def test_two_lines_of_one_fruit_each_keep_their_share() -> None:
    kitchen = Kitchen(pots=(Pot(quarts=4.0),))
    result = api.batch(["6 lb plums", "2 lb plums"], sweetener="honey", kitchen=kitchen)
    assert result.kitchen is not None
    rows = [row for row in doing.amount_rows(result, result.kitchen.pots) if row.role == "fruit"]
    said = [share.volume for share in result.kitchen.pots.shares if share.name == "plums"]
    assert [row.amount for row in rows] == said
    assert said[0] != said[1]


@pytest.mark.parametrize(
    ("jars", "canner", "loads"), [("11 half-pints", "12 half-pints", 1), ("11 half-pints", "4 half-pints", 3), ("", "4 half-pints", 3)]
)
def test_every_load_has_its_own_times(jars: str, canner: str, loads: int) -> None:
    found, _ = household.fields({name: words for name, words in (("jars", jars), ("canner", canner)) if words})
    kitchen = Kitchen(**found)
    result = api.batch(["5 lb plums"], sweetener="honey", altitude="4300 ft", kitchen=kitchen)
    assert plan.loads_to_time(result, kitchen) == loads
    unfitted = replace(result, kitchen=None)
    assert plan.loads_to_time(unfitted, kitchen) == loads
    html = words_of(wall(result, loads=loads))
    assert html.count("in at") == html.count("out at") == loads
    assert ("load 3: in at" in html) == (loads == 3)
    assert plan.loads_to_time(api.batch(["5 lb plums"], store="cold"), kitchen) == 0


def test_the_kitchen_page_names_the_jars_of_the_kitchen() -> None:
    found, _ = household.fields({"jars": "11 half-pints, 2 pints", "pots": "8 quart"})
    result = api.batch(["5 lb plums"], sweetener="honey", altitude="4300 ft", kitchen=Kitchen(**found))
    assert result.kitchen is not None
    html = words_of(wall(result)).replace("\u00a0", " ")
    assert f"heat{all_jars(result.kitchen.heat)}" in html
    assert f"Wash {all_jars(result.kitchen.heat)} and keep them hot" in html
    assert f"Jars: heat {result.yield_.jars.heat}" not in html


def test_steps_that_one_page_cannot_hold_run_over_and_none_is_lost() -> None:
    steps = tuple(f"Step number {number}: stir hard and scrape the bottom of the pot until the boil is back. " * 4 for number in range(40))
    pages = wall(blend(steps=steps)).split('<section class="leaf"')[1:]
    assert 1 < len(pages) < 6
    assert [page.count('class="glance"') for page in pages] == [1, *[0] * (len(pages) - 1)]
    assert [page.count('class="care"') for page in pages] == [*[0] * (len(pages) - 1), 1]
    for number in range(40):
        assert sum(f"Step number {number}:" in page for page in pages) == 1
    assert f"Page 1 of {len(pages)}" in words_of(pages[0])


def test_what_was_found_stands_on_the_page_without_words_for_a_terminal() -> None:
    found = (
        Finding(id="set-firm", kind="know", text='Expect a firm set (--reading "plum pH 3").'),
        Finding(id="want", kind="desk", text="Said above."),
    )
    html = words_of(wall(replace(blend(), findings=found)))
    assert "Expect a firm set." in html
    assert "Said above." not in html


def test_the_lemon_curve_passes_through_the_batch() -> None:
    """The curve is worked out from the same formulas as the answer: at the batch's own dose it gives the answer's high side."""
    result = api.check({"title": "x", "kind": "spread", "ingredients": ["3 lb plums", "3/4 cup honey", "1/2 cup bottled lemon juice"]})
    curve = lemon_curve.lemon_curve(result)
    assert curve is not None
    points = dict(curve.points)
    assert points[curve.here_ml] == pytest.approx(result.acidity.ph.high, abs=0.006)
    assert points[0.0] == pytest.approx(result.acidity.ph_before_lemon.high, abs=0.006)
    assert all(before >= after for before, after in pairwise(points.values())), "more lemon juice never raises the pH"
    assert lemon_curve.lemon_curve(api.check("strawberry-rhubarb")) is None, "no lemon juice in it"


def test_numbers_stay_with_their_units_and_quotes_curl() -> None:
    assert finished("Grandma's 1 1/2 cups, 20 min at pH 3.4") == "Grandma\u2019s 1\u00a01/2\u00a0cups, 20\u00a0min at pH\u00a03.4"
    assert finished('"Best" of the \'90s') == "\u201cBest\u201d of the \u201990s"
