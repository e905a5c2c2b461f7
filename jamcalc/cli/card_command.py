"""card: the fair-entry card, jar labels or a page for the kitchen wall, from a recipe file.

Works the recipe out as check does and hands the answer to card, page and wallpage; words nothing itself. Called by commands.
"""

from __future__ import annotations

from types import SimpleNamespace
from typing import Any, Literal

from jamcalc import api, facts
from jamcalc.errors import InputError
from jamcalc.kitchen import plan
from jamcalc.labels import claims, lemon_curve, nutrition, panel
from jamcalc.labels.card import content
from jamcalc.labels.card_text import as_text, to_dict
from jamcalc.nouns.label import Card, CardRequest, Claim, Panel
from jamcalc.nouns.outcome import BatchResult
from jamcalc.prints import page, wall_page
from jamcalc.screens.output import common, ended, ending, json_text, kitchen, printed, recipe, say, title_of, write
from jamcalc.words.complaint import complain

# What is left to write on a print; the kitchen page has blanks of its own.
DATES = ("date processed", "date made")
BLANKS_OF = {"recipe": (), "front": DATES, "gift": DATES, "lid": (*DATES, "time", "altitude")}


def card(options: SimpleNamespace) -> int:
    """The card of one entry; 1 where blanks are left and none are allowed, or the recipe must not be put up as written."""
    kind = ending(options, (".html", ".json", ".txt"))
    _check_paper(options, kind)
    result = api.check(recipe(options), reading=getattr(options, "reading", None), **common(options, kitchen(options)))
    request = CardRequest(
        title=title_of(options),
        class_name=printed("--class", options.class_name),
        lot=printed("--lot", options.lot),
        date=options.date or "",
        exhibitor=printed("--name", options.name),
        method=printed("--method", options.method),
        recipe=printed("--recipe", options.recipe),
        net_weight_g=nutrition.net_weight_g(result, facts.jar(result.batch.settings.jar)) if options.weight else None,
        strict=options.strict,
    )
    made = content(result, request)
    refused = result.refused or made.refused
    stays = write(options, _file(made, result, options, kind)) if kind and not refused else ""
    if options.json:
        say(json_text(_as_dict(made, result, refused)))
    elif not kind:
        say(_text(made, result, options))
    shape = "kitchen" if options.kitchen_page else options.kind or "card"
    for note in made.notes if shape in ("card", "recipe") and not options.json else ():  # the JSON holds them; they are for a fair
        complain(note)
    blanks = [blank for blank in made.blanks if shape == "card" or blank in BLANKS_OF.get(shape, ())]
    if blanks and not made.refused:
        complain(f"left blank, to be filled in by hand: {', '.join(blanks)}")
    if kind == ".html" and shape == "card" and not refused and page.has_back("card", made):
        complain("not all of it has room on the front: the file holds the back too, to be printed on the other side")
    return ended(refused, stays)


def _check_paper(options: SimpleNamespace, kind: str) -> None:
    """Options that only a printed page can follow are refused elsewhere, never ignored."""
    chosen = [f"--{name.replace('_', '-')}" for name in ("sheet", "kind", "kitchen_page") if getattr(options, name)]
    if chosen and kind != ".html":
        raise InputError(f"{chosen[0]} is for a page to print: write -o FILE.html too")
    if options.kitchen_page and options.kind:
        raise InputError("--kitchen-page and --kind together: write one of them")


def _file(made: Card, result: BatchResult, options: SimpleNamespace, kind: str) -> str:
    if kind == ".txt":
        return _text(made, result, options) + "\n"
    if kind == ".json":
        return json_text(_as_dict(made, result, None)) + "\n"
    if options.kitchen_page:
        share, _ = plan.potfuls(result, kitchen(options))
        paper: Literal["letter", "a4"] = options.sheet or ("a4" if result.batch.settings.units == "metric" else "letter")
        return wall_page.kitchen_html(result, card=made, paper=paper, share=share, curve=lemon_curve.lemon_curve(result))
    shape: page.Kind = options.kind or "card"
    return page.sheet_html(made, paper=options.sheet, kind=shape) if options.sheet else page.print_html(made, shape)


def _text(made: Card, result: BatchResult, options: SimpleNamespace) -> str:
    """The card as text; where asked for, the nutrition panel and what a label may claim below it."""
    if not (options.nutrition or options.unrounded):
        return as_text(made)
    printed, reviewed = _reckoned(result)
    return "\n\n".join([as_text(made), panel.as_text(printed, unrounded=options.unrounded), claims.as_text(reviewed)])


def _reckoned(result: BatchResult) -> tuple[Panel, tuple[Claim, ...]]:
    printed = nutrition.panel(result)
    return printed, claims.review(result, printed, nutrition.reference_panel(result))


def _as_dict(made: Card, result: BatchResult, refused: str | None) -> dict[str, Any]:
    """The card with nutrition and claims, which stand on no card but may be asked for."""
    printed, reviewed = _reckoned(result)
    return {
        "schema": "jamcalc/1",
        "command": "card",
        **to_dict(made),
        "nutrition": panel.to_dict(printed),
        "claims": claims.to_dict(reviewed),
        "refused": refused,
    }
