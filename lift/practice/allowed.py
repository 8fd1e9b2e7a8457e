"""Allowed: which mixtures may be chosen for a goal, of what can be bought."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field

from lift.chemistry.strength import LIMIT_VOLUME
from lift.errors import LiftError, LimitError, check_choice, check_number
from lift.model.curves import CurveSet
from lift.model.developer import Developer, developer_choices
from lift.model.mixture import Mixture
from lift.model.mixtures import MixtureClass
from lift.practice.consulted import Consulted, Stop
from lift.practice.target import Target

HALVES = ((1, 1),)
"""Parts in which two developers are mixed here: half and half, which all can measure (assumed)."""

CARRIED_DYES = ("violet", "blue-violet", "blue")
"""Dyes that a mixture may carry: those that answer yellow to orange (the painter's wheel)."""

CARRIED_DOSES = (0.5, 1.0, 1.5, 2.0, 3.0, 4.0, 6.0, 8.0)
"""Doses tried [0.01 absorption per fibre radius]: each a step that shows, up to one that hides all
warmth of a base break on dark hair (assumed)."""


@dataclass(frozen=True)
class Allowed:
    """What may be chosen.

    Parameters
    ----------
    mixtures : tuple of str
        Classes of mixture; empty: those that suit the goal.
    max_volume : float
        Strongest developer [vol], above 0 and at most 40 (12 % H2O2).
    powder : bool or None
        Whether mixtures with persulfate; None: for lightening and matching, and not for blending,
        which is done at the scalp. Classes that are named are allowed whatever this says.
    consulted : Consulted
        What the client's answers refuse, whatever the rest says.
    along : str or None
        Where along the hair it goes on; None: at the scalp, too.

    Raises
    ------
    LiftError
        For a strength out of range.
    """

    mixtures: tuple[str, ...] = ()
    max_volume: float = LIMIT_VOLUME
    powder: bool | None = None
    consulted: Consulted = field(default_factory=Consulted)
    along: str | None = None

    def __post_init__(self) -> None:
        checked = check_number("choose.max_volume", self.max_volume, 1.0, LIMIT_VOLUME, "vol")
        object.__setattr__(self, "max_volume", checked)

    def classes(self, target: Target, curves: CurveSet) -> tuple[MixtureClass, ...]:
        """Classes that may be chosen for a goal; see `suited`."""
        return self.suited(target.intent, curves)

    def suited(self, intent: str, curves: CurveSet) -> tuple[MixtureClass, ...]:
        """Classes that may be chosen for what is meant, such as ``blend``.

        Raises
        ------
        LiftError
            For a class that is not known, and where none is left.
        LimitError
            Where answers of the client refuse all that are left.
        """
        known = curves.mixtures
        if self.mixtures:
            found = [known[check_choice("quantity.kind.label", n, known)] for n in self.mixtures]
        else:
            blends = intent == "blend"
            found = [
                each
                for each in known.values()
                # Softening is done at the scalp, which persulfate is kept off.
                if (each.oxidant != "persulfate" if blends else each.intent != "blend")
            ]
        if self.powder is False:
            found = [each for each in found if each.oxidant != "persulfate"]
        elif self.powder and not self.mixtures:
            more = [each for each in known.values() if each.oxidant == "persulfate"]
            found += [each for each in more if each not in found]
        if not found:
            raise LiftError("choose.none_left")
        left = tuple(each for each in found if self.refused(each) is None)
        if not left and (stop := self.refused(found[0])) is not None:
            raise LimitError(stop.note)
        return left

    def refused(self, of: MixtureClass) -> Stop | None:
        """What of the client's answers refuses a class, even without its tone."""
        return self.consulted.refused(Mixture(of, tone={}), self.along)

    def carried(self, of: MixtureClass) -> list[dict[str, float]]:
        """Tones that a class may carry here instead of its own."""
        tones = carried_tones(of)
        return [t for t in tones if not self.consulted.refused(Mixture(of, tone=t), self.along)]

    @property
    def toner(self) -> bool:
        """Whether a toner may follow."""
        return self.consulted.toner_refused(self.along) is None

    def developers(self, of: MixtureClass, curves: CurveSet) -> tuple[Developer, ...]:
        """Developers that a class is usually mixed with, up to the strongest allowed.

        Who allows only weaker ones than are usual gets those.
        """
        bound = of.bound("volume")
        least = bound.usual_low if self.max_volume >= bound.usual_low else bound.low
        most = min(bound.usual_high, self.max_volume) + 1e-9
        made = developer_choices(curves.mixtures.developers, HALVES)
        return tuple(d for d in made if least <= d.volume <= most)


def mixture_of(
    of: MixtureClass, developer: Developer, tone: Mapping[str, float] | None = None
) -> Mixture:
    """Mixture of a class with a developer, and the tone it carries; None: the class's own."""
    volume = developer.parts if developer.mixed else developer.volume
    return Mixture(of, volume, tone=None if tone is None else dict(tone))


def carried_tones(of: MixtureClass) -> Iterator[dict[str, float]]:
    """Tones that a mixture of a class may carry instead of its own; none where it carries none."""
    if not of.tone:
        return
    yield {}
    for dye in CARRIED_DYES:
        for dose in CARRIED_DOSES:
            yield {dye: dose}
