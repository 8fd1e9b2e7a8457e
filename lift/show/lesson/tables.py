"""Tables of a notebook: for the chair, for how far to trust, and for tuning."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

import numpy as np

from lift.errors import check_choice
from lift.model.curves import CurveSet
from lift.practice.preview import Preview
from lift.practice.scenario.scenario import Scenario
from lift.practice.service.plan import LIKELY, Plan
from lift.practice.trial.strand_test import StrandTest
from lift.practice.window import Window
from lift.quantities import described
from lift.research.evidence.bands import BandSensitivity, band_rows
from lift.research.evidence.checks import STANDINGS, Check, by_standing
from lift.research.evidence.sensitivity import Sensitivity
from lift.research.swatches.table import Swatches
from lift.research.swatches.written import table_rows
from lift.research.tuning.tune import Tuning
from lift.show.lesson.notebook import Shown, table
from lift.show.plots.trust_plots import spoken
from lift.show.said import risk_note, time_note, warmth_note
from lift.show.said_plan import red_notes
from lift.words import Note, note, say, says

SWATCH_COLUMNS = ("swatch", "level", "mixture", "volume", "minutes", "L", "a", "b")


def _heads(*codes: str) -> list[str]:
    return [say(f"table.{code}") if code else "" for code in codes]


# For the chair.


def preview_table(result: Preview) -> Shown:
    """What to expect of one strand at one time, with nine strands in ten in brackets.

    Examples
    --------
    >>> import lift
    >>> result = lift.preview(lift.Hair(level=7), lift.Mixture("base-break", 10), 5)
    >>> print(lift.teach.preview_table(result).text.splitlines()[1])
    what; expected (nine strands in ten)
    """
    level_low, level, level_high = result.band_at("level")
    values: dict[str, Any] = {
        "level": note("table.level.value", low=level_low, median=level, high=level_high),
        "underpigment": note("plot.stage", stage=result.stage),
        "warmth": warmth_note(result),
        **_fibres(result),
        "too_warm": risk_note(result),
        "window": say("preview.rinse.open")
        if result.window is None
        else window_words(result.window),
        "tone": result.wheel_and_dye.short,
    }
    caption = say("table.preview", minutes=result.minutes, mixture=result.mixture,
                  hair=described(result.hair))  # fmt: skip
    rows = [(say(f"table.{what}"), value) for what, value in values.items()]
    return table(_heads("what", "expected"), rows, caption)


def _fibres(result: Preview) -> dict[str, Note]:
    """Both kinds of fibres of grey hair, and how warm their blend is seen to be."""
    grey = result.grey
    if grey is None:
        return {}
    colours = (note("plan.lab", lab=lab) for lab in (grey.pigmented, grey.white))
    pigmented, white = colours
    return {
        "pigmented": pigmented,
        "white": note("table.fibres.value", lab=white, said=grey.white_note),
        "blend": grey.blend_note(result.warmth_limit),
    }


def window_words(window: Window) -> str:
    """When the window opens and closes, and the best time in it."""
    if window.opens is None or window.closes is None:
        return say("table.none")
    return say("table.window.value", opens=window.opens, closes=window.closes,
               best=window.best_minutes, p=window.p_best)  # fmt: skip


def scenario_table(scenario: Scenario) -> Shown:
    """The zones of a visit: hair, mixture, sections.

    Examples
    --------
    >>> import lift
    >>> scenario = lift.load_scenario("shared/blonde_refresh.toml")
    >>> print(lift.teach.scenario_table(scenario).text.splitlines()[1])
    zone; hair; mixture; sections
    """
    rows = []
    for zone in scenario.zones:
        treated = zone in scenario.treated
        mixture = scenario.mixture_on(zone) if treated else None
        hair = say("table.hair", hair=described(zone.hair))
        lies = note("table.left_alone")
        if mixture is not None:
            chosen = "volume" in scenario.to_choose.get(zone.mixture or "", ())
            code = "table.mixture.chosen" if chosen else "table.mixture.value"
            lies = note(code, mixture=mixture)
        rows.append((zone.name, hair, lies, f"{zone.placement.sections}" if treated else ""))
    caption = say("table.scenario", title=scenario.title, about=scenario.about)
    return table(_heads("zone", "hair.head", "mixture", "sections"), rows, caption)


def plan_table(result: Plan) -> Shown:
    """When each zone goes on and is rinsed, and what is expected of it.

    Examples
    --------
    >>> import lift
    >>> scenario = lift.load_scenario("shared/blonde_refresh.toml")
    >>> shown = lift.teach.plan_table(lift.plan(scenario, members=10))
    >>> print(shown.text.splitlines()[1])
    zone; begin [min]; all on [min]; rinse [min]; at the rinse; inside; past
    """
    rows = [
        (
            zone.zone.name,
            *(f"{minutes:.1f}" for minutes in (zone.starts, zone.laid, zone.rinsed)),
            say("table.plan.rinse", level=zone.level, stage=zone.stage, warmth=zone.warmth),
            say("chance", p=zone.p_inside),
            say("chance", p=zone.p_too_far),
        )
        for zone in result.zones
    ]
    heads = _heads("zone", "begin", "all_on", "rinse", "at_the_rinse", "inside", "past")
    minutes, rinsed = result.total_minutes, result.service.all_rinsed
    caption = note("table.plan", minutes=minutes)
    if result.toning:
        caption = note("table.plan_toned", minutes=minutes, rinsed=rinsed)
    return table(heads, rows, " ".join(says([caption, *red_notes(result)])))


def change_lines(result: Plan) -> list[str]:
    """What would help, each computed, one sentence a line.

    Examples
    --------
    >>> import lift
    >>> scenario = lift.load_scenario("shared/blonde_refresh.toml")
    >>> lift.teach.change_lines(lift.plan(scenario))
    ['Nothing needs changing.']
    """
    lines = [] if result.exists else [say("table.no_order", reasons=" ".join(says(result.reasons)))]
    for change in result.changes:
        code = "table.change.works" if change.works else "table.change.does_not"
        lines.append(say(code, change=change.text, p=change.p_inside))
    nothing = "table.nothing_to_change" if result.p_inside >= LIKELY else "table.nothing_helps"
    return [*lines, *says(result.advice)] or [say(nothing)]


def moved_table(test: StrandTest) -> Shown:
    """Risk and window before a strand test and after it.

    Examples
    --------
    >>> import lift
    >>> seen = [lift.Observation(3, level=7.2)]
    >>> test = lift.strand_test(lift.Hair(level=7), lift.Mixture("base-break", 10), seen)
    >>> len(lift.teach.moved_table(test).text.splitlines())
    4
    """
    rows = []
    for code, seen, window in zip(
        ("before", "after"), (test.before, test.after), test.windows, strict=True
    ):
        low, _, high = seen.band_at("warmth")
        opens, closes = map(time_note, window.closes_range)
        rows.append(
            (
                say(f"table.moved.{code}"),
                say("chance", p=seen.p_too_warm),
                say("table.moved.warmth.value", low=low, high=high),
                say("table.moved.closes.value", low=opens, high=closes),
                window_words(window),
            )
        )
    heads = ["", say("table.moved.too_warm", goal=test.windows[0].target.name)]
    heads += _heads("moved.warmth", "moved.closes", "window")
    return table(heads, rows, say("table.moved", minutes=test.before.minutes))


# How far to trust.


def evidence_table(checks: Sequence[Check], *standings: str) -> Shown:
    """Every check of some standings: source, expected, got, and whether it holds.

    Parameters
    ----------
    checks : sequence of Check
        From `lift.lab.all_checks`.
    *standings : str
        Of `lift.research.evidence.checks.STANDINGS`.

    Examples
    --------
    >>> import lift
    >>> print(lift.lab.evidence_table([], "measured").text.splitlines()[0])
    Measured and not fitted: 0 of 0 hold

    Raises
    ------
    LiftError
        When there is no such standing, naming the nearest.
    """
    for standing in standings:
        check_choice("name.standing", standing, STANDINGS)
    groups = by_standing(checks)
    shown = [c for standing in standings for c in groups[standing]]
    rows = [
        (
            say(f"evidence.standing.{c.standing}"),
            *says((c.name, c.source, c.expected, c.got)),
            say(_outcome(c)),
        )
        for c in shown
    ]
    names = [note(f"evidence.standing.{standing}") for standing in standings]
    counts = {"count": len(shown), "passed": sum(c.passed for c in shown)}
    said = note("evidence.standings", names=names)
    typed = bool(shown) and all(c.built_in for c in shown)
    code = "table.evidence.built_in" if typed else "table.evidence"
    caption = say(code, standings=said, **counts)
    heads = _heads("standing", "check", "source", "expected_value", "got", "outcome")
    return table(heads, rows, caption)


def _outcome(check: Check) -> str:
    if not check.passed:
        return "table.fails"
    return "table.built_in" if check.built_in else "table.holds"


def band_table(found: BandSensitivity) -> Shown:
    """What does it, by level, once a dye's band lies elsewhere, from `lift.lab.band_sensitivity`.

    Examples
    --------
    >>> import lift
    >>> found = lift.lab.band_sensitivity()
    >>> len(lift.lab.band_table(found).text.splitlines()) == 2 + len(found.cases)
    True
    """
    heads, rows = band_rows(found)
    return table(says(heads), [says(row) for row in rows], say("bands.table"))


def curve_table(curves: CurveSet, sensitivity: Sensitivity, status: str) -> Shown:
    """Every number of one status: value, range, source, and what it does to the window.

    Parameters
    ----------
    curves : CurveSet
        Curve set.
    sensitivity : Sensitivity
        From `lift.lab.window_sensitivity` with the same curve set.
    status : str
        One of `lift.model.curves.STATUSES`.

    Examples
    --------
    >>> import lift
    >>> curves = lift.default_curves()
    >>> hair, mixture = lift.Hair(level=7), lift.Mixture("base-break", 10)
    >>> found = lift.lab.window_sensitivity(hair, mixture, curves=curves)
    >>> print(lift.lab.curve_table(curves, found, "published").text.splitlines()[0][:20])
    Published: 12 number
    """
    rows = []
    for name, label, (low, high) in zip(
        sensitivity.names, sensitivity.labels, sensitivity.closes, strict=True
    ):
        parameter = curves[name]
        if parameter.status == status:
            value = f"{parameter.value:.4g} {parameter.unit}".removesuffix(" -")
            allowed = say("table.range", low=parameter.low, high=parameter.high)
            moved = f"{_minutes(low)} / {_minutes(high)}"
            rows.append((spoken(name), value, allowed, say(label), moved, parameter.source))
    heads = _heads("number", "value", "allowed", "changed_to", "then_closes", "source")
    caption = say("table.curves", status=say(f"status.{status}").capitalize(), count=len(rows),
                  closes=_minutes(sensitivity.base_closes))  # fmt: skip
    return table(heads, rows, caption)


def _minutes(time: float) -> str:
    return f"{time:.1f}" if np.isfinite(time) else say("table.never")


# Tuning.


def swatch_table(swatches: Swatches, rows: int = 6) -> Shown:
    """First rows of a swatch file, as it is written.

    Examples
    --------
    >>> import lift
    >>> swatches = lift.lab.read_swatches("shared/invented_swatches.csv")
    >>> lift.lab.swatch_table(swatches, 2).text[:49]
    'INVENTED, nothing was measured: first 2 of 48 rea'
    """
    shown = table_rows(swatches, SWATCH_COLUMNS[:-3])[:rows]
    caption = say("table.swatches", invented=swatches.invented, shown=len(shown),
                  readings=len(swatches), swatches=len(swatches.names))  # fmt: skip
    return table(SWATCH_COLUMNS, [[row[name] for name in SWATCH_COLUMNS] for row in shown], caption)


def estimate_table(tuning: Tuning) -> Shown:
    """Each fitted number with its interval, and what the data say of it.

    Examples
    --------
    >>> from lift import lab
    >>> few = lab.read_swatches("shared/invented_swatches.csv").rows(range(8))
    >>> tuning = lab.tune(few, free=("lightening_rate",), starts=1, leave_swatches_out=False)
    >>> print(lab.estimate_table(tuning).text.splitlines()[0])
    1 of 1 numbers are determined by these data
    """
    rows = [
        (
            spoken(e.name),
            f"{e.before:.4g}",
            f"{e.value:.4g} {e.unit}".removesuffix(" -"),
            say("table.interval.value", low=e.low, high=e.high),
            say(f"verdict.{e.verdict}"),
        )
        for e in tuning.estimates
    ]
    interval = say("table.interval", coverage=tuning.coverage)
    heads = [*_heads("number", "before", "tuned"), interval, *_heads("verdict")]
    known = sum(e.determined for e in tuning.estimates)
    return table(heads, rows, say("table.estimates", known=known, count=len(rows)))
