"""Names that decide over safety: what is read cautiously, what is asked back, what is not held; and where no slip may lead."""

from __future__ import annotations

import tomllib

import pytest

import jamcalc
from jamcalc import facts
from jamcalc.errors import InputError, UnknownItem
from jamcalc.facts import misnamed, names
from jamcalc.reading import lines

HELD = tomllib.loads((facts.DATA / "names.toml").read_text(encoding="utf-8"))


def near_names(name: str) -> tuple[str, ...]:
    try:
        facts.lookup(name)
    except UnknownItem as error:
        return error.near
    except InputError:
        pass
    return ()


def fitness(name: str) -> str:
    return facts.fruit(facts.lookup(name).key).fit.fitness


# University of Wisconsin Extension, Caution against canning white-fleshed peaches and nectarines, 2020: none of them, by no method.
@pytest.mark.parametrize("name", [*HELD["variety"]["white_peach"], *HELD["variety"]["white_nectarine"]])
def test_a_white_or_subacid_variety_is_never_canned(name: str) -> None:
    noun = "peaches" if name in HELD["variety"]["white_peach"] else "Nectarines"
    found = facts.lookup(f"ripe {name.title()} {noun}")
    assert fitness(f"{name} {noun}") == "do-not-can"
    assert found.finding is not None
    assert "not to be canned" in found.finding.text
    if name not in HELD["collision"]:
        assert fitness(name) == "do-not-can"


def test_babcock_is_white_in_a_batch_too() -> None:
    answer = jamcalc.batch(["2 lb babcock peaches", "2 lb plums"]).to_dict()
    assert answer["storage"] == "cold"
    assert "do-not-can" in {finding["id"] for finding in answer["findings"]}


@pytest.mark.parametrize(
    ("name", "key"),
    [("Elberta peaches", "peach"), ("red haven peach", "peach"), ("fantasia nectarines", "nectarine"), ("Blenheim apricots", "apricot")],
)
def test_a_variety_with_yellow_flesh_is_read_and_says_so(name: str, key: str) -> None:
    found = facts.lookup(name)
    assert found.key == key
    assert found.finding is not None
    assert "yellow flesh" in found.finding.text
    with pytest.raises((InputError, UnknownItem)):  # never without its noun: contender is a boat too
        facts.lookup(name.rsplit(" ", 1)[0])


@pytest.mark.parametrize(
    "name",
    [
        *("flat peaches", "flat nectarine", "saucer peaches", "yellow donut peaches", "doughnut nectarines", "low-acid peaches"),
        *(
            "sub-acid nectarines",
            "subacid yellow peach",
            "honey peaches",
            "honey nectarines",
            "white apricots",
            "White plums",
            "white strawberries",
        ),
        *("zaiger peaches", "summerset nectarine", "hunza apricots", "peach babcock", "lowacid nectarine"),
        *(
            "peech",
            "peeches",
            "nectarins",
            "apricott",
            "white peech",
            "babcok peeches",
            "babcok",
            "yelow peaches",
            "elberta peeches",
            "snow qeen",
        ),
    ],
)
@pytest.mark.parametrize("kinds", [facts.KINDS, ("fruit",), ("fruit", "juice", "vegetable")])
def test_what_may_be_a_white_peach_is_asked_for_its_flesh(name: str, kinds: tuple[facts.Kind, ...]) -> None:
    with pytest.raises(InputError, match=r"which flesh color.*too little acid to be canned"):
        facts.lookup(name, kinds)
    assert all(fitness(other) == "do-not-can" for other in facts.stands_for(name))
    assert facts.stands_for(name)


@pytest.mark.parametrize(
    "name", ["white grapes", "white currants", "white mulberries", "white sugar", "honey", "white guava", "donut peach"]
)
def test_a_known_name_with_such_a_word_is_not_asked(name: str) -> None:
    assert facts.lookup(name).key
    assert facts.stands_for(name) == ()


