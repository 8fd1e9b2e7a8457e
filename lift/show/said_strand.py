"""What is said of a strand test: notes that terminal and page share."""

from __future__ import annotations

from typing import Any

from lift.practice.preview import Preview
from lift.practice.trial.look import Look
from lift.practice.trial.strand_test import StrandTest
from lift.show.said import lift_note, mix_note, rinse_note, risk_note, then_tone_note
from lift.show.said_warmth import counted
from lift.words import Note, note

UNUSUAL = 0.01
"""Chance of a strand that fits as badly, below which it is said."""


def seen_notes(test: StrandTest) -> list[Note]:
    """Each observation with what its time was worth, and a word where the fit is unusual."""
    notes = []
    best = test.looks.best
    for seen, gain, verdict in zip(test.observations, test.gains, test.verdicts, strict=True):
        better: Note | str = ""
        if verdict != "useful" and best is not None and best.gain > gain:
            better = note("strand.better", minutes=best.minutes, gain=100.0 * best.gain)
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
    looks, again = test.next_look, bool(test.observations)
    if looks.settled:
        return note("strand.first.settled", p=looks.p_inside_now)
    look, able = looks.advised, _able(test)
    if look is not None and look.tells:
        return note("strand.first.look", **_when(test, look), again=again)
    if able is not None:
        return note("strand.first.other", **_when(test, able), again=again)
    return note("strand.first.none", again=again)


def _able(test: StrandTest) -> Look | None:
    """The look of who reads more finely, where the next look would not tell: in time, or ahead."""
    in_time = [o.same for o in test.others if o.same and o.same.tells]
    if in_time or test.next_look.ahead:
        return next(iter(in_time), None)
    return next((o.ahead for o in test.others if o.ahead), None)


def _when(test: StrandTest, look: Look) -> dict[str, Any]:
    """When and how a look is taken, and what it is expected to bring."""
    low, high = test.swatches(look.minutes)
    return {
        "minutes": look.minutes,
        "how": note(f"strand.how.{look.reading}", low=low, high=high),
        "where": note("strand.where", ahead=look.ahead) if look.ahead else "",
        "gain": 100.0 * look.gain,
        "rinse": test.next_look.rinse_minutes,
        "p": look.p_inside,
    }


def risk_moved_note(test: StrandTest) -> Note:
    """Risk at the planned rinse, and the chance of being inside before anything was seen."""
    inside = test.before.places["inside"]
    before = note("strand.risk.before", p=inside) if test.observations else ""
    now = risk_note(test.after)
    return note("strand.risk", minutes=test.before.minutes, now=now, before=before)


def look_notes(test: StrandTest) -> list[Note]:
    """When to look, what that is expected to bring, and what could tell where it cannot."""
    looks, again = test.next_look, bool(test.observations)
    if looks.settled or looks.p_inside_now <= 0.0:
        code = "strand.settled" if looks.settled else "strand.never"
        return [note(code, p=looks.p_inside_now, goal=test.target.name)]
    notes = [note("strand.without", p=looks.p_inside_now, again=again)]
    same, ahead, able = looks.same, looks.ahead, _able(test)
    could = note("strand.could.not") if able is None else note("strand.could", **_when(test, able))
    if same is None:
        notes.append(note("strand.too_late", by=looks.act_by, again=again))
    elif same.tells:
        notes.append(note("strand.look", **_when(test, same)))
    else:
        may = could if test.others else note("strand.could.nothing")
        notes.append(note("strand.cannot", **_when(test, same), could=may))
    if ahead is not None:
        notes += [note("strand.look", **_when(test, ahead)), note("strand.own_rinse")]
    elif same is None and able is not None:
        notes.append(could)
    return notes
