"""Shelf or cold, and how much acid the shelf asks for: the whole rule, and nothing of it anywhere else.

    shelf             the high side of pH is 4.00 or lower, or a reading of the finished batch is 4.20 or lower;
                      every fruit and extra is fit; the jar is a pint or smaller, with a two-piece lid, and full; the
                      altitude has a published time; the sweetener stands the process; it is cooked, neither mostly
                      water nor a candy, and no reading is odd
    cold, to measure  the high side is over 4.00 and up to 4.60, the high pH of a fruit rests on memory or judgement,
                      or there are more than six kinds of fruit: not unsafe, not shown; a meter decides
    cold, because     the high side is over 4.60; any do-not-can fruit; a tested-only fruit in a calculated formula

pH is compared as it is reported, to two decimals. Screens and checking take its limits from here. Knows no chemistry.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from jamcalc import facts
from jamcalc.nouns.asked import Keeping, Storage
from jamcalc.nouns.known import Estimate, Fruit, Jar
from jamcalc.nouns.said import Finding
from jamcalc.nouns.written import Standing
from jamcalc.words.phrases import joined, one_jar, ph_tenths, sentence

# Each with its source in data/limits.toml.
SHELF_HIGH_SIDE_PH = facts.limit("shelf_high_side_ph").typical
SHELF_READING_PH = facts.limit("shelf_reading_ph").typical
WALL_PH = facts.limit("wall_ph").typical
MOST_LEMON_G_PER_KG = facts.limit("most_lemon_g_per_kg").typical
TASTE_PH = facts.limit("taste_ph").typical
MOST_TASTE_LEMON_G_PER_KG = facts.limit("most_taste_lemon_g_per_kg").typical
MOST_SOLIDS_PERCENT = facts.limit("most_solids_percent").typical
ROUNDING = 1e-6  # a dose at its limit is within it, but for what a search leaves
MOST_UNCERTAIN_FRUITS = round(facts.limit("most_uncertain_fruits").typical)
FULL_SUGAR_PERCENT = facts.limit("full_sugar_percent").typical
SHELF_HEADSPACE_MM = (facts.limit("shelf_headspace_mm").low, facts.limit("shelf_headspace_mm").high)

COLD_WEEKS = facts.limit("cold_weeks").typical
RULE_SOURCES = ("CFR-114",)
# What the high end of a fruit's pH may rest on; memory and judgement, and an end that says nothing, are not enough.
HELD_UP = frozenset({"seen", "within seen", "beyond seen", "computed", "borrowed"})


@dataclass(frozen=True, kw_only=True)
class Verdict:
    """How a batch may be kept, why, and whether that is less than was asked for."""

    storage: Storage
    keeping: Keeping
    findings: tuple[Finding, ...]  # each a reason to keep it cold
    refused: str | None
    notes: tuple[Finding, ...] = ()  # what to look at again; decides nothing


def cold_weeks(standing: Standing, own_weeks: float | None) -> float:
    """Weeks in the refrigerator: a tested recipe's own, else 3 or fewer; a file's word alone makes no jam keep longer."""
    if own_weeks is None:
        return COLD_WEEKS
    return own_weeks if standing == "tested" else min(own_weeks, COLD_WEEKS)


def barred(fruits: Sequence[Fruit], unfit_extras: Sequence[str], standing: Standing) -> tuple[Finding, ...]:
    """The fruits and extras that rule the shelf out, however little of them there is."""
    fit_extras = "dry spices (1/2 cup in all at most; pepper and chili a tablespoon, salt too), extracts, zest and up to 1/2 tsp of butter"
    findings = []
    for fruit in fruits:
        if fruit.fit.fitness == "do-not-can":
            text = f"{fruit.plural} must not be canned at low sugar: {fruit.fit.why}. {fruit.fit.instead}."
            findings.append(Finding(id="do-not-can", kind="never", text=sentence(text), sources=fruit.fit.sources))
        elif fruit.fit.fitness == "tested-only" and standing != "tested":
            text = f"{fruit.plural} go on a shelf only by a tested recipe as written: {fruit.fit.why}. {fruit.fit.instead}."
            findings.append(Finding(id="tested-only", kind="forbids", text=sentence(text), sources=fruit.fit.sources))
    for extra in unfit_extras:
        text = f"{extra}: only {fit_extras} may be carried along untested; with anything else the jam is kept cold."
        findings.append(Finding(id="unfit-extra", kind="forbids", text=sentence(text)))
    return tuple(findings)


def untimed(jar: Jar, printed_jars: Sequence[str], *, larger: bool, feet: str | None) -> Finding:
    """A tested recipe in a jar or at a height for which its source prints no time: none is made up.

    `printed_jars` are those that it prints, in the plural; `feet` is the band that is missing, None where it is the jar.
    """
    if feet is not None:
        text = f"The source of this tested recipe prints no time for {jar.plural} at {feet}, and none is made up: keep it refrigerated."
        return Finding(id="no-printed-time", kind="forbids", text=text)
    if larger:
        return Finding(
            id="larger-jar",
            kind="forbids",
            text=f"This recipe was tested in {joined(list(printed_jars))}: in {jar.plural} its time is not known.",
        )
    text = f"The source of this tested recipe prints no time for {jar.plural}, and none is made up: "
    text += f"use {joined(list(printed_jars))}." if printed_jars else "keep it refrigerated."
    return Finding(id="no-printed-time", kind="forbids", text=text)


def jar_bar(jar: Jar) -> Finding | None:
    """Why a jar is not for the shelf; None where it is."""
    if jar.size_class == "too large":
        return Finding(
            id="jar-too-large", kind="forbids", text="No jam time is published for a jar larger than a US pint: use half-pints or pints."
        )
    if jar.closure:
        text = (
            f"The published times are for canning jars with two-piece lids, not for a {jar.closure} jar: its lid neither vents nor shows "
            "that it has sealed. Use canning jars, or keep it cold."
        )
        return Finding(id="jar-closure", kind="bars", text=text)
    return None


def unfilled(full_jars: int, jar_name: str) -> tuple[Finding, ...]:
    """A batch that does not fill one jar: a part-filled jar holds more air than the process drives out."""
    if full_jars >= 1:
        return ()
    text = f"It may not fill one {one_jar(jar_name)}: a part-filled jar is not canned. Take a smaller jar, or keep it refrigerated."
    return (Finding(id="part-jar", kind="bars", text=text),)


def too_thick(solids_percent: float) -> tuple[Finding, ...]:
    """More dissolved in it than any jam holds: a syrup or a candy, for which no jam time was made and no pH of fruit holds."""
    if solids_percent <= MOST_SOLIDS_PERCENT:
        return ()
    text = (
        f"It would come out at about {solids_percent:.0f} % soluble solids; a full-sugar jam has 65 %. No jam time was made for that, "
        "and its acidity cannot be worked out: check the amounts."
    )
    return (Finding(id="too-thick", kind="bars", text=text),)


def unshown(fruits: Sequence[Fruit], uncertain_fruits: int) -> str | None:
    """Why tables alone cannot defend the high side of pH of these fruits, whatever it is; a reading of the batch can. None: they can.

    `fruits` are those whose pH nobody has read; `uncertain_fruits` counts the kinds not measured or not weighed.
    """
    weak = [fruit.plural for fruit in fruits if fruit.ph.high_grade not in HELD_UP]
    if weak:
        return f"How high the pH of {joined(list(dict.fromkeys(weak)))} may be is held from memory or judgement alone."
    if uncertain_fruits > MOST_UNCERTAIN_FRUITS:
        return f"There are {uncertain_fruits} kinds of fruit in it, more than tables can answer for together."
    return None


def time_raised(own_min: float, least_min: float) -> Finding:
    """A printed time of a full-sugar recipe under the shortest that is published for any jam."""
    text = f"{own_min:g} min is under the shortest time published for any jam: {least_min:g} min is taken, in sterile jars."
    return Finding(id="time-raised", kind="know", text=text)


def own_time_stands(sugars_percent: float) -> bool:
    """Whether a recipe that nobody here has tested may keep a printed time shorter than the table's.

    `sugars_percent` is what sugars alone make of the finished batch, at the low end of what they may be.
    """
    return sugars_percent >= FULL_SUGAR_PERCENT


def on_your_word(keep: Storage | None) -> Finding:
    """What is said of a file that calls itself tested and is not one of ours, unchanged."""
    judged = "kept cold, as it says itself" if keep == "cold" else "judged like any other: by its acidity, its jar and the table of times"
    text = (
        "Tested, on your word: the file says so, but only a recipe that comes with this program, unchanged or scaled by it, counts as "
        f"tested here. It is {judged}."
    )
    return Finding(id="tested-on-your-word", kind="know", text=text)


def refused(why: str) -> Verdict:
    """A recipe that must not be put up as written: cold, whatever else would have held."""
    return Verdict(storage="cold", keeping="weeks", findings=(), refused=why)


def unproven(*, hot_packed: bool, fruit_g: float, added_water_g: float, odd_readings: Sequence[str]) -> tuple[Finding, ...]:
    """What else keeps a formula off the shelf: the tables were made for cooked fruit, and for readings that can be so."""
    findings = []
    if not hot_packed:
        text = "It is not cooked: every published time is for jam that is filled boiling hot."
        findings.append(Finding(id="not-hot-packed", kind="bars", text=text))
    if added_water_g > fruit_g:
        text = "There is more water than fruit in it: its acidity is the water's as much as the fruit's, and that is not known."
        findings.append(Finding(id="thinned", kind="bars", text=text))
    for reading in odd_readings:
        text = f"{reading}: check the meter with its buffers, and the point in the number, and read again."
        findings.append(Finding(id="reading-odd", kind="bars", text=sentence(text)))
    return tuple(findings)


def meter_decides(reasons: Sequence[Finding]) -> bool:
    """Whether nothing but a pH that a meter may show to be low enough keeps a batch off the shelf; `reasons` are all that keep it off."""
    return bool(reasons) and all(reason.kind == "meter" for reason in reasons)


def second_look(reading_ph: float | None, above_ph: float | None) -> tuple[Finding, ...]:
    """A reading of the batch above the high side that was worked out for it, `above_ph`: it counts, but something is not as it was said."""
    if reading_ph is None or above_ph is None:
        return ()
    text = (
        f"The batch reads pH {reading_ph:.2f}, above all that was worked out for it (at most {above_ph:.2f}): check the meter with its "
        "buffers, stir, read again, and make sure that all of the acid went in."
    )
    return (Finding(id="reading-high", kind="know", text=text),)


def decide(
    *,
    high_side_ph: float,
    batch_reading_ph: float | None,
    typical_ph: float,
    bars: Sequence[Finding],
    unshown: str | None,
    jar_bar: Finding | None,
    altitude_refused: str | None,
    heat_shy_sweeteners: Sequence[str],
    asked: Storage | None,
    tested: Storage | None,
) -> Verdict:
    """Shelf or cold by the table at the top of this module.

    Parameters
    ----------
    high_side_ph : the cautious end of pH; batch_reading_ph : a meter's reading of the finished batch, or None
    bars : what `barred`, `unproven`, `untimed`, `unfilled` and `too_thick` found
    unshown, jar_bar : from the functions of that name; altitude_refused : why no published time exists there, or None
    heat_shy_sweeteners : names of sweeteners that do not stand the canner; asked : what the cook asked for
    tested : the storage of an unchanged tested recipe, whose own test counts for more than a worked out pH;
    typical_ph : the likeliest, asked of a tested recipe alone: no such recipe comes out mild
    """
    if tested == "cold":
        return Verdict(storage="cold", keeping="weeks", findings=(), refused=None)
    high = round(high_side_ph, 2)
    reading = None if batch_reading_ph is None else round(batch_reading_ph, 2)
    # A meter helps no barred fruit, no wrong jar, no height without a time, no sweetener that the canner spoils and no cold jam.
    meter_helps = not (bars or jar_bar or altitude_refused or heat_shy_sweeteners or asked == "cold")
    if reading is not None:
        of_ph = _as_read(reading, meter_helps)
    elif tested is not None:
        of_ph = _as_tested(typical_ph)
    else:
        of_ph = _as_worked_out(high, unshown, meter_helps)
    findings = (*bars, *of_ph, *_not_in_the_canner(jar_bar, altitude_refused, heat_shy_sweeteners))
    if not findings and asked != "cold":
        return Verdict(storage="shelf", keeping="shelf", findings=(), refused=None)
    keeping: Keeping = "days" if (high if reading is None else reading) > WALL_PH else "weeks"
    refused = None
    if asked != "cold":  # a jam asked for cold is not refused for want of a time
        refused = altitude_refused or (findings[0].text if asked == "shelf" else None)
    return Verdict(storage="cold", keeping=keeping, findings=findings, refused=refused)


def _as_read(reading: float, meter_helps: bool) -> tuple[Finding, ...]:
    """What a meter's reading of the finished batch says against the shelf."""
    if reading > WALL_PH:
        text = f"The batch reads pH {reading:.2f}, over {WALL_PH:.2f}: never for the shelf."
        return (Finding(id="ph-over-limit", kind="too mild", text=text, sources=RULE_SOURCES),)
    if reading > SHELF_READING_PH and meter_helps:
        text = f"The batch reads pH {reading:.2f}; the shelf asks for a reading of {SHELF_READING_PH:.2f} or lower."
        return (Finding(id="measure", kind="meter", text=text, sources=RULE_SOURCES),)
    return ()


