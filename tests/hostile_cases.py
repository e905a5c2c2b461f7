"""The cases of hostile.py: command lines, batches of extremes, and files gone wrong, drawn at random from a seed."""

from __future__ import annotations

import random
from collections.abc import Callable
from dataclasses import dataclass, field
from pathlib import Path

from command_lines import BAD_LINES, BAD_OPTIONS, LIKELY, LINES, OPTIONS, VALUES

from jamcalc import facts
from jamcalc.cli.command_table import COMMANDS
from jamcalc.cli.options import Option

SHIPPED = [path.read_bytes() for path in sorted((Path(__file__).parents[1] / "recipes").glob("*.toml"))]
KITCHEN = b'altitude = "4300 ft"\nunits = "us"\npots = ["8 quart, 10 in across"]\njars = ["11 half-pints", "5 pints"]\nlids = 24\n'
JARS = list(facts.table("jars"))
NAMES = {kind: [str(names[0]) for names in facts.table("items")[kind].values()] for kind in ("fruit", "sweetener", "acid")}
FORMS = ("", "", "", "prepared ", "mashed ", "chopped ", "whole ", "frozen ")
ODD = ("\x00", "\x1b[31m", "\u202e", "\u200b", "\udcff", "\ufeff", "é", "½", "1½", "⅓", "٣", "𝟛", "🍓", "%s", "{0}", "$(id)", "`id`",
       "<script>", "&amp;", "]]>", "[bold]", "\\", '"', "'", "\n", "\r", "\t", "..", "/", "~", "*", ";", ",", "1e400", "-", "+", "#", "=",
       "0x10", "1_000", "1/0", "0/1", "9" * 400, "٫", "−", "¼ ½", "a" * 3000, " " * 500, "(" * 500, "NaN", "inf", "−1")  # fmt: skip
TEXTS = (*LINES, *BAD_LINES, *VALUES)
BAD_TOML = ("\"'[]{}=#\\\n\t,.-+_0\x00\x7f", "nan", "inf", "-0.0", "1e400", "9" * 400, "0x", '"""', "'''", "[[source]]", "[source]\n",
            "true", "2020-01-01", "1 cup ", "packet", "../", "\\u001b", "\\U0010FFFF", "\\uD800", "\ufeff", "ingredients = ", "yield = ",
            "half-pints", "(" * 200, "[" * 2000, "a." * 1500, "a={" * 800, "\n" * 3000, "#" * 5000, '"' * 2000,
            "standing = \"tested\"\n", "process_min = 1\n", "boil_min = 240\n", "jars = [", "altitude = ", "kitchen", "\r\r\n")  # fmt: skip


@dataclass(frozen=True, kw_only=True)
class Case:
    """One command: its words, what comes on standard input, and the files that lie about."""

    words: list[str]
    stdin: bytes = b'ingredients = ["3 lb plums"]\n'
    files: dict[str, bytes] = field(default_factory=dict)


# ---------------------------------------------------------------- command lines


def line(chance: random.Random) -> Case:
    """A command line: one that somebody might mean, with some of it spoiled, or pieces of everything in any order."""
    words = _meant(chance) if chance.random() < 0.7 else _pieces(chance)
    for _ in range(chance.choice((0, 0, 0, 1, 1, 2, 4))):
        at = chance.randrange(len(words))
        if at:
            words[at] = _spoiled(chance, words[at])
    if chance.random() < 0.1:
        words.insert(chance.randrange(1, len(words) + 1), chance.choice((*TEXTS, *OPTIONS)))
    return Case(words=words)


def _meant(chance: random.Random) -> list[str]:
    command = chance.choice(list(COMMANDS.values()))
    most = command.most if command.most is not None else 5
    words = [chance.choice(LIKELY.get(command.words, [""])) for _ in range(chance.randint(min(command.least, most), most))]
    for option in chance.sample(command.options, chance.randint(0, min(6, len(command.options)))):
        words += [f"{option.name}={_value(chance, option)}"] if option.value else [option.name]
    chance.shuffle(words)
    return [command.name, *words]


def _value(chance: random.Random, option: Option) -> str:
    good = [option.example.strip('"'), *option.allowed]
    return chance.choice(good) if chance.random() < 0.8 else chance.choice((*VALUES, *ODD, *(f"{n} {u}" for n in ("0", "1e9", "-3", "240")
                                                                            for u in ("", "min", "ft", "in", "pints"))))  # fmt: skip


def _pieces(chance: random.Random) -> list[str]:
    everything = (*TEXTS, *OPTIONS, *BAD_OPTIONS, *ODD)
    return [chance.choice([*COMMANDS, "frob", "", "help", "BATCH"]), *(chance.choice(everything) for _ in range(chance.randint(0, 7)))]


def _spoiled(chance: random.Random, word: str) -> str:
    at, wide = chance.randint(0, len(word)), chance.choice((0, 0, 1, 3))
    return word[:at] + chance.choice((chance.choice(ODD), word[at : at + 4] * 2, chr(chance.randrange(1, 0x2FFF)))) + word[at + wide :]


# ---------------------------------------------------------------- batches of extremes


