"""Laws that hold for every hair, mixture and time, as properties over all their ranges.

They are the laws of the model's shipped curve set. Two things are laws of optics rather than of
lightening and are worded for the pigmented fibres alone (``Trajectory.underpigment``): grey fibres
and deposited tone have colours of their own.
"""

import numpy as np
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from lift.model.curves import default_curves
from lift.model.domain import longest_minutes
from lift.model.ensemble import ensemble
from lift.model.hair import FIBRE_RANGE, LEVEL_RANGE, Hair
from lift.model.mixture import Mixture
from lift.model.mixtures import mixture_classes
from lift.model.strand import hair_pigment, lightened, strand_lab
from lift.model.trajectory import simulate
from lift.optics.adapter import OBSERVERS
from lift.optics.colorimetry import chroma, hue_deg, reflectance_to_lab
from lift.optics.reflectance import diffusion, hair_reflectance
from lift.optics.weights import PREPARED, WAVELENGTHS_NM
from lift.practice.goal import Blend
from lift.practice.target import resolve_goal
from lift.practice.window import window_of

CURVES = default_curves()
EXPOSURE = np.linspace(0.0, 60.0, 2401)
TINY = 1e-9
"""Rounding: L* and lift are sums over 81 wavelengths and an interpolation [CIELAB, levels]."""

BARE_LIGHTNESS = 70.0
"""L* where next to no melanin is left; bare, unpigmented fibres have 74.7."""


@st.composite
def hairs(draw, grey=True):
    level = draw(st.floats(*LEVEL_RANGE))
    before = draw(st.none() | st.floats(0.0, 1.0))
    return Hair(
        level=level,
        fibre_um=draw(st.floats(*FIBRE_RANGE)),
        damp=draw(st.booleans()),
        pheomelanin_share=draw(st.none() | st.floats(0.0, 1.0)),
        grey_percent=draw(st.floats(0.0, 100.0)) if grey else 0.0,
        resistant_percent=draw(st.floats(0.0, 100.0)) if grey else 0.0,
        lightened_to=None if before is None else level + before * (LEVEL_RANGE[1] - level),
    )


def inside(name, kind):
    """Anywhere in the domain of a class of mixture; outside it nothing is predicted."""
    bound = mixture_classes()[kind].bound(name)
    return st.floats(bound.low, bound.high)


def minutes_of(mixture):
    """All times that are predicted of a mixture [min]."""
    return np.linspace(0.0, longest_minutes(mixture, CURVES), 61)


NO_TONE = st.just({})
DOSES = st.floats(0.0, 60.0)
ANY_TONE = st.none() | st.fixed_dictionaries({"violet": DOSES, "green": DOSES})


@st.composite
def mixtures(draw, tone=NO_TONE):
    kind = draw(st.sampled_from([*mixture_classes()]))
    return Mixture(
        kind=kind,
        volume=draw(inside("volume", kind)),
        developer_parts=draw(st.none() | st.floats(0.1, 10.0)),
        ph=draw(st.none() | inside("ph", kind)),
        boost=draw(st.none() | st.floats(1.0, 20.0)),
        temperature_c=draw(inside("temperature_c", kind)),
        tone=draw(tone),
    )


def never_falls(values, slack=TINY):
    return bool(np.all(np.diff(values, axis=-1) >= -slack))


def unwrapped(lab):
    """Hue angle [degree] followed without a jump; blue and purple starts are below 0."""
    hue = np.degrees(np.unwrap(np.radians(hue_deg(lab))))
    return hue - 360.0 if hue[0] >= 180.0 else hue


def rises_then_falls(values, slack=TINY):
    top = int(np.argmax(values))
    return never_falls(values[: top + 1], slack) and never_falls(-values[top:], slack)


# L* never falls with time while nothing is deposited.


@given(hairs(), mixtures())
def test_lightness_never_falls_while_nothing_is_deposited(hair, mixture):
    trajectory = simulate(hair, mixture, minutes_of(mixture))
    assert never_falls(trajectory.lab[:, 0])
    assert never_falls(trajectory.underpigment[:, 0])


