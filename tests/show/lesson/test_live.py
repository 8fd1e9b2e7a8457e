"""The live picture: right, and fast enough to drag."""

import re
from io import BytesIO

import numpy as np
import pytest
from matplotlib.text import Text
from PIL import Image

from lift.errors import LiftError
from lift.model.curves import default_curves
from lift.model.hair import Hair
from lift.model.mixture import Mixture
from lift.model.mixtures import mixture_classes
from lift.optics.colorimetry import delta_e_2000
from lift.optics.dyes import palette
from lift.practice.goal import Blend
from lift.practice.preview import preview
from lift.quantities import quantities_of, typed_quantities
from lift.show.lesson.animate import animate_lightening
from lift.show.lesson.live import PLACES_SHOWN, LivePicture, moment
from lift.words import say

CURVES = default_curves()
HAIR, MIXTURE = Hair(level=6.0), Mixture("cream", 20.0)


def drawn(*moments):
    picture = LivePicture()
    for now in moments:
        picture.show(now)
        pixels = picture.pixels().copy()
    return pixels


def test_moment_agrees_with_preview():
    now = moment(HAIR, MIXTURE, 9.0)
    result = preview(HAIR, MIXTURE, 9.0, Blend())
    assert now.p_too_warm == result.p_too_warm
    assert now.window.closes == result.window.closes
    assert now.warmth == float(result.drawn.central.warmth[-1])
    assert now.stage == result.stage


def test_words_say_overshoot_only_past_the_limit():
    early, late = moment(HAIR, MIXTURE, 5.0), moment(HAIR, MIXTURE, 25.0)
    assert "overshoot" not in early.words
    assert f"overshoot {25.0 - late.window.too_warm_at:.1f} min" in late.words
    assert "no window" in moment(HAIR, Mixture("cream", 0.0), 5.0).words


def test_hair_that_has_gone_through_too_warm_is_past_the_goal():
    """No overshoot beside no strand that is too warm: by then it is over, and nothing is left."""
    hair, mixture = Hair(level=8.0, lightened_to=9.0), Mixture("powder", 30.0, temperature_c=40.0)
    now = moment(hair, mixture, 60.0)
    limit = now.window.target.warmth_limit
    assert now.warmth <= limit
    assert now.window.too_warm_at is not None
    assert "overshoot" not in now.words
    assert "in 100 strands too warm" not in now.words
    assert now.words.endswith("and past that by now: it is missed for good.")
    assert "level 10+, past the scale (lift at least 2.0)" in now.words


def test_cautions_of_a_moment_are_shown_below_the_sliders():
    pytest.importorskip("ipywidgets")
    from lift.show.lesson.interactive import Explorer

    pale, strong = Hair(level=9.0, lightened_to=10.0), Mixture("powder", 30.0, temperature_c=45.0)
    explorer = Explorer(pale, strong, 45.0)
    for words in ("OVER-PROCESSED", "At the edge: temperature 45 C", "Allergy test 48 h"):
        assert words in explorer.shown.value
    assert "Not under 16" in re.sub(r'src="[^"]*"', "", explorer.shown.value)
    assert "OVER-PROCESSED" not in Explorer(HAIR, MIXTURE, 5.0).shown.value


def test_grey_hair_is_seen_and_told_as_both_kinds():
    now = moment(HAIR.replace(grey_percent=30.0), MIXTURE, 25.0)
    plain = moment(HAIR, MIXTURE, 25.0)
    assert (now.warmth, now.stage) == (pytest.approx(plain.warmth), plain.stage)
    assert "Blended by the eye, warmth is" in now.words
    assert "Blended" not in plain.words
    picture = LivePicture()
    picture.show(now)
    assert [t.get_text() for t in picture._labels] == [
        "pigmented\nfibres",
        "white\nfibres",
        "as\nseen",
    ]
    path = picture._moving["path"].get_xydata()
    picture.show(plain)
    np.testing.assert_allclose(path, picture._moving["path"].get_xydata(), atol=1e-6)
    assert picture._labels[0].get_text().split() == say("live.now").split()


def test_nothing_of_the_last_moment_stays():
    first, second = moment(HAIR, MIXTURE, 30.0), moment(Hair(level=3.0), MIXTURE, 5.0)
    assert np.array_equal(drawn(first, second), drawn(second))
    assert not np.array_equal(drawn(first), drawn(second))


def test_a_moment_without_window_shades_nothing():
    picture = LivePicture()
    picture.show(moment(HAIR, MIXTURE, 5.0))
    picture.show(moment(HAIR, Mixture("cream", 0.0), 5.0))
    assert picture._moving["window"].get_width() == 0.0
    assert picture._places["inside"].get_width() == 0.0


