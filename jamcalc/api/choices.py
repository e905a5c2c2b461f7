"""Options in words or numbers as Settings, each within its limits; and no option that is unknown or has nothing to work on.

None always means "not given": the kitchen file's, the recipe's or the usual one then holds.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from functools import partial, wraps
from types import FunctionType
from typing import ParamSpec, TypeVar, cast

from jamcalc import facts
from jamcalc.errors import BookError, InputError, JamcalcError, OptionError, UnknownItem, at_once
from jamcalc.nouns.asked import Batch, Firmness, Settings, Storage, UnitSystem
from jamcalc.nouns.said import Reading
from jamcalc.reading import lines, several
from jamcalc.reading.readings import jars_wanted, of_its_kind, read_reading
from jamcalc.words import quantities
from jamcalc.words.lists import either
from jamcalc.words.units import shown

Given = ParamSpec("Given")
Answer = TypeVar("Answer")

FIRMNESSES: tuple[Firmness, ...] = ("soft", "medium", "firm")
STORES: tuple[Storage, ...] = ("shelf", "cold")
UNIT_SYSTEMS: tuple[UnitSystem, ...] = ("us", "metric")
MOST_DRAWS = 100_000
LARGEST_SWEETNESS_PERCENT = 150.0  # full-sugar jam is about 120 g sugar per 100 g fruit
SPOON_G = (0.5, 20.0)
SPOON_MG = (3.0, 500.0)  # weaker than a fifth of the usual is hardly calcium water: to reach the need, it would drown the jam


def refuse_unknown(function: Callable[Given, Answer]) -> Callable[Given, Answer]:
    """The function as it is, but every problem of a call is told at once, and an option that it does not have is an OptionError."""
    plain = cast(FunctionType, function)
    options = tuple(plain.__kwdefaults__ or ())
    known = {*options, *plain.__code__.co_varnames[: plain.__code__.co_argcount]}

    @wraps(function)
    def call(*args: Given.args, **given: Given.kwargs) -> Answer:
        for name in given:
            if name not in known:
                raise OptionError(f'{plain.__name__} has no option "{shown(name)}": it takes {", ".join(options)}')
        words = [word for word in args[0] if isinstance(word, str)] if args and isinstance(args[0], (list, tuple)) else []
        return all_told(lambda: function(*args, **given), given, words)

    return call


def all_told(call: Callable[[], Answer], given: Mapping[str, object], words: Sequence[str] = ()) -> Answer:
    """What a call gives; where it cannot read something, every problem of these options and lines in one error, a line each.

    Parameters
    ----------
    call : what is to be done; given : options of an api call by their names, None where not given; words : ingredient lines

    Raises
    ------
    InputError, UnknownItem : of one problem the error itself, of several a RecipeError
    """
    try:
        return call()
    except (InputError, UnknownItem) as error:
        if isinstance(error, (OptionError, BookError)):
            raise
        raise at_once([error, *problems_of(given, words)]) from None


def problems_of(given: Mapping[str, object], words: Sequence[str] = ()) -> list[JamcalcError]:
    """What cannot be read of options and ingredient lines, each looked at by itself."""
    checks: list[Callable[[], object]] = []
    if words and given.get("want") is None and given.get("parts") is None:
        checks.append(lambda: several.read_lines(list(words)))
    one_setting: Callable[..., object] = settings_from  # each by its own name, of whatever type was given
    checks += [partial(one_setting, **{name: value}) for name, value in given.items() if name in SETTINGS and value is not None]
    checks.append(lambda: sweetener_key(cast("str | None", given.get("sweetener"))))
    checks += [partial(read_reading, said) for said in _said(given, "reading")]
    checks += [partial(jars_wanted, of_its_kind(said, "half-pint")) for said in _said(given, "want")]
    if on_hand := [of_its_kind(said, "half-pint") for said in _said(given, "on_hand")]:
        from jamcalc.kitchen import plan

        checks.append(lambda: plan.read_jars(on_hand))
    problems: list[JamcalcError] = []
    for check in checks:
        try:
            check()
        except (InputError, UnknownItem) as error:
            problems.append(error)
    return problems


def _said(given: Mapping[str, object], name: str) -> list[str]:
    value = given.get(name)
    return [said for said in (value if isinstance(value, (list, tuple)) else [value]) if isinstance(said, str)]


def refuse_idle(batch: Batch) -> None:
    """Raises OptionError for a sweetness that no sweetener can follow, since the cook gave the amount of each, or none."""
    percent = batch.settings.sweetness_percent
    if percent is not None and all(part.grams is not None for part in batch.sweeteners):
        raise OptionError(
            f"sweetness {percent:g} has no sweetener to work on: name one to be sized (--sweetener honey) instead of giving its amount"
        )


def settings_from(
    *,
    set: str | None = None,  # the option's own name
    jar: str | None = None,
    altitude: str | float | None = None,
    store: str | None = None,
    boil: str | float | None = None,
    simmer: str | float | None = None,
    headspace: str | float | None = None,
    units: str | None = None,
    sweetness: str | float | None = None,
    pectin_spoon: str | float | None = None,
    calcium_spoon: str | float | None = None,
    acid: str | None = None,
    draws: int | None = None,
) -> Settings:
    """Options in words, or numbers in [ft], [min], [mm], [%], [g] and [mg], as Settings.

    Raises
    ------
    InputError, UnknownItem : what cannot be read, or lies outside its limits
    """
    usual = Settings()
    return Settings(
        firmness=usual.firmness if set is None else one_of("set", set, FIRMNESSES),
        jar=usual.jar if jar is None else lines.read_item(text("jar", jar), ("jar",)).key,
        headspace_mm=usual.headspace_mm if headspace is None else _measure("headspace", headspace, "mm", quantities.read_headspace_mm),
        altitude_ft=None if altitude is None else _measure("altitude", altitude, "ft", quantities.read_altitude_ft),
        store=None if store is None else one_of("store", store, STORES),
        boil_min=usual.boil_min if boil is None else _measure("boil", boil, "min", quantities.read_minutes),
        simmer_min=usual.simmer_min if simmer is None else _measure("simmer", simmer, "min", quantities.read_minutes),
        units=usual.units if units is None else one_of("units", units, UNIT_SYSTEMS),
        sweetness_percent=None if sweetness is None else _within("sweetness", sweetness, 0.0, LARGEST_SWEETNESS_PERCENT, "16"),
        pectin_g_per_tsp=None if pectin_spoon is None else _within("pectin-spoon", pectin_spoon, *SPOON_G, "3.0"),
        calcium_water_mg_per_tsp=None if calcium_spoon is None else _within("calcium-spoon", calcium_spoon, *SPOON_MG, "14.6"),
        acid=usual.acid if acid is None else _acid(text("acid", acid)),
        draws=usual.draws if draws is None else _draws(draws),
    )


SETTINGS = tuple(cast(FunctionType, settings_from).__kwdefaults__ or ())


def readings_from(reading: str | Sequence[str] | None) -> tuple[Reading, ...]:
    """The cook's readings from one text, several, or none. Raises InputError for what cannot be read."""
    return tuple(read_reading(said) for said in texts("reading", reading))


