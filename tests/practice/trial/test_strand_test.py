from dataclasses import replace

import numpy as np
import pytest

from lift.answers import to_dict
from lift.errors import LiftError
from lift.model.curves import default_curves
from lift.model.ensemble import LATENT, apply_latent, draw_latent, ensemble
from lift.model.hair import Hair
from lift.model.mixture import Mixture
from lift.model.trajectory import simulate
from lift.practice.goal import Blend, Lighten
from lift.practice.preview import preview
from lift.practice.trial.look import look_times
from lift.practice.trial.observation import (
    EYE_SD,
    INSTRUMENT_SD,
    READINGS,
    Observation,
    parse_seen,
    predicted,
    residuals,
)
from lift.practice.trial.strand_file import load_strand, save_strand
from lift.practice.trial.strand_test import posterior_of, strand_test
from lift.practice.window import find_window
from lift.reference import load
from lift.show.said_strand import fibre_notes
from lift.words import says

pytestmark = pytest.mark.slow

BROWN, POWDER = Hair(5.0), Mixture("powder", 20.0)
FINE, BASE_BREAK = Hair(7.0, "fine", damp=True), Mixture("base-break", 10.0)
MIDDLE = np.zeros((1, len(LATENT)))
TO_EIGHT = Lighten(level=8.0, warmth=20.0)


def seen(*texts):
    return [parse_seen(text) for text in texts]


def only(*active):
    """Curve set in which only some of the deviates act, so that a grid can hold them all."""
    names = {
        "level": "level_sd",
        "rate": "rate_log_sd",
        "fibre": "fibre_log_sd",
        "fade": "fade_log_sd",
    }
    still = default_curves().replace(**{v: 0.0 for k, v in names.items() if k not in active})
    return replace(still, posterior=None)


def grid_posterior(hair, mixture, observations, curves, columns, quantity_at):
    """Dense grid integral over two deviates: mean, sd, and those of the level at a time.

    Written from the model alone, with nothing of the code under test.
    """
    axis = np.linspace(-6.0, 6.0, 241)
    latent = np.zeros((axis.size**2, len(LATENT)))
    latent[:, columns[0]], latent[:, columns[1]] = (
        part.ravel() for part in np.meshgrid(axis, axis, indexing="ij")
    )
    strands, values = apply_latent(hair, curves, latent)
    power = -0.5 * np.sum(latent**2, axis=1)
    for one in observations:
        shown = simulate(strands, mixture, one.minutes, curves, values=values)
        if one.lab is None:
            off = (one.level - np.minimum(shown.level[:, 0], 10.0)) / 0.3
            power -= 0.5 * off**2
        else:
            sd = np.hypot([0.7, 0.3, 0.2], [1.0, 2.0, 2.0])
            power -= 0.5 * np.sum(((np.array(one.lab) - shown.lab[:, 0]) / sd) ** 2, axis=1)
    weight = np.exp(power - power.max())
    weight /= weight.sum()
    level = simulate(strands, mixture, quantity_at, curves, values=values).level[:, 0]
    wanted = np.column_stack([latent[:, columns[0]], latent[:, columns[1]], level])
    mean = weight @ wanted
    return mean, np.sqrt(weight @ (wanted - mean) ** 2)


@pytest.mark.parametrize(
    ("active", "columns"),
    [(("level", "rate"), (0, 1)), (("rate", "fade"), (1, 3)), (("level", "fibre"), (0, 2))],
    ids=str,
)
@pytest.mark.parametrize(
    "texts",
    [("12:6.5",), ("10:6.5", "25:9.5"), ("15:46,12,29",), ("10:7.5", "30:9.9"), ("5:5", "40:8.5")],
    ids=str,
)
def test_posterior_against_a_dense_grid_integral(active, columns, texts):
    curves, observations = only(*active), seen(*texts)
    mean, sd = grid_posterior(BROWN, POWDER, observations, curves, columns, 30.0)
    found = posterior_of(BROWN, POWDER, observations, curves)
    strands, values = apply_latent(BROWN, curves, found.draws)
    level = simulate(strands, POWDER, 30.0, curves, values=values).level[:, 0]
    level_mean = found.weights @ level
    level_sd = np.sqrt(found.weights @ (level - level_mean) ** 2)
    got_mean = np.array([*found.mean[list(columns)], level_mean])
    got_sd = np.array([*found.sd[list(columns)], level_sd])
    np.testing.assert_allclose((got_mean - mean) / sd, 0.0, atol=0.02)
    np.testing.assert_allclose(got_sd / sd, 1.0, atol=0.02)


