"""batch, check and scale, with their options: ask api, write and show the answer, give the exit code.

Holds no chemistry and no wording of answers. A file is written before anything is printed, so that where it cannot be written nothing
stands on standard output. Whatever works an answer out is imported by the command that needs it: what is only looked up waits for none.
"""

from __future__ import annotations

import contextlib
import os
from collections.abc import Callable, Sequence
from dataclasses import replace
from importlib import import_module
from pathlib import Path
from types import SimpleNamespace
from typing import TYPE_CHECKING, Any, TypeVar, cast

from jamcalc.cli.command_table import COMMANDS
from jamcalc.errors import InputError, NotPossible, at_once
from jamcalc.kitchen.own_files import book_file, common, kitchen
from jamcalc.screens.output import ended, ending, json_text, plain_text, recipe, say, show, title_of, write
from jamcalc.words.complaint import complain
from jamcalc.words.units import shown

if TYPE_CHECKING:
    from jamcalc.nouns.learned import Teaches
    from jamcalc.nouns.outcome import BatchResult
    from jamcalc.nouns.written import Recipe

Titled = TypeVar("Titled", "Recipe", "BatchResult")


def run(command: str, options: SimpleNamespace) -> int:
    """Run one command; returns its exit code."""
    if options.problems:
        from jamcalc.api import choices

        words = options.words if command == "batch" else ()
        raise at_once([*options.problems, *choices.problems_of(vars(options), words)])
    try:
        return _command(command)(options)
    except NotPossible as error:
        if options.json:  # a script reads why on standard output, whatever else there is to say
            say(json_text({"schema": "jamcalc/1", "command": command, "refused": str(error)}))
        raise


def _command(name: str) -> Callable[[SimpleNamespace], int]:
    module, _, function = COMMANDS[name].function.partition(".")
    return cast("Callable[[SimpleNamespace], int]", getattr(import_module(f"jamcalc.cli.{module}"), function))


def batch(options: SimpleNamespace) -> int:
    """From the fruit on hand to a formula."""
    from jamcalc import api
    from jamcalc.kitchen.household import Kitchen

    _check_keep(options)
    kind = _ending(options)
    result = api.batch(
        options.words,
        sweetener=options.sweetener,
        reading=options.reading,
        title="" if options.title is None else title_of(options),
        want=options.want,
        parts=options.parts,
        on_hand=options.on_hand,
        kitchen=kitchen(options),
        **common(options, Kitchen()),  # the kitchen's own settings are api's to use, and to say so
        set=options.set,
        store=options.store,
        boil=options.boil,
        simmer=options.simmer,
        headspace=options.headspace,
        sweetness=options.sweetness,
        acid=options.acid,
        book=_teacher(options),
    )

    def recipe_text() -> str:
        from jamcalc.recipes import to_recipe

        if note := to_recipe.reading_note(result):
            complain(note)
        return to_recipe.file_text(result)

    return _answered(result, result.to_dict, _screens(result, options.working), recipe_text, options, kind)


def check(options: SimpleNamespace) -> int:
    """A recipe exactly as written."""
    from jamcalc import api
    from jamcalc.api import choices

    _check_keep(options)
    kind = _ending(options)
    home = kitchen(options)

    def how() -> dict[str, Any]:
        return {"reading": options.reading, **common(options, home)}

    written = choices.all_told(lambda: api.recipe_from(_written(options)), how())
    result = api.check(written, found=options.found, **how())  # anew: a kept batch has brought its own readings and altitude

    def recipe_text() -> str:
        from jamcalc.recipes import to_recipe

        if note := to_recipe.reading_note(result):
            complain(note)
        return to_recipe.as_written(written, result)

    return _answered(result, result.to_dict, _screens(result, options.working), recipe_text, options, kind)


def _written(options: SimpleNamespace) -> Recipe | list[str]:
    """What is to be checked: a recipe by its file, name or number; or the ingredient lines themselves."""
    from jamcalc.reading import recipefile

    words: list[str] = options.words
    if not "".join(words).strip():
        raise InputError("RECIPE is empty: write for instance jamcalc check plum.toml")
    file_like = " " not in words[0].strip() or words[0].endswith((".toml", ".txt", ".md")) or recipefile.exists(words[0])
    if len(words) == 1 and file_like:
        return recipe(options)
    if recipefile.exists(words[0]):
        raise InputError(f'"{shown(words[1])}" is a word too many: check takes one RECIPE, or ingredient lines (see: jamcalc check --help)')
    return words


def scale(options: SimpleNamespace) -> int:
    """A recipe up or down."""
    from jamcalc import api

    _check_keep(options)
    kind = _ending(options)
    how = {"times": options.times, "fruit": options.fruit, "want": options.want}
    given = [f"--{way}" for way, value in how.items() if value is not None]
    if len(given) > 1:
        raise InputError(f"{' and '.join(given)} together: scale by one of them")
    if not given and options.sweetener is None and options.jar is None:
        raise InputError('how far? write --times 1.5, --fruit "5 lb plums" or --want "9 half-pints"')
    title = title_of(options)
    written, shared = _called(recipe(options), title), common(options, kitchen(options))
    try:
        answer = api.scale_answer(written, **how, sweetener=options.sweetener, **shared)
    except NotPossible as error:
        if not options.json:
            raise
        shared.pop("jar", None)  # asked for in vain: it is answered for as it stands, in its own
        say(json_text({**api.not_scaled(written, str(error), **shared).to_dict(), "scaled": None}))
        complain(str(error))
        return 1
    # once more: another sweetener takes away the title of the recipe, which may name the old one
    answer = replace(answer, recipe=_called(answer.recipe, title), result=_called(answer.result, title))

    def table(full: bool) -> Sequence[Any]:
        from jamcalc.recipes import tested
        from jamcalc.screens import scaling_screen

        unchanged = tested.unchanged(written)
        if full:
            return scaling_screen.parts(answer.scaled, unchanged)
        return [scaling_screen.one_table(answer.scaled, answer.result, unchanged)]

    def recipe_text() -> str:
        from jamcalc.reading import recipetext

        return recipetext.write_text(answer.recipe)

    screens = _screens(answer.result, options.working, table)
    return _answered(answer.result, answer.to_dict, screens, recipe_text, options, kind, answer.recipe)


