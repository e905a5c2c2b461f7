"""What stands on the card and the labels of one entry, in words; what is unknown becomes a blank.

Invents nothing and judges no process: the minutes are those of the answer.
"""

from __future__ import annotations

import datetime
import re
from fractions import Fraction

from jamcalc import facts
from jamcalc.errors import InputError
from jamcalc.formula import storage
from jamcalc.labels import claims, doing, legal_name, nutrition
from jamcalc.nouns.label import Card, CardRequest, Field
from jamcalc.nouns.outcome import BatchResult, Ingredient
from jamcalc.words.phrases import joined, plain, sentence

__all__ = ["Card", "CardRequest", "content", "read_date"]

BOILING_WATER = "boiling-water canner"
# Longest text that a card of 3 by 5 inches can carry legibly (judgement).
LONGEST = {"title": 200, "class_name": 40, "lot": 40, "date": 40, "exhibitor": 80, "jar": 40, "headspace": 30, "recipe": 240, "method": 40}
CALCIUM_IN_SALT = facts.limit("calcium_in_salt").typical
PECTIN_NAMES = {
    "calcium-set": "pectin",
    "standard": "standard pectin",
    "no-sugar": "no-sugar pectin",
    "freezer": "no-cook pectin",
    "liquid": "liquid pectin",
    "none": "pectin",
}
SET_NAMES = {**PECTIN_NAMES, "calcium-set": "calcium-set pectin"}
MONTHS = ("January", "February", "March", "April", "May", "June", "July", "August", "September", "October", "November", "December")


def content(result: BatchResult, request: CardRequest) -> Card:
    """The card of one entry.

    Parameters
    ----------
    result : the answer for the batch that was made
    request : what the maker adds: class, lot, date, and whatever overrides the answer

    Returns
    -------
    Card : `blanks` names what is unknown; `refused` says so where the request is strict

    Raises
    ------
    InputError : a text is too long for a card, or the date is not a full one
    """
    asked = {name: _short(name, getattr(request, name)) for name in LONGEST}
    cold = result.process is None
    title = asked["title"] or _short("title", result.title)
    day = _day(asked["date"]) if asked["date"] else None
    entries = [
        Field(key="class", label="class", value=asked["class_name"]),
        Field(key="lot", label="lot", value=asked["lot"]),
        Field(key="date", label="made" if cold else "processed", value=_in_words(day) if day else ""),
        *_process_fields(result, request, asked),
        Field(key="ingredients", label="ingredients", value=", ".join(_ingredient_names(result))),
        Field(key="set", label="set with", value=_set_with(result)),
        Field(key="recipe", label="recipe", value=asked["recipe"] or _recipe(result)),
    ]
    if asked["exhibitor"]:
        entries.append(Field(key="exhibitor", label="exhibitor", value=asked["exhibitor"]))
    blanks = tuple(f"date {entry.label}" if entry.key == "date" else entry.label for entry in entries if not entry.value)
    amounts = doing.amount_rows(result)
    return Card(
        title=title,
        sweetening=_sweetening(result),
        fields=tuple(entries),
        blanks=blanks,
        notes=_notes(result, request, title),
        keeping=_keeping(result),
        keeping_sealed="" if cold else facts.table("label")["keeping"]["sealed"],
        best_by=_best_by(result, day) if day else "",
        warnings=_warnings(result),
        amounts=amounts,
        method=doing.on_a_card(doing.worded_steps(result, amounts), _processed(entries)),
        makes=doing.makes(result),
        net_weight="" if request.net_weight_g is None else _net_weight(request.net_weight_g, result.batch.settings.units),
        metric=result.batch.settings.units == "metric",
        refused=f"The card lacks: {', '.join(blanks)}." if request.strict and blanks else None,
    )


def read_date(text: str) -> str:
    """A full date in words, "July 14, 2026", from 2026-07-14, 7/14/2026 (month first), July 14, 2026 or 14 July 2026.

    Raises
    ------
    InputError : not a full date, or no such day
    """
    return _in_words(_day(text))


def _in_words(day: datetime.date) -> str:
    return f"{MONTHS[day.month - 1]} {day.day}, {day.year}"


