"""Every format printed by a real browser and read back: pages, size in points, all text there, nothing cut, nothing on top of another.

The same documents are opened on a screen and measured there: smallest type, height of blanks, warnings on one line, room to spare.
Skipped, with the reason, where there is no Chromium or no poppler-utils. Each document is two browser starts, two at a time.
"""

from __future__ import annotations

import html
import json
import re
import shutil
import subprocess
import unicodedata
from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

import pytest
from label_sample import batch_result

from jamcalc import api
from jamcalc.errors import InputError
from jamcalc.kitchen.household import Kitchen, Pot
from jamcalc.labels import card, lemon_curve
from jamcalc.labels.card import CardRequest
from jamcalc.nouns import said
from jamcalc.nouns.label import Card
from jamcalc.nouns.outcome import Task
from jamcalc.prints import page, wall_page
from jamcalc.prints.paper import BLANK_PT, SMALLEST_PT

BROWSER = next(filter(None, map(shutil.which, ("chromium", "chromium-browser", "google-chrome"))), None)
pytestmark = [
    pytest.mark.skipif(BROWSER is None, reason="no Chromium to print with (Debian: apt-get install chromium)"),
    pytest.mark.skipif(
        shutil.which("pdftotext") is None or shutil.which("pdfinfo") is None, reason="no pdftotext, pdfinfo (poppler-utils)"
    ),
]
FLAGS = (
    "--headless", "--no-sandbox", "--disable-gpu", "--no-first-run", "--disable-background-networking", "--disable-component-update",
    "--disable-sync", "--no-pdf-header-footer",
)  # fmt: skip

BLEND = batch_result(
    {"rhubarb": 390, "strawberry": 800, "raspberry": 436, "blueberry": 215},
    {"honey": 170},
    minutes=15,
    altitude_ft=1850.0,
    title="Four-berry spread",
)
TALKATIVE = replace(  # as much to say as a usual batch has
    BLEND,
    tasks=(
        Task(text="Wash 6 half-pints and keep them hot; bring the canner to a simmer."),
        Task(text="Bring the fruit to a full boil, stirring hard. " * 2),
    )
    * 4,
    findings=(said.Finding(id="a", kind="know", text="Above pH 4.0 only a calibrated meter on the cooled batch can show it. " * 3),
              said.Finding(id="b", kind="know", text="Yellow and very ripe red plums are the least acid of their kind.")),
    cautions=tuple(said.Finding(id=str(number), kind="caution", text="Boiling fruit spatters and clings: a deep pan. " * (1 + number % 2))
                   for number in range(16)),
)  # fmt: skip
LONG_TITLE = (
    "The Celebrated Late-September Windfall Plum and Hedgerow Blackberry Jam with a Whisper of Cinnamon, Orange Zest and Star Anise, "
    "as It Was Made Every Year since the Old Orchard First Bore Its Fruit"
)
SIX_THOUSAND = batch_result({"plum": 900, "blackberry": 450}, {"sugar": 200}, minutes=25, altitude_ft=6200.0, title=LONG_TITLE)
UNSWEETENED = batch_result({"apricot": 900}, title="Apricot spread")
COLD = batch_result({"elderberry": 900}, {"xylitol": 100}, minutes=None, title="Elderberry spread")
EVERYTHING = batch_result(
    {key: 100 + 10 * place for place, key in enumerate(("boysenberry", "gooseberry", "strawberry", "nectarine", "blackberry"))},
    {"stevia_maltodextrin_blend": 20, "monk_fruit_blend": 90, "white_grape_juice_concentrate": 95},
    title="Five fruits", extras=("1 cinnamon stick", "grated zest of 2 oranges", "1/2 tsp vanilla extract"),
)  # fmt: skip
FULL = CardRequest(class_name="214", lot="7", date="2026-09-30")
FOUR = {
    "blend": (BLEND, FULL),
    "long name": (SIX_THOUSAND, FULL),
    "unsweetened": (UNSWEETENED, FULL),
    "6,200 ft": (replace(SIX_THOUSAND, title="Plum spread"), FULL),
}
HOSTILE = {
    "script": CardRequest(title="<script>alert('plums')</script>", class_name="</td>", lot="&amp;", date="2026-09-30"),
    "quotes": CardRequest(title="\"Auntie's\" 'best' `plums` \\ {spread} %d $1"),
    "no spaces": CardRequest(title="Plumblackberry" * 14 + "jam!", recipe="x" * 240, class_name="C" * 40, lot="9" * 40),
    "capitals": CardRequest(title="WWWMMM " * 28, recipe="W " * 120, exhibitor="W" * 80, jar="M" * 40, headspace="W" * 30, method="W" * 40),
    "accents": CardRequest(
        title="Žluťoučká mirabelková zavařenina à la crème brûlée, Größe Ångström, œuvre Łódź", recipe="Příliš žluťoučký kůň, 1998"
    ),
    "right to left": CardRequest(title="ריבת שזיפים ואוכמניות", recipe="מתכון משפחתי, 1998", class_name="ריבה"),
    "arabic": CardRequest(title="مربى البرقوق والتوت", recipe="وصفة العائلة 1998"),
    "a line and a label": CardRequest(
        recipe="A maker of calcium-set pectin, printed in a country-living magazine", class_name="Low-sugar spreads"
    ),
    "blanks": CardRequest(),
}


