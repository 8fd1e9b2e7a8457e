"""Learning from records. All records here are invented: they test that a known shift is found."""

import numpy as np
import pytest
from scipy import stats

from lift.answers import to_dict
from lift.errors import LiftError
from lift.model.curves import default_curves, load_curves
from lift.model.domain import longest_minutes
from lift.model.ensemble import OF_HEAD, apply_latent
from lift.model.hair import Hair
from lift.model.mixture import Mixture
from lift.model.natural import natural_path
from lift.model.trajectory import simulate
from lift.practice.preview import preview
from lift.practice.records.forecast import (
    SHARED_SHARE,
    SHIFTS,
    forecast,
    forecast_without_records,
    shifts_of,
)
from lift.practice.records.learn import learn_shifts
from lift.practice.records.learned import learn_from_records
from lift.practice.records.prediction_error import COVERED, prediction_errors
from lift.practice.records.record import Record
from lift.practice.trial.observation import EYE_SD, READINGS, Observation, level_of

pytestmark = pytest.mark.slow

CURVES = default_curves()


def invented(count, shifts, seed, *, instrument=0.3, spread=1.0):
    """Records of a stylist with known shifts of eye, log rate and log fade.

    Strands scatter by the half of the variance that records do not share, times `spread`.
    """
    random = np.random.default_rng(seed)
    bias = shifts[0]
    sds = np.array([CURVES.values[f"{name}_sd"] for name in ("level", "rate_log", "fade_log")])
    records = []
    for i in range(count):
        hair = Hair(
            round(random.uniform(3.0, 7.0) * 2.0) / 2.0,
            str(random.choice(["fine", "medium", "coarse"])),
            damp=bool(random.random() < 0.3),
        )
        kind = str(random.choice(["cream", "base-break", "powder"]))
        volumes = [10.0, 20.0] if kind == "base-break" else [10.0, 20.0, 30.0]
        mixture = Mixture(kind, float(random.choice(volumes)))
        last = min(longest_minutes(mixture, CURVES), 45.0)
        minutes = float(random.choice(np.arange(5.0, last + 1.0, 5.0)))
        off = random.standard_normal(4)
        own = np.sqrt(1.0 - SHARED_SHARE) * spread * off[[0, 1, 3]] + np.array(shifts) / sds
        latent = np.array([[own[0], own[1], off[2], own[2], 0.0]])
        strand, values = apply_latent(hair, CURVES, latent)
        shown = simulate(strand, mixture, minutes, CURVES, values=values)
        if random.random() < instrument:
            lab = shown.lab[0, 0] + np.array(READINGS["instrument"]) * random.standard_normal(3)
            result = Observation(minutes, lab=tuple(lab))
        else:
            path = natural_path(CURVES)
            veil = path.level_of_lightness(shown.lab[0, 0, 0]) - path.level_of_lightness(
                shown.underpigment[0, 0, 0]
            )
            read = min(shown.level[0, 0] + veil - bias, 10.0) + EYE_SD * random.standard_normal()
            result = Observation(minutes, float(np.clip(read, 1.0, 10.0)))
        client = f"c-{i // 2}"
        records.append(
            Record(client, "2024-05-17", hair, mixture, result, invented=True, number=i + 1)
        )
    return records


@pytest.fixture(scope="module")
def shifted():
    return learn_from_records(invented(40, (0.3, 0.35, 0.0), seed=2))


@pytest.mark.parametrize("shifts", [(0.0, 0.0, 0.0), (0.25, 0.2, 0.1), (-0.2, -0.3, 0.0)], ids=str)
def test_known_shifts_lie_inside_their_intervals(shifts):
    shared = learn_shifts(invented(30, shifts, seed=11), draws=512)
    mean, sd = shared.moments()
    assert np.all(np.abs(mean[:3] - shifts) < 2.6 * sd[:3])  # 99 of 100, each
    # The rate is what records tell best: far more surely than it was assumed.
    assert sd[1] < 0.7 * np.sqrt(SHARED_SHARE) * CURVES.values["rate_log_sd"]


@pytest.mark.slow
@pytest.mark.slow
def test_intervals_hold_the_truth_as_often_as_they_say():
    random = np.random.default_rng(5)
    truths = shifts_of(random.standard_normal((40, 4)), CURVES)
    held = np.zeros(4)
    for seed, truth in enumerate(truths):
        records = invented(12, truth[:3], seed=300 + seed, spread=float(np.exp(truth[3])))
        mean, sd = learn_shifts(records, draws=256).moments()
        held += np.abs(mean - truth) < COVERED * sd
    # 40 trials at 0.9: fewer than 31 is a chance of about 1 in 100 (binomial).
    assert np.all(held >= 31)