@given(hairs(), mixtures(ANY_TONE))
def test_lightness_of_the_underpigment_never_falls_whatever_is_deposited(hair, mixture):
    assert never_falls(simulate(hair, mixture, minutes_of(mixture)).underpigment[:, 0])


def test_lightness_does_fall_when_enough_is_deposited():
    """Why the law says "while nothing is deposited"; also, the checks above can fail."""
    mixture = Mixture("base-break", 5.0, tone={"violet": 30.0})
    lab = simulate(Hair(7.0), mixture, minutes_of(mixture)).lab
    assert not never_falls(lab[:, 0])


@given(hairs(grey=False), mixtures())
def test_lightness_never_falls_for_any_member_of_an_ensemble(hair, mixture):
    drawn = ensemble(hair, mixture, minutes_of(mixture)[::4], members=20)
    assert never_falls(drawn.members.lab[..., 0])


OPTICAL = (
    *("eumelanin_strength", "eumelanin_slope", "pheomelanin_strength", "pheomelanin_slope"),
    *("half_oxidised_slope", "half_oxidised_yield", "half_oxidised_rate_ratio"),
    *("oxidised_pheomelanin_slope", "oxidised_pheomelanin_yield"),
    "oxidised_pheomelanin_rate_ratio",
    *("pheomelanin_rate_ratio", "keratin_strength", "keratin_slope", "azimuthal_roughness"),
    *("surface_reflectance", "surface_slope", "melanin_at_level_3", "level_ratio"),
)
"""Everything besides the exposure that the colour of a lightened strand depends on."""


@st.composite
def curve_values(draw):
    """Values anywhere in the ranges of the curve set, their ends often."""
    ends = {name: (CURVES[name].low, CURVES[name].high) for name in OPTICAL}
    chosen = {n: draw(st.sampled_from(e) | st.floats(*e)) for n, e in ends.items()}
    return {**CURVES.values, **chosen}


def lightness_through(values, hair):
    natural = hair_pigment(hair, values)
    return strand_lab(lightened(natural, EXPOSURE, values), values)[:, 0]


@settings(max_examples=200)
@given(hairs(), curve_values())
def test_lightness_never_falls_for_any_curve_set_in_range(hair, values):
    assert never_falls(lightness_through(values, hair))


def test_why_the_yield_of_half_oxidised_melanin_ends_at_0_65():
    """Half-oxidised melanin that absorbs as much as what it came from, in a far steeper shape,
    would darken hair: this corner of the ranges is the first to break the law, from 0.67 on."""
    corner = {name: CURVES[name].low for name in OPTICAL if name != "level_ratio"}
    for name in ("half_oxidised_slope", "keratin_strength", "azimuthal_roughness"):
        corner[name] = CURVES[name].high
    hair = Hair(10.0, pheomelanin_share=0.0)
    at_end = {**CURVES.values, **corner, "half_oxidised_yield": CURVES["half_oxidised_yield"].high}
    assert never_falls(lightness_through(at_end, hair))
    assert not never_falls(lightness_through({**at_end, "half_oxidised_yield": 0.7}, hair))


# More volume, time, heat or alkalinity never lifts less; finer fibre never lifts slower.


@given(hairs(), mixtures(ANY_TONE), st.data())
def test_more_volume_never_lifts_less(hair, mixture, data):
    weak, strong = sorted((mixture.volume, data.draw(inside("volume", mixture.kind))))
    low = simulate(hair, mixture.replace(volume=weak), minutes_of(mixture))
    high = simulate(hair, mixture.replace(volume=strong), minutes_of(mixture))
    assert np.all(high.lift >= low.lift - TINY)
    assert np.all(high.underpigment[:, 0] >= low.underpigment[:, 0] - TINY)


