"""The service against the outside.

Scheduling: against brute force, which shares nothing with the search but the windows. Colour of
woven hair: against colour-science, spectra mixed. Trade rows: common practice (no source), as
listed in ``reference/trade_practice.csv``; the growth behind one of them is published (Vogt et
al.).
"""

from itertools import permutations, product

import colour
import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from lift.model.curves import default_curves
from lift.model.hair import Hair
from lift.model.mixture import Mixture
from lift.model.trajectory import simulate
from lift.optics.weights import WAVELENGTHS_NM
from lift.practice.goal import Lighten
from lift.practice.scenario.scenario import Placement, Salon, Scenario, Zone, ZoneGoal
from lift.practice.schedule.arrange import TOUCHING
from lift.practice.schedule.search import ALL, Effort, best_of_grid, search
from lift.practice.schedule.task import Task
from lift.practice.schedule.times import ENOUGH, STEP
from lift.practice.service.next_visit import regrowth_mm, weeks_of_regrowth
from lift.practice.service.outcome import part_lab
from lift.practice.service.plan import plan
from lift.practice.window import find_window
from lift.reference import load

CURVES = default_curves()
MEMBERS = 6


# Scheduling


@st.composite
def tasks(draw, count):
    found = []
    for place in range(count):
        earliest = draw(st.lists(st.integers(1, 12), min_size=MEMBERS + 1, max_size=MEMBERS + 1))
        width = draw(st.lists(st.integers(-1, 5), min_size=MEMBERS + 1, max_size=MEMBERS + 1))
        found.append(
            Task(
                name=f"z{place}",
                laying=float(draw(st.integers(1, 4))),
                rinsing=float(draw(st.integers(0, 2))),
                earliest=np.array(earliest, dtype=float),
                latest=np.array(earliest, dtype=float) + np.array(width, dtype=float),
            )
        )
    return found


def worth(some, times):
    """What a choice of rinse times is worth, counted member by member."""
    inside = [
        all(t.earliest[m] <= x + 1e-9 < t.latest[m] for t, x in zip(some, times, strict=True))
        for m in range(MEMBERS + 1)
    ]
    together = sum(inside[1:]) / MEMBERS
    own = 0.0
    for task, x in zip(some, times, strict=True):
        alone = [task.earliest[m] <= x + 1e-9 < task.latest[m] for m in range(1, MEMBERS + 1)]
        own += min(sum(alone) / MEMBERS, ENOUGH)
    steps = int(min(together, ENOUGH) / STEP)
    return inside[0], steps, 0 if steps else int(own / STEP + 1e-6)


def starts_together(some, times, changeover, fixed=()):
    """Whether some order lets one pair of hands lay all before a common rinse."""
    for order in permutations(range(len(some))):
        if fixed and tuple(some[place].name for place in order) != fixed:
            continue
        rinse = max(times)
        clock, fits = -1e9, True
        for place in order:
            start = rinse - times[place]
            fits &= start >= clock - 1e-9
            clock = start + some[place].laying + changeover
        last = rinse - times[order[-1]] + some[order[-1]].laying
        if fits and last <= rinse + 1e-9:
            return True
    return False


def brute_together(some, changeover, grid, fixed=()):
    """All orders; each zone at any time of its grid, or just before the one that follows it."""
    best = None

    def go_on(left, times):
        nonlocal best
        if not left:
            chosen = [times[place] for place in range(len(some))]
            score = (*worth(some, chosen), -max(chosen))
            best = score if best is None or score > best else best
            return
        task = some[left[0]]
        least = task.laying + (max(times.values()) + changeover if times else 0.0)
        for x in {least, *(x for x in task.candidates(grid) if x >= least - 1e-9)}:
            go_on(left[1:], {**times, left[0]: x})

    for order in permutations(range(len(some))):
        if not fixed or tuple(some[place].name for place in order) == fixed:
            go_on(order[::-1], {})
    return best


