"""One picture that is drawn anew many times a second: what stays is drawn once."""

from __future__ import annotations

from dataclasses import dataclass
from io import BytesIO
from typing import Any

import numpy as np

from lift.errors import check_number
from lift.model.curves import CurveSet, default_curves
from lift.model.domain import check_domain
from lift.model.ensemble import Ensemble, ensemble
from lift.model.hair import Hair
from lift.model.mixture import Mixture
from lift.practice.cautions import cautions, in_order
from lift.practice.fibres import blend_note
from lift.practice.goal import Blend
from lift.practice.overprocessing import overprocessed
from lift.practice.time_line import Span
from lift.practice.window import Window, find_window, limit_within
from lift.show import style
from lift.show.lock.beside import named, with_levels
from lift.show.lock.image import lock_image
from lift.show.lock.shades import ground
from lift.show.plots.figure import bare, lettered, new_figure
from lift.show.plots.lightening_plots import natural_backdrop
from lift.show.plots.preview_plots import window_note
from lift.show.plots.spans import LOOKS, name_spans
from lift.show.said import lift_note
from lift.show.said_warmth import counted
from lift.words import Note, note, say

TIMES = np.linspace(0.0, 1.0, 17) ** 1.5
"""Where the band is computed, as shares of the time shown: dense where warmth sets in."""

PIXELS_PER_INCH = 90
WARMTH_SHOWN = (-2.0, 22.0)
LOCKS = 3
"""The hair now, and the two natural levels nearest to it; of grey hair both kinds of fibres, and
both as the eye blends them."""

ROOM = " \n "
"""As many lines as the title of the time line may have."""

PLACES_HIGH = 1.1
"""Height of the time line's bars, on the scale of warmth."""

PLACES_SHOWN = ("not_lifted", "inside", "too_warm", "past_limit")
"""Of a time line; a visible lift is never too light."""


@dataclass(frozen=True, eq=False)
class Moment:
    """What the live picture shows.

    Parameters
    ----------
    hair : Hair
        The strand.
    minutes : float
        Processing time [min].
    level, lift, warmth : float
        Of the expected strand [levels, levels, dC*].
    stage : str
        Its stage.
    p_too_warm : float
        Probability of being too warm at that time [-].
    window : Window
        Window of the strand.
    drawn : Ensemble
        At `TIMES` of the time shown, with `minutes` as its last column.
    cautions : tuple of Note
        To be shown with it; what is special comes first.
    """

    hair: Hair
    minutes: float
    level: float
    lift: float
    warmth: float
    stage: str
    p_too_warm: float
    window: Window
    drawn: Ensemble
    cautions: tuple[Note, ...]

    @property
    def words(self) -> str:
        """The moment in one sentence."""
        window = self.window
        over = self.minutes - (self.minutes if window.too_warm_at is None else window.too_warm_at)
        goal = window.target.name
        too_warm = note("live.too_warm", p=self.p_too_warm, goal=goal)
        past = note("live.past", minutes=over, too_warm=too_warm)
        # Overshoot is warmth past the window; where it is gone again, the goal is passed for good.
        if over <= 0.0:
            past = too_warm
        elif self.warmth <= window.target.warmth_limit:
            past = note("live.passed", at=window.too_warm_at, goal=goal)
        told = say(
            "live.moment", minutes=self.minutes, level=self.level,
            lift=lift_note(self.lift, self.level, self.level - self.lift),
            stage=self.stage,
            warmth=counted(note("live.warmth", warmth=self.warmth), self.hair),
            window=window_note(window.opens, window.closes), past=past,
        )  # fmt: skip
        if self.drawn.central.white is None:
            return told
        seen = float(self.drawn.central.blend_warmth[-1])
        return f"{told} {blend_note(self.warmth, seen, window.target.warmth_limit)}"