def _ending(options: SimpleNamespace) -> str:
    """The ending of the file that -o names, or "" where it names none; what cannot be written is refused before anything is worked out."""
    return "" if options.output is None else ending(options, (".toml", ".json", ".txt"))


def _called(what: Titled, title: str) -> Titled:
    """A recipe or an answer under the title that was given, if one was."""
    return replace(what, title=title) if title else what


def _check_keep(options: SimpleNamespace) -> None:
    """What does not go together is said before anything is worked out."""
    keeps = getattr(options, "keep", False)
    if keeps and options.no_book:
        raise InputError("--keep and --no-book together: write one of them")
    if not keeps and getattr(options, "date", None) is not None:
        raise InputError("--date is the day of a batch that is kept: write --keep too")


def _teacher(options: SimpleNamespace, say: Callable[[str], None] = complain) -> Teaches | None:
    """The book to learn from; None where there is none, and nothing of it is loaded then."""
    path = None if options.no_book else book_file(options)
    if path is None:
        return None
    if os.path.lexists(path):
        from jamcalc.cli.teacher import Teacher

        return Teacher(path, say)
    if options.book is not None and not options.keep:
        complain(f'no book at "{shown(options.book)}": the answer is from the tables alone')
    return None


def _look_at_book(options: SimpleNamespace) -> None:
    """Say what is wrong with the book, where there is one, and go on; nothing of it is loaded where there is none."""
    path = book_file(options)
    if path is not None and os.path.lexists(path):
        from jamcalc.book import place, schema

        if fault := place.fault(path, schema.newest()):
            complain(f"{fault}; the answer is from the tables alone")
    elif options.book is not None:
        complain(f'no book at "{shown(options.book)}": the answer is from the tables alone')


def _screens(result: BatchResult, working: bool, under_title: Callable[[bool], Sequence[Any]] | None = None) -> Callable[[bool], list[Any]]:
    """The answer to show: in full where asked so, else short; built only when it is shown."""

    def screens(full: bool) -> list[Any]:
        units, first = result.batch.settings.units, under_title(full) if under_title else ()
        if full:
            from jamcalc.screens import answer_screen

            return [answer_screen.answer(result, units=units, working=working, under_title=first)]
        from jamcalc.screens import short_screen

        short = short_screen.answer(result, units=units, under_title=first, pot=under_title is None)
        if not working:
            return [short]
        from jamcalc.screens import answer_screen

        return [short, answer_screen.working_screen(result)]

    return screens


def _answered(
    result: BatchResult,
    as_dict: Callable[[], dict[str, Any]],
    screens: Callable[[bool], list[Any]],
    recipe_text: Callable[[], str],
    options: SimpleNamespace,
    kind: str,
    recipe: Recipe | None = None,
) -> int:
    """Keep the batch and write a file where asked to, then print; 1, with the reason on standard error, where it is not to be made so."""
    number, keeps = None, getattr(options, "keep", False)
    if keeps:
        from jamcalc.cli import book_commands

        number = book_commands.keep(options, result, as_dict(), recipe, lambda: screens(True))
    elif not options.no_book and result.command != "batch":  # which has learned from it
        _look_at_book(options)

    def answer() -> dict[str, Any]:
        return {**as_dict(), "number": number} if keeps else as_dict()

    stays = ""
    if kind == ".toml":
        text = recipe_text()
        stays = _not_readable(text) or write(options, text)
    elif kind == ".json":
        stays = write(options, json_text(answer()) + "\n")
    elif kind == ".txt":
        stays = write(options, plain_text(*screens(True)))
    if options.json:
        say(json_text(answer()))
    else:
        show(*screens(options.full))
    return ended(result.refused, stays) or int(keeps and number is None)


def _not_readable(text: str) -> str:
    """Why a recipe file would not be read back, and so is not written; "" as a rule: both sides have the same limits."""
    from jamcalc.reading import recipefile, several

    try:
        several.check_sum(recipefile.from_text(text, "the recipe file").lines)
    except InputError as error:
        return f"not written, since it could not be read again: {str(error).splitlines()[0]}"
    return ""


def guided() -> int:
    """Ask for the fruit a line at a time."""
    from jamcalc.guide import guide, in_words

    with contextlib.suppress(ImportError):  # where there is none, input() has no arrow keys
        import readline

        # several lines pasted are several answers, not one with line ends in it; and nothing has to be switched off at the end
        readline.parse_and_bind("set enable-bracketed-paste off")
    asked = SimpleNamespace(kitchen=None, book=None, no_book=False)
    book = _teacher(asked, say=lambda text: show(in_words.complaint(text)))
    return guide.run(input, show, kitchen=kitchen(asked), folder=Path(), book=book)
