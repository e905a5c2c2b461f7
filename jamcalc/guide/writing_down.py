"""What a batch leaves the guide as: a recipe file, a number in the batch book, or a page to print; and the question before the end.

Each file has a name proposed, and nothing is written over without a yes.
"""

from __future__ import annotations

import os
import re
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from types import SimpleNamespace
from typing import Literal

from jamcalc.errors import FileStays, InputError
from jamcalc.guide import in_words
from jamcalc.guide.answered import Answers
from jamcalc.kitchen.own_files import book_path
from jamcalc.labels import card, lemon_curve
from jamcalc.nouns import label
from jamcalc.nouns.outcome import BatchResult
from jamcalc.reading import recipetext
from jamcalc.reading.safefile import write_whole
from jamcalc.recipes import to_recipe
from jamcalc.screens import answer_screen, verdict_screen
from jamcalc.screens.output import plain_text
from jamcalc.words.conversation import NO, YES, Back, Stop, Talk, picked, said
from jamcalc.words.units import shown

WHY_FILE = """\
A name for the file, in this folder unless it names another. Nothing is written
over without your yes; "back" leaves it be."""
WHY_SAVE = """\
"yes" writes it as a recipe file, "book" keeps it in your batch book, "no" lets
it go; "back" returns to it."""


@dataclass(frozen=True, kw_only=True)
class Desk:
    """What is written down, and where: the conversation, what was answered, its batch, the folder."""

    talk: Talk
    answers: Answers
    result: BatchResult
    folder: Path


def written(word: str, desk: Desk) -> bool:
    """Write the batch down as `word` says, one of WAYS; whether it is kept by that, as a page to print does not keep it."""
    result = desk.result
    if not to_be_made(result):
        desk.talk.show(f"This is not to be made so, and I had rather not write it down: {result.refused or verdict_screen.UNSETTLED}")
        return False
    try:
        return WAYS[word].write(desk)
    except Back:
        desk.talk.show("Nothing was written.")
    except (InputError, FileStays) as error:
        desk.talk.show(in_words.complaint(str(error)))
    return False


def to_be_made(result: BatchResult) -> bool:
    """Whether there is anything that should be written down."""
    return not result.refused and result.solution.converged


def before_the_end(desk: Desk) -> bool:
    """Ask whether to save what is not saved; False where the cook goes back to it. Stop and the end of input leave it."""
    desk.talk.show(f"{desk.result.title} is not saved yet.")
    try:
        while not _saved_or_let_go(desk):
            pass
    except Back:
        return False
    except Stop:
        return True
    except EOFError:
        desk.talk.show("")
        return True
    except KeyboardInterrupt:
        desk.talk.show("")
        raise
    return True


def _saved_or_let_go(desk: Desk) -> bool:
    word = said(desk.talk.answer("save it before you go? yes, no or book [yes]: ", WHY_SAVE)) or "yes"
    way = "recipe" if word in YES else picked(word, WAYS, ALSO)
    if way is None and word not in NO:
        desk.talk.show("Write yes, no or book.")
    return word in NO or (way is not None and written(way, desk))


# ---------------------------------------------------------------- recipe file and book


def _recipe(desk: Desk) -> bool:
    """The batch as a recipe file that check and scale read."""
    text = recipetext.write_text(to_recipe.recipe_of(desk.result))
    _write(desk, ".toml", text)
    desk.talk.show("jamcalc check and jamcalc scale read it.")
    if desk.answers.readings:
        desk.talk.show(f"Your readings are not in it: note them down ({', '.join(desk.answers.readings)}).")
    return True


def _book(desk: Desk) -> bool:
    """The batch in the batch book, as `batch --keep` puts it there."""
    from jamcalc.book.python import Book  # whoever keeps nothing loads none of it

    answers, result = desk.answers, desk.result
    asked = {"words": answers.texts, "options": {"reading": answers.readings, "sweetener": answers.sized_name}}
    with Book(book_path(SimpleNamespace(book=None))) as book:
        number = book.keep(result, asked=asked, screen=plain_text(answer_screen.answer(result, units=result.batch.settings.units)))
    desk.talk.show(f"Kept as batch {number}; once it is in jars: jamcalc finish {number}")
    return True