@given(hairs(), mixtures(ANY_TONE), st.lists(st.floats(0.0, 1.0), min_size=2, max_size=20))
def test_more_time_never_lifts_less(hair, mixture, shares):
    minutes = np.sort(shares) * longest_minutes(mixture, CURVES)
    assert never_falls(simulate(hair, mixture, minutes).lift)


@given(hairs(), mixtures(ANY_TONE), st.data())
def test_more_heat_never_lifts_less(hair, mixture, data):
    other = data.draw(inside("temperature_c", mixture.kind))
    cool, hot = sorted((mixture.temperature_c, other))
    low = simulate(hair, mixture.replace(temperature_c=cool), minutes_of(mixture))
    high = simulate(hair, mixture.replace(temperature_c=hot), minutes_of(mixture))
    assert np.all(high.lift >= low.lift - TINY)


@given(hairs(), mixtures(ANY_TONE), st.data())
def test_more_alkalinity_never_lifts_less(hair, mixture, data):
    one, other = (data.draw(inside("ph", mixture.kind)) for _ in range(2))
    low = simulate(hair, mixture.replace(ph=min(one, other)), minutes_of(mixture))
    high = simulate(hair, mixture.replace(ph=max(one, other)), minutes_of(mixture))
    assert np.all(high.lift >= low.lift - TINY)


@given(hairs(), mixtures(ANY_TONE), st.floats(*FIBRE_RANGE))
def test_finer_fibre_never_lifts_slower(hair, mixture, fibre_um):
    fine, coarse = sorted((hair.fibre_um, fibre_um))
    quick = simulate(hair.replace(fibre_um=fine), mixture, minutes_of(mixture))
    slow = simulate(hair.replace(fibre_um=coarse), mixture, minutes_of(mixture))
    assert np.all(quick.lift >= slow.lift - TINY)


def test_each_of_these_does_act():
    """Equality would satisfy "never less": on ordinary hair each change lifts clearly more."""
    hair, mixture = Hair(5.0), Mixture("cream", 20.0)
    usual = simulate(hair, mixture, 30.0).lift
    changes = (
        simulate(hair, mixture.replace(volume=30.0), 30.0),
        simulate(hair, mixture, 40.0),
        simulate(hair, mixture.replace(temperature_c=35.0), 30.0),
        simulate(hair, mixture.replace(ph=10.1), 30.0),
        simulate(hair.replace(fibre_um=50.0), mixture, 30.0),
    )
    for changed in changes:
        assert changed.lift > usual + 0.15


# Hue, chroma, a* and b* of the underpigment.


@given(hairs(), mixtures(ANY_TONE))
def test_hue_rises_from_red_towards_yellow(hair, mixture):
    """Along the whole way to L* 70, past every level of the scale (level 10 has 60.8).

    The angle is followed without a jump at 360 degrees: black hair starts on the blue side of
    neutral, as the measured tress does (b* -0.84), and comes to red through purple.
    Where all but the last trace of melanin is gone the hue settles on that of bare keratin, and
    turns back by at most 1.2 degrees: it is no longer an underpigment that is seen.
    """
    lab = simulate(hair, mixture, minutes_of(mixture)).underpigment
    hue = unwrapped(lab)
    assert never_falls(hue[lab[:, 0] < BARE_LIGHTNESS])
    assert np.all(np.maximum.accumulate(hue) - hue < 1.2)
    # Towards yellow, and not past it: the yellowest is between Munsell 7.5YR and 10YR.
    assert -100.0 < hue[0] <= hue.max() < 79.0


@given(hairs())
def test_hue_goes_from_red_to_yellow_in_full(hair):
    """From dark hair (levels 1 to 3) the whole of red to yellow is passed, whatever the share."""
    assume(hair.level <= 3.0)
    natural = hair_pigment(hair, CURVES.values)
    lab = strand_lab(lightened(natural, EXPOSURE, CURVES.values), CURVES.values)
    hue = unwrapped(lab)
    assert hue[0] < 55.0
    assert 73.0 < hue[np.searchsorted(lab[:, 0], BARE_LIGHTNESS)] < 79.0