@pytest.mark.parametrize("name", ["white peppr", "chestnut honey", "white sugr", "frosted sugar"])
def test_what_is_no_fruit_is_not_asked_for_its_flesh(name: str) -> None:
    if name.endswith(("honey", "sugar")):
        with pytest.raises(UnknownItem):
            facts.lookup(name)
    with pytest.raises((InputError, UnknownItem)):
        facts.lookup(name, ("sweetener",))


def test_no_name_near_another_is_of_another_safety_class() -> None:
    known = [name for kind in ("fruit", "juice", "vegetable") for names in facts.table("items")[kind].values() for name in names]
    seen = 0
    for name in known:
        for slip in (name[:-1], name + "x", name[1:]):
            kinds = [facts.lookup(other) for other in near_names(slip)]
            assert not kinds or len({names._safety((item.kind, item.key)) for item in kinds}) == 1, slip
            assert not {item.key for item in kinds} & {"peach", "nectarine", "apricot"}, slip
            seen += bool(kinds)
    assert seen > 200


@pytest.mark.parametrize("name", ["currants", "Fresh Currants"])
def test_currants_are_asked_for_their_kind(name: str) -> None:
    with pytest.raises(InputError, match=r"which kind.*red currants.*black currants.*dried"):
        facts.lookup(name)
    assert facts.stands_for(name) == ("red currant", "black currant")


def test_pawpaw_is_asked_and_is_not_canned() -> None:
    for name in ("pawpaw", "paw paws", "papaws"):
        with pytest.raises(InputError, match=r"which kind.*American pawpaw.*papaya"):
            facts.lookup(name)
    assert fitness("american pawpaws") == "do-not-can"
    assert fitness("papaya") == "tested-only"


@pytest.mark.parametrize("name", HELD["not_held"]["names"])
def test_no_other_fruit_stands_in_for_one_that_is_not_held(name: str) -> None:
    for spoken in (name, f"ripe {name}s"):
        with pytest.raises(InputError, match="no figures are held"):
            facts.lookup(spoken)
    with pytest.raises(InputError):
        lines.read_line(f"2 lb {name}")


def test_dragon_fruit_is_no_passion_fruit() -> None:
    with pytest.raises(InputError) as caught:
        lines.read_line("2 lb dragon fruit")
    assert "passion" not in str(caught.value)


@pytest.mark.parametrize("name", HELD["collision"])
def test_a_name_of_two_fruits_is_asked_back(name: str) -> None:
    with pytest.raises(InputError, match="of which fruit"):
        facts.lookup(name)


# Penniston et al. 2008, J Endourol 22:567: fresh lemon juice 4.8 with SD 0.38; IFCT 2017: 3.49 g per 100 g.
@pytest.mark.parametrize(
    ("fruit", "juice"), [("lemons", "fresh_lemon_juice"), ("limes", "fresh_lime_juice"), ("key limes", "fresh_lime_juice")]
)
def test_whole_citrus_counts_as_its_fresh_juice_and_says_so(fruit: str, juice: str) -> None:
    item = facts.lookup(fruit)
    held, fresh = facts.fruit(item.key).titratable_percent, facts.acidulant(juice).strength_percent
    assert (held.low, held.typical) == (fresh.low, fresh.typical)
    assert item.finding is not None
    assert item.finding.id == "fresh-lemon"
    found = jamcalc.batch(["2 lb apricots", f"4 oz {fruit}"]).to_dict()["findings"]
    assert "fresh-lemon" in {finding["id"] for finding in found}


def test_cranberry_juice_is_the_weak_drink_unless_it_is_called_pure() -> None:
    for name in ("cranberry juice", "unsweetened cranberry juice", "bottled cranberry juice", "cranberry juice cocktail"):
        line = lines.read_line(f"2 cups {name}")
        assert line.item == "cranberry_juice_drink", name
    assert "pure" in lines.read_line("2 cups cranberry juice").findings[0].text
    assert lines.read_line("2 cups pure cranberry juice").item == "cranberry_juice"
    weak, strong = facts.fruit("cranberry_juice_drink"), facts.fruit("cranberry_juice")
    assert weak.titratable_percent.high < strong.titratable_percent.low


