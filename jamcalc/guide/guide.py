"""The guided entry: asks a question at a time, shows the batch, changes one thing at a time, saves it when told to.

Holds the order of the questions and the way back; the questions themselves are in questions, the calculation behind api.
Called by the command line when jamcalc is run alone at a terminal.
"""

from __future__ import annotations

import os
import re
from collections.abc import Callable
from dataclasses import dataclass, replace
from pathlib import Path
from types import SimpleNamespace

from jamcalc import api, facts
from jamcalc.errors import FileStays, InputError, JamcalcError
from jamcalc.guide import guide_screen, questions
from jamcalc.guide.questions import Answers, Question
from jamcalc.kitchen.household import Kitchen
from jamcalc.labels import card
from jamcalc.nouns import label
from jamcalc.nouns.outcome import BatchResult
from jamcalc.prints import page
from jamcalc.reading import recipetext
from jamcalc.reading.safefile import write_whole
from jamcalc.recipes import to_recipe
from jamcalc.screens import answer_screen, output, verdict_screen
from jamcalc.screens.output import book_path, plain_text
from jamcalc.words.complaint import fault
from jamcalc.words.conversation import Back, Stop, Talk, picked
from jamcalc.words.phrases import sentence
from jamcalc.words.units import shown

WELCOME = """\
Good day. Tell me what fruit you have, and I work out a low-sugar jam from it.
At any question: "back" takes your last answer back, "?" explains, "stop" ends."""
FIRST_ROUND = ("fruit", "sweetener", "firmness", "jars", "altitude")
QUESTIONS: dict[str, Question] = {
    "fruit": questions.fruit,
    "sweetener": questions.sweetener,
    "firmness": questions.firmness,
    "jars": questions.jars,
    "altitude": questions.altitude,
    "reading": questions.reading,
    "keep": questions.keep,
}
MENU = "menu"
MOST_FAULTS = 3  # one after another, before a defect ends the conversation: a question that cannot even be put would be put for ever


@dataclass(frozen=True, kw_only=True)
class State:
    """Where the conversation stands; "back" returns to the state before."""

    at: str  # a question, or the menu
    answers: Answers
    all_asked: bool = False  # from here on a question leads back to the menu
    result: BatchResult | None = None  # the batch of these answers, as far as it could be worked out


def run(ask: Callable[[str], str], show: Callable[[str], None], *, kitchen: Kitchen, folder: Path, kitchen_file: Path | None = None) -> int:
    """Hold the whole conversation.

    Parameters
    ----------
    ask : shows a prompt and returns a line, as input() does; show : prints a text
    kitchen : what the kitchen file holds; folder : where files are saved
    kitchen_file : where the altitude is kept when the cook says so; the usual place where none is given

    Returns
    -------
    int : 0, the exit code, after "stop" or the end of input; KeyboardInterrupt goes through
    """
    talk = Talk(ask=ask, show=show)
    before = questions.beforehand(kitchen, kitchen_file or output.kitchen_file())
    state, earlier, faults = State(at=FIRST_ROUND[0], answers=before), list[State](), 0
    show(WELCOME)
    try:
        while True:
            try:
                after = _menu(talk, state, folder) if state.at == MENU else _asked(talk, state)
            except Back:
                if earlier:
                    state = earlier.pop()
                    if state.at == MENU:
                        show("\nAll as it was before.")
                else:
                    show('This is the first question; "stop" ends.')
                continue
            except (Stop, EOFError):
                raise
            except Exception as error:  # a defect, which is no reason to lose all that has been answered
                faults += 1
                if faults > MOST_FAULTS:
                    raise
                show(_told(error))
                continue
            faults = 0
            if after is not state:
                earlier.append(state)
            state = after
    except Stop:
        return 0
    except EOFError:
        show("")  # the prompt still stands in its line
        return 0
    except KeyboardInterrupt:
        show("")
        raise


def _asked(talk: Talk, state: State) -> State:
    """The state after one question; the same state where it has to be asked again."""
    answers = QUESTIONS[state.at](talk, state.answers)
    if answers is None:
        return state
    if answers.lines != state.answers.lines:  # there may be more fruit
        return replace(state, answers=answers)
    if not state.all_asked and state.at != FIRST_ROUND[-1]:
        return replace(state, answers=answers, at=FIRST_ROUND[FIRST_ROUND.index(state.at) + 1])
    return _reckoned(talk, replace(state, answers=answers, at=MENU, all_asked=True))


def _reckoned(talk: Talk, state: State) -> State:
    """The state with its batch, shown whole the first time, and after a change by what has moved."""
    talk.show("")
    answers = state.answers
    try:
        result = api.batch(
            answers.texts,
            sweetener=answers.sized_name,
            reading=answers.readings,
            set=answers.firmness,
            jar=None if answers.jar is None else facts.jar(answers.jar).name,
            altitude=answers.altitude_ft,
            store="cold" if answers.cold else None,
            kitchen=answers.home,
        )
        screen = guide_screen.short_form(result) if state.result is None else guide_screen.difference(state.result, result)
        text = plain_text(screen)
    except Exception as error:
        talk.show(_told(error))
        return replace(state, result=None)
    talk.pages(text, one_screen=True)
    return replace(state, result=result)


