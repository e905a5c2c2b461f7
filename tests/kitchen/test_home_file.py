"""The kitchen file: its words, its mistakes, its place, and that it is whole whatever happens to the writer."""

from __future__ import annotations

import os
import re
import subprocess
import sys
import textwrap
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from jamcalc import facts
from jamcalc.cli import main
from jamcalc.errors import InputError, JamcalcError, RecipeError
from jamcalc.kitchen import home_file, household
from jamcalc.kitchen.home_file import change, read
from jamcalc.kitchen.household import Kitchen, Pot
from jamcalc.kitchen.own_files import kitchen_place
from jamcalc.reading import safefile
from jamcalc.words import phrases

FULL = """\
# the farm kitchen
altitude = "4300 ft"
units = "us"
pots = ["8 quart, 10 in across", "4 quart"]
jars = ["11 half-pints", "5 pints",
        "2 half-pints"]   # the shelf in the pantry
canner = "7 jars"
pectin_per_teaspoon = "3.1 g"
calcium_water_per_teaspoon = "15 mg"

lids = 24
lemon_juice = "1 1/2 cups"
pectin = "30 g"
calcium_powder = "0.5 oz"
sweeteners = ["500 g sugar", "1 cup honey"]
packages = ["32 fl oz lemon juice", "1/4 lb pectin", "12 oz honey", "24 lids", "6 wide pints", "16 oz honey"]
"""

MISTAKES = """\
altitude = 4300
units = "furlongs"
pots = ["8 quart", "a big one", "900 quart", "8 quart, 90 in across", "8 lb"]
jars = ["11 half-pints", "5 pintz", "about five", "2.5 pints", 3]
canner = [["7 jars"]]
pectin_per_teaspoon = "3 cups"
calcium_water_per_teaspoon = "15 g"
altitude_ft = "4300 ft"
lids = -1
lids = 24
lemon_juice = yes please
pectin = "30,5 g"
sweeteners = ["2 cups sugar", "1 cup plums", "1 cup of \\u001b[31mred"]
= "nothing"
"quoted key" = true
lids.count = 3
jam = "\x00"
[supplies]
lids = 12
"""


def kitchen_of(text: str, tmp_path: Path) -> tuple[Kitchen, tuple[str, ...]]:
    path = tmp_path / "kitchen.toml"
    path.write_text(text, encoding="utf-8")
    return read(path)


def file_of(kitchen: Kitchen) -> str:
    """A kitchen file in the words in which its settings are shown."""
    return "".join(f"{key} = {household.toml(value)}\n" for key, value in household.told(kitchen).items())


# ---------------------------------------------------------------- where


@pytest.mark.parametrize(
    ("environ", "platform", "place"),
    [
        ({}, "linux", "home/.config/jamcalc/kitchen.toml"),
        ({"XDG_CONFIG_HOME": "/settings"}, "linux", "/settings/jamcalc/kitchen.toml"),
        ({"XDG_CONFIG_HOME": "settings"}, "linux", "home/.config/jamcalc/kitchen.toml"),
        ({}, "darwin", "home/Library/Application Support/jamcalc/kitchen.toml"),
        ({}, "win32", "home/AppData/Roaming/jamcalc/kitchen.toml"),
        ({"APPDATA": "roaming"}, "win32", "roaming/jamcalc/kitchen.toml"),
        ({"JAMCALC_KITCHEN": "cabin.toml", "XDG_CONFIG_HOME": "/settings"}, "linux", "cabin.toml"),
        ({"JAMCALC_KITCHEN": "~/cabin.toml"}, "linux", "home/cabin.toml"),
        ({"JAMCALC_KITCHEN": "~/cabin.toml", "APPDATA": "roaming"}, "win32", "home/cabin.toml"),
    ],
)
def test_location(environ: dict[str, str], platform: str, place: str) -> None:
    assert kitchen_place(environ, platform, Path("home")) == Path(place)
    assert kitchen_place(environ, platform, Path("home"), option="mine.toml") == Path("mine.toml")