def test_expected_gain_against_a_grid_integral():
    # One deviate acts, so the expected posterior variance is a double integral over it and the
    # reading: E[var(q | y)] = sum over y of p(y) var(q | y).
    curves = only("rate")
    before = preview(BROWN, POWDER, 20.0, TO_EIGHT, curves, members=2000)
    looks = look_times(BROWN, POWDER, before.drawn, before.window, curves)
    axis = np.linspace(-5.0, 5.0, 401)
    latent = np.zeros((axis.size, len(LATENT)))
    latent[:, 1] = axis
    prior = np.exp(-0.5 * axis**2) / np.sum(np.exp(-0.5 * axis**2))
    strands, values = apply_latent(BROWN, curves, latent)
    rinse = simulate(strands, POWDER, 20.0, curves, values=values)
    for minutes in (5.0, 10.0, 20.0, 50.0):
        level = simulate(strands, POWDER, minutes, curves, values=values).level[:, 0]
        reading = np.linspace(level.min() - 1.5, level.max() + 1.5, 600)
        likelihood = np.exp(-0.5 * ((reading[:, None] - np.minimum(level, 10.0)) / 0.3) ** 2)
        joint = likelihood * prior
        chance = joint.sum(axis=1)
        weight = joint / chance[:, None]
        shares = []
        for wanted in (rinse.level[:, 0], rinse.warmth[:, 0]):
            left = weight @ wanted**2 - (weight @ wanted) ** 2
            left = np.sum(chance * left) / np.sum(chance)
            shares.append(1.0 - left / (prior @ wanted**2 - (prior @ wanted) ** 2))
        assert looks.at(minutes) == pytest.approx(np.mean(shares), abs=0.03)


def test_intervals_hold_the_truth_as_often_as_they_say():
    # Readings simulated from strands of the prior: nine intervals in ten hold the truth.
    curves, random = default_curves(), np.random.default_rng(4)
    truths = draw_latent(60, 9)
    times = np.array([10.0, 25.0])
    shown = predicted(BROWN, POWDER, times, curves, truths, by_eye=True)[..., 0]
    read = shown + EYE_SD * random.standard_normal(shown.shape)
    inside = 0
    for truth, pair in zip(truths, read, strict=True):
        looks = [Observation(t, float(np.clip(y, 1, 10))) for t, y in zip(times, pair, strict=True)]
        found = posterior_of(BROWN, POWDER, looks, curves, draws=1024)
        order = np.argsort(found.draws[:, 1])
        share = np.cumsum(found.weights[order])
        low, high = found.draws[order][np.searchsorted(share, [0.05, 0.95]), 1]
        inside += low <= truth[1] <= high
    # 60 trials at 0.9: below 48 or at 60 is a chance of about 0.5 % (binomial).
    assert 48 <= inside < 60


@pytest.mark.parametrize(
    ("hair", "mixture", "goal", "times", "narrowed"),
    [
        (BROWN, POWDER, TO_EIGHT, (15.0, 30.0), ("level", "lift", "warmth")),
        # A base break lifts little more than an eye can tell; how warm it gets is not seen.
        (FINE, BASE_BREAK, None, (12.0, 15.0), ("level", "lift")),
    ],
    ids=["powder", "base break"],
)
def test_two_tests_narrow_the_bands(hair, mixture, goal, times, narrowed):
    curves = default_curves()
    expected = predicted(
        hair, mixture, np.array(times), curves, np.zeros((1, len(LATENT))), by_eye=True
    )
    texts = [f"{t:g}:{y:.1f}" for t, y in zip(times, expected[0, :, 0], strict=True)]
    none = strand_test(hair, mixture, (), goal)
    one = strand_test(hair, mixture, seen(texts[0]), goal)
    two = strand_test(hair, mixture, seen(*texts), goal)
    for quantity in narrowed:
        assert none.width(quantity)[0] == none.width(quantity)[1]
        before, after_one = one.width(quantity)
        after_two = two.width(quantity)[1]
        assert after_one < before
        assert after_two < (0.85 if mixture is POWDER else 0.95) * before
        # The second look tells little more of the start; a band of 1000 members is good to 5 %.
        assert after_two < (1.05 if quantity == "level" else 1.0) * after_one
    assert two.after.window.p_best >= two.before.window.p_best


