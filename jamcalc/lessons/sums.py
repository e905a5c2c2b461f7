"""The sums of the book as they are read: a few rows, and nothing of the batches behind them.

Imports none of what writes, for a batch that is worked out waits for it.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from sqlite3 import Connection

from jamcalc.lessons.learning import Sums
from jamcalc.lessons.priors import TOPICS


@dataclass(frozen=True, kw_only=True)
class SeasonSum:
    """The lessons of one topic and subject in one season. `lowest` and `highest` are of all of them, slips too."""

    topic: str
    subject: str
    season: int
    sums: Sums
    lowest: float
    highest: float
    highest_batch: int
    slips: int
    last_slip: int | None
    changed: int | None  # the batch from which on the kitchen is another


def season_sums(connection: Connection, subjects: Sequence[str] | None = None) -> tuple[SeasonSum, ...]:
    """The sums of some subjects, or of all."""
    where, values = ("", ()) if subjects is None else (f" WHERE subject IN ({', '.join('?' * len(subjects))})", tuple(subjects))
    return tuple(
        SeasonSum(
            topic=row["topic"],
            subject=row["subject"],
            season=row["season"],
            sums=Sums(batches=row["batches"], weight=row["weight"], total=row["total"], squares=row["squares"]),
            **{name: row[name] for name in ("lowest", "highest", "highest_batch", "slips", "last_slip", "changed")},
        )
        for row in connection.execute(f"SELECT * FROM season_sum{where} ORDER BY topic, subject, season", values)
        if row["topic"] in TOPICS
    )


def latest_sets(connection: Connection, most: int) -> tuple[str, ...]:
    """How the latest batches of calcium-set pectin were judged, the last one made first."""
    text = (
        "SELECT (SELECT found FROM entry WHERE entry.batch = lesson.batch AND found IS NOT NULL ORDER BY id DESC LIMIT 1) AS found"
        " FROM lesson WHERE topic = 'pectin' AND subject = 'kitchen' ORDER BY made DESC, batch DESC LIMIT ?"
    )
    return tuple(row["found"] for row in connection.execute(text, (most,)))
