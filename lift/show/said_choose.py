"""What is said of a choice: what to do first, and how each way may end."""

from __future__ import annotations

from lift.model.developer import whole_mixture
from lift.practice.choosing.choose import Choice
from lift.practice.choosing.options import REACHED, Option
from lift.practice.toning.toner_step import TonerStep, toner_step
from lift.show.said import dose_notes, mix_note
from lift.words import Note, note


def first_notes(option: Option, goal: Note, choice: Choice) -> dict[str, Note]:
    """What to do, in the order of doing it, and how it may end, by the names of first lines."""
    if option.mixture is None:
        risk = note("choose.toning_risk", goal=after_note(option), p=option.p_inside)
        return {"tone": tone_note(option, choice), "risk": risk}
    # Hair that is inside as it is has no first minute to look at.
    look = {"look": note("choose.look", minutes=option.look_at)} if option.look_at > 0.0 else {}
    return {
        "mix": way_note(option),
        **look,
        "rinse": rinse_note(option),
        "tone": tone_note(option, choice),
        "risk": risk_note(option, goal),
    }


def way_note(option: Option) -> Note:
    """What to mix: class, developer as it is poured, parts, and the tone that it carries."""
    if option.mixture is None or option.developer is None:
        return note("choose.nothing")
    carried = note("choose.carries", doses=dose_notes(option.tone)) if option.tone else ""
    mixed = mix_note(option.mixture)
    if option.developer.mixed:
        parts = float(option.mixture.developer_parts)
        mixed = whole_mixture(option.mixture.kind, option.developer, parts)
    return note("choose.mix", mixture=mixed, carried=carried)


def rinse_note(option: Option) -> Note:
    """When to rinse, and how late that may be."""
    return note(
        "choose.rinse",
        best=option.best,
        first=option.rinse_from,
        last=option.rinse_until,
        slack=option.slack,
    )


def tone_note(option: Option, choice: Choice) -> Note:
    """Which toner follows, and what it gives."""
    step = step_of(option, choice)
    if step is None:
        return note("choose.no_toner" if option.follows else "choose.untoned")
    return note("choose.toner", words=step.words, doses=dose_notes(option.toner))


def step_of(option: Option, choice: Choice) -> TonerStep | None:
    """The toner as a step of its own; None where there is none."""
    levels = option.level, option.level_after
    return toner_step(option.toner, "permanent", choice.curves.values, levels=levels)


def risk_note(option: Option, goal: Note) -> Note:
    """How likely it ends inside, and what goes wrong first, if it goes wrong."""
    numbers = {"p": option.p_inside, "p_risk": option.p_risk}
    return note("choose.risk", goal=goal, risk=option.risk, **numbers)


def after_note(option: Option) -> Note:
    """What the hair looks like in the end."""
    return note("choose.after", level=option.level_after, lab=option.after)


def head_note(choice: Choice) -> Note:
    """What the answer is: how many ways, out of how many mixtures."""
    code = "choose.head" if choice.reached else "choose.head.missed"
    return note(code, goal=choice.target.name, count=len(choice.options), tried=choice.tried)


def now_notes(choice: Choice) -> list[Note]:
    """How likely the hair meets the goal as it is, where that is worth telling."""
    worth = choice.p_now >= REACHED and choice.options[0].mixture is not None
    return [note("choose.now", p=choice.p_now)] if worth else []


def why_notes(choice: Choice) -> list[Note]:
    """Why one sitting is not enough, and whether several are."""
    if choice.reached:
        return []
    best = max((option.p_inside for option in choice.options), default=0.0)
    code = "choose.why.sittings" if choice.sittings else "choose.why.none"
    return [note(code, p=best, count=len(choice.sittings), goal=choice.target.name)]