@pytest.mark.parametrize(
    ("environ", "platform", "place"),
    [
        ({}, "linux", None), ({}, "darwin", None), ({}, "win32", None), ({"JAMCALC_KITCHEN": "~/cabin.toml"}, "linux", None),
        ({"JAMCALC_KITCHEN": "cabin.toml"}, "linux", "cabin.toml"),
        ({"XDG_CONFIG_HOME": "/settings"}, "linux", "/settings/jamcalc/kitchen.toml"),
        ({"APPDATA": "roaming"}, "win32", "roaming/jamcalc/kitchen.toml"),
    ],
)  # fmt: skip
def test_location_without_a_home(environ: dict[str, str], platform: str, place: str | None) -> None:
    assert kitchen_place(environ, platform, None) == (None if place is None else Path(place))


# ---------------------------------------------------------------- what it says


def test_a_whole_kitchen_is_read(tmp_path: Path) -> None:
    found, problems = kitchen_of(FULL, tmp_path)
    assert problems == ()
    assert found.altitude_ft == 4300
    assert found.units == "us"
    assert found.pots == (Pot(quarts=pytest.approx(8), diameter_in=pytest.approx(10)), Pot(quarts=pytest.approx(4)))
    assert found.jars_on_hand == (("half-pint", 13), ("pint", 5))
    assert found.canner_holds == (("jar", 7),)
    assert found.pectin_g_per_tsp == pytest.approx(3.1)
    assert found.calcium_water_mg_per_tsp == pytest.approx(15)
    assert found.lids == 24
    assert found.lemon_juice_ml == pytest.approx(354.88, abs=0.01)
    assert found.calcium_powder_g == pytest.approx(14.1748, abs=1e-4)
    honey_g = facts.sweetener("honey").g_per_cup
    assert honey_g is not None
    assert dict(found.packages) == {
        "bottled_lemon_juice": pytest.approx(946.35, abs=0.01), "calcium-set": pytest.approx(113.398), "honey": pytest.approx(453.592),
        "lids": 24, "wide-pint": 6,
    }  # fmt: skip
    assert found.sweeteners_g[1] == ("honey", pytest.approx(honey_g.typical))


def test_text_is_read_back(tmp_path: Path) -> None:
    found, _ = kitchen_of(FULL, tmp_path)
    again, problems = kitchen_of(file_of(found), tmp_path)
    assert problems == ()
    assert file_of(again) == file_of(found)
    assert again.jars_on_hand == found.jars_on_hand
    assert again.packages == found.packages
    assert file_of(Kitchen()) == ""


@pytest.mark.parametrize(
    "size",
    ["9000 lids", "0 lids", "1 fl oz lemon juice", "3 lb frogs", "12 oz lemon juice", "400 half-pints", "90 lb sugar", "honey", "-1 lids"],
)
def test_a_package_that_no_shop_sells_is_refused(size: str, tmp_path: Path) -> None:
    found, problems = kitchen_of(f'packages = ["12 oz honey", "{size}"]\n', tmp_path)
    assert [key for key, _ in found.packages] == ["honey"]
    assert len(problems) == 1
    assert "such as" in problems[0]
    assert "\n" not in problems[0]


@pytest.mark.parametrize("key", facts.keys("jar"))
def test_every_jar_is_read_back(key: str, tmp_path: Path) -> None:
    for count in (1, 7):
        assert kitchen_of(file_of(Kitchen(jars_on_hand=((key, count),))), tmp_path) == (Kitchen(jars_on_hand=((key, count),)), ())


def test_every_mistake_is_named_and_the_rest_holds(tmp_path: Path) -> None:
    found, problems = kitchen_of(MISTAKES, tmp_path)
    assert found.jars_on_hand == (("half-pint", 11),)
    assert found.pots == (Pot(quarts=pytest.approx(8)),)
    assert [name for name, _ in found.sweeteners_g] == ["sugar"]
    assert found == Kitchen(jars_on_hand=found.jars_on_hand, pots=found.pots, sweeteners_g=found.sweeteners_g)
    named = (
        "line 10, lids: set a second time",
        "line 11, lemon_juice: cannot be read as TOML",
        "line 14, no name: cannot be read as TOML",
        "line 16, lids: set a second time",
        "line 17, jam: cannot be read as TOML",
        "line 18, (supplies): the kitchen file has no sections",
        "altitude: a bare number where words belong",
        'units: "furlongs" cannot be read',
        'pots: "a big one" cannot be read',
        'pots: "900 quart" cannot be read',
        'pots: "8 quart, 90 in across" is 8 quarts, 90 in across; pots hold',
        'pots: "8 lb" cannot be read',
        "jars: ",  # 5 pintz, with a near name
        'jars: "about five"',
        'jars: "2.5 pints" cannot be read: write a whole number',
        "jars: a bare number where words belong",
        "canner: a list where words belong",
        'pectin_per_teaspoon: "3 cups" cannot be read',
        'calcium_water_per_teaspoon: "15 g" is not a likely weight',
        "altitude_ft: no such setting; did you mean altitude?",
        'lids: "-1" cannot be read',
        'pectin: "30,5 g" cannot be read',
        "sweeteners: ",  # plums
        'sweeteners: "1 cup of red" cannot be read',
        "quoted key: no such setting",
    )
    assert len(problems) == len(named)
    for problem, name in zip(problems, named, strict=True):
        assert problem.startswith(f"kitchen.toml: {name}")
        assert problem.isprintable()


