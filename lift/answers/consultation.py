"""Answer of a consultation: what was asked and answered, and what comes of it."""

from __future__ import annotations

from lift.answers.encode import Code, Part
from lift.answers.parts import said
from lift.practice.consulted import Consulted, Stop
from lift.practice.visit.consultation import BEFORE, NONE, Consultation
from lift.quantities import Quantity, quantities_of
from lift.words import note, say


class AnswerPart(Part):
    """An answer that can be given: as it is kept, and in words."""

    value: str
    words: str


class QuestionPart(Part):
    """One question, why it is asked, what it changes, and how it was answered.

    `kind` is ``one`` or ``several`` of the answers, or ``day``: one of them or a day, as in
    2026-11-25. `given` is null, or empty, where it was not asked yet.
    """

    name: str
    kind: str
    ask: str
    why: str
    changes: str
    answers: list[AnswerPart]
    given: str | list[str] | None
    source: str


class StopPart(Part):
    """What an answer refuses, why, and what would change it."""

    question: str
    refuses: str
    words: str
    words_code: Code
    standing: str
    source: str


class ConsultationPart(Part):
    """What comes of a consultation; `open` are the questions that are not answered yet."""

    questions: list[QuestionPart]
    stops: list[StopPart]
    cautions: list[str]
    cautions_codes: list[Code]
    open: list[str]


def consultation_part(consultation: Consultation, consulted: Consulted) -> ConsultationPart:
    """Describe a consultation and what comes of it."""
    return ConsultationPart(
        questions=[_question(consultation, q) for q in quantities_of(Consultation).values()],
        stops=[_stop(each) for each in consulted.stops],
        **said(cautions=consulted.cautions),
        open=list(consulted.open),
    )


def _question(consultation: Consultation, q: Quantity) -> QuestionPart:
    values, kind = (q.choices(), "one") if q.choices else (BEFORE, "several")
    if q.read is not None:
        values, kind = (NONE,), "day"
    given = getattr(consultation, q.name)
    return QuestionPart(
        name=q.name,
        kind=kind,
        ask=say(f"consultation.ask.{q.name}"),
        why=say(f"consultation.why.{q.name}"),
        changes=say(f"consultation.changes.{q.name}"),
        answers=[
            AnswerPart(value=each, words=say(note(f"consultation.answer.{q.name}.{each}")))
            for each in values
        ],
        given=list(given) if isinstance(given, tuple) else given,
        source=q.source,
    )


def _stop(stop: Stop) -> StopPart:
    return StopPart(
        question=stop.question,
        refuses=stop.refuses,
        words=say(stop.note),
        words_code=stop.note.to_dict(),
        standing=stop.standing,
        source=stop.source,
    )
