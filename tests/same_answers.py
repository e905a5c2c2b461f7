"""Two hundred varied commands and what each prints as JSON, for comparing two states of the program.

    python tests/same_answers.py >before.txt     # in one state of the program
    python tests/same_answers.py >after.txt      # in the other
    diff before.txt after.txt

A line a command: its words, its exit code, its JSON. Not part of the plain test run; needs no network and no clock.
"""

from __future__ import annotations

import contextlib
import io
import itertools
import json
import os
import shlex
import sys
from collections.abc import Iterator

FRUITS = (
    "3 lb plums", "1 1/2 lb frozen blackberries", "2 lb strawberries", "900 g prepared peaches", "4 cups mashed raspberries",
    "2 kg apricots", "1 lb blueberries", "2 lb sweet cherries", "1 lb figs", "3 lb pears", "1 lb rhubarb", "3 cups apple juice",
    "500 g mulberries", "1 kg elderberries", "2 lb mangoes", "1 lb pineapple", "3 lb tart cherries", "1 lb gooseberries",
    "2 lb kiwifruit", "1 lb carrots",
)  # fmt: skip
SWEETENERS = ("honey", "sugar", "maple syrup", "brown sugar", "agave syrup", "none", "xylitol", "white grape juice concentrate")
OPTIONS = (
    "", "--altitude '4300 ft'", "--altitude '1310 m' --jar pint", "--set firm", "--set soft --units metric", "--store cold", "--boil 10",
    "--jar quart", "--headspace '1/2 in'", "--pectin-spoon 2.5", "--calcium-spoon 20", "--sweetness 8", "--simmer 20",
    "--want '8 half-pints'", "--on-hand '5 half-pints' --on-hand '2 pints'", "--altitude '10500 ft'",
)  # fmt: skip
READINGS = ("plum pH 3.4 TA 1.2 Brix 12", "plum pH 3.9", "batch pH 3.9", "batch pH 4.3", "batch pH 4.7", "plum Brix 14")
LINES = ("1/4 cup bottled lemon juice", "2 tbsp lime juice", "1/2 cup water", "2 tsp calcium-set pectin", "1/2 tsp citric acid")


def commands() -> Iterator[str]:
    """The commands, as typed after `jamcalc`."""
    yield from (f"batch '{fruit}' --sweetener '{sweetener}'" for fruit, sweetener in zip(FRUITS, itertools.cycle(SWEETENERS)))
    for (one, other), sweetener in zip(itertools.combinations(FRUITS[:9], 2), itertools.cycle(SWEETENERS)):
        yield f"batch '{one}' '{other}' --sweetener '{sweetener}'"
    for fruit, options in itertools.product(FRUITS[:5], OPTIONS):
        yield f"batch '{fruit}' --sweetener honey {options}"
    yield from (f"batch '3 lb plums' --sweetener honey --reading '{reading}'" for reading in READINGS)
    yield from (f"batch '3 lb plums' '1 lb pears' '{line}' --sweetener sugar" for line in LINES)
    yield from (f"batch '{fruit}' '{line}'" for fruit, line in itertools.product(FRUITS[4:7], LINES))
    for recipe in ("strawberry-agave", "strawberry-rhubarb", "peach-pineapple-spread", "refrigerated-apple-spread", "blackberry"):
        yield f"check {recipe}"
        yield f"check {recipe} --altitude '4300 ft' --jar pint"
        yield f"check {recipe} --found runny"
        yield f"scale {recipe} --times 1.5"
        yield f"scale {recipe} --times 4 --units metric"
        yield f"scale {recipe} --want '9 half-pints'"
    yield from (f"facts {item}" for item in ("plum", "honey", "'lemon juice'", "pint", "strawberry", "'citric acid'"))
    yield from ("recipes", "process --jar pint --altitude '6200 ft'", "process", "process --altitude '9000 ft'")


def answer(words: str) -> tuple[int, str]:
    """The exit code of a command and the JSON that it prints, on one line."""
    from jamcalc.cli.main import main

    printed = io.StringIO()
    with contextlib.redirect_stdout(printed), contextlib.redirect_stderr(io.StringIO()):
        code = main([*shlex.split(words), "--json"])
    try:
        return code, json.dumps(json.loads(printed.getvalue()), ensure_ascii=False)
    except ValueError:
        return code, json.dumps(printed.getvalue())


if __name__ == "__main__":
    os.environ["JAMCALC_KITCHEN"] = os.devnull
    for words in commands():
        print(f"jamcalc {words}", *answer(words), sep="\t", file=sys.__stdout__)
