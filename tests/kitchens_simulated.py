"""Kitchens whose truth is known, batch after batch through the book: does what it teaches hold?

    python tests/kitchens_simulated.py          # 200 kitchens of 30 batches: writes the table in README, a minute or two

Stated before the first run. A kitchen's own yield and spoon are drawn about the tables as widely as the tables say (one standard
deviation): yield 0.10 and 0.05 from batch to batch, spoon 0.20 and 0.15 (logarithms); its orchard's solids 1.3 and 1.0 g/100 g. Jars are
counted whole and what is over to the quarter cup; Brix of the fruit is read in every second batch (0.3), of the finished spread in the
others, where half of what the pot yields too little has boiled off. Ten batches a year for three years. Where it lies, one batch in ten is
entered with jars, Brix and set that have nothing to do with it. A pot that changes gives 20 % more or less from batch 16 on.

The 90 % range is the mean and 1.645 standard deviations either way, as the book has it before the batch: of what that batch then yields, of
the solids of that batch's fruit, of what her spoon does. The middle of her orchard's solids was added after the first run, as the range of
a next lot cannot become narrower than lots differ; no figure was moved for it.
"""

from __future__ import annotations

import json
import math
import random
import re
import statistics
import tempfile
from dataclasses import dataclass, field
from datetime import date, timedelta
from pathlib import Path
from typing import Any

from book_sample import finish, kept, papers

from jamcalc import facts
from jamcalc.book.store import Book
from jamcalc.kept.entries import Jars, Papers
from jamcalc.lessons.basis import KEY
from jamcalc.nouns.learned import Learned, Taught

README = Path(__file__).parents[1] / "README.md"
KITCHENS, BATCHES = 200, 30
BY_TABLES_JARS = 9.0
CUP_ML = 236.6
YIELD, YIELD_LOTS = 0.10, 0.05
SPOON, SPOON_LOTS = 0.20, 0.15
SOLIDS, SOLIDS_LOTS = 1.3, 1.0
BRIX_READ = 0.3
CHANGE = 0.20
NINETY = 1.645
TOPICS = ("yield", "spoon", "Brix of the next lot", "Brix of her orchard")


@dataclass(kw_only=True)
class Tally:
    """What came of one topic over many batches."""

    covered: list[bool] = field(default_factory=list)
    narrower: list[float] = field(default_factory=list)  # width after ten batches, against the first


@dataclass(kw_only=True)
class Run:
    """What came of all kitchens."""

    topics: dict[str, Tally] = field(default_factory=lambda: {topic: Tally() for topic in TOPICS})
    taught_off: list[float] = field(default_factory=list)  # jars
    untaught_off: list[float] = field(default_factory=list)
    found_within: list[int | None] = field(default_factory=list)  # batches after the change; None: not in five


