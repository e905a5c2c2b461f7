"""Amounts as people say them, put into the words of the strict reader: "half a cup", "three pounds", "3#", "two 12-oz bags of".

Words into words: it knows no fruit and no weight, changes nothing but the amount at the start, and leaves what it does not know as
it stands.
"""

from __future__ import annotations

import re
from fractions import Fraction

_WORDS = {
    "a": 1, "an": 1, "one": 1, "two": 2, "three": 3, "four": 4, "five": 5, "six": 6, "seven": 7, "eight": 8, "nine": 9, "ten": 10,
    "eleven": 11, "twelve": 12, "fifteen": 15, "sixteen": 16, "eighteen": 18, "twenty": 20, "twenty-four": 24, "thirty": 30,
}  # fmt: skip
_PARTS = {"half": 2, "third": 3, "thirds": 3, "quarter": 4, "quarters": 4, "fourth": 4, "fourths": 4, "eighth": 8}
_NUMBER = r"(?:[0-9]{1,6}(?:[ -][0-9]{1,3}/[1-9][0-9]{0,2}|/[1-9][0-9]{0,2}|\.[0-9]{1,6})?|\.[0-9]{1,6})"
_WEIGHT = r"(?:oz|ounces?|lbs?|pounds?|g|grams?|kg)"
_HOLDERS = (
    r"(?:bags?|clamshells?|cartons?|punnets?|tubs?|containers?|packages?|packets?|packs?|pkgs?|boxe?s?|baskets?|bunch(?:es)?|pouch(?:es)?|"
    r"jars?|cans?|tins?)"
)

_ABOUT = re.compile(r"(?:(?:about|around|roughly|approximately|approx|exactly|just) |approx\. |~ ?)", re.IGNORECASE)
_FIRST_WORD = re.compile(r"([a-z]+(?:-four)?)(?= )", re.IGNORECASE)
_PART = re.compile(r"(?:(?:an?|one|1) )?(half|third|quarter|fourth|eighth)(?:-| of | )(?:an? )?", re.IGNORECASE)
_SOME_PARTS = re.compile(r"(two|three|2|3)[ -](thirds?|quarters?|fourths?)(?:-| of | )(?:an? )?", re.IGNORECASE)
_AND_A_PART = re.compile(rf"({_NUMBER}) and (?:an?|one|1)[ -](half|third|quarter|fourth|eighth)(?: of)? (?:an? )?", re.IGNORECASE)
_UNIT_AND_A_PART = re.compile(r"([0-9]{1,3}) ([a-z]+) and (?:an?|one|1) (half|third|quarter|fourth) ", re.IGNORECASE)
_COUPLE = re.compile(r"(?:a )?couple (?:of )?", re.IGNORECASE)
_OF_A = re.compile(rf"({_NUMBER}) (?:(?:of )?(?:an?|one)|of the) ", re.IGNORECASE)
_AND_A_FRACTION = re.compile(r"([0-9]{1,3}) and ([1-9]/[2-9]) ")
_DOZEN = re.compile(rf"(?:({_NUMBER}) )?(?:dozen|doz\.?)s?(?: of)? ", re.IGNORECASE)
_POUND_SIGN = re.compile(rf"({_NUMBER}) ?#(?:s(?= ))? ?(?:of )?")
_PACKED = re.compile(
    rf"(?:([0-9]{{1,3}})(?: ?x ?| ))?\(?({_NUMBER})[ -]?({_WEIGHT})\.?\)?[ -]?({_HOLDERS})(?: of)? ", re.IGNORECASE
)  # fmt: skip
# Not at the start, and not before a bag: that is the amount itself.
_ASIDE = re.compile(rf"(?<=[a-z]) \(((?:about |approx\.? |~ ?)?{_NUMBER} ?(?!x)[a-z][a-z .-]{{0,20}})\)(?! ?{_HOLDERS}\b) ?", re.IGNORECASE)