def _told(error: Exception) -> str:
    """An error of the cook's own in its words; a defect, with what to do about it."""
    if isinstance(error, JamcalcError):
        return str(error)
    return f'{sentence(fault(error))} What you have answered is kept: change something, or write "stop".'


# ---------------------------------------------------------------- what may be changed, seen and saved

WHY_MENU = """\
Take a number or a word. A change shows what it moves, and "back" takes it back.
"more" is the whole answer, with the order of work and what to take care of;
"batch" shows the short one again; "book" keeps it in your batch book and gives
it a number for the jars."""
WHY_FILE = """\
A name for the file, in this folder unless it names another. Nothing is written
over without your yes; "back" leaves it be."""


def _menu(talk: Talk, state: State, folder: Path) -> State:
    """The state with the question that changes something; the same state after anything else."""
    talk.show("\nChange  " + "  ".join(f"{number} {name}" for number, name in enumerate(QUESTIONS, 1)))
    talk.show('or      "more", the whole answer; "batch" again; "save"; "card"; "book"; "stop"')
    text = talk.answer("next: ", WHY_MENU)
    change = picked(text, dict.fromkeys(QUESTIONS, ""))
    if change == "fruit":
        talk.show('\nIn the pot now; write a line to add it, or "drop 1" to take one out:')
        talk.options({line.text: line.text for line in state.answers.lines})
    if change is not None:
        return replace(state, at=change)
    if not text:
        return state
    if text.lower() not in ("more", "batch", "save", "card", "book"):
        talk.show(f'"{shown(text)}" is not on offer: write a number from 1 to {len(QUESTIONS)}, or one of the words.')
    elif state.result is None:
        talk.show("There is no batch yet: change what stands in the way first.")
    else:
        _shown_or_saved(talk, text.lower(), state, state.result, folder)
    return state


def _shown_or_saved(talk: Talk, word: str, state: State, result: BatchResult, folder: Path) -> None:
    if word == "more":
        talk.pages(plain_text(answer_screen.answer(result, units=result.batch.settings.units)))
    elif word == "batch":
        talk.show("")
        talk.pages(plain_text(guide_screen.short_form(result)), one_screen=True)
    elif result.refused or not result.solution.converged:
        talk.show(f"This is not to be made so, and I had rather not write it down: {result.refused or verdict_screen.UNSETTLED}")
    else:
        try:
            {"save": _save, "card": _card, "book": _keep}[word](talk, state, result, folder)
        except Back:
            talk.show("Nothing was written.")
        except (InputError, FileStays) as error:
            talk.show(str(error))


def _save(talk: Talk, state: State, result: BatchResult, folder: Path) -> None:
    """The batch as a recipe file that check and scale read."""
    text = recipetext.write_text(to_recipe.recipe_of(result))
    _write(talk, state, *_place(talk, folder, f"{_file_name(result)}.toml"), text)
    talk.show("jamcalc check and jamcalc scale read it.")
    if state.answers.readings:
        talk.show("Your readings are not in it: give them again with --reading.")


def _card(talk: Talk, state: State, result: BatchResult, folder: Path) -> None:
    """The fair-entry card as a page to print."""
    content = card.content(result, label.CardRequest())
    text = page.print_html(content)
    _write(talk, state, *_place(talk, folder, f"{_file_name(result)}-card.html"), text)
    blanks = f" To be filled in by hand: {', '.join(content.blanks)}." if content.blanks else ""
    talk.show(f"Open it in a browser and print it.{blanks}")


def _keep(talk: Talk, state: State, result: BatchResult, _folder: Path) -> None:
    """The batch in the batch book, as `batch --keep` puts it there."""
    from jamcalc.book.python import Book  # whoever keeps nothing loads none of it

    answers = state.answers
    asked = {"words": answers.texts, "options": {"reading": answers.readings, "sweetener": answers.sized_name}}
    with Book(book_path(SimpleNamespace(book=None))) as book:
        number = book.keep(result, asked=asked, screen=plain_text(answer_screen.answer(result, units=result.batch.settings.units)))
    talk.show(f"Kept as batch {number}; once it is in jars: jamcalc finish {number}")


def _file_name(result: BatchResult) -> str:
    return re.sub(r"[^a-z0-9]+", "-", result.title.lower()).strip("-")[:60]


def _place(talk: Talk, folder: Path, offered: str) -> tuple[Path, bool]:
    """Where to write, and whether over another file: never without a yes. Raises Back."""
    ending = Path(offered).suffix
    while True:
        name = talk.answer(f"file [{offered}]: ", WHY_FILE) or offered
        name = name if Path(name).suffix else name.rstrip("/") + ending
        if not name.isprintable() or Path(name).suffix.lower() != ending:
            talk.show(f'"{shown(name)}" will not do: a name in plain letters that ends in {ending}, such as {offered}.')
            continue
        place = folder / os.path.expanduser(name)
        if not os.path.lexists(place):
            return place, False
        talk.show(f"There is a file {shown(name)} already.")
        if talk.answer("write over it? yes or no [no]: ", WHY_FILE).lower() in ("yes", "y"):
            return place, True


def _write(talk: Talk, state: State, place: Path, replace_it: bool, text: str) -> None:
    kitchen_file = state.answers.kitchen_file
    write_whole(place, text, replace=replace_it, never=() if kitchen_file is None else (kitchen_file,))
    talk.show(f"Wrote {shown(str(place), 200)}.")