@dataclass(frozen=True)
class Word:
    page: int
    left: float
    top: float
    right: float
    bottom: float
    text: str


@dataclass(frozen=True)
class Printed:
    """A PDF read back: its pages with their sizes [pt] and every word with its place."""

    sizes: tuple[tuple[float, float], ...]
    words: tuple[Word, ...]
    pages: tuple[str, ...]  # text in the order of the document, without spaces


def print_and_read(name: str, document: str, folder: Path) -> Printed:
    source, target = folder / f"{name}.html", folder / f"{name}.pdf"
    source.write_text(document, encoding="utf-8")
    command = [BROWSER, *FLAGS, f"--user-data-dir={folder / (name + '-profile')}", f"--print-to-pdf={target}", str(source)]
    subprocess.run([str(part) for part in command], check=True, capture_output=True, timeout=900)
    boxes = subprocess.run(["pdftotext", "-bbox", str(target), "-"], check=True, capture_output=True, text=True, timeout=900).stdout
    raw = subprocess.run(["pdftotext", "-raw", str(target), "-"], check=True, capture_output=True, text=True, timeout=900).stdout
    sizes, words = [], []
    for line in boxes.splitlines():
        found = re.search(r'<page width="([\d.]+)" height="([\d.]+)"', line)
        if found:
            sizes.append((float(found[1]), float(found[2])))
        found = re.search(r'<word xMin="([-\d.]+)" yMin="([-\d.]+)" xMax="([-\d.]+)" yMax="([-\d.]+)">(.*)</word>', line)
        if found:
            left, top, right, bottom = (float(found[place]) for place in range(1, 5))
            words.append(Word(len(sizes), left, top, right, bottom, html.unescape(found[5])))
    return Printed(tuple(sizes), tuple(words), tuple(squeezed(text) for text in raw.split("\f")))


def squeezed(text: str) -> str:
    """Without spaces, soft hyphens and marks of direction; ligatures taken apart. Capitals, as the small labels are printed in them."""
    straight = str.maketrans("\u2018\u2019\u201c\u201d\u2044", "''\"\"/")
    kept = (
        character
        for character in unicodedata.normalize("NFKC", text).translate(straight)
        if not character.isspace() and unicodedata.category(character) != "Cf"
    )
    return "".join(kept).upper()


def made(name: str) -> Card:
    result, request = FOUR[name] if name in FOUR else (BLEND, HOSTILE[name])
    return card.content(result, request)


