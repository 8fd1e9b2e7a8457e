"""The misfit's density is that of readings which lean on each other, written out in full."""

import numpy as np
import pytest
from scipy.stats import multivariate_normal

from lift.model import misfit
from lift.research.posterior.misfit import ROUGH, Blocks
from lift.research.swatches.generate import design

TABLE = design(3, minutes=(0.0, 5.0, 20.0, 50.0)).rows(np.arange(11))
EXPOSED = np.random.default_rng(1).uniform(0.0, 3.0, len(TABLE))
SCALES = np.array([[0.5, 1.0, 2.0], [3.0, 0.1, 0.4]])


def covariance(scale, rows, channel):
    at = misfit.weights(EXPOSED[rows])
    alike = (1.0 - ROUGH) * at @ at.T + ROUGH * np.eye(len(rows))
    return np.diag(TABLE.sd[rows, channel] ** 2) + scale**2 * alike


def test_squares_and_size_are_those_of_the_full_covariance():
    off = np.random.default_rng(2).standard_normal((1, 2, len(TABLE), 3))
    blocks = Blocks(TABLE, EXPOSED)
    squares = np.sum(blocks.whitened(off / TABLE.sd, SCALES)[0] ** 2, axis=1).T
    for point, scales in enumerate(SCALES):
        for swatch in range(3):
            rows = np.flatnonzero(TABLE.swatch == swatch)
            told = sum(
                multivariate_normal(cov=covariance(scales[c], rows, c)).logpdf(
                    off[0, point, rows, c]
                )
                for c in range(3)
            )
            scatter = np.log(TABLE.sd[rows] * np.sqrt(2.0 * np.pi)).sum()
            found = -0.5 * squares[point, swatch] - blocks.size(SCALES)[point, swatch] - scatter
            assert found == pytest.approx(told, rel=1e-9)
    assert blocks.readings.tolist() == [12.0, 12.0, 9.0]


def test_without_a_misfit_readings_are_independent():
    off = np.random.default_rng(2).standard_normal((1, 2, len(TABLE), 3))
    blocks = Blocks(TABLE, None)
    squares = np.sum(blocks.whitened(off, SCALES)[0] ** 2, axis=1).T
    np.testing.assert_allclose(squares.sum(axis=1), np.sum(off[0] ** 2, axis=(1, 2)))
    assert not blocks.size(SCALES).any()


def test_what_a_swatch_is_off_by_is_found_where_readings_tell_it():
    draws, random = 4000, np.random.default_rng(3)
    rows = np.flatnonzero(TABLE.swatch == 1)
    off = np.zeros((draws, len(TABLE), 3))
    off[:, rows] = random.standard_normal((len(rows), 3))
    scales = np.tile(SCALES[:1], (draws, 1))
    blocks = Blocks(TABLE, EXPOSED)
    found = blocks.found(1, off, scales, np.full(draws, 2.0), random)
    at = np.sqrt(1.0 - ROUGH) * misfit.weights(EXPOSED[rows])
    for c in range(3):
        gain = SCALES[0, c] ** 2 * at.T @ np.linalg.inv(covariance(SCALES[0, c], rows, c))
        smooth = SCALES[0, c] ** 2 * (np.eye(3) - gain @ at)
        spread = 2.0 * (1.0 - ROUGH) * smooth
        middle = np.sqrt(1.0 - ROUGH) * gain @ off[0, rows, c]
        sd = np.sqrt(np.diag(spread))
        assert np.abs(found[:, c].mean(axis=0) - middle).max() < 5.0 * sd.max() / np.sqrt(draws)
        np.testing.assert_allclose(found[:, c].std(axis=0), sd, rtol=0.06)


def test_its_factor_is_one_where_the_scatter_is_as_stated():
    blocks, off = Blocks(TABLE, EXPOSED), np.ones((2, len(TABLE), 3))
    random = np.random.default_rng(1)
    assert np.all(blocks.factor(off, SCALES, np.inf, random) == 1.0)
    far = blocks.factor(30.0 * off, SCALES, 4.0, random)
    assert far.shape == (2, 3)
    assert far.min() > 5.0
