"""What is said of a tone report: what is done first, and how it may end."""

from __future__ import annotations

from lift.practice.toning.tone_report import ToneReport
from lift.practice.toning.verdict import Verdict
from lift.show.said import dose_notes, mix_note
from lift.words import Note, note


def first_notes(report: ToneReport) -> dict[str, Note]:
    """What to do, in the order of doing it, and how it may end.

    Under the names of the first lines: of hair under a mixture `mix`, `rinse` and `tone`, of bare
    hair `mix` and `rinse` of the toner, where there is one; then `risk`.
    """
    lines = _under_mixture(report) if report.processed else _bare(report)
    return {**lines, "risk": _risk(report)}


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