@given(hairs())
def test_chroma_rises_then_falls(hair):
    """One peak from level 1 on, over all exposures; no rise is left where hair starts past it.

    Of hair that is nearly all pheomelanin and light, the natural colour is the peak itself.
    """
    natural = hair_pigment(hair, CURVES.values)
    lab = strand_lab(lightened(natural, EXPOSURE, CURVES.values), CURVES.values)
    # Black hair starts on the blue side of neutral, as the measured tress does (b* -0.84), and
    # passes neutral on its way.
    seen = chroma(lab[np.argmax(lab[:, 2] > 0.0) :])
    assert rises_then_falls(seen)
    assert seen.max() > seen[-1] + 3.0
    # The lightest hair rises least: by 2.1 at level 10 with a third of its melanin pheomelanin.
    if hair.pheomelanin_share is None or hair.pheomelanin_share <= 0.33:
        assert seen.max() > seen[0] + 2.0


@given(hairs(), mixtures(ANY_TONE))
def test_chroma_rises_then_falls_in_time(hair, mixture):
    lab = simulate(hair, mixture, minutes_of(mixture)).underpigment
    seen = lab[:, 2] > 0.0
    assert rises_then_falls(chroma(lab[seen])) if seen.any() else lab[-1, 0] < 19.5


@given(hairs())
def test_red_peaks_before_yellow(hair):
    """a* before b*; at the same time only where the natural colour is past both peaks."""
    natural = hair_pigment(hair, CURVES.values)
    lab = strand_lab(lightened(natural, EXPOSURE, CURVES.values), CURVES.values)
    red, yellow = int(np.argmax(lab[:, 1])), int(np.argmax(lab[:, 2]))
    assert red < yellow or red == yellow == 0
    assert rises_then_falls(lab[:, 1])
    assert rises_then_falls(lab[:, 2])
    if hair.pheomelanin_share is None or hair.pheomelanin_share <= 0.33:
        assert 0 < red < yellow


# Grey hair is two kinds of hair.


def window(hair, mixture, goal):
    target = resolve_goal(goal, hair, CURVES)
    few_times = np.linspace(0.0, 1.0, 21) ** 2 * longest_minutes(mixture, CURVES)
    return window_of(ensemble(hair, mixture, few_times, members=8), target)


@settings(max_examples=60)
@given(hairs(), mixtures(ANY_TONE), st.none() | st.floats(0.0, 60.0))
def test_a_window_with_grey_is_never_later(hair, mixture, allowance):
    """What is too warm is so beside any number of white fibres, and no less likely."""
    goal = Blend(warmth=allowance)
    grey, plain = (window(h, mixture, goal) for h in (hair, hair.replace(grey_percent=0.0)))
    for name in ("opens", "closes", "reached_at", "too_warm_at", "best_minutes"):
        late, usual = (getattr(w, name) for w in (grey, plain))
        assert (late is None) == (usual is None)
        assert late is None or late <= usual + 1e-6
    np.testing.assert_allclose(grey.p_too_warm, plain.p_too_warm, atol=TINY)
    np.testing.assert_allclose(grey.p_inside, plain.p_inside, atol=TINY)


@given(hairs(), mixtures(ANY_TONE))
def test_pigmented_fibres_are_as_they_would_be_without_grey(hair, mixture):
    grey, plain = (
        simulate(h, mixture, minutes_of(mixture)) for h in (hair, hair.replace(grey_percent=0.0))
    )
    for name in ("pigmented", "underpigment", "level", "lift", "warmth"):
        np.testing.assert_allclose(getattr(grey, name), getattr(plain, name), atol=TINY)
    np.testing.assert_array_equal(plain.lab, plain.pigmented)


