"""Pictures and page of a tuning: what is drawn is what was found."""

import json
import re
from dataclasses import replace
from html.parser import HTMLParser

import numpy as np
import pytest
from matplotlib.backends.backend_agg import FigureCanvasAgg
from oracles.screen import alike, marks

from lift import LiftError
from lift.answers import to_dict
from lift.research.swatches.generate import design, synthetic_laboratory
from lift.research.tuning.tune import tune
from lift.show.plots.figure import save_figure
from lift.show.plots.tune_plots import (
    MOST_SERIES,
    plot_correlations,
    plot_differences,
    plot_estimates,
    plot_held_out,
    plot_series,
    plot_tuning,
)
from lift.show.report.tune_page import tuning_page, write_page

pytestmark = pytest.mark.slow


def title(axes):
    return axes.get_title(loc="left") or axes.get_title()


def drawn(figure):
    FigureCanvasAgg(figure).draw()


def test_series_show_the_measured_colours(tuning, laboratory):
    axes = plot_series(tuning)
    assert len([c for c in axes.collections if len(c.get_offsets())]) == 8
    table = laboratory.swatches
    own = table.swatch == 2
    places, found = marks(axes)
    row = np.isclose(places[:, 1], 2.5)
    assert alike(found[row], table.lab[own])
    np.testing.assert_allclose(places[row, 0], table.minutes[own])


def test_estimates_show_intervals_and_what_is_open(tuning):
    axes = plot_estimates(tuning)
    assert title(axes) == "5 of 5 parameters determined (90% intervals)"
    first = tuning.estimates[0]
    interval = axes.lines[0].get_xdata()
    np.testing.assert_allclose(interval, np.array([first.low, first.high]) / first.before)
    beliefs = (replace(first, verdict="no_high"), *tuning.posterior.beliefs[1:])
    opened = replace(tuning, posterior=replace(tuning.posterior, beliefs=beliefs))
    axes = plot_estimates(opened)
    assert title(axes).startswith("4 of 5")
    assert any(line.get_marker() == ">" for line in axes.lines)


def test_differences_are_all_there(tuning):
    axes = plot_differences(tuning)
    before, after = (line.get_xdata() for line in axes.lines[:2])
    np.testing.assert_allclose(before, tuning.difference_before)
    np.testing.assert_allclose(after, tuning.difference)
    assert f"{tuning.difference.mean():.2f} tuned" in title(axes)


def test_held_out_or_not(tuning):
    held_out = tuning.held_out
    assert f"{held_out.tuned.mean():.2f} tuned" in title(plot_held_out(tuning))
    assert title(plot_held_out(replace(tuning, held_out=None))) == "No swatch was left out"


def test_correlations_are_printed(tuning):
    axes = plot_correlations(tuning)
    texts = [t.get_text() for t in axes.texts]
    assert texts == [f"{r:+.2f}" for r in tuning.correlations.ravel()]


def test_sheet_says_invented(tuning, tmp_path):
    figure = plot_tuning(tuning)
    assert "INVENTED" in figure.get_suptitle()
    save_figure(figure, tmp_path / "sheet.png")
    assert (tmp_path / "sheet.png").stat().st_size > 50_000


def test_many_swatches_stay_readable():
    made = synthetic_laboratory(design(50, minutes=(0.0, 20.0)), seed=1)
    many = tune(
        made.swatches,
        free=("lightening_rate",),
        starts=1,
        own_rates=False,
        leave_swatches_out=False,
    )
    axes = plot_series(many)
    assert f"first {MOST_SERIES} of 50" in title(axes)
    assert len(plot_differences(many).get_yticks()) == 25
    drawn(plot_tuning(many))


class Page(HTMLParser):
    def __init__(self, text):
        super().__init__()
        self.tags, self.links, self.cells = [], [], []
        self.feed(text)

    def handle_starttag(self, tag, attributes):
        self.tags.append(tag)
        self.links += [v for k, v in attributes if k in ("src", "href", "xlink:href")]

    def handle_data(self, data):
        self.cells.append(data.strip())


def test_page_needs_nothing_beside_it(tuning):
    text = tuning_page(tuning)
    page = Page(text)
    assert page.tags.count("svg") == 6
    assert all(link.startswith(("#", "data:image/png")) for link in page.links)
    assert "@import" not in text
    assert "url(http" not in text
    assert text.count('role="img" aria-label=') == 6
    assert "INVENTED readings: no hair was measured." in page.cells
    for e in tuning.estimates:
        assert e.name in page.cells
        assert f"{e.value:.4g}" in page.cells


def test_page_carries_the_json_form(tuning):
    text = tuning_page(tuning)
    (carried,) = re.findall(
        r'<script type="application/json" id="tuning">(.*?)</script>', text, re.S
    )
    assert json.loads(carried) == json.loads(json.dumps(to_dict(tuning)))


def test_names_from_a_file_cannot_break_the_page(laboratory):
    evil = "</script><script>alert(1)</script>&"
    table = laboratory.swatches.replace(
        names=(evil, *laboratory.swatches.names[1:]), source=evil, sha256="x"
    )
    found = tune(table, free=("lightening_rate",), starts=1, leave_swatches_out=False)
    text = tuning_page(found)
    assert "<script>alert" not in text
    assert Page(text).tags.count("script") == 1


def test_page_is_written_whole_or_not_at_all(tuning, tmp_path):
    write_page(tuning, tmp_path / "page.html")
    assert (tmp_path / "page.html").read_text("utf-8").endswith("</html>")
    (tmp_path / "folder.html").mkdir()
    with pytest.raises(LiftError, match="cannot write page"):
        write_page(tuning, tmp_path / "folder.html")
    assert sorted(p.name for p in tmp_path.iterdir()) == ["folder.html", "page.html"]
