"""compare: two to four recipes, formulas or kept batches side by side."""

from __future__ import annotations

from types import SimpleNamespace

from jamcalc import api
from jamcalc.errors import InputError
from jamcalc.kitchen.own_files import common, kitchen
from jamcalc.nouns.outcome import BatchResult
from jamcalc.recipes import comparing
from jamcalc.screens.output import ended, ending, json_text, plain_text, recipe, say, show, write


def compare(options: SimpleNamespace) -> int:
    """Check each source as written, and set the answers side by side; 0 where all could be answered, whatever they say."""
    words: list[str] = options.words
    if len(words) > comparing.MOST:
        raise InputError(f"{len(words)} sources: compare takes {comparing.LEAST} to {comparing.MOST}")
    if not all(word.strip() for word in words):
        raise InputError("a SOURCE is empty: write for instance jamcalc compare strawberry-rhubarb plum.toml")
    if words.count("-") > 1:
        raise InputError("standard input holds one recipe: write - once")
    kind = ending(options, (".json", ".txt"))
    results = [_checked(word, options) for word in words]

    def screen() -> object:
        from jamcalc.screens import compare_screen

        return compare_screen.comparison([result.title for result in results], comparing.respects(results))

    stays = ""
    if kind == ".json":
        stays = write(options, json_text(comparing.to_dict(results)) + "\n")
    elif kind == ".txt":
        stays = write(options, plain_text(screen()))
    if options.json:
        say(json_text(comparing.to_dict(results)))
    else:
        show(screen())
    return ended(None, stays)


def _checked(word: str, options: SimpleNamespace) -> BatchResult:
    """One source, answered as `check` answers it; a kept batch brings its own readings and altitude."""
    one = SimpleNamespace(**{**vars(options), "words": [word], "reading": None})
    return api.check(recipe(one), reading=one.reading, **common(one, kitchen(one)))