# All that a second measure may say besides words of the line itself: any other word ("about 8 white") may name another fruit.
_MEASURING = re.compile(
    rf"about|approx|or|so|each|in|all|total|of|whole|extra|small|medium|large|big|sized|fruits?|pieces?|{_WEIGHT}|kilograms?|"
    r"tsp|teaspoons?|tbsp|tablespoons?|fl|fluid|cups?|pints?|pt|quarts?|qt|ml|millilit(?:er|re)s?|l|lit(?:er|re)s?"
)


def plainly(line: str) -> str:
    """A tidy line with its amount in the words of the strict reader; as it stands where nothing of it is known.

    Parameters
    ----------
    line : one line of at most 120 characters, with single spaces
    """
    line = _ABOUT.sub("", line, count=1) if _ABOUT.match(line) else line
    if match := _COUPLE.match(line):
        line = f"2 {line[match.end() :]}"
    line = _parts(line)
    if (word := _FIRST_WORD.match(line)) and word[1].lower() in _WORDS:
        line = f"{_WORDS[word[1].lower()]}{line[word.end() :]}"
    if match := _AND_A_FRACTION.match(line):
        line = f"{match[1]} {match[2]} {line[match.end() :]}"
    elif match := _AND_A_PART.match(line):
        line = f"{_sum(match[1], match[2])} {line[match.end() :]}"
    elif match := _UNIT_AND_A_PART.match(line):
        rest = line[match.end() :]
        line = f"{_sum(match[1], match[3])} {match[2]} {rest[3:] if rest.lower().startswith('of ') else rest}"
    if match := _OF_A.match(line):
        line = f"{match[1]} {line[match.end() :]}"
    if match := _DOZEN.match(line):
        line = f"{_said(12 * _value(match[1] or '1'))} {line[match.end() :]}"
    if match := _POUND_SIGN.match(line):
        line = f"{match[1]} lb {line[match.end() :]}"
    if match := _PACKED.match(line):
        total = _value(match[2]) * int(match[1] or 1)
        canned = "canned " if match[4][:3].lower() in ("can", "tin") else ""
        line = f"{_said(total)} {match[3]} {canned}{line[match.end() :]}"
    return line


def aside(line: str) -> tuple[str, str]:
    """A line without the second measure in brackets, and that measure: "4 cups mashed plums (about 2 lb)"; "" where there is none."""
    match = _ASIDE.search(line)
    if match is None:
        return line, ""
    short = f"{line[: match.start()]} {line[match.end() :]}".strip()
    said, known = (re.findall(r"[a-z]+", text.lower()) for text in (match[1], short))
    ours = {word + ending for word in known for ending in ("", "s", "es")}  # "lemon juice (2 lemons)"
    return (short, match[1]) if all(word in ours or _MEASURING.fullmatch(word) for word in said) else (line, "")


def _parts(line: str) -> str:
    """ "half a cup" and "three quarters of a cup" with the fraction in figures."""
    if match := _SOME_PARTS.match(line):
        top = _WORDS.get(match[1].lower(), match[1])
        return f"{top}/{_PARTS[match[2].lower()]} {line[match.end() :]}"
    if match := _PART.match(line):
        return f"1/{_PARTS[match[1].lower()]} {line[match.end() :]}"
    return line


def _value(number: str) -> Fraction:
    whole, _, part = number.replace("-", " ").rpartition(" ")
    top, _, bottom = part.partition("/")
    fraction = Fraction(top) / Fraction(bottom or 1)
    return (Fraction(whole) if whole else Fraction(0)) + fraction


def _sum(number: str, part: str) -> str:
    return _said(_value(number) + Fraction(1, _PARTS[part.lower()]))


def _said(value: Fraction) -> str:
    """A number that the strict reader reads back: whole, with a fraction, or with a point."""
    whole, rest = divmod(value, 1)
    if not rest:
        return str(whole)
    if rest.denominator <= 100:
        return f"{whole} {rest}" if whole else str(rest)
    return f"{float(value):.10g}"