def _as_tested(typical_ph: float) -> tuple[Finding, ...]:
    """What the likeliest pH says against a tested recipe: no such recipe comes out mild."""
    if typical_ph <= WALL_PH:
        return ()
    text = (
        f"By the tables this comes out near pH {typical_ph:.1f}, which no tested recipe does: "
        "compare it with its source, the acid above all."
    )
    return (Finding(id="ph-over-limit", kind="too mild", text=text, sources=RULE_SOURCES),)


def _as_worked_out(high: float, unshown: str | None, meter_helps: bool) -> tuple[Finding, ...]:
    """What the high side of pH says against the shelf, and what tables cannot show."""
    if high > WALL_PH:
        text = f"This mix may be as high as pH {_shown(high)}, over {WALL_PH:.2f}, where botulism can grow: not for the shelf."
        return (Finding(id="ph-over-limit", kind="too mild", text=text, sources=RULE_SOURCES),)
    if not meter_helps or not (high > SHELF_HIGH_SIDE_PH or unshown):
        return ()
    why = f"This mix may be as high as pH {_shown(high)}." if high > SHELF_HIGH_SIDE_PH else unshown
    above = f"above {SHELF_HIGH_SIDE_PH:.1f} only" if high > SHELF_HIGH_SIDE_PH else "only"
    text = (
        f"{why} It may well be acid enough, but that is not shown: {above} a calibrated meter on the cooled batch can show it. "
        f"At {SHELF_READING_PH:.2f} or lower bring it back to a full boil, fill it hot and can it."
    )
    return (Finding(id="measure", kind="meter", text=text, sources=RULE_SOURCES),)


