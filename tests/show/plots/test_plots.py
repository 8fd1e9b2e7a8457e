"""Pictures of a preview."""

import ast
import importlib
import inspect
import pkgutil
from itertools import pairwise

import matplotlib
import numpy as np
import pytest
from matplotlib.figure import Figure
from matplotlib.text import Text
from oracles.screen import alike, locks, marks, seen

from lift.errors import LiftError
from lift.model.curves import default_curves
from lift.model.hair import Hair
from lift.model.mixture import Mixture
from lift.model.natural import natural_path
from lift.practice.goal import Blend, Lighten
from lift.practice.preview import preview
from lift.show import plots, style
from lift.show.plots.figure import (
    OWN,
    SHIPPED,
    alt_text,
    lettered,
    new_figure,
    picture,
    save_figure,
)
from lift.show.plots.preview_plots import (
    plot_path,
    plot_preview,
    plot_strip,
    plot_warmth,
    strips_of,
    view_minutes,
)
from lift.words import note, say

HAIR, BASE_BREAK = Hair(7.0, "fine", damp=True), Mixture("base-break", 10.0)
HEADS = {"png": b"\x89PNG", "svg": b"<?xml", "pdf": b"%PDF"}


@pytest.fixture(scope="module")
def result():
    return preview(HAIR, BASE_BREAK, 5.0)


@pytest.fixture(scope="module")
def sheet(result):
    return plot_preview(result)


@picture(lambda x, **_: 5.0 + x, 2.0)
def dot(x, curves=SHIPPED, axes=OWN):
    """A picture of one dot."""
    axes.plot(x, x, "o")
    return lettered(axes, note("text", text=curves.name), alt=note("plot.minutes", minutes=x))


@picture(4.0, 2.0, style.CLASSROOM)
def wall(figure=OWN):
    """A sheet of two."""
    for axes, x in zip(figure.subplots(1, 2), (1.0, 2.0), strict=True):
        dot(x, axes=axes)
    return figure


def test_axes_are_given_back_or_made():
    given = new_figure(3, 2).add_subplot()
    assert dot(1.0, axes=given) is given
    own = dot(1.0)
    assert own.figure.get_size_inches().tolist() == [6.0, 2.0]
    # Nothing is left in pyplot's global list, and the caller's style is untouched.
    assert "matplotlib.pyplot" not in str(type(own.figure))
    assert matplotlib.rcParams["axes.grid"] is False


def test_curves_are_the_shipped_set_unless_given():
    mine = default_curves().replace(name="mine")
    assert dot(1.0).get_title(loc="left") == default_curves().name
    assert dot(1.0, None).get_title(loc="left") == default_curves().name
    assert dot(1.0, mine).get_title(loc="left") == "mine"


def test_the_look_of_a_sheet_holds_on_all_of_it():
    def sizes(figure):
        return {axes._left_title.get_fontsize() for axes in figure.axes}

    assert sizes(wall()) == {style.CLASSROOM["axes.titlesize"]}
    assert sizes(dot(1.0).figure) == {style.RC["axes.titlesize"]}


def test_a_picture_says_what_is_to_be_seen():
    assert alt_text(dot(3.0).figure) == "default. 3 min"
    assert alt_text(wall()) == "default. default. 1 min 2 min"
    assert alt_text(dot(3.0).figure, "Two dots.") == "default. Two dots."


def test_strip_shows_the_colours_at_their_times():
    """Also where the times are not evenly spaced: half of the strip is each colour's half."""
    minutes = np.array([0.0, 1.0, 2.0, 29.9, 30.0, 60.0])
    dark, light = [20.0, 2.0, 2.0], [60.0, 6.0, 20.0]
    lab = np.array([dark, dark, dark, dark, light, light])
    axes = plot_strip(minutes, lab)
    image = axes.images[0]
    columns = np.moveaxis(np.asarray(image.get_array()), 1, 0)
    assert image.get_extent()[:2] == [0.0, 60.0]
    assert axes.get_xlim() == (0.0, 60.0)
    at = np.linspace(0.0, 60.0, len(columns))
    found = np.array([seen(column) for column in columns])
    assert alike(found[at < 29], np.tile(dark, ((at < 29).sum(), 1)))
    assert alike(found[at > 31], np.tile(light, ((at > 31).sum(), 1)))
    assert axes.get_title(loc="left") or axes.get_title()


@pytest.fixture(scope="module")
def grey():
    return preview(HAIR.replace(grey_percent=30.0), BASE_BREAK, 8.0, members=20)


