"""What a printed recipe says besides its ingredients: headings, yield, minutes, headspace, how it is kept, where it is from.

Each finder takes one row or sentence and answers with what is plainly said, or None. Two that differ are for reader to ask about.
"""

from __future__ import annotations

import re
from functools import lru_cache

from jamcalc import facts
from jamcalc.errors import InputError, JamcalcError
from jamcalc.nouns.written import StatedYield
from jamcalc.reading.recipefile import MOST_PROCESS_MINUTES, stated_yield
from jamcalc.words.quantities import read_headspace_mm, read_minutes
from jamcalc.words.spoken import plainly
from jamcalc.words.units import shown

LONGEST_YIELD = 60  # characters, as in a recipe file
LONGEST_STEP = 1000  # likewise
PARTS = ("ingredients", "steps", "notes")
_WORD = re.compile(r"\b[a-z]{3,8}\b(?:-(?=[a-z]))?", re.IGNORECASE)
_SENTENCE = re.compile(r"(?<=[a-z)0-9]{2})[.!?;]+(?:\s+|$)|(?<=[a-z]\")[.!?;]+(?:\s+|$)", re.IGNORECASE)
_MINUTES = re.compile(
    r"([0-9]{1,3}(?: [0-9]/[0-9]|\.[0-9])?)(?: ?(?:-|to|or|\u2013) ?([0-9]{1,3}))?[ -]?(?:min(?:ute)?s?\b|')", re.IGNORECASE
)
_PROCESS = re.compile(
    r"\bprocess(?:ed|ing)?\b|\bwater[- ]?bath(?:ed|ing)?\b|\bin (?:a|the|your) (?:hot |boiling[- ]?)?(?:water )?canner\b|\bcan for\b"
    r"|\bboil (?:the )?(?:filled |sealed |closed )?jars\b",
    re.IGNORECASE,
)  # fmt: skip
_OF_JARS = re.compile(r"steriliz|sterilis|preheat|wash|warm|empty jars|keep (?:them |the jars )?hot|before filling|to heat", re.IGNORECASE)
_EMPTY_JARS = re.compile(r"steriliz|sterilis|preheat|warm", re.IGNORECASE)
_ASIDE = re.compile(r"\b(?:add|wait|rest|cool|let|stand|after|another|plus|remove|extra|turn off|more|elevation|altitude)\b", re.IGNORECASE)
_HIGHER = re.compile(r"[0-9] ?(?:ft|feet|m|meters?)\b|altitude|elevation|sea level", re.IGNORECASE)
_LOWEST = re.compile(r"(?:\b0|sea level)\s*(?:-|to|\u2013)\s*1,?000|below 1,?000|under 1,?000|up to 1,?000|at sea level", re.IGNORECASE)
_DEPTH = r"([0-9]+(?:[ -][0-9]+/[0-9]+|/[0-9]+|\.[0-9]+)?|\.[0-9]+)[ -]?(inch(?:es)?|in\b\.?|\"|mm|cm)"
_HEADSPACE = re.compile(
    rf"{_DEPTH}(?: of)? head[ -]?(?:space|room)|head[ -]?(?:space|room)(?: of| is|:)? (?:about )?{_DEPTH}", re.IGNORECASE
)
_JARS = re.compile(
    r"\b(half[- ]pint|pint|quart|(?:8|16|32)[- ]?(?:oz|ounce)|liter|litre)[- ](?:[a-z]+ ){0,2}jars?\b", re.IGNORECASE
)  # fmt: skip
_SIZES = {"8 oz": "half-pint", "8 ounce": "half-pint", "16 oz": "pint", "16 ounce": "pint", "32 oz": "quart", "32 ounce": "quart",
          "liter": "quart", "litre": "quart", "half pint": "half-pint"}  # fmt: skip
