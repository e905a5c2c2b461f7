"""Minutes and boiling points: the published bands and tables, then the edges."""

from __future__ import annotations

import itertools
import math

import pytest

from jamcalc.errors import NotPossible
from jamcalc.jars import process
from jamcalc.words.measures import METRES_PER_FOOT

HALF_PINT = [10, 15, 20, 25, 30]  # three printed recipes for calcium-set pectin; Amendt's increments
PINT = [20, 25, 30, 35, 35]  # USDA Guide 7, reduced-sugar peach-pineapple spread
BANDS = [(0, 0), (1000, 0), (1000.1, 1), (3000, 1), (3000.5, 2), (4300, 2), (6000, 2), (6001, 3), (8000, 3), (8000.01, 4), (10000, 4)]


@pytest.mark.parametrize(("altitude_ft", "band"), BANDS)
def test_bands(altitude_ft, band):
    assert process.process_for("half-pint", "half-pint", altitude_ft).minutes == HALF_PINT[band]
    assert process.process_for("pint", "pint", altitude_ft).minutes == PINT[band]


@pytest.mark.parametrize(("metres", "band"), [(304.8, 0), (304.9, 1), (914.4, 1), (914.5, 2), (1828.8, 2), (2438.4, 3), (3048.0, 4)])
def test_bands_in_metres(metres, band):
    assert process.process_for("half-pint", "half-pint", metres / METRES_PER_FOOT).minutes == HALF_PINT[band]


def test_no_altitude_is_the_lowest_band_and_the_whole_row():
    found = process.process_for("pint", "pint", None)
    assert (found.minutes, found.altitude_ft) == (20, None)
    assert [band.minutes for band in found.by_band] == PINT
    assert found.by_band[2].feet == "3,001-6,000 ft"
    assert found.by_band[2].metres == "915-1,828 m"
    assert found.boiling_point_degc == pytest.approx(99.97, abs=0.005)
    assert found.sources


def test_below_the_sea_is_the_lowest_band():
    found = process.process_for("half-pint", "half-pint", -500.0)
    assert found.minutes == 10
    assert found.boiling_point_degc > 100.0


@pytest.mark.parametrize("altitude_ft", [10000.1, 15000.0, math.inf, math.nan])
def test_above_10000_ft_is_refused(altitude_ft):
    with pytest.raises(NotPossible, match="extension service"):
        process.process_for("half-pint", "half-pint", altitude_ft)


def test_a_jar_too_large_is_refused():
    with pytest.raises(NotPossible, match="quart jar: use pints or smaller"):
        process.process_for("too large", "quart", 0.0)


def test_own_minutes_count_if_longer():
    assert process.process_for("half-pint", "half-pint", 4300, own_min=15).minutes == 25
    assert process.process_for("half-pint", "half-pint", 4300, own_min=5).minutes == 20
    assert [band.minutes for band in process.process_for("pint", "pint", None, own_min=20).by_band] == [20, 25, 30, 35, 40]
    assert process.process_for("half-pint", "half-pint", None, own_min=12.5).minutes == 13


def test_full_sugar_may_keep_its_own_minutes():
    """NCHFP strawberry jam: 5, 10, 10, 15, 15 min; ours is never under that."""
    row = [band.minutes for band in process.process_for("half-pint", "half-pint", None, own_min=5, full_sugar=True).by_band]
    assert row == [5, 10, 15, 20, 25]
    assert all(ours >= published for ours, published in zip(row, [5, 10, 10, 15, 15], strict=True))
    assert process.process_for("half-pint", "half-pint", None, own_min=2, full_sugar=True).minutes == 5
    assert process.process_for("half-pint", "half-pint", None, full_sugar=True).minutes == 10


@pytest.mark.parametrize("size_class", ["half-pint", "pint"])
@pytest.mark.parametrize("own_min", [None, 5.0, 12.0, 30.0])
@pytest.mark.parametrize("full_sugar", [False, True])
def test_higher_is_never_shorter(size_class, own_min, full_sugar):
    row = [band.minutes for band in process.process_for(size_class, size_class, None, own_min, full_sugar).by_band]
    assert row == sorted(row)


def test_region_4_of_iapws_if97():
    """Check values printed in the release (R7-97, table 36)."""
    assert process._saturation_degc(0.1) + 273.15 == pytest.approx(372.755919, abs=1e-6)
    assert process._saturation_degc(1.0) + 273.15 == pytest.approx(453.035632, abs=1e-6)
    assert process._saturation_degc(10.0) + 273.15 == pytest.approx(584.149488, abs=1e-6)


# Computed with an independent IF97 package on the ICAO standard atmosphere.
BOILING = [
    (0, 99.97),
    (1000, 98.96),
    (2000, 97.95),
    (3000, 96.93),
    (4000, 95.92),
    (5000, 94.90),
    (6000, 93.89),
    (8000, 91.85),
    (10000, 89.81),
]


