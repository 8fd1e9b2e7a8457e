"""Strand tests: the JSON form, the words of the terminal, and one kept for later previews."""

from __future__ import annotations

import hashlib
from dataclasses import dataclass
from functools import partial
from pathlib import Path

from msgspec import field

from lift.answers import to_json
from lift.answers.encode import Code, Part
from lift.answers.parts import said
from lift.errors import LiftError
from lift.model.curves import CurveSet
from lift.model.hair import Hair
from lift.practice.goal import usual_goal
from lift.practice.target import resolve_goal
from lift.practice.trial.observation import Observation, parse_seen
from lift.practice.trial.strand_file import load_strand, save_strand
from lift.practice.trial.strand_test import StrandTest, strand_test
from lift.show.lock.beside import fibre_looks
from lift.show.page.answer import Answer, Lock, answered, curves_of, locks_beside
from lift.show.page.desk import Asked, Desk
from lift.show.page.question import (
    TOGETHER,
    Question,
    RefusedError,
    read_question,
    refused,
    without,
)
from lift.show.said import window_note
from lift.show.said_strand import fibre_notes, first_notes, look_notes, moved_note, seen_notes
from lift.words import note, say

FILE = "strand.json"


@dataclass(frozen=True, eq=False)
class Looks:
    """What was seen on a trial strand, and what is asked about it.

    The question's minutes are the planned rinse when `timed`, else it is the soonest good one; the
    next look is as the last one, or by `instrument`; equal keys have the same answer.
    """

    question: Question
    timed: bool
    seen: tuple[Observation, ...]
    instrument: bool
    key: tuple[object, ...]


class StrandShown(Part):
    """Words of a strand test, and the locks expected without it and with it."""

    seen: list[str]
    seen_codes: list[Code]
    moved: list[str]
    moved_codes: list[Code]
    mix: str
    mix_code: Code
    next: str
    next_code: Code
    rinse: str
    rinse_code: Code
    tone: str
    tone_code: Code
    risk: str
    risk_code: Code
    window_before: str
    window_before_code: Code
    window_now: str
    window_now_code: Code
    look: list[str]
    look_codes: list[Code]
    fibres: list[str]
    fibres_codes: list[Code]
    locks: list[Lock]


class Seen(Part):
    """A strand test as typed: what is asked, what was seen, how the next look is."""

    asked: dict[str, str]
    seen: list[str] = field(default_factory=list)
    instrument: bool = False


class Kept(Part):
    """Whether a strand test is kept."""

    kept: bool


def read_looks(body: Seen, curves: CurveSet) -> Looks:
    """Read what was seen, ``5:7.5`` or ``5:48,8,22`` each; refused at the field ``seen``."""
    question, timed = read_question(body.asked, curves), "minutes" in body.asked
    with refused("seen"):
        seen = tuple(parse_seen(text) for text in body.seen)
    key = (question.key, timed, *body.seen, body.instrument)
    return Looks(question, timed, seen, body.instrument, key)


def run_test(looks: Looks, curves: CurveSet) -> StrandTest:
    """Run the strand test; refused where the goal is open, which has no time to rinse at.

    And where what was seen contradicts what any such strand can show.
    """
    question = looks.question
    with refused("goal", TOGETHER):
        resolve_goal(question.goal or usual_goal(question.mixture), question.hair, curves)
    with refused("seen", TOGETHER):
        return strand_test(
            question.hair,
            question.mixture,
            looks.seen,
            question.goal,
            curves,
            rinse_minutes=question.minutes if looks.timed else None,
            by_eye=False if looks.instrument else None,
        )


async def strand(desk: Desk, asked: Asked) -> Answer:
    """Run a strand test."""
    looks = read_looks(asked.body, desk.curves)
    return await desk.slow.get(("strand", looks.key), partial(answer_strand, looks, desk.packed))


def answer_strand(looks: Looks, packed: bytes) -> Answer:
    """Answer a strand test as ``lift strand --json`` prints it; runs in any process."""
    test = run_test(looks, curves_of(packed))
    return answered(to_json(test), _shown(test))


def has_strand(desk: Desk, asked: Asked) -> Kept:
    """Whether a test is kept."""
    return Kept((desk.folder(asked) / FILE).is_file())


def keep_strand(desk: Desk, asked: Asked) -> Kept:
    """Keep a test for previews to come."""
    looks = read_looks(asked.body, desk.curves)
    if not looks.seen:
        raise RefusedError({"seen": note("page.strand.nothing")})
    folder = desk.sessions.make_folder(asked.token)
    save_strand(run_test(looks, desk.curves), folder / FILE)
    return Kept(True)


def forget_strand(desk: Desk, asked: Asked) -> Kept:
    """Forget the kept test."""
    desk.sessions.delete(asked.token, FILE)
    return Kept(False)


def strand_for(hair: Hair, folder: Path, curves: CurveSet) -> tuple[str, str]:
    """Path and digest of the kept test, when it belongs to this hair.

    Raises
    ------
    RefusedError
        At the field ``strand``: none is kept, or it is of other hair or another curve set.
    """
    path = folder / FILE
    if not path.exists():
        raise RefusedError({"strand": note("page.strand.none")}, TOGETHER)
    try:
        load_strand(path).latent_for(hair, curves)
        digest = hashlib.sha256(path.read_bytes()).hexdigest()
    except LiftError as error:
        kept = without(error.note, path, say("page.strand.kept"))
        reason = note("page.strand.refused", reason=kept)
        raise RefusedError({"strand": reason}, TOGETHER) from None
    return str(path), digest


def _shown(test: StrandTest) -> StrandShown:
    seen = bool(test.observations)
    looks = {
        say(f"page.strand.{code}"): result.drawn.band("lab")[1][-1]
        for code, result in (("without", test.before), ("with", test.after))
    } | fibre_looks(test.after.grey)
    moved = (
        note("page.strand.moved", quantity=name, moved=moved_note(test, name))
        for name in (test.quantity, "warmth")
        if seen
    )
    first = first_notes(test)
    return StrandShown(
        **said(
            next=first.pop("look"),
            **first,
            seen=seen_notes(test),
            moved=moved,
            window_before=window_note(test.windows[0]),
            window_now=window_note(test.windows[1]),
            look=look_notes(test),
            fibres=fibre_notes(test),
        ),
        locks=locks_beside(looks, test.before.curves),
    )