def clash(some, times, starts, changeover):
    spans = []
    for task, x, start in zip(some, times, starts, strict=True):
        spans.append(
            [(start, start + task.laying + changeover), (start + x, start + x + task.rinsing)]
        )
    for one in range(len(some)):
        for two in range(one):
            for low, high in spans[one]:
                for from_, to in spans[two]:
                    if low < to - TOUCHING and from_ < high - TOUCHING:
                        return True
    return False


def brute_by_zone(some, changeover, grid, step, fixed=()):
    """All rinse times and all starts on a fine grid; the first zone to start stands at 0."""
    best = None
    top = sum(t.laying + t.rinsing + changeover for t in some) + 20.0
    offsets = np.arange(0.0, top, step)
    for times in product(*(t.candidates(grid) for t in some)):
        value = worth(some, times)
        if best is not None and value < best[:3]:
            continue
        for starts in product(offsets, repeat=len(some)):
            if min(starts) > 0.0:
                continue
            order = sorted(range(len(some)), key=lambda place: starts[place])
            if fixed and tuple(some[place].name for place in order) != fixed:
                continue
            total = max(s + x + t.rinsing for t, x, s in zip(some, times, starts, strict=True))
            if best is not None and (*value, -total) <= best:
                continue
            if not clash(some, times, starts, changeover):
                best = (*value, -total)
    return best


def score_of(some, found, rinse):
    times = [found.rinses[t.name] - found.starts[t.name] for t in some]
    total = max(found.rinses[t.name] + (0.0 if rinse == "together" else t.rinsing) for t in some)
    assert found.total == pytest.approx(total)
    return times, (*worth(some, times), -total)


def fixed_order(some, which):
    return () if which is None else tuple(t.name for t in (some[::-1] if which else some))


@given(
    some=st.integers(1, 3).flatmap(tasks),
    changeover=st.sampled_from([0.0, 1.0]),
    which=st.sampled_from([None, 0, 1]),
)
@settings(max_examples=60)
def test_together_is_the_brute_force_optimum(some, changeover, which):
    grid, fixed = {1: 13, 2: 9, 3: 5}[len(some)], fixed_order(some, which)
    wanted = brute_together(some, changeover, grid, fixed)
    # The optimum of a grid; that a safe schedule nearly as likely goes before it is another rule.
    found = best_of_grid(some, True, changeover, fixed, Effort(grid, ALL, ALL))
    times, got = score_of(some, found, "together")
    assert starts_together(some, times, changeover, fixed)
    assert got[:3] == wanted[:3]
    assert got[3] == pytest.approx(wanted[3])


@given(
    some=st.integers(1, 2).flatmap(tasks),
    changeover=st.sampled_from([0.0, 1.0]),
    which=st.sampled_from([None, 0, 1]),
)
@settings(max_examples=30)
def test_zone_by_zone_is_the_brute_force_optimum(some, changeover, which):
    """Brute force knows starts on quarters of a minute only: the search may be a little ahead."""
    grid, step, fixed = 5, 0.25, fixed_order(some, which)
    wanted = brute_by_zone(some, changeover, grid, step, fixed)
    found = best_of_grid(some, False, changeover, fixed, Effort(grid, ALL, ALL))
    times, got = score_of(some, found, "zone by zone")
    assert not clash(some, times, [found.starts[t.name] for t in some], changeover)
    assert not fixed or found.order == fixed
    assert got[:3] == wanted[:3]
    assert wanted[3] - 1e-6 <= got[3] <= wanted[3] + step * len(some)


def test_three_zones_rinsed_one_by_one():
    """Integer times, so brute force over whole minutes finds the optimum itself."""
    sure = np.zeros(MEMBERS + 1)
    some = [
        Task("long", 3.0, 2.0, sure + 12.0, sure + 12.5),
        Task("middle", 2.0, 1.0, sure + 6.0, sure + 6.5),
        Task("short", 1.0, 2.0, sure + 3.0, sure + 3.5),
    ]
    times = (12.0, 6.0, 3.0)
    best = min(
        max(s + x + t.rinsing for t, x, s in zip(some, times, starts, strict=True))
        for starts in product(range(20), repeat=3)
        if not clash(some, times, starts, 0.0)
    )
    found = search(some, False, efforts=[Effort(2, ALL, ALL)])
    got = [found.rinses[t.name] - found.starts[t.name] for t in some]
    assert found.p_inside == 1.0
    assert got == pytest.approx(times)
    assert found.total == pytest.approx(best)
    # Laid and rinsed one after the other, without using the waiting times, it would take longer.
    assert found.total < sum(times) + 5.0


