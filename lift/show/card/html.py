"""The card as HTML: one page, self-contained, no request to anywhere."""

from __future__ import annotations

from collections.abc import Iterator
from importlib.resources import files
from typing import Any

import numpy as np

from lift.errors import check_choice
from lift.optics.colorimetry import lab_to_srgb, srgb_to_hex
from lift.practice.service.plan import Plan
from lift.practice.service.plan_parts import Step, ZonePlan
from lift.show.card.timeline import timeline
from lift.show.terminal.plan import verdict

PAPERS = {"A4": "A4", "Letter": "letter"}
MOST_CHANGES = 3


def card_html(plan: Plan, paper: str = "A4") -> str:
    """Fill in the card.

    Parameters
    ----------
    plan : Plan
        What to print.
    paper : str
        ``A4`` or ``Letter``.

    Returns
    -------
    str
        HTML document.

    Raises
    ------
    LiftError
        For another paper.
    """
    from jinja2 import Environment, StrictUndefined

    size = PAPERS[check_choice("paper", paper, PAPERS)]
    text = (files("lift.show.card") / "card.html.jinja").read_text("utf-8")
    template = Environment(autoescape=True, undefined=StrictUndefined).from_string(text)
    return template.render(
        paper=size,
        title=plan.scenario.title,
        about=plan.scenario.about,
        verdict=verdict(plan),
        changes=list(_changes(plan)),
        cautions=plan.cautions,
        zones=[_zone(zone, plan) for zone in plan.zones],
        line=timeline(plan),
        steps=list(_steps(plan)),
        blend=plan.blend.to_dict()["words"],
        client=list(_client(plan)),
        foot=f"Curve set {plan.curves.name}: {plan.curves.standing}. An estimate; the strand "
        "test, the maker's directions and the eye decide.",
    )


def _changes(plan: Plan) -> Iterator[str]:
    for change in [c for c in plan.changes if c.works][:MOST_CHANGES]:
        yield (
            f"Try ({change.kind}): {change.text} Then {100 * change.p_inside:.0f} in 100 that "
            f"every section is inside, done in {change.total_minutes:.0f} min."
        )


def _zone(zone: ZonePlan, plan: Plan) -> dict[str, Any]:
    row = zone.to_dict()
    mixture = plan.scenario.mixtures[row["mixture"]]
    bowl = zone.bowl
    return {
        "name": row["zone"],
        "mixture": f"{mixture.kind}, {float(mixture.developer_volume):g} vol, "
        f"1 : {float(mixture.developer_parts):g}",
        "product": f"{bowl.product_grams:.0f}",
        "developer": f"{bowl.developer_grams:.0f}",
        "bowls": bowl.bowls,
        "serves": f"{bowl.serves} of {len(zone.sections)} sections"
        if bowl.serves < len(zone.sections)
        else "all sections",
        "hair": "damp" if zone.zone.hair.damp else "dry",
        "level": f"{zone.level:.1f}",
        "stage": zone.stage,
        "rinse_hex": hex_of(row["lab"]),
        "rinse_lab": lab_words(row["lab"]),
        "after_hex": hex_of(row["after"]),
        "after_lab": lab_words(row["after"]),
        "tone": _tone(row),
    }


def hex_of(lab: Any) -> str:
    """Screen colour of CIELAB, ``#rrggbb``."""
    return str(srgb_to_hex(lab_to_srgb(np.asarray(lab, dtype=float))[0]))


def lab_words(lab: Any) -> str:
    """CIELAB in words."""
    return "L* {:.0f}  a* {:.0f}  b* {:.0f}".format(*lab)


def _tone(row: dict[str, Any]) -> str:
    tone = row["tone"]
    if not tone["needed"]:
        return "none needed"
    words = f"{tone['wheel']} answers {tone['excess']}, CIELAB {tone['hue_deg']:.0f} degrees"
    if row["toner"]:
        doses = " + ".join(f"{dye} {dose:.1f}" for dye, dose in row["toner"].items())
        words += f"; toner in the ratio {doses} (0.01 absorption per radius)"
    return words


def _steps(plan: Plan) -> Iterator[str]:
    """Steps with runs of sections drawn together."""
    run: list[Step] = []
    for step in plan.steps:
        if run and (step.kind, step.zone) != (run[-1].kind, run[-1].zone):
            yield _step_words(run)
            run = []
        run.append(step)
    if run:
        yield _step_words(run)


def _step_words(run: list[Step]) -> str:
    first, last = run[0], run[-1]
    at = clock_words(first.at)
    zone = first.zone or "all zones"
    numbers = [n for step in run for n in step.sections]
    if first.kind == "lay":
        which = f"sections {numbers[0]} to {numbers[-1]}" if len(numbers) > 1 else "its section"
        return f"{at}  lay {zone}, {which}, until {clock_words(last.until)}"
    if first.kind == "rinse":
        return f"{at}  RINSE {zone}, done by {clock_words(last.until)}"
    return f"{at}  {first.kind} {zone}"


def clock_words(minutes: float) -> str:
    """Minutes on the clock as minutes and seconds, ``18:36``."""
    seconds = round(60.0 * minutes)
    return f"{seconds // 60}:{seconds % 60:02d}"


def _client(plan: Plan) -> Iterator[str]:
    yield from plan.next_visit.words
    yield "Tell us at once if the scalp hurts, now or later; see a doctor for blisters or swelling."