def test_blue_elderberry_is_told_from_american_and_both_stay_cold() -> None:
    blue, dark = facts.fruit(facts.lookup("blue elderberries").key), facts.fruit(facts.lookup("elderberries").key)
    assert facts.lookup("American elderberries").key == "elderberry"
    assert blue.key != dark.key
    assert blue.fit.why != dark.fit.why
    for name in ("blue elderberries", "elderberries", "american elderberries", "black elderberries"):
        assert jamcalc.batch([f"2 lb {name}", "2 lb rhubarb"]).storage == "cold"


def test_the_lucky_do_not_read_the_rare_names(monkeypatch: pytest.MonkeyPatch) -> None:
    def never(*_: object) -> None:
        raise AssertionError("read")

    monkeypatch.setattr(misnamed, "rare", never)
    for name in ("plums", "ripe lemons", "bottled lemon juice", "honey", "half-pints"):
        assert facts.lookup(name).key


@pytest.mark.parametrize(
    ("name", "key"),
    [
        ("honeycrisp apples", "apple"), ("granny smiths", "apple"), ("bartletts", "pear"), ("kieffer pears", "asian_pear"),
        ("lapins cherries", "sweet_cherry"), ("montmorency cherries", "sour_cherry"), ("santa rosa plums", "plum"),
        ("shiro plums", "yellow_plum"), ("albion strawberries", "strawberry"), ("bluecrop blueberries", "blueberry"),
        ("himalaya blackberries", "blackberry"), ("catawba grapes", "concord_grape"), ("red grapes", "grape"),
        ("dolgo crabapples", "crabapple"),
        ("cloudberries", "raspberry"), ("wild plums", "plum"), ("beach plums", "plum"), ("pluots", "plum"), ("muscadines", "concord_grape"),
        ("scuppernongs", "concord_grape"),
    ],
)  # fmt: skip
def test_a_variety_is_its_fruit_and_says_so(name: str, key: str) -> None:
    item = facts.lookup(name)
    assert item.key == key
    assert item.finding is None or "read as" in item.finding.text or "treated as" in item.finding.text


@pytest.mark.parametrize("name", ["lapins cherries", "fuji apples", "albion strawberries", "seckel pears", "pluots"])
def test_a_variety_with_less_acid_asks_for_a_reading(name: str) -> None:
    finding = facts.lookup(name).finding
    assert finding is not None
    assert "--reading" in finding.text


def test_what_is_read_as_another_fruit_borrows_no_lower_end() -> None:
    # Highest pH seen: muscadine 3.5 (Florida, Proc Fla State Hort Soc 120, 2007); lingonberry 2.9 (Taylor and Francis, ch. 12).
    for name, highest in (("muscadine", 3.5), ("lingonberry", 2.9)):
        assert facts.fruit(facts.lookup(name).key).ph.high >= highest


@pytest.mark.parametrize(
    ("name", "said"),
    [
        ("canned guavas", "brings its liquid"), ("tinned lychees", "brings its liquid"), ("dried mangoes", "soaked"),
        ("butter", "under extras"), ("walnuts", "for the shelf"), ("gelatin", "loses its set"), ("cornstarch", "heat"),
        ("rum", "keep a batch"),
    ],
)  # fmt: skip
def test_what_goes_with_jam_is_told_where_it_belongs(name: str, said: str) -> None:
    with pytest.raises(InputError, match=said):
        facts.lookup(name)


def test_a_variety_is_of_one_fruit_or_asked_back() -> None:
    table = facts.table("names")
    every = [name for group in ("variety", "cultivar") for names in table[group].values() for name in names]
    twice = {name for name in every if every.count(name) > 1}
    alone = misnamed.cultivars(table)
    assert not {name for name in twice if name in alone and name not in table["collision"]}
    assert {name for names in facts.table("names")["less_acid"].values() for name in names} <= {
        name for names in facts.table("names")["cultivar"].values() for name in names
    }


