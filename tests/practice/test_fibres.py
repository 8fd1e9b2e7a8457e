"""Grey hair told as two kinds of hair."""

import numpy as np
import pytest

from lift.answers import to_dict
from lift.answers.encode import plain
from lift.answers.fibres import fibres_part
from lift.model.curves import default_curves
from lift.model.hair import Hair
from lift.model.mixture import Mixture
from lift.model.natural import natural_path
from lift.model.strand import natural_pigment, strand_fibres, white_lab
from lift.optics.colorimetry import delta_e_2000
from lift.practice.fibres import grey_look
from lift.practice.preview import preview
from lift.words import says

CURVES = default_curves()
VALUES = CURVES.values
PATH = natural_path(CURVES)
STRAND = natural_pigment(7.0, 0.05, VALUES)
BASE_BREAK = Mixture("base-break", 10.0)


def look(grey, resistant=0.0, **tone):
    fibres = strand_fibres(
        STRAND, VALUES, tone=tone, grey_percent=grey, resistant_percent=resistant
    )
    return grey_look(fibres, grey, resistant, CURVES)


def test_hair_without_grey_is_not_told():
    assert look(0.0, violet=6.0) is None
    assert fibres_part(None) is None


def test_values():
    found = look(30.0, 40.0, violet=6.0)
    assert found.warmth == pytest.approx(float(PATH.warmth(found.pigmented)))
    assert found.blend_warmth == pytest.approx(float(PATH.warmth(found.blend)))
    assert found.tinted_by == pytest.approx(float(delta_e_2000(found.white, white_lab(VALUES))))
    assert found.tint == "blue-violet"
    assert look(30.0).tint == ""
    assert look(30.0).tinted_by == pytest.approx(0.0, abs=1e-4)
    assert look(30.0, 100.0, violet=6.0).tint == ""
    assert look(30.0, 40.0, violet=6.0).tinted_by < look(30.0, violet=6.0).tinted_by


def test_what_is_said():
    pigmented, white, blend = says(look(30.0, 40.0, violet=6.0).notes())
    assert pigmented.startswith("Pigmented fibres, which decide: L* ")
    assert "30 % of all (40 % of them take no colour), tinted blue-violet by the tone" in white
    assert "hide" not in blend
    assert "no tint seen" in says(look(30.0).notes())[1]
    assert says(look(100.0).notes())[0].startswith("No pigmented fibre is left")
    assert look(100.0).all_white
    assert not look(99.0).all_white


@pytest.mark.parametrize(
    ("minutes", "limit", "hides"), [(15.0, 3.0, True), (15.0, 20.0, False), (0.0, 3.0, False)]
)
def test_white_fibres_are_said_to_hide_warm_ones_where_they_do(minutes, limit, hides):
    hair = Hair(7.0, "fine", damp=True, grey_percent=30.0)
    grey = preview(hair, BASE_BREAK, minutes, members=2).grey
    assert (grey.warmth > limit >= grey.blend_warmth) is hides
    assert ("hide warm ones" in says(grey.notes(limit))[2]) is hides


def test_warmth_of_red_hair_counts_from_red_hair():
    hair = Hair(7.0, pheomelanin_share=0.4, grey_percent=30.0)
    seen = preview(hair, Mixture("cream", 20.0), 20.0, members=2)
    central = seen.drawn.central
    assert seen.grey.warmth == pytest.approx(float(central.warmth[-1]))
    assert seen.grey.blend_warmth == pytest.approx(float(central.blend_warmth[-1]))


def test_part():
    grey = look(30.0, 40.0, violet=6.0)
    part = plain(fibres_part(grey, 3.0))
    assert (part["grey_percent"], part["resistant_percent"]) == (30.0, 40.0)
    for name in ("pigmented", "white", "blend"):
        assert part[name] == pytest.approx(getattr(grey, name), abs=1e-4)
    assert part["text"] == says(grey.notes(3.0))
    assert [code["code"] for code in part["text_codes"]][:2] == [
        "fibres.pigmented",
        "fibres.whites",
    ]


def test_a_preview_tells_both_kinds_and_what_is_seen():
    hair = Hair(7.0, "fine", damp=True, grey_percent=30.0)
    grey, none = (preview(h, BASE_BREAK, 15.0) for h in (hair, hair.replace(grey_percent=0.0)))
    found, without = to_dict(grey), to_dict(none)
    assert without["at"]["fibres"] is None
    assert without["at"]["lab"] == without["at"]["pigmented"]
    assert without["at"]["warmth"] == without["at"]["blend_warmth"]
    assert without["curve"]["pigmented"] is without["curve"]["white"] is None
    for name in ("level", "lift", "warmth", "pigmented"):
        for end, value in without["at"][name].items():
            assert found["at"][name][end] == pytest.approx(value, abs=2e-3), (name, end)
    for name in ("stage", "p_too_warm"):
        assert found["at"][name] == without["at"][name]
    assert found["tone"]["wheel"] == without["tone"]["wheel"]
    assert found["window"]["closes"] == pytest.approx(without["window"]["closes"], abs=0.01)
    assert found["at"]["blend_warmth"]["median"] < 3.0 < found["at"]["warmth"]["median"]
    fibres, course = found["at"]["fibres"], found["curve"]
    assert fibres["warmth"] == pytest.approx(float(grey.drawn.central.warmth[-1]), abs=1e-4)
    assert np.shape(course["pigmented"]) == np.shape(course["white"]) == np.shape(course["lab"])
    np.testing.assert_allclose(course["pigmented"], without["curve"]["lab"], atol=2e-3)
