"""Sliders, boxes and lists for every property of hair and mixture, made from its declaration."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import replace
from typing import Any

from lift.errors import LiftError
from lift.optics.dyes import palette
from lift.quantities import MINUTES, Quantity, quantities_of
from lift.words import known, note, say

DOSE_SHOWN = 20.0
"""Largest dose of a dye on a slider [0.01 absorption per fibre radius]: more is hardly carried."""

GIVEN, VALUE = "_given", "_value"
"""Behind the name of a slider: the box that has it count; behind that of a box: its slider."""


def widget_library() -> Any:
    """Module of sliders and boxes, which an extra brings.

    Raises
    ------
    LiftError
        When it is not installed.
    """
    try:
        import ipywidgets
    except ImportError:
        raise LiftError("extra.missing", package="ipywidgets", extra="notebooks") from None
    return ipywidgets


def key_of(q: Quantity) -> str:
    """Name of a property's control: as it is typed, or as its field is called."""
    return q.typed or q.name


def controls_of(
    owner: type, given: Mapping[str, Any], usual: Mapping[str, float], kinds: Iterable[str] = ()
) -> tuple[dict[str, Any], dict[str, Any]]:
    """Controls of a class's properties by name: those with a usual value, and all others.

    Parameters
    ----------
    owner : type
        A class whose fields are quantities.
    given : mapping of str to object
        What is given, by field.
    usual : mapping of str to float
        Where the slider stands of a property that is not given, by field.
    kinds : iterable of str
        Classes of mixture that are known.
    """
    usually: dict[str, Any] = {}
    others: dict[str, Any] = {}
    for name, q in quantities_of(owner).items():
        value, key = given.get(name, q.default), key_of(q)
        if name == "tone":
            others |= _doses(q, value)
        elif q.choices is not None:
            usually[key] = _list(q, value, kinds)
        elif q.flag is not None:
            usually[key] = _box(label_of(q), value not in (None, q.default))
            if q.low is not None:
                start = q.flag if value is None else value
                others[key + VALUE] = _behind(usually[key], slider(q, start, _of(q)))
        elif value is not None:
            usually[key] = slider(q, value)
        elif q.low is not None:
            box = _box(say("explorer.set", form=label_of(q)), ticked=False)
            start = min(max(usual.get(name, sum(q.range) / 2.0), q.range[0]), q.range[1])
            others |= {key + GIVEN: box, key: _behind(box, slider(q, start))}
    return usually, others


def asked_of(owner: type, given: Mapping[str, Any], controls: Mapping[str, Any]) -> dict[str, Any]:
    """Fields of a class as the controls stand."""
    asked = dict(given)
    for name, q in quantities_of(owner).items():
        key = key_of(q)
        if name == "tone":
            asked[name] = _doses_asked(q, controls)
        elif key not in controls:
            continue
        elif key + GIVEN in controls and not controls[key + GIVEN].value:
            asked.pop(name, None)
        elif q.flag is None:
            asked[name] = controls[key].value
        elif not controls[key].value:
            asked[name] = q.default
        else:
            asked[name] = controls[key + VALUE].value if key + VALUE in controls else q.flag
    return {name: value for name, value in asked.items() if value is not None}


def time_controls(minutes: float, limit: float) -> dict[str, Any]:
    """A slider of minutes, and a button that plays it."""
    widgets = widget_library()

    q = replace(MINUTES, high=limit)
    # A slider would move what is past its end, unsaid.
    shown, step = slider(q, q.number(minutes)), q.step
    steps = widgets.Play(
        min=0, max=int(limit / step), value=int(minutes / step), interval=200, repeat=False
    )
    # The button counts whole steps.
    steps.observe(lambda change: shown.set_trait("value", change["new"] * step), names="value")
    return {"play": steps, "minutes": shown}


def _doses(q: Quantity, doses: Mapping[str, float] | None) -> dict[str, Any]:
    """A box that has the tone count, and a slider of each dye."""
    box = _box(say("explorer.set", form=label_of(q)), doses is not None)
    found = {key_of(q) + GIVEN: box}
    dose = replace(q, low=0.0, high=DOSE_SHOWN, step=0.5, unit="")
    for dye in palette():
        shown = slider(dose, (doses or {}).get(dye, 0.0), say("explorer.dye", dye=dye))
        found[f"{key_of(q)}_{dye}"] = _behind(box, shown)
    return found


def _doses_asked(q: Quantity, controls: Mapping[str, Any]) -> dict[str, float] | None:
    if not controls[key_of(q) + GIVEN].value:
        return None
    doses = {dye: float(controls[f"{key_of(q)}_{dye}"].value) for dye in palette()}
    return {dye: dose for dye, dose in doses.items() if dose > 0.0}


def _list(q: Quantity, value: Any, kinds: Iterable[str]) -> Any:
    widgets = widget_library()

    options = [(say("explorer.kind", kind=kind), kind) for kind in kinds]
    return widgets.Dropdown(options=options, value=value, description=label_of(q))


def _box(text: str, ticked: bool) -> Any:
    widgets = widget_library()

    return widgets.Checkbox(ticked, description=text, indent=False)


def _behind(box: Any, shown: Any) -> Any:
    """Let a slider move only while its box is ticked."""
    shown.disabled = not box.value
    tick: Callable[[Any], None] = lambda change: shown.set_trait("disabled", not change["new"])  # noqa: E731
    box.observe(tick, names="value")
    return shown


def slider(q: Quantity, value: float, text: str = "") -> Any:
    """Slider over the range of a quantity [its unit]."""
    widgets = widget_library()

    low, high = q.range
    wide = (high - low) <= 1.0
    return widgets.FloatSlider(
        value=value, min=low, max=high, step=0.01 if wide else q.step,
        description=text or label_of(q), readout_format=".2f" if wide else ".1f",
        style={"description_width": "11em"},
    )  # fmt: skip


def label_of(q: Quantity) -> str:
    """What a property is called on a form, with its unit."""
    code = f"quantity.{q.name}.form"
    form = note(code) if known(code) else q.label
    return say("explorer.in_unit", form=form, unit=q.unit) if q.unit else say(form)


def _of(q: Quantity) -> str:
    return say("explorer.share", label=q.label)