def test_errors_shrink_and_bands_tighten(shifted):
    before, after = shifted.before, shifted.after
    assert after.rms < 0.75 * before.rms
    assert abs(after.bias) < 0.5 * abs(before.bias)
    assert after.width < before.width
    assert after.held > before.held
    assert 32 <= after.held <= 40  # nine in ten of 40, give or take
    assert shifted.held_out_by == "client"


@pytest.mark.slow
def test_predictions_tighten_with_more_records():
    records = invented(40, (0.0, 0.2, 0.0), seed=8, spread=0.7)
    learned = [learn_from_records(records[:count], draws=512) for count in (4, 12, 40)]
    unsure = [result.shared.moments()[1][1] for result in learned]
    assert unsure[0] > unsure[1] > unsure[2]
    assert learned[2].curves["rate_log_sd"].value < 0.85 * CURVES["rate_log_sd"].value
    # Strands that scatter more than was assumed are not made to look tighter.
    loose = learn_from_records(invented(40, (0.0, 0.2, 0.0), seed=8, spread=2.0), draws=512)
    assert loose.curves["rate_log_sd"].value > 1.1 * CURVES["rate_log_sd"].value


def test_own_curves_make_a_preview_tighter_and_nearer(shifted, tmp_path):
    path = tmp_path / "own.toml"
    shifted.curves.save(path)
    own = load_curves(path)
    assert own == shifted.curves
    hair, mixture = Hair(5.0), Mixture("cream", 20.0)
    plain, learned = (preview(hair, mixture, 30.0, curves=c) for c in (CURVES, own))
    low, level, high = learned.band_at("level")
    was_low, was, was_high = plain.band_at("level")
    # By the eye of this stylist, strands gain a rate 1.4 times as high.
    assert level > was + 0.2
    assert (high - low) / (level - 5.0) < (was_high - was_low) / (was - 5.0)
    assert str(own.standing) == "tuned to 40 INVENTED records of 20 clients"
    for name in ("lightening_rate", "fade_minutes", "melanin_at_level_3", "rate_log_sd"):
        assert own[name].status == "tuned"
        assert "40 INVENTED records" in own[name].source
    assert own["powder_boost"] == CURVES["powder_boost"]
    mean, _ = shifted.shared.moments()
    assert own["lightening_rate"].value == pytest.approx(
        CURVES["lightening_rate"].value * np.exp(mean[1]), rel=1e-5
    )


def test_the_eye_goes_into_the_level_scale(shifted):
    mean, _ = shifted.shared.moments()
    assert mean[0] > 0.1
    judged = natural_path(shifted.curves).lab_of_level(6.0)
    true = natural_path(CURVES).lab_of_level(6.0 + mean[0])
    np.testing.assert_allclose(judged, true, atol=0.02)


def test_an_eye_alone_cannot_tell_its_own_bias():
    records = invented(20, (0.4, 0.0, 0.0), seed=4, instrument=0.0)
    result = learn_from_records(records, draws=512)
    assert not result.determined[0]
    both = learn_from_records(invented(40, (0.4, 0.0, 0.0), seed=4, instrument=0.7), draws=512)
    assert both.determined[0]
    mean, sd = both.shared.moments()
    assert abs(mean[0] - 0.4) < 2.6 * sd[0]


def test_one_slip_of_the_pen_is_pointed_out_and_moves_little():
    records = invented(24, (0.0, 0.2, 0.0), seed=6)
    clean = learn_shifts(records, draws=512).moments()
    at = next(i for i, r in enumerate(records) if r.result.level and 6.0 < r.result.level < 9.0)
    wrong = records[at]
    records[at] = Record(
        wrong.client,
        wrong.date,
        wrong.hair,
        wrong.mixture,
        Observation(wrong.result.minutes, wrong.result.level - 4.0),
        invented=True,
        number=99,
    )
    result = learn_from_records(records, draws=512)
    assert to_dict(result)["suspects"] == [99]
    mean, _ = result.shared.moments()
    assert np.all(np.abs(mean - clean[0])[:3] < clean[1][:3])


@pytest.mark.slow
def test_leaving_out_by_weights_agrees_with_learning_anew():
    records = invented(12, (0.2, 0.3, 0.1), seed=12)
    result = learn_from_records(records, draws=2048)
    for i in (0, 5, 11):
        rest = [r for r in records if r.client != records[i].client]
        anew = learn_shifts(rest, draws=2048, seed=1)
        made = [(forecast(records[i], anew.shifts, CURVES), anew.posterior.weights)]
        alone = prediction_errors([records[i]], made, CURVES)
        assert result.after.error[i] == pytest.approx(alone.error[0], abs=0.03)
        assert result.after.sd[i] == pytest.approx(alone.sd[0], rel=0.05)