_BOIL = re.compile(
    r"\bboil\w*\b([^.;0-9]{0,60}?)([0-9]{1,2}(?: [0-9]/[0-9]|\.[0-9])?)( ?(?:-|to|or|\u2013) ?[0-9]+)?[ -]?min", re.IGNORECASE
)
_NOT_THE_POT = re.compile(r"\b(?:jars?|lids?|canner|process\w*|bath|bands?|gently|simmer\w*|sterili\w*)\b", re.IGNORECASE)
_COLD = re.compile(
    r"\b(?:keeps?|kept|store[ds]?|refrigerate|freeze|put|place|goes?)\b.{0,60}\b(?:refrigerator|fridge|freezer|refrigerated|frozen)\b"
    r"|^(?:cover and |seal and |then |or |cool and )*(?:refrigerate|freeze)\b|\b(?:then|and) (?:refrigerate|freeze)\b(?! overnight)",
    re.IGNORECASE,
)  # fmt: skip
_NOT_TO_KEEP = re.compile(
    r"after opening|once opened|opened|open(?:ed)? jars?|seal(?:ed|ing)?\b|plate|spoon|saucer|overnight|until (?:firm|set|cold)"
    r"|hour|test|berries|fruit",
    re.IGNORECASE,
)
_COLD_TITLE = re.compile(r"\b(?:freezer|refrigerator|fridge|icebox)\b", re.IGNORECASE)
_YIELD = re.compile(r"(?:this |the |recipe |it )*(?:makes?|yields?|yielding)\b(?: is)?\s*[:=\u2013-]?\s*(.+)", re.IGNORECASE)
_HEDGES = re.compile(r"\b(?:about|approximately|approx\.?|around|roughly|up to|~)\s*", re.IGNORECASE)
_FROM = re.compile(r"(?:recipe |adapted |slightly adapted |inspired )(?:from|by) (.+)|courtesy of (.+)|from (.+)", re.IGNORECASE)
_LABEL = re.compile(r"([a-z][a-z' ]{1,30}?)(?: ?\(.{0,60}\))? ?:(?: (.*))?$", re.IGNORECASE)


@lru_cache(maxsize=4096)
def _figure(word: str) -> str:
    """A number word, or "half-", in figures; any other word as it stands."""
    plain = plainly(f"{word}x" if word.endswith("-") else f"{word} x")
    number = plain.removesuffix("x").strip()
    return number if number[:1].isdigit() else word


def in_figures(text: str) -> str:
    """The text with its number words in figures: "boil one minute", "a half-inch headspace"; jars by their names stay."""

    def put(match: re.Match[str]) -> str:
        word = match[0]
        if word.lower().startswith(("half", "quarter")) and re.match(r"[- ]?(?:pint|litre|liter)", text[match.end() :], re.IGNORECASE):
            return word
        number = _figure(word.lower())
        return number + (" " if number != word.lower() and word.endswith("-") else "") if number != word.lower() else word

    return _WORD.sub(put, text)


def sentences(text: str) -> list[str]:
    """A paragraph in its sentences; "in." may end one, which harms nothing."""
    text = re.sub(r"\b(mins?|hrs?)\.(?= [a-z0-9])", r"\1", text)
    return [part.strip() for part in _SENTENCE.split(text) if part and part.strip()]


def heading(text: str) -> tuple[str, str] | None:
    """The part of the recipe that a row opens, and what stands behind its colon; None for a row that is no heading.

    Parts: ingredients, steps, notes; title, source, yield with what is said.
    """
    lists = facts.table("pasted")["headings"]
    plain = " ".join(re.sub(r"\(.{0,60}\)", "", text).lower().strip(" :*=-_~#").split())
    part_of_recipe = next((part for part in PARTS if plain in lists[part]), None)
    aside = re.search(r"\((.{0,60})\)", text)
    if part_of_recipe:
        return part_of_recipe, aside[1] if aside else ""
    if (label := _LABEL.match(text)) and (rest := label[2]):
        name = " ".join(label[1].lower().split())
        for part in (*PARTS, "title", "source", "yield"):
            if name in lists[part]:
                return part, rest
    return None


def is_subheading(text: str) -> bool:
    """Whether a row names a part of the ingredients: "For the jam:"."""
    words = facts.table("pasted")["words"]
    match = re.fullmatch(r"for (?:the )?([a-z ]{2,30}):?", text, re.IGNORECASE)
    return bool(match) and all(word in (*words["kinds"], *words["content"], "pectin", "sugar") for word in match[1].lower().split())  # type: ignore[index]


def yields(text: str) -> str:
    """What a row or sentence says it makes, or ""."""
    match = _YIELD.fullmatch(text.strip(" .()"))
    return match[1].strip() if match else ""


def read_yield(text: str) -> StatedYield | None:
    """Jars from "about 5 half pint jars"; None where they are no jars of a known size."""
    plain = " ".join(_HEDGES.sub("", in_figures(text)).split())
    for aside in (r"\(.{0,40}?\)", r"[()]"):  # a second measure in brackets; or the jar itself
        bare = re.split(r" (?:of|with|plus|in|from|worth)\b|, ", " ".join(re.sub(aside, " ", plain).split()).strip(" ."))[0]
        for form in (bare, re.sub(r"\s*(?:mason|jelly|canning|glass)\b", "", bare)):
            try:
                return stated_yield(form) if len(form) <= LONGEST_YIELD else None
            except JamcalcError:
                continue
    return None


