import numpy as np
import pytest

from lift.model.hair import Hair
from lift.model.mixture import Mixture
from lift.practice.cautions import UNMIXED
from lift.practice.goal import Lighten
from lift.practice.trial.observation import parse_seen
from lift.practice.trial.strand_test import strand_test
from lift.show.plots.strand_plots import (
    plot_looks,
    plot_moved,
    plot_strand_test,
    reading,
    shown_minutes,
)


def title(axes):
    return axes.get_title(loc="left") or axes.get_title()


@pytest.fixture(scope="module")
def looked_at():
    seen = [parse_seen("10:6.5"), parse_seen("12:42,11,27")]
    goal = Lighten(level=8.0, warmth=20.0)
    return strand_test(Hair(5.0), Mixture("powder", 20.0), seen, goal, rinse_minutes=20.0)


@pytest.fixture(scope="module")
def not_yet():
    goal = Lighten(level=7.0)
    return strand_test(Hair(5.0), Mixture("powder", 20.0), goal=goal, rinse_minutes=20.0)


@pytest.mark.parametrize(("quantity", "points"), [("level", 2), ("warmth", 1)])
def test_bands_and_readings(looked_at, quantity, points):
    axes = plot_moved(looked_at, quantity)
    assert len(axes.containers) == points  # the eye cannot read warmth
    before, after = looked_at.width(quantity)
    assert f"band {before:.2f} wide, now {after:.2f}" in title(axes)
    assert "min" in axes.get_xlabel()
    medians = {line.get_label(): line.get_ydata() for line in axes.lines}
    drawn = looked_at.after.drawn
    shown = drawn.central.minutes[:-1] <= shown_minutes(looked_at)
    np.testing.assert_allclose(medians["after the test"], drawn.band(quantity)[1][:-1][shown])


def test_without_observations_there_is_one_band(not_yet):
    axes = plot_moved(not_yet, "warmth")
    assert "after the test" not in [line.get_label() for line in axes.lines]
    assert "now" not in title(axes)


def test_looks_mark_the_best_time(looked_at, not_yet):
    for test in (looked_at, not_yet):
        axes = plot_looks(test)
        same, ahead = test.next_look.same, test.next_look.ahead
        assert f"Look at {test.next_look.advised.minutes:g} min" in title(axes)
        for marker, look in (("D", same), ("s", ahead)):
            marks = [line for line in axes.lines if line.get_marker() == marker]
            assert [m.get_xdata()[0] for m in marks] == ([] if look is None else [look.minutes])
        dots = [line for line in axes.lines if line.get_marker() == "o"]
        assert len(dots) == len(test.observations)


def test_readings_on_each_axis(looked_at):
    by_eye, by_instrument = looked_at.observations
    assert reading(by_eye, "level", looked_at.before) == (6.5, 0.3)
    assert reading(by_eye, "warmth", looked_at.before) is None
    level, sd = reading(by_instrument, "level", looked_at.before)
    assert 5.0 < level < 8.0
    assert 0.0 < sd < 1.0
    warmth, sd = reading(by_instrument, "warmth", looked_at.before)
    assert 0.0 < warmth < 20.0
    assert sd > 1.0


def test_sheet_carries_the_caution(looked_at, tmp_path):
    from lift.show.plots.figure import save_figure

    figure = plot_strand_test(looked_at)
    assert len(figure.axes) == 3
    assert str(UNMIXED[0])[:60] in figure.get_supxlabel()
    save_figure(figure, tmp_path / "sheet.svg")
    assert (tmp_path / "sheet.svg").stat().st_size > 10_000
