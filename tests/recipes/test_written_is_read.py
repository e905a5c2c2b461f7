"""What the program writes, it reads: a law over extreme batches, and each case that once failed."""

from __future__ import annotations

import contextlib
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from jamcalc import api, facts
from jamcalc.cli import main
from jamcalc.errors import InputError, JamcalcError
from jamcalc.nouns.written import Recipe, StatedYield
from jamcalc.reading import recipefile, recipetext, several
from jamcalc.recipes import to_recipe
from jamcalc.words import quantities


def names(*kinds: facts.Kind) -> list[str]:
    return [str(facts.table("items")[kind][key][0]) for kind in kinds for key in facts.keys(kind)]


FRUITS, SWEETENERS, JARS = names("fruit", "juice"), names("sweetener"), [facts.jar(key).name for key in facts.keys("jar")]
KINDS = st.sampled_from([1, 1, 2, 3, 16, 40, 58])
GRAMS = st.one_of(st.floats(1e-3, 1e-1), st.floats(1, 5_000), st.floats(50_000, 99_900))
OPTIONS = st.fixed_dictionaries(
    {},
    optional={
        "sweetener": st.sampled_from(SWEETENERS), "sweetness": st.sampled_from(["0.1", "30", "80", "150"]),
        "boil": st.sampled_from(["0", "300", "1440"]), "simmer": st.sampled_from(["0.5", "300", "1440"]), "jar": st.sampled_from(JARS),
        "headspace": st.sampled_from(["0.5 mm", "1/16 in", "2 in"]), "set": st.sampled_from(["soft", "firm"]),
        "pectin_spoon": st.sampled_from(["0.5", "20"]), "calcium_spoon": st.sampled_from(["3", "500"]),
        "store": st.sampled_from(["cold", "shelf"]), "units": st.just("metric"), "altitude": st.sampled_from(["-500 ft", "9999 ft"]),
    },
)  # fmt: skip


@st.composite
def batches(draw: st.DrawFn) -> tuple[list[str], dict[str, str]]:
    """Lines and options at the ends of what may be asked."""
    kinds, total_g = draw(KINDS), draw(GRAMS)
    words = [f"{max(total_g / kinds, 0.001):.4f} g {draw(st.sampled_from(FRUITS))}" for _ in range(kinds)]
    return words, draw(OPTIONS)


def read_back(text: str) -> Recipe:
    """The recipe of a file that was written, within the limits of check."""
    recipe = recipefile.from_text(text, "written.toml")
    several.check_sum(recipe.lines)
    api.check(recipe, draws=0)
    return recipe


@settings(max_examples=80, derandomize=True)
@given(batches(), st.sampled_from([0.05, 0.5, 7, 30]))
def test_what_is_written_is_read(asked: tuple[list[str], dict[str, str]], times: float) -> None:
    words, options = asked
    try:
        result = api.batch(words, draws=0, **options)  # type: ignore[arg-type]
    except JamcalcError:  # refused before there is anything to write
        return
    recipe = read_back(to_recipe.file_text(result))
    with contextlib.suppress(JamcalcError):
        scaled = api.scale_answer(recipe, times=times, draws=0)
        try:
            read_back(recipetext.write_text(scaled.recipe))
        except JamcalcError as error:
            raise AssertionError(str(error)) from error


CASES: dict[str, tuple[list[str], dict[str, Any]]] = {
    "a long boil": (["3 lb plums"], {"boil": "300"}),
    "a day over the fire": (["3 lb plums"], {"simmer": "1440"}),
    "95 kg": (["95 kg plums"], {"sweetener": "sugar"}),
    "70 kg in tiny jars": (["70 kg plums"], {"jar": "106 mL jar"}),
    "58 lines and a sweetener": (["100 g plums", "100 g apricots"] * 29, {"sweetener": "honey"}),
    "as many lines as may be": (["100 g plums"] * quantities.MAX_LINES, {"sweetener": "honey"}),
    "16 fruits": ([f"100 g {name}" for name in FRUITS[:16]], {}),
    "every fruit": ([f"100 g {name}" for name in FRUITS[:58]], {"sweetener": "sugar"}),
    "hundreds of cups": ([f"1.7 kg {name}" for name in FRUITS[:38]], {"sweetener": "allulose", "sweetness": "110"}),
    "a trace of an intense sweetener": (["10 g cherries"], {"sweetener": "pure sucralose", "sweetness": "3.2"}),
}


@pytest.mark.parametrize("case", CASES)
def test_what_once_could_not_be_read(case: str) -> None:
    words, options = CASES[case]
    result = api.batch(words, draws=0, **options)
    recipe = read_back(to_recipe.file_text(result))
    assert len(recipe.title) <= 120
    assert recipe.stated_yield is None or recipe.stated_yield.high >= 1


def test_beyond_the_limits_nothing_is_answered() -> None:
    with pytest.raises(InputError, match="100 kg"):
        api.batch(["95 kg plums"], sweetener="sugar", sweetness="150", draws=0)
    recipe = api.recipe_from({"title": "x", "ingredients": ["30 kg plums", "30 kg sugar"]})
    assert api.scale(recipe, times=3).lines
    for times in (3.34, 4, 50):
        with pytest.raises(InputError):
            api.scale(recipe, times=times)
    with pytest.raises(InputError, match="100 kg"):
        api.check({"title": "x", "ingredients": ["60 kg plums", "60 kg pears"]})


def test_a_file_that_could_not_be_read_again_is_not_written(tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: Any) -> None:
    """The last line of defense, which no known batch reaches."""
    monkeypatch.chdir(tmp_path)
    monkeypatch.setenv("JAMCALC_KITCHEN", "kitchen.toml")
    monkeypatch.setattr(recipetext, "write_text", lambda recipe: 'title = "Mine"\n')
    assert main.main(["batch", "3 lb plums", "-o", "a.toml"]) == 1
    out, err = capsys.readouterr()
    assert "Plum spread" in out
    assert "could not be read again" in err
    assert list(tmp_path.iterdir()) == []


@pytest.mark.parametrize("key", sorted(facts.table("jars")))
def test_a_yield_of_one_jar_is_written_and_read(key: str) -> None:
    for count in (1.0, 2.0, 2.5):
        stated = StatedYield(low=count, high=count, jar=key)
        read = recipefile.stated_yield(recipetext.yield_text(stated))
        assert (read.low, read.high, read.jar) == (count, count, key)
