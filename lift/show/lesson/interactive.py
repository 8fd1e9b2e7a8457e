"""Sliders for a notebook: what they ask is computed and drawn while they are dragged."""

from __future__ import annotations

from collections.abc import Mapping
from html import escape
from typing import Any

from lift.doors import checked
from lift.errors import LiftError, check_choice
from lift.model.curves import CurveSet
from lift.model.ensemble import check_one_strand
from lift.model.hair import Hair
from lift.model.mixture import Mixture
from lift.optics.colorimetry import delta_e_2000
from lift.practice.cautions import apart
from lift.quantities import quantities_of
from lift.show.lesson.controls import asked_of, controls_of, time_controls, widget_library
from lift.show.lesson.live import LivePicture, Moment, moment
from lift.show.plots.encoded import image_html
from lift.words import say, says


@checked
class Explorer:
    """Sliders for time, hair and mixture over one live picture.

    Every property of hair and mixture has a slider, a box to tick or a list, by the name it is
    typed under. What is usually left to the class of mixture, or has no usual value, is folded
    away and counts once its box is ticked: ``controls["ph_given"]`` that of ``controls["ph"]``.

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
        widgets = widget_library()

        check_one_strand(hair, mixture)
        self.picture = LivePicture(curves)
        self._hair, self._mixture = _given(hair), _given(mixture, mixture.chemistry)
        # Several developers at once are one slider of their mixed strength.
        self._mixture["volume"] = float(mixture.developer_volume)
        self._now: Moment | None = None
        values = self.picture.curves.values
        usual = {**mixture.properties(values), "developer_parts": mixture.chemistry.developer_parts}
        start = {"lightened_to": float(hair.level_now)}
        time = time_controls(minutes, self.picture.limit_minutes)
        on_hair, more_hair = controls_of(Hair, self._hair, start)
        in_bowl, more_bowl = controls_of(
            Mixture, self._mixture, usual, self.picture.curves.mixtures
        )
        self.controls = {**time, **in_bowl, **on_hair, **more_bowl, **more_hair}
        wrap = widgets.Layout(flex_flow="wrap")
        rows = [widgets.HBox([*row.values()], layout=wrap) for row in (time, in_bowl, on_hair)]
        more = widgets.HBox([*more_bowl.values(), *more_hair.values()], layout=wrap)
        folded = widgets.Accordion([more], titles=(say("explorer.more"),), selected_index=None)
        self.shown = widgets.HTML("")
        self.view = widgets.VBox([*rows, folded, self.shown])
        for name in self.controls.keys() - {"play"}:
            self.controls[name].observe(lambda _: self.update(), names="value")
        self.update()

    @property
    def hair(self) -> Hair:
        """The hair the sliders stand for."""
        return Hair(**asked_of(Hair, self._hair, self.controls))

    @property
    def mixture(self) -> Mixture:
        """The mixture the sliders stand for."""
        asked = asked_of(Mixture, self._mixture, self.controls)
        return Mixture(self.picture.curves.mixtures[asked.pop("kind")], **asked)

    @property
    def now(self) -> Moment:
        """What is shown."""
        return self.update() if self._now is None else self._now

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
        kinds = apart(now.cautions)
        care = " ".join(says((*kinds.special, *kinds.standing)))
        told = f"<strong>{escape(refused or words)}</strong><br><small>{escape(care)}</small>"
        self.shown.value = f"{picture}<p>{told}</p>"
        return now

    def beside(self, **changes: Any) -> Linked:
        """Put a second strand beside this one, linked: what moves one moves both, but what differs.

        Parameters
        ----------
        **changes : object
            Values of the second strand's controls by name; these stay its own.

        Raises
        ------
        LiftError
            For a control that there is not, naming the nearest.

        Examples
        --------
        >>> import lift
        >>> first = lift.teach.Explorer(lift.Hair(level=5), lift.Mixture("base-break", 10), 5)
        >>> both = first.beside(level=7)
        >>> first.controls["minutes"].value = 8
        >>> both.second.controls["minutes"].value, both.second.hair.level
        (8.0, 7.0)
        """
        return Linked(self, changes)

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


class Linked:
    """Two strands under one set of moves; each keeps what it was told apart by.

    Parameters
    ----------
    first : Explorer
        The strand on the left.
    changes : mapping of str to object
        Values of the second strand's controls by name.

    Attributes
    ----------
    second : Explorer
        The strand on the right.
    """

    def __init__(self, first: Explorer, changes: Mapping[str, Any]) -> None:
        widgets = widget_library()

        for name in changes:
            check_choice("explorer.control", name, first.controls)
        self.first = first
        minutes = float(first.controls["minutes"].value)
        self.second = Explorer(first.hair, first.mixture, minutes, first.picture.curves)
        for name, control in self.second.controls.items():
            if name not in changes and name != "play":
                widgets.link((first.controls[name], "value"), (control, "value"))
        for name, value in changes.items():
            self.second.controls[name].value = value
        self.apart = widgets.HTML("")
        self.view = widgets.VBox([widgets.HBox([first.view, self.second.view]), self.apart])
        for each in (first, self.second):
            each.shown.observe(lambda _: self._tell(), names="value")
        self._tell()

    @property
    def words(self) -> str:
        """How far apart both strands are now."""
        now = [each.now for each in (self.first, self.second)]
        off = delta_e_2000(*(each.drawn.central.lab[-1] for each in now))
        first, second = (each.warmth for each in now)
        return say("explorer.apart", off=float(off), first=first, second=second)

    def _tell(self) -> None:
        self.apart.value = f"<p><strong>{escape(self.words)}</strong></p>"

    def _repr_mimebundle_(self, **kwargs: Any) -> Any:
        live = self.view._repr_mimebundle_(**kwargs)
        shown = "".join(each.shown.value for each in (self.first, self.second))
        still = f"<p><em>{say('explorer.still')}</em></p>{shown}{self.apart.value}"
        told = "\n".join((self.first.now.words, self.second.now.words, self.words))
        return {**live, "text/html": still, "text/plain": told}
