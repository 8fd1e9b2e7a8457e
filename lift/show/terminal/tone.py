"""Terminal output of ``lift tone``."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

import numpy as np
from rich.console import Console
from rich.table import Table
from rich.text import Text

from lift.practice.toning.dosing import DoseLook
from lift.practice.toning.neutralise import Neutralisation
from lift.practice.toning.tone_report import ToneReport
from lift.show.terminal.preview import console, facts, patch, print_foot, tone_words


def print_tone(report: ToneReport, to: Console | None = None) -> None:
    """Print a tone report for the chair."""
    to = to or console()
    table = facts()
    table.add_row("Hair", _colour(report.lab, to, _history(report)))
    wanted = np.array(report.lab) + report.direction.change
    said = "  as asked" if report.goal else "  natural hair of the same L*"
    table.add_row("Goal", _colour(wanted, to, said))
    table.add_row("Level", f"{report.level:.1f}, nearest stage: {report.stage}")
    table.add_row("Warmth", f"{report.warmth:+.1f} dC*")
    table.add_row("Tone", tone_words(report.direction))
    if report.answer.inferred is not None:
        table.add_row("State", _state(report.answer))
    _dose_rows(table, report, to)
    verdict = report.answer.verdict
    table.add_row("Verdict", Text(f"{verdict.verdict.upper()}. {verdict.text}", style="bold"))
    if report.carried is not None:
        table.add_row("Carried", report.carried.words)
    if report.light is not None:
        table.add_row("Other light", report.light.words)
    if report.kind in report.fades:
        table.add_row("Washing", report.fades[report.kind].words)
    to.print(table)
    if report.answer.tone:
        to.print(
            "Doses are absorption added to the fibre (0.01 per radius): use their ratio; how much "
            "to weigh is the maker's to say."
        )
    print_foot(to, report.cautions, report.curves.name, report.curves.standing)


def dose_words(doses: Mapping[str, float]) -> str:
    """Write doses as ``blue-violet 6.7 + violet 1.9``."""
    return " + ".join(f"{dye} {dose:.1f}" for dye, dose in doses.items()) or "none"


def _dose_rows(table: Table, report: ToneReport, to: Console) -> None:
    answer = report.answer
    if answer.under is None or answer.over is None or answer.forgiving is None:
        return
    # Where nothing reaches the goal the least bad dose is no recommendation.
    name = "Dose" if answer.verdict.verdict == "reached" else "Nearest"
    table.add_row(name, dose_words(answer.tone))
    if report.processed is not None:
        properties = report.processed.mixture.properties(report.curves.values)
        table.add_row(
            "To carry",
            f"{dose_words(report.to_carry)} in the mixture, to have formed by "
            f"{report.processed.minutes:g} min; it carries {dose_words(properties['tone'])}",
        )
    if len(answer.tone) > 1:
        one = answer.one_dye
        table.add_row(
            "One dye",
            f"{dose_words(one.named())} leaves dE00 {float(one.residual):.1f} to the goal",
        )
    table.add_row(
        "Result",
        _colour(
            answer.lab,
            to,
            f"  dE00 {answer.residual:.1f} from the goal (before {answer.before:.1f}), "
            f"{answer.lightness_lost:.1f} L* darker",
        ),
    )
    if answer.band is not None:
        spans = zip(("L*", "a*", "b*"), *answer.band, strict=True)
        table.add_row("", "9 in 10: " + ", ".join(f"{n} {a:.0f} to {b:.0f}" for n, a, b in spans))
    low, high = answer.forgiving
    table.add_row("Forgiving", f"{low:.2f} to {high:.2f} of the dose look the same (dE00 1)")
    if answer.factor_band is not None:
        least, most = answer.factor_band
        table.add_row(
            "", f"the reading leaves open {least:.2f} to {most:.2f} of the dose (9 in 10)"
        )
    table.add_row("Half dose", _look(answer.under, to))
    table.add_row("Double", _look(answer.over, to))


def _history(report: ToneReport) -> str:
    if report.processed is None:
        return ""
    hair, mixture = report.processed.hair, report.processed.mixture
    return (
        f"  natural level {hair.level:g} after {report.processed.minutes:g} min of {mixture.kind}"
    )


def _state(answer: Neutralisation) -> str:
    inferred = answer.inferred
    if inferred is None or not inferred.plausible:
        return "none of lightened, untoned hair fits"
    low, high = inferred.interval("level")
    more = (inferred.pheomelanin_share, *inferred.interval("share"))
    return (
        f"inferred: natural level {low:.1f} to {high:.1f} (9 in 10), pheomelanin "
        f"{100 * more[0]:.0f} % ({100 * more[1]:.0f} to {100 * more[2]:.0f}); "
        f"misfit dE00 {inferred.misfit:.1f}"
    )


def _colour(lab: Any, to: Console, more: str = "") -> Text:
    text = patch(lab, 6, to)
    text.append("L* {:.1f}  a* {:.1f}  b* {:.1f}".format(*lab))
    text.append(more)
    return text


def _look(look: DoseLook, to: Console) -> Text:
    text = patch(look.lab, 6, to)
    text.append(f"{look.words}, warmth {round(look.warmth, 1) + 0.0:+.1f} dC*")
    return text