def process_minutes(sentence: str) -> list[float]:
    """The minutes in boiling water that a sentence names, for the lowest band where it names several. Raises InputError: pressure."""
    match = _PROCESS.search(sentence)
    if match is None:
        return []
    if re.search(r"pressure|psi\b", sentence, re.IGNORECASE):
        raise InputError("minutes in a pressure canner are not read: write the minutes in boiling water, or take the row out")
    plain = in_figures(sentence)
    start = (_PROCESS.search(plain) or match).start()
    if _EMPTY_JARS.search(plain[:start]) and "process" not in plain.lower():
        return []
    times: list[float] = []
    lowest: list[float] = []
    for clause in re.split(r"(?<![0-9]),|,(?![0-9]{3})|[;()]| and | then |\u2014", plain[start:]):
        for minutes in _MINUTES.finditer(clause):
            if _OF_JARS.search(clause) or (times and _ASIDE.search(clause)):
                continue
            if minutes[2]:
                raise InputError(f'"{shown(minutes[0])}" is a range: write the minutes for 0 to 1,000 ft, such as "process 10 minutes"')
            value = read_minutes(minutes[1])
            if not 1 <= value <= MOST_PROCESS_MINUTES:
                raise InputError(f'"{shown(minutes[0])}" is no time in a canner: write minutes, such as "process 10 minutes"')
            if _LOWEST.search(clause):
                lowest.append(value)
            elif times and _HIGHER.search(clause):
                continue
            times.append(value)
    if not times and (before := re.search(rf"{_MINUTES.pattern}[^,.;0-9]{{0,25}}$", plain[:start], re.IGNORECASE)) and not before[2]:
        times.append(read_minutes(before[1]))  # "10 minute water bath"
    if not times and re.search(r"[0-9] ?(?:hours?|hrs?)\b", plain):
        raise InputError('hours in a canner are not read: write minutes, such as "process 10 minutes"')
    return lowest or list(dict.fromkeys(times))


def headspaces(sentence: str) -> list[float]:
    """[mm] each headspace that a sentence names."""
    headspaces_mm = []
    for depth in _HEADSPACE.finditer(in_figures(sentence)):
        number, unit = (depth[1], depth[2]) if depth[1] else (depth[3], depth[4])
        try:
            headspaces_mm.append(read_headspace_mm(f"{number} {unit.rstrip('.')}"))
        except InputError as error:
            raise InputError(str(error)) from None
    return headspaces_mm


def jar_sizes(text: str) -> list[str]:
    """half-pint, pint or quart, for each jar of that size that a row speaks of."""
    sizes = [" ".join(size.lower().replace("-", " ").split()) for size in _JARS.findall(text)]
    return [_SIZES.get(size, size.replace(" ", "-")) for size in sizes]


def is_own_way(text: str) -> bool:
    """Whether a row closes jars with paraffin, in an oven, upside down: any way but in boiling water."""
    return any(re.search(rf"\b{way}", text.lower()) for way in facts.table("pasted")["words"]["own_way"])


def boils(sentence: str) -> list[float | None]:
    """[min] each boil of the pot that a sentence names; None for one that is no plain number."""
    if _NOT_THE_POT.search(sentence):
        return []
    return [None if match[3] else read_minutes(match[2]) for match in _BOIL.finditer(in_figures(sentence))]


def says_how(text: str) -> bool:
    """Whether a row speaks of the canner, of headspace or of the cold, and so is none of the ingredients."""
    return bool(_PROCESS.search(text) or _HEADSPACE.search(in_figures(text))) or kept_cold(text)


def kept_cold(sentence: str) -> bool:
    """Whether a sentence plainly says to keep the jars in the refrigerator or the freezer."""
    return bool(_COLD.search(sentence)) and not _NOT_TO_KEEP.search(sentence)


def cold_by_name(title: str) -> bool:
    """Whether a title says so: freezer jam, refrigerator jam."""
    return bool(_COLD_TITLE.search(title))


def source(text: str) -> str:
    """Whose recipe a row says it is, or ""."""
    match = _FROM.fullmatch(text.strip(" ."))
    return next((group for group in match.groups() if group), "").strip() if match else ""


def kind(title: str) -> str:
    """jam, jelly, butter or spread, by the last such word of the title."""
    kinds = re.findall(r"\b(jam|jelly|butter|spread)s?\b", title.lower())
    return kinds[-1] if kinds else "jam"


def pieces(text: str) -> list[str]:
    """A step in pieces of at most its length, parted between sentences."""
    parts = [""]
    for sentence in re.split(r"(?<=[.!?])\s+", text):
        for piece in [sentence[at : at + LONGEST_STEP] for at in range(0, len(sentence), LONGEST_STEP)]:
            if len(parts[-1]) + len(piece) + 1 > LONGEST_STEP:
                parts.append(piece)
            else:
                parts[-1] = f"{parts[-1]} {piece}".strip()
    return parts
