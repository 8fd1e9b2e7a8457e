"""The figure of computed photographs: every light and axis is drawn, and what it says is so."""

import numpy as np

from lift.make.photograph import LIGHTS
from lift.make.photographs import even_scene, figure, main, study, summary, uneven_scene


def test_a_study_is_the_same_each_time():
    one, two = (study(uneven_scene, 2, size=(280, 172)) for _ in range(2))
    np.testing.assert_array_equal(one.lab, two.lab)
    assert one.light.tolist() == ["D65", "LED-B3"]
    assert one.errors.shape == one.like_errors.shape == (2, 2)
    assert [held.shape for held in one.inside()] == [(2, 2, 3), (2, 2, 3), (2, 3)]
    # Within no, and within any number of standard deviations.
    assert not np.any(one.inside(0.0)[0])
    assert np.all(one.inside(1e3)[2])


def test_the_figure_has_a_row_a_light():
    draws = {"even": even_scene, "uneven": uneven_scene}
    found = {name: study(draw, 3, size=(280, 172)) for name, draw in draws.items()}
    sheet = figure(found)
    assert len(sheet.axes) == 3 * len(LIGHTS)
    said = summary(found, "A")
    assert f"{np.median(found['even'].errors[2]):.2f}" in said
    assert said in {axes.get_title(loc="left") for axes in sheet.axes}


def test_it_is_written(tmp_path, capsys):
    main(tmp_path / "made" / "photographs.png", count=3)
    assert (tmp_path / "made" / "photographs.png").stat().st_size > 10_000
    assert "nine in ten" in capsys.readouterr().out
