"""The guided entry: asks a question at a time, shows the batch, changes one thing at a time, saves it when told to.

Holds the order of the questions and the way back; the questions themselves are in questions and kitchen_questions, the calculation
behind api.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field, replace
from pathlib import Path

from jamcalc import api, facts
from jamcalc.errors import JamcalcError
from jamcalc.guide import answered, guide_screen, in_words, kitchen_questions, questions, writing_down
from jamcalc.guide.answered import Answers, Question
from jamcalc.kitchen import own_files
from jamcalc.kitchen.household import Kitchen
from jamcalc.nouns.learned import Teaches
from jamcalc.nouns.outcome import BatchResult
from jamcalc.reading import interrupts
from jamcalc.screens.output import plain_text
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
    "jars": kitchen_questions.jars,
    "altitude": kitchen_questions.altitude,
    "reading": kitchen_questions.reading,
    "keep": kitchen_questions.keep,
}
MENU = "menu"
NEXT = 'a number, "more", "batch" or "stop": '
MOST_FAULTS = 3  # one after another, before a defect ends the conversation: a question that cannot even be put would be put for ever
UNSAVED = '\nThis batch is not saved yet; "save" writes it down. Ctrl-C once more leaves without it.'


@dataclass(frozen=True, kw_only=True)
class State:
    """Where the conversation stands; "back" returns to the state before."""

    at: str  # a question, or the menu
    answers: Answers
    all_asked: bool = False  # from here on a question leads back to the menu
    result: BatchResult | None = None  # the batch of these answers, as far as it could be worked out


@dataclass(kw_only=True)
class Session:
    """One conversation: who is talked to, where files go, where it stands, the states to go back to, and the batches kept."""

    talk: Talk
    folder: Path
    state: State
    earlier: list[State] = field(default_factory=list)
    kept: list[BatchResult] = field(default_factory=list)

    @property
    def unsaved(self) -> BatchResult | None:
        """The batch that would be lost now, if there is one."""
        result = self.state.result
        is_kept = any(result is kept for kept in self.kept)
        return None if result is None or is_kept or not writing_down.to_be_made(result) else result

    def desk(self, result: BatchResult) -> writing_down.Desk:
        """Where a batch is written down."""
        return writing_down.Desk(talk=self.talk, answers=self.state.answers, result=result, folder=self.folder)


def run(
    ask: Callable[[str], str],
    show: Callable[[str], None],
    *,
    kitchen: Kitchen,
    folder: Path,
    kitchen_file: Path | None = None,
    book: Teaches | None = None,
) -> int:
    """Hold the whole conversation.

    Parameters
    ----------
    ask : shows a prompt and returns a line, as input() does; show : prints a text
    kitchen : what the kitchen file holds; folder : where files are saved
    kitchen_file : where the altitude is kept when the cook says so; the usual place where none is given
    book : the batch book to learn from; None: the tables alone

    Returns
    -------
    int : 0, the exit code, after "stop" or the end of input; KeyboardInterrupt goes through. A batch that is not saved is asked about first
    """

    def asked(prompt: str) -> str:
        interrupts.ask_first(f"{UNSAVED}\n{prompt}" if session.unsaved else "")
        return ask(prompt)

    before = answered.beforehand(kitchen, kitchen_file or own_files.kitchen_file(), book)
    session = Session(talk=Talk(ask=asked, show=show), folder=folder, state=State(at=FIRST_ROUND[0], answers=before))
    show(WELCOME)
    try:
        while True:
            try:
                _talk_on(session)
            except Stop:
                if _may_end(session):
                    return 0
            except EOFError:
                show("")  # the prompt still stands in its line
                if _may_end(session):
                    return 0
            except KeyboardInterrupt:
                show("")
                if _may_end(session):
                    raise
    finally:
        interrupts.ask_first("")


def _may_end(session: Session) -> bool:
    """Whether nothing is lost, or the cook lets it go."""
    result = session.unsaved
    return result is None or writing_down.before_the_end(session.desk(result))


def _talk_on(session: Session) -> None:
    """Question after question, until Stop, the end of input or an interrupt."""
    faults = 0
    while True:
        try:
            after = _menu(session) if session.state.at == MENU else _asked(session.talk, session.state)
        except Back:
            _back(session)
            continue
        except (Stop, EOFError):
            raise
        except Exception as error:  # a defect, which is no reason to lose all that has been answered
            faults += 1
            if faults > MOST_FAULTS:
                raise
            session.talk.show(_told(error))
            continue
        faults = 0
        if after is not session.state:
            session.earlier.append(session.state)
        session.state = after


def _back(session: Session) -> None:
    if not session.earlier:
        session.talk.show('This is the first question; "stop" ends.')
        return
    session.state = session.earlier.pop()
    if session.state.at == MENU:
        session.talk.show("\nAll as it was before.")


def _asked(talk: Talk, state: State) -> State:
    """The state after one question; the same state where it has to be asked again."""
    answers = QUESTIONS[state.at](talk, state.answers)
    if answers is None:
        return state
    if answers.lines != state.answers.lines:  # there may be more fruit
        return replace(state, answers=answers)
    if not state.all_asked and state.at != FIRST_ROUND[-1]:
        return replace(state, answers=answers, at=FIRST_ROUND[FIRST_ROUND.index(state.at) + 1])
    return _worked_out(talk, replace(state, answers=answers, at=MENU, all_asked=True))


def _worked_out(talk: Talk, state: State) -> State:
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
            book=answers.book,
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
        return in_words.complaint(str(error))
    return f'{sentence(fault(error))} What you have answered is kept: change something, or write "stop".'


# ---------------------------------------------------------------- what may be changed, seen and saved

WHY_MENU = """\
Take a number or its word. A change shows what it moves; "back" takes it back.
"more" is the whole answer, with the order of work and what to take care of;
"batch" shows the short one again. A recipe file keeps these amounts; the batch
book gives them a number for the jars."""
SHOW = {"more": "more", "batch": "batch", "all": "more", "full": "more", "again": "batch", "tables": "tables", "": ""}


def _menu(session: Session) -> State:
    """The state with the question that changes something; the same state after anything else."""
    talk, state, ways = session.talk, session.state, writing_down.WAYS
    talk.show("\nChange  " + "  ".join(f"{number} {name}" for number, name in enumerate(QUESTIONS, 1)))
    first = len(QUESTIONS) + 1
    talk.show("Save    " + "  ".join(f"{number} {way.name}" for number, way in enumerate(ways.values(), first)))
    text = talk.answer(NEXT, WHY_MENU)
    word = picked(text, (*QUESTIONS, *ways), {**writing_down.ALSO, **SHOW})
    if word == "fruit":
        talk.show('\nIn the pot now; write a line to add it, or "drop 1" to take one out:')
        talk.options({line.text: line.text for line in state.answers.lines})
    if word in QUESTIONS:
        return replace(state, at=word)
    if word == "tables" and state.answers.book is not None:
        return _worked_out(talk, replace(state, answers=replace(state.answers, book=None)))
    if word is None:
        talk.show(f'"{shown(text)}" is not on offer: write a number from 1 to {len(QUESTIONS) + len(ways)}, or one of the words.')
    elif word == "tables":
        talk.show("This is from the tables alone already.")
    elif word and state.result is None:
        talk.show("There is no batch yet: change what stands in the way first.")
    elif word in ways and state.result is not None:
        if writing_down.written(word, session.desk(state.result)):
            session.kept.append(state.result)
    elif word == "more" and state.result is not None:
        talk.pages(plain_text(guide_screen.long_form(state.result)))
    elif state.result is not None and word:
        talk.show("")
        talk.pages(plain_text(guide_screen.short_form(state.result)), one_screen=True)
    return state