CARDS = [*FOUR, *HOSTILE]
ENTRIES = [made(name) for name in CARDS] + [card.content(EVERYTHING, FULL), card.content(COLD, FULL)]
# Eight recipes as they come: own and published, tested and cold, with blanks and without, with a back and potfuls.
OWN = {
    "title": "Plum and blackberry spread", "kind": "spread", "boil_min": 2, "process_min": 10, "yield": "8 to 10 half-pints",
    "ingredients": ["3 lb plums", "1 1/2 lb frozen blackberries", "3/4 cup + 2 tbsp honey", "1/2 cup bottled lemon juice",
                    "5 tsp calcium-set pectin", "5 tsp calcium water"],
}  # fmt: skip
RECIPES: tuple[Any, ...] = (
    OWN, "strawberry-rhubarb", "apricot-plum", "strawberry-freezer", "stone-fruit-pineapple-spread", "refrigerated-grape-spread",
    "raspberry-blueberry", {**OWN, "title": "Grandma's \"late\" plums", "extras": ["1 cinnamon stick", "grated zest of 2 oranges"]},
)  # fmt: skip
ANSWERS = [api.check(recipe, **({"altitude": "4300 ft"} if number % 2 == 0 else {})) for number, recipe in enumerate(RECIPES)]
EIGHT = [card.content(result, FULL if number % 3 else CardRequest(exhibitor="A. Maker")) for number, result in enumerate(ANSWERS)]
EVERY_CARD = [*ENTRIES, *EIGHT]


def that_fit(kind: page.Kind, cards: list[Card]) -> list[Card]:
    """The cards that a label has room for; the others are refused, which test_card.py sees to."""
    out = []
    for each in cards:
        try:
            page.print_html(each, kind)
        except InputError:
            continue
        out.append(each)
    return out


@dataclass(frozen=True)
class Leaf:
    """One page as it stands on a screen [pt]."""

    smallest: tuple[float, str]
    spare: list[float]  # how far each box that holds text is over its size: nothing is more than 1
    blanks: list[tuple[float, float]]  # height, width
    warnings: list[int]  # lines of each


MEASURE = """<script>addEventListener("load", () => {
  const pt = px => px * 0.75, leaves = [];
  for (const leaf of document.querySelectorAll(".leaf")) {
    let smallest = [99, ""];
    const walk = document.createTreeWalker(leaf, NodeFilter.SHOW_TEXT);
    while (walk.nextNode()) {
      const text = walk.currentNode, box = text.parentElement;
      if (!text.data.trim() || box.closest("title")) continue;
      const size = pt(parseFloat(getComputedStyle(box).fontSize) * (box.closest("svg") ? box.getScreenCTM().a : 1));
      if (size < smallest[0] - 0.01) smallest = [size, text.data];
    }
    leaves.push({
      smallest,
      spare: [...leaf.querySelectorAll(".wall, .card, .card .body, .back, .frame, .lid")].flatMap(
        e => [pt(e.scrollHeight - e.clientHeight), pt(e.scrollWidth - e.clientWidth)]),
      blanks: [...leaf.querySelectorAll(".blank")].map(e => e.getBoundingClientRect()).map(r => [pt(r.height), pt(r.width)]),
      warnings: [...leaf.querySelectorAll(".warning")].map(e => {
        const range = document.createRange(); range.selectNodeContents(e);
        return new Set([...range.getClientRects()].map(r => Math.round(r.top))).size; }),
    });
  }
  const out = document.createElement("pre");
  out.id = "measured";
  out.textContent = JSON.stringify({leaves, hint: getComputedStyle(document.querySelector(".hint")).display});
  document.body.append(out);
});</script>"""


def measure(name: str, document: str, folder: Path) -> list[Leaf]:
    """The document opened on a screen, with a script in it that measures."""
    source = folder / f"{name}-screen.html"
    source.write_text(document.replace("</body>", MEASURE + "</body>"), encoding="utf-8")
    command = [BROWSER, *FLAGS, f"--user-data-dir={folder / (name + '-screen')}", "--dump-dom", str(source)]
    dom = subprocess.run([str(part) for part in command], check=True, capture_output=True, text=True, timeout=180).stdout
    found = re.search(r'<pre id="measured">(.*?)</pre>', dom, re.DOTALL)
    assert found, name
    measured = json.loads(html.unescape(found[1]))
    assert measured["hint"] == "block", "on a screen it says how to print"
    return [
        Leaf(tuple(each["smallest"]), each["spare"], [tuple(blank) for blank in each["blanks"]], each["warnings"])
        for each in measured["leaves"]
    ]


