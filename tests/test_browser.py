"""Every format printed by a real browser and read back: pages, size in points, all text there, nothing cut, nothing on top of another.

Skipped, with the reason, where there is no Chromium or no poppler-utils. Each document is one browser start, two at a time.
"""

from __future__ import annotations

import html
import re
import shutil
import subprocess
import unicodedata
from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass, replace
from pathlib import Path

import pytest
from label_sample import batch_result

from jamcalc import card, model, page, wallpage
from jamcalc.card import CardRequest
from jamcalc.label import Card

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
    order_of_work=(
        "Wash 6 half-pints and keep them hot; bring the canner to a simmer.",
        "Bring the fruit to a full boil, stirring hard. " * 2,
    )
    * 4,
    findings=(model.Finding(id="a", text="Above pH 4.0 only a calibrated meter on the cooled batch can show it. " * 3),
              model.Finding(id="b", text="Yellow and very ripe red plums are the least acid of their kind.")),
    cautions=tuple(model.Finding(id=str(number), text="Boiling fruit spatters and clings: a deep pan, a long spoon. " * (1 + number % 2))
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
    subprocess.run([str(part) for part in command], check=True, capture_output=True, timeout=300)
    boxes = subprocess.run(["pdftotext", "-bbox", str(target), "-"], check=True, capture_output=True, text=True, timeout=300).stdout
    raw = subprocess.run(["pdftotext", "-raw", str(target), "-"], check=True, capture_output=True, text=True, timeout=300).stdout
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
    kept = (
        character
        for character in unicodedata.normalize("NFKC", text)
        if not character.isspace() and unicodedata.category(character) != "Cf"
    )
    return "".join(kept).upper()


def made(name: str) -> Card:
    result, request = FOUR[name] if name in FOUR else (BLEND, HOSTILE[name])
    return card.content(result, request)


CARDS = [*FOUR, *HOSTILE]
LABELLED = [made(name) for name in CARDS] + [card.content(EVERYTHING, FULL), card.content(COLD, FULL)]


@pytest.fixture(scope="module")
def prints(tmp_path_factory: pytest.TempPathFactory) -> Iterator[dict[str, Printed]]:
    folder = tmp_path_factory.mktemp("prints")
    weighed = [replace(each, net_weight="net weight about 250 g (8.8 oz)") for each in LABELLED]
    long_steps = tuple(f"{number}. " + "Stir hard and scrape the bottom of the pot until the boil is back. " * 3 for number in range(12))
    documents = {
        "cards": page.card_html(LABELLED),
        "fronts": page.front_label_html(weighed),
        "lids": page.lid_label_html(LABELLED),
        "sheet-letter": page.sheet_html([made(name) for name in FOUR], "letter", "card"),
        "sheet-a4": page.sheet_html(made("blend"), "a4", "lid"),
        "sheet-fronts": page.sheet_html(made("long name"), "letter", "front"),
        "kitchen-letter": wallpage.kitchen_html(BLEND, card=made("blend")),
        "kitchen-found": wallpage.kitchen_html(TALKATIVE),
        "kitchen-a4": wallpage.kitchen_html(replace(EVERYTHING, order_of_work=long_steps, title="ריבת " + LONG_TITLE), paper="a4"),
    }
    with ThreadPoolExecutor(max_workers=2) as pool:
        printed = pool.map(lambda each: print_and_read(each[0], each[1], folder), documents.items())
        yield dict(zip(documents, printed, strict=True))


SIZES = {
    "cards": (len(CARDS) + 2, 360, 216), "fronts": (len(CARDS) + 2, 216, 144), "lids": (len(CARDS) + 2, 144, 72),
    "sheet-letter": (2, 612, 792), "sheet-a4": (1, 595, 842), "sheet-fronts": (1, 612, 792), "kitchen-letter": (1, 612, 792),
    "kitchen-found": (1, 612, 792), "kitchen-a4": (1, 595, 842),
}  # fmt: skip


@pytest.mark.parametrize("name", list(SIZES))
def test_pages_and_their_true_size(prints: dict[str, Printed], name: str) -> None:
    count, width, height = SIZES[name]
    assert len(prints[name].sizes) == count
    for size in prints[name].sizes:
        assert size == pytest.approx((width, height), abs=0.5)


MARGINS = {
    "cards": 7,
    "fronts": 9,
    "lids": 1,
    **dict.fromkeys(("sheet-letter", "sheet-a4", "sheet-fronts"), 18),
    "kitchen-letter": 24,
    "kitchen-found": 24,
    "kitchen-a4": 24,
}


@pytest.mark.parametrize(("name", "margin"), list(MARGINS.items()))
def test_nothing_is_cut_or_set_on_top_of_another(prints: dict[str, Printed], name: str, margin: float) -> None:
    printed = prints[name]
    for word in printed.words:
        # boxes reach from the highest to the lowest letter of the face, so ink lies a good way inside them
        width, height = printed.sizes[word.page - 1]
        assert word.left >= margin, word
        assert word.top >= margin, word
        assert word.right <= width - margin, word
        assert word.bottom <= height - margin, word
    for number in range(1, len(printed.sizes) + 1):
        words = [word for word in printed.words if word.page == number]
        for place, one in enumerate(words):
            for other in words[place + 1 :]:
                across = min(one.right, other.right) - max(one.left, other.left)
                down = min(one.bottom, other.bottom) - max(one.top, other.top)
                # boxes of words are as high as the type, so lines set close overlap a little
                assert across <= 0.5 or down <= 0.45 * min(one.bottom - one.top, other.bottom - other.top), (one, other)


@pytest.mark.parametrize("number", range(len(LABELLED)))
def test_every_word_of_the_card_is_there(prints: dict[str, Printed], number: int) -> None:
    text, entry = prints["cards"].pages[number], LABELLED[number]
    for value in (entry.title, entry.sweetening, *(each.value for each in entry.fields), *entry.warnings):
        assert_there(value, text)
    assert_there(entry.title, prints["lids"].pages[number])
    for value in (entry.title, entry.sweetening, entry.value("ingredients"), entry.keeping, *entry.warnings):
        assert_there(value, prints["fronts"].pages[number])


def assert_there(value: str, text: str) -> None:
    if all(unicodedata.bidirectional(character) not in ("R", "AL") for character in value):
        assert squeezed(value) in text
    else:
        # a PDF keeps right-to-left text in the order that it is drawn in: every letter counts, not their order
        for character in set(squeezed(value)):
            assert text.count(character) >= squeezed(value).count(character), character


def test_sheets_hold_every_copy(prints: dict[str, Printed]) -> None:
    assert prints["sheet-a4"].pages[0].count(squeezed("Four-berry spread")) == 30
    assert prints["sheet-fronts"].pages[0].count(squeezed(LONG_TITLE.replace("Jam", "Fruit Spread"))) == 10
    first, second = prints["sheet-letter"].pages[:2]
    assert first.count("INGREDIENTS") == 3
    assert second.count("INGREDIENTS") == 1


def test_the_kitchen_page_is_whole(prints: dict[str, Printed]) -> None:
    text = prints["kitchen-letter"].pages[0]
    for value in (
        "Four-berry spread",
        "September 30, 2026",
        "800 g",
        "Measured pH",
        "Jars filled",
        "Sealed",
        "1,850 ft",
        "Use clean jars and new lids.",
    ):
        assert squeezed(value) in text
    assert prints["kitchen-a4"].pages[0].count(squeezed("scrape the bottom")) == 36


def test_the_kitchen_page_is_set_as_large_as_it_allows(prints: dict[str, Printed]) -> None:
    """What was found comes first, what is said of every batch is no small print, and little of the page is left empty."""
    words = prints["kitchen-found"].words
    tops = {word.text: word.top for word in words if word.text in ("ORDER", "THIS", "CARE", "WRITE")}
    assert list(tops) == ["ORDER", "THIS", "CARE", "WRITE"]
    assert list(tops.values()) == sorted(tops.values())
    assert min(word.bottom - word.top for word in words if tops["CARE"] < word.top < tops["WRITE"]) > 8.0
    assert tops["WRITE"] - max(word.bottom for word in words if word.bottom < tops["WRITE"]) < 0.1 * 792