def _shown(high: float) -> str:
    """The high side as the scale of the answer shows it, in tenths rounded up: tables know it no closer."""
    return f"{ph_tenths(Estimate(low=high, typical=high, high=high))[2] / 10:.1f}"


def _not_in_the_canner(jar_bar: Finding | None, altitude_refused: str | None, heat_shy: Sequence[str]) -> tuple[Finding, ...]:
    """What keeps jars out of the canner, whatever is in them."""
    findings = [] if jar_bar is None else [jar_bar]
    if altitude_refused:
        findings.append(Finding(id="altitude", kind="forbids", text=altitude_refused))
    for name in heat_shy:
        text = f"{name} loses its sweetness in the canner: stir it into cooled jam that is kept cold."
        findings.append(Finding(id="heat-shy-sweetener", kind="bars", text=sentence(text)))
    return tuple(findings)


def shelf_dose_g(high_side_g: float, government_g: float) -> float:
    """Bottled lemon juice for the shelf [g]: the larger of what brings the high side to 4.00 and a government dose."""
    return max(high_side_g, government_g)


def taste_dose_g(wanted_g: float, fruit_g: float) -> float:
    """Bottled lemon juice for set and taste alone [g]: at most 60 g per kg of fruit."""
    return min(wanted_g, most_taste_lemon_g(fruit_g))


def most_taste_lemon_g(fruit_g: float) -> float:
    """The most bottled lemon juice for set and taste [g]."""
    return MOST_TASTE_LEMON_G_PER_KG * fruit_g / 1000.0


def beyond_reach(lemon_g: float, fruit_g: float) -> bool:
    """Whether the shelf asks for more bottled lemon juice than a jam can bear: over 150 g per kg of fruit."""
    return lemon_g > MOST_LEMON_G_PER_KG * fruit_g / 1000.0 * (1.0 + ROUNDING)
