"""The figures themselves: each has a source or says that it has none, adds up, and has not slipped a digit; names find their item."""

from __future__ import annotations

import difflib
import re
import tomllib
from collections import defaultdict
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from jamcalc import facts
from jamcalc.errors import InputError, UnknownItem
from jamcalc.facts import load, misnamed, names

DATA = facts.DATA
GRADES = {"seen", "memory", "common practice", "judgement", "computed"}
UNITS = {
    *("pH", "g/100 g", "mg/100 g", "kcal/100 g", "fraction", "% of weight as bought", "g/kg fruit", "g/cup", "g/tsp", "g/mL", "mL", "mm"),
    *("kcal/g", "x sugar by weight", "g/100 g water", "% sugar equivalents", "g/mol", "degC", "K", "K/m", "kPa", "kg/m3", "kg/m3/K"),
    *(
        "%",
        "% per %",
        "R",
        "R per %",
        "factor",
        "times",
        "1",
        "g",
        "oz",
        "fl oz",
        "lids",
        "g/min",
        "min",
        "meq/g",
        "meq/kg",
        "mg/g",
        "mg/mmol",
        "mg/tsp",
        "mg/L",
        "cups",
        "jars",
        "weeks",
    ),
    "tsp",
    "lb",
}
NOT_REGISTERED = {"common practice", "judgement", "memory", "computed"}  # said in place of a source for a whole table
EDIBLE = ("fruit", "juice", "vegetable")
FRUITS = [key for kind in EDIBLE for key in facts.keys(kind)]
SUMS = Path(__file__).parents[1].joinpath("fact_sums.toml")


def _tables() -> dict[str, dict[str, Any]]:
    return {str(path.relative_to(DATA)): tomllib.loads(path.read_text(encoding="utf-8")) for path in sorted(DATA.rglob("*.toml"))}


TABLES = _tables()


def _nodes(node: Any, where: str) -> Iterator[tuple[str, dict[str, Any]]]:
    """Every table below a node, with the place where it stands."""
    if isinstance(node, dict):
        yield where, node
        for name, value in node.items():
            yield from _nodes(value, f"{where} {name}")
    elif isinstance(node, list):
        for number, value in enumerate(node):
            yield from _nodes(value, f"{where} {number}")


NODES = [found for name, table in TABLES.items() for found in _nodes(table, name)]
FIGURES = [(where, node) for where, node in NODES if "typical" in node and "unit" in node]


def _named_sources() -> set[str]:
    return {key for where, node in NODES if isinstance(node.get("sources"), list) for key in node["sources"]} - NOT_REGISTERED


# ---------------------------------------------------------------- each figure


def test_every_figure_has_a_grade_and_what_was_seen_has_a_source() -> None:
    assert len(FIGURES) > 2000
    for where, node in FIGURES:
        assert node["grade"] in GRADES, where
        assert node["sources"] or node["grade"] != "seen", where


def test_every_figure_is_a_range_in_a_known_unit() -> None:
    for where, node in FIGURES:
        figure = facts.figure(node)
        assert figure.low <= figure.typical <= figure.high, where
        assert figure.unit in UNITS, f"{where}: in one of the units above, if it can be; else add its own there"


def test_every_source_is_known_and_none_is_idle() -> None:
    code = " ".join(path.read_text(encoding="utf-8") for path in DATA.parent.rglob("*.py"))
    in_code = {key for key in TABLES["sources.toml"] if f'"{key}"' in code}
    assert _named_sources() - set(TABLES["sources.toml"]) == set(), "each needs its table in data/sources.toml"
    assert set(TABLES["sources.toml"]) - _named_sources() - in_code == set(), "nothing names these: take them out of data/sources.toml"
    for key, raw in TABLES["sources.toml"].items():
        assert raw["text"], key
        assert raw["status"], key
        assert facts.source(key).key == key


def test_a_work_is_named_by_its_key() -> None:
    """A work that stands in a note alone would be in no list of sources."""
    for where, node in NODES:
        if not where.startswith("sources.toml"):
            assert " et al." not in str(node.get("note", "")), where


