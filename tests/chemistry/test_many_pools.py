"""Many pools at once against one bracketed search each: Newton's method, and what it falls back on where it does not settle."""

from __future__ import annotations

import itertools
from collections.abc import Sequence

import numpy
import pytest

from jamcalc.chemistry import acidity, many_pools
from jamcalc.chemistry.acidity import AcidPool
from jamcalc.formula import batch_acidity

NEXT_TO_NOTHING = (0.0, 1e-10, 1e-9, 1e-8, 1e-7, 1e-6, 1e-5)  # mol/kg: water with a trace of fruit in it
AS_IN_JAM = (0.0, 0.001, 0.01, 0.05, 0.2)


def pool(citric: float, malic: float, ions: float, water: float = 1.0) -> AcidPool:
    return AcidPool(acid_mol={"citric": citric * water, "malic": malic * water}, strong_ion_eq=ions * water, water_kg=water)


def bracketed(each: AcidPool) -> float:
    """The same by the plain search from 0 to 14."""
    acids = {acid: float(mol) / float(each.water_kg) for acid, mol in each.acid_mol.items()}
    return acidity.mixture_ph(acids, float(each.strong_ion_eq) / float(each.water_kg))


def together(pools: Sequence[AcidPool]) -> AcidPool:
    return AcidPool(
        acid_mol={acid: numpy.array([each.acid_mol[acid] for each in pools]) for acid in pools[0].acid_mol},
        strong_ion_eq=numpy.array([each.strong_ion_eq for each in pools]),
        water_kg=numpy.array([each.water_kg for each in pools]),
    )


def kinds(amounts: Sequence[float]) -> list[AcidPool]:
    """Every mixture of these amounts that has a pH from 0.5 to 10."""
    found = [pool(*each, water) for each in itertools.product(amounts, repeat=3) for water in (0.2, 1.7)]
    return [each for each in found if 0.5 < bracketed(each) < 10.0]


@pytest.mark.parametrize("settles", [True, False])
@pytest.mark.parametrize("amounts", [AS_IN_JAM, NEXT_TO_NOTHING, (0.0, 1e-7, 0.02, 0.5)])
def test_each_way_of_looking_for_ph_finds_the_same(amounts: Sequence[float], settles: bool, monkeypatch: pytest.MonkeyPatch) -> None:
    """Newton's method, and the bracketed searches where it does not settle."""
    if not settles:
        monkeypatch.setattr(acidity.Balance, "ph", lambda *_: None)
    ones = kinds(amounts)
    assert len(ones) > 20
    wanted = [bracketed(each) for each in ones]
    assert [acidity.pool_ph(each) for each in ones] == pytest.approx(wanted, abs=2e-4)
    assert many_pools.highest_ph(together(ones)) == pytest.approx(max(wanted), abs=2e-4)
    for near in (3.5, 4.5, 6.5):
        drawn = acidity.drawn_ph(together(ones), near)
        assert drawn.shape == (len(ones),)
        for found, ph in zip(drawn.tolist(), wanted, strict=True):
            assert found == pytest.approx(ph, abs=2e-3) if abs(ph - near) < 2.49 else abs(ph - near) < 2.51 or numpy.isnan(found)


def test_a_group_has_the_highest_of_its_own() -> None:
    groups = [kinds(AS_IN_JAM)[start : start + 7] for start in (0, 7, 21)]
    found = many_pools.highest_of_each([together(group) for group in groups])
    assert found == pytest.approx([max(bracketed(each) for each in group) for group in groups], abs=2e-4)
    assert len({round(each, 2) for each in found}) == 3


def test_none_above_is_said_of_the_highest() -> None:
    ones = [each for each in kinds(AS_IN_JAM) if bracketed(each) < 5.5]  # where there is acid to buffer, as about the wall
    highest = max(bracketed(each) for each in ones)
    assert many_pools.none_above_ph(together(ones), highest + 0.002)
    assert not many_pools.none_above_ph(together(ones), highest - 0.002)


@pytest.mark.parametrize("target", [3.2, 3.6, 4.0])
def test_the_dose_brings_every_pool_to_the_target_and_one_of_them_just_so(target: float) -> None:
    juice = batch_acidity.lemon_pool("weak")
    ones = [each for each in kinds((0.0, 0.01, 0.05, 0.1)) if each.water_kg > 1.0]
    dose = many_pools.dose_for_ph(together(ones), juice, target, 1e4)
    assert dose is not None
    assert max(bracketed(acidity.pooled([each, juice.times(dose)])) for each in ones) == pytest.approx(target, abs=5e-4)
    assert many_pools.dose_for_ph(together(ones), juice, target, dose * 1.001) == pytest.approx(dose, rel=1e-3)
    assert many_pools.dose_for_ph(together(ones), juice, target, dose * 0.999) is None


def test_a_juice_that_is_milder_than_the_target_brings_nothing_down_to_it() -> None:
    juice = batch_acidity.lemon_pool("weak")
    assert many_pools.dose_for_ph(pool(0.02, 0.02, 0.05), juice, 2.0, 1e5) is None
    assert many_pools.dose_for_ph(pool(0.5, 0.0, 0.0), juice, 2.2, 1e5) == 0.0  # it is there already
