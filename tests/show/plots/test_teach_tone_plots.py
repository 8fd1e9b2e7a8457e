"""Pictures that explain toning: what they show is what is computed."""

import numpy as np
import pytest

from lift.model.curves import default_curves
from lift.model.hair import Hair
from lift.model.mixture import Mixture
from lift.model.strand import strand_reflectance
from lift.model.trajectory import simulate
from lift.optics.dyes import palette
from lift.practice.stage_table import stage_table
from lift.practice.toning.tone_report import tone_report
from lift.show import style
from lift.show.plots import circle_plots, teach_plots

CURVES = default_curves()


@pytest.fixture(scope="module")
def report():
    return tone_report(simulate(Hair(level=5.0), Mixture("cream", 30.0), 40.0).pigment)


def test_answers_name_what_the_table_of_levels_names():
    axes = teach_plots.plot_answers()
    table = stage_table(CURVES)
    words = [t.get_text().replace("-\n", "-").replace("\n", " ") for t in axes.texts]
    for i in np.flatnonzero(table.tone.needed):
        found = table.wheel_and_dye[i]
        left = float(found.alone.residual[found.place])
        assert f"{found.direction.wheel} {left:.1f}" in words
        assert any(word.startswith(found.told[0]) for word in words)
        assert table.stages[i] in words
        assert f"{float(table.tone[i].hue_deg):.0f}\u00b0" in words


def test_dye_bands_peak_where_the_palette_says():
    axes = teach_plots.plot_dye_bands()
    for line, band in zip(axes.get_lines(), palette().values(), strict=True):
        peak = line.get_xdata()[np.argmax(line.get_ydata())]
        assert abs(peak - band.centres_nm[0]) <= 2.5
    assert len({line.get_linestyle() for line in axes.get_lines()}) >= 4


def test_toned_light_never_exceeds_the_light_before(report):
    before, after, _ = (line.get_ydata() for line in teach_plots.plot_toned_light(report).lines)
    assert np.all(after <= before + 1e-12)
    bare = strand_reflectance(report.answer.pigment, CURVES.values)
    assert np.allclose(before, 100.0 * bare)


def test_toned_light_names_the_dyes_and_the_cost(report):
    title = teach_plots.plot_toned_light(report).get_title("left")
    for dye in report.answer.tone:
        assert dye in title.lower()
    assert f"{report.answer.lightness_lost:.0f} L*" in title


def test_opposition_is_both_circles_in_the_house_style(report):
    figure = circle_plots.plot_opposition(report)
    titles = [axes.get_title("left") for axes in figure.get_axes()]
    assert titles[0].startswith("CIELAB")
    assert titles[1].startswith("The wheel says")
    assert figure.get_axes()[0]._left_title.get_fontsize() == style.RC["axes.titlesize"]
