"""A misfit moves every colour of a draw, and nothing that is counted from its natural hair."""

from dataclasses import replace

import numpy as np
import pytest

from lift import Hair, Mixture, ensemble
from lift.errors import LiftError
from lift.model import misfit
from lift.model.curves import default_curves, load_curves
from lift.model.draws import ParameterDraws
from lift.model.strand import natural_pigment, strand_fibres, strand_lab, strand_lightness

MINUTES = np.array([0.0, 5.0, 20.0, 50.0])
POWDER = Mixture("powder", 20)


def off_by(*scales, draws=400):
    """The shipped set with no other draws than those of a misfit."""
    drawn = misfit.draw(np.array([scales]), np.random.default_rng(1), draws)
    rows = tuple(map(tuple, drawn.reshape(draws, -1).tolist()))
    return replace(default_curves(), posterior=ParameterDraws(misfit.NAMES, rows))


def test_it_varies_as_much_all_the_way_and_is_alike_nearby():
    exposure = np.linspace(0.0, 8.0, 401)
    at = misfit.weights(exposure)
    np.testing.assert_allclose(np.sum(at**2, axis=-1), 1.0)
    np.testing.assert_allclose(at[0], [1.0, 0.0, 0.0], atol=1e-12)
    assert np.all(np.sum(at[1:] * at[:-1], axis=-1) > 0.99)
    assert at[0] @ at[-1] < 0.01


def test_bands_are_wider_by_it_and_the_expected_strand_is_not_moved():
    bare, curves = replace(default_curves(), posterior=None), off_by(0.0, 3.0, 6.0)
    before, after = (ensemble(Hair(5), POWDER, MINUTES, c) for c in (bare, curves))
    np.testing.assert_array_equal(after.central.lab, before.central.lab)
    off = after.members.lab - before.members.lab
    np.testing.assert_allclose(off.std(axis=0), np.tile([0.0, 3.0, 6.0], (4, 1)), rtol=0.2)
    np.testing.assert_allclose(after.members.lift, before.members.lift, atol=1e-4)
    assert curves.misfit == pytest.approx((0.0, 3.0, 6.0), rel=0.1)


def test_nothing_has_happened_to_natural_hair_that_is_off():
    strands = ensemble(Hair(5), POWDER, MINUTES, off_by(2.0, 3.0, 6.0)).members
    np.testing.assert_allclose(strands.lift[:, 0], 0.0, atol=1e-9)
    np.testing.assert_allclose(strands.warmth[:, 0], 0.0, atol=0.01)
    assert set(strands.stage[:, 0]) == {"natural"}
    assert np.ptp(strands.lab[:, 0, 2]) > 10.0


def test_white_fibres_are_as_they_are_and_a_blend_is_off_by_its_pigmented_share():
    values = {**default_curves().values, **dict.fromkeys(misfit.NAMES, 2.0)}
    pigment, bare = natural_pigment(6.0, 0.05, values), default_curves().values
    half = dict(grey_percent=50.0, tone={"violet": 2.0})
    off = strand_fibres(pigment, values, **half)
    was = strand_fibres(natural_pigment(6.0, 0.05, bare), bare, **half)
    np.testing.assert_allclose(off.pigmented - was.pigmented, 2.0)
    np.testing.assert_allclose(off.blend - was.blend, 1.0)
    np.testing.assert_array_equal(off.white, was.white)
    np.testing.assert_allclose(strand_lightness(pigment, values), strand_lab(pigment, values)[0])


def test_a_file_keeps_it_and_says_so_and_a_number_out_of_range_is_refused(tmp_path):
    curves = off_by(1.0, 2.0, 4.0).replace(
        name="off", status="tuned", source="a test", lightening_rate=0.3
    )
    curves.save(tmp_path / "off.toml")
    again = load_curves(tmp_path / "off.toml")
    np.testing.assert_allclose(again.misfit, curves.misfit, rtol=1e-4)
    assert "which the model misses by 1.0 in L*, 2.0 in a* and" in str(again.standing)
    assert default_curves().misfit is None
    text = (tmp_path / "off.toml").read_text("utf-8")
    wrong = text.replace(f"  [{again.posterior.rows[0][0]}", "  [1000.0")
    (tmp_path / "off.toml").write_text(wrong, "utf-8")
    with pytest.raises(LiftError, match="1000"):
        load_curves(tmp_path / "off.toml")