def test_window_and_risk_move_the_way_of_what_was_seen():
    slow = strand_test(FINE, BASE_BREAK, seen("12:7.2"))
    quick = strand_test(FINE, BASE_BREAK, seen("12:8.4"))
    before = slow.before.window
    assert quick.after.window.opens < before.opens < slow.after.window.opens
    assert quick.after.window.closes < before.closes < slow.after.window.closes
    assert slow.after.p_too_warm < slow.before.p_too_warm < quick.after.p_too_warm
    # The members serve find_window as they serve the test's own preview.
    window = find_window(FINE, BASE_BREAK, latent=quick.latent)
    assert window.closes == pytest.approx(quick.after.window.closes, abs=0.05)


@pytest.mark.parametrize(
    ("minutes", "hair", "mixture", "goal", "rinse"),
    [
        (0.2, BROWN, POWDER, TO_EIGHT, None),
        (0.2, FINE, BASE_BREAK, None, 5.0),
        (60.0, Hair(9.0, "fine"), Mixture("powder", 30.0), Lighten(10), 3.0),
    ],
    ids=["at once", "at once, base break", "long after, blond"],
)
def test_a_look_at_a_useless_time_says_so_and_names_a_better_one(
    minutes, hair, mixture, goal, rinse
):
    curves = default_curves()
    read = predicted(
        hair, mixture, np.array([minutes]), curves, np.zeros((1, len(LATENT))), by_eye=True
    )
    level = round(float(read[0, 0, 0]), 1)
    test = strand_test(hair, mixture, [Observation(minutes, level)], goal, rinse_minutes=rinse)
    assert test.verdicts == ("useless",)
    assert 2.0 < test.looks.most_minutes <= 60.0
    assert test.looks.most_gain > 4.0 * test.gains[0]
    assert test.looks.verdict(test.looks.most_minutes) == "useful"


def test_best_time_to_look_really_is_the_best():
    looks = strand_test(BROWN, POWDER, (), TO_EIGHT).looks
    assert looks.most_gain == looks.gain[looks.minutes <= 60.0].max()
    in_time, same = looks.gain[looks.serves], looks.same
    assert looks.best.gain == in_time.max()
    assert same.gain >= 0.9 * in_time.max()
    sooner = looks.gain[looks.serves & (looks.minutes < same.minutes)]
    assert np.all(sooner < 0.9 * in_time.max())
    # A reading three times as good as the eye's is worth more, at any time.
    sharp = strand_test(BROWN, POWDER, (), TO_EIGHT, reading="instrument").looks
    assert sharp.at(10.0) > looks.at(10.0)


@pytest.mark.parametrize(
    ("texts", "reason"),
    [
        (("10:3",), "darker than the start .* carries no tone: lightening does not darken"),
        (("5:9.9",), "lighter than any strand of this hair could be"),
        (("50:5",), "darker than any strand of this hair"),
        (("20:8.5", "35:6.5"), "level 6.5 at 35 min is darker than level 8.5 at 20 min"),
        (("35:6.5", "20:8.5"), "level 6.5 at 35 min is darker than level 8.5 at 20 min"),
        (("15:8.3", "15:6.2"), "one moment 2.1 levels apart"),
        (("10:5", "15:9.4"), "more than any strand of this hair gains in between"),
        (("15:46,-12,-29",), "fit no strand .* furthest off: b\\* of"),
        (("20:20,5,5",), "darker than the start"),
        (("20:29,9,15",), "darker than any strand"),
        (("15:58,12,29", "20:44,12,25"), "lightening does not darken"),
    ],
    ids=str,
)
def test_contradictions_are_refused_with_the_reason(texts, reason):
    with pytest.raises(LiftError, match=reason):
        strand_test(BROWN, POWDER, seen(*texts), TO_EIGHT)


