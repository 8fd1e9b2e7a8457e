"""Exposure that earlier lightening amounts to, against plain bisection."""

import numpy as np

from lift.model.curves import default_curves
from lift.model.frozen import trusted
from lift.model.hair import Hair
from lift.model.natural import natural_path
from lift.model.strand import (
    hair_pigment,
    lightened,
    natural_pigment,
    strand_lab,
    strand_lightness,
)
from lift.model.trajectory import exposure_before

CURVES = default_curves()
VALUES = CURVES.values


def bisection(hair):
    path, natural = natural_path(CURVES), hair_pigment(hair, VALUES)
    start = path.level_of_lightness(strand_lab(natural, VALUES)[..., 0])
    wanted = path.lab_of_level(np.clip(start + hair.lightened_to - hair.level, -1, 16))[..., 0]
    low, high = np.zeros(wanted.shape), np.full(wanted.shape, 40.0)
    for _ in range(50):
        middle = (low + high) / 2
        short = strand_lab(lightened(natural, middle, VALUES), VALUES)[..., 0] < wanted
        low, high = np.where(short, middle, low), np.where(short, high, middle)
    return low


def test_same_as_bisection():
    random = np.random.default_rng(3)
    level = random.uniform(1, 10, 2000)
    gained = random.uniform(0.01, 6, 2000)
    hair = Hair(
        level, lightened_to=np.minimum(level + gained, 10), pheomelanin_share=random.random(2000)
    )
    found = exposure_before(hair, VALUES, natural_path(CURVES))
    np.testing.assert_allclose(found, bisection(hair), atol=1e-9)


def test_no_gain_is_no_exposure():
    hair = Hair(np.array([3.0, 7.5]), lightened_to=np.array([3.0, 7.5]))
    assert exposure_before(hair, VALUES, natural_path(CURVES)).tolist() == [0.0, 0.0]


def test_a_level_past_all_pigment_takes_all_the_exposure_there_is():
    curves = CURVES.replace(keratin_strength=0.05)
    # No hair is given so, but a member of an ensemble may be.
    hair = trusted(Hair(10.0, lightened_to=10.0), lightened_to=12.0)
    found = exposure_before(hair, curves.values, natural_path(CURVES))
    assert found == 40.0


def test_lightness_alone_is_that_of_the_colour():
    for surface in (0.0, 0.0244):
        values = CURVES.replace(surface_reflectance=surface).values
        pigment = natural_pigment(np.linspace(-3, 16, 200), 0.05, values)
        alone, colour = strand_lightness(pigment, values), strand_lab(pigment, values)
        np.testing.assert_allclose(alone, colour[:, 0], atol=1e-10)
