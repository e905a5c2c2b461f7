"""jamcalc: from the fruit on the table to a low-sugar jam that can be trusted.

    jamcalc.batch(["3 lb plums", "1 1/2 lb frozen blackberries"], sweetener="honey", altitude="4300 ft")
    jamcalc.check("my-recipe.toml")
    jamcalc.scale("my-recipe.toml", times=1.5)
    jamcalc.card("my-recipe.toml", date="2026-07-14").to_html()
    jamcalc.Book("book.sqlite").batches()
    jamcalc.acidity.mixture_ph({"citric": 0.05}, strong_ion_difference=0.05)

Every call takes words as the command line does, or numbers in the unit that its help names, and raises a JamcalcError
whose text is one line for the cook. Answers are frozen; two that hold the same are equal, and may be keys of a dictionary.

Nothing is imported until it is asked for, so that `jamcalc --help` starts at once.
"""

from __future__ import annotations

from importlib import import_module

__version__ = "0.4.0"
__all__ = [
    "BatchResult",
    "Book",
    "BookError",
    "Card",
    "CardAnswer",
    "Estimate",
    "FileStays",
    "Finding",
    "InputError",
    "JamcalcError",
    "Kitchen",
    "NotPossible",
    "OptionError",
    "OutputError",
    "Recipe",
    "RecipeError",
    "ScaleAnswer",
    "UnknownItem",
    "acidity",
    "batch",
    "card",
    "check",
    "scale",
    "scale_answer",
]

TYPE_CHECKING = False  # type checkers take it as true; typing's own takes longer to import than all else that --help needs
if TYPE_CHECKING:
    from jamcalc.api import batch, card, check, scale, scale_answer
    from jamcalc.api.cards import CardAnswer
    from jamcalc.book.python import Book
    from jamcalc.chemistry import acidity
    from jamcalc.errors import (
        BookError,
        FileStays,
        InputError,
        JamcalcError,
        NotPossible,
        OptionError,
        OutputError,
        RecipeError,
        UnknownItem,
    )
    from jamcalc.kitchen.household import Kitchen
    from jamcalc.nouns.known import Estimate
    from jamcalc.nouns.label import Card
    from jamcalc.nouns.outcome import BatchResult
    from jamcalc.nouns.said import Finding
    from jamcalc.nouns.written import Recipe
    from jamcalc.recipes.scaled import ScaleAnswer

# Behind which module each name waits; all that is not here is an error.
_WAITS_IN = {
    "Book": "book.python",
    "BatchResult": "nouns.outcome",
    "Card": "nouns.label",
    "Estimate": "nouns.known",
    "Finding": "nouns.said",
    "Recipe": "nouns.written",
    "CardAnswer": "api.cards",
    "Kitchen": "kitchen.household",
    "ScaleAnswer": "recipes.scaled",
    **dict.fromkeys(("batch", "card", "check", "scale", "scale_answer"), "api"),
}


if not TYPE_CHECKING:  # a checker would take any name at all for one of ours

    def __getattr__(name: str) -> object:
        if name == "acidity":
            return import_module("jamcalc.chemistry.acidity")
        if name in __all__:
            return getattr(import_module(f"jamcalc.{_WAITS_IN.get(name, 'errors')}"), name)
        raise AttributeError(f"module 'jamcalc' has no attribute {name!r}")


def __dir__() -> list[str]:
    return [*__all__, "__version__"]