def test_what_its_own_note_rejects_is_no_source() -> None:
    for key in FRUITS:
        shares = facts.fruit(key)
        for rejected in ("not credible", "not usable", "do not use", "another fruit", "against most", "unlike European"):
            if rejected in shares.acid_share_note and shares.acid_share_grade == "memory":
                assert "IFCT" not in shares.acid_share_sources, key
    assert "IFCT" not in facts.fruit("strawberry").acid_share_sources
    # The list of approved cottage foods says nothing of how acid a vegetable is; USDA's Guide 1 names them low-acid foods.
    assert all("CDPH-COTTAGE" not in facts.fruit(key).fit.sources for key in FRUITS)
    assert "J Am Chem Soc 71:1274" in facts.source("BATES1949").text


def _sums() -> dict[str, dict[str, list[float]]]:
    """For each kind of table and figure: how many, and the sums of low, typical and high."""
    sums: dict[str, dict[str, list[float]]] = defaultdict(lambda: defaultdict(lambda: [0, 0.0, 0.0, 0.0]))
    for where, node in FIGURES:
        file, *_, name = where.split(" ")
        kind = Path(file).parts[0].removesuffix(".toml")
        if kind in ("fruit", "sweetener", "acidulant", "jars"):
            figure = facts.figure(node)
            total = sums[kind][name]
            sums[kind][name] = [
                total[0] + 1,
                *(old + new for old, new in zip(total[1:], (figure.low, figure.typical, figure.high), strict=True)),
            ]
    for file, table in TABLES.items():
        kind = Path(file).parts[0].removesuffix(".toml")
        for group in ("acid_share", "solutes"):
            for number, value in enumerate(table.get(group, {}).values(), 1):
                total = sums[kind][group]
                sums[kind][group] = [total[0] + 1, 0.0, total[2] + number * value, 0.0]
        if kind == "acids":
            sums[kind]["pka"] = [len(table), 0.0, sum(sum(raw["pka"]) for raw in table.values()), 0.0]
            sums[kind]["molar_mass"] = [len(table), 0.0, sum(raw["molar_mass"] for raw in table.values()), 0.0]
    return {kind: {name: [round(value, 4) for value in total] for name, total in names.items()} for kind, names in sums.items()}


def _sums_text() -> str:
    """The file of check sums for the figures as they stand: `python tests/facts/test_facts.py` writes it."""
    head = SUMS.read_text(encoding="utf-8").partition("\n")[0]
    blocks = [
        "\n".join((f"[{kind}]", *(f"{name} = [{', '.join(f'{value:.10g}' for value in total)}]" for name, total in sorted(names.items()))))
        for kind, names in sorted(_sums().items())
    ]
    return "\n\n".join((head, *blocks)) + "\n"


def test_no_digit_has_slipped() -> None:
    # A figure that is meant to change gets its new source, a line under "Changes" in the README, and its new sum in the file.
    moved = set(_sums_text().splitlines()) ^ set(SUMS.read_text(encoding="utf-8").splitlines())
    assert not moved, "figures have moved: see with git diff that they are yours, then: python tests/facts/test_facts.py"


# ---------------------------------------------------------------- each item


def test_there_are_enough_of_them() -> None:
    assert len(facts.keys("fruit")) >= 40
    assert len(facts.keys("sweetener")) >= 18


@pytest.mark.parametrize("key", FRUITS)
def test_a_fruit_adds_up(key: str) -> None:
    fruit = facts.fruit(key)
    parts = (fruit.water_percent.typical, fruit.soluble_solids_percent.typical, fruit.insoluble_percent.typical)
    assert sum(parts) == pytest.approx(100.0, abs=0.011)
    assert sum(fruit.acid_share.values()) == pytest.approx(1.0)
    assert set(fruit.acid_share) | {fruit.titrated_as} <= set(facts.table("acids"))
    assert fruit.sugars_percent.typical <= fruit.soluble_solids_percent.high
    assert fruit.calcium_available.high <= 1.0
    assert fruit.whole_g_per_cup is None or fruit.whole_g_per_cup.typical < fruit.mashed_g_per_cup.typical
    assert set(fruit.nutrients) == {
        *("energy_kcal", "carbohydrate_g", "fibre_g", "protein_g", "fat_g", "ash_g", "sodium_mg", "vitamin_c_mg")
    }
    assert fruit.kind in EDIBLE
    assert key in facts.keys(fruit.kind)
    if fruit.fit.fitness != "fit":
        assert fruit.fit.why
        assert fruit.fit.instead


