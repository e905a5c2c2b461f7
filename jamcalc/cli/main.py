"""The command line: words in, exit codes out, and every error in one line.

Exit codes: 0 answered; 1 understood, but not to be made as asked (reason on standard error); 2 wrong usage or bad input;
70 a fault of the program itself; 128 and its number where a signal ended it (130 for Ctrl-C).
A command's own modules are imported when it is called, so that --help starts at once.
"""

from __future__ import annotations

import atexit
import contextlib
import gc
import os
import sys
from collections.abc import Sequence

from jamcalc import __version__
from jamcalc.errors import InputError, JamcalcError, OutputError, RecipeError
from jamcalc.words.complaint import complain, fault, writing

INTERRUPTED = 130  # what a shell reports for Ctrl-C
FAULT = 70  # "internal software error", by the old custom of sysexits.h

OVERVIEW = """\
jamcalc: from the fruit on the table to a low-sugar jam that can be trusted

  jamcalc batch "3 lb plums" "1 1/2 lb frozen blackberries" \\
      --sweetener honey --altitude "4300 ft"

commands
  batch LINE...   from the fruit on hand to a formula: lemon juice, pectin,
                  calcium water, sweetener, jars, and how it may be kept
  check RECIPE    a recipe exactly as written: its acidity, set and yield
  scale RECIPE    a recipe up or down, in measures that a kitchen owns
  compare A B     two to four recipes or kept batches side by side
  process         minutes in boiling water for an altitude and a jar
  card RECIPE     the fair-entry card, jar labels, a page for the kitchen wall
  book [N]        the batches that were kept, the jars on the shelf, the season
  finish N        what came of a kept batch: jars, pH, set, seals
  facts [ITEM]    what is held about a fruit, sweetener, acid or jar, and from
                  what source; alone: the list
  kitchen         show or set what your kitchen has: altitude, pots, jars
  recipes         the recipes that come with the program

  jamcalc COMMAND --help    what a command takes
  jamcalc --version         the version
  jamcalc --completion bash (or zsh): what the Tab key offers
  jamcalc                   alone at a terminal: asks, a line at a time

An ingredient line is AMOUNT [FORM] ITEM, as a cook writes it: "3 lb plums",
"4 cups mashed strawberries", "1/2 cup honey". Put each line in quotes.

A calculated formula is not a tested recipe. Your extension service and local
rules come first.
"""


def main(arguments: Sequence[str] | None = None) -> int:
    """Run one command and return its exit code; never a traceback for anything a user types."""
    as_program = arguments is None
    words = list(sys.argv[1:] if arguments is None else arguments)
    try:
        if as_program and words:
            _be_quick()
        for stream in (sys.stdout, sys.stderr):
            if hasattr(stream, "reconfigure"):
                stream.reconfigure(errors="backslashreplace")  # a name that the terminal cannot show is no reason to fall over
        code = _run(words, as_program)
        with writing():
            if sys.stdout is not None:
                sys.stdout.flush()
        return code
    except RecipeError as error:
        for problem in error.told():
            complain(problem)
        return error.exit_code
    except OutputError as error:  # a full disk behind standard output, say; files have their own errors
        _let_go_of_output()
        complain(str(error))
        return error.exit_code
    except JamcalcError as error:
        complain(str(error))
        return error.exit_code
    except BrokenPipeError:  # whoever read along has gone, and has what was wanted
        _let_go_of_output()
        return 0
    except KeyboardInterrupt:
        return INTERRUPTED
    except Exception as error:
        if not as_program:
            raise
        _let_go_of_output()
        complain(fault(error))
        return FAULT


def _be_quick() -> None:
    """For a process that lives half a second: a tenth of it went into threads and a search for garbage that nobody needs."""
    os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")  # numpy's linear algebra, unused here, starts one for each core
    gc.disable()
    atexit.register(gc.freeze)  # Python looks for it once more at the end, when the process and all it holds are gone anyway


def _let_go_of_output() -> None:
    """Send what is still to be written nowhere; else Python complains once more at exit."""
    with contextlib.suppress(OSError, ValueError):
        if sys.stdout is not None:
            os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())


def _run(words: list[str], as_program: bool) -> int:
    if not words:
        return _alone(as_program)
    if words[0] == "--version":
        if words[1:]:
            raise InputError("--version takes nothing after it")
        with writing():
            print(f"jamcalc {__version__}")
        return 0
    if words[0] == "--completion":
        from jamcalc.cli import completion

        with writing():
            print(completion.script(words[1:]), end="")
        return 0
    before = words[: words.index("--")] if "--" in words else words
    wants_help = words[0] == "help" or "--help" in before or "-h" in before
    from jamcalc.cli.options import on_this_screen

    if wants_help and len(words) == 1:
        with writing():
            print(on_this_screen(OVERVIEW), end="")
        return 0
    from jamcalc.cli.command_table import COMMANDS, near_command

    if wants_help:
        asked = next((COMMANDS[word] for word in words if word in COMMANDS), None)
        with writing():
            print(on_this_screen(OVERVIEW if asked is None else asked.help_text()), end="")
        return 0
    if words[0] not in COMMANDS:
        raise InputError(near_command(words[0]))
    options = COMMANDS[words[0]].read(words[1:])

    if as_program:
        _watch()
    from jamcalc.cli import commands

    return commands.run(words[0], options)


def _watch() -> None:
    """Mind signals for as long as there is something to interrupt: help is out sooner than that is imported."""
    from jamcalc.reading import interrupts

    interrupts.watch()


def _alone(as_program: bool) -> int:
    """No words at all: ask, at a terminal; elsewhere the help, as wrong usage."""
    if all(stream is not None and stream.isatty() for stream in (sys.stdin, sys.stdout)):
        from jamcalc.reading import interrupts

        interrupts.keep_terminal()
        if as_program:
            _watch()
        from jamcalc.cli import commands

        return commands.guided()
    with contextlib.suppress(OSError):
        if sys.stderr is not None:
            print(OVERVIEW, end="", file=sys.stderr)
    return 2
