"""Torn and twisted recipe files: an answer or a list of problems, never another exception."""

from __future__ import annotations

import random
from pathlib import Path

from jamcalc.errors import JamcalcError
from jamcalc.reading import recipefile, recipetext

CASES = 2000
SHIPPED = [path.read_text() for path in sorted((Path(__file__).parents[2] / "recipes").glob("*.toml"))]
ODD = [*"\"'[]{}=#\\\n\t,.-+_0", "\x00", "\x1b[31m", "\u202e", "é", "½", "𝟛", "٣", "nan", "inf", "1e400", "0x", "9" * 400,
       '"""', "'''", "[[source]]", "[source]\n", "true", "2020-01-01", "1 cup ", "lb", "cups", "packet", "../", "[bold]", "\\u001b",
       "\\U0010FFFF", "\\uD800", "\ufeff",
       "ingredients = ", "yield = ", " pectin", "half-pints", "(", ")"]  # fmt: skip


def twisted(chance: random.Random) -> str:
    text = chance.choice(SHIPPED)
    for _ in range(chance.randint(1, 6)):
        at, width = chance.randrange(len(text) + 1), chance.choice((0, 1, 1, 3, 12, 80))
        what = chance.randrange(5)
        if what == 0:
            text = text[:at] + text[at + width :]
        elif what == 1:
            text = text[:at] + chance.choice(ODD) + text[at + width :]
        elif what == 2:
            text = text[:at] + text[at : at + width] * 2 + text[at + width :]
        elif what == 3:  # another value for some key
            lines = text.splitlines()
            number = chance.randrange(len(lines) or 1)
            if lines and "=" in lines[number]:
                lines[number] = lines[number].split("=")[0] + "= " + chance.choice(ODD)
            text = "\n".join(lines)
        else:
            other = chance.choice(SHIPPED)
            text = text[:at] + other[at : at + width * 5] + text[at:]
    return text


def test_two_thousand_twisted_files() -> None:
    chance = random.Random(20261125)
    read = refused = 0
    for _ in range(CASES):
        text = twisted(chance)
        try:
            recipe = recipefile.from_text(text, "my.toml")
        except JamcalcError as error:
            refused += 1
            for line in str(error).splitlines():
                assert line.startswith("my.toml: "), repr(text)
                assert line.isprintable(), repr(line)
                assert len(line) < 500, repr(line)
        else:
            read += 1
            assert recipefile.from_text(recipetext.write_text(recipe), "my.toml") == recipe, repr(text)
    assert read > 100  # the mutations are mild enough to reach the readers behind TOML
    assert refused > 100