@given(hairs(), mixtures(ANY_TONE))
def test_a_blend_lies_between_its_fibres(hair, mixture):
    """In luminance, which mixes linearly; white fibres are the lighter while nothing is laid on."""
    shown = simulate(hair, mixture, minutes_of(mixture))
    assume(shown.white is not None)
    kinds = np.stack([shown.pigmented[..., 0], shown.white[..., 0]])
    assert np.all(shown.lab[..., 0] >= kinds.min(axis=0) - 1e-6)
    assert np.all(shown.lab[..., 0] <= kinds.max(axis=0) + 1e-6)
    assert np.all(shown.white[0, 0] >= shown.pigmented[0, 0] - 1e-6)


@given(hairs(), mixtures(ANY_TONE), st.floats(0.0, 100.0))
def test_the_more_resistant_the_less_colour_white_fibres_take(hair, mixture, resistant):
    more, less = sorted((resistant, float(hair.resistant_percent)), reverse=True)
    assume(hair.grey_percent / 100.0 > 0.0)
    shown = [
        simulate(hair.replace(resistant_percent=r), mixture, minutes_of(mixture))
        for r in (less, more)
    ]
    assert np.all(shown[1].white[..., 0] >= shown[0].white[..., 0] - TINY)
    np.testing.assert_array_equal(shown[0].pigmented, shown[1].pigmented)


# Zero time or zero volume changes nothing.


@given(hairs(), mixtures(ANY_TONE))
def test_zero_time_changes_nothing(hair, mixture):
    at = simulate(hair, mixture, 0.0)
    untouched = simulate(hair, Mixture("cream", 0.0), 0.0)
    for name in (
        "lab",
        "pigmented",
        "underpigment",
        "level",
        "lift",
        "warmth",
        "blend_warmth",
        "exposure",
    ):
        np.testing.assert_allclose(getattr(at, name), getattr(untouched, name), atol=TINY)
    assert all(dose == 0.0 for dose in at.tone.values())
    if hair.lightened_to is None:
        assert at.lift == 0.0
        assert at.level == hair.level
        assert at.exposure == 0.0


@given(hairs(), mixtures(ANY_TONE))
def test_zero_volume_changes_no_pigment(hair, mixture):
    """Nor anything at all while nothing is deposited; tone is a colour laid on, not a lift.

    Persulfate is an oxidant of its own: powder with water lightens, less than with developer.
    """
    if mixture.kind == "powder":
        wet, mixed = (
            simulate(hair, mixture.replace(volume=v, tone={}), minutes_of(mixture)) for v in (0, 10)
        )
        assert np.all(wet.lift <= mixed.lift + TINY)
        return
    idle = simulate(hair, mixture.replace(volume=0.0), minutes_of(mixture))
    for name in ("underpigment", "level", "lift", "exposure"):
        values = getattr(idle, name)
        np.testing.assert_allclose(values, np.broadcast_to(values[:1], values.shape), atol=TINY)
    bare = simulate(hair, mixture.replace(volume=0.0, tone={}), minutes_of(mixture))
    np.testing.assert_allclose(bare.lab, np.broadcast_to(bare.lab[:1], bare.lab.shape), atol=TINY)


# A perfect diffuser is (100, 0, 0).


@given(
    st.sampled_from(PREPARED),
    st.sampled_from([*OBSERVERS]),
    st.lists(st.integers(1, 3), max_size=2),
)
def test_perfect_diffuser(illuminant, observer, shape):
    lab = reflectance_to_lab(np.ones((*shape, WAVELENGTHS_NM.size)), illuminant, observer)
    assert np.all(lab == [100.0, 0.0, 0.0])


@given(st.floats(0.0, 1.0), st.floats(0.0, 1.0))
def test_fibres_that_absorb_nothing_are_a_perfect_diffuser(roughness, surface):
    nothing = np.zeros(WAVELENGTHS_NM.size)
    lab = reflectance_to_lab(hair_reflectance(nothing, float(diffusion(roughness)), surface))
    np.testing.assert_allclose(lab, [100.0, 0.0, 0.0], atol=1e-12)