@pytest.mark.parametrize("key", FRUITS)
def test_a_fruit_can_be_what_it_is_said_to_be(key: str) -> None:
    """What dissolves holds the sugars and the acid; water, carbohydrate, protein, fat and ash make up the whole within 2 g."""
    fruit = facts.fruit(key)
    sugars, acid, soluble = fruit.sugars_percent, fruit.titratable_percent, fruit.soluble_solids_percent
    assert sugars.typical + acid.typical <= soluble.typical
    assert sugars.low + acid.low <= soluble.typical
    assert sugars.high <= soluble.high
    macronutrients = ("carbohydrate_g", "protein_g", "fat_g", "ash_g")
    assert fruit.water_percent.typical + sum(fruit.nutrients[name].typical for name in macronutrients) == pytest.approx(100.0, abs=2.0)
    assert fruit.nutrients["fibre_g"].typical <= fruit.nutrients["carbohydrate_g"].typical


@pytest.mark.parametrize("key", facts.keys("acid"))
def test_an_acid_can_be_what_it_is_said_to_be(key: str) -> None:
    acidulant = facts.acidulant(key)
    acid = 0.0 if acidulant.titrated_as == "acetic" else acidulant.strength_percent.typical  # vinegar's boils away
    assert acidulant.sugars_percent.typical + acid <= acidulant.soluble_solids_percent.typical
    assert acidulant.water_percent.typical + acidulant.soluble_solids_percent.typical <= 102.0


@pytest.mark.parametrize("key", facts.keys("sweetener"))
def test_a_sweetener_can_be_what_it_is_said_to_be(key: str) -> None:
    sweetener = facts.sweetener(key)
    acid = sweetener.titratable_percent.typical if sweetener.titratable_percent else 0.0
    assert sweetener.sugars_percent.typical + acid <= sweetener.soluble_solids_percent.typical + 0.01
    assert sweetener.carbohydrate_percent.typical + sweetener.water_percent.typical <= 102.0


def test_the_fruits_that_are_kept_off_the_shelf() -> None:
    fitness = {key: facts.fruit(key).fit.fitness for key in FRUITS}
    do_not_can = {
        *("elderberry", "blue_elderberry", "pawpaw", "white_peach", "white_nectarine", "melon", "watermelon"),
        *facts.keys("vegetable"),
    }
    tested_only = {
        *("banana", "fig", "tomato", "mango", "papaya", "persimmon", "asian_pear", "date", "coconut"),
        *("prickly_pear", "tomatillo", "ground_cherry", "rose_hip", "raisin"),
    }
    said = "what may be canned is said twice: in the [fit] of the fruit's file, and here"
    assert {key for key, found in fitness.items() if found == "do-not-can"} == do_not_can, said
    assert {key for key, found in fitness.items() if found == "tested-only"} == tested_only, said


@pytest.mark.parametrize("key", facts.keys("sweetener"))
def test_a_sweetener_adds_up(key: str) -> None:
    sweetener = facts.sweetener(key)
    held = sweetener.water_percent.typical + sweetener.soluble_solids_percent.typical
    assert held == (0.0 if key == "none" else pytest.approx(100.0, abs=1.5))
    assert sum(sweetener.solutes.values()) <= 1.0
    assert set(sweetener.solutes) <= set(facts.table("solutes"))
    assert sweetener.sugars_percent.typical <= sweetener.carbohydrate_percent.typical + 0.01
    assert sweetener.stands_process == (key != "aspartame")
    assert (sweetener.titrated_as is None) == (sweetener.ph is None) == (not sweetener.acid_share)
    assert all(facts.caution(each).text for each in sweetener.cautions)