FITTING = {kind: that_fit(kind, EVERY_CARD) for kind in ("card", "recipe", "front", "gift", "lid")}
STIR = "Stir hard and scrape the bottom of the pot until the boil is back. "
LONG_TASKS = tuple(Task(text=f"{number}. {STIR * 3}") for number in range(12))


LOADED = api.batch(
    ["9 lb strawberries"], sweetener="honey", altitude="4300 ft",
    kitchen=Kitchen(jars_on_hand=(("half-pint", 30),), canner_holds=(("jar", 7),), pots=(Pot(quarts=20.0),)),
)  # fmt: skip
assert LOADED.kitchen is not None
POTFULS = api.batch(
    ["18 lb strawberries"], sweetener="honey", altitude="4300 ft",
    kitchen=Kitchen(canner_holds=(("jar", 7),), pots=(Pot(quarts=8.0),)),
)  # fmt: skip
assert POTFULS.kitchen is not None


def documents() -> dict[str, str]:
    weighed = [replace(each, net_weight="net weight about 250 g (8.8 oz)") for each in FITTING["front"]]
    weighed = [each if that_fit("front", [each]) else FITTING["front"][0] for each in weighed]
    long = replace(EVERYTHING, tasks=LONG_TASKS, title="ריבת " + LONG_TITLE[:190])
    walls = {
        f"kitchen-{number}": wall_page.kitchen_html(result, card=each, curve=lemon_curve.lemon_curve(result))
        for number, (result, each) in enumerate(zip(ANSWERS, EIGHT, strict=True))
    }
    return {
        "card": page.print_html(FITTING["card"]),
        "recipe": page.print_html(FITTING["recipe"], "recipe"),
        "front": page.print_html(weighed, "front"),
        "gift": page.print_html(FITTING["gift"], "gift"),
        "lid": page.print_html(FITTING["lid"], "lid"),
        "sheet-letter": page.sheet_html([made(name) for name in FOUR], "letter", "card"),
        "sheet-a4": page.sheet_html(made("blend"), "a4", "lid"),
        "sheet-fronts": page.sheet_html(made("long name"), "letter", "front"),
        "kitchen-letter": wall_page.kitchen_html(BLEND, card=made("blend")),
        "kitchen-found": wall_page.kitchen_html(TALKATIVE, card=card.content(TALKATIVE, CardRequest())),
        "kitchen-a4": wall_page.kitchen_html(long, card=card.content(long, CardRequest()), paper="a4"),
        "kitchen-loads": wall_page.kitchen_html(LOADED, card=card.content(LOADED, CardRequest()), loads=LOADED.kitchen.most_loads),
        "kitchen-pots": wall_page.kitchen_html(
            POTFULS, card=card.content(POTFULS, CardRequest()), share=POTFULS.kitchen.pots, loads=POTFULS.kitchen.most_loads
        ),
        **walls,
    }


@pytest.fixture(scope="module")
def seen(tmp_path_factory: pytest.TempPathFactory) -> Iterator[dict[str, tuple[Printed, list[Leaf]]]]:
    folder = tmp_path_factory.mktemp("prints")

    def both(each: tuple[str, str]) -> tuple[Printed, list[Leaf]]:
        return print_and_read(each[0], each[1], folder), measure(each[0], each[1], folder)

    made = documents()
    with ThreadPoolExecutor(max_workers=2) as pool:
        yield dict(zip(made, pool.map(both, made.items()), strict=True))


@pytest.fixture(scope="module")
def prints(seen: dict[str, tuple[Printed, list[Leaf]]]) -> dict[str, Printed]:
    return {name: printed for name, (printed, _) in seen.items()}


@pytest.fixture(scope="module")
def leaves(seen: dict[str, tuple[Printed, list[Leaf]]]) -> dict[str, list[Leaf]]:
    return {name: measured for name, (_, measured) in seen.items()}