@pytest.mark.parametrize(
    ("raw", "said"),
    [
        (b"altitude = \xff\xfe", "not UTF-8"),
        (b"#" * 20_001, "too large"),
        (b"jars = " + b"[" * 15_000, "cannot be read as TOML"),
        (b"a=[[#\n" * 3_000, "more than 400 lines"),
        (b"a" + b".a" * 9_000 + b" = 1", "cannot be read as TOML"),
        (b"jars = [" + b'"1 pintz", ' * 1_600 + b"]", "1600 entries; at most 40"),
        (b"lids = " + b"9" * 15_000, "cannot be read as TOML"),
        (b"jars = [\n" * 400, "cannot be read as TOML"),
    ],
)
def test_a_file_that_is_no_kitchen(raw: bytes, said: str, tmp_path: Path) -> None:
    path = tmp_path / "kitchen.toml"
    path.write_bytes(raw)
    found, problems = read(path)
    assert found == Kitchen()
    assert said in problems[0]


def test_no_file_a_folder_and_the_empty_device(tmp_path: Path) -> None:
    assert read(tmp_path / "kitchen.toml") == (Kitchen(), ())
    assert read(tmp_path / "no" / "folder" / "kitchen.toml") == (Kitchen(), ())
    assert read(Path(os.devnull)) == (Kitchen(), ())
    assert "is not a file" in read(tmp_path)[1][0]
    assert "cannot be opened" in read(Path("\x00"))[1][0]


def test_a_file_as_other_editors_save_it(tmp_path: Path) -> None:
    path = tmp_path / "kitchen.toml"
    path.write_bytes(b"\xef\xbb\xbf" + FULL.replace("\n", "\r\n").encode())
    assert read(path) == kitchen_of(FULL, tmp_path)


@given(st.text(max_size=200) | st.lists(st.sampled_from(FULL.splitlines() + MISTAKES.splitlines()), max_size=12).map("\n".join))
@settings(max_examples=150, deadline=None)
def test_any_text_gives_a_kitchen_and_one_line_for_each_problem(text: str) -> None:
    document, faults = home_file._document(text)
    fields, problems = household.fields(document)
    assert isinstance(Kitchen(**fields), Kitchen)
    assert all("\n" not in problem and "\x1b" not in problem for problem in faults + problems)


# ---------------------------------------------------------------- changing it


def test_a_change_leaves_every_other_line(tmp_path: Path) -> None:
    path = tmp_path / "new" / "kitchen.toml"
    assert change(path, {"altitude": "1300 m", "jars": "5 pints, 3 half-pints"}).jars_on_hand == (("pint", 5), ("half-pint", 3))
    path.write_text(FULL, encoding="utf-8")
    assert change(path, {"jars": ["7 half-pints"], "lids": "12", "units": None}).lids == 12
    expected = FULL.replace(
        'jars = ["11 half-pints", "5 pints",\n        "2 half-pints"]   # the shelf in the pantry', 'jars = ["7 half-pints"]'
    )
    assert path.read_text(encoding="utf-8") == expected.replace("lids = 24", 'lids = "12"').replace('units = "us"\n', "")
    assert sorted(entry.name for entry in path.parent.iterdir()) == ["kitchen.toml"]