@pytest.mark.parametrize("key", facts.keys("sweetener"))
def test_a_sweetener_with_minerals_says_what_acid_they_take(key: str) -> None:
    """One left without its ash would be counted as neutral, and the batch as more acid than it is. Its calcium alone shows that there
    is some: 20 mg/100 g are 10 meq/kg, and a cup of that sweetener in 2 kg of fruit takes 0.02 pH (judgement: what need not be counted)."""
    sweetener = facts.sweetener(key)
    calcium_meq_per_kg = 2.0 * 10.0 * sweetener.calcium_mg.typical / 40.08  # molar mass of calcium
    ash = sweetener.strong_ion_meq_per_kg
    if ash is not None:
        assert ash.high >= calcium_meq_per_kg, "the ash is less than its calcium alone"
    elif calcium_meq_per_kg > 10.0:
        assert sweetener.ph is not None, "give it strong_ion_meq_per_kg, or its own pH and acidity"


@pytest.mark.parametrize("key", facts.keys("acid"))
def test_an_acid_adds_up(key: str) -> None:
    acidulant = facts.acidulant(key)
    assert sum(acidulant.acid_share.values()) == pytest.approx(1.0)
    assert acidulant.water_percent.typical + acidulant.soluble_solids_percent.typical == pytest.approx(100.0, abs=5.1)
    assert facts.acid_constants(acidulant.titrated_as).molar_mass > 0


def test_bottled_juice_is_planned_at_its_legal_floor() -> None:
    assert facts.acidulant("bottled_lemon_juice").strength_percent.low == 4.5
    assert facts.acidulant("fresh_lemon_juice").strength_percent.low < 4.5


@pytest.mark.parametrize("key", facts.keys("jar"))
def test_a_jar_holds_what_its_name_says(key: str) -> None:
    jar = facts.jar(key)
    fill_ml = jar.fill_ml.typical  # 500 mL metric counts as larger than a pint, though it holds no more
    assert jar.size_class == ("half-pint" if fill_ml < 260 else "pint" if fill_ml < 400 or key in ("pint", "wide-pint") else "too large")
    assert 40 < jar.bore_mm.typical < 90


def test_one_fruit_reads_its_own_file_and_the_index(monkeypatch: pytest.MonkeyPatch) -> None:
    read: list[str] = []
    true_loads = tomllib.loads
    monkeypatch.setattr(load.tomllib, "loads", lambda text: (read.append(text), true_loads(text))[1])
    facts.table.cache_clear()
    facts.fruit.__wrapped__(facts.lookup("plums").key)
    assert len(read) == 2


def test_the_index_is_small_and_cautions_are_sentences() -> None:
    assert (DATA / "items.toml").stat().st_size < 15_000
    for key in TABLES["cautions.toml"]:
        text = facts.caution(key).text
        assert text[0].isupper(), key
        assert text.endswith("."), key


# ---------------------------------------------------------------- what the ends of pH and acidity rest on

END_GRADES = {"seen", "within seen", "beyond seen", "computed", "borrowed", "judgement", "memory"}
ACIDITY = [(where, node) for where, node in FIGURES if where.split(" ")[-1] in ("ph", "titratable_percent") and "acidulant" not in where]


def test_each_end_of_ph_and_acidity_says_what_it_rests_on() -> None:
    assert len(ACIDITY) >= 2 * len(FRUITS)
    for where, node in ACIDITY:
        assert {node["low_grade"], node["high_grade"]} <= END_GRADES, where
        assert ("borrowed" in (node["low_grade"], node["high_grade"])) == ("borrowed_from" in node), where
        for end, sign in (("low", -1), ("high", 1)):
            extreme = node.get(f"extreme_{end}")
            assert extreme is None or sign * (extreme["value"] - node[end]) > 0, where
            assert extreme is None or extreme["grade"] in GRADES, where
            assert extreme is None or extreme["sources"] or extreme["grade"] != "seen", where
            assert node[f"{end}_grade"] != "seen" or node["sources"] or "Apelblat" in node.get("note", ""), where
            assert node[f"{end}_grade"] != "within seen" or extreme is not None, where  # the row's own end is not lost


