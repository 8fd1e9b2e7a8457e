"""Time line of the card: one row a section, drawn to be read in greyscale."""

from __future__ import annotations

from dataclasses import dataclass

from lift.practice.service.after_rinse import ToningTimes
from lift.practice.service.plan import Plan
from lift.practice.service.zone_plan import SectionPlan, ZonePlan
from lift.practice.time_line import PLACES
from lift.words import Note, note, say

LEFT, WIDTH, RIGHT, ROW, TOP = 105.0, 495.0, 105.0, 12.3, 17.0
KEY_HEIGHT, KEY_BOX, LETTER = 14.0, 22.0, 6.2
"""Height of the row that names the places, width of its boxes and of a letter at the most."""
MOST_ROWS = (26, 26, 15, 12)
"""Rows that leave a page room for one, two or more zones; of more sections the telling ones are
drawn."""
LONGEST_LABEL = 15
"""Letters of a row's label that fit before the drawing."""


@dataclass(frozen=True)
class Row:
    """One section's row, in the drawing's units: `y` its top, `x` and `w` left end and width.

    It is laid (`lay`), then works until rinsed (`bar`). Its `boxes` tile the row until all is
    rinsed: place, left end and width of every span of its time line. It is `inside` when its
    expected strands are at the rinse; `words` say so, beside its time on the hair in `minutes` and
    its `chance` in a hundred.
    A zone's first row also has its `toner`: `x` and `w` of its laying and of its working.
    """

    label: str
    y: float
    lay_x: float
    lay_w: float
    bar_x: float
    bar_w: float
    boxes: tuple[tuple[str, float, float], ...]
    inside: bool
    words: Note
    minutes: Note
    chance: Note
    toner: tuple[float, float, float, float] | None = None


@dataclass(frozen=True)
class Timeline:
    """Rows of the drawing in the order laid, and where ticks [min], rinses and words stand.

    A rinse is named where its name does not run into the one before. The `key` has place and left
    end of each box that is named below the rows. `left_out` sections are not drawn.
    """

    rows: tuple[Row, ...]
    key: tuple[tuple[str, float], ...]
    ticks: tuple[tuple[float, str], ...]
    rinses: tuple[tuple[float, bool], ...]
    width: float
    height: float
    words_x: float
    minutes_x: float
    left_out: int
    key_height: float = KEY_HEIGHT
    key_box: float = KEY_BOX
    row: float = ROW

    @property
    def legend(self) -> Note:
        """What the marks mean, and how much is left out."""
        more = note("card.left_out", count=self.left_out) if self.left_out else ""
        toned = any(row.toner is not None for row in self.rows)
        return note("card.legend", toner=note("card.toner_bars") if toned else "", more=more)


def timeline(plan: Plan) -> Timeline:
    """Lay out the time line of a plan."""
    chosen = [(zone, section) for zone in plan.zones for section in telling(zone, plan)]
    end = max(plan.total_minutes, 1.0)
    scale = WIDTH / end
    toners = {times.zone: times for times in plan.toning}
    rows = tuple(
        _row(
            zone,
            section,
            TOP + i * ROW,
            scale,
            plan.service.all_rinsed,
            toners.get(zone.zone.name) if section is zone.sections[0] else None,
        )
        for i, (zone, section) in enumerate(chosen)
    )
    step = next(s for s in (1, 2, 5, 10, 15, 30, 60) if end / s <= 13)
    ticks = tuple((LEFT + t * scale, f"{t:g}") for t in range(0, int(end) + 1, step))
    total = sum(len(zone.sections) for zone in plan.zones)
    return Timeline(
        rows,
        _key(rows),
        ticks,
        _rinses(plan, scale),
        width=LEFT + WIDTH + RIGHT,
        height=TOP + ROW * len(rows) + 17.0,
        words_x=LEFT + WIDTH + 6.0,
        minutes_x=LEFT + WIDTH + 0.55 * RIGHT,
        left_out=total - len(rows),
    )


def _rinses(plan: Plan, scale: float) -> tuple[tuple[float, bool], ...]:
    """Where each rinse begins, and whether there is room to name it."""
    room, free, found = LETTER * (len(say("card.rinse")) + 1), 0.0, []
    for x in sorted({LEFT + zone.rinsed * scale for zone in plan.zones}):
        found.append((x, x >= free))
        free = x + room if x >= free else free
    return tuple(found)


def _key(rows: tuple[Row, ...]) -> tuple[tuple[str, float], ...]:
    """Place and left end of the boxes that name the places which occur."""
    found = {place for row in rows for place, _, _ in row.boxes}
    key, x = [], LEFT
    for place in (p for p in PLACES if p in found):
        key.append((place, x))
        x += KEY_BOX + LETTER * (len(say(f"place.{place}")) + 4)
    return tuple(key)


def telling(zone: ZonePlan, plan: Plan) -> tuple[SectionPlan, ...]:
    """Sections worth a row: all where they fit, else first, last, weakest and evenly between."""
    zones = len(plan.zones)
    share = max(3, MOST_ROWS[min(zones, len(MOST_ROWS)) - 1] // zones)
    sections = zone.sections
    if len(sections) <= share:
        return sections
    even = {round(i * (len(sections) - 1) / (share - 2)) for i in range(share - 1)}
    weakest = min(range(len(sections)), key=lambda i: sections[i].p_inside)
    return tuple(sections[i] for i in sorted(even | {weakest}))


def _row(
    zone: ZonePlan,
    section: SectionPlan,
    y: float,
    scale: float,
    end: float,
    toner: ToningTimes | None,
) -> Row:
    return Row(
        label=_label(zone.zone.name, section.number),
        y=y,
        lay_x=LEFT + section.starts * scale,
        lay_w=(section.ends - section.starts) * scale,
        bar_x=LEFT + section.ends * scale,
        bar_w=max(section.rinsed - section.ends, 0.0) * scale,
        boxes=tuple(
            (span.place, LEFT + span.starts * scale, (span.ends - span.starts) * scale)
            for span in section.spans(end)
        ),
        inside=section.inside,
        words=note("card.in" if section.inside else "card.out"),
        minutes=note("card.row_minutes", minutes=section.minutes),
        chance=_chance(section.p_inside),
        toner=None
        if toner is None
        else (
            LEFT + toner.starts * scale,
            (toner.laid - toner.starts) * scale,
            LEFT + toner.laid * scale,
            (toner.rinsed - toner.laid) * scale,
        ),
    )


def _label(zone: str, number: int) -> str:
    """Zone and number of a section; of a long name its beginning."""
    room = LONGEST_LABEL - len(str(number)) - 1
    return f"{zone if len(zone) <= room else zone[: room - 1].rstrip() + '…'} {number}"


def _chance(p: float) -> Note:
    """How many in a hundred, as short as a column is narrow."""
    kind = "few" if p < 0.005 else "most" if p > 0.995 else "count"
    return note(f"card.chance.{kind}", count=100.0 * p)
