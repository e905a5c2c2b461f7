"""What is derived from the entries and kept beside them, so that it need not be read out of them again: jars left, lessons, their sums.

Takes a connection whose transaction is open; what stands here may be thrown away and made anew.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from sqlite3 import Connection, Row

from jamcalc.book import rows
from jamcalc.kept.entries import Kept
from jamcalc.kept.now import now
from jamcalc.lessons import basis
from jamcalc.lessons.learning import Counted, Seen, replay, summed
from jamcalc.lessons.lessons import lessons
from jamcalc.lessons.priors import prior

Topic = tuple[str, str]  # topic and subject
AT_A_TIME = 200  # batches


# ---------------------------------------------------------------- writing


def derive(connection: Connection, batch: Kept) -> set[Topic]:
    """Jars left and lessons of one batch; returns the topics whose sums are to be made anew."""
    state = now(batch)
    connection.execute("DELETE FROM left_over WHERE batch = ?", (batch.number,))
    if state.jars_left:
        connection.execute("INSERT INTO left_over (batch, jars) VALUES (?, ?)", (batch.number, state.jars_left))
    held = connection.execute("SELECT topic, subject, made, low, high, weight FROM lesson WHERE batch = ?", (batch.number,))
    old = {tuple(row) for row in held}
    papers = connection.execute("SELECT asked FROM papers WHERE batch = ?", (batch.number,)).fetchone()
    new = {
        (lesson.topic, lesson.subject, state.made.isoformat(), _finite(lesson.low), _finite(lesson.high), lesson.weight)
        for lesson in lessons(batch, state, basis.read(papers["asked"] if papers else None))
        if prior(lesson.topic, lesson.subject) is not None
    }
    for row in old - new:
        connection.execute("DELETE FROM lesson WHERE batch = ? AND topic = ? AND subject = ?", (batch.number, *row[:2]))
    connection.executemany(
        "INSERT INTO lesson (batch, topic, subject, made, low, high, weight, value, counts, slip, change)"
        " VALUES (?, ?, ?, ?, ?, ?, ?, 0, 0, 0, 0)",
        [(batch.number, *row) for row in sorted(new - old)],
    )
    return {row[:2] for row in old ^ new}


def derive_all(connection: Connection) -> None:
    """The same of every batch, for a book whose lessons were of another kind."""
    topics: set[Topic] = set()
    numbers = [row[0] for row in connection.execute("SELECT number FROM batch ORDER BY number")]
    for start in range(0, len(numbers), AT_A_TIME):
        text = "SELECT * FROM batch WHERE number BETWEEN ? AND ? ORDER BY number"
        batch_rows = connection.execute(text, (numbers[start], numbers[min(start + AT_A_TIME, len(numbers)) - 1])).fetchall()
        for batch in rows.batches(connection, batch_rows, papers=False):
            topics |= derive(connection, batch)
    add_up(connection, topics)


def _finite(value: float) -> float | None:
    return value if math.isfinite(value) else None


def add_up(connection: Connection, topics: Iterable[Topic]) -> None:
    """What each lesson of a topic counts for, and the sums: all of them anew, for one batch more can make a slip of another a change."""
    for topic, subject in topics:
        text = "SELECT * FROM lesson WHERE topic = ? AND subject = ? ORDER BY made, batch"
        lesson_rows = connection.execute(text, (topic, subject)).fetchall()
        counted = _counted(topic, subject, lesson_rows)
        connection.executemany(
            "UPDATE lesson SET value = ?, counts = ?, slip = ?, change = ? WHERE batch = ? AND topic = ? AND subject = ?",
            [
                (observation.value, observation.weight, int(observation.slip), int(observation.change), row["batch"], topic, subject)
                for row, observation in zip(lesson_rows, counted, strict=True)
                if (observation.value, observation.weight, observation.slip, observation.change)
                != (row["value"], row["counts"], row["slip"], row["change"])
            ],
        )
        connection.execute("DELETE FROM season_sum WHERE topic = ? AND subject = ?", (topic, subject))
        seasons: dict[int, list[tuple[int, Counted]]] = {}
        for row, observation in zip(lesson_rows, counted, strict=True):
            seasons.setdefault(int(row["made"][:4]), []).append((row["batch"], observation))
        for season, pairs in seasons.items():
            _insert(connection, topic, subject, season, pairs)


def _counted(topic: str, subject: str, lesson_rows: Sequence[Row]) -> Sequence[Counted]:
    seen = [
        Seen(
            season=int(row["made"][:4]),
            low=-math.inf if row["low"] is None else row["low"],
            high=math.inf if row["high"] is None else row["high"],
            weight=row["weight"],
        )
        for row in lesson_rows
    ]
    known = prior(topic, subject)
    if topic in ("ph-read", "ph-above") or known is None:  # each stands for itself, and none is ever a slip
        return [Counted(value=observation.low, weight=observation.weight) for observation in seen]
    return replay(known, seen)


def _insert(connection: Connection, topic: str, subject: str, season: int, pairs: Sequence[tuple[int, Counted]]) -> None:
    sums = summed(observation for _, observation in pairs)
    highest, highest_batch = max((observation.value, number) for number, observation in pairs)
    slips = [number for number, observation in pairs if observation.slip]
    changes = [number for number, observation in pairs if observation.change]
    connection.execute(
        f"INSERT INTO season_sum VALUES ({', '.join('?' * 13)})",
        (topic, subject, season, sums.batches, sums.weight, sums.total, sums.squares,
         min(observation.value for _, observation in pairs), highest, highest_batch,
         len(slips), max(slips, default=None), max(changes, default=None)),
    )  # fmt: skip


# ---------------------------------------------------------------- reading


def set_aside(connection: Connection, number: int) -> tuple[str, ...]:
    """The topics of one batch's lessons that count as slips."""
    slips = connection.execute("SELECT topic FROM lesson WHERE batch = ? AND slip = 1 ORDER BY topic", (number,))
    return tuple(row["topic"] for row in slips)
