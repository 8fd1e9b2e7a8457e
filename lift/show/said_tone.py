"""What is said of a tone: what is done first, and how it may end; of a report, and of a visit."""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np

from lift.optics.colorimetry import NOTICEABLE, delta_e_2000
from lift.practice.tone import NATURAL, ToneDirection, tone_direction
from lift.practice.toning.dose_look import look_words
from lift.practice.toning.tone_report import ToneReport
from lift.practice.toning.toner_step import clear_parts, parts_of
from lift.practice.toning.verdict import Verdict
from lift.practice.visit.tone import FACTORS, ZoneTone
from lift.practice.wheel_and_dye import LITTLE
from lift.show.said import dose_notes, mix_note
from lift.words import Note, note


def first_notes(report: ToneReport) -> dict[str, Note]:
    """What to do, in the order of doing it, and how it may end.

    Under the names of the first lines: of hair under a mixture `mix`, `rinse` and `tone`, of bare
    hair `mix` and `rinse` of the toner, where there is one; `part` where less than all of it may
    do; then `risk`.
    """
    lines = _under_mixture(report) if report.processed else _bare(report)
    part = None if report.toner is None or report.partial is None else report.partial.short
    return {**lines, **({} if part is None else {"part": part}), "risk": _risk(report)}


def _under_mixture(report: ToneReport) -> dict[str, Note]:
    done = report.processed
    assert done is not None
    verdict = report.answer.verdict.verdict
    if report.toner is not None:
        tone = report.toner.words
    elif verdict == "reached":
        tone = note("toned.first.carry", doses=dose_notes(report.to_carry))
    elif verdict == "none_needed":
        tone = note("tone.none_needed.short")
    else:
        tone = note("toned.first.none")
    return {
        "mix": mix_note(done.mixture),
        "rinse": note("toned.first.rinse", minutes=done.minutes),
        "tone": tone,
    }


def _bare(report: ToneReport) -> dict[str, Note]:
    toner = report.toner
    if toner is None:
        return {}
    rinse = note("toned.first.rinse_toner", rinse=toner.lines["rinse"])
    return {"mix": toner.bowl, "rinse": rinse}


def verdict_note(verdict: Verdict) -> Note:
    """What toning can do, and why."""
    return note("toned.verdict", name=note(f"toning.{verdict.verdict}"), text=verdict.text)


def _risk(report: ToneReport) -> Note:
    """Whether the goal is reached, and what another dose would make of it."""
    answer, verdict = report.answer, report.answer.verdict
    if verdict.verdict != "reached" or answer.under is None or answer.over is None:
        return verdict_note(verdict)
    level = verdict.text["level"]
    goal = note("toned.first.as_asked" if report.goal else "toned.first.natural", level=level)
    looks = {"half": answer.under.words, "double": answer.over.words}
    return note("toned.first.risk", name=note(f"toning.{verdict.verdict}"), goal=goal, **looks)


def now_note(zone: ZoneTone) -> Note:
    """How light the hair of a zone is now, and how that is known."""
    rinsed = zone.report.rinsed
    assert rinsed is not None  # a zone's report is of rinsed hair
    return note("tone.now", level=zone.report.level, known=rinsed.words)


def dose_note(zone: ZoneTone, factor: float) -> Note:
    """What is laid on a zone at a multiple of the best dose, in one line."""
    if factor == 0.0 or not zone.worth:
        return note("tone.big.none" if zone.answer in ("none", "blends") else "tone.big.without")
    mix = _mix(parts_of(zone.doses(factor)))
    clear = clear_parts(sum(zone.doses(factor).values()), zone.pure)
    return note("tone.big" if clear > 0.0 else "tone.big.undiluted", mix=mix, clear=clear)


def _mix(parts: Mapping[str, int]) -> list[Note]:
    """Tones in the bowl in a few words; a small share is a little of it."""
    (dye, most), *rest = parts.items()
    if not rest:
        return [note("toner.one", dye=dye)]
    if all(count < LITTLE * most for _, count in rest):
        return [note("tone.big.little", dye=dye, little=rest[0][0])]
    return [note("tone.big.part", dye=each, count=count) for each, count in parts.items()]


def why_note(zone: ZoneTone) -> Note:
    """Why that answers a zone's hair: what is too much of it, and what it is toned towards."""
    answer, towards = zone.report.answer, zone.wanted.name
    if zone.answer == "blends":
        return note("tone.why.blends", towards=towards)
    if zone.answer in ("none", "nearest"):
        return note(f"tone.why.{zone.answer}", towards=towards, text=answer.verdict.text)
    said = {"excess": str(zone.report.direction.excess_wheel), "towards": towards}
    said["wheel"] = zone.report.wheel_and_dye.why or ""
    if zone.wanted.instead_of is not None:
        return note("tone.why.instead", of=zone.wanted.instead_of, **said)
    return note("tone.why", **said)


def look_notes(zone: ZoneTone) -> list[Note]:
    """What each of `FACTORS` of the best dose looks like, beside what is wanted."""
    answer, wanted = zone.report.answer, zone.wanted
    fibres = np.broadcast_to(answer.fibres_at(FACTORS).pigmented, (len(FACTORS), 3))
    goal = answer.path.lab_of_lightness(fibres[:, 0]) if wanted.lab is None else wanted.lab
    found = tone_direction(fibres, goal, answer.curves)
    directions = [found[i] for i in range(len(FACTORS))]
    if wanted.lab is None:
        return [look_words(str(d.excess_wheel) if d.needed else NATURAL) for d in directions]
    off, lighter = delta_e_2000(fibres, goal), fibres[:, 0] - wanted.lab[0]
    return [_beside(zone, *each) for each in zip(directions, off, lighter, strict=True)]


def _beside(zone: ZoneTone, direction: ToneDirection, off: float, lighter: float) -> Note:
    """How hair looks that is `off` what is wanted [dE00], and so much lighter [L*]."""
    if off <= NOTICEABLE:
        return note("tone.look.same")
    if off <= zone.wanted.tolerance:
        return note("tone.look.near_edge" if zone.wanted.edge else "tone.look.near")
    if abs(lighter) > float(direction.amount):
        return note("tone.look.light" if lighter > 0.0 else "tone.look.dark")
    return note("tone.look.cast", excess=str(direction.excess_wheel))


def light_note(zone: ZoneTone, factor: float) -> Note:
    """What a zone looks like under this salon's light, beside daylight."""
    found = zone.under(zone.light, factor)
    more = float(found.warmth[0]) - found.daylight_warmth
    shows = found.allowance
    how = "warmer" if more >= shows else "cooler" if more <= -shows else "same"
    return note(f"tone.light.{'turns' if found.turns_warm else how}", light=zone.light)