@pytest.mark.parametrize(("altitude_ft", "degc"), BOILING)
def test_boiling_points(altitude_ft, degc):
    assert process.boiling_point_degc(altitude_ft) == pytest.approx(degc, abs=0.006)


def test_water_boils_cooler_higher_up():
    points = [process.boiling_point_degc(feet) for feet in range(-1500, 12001, 100)]
    assert all(0.09 < first - second < 0.11 for first, second in itertools.pairwise(points))


def ids(found):
    return [note.id for note in process.process_notes(found)]


def test_notes():
    assert ids(process.process_for("half-pint", "half-pint", None)) == ["no-altitude", "hot-jars", "steam-canner"]
    assert ids(process.process_for("half-pint", "half-pint", 4300)) == ["hot-jars", "steam-canner"]
    assert ids(process.process_for("half-pint", "half-pint", 9000, own_min=40)) == ["hot-jars", "no-steam-canner"]
    assert ids(process.process_for("half-pint", "half-pint", 0, own_min=45)) == ["hot-jars", "steam-canner"]
    assert all(note.sources for note in process.process_notes(process.process_for("half-pint", "half-pint", None)))


def test_jars_are_sterilised_only_for_a_short_process():
    """MSU 01600946: under 10 min after altitude; 10 min and one more for each 1,000 ft, counted from sea level (the longer rule)."""
    short = process.process_for("half-pint", "half-pint", 800, own_min=5, full_sugar=True)
    text = next(note.text for note in process.process_notes(short) if note.id == "sterilise")
    assert "boil them for 11 min" in text
    lifted = process.process_for("half-pint", "half-pint", 1500, own_min=5, full_sugar=True)
    assert lifted.minutes == 10
    assert "hot-jars" in ids(lifted)


@pytest.mark.parametrize(
    ("altitude_ft", "boil_min"), [(-200, 10), (0, 10), (1, 11), (1000, 11), (1001, 12), (1049, 12), (2000, 12), (2001, 13), (6000, 16)]
)
def test_jars_are_boiled_a_minute_more_for_each_thousand_feet_begun(altitude_ft, boil_min):
    """MSU 01600946, 10 min and one for each 1,000 ft; a recipe that prints five minutes for every height keeps them."""
    printed = process.printed_process([5] * 5, "half-pint", altitude_ft)
    assert printed is not None
    assert f"boil them for {boil_min} min" in process.process_notes(printed)[0].text


@pytest.mark.parametrize(("units", "said", "not_said"), [("us", "0-1,000 ft only", "0-304 m"), ("metric", "0-304 m only", "ft")])
def test_the_band_is_said_in_the_units_of_the_kitchen(units, said, not_said):
    (text,) = (note.text for note in process.process_notes(process.process_for("pint", "pint", None), units) if note.id == "no-altitude")
    assert said in text
    assert not_said not in text


def test_a_printed_time_goes_by_its_own_band():
    """What an agency prints for a height holds up to that height and no foot above it."""
    printed = [5, 10, None, 15, None]
    for altitude_ft, minutes in ((None, 5), (1000, 5), (1001, 10), (3000, 10), (3001, None), (8000, 15), (8001, None)):
        found = process.printed_process(printed, "half-pint", altitude_ft)
        assert (None if found is None else found.minutes) == minutes
        assert found is None or [band.minutes for band in found.by_band] == [5, 10, 15]


def test_the_steam_canner_note_names_ph_and_temperature():
    text = process.process_notes(process.process_for("half-pint", "half-pint", 5000))[-1].text
    assert "pH 4.6 or below" in text
    assert "pure steam at 203 F," in text
    metric = process.process_notes(process.process_for("half-pint", "half-pint", 5000), "metric")[-1].text
    assert "pure steam at 95 C," in metric


def test_a_time_names_whose_it_is():
    """The table's own source, or that of the shortest time of a full-sugar jam where the recipe's own minutes stand."""
    table, own, full = (
        process.process_for("half-pint", "half-pint", 0, own_min, full_sugar).sources
        for own_min, full_sugar in ((None, True), (5, False), (5, True))
    )
    assert "LM-RECIPE-TIMES" in table
    assert table == own
    assert "LM-RECIPE-TIMES" not in full
    assert "NCHFP-STRAWBERRY" in full
    assert "ALTITUDE-MINUTES" in full


def test_without_an_altitude_all_is_said_of_the_lowest_band():
    unknown = process.process_for("half-pint", "half-pint", None, own_min=5, full_sugar=True)
    said = {note.id: note.text for note in process.process_notes(unknown)}
    assert "0-1,000 ft" in said["no-altitude"]
    assert "boil them for 10 min" in said["sterilise"]
    below = process.process_for("half-pint", "half-pint", -1500.0, own_min=5, full_sugar=True)
    assert "boil them for 10 min" in process.process_notes(below)[0].text  # and never less for a place below the sea