def test_grey_hair_is_a_strip_for_each_kind_and_one_as_seen(grey):
    shown = grey.drawn.central
    axes = plot_strip(**strips_of(shown, slice(0, -1)))
    names = [label.get_text() for label in axes.get_yticklabels()]
    assert names == ["pigmented fibres", "white fibres", "as seen"]
    strips = axes.images[:3]
    last = [seen(np.asarray(image.get_array())[:, -1]) for image in strips]
    assert alike(last, [c[-2] for c in (shown.pigmented, shown.white, shown.lab)])
    spans = [image.get_extent()[2:] for image in strips]
    assert all(above[0] > below[1] for above, below in pairwise(spans))
    assert len(plot_strip(shown.minutes[:-1], shown.lab[:-1]).get_yticks()) == 0


def test_warmth_of_grey_hair_is_that_of_the_pigmented_fibres(grey):
    lines = {line.get_label(): line.get_xydata() for line in plot_warmth(grey).lines}
    for label, name in (("median strand", "warmth"), ("as the eye blends them", "blend_warmth")):
        np.testing.assert_allclose(lines[label][:, 1], grey.drawn.band(name)[1][:-1])
    assert grey.drawn.band("blend_warmth")[1].min() > plot_warmth(grey).get_ylim()[0]


def test_path_of_grey_hair_is_that_of_the_pigmented_fibres(grey):
    axes = plot_path(grey)
    lines = {line.get_label(): line.get_xydata() for line in axes.lines}
    central = grey.drawn.central
    np.testing.assert_allclose(lines["pigmented fibres"], central.pigmented[:-1, 1:])
    np.testing.assert_allclose(lines["as the eye blends them"], central.lab[:-1, 1:])
    assert "this strand" not in lines
    assert alike(marks(axes)[1][-2:], [central.lab[-1], central.white[-1]])


def test_sheet_of_grey_hair_shows_both_kinds_beside_what_is_seen(grey):
    beside = plot_preview(grey).axes[-1]
    central = grey.drawn.central
    wanted = [central.lab[0], central.lab[-1], central.white[-1], central.pigmented[-1]]
    assert alike(locks(beside)[:4], wanted)


def test_warmth_shows_band_limit_and_window(result):
    axes = plot_warmth(result)
    low, median, high = result.drawn.band("warmth")
    lines = {line.get_label(): line.get_xydata() for line in axes.lines}
    np.testing.assert_allclose(lines["median strand"][:, 1], median[:-1])
    np.testing.assert_allclose(lines["median strand"][:, 0], result.window.minutes)
    assert lines["limit 3.0 dC*"][:, 1].tolist() == [3.0, 3.0]
    assert lines["5 min"].tolist() == [[5.0, median[-1]]]
    band = axes.collections[0].get_paths()[0].vertices
    assert band[:, 1].min() == pytest.approx(low[:-1].min())
    assert band[:, 1].max() == pytest.approx(high[:-1].max())
    (window,) = [p for p in axes.patches if p.get_alpha() == 0.15]
    assert window.get_x() == pytest.approx(result.window.opens)
    assert window.get_x() + window.get_width() == pytest.approx(result.window.closes)
    assert axes.get_xlabel() == "processing time [min]"
    assert axes.get_ylabel() == "warmth [dC*]"
    closes = result.window.closes
    assert f"Too warm for a natural blend from about {closes:.1f} min" in titles(axes)


def titles(axes):
    return " ".join(axes.get_title(loc=where) for where in ("left", "center", "right"))


@pytest.mark.parametrize(
    ("hair", "mixture", "goal", "title"),
    [
        (Hair(7.0), Mixture("cream", 0.0), Blend(), "Never past a natural blend within"),
        (
            Hair(5.0),
            Mixture("cream", 10.0),
            Blend(warmth=30.0),
            "Never past a natural blend within the time limit",
        ),
        (Hair(5.0), Mixture("powder", 20.0), Lighten(8.0, warmth=3.0), "Too warm for level 8"),
    ],
)
def test_title_says_what_was_found(hair, mixture, goal, title):
    found = preview(hair, mixture, 5.0, goal)
    axes = plot_warmth(found)
    assert title in titles(axes)
    # A bar for each place on the time line, its name below, and the window shaded.
    spans = found.window.spans(view_minutes(found))
    assert len(axes.patches) == len(spans) + int(found.window.exists)
    named = {text.get_text() for text in axes.findobj(Text)}
    assert {say(f"place.{span.place}") for span in spans} <= named


