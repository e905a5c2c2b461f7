"""The guided entry with scripted answers: every question, every way back, and what is written."""

from __future__ import annotations

import re
from collections.abc import Sequence
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

import jamcalc
from jamcalc import facts
from jamcalc.cli import commands
from jamcalc.errors import JamcalcError
from jamcalc.guide import answered, corrections, guide, guide_screen, kitchen_questions, questions, writing_down
from jamcalc.kitchen import home_file
from jamcalc.kitchen.household import Kitchen, Pot
from jamcalc.nouns.outcome import BatchResult
from jamcalc.reading import lines
from jamcalc.words import conversation

BARE = Kitchen()
FULL = Kitchen(altitude_ft=4300.0, jars_on_hand=(("half-pint", 11), ("pint", 5)), pots=(Pot(quarts=8.0),))
METRIC = Kitchen(units="metric")
PLUMS = ("3 lb plums", "", "honey", "", "", "")  # the first round at its shortest
MENU = "Change  1 fruit"
CORNERS = "\u250f\u2554\u2588"  # of the frames of shelf, cold and refusal
NEXT = guide.NEXT


@pytest.fixture(autouse=True)
def a_book_of_its_own(tmp_path_factory: pytest.TempPathFactory, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("JAMCALC_BOOK", str(tmp_path_factory.mktemp("book") / "book.sqlite"))


class Session:
    """One conversation: what was asked and shown, in order, up to the end of the answers; what was said at the end; how it ended."""

    def __init__(self, folder: Path, answers: Sequence[str], kitchen: Kitchen = BARE, *, faulty: bool = False) -> None:
        self.folder = folder
        self.prompts: list[str] = []
        self.parts: list[str] = []
        self.at_the_end: list[str] = []
        self._answers, self._over = iter(answers), False
        self.code = guide.run(self._ask, self._show, kitchen=kitchen, folder=folder, kitchen_file=folder / "kitchen.toml")
        self.left = list(self._answers)
        assert faulty or "a fault of the program" not in self.text.lower()

    def _show(self, text: str) -> None:
        (self.at_the_end if self._over else self.parts).append(text)

    def _ask(self, prompt: str) -> str:
        if self._over:
            self.at_the_end.append(prompt)
            raise EOFError
        self.prompts.append(prompt)
        self.parts.append(f"\x00{prompt}")
        answer = next(self._answers, None)
        if answer is None:
            self._over = True
            raise EOFError
        return answer

    @property
    def text(self) -> str:
        return "\n".join(self.parts)

    @property
    def last(self) -> str:
        """What was shown between the last answer and the prompt where it ended."""
        return self.text.rsplit("\x00", 2)[-2].split("\n", 1)[1]

    @property
    def files(self) -> list[str]:
        return sorted(path.name for path in self.folder.iterdir())


def held(folder: Path, *answers: str, kitchen: Kitchen = BARE) -> Session:
    session = Session(folder, answers, kitchen)
    assert session.code == 0
    assert not session.left
    assert not re.search(r"(?<![a-z0-9])--[a-z]", session.text), "no option of the command line is of use here"
    return session


# ---------------------------------------------------------------- the first round


def test_the_first_round_shows_what_the_command_would(tmp_path: Path) -> None:
    session = held(tmp_path, *PLUMS)
    same = jamcalc.batch(["3 lb plums"], sweetener="honey")
    assert session.prompts == [
        "fruit: ", "more fruit [done]: ", "sweetener [none]: ", "firmness [medium]: ", "jars [half-pint]: ", "altitude [I do not know]: ",
        NEXT,
    ]  # fmt: skip
    for words in (
        "Plum spread",
        "not a tested recipe",
        "3 lb",
        same.lemon_juice.measure,
        same.pectin.measure,
        "SHELF",
        "8,001-10,000",
        "pH",
        "Heat",
    ):
        assert words in session.last
    assert session.files == []


def test_a_first_answer_fits_a_screen_of_24_lines(tmp_path: Path) -> None:
    shown_last = held(tmp_path, *PLUMS).last
    assert "Enter for the next page" not in shown_last
    assert len(shown_last.strip().splitlines()) <= 23
    assert max(map(len, shown_last.splitlines())) <= 80


@pytest.mark.parametrize("module", [conversation, corrections, questions, kitchen_questions, writing_down, guide])
def test_explanations_fit_80_columns(module: object) -> None:
    texts = [text for name, text in vars(module).items() if name.startswith(("WHY", "WELCOME"))]
    assert texts
    assert all(len(line) <= 80 for text in texts for line in text.splitlines())


def test_every_question_explains_itself(tmp_path: Path) -> None:
    answers = ["?", "3 lb plums", "?", "", "?", "honey", "?", "", "?", "", "?", "", "?", "reading", "?", "", "keep", "?", "", "save", "?"]
    session = held(tmp_path, *answers)
    wanted = (questions.WHY_FRUIT, questions.WHY_SWEETENER, questions.WHY_FIRMNESS, kitchen_questions.WHY_JARS,
              kitchen_questions.WHY_ALTITUDE,
              guide.WHY_MENU,
              kitchen_questions.WHY_READING, kitchen_questions.WHY_KEEP, writing_down.WHY_FILE)  # fmt: skip
    assert all(why in session.parts for why in wanted)


def test_everything_can_be_answered(tmp_path: Path) -> None:
    session = held(
        tmp_path, "2 lb plums", "1 lb frozen blackberries", "1/4 cup water", "", "1/2 cup agave", "firm", "pint", "1300 m", ""
    )  # fmt: skip
    same = jamcalc.batch(
        ["2 lb plums", "1 lb frozen blackberries", "1/4 cup water", "1/2 cup agave"], set="firm", jar="pint", altitude="1300 m"
    )
    assert same.process is not None
    assert f"SHELF: {same.process.minutes} minutes" in session.last
    assert same.pectin.measure in session.last
    assert "Plum and blackberry spread" in session.last


@pytest.mark.parametrize(("kitchen", "fruit", "honey"), [(BARE, "3 lb plums", "1/2 cup honey"), (METRIC, "1.5 kg plums", "200 g honey")])
def test_the_examples_are_in_the_measures_of_the_kitchen(tmp_path: Path, kitchen: Kitchen, fruit: str, honey: str) -> None:
    session = held(tmp_path, fruit, "", honey, kitchen=kitchen)
    assert f'such as "{fruit}"' in session.text
    assert f"such as {honey}" in session.text


def test_the_kitchen_is_offered_and_taken_with_enter(tmp_path: Path) -> None:
    session = held(tmp_path, *PLUMS, kitchen=FULL)
    same = jamcalc.batch(["3 lb plums"], sweetener="honey", kitchen=FULL)
    assert "  1  what is on hand: 11 half-pints and 5 pints" in session.parts
    assert "jars [all]: " in session.prompts
    assert "altitude [4,300 ft]: " in session.prompts
    assert same.process is not None
    assert same.kitchen is not None
    assert f"SHELF: {same.process.minutes} minutes" in session.last
    assert "Heat " in session.last
    assert "From your kitchen file" not in session.last, "the cook has just said so"


def test_an_answer_beats_the_kitchen(tmp_path: Path) -> None:
    session = held(tmp_path, *PLUMS[:4], "3", "i do not know.", kitchen=FULL)
    assert "For a pint jar" in session.last
    assert "8,001-10,000" in session.last


@pytest.mark.parametrize(
    ("answer", "words"), [("half-pint", "11 half-pints only"), ("2", "11 half-pints only"), ("wide pint", "wide pint"), ("all", "")]
)
def test_jars_by_number_by_name_and_others(tmp_path: Path, answer: str, words: str) -> None:
    session = held(tmp_path, *PLUMS[:4], answer, "", kitchen=FULL)
    assert words in session.text
    assert MENU in session.last


def test_one_kind_of_jar_alone_is_not_offered_twice(tmp_path: Path) -> None:
    session = held(tmp_path, *PLUMS[:4], kitchen=Kitchen(jars_on_hand=(("pint", 5),)))
    assert [part for part in session.parts if part.startswith("  ")][-2:] == ["  1  what is on hand: 5 pints", "  2  half-pints"]


@pytest.mark.parametrize("answer", ["6 half-pints and 2 pints", "6 half-pints, 2 pints"])
def test_jars_may_be_counted(tmp_path: Path, answer: str) -> None:
    session = held(tmp_path, *PLUMS[:4], answer, "", "jars")
    assert "  1  what is on hand: 6 half-pints and 2 pints" in session.parts
    assert "Heat " in session.text
    assert session.prompts[-1] == "jars [all]: "


def test_a_jar_called_by_its_size_is_no_count(tmp_path: Path) -> None:
    assert held(tmp_path, *PLUMS[:4], "8 oz", "", "jars").prompts[-1] == "jars [half-pint]: "


@pytest.mark.parametrize(("answer", "kept"), [("yes", "1300 m"), ("no", None), ("", None)])
def test_an_altitude_is_kept_once_and_if_wanted(tmp_path: Path, answer: str, kept: str | None) -> None:
    session = held(tmp_path, *PLUMS[:5], "1300 m", "?", answer, "altitude", "1400 m")
    offers = [prompt for prompt in session.prompts if prompt.startswith("keep ")]
    assert offers == ["keep 1300 m in your kitchen file? yes or no [no]: "] * 2, "asked, explained, and never again"
    assert kitchen_questions.WHY_KEEP_ALTITUDE in session.parts
    assert ("kitchen.toml" in session.files) == bool(kept)
    assert home_file.read(tmp_path / "kitchen.toml")[0].as_written.get("altitude") == kept


def test_the_altitude_of_the_kitchen_file_is_not_offered_to_it(tmp_path: Path) -> None:
    assert held(tmp_path, *PLUMS[:5], "4300 ft", kitchen=FULL).prompts[-1] == NEXT


def test_an_altitude_is_taken_back_where_it_was_to_be_kept(tmp_path: Path) -> None:
    session = held(tmp_path, *PLUMS[:5], "4300 ft", "back", "6200 ft", "yes")
    assert home_file.read(tmp_path / "kitchen.toml")[0].altitude_ft == 6200.0
    assert session.prompts[-1] == NEXT


def test_an_altitude_that_cannot_be_kept_holds_for_the_batch(tmp_path: Path) -> None:
    (tmp_path / "kitchen.toml").mkdir()
    session = held(tmp_path, *PLUMS[:5], "4300 ft", "yes")
    assert "is not a file" in session.text
    assert "4,300 ft" in session.last


# ---------------------------------------------------------------- slips


def test_a_misspelled_fruit_is_offered_by_number(tmp_path: Path) -> None:
    session = held(tmp_path, "3 lb frozen strawbery", "1", "")
    assert "I do not know that name. Did you mean" in session.text
    assert "Read as: 3 lb frozen strawberry" in session.parts
    assert session.prompts[-1] == "sweetener [none]: "


@pytest.mark.parametrize(
    ("answers", "prompt"),
    [(("3 lb zzzqq",), "fruit: "), ((*PLUMS[:2], "pints"), "sweetener [none]: "), ((*PLUMS[:4], "foo"), "jars [half-pint]: ")],
)
def test_a_name_that_is_like_none_is_asked_for_again(tmp_path: Path, answers: tuple[str, ...], prompt: str) -> None:
    """ "Did you mean" was shown with nothing below it."""
    session = held(tmp_path, *answers)
    assert "I do not know that name." in session.text
    assert "Did you mean" not in session.text
    assert session.prompts[-1] == prompt


@pytest.mark.parametrize(
    ("text", "name", "mended"),
    [
        ("3 lb plumz", "plum", "3 lb plum"),
        ("three pounds plumz", "plum", "3 lb plum"),
        ("6 medium plumz", "plum", "6 medium plum"),
        ("3 lb sour chery", "sour cherry", "3 lb sour cherry"),
        ("4 cups mashed strawbery", "strawberry", "4 cups mashed strawberry"),
        ("4 cups strawbery", "strawberry", "4 cups strawberry"),
        ("2 lb black plumz", "raspberry", "2 lb raspberry"),
        ("2 lb chopped white peech", "white peach", "2 lb chopped white peach"),
        ("1/4 cup bottled lemmon juice", "bottled lemon juice", "1/4 cup bottled lemon juice"),
        ("1 tsp vinegr", "5 % vinegar", "1 tsp 5 % vinegar"),
        ("1 lb a b c d e f g", "plum", "1 lb plum"),
    ],
)
def test_a_name_is_put_in_the_place_of_the_misspelled_words_alone(text: str, name: str, mended: str) -> None:
    assert corrections._with_name(text, name) == mended


@pytest.mark.parametrize("no", ["", "back"])
def test_a_near_name_need_not_be_taken(tmp_path: Path, no: str) -> None:
    session = held(tmp_path, "3 lb plumz", no, "3 lb plums", "", "hony", no, "honey", "", "hafl-pint", no, "")
    assert session.prompts[2] == "fruit: "
    assert session.prompts[-1] == "altitude [I do not know]: "


def test_none_is_not_offered_for_honey(tmp_path: Path) -> None:
    session = held(tmp_path, "3 lb plums", "", "hony", "1")
    assert "  1  honey" in session.parts
    assert not any(part.endswith("  none") for part in session.parts)
    assert session.prompts[-1] == "firmness [medium]: "


@pytest.mark.parametrize(("answer", "form"), [("1", "mashed"), ("chopped", "chopped"), ("3", "whole")])
def test_a_volume_of_fruit_is_asked_for_its_form(tmp_path: Path, answer: str, form: str) -> None:
    session = held(tmp_path, "4 cups strawberries", "?", answer)
    assert corrections.WHY_FORM in session.parts
    assert f"Read as: 4 cups {form} strawberries" in session.parts
    assert session.prompts[-1] == "more fruit [done]: "


@pytest.mark.parametrize("again", ["3 lb plums", "plums", "plum", "1", "yes"])
def test_a_near_name_may_be_written_again_at_once(tmp_path: Path, again: str) -> None:
    session = held(tmp_path, "3 lb plumz", again)
    assert session.prompts == ["fruit: ", "which [write it again]: ", "more fruit [done]: "]
    assert f"Read as: 3 lb {'plums' if again.endswith('plums') else 'plum'}" in session.parts


def test_what_is_written_again_may_be_wrong_again(tmp_path: Path) -> None:
    again = ("9", "4 cups strawbery", "strawberies", "1", "3 cups crushed strawberries")
    session = held(tmp_path, "3 lb plumz", *again, "", "hony", "honney", "honey")
    assert '"9" is none of these: write 1, or write it again in words.' in session.parts
    assert "Read as: 3 cups crushed strawberries" in session.parts
    assert session.prompts[-1] == "firmness [medium]: "


def test_a_form_of_another_word_will_do(tmp_path: Path) -> None:
    assert "Read as: 4 cups pureed strawberries" in held(tmp_path, "4 cups strawberries", "pureed").parts


@pytest.mark.parametrize(("answer", "sweetener"), [("1", "stevia erythritol blend"), ("3", "stevia extract (reb A)"), ("honey", "honey")])
def test_a_name_of_several_things_is_a_choice(tmp_path: Path, answer: str, sweetener: str) -> None:
    session = held(tmp_path, "3 lb plums", "", "stevia blend", "?", answer, "back")
    assert "  2  stevia maltodextrin blend" in session.parts
    assert corrections.WHY_KIND in session.parts
    assert session.prompts[-1] == "sweetener [none]: ", "taken back"
    assert held(tmp_path, "3 lb plums", "", "stevia", answer, "", "", "", "sweetener").prompts[-1] == f"sweetener [{sweetener}]: "


def test_an_amount_of_several_things_is_a_choice(tmp_path: Path) -> None:
    session = held(tmp_path, "3 lb plums", "", "1/2 cup stevia blend", "2")
    assert "Read as: 1/2 cup stevia maltodextrin blend" in session.parts
    assert session.prompts[-1] == "firmness [medium]: "
    assert held(tmp_path, "3 lb plums", "", "1/2 cup stevia", "back").prompts[-1] == "sweetener [none]: "


@pytest.mark.parametrize("no", ["", "back"])
def test_the_form_may_be_left_and_the_line_written_again(tmp_path: Path, no: str) -> None:
    assert held(tmp_path, "4 cups strawberries", no).prompts[-1] == "fruit: "


@pytest.mark.parametrize(
    ("answers", "words"),
    [
        (("",), "some fruit to begin with"),
        (("plums",), "How much is there?"),
        (("3 lb",), "Of which fruit?"),
        (("3 plums",), "Of which size?"),
        (("some plums",), "write for instance"),
        (("x" * 400,), "too long"),
        (("3 lb \x1b[31mplums",), "control characters"),
        (("1/2 cup honey",), "The fruit first"),
        (("drop 1",), "no line 1"),
        (("3 lb plums", "drop 2"), "no line 2"),
        (("3 lb plums", "drop 1"), "all the fruit there is"),
        (("3 cups whole peaches",), "no cup weight"),
        (("3 lb plums", "1 tsp standard pectin", "1 tsp standard pectin"), "named twice"),
        (("2 lb mixed berries",), 'each kind on a line of its own, such as "12 oz strawberries"'),
        (("1/2 tsp cinnamon",), "name it under extras"),
        (("splash of water",), '"2 tbsp water"'),
        (("3 lb plums", "", "2 tbsp bottled lemon juice"), "does not sweeten"),
        (("3 lb plums", "", "2 cups hony"), "Did you mean"),
        (("3 lb plums", "1/2 cup honey", "", "honey"), "give the amount, or the name"),
        (("3 lb plums", "", "honey!"), "is no item"),
        (("3 lb plums", "", "", "rock hard"), "one of soft, medium, firm"),
        (("3 lb plums", "", "", "", "a $ jar"), "is no item"),
        (("3 lb plums", "", "", "", "4300"), "a number and a jar, such as 11 half-pints"),
        (("3 lb plums", "", "", "", "0 half-pints"), "Did you mean"),
        (("3 lb plums", "", "", "", "", "high"), "write feet or meters"),
        (("3 lb plums", "", "", "", "", "1,5 m"), "write a point for a comma"),
        (("3 lb plums", "", "", "", "", "4300 ft", "perhaps"), "Write yes or no."),
        (("3 lb plums", "", "", "", "", "90000 ft"), "write feet or meters"),
        ((*PLUMS, "dance"), "not on offer"),
        ((*PLUMS, "13"), "not on offer"),
        ((*PLUMS, "reading", "pH 3"), "What was it read of?"),
        ((*PLUMS, "reading", "3.9", "soup"), "one of batch, plum"),
        ((*PLUMS, "reading", "sour"), "write the fruit and what was measured"),
        ((*PLUMS, "reading", "pear pH 3.9"), "not in the batch"),
        ((*PLUMS, "keep", "attic"), "one of shelf, cold"),
    ],
)
def test_a_slip_is_named_and_asked_again(tmp_path: Path, answers: tuple[str, ...], words: str) -> None:
    session = held(tmp_path, *answers)
    assert words in " ".join(session.last.split())
    assert "\x1b" not in session.text


def test_what_a_line_is_read_as_is_said_at_once(tmp_path: Path) -> None:
    session = held(tmp_path, "2 lb peaches", "1 lb bananas", "", "raw sugar")
    assert any("white-fleshed and subacid ones must not be canned" in part for part in session.parts)
    assert any(part.startswith("Bananas go on a shelf only by a tested recipe") for part in session.parts)
    assert "Raw sugar is treated as white sugar." in session.parts


@pytest.mark.parametrize("word", ["none", "nothing", "unsweetened"])
def test_nothing_sweetens_it(tmp_path: Path, word: str) -> None:
    session = held(tmp_path, "3 lb plums", "", word)
    assert session.prompts[-1] == "firmness [medium]: "


def test_every_sweetener_and_jar_is_understood_by_its_own_name() -> None:
    for key in facts.keys("sweetener"):
        name = answered.Answers(kitchen=BARE, kitchen_file=Path(), sweetener=key).sized_name
        assert name is not None
        assert lines.read_item(name, ("sweetener",)).key == key
    for key in facts.keys("jar"):
        assert lines.read_item(facts.jar(key).name, ("jar",)).key == key


# ---------------------------------------------------------------- back, stop, the end


def test_every_answer_can_be_taken_back(tmp_path: Path) -> None:
    """Back from the menu through the whole first round, to the first question and no further."""
    session = held(tmp_path, "3 lb plums", "1 lb pears", "", "honey", "firm", "pint", "4300 ft", "no", *["back"] * 9)
    assert session.prompts[8:] == [
        NEXT, "altitude [I do not know]: ", "jars [half-pint]: ", "firmness [medium]: ", "sweetener [none]: ", "more fruit [done]: ",
        "more fruit [done]: ", "fruit: ", "fruit: ", "fruit: ",
    ]  # fmt: skip
    assert session.parts.count('This is the first question; "stop" ends.') == 2


def test_an_answer_taken_back_is_gone(tmp_path: Path) -> None:
    session = held(tmp_path, "3 lb plums", "1 lb pears", "back", "", "honey", "", "", "")
    assert "pear" not in session.last
    assert "Plum spread" in session.last


def test_a_change_is_taken_back(tmp_path: Path) -> None:
    session = held(tmp_path, *PLUMS, "firmness", "firm", "back", "back", "batch")
    assert session.prompts[-4:] == [NEXT, "firmness [medium]: ", NEXT, NEXT]
    assert "All as it was before." in session.text
    assert jamcalc.batch(["3 lb plums"], sweetener="honey").pectin.measure in session.last


@pytest.mark.parametrize("before", [(), ("3 lb plums",), PLUMS, (*PLUMS, "save")])
@pytest.mark.parametrize("word", ["stop", "Quit", " exit "])
def test_stop_ends_anywhere_with_nothing_written(tmp_path: Path, before: tuple[str, ...], word: str) -> None:
    session = held(tmp_path, *before, word)
    assert session.files == []


@pytest.mark.parametrize("at", range(8))
def test_interrupted_anywhere_it_leaves_nothing_behind(tmp_path: Path, at: int) -> None:
    answers = iter([*PLUMS, "save"][:at])
    shown: list[str] = []

    def ask(_prompt: str) -> str:
        answer = next(answers, None)
        if answer is None:
            raise KeyboardInterrupt
        return answer

    with pytest.raises(KeyboardInterrupt):
        guide.run(ask, shown.append, kitchen=BARE, folder=tmp_path)
    assert shown[-1] == "", "the shell's prompt gets a line of its own"
    assert list(tmp_path.iterdir()) == []


@pytest.mark.parametrize("error", [ZeroDivisionError(), ValueError("different signs"), MemoryError(), OSError(5, "x")])
def test_no_error_of_a_batch_ends_the_guide(tmp_path: Path, monkeypatch: pytest.MonkeyPatch, error: Exception) -> None:
    """A defect behind one answer is told in a line; the answers are kept, and another change is worked out."""
    whole = guide.api.batch

    def faulty(texts: Sequence[str], **options: object) -> BatchResult:
        if len(texts) == 2:
            raise error
        return whole(texts, **options)  # type: ignore[arg-type]

    monkeypatch.setattr(guide.api, "batch", faulty)
    session = Session(tmp_path, [*PLUMS, "fruit", "2 cups water", "", "more", "fruit", "drop 2", "", "stop"], faulty=True)
    assert session.code == 0
    assert session.left == []
    told = next(part for part in session.parts if "fault of the program" in part)
    assert type(error).__name__ in told
    assert "test_guide.py, line" in told
    assert "There is no batch yet: change what stands in the way first." in session.parts
    assert "Plum spread" in session.text.rsplit("fault of the program", 1)[1]


def test_a_defect_of_a_question_asks_it_again_and_ends_in_the_end(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def broken(*_words: object) -> None:
        raise ZeroDivisionError

    monkeypatch.setattr(guide_screen.answer_screen, "answer", broken)
    session = Session(tmp_path, [*PLUMS, "more", "batch", "stop"], faulty=True)
    assert session.text.count("fault of the program") == 1
    assert "Plum spread" in session.text.rsplit("fault of the program", 1)[1]
    monkeypatch.setitem(guide.QUESTIONS, "fruit", broken)
    with pytest.raises(ZeroDivisionError):
        Session(tmp_path, [], faulty=True)


def test_a_terminal_that_has_gone_is_the_end_of_input(tmp_path: Path) -> None:
    def ask(_prompt: str) -> str:
        raise OSError(5, "Input/output error")

    assert guide.run(ask, [].append, kitchen=BARE, folder=tmp_path) == 0


def test_a_line_in_another_encoding_is_asked_again(tmp_path: Path) -> None:
    answers = iter(["\xff", "stop"])
    shown: list[str] = []

    def ask(_prompt: str) -> str:
        return next(answers).encode("latin-1").decode("utf-8")

    assert guide.run(ask, shown.append, kitchen=BARE, folder=tmp_path) == 0
    assert "did not come through" in shown[-1]


# ---------------------------------------------------------------- changes, and what they move


def rows(shown: str) -> dict[str, str]:
    """The first words of a table's rows and the rest of each."""
    cells = [line[2:].split("  ", 1) for line in shown.splitlines() if line.startswith("  ") and "  " in line[2:].strip()]
    return {name: " ".join(rest.split()) for name, rest in cells}


@pytest.mark.parametrize(
    ("change", "head"),
    [
        (("keep", "cold"), "COLD, NOT THE SHELF"),
        (("reading", "batch pH 4.3"), "COLD until a meter shows otherwise"),
        (("altitude", "4300 ft", ""), "SHELF: 20 minutes in boiling water"),
        (("altitude", "10500 ft", ""), "DO NOT MAKE THIS AS ENTERED"),
        (("3", "firm"), None),
        (("fruit", "1 lb plums", ""), None),
    ],
)
def test_another_verdict_is_shown_in_its_box(tmp_path: Path, change: tuple[str, ...], head: str | None) -> None:
    """A word in a table is missed; the frame is not."""
    last = held(tmp_path, *PLUMS, *change).last
    heads = [line for line in last.splitlines() if line[:1] in CORNERS and line.strip(CORNERS)]
    assert any(head in line for line in heads) if head else not heads


def test_what_the_box_gives_is_not_said_again(tmp_path: Path) -> None:
    last = " ".join(re.sub("[\u2500-\u259f]", " ", held(tmp_path, *PLUMS, "reading", "batch pH 4.3").last).split())
    assert last.count("The batch reads pH 4.30; the shelf asks for a reading of 4.20 or lower.") == 1
    assert last.count("only the new reading counts") == 1


def test_only_what_moved_is_shown(tmp_path: Path) -> None:
    session = held(tmp_path, *PLUMS, "3", "firm")
    before, now = (jamcalc.batch(["3 lb plums"], sweetener="honey", set=word) for word in ("medium", "firm"))
    found = rows(session.last)
    assert found["calcium-set pectin"] == f"{before.pectin.measure} {now.pectin.measure}"
    assert found["set"] == "medium firm"
    assert set(found) == {"what moves", *(name for name, *_ in guide_screen.moved(before, now))}
    assert "minutes" not in found
    assert "plums" not in found


@pytest.mark.parametrize(
    ("answers", "expected"),
    [
        (("sweetener", "1/2 cup agave"), {"honey": "none", "agave syrup": "1/2 cup"}),
        (("2", "none"), {"honey": "none"}),
        (("fruit", "1 lb pears", ""), {"pears": "1 lb"}),
        (("1", "1 lb pears", "drop 1", ""), {"plums": "none", "pears": "1 lb"}),
        (("jars", "pint"), {"minutes": "20 to 35, by altitude"}),
        (("altitude", "4300 ft", ""), {"minutes": "20"}),
        (("reading", "plum pH 3.0"), {"pH": ""}),
        (("keep", "cold"), {"keeps": "cold only", "minutes": "none"}),
        (("altitude", "12000 ft", "no"), {"keeps": "not to be made so"}),
    ],
)
def test_each_thing_can_be_changed(tmp_path: Path, answers: tuple[str, ...], expected: dict[str, str]) -> None:
    found = rows(held(tmp_path, *PLUMS, *answers).last)
    for name, words in expected.items():
        assert found[name].endswith(words)


def test_nothing_moves(tmp_path: Path) -> None:
    assert "Nothing moves." in held(tmp_path, *PLUMS, "keep", "").last


def test_what_is_newly_said_against_a_batch_is_said_in_full(tmp_path: Path) -> None:
    session = held(tmp_path, *PLUMS, "fruit", "1 lb bananas", "", "")
    assert "Bananas go on a shelf only by a tested recipe as written" in " ".join(session.text.replace("\u2551", " ").split())
    assert rows(session.last)["keeps"].endswith("cold only")


def test_readings_are_kept_one_of_each_thing_and_forgotten(tmp_path: Path) -> None:
    session = held(
        tmp_path,
        *PLUMS,
        "reading",
        "plum pH 3.2",
        "reading",
        "batch pH 3.9",
        "reading",
        "plum pH 3.4",
        "reading",
        "",
        "reading",
        "none",
        "reading",
    )
    assert [prompt for prompt in session.prompts if prompt.startswith("reading")] == [
        "reading [none]: ", "reading [plum pH 3.2]: ", "reading [plum pH 3.2, batch pH 3.9]: ", "reading [batch pH 3.9, plum pH 3.4]: ",
        "reading [batch pH 3.9, plum pH 3.4]: ", "reading [none]: ",
    ]  # fmt: skip


def test_a_reading_of_the_batch_decides_and_the_short_form_says_so(tmp_path: Path) -> None:
    assert "Your reading decides" in held(tmp_path, *PLUMS, "reading", "batch pH 4.3", "batch", "").last


def test_a_fruit_takes_its_reading_with_it(tmp_path: Path) -> None:
    session = held(tmp_path, *PLUMS, "reading", "plum pH 3.2", "fruit", "1 lb pears", "drop 1", "", "reading")
    assert "Taken out: 3 lb plums. Its reading goes with it." in session.parts
    assert session.prompts[-1] == "reading [none]: "


def test_a_batch_that_cannot_be_reckoned_says_why_and_waits_for_a_change(tmp_path: Path) -> None:
    heavy = ("80 kg plums", "80 kg pears", "", "", "", "", "", "save")
    session = held(tmp_path, *heavy)
    assert "at most 100 kg" in session.text
    assert "There is no batch yet" in session.last
    assert "Pear spread" in held(tmp_path, *heavy, "fruit", "drop 1", "").last, "then shown whole, as for the first time"


# ---------------------------------------------------------------- more, save, card


def test_more_is_the_whole_answer_by_the_screenful(tmp_path: Path) -> None:
    session = held(tmp_path, *PLUMS, "more", "?", *[""] * 5)
    assert conversation.WHY_PAGES in session.parts
    for words in ("Order of work", "Take care", "Before you rely on it", "never for a child under 12 months"):
        assert words in session.text
    assert max(len(part.splitlines()) for part in session.parts if part.count("\n") > 8) <= 23
    assert session.prompts[-1] == NEXT
    assert "Take care" not in held(tmp_path, *PLUMS, "more", "back").text


def numbers(result: BatchResult) -> list[float]:
    """The numbers of an answer that a cook goes by."""
    return [
        *(each.grams for each in result.ingredients),
        *(result.acidity.ph.low, result.acidity.ph.typical, result.acidity.ph.high),
        result.gel_set.pectin_percent,
        result.gel_set.calcium_mg_per_g_pectin,
        *(result.yield_.jars.low, result.yield_.jars.expected, result.yield_.jars.high),
    ]


@pytest.mark.parametrize("sweet", ["honey", "1/2 cup agave", "none"])
def test_a_saved_recipe_checks_back_to_the_same_numbers(tmp_path: Path, sweet: str) -> None:
    session = held(tmp_path, "3 lb plums", "1 lb frozen blackberries", "", sweet, "", "", "", "save", "")
    assert session.files == ["plum-and-blackberry-spread.toml"]
    written = ["3 lb plums", "1 lb frozen blackberries", *([sweet] if sweet[0] == "1" else [])]
    answer = jamcalc.batch(written, sweetener=None if sweet[0] == "1" or sweet == "none" else sweet)
    back = jamcalc.check(tmp_path / "plum-and-blackberry-spread.toml")
    assert back.refused is None
    assert back.storage == answer.storage
    assert [each.measure for each in back.ingredients] == [each.measure for each in answer.ingredients]
    assert numbers(back) == pytest.approx(numbers(answer), rel=1e-9)


def test_no_file_is_written_over_without_a_yes(tmp_path: Path) -> None:
    old = tmp_path / "plum-spread.toml"
    old.write_text("mine", encoding="utf-8")
    session = held(tmp_path, *PLUMS, "save", "", "", "plum-spread", "no", "other")
    assert session.text.count("There is a file plum-spread.toml already.") == 2
    assert old.read_text(encoding="utf-8") == "mine"
    assert session.files == ["other.toml", "plum-spread.toml"]
    held(tmp_path, *PLUMS, "save", "", "yes")
    assert old.read_text(encoding="utf-8").startswith('title = "Plum spread"')


@pytest.mark.parametrize("name", ["plum.txt", "plum.toml\x00", "a\x1b[31m.toml", "nowhere/plum.toml", "/", "x" * 300])
def test_a_name_that_will_not_do_writes_nothing(tmp_path: Path, name: str) -> None:
    session = held(tmp_path, *PLUMS, "save", name)
    assert session.files == []
    assert "will not do" in session.last or "cannot be written" in session.last
    assert "\x1b" not in session.last


def test_saving_can_be_left(tmp_path: Path) -> None:
    session = held(tmp_path, *PLUMS, "save", "back")
    assert "Nothing was written." in session.last
    assert session.files == []
    assert session.prompts[-1] == NEXT


def test_a_reading_that_a_file_cannot_hold_is_mentioned(tmp_path: Path) -> None:
    assert "Your readings are not in it: note them down (plum pH 3.2)." in held(tmp_path, *PLUMS, "reading", "plum pH 3.2", "save", "").last


def test_the_card_is_a_page_to_print(tmp_path: Path) -> None:
    session = held(tmp_path, *PLUMS, "card", "")
    assert session.files == ["plum-spread-card.html"]
    page = (tmp_path / "plum-spread-card.html").read_text(encoding="utf-8")
    assert page.lower().startswith("<!doctype html>")
    assert "Plum spread" in page
    assert "To be filled in by hand" in session.last


def test_the_batch_is_kept_in_the_book(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("JAMCALC_BOOK", str(tmp_path / "book.sqlite"))
    session = held(tmp_path, *PLUMS, "reading", "plum pH 3.2", "book", "book")
    assert "Kept as batch 2; once it is in jars: jamcalc finish 2" in session.last
    with jamcalc.Book(reading=True) as book:
        first, second = book.batches(papers=True)
    assert first.papers is not None
    assert (first.title, "plum pH 3.2" in first.papers.asked, "In the pot" in first.papers.screen) == ("Plum spread", True, True)
    assert first.uid != second.uid
    (tmp_path / "book.sqlite").write_bytes(b"no book" * 100)
    session = held(tmp_path, *PLUMS, "book")
    assert "is damaged, or no book" in session.last


@pytest.mark.parametrize("word", ["save", "card", "book"])
def test_what_is_not_to_be_made_is_not_written_down(tmp_path: Path, word: str) -> None:
    session = held(tmp_path, *PLUMS[:5], "12000 ft", "no", word)
    assert "not to be made so" in session.last
    assert session.files == []


# ---------------------------------------------------------------- what people say


@pytest.mark.parametrize("word", ["done", "Done.", "none", "no", "nope", "nah", "that's all", "skip", "no more", "that\u2019s it"])
def test_no_more_fruit_in_other_words(tmp_path: Path, word: str) -> None:
    assert held(tmp_path, "3 lb plums", word).prompts[-1] == "sweetener [none]: "


@pytest.mark.parametrize(
    ("before", "answer", "after"),
    [
        (("3 lb plums", ""), "nah", "firmness [medium]: "),
        (("3 lb plums", ""), "no thanks", "firmness [medium]: "),
        (("3 lb plums", "", ""), "no idea", "jars [half-pint]: "),
        (("3 lb plums", "", "", ""), "don\u2019t know", "altitude [I do not know]: "),
        (("3 lb plums", "", "", "", ""), "no clue", NEXT),
        (("3 lb plums", "", "", "", ""), "not sure", NEXT),
        (("3 lb plums", "", "", "", "", "4300"), "yes please", NEXT),
        ((*PLUMS, "reading"), "done", NEXT),
    ],
)
def test_other_words_are_answers_too(tmp_path: Path, before: tuple[str, ...], answer: str, after: str) -> None:
    assert held(tmp_path, *before, answer).prompts[-1] == after


@pytest.mark.parametrize(("place", "cold"), [("fridge", True), ("in the freezer", True), ("Pantry", False), ("2", True), ("skip", False)])
def test_where_it_is_kept_in_other_words(tmp_path: Path, place: str, cold: bool) -> None:
    assert ("cold only" in held(tmp_path, *PLUMS, "keep", place).last) == cold


@pytest.mark.parametrize(
    ("answers", "line"),
    [
        (("plums", "3 lb"), "3 lb plums"),
        (("plums", "4 cups mashed"), "4 cups mashed plums"),
        (("3 lb", "plums"), "3 lb plums"),
        (("3 lb", "2 lb pears"), "2 lb pears"),
        (("6 peaches", "2"), "6 medium peaches"),
        (("6 peaches", "2 lb"), "2 lb peaches"),
        (("peaches", "6", "large"), "6 large peaches"),
    ],
)
def test_what_a_line_lacks_is_asked_for(tmp_path: Path, answers: tuple[str, ...], line: str) -> None:
    session = held(tmp_path, *answers)
    assert f"Read as: {line}" in session.parts
    assert session.prompts[-1] == "more fruit [done]: "


@pytest.mark.parametrize("answers", [("plums", ""), ("plums", "back"), ("6 peaches", ""), ("3 lb", "none")])
def test_what_a_line_lacks_need_not_be_told(tmp_path: Path, answers: tuple[str, ...]) -> None:
    assert held(tmp_path, *answers).prompts[-1] == "fruit: "


def test_several_fruits_in_one_answer(tmp_path: Path) -> None:
    session = held(tmp_path, "I have 2 lb plums and 1 lb pears", "", "", "", "", "", "fruit")
    assert [part for part in session.parts if part.startswith("  ")][-2:] == ["  1  2 lb plums", "  2  1 lb pears"]


@pytest.mark.parametrize(("answer", "stock"), [("6", "6 half-pints"), ("6 jars", "6 half-pints")])
def test_a_bare_number_of_jars_is_of_the_kind_in_use(tmp_path: Path, answer: str, stock: str) -> None:
    session = held(tmp_path, *PLUMS[:4], answer, "", "jars")
    assert f"  1  what is on hand: {stock}" in session.parts
    pints = held(tmp_path, *PLUMS[:4], "9", "", "jars", kitchen=Kitchen(jars_on_hand=(("pint", 5),)))
    assert "  1  what is on hand: 9 pints" in pints.parts


@pytest.mark.parametrize(("answer", "feet"), [("4300", 4300.0), ("4,300", 4300.0), ("sea level", 0.0), ("about 4300 feet", 4300.0)])
def test_a_bare_altitude_is_feet_and_kept_so(tmp_path: Path, answer: str, feet: float) -> None:
    held(tmp_path, *PLUMS[:5], answer, "yes")
    assert home_file.read(tmp_path / "kitchen.toml")[0].altitude_ft == feet


def test_a_bare_reading_is_never_guessed_to_be_of_the_batch(tmp_path: Path) -> None:
    session = held(tmp_path, *PLUMS, "reading", "3.9", "", "no idea", "2", "reading", "batch 3.8", "reading")
    assert session.parts.count("Write a number from 1 to 2, or one of batch, plum.") == 1
    assert session.prompts[-1] == "reading [plum pH 3.9, batch pH 3.8]: "


def test_a_mistake_takes_one_line_and_the_question_again(tmp_path: Path) -> None:
    """At every question of the first round, whatever is typed that is no answer."""
    good = ("3 lb plums", "", "honey", "", "", "4300 ft")
    for place, word in ((1, "green"), (3, "wobbly"), (4, "@"), (5, "up a hill")):
        session = held(tmp_path, *good[:place], word)
        said_of_it = [line for line in session.last.splitlines() if word in line]
        assert len(said_of_it) == 1, word
        assert session.prompts[-1] == session.prompts[-2]


# ---------------------------------------------------------------- nothing is lost unasked

ASKED = "save it before you go? yes, no or book [yes]: "


@pytest.mark.parametrize(("answers", "files"), [(("yes", ""), ["plum-spread.toml"]), (("", "mine"), ["mine.toml"]), (("no",), []),
                                               (("nah",), []), (("stop",), []), (("perhaps", "no"), [])])  # fmt: skip
def test_an_unsaved_batch_is_asked_about(tmp_path: Path, answers: tuple[str, ...], files: list[str]) -> None:
    session = held(tmp_path, *PLUMS, "stop", *answers)
    assert session.prompts.count(ASKED) == 1 + ("perhaps" in answers)
    assert session.files == files
    assert not session.at_the_end


def test_the_book_keeps_it_at_the_end_too(tmp_path: Path) -> None:
    assert "Kept as batch 1" in held(tmp_path, *PLUMS, "stop", "book").text


def test_going_back_goes_on(tmp_path: Path) -> None:
    assert held(tmp_path, *PLUMS, "stop", "back", "3", "firm").prompts[-1] == NEXT


def test_the_end_of_input_is_asked_about_once(tmp_path: Path) -> None:
    session = held(tmp_path, *PLUMS)
    assert session.at_the_end == ["", "Plum spread is not saved yet.", ASKED, ""]


@pytest.mark.parametrize(
    ("answers", "asked"),
    [
        (("3 lb plums",), False),
        (PLUMS, True),
        ((*PLUMS, "save", ""), False),
        ((*PLUMS, "book"), False),
        ((*PLUMS, "card", ""), True),
        ((*PLUMS, "save", "", "3", "firm"), True),
        ((*PLUMS, "save", "", "3", "firm", "back"), False),
        ((*PLUMS[:5], "12000 ft", "no"), False),
    ],
)
def test_only_what_would_be_lost_is_asked_about(tmp_path: Path, answers: tuple[str, ...], asked: bool) -> None:
    session = held(tmp_path, *answers)
    assert (ASKED in session.at_the_end) == asked


@pytest.mark.parametrize(("number", "word", "name"), [
    ("8", "recipe", "plum-spread.toml"), ("10", "kitchen page", "plum-spread-kitchen.html"),
    ("11", "gift", "plum-spread-gift.html"), ("12", "fair", "plum-spread-card.html")])  # fmt: skip
def test_every_way_to_write_it_down_by_number_and_by_word(tmp_path: Path, number: str, word: str, name: str) -> None:
    session = held(tmp_path, *PLUMS, number, "", word, "", "no", "other", word, "", "yes")
    assert session.prompts.count(f"file [{name}]: ") == 4
    assert session.files == sorted([name, f"other{Path(name).suffix}"])
    assert "Plum spread" in (tmp_path / name).read_text(encoding="utf-8")


def test_no_option_of_the_command_line_is_named(tmp_path: Path) -> None:
    """`held` looks at all that is shown; here are batches that have much to say."""
    for fruit, *more in (
        ("3 lb plums",), ("4 lb mangoes",), ("2 lb strawberries", "1 lb bananas"), ("2 lb pluots",), ("3 lb bing cherries",),
        ("2 lb white peaches",), ("20 lb apples",), ("2 lb lemons",), ("2 lb watermelon",), ("1 lb summit cherries",),
    ):  # fmt: skip
        for jar in ("half-pint", "quart"):
            held(tmp_path, fruit, *more, "", "none", "", jar, "", *[""] * 2, "more", *[""] * 12, "keep", "cold")


# ---------------------------------------------------------------- what the batch book teaches


def taught(path: Path) -> jamcalc.Book:
    """A book with four batches of plums that filled fewer jars, came out soft, and once read higher than the table goes."""
    book = jamcalc.Book(path)
    for found in ("runny", "well", "runny", "runny"):
        number = book.keep(jamcalc.batch(["3 lb plums"], sweetener="honey", reading="plum pH 4.4" if found == "well" else None))
        book.finish(number, jars="5 half-pints", over="1 tbsp", found=found)
    return book


def test_an_answer_is_taught_by_the_book_as_the_command_is(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    with taught(tmp_path / "book.sqlite") as book:
        same = jamcalc.batch(["3 lb plums"], sweetener="honey", book=book)
    tables = jamcalc.batch(["3 lb plums"], sweetener="honey")
    assert tables.pectin.measure not in (same.pectin.measure, ""), "or this shows nothing"
    monkeypatch.setenv("JAMCALC_BOOK", str(tmp_path / "book.sqlite"))
    monkeypatch.setenv("JAMCALC_KITCHEN", str(tmp_path / "kitchen.toml"))
    answers, shown = iter([*PLUMS, "", "tables", "tables", "back", "more", *[""] * 9, "stop", "no"]), list[str]()

    def ask(prompt: str) -> str:
        shown.append(f"\x00{prompt}")
        return next(answers)

    monkeypatch.setattr("builtins.input", ask)
    monkeypatch.setattr(commands, "show", shown.append)
    monkeypatch.chdir(tmp_path)
    assert commands.guided() == 0
    text = "\n".join(shown)
    first, without, again, back, *whole = text.split(f"\x00{NEXT}")
    for words in (same.pectin.measure, same.lemon_juice.measure, "as high as pH", "give me the reading"):
        assert words in " ".join(first.split()), words
    for words in ("From 4 batches of yours", '"tables" leaves that out.'):
        assert words in " ".join(" ".join(whole).split())
    assert f"{same.pectin.measure} {tables.pectin.measure}" in " ".join(without.split()).replace("pectin ", "")
    assert "This is from the tables alone already." in again
    assert "All as it was before." in back
    assert not re.search(r"(?<![a-z0-9])--[a-z]", text)


def test_a_book_that_cannot_be_read_is_told_once_and_the_tables_answer(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    (tmp_path / "book.sqlite").write_bytes(b"no book" * 100)
    monkeypatch.setenv("JAMCALC_BOOK", str(tmp_path / "book.sqlite"))
    monkeypatch.setenv("JAMCALC_KITCHEN", str(tmp_path / "kitchen.toml"))
    answers = iter([*PLUMS, "firmness", "firm", "stop", "no"])
    monkeypatch.setattr("builtins.input", lambda prompt: next(answers))
    monkeypatch.chdir(tmp_path)
    assert commands.guided() == 0
    out, error = capsys.readouterr()
    assert " ".join(out.split()).count("the answer is from the tables alone") == 1
    assert jamcalc.batch(["3 lb plums"], sweetener="honey").lemon_juice.measure in out
    assert not re.search(r"(?<![a-z0-9])--[a-z]", out + error)


# ---------------------------------------------------------------- anything at all

GOOD = (*PLUMS, "1 lb pears", "4 cups strawberries", "1/2 cup agave", "1", "2", "3", "4", "5", "6", "7", "drop 1", "pint", "4300 ft",
        "i do not know", "none",
        "plum pH 3.4", "batch pH 3.9", "cold", "shelf", "more", "batch", "save", "card", "yes", "back", "back", "?")  # fmt: skip
BAD = ("3 lb plumz", "hony", "3 plums", "0 lb plums", "-1", "\x1b[2J", "[red]", "é½", "9" * 60, "x" * 500, "1/0 cup honey", "90 kg plums",
       "12000 ft", "no/x", "a.toml", "b.txt", ".")  # fmt: skip


@settings(max_examples=40, deadline=None)
@given(st.lists(st.sampled_from(GOOD + BAD), max_size=25))
def test_no_answer_whatever_raises(tmp_path_factory: pytest.TempPathFactory, answers: list[str]) -> None:
    session = Session(tmp_path_factory.mktemp("guide"), answers)
    assert session.code == 0
    assert not session.left
    assert "\x1b" not in session.text


@settings(max_examples=40, deadline=None)
@given(st.lists(st.sampled_from(("1 lb pears", "", "honey", "firm", "pint", "4300 ft", "2", "3 lb plumz")), max_size=9))
def test_back_undoes_as_often_as_something_was_answered(tmp_path_factory: pytest.TempPathFactory, answers: list[str]) -> None:
    """After any answers, enough "back" leads to the first question with nothing in the pot."""
    session = Session(tmp_path_factory.mktemp("guide"), [*answers, *["back"] * (len(answers) + 2)])
    assert session.prompts[-1] == "fruit: "


def test_the_parts_raise_nothing_of_their_own() -> None:
    """Back and Stop are turns of the talk: they must not be taken for errors of the program."""
    assert not issubclass(conversation.Back, JamcalcError)
    assert not issubclass(conversation.Stop, JamcalcError)
