"""From even light to colour: root-polynomial correction, by the patches nearest to a colour."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

import numpy as np

from lift.errors import Floats
from lift.optics.colorimetry import delta_e_2000, white, xyz_to_lab

NEAR = 15.0
"""Distance [CIELAB units] over which a patch counts less for a colour; as `LIGHTNESS`, chosen on
computed photographs."""

LIGHTNESS = 0.5
"""What a difference of L* counts in it: corrections grow as light does, so it matters less."""

FAR = 0.005
"""What the farthest patch counts, so that few near ones never stand alone."""

METHODS = {"both": (3, 6), "linear": (3,), "root": (6,)}
"""Terms of the corrections of which the mean is taken, by method; the usual one first."""

WORTH = 0.8
"""Another method is taken where patches left out come out this much nearer by it [-], and no less:
on computed photographs the usual one is nearer than one that is but a little better."""

RIDGE = 1e-12
"""Held against roots that are all but alike, as a share of all terms."""


@dataclass(frozen=True, eq=False)
class Correction:
    """Correction of colour by a chart.

    Parameters
    ----------
    light : numpy.ndarray
        Even light of the patches in R, G, B, shape (n, 3).
    xyz : numpy.ndarray
        What they are known to be (D65, 10 degrees), shape (n, 3).
    """

    light: Floats
    xyz: Floats

    @cached_property
    def known(self) -> Floats:
        """CIELAB the patches are known to have, shape (n, 3)."""
        return _to_lab(self.xyz)

    def lab(self, light: Floats) -> Floats:
        """CIELAB (D65, 10 degrees) of even light, by the patches nearest to it, shape (..., 3)."""
        found = [self._lab(light, terms) for terms in METHODS[self.method]]
        return np.asarray(np.mean(found, axis=0))

    def _lab(self, light: Floats, roots: int) -> Floats:
        terms, wanted = (root_polynomial(each, roots) for each in (self.light, light))
        weight = np.ones(len(terms))
        for _ in range(3):
            matrix = _matrix(terms, self.xyz, weight)
            found = _to_lab((wanted[..., None, :] @ matrix)[..., 0, :])
            weight = nearness(self.known, found[..., None, :])
        return found

    @cached_property
    def method(self) -> str:
        """Which of `METHODS` brings patches that are left out nearest to what they are."""
        off = {name: delta_e_2000(self._left_out(name), self.known) for name in METHODS}
        errors = {name: float(np.sqrt(np.mean(each**2))) for name, each in off.items()}
        usual, best = next(iter(METHODS)), min(errors, key=errors.__getitem__)
        return best if errors[best] < WORTH * errors[usual] else usual

    @cached_property
    def left_out(self) -> Floats:
        """CIELAB of each patch, found without it by the patches nearest to it, shape (n, 3)."""
        return self._left_out(self.method)

    def _left_out(self, method: str) -> Floats:
        return np.asarray(np.mean([self._by_terms[terms] for terms in METHODS[method]], axis=0))

    @cached_property
    def _by_terms(self) -> dict[int, Floats]:
        """CIELAB of each patch, found without it, by how many terms the correction has."""
        weight = nearness(self.known[None, :, :], self.known[:, None, :])
        np.fill_diagonal(weight, 0.0)
        found = {}
        for count in {count for counts in METHODS.values() for count in counts}:
            terms = root_polynomial(self.light, count)
            found[count] = _to_lab(np.einsum("nt,ntc->nc", terms, _matrix(terms, self.xyz, weight)))
        return found

    @cached_property
    def errors(self) -> Floats:
        """dE00 of each patch, left out, shape (n,)."""
        return delta_e_2000(self.left_out, self.known)

    def error_near(self, lab: Floats) -> Floats:
        """Error of L*, a*, b* of patches left out, by how near they are to a colour, (3,)."""
        weight = nearness(self.known, lab)
        squared = (self.left_out - self.known) ** 2
        return np.asarray(np.sqrt(weight @ squared / weight.sum()))


def nearness(known: Floats, lab: Floats) -> Floats:
    """How much patches of CIELAB `known` count for a colour, `FAR` to 1, (...) of (..., 3)."""
    apart = np.sum(((known - lab) * (LIGHTNESS, 1.0, 1.0)) ** 2, axis=-1) / NEAR**2
    return np.asarray(FAR + (1.0 - FAR) * np.exp(-0.5 * apart))


def root_polynomial(light: Floats, terms: int) -> Floats:
    """Terms of root-polynomial colour correction: R, G, B and, of six, the roots of products.

    Parameters
    ----------
    light : numpy.ndarray
        R, G, B, not negative, shape (..., 3).
    terms : int
        3 or 6.

    Returns
    -------
    numpy.ndarray
        Shape (..., terms); all grow as light does. Source: Finlayson, Mackiewicz & Hurlbert 2015,
        IEEE Trans. Image Process. 24:1460, as colour-science has it.
    """
    if terms == 3:
        return light
    return np.concatenate([light, np.sqrt(light * np.roll(light, -1, axis=-1))], axis=-1)


def _matrix(terms: Floats, xyz: Floats, weight: Floats) -> Floats:
    """Matrix from terms to XYZ by weighted least squares of lightness, shape (..., terms, 3)."""
    # L* changes by 116/3 t^(-2/3) for a change of t, X or Y or Z over its white.
    scale = np.maximum(xyz / white(), 0.01) ** (-2.0 / 3.0) / white()
    heavy = weight[..., None] * scale**2
    weighed = np.swapaxes(heavy, -1, -2)[..., None] * terms
    turned = np.swapaxes(weighed, -1, -2)
    normal = turned @ terms
    right = (turned @ xyz.T[..., None])[..., 0]
    # Against roots that are all but alike.
    trace = np.trace(normal, axis1=-2, axis2=-1)[..., None, None]
    normal = normal + RIDGE * trace * np.eye(terms.shape[-1])
    return np.swapaxes(np.linalg.solve(normal, right[..., None])[..., 0], -1, -2)


def _to_lab(xyz: Floats) -> Floats:
    return xyz_to_lab(np.maximum(xyz, 0.0), white())