KITCHEN = ("kitchen-letter", "kitchen-found", "kitchen-a4", "kitchen-loads", "kitchen-pots", *(f"kitchen-{number}" for number in range(8)))
SIZES = {
    "card": (360, 216), "recipe": (360, 216), "front": (216, 144), "gift": (270, 144), "lid": (144, 72), "sheet-letter": (612, 792),
    "sheet-a4": (595, 842), "sheet-fronts": (612, 792), **dict.fromkeys(KITCHEN, (612, 792)), "kitchen-a4": (595, 842),
}  # fmt: skip
PAGES = {**dict.fromkeys(("sheet-a4", "sheet-fronts", *KITCHEN), 1), "kitchen-a4": 2, "kitchen-pots": 4}


@pytest.mark.parametrize("name", list(SIZES))
def test_pages_and_their_true_size(prints: dict[str, Printed], leaves: dict[str, list[Leaf]], name: str) -> None:
    assert len(prints[name].sizes) == PAGES.get(name, len(leaves[name])), "nothing runs over onto a page of its own"
    for size in prints[name].sizes:
        assert size == pytest.approx(SIZES[name], abs=0.5)


@pytest.mark.parametrize("name", list(SIZES))
def test_nothing_is_set_too_small_to_read_or_too_tight_to_write(leaves: dict[str, list[Leaf]], name: str) -> None:
    """8 pt at the least, blanks of 20 pt, a warning on one line, and every box holds what is in it."""
    for number, leaf in enumerate(leaves[name]):
        assert leaf.smallest[0] >= SMALLEST_PT - 0.01, (number, leaf.smallest)
        assert all(height >= BLANK_PT - 0.05 and width >= 23.0 for height, width in leaf.blanks), (number, leaf.blanks)
        assert set(leaf.warnings) <= {1}, (number, "a warning is broken over a line")
        assert max(leaf.spare, default=0.0) <= 1.0, (number, leaf.spare)


MARGINS = {"card": 7, "recipe": 7, "front": 5, "gift": 5, "lid": 1, **dict.fromkeys(("sheet-letter", "sheet-a4", "sheet-fronts"), 18),
           **dict.fromkeys(KITCHEN, 24)}  # fmt: skip


@pytest.mark.parametrize(("name", "margin"), list(MARGINS.items()))
def test_nothing_is_cut_or_set_on_top_of_another(prints: dict[str, Printed], name: str, margin: float) -> None:
    printed = prints[name]
    for word in printed.words:
        # boxes reach from the highest to the lowest letter of the face, so ink lies a good way inside them
        width, height = printed.sizes[word.page - 1]
        assert word.left >= margin, word
        assert word.top >= margin - 4, word
        assert word.right <= width - margin, word
        assert word.bottom <= height - margin + 4, word
    for number in range(1, len(printed.sizes) + 1):
        words = [word for word in printed.words if word.page == number]
        for place, one in enumerate(words):
            for other in words[place + 1 :]:
                across = min(one.right, other.right) - max(one.left, other.left)
                down = min(one.bottom, other.bottom) - max(one.top, other.top)
                # boxes of words are as high as the type, so lines set close overlap a little, and the parts of a fraction more
                if "\u2044" in one.text + other.text:
                    continue
                assert across <= 0.8 or down <= 0.45 * min(one.bottom - one.top, other.bottom - other.top), (one, other)


@pytest.mark.parametrize("kind", ["card", "front", "gift", "lid"])
def test_every_word_of_the_card_is_there(prints: dict[str, Printed], kind: page.Kind) -> None:
    pages = iter(prints[kind].pages)
    for entry in FITTING[kind]:
        text = next(pages)
        if page.has_back(kind, entry):
            for side in page.print_html(entry).split('<section class="leaf"')[2:]:
                text += next(pages)
                assert side
        keys = {
            "card": [field.key for field in entry.fields if field.key != "pack"],
            "front": ["ingredients", "date"],
            "gift": ["ingredients", "jar"],
            "lid": [],
        }[kind]
        for value in (entry.title, *(entry.value(key) for key in keys), *(entry.warnings if kind != "lid" else ())):
            assert_there(value, text)
        if kind in ("front", "gift"):
            assert_there(entry.keeping, text)