@pytest.mark.parametrize(
    ("name", "key"),
    [
        ("canned peaches in juice", "canned_peach_in_juice"), ("tinned apricots in water", "canned_apricot_in_water"),
        ("canned pineapple chunks in their own juice", "canned_pineapple_in_juice"), ("juice-packed canned pears", "canned_pear_in_juice"),
        ("canned plums in juice, drained", "canned_plum_in_juice"), ("water-packed sour cherries", "canned_sour_cherry_in_water"),
        ("canned cherries in juice", "canned_sweet_cherry_in_juice"),
    ],
)  # fmt: skip
def test_fruit_canned_without_sugar_is_an_item_of_its_own(name: str, key: str) -> None:
    assert facts.lookup(name.replace(",", "")).key == key


def test_canned_peaches_say_that_they_are_read_as_yellow_ones() -> None:
    finding = facts.lookup("canned peaches in juice").finding
    assert finding is not None
    assert "white" in finding.text
    with pytest.raises(InputError):
        facts.lookup("canned white peaches in juice")


@pytest.mark.parametrize(
    ("name", "said"),
    [
        ("canned peaches", "packed in what"), ("peaches in juice", "packed in what"), ("canned pears in light syrup", "without it"),
        ("peaches in heavy syrup", "without it"), ("frozen strawberries in syrup", "frozen unsweetened"),
        ("frozen sweetened raspberries", "frozen unsweetened"), ("dried apricots", "soaked dried apricots"),
        ("dried prunes", "soaked prunes"), ("dried apples", "no figures are held"),
    ],
)  # fmt: skip
def test_what_brings_sugar_or_has_lost_its_water_is_not_read_as_fresh_fruit(name: str, said: str) -> None:
    with pytest.raises(InputError, match=said):
        facts.lookup(name)
    with pytest.raises(InputError, match=said):
        lines.read_line(f"1 lb {name}")


# Canned, the liquid and the fruit share sugar and acid: the low end of acidity is thinned with the potassium, and no end of pH is milder.
@pytest.mark.parametrize("key", [key for key in facts.keys("fruit") if key.startswith("canned_")])
def test_canned_fruit_is_never_read_as_more_acid_than_fresh(key: str) -> None:
    canned = facts.fruit(key)
    fresh = facts.fruit(canned.ph.borrowed_from)
    assert canned.ph.high >= fresh.ph.high
    assert canned.titratable_percent.low <= fresh.titratable_percent.low
    assert canned.titratable_percent.high >= fresh.titratable_percent.high


@pytest.mark.parametrize(
    ("line", "storage"),
    [
        # rests on a seen row or a lender of an equal or higher end
        ("2 lb aronia", "shelf"), ("2 lb haskaps", "shelf"), ("2 lb sea buckthorn", "shelf"), ("2 lb canned apricots in juice", "shelf"),
        # by the contract of tested recipes only, or more salt than 150 g of lemon juice a kilogram can answer for
        ("2 lb rose hips", "cold"), ("2 lb raisins", "cold"), ("2 lb chokecherries", "cold"),
    ],
)  # fmt: skip
def test_where_a_new_fruit_may_stand(line: str, storage: str) -> None:
    assert jamcalc.batch([line], sweetener="honey").storage == storage


@pytest.mark.parametrize("name", ["rubber ducks", "plums and love", "motor oil", "rocks", "seven dwarfs"])
def test_what_is_like_nothing_is_told_no_neighbors(name: str) -> None:
    with pytest.raises(UnknownItem, match="jamcalc facts lists what is known") as caught:
        facts.lookup(name)
    assert caught.value.near == ()


