"""What nobody measured: the posterior of the shipped set, and what it does to the bands."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from lift import Hair, Mixture, default_curves, preview, simulate
from lift.model.ensemble import LATENT, apply_latent, draw_latent, ensemble
from lift.model.hair import FIBRES_UM
from lift.model.natural import natural_path, path_of

CURVES = default_curves()
POSTERIOR = CURVES.posterior
BASE_BREAK = Hair(7.0, "fine", damp=True), Mixture("base-break", 10.0)
MUST_VARY = {
    *("cream_ph", "base_break_ph", "powder_ph", "half_oxidised_slope", "half_oxidised_yield"),
    *("uptake_rate", "swelling_gain", "azimuthal_roughness", "keratin_strength"),
    "pheomelanin_share",
}


def drawn(deviates):
    return POSTERIOR.drawn(CURVES.values, np.asarray(deviates))


def test_draws_vary_what_is_assumed_and_stay_in_range():
    assert set(POSTERIOR.names) >= MUST_VARY
    for name in POSTERIOR.names:
        column, p = POSTERIOR.column(name), CURVES[name]
        assert p.low <= column.min() < column.max() <= p.high
        assert column.min() < p.value < column.max(), name


def test_a_deviate_of_zero_is_the_curve_set():
    middle = drawn([0.0])
    assert all(middle[name][0] == CURVES.values[name] for name in POSTERIOR.names)


def test_every_draw_gets_its_share():
    deviates = draw_latent(4 * len(POSTERIOR), 3)[:, -1]
    counts = np.bincount(drawn(deviates)["draw"], minlength=len(POSTERIOR))
    assert counts.min() >= 3
    assert counts.max() <= 5


def test_numbers_of_a_draw_belong_together():
    rows = drawn(draw_latent(50)[:, -1])
    for name in POSTERIOR.names:
        np.testing.assert_array_equal(rows[name], POSTERIOR.column(name)[rows["draw"]])


def test_untouched_hair_has_no_warmth_under_any_draw():
    hair, _ = BASE_BREAK
    for own in (hair, hair.replace(pheomelanin_share=0.42)):
        members = ensemble(own, BASE_BREAK[1].replace(tone={}), [0.0]).members
        assert np.abs(members.warmth).max() < 0.05
        assert np.abs(members.lift).max() < 0.01


@given(level=st.floats(1.0, 10.0), share=st.sampled_from([None, 0.33, 0.42, 0.5]))
@settings(max_examples=20, deadline=None)
def test_coarse_paths_read_as_the_fine_one_does(level, share):
    hair = Hair(level, pheomelanin_share=share)
    _, values = apply_latent(hair, CURVES, np.zeros((1, len(LATENT))))
    coarse, fine = path_of(hair, CURVES, values), natural_path(CURVES, share)
    lab = fine.lab_of_level(level)
    np.testing.assert_allclose(coarse.lab_of_level(np.array([[level]]))[0, 0], lab, atol=0.05)
    assert coarse.level_of_lightness(lab[None, None, 0])[0, 0] == pytest.approx(level, abs=0.02)
    assert coarse.warmth(lab[None, None])[0, 0] == pytest.approx(0.0, abs=0.05)


@pytest.mark.parametrize("level", [4.0, 6.0, 8.0])
@pytest.mark.parametrize("mixture", [Mixture("cream", 20.0), Mixture("powder", 20.0)])
def test_bands_are_wider_than_of_this_head_alone(level, mixture):
    alone = CURVES.replace(**{name: CURVES.values[name] for name in POSTERIOR.names})
    assert alone.posterior is None
    low, high = (preview(Hair(level), mixture, 30.0).band_at("warmth")[i] for i in (0, 2))
    own = preview(Hair(level), mixture, 30.0, curves=alone).band_at("warmth")
    assert high - low > own[2] - own[0]


def test_what_is_set_by_hand_no_longer_varies():
    known = CURVES.replace(half_oxidised_slope=0.012)
    assert set(known.posterior.names) == {*POSTERIOR.names} - {"half_oxidised_slope"}
    assert len(known.posterior) == len(POSTERIOR)


def test_either_oxidant_is_as_slow_on_a_slow_strand():
    latent = np.zeros((2, len(LATENT)))
    latent[1, LATENT.index("rate")] = 1.0
    _, values = apply_latent(Hair(6.0), CURVES, latent)
    for name in ("lightening_rate", "persulfate_rate"):
        slow, quick = values[name][:, 0]
        assert quick / slow == pytest.approx(np.exp(CURVES.values["rate_log_sd"]))


def test_a_share_of_red_hair_is_as_open_as_red_hairs():
    hair = Hair(5.0, pheomelanin_share=0.40)
    start = ensemble(hair, Mixture("cream", 20.0), [0.0]).members
    red = start.pigment.pheomelanin[:, 0] / CURVES["pheomelanin_strength"].value
    brown = start.pigment.eumelanin[:, 0] / CURVES["eumelanin_strength"].value
    low, high = np.percentile(red / (red + brown), [5.0, 95.0])
    assert 0.31 < low < 0.40 < high < 0.48


@given(
    level=st.floats(2.0, 9.0),
    fibre=st.sampled_from([*FIBRES_UM]),
    kind=st.sampled_from(["cream", "powder", "base-break"]),
    z=st.floats(-2.5, 2.5),
)
@settings(max_examples=40, deadline=None)
def test_lightness_never_falls_under_any_draw(level, fibre, kind, z):
    latent = np.zeros((1, len(LATENT)))
    latent[0, -1] = z
    hair, values = apply_latent(Hair(level, fibre), CURVES, latent)
    mixture = Mixture(kind, 20.0, tone={})
    course = simulate(hair, mixture, np.linspace(0.0, 15.0, 31), CURVES, values=values)
    assert np.diff(course.underpigment[0, :, 0]).min() > -1e-9