def _day(text: str) -> datetime.date:
    clean = plain(text)
    month_name = "|".join(f"{name[:3]}(?:{name[3:]})?" for name in MONTHS)
    for pattern in (
        r"(?P<year>\d{4})-(?P<month>\d{1,2})-(?P<day>\d{1,2})",
        r"(?P<month>\d{1,2})/(?P<day>\d{1,2})/(?P<year>\d{4})",
        rf"(?P<name>{month_name})\.? (?P<day>\d{{1,2}}),? (?P<year>\d{{4}})",
        rf"(?P<day>\d{{1,2}}) (?P<name>{month_name})\.? (?P<year>\d{{4}})",
    ):
        match = re.fullmatch(pattern, clean, re.ASCII | re.IGNORECASE)
        if match:
            parts = match.groupdict()
            month = int(parts["month"]) if "month" in parts else 1 + [name[:3].lower() for name in MONTHS].index(parts["name"][:3].lower())
            try:
                return datetime.date(int(parts["year"]), month, int(parts["day"]))
            except ValueError:
                break
    raise InputError(f'"{plain(text, 60)}" is no full date: write year, month and day, such as 2026-07-14')


# ---------------------------------------------------------------- the entries


def _sweetening(result: BatchResult) -> str:
    """What sweetens it, in one line: "sweetened with honey"."""
    of_lines = [name for part in result.batch.sweeteners for name in part.sweetener.label_name.split(", ")]
    names = list(dict.fromkeys([*of_lines, *legal_name.extras_that(result, "sweet")]))
    return f"sweetened with {joined(names)}" if names else "unsweetened"


def _best_by(result: BatchResult, day: datetime.date) -> str:
    """Until when it is at its best: the month a year on, where sealed; the last day of its weeks in the refrigerator; else nothing."""
    if result.process is not None:
        return f"{MONTHS[day.month - 1]} {day.year + 1}"
    if result.few_days:
        return ""  # a few days only
    return _in_words(day + datetime.timedelta(weeks=storage.cold_weeks(result.batch.standing, result.batch.keep_weeks)))


def _keeping(result: BatchResult) -> str:
    """How it keeps: once opened, or throughout where it is kept cold."""
    return f"Keep {_kept_cold(result)}" if result.process is None else str(facts.table("label")["keeping"]["opened"])


def _kept_cold(result: BatchResult) -> str:
    """Where it is kept cold and how long, never longer than the answer itself allows."""
    words: dict[str, str] = facts.table("label")["keeping"]
    batch = result.batch
    if result.few_days:
        return words["mild" if batch.freezes is not False else "mild_unfrozen"]
    frozen = words["unfrozen" if batch.freezes is False else "frozen"]
    return words["cold"].format(weeks=f"{storage.cold_weeks(batch.standing, batch.keep_weeks):g}", frozen=frozen)


def _process_fields(result: BatchResult, request: CardRequest, asked: dict[str, str]) -> list[Field]:
    """Method, minutes, altitude and jar as they were; no minutes where another altitude or jar would have asked for others."""
    metric = result.batch.settings.units == "metric"
    jar = Field(key="jar", label="jar", value=asked["jar"] or plain(result.yield_.jar))
    if result.process is None:
        return [Field(key="keep", label="keep", value=_kept_cold(result)), jar]
    altitude_ft = result.process.altitude_ft if request.altitude_ft is None else request.altitude_ft
    same = altitude_ft == result.process.altitude_ft and altitude_ft is not None and jar.value == plain(result.yield_.jar)
    altitude = "" if altitude_ft is None else f"{altitude_ft * 0.3048:,.0f} m" if metric else f"{altitude_ft:,.0f} ft"
    return [
        Field(key="method", label="method", value=asked["method"] or BOILING_WATER),
        *([Field(key="pack", label="pack", value="hot")] if _hot(result) else []),
        Field(key="time", label="time", value=f"{result.process.minutes} min" if same and _times_hold(asked["method"]) else ""),
        Field(key="altitude", label="altitude", value=altitude),
        jar,
        Field(key="headspace", label="headspace", value=asked["headspace"] or _headspace(result.yield_.headspace_mm, metric)),
    ]


def _hot(result: BatchResult) -> bool:
    return result.batch.settings.boil_min > 0.0 or result.batch.settings.simmer_min > 0.0


def _times_hold(method: str) -> bool:
    """Whether the minutes of boiling water are those of this method: boiling water itself, or a steam canner. References: NCHFP-STEAM"""
    return not method or (re.search(r"boiling|water.?bath|\bsteam", method, re.IGNORECASE) is not None and "pressure" not in method.lower())


def _processed(entries: list[Field]) -> str:
    """The last step of a recipe on a card: "Boiling-water canner, 20 min at 4,300 ft."."""
    said = {entry.key: entry.value for entry in entries}
    at = f" at {said['altitude']}" if said.get("altitude") else ""
    return f"{sentence(said.get('method', ''))}, {said.get('time') or 'the minutes for the altitude'}{at}."


def _headspace(mm: float, metric: bool) -> str:
    if metric:
        return f"{mm:.0f} mm"
    whole, part = divmod(Fraction(round(mm / 25.4 * 8), 8), 1)
    return " ".join([*([str(whole)] if whole else []), *([str(part)] if part else [])]) + " in"


