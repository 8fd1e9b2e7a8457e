"""The table of readings: what it holds and what it refuses."""

import numpy as np
import pytest

from lift.errors import LiftError, LimitError
from lift.reference import load
from lift.research.swatches.table import PHOTOGRAPH_SCATTER, SCATTER, Swatches


def table(**changes):
    return Swatches(
        **{
            "names": ("dark", "light"),
            "level": [3.0, np.nan],
            "swatch": [0, 0, 1],
            "kind": ("cream", "cream", "powder"),
            "volume": [20.0, 20.0, 30.0],
            "minutes": [0.0, 30.0, 10.0],
            "lab": [[22.0, 4.0, 5.0], [30.0, 10.0, 15.0], [60.0, 8.0, 25.0]],
            **changes,
        }
    )


def test_defaults_fill_every_row():
    swatches = table()
    assert len(swatches) == 3
    assert swatches.developer_parts.tolist() == [1.0, 1.0, 2.0]
    assert swatches.fibre_um.tolist() == [70.0] * 3
    assert np.isnan(swatches.ph).all()
    np.testing.assert_allclose(swatches.on_head_volume, [10.0, 10.0, 20.0])


def test_scatter_is_the_published_mean():
    # J. Cosmet. Sci. 51 (2000), p. 293, Table III: the two rows with a standard deviation.
    sd = load("hair_colour_measured").numbers("sd_L", "sd_a", "sd_b")
    np.testing.assert_allclose(SCATTER, np.nanmean(sd, axis=0), atol=1e-9)


def test_sd_falls_with_the_root_of_repeats_and_is_wide_for_photographs():
    sd = table(repeats=[1, 4, 1], photograph=[False, False, True]).sd
    np.testing.assert_allclose(sd[0], SCATTER)
    np.testing.assert_allclose(sd[1], np.array(SCATTER) / 2.0)
    np.testing.assert_allclose(sd[2], PHOTOGRAPH_SCATTER)


def test_arrays_are_frozen_copies():
    minutes = np.array([0.0, 30.0, 10.0])
    swatches = table(minutes=minutes)
    minutes[:] = 99.0
    assert swatches.minutes[1] == 30.0
    with pytest.raises(ValueError, match="read-only"):
        swatches.lab[0, 0] = 1.0


def test_rows_and_swatches_are_taken_and_renumbered():
    swatches = table()
    light = swatches.only(1)
    assert light.names == ("light",)
    assert light.swatch.tolist() == [0]
    assert light.kind == ("powder",)
    assert swatches.without(1).names == ("dark",)
    assert swatches.rows(swatches.minutes > 0.0).swatch.tolist() == [0, 1]
    with pytest.raises(LiftError, match="no rows"):
        swatches.rows(np.zeros(3, dtype=bool))


def test_checksum_follows_the_readings():
    first, same = table(), table()
    moved = first.replace(lab=first.lab + np.array([0.0, 0.0, 1e-6]))
    assert first.sha256 == same.sha256 != moved.sha256
    assert table(sha256="of the file").sha256 == "of the file"
    with pytest.raises(LiftError, match="did you mean minutes"):
        first.replace(minute=[1.0, 2.0, 3.0])


@pytest.mark.parametrize(
    ("changes", "message"),
    [
        ({"names": ("a", "a")}, "names a swatch twice"),
        ({"swatch": [0, 0, 0]}, "every swatch needs a row"),
        ({"swatch": [0, 0, 2]}, "every swatch needs a row"),
        ({"swatch": [0.0, 0.0, 1.0]}, "whole"),
        ({"kind": ("cream", "creme", "powder")}, "did you mean cream"),
        ({"minutes": [0.0, 30.0]}, r"minutes has shape \(2,\); allowed: \(3,\)"),
        ({"minutes": [0.0, 30.0, 121.0]}, "processing time 121 min is outside 0 to 120"),
        ({"minutes": [0.0, np.nan, 10.0]}, "processing time nan min is outside"),
        ({"level": [3.0, 11.0]}, "natural level 11 is outside 1 to 10"),
        ({"ph": [np.nan, 1.0, np.nan]}, "pH 1 is outside 2 to 13"),
        ({"fibre_um": 20.0}, "fibre diameter 20 um is outside"),
        ({"temperature_c": np.inf}, "temperature inf C is outside"),
        ({"repeats": 0}, "repeats 0 is outside"),
        ({"lab": [[22.0, 4.0, 5.0]]}, r"lab has shape \(1, 3\); allowed: \(3, 3\)"),
        ({"lab": [[np.nan, 4.0, 5.0]] * 3}, "nan is outside"),
        ({"scatter": (0.0, 0.2, 0.2)}, "scatter 0 is outside"),
        ({"observer": 5}, "observer 5"),
    ],
)
def test_bad_tables_are_refused(changes, message):
    with pytest.raises(LiftError, match=message):
        table(**changes)


def test_over_the_limit_on_the_hair_is_refused():
    with pytest.raises(LimitError, match="12 % H2O2"):
        table(volume=[20.0, 20.0, 80.0])


def test_no_rows():
    with pytest.raises(LiftError, match="no rows"):
        Swatches((), [], np.array([], dtype=int), (), [], [], np.empty((0, 3)))