class Kitchen:
    """One kitchen with its truth."""

    def __init__(self, draw: random.Random, *, as_tables: bool = False) -> None:
        self.draw = draw
        fruit = facts.fruit("plum")
        times = 0.0 if as_tables else 1.0
        self.insoluble = fruit.insoluble_percent.typical / 100.0
        self.table_solids = fruit.soluble_solids_percent.typical
        self.yields = draw.gauss(0.0, YIELD) * times
        self.spoon = draw.gauss(0.0, SPOON) * times
        self.solids = self.table_solids + draw.gauss(0.0, SOLIDS) * times

    def batch(self, place: int, learned: Learned, *, lies: bool) -> tuple[Any, float, float]:
        """A batch as it is kept and finished; with the yield (logarithm) and the solids that it really had."""
        draw = self.draw
        yields, solids = self.yields + draw.gauss(0.0, YIELD_LOTS), self.solids + draw.gauss(0.0, SOLIDS_LOTS)
        volume = BY_TABLES_JARS * math.exp(yields)
        jars = math.floor(volume)
        over_ml = round((volume - jars) * CUP_ML / (CUP_ML / 4.0)) * CUP_ML / 4.0
        reads_fruit = place % 2 == 0
        taken = self.table_solids if learned.of("plum") is None else _value(learned.of("plum").solids_percent, self.table_solids)  # type: ignore[union-attr]
        batch_brix = (
            22.0 + ((solids - taken) / 1.3) / math.exp(yields / 2.0) + 22.0 * (math.exp(-yields / 2.0) - 1.0) + draw.gauss(0.0, BRIX_READ)
        )
        dose = 1.0 / learned.pectin_strength
        felt = self.spoon + math.log(dose) + draw.gauss(0.0, SPOON_LOTS)
        found = "runny" if felt < math.log(0.75) / 2.0 else "stiff" if felt > math.log(1.3) / 2.0 else "well"
        fruit_read = solids + draw.gauss(0.0, BRIX_READ)
        if lies:
            jars, over_ml, found = draw.randint(1, 30), 0.0, draw.choice(["runny", "well", "stiff"])
            batch_brix, fruit_read = draw.uniform(8.0, 60.0), draw.uniform(3.0, 30.0)
        only = {
            "item": "plum", "ph": 3.45, "ph_high": 4.3, "batch_ph": 3.3, "batch_ph_high": 4.0, "slope": 0.5, "solids_percent": taken,
            "batch_solids_percent": 22.0, "spread_per_fruit": 1.3,
        }  # fmt: skip
        basis = {
            "jars": BY_TABLES_JARS, "pectin_needed_g": 10.0, "pectin_g": 10.0 * dose, "only": only,
            "read": [{"item": "plum", "ph": None, "solids_percent": fruit_read}] if reads_fruit else [],
        }  # fmt: skip
        plain = papers()
        made = date(2024 + place // 10, 7, 1) + timedelta(days=place % 10)
        entry = finish(
            day=made,
            filled=(Jars(jar="half-pint", count=max(jars, 1)),),
            over_ml=over_ml,
            found=found,
            brix=None if reads_fruit else min(max(batch_brix, 0.0), 90.0),
        )
        return (
            kept(
                uid=f"{draw.getrandbits(128):032x}",
                made=made,
                entries=(entry,),
                papers=Papers(asked=json.dumps({KEY: basis}), answer=plain.answer, recipe="", screen="", figures=()),
            ),
            yields,
            solids,
        )


def _value(taught: Taught | None, otherwise: float) -> float:
    return otherwise if taught is None else taught.value


def _range(taught: Taught | None, table: float, table_sd: float, *, own: bool = False) -> tuple[float, float]:
    """The middle and half the width of the 90 % range; `own`: of the kitchen's value and not of its next batch."""
    if taught is None:
        return table, NINETY * table_sd
    return taught.value, NINETY * (taught.sd if own else taught.next_sd)


def simulate(kitchens: int, batches: int, *, seed: int, lies: float = 0.0, change: bool = False, as_tables: bool = False) -> Run:
    """Some kitchens, batch after batch, each with a book of its own."""
    from jamcalc.lessons.priors import prior

    done = Run()
    known = {"yield": prior("jars", "kitchen"), "spoon": prior("pectin", "kitchen"), "Brix of the next lot": prior("solids", "plum")}
    first = {topic: (each.mean, math.hypot(each.spread, each.lots)) for topic, each in known.items() if each is not None}
    first["spoon"] = (0.0, known["spoon"].spread)  # type: ignore[union-attr]
    first["Brix of her orchard"] = (known["Brix of the next lot"].mean, known["Brix of the next lot"].spread)  # type: ignore[union-attr]
    with tempfile.TemporaryDirectory(dir="/dev/shm" if Path("/dev/shm").is_dir() else None) as folder:
        for number in range(kitchens):
            draw = random.Random(seed * 100_003 + number)
            kitchen, changed_by = Kitchen(draw, as_tables=as_tables), draw.choice([-CHANGE, CHANGE])
            found: int | None = None
            with Book(Path(folder) / f"{number}.sqlite") as book:
                for place in range(batches):
                    if change and place == 15:
                        kitchen.yields += changed_by
                    learned = book.learned(["plum"], 2024 + place // 10)
                    plum = learned.of("plum")
                    read = None if plum is None else plum.solids_percent
                    ranges = {
                        "yield": _range(learned.jars, *first["yield"]),
                        "spoon": _range(learned.pectin, *first["spoon"], own=True),
                        "Brix of the next lot": _range(read, *first["Brix of the next lot"]),
                        "Brix of her orchard": _range(read, *first["Brix of her orchard"], own=True),
                    }
                    batch, yields, solids = kitchen.batch(place, learned, lies=draw.random() < lies)
                    for topic, truth in zip(TOPICS, (yields, kitchen.spoon, solids, kitchen.solids), strict=True):
                        middle, half = ranges[topic]
                        done.topics[topic].covered.append(abs(truth - middle) <= half)
                        if place == 10:
                            done.topics[topic].narrower.append(half / (NINETY * first[topic][1]))
                    jars = BY_TABLES_JARS * math.exp(yields)
                    done.taught_off.append(abs(BY_TABLES_JARS * learned.jars_filled - jars))
                    done.untaught_off.append(abs(BY_TABLES_JARS - jars))
                    book.add([batch])
                    if change and found is None and place >= 15:
                        now = book.learned(["plum"], 2024 + place // 10).jars
                        if now is not None and now.changed is not None and now.changed > 13:
                            found = place - 14
            done.found_within.append(found if found is not None and found <= 5 else None)
    return done


def table(kitchens: int, batches: int) -> str:
    """What README shows; each row is a run of its own."""
    honest = simulate(kitchens, batches, seed=1)
    lying = simulate(kitchens, batches, seed=2, lies=0.1)
    moved = simulate(kitchens, batches, seed=3, change=True)
    plain = simulate(kitchens, batches, seed=4, as_tables=True)
    rows = [f"| of {kitchens} kitchens, {batches} batches each | {' | '.join(TOPICS)} |", "|---|---|---|---|---|"]

    def row(name: str, values: list[str]) -> None:
        rows.append(f"| {name} | {' | '.join(values)} |")

    row("the 90 % range holds the truth", [f"{statistics.mean(honest.topics[topic].covered):.0%}" for topic in TOPICS])
    row("the same, one batch in ten a lie", [f"{statistics.mean(lying.topics[topic].covered):.0%}" for topic in TOPICS])
    row("width after ten batches, of the first", [f"{statistics.mean(honest.topics[topic].narrower):.0%}" for topic in TOPICS])
    for name, run in (("kitchens of all kinds", honest), ("one batch in ten a lie", lying), ("kitchens as the tables say", plain)):
        off, without = statistics.mean(run.taught_off), statistics.mean(run.untaught_off)
        row(f"jars off by, {name}", [f"{off:.2f} of {BY_TABLES_JARS:g}; by the tables {without:.2f}", "", "", ""])
    within = statistics.mean(each is not None for each in moved.found_within)
    row("a pot that gives 20 % more or less is found in five batches", [f"{within:.0%}", "", "", ""])
    return "\n".join(rows)


def write_anew(text: str) -> None:
    """The table into README."""
    readme = README.read_text(encoding="utf-8")
    whole = re.sub(r"(<!-- kitchens -->\n).*?(?=<!-- end -->)", lambda found: f"{found[1]}{text}\n", readme, count=1, flags=re.DOTALL)
    README.write_text(whole, encoding="utf-8", newline="\n")


if __name__ == "__main__":
    write_anew(table(KITCHENS, BATCHES))