def sweetener_key(name: str | None) -> str | None:
    """The key of a sweetener by any of its names. Raises UnknownItem where there is none."""
    return None if name is None else lines.read_item(text("sweetener", name), ("sweetener",)).key


Word = TypeVar("Word", bound=str)


def one_of(name: str, value: str, allowed: tuple[Word, ...]) -> Word:
    """The value of an option that has a few words to choose from. Raises InputError for any other."""
    for word in allowed:
        if value == word:
            return word
    raise InputError(f'{name} "{shown(str(value))}": write {either(allowed)}')


def text(name: str, value: object) -> str:
    """The text of an option. Raises InputError for what is none."""
    if not isinstance(value, str):
        raise InputError(f"{name} {shown(repr(value))} is no text: write it in quotes, as on the command line")
    return value


def texts(name: str, value: object) -> list[str]:
    """The texts of an option that takes one or several; none for None. Raises InputError for what is no text."""
    if value is None:
        return []
    if isinstance(value, str) or not isinstance(value, Sequence):
        return [text(name, value)]
    return [text(name, said) for said in value]


def _acid(name: str) -> str:
    """The key of an acid that a dose may be measured in."""
    from jamcalc.formula import swapping

    try:
        key = lines.read_item(name, ("acid",)).key
    except UnknownItem:
        key = ""
    if key not in swapping.ACIDS:
        names = either(tuple(f'"{facts.acidulant(acid).name}"' for acid in swapping.ACIDS))
        raise InputError(
            f'acid "{shown(name)}": write {names}; fresh juice differs too much, and of vinegar some boils away with the steam'
        )
    return key


def _draws(draws: object) -> int:
    if not isinstance(draws, int) or isinstance(draws, bool) or not 0 <= draws <= MOST_DRAWS:
        raise InputError(f"draws {shown(str(draws))}: write a whole number from 0 to {MOST_DRAWS}")
    return draws


def _is_number(value: object) -> bool:
    return isinstance(value, int | float) and not isinstance(value, bool)


def _measure(name: str, value: str | float, unit: str, read: Callable[[str], float]) -> float:
    """A length or time in words; a bare number goes through the same reader, so that it has the same limits."""
    return read(f"{value:.9f} {unit}" if _is_number(value) else text(name, value))


def _within(name: str, value: str | float, low: float, high: float, example: str) -> float:
    try:
        number = float(value if _is_number(value) else text(name, value))
    except ValueError as error:
        if isinstance(error, InputError):
            raise
        number = float("nan")
    if not low <= number <= high:
        raise InputError(f'{name} "{shown(str(value))}": write a number from {low:g} to {high:g}, such as {example}')
    return number
