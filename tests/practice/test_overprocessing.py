"""Over-processing is said in plain words, with what is known of damage, and no score."""

import numpy as np
import pytest

from lift.model.hair import Hair
from lift.model.mixture import Mixture
from lift.practice.goal import Lighten
from lift.practice.overprocessing import (
    LIGHT_LEVEL,
    MOST_STRANDS,
    SEEN_FROM,
    STRONG_ON_HEAD,
    is_strong,
    overprocessed,
)
from lift.practice.preview import preview
from lift.practice.scenario.scenario import Placement, Salon, Scenario, Zone, ZoneGoal
from lift.practice.service.plan import plan
from lift.practice.toning.tone_report import Processed, tone_report
from lift.practice.trial.strand_test import strand_test
from lift.words import LAST_LEVEL

POWDER = Mixture("powder", 20.0)
PALE = Hair(6.0, lightened_to=9.0)


def codes(hair, mixture, level):
    return [
        said.code.removeprefix("overprocessed.") for said in overprocessed(hair, mixture, level)
    ]


def levels(share):
    """A hundred strands, a share of them past the scale."""
    return np.where(np.arange(100) < 100 * share, LAST_LEVEL + 0.5, 8.0)


@pytest.mark.parametrize("share", [0.0, 0.04, 0.05, 0.49, 0.5, 1.0])
def test_nearly_all_pigment_gone(share):
    """From one strand in twenty on: where the band of nine in ten reaches past the scale."""
    said = overprocessed(Hair(5.0), POWDER, levels(share))
    assert bool(said) == (share >= SEEN_FROM)
    if said:
        most = share >= MOST_STRANDS
        assert said[0]["p"] == pytest.approx(share)
        assert str(said[0]).startswith("OVER-PROCESSED: ") == most
        assert "over-processed" in str(said[0]).lower()
        assert len(said) == 1 + most


@pytest.mark.parametrize(
    ("hair", "mixture", "strong"),
    [
        (PALE, POWDER, True),
        (PALE, Mixture("cream", 40.0), True),
        (PALE, Mixture("cream", 20.0), False),
        (PALE, Mixture("powder", 0.0), False),
        (Hair(6.0, lightened_to=LIGHT_LEVEL), POWDER, True),
        (Hair(6.0, lightened_to=LIGHT_LEVEL - 0.1), POWDER, False),
        # Hair that is light by nature has never been oxidised.
        (Hair(9.0), POWDER, False),
    ],
)
def test_light_hair_lightened_again(hair, mixture, strong):
    assert codes(hair, mixture, 8.0) == (["again", "known"] if strong else [])


def test_strength_counts_as_it_lies_on_the_hair():
    assert not is_strong(Mixture("cream", 2.0 * STRONG_ON_HEAD))
    assert is_strong(Mixture("cream", 2.0 * STRONG_ON_HEAD, developer_parts=2.0))


def test_what_is_known_of_damage_is_said_once_and_scored_nowhere():
    said = overprocessed(PALE, POWDER, levels(1.0))
    assert [each.code for each in said] == [
        *("overprocessed.bare", "overprocessed.again", "overprocessed.known")
    ]
    for words in ("square root", "Suzuta", "44 (1993) p. 358-359", "is not computed"):
        assert words in str(said[-1])


def test_it_comes_first_wherever_a_mixture_is_shown():
    for answer in (
        preview(PALE, POWDER, 20.0, members=20),
        strand_test(PALE, POWDER, goal=Lighten(10.0), rinse_minutes=20.0, members=20),
        tone_report(Processed(PALE, POWDER, 20.0)),
    ):
        assert answer.cautions[0].code.startswith("overprocessed.")
        assert "overprocessed.known" in {said.code for said in answer.cautions}


def test_a_plan_names_the_zone():
    goal = ZoneGoal(Lighten(level=9.5, warmth=60.0))
    zone = Zone("ends", PALE, mixture="light", goal=goal, placement=Placement(2, 60))
    visit = plan(Scenario("ends", (zone,), {"light": POWDER}, Salon()), members=8)
    assert str(visit.cautions[0]).startswith("ends: ")
    assert any(str(said).startswith("ends: OVER-PROCESSED: ") for said in visit.cautions)
    assert [said.code for said in visit.cautions].count("overprocessed.known") == 1


def test_a_usual_service_is_not_warned_of():
    usual = preview(Hair(7.0, "fine", damp=True), Mixture("base-break", 10.0), 5.0, members=20)
    assert not any(said.code.startswith("overprocessed") for said in usual.cautions)