def test_every_minute_of_the_time_line_is_named():
    picture = LivePicture()
    now = moment(HAIR, MIXTURE, 10.0)
    picture.show(now)
    bars = [(bar.get_x(), bar.get_x() + bar.get_width()) for bar in picture._places.values()]
    shown = sorted(bar for bar in bars if bar[1] > bar[0])
    assert shown == [(s.starts, s.ends) for s in now.window.spans(60.0)]
    names = [t.get_text() for t in picture.figure.findobj(Text)]
    assert {say(f"place.{place}") for place in PLACES_SHOWN} <= set(names)


def test_jpeg_holds_the_pixels_and_stays_small():
    picture = LivePicture()
    picture.show(moment(HAIR, MIXTURE, 10.0))
    data = picture.jpeg()
    with Image.open(BytesIO(data)) as image:
        off = np.abs(np.asarray(image, dtype=float) - picture.pixels())
    assert off.mean() < 0.01 * 255.0
    # A server of notebooks lets 1 MB a second through: 15 pictures as text.
    assert len(data) < 50_000


def test_time_past_the_limit_is_refused():
    with pytest.raises(LiftError, match="processing time"):
        moment(HAIR, MIXTURE, 61.0)


def test_explorer_follows_its_sliders():
    pytest.importorskip("ipywidgets")
    from lift.show.lesson.interactive import Explorer

    explorer = Explorer(HAIR, MIXTURE, 5.0)
    control = explorer.controls
    seen = {explorer.shown.value}
    for name, value in (
        ("minutes", 12.5),
        ("volume", 30.0),
        ("level", 4.0),
        ("fibre", 50.0),
        ("damp", True),
        ("mixture", "powder"),
    ):
        control[name].value = value
        seen.add(explorer.shown.value)
    assert len(seen) == 7
    assert (explorer.hair.level, explorer.hair.fibre_um, explorer.hair.damp) == (4.0, 50.0, True)
    assert (explorer.mixture.kind, explorer.mixture.volume) == ("powder", 30.0)
    assert explorer.update().words in explorer.shown.value
    control["play"].value = 14
    assert control["minutes"].value == 7.0


def test_explorer_has_a_control_for_every_declared_property():
    pytest.importorskip("ipywidgets")
    from lift.show.lesson.interactive import Explorer

    control = Explorer(HAIR, MIXTURE, 5.0).controls
    for name, (_, q) in typed_quantities(Hair, Mixture).items():
        usual = q.default is not None or q.required or q.flag is not None
        assert (name in control) == (name != "carry"), name
        assert (f"{name}_given" in control) == (not usual), name
        if hasattr(control.get(name), "min"):
            shown = control[name]
            assert (shown.min, shown.max, shown.step) == (q.low, q.high, q.step)
            assert shown.description.endswith(f"[{q.unit}]" if q.unit else "")
    others = set(control) - typed_quantities(Hair, Mixture).keys()
    behind = {name for name in others if name.endswith(("_given", "_value"))}
    dyes = {f"carry_{dye}" for dye in palette()}
    assert others - behind - dyes == {"play", "minutes", "boost", "tone_minutes"}


def test_what_is_usually_left_to_the_class_counts_once_it_is_ticked():
    pytest.importorskip("ipywidgets")
    from lift.show.lesson.interactive import Explorer

    explorer = Explorer(HAIR, MIXTURE, 5.0)
    control = explorer.controls
    assert control["ph"].value == pytest.approx(CURVES.values["cream_ph"], abs=0.05)
    assert control["ph"].disabled
    before = explorer.now.level
    control["ph_given"].value = True
    assert not control["ph"].disabled
    control["ph"].value = 8.5
    assert explorer.mixture.ph == 8.5
    assert explorer.now.level < before
    control["ph_given"].value = False
    assert explorer.mixture.ph is None
    assert explorer.now.level == before
    control["carry_given"].value = True
    control["carry_violet"].value = 4.0
    assert dict(explorer.mixture.tone) == {"violet": 4.0}
    control["red"].value = True
    control["red_value"].value = 0.5
    assert explorer.hair.pheomelanin_share == 0.5


