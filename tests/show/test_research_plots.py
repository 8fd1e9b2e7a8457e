"""Pictures and text of posterior, calibration, next measurement and criticism."""

import io
from dataclasses import replace

import numpy as np
import pytest
from matplotlib.backends.backend_agg import FigureCanvasAgg
from rich.console import Console

from lift.model.curves import default_curves
from lift.model.hair import Hair
from lift.model.mixture import Mixture
from lift.research.planning.choice import choices
from lift.research.planning.next_swatch import Asked, plan_next
from lift.research.posterior.bayes import sample_posterior
from lift.research.posterior.predictive import predictive
from lift.research.posterior.problem import Problem
from lift.research.posterior.sbc import BINS, DRAWS, RankCheck
from lift.research.swatches.generate import design, synthetic_laboratory
from lift.research.tuning.criticism import FULL, criticise
from lift.show.plots.bayes_plots import plot_bands, plot_beliefs, plot_pairs, save_pictures
from lift.show.plots.criticism_plots import (
    plot_criticism,
    plot_left_out,
    plot_residuals,
    plot_support,
)
from lift.show.plots.design_plots import plot_plan
from lift.show.plots.sbc_plots import plot_calibration, plot_coverage, plot_ranks
from lift.show.terminal.bayes import (
    MOST_ROWS,
    print_calibration,
    print_criticism,
    print_plan,
    print_posterior,
)

pytestmark = pytest.mark.slow

CURVES = default_curves()


@pytest.fixture(scope="module")
def lab():
    table = design(4, minutes=(0.0, 10.0, 30.0), kinds=("cream",))
    return synthetic_laboratory(table, seed=5, rate_spread=0.05).swatches


@pytest.fixture(scope="module")
def posterior(lab):
    return sample_posterior(Problem(lab, CURVES, ("lightening_rate", "half_oxidised_yield")))


@pytest.fixture(scope="module")
def plan(posterior):
    asked = Asked(Hair(level=5.0), Mixture("cream", 30.0), 30.0)
    return plan_next(asked, posterior.curves(CURVES), choices(("cream",)), count=3)


@pytest.fixture(scope="module")
def criticism(lab):
    return criticise(lab, starts=1)


@pytest.fixture
def calibration():
    ranks = np.random.default_rng(2).integers(0, DRAWS + 1, (200, 6))
    inside = (ranks >= 5) & (ranks <= 94)
    names = tuple(f"quantity {i}" for i in range(6))
    return RankCheck(names, ranks, inside, np.full(200, 300.0), 2)


def drawn(figure):
    FigureCanvasAgg(figure).draw()
    return figure


def printed(show, *what):
    to = Console(file=io.StringIO(), width=200, highlight=False)
    show(*what, to)
    return to.file.getvalue()


def test_beliefs_are_drawn_where_they_are(posterior):
    axes = plot_beliefs(posterior)
    drawn(axes.figure)
    after = [line.get_xdata() for line in axes.lines if len(line.get_xdata()) == 2][1]
    b = posterior.beliefs[0]
    scale = CURVES["lightening_rate"].value
    np.testing.assert_allclose(after, [b.low / scale, b.high / scale])
    assert [t.get_text() for t in axes.get_yticklabels()] == list(posterior.model.names)


def test_pairs_has_a_panel_for_each_pair(posterior):
    figure = drawn(plot_pairs(posterior))
    assert len(figure.axes) == 9
    assert len(figure.axes[3].lines[0].get_xdata()) == len(posterior.strands.theta)
    assert "INVENTED" in figure.get_suptitle()


def test_bands_hold_the_readings(posterior, lab):
    found = predictive(posterior)
    figure = drawn(plot_bands(found, invented=True))
    assert figure.get_suptitle().startswith("INVENTED")
    axes = figure.axes[0]
    assert axes.get_title(loc="left") == str(found.bands[0].label)
    assert len(axes.patches) == 3 * found.bands[0].minutes.size


def test_pictures_are_written_where_asked(posterior, tmp_path):
    save_pictures(posterior, tmp_path / "bands.png", tmp_path / "draws.png")
    assert sorted(p.name for p in tmp_path.iterdir()) == ["bands.png", "draws.png"]
    save_pictures(posterior, None, None)


def test_posterior_in_words(posterior):
    text = printed(print_posterior, posterior)
    for word in ("half_oxidised_yield", "Pareto shape", "none twice", "90% interval"):
        assert word in text
    assert "NOT CONVERGED" not in text
    bad = replace(posterior, draws=replace(posterior.draws, pareto_k=0.9))
    assert "NOT CONVERGED" in printed(print_posterior, bad)


def test_plan_is_drawn_and_marked(plan):
    figure = drawn(plot_plan(plan))
    shown = np.concatenate([a.images[0].get_array().ravel() for a in figure.axes if a.images])
    shrink = 100.0 * (1.0 - plan.widths / plan.width)
    np.testing.assert_allclose(np.sort(shown), np.sort(shrink))
    marks = ",".join(t.get_text() for a in figure.axes for t in a.texts)
    assert sorted(marks.split(",")) == ["1", "2", "3"]
    assert str(plan.choices[plan.taken[0]].words) in figure.get_suptitle()


def test_plan_in_words(plan):
    text = printed(print_plan, plan)
    assert f"{plan.width:.3g}" in text
    # What tells as much as the first is one choice with it; the others that tell most stand below.
    others = [k for k in plan.order[:MOST_ROWS] if k not in plan.alike]
    assert text.count("\nor ") == len(others)
    assert (f"{len(plan.alike)} choices" in " ".join(text.split())) == (len(plan.alike) > 1)
    assert "strand test" in text


def test_calibration_is_drawn(calibration):
    figure = drawn(plot_calibration(calibration))
    assert "200 INVENTED laboratories" in figure.get_suptitle()
    axes = plot_ranks(calibration, 1)
    heights = [bar.get_height() for bar in axes.containers[0]]
    np.testing.assert_array_equal(heights, calibration.histograms[1])
    assert len(heights) == BINS
    dots = plot_coverage(calibration).lines[-1].get_xdata()
    np.testing.assert_allclose(dots, 100.0 * calibration.coverage)


def test_calibration_in_words(calibration):
    assert "200 INVENTED laboratories, seed 2" in printed(print_calibration, calibration)
    narrow = RankCheck(
        calibration.names, calibration.ranks * 0, calibration.inside, calibration.effective, 2
    )
    assert "NOT as wide" in printed(print_calibration, narrow)


def test_criticism_is_drawn(criticism):
    figure = drawn(plot_criticism(criticism))
    assert figure.get_suptitle().startswith("INVENTED")
    support = plot_support(criticism)
    np.testing.assert_allclose(support.collections[1].get_offsets()[:, 0], criticism.delta)
    left = plot_left_out(criticism)
    means = [line.get_xdata()[0] for line in left.lines[1::2]]
    np.testing.assert_allclose(means, [np.nanmean(t.left_out) for t in criticism.tried])
    residuals = plot_residuals(criticism, FULL)
    t = criticism[FULL]
    at_end = t.difference[t.problem.swatches.minutes == 30.0].mean(axis=0)
    np.testing.assert_allclose([line.get_ydata()[-1] for line in residuals.lines[3:6]], at_end)


def test_criticism_in_words(criticism):
    text = printed(print_criticism, criticism)
    for line in criticism.findings:
        assert str(line) in text
    assert "order free" in text
