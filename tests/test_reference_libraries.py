"""Our physics and chemistry against libraries written by others for other purposes.

An aqueous geochemistry program checks pH, IAPWS-95 water and a standard atmosphere check boiling points and densities.
The libraries are in the `test` extra; a test is skipped, with the reason, only where one is missing.
"""

from __future__ import annotations

import random

import pytest

from jamcalc.chemistry.acidity import mixture_ph
from jamcalc.jars.filling import density_g_per_ml, hot_volume_ml
from jamcalc.jars.process import boiling_point_degc
from jamcalc.words.measures import METRES_PER_FOOT

PH_TOLERANCE = 0.02  # both use Davies or a near relative: largest difference seen over 300 systems 0.008

# log K of protonation at 25 degC and zero ionic strength. Citrate: NIST Standard Reference Database 46, as carried by
# MINTEQA2 v4. Malate and tartrate: CRC Handbook, memory. Given without -gamma, so that the program's own Davies holds:
# the citrate it ships follows the Debye-Hueckel limiting law and reads 0.07 low.
ORGANIC_ACIDS = """
SOLUTION_MASTER_SPECIES
 Cit Cit-3 0 189.10 189.10
 Mal Mal-2 0 132.07 132.07
 Tar Tar-2 0 148.07 148.07
SOLUTION_SPECIES
 Cit-3 = Cit-3
  log_k 0
 Cit-3 + H+ = HCit-2
  log_k 6.396
 Cit-3 + 2H+ = H2Cit-
  log_k 11.157
 Cit-3 + 3H+ = H3Cit
  log_k 14.285
 Mal-2 = Mal-2
  log_k 0
 Mal-2 + H+ = HMal-
  log_k 5.097
 Mal-2 + 2H+ = H2Mal
  log_k 8.556
 Tar-2 = Tar-2
  log_k 0
 Tar-2 + H+ = HTar-
  log_k 4.366
 Tar-2 + 2H+ = H2Tar
  log_k 7.402
END
"""
MOST_MOL_PER_KG = {"citric": 0.12, "malic": 0.08, "tartaric": 0.06, "phosphoric": 0.01}
ELEMENTS = {"citric": "Cit", "malic": "Mal", "tartaric": "Tar", "phosphoric": "P"}
PROTONS_USED = {"citric": 2.0, "malic": 1.5, "tartaric": 1.5, "phosphoric": 1.0}  # keeps pH under about 6

Mixture = tuple[dict[str, float], float]


def random_mixtures(count: int) -> list[Mixture]:
    """Acids and potassium [mol/kg water] as strong as fruit and lemon juice, the same ones in every run."""
    draw = random.Random(20_251)
    mixtures = []
    for _ in range(count):
        acids = {acid: draw.uniform(0.0, most) for acid, most in MOST_MOL_PER_KG.items()}
        most_potassium = sum(amount * PROTONS_USED[acid] for acid, amount in acids.items())
        mixtures.append((acids, draw.uniform(0.0, 1.0) * most_potassium))
    return mixtures


@pytest.fixture(scope="module")
def solver_ph() -> list[float]:
    """The geochemical program's pH for each of the mixtures."""
    phreeqc = pytest.importorskip("phreeqc", reason="the independent geochemical solver is not installed (test extra)")
    program = phreeqc.Phreeqc()
    program.LoadBuiltInDatabase("phreeqc.dat")
    assert program.RunString(ORGANIC_ACIDS) == 0, program.GetErrorString()
    answers = []
    for acids, potassium in random_mixtures(100):
        amounts = "".join(f" {ELEMENTS[acid]} {amount!r}\n" for acid, amount in acids.items())
        solution = f"SOLUTION 1\n pH 4 charge\n units mol/kgw\n{amounts} K {potassium!r}\n"
        output = "SELECTED_OUTPUT\n -reset false\n -pH true\n -high_precision true\nEND"
        assert program.RunString(solution + output) == 0, program.GetErrorString()
        answers.append(float(program.GetSelectedOutput()["pH"][-1]))
    return answers


def gaps(solver_ph: list[float], *, activities: bool) -> list[float]:
    ours = [mixture_ph(acids, potassium, activities=activities) for acids, potassium in random_mixtures(100)]
    return [mine - theirs for mine, theirs in zip(ours, solver_ph, strict=True)]


def test_ph_of_a_hundred_mixtures_agrees_with_a_geochemical_solver(solver_ph: list[float]) -> None:
    assert min(solver_ph) < 2.3  # the draw covers what jam covers
    assert max(solver_ph) > 4.5
    assert max(abs(gap) for gap in gaps(solver_ph, activities=True)) <= PH_TOLERANCE


def test_leaving_activities_out_would_not_pass(solver_ph: list[float]) -> None:
    ideal = gaps(solver_ph, activities=False)
    assert max(abs(gap) for gap in ideal) > 5 * PH_TOLERANCE
    assert sum(abs(gap) > PH_TOLERANCE for gap in ideal) > 80


ALTITUDES_FT = [-1000, 0, 1000, 3000, 4300, 6000, 8000, 10_000]


@pytest.mark.parametrize("altitude_ft", ALTITUDES_FT)
def test_boiling_point_agrees_with_iapws_water_in_a_standard_atmosphere(altitude_ft: float) -> None:
    water = pytest.importorskip("CoolProp.CoolProp", reason="CoolProp is not installed (test extra)")
    fluids = pytest.importorskip("fluids", reason="fluids is not installed (test extra)")
    pressure_pa = fluids.ATMOSPHERE_1976(altitude_ft * METRES_PER_FOOT).P
    reference = water.PropsSI("T", "P", pressure_pa, "Q", 0, "Water") - 273.15
    # IAPWS-IF97 against IAPWS-95 differ by under 0.001 K; geometric against geopotential height costs 0.005 K at 10,000 ft.
    assert boiling_point_degc(altitude_ft) == pytest.approx(reference, abs=0.01)


def test_water_boils_a_little_under_100_at_sea_level() -> None:
    assert boiling_point_degc(0.0) == pytest.approx(99.974, abs=0.002)  # IAPWS-95 at 101.325 kPa


@pytest.mark.parametrize("degc", [5, 20, 40, 60, 85, 90, 95])
def test_density_of_water_agrees_with_iapws(degc: float) -> None:
    water = pytest.importorskip("CoolProp.CoolProp", reason="CoolProp is not installed (test extra)")
    reference = water.PropsSI("D", "T", degc + 273.15, "P", 101_325, "Water") / 1000.0
    assert density_g_per_ml(100.0, 0.0, 0.0, degc) == pytest.approx(reference, abs=0.0005)


def test_water_shrinks_by_three_percent_from_the_pot_to_the_shelf() -> None:
    assert hot_volume_ml(100.0, 0.0, 0.0, 85.0) / hot_volume_ml(100.0, 0.0, 0.0, 20.0) == pytest.approx(1.0306, abs=0.0005)
