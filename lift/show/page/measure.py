"""A colour from a photograph that is sent: measured where the page is served, and not kept."""

from __future__ import annotations

from base64 import b64encode
from functools import partial
from typing import Annotated

import numpy as np
from msgspec import Meta

from lift import answers
from lift.answers.encode import Part
from lift.photo.chart import read_points
from lift.photo.measure import measure as measured_in
from lift.photo.measured import Measured
from lift.practice.trial.observation import observation_text
from lift.practice.trial.photographed import photographed
from lift.show.page.answer import Answer, Lock, answered, curves_of, locks_beside
from lift.show.page.desk import Asked, Desk
from lift.show.page.resource import Content, Parameter
from lift.words import note, say

MOST_PICTURE_BYTES = 30_000_000
"""Of a photograph that is sent: the largest JPEG of a phone has half of it."""

KINDS = ("image/jpeg", "image/png", "image/tiff", "image/heic", "image/heif")
CONTENT = Content(KINDS, MOST_PICTURE_BYTES)

_POINT = r"\d{1,5}(\.\d{1,3})?,\d{1,5}(\.\d{1,3})?"
PLACES = (
    Parameter("chart", Annotated[str, Meta(pattern=f"^{_POINT}( {_POINT}){{3}}$")], required=True),
    Parameter(
        "hair", Annotated[str, Meta(pattern=f"^{_POINT}( {_POINT}){{1,39}}$")], required=True
    ),
)
"""Corners of the chart and outline of the hair, in pixels of the upright picture."""


class TakenShown(Part):
    """Which pixels were taken: left, top, right and bottom of the box that was looked at [pixel].

    `bits` has one for each of `rows` by `columns` places in it, row by row, highest bit first,
    1 for what was taken (Base64, RFC 4648).
    """

    box: tuple[int, int, int, int]
    rows: int
    columns: int
    bits: str


class MeasureShown(Part):
    """What a screen shows of a colour that was measured.

    `seen` is what was seen as a visit has it, with standard deviations; `colour` L*, a*, b* alone.
    `locks` are the colour and the natural levels beside it.
    """

    seen: str
    colour: str
    words: str
    exact: list[str]
    left_out: str
    locks: list[Lock]
    taken: TakenShown


async def measure(desk: Desk, asked: Asked) -> Answer:
    """Measure a colour in a photograph; the photograph is not kept."""
    chart, hair = (read_points(asked.query[name]) for name in ("chart", "hair"))
    # Neither is the answer remembered: it shows where what was photographed is dark and bright.
    return await desk.slow.once(partial(answer_measured, asked.body, chart, hair, desk.packed))


def answer_measured(
    content: bytes,
    chart: list[tuple[float, ...]],
    hair: list[tuple[float, ...]],
    packed: bytes,
) -> Answer:
    """Answer with a colour in a photograph, as ``lift measure --json`` has it; in any process."""
    found = measured_in(content, chart, hair, curves=curves_of(packed))
    return answered(answers.to_json(found), _shown(found))


def _shown(found: Measured) -> MeasureShown:
    seen = photographed(0.0, found)
    low, high = found.level_interval
    taken = found.taken
    rows, columns = taken.mask.shape
    like = found.pigment
    return MeasureShown(
        seen=observation_text(seen),
        colour=",".join(f"{number:g}" for number in seen.numbers),
        words=say("page.measure.level", level=found.level, low=low, high=high),
        exact=[
            str(seen.seen),
            say("page.measure.like", lab=like.lab, stage=like.stage, apart=found.apart),
            say("page.measure.chart", error=found.left_out.median, worst=found.left_out.worst),
        ],
        left_out=say("page.measure.left_out", share=1.0 - taken.share),
        locks=locks_beside({str(note("page.measure.lock")): found.lab}, found.curves),
        taken=TakenShown(
            box=taken.box,
            rows=rows,
            columns=columns,
            bits=b64encode(np.packbits(taken.mask).tobytes()).decode("ascii"),
        ),
    )