# Woven hair

SPECTRA = colour.SpectralShape(380, 780, 5)
D65 = colour.SDS_ILLUMINANTS["D65"].copy().align(SPECTRA)
TEN = colour.MSDS_CMFS["CIE 1964 10 Degree Standard Observer"].copy().align(SPECTRA)


def lab_by_colour_science(reflectance):
    data = dict(zip(WAVELENGTHS_NM, reflectance, strict=True))
    xyz = colour.sd_to_XYZ(
        colour.SpectralDistribution(data),
        TEN,
        D65,
        method="Integration",
        shape=SPECTRA,
    )
    white = colour.sd_to_XYZ(
        colour.SpectralDistribution(dict.fromkeys(WAVELENGTHS_NM, 1.0)),
        TEN,
        D65,
        method="Integration",
        shape=SPECTRA,
    )
    return colour.XYZ_to_Lab(xyz / 100.0, colour.XYZ_to_xy(white))


def spectrum(hair, mixture, minutes):
    from lift.model.strand import strand_reflectance

    strand = simulate(hair, mixture, minutes, CURVES)
    return strand_reflectance(
        strand.pigment, CURVES.values, tone=strand.tone, grey_percent=hair.grey_percent
    )


@pytest.mark.parametrize("share", [0.2, 0.4, 0.75])
@pytest.mark.parametrize("grey", [0.0, 40.0])
def test_woven_hair_is_mixed_as_spectra_are(share, grey):
    """colour-science 0.4: spectra mixed by share, then XYZ and CIELAB for D65 and 10 degrees."""
    dark, bright = Hair(5, grey_percent=grey), Hair(5, grey_percent=grey)
    powder, breaker = Mixture("powder", 20), Mixture("base-break", 10)
    zones = (
        Zone("woven", bright, part="top", share=share, mixture="powder"),
        Zone("rest", dark, part="top", share=1.0 - share, mixture="breaker"),
    )
    both = Scenario("t", zones, {"powder": powder, "breaker": breaker})
    labs = {
        "woven": simulate(bright, powder, 30.0, CURVES).lab,
        "rest": simulate(dark, breaker, 5.0, CURVES).lab,
    }
    mixed = share * spectrum(bright, powder, 30.0) + (1.0 - share) * spectrum(dark, breaker, 5.0)
    assert part_lab(both, "top", labs, labs) == pytest.approx(
        lab_by_colour_science(mixed), abs=0.05
    )


def test_mixing_is_not_averaging_cielab():
    """What the check above could not tell apart if the two strands were alike."""
    powder = Mixture("powder", 20)
    ends = [simulate(Hair(5), powder, t, CURVES).lab for t in (0.0, 30.0)]
    mixed = lab_by_colour_science(
        0.5 * spectrum(Hair(5), powder, 0.0) + 0.5 * spectrum(Hair(5), powder, 30.0)
    )
    assert abs(mixed[0] - np.mean(ends, axis=0)[0]) > 1.0


# Trade rows: common practice (no source)

TRADE = dict(
    zip(
        load("trade_practice").words("id"),
        load("trade_practice").words("status"),
        strict=True,
    )
)


def one_zone(hair, placement=None, volume=10.0, **assumptions):
    zone = Zone("z", hair, mixture="m", placement=placement or Placement(4, 20, 2))
    return Scenario("t", (zone,), {"m": Mixture("base-break", volume)}, assumptions=assumptions)


@pytest.mark.parametrize("row", ["fine hair", "damp", "small sections", "regrowth"])
def test_the_rows_are_marked_as_what_they_are(row):
    assert TRADE[row].startswith("common practice (no source)")