def batch(chance: random.Random) -> Case:
    """A batch that can be read, of anything with anything, in any amount and with every option at its ends."""
    fruits = chance.sample(NAMES["fruit"], chance.choice((1, 1, 2, 3, 5)))
    lines = [_amount(chance, fruit, chance.choice(FORMS)) for fruit in fruits]
    if chance.random() < 0.5:
        lines.append(_amount(chance, "water"))
    for kind, often in (("sweetener", 0.5), ("acid", 0.3)):
        if chance.random() < often:
            lines.append(_amount(chance, chance.choice(NAMES[kind])))
    if chance.random() < 0.3:
        lines.append(_amount(chance, chance.choice(("calcium-set pectin", "standard pectin", "no-sugar pectin", "calcium water"))))
    words = ["batch", *lines]
    for option, values in _ends().items():
        if chance.random() < 0.12:
            words += [f"{option}={chance.choice(values)}"]
    if chance.random() < 0.25:
        words += [f"--on-hand={chance.randint(1, 60)} {facts.jar(jar).plural}" for jar in chance.sample(JARS, chance.choice((1, 2, 4, 12)))]
    if chance.random() < 0.3:
        words += [f"--reading={chance.choice([*fruits, 'batch'])} pH {chance.uniform(2.0, 7.5):.2f}"]
    words += chance.choice((["--json"], ["--json"], ["--working"], ["-o", "out.json"], ["-o", "out.toml"], []))
    return Case(words=words)


def _amount(chance: random.Random, item: str, form: str = "") -> str:
    """Mostly what a pot holds; else from a milligram to the most that may be written, or as a cook writes it."""
    if chance.random() < 0.15:
        unit = chance.choice(("cups", "pints", "quarts", "tbsp", "lb"))
        form = form if form in ("mashed ", "chopped ") or unit == "lb" else "mashed " if item in NAMES["fruit"] else ""
        return f"{chance.choice(('1/2', '1 1/2', '3', '12'))} {unit} {form}{item}"
    size = 10.0 ** (chance.uniform(-3, 4.6) if chance.random() < 0.2 else chance.uniform(1.0, 4.0))
    unit = "mL" if item == "calcium water" or item in NAMES["acid"] else "g"
    return f"{size:.{max(0, 4 - int(size > 1) * 4)}f} {unit} {form}{item}"


def _ends() -> dict[str, tuple[str, ...]]:
    return {
        "--sweetener": tuple(NAMES["sweetener"]), "--set": ("soft", "medium", "firm"), "--jar": tuple(facts.jar(jar).name for jar in JARS),
        "--want": ("1 half-pint", "500 pints", "0.1 pint", "3 quarts"),
        "--altitude": ("-1400 ft", "0 ft", "1001 ft", "10000 ft", "10001 ft", "8800 m"),
        "--store": ("shelf", "cold"), "--boil": ("0", "0.1", "60", "240", "600"), "--simmer": ("0", "45", "600"),
        "--headspace": ("1/8 in", "1 in", "2 in", "3 mm"), "--sweetness": ("0", "0.01", "16", "60", "150"),
        "--pectin-spoon": ("0.5", "3", "20"), "--calcium-spoon": ("3", "14.6", "500"), "--units": ("us", "metric"),
        "--title": ("[bold]x[/bold]", "<b>&", "x" * 200, "=1+1"),
    }  # fmt: skip


# ---------------------------------------------------------------- files gone wrong


def mutated_file(chance: random.Random) -> Case:
    """A recipe or a kitchen file that is torn, twisted or blown up, read by a command that reads such files."""
    if chance.random() < 0.35:
        words = chance.choice((["kitchen"], ["kitchen", "lids=3"], ["batch", "3 lb plums"], ["process", "--json"], ["kitchen", "--json"]))
        return Case(words=list(words), files={"kitchen.toml": _mutated(chance, KITCHEN)})
    text = _mutated(chance, chance.choice(SHIPPED))
    words = chance.choice((["check"], ["check", "--json"], ["scale", "--times=2"], ["scale", "--want=9 pints", "--json"],
                           ["card"], ["card", "-o", "out.html"]))  # fmt: skip
    if chance.random() < 0.15:
        return Case(words=[*words, "-"], stdin=text)
    return Case(words=[*words, "my.toml"], files={"my.toml": text})


def _mutated(chance: random.Random, text: bytes) -> bytes:
    for _ in range(chance.choice((0, 1, 1, 2, 3, 6))):
        at, wide = chance.randrange(len(text) + 1), chance.choice((0, 1, 1, 3, 12, 80, 600))
        odd = chance.choice(BAD_TOML)
        piece = (odd if chance.random() < 0.6 else chance.choice((*TEXTS, *ODD))).encode("utf-8", "surrogateescape")
        text = chance.choice((
            text[:at] + text[at + wide :],
            text[:at] + piece + text[at + wide :],
            text[:at] + text[at : at + wide] * 2 + text[at + wide :],
            text[:at] + chance.randbytes(wide) + text[at + wide :],
            _value_replaced(chance, text, piece),
            text[:at] + piece * chance.choice((2, 50, 1000)) + text[at:],
            _line_repeated(chance, text),
        ))  # fmt: skip
    return text[: 200 * 1024]


def _value_replaced(chance: random.Random, text: bytes, piece: bytes) -> bytes:
    lines = text.split(b"\n")
    at = chance.randrange(len(lines))
    if b"=" in lines[at]:
        lines[at] = lines[at].split(b"=")[0] + b"= " + chance.choice((piece, b'"' + piece + b'"', b"[" + piece + b"]"))
    return b"\n".join(lines)


def _line_repeated(chance: random.Random, text: bytes) -> bytes:
    lines = text.split(b"\n")
    at = chance.randrange(len(lines))
    return b"\n".join([*lines[:at], *[lines[at]] * chance.choice((2, 70, 3000)), *lines[at:]])


CASES: dict[str, Callable[[random.Random], Case]] = {"lines": line, "batches": batch, "files": mutated_file}
