"""From lines and options to a batch: what each line weighs, which reading belongs to which fruit, what clashes.

No chemistry; every clash is one InputError that says what to write instead.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from jamcalc import facts
from jamcalc.chemistry import setting
from jamcalc.errors import InputError
from jamcalc.nouns.asked import AcidPart, Batch, FruitPart, Settings, SweetenerPart
from jamcalc.nouns.known import Figure, Sweetener
from jamcalc.nouns.said import Line, Reading, Role
from jamcalc.words.measures import CUP_ML, TSP_ML
from jamcalc.words.phrases import plural

WATER_G_PER_ML = 0.998  # at 20 degC
READABLE_PH = (1.5, 7.5)  # a fruit or a batch that reads outside this was not measured (judgement)
MOST_DRY_ACID = facts.limit("most_dry_acid_fraction").typical
MOST_WATER_OF_POWDER_PERCENT = 20.0  # citric acid, against the juices and vinegar

# One rule for each form: what a cup of it weighs, by the fruit's own figure.
CUP_WEIGHT = {"mashed": "mashed_g_per_cup", "chopped": "chopped_g_per_cup", "whole": "whole_g_per_cup", "juice": "mashed_g_per_cup"}


def fruit_part(line: Line) -> FruitPart:
    """A fruit line in grams, as bought and ready for the pot."""
    part = _fruit_part(line)
    if line.amount.grams is not None and line.amount.light_g is not None and line.amount.heavy_g is not None:
        part = replace(part, light_times=line.amount.light_g / line.amount.grams, heavy_times=line.amount.heavy_g / line.amount.grams)
    if line.named in ("", part.fruit.name):
        return part
    return replace(part, named=(line.named, line.named if part.fruit.kind == "juice" else plural(line.named)))


def _fruit_part(line: Line) -> FruitPart:
    fruit = facts.fruit(line.item)
    kept = 1.0 - fruit.refuse_percent.typical / 100.0
    if line.amount.grams is not None:
        if line.form == "as bought":
            return FruitPart(fruit=fruit, as_bought_g=line.amount.grams, grams=line.amount.grams * kept, form=line.form)
        bought = line.amount.grams if line.form == "frozen" else line.amount.grams / kept  # frozen fruit is bought ready for the pot
        return FruitPart(fruit=fruit, as_bought_g=bought, grams=line.amount.grams, form=line.form)
    form = "juice" if fruit.kind == "juice" else line.form
    if line.amount.ml is None or form not in CUP_WEIGHT:
        raise InputError(
            f'"{line.text}": a volume of fruit needs a form, since whole berries fill half again the space of mashed ones: '
            f'write "{line.amount.text} mashed {fruit.plural}", chopped or whole, or a weight'
        )
    per_cup: Figure | None = getattr(fruit, CUP_WEIGHT[form])
    if per_cup is None:
        raise InputError(f'"{line.text}": no cup weight is known for whole {fruit.plural}: write a weight, or mashed or chopped')
    grams = line.amount.ml / CUP_ML * per_cup.typical
    said = line.amount.text if form == "juice" else f"{line.amount.text} {form}"
    return FruitPart(fruit=fruit, as_bought_g=grams / kept, grams=grams, form=line.form, said=said)


def sweetener_grams(line: Line, sweetener: Sweetener) -> float:
    """What a sweetener line weighs; spoons and cups by the sweetener's own figures."""
    if line.amount.grams is not None:
        return line.amount.grams
    if line.amount.ml is not None and sweetener.g_per_cup is not None:
        return line.amount.ml / CUP_ML * sweetener.g_per_cup.typical
    if line.amount.ml is not None and sweetener.g_per_tsp is not None:
        return line.amount.ml / TSP_ML * sweetener.g_per_tsp.typical
    raise InputError(f'"{line.text}": {sweetener.name} must be weighed: write grams')


def pectin_grams(line: Line, g_per_tsp: float | None) -> float:
    """What a pectin line weighs: calcium-set powder by the cook's own spoon, a packet or pouch by what it holds."""
    if line.amount.grams is not None:
        return line.amount.grams
    if line.amount.ml is None:
        raise InputError(f'"{line.text}": write pectin in teaspoons or grams')
    if line.item == "liquid":
        return line.amount.ml  # mostly water
    return line.amount.ml / TSP_ML * setting.pectin_g_per_tsp(g_per_tsp)


@dataclass(frozen=True, kw_only=True)
class PotLines:
    """The lines of one pot sorted by role; at most one pectin and one calcium-water line."""

    lines: tuple[Line, ...]

    def of(self, role: Role) -> tuple[Line, ...]:
        return tuple(line for line in self.lines if line.role == role)

    def one(self, role: Role) -> Line | None:
        lines = self.of(role)
        if len(lines) > 1:
            raise InputError(f'"{lines[1].text}": {role} is named twice; write it once')
        return lines[0] if lines else None


