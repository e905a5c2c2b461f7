"""What the batch book has made of an answer: each figure without it and with it, in words, and the steps for --working.

Compares the two answers that formula/taught has worked out; decides nothing.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator
from dataclasses import replace

from jamcalc import facts
from jamcalc.formula.taught import BothWays
from jamcalc.nouns.known import Fruit
from jamcalc.nouns.learned import Learned, Taught
from jamcalc.nouns.outcome import BatchResult, FromBook, WorkStep
from jamcalc.nouns.said import Finding
from jamcalc.words.phrases import counted, joined, several_jars

TROUBLE_LEAST = round(facts.figure(facts.table("learning")["trouble_least"]).typical)  # batches
SURE_SD = facts.figure(facts.table("learning")["trouble_sd"]).typical
SHOWN = 0.005  # of what is shown to two decimals, the least that is a difference


def told(result: BatchResult, both: BothWays) -> BatchResult:
    """The answer with what the book has moved in it, said in one finding, and the steps of it; as it was where that is nothing."""
    moved = tuple(_moved(result, both))
    if not moved:
        return result
    findings = [*_high_ends(both), *_sets(result, both)]
    told_of = {"pectin"} if any(finding.id in ("book-soft", "book-stiff") for finding in findings) else set()
    said = [figure for figure in moved if figure.said and figure.what not in told_of]
    if said:
        batches = counted(max(figure.from_batches for figure in said), "batch")
        text = f"From {batches} of yours: {joined([figure.said for figure in said])}."
        without, at_prompt = (f"{text} {how} leaves that out." for how in ("--no-book", '"tables"'))
        findings.append(Finding(id="from-book", kind="know", text=without, at_prompt=at_prompt))
    return replace(
        result,
        from_book=moved,
        findings=(*findings, *result.findings),
        working=(*result.working, *_steps(both)),
    )


def _moved(result: BatchResult, both: BothWays) -> Iterator[FromBook]:
    learned, tables, answer = result.batch.learned, both.tables, both.answer
    fruits = {part.fruit.key: part.fruit for part in answer.pot.batch.fruits}
    without = tables.yield_.jars
    if learned.jars is not None and _differs(without.expected, result.yield_.jars.expected):
        filled = f"about {result.yield_.jars.expected:.1f} {several_jars(result.yield_.jar)}"
        said = f"{filled} (by the tables {without.expected:.1f}{_why(learned.jars, result.yield_.jars.expected - without.expected)})"
        yield _figure("jars", learned.jars.batches, _down(without.expected), _down(result.yield_.jars.expected), said)
    of_set = max((taught.batches for taught in (learned.pectin, learned.calcium) if taught is not None), default=0)
    doses, table_doses = answer.pot.doses, tables.pot.doses
    of_fruit = max((_count(learned, key, lambda of_fruit: of_fruit.solids_percent) for key in fruits), default=0)
    for what, mine, theirs, measure, table_measure in (
        ("pectin", doses.pectin_g, table_doses.pectin_g, answer.measured.pectin.text, tables.measured.pectin.text),
        (
            "calcium water",
            doses.calcium_water_ml,
            table_doses.calcium_water_ml,
            answer.measured.calcium_water.text,
            tables.measured.calcium_water.text,
        ),
    ):
        if _differs(theirs, mine):
            yield _figure(what, of_set or of_fruit, theirs, mine, f"{measure} of {what} (by the tables {table_measure})")
    read = max((_read(learned, key) for key in fruits), default=0)
    if _differs(table_doses.lemon_g, doses.lemon_g):
        said = f"{answer.measured.lemon.text} of lemon juice (by the tables {tables.measured.lemon.text})"
        yield _figure("lemon juice", read or of_set or of_fruit, table_doses.lemon_g, doses.lemon_g, said)
    if tables.verdict.storage != answer.verdict.storage:
        count = read or (learned.jars.batches if learned.jars else 0) or of_set or of_fruit
        yield FromBook(what="storage", from_batches=count, without=tables.verdict.storage, with_book=answer.verdict.storage, said="")
    if _differs(tables.acidity.ph.typical, result.acidity.ph.typical):
        count = max((_count(learned, key, lambda of_fruit: of_fruit.ph) for key in fruits), default=0)
        yield _figure("typical pH", count or of_set or of_fruit, tables.acidity.ph.typical, result.acidity.ph.typical, "")
    for key, fruit in fruits.items():
        held = facts.fruit(key)
        if _differs(held.soluble_solids_percent.typical, fruit.soluble_solids_percent.typical):
            mine, theirs = fruit.soluble_solids_percent.typical, held.soluble_solids_percent.typical
            yield _figure(
                f"soluble solids of {fruit.plural}", _count(learned, key, lambda of_fruit: of_fruit.solids_percent), theirs, mine, ""
            )
        if _differs(held.ph.high, fruit.ph.high):
            yield _figure(f"high pH of {fruit.plural}", max(_read(learned, key), 1), held.ph.high, fruit.ph.high, "")


def _why(taught: Taught, off_jars: float) -> str:
    """What a yield off by so many jars comes from, where it is more than chance."""
    if abs(taught.value) < SURE_SD * taught.sd or taught.batches < TROUBLE_LEAST:
        return ""
    off = f"{abs(off_jars):.1f}"
    pot = "more, or keeps more" if taught.value < 0.0 else "less"
    return f"; your pot boils off {pot}: about {off} {'jar' if float(off) <= 1.0 else 'jars'} a batch"


def _sets(result: BatchResult, both: BothWays) -> Iterator[Finding]:
    """Sets that came out soft, or stiff, more than once: what the book makes of it, and what it does about it."""
    learned, answer, tables = result.batch.learned, both.answer, both.tables
    if learned.pectin is None:
        return
    for judged, word in (("runny", "soft"), ("stiff", "stiff")):
        often = learned.judged.count(judged)
        more = answer.pot.doses.pectin_g - tables.pot.doses.pectin_g
        if often < TROUBLE_LEAST or more * (1 if word == "soft" else -1) <= 0.0:
            continue
        text = (
            f"{often} of your last {counted(len(learned.judged), 'batch')} came out {word}: a spoon of your pectin does about "
            f"{learned.pectin_strength:.0%} of what the tables have it do, so this batch takes {answer.measured.pectin.text} of it, not "
            f"{tables.measured.pectin.text}."
        )
        yield Finding(id=f"book-{word}", kind="know", text=text)


def _figure(what: str, batches: int, without: float, with_book: float, said: str) -> FromBook:
    return FromBook(what=what, from_batches=batches, without=without, with_book=with_book, said=said)


def _down(jars: float) -> float:
    """As the answer gives them: a part jar is never rounded up."""
    return math.floor(jars * 100.0 + 1e-9) / 100.0


def _differs(one: float, other: float) -> bool:
    return abs(one - other) >= SHOWN


def _count(learned: Learned, key: str, which: Callable[..., Taught | None]) -> int:
    known = learned.of(key)
    taught = None if known is None else which(known)
    return 0 if taught is None else taught.batches


def _read(learned: Learned, key: str) -> int:
    known = learned.of(key)
    return 0 if known is None or known.highest_ph is None else max(known.readings, 1)


def _high_ends(both: BothWays) -> Iterator[Finding]:
    """Each fruit that is taken to be as mild as it once was in this kitchen."""
    for fruit in {part.fruit.key: part.fruit for part in both.answer.pot.batch.fruits}.values():
        known, held = both.answer.pot.batch.learned.of(fruit.key), facts.fruit(fruit.key)
        if known is not None and fruit.ph.high > held.ph.high:
            text = (
                f"Your {fruit.plural} came out as high as pH {fruit.ph.high:.1f} in batch {known.highest_batch}; the tables end at "
                f"{held.ph.high:.1f}. These are taken to be as mild, until you read them"
            )
            again = f'{text}: --reading "{fruit.name} pH 3.4".'
            yield Finding(id="book-high", kind="know", text=again, at_prompt=f"{text}, and give me the reading.")


# ---------------------------------------------------------------- the steps


def _steps(both: BothWays) -> Iterator[WorkStep]:
    """How each figure of the book came about: the table, her batches, what is believed now."""
    learned = both.answer.pot.batch.learned
    for what, taught in (("jars filled", learned.jars), ("a spoon of your pectin", learned.pectin), ("your calcium", learned.calcium)):
        if taught is not None:
            yield _step(f"{what}, times the table", taught, math.exp)
    fruits: dict[str, Fruit] = {part.fruit.key: part.fruit for part in both.answer.pot.batch.fruits}
    for key, fruit in fruits.items():
        known = learned.of(key)
        if known is not None and known.solids_percent is not None:
            yield _step(f"soluble solids of your {fruit.plural}", known.solids_percent, float)
        if known is not None and known.ph is not None:
            yield _step(f"pH of your {fruit.plural}", known.ph, float)


def _step(what: str, taught: Taught, shown: Callable[[float], float]) -> WorkStep:
    table, mine = (
        f"{shown(value):.2f} ({shown(value - sd):.2f} to {shown(value + sd):.2f})"
        for value, sd in ((taught.table, taught.table_sd), (taught.value, taught.next_sd))
    )
    aside = f"; batch {taught.last_slip} set aside" if taught.last_slip is not None else ""
    since = f", since it changed with batch {taught.changed}" if taught.changed is not None else ""
    batches = f"{counted(taught.batches, 'batch')} of yours{since}, which differ by {taught.lots:.2g} (one standard deviation){aside}"
    how = f"table {table}, then {batches}"
    return WorkStep(what=what, how=how, value=mine)
