"""The package's door: what `dir` and `help` show, what each call says of itself, and what it refuses."""

from __future__ import annotations

import doctest
import inspect
import pydoc
import subprocess
import sys
import types
from pathlib import Path
from typing import Any

import pytest

import jamcalc
from jamcalc.api import choices

CALLS = ("batch", "check", "scale", "scale_answer", "card")
RECIPE = "strawberry-rhubarb"
HEADINGS = ("Parameters", "Returns", "Raises", "Examples")


def answers() -> dict[str, Any]:
    """One answer of each call, worked out anew."""
    return {
        "batch": jamcalc.batch(["3 lb plums", "1 lb pears"], sweetener="honey", altitude="4300 ft", draws=0),
        "check": jamcalc.check(RECIPE, draws=0),
        "scale": jamcalc.scale(RECIPE, times=2),
        "scale_answer": jamcalc.scale_answer(RECIPE, times=2, draws=0),
        "card": jamcalc.card(RECIPE, date="2026-07-14", draws=0),
    }


@pytest.fixture(scope="module")
def two_of_each() -> tuple[dict[str, Any], dict[str, Any]]:
    return answers(), answers()


# ---------------------------------------------------------------- what is seen


def test_dir_shows_what_there_is_and_nothing_else() -> None:
    assert set(dir(jamcalc)) == {*jamcalc.__all__, "__version__"}
    assert {*CALLS, "Book", "acidity", "BatchResult", "Recipe", "Card", "JamcalcError", "InputError"} <= set(jamcalc.__all__)
    for name in jamcalc.__all__:
        assert getattr(jamcalc, name) is not None
    with pytest.raises(AttributeError, match="brew"):
        jamcalc.brew  # type: ignore[attr-defined]  # noqa: B018


def test_every_error_of_the_package_is_at_the_door() -> None:
    from jamcalc import errors

    raised = {name for name, value in vars(errors).items() if isinstance(value, type)}
    assert raised <= set(jamcalc.__all__)


def test_help_shows_calls_results_and_errors() -> None:
    page = pydoc.plain(pydoc.render_doc(jamcalc))
    for name in (*CALLS, "class BatchResult", "class Recipe", "class Card", "class JamcalcError", "class OptionError", "class Book"):
        assert name in page, name
    assert "lines : str or sequence of str" in page


def test_the_door_opens_on_nothing_slow() -> None:
    """Neither importing it nor looking what there is loads a library; help on the calls does without pint, numpy and scipy too."""
    script = (
        "import sys, jamcalc; dir(jamcalc); slow = {'pint', 'numpy', 'scipy', 'rich'}\n"
        "assert not slow & set(sys.modules); before = len([name for name in sys.modules if name.startswith('jamcalc.')])\n"
        "assert before == 0; jamcalc.JamcalcError, jamcalc.batch; assert not slow & set(sys.modules)"
    )
    subprocess.run([sys.executable, "-c", script], check=True)


@pytest.mark.parametrize("name", [*CALLS, "acidity.mixture_ph"])
def test_each_parameter_is_told_with_type_and_unit(name: str) -> None:
    call = jamcalc.acidity.mixture_ph if "." in name else getattr(jamcalc, name)
    text = inspect.getdoc(call) or ""
    if name == "scale_answer":
        assert "Options as there" in text
        assert list(inspect.signature(call).parameters) == list(inspect.signature(jamcalc.scale).parameters)
        return
    assert all(f"{heading}\n{'-' * len(heading)}\n" in text for heading in HEADINGS)
    section = text.partition("Parameters\n")[2].partition("Returns\n")[0]
    told = [word.strip() for line in section.splitlines() if " : " in line for word in line.partition(" : ")[0].split(",")]
    assert told == list(inspect.signature(call).parameters)
    for parameter in inspect.signature(call).parameters.values():
        assert parameter.annotation is not parameter.empty
        assert parameter.kind is not parameter.VAR_KEYWORD
        assert "Any" not in str(parameter.annotation), parameter.name


@pytest.mark.parametrize("name", ["batch", "check", "scale", "card", "acidity.mixture_ph"])
def test_examples_come_out_as_printed(name: str) -> None:
    call = jamcalc.acidity.mixture_ph if "." in name else getattr(jamcalc, name)
    plain: types.FunctionType = inspect.unwrap(call)
    examples = doctest.DocTestParser().get_doctest(inspect.getdoc(plain) or "", dict(plain.__globals__), name, None, None)
    assert examples.examples
    assert doctest.DocTestRunner(verbose=False).run(examples).failed == 0


# ---------------------------------------------------------------- what is answered


def test_answers_are_told_in_a_few_lines(two_of_each: tuple[dict[str, Any], dict[str, Any]]) -> None:
    for name, answer in two_of_each[0].items():
        text = repr(answer)
        assert len(text.splitlines()) <= 5, name
        assert len(text) < 600, name
    result = two_of_each[0]["batch"]
    assert f"{result.acidity.ph.high:.2f}" in repr(result)
    assert result.lemon_juice.measure in repr(result)
    for part in (result.batch, result.batch.fruits[0].fruit, two_of_each[0]["card"].card):
        assert len(repr(part)) < 600


