"""What is said of a strand test: notes that terminal and page share."""

from __future__ import annotations

from lift.practice.preview import Preview
from lift.practice.trial.look import LookTimes
from lift.practice.trial.strand_test import StrandTest
from lift.show.said import lift_note, mix_note, rinse_note, risk_note, then_tone_note
from lift.show.said_warmth import counted
from lift.words import Note, note

UNUSUAL = 0.01
"""Chance of a strand that fits as badly, below which it is said."""


def seen_notes(test: StrandTest) -> list[Note]:
    """Each observation with what its time was worth, and a word where the fit is unusual."""
    notes = []
    best = {"minutes": test.looks.best_minutes, "gain": 100.0 * test.looks.best_gain}
    for seen, gain, verdict in zip(test.observations, test.gains, test.verdicts, strict=True):
        better = note("strand.better", **best) if verdict != "useful" else ""
        what = {"seen": seen.note, "verdict": verdict, "gain": 100.0 * gain, "better": better}
        notes.append(note("strand.seen", **what))
    if test.fit_chance is not None and test.fit_chance < UNUSUAL:
        notes.append(note("strand.unusual", p=test.fit_chance))
    return notes


def fibre_notes(test: StrandTest) -> tuple[Note, ...]:
    """Of grey hair: what a look reads, and both kinds of fibres at the rinse after the test."""
    grey = test.after.grey
    if grey is None:
        return ()
    return note("strand.reads"), *grey.notes(test.target.warmth_limit)


def moved_note(test: StrandTest, quantity: str) -> Note:
    """Median and band at the rinse time, before and after, and whether the band narrowed."""

    def band(result: Preview) -> Note:
        ends = dict(
            zip(("low", "median", "high"), map(float, result.band_at(quantity)), strict=True)
        )
        if quantity == "lift":
            start = float(result.hair.level)
            lifts = {
                name: lift_note(lift, start + lift, start, fine=True) for name, lift in ends.items()
            }
            return note("strand.lift_band", **lifts)
        return note("strand.level_band" if quantity == "level" else "strand.signed_band", **ends)

    before, after = test.width(quantity)
    change = 100.0 * (after / before - 1.0) if before > 0.0 else 0.0
    moved = note(
        "strand.moved",
        before=band(test.before),
        now=band(test.after),
        quantity=quantity,
        how=note("strand.narrower", percent=-change)
        if change < 0.0
        else note("strand.not_narrower", percent=change),
    )
    return counted(moved, test.before.hair) if quantity == "warmth" else moved


def first_notes(test: StrandTest) -> dict[str, Note]:
    """What to do, in the order of doing it, and how it may end, under the names of first lines."""
    return {
        "mix": mix_note(test.before.mixture),
        "look": _look(test),
        "rinse": rinse_note(test.after),
        "tone": then_tone_note(test.after),
        "risk": risk_moved_note(test),
    }


def _look(test: StrandTest) -> Note:
    looks, how = test.next_look, "eye" if test.next_look.by_eye else "instrument"
    best, soonest = looks.best_minutes, looks.soonest_minutes
    sooner = note("strand.first.soonest", minutes=soonest) if soonest < best else ""
    again = bool(test.observations)
    return note("strand.first.look", minutes=best, how=how, again=again, soonest=sooner)


def risk_moved_note(test: StrandTest) -> Note:
    """Risk at the planned rinse, and the chance of being inside before anything was seen."""
    inside = test.before.places["inside"]
    before = note("strand.risk.before", p=inside) if test.observations else ""
    now = risk_note(test.after)
    return note("strand.risk", minutes=test.before.minutes, now=now, before=before)


def look_notes(looks: LookTimes, *, again: bool) -> list[Note]:
    """When to look, and what that is expected to bring."""
    best, soonest = looks.best_minutes, looks.soonest_minutes
    how = "eye" if looks.by_eye else "instrument"
    gain = 100.0 * looks.best_gain
    notes = [note("strand.look", minutes=best, how=how, gain=gain, rinse=looks.rinse_minutes)]
    if soonest < best:
        notes.append(note("strand.soonest", minutes=soonest))
    chances = {"p": looks.p_inside_now, "p_then": looks.p_inside_at_best}
    return [*notes, note("strand.inside", again=again, **chances)]