def test_a_change_mends_its_own_line_and_no_other(tmp_path: Path) -> None:
    path = tmp_path / "kitchen.toml"
    path.write_text(MISTAKES, encoding="utf-8")
    changed = change(path, {"lemon_juice": "15 fl oz", "lids": "24", "altitude": "4300 ft", "canner": "7 jars"})
    assert (changed.lemon_juice_ml, changed.lids, changed.altitude_ft) == (pytest.approx(443.6, abs=0.1), 24, 4300)
    old, new = MISTAKES.splitlines(), path.read_text(encoding="utf-8").splitlines()
    kept = [line for line in old if not line.startswith(("lemon_juice", "lids", "altitude =", "canner"))]
    assert [line for line in new if not line.startswith(("lemon_juice", "lids", "altitude =", "canner"))] == kept


def test_a_file_that_would_be_too_large_is_not_written(tmp_path: Path) -> None:
    path = tmp_path / "new" / "kitchen.toml"
    with pytest.raises(RecipeError, match="1600 entries; at most 40"):
        change(path, {"jars": ["1 pint"] * 1_600})
    assert list(tmp_path.iterdir()) == []
    path.parent.mkdir()
    path.write_text("# " + "a" * (home_file.MOST_BYTES - 3) + "\n", encoding="utf-8")
    with pytest.raises(InputError, match="would be too large"):
        change(path, {"altitude": "4300 ft"})
    assert [entry.name for entry in path.parent.iterdir()] == ["kitchen.toml"]
    assert read(path) == (Kitchen(), ())


def test_what_changes_nothing_writes_nothing(tmp_path: Path) -> None:
    path = tmp_path / "new" / "kitchen.toml"
    assert change(path, {"altitude": None}) == Kitchen()
    assert list(tmp_path.iterdir()) == []
    change(path, {"altitude": "4300 ft"})
    before = path.stat()
    change(path, {"altitude": "4300 ft", "lids": ""})
    assert path.stat() == before


@pytest.mark.parametrize(
    ("changes", "said"),
    [
        ({"altitude": "three parsecs"}, "altitude"), ({"height": "4300 ft"}, "height: no such setting"),
        ({"height": ""}, "height: no such setting"),
        ({"altitude": "4300 ft", "jars": "5 pintz"}, "jars"), ({"lids": ["3"]}, "lids"),
    ],
)  # fmt: skip
def test_a_change_that_cannot_be_read_writes_nothing(changes: dict[str, str], said: str, tmp_path: Path) -> None:
    path = tmp_path / "kitchen.toml"
    path.write_text(FULL, encoding="utf-8")
    with pytest.raises(RecipeError, match=said):
        change(path, changes)
    assert path.read_text(encoding="utf-8") == FULL
    assert [entry.name for entry in tmp_path.iterdir()] == ["kitchen.toml"]


def test_a_file_that_cannot_be_read_is_not_written_over(tmp_path: Path) -> None:
    path = tmp_path / "kitchen.toml"
    path.write_bytes(b"\xff")
    with pytest.raises(InputError, match="not UTF-8"):
        change(path, {"lids": "3"})
    assert path.read_bytes() == b"\xff"


def test_a_link_stays_a_link_and_permissions_stay(tmp_path: Path) -> None:
    real, link = tmp_path / "real.toml", tmp_path / "kitchen.toml"
    real.write_text(FULL, encoding="utf-8")
    real.chmod(0o640)
    link.symlink_to(real)
    change(link, {"lids": "3"})
    assert link.is_symlink()
    assert read(real)[0].lids == 3
    assert real.stat().st_mode & 0o777 == 0o640


