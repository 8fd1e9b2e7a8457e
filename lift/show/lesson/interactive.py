"""Sliders for a notebook: what they ask is computed and drawn while they are dragged."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from html import escape
from typing import Any

from lift.errors import LiftError
from lift.model.curves import CurveSet
from lift.model.hair import Hair
from lift.model.mixture import Mixture
from lift.practice.cautions import apart
from lift.quantities import MINUTES, Quantity, quantities_of
from lift.show.lesson.live import LivePicture, Moment, moment
from lift.show.plots.encoded import image_html
from lift.words import note, say, says


class Explorer:
    """Sliders for time, hair and mixture over one live picture.

    Every property that has a usual value, or that is given here, has a slider, a box to tick or a
    list, by the name it is typed under; all others stay as they are given.

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
    The play button beside the time runs it by itself and can be paused. What cannot be answered
    is refused below the picture, which then stays as it is.

    Examples
    --------
    >>> import lift
    >>> explorer = lift.teach.Explorer(lift.Hair(level=6), lift.Mixture("cream", 20), 10)
    >>> explorer.controls["minutes"].value
    10.0
    >>> explorer.controls["grey"].value = 30
    >>> explorer.hair.grey_percent
    30.0
    """

    def __init__(
        self, hair: Hair, mixture: Mixture, minutes: float, curves: CurveSet | None = None
    ) -> None:
        import ipywidgets as widgets

        self.picture = LivePicture(curves)
        self._hair, self._mixture = _given(hair), _given(mixture, mixture.chemistry)
        # Several developers at once are one slider of their mixed strength.
        self._mixture["volume"] = float(mixture.developer_volume)
        self._now: Moment | None = None
        on_hair = _controls(Hair, self._hair)
        in_bowl = _controls(Mixture, self._mixture, self.picture.curves.mixtures)
        time = _time(minutes, self.picture.limit_minutes)
        self.controls = {**time, **in_bowl, **on_hair}
        wrap = widgets.Layout(flex_flow="wrap")
        rows = [widgets.HBox([*row.values()], layout=wrap) for row in (time, in_bowl, on_hair)]
        self.shown = widgets.HTML("")
        self.view = widgets.VBox([*rows, self.shown])
        for name in self.controls.keys() - {"play"}:
            self.controls[name].observe(lambda _: self.update(), names="value")
        self.update()

    def _asked(self, owner: type, given: dict[str, Any]) -> dict[str, Any]:
        """Fields of a class as the sliders stand; those without one as they were given."""
        asked = dict(given)
        for name, q in quantities_of(owner).items():
            if q.typed not in self.controls:
                continue
            value = self.controls[q.typed].value
            if q.flag is None:
                asked[name] = value
            elif not value:
                asked[name] = q.default
            elif given.get(name) in (None, q.default):
                asked[name] = q.flag
        return asked

    @property
    def hair(self) -> Hair:
        """The hair the sliders stand for."""
        return Hair(**self._asked(Hair, self._hair))

    @property
    def mixture(self) -> Mixture:
        """The mixture the sliders stand for."""
        asked = self._asked(Mixture, self._mixture)
        return Mixture(self.picture.curves.mixtures[asked.pop("kind")], **asked)

    def update(self) -> Moment:
        """Compute and draw what the sliders stand for; what is refused leaves the last moment."""
        minutes, refused = self.controls["minutes"].value, ""
        try:
            now = moment(self.hair, self.mixture, minutes, self.picture.curves)
            self.picture.show(now)
        except LiftError as error:
            if self._now is None:
                raise
            now, refused = self._now, str(error)
        self._now = now
        # One message to the page for each move of a slider: picture and words go together.
        picture, words = image_html(self.picture.jpeg(), "image/jpeg", now.words), now.words
        # What is special to this moment, and the first of what always is.
        kinds = apart(now.cautions)
        care = " ".join(says((*kinds.special, kinds.standing[0])))
        told = f"<strong>{escape(refused or words)}</strong><br><small>{escape(care)}</small>"
        self.shown.value = f"{picture}<p>{told}</p>"
        return now

    def _repr_mimebundle_(self, **kwargs: Any) -> Any:
        # A viewer without a kernel, or one that does not trust the file, shows the still picture.
        live = self.view._repr_mimebundle_(**kwargs)
        still = f"<p><em>{say('explorer.still')}</em></p>{self.shown.value}"
        return {**live, "text/html": still, "text/plain": self.update().words}


def _given(thing: Hair | Mixture, usual: Any = None) -> dict[str, Any]:
    """Fields that are given; what is only a mixture class's own follows the class."""
    values = {name: getattr(thing, name) for name in quantities_of(type(thing))}
    return {
        name: value
        for name, value in values.items()
        if value is not None and (name == "kind" or value != getattr(usual, name, None))
    }


def _controls(owner: type, given: dict[str, Any], kinds: Iterable[str] = ()) -> dict[str, Any]:
    import ipywidgets as widgets

    made: dict[str, Any] = {}
    for name, q in quantities_of(owner).items():
        value = given.get(name, q.default)
        if not q.typed:
            continue
        if q.flag is not None:
            made[q.typed] = widgets.Checkbox(
                value not in (None, q.default), description=_label(q), indent=False
            )
        elif q.choices is not None:
            options = [(say("explorer.kind", kind=kind), kind) for kind in kinds]
            made[q.typed] = widgets.Dropdown(options=options, value=value, description=_label(q))
        elif q.low is not None and value is not None:
            made[q.typed] = _slider(q, value)
    return made


def _time(minutes: float, limit: float) -> dict[str, Any]:
    import ipywidgets as widgets

    q = replace(MINUTES, high=limit)
    # A slider would move what is past its end, unsaid.
    slider, step = _slider(q, q.number(minutes)), q.step
    steps = widgets.Play(
        min=0, max=int(limit / step), value=int(minutes / step), interval=200, repeat=False
    )
    # The button counts whole steps.
    steps.observe(lambda change: slider.set_trait("value", change["new"] * step), names="value")
    return {"play": steps, "minutes": slider}


def _slider(q: Quantity, value: float) -> Any:
    import ipywidgets as widgets

    low, high = q.range
    return widgets.FloatSlider(
        value=value, min=low, max=high, step=q.step, description=_label(q),
        readout_format=".1f", style={"description_width": "11em"},
    )  # fmt: skip


def _label(q: Quantity) -> str:
    form = note(f"quantity.{q.name}.form")
    return say("explorer.in_unit", form=form, unit=q.unit) if q.unit else say(form)
