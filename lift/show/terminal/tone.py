"""Terminal output of ``lift tone``."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from rich.console import Console
from rich.text import Text

from lift.practice.fibres import GreyLook
from lift.practice.shows import thresholds
from lift.practice.toning.dose_look import DoseLook
from lift.practice.toning.neutralise import Neutralisation
from lift.practice.toning.tone_report import ToneReport
from lift.show.said import dose_notes
from lift.show.said_tone import first_notes, verdict_note
from lift.show.said_warmth import counted
from lift.show.terminal.foot import console, facts, patch, print_first, print_foot
from lift.words import Note, note, say

Row = tuple[str, Note | Text]
"""Code of a row's name, empty for one that goes on, and what it says."""


def print_tone(report: ToneReport, to: Console | None = None, *, brief: bool = False) -> None:
    """Print a tone report for the chair: what is done first, then the numbers unless `brief`."""
    to = to or console()
    print_first(to, first_notes(report))
    if brief:
        print_foot(to, report.cautions, brief=True)
        return
    to.print()
    table = facts()
    for name, said in _rows(report, to):
        label = say(f"toned.{name}.label") if name else ""
        table.add_row(label, said if isinstance(said, Text) else say(said))
    to.print(table)
    if report.answer.tone:
        to.print(say("toned.doses"))
    to.print(say(_shows(report)))
    print_foot(to, report.cautions, report.curves)


def _shows(report: ToneReport) -> Note:
    """From which differences something shows, and how well each of them stands."""
    found = thresholds(report.curves)
    standings = {f"{name}_standing": p.status for name, p in found.items()}
    return note("toned.shows", **{name: p.value for name, p in found.items()}, **standings)


def dose_words(doses: Mapping[str, float]) -> str:
    """Write doses as ``blue-violet 6.7 + violet 1.9``."""
    return say("list.plus").join(map(str, dose_notes(doses))) or say("toned.no_dose")


def _rows(report: ToneReport, to: Console) -> Iterator[Row]:
    verdict = report.answer.verdict
    yield "hair", _colour(report.lab, to, _history(report))
    yield from _fibres(report.grey, to)
    yield "goal", _goal(report, to)
    yield "level", note("toned.level", level=report.level, stage=report.stage)
    yield "warmth", counted(note("toned.warmth", warmth=report.warmth), report)
    yield "tone", report.wheel_and_dye.words
    if (why := report.wheel_and_dye.why) is not None:
        yield "", why
    if report.answer.inferred is not None:
        yield "state", _state(report.answer)
    yield from _dose_rows(report, to)
    yield "verdict", verdict_note(verdict)
    if report.carried is not None:
        yield "carried", report.carried.words
    if report.light is not None:
        yield "light", report.light.words
    if report.kind in report.fades:
        yield "fade", report.fades[report.kind].words


def _dose_rows(report: ToneReport, to: Console) -> Iterator[Row]:
    answer, done = report.answer, report.processed
    if answer.under is None or answer.over is None or answer.forgiving is None:
        return
    if report.toner is not None:
        yield from report.toner.lines.items()
    # Where nothing reaches the goal the least bad dose is no recommendation.
    name = "dose" if answer.verdict.verdict == "reached" else "nearest"
    yield name, Text(dose_words(answer.tone))
    if done is not None:
        carries = dose_words(done.mixture.properties(report.curves.values)["tone"])
        doses = dose_words(report.to_carry)
        yield "to_carry", note("toned.to_carry", doses=doses, minutes=done.minutes, carries=carries)
    if len(answer.tone) > 1:
        one = answer.alone.best
        doses = dose_words(one.named())
        yield "one_dye", note("toned.one_dye", doses=doses, left=float(one.residual))
    counted = {"left": answer.residual, "before": answer.untoned, "lost": answer.lightness_lost}
    off = note(
        "toned.result" if report.toned is None else "toned.result.pigmented",
        off=note("toned.off", **counted),
    )
    yield "result", _colour(answer.lab, to, off)
    yield from _fibres(report.toned, to)
    if answer.band is not None:
        axes = zip(("L*", "a*", "b*"), *answer.band, strict=True)
        spans = [note("toned.span", axis=axis, low=low, high=high) for axis, low, high in axes]
        yield "", note("toned.band", spans=spans)
    yield "forgiving", note("toned.forgiving", **_span(answer.forgiving))
    if answer.factor_band is not None:
        yield "", note("toned.open", **_span(answer.factor_band))
    if report.partial is not None:
        yield "partial", report.partial.words
    yield "half", _look(answer.under, to)
    yield "double", _look(answer.over, to)


def _fibres(grey: GreyLook | None, to: Console) -> Iterator[Row]:
    """Both kinds of fibres of grey hair, a row each, under the blend that is seen."""
    if grey is None:
        return
    decides = note("fibres.none_left" if grey.all_white else "toned.decide")
    yield "pigmented", _colour(grey.pigmented, to, decides)
    yield "white", _colour(grey.white, to, note("toned.white", said=grey.white_note))


def _goal(report: ToneReport, to: Console) -> Text:
    """The one colour from which hair is counted, untoned and toned."""
    toned = "toned.natural_toned" if report.answer.tone else "toned.natural"
    text = _colour(report.wanted, to, note("toned.as_asked" if report.goal else toned))
    if report.grey is not None:
        text.append(say("toned.of_pigmented"))
    return text


def _span(ends: tuple[float, float]) -> dict[str, float]:
    return {"low": ends[0], "high": ends[1]}


def _history(report: ToneReport) -> Note | str:
    done = report.processed
    if done is None:
        return ""
    kind = done.mixture.kind
    return note("toned.history", level=done.hair.level, minutes=done.minutes, kind=kind)


def _state(answer: Neutralisation) -> Note:
    inferred = answer.inferred
    if inferred is None or not inferred.plausible:
        return note("toned.no_state")
    shares = (inferred.pheomelanin_share, *inferred.interval("share"))
    share, least, most = (100.0 * each for each in shares)
    return note(
        "toned.state",
        **_span(inferred.interval("level")),
        share=share,
        least=least,
        most=most,
        misfit=inferred.misfit,
    )


def _colour(lab: Any, to: Console, more: Note | str = "") -> Text:
    text = patch(lab, 6, to)
    text.append(say("toned.colour", lab=lab))
    text.append(str(more))
    return text


def _look(look: DoseLook, to: Console) -> Text:
    text = patch(look.lab, 6, to)
    text.append(say("toned.look", look=look.words, warmth=round(look.warmth, 1) + 0.0))
    return text
