"""Mixture: strength on the head, properties of each kind, and what is refused."""

from dataclasses import FrozenInstanceError

import numpy as np
import pytest

from lift.errors import LiftError, LimitError
from lift.model.course import tone_formed
from lift.model.curves import default_curves
from lift.model.mixture import Mixture
from lift.model.mixtures import mixture_classes
from lift.quantities import quantities_of

VALUES = default_curves().values


@pytest.mark.parametrize("kind", list(mixture_classes()))
def test_the_product_dilutes_the_developer(kind):
    parts = mixture_classes()[kind].developer_parts
    mixture = Mixture(kind, 30.0)
    assert mixture.developer_parts == parts
    assert mixture.on_head_volume == pytest.approx(30.0 * parts / (1.0 + parts))
    assert Mixture(kind, 30.0, developer_parts=3).on_head_volume == pytest.approx(22.5)


def test_several_developers_are_mixed_by_volume():
    """(2 x 10 + 1 x 40) / 3 = 20 vol."""
    blend = Mixture("cream", ((10, 2), (40, 1)))
    assert blend.developer_volume == pytest.approx(20.0)
    assert blend.on_head_volume == pytest.approx(10.0)
    assert blend.volume == ((10, 2), (40, 1))
    assert Mixture("cream", ((20, 1),)).developer_volume == Mixture("cream", 20).developer_volume


@pytest.mark.parametrize("bad", [(), (10, 20), ((10, 2), (20,)), ((10, 2, 1),)])
def test_other_shapes_of_several_developers_are_refused(bad):
    with pytest.raises(LiftError, match=r"\(\(volume, parts\), \.\.\.\)"):
        Mixture("cream", bad)


def test_bad_numbers_of_several_developers_are_refused():
    with pytest.raises(LiftError, match="developer and parts 101"):
        Mixture("cream", ((101, 1),))
    with pytest.raises(LiftError, match="add up to 0"):
        Mixture("cream", ((10, 0), (20, 0)))
    with pytest.raises(LiftError, match="nan"):
        Mixture("cream", ((np.nan, 1),))


def test_over_twelve_percent_on_the_head_is_refused_naming_the_regulation():
    assert Mixture("powder", 60.0).on_head_volume == pytest.approx(40.0)
    with pytest.raises(LimitError, match=r"1223/2009, Annex III.*12 %.*nearest allowed: 40 vol"):
        Mixture("powder", 60.1)
    with pytest.raises(LimitError, match=r"13.7 % H2O2"):
        Mixture("cream", 50.0, developer_parts=9.0)
    with pytest.raises(LimitError, match="refused"):
        Mixture("cream", [20.0, 90.0])
    with pytest.raises(LimitError, match="refused"):
        Mixture("cream", ((100, 1), (90, 1)))
    with pytest.raises(LimitError, match="refused"):
        Mixture("cream", 20.0).replace(volume=100.0)


@pytest.mark.parametrize(
    ("field", "low", "high"),
    [
        ("volume", 0.0, 100.0),
        ("developer_parts", 0.1, 10.0),
        ("ph", 2.0, 13.0),
        ("boost", 1.0, 20.0),
        ("temperature_c", 10.0, 50.0),
        ("tone_minutes", 0.5, 60.0),
    ],
)
def test_ranges(field, low, high):
    name = str(quantities_of(Mixture)[field].label)
    base = {"kind": "cream", "volume": 20.0, "developer_parts": 0.5}
    for value in (low, high):
        assert getattr(Mixture(**{**base, field: value}), field) == value
    for value in (low - 0.01, high + 0.01, np.inf, -np.inf, np.nan):
        with pytest.raises(LiftError, match=f"{name} .* is outside {low:g} to {high:g}"):
            Mixture(**{**base, field: value})
    with pytest.raises(LiftError, match="not a number"):
        Mixture(**{**base, field: "strong"})


