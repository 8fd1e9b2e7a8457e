"""What is said of damage is what was published: J. Soc. Cosmet. Chem. 44 (1993), p. 358-359."""

import pytest

from lift.practice.overprocessing import KNOWN
from lift.reference import load


def test_cysteic_acid():
    table = load("cysteic_acid")
    low, high = (table.numbers(f"{end}_umol_per_g") for end in ("low", "high"))
    assert KNOWN["unbleached"] == (low[0], high[0])
    assert KNOWN["bleached"] == (low[1], high[1])
    assert KNOWN["severe"] == high[2]


def test_a_dye_goes_in_faster():
    """Table III; half the width of the interval of the last is two thirds of its value."""
    table = load("bleached_hair_uptake")
    times = dict(zip(table.words("treatment"), table.numbers("minutes"), strict=True))
    diffusion = table.numbers("d_1e-15_m2_per_s")
    assert times["untreated"] == 0.0
    assert KNOWN["peroxide"] == pytest.approx(diffusion[1] / diffusion[0], abs=0.05)
    assert KNOWN["creme"] == pytest.approx(diffusion[3] / diffusion[0], abs=0.05)


def test_four_hours_add_little_to_one():
    hour, four = load("bleached_hair_uptake").numbers("d_1e-15_m2_per_s")[1:3]
    assert four == pytest.approx(hour, rel=0.1)
