"""Swatch files whose rows name photographs with a colour chart, on computed pictures."""

import numpy as np
import pytest
from PIL import Image

from lift.make.photograph import Scene, photograph, some_hair
from lift.photo.measure import measure
from lift.research.swatches.rows import Fault
from lift.research.swatches.swatch_file import check_swatches, read_swatches
from lift.research.swatches.written import write_swatches

HEAD = "swatch,mixture,volume,minutes,measured_with,level,repeats,photo,chart,hair"


def typed(points):
    return " ".join(f"{x:g},{y:g}" for x, y in np.asarray(points))


@pytest.fixture(scope="module")
def taken():
    return photograph(Scene(some_hair(2, seed=4)))


@pytest.fixture
def written(tmp_path, taken):
    """Write a swatch file beside the photograph."""
    Image.fromarray(taken.pixels).save(tmp_path / "locks.png")

    def write(*rows, head=HEAD):
        path = tmp_path / "rows.csv"
        chart, first, second = typed(taken.chart), typed(taken.hair[0]), typed(taken.hair[1])
        text = "\n".join((head, *rows))
        path.write_text(text.format(chart=chart, first=first, second=second) + "\n", "utf-8")
        return path

    return write


def test_a_row_names_a_photograph_in_place_of_a_colour(written, taken):
    path = written(
        'one,cream,20,10,chart,6,1,locks.png,"{chart}","{first}"',
        'one,cream,20,20,chart,6,4,locks.png,"{chart}","{second}"',
    )
    found = read_swatches(path)
    for row, region in enumerate(taken.hair):
        measured = measure(taken.pixels, taken.chart, region)
        np.testing.assert_allclose(found.lab[row], measured.lab, atol=1e-3)
        # Averaging readings of one photograph would not make it surer.
        np.testing.assert_allclose(found.sd[row], measured.sd, atol=1e-3)
    assert not found.photograph.any()
    kept = path.with_name("kept.csv")
    write_swatches(found, kept)
    again = read_swatches(kept)
    np.testing.assert_allclose(again.lab, found.lab)
    np.testing.assert_allclose(again.sd, found.sd)
    np.testing.assert_allclose(found.rows([1]).sd, found.sd[[1]])


@pytest.mark.parametrize(
    ("row", "column", "said"),
    [
        ('one,cream,20,10,chart,6,1,locks.png,,"{first}"', "chart", "photo, chart and hair"),
        (
            'one,cream,20,10,photograph,6,1,locks.png,"{chart}","{first}"',
            "measured_with",
            "nowhere",
        ),
        ('one,cream,20,10,chart,6,1,none.png,"{chart}","{first}"', "photo", "No such file"),
        ('one,cream,20,10,chart,6,1,locks.png,"{chart}","1,2"', "photo", "two corners"),
    ],
)
def test_what_is_wrong_with_a_photograph_is_told_in_its_row(written, row, column, said):
    (fault,) = check_swatches(written(row)).faults
    assert isinstance(fault, Fault)
    assert (fault.line, fault.column) == (2, column)
    assert said in str(fault.reason)


def test_a_colour_of_its_own_and_a_photograph_are_not_both_given(written):
    head = HEAD + ",L,a,b,sd_L,sd_a,sd_b"
    row = "one,cream,20,9,chart,6,1,{photo},50,8,22,{sd}"
    both = row.format(photo='locks.png,"{chart}","{first}"', sd=",,")
    (fault,) = check_swatches(written(both, head=head)).faults
    assert "leave L, a, b" in str(fault.reason)
    (fault,) = check_swatches(written(row.format(photo=",,", sd="1,,"), head=head)).faults
    assert "sd_L, sd_a and sd_b" in str(fault.reason)
    found = read_swatches(written(row.format(photo=",,", sd="1,0.5,2"), head=head))
    np.testing.assert_allclose(found.sd, [[1.0, 0.5, 2.0]])