def test_two_strands_are_linked_but_in_what_differs():
    pytest.importorskip("ipywidgets")
    from lift.show.lesson.interactive import Explorer

    first = Explorer(HAIR, MIXTURE, 5.0)
    both = first.beside(volume=40.0, damp=True)
    first.controls["minutes"].value = 20.0
    first.controls["level"].value = 5.0
    first.controls["volume"].value = 10.0
    assert (both.second.now.minutes, both.second.hair.level) == (20.0, 5.0)
    assert (both.second.mixture.volume, both.second.hair.damp) == (40.0, True)
    assert not first.hair.damp
    both.second.controls["fibre"].value = 90.0
    assert first.hair.fibre_um == 90.0
    off = delta_e_2000(*(e.now.drawn.central.lab[-1] for e in (first, both.second)))
    assert f"dE00 {off:.1f}" in both.apart.value
    shown = both._repr_mimebundle_()
    assert shown["text/html"].count("<img") == 2
    assert shown["text/html"].count("Allergy test") == 2
    assert both.words in shown["text/plain"]
    with pytest.raises(LiftError, match="did you mean level"):
        first.beside(levle=7)


def test_explorer_keeps_what_it_is_given():
    pytest.importorskip("ipywidgets")
    from lift.show.lesson.interactive import Explorer

    hair = Hair(5.5, "fine", pheomelanin_share=0.5, grey_percent=20.0, lightened_to=7.0)
    mixture = Mixture(
        "powder", 15.0, ph=9.9, temperature_c=35.0, tone={"blue": 1.0}, developer_parts=1.5
    )
    explorer = Explorer(hair, mixture, 5.0)
    for name in quantities_of(Hair):
        assert getattr(explorer.hair, name) == getattr(hair, name), name
    for name in quantities_of(Mixture):
        assert getattr(explorer.mixture, name) == getattr(mixture, name), name
    assert explorer.update().level == moment(hair, mixture, 5.0).level
    explorer.controls["red"].value = False
    explorer.controls["lightened_to"].value = 8.0
    assert (explorer.hair.pheomelanin_share, explorer.hair.lightened_to) == (None, 8.0)
    explorer.controls["red"].value = True
    assert explorer.hair.pheomelanin_share == 0.5


def test_what_a_class_has_of_its_own_follows_the_class():
    pytest.importorskip("ipywidgets")
    from lift.show.lesson.interactive import Explorer

    explorer = Explorer(HAIR, MIXTURE, 5.0)
    explorer.controls["mixture"].value = "powder"
    assert explorer.mixture.developer_parts == mixture_classes()["powder"].developer_parts
    assert Explorer(Hair(6.0, pheomelanin_share=0.33), MIXTURE, 5.0).controls["red"].value is True


def test_explorer_refuses_in_words_and_keeps_its_picture():
    pytest.importorskip("ipywidgets")
    from lift.show.lesson.interactive import Explorer

    explorer = Explorer(HAIR, MIXTURE, 5.0)
    before = explorer.update().words
    explorer.controls["volume"].value = 100.0
    assert "12 % H2O2" in explorer.shown.value
    assert f'<img alt="{before}"' in explorer.shown.value
    assert "Allergy test" in explorer.shown.value
    explorer.controls["volume"].value = 20.0
    assert "12 % H2O2" not in explorer.shown.value
    with pytest.raises(LiftError, match="processing time"):
        Explorer(HAIR, MIXTURE, 61.0)


def test_explorer_without_a_kernel_shows_a_still_picture_with_alt_text():
    pytest.importorskip("ipywidgets")
    from lift.show.lesson.interactive import Explorer

    explorer = Explorer(HAIR, MIXTURE, 5.0)
    shown = explorer._repr_mimebundle_()
    words = explorer.update().words
    assert shown["text/plain"] == words
    assert f'<img alt="{words}"' in shown["text/html"]
    assert "Allergy test" in shown["text/html"]
    assert "application/vnd.jupyter.widget-view+json" in shown


def test_animation_runs_through_time_and_stands_at_its_end():
    shown = animate_lightening(HAIR, MIXTURE, 20.0, frames=5, seconds=1.0)
    assert "from 0 to 20 min" in shown.text
    import base64

    data = shown.html.split("base64,")[1].split('"')[0]
    with Image.open(BytesIO(base64.b64decode(data))) as image:
        assert image.n_frames == 5
        frames = []
        for index in range(5):
            image.seek(index)
            image.load()
            frames.append((image.info["duration"], np.asarray(image.convert("RGB"), dtype=float)))
    assert [f[0] for f in frames] == [200] * 4 + [2500]
    assert np.abs(frames[0][1] - frames[-1][1]).mean() > 1.0


@pytest.mark.parametrize("bad", [{"frames": 1}, {"seconds": 0.5}, {"minutes": 61.0}])
def test_animation_refuses(bad):
    with pytest.raises(LiftError):
        animate_lightening(HAIR, MIXTURE, **bad)