def test_fine_hair_processes_faster_than_coarse():
    """Row "fine hair": the window of 50 um closes before that of 90 um, for every section."""
    fine, coarse = (plan(one_zone(Hair(7, um)), members=40).zones[0] for um in (50.0, 90.0))
    for one, two in zip(fine.sections, coarse.sections, strict=True):
        assert one.opens < two.opens
        assert one.closes < two.closes


def test_damp_hair_and_ten_volume_buy_control():
    """Row "damp": wider than dry hair with 20 volume, and so likelier that all are inside."""
    damp = plan(one_zone(Hair(7, "fine", damp=True)), members=160)
    dry = plan(one_zone(Hair(7, "fine"), volume=20.0), members=160)
    for one, two in zip(damp.zones[0].sections, dry.zones[0].sections, strict=True):
        assert one.closes - one.opens > two.closes - two.opens
    assert damp.p_inside > dry.p_inside
    window = find_window(Hair(7, "fine", damp=True), Mixture("base-break", 10), curves=CURVES)
    assert window.width > find_window(Hair(7, "fine"), Mixture("base-break", 20)).width


@pytest.mark.parametrize("thickness", [(1.0, 3.0, 8.0, 20.0)])
def test_thin_sections_lift_more_evenly(thickness):
    """Row "small sections": spread of lift within a section grows with its thickness."""
    goal = ZoneGoal(Lighten(level=8, warmth=25))

    def spread(mm):
        zone = Zone("z", Hair(6), mixture="m", goal=goal, placement=Placement(1, 20, mm))
        result = plan(Scenario("t", (zone,), {"m": Mixture("powder", 20)}), members=20)
        work = result.service.works["z"]
        at = work.strands(25.0).lift[0]
        return at[0] - at[-1]

    spreads = [spread(mm) for mm in thickness]
    assert spreads == sorted(spreads)
    assert spreads[-1] > 3.0 * spreads[0]


def test_quick_laying_lifts_more_evenly():
    """Row "small sections": the spread over a zone grows with the time it takes to lay."""
    goal = ZoneGoal(Lighten(level=8, warmth=25))

    def spread(seconds):
        zone = Zone("z", Hair(6), mixture="m", goal=goal, placement=Placement(8, seconds, 2))
        result = plan(Scenario("t", (zone,), {"m": Mixture("powder", 20)}), members=20)
        return float(np.ptp(result.service.works["z"].strands(30.0).lift))

    spreads = [spread(s) for s in (15, 30, 60, 120)]
    assert spreads == sorted(spreads)
    assert spreads[-1] > 3.0 * spreads[0]


def test_small_sections_are_likelier_inside():
    thin, thick = (
        plan(one_zone(Hair(7, "fine", damp=True), Placement(4, 20, mm)), members=160)
        for mm in (1.0, 8.0)
    )
    assert thin.p_inside > thick.p_inside


def test_refresh_regrowth_is_five_to_ten_weeks_old():
    """Row "regrowth": 12 to 25 mm at 0.35 mm a day (Vogt et al.), to the nearest week."""
    weeks = weeks_of_regrowth([12.0, 25.0])
    assert np.rint(weeks).tolist() == [5.0, 10.0]
    assert regrowth_mm(weeks) == pytest.approx([12.0, 25.0])


def test_textbook_growth_is_of_the_same_size():
    """Textbook of modern hair science: 1 cm in 28 days; Vogt et al. give 0.98 cm."""
    assert regrowth_mm(4.0) == pytest.approx(10.0, abs=0.3)


def test_a_longer_time_than_the_limit_is_refused():
    """Row "limit": no plan leaves anything on past 60 min."""
    from lift.errors import LiftError

    with pytest.raises(LiftError, match="outside 1 to 60 min"):
        Salon(limit_minutes=61)
    zone = Zone(
        "z",
        Hair(3, "coarse"),
        mixture="m",
        goal=ZoneGoal(Lighten(level=6, warmth=40)),
        placement=Placement(10, 60, 3),
    )
    result = plan(Scenario("t", (zone,), {"m": Mixture("powder", 30)}), members=20)
    assert result.zones[0].minutes <= 50.0
