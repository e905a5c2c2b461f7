"""How fast it is, as ratios measured in one run; a script, not a test: .venv/bin/python tests/benchmark.py [RUNS]

Commands and their yardsticks run in turn, RUNS times over (default 15), so that a busy machine slows both alike.
A row is the median of its runs; nothing fails on a slow day.
"""

from __future__ import annotations

import itertools
import os
import subprocess
import sys
import tempfile
from collections.abc import Callable, Mapping, Sequence
from pathlib import Path
from statistics import median
from time import perf_counter

REPOSITORY = Path(__file__).resolve().parents[1]
PLUMS = ("batch", "3 lb plums", "1 1/2 lb frozen blackberries", "--sweetener", "honey", "--altitude", "4300 ft")
FOUR_FRUITS = ("3 lb plums", "1 1/2 lb frozen blackberries", "1 lb pears", "8 oz rhubarb")

PYTHON = ("-c", "pass")
LIBRARIES = ("-c", "import pint, scipy.optimize, rich.table")
COMMANDS = {
    "python -c pass": PYTHON,
    "import pint, scipy.optimize, rich.table": LIBRARIES,
    "jamcalc --help": ("-m", "jamcalc", "--help"),
    "jamcalc --version": ("-m", "jamcalc", "--version"),
    "jamcalc kitchen": ("-m", "jamcalc", "kitchen"),
    "jamcalc process": ("-m", "jamcalc", "process"),
    "jamcalc recipes": ("-m", "jamcalc", "recipes"),
    "jamcalc facts": ("-m", "jamcalc", "facts"),
    "jamcalc batch, plums and blackberries": ("-m", "jamcalc", *PLUMS),
}
BATCHES, WITH_JARS = 10_000, 40  # in the large book, and those of them with jars on the shelf: a year's
OF_THE_BOOK = {"jamcalc book": ("book",), "jamcalc book --shelf": ("book", "--shelf"), "jamcalc batch --keep": (*PLUMS, "--keep")}
RATIOS = (  # what, against what, at most
    ("jamcalc --help", "python -c pass", 3.0),
    ("jamcalc --version", "python -c pass", 3.0),
    *((f"jamcalc {command}", "python -c pass", 9.0) for command in ("kitchen", "process", "recipes", "facts")),
    ("jamcalc batch, plums and blackberries", "import pint, scipy.optimize, rich.table", 1.15),
    *((f"{name}, a book of 10,000 batches", f"{name}, an empty book", 1.3) for name in OF_THE_BOOK),
)
WARM = {"batch of 4 fruits in Python": 5.0, "the same with 4,000 draws": 40.0, "mix of 3 kinds of jars": 10.0}  # milliseconds, at most
ROWS = (*(name for name, _, _ in RATIOS), *WARM)


def command_seconds(arguments: Sequence[str], environment: Mapping[str, str]) -> float:
    """One run of this interpreter with these arguments [s]."""
    start = perf_counter()
    subprocess.run([sys.executable, *arguments], cwd=REPOSITORY, env=environment, check=True, capture_output=True)
    return perf_counter() - start


def _of_book(words: Sequence[str], environment: Mapping[str, str]) -> float:
    """One command on a book; an empty one stays empty [s]."""
    seconds = command_seconds(("-m", "jamcalc", *words), environment)
    book = Path(environment["JAMCALC_BOOK"])
    if book.name.startswith("empty"):
        book.unlink(missing_ok=True)
    return seconds


def call_seconds(call: Callable[[], object]) -> float:
    """One call in this process [s]."""
    start = perf_counter()
    call()
    return perf_counter() - start


def in_turn(runs: int, timers: Mapping[str, Callable[[], float]]) -> dict[str, float]:
    """Median of `runs` rounds over all timers [s]; one round before them warms caches and is not counted."""
    rounds = [{name: timer() for name, timer in timers.items()} for _ in range(runs + 1)][1:]
    return {name: median(each[name] for each in rounds) for name in timers}


def large_book(path: Path) -> None:
    """A book of many batches, each with its papers, most of them eaten; made here and not measured."""
    sys.path.insert(0, str(REPOSITORY))
    from dataclasses import replace

    from book_sample import finish, jars, taken

    import jamcalc
    from jamcalc.book.keeping import kept

    batch = kept(jamcalc.batch(PLUMS[1:3], sweetener="honey", draws=0), screen="a line of the screen\n" * 60)
    finished = finish(filled=jars(half_pint=6), ph=3.4, found="well", stored="pantry")
    eaten = (finished, taken(count=6))
    with jamcalc.Book(path) as book:
        book.add(
            replace(batch, number=number, uid=f"{number:032x}", entries=(finished,) if number > BATCHES - WITH_JARS else eaten)
            for number in range(1, BATCHES + 1)
        )


def warm_calls() -> dict[str, Callable[[], object]]:
    """Calls in one process, by the names of WARM."""
    sys.path.insert(0, str(REPOSITORY))
    import jamcalc
    from jamcalc.jars.mix import Stock, best_mix

    def batch(draws: int) -> object:
        return jamcalc.batch(FOUR_FRUITS, sweetener="honey", altitude="4300 ft", draws=draws)

    stock = [
        Stock(jar="half-pint", count=11, fill_ml=222.0),
        Stock(jar="pint", count=5, fill_ml=450.0),
        Stock(jar="quarter-pint", count=6, fill_ml=105.0),
    ]
    volumes_ml = itertools.count(2345)  # a mix that was asked for before is remembered: each call asks for another
    return dict(zip(WARM, (lambda: batch(0), lambda: batch(4000), lambda: best_mix(float(next(volumes_ml)), stock)), strict=True))


def main() -> None:
    """Measure, and print one Markdown table."""
    runs = int(sys.argv[1]) if len(sys.argv) > 1 else 15
    with tempfile.TemporaryDirectory() as home:  # nobody's own kitchen file; bytecode of its own, as pip leaves it
        environment = {**os.environ, "HOME": home, "XDG_CONFIG_HOME": home, "PYTHONPYCACHEPREFIX": home, "PYTHONDONTWRITEBYTECODE": ""}
        commands = {name: lambda arguments=arguments: command_seconds(arguments, environment) for name, arguments in COMMANDS.items()}
        large_book(Path(home) / "large.sqlite")
        for book, words in (("a book of 10,000 batches", "large.sqlite"), ("an empty book", "empty.sqlite")):
            own = {**environment, "JAMCALC_BOOK": str(Path(home) / words)}
            for name, arguments in OF_THE_BOOK.items():
                commands[f"{name}, {book}"] = lambda arguments=arguments, own=own: _of_book(arguments, own)
        seconds = in_turn(runs, commands)
    warm = in_turn(5 * runs, {name: lambda call=call: call_seconds(call) for name, call in warm_calls().items()})

    print("| what | measured | at most | met |")
    print("|---|---|---|---|")
    for name, yardstick, most in RATIOS:
        ratio = seconds[name] / seconds[yardstick]
        row(
            name,
            f"{ratio:.2f} x `{yardstick}` ({1e3 * seconds[name]:.0f} to {1e3 * seconds[yardstick]:.0f} ms)",
            f"{most:g} x",
            ratio <= most,
        )
    for name, most in WARM.items():
        row(name, f"{1e3 * warm[name]:.1f} ms", f"{most:g} ms", 1e3 * warm[name] <= most)


def row(what: str, measured: str, most: str, met: bool) -> None:
    """One row of the table."""
    print(f"| {what} | {measured} | {most} | {'yes' if met else 'NO'} |")


if __name__ == "__main__":
    main()