def test_what_is_borrowed_is_held_by_its_lender() -> None:
    for where, node in ACIDITY:
        if "borrowed_from" in node and where.endswith(" ph"):
            lender = facts.fruit(node["borrowed_from"]).ph
            if node["high_grade"] == "borrowed":
                assert lender.high == node["high"], where
                assert lender.high_grade not in ("memory", "judgement", "borrowed"), where


def test_the_high_ends_that_no_row_and_no_lender_holds_up() -> None:
    unheld = {key for key in FRUITS if facts.fruit(key).ph.high_grade in ("memory", "judgement") and facts.fruit(key).fit.fitness == "fit"}
    assert unheld == {
        *("black_raspberry", "crabapple", "kiwi", "passion_fruit", "pomegranate", "pomegranate_juice", "tangerine", "yellow_plum")
    }, "these stay cold until they are measured: find a row for the high end, or name the fruit here if that is how it is"


# USDA/FDA, Approximate pH of Foods and Food Products, 2003: the highest value of the row of the fresh fruit (or the pack named).
FDA_HIGHEST = {
    **{"strawberry": 3.90, "loganberry": 3.50, "gooseberry": 3.10, "peach": 4.20, "nectarine": 4.18, "pineapple": 4.00, "banana": 5.20},
    **{"grapefruit": 3.75, "pear": 4.60, "quince": 3.40, "melon": 6.67, "rhubarb": 3.40, "lemon": 2.60, "lime": 2.80, "red_currant": 2.90},
    **{"blackberry": 4.50, "raspberry": 3.95, "apricot": 4.80, "sweet_cherry": 4.54, "sour_cherry": 3.82, "orange": 4.34, "tomato": 4.90},
    **{"fig": 5.98, "mango": 6.00},
}


@pytest.mark.parametrize(("key", "highest"), FDA_HIGHEST.items())
def test_no_seen_row_is_cut_off_in_silence(key: str, highest: float) -> None:
    ph = facts.fruit(key).ph
    assert ph.high >= highest or (ph.high_grade == "within seen" and ph.extreme_high is not None and ph.extreme_high.value >= highest)


def test_strawberry_and_pear_reach_what_their_acidity_asks_for() -> None:
    # The 95th percentiles of a charge balance over published acidity and SR28 minerals: 4.04 and 4.61; pears: FDA row to 4.60 as well.
    assert (facts.fruit("strawberry").ph.high, facts.fruit("strawberry").ph.high_grade) == (4.0, "computed")
    assert (facts.fruit("pear").ph.high, facts.fruit("pear").ph.high_grade) == (4.6, "seen")
    extreme = facts.fruit("strawberry").ph.extreme_high  # the 4.2 of one paper is not supported by its own acidity
    assert extreme is not None
    assert extreme.value < 4.2


# The high ends before each end had a grade: none is lower now.
HIGH_BEFORE = {
    **{"raspberry": 3.9, "blackberry": 4.3, "blueberry": 3.7, "peach": 4.2, "apricot": 4.4, "plum": 4.3, "sour_cherry": 3.8},
    **{"sweet_cherry": 4.5, "apple": 4.1, "grape": 4.2, "orange": 4.3, "mulberry": 5.6, "yellow_plum": 4.45, "kiwi": 3.96},
    **{"asian_pear": 5.1, "strawberry": 3.9, "pear": 4.45},
    **{"nectarine": 4.2, "prune_plum": 4.2, "concord_grape": 3.6, "gooseberry": 3.3, "mango": 5.5},
}


@pytest.mark.parametrize(("key", "before"), HIGH_BEFORE.items())
def test_no_high_end_is_lowered(key: str, before: float) -> None:
    assert facts.fruit(key).ph.high >= before


# ---------------------------------------------------------------- names

