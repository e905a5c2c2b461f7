"""card: the fair-entry card, jar labels or a page for the kitchen wall, from a recipe file.

Works the recipe out as check does and hands the answer to card, page and wall_page; words nothing itself.
"""

from __future__ import annotations

from types import SimpleNamespace
from typing import Literal

from jamcalc import api
from jamcalc.api.cards import CardAnswer
from jamcalc.errors import InputError
from jamcalc.kitchen import plan
from jamcalc.kitchen.own_files import common, kitchen
from jamcalc.labels import lemon_curve
from jamcalc.prints import page, wall_page
from jamcalc.screens.output import ended, ending, json_text, printed, recipe, say, title_of, write
from jamcalc.words.complaint import complain

# What is left to write on a print; the kitchen page has blanks of its own.
DATES = ("date processed", "date made")
BLANKS_OF = {"recipe": (), "front": DATES, "gift": DATES, "lid": (*DATES, "time", "altitude")}


def card(options: SimpleNamespace) -> int:
    """The card of one entry; 1 where blanks are left and none are allowed, or the recipe must not be put up as written."""
    kind = ending(options, (".html", ".json", ".txt"))
    _check_paper(options, kind)
    answer = api.card(
        recipe(options),
        reading=getattr(options, "reading", None),
        title=title_of(options),
        class_name=printed("--class", options.class_name),
        lot=printed("--lot", options.lot),
        date=options.date or "",
        exhibitor=printed("--name", options.name),
        method=printed("--method", options.method),
        origin=printed("--recipe", options.recipe),
        weight=options.weight,
        strict=options.strict,
        **common(options, kitchen(options)),
    )
    words, refused = answer.card, answer.refused
    stays = write(options, _file(answer, options, kind)) if kind and not refused else ""
    if options.json:
        say(json_text(answer.to_dict()))
    elif not kind:
        say(_text(answer, options))
    shape = "kitchen" if options.kitchen_page else options.kind or "card"
    for note in words.notes if shape in ("card", "recipe") and not options.json else ():  # the JSON holds them; they are for a fair
        complain(note)
    blanks = [blank for blank in words.blanks if shape == "card" or blank in BLANKS_OF.get(shape, ())]
    if blanks and not words.refused:
        complain(f"left blank, to be filled in by hand: {', '.join(blanks)}")
    if kind == ".html" and shape == "card" and not refused and page.has_back("card", words):
        complain("not all of it has room on the front: the file holds the back too, to be printed on the other side")
    return ended(refused, stays)


def _check_paper(options: SimpleNamespace, kind: str) -> None:
    """Options that only a printed page can follow are refused elsewhere, never ignored."""
    chosen = [f"--{name.replace('_', '-')}" for name in ("sheet", "kind", "kitchen_page") if getattr(options, name)]
    if chosen and kind != ".html":
        raise InputError(f"{chosen[0]} is for a page to print: write -o FILE.html too")
    if options.kitchen_page and options.kind:
        raise InputError("--kitchen-page and --kind together: write one of them")


def _file(answer: CardAnswer, options: SimpleNamespace, kind: str) -> str:
    if kind == ".txt":
        return _text(answer, options) + "\n"
    if kind == ".json":
        return json_text(answer.to_dict()) + "\n"
    if options.kitchen_page:
        result = answer.result
        own = kitchen(options)
        share, _ = plan.potfuls(result, own)
        paper: Literal["letter", "a4"] = options.sheet or ("a4" if result.batch.settings.units == "metric" else "letter")
        return wall_page.kitchen_html(
            result, card=answer.card, paper=paper, share=share, curve=lemon_curve.lemon_curve(result), loads=plan.loads_to_time(result, own)
        )
    return answer.to_html(options.kind or "card", sheet=options.sheet)


def _text(answer: CardAnswer, options: SimpleNamespace) -> str:
    """The card as text; where asked for, the nutrition panel and what a label may claim below it."""
    return answer.to_text(nutrition=options.nutrition, unrounded=options.unrounded)
