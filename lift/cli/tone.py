"""``lift tone``."""

from __future__ import annotations

from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING, Any

from lift.cli import options, photo_options, strand_options
from lift.errors import LiftError
from lift.model.hair import Hair
from lift.model.mixture import Mixture
from lift.optics.dyes import palette
from lift.quantities import PROCESSED, WASHES_PER_WEEK, quantities_of, read_lab, typed_quantities
from lift.words import note

if TYPE_CHECKING:
    from lift.model.curves import CurveSet

LEVEL = quantities_of(Hair)["level"]
BOUNDS = {"low": LEVEL.low, "high": LEVEL.high}
TYPED = {name: q for name, (_, q) in typed_quantities(Hair, Mixture).items()}
TYPED[PROCESSED.typed] = PROCESSED
OWN = TYPED["grey"], TYPED["resistant"], TYPED["red"]
"""What hair has of its own, however it is given."""

with_natural = options.stack(
    *(
        options.asking(
            TYPED[name],
            says=note("cli.tone.with_natural", help=TYPED[name].help),
            required=False,
            default=None,
        )
        for name in ("volume", "minutes", "mixture", "fibre", "damp", "carry")
    )
)
with_own = options.stack(*map(options.asking, OWN))
dyes_note = note("cli.tone.dyes", dyes=tuple(palette()))


@options.command("tone")
@options.option("--lab", metavar="lab", says="cli.tone.lab")
@photo_options.photo_option
@options.option("--level", metavar="n", says=note("cli.tone.level", **BOUNDS))
@options.option("--natural", metavar="n", says=note("cli.tone.natural", **BOUNDS))
@with_natural
@with_own
@options.option("--goal", metavar="goal", says="cli.tone.goal")
@options.option("--dyes", "--palette", metavar="dyes", says=dyes_note)
@options.option("--kind", metavar="kind", default="permanent", says="cli.tone.kind")
@options.asking(WASHES_PER_WEEK)
@options.curves_option
@options.plot_option
@options.picture_option("--circles", says="cli.tone.circles")
@options.brief_option
@options.json_option
def command(
    lab: str | None,
    photo: str | None,
    chart: tuple[str, ...],
    hair: tuple[str, ...],
    level: str | None,
    natural: str | None,
    goal: str | None,
    dyes: str | None,
    kind: str,
    washes_per_week: str,
    grey: str,
    resistant: str,
    red: str | None,
    curves_file: str | None,
    picture: Path | None,
    circles: Path | None,
    brief: bool,
    as_json: bool,
    **mixture: Any,
) -> None:
    """Find the tone that answers a colour."""
    from lift.practice.toning.tone_report import goal_lab, tone_report
    from lift.show.plots.circle_plots import plot_tone, plot_two_circles
    from lift.show.terminal.tone import print_tone

    if sum(given is not None for given in (lab, photo, level, natural)) != 1:
        raise LiftError("cli.tone.one_of")
    if natural is None and any(mixture.values()):
        raise LiftError("cli.tone.need_natural")
    curves = options.read_curves(curves_file)
    typed: dict[str, Any] = {"grey": grey, "resistant": resistant, "red": red}
    own = {q.name: q.parse(typed[q.typed]) for q in OWN if typed[q.typed] is not None}
    share: float | None = own.get("pheomelanin_share")
    paths = [] if photo is None else [photo]
    measured = photo_options.measured_in(paths, chart, hair, curves)
    colour: Any = None if lab is None else read_lab(lab)
    if measured:
        colour = measured[0][1].lab
    state = _hair(colour, level, mixture | {"level": natural} | typed, curves, share)
    report = tone_report(
        state,
        None if goal is None else goal_lab(goal, curves, share),
        None if dyes is None else options.names_of((dyes,)),
        curves,
        kind=kind,
        washes_per_week=WASHES_PER_WEEK.parse(washes_per_week),
        **({} if natural is not None else own),
    )
    photo_options.tell_measured(measured, aside=as_json)
    pictures = (picture, plot_tone), (circles, plot_two_circles)
    options.answer(report, as_json, partial(print_tone, brief=brief), *pictures)


def _hair(
    lab: Any,
    level: str | None,
    typed: dict[str, Any],
    curves: CurveSet,
    share: float | None,
) -> Any:
    """What is to be toned: a colour, a state, or hair under a mixture."""
    from lift.practice.toning.tone_report import LIGHTENED_TO, Processed, underpigment_state

    if lab is not None:
        return lab
    if level is not None:
        return underpigment_state(LIGHTENED_TO.parse(level), curves, share)
    if typed["volume"] is None or typed["minutes"] is None:
        raise LiftError("cli.tone.natural_needs")
    return Processed(
        strand_options.read_hair(typed),
        strand_options.read_mixture(typed),
        PROCESSED.parse(typed["minutes"]),
    )