def _ingredient_names(result: BatchResult) -> list[str]:
    """Names in falling order by weight as added, before cooking: the cook's own of a fruit, the common ones of the rest."""
    grams: dict[str, float] = {}
    fruits = iter(doing.fruit_names(result))
    for ingredient in result.ingredients:
        name = next(fruits, plain(ingredient.name)) if ingredient.role == "fruit" else _common_name(result, ingredient)
        # The water of the calcium water boils off again; the salt in it is what stays.
        added = result.calcium_water.calcium_mg / 1000 / CALCIUM_IN_SALT if ingredient.role == "calcium water" else ingredient.grams
        grams[name] = grams.get(name, 0.0) + added
    return sorted(grams, key=lambda name: -grams[name])


def _common_name(result: BatchResult, ingredient: Ingredient) -> str:
    if ingredient.role == "sweetener":
        sweetener = facts.sweetener(ingredient.item)
        # a blend stands under its own name, its parts in parentheses, as parts have no weights here: 101.4(b)(2)(i) (memory)
        return f"{sweetener.name} ({sweetener.label_name})" if ", " in sweetener.label_name else sweetener.label_name
    if ingredient.role == "other":
        return legal_name.extra_name(ingredient.name)
    if ingredient.role == "pectin":
        return PECTIN_NAMES[result.batch.pectin_kind]
    return "monocalcium phosphate" if ingredient.role == "calcium water" else plain(ingredient.name)


def _set_with(result: BatchResult) -> str:
    roles = {ingredient.role for ingredient in result.ingredients if ingredient.grams > 0}
    names = legal_name.extras_that(result, "sets")
    if "pectin" in roles:
        names = [SET_NAMES[result.batch.pectin_kind], *(["monocalcium phosphate"] if "calcium water" in roles else []), *names]
    return ", ".join(names) or "no added pectin"


def _recipe(result: BatchResult) -> str:
    source = _short("recipe", result.batch.source_text)
    if result.standing == "tested, on your word":
        return f"{source} (tested, on the maker's word)" if source else ""
    if result.standing != "calculated":
        return sentence(source)
    return f"own formula, after {source}" if source else "own formula"


def _warnings(result: BatchResult) -> tuple[str, ...]:
    names = " ".join(part.sweetener.label_name for part in result.batch.sweeteners).lower()
    cautions = {caution.id for caution in result.cautions}  # an extra may bring one too
    warnings = facts.table("label")["warnings"]
    return tuple(str(warning["text"]) for word, warning in warnings.items() if word in names or warning["caution"] in cautions)


def _net_weight(grams: float, units: str) -> str:
    ounces = f"{grams / 28.349523125:.1f} oz"
    return f"net weight about {grams:.0f} g" + ("" if units == "metric" else f" ({ounces})")


def _notes(result: BatchResult, request: CardRequest, title: str) -> tuple[str, ...]:
    """For the maker, beside the card: what a judge or an officer may ask."""
    words = facts.table("label")["notes"]
    notes = []
    if result.process is None:
        notes.append(words["cold_fair"])
        if result.batch.settings.own_process_min is not None:
            notes.append(words["no_time"])
    elif not request.altitude_ft and result.process.altitude_ft is None:
        notes.append("Minutes depend on the altitude: give it, and the time is printed.")
    if result.standing == "calculated" and not request.recipe:
        notes.append(words["own_formula"])
    if result.process is not None and not _times_hold(plain(request.method)):
        notes.append("The minutes hold for boiling water and steam canners, not for the method that you name: the time is left blank.")
    if re.search(r"\b(?:jam|jelly|preserves?)\b", title, re.IGNORECASE) and legal_name.name_by_law(result) == "fruit spread":
        notes.append(words["by_law"])
    review = claims.review(result, nutrition.panel(result), nutrition.reference_panel(result))
    for claim in claims.in_title(title, review):
        notes.append(f'The title says "{claim.name}", which does not hold: {claim.figure} ({claim.rule}).')
    # what a fruit of the cook's own name is read as
    notes += [finding.text for line in result.batch.lines if line.named for finding in line.findings if finding.id == "read-as"]
    if not request.exhibitor:
        notes.append(words["name"])
    return (*notes, words["binds"])


def _short(name: str, text: str) -> str:
    clean = plain(text)
    if len(clean) > LONGEST[name]:
        word = "name" if name == "exhibitor" else name.removesuffix("_name")
        raise InputError(f"{word} of {len(clean)} characters: a card holds {LONGEST[name]}; give a shorter one with --{word}")
    return clean
