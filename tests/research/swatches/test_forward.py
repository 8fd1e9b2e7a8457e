"""The forward model is `simulate`, row by row, for many parameter sets at once."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from lift import Hair, LiftError, Mixture, default_curves, simulate
from lift.chemistry.strength import hydroperoxide_fraction, volume_to_molar
from lift.model.course import Structure
from lift.research.swatches.forward import exposure, predict
from lift.research.swatches.generate import design

VALUES = default_curves().values


@pytest.fixture(scope="module")
def table():
    return design(9, kinds=("cream", "base-break", "powder"), volumes=(10.0, 20.0, 40.0))


@given(
    level=st.floats(1.0, 10.0),
    kind=st.sampled_from(["cream", "base-break", "powder"]),
    volume=st.floats(0.0, 20.0),
    minutes=st.floats(0.0, 15.0),
    fibre=st.floats(30.0, 130.0),
    temperature=st.floats(15.0, 45.0),
    ph=st.one_of(st.none(), st.floats(8.0, 11.5)),
    share=st.one_of(st.none(), st.floats(0.0, 1.0)),
)
def test_equals_simulate(level, kind, volume, minutes, fibre, temperature, ph, share):
    one = (
        design(1)
        .rows([0])
        .replace(
            kind=(kind,),
            volume=[volume],
            minutes=[minutes],
            developer_parts=None,
            fibre_um=fibre,
            temperature_c=temperature,
            ph=np.nan if ph is None else ph,
            pheomelanin_share=np.nan if share is None else share,
        )
    )
    mixture = Mixture(kind, volume, ph=ph, temperature_c=temperature)
    hair = Hair(level, fibre_um=fibre, pheomelanin_share=share)
    expected = simulate(hair, mixture, minutes)
    np.testing.assert_allclose(predict(one, VALUES, [level])[0], expected.lab, atol=1e-9)


def test_brown_hair_follows_the_parameter_and_red_hair_its_own_share(table):
    red = table.replace(pheomelanin_share=np.where(np.arange(9) < 4, 0.4, np.nan))
    shares = np.array([0.05, 0.1])
    found = predict(red, {**VALUES, "pheomelanin_share": shares}, table.level)
    moved = np.abs(found[1] - found[0]).max(axis=-1) > 1e-6
    assert moved.tolist() == np.isnan(red.pheomelanin_share)[red.swatch].tolist()


def test_sets_are_predicted_as_if_alone(table):
    random = np.random.default_rng(3)
    sets = {
        name: VALUES[name] * random.uniform(0.8, 1.2, 4)
        for name in ("lightening_rate", "half_oxidised_slope", "azimuthal_roughness", "cream_ph")
    }
    sets["surface_reflectance"] = np.full(4, 0.03)
    starts = table.level + random.normal(0.0, 0.3, (4, 9))
    together = predict(table, {**VALUES, **sets}, starts)
    assert together.shape == (4, len(table), 3)
    for i in range(4):
        alone = predict(table, {**VALUES, **{k: v[i] for k, v in sets.items()}}, starts[i])
        np.testing.assert_allclose(together[i], alone, atol=1e-9)
    shared = predict(table, {**VALUES, **sets}, table.level)
    assert shared.shape == together.shape


def test_nothing_happens_at_no_time_or_no_strength(table):
    start = predict(table.replace(minutes=np.zeros(len(table))), VALUES, table.level)
    none = table.replace(volume=np.zeros(len(table)), kind=("cream",) * len(table))
    np.testing.assert_allclose(predict(none, VALUES, table.level), start, atol=1e-9)


def test_given_exposure_is_used(table):
    exposed = exposure(table, VALUES)
    same = predict(table, VALUES, table.level, exposed=exposed)
    np.testing.assert_allclose(same, predict(table, VALUES, table.level))
    more = predict(table, VALUES, table.level, exposed=2.0 * exposed)
    assert np.all(more[:, 0] >= same[:, 0] - 1e-9)


def test_without_half_oxidised_melanin_its_yield_is_nothing(table):
    off = predict(table, VALUES, table.level, Structure(half_oxidised=False))
    none = predict(
        table,
        {**VALUES, "half_oxidised_yield": 0.0, "oxidised_pheomelanin_yield": 0.0},
        table.level,
    )
    np.testing.assert_allclose(off, none)
    assert np.abs(off - predict(table, VALUES, table.level)).max() > 1.0


def test_without_uptake_peroxide_acts_at_once(table):
    at_once = exposure(table, VALUES, Structure(uptake=False))
    quick = exposure(table, {**VALUES, "uptake_rate": 500.0})
    np.testing.assert_allclose(at_once, quick, rtol=1e-3)
    later = table.minutes > 0.0
    assert np.all(at_once[later] > exposure(table, VALUES)[later])


def test_order_in_peroxide_turns_about_one_molar(table):
    first, second = (
        exposure(table, {**VALUES, "hydroperoxide_order": order}) for order in (1.0, 2.0)
    )
    later = (table.minutes > 0.0) & (np.array(table.kind) == "cream")
    alkali = np.divide(*hydroperoxide_fraction([VALUES["cream_ph"], VALUES["reference_ph"]], 11.75))
    anion = volume_to_molar(table.on_head_volume) * alkali
    np.testing.assert_allclose(second[later] / first[later], anion[later])


def test_light_of_the_table_is_used(table):
    daylight = predict(table, VALUES, table.level)
    lamp = predict(table.replace(illuminant="A", observer=2), VALUES, table.level)
    assert np.abs(daylight - lamp)[:, 1].max() > 1.0


@pytest.mark.parametrize("starts", [3.0, [3.0, 4.0], np.ones((2, 8))])
def test_starts_of_another_shape_are_refused(table, starts):
    with pytest.raises(LiftError, match=r"starts have shape .*; allowed: \(..., 9\)"):
        predict(table, VALUES, starts)


def test_nan_is_not_swallowed(table):
    starts = np.array(table.level)
    starts[2] = np.nan
    lab = predict(table, VALUES, starts)
    assert np.isnan(lab[table.swatch == 2]).all()
    assert np.isfinite(lab[table.swatch != 2]).all()
    assert np.isnan(predict(table, {**VALUES, "peroxide_pka": np.nan}, table.level)).all()