NAMES = [(kind, key, name) for kind in facts.KINDS for key, names in TABLES["items.toml"][kind].items() for name in names]


def test_every_name_finds_its_item_in_the_singular_and_the_plural() -> None:
    for kind, key, name in NAMES:
        for spoken in (name, name.upper(), f"  {name.replace(' ', '-')} ", f"Ripe {name}", name + "s"):
            found = facts.lookup(spoken)
            assert (found.kind, found.key) == (kind, key), spoken


def test_every_shown_name_and_plural_finds_its_item() -> None:
    for key in FRUITS:
        assert facts.lookup(facts.fruit(key).name).key == key
        assert facts.lookup(facts.fruit(key).plural).key == key
    for key in facts.keys("sweetener"):
        assert facts.lookup(facts.sweetener(key).name).key == key
    for key in facts.keys("jar"):
        assert facts.lookup(facts.jar(key).plural, ("jar",)).key == key


def test_no_name_stands_for_two_things() -> None:
    rare = TABLES["names.toml"]
    every = [names._plain(name) for *_, name in NAMES] + [names._plain(name) for name in TABLES["read_as.toml"]]
    every += [*rare["ask"], *rare["collision"], *rare["not_held"]["names"], *misnamed.varieties(rare)]
    assert not {name for name in every if every.count(name) > 1}, "of items.toml, read_as.toml and names.toml one has to give it up"
    assert not [name for *_, name in NAMES if name != name.lower()], "names are written in lower case"


@pytest.mark.parametrize(
    ("spoken", "key"),
    [("berries of mulberries", None), ("Mulberries", "mulberry"), ("tomatoes", "tomato"), ("mangos", "mango"), ("ripe washed figs", "fig")],
)
def test_plurals_and_adjectives(spoken: str, key: str | None) -> None:
    if key is None:
        with pytest.raises(UnknownItem):
            facts.lookup(spoken)
    else:
        assert facts.lookup(spoken).key == key


@pytest.mark.parametrize(
    ("spoken", "key", "word"),
    [
        ("cherries", "sweet_cherry", "sweet"),
        ("peaches", "peach", "white"),
        ("fresh nectarines", "nectarine", "white"),
        ("lemon juice", "fresh_lemon_juice", "bottled"),
        ("grapes", "grape", "Concord"),
        ("damsons", "plum", "plums"),
    ],
)
def test_an_ambiguous_name_is_read_cautiously_and_says_so(spoken: str, key: str, word: str) -> None:
    item = facts.lookup(spoken)
    assert item.key == key
    assert item.finding is not None
    assert word in item.finding.text


def test_every_ambiguous_name_leads_somewhere() -> None:
    for name, entry in TABLES["read_as.toml"].items():
        assert facts.lookup(name).key == entry["key"]
    for name in TABLES["names.toml"]["ask"]:
        with pytest.raises(InputError, match="which"):
            facts.lookup(name)


@pytest.mark.parametrize("name", ["stevia blend", "stevia", "granulated stevia blends"])
def test_a_stevia_blend_is_asked_back_about(name: str) -> None:
    with pytest.raises(InputError, match=r"erythritol.*maltodextrin.*stevia extract.*reb A.*a hundred times"):
        facts.lookup(name, ("sweetener",))
    with pytest.raises(UnknownItem):
        facts.lookup(name, ("fruit",))


def test_what_a_name_may_stand_for_can_be_chosen() -> None:
    assert facts.stands_for("Stevia Blends") == ("stevia erythritol blend", "stevia maltodextrin blend", "stevia extract")
    for entry in TABLES["names.toml"]["ask"].values():
        for name in entry.get("of", ()):
            assert facts.lookup(name, (entry["kind"],)).finding is None
    for name in ("berries", "peach", "plum", "", "x" * 2_000_000):
        assert facts.stands_for(name) == ()