def test_view_reaches_past_the_window_and_the_asked_time(result):
    assert result.window.closes < view_minutes(result) <= 15.0
    assert view_minutes(preview(HAIR, BASE_BREAK, 12.0)) == 15.0
    goal = Blend(warmth=30.0)
    long = preview(Hair(5.0), Mixture("cream", 10.0), 55.0, goal, limit_minutes=40.0)
    assert view_minutes(long) >= 55.0


def test_path_shows_strand_natural_hair_and_ladder(result):
    axes = plot_path(result)
    lines = {line.get_label(): line.get_xydata() for line in axes.lines}
    np.testing.assert_allclose(lines["this strand"], result.drawn.central.lab[:-1, 1:])
    natural = natural_path(default_curves())
    shown = (natural.levels >= 1) & (natural.levels <= 10)
    np.testing.assert_allclose(lines["natural hair"], natural.lab[shown, 1:])
    assert [t.get_text() for t in axes.texts] == [str(n) for n in range(1, 11)]
    assert axes.get_aspect() in ("equal", 1.0)
    assert "a*" in axes.get_xlabel()
    assert "b*" in axes.get_ylabel()


def test_sheet_has_all_and_says_it_is_an_estimate(sheet):
    assert isinstance(sheet, Figure)
    assert len(sheet.axes) == 4
    head = sheet.get_suptitle()
    assert "base-break, 10 vol, natural level 7, 50 um, damp" in head
    assert "strand test first" in head


@pytest.mark.parametrize("ending", HEADS)
def test_pictures_are_written_whole(sheet, tmp_path, ending):
    path = tmp_path / f"picture.{ending}"
    save_figure(sheet, path)
    content = path.read_bytes()
    assert content.startswith(HEADS[ending])
    assert len(content) > 10_000
    assert [p.name for p in tmp_path.iterdir()] == [path.name]


def test_the_same_picture_gives_the_same_bytes(result, tmp_path):
    for name in ("one.svg", "two.svg"):
        save_figure(plot_preview(result), tmp_path / name)
    assert (tmp_path / "one.svg").read_bytes() == (tmp_path / "two.svg").read_bytes()


class Fails:
    """Figure that breaks off after the first bytes."""

    def savefig(self, out, **_):
        out.write(b"half")
        raise RuntimeError("drawing")


def full(*_):
    raise OSError(28, "No space left")


@pytest.mark.parametrize("disk", [False, True])
def test_nothing_half_written_is_left(tmp_path, monkeypatch, sheet, disk):
    path = tmp_path / "picture.png"
    path.write_bytes(b"older picture")
    if disk:
        monkeypatch.setattr("os.fsync", full)
    with pytest.raises((LiftError, RuntimeError)) as caught:
        save_figure(sheet if disk else Fails(), path)
    if disk:
        assert str(caught.value) == f"cannot write picture {str(path)!r}: No space left"
    assert [p.name for p in tmp_path.iterdir()] == ["picture.png"]
    assert path.read_bytes() == b"older picture"


def test_a_folder_in_the_way_is_said(sheet, tmp_path):
    path = tmp_path / "picture.png"
    path.mkdir()
    with pytest.raises(LiftError, match=r"cannot write picture .*picture\.png"):
        save_figure(sheet, path)
    assert [p.name for p in tmp_path.iterdir()] == ["picture.png"]


def test_style_keeps_hair_the_only_strong_colour():
    for name in ("INK", "SOFT", "FAINT", "PAPER"):
        channels = [int(getattr(style, name)[i : i + 2], 16) for i in (1, 3, 5)]
        assert max(channels) - min(channels) < 16


def pictures():
    for found in pkgutil.iter_modules(plots.__path__, f"{plots.__name__}."):
        for name, function in vars(importlib.import_module(found.name)).items():
            if name.startswith("plot_") and function.__module__ == found.name:
                yield pytest.param(function, id=f"{found.name.rpartition('.')[2]}.{name}")


@pytest.mark.parametrize("draw", [*pictures()])
def test_every_picture_goes_through_the_one_decorator_and_says_what_is_to_be_seen(draw):
    parameters = inspect.signature(draw).parameters
    assert draw.__wrapped__.__name__ == draw.__name__
    assert {"axes", "figure"} & set(parameters)
    if "axes" in parameters:
        source = inspect.getsource(draw.__wrapped__)
        assert source.count("return lettered(") == source.count("alt=note(") + source.count(
            "alt=alt"
        )
        # What is given back is what was given, with a title.
        returned = [n.value for n in ast.walk(ast.parse(source)) if isinstance(n, ast.Return)]
        assert returned
        assert all(ast.unparse(value).startswith("lettered(axes, ") for value in returned)