def put_together(
    lines: Sequence[Line],
    settings: Settings,
    *,
    sweetener: str | None = None,
    readings: Sequence[Reading] = (),
    title: str = "",
) -> Batch:
    """A batch from its lines, the key of a sweetener to be sized (or None), and the cook's own readings.

    Raises InputError where lines, name and readings clash, or where there is no fruit.
    """
    pot = PotLines(lines=tuple(lines))
    by_item = _by_item(readings)
    fruits = tuple(_with_reading(fruit_part(line), by_item) for line in pot.of("fruit"))
    if not fruits:
        raise InputError('no fruit in the batch: write a line such as "3 lb plums"')
    strangers = sorted(set(by_item) - {part.fruit.key for part in fruits} - {"batch"})
    if strangers:
        names = ", ".join(part.fruit.name for part in fruits)
        raise InputError(f"a reading of {_spoken(strangers[0])}, which is not in the batch: name one of {names}")
    pectin, calcium_water = pot.one("pectin"), pot.one("calcium water")
    pectin_kind = pectin.item if pectin is not None else "calcium-set"
    acids = tuple(_acid_part(line) for line in pot.of("acid"))
    _check_dry_acid(acids, fruits)
    batch_reading = by_item.get("batch")
    return Batch(
        fruits=fruits,
        sweeteners=_sweeteners(pot.of("sweetener"), sweetener),
        acids=acids,
        water_g=sum(_water_g(line) for line in pot.of("liquid")),
        pectin_g=None if pectin is None else pectin_grams(pectin, settings.pectin_g_per_tsp),
        pectin_kind=pectin_kind,  # type: ignore[arg-type]
        calcium_water_ml=None if calcium_water is None else _milliliters(calcium_water),
        lines=pot.lines,
        settings=settings if batch_reading is None else _with_batch_ph(settings, batch_reading),
        title=title,
        findings=tuple(finding for line in pot.lines for finding in line.findings),
    )


def _with_batch_ph(settings: Settings, reading: Reading) -> Settings:
    if reading.ph is None:
        raise InputError('a reading of the batch is its pH: write "batch pH 3.9"')
    return replace(settings, batch_ph=reading.ph)


def _by_item(readings: Sequence[Reading]) -> dict[str, Reading]:
    by_item: dict[str, Reading] = {}
    for reading in readings:
        if reading.item in by_item:
            raise InputError(f'two readings of {_spoken(reading.item)}: put them in one, such as "plum pH 3.4 TA 1.2"')
        low, high = READABLE_PH
        if reading.ph is not None and not low <= reading.ph <= high:
            thing = "jam" if reading.item == "batch" else "fruit"
            raise InputError(f"pH {reading.ph:g} for {_spoken(reading.item)}: no {thing} reads under {low} or over {high}; check the meter")
        by_item[reading.item] = reading
    return by_item


def _spoken(key: str) -> str:
    return key.replace("_", " ")


def _with_reading(part: FruitPart, by_item: dict[str, Reading]) -> FruitPart:
    reading = by_item.get(part.fruit.key)
    if reading is None:
        return part
    return replace(part, reading=reading)


def _sweeteners(lines: Sequence[Line], key: str | None) -> tuple[SweetenerPart, ...]:
    parts = []
    for line in lines:
        sweetener = facts.sweetener(line.item)
        parts.append(SweetenerPart(sweetener=sweetener, grams=sweetener_grams(line, sweetener), ml=line.amount.ml, said=line.amount.text))
    if key is not None:
        sized = facts.sweetener(key)
        for line in lines:
            if line.item == sized.key:
                raise InputError(
                    f'"{line.text}" and --sweetener {sized.name} are the same sweetener: '
                    "give the line, or the name to have it sized, not both"
                )
        if sized.key != "none":
            parts.append(SweetenerPart(sweetener=sized, grams=None))
    return tuple(part for part in parts if part.sweetener.key != "none")


def _acid_part(line: Line) -> AcidPart:
    acidulant = facts.acidulant(line.item)
    grams = line.amount.grams if line.amount.grams is not None else _milliliters(line) * acidulant.g_per_ml.typical
    return AcidPart(acidulant=acidulant, grams=grams, ml=line.amount.ml, said=line.amount.text)


def _check_dry_acid(acids: Sequence[AcidPart], fruits: Sequence[FruitPart]) -> None:
    """Refuse a slip of the finger that no formula of acidity holds for."""
    dry = [part for part in acids if part.acidulant.water_percent.typical < MOST_WATER_OF_POWDER_PERCENT]
    if sum(part.grams for part in dry) > MOST_DRY_ACID * sum(part.grams for part in fruits):
        raise InputError(
            f'"{dry[0].said} {dry[0].acidulant.name}" is more than a tenth of the fruit: check the amount; a few grams sour a kilogram'
        )


def _water_g(line: Line) -> float:
    return line.amount.grams if line.amount.grams is not None else _milliliters(line) * WATER_G_PER_ML


def _milliliters(line: Line) -> float:
    if line.amount.ml is None:
        raise InputError(f'"{line.text}": write it by volume, in teaspoons, tablespoons, cups or mL')
    return line.amount.ml