def moment(
    hair: Hair,
    mixture: Mixture,
    minutes: float,
    curves: CurveSet | None = None,
    *,
    limit_minutes: float = 60.0,
) -> Moment:
    """Compute what the live picture shows of one strand at one time."""
    curves = curves or default_curves()
    time = check_number("quantity.minutes.label", minutes, 0.0, limit_minutes, "min")
    check_domain(hair, mixture, time, curves)
    limit_minutes = limit_within(mixture, limit_minutes, curves)
    window = find_window(hair, mixture, Blend(), curves, limit_minutes=limit_minutes, members=2)
    shown = np.append(limit_minutes * TIMES, time)
    drawn = ensemble(hair, mixture, shown, curves)
    central = drawn.central
    return Moment(
        hair,
        time,
        float(central.level[-1]),
        float(central.lift[-1]),
        float(central.warmth[-1]),
        str(central.stage[-1]),
        float(drawn.probability_too_warm(window.target.warmth_limit)[-1]),
        window,
        drawn,
        in_order(
            (
                *overprocessed(hair, mixture, drawn.members.level[:, -1]),
                *curves.extrapolations(hair, mixture, time),
                *cautions(mixture, time, hair, curves),
            )
        ),
    )


class LivePicture:
    """A lock of hair beside natural ones, its path in the a*b* plane, its warmth through time.

    Axes, grids and natural hair are drawn once and kept as pixels; only what moves is drawn
    each time.

    Parameters
    ----------
    curves : CurveSet, optional
        Default: the shipped set.
    limit_minutes : float
        Processing time at the right edge [min].
    """

    def __init__(self, curves: CurveSet | None = None, limit_minutes: float = 60.0) -> None:
        from matplotlib import rc_context
        from matplotlib.backends import backend_agg

        self.curves = curves or default_curves()
        self.limit_minutes = limit_minutes
        with rc_context(style.CLASSROOM):
            self.figure = new_figure(10.0, 4.5)
            self.figure.set_dpi(PIXELS_PER_INCH)
            agg: Any = backend_agg
            self.canvas = agg.FigureCanvasAgg(self.figure)
            self._lock, self._plane, self._time = self._axes()
            self._moving = self._artists()
            self._title, *self._labels = self._letters = self._words()
            self._places = self._bars()
            self._spans: tuple[Span, ...] = ()
            drawn = (*self._moving.values(), *self._places.values(), *self._letters)
            for artist in drawn:
                artist.set_animated(True)
            self.canvas.draw()
        # Once laid out, nothing may move: layout costs more than all the drawing.
        self.figure.set_layout_engine("none")
        self._still = self.canvas.copy_from_bbox(self.figure.bbox)
        box, height = self._lock.bbox, int(self.figure.bbox.height)
        self._lock_box = (
            height - int(box.y1),
            int(box.x0),
            height - int(box.y0),
            int(box.x1),
        )
        self._lock_pixels: Any = None
        self._lettered: Any = None
        self._with_letters: Any = None

    def _axes(self) -> tuple[Any, Any, Any]:
        grid = self.figure.add_gridspec(1, 3, width_ratios=(0.9, 1.7, 2.2))
        lock, plane, time = (self.figure.add_subplot(grid[0, i]) for i in range(3))
        lock.set(xticks=[], yticks=[])
        bare(lock)
        lock.set_xlabel("\n")  # room for the labels of the locks
        natural_backdrop(self.curves, plane)
        plane.set(xlim=(-13, 23), ylim=(-4, 39))
        plane.set_title(say("live.away"))
        time.set(xlim=(0, self.limit_minutes), ylim=WARMTH_SHOWN)
        lettered(time, note("text", text=ROOM), "axis.minutes", "axis.warmth")
        name_spans(time, (Span(place, 0.0, 0.0) for place in PLACES_SHOWN), below=0.2, columns=2)
        return lock, plane, time

    def _artists(self) -> dict[str, Any]:
        plane, time = self._plane, self._time
        allowance = self.curves.values["warmth_allowance"]
        found = {
            "path": plane.plot([], [], color=style.INK, lw=3)[0],
            "here": plane.plot([], [], "o", ms=13, mfc=ground(), mec=style.INK, mew=3)[0],
            "window": time.axvspan(0.0, 0.0, color=style.COOL, alpha=0.15, lw=0),
            "low": time.plot([], [], color=style.WARM, lw=1)[0],
            "high": time.plot([], [], color=style.WARM, lw=1)[0],
            "warmth": time.plot([], [], color=style.INK, lw=3)[0],
            "limit": time.axhline(allowance, color=style.WARM, ls="--"),
            "now": time.axvline(0.0, color=style.INK, lw=1.2, ls=":"),
            "at": time.plot([], [], "o", ms=13, mfc=ground(), mec=style.INK, mew=3)[0],
        }
        return found

    def _bars(self) -> dict[str, Any]:
        """A bar of the time line for each place."""
        middle = WARMTH_SHOWN[1] - PLACES_HIGH / 2.0
        found = {}
        for place in PLACES_SHOWN:
            # Sparse hatching: the picture is sent many times a second, and must stay small.
            look = LOOKS[place] | {"hatch": LOOKS[place].get("hatch", "")[:1]}
            (found[place],) = self._time.barh(middle, 0.0, PLACES_HIGH, **look)
        return found

    def _words(self) -> tuple[Any, ...]:
        return (
            self._time.set_title(ROOM),
            *(
                self._lock.text((place + 0.5) / LOCKS, -0.02, "", ha="center", va="top",
                                transform=self._lock.transAxes, fontsize=9)
                for place in range(LOCKS)
            ),
        )  # fmt: skip

    def show(self, now: Moment) -> None:
        """Draw a moment."""
        moving = self._moving
        central = now.drawn.central
        last = central.pigmented[-1]
        # The moment itself stands last, out of order: keep it and what lies before it.
        times = central.minutes[:-1]
        past = np.append(times <= now.minutes, True)
        low, median, high = now.drawn.band("warmth")
        shown = with_levels({say("live.now"): last}, self.curves)
        if central.white is not None:
            kinds = {"pigmented": last, "white": central.white[-1], "blend": central.lab[-1]}
            shown = {named(say(f"plot.fibres.{name}"), lab): lab for name, lab in kinds.items()}
        for text, label in zip(self._labels, shown, strict=True):
            text.set_text(label.replace(" ", "\n", 1))
            text.set_fontsize(9 if central.white is None else 7)
        top, left, bottom, right = self._lock_box
        locks = lock_image([*shown.values()], bottom - top, (right - left) // LOCKS)
        self._lock_pixels = np.rint(255.0 * np.concatenate(locks, axis=1))
        moving["path"].set_data(*central.pigmented[past][:, 1:].T)
        moving["here"].set_data([last[1]], [last[2]])
        for name, values in (("low", low), ("warmth", median), ("high", high)):
            moving[name].set_data(times, values[:-1])
        moving["at"].set_data([now.minutes], [median[-1]])
        moving["now"].set_xdata([now.minutes, now.minutes])
        opens, closes = now.window.opens, now.window.closes
        moving["window"].set_x(opens or 0.0)
        moving["window"].set_width(0.0 if opens is None or closes is None else closes - opens)
        self._spans = now.window.spans(self.limit_minutes)
        for bar in self._places.values():
            bar.set_width(0.0)
        for span in self._spans:
            self._places[span.place].set_x(span.starts)
            self._places[span.place].set_width(span.ends - span.starts)
        self._title.set_text(_title(now))

    def pixels(self) -> Any:
        """Draw what moves over what stays; RGB, shape (height, width, 3), 0 to 255."""
        # Letters and hatching cost more than all lines, and stay while only the time is dragged.
        lettered = (*(text.get_text() for text in self._letters), self._spans)
        if lettered != self._lettered:
            self.canvas.restore_region(self._still)
            for artist in (*self._letters, *self._places.values()):
                artist.axes.draw_artist(artist)
            self._with_letters = self.canvas.copy_from_bbox(self.figure.bbox)
            self._lettered = lettered
        self.canvas.restore_region(self._with_letters)
        for artist in self._moving.values():
            artist.axes.draw_artist(artist)
        drawn = np.asarray(self.canvas.buffer_rgba())[..., :3].copy()
        # The lock is laid in pixel by pixel: scaling a picture costs more than all the lines.
        top, left, bottom, _ = self._lock_box
        drawn[top:bottom, left : left + self._lock_pixels.shape[1]] = self._lock_pixels
        return drawn

    def jpeg(self) -> bytes:
        """The picture as JPEG, packed fast and small: a notebook's server drops a thick stream."""
        from PIL import Image

        data = BytesIO()
        Image.fromarray(self.pixels()).save(data, "JPEG", quality=75)
        return data.getvalue()


def _title(now: Moment) -> str:
    warm, light = now.window.too_warm_at, now.window.too_light_at
    goal = now.window.target.name
    if warm is not None:
        return say("live.from", at=warm, goal=goal)
    return say("live.never", goal=goal) if light is None else say("live.light", at=light)
