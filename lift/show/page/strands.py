"""Strand tests: the JSON form, the words of the terminal, and one kept for later previews."""

from __future__ import annotations

import hashlib
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from lift.errors import LiftError
from lift.model.curves import CurveSet
from lift.model.hair import Hair
from lift.practice.trial.observation import Observation, parse_seen
from lift.practice.trial.strand_file import load_strand, save_strand
from lift.practice.trial.strand_test import StrandTest, strand_test
from lift.show.page.answers import Answer, curves_of, to_json, with_shown
from lift.show.page.question import Question, RefusedError, Typed, question_of
from lift.show.screen import hex_colours
from lift.show.terminal.preview import chance, risk_words, window_words
from lift.show.terminal.strand import look_words, moved_words, seen_words

FILE = "strand.json"


@dataclass(frozen=True, eq=False)
class Looks:
    """What was seen on a trial strand, and what is asked about it.

    Parameters
    ----------
    question : Question
        Hair, mixture and goal.
    rinse_minutes : float or None
        Planned rinse [min]; None: the soonest good one.
    seen : tuple of Observation
        What was seen; empty when only the time to look is asked.
    instrument : bool
        Whether the next look is by instrument; else it is as the last one.
    """

    question: Question
    rinse_minutes: float | None
    seen: tuple[Observation, ...]
    instrument: bool


def read_looks(question: Question, timed: bool, seen: Sequence[str], instrument: bool) -> Looks:
    """Read what was seen, as typed.

    Parameters
    ----------
    question : Question
        Hair, mixture and goal; its minutes are the planned rinse when `timed`.
    timed : bool
        Whether a planned rinse was given.
    seen : sequence of str
        ``5:7.5`` or ``5:48,8,22`` each.
    instrument : bool
        Whether the next look is by instrument.

    Raises
    ------
    RefusedError
        At the field ``seen``.
    """
    try:
        read = tuple(parse_seen(text) for text in seen)
    except LiftError as error:
        raise RefusedError({"seen": str(error)}) from None
    rinse = question.minutes if timed else None
    return Looks(question, rinse, read, instrument)


def run_test(looks: Looks, curves: CurveSet) -> StrandTest:
    """Run the strand test.

    Raises
    ------
    RefusedError
        At the field ``seen``, when what was seen contradicts what any such strand can show.
    """
    question = looks.question
    try:
        return strand_test(
            question.hair,
            question.mixture,
            looks.seen,
            question.goal,
            curves,
            rinse_minutes=looks.rinse_minutes,
            by_eye=False if looks.instrument else None,
        )
    except LiftError as error:
        raise RefusedError({"seen": str(error)}, together=True) from None


def answer_strand(
    typed: Typed, timed: bool, seen: tuple[str, ...], instrument: bool, packed: bytes
) -> Answer:
    """Answer a strand test; ``plain`` is what ``lift strand --json`` prints.

    Runs in whatever process; takes what `read_looks` takes, and the curve set pickled.
    """
    curves = curves_of(packed)
    test = run_test(read_looks(question_of(typed, curves), timed, seen, instrument), curves)
    plain = to_json(test.to_dict())
    return Answer(plain, with_shown(plain, _shown(test)))


def keep_strand(looks: Looks, curves: CurveSet, folder: Path) -> None:
    """Keep the test in a session's folder for previews to come."""
    save_strand(run_test(looks, curves), folder / FILE)


def strand_for(hair: Hair, folder: Path, curves: CurveSet) -> tuple[str, str]:
    """Path and digest of the kept test, when it belongs to this hair.

    Raises
    ------
    RefusedError
        At the field ``strand``: none is kept, or it is of other hair or another curve set.
    """
    path = folder / FILE
    try:
        load_strand(path).latent_for(hair, curves)
        digest = hashlib.sha256(path.read_bytes()).hexdigest()
    except (LiftError, OSError) as error:
        words = str(error).replace(str(path), "kept") if path.exists() else "no test is kept"
        raise RefusedError({"strand": f"strand test: {words}"}, together=True) from None
    return str(path), digest


def _shown(test: StrandTest) -> dict[str, Any]:
    was, now = test.before.p_too_warm, test.after.p_too_warm
    seen = bool(test.observations)
    moved = (test.quantity, "warmth")
    colours = [p.drawn.band("lab")[1][-1] for p in (test.before, test.after)]
    return {
        "seen": seen_words(test),
        "moved": [f"{name}: {moved_words(test, name)}" for name in moved] if seen else [],
        "risk": f"{chance(was)} before; now {risk_words(now)}: {chance(now)}",
        "window_before": window_words(test.before),
        "window_now": window_words(test.after),
        "look": look_words(test.next_look, again=seen),
        "colours": hex_colours(colours),
    }
