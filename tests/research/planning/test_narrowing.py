"""How much readings would narrow: against the whole Gaussian, and against a tuning."""

from dataclasses import replace

import numpy as np
import pytest

from lift import default_curves
from lift.model.draws import ParameterDraws
from lift.model.hair import RED_SHARE
from lift.model.strand import lightened, natural_pigment, strand_lab
from lift.research.planning import narrowing as room
from lift.research.planning.narrowing import believed, chroma_at, covariance_after, narrowing
from lift.research.planning.series import lightening_series
from lift.research.posterior.priors import Prior
from lift.research.posterior.problem import Problem
from lift.research.swatches.forward import exposure, predict

CURVES = replace(default_curves(), posterior=None)
VALUES = CURVES.values
FREE = ("lightening_rate", "half_oxidised_yield", "half_oxidised_slope")


def by_name(table):
    return {each.name: each for each in narrowing(table, CURVES)}


@pytest.fixture(scope="module")
def full():
    return by_name(lightening_series().swatches)


def drawn(names, seed=2, count=400):
    """Curve set that carries draws of some numbers, as wide as a tuning begins with."""
    normal = np.random.default_rng(seed).standard_normal((count, len(names)))
    columns = [Prior(CURVES[n]).from_standard(normal[:, i]) for i, n in enumerate(names)]
    rows = tuple(map(tuple, np.stack(columns, axis=-1).tolist()))
    return replace(CURVES, posterior=ParameterDraws(names, rows))


@pytest.mark.parametrize("curves", [CURVES, drawn(FREE)], ids=["ranges", "draws"])
def test_covariance_is_that_of_the_whole_gaussian(monkeypatch, curves):
    """Level and rate of each swatch as coordinates of their own, and nothing integrated out."""
    monkeypatch.setattr(room, "MODEL_SD", (0.5, 0.4, 0.3))
    table = lightening_series(minutes=(0, 20, 40), tresses=1, curves=curves).swatches
    now = believed(curves)
    size, count, step = len(now.names), len(table.names), 1e-3

    def lab(point):
        values = {k: v[0] if np.ndim(v) else v for k, v in now.values(point[None, :size]).items()}
        own = point[size:].reshape(count, 2)
        rate = np.exp(now.middle["rate_log_sd"] * own[table.swatch, 1])
        level = table.level + now.middle["level_sd"] * own[:, 0]
        return predict(table, values, level, exposed=exposure(table, values) * rate).ravel()

    axes = step * np.eye(size + 2 * count)
    slopes = np.array([(lab(a) - lab(-a)) / (2 * step) for a in axes])
    readings = 9.0
    variance = table.sd**2 * (4.0 + readings + 2.0) / (4.0 + readings)
    variance = (variance + np.square([0.5, 0.4, 0.3])).ravel()
    before = np.eye(len(axes))
    before[:size, :size] = now.covariance
    whole = np.linalg.inv(np.linalg.inv(before) + slopes / variance @ slopes.T)
    found = covariance_after(now, table)
    np.testing.assert_allclose(found, whole[:size, :size], rtol=1e-3, atol=1e-3)


def test_draws_are_believed_where_a_set_carries_them():
    now = believed(drawn(FREE))
    assert now.names == FREE
    middle = now.place(np.zeros((1, 3)))[0]
    assert middle == pytest.approx([CURVES.values[n] for n in FREE], rel=0.15)
    assert np.diag(now.covariance) == pytest.approx(1.0)
    high = now.place(np.full((1, 3), 50.0))[0]
    assert high.tolist() == [CURVES[n].high for n in FREE]


def test_the_series_pins_the_chroma(full):
    """By four fifths; the absorber's slope and yield, which it rests on, by less."""
    assert full["chroma_brown"].shrinks > 0.8
    assert full["chroma_red"].shrinks > 0.8
    assert full["half_oxidised_slope"].shrinks > 0.35
    assert full["half_oxidised_yield"].shrinks > 0.2
    for each in full.values():
        assert each.low <= each.low_after < each.high_after <= each.high


def test_hair_that_is_not_lightened_tells_nothing_of_lightening():
    table = lightening_series(minutes=(0, 10)).swatches
    found = by_name(table.replace(minutes=np.zeros(len(table))))
    assert abs(found["half_oxidised_yield"].shrinks) < 1e-6
    assert abs(found["half_oxidised_rate_ratio"].shrinks) < 1e-6
    assert found["chroma_brown"].shrinks < 0.3


def test_fewer_tresses_and_fewer_times_tell_less(full):
    one = by_name(lightening_series(tresses=1).swatches)
    ends = by_name(lightening_series(minutes=(0, 45)).swatches)
    for name, each in full.items():
        assert one[name].shrinks < each.shrinks
        assert ends[name].shrinks < each.shrinks


def test_brown_hair_alone_tells_less_of_red(full):
    table = lightening_series(tresses=6).swatches
    brown = by_name(table.rows(table.swatch < 6))
    assert brown["chroma_red"].shrinks < full["chroma_red"].shrinks - 0.03
    assert brown["pheomelanin_rate_ratio"].shrinks < full["pheomelanin_rate_ratio"].shrinks


@pytest.mark.parametrize(("level", "share"), [(3.0, None), (5.0, RED_SHARE)])
def test_chroma_is_read_where_the_hair_has_that_lightness(level, share):
    found = chroma_at(level, share, VALUES)
    own = VALUES["pheomelanin_share"] if share is None else share
    natural = natural_pigment(level, own, VALUES)
    fine = np.linspace(0.0, 8.0, 8001)
    lab = strand_lab(lightened(natural, fine, VALUES), VALUES)
    at = np.argmin(np.abs(lab[:, 0] - 50.0))
    assert float(found) == pytest.approx(np.hypot(*lab[at, 1:]), abs=0.05)


def test_chroma_of_several_sets_is_as_if_alone():
    slopes = np.array([0.012, 0.0145, 0.018])
    together = chroma_at(3.0, None, {**VALUES, "half_oxidised_slope": slopes})
    alone = [chroma_at(3.0, None, {**VALUES, "half_oxidised_slope": s}) for s in slopes]
    np.testing.assert_allclose(together, alone, rtol=1e-12)
    assert np.all(np.diff(together) > 1.0)


@pytest.mark.slow
def test_a_tuning_to_such_a_series_comes_out_as_narrow(monkeypatch):
    """First order against the posterior of an invented series, where the optics do not miss."""
    from lift.research.posterior.bayes import sample_posterior
    from lift.research.swatches.generate import synthetic_laboratory

    monkeypatch.setattr(room, "MODEL_SD", (0.0, 0.0, 0.0))
    table = lightening_series(curves=CURVES).swatches
    now = believed(drawn(FREE, count=4000))
    deviates = np.sqrt(np.diag(covariance_after(now, table)))
    expected = deviates * (now.place(np.ones((1, 3))) - now.place(np.zeros((1, 3))))[0]
    widths = []
    for seed in (1, 2, 3):
        measured = synthetic_laboratory(table, CURVES, seed=seed).swatches
        found = sample_posterior(
            Problem(measured, CURVES, FREE, misfit=False), seed=seed, wanted=400
        )
        widths.append([belief.standard_error for belief in found.beliefs[:3]])
    ratio = np.mean(widths, axis=0) / expected
    assert np.all((ratio > 0.5) & (ratio < 1.3)), ratio