def test_tone_in_the_mixture_may_darken():
    cream = Mixture("cream", 5.0, tone={"violet": 40.0})
    hair, goal = Hair(9.0), Blend()
    dark = predicted(
        hair, cream, np.array([30.0]), default_curves(), np.zeros((1, len(LATENT))), by_eye=True
    )[0, 0, 0]
    assert dark < 7.5
    test = strand_test(
        hair, cream, [Observation(30.0, round(float(dark), 1))], goal, rinse_minutes=30.0
    )
    assert test.fit_chance > 0.5
    with pytest.raises(LiftError, match="lightening does not darken"):
        strand_test(hair, cream.replace(tone={}), [Observation(30.0, round(float(dark), 1))], goal)
    with pytest.raises(LiftError, match="with the tone it carries"):
        strand_test(hair, cream.replace(tone={"violet": 1.0}), seen("30:2"), goal)


def test_grey_counts_for_the_instrument_and_not_for_the_eye():
    curves, zero, at = default_curves(), np.zeros((1, len(LATENT))), np.array([20.0])
    grey = Hair(5.0, grey_percent=60.0)
    by_eye = [predicted(h, POWDER, at, curves, zero, by_eye=True) for h in (BROWN, grey)]
    by_instrument = [predicted(h, POWDER, at, curves, zero, by_eye=False) for h in (BROWN, grey)]
    np.testing.assert_array_equal(by_eye[0], by_eye[1])
    assert by_instrument[1][0, 0, 0] > by_instrument[0][0, 0, 0] + 5.0


def test_a_reading_is_compared_with_the_blend():
    """A colour read off grey hair fits what both kinds of fibres show together."""
    curves, zero = default_curves(), MIDDLE
    grey = BROWN.replace(grey_percent=40.0)
    shown = simulate(grey, POWDER, 20.0)
    for lab, fits in ((shown.lab, True), (shown.pigmented, False)):
        off = residuals(grey, POWDER, [Observation(20.0, lab=tuple(lab))], curves, zero)
        assert bool(np.max(np.abs(off)) < 1e-6) is fits


def test_a_strand_test_of_grey_hair_decides_by_pigmented_fibres():
    seen = [Observation(10.0, level=6.4)]
    grey, none = (
        strand_test(h, POWDER, seen, TO_EIGHT, rinse_minutes=15.0)
        for h in (BROWN.replace(grey_percent=40.0), BROWN)
    )
    np.testing.assert_allclose(grey.latent, none.latent, atol=1e-9)
    assert grey.after.p_too_warm == none.after.p_too_warm
    assert fibre_notes(none) == ()
    told = says(fibre_notes(grey))
    assert told[0].startswith("An instrument reads both kinds of fibres as they blend")
    assert told[1:] == says(grey.after.grey.notes(grey.after.window.target.warmth_limit))
    assert to_dict(grey)["after"]["at"]["fibres"]["text"] == told[1:]


def test_eye_reads_the_level_that_the_model_gives_where_no_tone_is_carried():
    curves, latent = default_curves(), draw_latent(50, 3)
    times = np.array([0.0, 10.0, 30.0])
    drawn = ensemble(BROWN, POWDER, times, curves, latent=latent)
    shown = predicted(BROWN, POWDER, times, curves, latent, by_eye=True)
    np.testing.assert_allclose(shown[..., 0], np.minimum(drawn.members.level, 10.0), rtol=1e-12)


def test_reading_errors_rest_on_their_sources():
    table = load("hair_colour_measured").columns
    largest = [np.nanmax(np.array([v or np.nan for v in table[f"sd_{c}"]], float)) for c in "Lab"]
    # J. Cosmet. Sci. 51 (2000), p. 293, Table III.
    np.testing.assert_allclose(INSTRUMENT_SD, largest, atol=0.05)
    # Half a level, nine times in ten: common practice (no source); 1.645 from the normal table.
    assert pytest.approx(0.5 / 1.645, abs=0.005) == EYE_SD
    assert np.all(np.array(READINGS["instrument"]) > np.array(INSTRUMENT_SD))


@pytest.mark.parametrize(
    "text",
    [
        *("", "5", "5:", ":7", "5:7,8", "5:a", "x:7", "nan:7", "5:nan", "-1:7", "121:7", "5:0.5"),
        *("5:10.5", "5:101,0,0", "5:50,99,0", "5:50,0,inf", "5:1,2,3,4"),
    ],
)
def test_what_is_not_an_observation_is_refused(text):
    with pytest.raises(LiftError):
        parse_seen(text)