def test_what_is_checked_is_what_is_kept():
    mixture = Mixture("cream", "20", ph="10", temperature_c=30, tone={"violet": "2"})
    assert (mixture.volume, mixture.ph, mixture.temperature_c) == (20.0, 10.0, 30.0)
    assert dict(mixture.tone) == {"violet": 2.0}
    volumes = np.array([10.0, 20.0])
    several = Mixture("cream", volumes)
    volumes[0] = 99.0
    assert several.volume.tolist() == [10.0, 20.0]
    assert several.on_head_volume.tolist() == [5.0, 10.0]
    with pytest.raises(TypeError):
        mixture.tone["violet"] = 9.0
    with pytest.raises(FrozenInstanceError):
        mixture.volume = 9.0


def test_names():
    with pytest.raises(LiftError, match=r"mixture 'powdr' is not one of.*did you mean powder"):
        Mixture("powdr")
    with pytest.raises(LiftError, match=r"dye 'violett'.*did you mean violet"):
        Mixture(tone={"violett": 1.0})
    with pytest.raises(LiftError, match=r"mixture field 'volum'.*did you mean volume"):
        Mixture().replace(volum=10.0)
    with pytest.raises(LiftError, match="mixture field '_volume'"):
        Mixture().replace(_volume=10.0)


@pytest.mark.parametrize("dose", [-0.1, 60.1, np.nan, np.inf, "much", True, [1.0]])
def test_doses(dose):
    with pytest.raises(LiftError, match="dose of violet"):
        Mixture(tone={"violet": dose})


def test_replace_keeps_the_rest():
    mixture = Mixture("powder", 20.0, ph=9.5, tone={"blue": 1.0}, tone_minutes=4.0)
    weaker = mixture.replace(volume=10.0)
    assert weaker.volume == 10.0
    assert (weaker.kind, weaker.ph, weaker.tone_minutes) == ("powder", 9.5, 4.0)
    assert dict(weaker.tone) == {"blue": 1.0}
    assert mixture.volume == 20.0


def test_properties_come_from_the_curve_set():
    for kind in mixture_classes():
        properties = Mixture(kind).properties(VALUES)
        assert properties["ph"] == VALUES[f"{kind.replace('-', '_')}_ph"]
        assert properties["tone_minutes"] == VALUES["tone_minutes"]
        assert properties["boost"] == (VALUES["powder_boost"] if kind == "powder" else 1.0)
    carried = Mixture("base-break").properties(VALUES)["tone"]
    assert carried == {"violet": VALUES["base_break_violet_dose"]}
    assert Mixture("cream").properties(VALUES)["tone"] == {}
    # A base break is more alkaline than a cream.
    assert VALUES["base_break_ph"] > VALUES["cream_ph"]


def test_every_property_can_be_overridden():
    mixture = Mixture("base-break", ph=9.0, boost=3.0, tone={"blue": 2.0}, tone_minutes=4.0)
    assert mixture.properties(VALUES) == {
        "ph": 9.0,
        "boost": 3.0,
        "persulfate": 0.0,
        "powder_share": 0.5,
        "film_ratio": VALUES["base_break_film"],
        "tone": {"blue": 2.0},
        "tone_minutes": 4.0,
    }
    assert Mixture("base-break", tone={}).properties(VALUES)["tone"] == {}
    assert Mixture("powder", boost=1.0).properties(VALUES)["boost"] == 1.0


def test_tone_forms_as_a_first_order_approach():
    """63.2 % after one time constant, 95.0 % after three."""
    assert tone_formed(np.array(0.0), 2.0, 8.0) == 0.0
    assert tone_formed(np.array(8.0), 2.0, 8.0) == pytest.approx(2.0 * 0.6321205588)
    assert tone_formed(np.array(24.0), 2.0, 8.0) == pytest.approx(2.0 * 0.9502129316)
    assert tone_formed(np.array(1e9), 2.0, 8.0) == 2.0
    # Only the ratio of the times counts, and the dose scales.
    assert tone_formed(np.array(60.0), 4.0, 30.0) == pytest.approx(
        2.0 * tone_formed(np.array(2.0), 2.0, 1.0)
    )
    assert tone_formed(np.linspace(0, 9, 4)[:, None], 1.0, np.array([2.0, 8.0])).shape == (4, 2)
    assert np.isnan(tone_formed(np.array(np.nan), 1.0, 8.0))