@pytest.mark.parametrize(
    "name",
    ["mixed berries", "Mixed soft berries", "summer fruit", "summer-fruits", "berries", "fruit", "fresh berries", "mixed frozen berries"],
)
def test_a_mixture_is_asked_for_its_kinds(name: str) -> None:
    with pytest.raises(InputError, match='each kind on a line of its own, such as "12 oz strawberries" "12 oz raspberries"'):
        facts.lookup(name)
    with pytest.raises(UnknownItem):
        facts.lookup(name, ("sweetener",))


def barred(name: str) -> bool:
    item = facts.lookup(name)
    return item.key == "none" or item.kind == "vegetable" or (item.kind == "fruit" and facts.fruit(item.key).fit.fitness == "do-not-can")


@pytest.mark.parametrize("name", ["hedge berries", "older berry", "red fruit bits", "summer things", "cocktail", "honi", "x", "beat"])
def test_no_slip_leads_to_what_must_not_be_canned(name: str) -> None:
    with pytest.raises(UnknownItem) as caught:
        facts.lookup(name)
    assert len(caught.value.near) <= 3
    assert all(not barred(near) or difflib.SequenceMatcher(None, name, near).ratio() >= 0.8 for near in caught.value.near)


@pytest.mark.parametrize(
    ("name", "meant"), [("elderbery", "elderberry"), ("carots", "carrot"), ("cantalope", "cantaloupe"), ("nonee", "none")]
)
def test_what_is_plainly_meant_is_offered_all_the_same(name: str, meant: str) -> None:
    with pytest.raises(UnknownItem) as caught:
        facts.lookup(name)
    assert caught.value.near[0] == meant


@pytest.mark.parametrize("name", ["nothing", "no sweetener", "unsweetened", "none", "No Sugar"])
def test_no_sweetener_by_every_name(name: str) -> None:
    assert facts.lookup(name, ("sweetener",)).key == "none"


def test_a_misspelt_name_is_told_its_neighbors() -> None:
    with pytest.raises(UnknownItem, match="strawberry") as caught:
        facts.lookup("strawbery")
    assert len(caught.value.near) == 3
    assert caught.value.near[0] == "strawberry"
    with pytest.raises(UnknownItem, match=r"half.pint"):
        facts.lookup("halfpint", ("jar",))
    with pytest.raises(UnknownItem, match="no sweetener is called"):
        facts.lookup("plum", ("sweetener",))


@pytest.mark.parametrize("name", ["\x1b[31mplum\x07", "[red]plum[/oops]", "p" * 2_000_000, "", "  ", "\u202eplum"])
def test_a_name_is_never_echoed_raw(name: str) -> None:
    with pytest.raises(UnknownItem) as caught:
        facts.lookup(name)
    text = str(caught.value)
    assert text.isprintable()
    assert len(text) < 300


@pytest.mark.parametrize("read", [facts.fruit, facts.sweetener, facts.acidulant, facts.jar, facts.acid_constants])
def test_an_unknown_key_is_refused(read: Any) -> None:
    with pytest.raises(UnknownItem):
        read("../../pyproject")


def test_what_is_read_cannot_be_changed() -> None:
    items = facts.table("items")
    with pytest.raises(TypeError):
        items["fruit"]["plum"] = ()  # type: ignore[index]
    assert isinstance(items["fruit"]["plum"], tuple)


def test_sources_come_once_each_in_order() -> None:
    assert [source.key for source in facts.sources(["SR28", "FDA", "SR28"])] == ["SR28", "FDA"]
    assert re.search(r"Release 28", facts.source("SR28").text)


def test_saskatoons_reach_as_high_as_any_cultivar_that_was_measured() -> None:
    # St-Pierre et al., Can J Plant Sci (2005): cultivar means of pH 3.65 to 4.18, acid 0.63 % at most, 14.0 to 20.1 Brix
    fruit = facts.fruit(facts.lookup("juneberries").key)
    assert fruit.key == "saskatoon"
    assert fruit.ph.low <= 3.65
    assert fruit.ph.high >= 4.18
    assert fruit.titratable_percent.high >= 0.63
    assert fruit.ph.high_grade not in ("memory", "judgement")


if __name__ == "__main__":
    SUMS.write_text(_sums_text(), encoding="utf-8")