@pytest.mark.parametrize("slip", ["elderbery", "eldeberries", "elderberrie", "carrott", "cantalope", "zuchini"])
def test_no_fit_fruit_is_offered_for_a_slip_of_an_unfit_one(slip: str) -> None:
    assert all(names._safety((facts.lookup(near).kind, facts.lookup(near).key)) == misnamed.BARRED for near in near_names(slip))
    assert near_names(slip)


@pytest.mark.parametrize(
    ("line", "said"),
    [
        ("1/2 tsp butter", "under extras"), ("1 cup butter", "1/2 tsp"), ("1 tsp vanilla", "under extras"),
        ("1 cup walnuts", "keep the batch cold"), ("1 envelope gelatin", "loses its set"), ("1 package strawberry jello", "loses its set"),
        ("2 tbsp cornstarch", "heat"),
        ("1 tbsp chia seeds", "heat"), ("1/4 cup red wine", "refrigerator"), ("1/4 cup liquor", "refrigerator"),
        ("1 tbsp balsamic vinegar", "cider vinegar"), ("6 basil leaves", "low in acid"), ("2 sprigs rosemary", "low in acid"),
        ("1 tbsp chopped mint", "low in acid"), ("2 tbsp rose petals", "low in acid"), ("1 tsp lavender", "dried"),
        ("1 tbsp grated ginger", "dried"), ("1 tbsp candied ginger", "ground ginger"), ("zest of a lemon", "under extras"),
        ("2 oz chocolate", "when you serve it"), ("2 tea bags", "thin the acid"), ("1/2 cup coffee", "thin the acid"),
        ("pinch of salt", "under extras"), ("1 cup cherry pie filling", "ready made"), ("1 cup watermelon rind", "pickle"),
    ],
)  # fmt: skip
def test_what_goes_into_jam_beside_fruit_is_told_what_to_do_with_it(line: str, said: str) -> None:
    with pytest.raises(InputError, match=said):
        lines.read_line(line)


@pytest.mark.parametrize(
    "line",
    [
        "1 cup chopped onions",
        "2 tbsp garlic, chopped",
        "1/2 cup chopped jalapenos",
        "1 cup chopped bell pepper",
        "8 oz carrots",
        "8 oz zucchini",
    ],
)
def test_a_vegetable_keeps_the_batch_cold(line: str) -> None:
    assert jamcalc.batch(["3 lb plums", line.replace(",", "")]).storage == "cold"


@pytest.mark.parametrize("name", ["full", "foo", "zzz"])
def test_no_jar_is_offered_for_a_word_that_is_like_none(name: str) -> None:
    """ "full", typed where the guide asks for jars, was answered with "half litre" and "clip 500 ml"."""
    with pytest.raises(UnknownItem) as told:
        facts.lookup(name, ("jar",))
    assert not told.value.near


@pytest.mark.parametrize(("name", "near"), [("hony", "honey"), ("xilitol", "xylitol"), ("firm", None), ("pints", None), ("more", None)])
def test_a_sweetener_is_offered_for_a_slip_alone(name: str, near: str | None) -> None:
    """ "pints", typed where the guide asks for a sweetener, was answered with "xylitol", "psicose" and "saccharin"."""
    with pytest.raises(UnknownItem) as told:
        facts.lookup(name, ("sweetener",))
    assert next(iter(told.value.near), None) == near


def test_jars_are_offered_in_words_of_this_country() -> None:
    with pytest.raises(UnknownItem) as told:
        facts.lookup("half liter jr", ("jar",))
    assert told.value.near
    assert not [name for name in told.value.near if "litre" in name]


@pytest.mark.parametrize(
    ("typed", "key"), [("500ml", "500-ml"), ("16oz", "pint"), ("500 ml", "500-ml"), ("half liter", "500-ml"), ("half litre", "500-ml")]
)
def test_a_jar_may_be_written_without_a_blank(typed: str, key: str) -> None:
    assert facts.lookup(typed, ("jar",)).key == key
