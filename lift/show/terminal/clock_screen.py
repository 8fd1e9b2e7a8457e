"""What the clock shows: one screen from a clock and the time."""

from __future__ import annotations

from dataclasses import dataclass

from rich.console import Console, Group
from rich.text import Text

from lift.practice.service.clock import SOON_MINUTES, Action, Clock
from lift.practice.service.clock_zone import SectionNow, ZoneClock
from lift.show.terminal.big_letters import big
from lift.show.terminal.preview import patch

CAUTION = "Estimate: strand test and maker's limits first. Pain: rinse at once. Gloves."
LEGEND = "section, time on it, level now, whether at the goal, minutes to close"
KEYS = "SPACE: done, next    u: undo    q: leave"
CELL = 26
_STYLES = {"calm": "bold", "soon": "bold black on yellow", "now": "bold white on red"}


@dataclass(frozen=True)
class Headline:
    """The one thing to see from a metre.

    Parameters
    ----------
    word : str
        What to do, in capitals.
    minutes : float
        Time shown below it [min]; negative when late.
    caption : str
        What that time is.
    urgency : str
        ``calm``, ``soon`` or ``now``.
    """

    word: str
    minutes: float
    caption: str
    urgency: str


def headline(clock: Clock, action: Action, now: float) -> Headline:
    """Say what to do now, and how long there is.

    Parameters
    ----------
    clock : Clock
        What was marked.
    action : Action
        What comes next.
    now : float
        Time on the service's clock [min].

    Returns
    -------
    Headline
    """
    if action.kind == "done":
        return Headline("DONE", now, "all rinsed; time on the clock", "calm")
    if action.kind == "lay":
        left = action.at + clock.zone(action.zone).each - now
        numbers = "+".join(str(n) for n in action.sections)
        caption = (
            f"lay {action.zone}; until {'these are' if len(action.sections) > 1 else 'it is'} on"
        )
        return Headline(f"LAY {numbers}", left, caption, "calm" if left >= 0.0 else "soon")
    if action.kind == "rinsing":
        caption = f"{action.words}; until the next one, in the order laid"
        return Headline(f"RINSE {action.sections[0]}", action.until - now, caption, "now")
    wait = action.at - now
    what = action.words
    if action.kind == "mix":
        if all(z.begun is None for z in clock.zones):
            return Headline("MIX", 0.0, f"{what}; SPACE starts the clock", "calm")
        if wait > 0.0:
            urgency = "soon" if wait <= SOON_MINUTES else "calm"
            return Headline("WAIT", wait, f"then {what}", urgency)
        return Headline(
            "MIX", wait, f"{what}, then lay; late by", "calm" if wait > -1.0 else "soon"
        )
    if wait > 0.0:
        word = "RINSE IN" if wait <= SOON_MINUTES else "WAIT"
        return Headline(word, wait, f"then {what}", "soon" if wait <= SOON_MINUTES else "calm")
    left = action.until - now
    if left >= 0.0:
        return Headline("RINSE NOW", left, f"{what}; until the first section closes", "now")
    return Headline("RINSE NOW", left, f"{what}; past the close by", "now")


def screen(clock: Clock, now: float, console: Console) -> Group:
    """Compose the whole screen.

    Parameters
    ----------
    clock : Clock
        What was marked.
    now : float
        Time on the service's clock [min].
    console : rich.console.Console
        Gives the size, and whether colours can be shown.

    Returns
    -------
    rich.console.Group
        As many lines as the console is high, or fewer.
    """
    width, height = console.width, console.height
    action = clock.next(now)
    head = headline(clock, action, now)
    style = _STYLES[head.urgency] if console.color_system else "bold"
    tall = 2 if height >= 36 else 1
    lines: list[Text] = [Text(f" {clock.plan.scenario.title}  {digits(now)} on the clock"[:width])]
    lines += [
        Text(f" {row}".ljust(width)[:width], style) for row in big(head.word, width=width - 2)
    ]
    lines += [Text("")]
    time = digits(head.minutes)
    lines += [Text(f" {row}") for row in big(time, wide=2, tall=tall, width=width - 2)]
    lines += [Text(f" {head.caption}"[:width], "bold")]
    foot = [Text(f" {KEYS}"[:width], "bold"), Text(f" {CAUTION}"[:width])]
    room = height - len(lines) - len(foot) - 1
    shown = _zones(clock, now, width, room - 1, console)
    if shown:
        lines += [*shown, Text(f" {LEGEND}"[:width], "dim")]
    return Group(*lines, *foot)


def _zones(clock: Clock, now: float, width: int, room: int, console: Console) -> list[Text]:
    """Lines of the zones and their sections, as many as there is room for."""
    lines: list[Text] = []
    per_line = max(1, (width - 1) // CELL)
    # What closes first is shown first where there is no room for all.
    zones = [z for z in clock.zones if z.begun is not None]
    share = max(1, room // max(len(zones), 1) - 1)
    for zone in zones:
        sections = zone.now(now)
        lines.append(Text(_zone_words(zone, sections, now)[:width], "bold"))
        open_first = sorted(sections, key=lambda s: s.to_close)[: share * per_line]
        shown = sorted(open_first, key=lambda s: s.number)
        for start in range(0, len(shown), per_line):
            row = Text(" ")
            for section in shown[start : start + per_line]:
                row.append_text(_cell(section, console))
            lines.append(row)
    return lines[:room]


def _zone_words(zone: ZoneClock, sections: tuple[SectionNow, ...], now: float) -> str:
    on = f"{len(sections)} of {zone.sections} on"
    if zone.rinsed is not None:
        past = sum(s.state == "past" for s in sections)
        end = f"{past} past their close" if past else "none past its close"
        return f" {zone.name}: rinsed at {digits(zone.rinsed)}, {end}"
    if not sections:
        return f" {zone.name}: {on}"
    opens, closes = zone.earliest(now), zone.latest(now)
    if closes <= opens:
        return f" {zone.name}: {on}, no common window; first closes in {digits(closes - now)}"
    return f" {zone.name}: {on}, rinse {digits(opens)} to {digits(closes)}"


def _cell(section: SectionNow, console: Console) -> Text:
    """One section: number, colour, time on it, minutes to close or its state."""
    left = f"{section.to_close:.0f}m" if section.to_close >= 1.0 else digits(section.to_close)
    state = {"early": f"early {left}", "inside": f"goal {left}", "past": f"PAST {left}"}
    if section.rinsed:
        state = {"early": "short", "inside": "good", "past": "past"}
    cell = Text(f"{section.number:>3} ")
    cell.append_text(patch(section.lab, 2, console))
    words = f"{digits(section.minutes)} {section.level:.1f} {state[section.state]}"
    cell.append(words.ljust(CELL - cell.cell_len)[: CELL - cell.cell_len])
    if section.state == "past" and not section.rinsed:
        cell.stylize("reverse")
    return cell


def digits(minutes: float) -> str:
    """Minutes and seconds; late times with a minus."""
    seconds = round(abs(minutes) * 60.0)
    sign = "-" if minutes < 0.0 and seconds else ""
    return f"{sign}{seconds // 60}:{seconds % 60:02d}"