def test_an_observation_is_one_thing():
    with pytest.raises(LiftError, match="one of the two"):
        Observation(5.0)
    with pytest.raises(LiftError, match="one of the two"):
        Observation(5.0, 7.0, (50.0, 8.0, 20.0))
    with pytest.raises(LiftError, match="three numbers"):
        Observation(5.0, lab=(50.0, 8.0))
    assert parse_seen(" 5 : 48, 8 ,22 ") == Observation(5.0, lab=(48.0, 8.0, 22.0))
    assert str(parse_seen("5:7.5").note) == "level 7.5 at 5 min"


def test_json_form_is_finite_and_complete():
    import json

    test = strand_test(BROWN, POWDER, seen("10:6.5", "12:42,11,27"), TO_EIGHT)
    text = json.dumps(to_dict(test), allow_nan=False)
    payload = json.loads(text)
    assert set(payload["posterior"]["mean"]) == set(LATENT)
    assert payload["before"]["window"]["opens"] != payload["after"]["window"]["opens"]
    assert [o["verdict"] for o in payload["observations"]] == list(test.verdicts)
    assert payload["cautions"]
    assert payload["looks"]["reading"] == "CIELAB by instrument"


@pytest.fixture(scope="module")
def looked_at():
    return strand_test(BROWN, POWDER, seen("15:7"), TO_EIGHT)


def test_strand_file_round_trip(tmp_path, looked_at):
    test = looked_at
    path = tmp_path / "strand.json"
    save_strand(test, path)
    assert [p.name for p in tmp_path.iterdir()] == ["strand.json"]
    kept = load_strand(path)
    latent = kept.latent_for(Hair(5.0), default_curves())
    np.testing.assert_allclose(latent, test.latent, atol=1e-5)
    again = preview(BROWN, POWDER, test.before.minutes, TO_EIGHT, latent=latent)
    assert again.window.opens == pytest.approx(test.after.window.opens, abs=0.01)
    with pytest.raises(LiftError, match="other hair: level 5 there, 6 here"):
        kept.latent_for(Hair(6.0), default_curves())
    with pytest.raises(LiftError, match="another curve set: rate_log_sd"):
        kept.latent_for(BROWN, default_curves().replace(rate_log_sd=0.3))
    with pytest.raises(LiftError, match="cannot write"):
        save_strand(test, tmp_path / "no" / "strand.json")
    with pytest.raises(LiftError, match="nothing was seen"):
        save_strand(strand_test(BROWN, POWDER, goal=TO_EIGHT), path)


@pytest.mark.parametrize(
    ("text", "reason"),
    [
        ("{", "not JSON"),
        ("[]", "not a strand file"),
        ('{"kind": "lift strand test", "version": 9}', "version 9"),
        ('{"kind": "lift strand test", "version": 1}', "lacks the hair"),
    ],
)
def test_damaged_strand_files_are_refused(tmp_path, text, reason):
    path = tmp_path / "strand.json"
    path.write_text(text)
    with pytest.raises(LiftError, match=reason):
        load_strand(path)
    with pytest.raises(LiftError, match="cannot read"):
        load_strand(tmp_path / "none.json")


def test_tampered_strand_files_are_refused(tmp_path, looked_at):
    import json

    path = tmp_path / "strand.json"
    save_strand(looked_at, path)
    whole = json.loads(path.read_text())
    for key, value, reason in [
        ("latent", [[1, 2, 3]], "rows of five"),
        ("latent", None, "deviate"),
        ("latent", [[1, 2, 3, 99]] * 3, "deviate 99"),
        ("values", None, "parameters it rests on"),
        ("values", {**whole["values"], "rate_log_sd": "much"}, "not a number"),
    ]:
        path.write_text(json.dumps({**whole, key: value}))
        with pytest.raises(LiftError, match=reason):
            load_strand(path)


@pytest.mark.parametrize("rinse", [-1.0, 121.0, np.nan, np.inf])
def test_rinse_time_is_checked(rinse):
    with pytest.raises(LiftError, match="rinse time"):
        strand_test(BROWN, POWDER, goal=TO_EIGHT, rinse_minutes=rinse)


def test_rinse_time_without_a_window():
    never = strand_test(Hair(1.0), Mixture("cream", 0.0), goal=Lighten(level=8.0))
    assert never.before.minutes == 60.0
    # Only the start can be read, at any time equally well.
    np.testing.assert_allclose(never.looks.gain, never.looks.most_gain, atol=1e-9)
    assert (never.looks.same, never.looks.ahead, never.others[-1].advised) == (None, None, None)