def test_one_client_is_left_out_record_by_record():
    records = [
        Record("only-1", r.date, r.hair, r.mixture, r.result, invented=True)
        for r in invented(5, (0.0, 0.2, 0.0), seed=3)
    ]
    result = learn_from_records(records, draws=256)
    assert result.held_out_by == "record"
    assert "5 INVENTED records of 1 client" in str(result.curves.standing)


def test_shifts_have_the_moments_they_are_said_to_have():
    quantiles = (np.arange(200_000) + 0.5) / 200_000
    deviates = np.tile(stats.norm.ppf(quantiles)[:, None], (1, 4))
    shifts = shifts_of(deviates, CURVES)
    wanted = np.sqrt(SHARED_SHARE) * np.array([0.3, 0.2, 0.25])
    np.testing.assert_allclose(shifts[:, :3].std(axis=0), wanted, rtol=0.01)
    # Student's t with four degrees of freedom, by scipy.
    np.testing.assert_allclose(
        np.quantile(shifts[:, 1] / wanted[1], 0.99),
        stats.t.ppf(0.99, 4) / np.sqrt(2.0),
        rtol=1e-3,
    )
    # Both floors together are the curve set's own variance.
    assert np.mean(np.exp(2.0 * shifts[:, 3])) == pytest.approx(1.0, rel=0.01)
    assert len(SHIFTS) == shifts.shape[1]


@pytest.mark.parametrize("instrument", [0.0, 1.0])
def test_forecast_against_many_strands(instrument):
    # The cubature's mean and covariance against 20000 random strands.
    random = np.random.default_rng(1)
    for one in invented(4, (0.0, 0.0, 0.0), seed=20, instrument=instrument):
        made = forecast_without_records(one, CURVES)
        hair = one.hair
        # Of what nobody measured the records are to tell: it stays where the curve set has it.
        latent = np.pad(random.standard_normal((20_000, len(OF_HEAD))), ((0, 0), (0, 1)))
        strands, values = apply_latent(hair, CURVES, latent)
        shown = simulate(strands, one.mixture, one.result.minutes, CURVES, values=values)
        path = natural_path(CURVES)
        seen = shown.lab[:, 0]
        if one.result.lab is None:
            veil = path.level_of_lightness(seen[:, 0]) - path.level_of_lightness(
                shown.underpigment[:, 0, 0]
            )
            seen = np.minimum(shown.level[:, 0] + veil, 10.0)[:, None]
        mean, sd = seen.mean(axis=0), np.hypot(seen.std(axis=0), one.result.sd)
        np.testing.assert_allclose((made.mean[0] - mean) / sd, 0.0, atol=0.12)
        np.testing.assert_allclose(np.sqrt(np.diag(made.covariance[0])) / sd, 1.0, atol=0.12)


def test_levels_of_readings():
    assert level_of(np.array([6.25]), CURVES) == 6.25
    lab = natural_path(CURVES).lab_of_level(6.25)
    assert level_of(lab, CURVES) == pytest.approx(6.25, abs=0.01)
    # A slip of two levels is sized as 14 L*: about seven to the level between 4 and 9.
    lightness = natural_path(CURVES).lab_of_level(np.array([4.0, 9.0]))[:, 0]
    assert np.diff(lightness)[0] / 5.0 == pytest.approx(7.0, abs=0.5)


@pytest.mark.parametrize("count", [0, 1, 2])
def test_too_few_records_are_refused(count):
    with pytest.raises(LiftError, match=f"{count} records? to learn from; at least 3"):
        learn_from_records(invented(count, (0.0, 0.0, 0.0), seed=1))


def test_invented_and_real_records_do_not_mix():
    records = invented(4, (0.0, 0.0, 0.0), seed=1)
    first = records[0]
    real = Record(first.client, first.date, first.hair, first.mixture, first.result)
    with pytest.raises(LiftError, match="cannot be learned from together"):
        learn_from_records([real, *records[1:]])


def test_records_do_not_count_twice(shifted):
    with pytest.raises(LiftError, match="would count twice"):
        learn_from_records(invented(4, (0.0, 0.0, 0.0), seed=1), shifted.curves)


def test_json_form(shifted):
    import json

    payload = json.loads(json.dumps(to_dict(shifted), allow_nan=False))
    assert payload["records"] == 40
    assert payload["invented"] is True
    assert set(payload["shifts"]) == set(SHIFTS)
    assert payload["shifts"]["rate"]["determined"] is True
    assert payload["after"]["rms"] < payload["before"]["rms"]
    assert len(payload["after"]["error"]) == 40
    assert payload["cautions"]
