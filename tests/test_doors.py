"""Public names refuse what they do not take in one line; what they take passes."""

import pickle
from collections.abc import Callable, Iterable, Mapping, Sequence
from typing import Literal

import numpy as np
import pytest
from fuzz_names import PLACES, calls, run

import lift
import lift.lab
import lift.teach
from lift.doors import checked, fits
from lift.errors import LiftError

HAIR, CREAM = lift.Hair(6), lift.Mixture("cream", 20)


@pytest.mark.parametrize(
    ("call", "said"),
    [
        (
            lambda: lift.find_window(HAIR, CREAM, 8),
            "find_window: goal is 8; it takes a Blend, or a Lighten, or a Match, or a Tone, or "
            "None",
        ),
        (
            lambda: lift.preview(CREAM, HAIR, 20),
            "preview: hair is a Mixture; it takes a Hair; a Mixture is given as mixture",
        ),
        (
            lambda: lift.preview(lift.Hair, CREAM, 20),
            "preview: hair is the class Hair itself; it takes a Hair; make one: Hair(...)",
        ),
        (
            lambda: lift.preview(HAIR, CREAM, 20, seed="x"),
            "preview: seed is 'x'; it takes a whole number",
        ),
        (
            lambda: lift.ensemble(HAIR, CREAM, [20.0], seed=-1),
            "seed -1 is outside 0 to 4.29497e+09; nearest: 0",
        ),
        (
            lambda: lift.learn_from_records([HAIR]),
            "learn_from_records: records[0] is a Hair; it takes a Record",
        ),
        (
            lambda: lift.choose(HAIR, lift.Blend(), mixtures="cream"),
            "choose: mixtures is 'cream'; it takes a list, each a text; put it in a list: "
            "['cream']",
        ),
        (
            lambda: lift.simulate(HAIR, lift.Mixture("cream", [10, 20]), [0, 5, 10]),
            "volume of shape (2,) and minutes of shape (3,) do not go together; give one number, "
            "the same shape, or an axis of length 1",
        ),
        (
            lambda: lift.Hair([5, 6], fibre_um=[50, 60, 70]),
            "level of shape (2,) and fibre_um of shape (3,) do not go together; give one number, "
            "the same shape, or an axis of length 1",
        ),
        (
            lambda: lift.default_curves().replace(lightening_rate=None),
            "CurveSet.replace: lightening_rate is None; it takes a number",
        ),
        (
            lambda: lift.simulate(HAIR, CREAM, 10**400),
            "simulate: minutes is 1" + 156 * "0" + "...; it takes numbers",
        ),
    ],
)
def test_one_line_says_what_to_pass(call, said):
    with pytest.raises(LiftError) as caught:
        call()
    assert str(caught.value) == said


def test_shapes_that_broadcast_pass():
    found = lift.simulate(lift.Hair([[5.0], [6.0]]), lift.Mixture("cream", [10, 20, 30]), 20.0)
    assert found.lift.shape == (2, 3)


class Seen:
    """Stands for a class that is imported for type checkers only."""


@pytest.mark.parametrize(
    ("kind", "passes", "refused"),
    [
        (float, (1, 2.5, np.float32(1), np.array(3.0), np.nan), (True, "2", [1.0], 1j, None)),
        (int, (3, np.int64(3)), (3.0, True, "3")),
        (bool, (True, np.bool_(False)), (0, 1, "yes", None)),
        (Sequence[str], (["a"], ("a", "b"), []), ("a", [1], 3)),
        (Iterable[str], (["a"], {"a"}), ("a", [1], 3)),
        (Mapping[str, float], ({"a": 1}, {}), ({1: 1}, [("a", 1)])),
        (Mapping[str, str], ({"a": "b"},), ({"a": 1},)),
        (tuple[float, float], ([1, 2], (1.0, 2.0), np.ones(2)), ([1], "ab", 1.0, {1, 2})),
        (tuple[int, str] | None, ((1, "a"), None), ((1, 2), ("a", 1), (1,))),
        (Literal["t", "normal"], ("t",), ("x", 1)),
        (Callable[[int], int] | None, (len, None), (3,)),
    ],
)
def test_kinds(kind, passes, refused):
    for value in passes:
        assert fits(value, kind), (kind, value)
    for value in refused:
        assert not fits(value, kind), (kind, value)


def test_a_class_for_type_checkers_is_known_by_its_name():
    @checked
    def draw(axes: "NotImported | None" = None, seen: "Seen" = None):  # noqa: F821
        return axes

    with pytest.raises(LiftError, match="draw: axes is 3; it takes a NotImported, or None"):
        draw(3)
    made = type("Own", (type("NotImported", (), {}),), {})()
    assert draw(made, Seen()) is made


def test_what_can_be_walked_once_is_walked_once():
    found = lift.choose(
        HAIR, lift.Lighten(level=8), mixtures=iter(["cream"]), max_volume=20, members=8
    )
    assert {option.mixture.kind for option in found.options} <= {"cream"}
    with pytest.raises(LiftError, match=r"table: rows\[1\] is 3; it takes a list"):
        lift.teach.table(["a"], iter([["b"], 3]), "c")


def test_a_door_is_the_same_function_otherwise():
    assert lift.simulate is lift.simulate
    assert pickle.loads(pickle.dumps(lift.simulate)) is lift.simulate
    assert lift.simulate.__name__ == "simulate"
    with pytest.raises(TypeError, match="minutes"):
        lift.simulate(HAIR, CREAM)


def test_every_public_name_that_takes_something_is_called():
    """But for what lift alone makes: its methods are called."""
    made = {"Choice", "Ensemble", "Neutralisation", "Plan", "ToneDirection", "Trajectory", "Window"}
    takes_nothing = {"default_curves", "near_bands", "stage_names", "LiftError", "LimitError"}
    called = {where for where, *_ in calls()}
    missing = {
        f"{place}.{name}"
        for place, module in PLACES.items()
        for name in set(module.__all__) - made - takes_nothing
        if callable(getattr(module, name)) and f"{place}.{name}" not in called
    }
    assert missing == set()


def test_nothing_but_documented_errors_come_out():
    """2,000 calls of all public names, each wrong in one or two arguments; `make fuzz` has more."""
    found, ends = run(2000, seed=1)
    assert [
        f"{where}({said}): {problem}" for (where, *_), (problem, said, _) in found.items()
    ] == []
    assert ends["refused"] > 1000
    assert ends["answered"] > 30
