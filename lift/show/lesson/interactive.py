"""Sliders for a notebook: what they ask is computed and drawn while they are dragged."""

from __future__ import annotations

from typing import Any

from lift.model.curves import CurveSet
from lift.model.hair import FIBRE_RANGE, LEVEL_RANGE, Hair
from lift.model.mixture import Mixture
from lift.practice.cautions import ALWAYS
from lift.show.lesson.live import LivePicture, Moment, moment
from lift.show.lesson.notebook import image_html
from lift.words import say


class Explorer:
    """Sliders for time, volume, level, fibre and damp over one live picture.

    Parameters
    ----------
    hair, mixture : Hair, Mixture
        Where the sliders stand at first.
    minutes : float
        Where the time slider stands at first [min].
    curves : CurveSet, optional
        Default: the shipped set.

    Notes
    -----
    The play button beside the time runs it by itself and can be paused.

    Examples
    --------
    >>> import lift
    >>> explorer = lift.teach.Explorer(lift.Hair(level=6), lift.Mixture("cream", 20), 10)
    >>> explorer.controls["minutes"].value
    10.0
    """

    def __init__(
        self, hair: Hair, mixture: Mixture, minutes: float, curves: CurveSet | None = None
    ) -> None:
        import ipywidgets as widgets

        self.picture = LivePicture(curves)
        self.controls = _controls(hair, mixture, minutes, self.picture)
        self.shown = widgets.HTML("")
        wrap = widgets.Layout(flex_flow="wrap")
        rows = (("play", "minutes", "damp", "mixture"), ("volume", "level", "fibre"))
        boxes = [widgets.HBox([self.controls[n] for n in row], layout=wrap) for row in rows]
        self.view = widgets.VBox([*boxes, self.shown])
        for name in _ASKED:
            self.controls[name].observe(lambda _: self.update(), names="value")
        self.update()

    @property
    def hair(self) -> Hair:
        """The hair the sliders stand for."""
        control = self.controls
        return Hair(
            control["level"].value, fibre_um=control["fibre"].value, damp=control["damp"].value
        )

    @property
    def mixture(self) -> Mixture:
        """The mixture the sliders stand for."""
        known = self.picture.curves.mixtures
        return Mixture(known[self.controls["mixture"].value], self.controls["volume"].value)

    def update(self) -> Moment:
        """Compute and draw what the sliders stand for."""
        now = moment(self.hair, self.mixture, self.controls["minutes"].value, self.picture.curves)
        self.picture.show(now)
        # One message to the page for each move of a slider: picture and words go together.
        self.shown.value = (
            image_html(self.picture.jpeg(), "image/jpeg", now.words)
            + f"<p><strong>{now.words}</strong><br><small>{ALWAYS[0]}</small></p>"
        )
        return now

    def _repr_mimebundle_(self, **kwargs: Any) -> Any:
        # A viewer without a kernel, or one that does not trust the file, shows the still picture.
        live = self.view._repr_mimebundle_(**kwargs)
        still = f"<p><em>{say('explorer.still')}</em></p>{self.shown.value}"
        return {**live, "text/html": still, "text/plain": self.update().words}


_ASKED = ("minutes", "volume", "level", "fibre", "damp", "mixture")


def _controls(hair: Hair, mixture: Mixture, minutes: float, picture: LivePicture) -> dict[str, Any]:
    import ipywidgets as widgets

    limit = picture.limit_minutes
    made = {
        "minutes": _slider("minutes", minutes, 0.0, limit, 0.5),
        "volume": _slider("volume", mixture.developer_volume, 5.0, 40.0, 2.5),
        "level": _slider("level", hair.level, *LEVEL_RANGE, 0.5),
        "fibre": _slider("fibre", hair.fibre_um, FIBRE_RANGE[0], 110.0, 5.0),
        "damp": widgets.Checkbox(hair.damp, description=say("explorer.damp"), indent=False),
        "mixture": widgets.Dropdown(
            options=[(say("explorer.kind", kind=kind), kind) for kind in picture.curves.mixtures],
            value=mixture.kind,
            description=say("explorer.mixture"),
        ),
        "play": widgets.Play(
            min=0, max=int(limit / 0.5), value=int(minutes / 0.5), interval=200, repeat=False
        ),
    }
    steps, slider = made["play"], made["minutes"]
    # The button counts whole steps of half a minute.
    steps.observe(lambda change: slider.set_trait("value", change["new"] * 0.5), names="value")
    return made


def _slider(name: str, value: float, low: float | None, high: float | None, step: float) -> Any:
    import ipywidgets as widgets

    return widgets.FloatSlider(
        value=value, min=low, max=high, step=step, description=say(f"explorer.{name}"),
        readout_format=".1f", style={"description_width": "7em"},
    )  # fmt: skip