def assert_there(value: str, text: str) -> None:
    if all(unicodedata.bidirectional(character) not in ("R", "AL") for character in value):
        assert squeezed(value) in text
    else:
        # a PDF keeps right-to-left text in the order that it is drawn in: every letter counts, not their order
        for character in set(squeezed(value)):
            assert text.count(character) >= squeezed(value).count(character), character


def test_sheets_hold_every_copy(prints: dict[str, Printed]) -> None:
    assert prints["sheet-a4"].pages[0].count(squeezed("Four-berry spread")) == 30
    assert prints["sheet-fronts"].pages[0].count(squeezed(LONG_TITLE)) == 10
    first, second = prints["sheet-letter"].pages[:2]
    assert first.count("INGREDIENTS") == 3
    assert second.count("INGREDIENTS") == 1


def test_the_kitchen_page_is_whole(prints: dict[str, Printed]) -> None:
    text = prints["kitchen-letter"].pages[0]
    for value in ("Four-berry spread", "September 30, 2026", "800 g", "pH read", "sealed", "1,850 ft", "in at", "out at"):
        assert squeezed(value) in text
    assert "".join(prints["kitchen-a4"].pages).count(squeezed("scrape the bottom")) == 36
    assert "PRINTAT100%" not in text, "how to print is said on the screen alone"


def test_the_kitchen_page_is_set_as_large_as_it_allows(prints: dict[str, Printed], leaves: dict[str, list[Leaf]]) -> None:
    """Amounts of 17 pt and steps of 14 can be read from the stove, where the recipe is no longer than most."""
    words = prints["kitchen-letter"].words
    heights = {word.text: word.bottom - word.top for word in words}
    assert heights["Boil"] >= 14.0
    assert heights["cups"] >= 17.0
    tops = {word.text: word.top for word in prints["kitchen-found"].words if word.text in ("BATCH", "LIES;", "sealed")}
    assert list(tops.values()) == sorted(tops.values())


@pytest.mark.parametrize("name", ["kitchen-0", "kitchen-7", "kitchen-loads", "kitchen-pots"])
def test_steps_can_be_read_from_the_stove(prints: dict[str, Printed], name: str) -> None:
    """A word of the steps in 14 pt stands in a line 14 pt high or more, the measuring step too, and all of it on one page."""
    heights = [word.bottom - word.top for page in [prints[name]] for word in page.words if word.text in ("Boil", "Measure:", "Wash")]
    assert heights
    assert min(heights) >= 14.0


def test_amount_name_and_weight_stand_on_one_line(prints: dict[str, Printed]) -> None:
    """Each in its own size, on one foot: a fifth of a word's box is below the line (the faces' descent over their height)."""
    words = prints["kitchen-pots"].words
    row = {text: next(word for word in words if word.text == text) for text in ("cups", "mashed", "1,796")}
    feet = [word.bottom - 0.195 * (word.bottom - word.top) for word in row.values()]
    assert len({round(word.bottom - word.top) for word in row.values()}) == 3, "of three sizes"
    assert max(feet) - min(feet) < 0.6


def test_each_load_has_its_own_blanks(prints: dict[str, Printed], leaves: dict[str, list[Leaf]]) -> None:
    assert LOADED.kitchen is not None
    text = "".join(prints["kitchen-loads"].pages)
    assert LOADED.kitchen.most_loads > 1
    assert text.count(squeezed("in at")) == text.count(squeezed("out at")) == LOADED.kitchen.most_loads
    blanks = [blank for leaf in leaves["kitchen-loads"] for blank in leaf.blanks]
    assert len(blanks) >= 2 * LOADED.kitchen.most_loads


def test_the_measuring_step_has_its_blanks(prints: dict[str, Printed]) -> None:
    text = "".join(prints["kitchen-0"].pages)
    for value in ("Measure:", "4.20 or lower", "pH 4 and 7 buffers", "again", "20 min", "your reading", "over 4.2: cold", "this batch"):
        assert squeezed(value) in text, value