def test_where_nothing_can_be_written(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    (tmp_path / "file").write_text("", encoding="utf-8")
    with pytest.raises(InputError, match="cannot be written"):
        change(tmp_path / "file" / "kitchen.toml", {"lids": "3"})
    path = tmp_path / "kitchen.toml"
    path.write_text(FULL, encoding="utf-8")
    monkeypatch.setattr(os, "replace", lambda *_: (_ for _ in ()).throw(OSError(28, "No space left on device")))
    with pytest.raises(InputError, match="cannot be written: no space left on device"):
        change(path, {"lids": "3"})
    assert path.read_text(encoding="utf-8") == FULL
    assert sorted(entry.name for entry in tmp_path.iterdir()) == ["file", "kitchen.toml"]


def test_a_writer_that_does_not_finish_is_not_waited_for_for_ever(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(safefile, "WAIT_S", 0.05)
    path = tmp_path / "kitchen.toml"
    with open(safefile._turn(path, path.with_name(safefile.BESIDE)), "wb"), pytest.raises(JamcalcError, match="being changed by another"):
        change(path, {"lids": "3"})
    assert change(path, {"lids": "3"}).lids == 3


# ---------------------------------------------------------------- two at once

WRITING = """
    import sys
    from pathlib import Path
    from jamcalc.kitchen.home_file import change, read
    path, key = Path(sys.argv[1]), sys.argv[2]
    for number in range(1, 31):
        change(path, {key: f"{number} g"})
        assert getattr(read(path)[0], key + "_g") == number, "a change was lost"
"""


def child(program: str, *arguments: str) -> subprocess.Popen[str]:
    root = str(Path(__file__).parents[2])
    environ = os.environ | {"PYTHONPATH": os.pathsep.join([root, os.environ.get("PYTHONPATH", "")])}
    return subprocess.Popen(
        [sys.executable, "-c", textwrap.dedent(program), *arguments], env=environ, text=True, stdout=subprocess.PIPE, stderr=subprocess.PIPE
    )


def test_two_writers_at_once_lose_nothing(tmp_path: Path) -> None:
    path = tmp_path / "kitchen.toml"
    writers = [child(WRITING, str(path), key) for key in ("pectin", "calcium_powder")]
    for writer in writers:
        _, err = writer.communicate(timeout=300)
        assert (writer.returncode, err) == (0, "")
    assert read(path) == (Kitchen(pectin_g=30, calcium_powder_g=30), ())


@pytest.mark.parametrize(
    ("setting", "value", "said"),
    [
        ("canner", "400 pints", "at most 60 jars go in together"),
        ("canner", "7 half-pintz", "half pint"),
        ("jars", "9 jars", 'of which kind? Write the jar, such as "9 half-pints"'),
        ("pectin", "30 grms", "write a weight, in g, mg, oz or lb"),
        ("pots", "8 quartz", 'such as "8 quart, 10 in across"'),
        ("lids", "99999", "up to 9999"),
    ],
)
def test_a_slip_in_a_setting_is_told_with_its_mend(setting: str, value: str, said: str) -> None:
    _, problems = household.fields({setting: value})
    assert len(problems) == 1
    assert said in problems[0]


# ---------------------------------------------------------------- what is offered as an example


@pytest.mark.parametrize("units", ["us", "metric"])
def test_every_example_can_be_set_as_it_is_shown(tmp_path: Path, units: str, capsys: pytest.CaptureFixture[str]) -> None:
    place = tmp_path / "kitchen.toml"
    assert main.main(["kitchen", "--kitchen", str(place), f"units={units}"]) == 0
    shown = dict(re.findall(r'^  (\w+) +not set; such as "([^"]+)"$', "\n".join(_rows(capsys.readouterr().out)), re.MULTILINE))
    assert shown.keys() == household.SETTINGS.keys() - {"units"}
    for name, example in shown.items():
        change(place, {name: example})
    assert read(place)[1] == ()
    pounds_and_feet = re.compile(r"\b(?:ft|in|fl|oz|lb|quarts?|cups?)\b")
    assert any(map(pounds_and_feet.search, shown.values())) == (units == "us")


def _rows(text: str) -> list[str]:
    """The lines of a screen of two columns, those put back together that went on below."""
    return re.sub(r"\n {10,}", " ", text).splitlines()


def test_jars_are_read_as_they_are_said() -> None:
    for key in facts.keys("jar"):
        said = phrases.jar_words(facts.jar(key).name, 7)
        assert household.SETTINGS["jars"].read(said) == (key, 7), said


@pytest.mark.parametrize("columns", [50, 60, 80])
def test_the_screen_of_the_kitchen_fits(
    tmp_path: Path, columns: int, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("COLUMNS", str(columns))
    main.main(["kitchen", "--kitchen", str(tmp_path / "k.toml")])
    shown = capsys.readouterr().out
    assert max(len(line) for line in shown.splitlines()[1:]) <= columns  # the first is the name of the file, whole
    assert 'altitude="4300 ft"' in shown