# ---------------------------------------------------------------- pages to print


def _kitchen_page(desk: Desk) -> bool:
    """The page to cook from."""
    from jamcalc.kitchen import plan
    from jamcalc.prints import wall_page

    result = desk.result
    home = desk.answers.home
    share, _ = plan.potfuls(result, home)
    paper: Literal["letter", "a4"] = "a4" if result.batch.settings.units == "metric" else "letter"
    content = card.content(result, label.CardRequest())
    text = wall_page.kitchen_html(
        result, card=content, paper=paper, share=share, curve=lemon_curve.lemon_curve(result), loads=plan.loads_to_time(result, home)
    )
    return _page(desk, "-kitchen.html", text)


def _gift_label(desk: Desk) -> bool:
    """The label for a jar that is given away."""
    from jamcalc.prints import page

    return _page(desk, "-gift.html", page.print_html(card.content(desk.result, label.CardRequest()), "gift"))


def _fair_card(desk: Desk) -> bool:
    """The card for an entry at a fair."""
    from jamcalc.prints import page

    content = card.content(desk.result, label.CardRequest())
    blanks = f" To be filled in by hand: {', '.join(content.blanks)}." if content.blanks else ""
    return _page(desk, "-card.html", page.print_html(content), blanks)


def _page(desk: Desk, ending: str, text: str, more: str = "") -> bool:
    _write(desk, ending, text)
    desk.talk.show(f"Open it in a browser and print it.{more}")
    return False


@dataclass(frozen=True, kw_only=True)
class Way:
    """One way to write a batch down: what it is called in the menu, and what does it."""

    name: str
    write: Callable[[Desk], bool]


WAYS = {
    "recipe": Way(name="recipe", write=_recipe),
    "book": Way(name="book", write=_book),
    "page": Way(name="kitchen page", write=_kitchen_page),
    "gift": Way(name="gift label", write=_gift_label),
    "card": Way(name="fair card", write=_fair_card),
}
ALSO = {
    "save": "recipe", "file": "recipe", "recipe file": "recipe", "batch book": "book",
    "save it": "recipe", "toml": "recipe", "keep it": "book", "kitchen": "page", "print": "page",
    "wall": "page", "label": "gift", "labels": "gift", "fair": "card",
    **{way.name: word for word, way in WAYS.items()},
}  # fmt: skip


# ---------------------------------------------------------------- files


def _write(desk: Desk, ending: str, text: str) -> None:
    """Ask for the name, and write it. Raises Back, InputError, FileStays."""
    name = re.sub(r"[^a-z0-9]+", "-", desk.result.title.lower()).strip("-")[:60]
    place, replace_it = _place(desk.talk, desk.folder, f"{name}{ending}")
    kitchen_file = desk.answers.kitchen_file
    write_whole(place, text, replace=replace_it, never=() if kitchen_file is None else (kitchen_file,))
    desk.talk.show(f"Wrote {shown(str(place), 200)}.")


def _place(talk: Talk, folder: Path, offered: str) -> tuple[Path, bool]:
    """Where to write, and whether over another file: never without a yes. Raises Back."""
    ending = Path(offered).suffix
    while True:
        name = talk.answer(f"file [{offered}]: ", WHY_FILE) or offered
        name = offered if said(name) in YES else name if Path(name).suffix else name.rstrip("/") + ending
        if not name.isprintable() or Path(name).suffix.lower() != ending:
            talk.show(f'"{shown(name)}" will not do: a name in plain letters that ends in {ending}, such as {offered}.')
            continue
        place = folder / os.path.expanduser(name)
        if not os.path.lexists(place):
            return place, False
        talk.show(f"There is a file {shown(name)} already.")
        if talk.yes("write over it?", WHY_FILE):
            return place, True
