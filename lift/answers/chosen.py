"""Answer of what a plan has chosen of what was left open."""

from __future__ import annotations

from lift.answers.encode import Code, Part
from lift.answers.parts import rounded, said
from lift.practice.schedule.choose import Chosen


class ChosenPart(Part):
    """What the plan chose of what was left open, out of so many ways.

    By mixture parts of each developer as (volume, parts), and dose of each dye carried; by zone the
    kind of toner, null for none. `near` ways are nearly as likely as the `best`.
    """

    developers: dict[str, list[tuple[float, int]]]
    tones: dict[str, dict[str, float]]
    toners: dict[str, str | None]
    tried: int
    near: int
    best: float
    words: list[str]
    words_codes: list[Code]


def chosen_part(chosen: Chosen | None) -> ChosenPart | None:
    """Describe what a plan has chosen; None where all was given."""
    if chosen is None:
        return None
    return ChosenPart(
        developers={name: list(made.parts) for name, made in chosen.developers.items()},
        tones={name: dict(tone) for name, tone in chosen.tones.items()},
        toners=dict(chosen.toners),
        tried=chosen.tried,
        near=chosen.near,
        best=rounded(chosen.best),
        **said(words=chosen.notes),
    )
