"""From the sums of the book to what a calculation takes: what is known of one kitchen and of some fruits, as seen in one year.

Reads a few rows and no batch. Takes a connection whose transaction is open.
"""

from __future__ import annotations

from collections.abc import Sequence
from sqlite3 import Connection

from jamcalc import facts
from jamcalc.errors import UnknownItem
from jamcalc.formula.batch_acidity import READING_MARGIN_PH
from jamcalc.lessons.learning import constant, faded, posterior
from jamcalc.lessons.priors import KITCHEN, OF_KITCHEN, prior
from jamcalc.lessons.sums import SeasonSum, latest_sets, season_sums
from jamcalc.nouns.learned import Learned, OfFruit, Taught


def learned(connection: Connection, items: Sequence[str], year: int) -> Learned:
    """What the book teaches; nothing where it has no lesson of the kitchen or of these fruits."""
    by_topic: dict[tuple[str, str], list[SeasonSum]] = {}
    for season in season_sums(connection, (KITCHEN, *dict.fromkeys(items))):
        by_topic.setdefault((season.topic, season.subject), []).append(season)
    jars, pectin, calcium = (_taught(topic, KITCHEN, by_topic.get((topic, KITCHEN), ()), year) for topic in OF_KITCHEN)
    return Learned(
        jars=jars,
        pectin=pectin,
        calcium=calcium,
        fruits=tuple(_of_fruit(item, by_topic, year) for item in dict.fromkeys(items) if any(subject == item for _, subject in by_topic)),
        judged=latest_sets(connection, round(constant("trouble_batches"))) if pectin is not None else (),
    )


def _taught(topic: str, subject: str, seasons: Sequence[SeasonSum], year: int) -> Taught | None:
    known = prior(topic, subject)
    if known is None or not seasons:
        return None
    sums = faded(((season.season, season.sums) for season in seasons), year)
    now = posterior(known, sums)
    return Taught(
        value=now.mean,
        sd=now.sd,
        next_sd=now.next_sd,
        table=known.mean,
        table_sd=posterior(known, faded((), year)).next_sd,
        batches=round(sums.batches),
        lots=now.lots,
        slips=sum(season.slips for season in seasons),
        last_slip=max((season.last_slip for season in seasons if season.last_slip is not None), default=None),
        changed=max((season.changed for season in seasons if season.changed is not None), default=None),
    )


def _of_fruit(item: str, by_topic: dict[tuple[str, str], list[SeasonSum]], year: int) -> OfFruit:
    """One fruit. A pH above the table's high end counts from the first batch on and for good; a reading with what a meter leaves open."""
    try:
        table_high = facts.fruit(item).ph.high
    except UnknownItem:
        return OfFruit(item=item)
    read, above = by_topic.get(("ph-read", item), []), by_topic.get(("ph-above", item), [])
    over = [(season.highest + READING_MARGIN_PH, season.highest_batch) for season in read if season.highest > table_high]
    over += [(season.highest, season.highest_batch) for season in above if season.highest > table_high]
    highest_ph, highest_batch = max(over, default=(None, None))
    return OfFruit(
        item=item,
        ph=_taught("ph", item, by_topic.get(("ph", item), ()), year),
        solids_percent=_taught("solids", item, by_topic.get(("solids", item), ()), year),
        read_low=min((season.lowest for season in read), default=None),
        read_high=max((season.highest for season in read), default=None),
        readings=round(sum(season.sums.batches for season in read)),
        highest_ph=highest_ph,
        highest_batch=highest_batch,
    )