def test_equal_answers_are_one_key(two_of_each: tuple[dict[str, Any], dict[str, Any]]) -> None:
    for name, answer in two_of_each[0].items():
        again = two_of_each[1][name]
        assert answer == again
        assert answer is not again, name
        assert {answer: name}[again] == name
    assert two_of_each[0]["batch"] != two_of_each[0]["check"]


def test_a_card_is_text_page_and_dictionary(two_of_each: tuple[dict[str, Any], dict[str, Any]]) -> None:
    card = two_of_each[0]["card"]
    assert card.card.value("date") == "July 14, 2026"
    assert "July 14, 2026" in card.to_text()
    assert card.to_html().lower().startswith("<!doctype html>")
    assert card.to_html("lid", sheet="a4") != card.to_html("lid")
    assert card.to_dict()["schema"] == "jamcalc/1"
    assert card.refused is None
    assert jamcalc.card(RECIPE, strict=True, draws=0).refused is not None
    assert len(card.to_text(nutrition=True)) > len(card.to_text())


# ---------------------------------------------------------------- what is refused


@pytest.mark.parametrize("name", CALLS)
@pytest.mark.parametrize("option", ["colour", "Jar", "alt\x1b[2Jitude", "x" * 10_000])
def test_an_option_that_a_call_does_not_have(name: str, option: str) -> None:
    with pytest.raises(jamcalc.OptionError) as caught:
        getattr(jamcalc, name)("3 lb plums", **{option: "red"})
    assert isinstance(caught.value, TypeError)  # what Python itself would have raised
    assert isinstance(caught.value, jamcalc.InputError)
    text = str(caught.value)
    assert text.isprintable()
    assert len(text) < 500
    assert text.startswith(f"{name} has no option")


@pytest.mark.parametrize("option", ["set", "store", "boil", "simmer", "headspace", "sweetness", "acid", "want"])
def test_an_option_that_only_batch_can_follow_is_not_swallowed_by_check(option: str) -> None:
    with pytest.raises(jamcalc.OptionError, match=option):
        jamcalc.check(RECIPE, **{option: "1"})


@pytest.mark.parametrize("lines", [["3 lb plums"], ["3 lb plums", "1/2 cup honey"]])
def test_a_sweetness_without_a_sweetener_to_size_is_idle(lines: list[str]) -> None:
    with pytest.raises(jamcalc.OptionError, match="sweetness"):
        jamcalc.batch(lines, sweetness=20)
    beside = jamcalc.batch(lines, sweetener="sugar", sweetness=20, draws=0)
    assert any(ingredient.item == "sugar" for ingredient in beside.ingredients)


@pytest.mark.parametrize(
    "option",
    [
        {"jar": 3}, {"altitude": [3]}, {"altitude": True}, {"draws": "many"}, {"draws": 1.5}, {"draws": True}, {"title": 3}, {"want": 8},
        {"on_hand": 3}, {"on_hand": [3]}, {"reading": 3.4}, {"sweetener": 1}, {"parts": 2}, {"kitchen": "mine.toml"}, {"acid": 5},
        {"headspace": {}}, {"sweetness": []}, {"pectin_spoon": True}, {"set": 1}, {"units": ["us"]}, {"store": b"cold"},
    ],
    ids=str,
)  # fmt: skip
def test_a_value_of_the_wrong_type_is_one_line(option: dict[str, Any]) -> None:
    with pytest.raises(jamcalc.InputError) as caught:
        jamcalc.batch(["3 lb plums"], **option)
    assert len(str(caught.value).splitlines()) == 1


SETTINGS = [
    (name, option) for name in CALLS[:3] for option in inspect.signature(getattr(jamcalc, name)).parameters if option in choices.SETTINGS
]


@pytest.mark.parametrize(("name", "option"), SETTINGS)
def test_no_setting_is_taken_and_left_lying(name: str, option: str) -> None:
    """It is refused where its limits are; one that is not has not been passed on to settings_from."""
    lines, more = (["3 lb plums"], {}) if name == "batch" else (RECIPE, {"times": 2} if name == "scale" else {})
    with pytest.raises((jamcalc.InputError, jamcalc.UnknownItem), match="neither"):
        getattr(jamcalc, name)(lines, **more, **{option: "neither"})


# ---------------------------------------------------------------- types


def test_the_types_hold_for_a_strict_user(tmp_path: Path) -> None:
    """In a folder of the user's own, without our settings. The same file is read against the wheel in .ci/run."""
    pytest.importorskip("mypy", reason="mypy comes with the check extra; .ci/run has it")
    assert (Path(jamcalc.__file__).parent / "py.typed").is_file()
    own = tmp_path / "mine.py"
    own.write_text((Path(__file__).parent / "typed_use.py").read_text(encoding="utf-8"), encoding="utf-8")
    silently = ("--config-file=", "--follow-imports=silent", f"--cache-dir={tmp_path / 'cache'}")  # what is ours has its own check
    done = subprocess.run(
        [sys.executable, "-m", "mypy", "--strict", *silently, str(own)],
        cwd=tmp_path, env={"MYPYPATH": str(Path(jamcalc.__file__).parent.parent), "PATH": ""}, capture_output=True, text=True, check=False,
    )  # fmt: skip
    assert done.returncode == 0, done.stdout + done.stderr
