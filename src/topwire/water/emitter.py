"""Emitters: flow from head, unevenness of a run, and what a row of them wets.

An emitter gives q = k h^x. A pressure-compensating one keeps that law with a small x above the head it starts to
regulate at and falls off like an orifice below it.
"""

from dataclasses import dataclass
from enum import StrEnum
from math import sqrt

import numpy as np
import numpy.typing as npt

Array = npt.NDArray[np.float64]

ORIFICE_EXPONENT = 0.5  # [-] turbulent path (KB90, from memory)
_LINEAR_BELOW = 0.02  # [m] under this head the law is a straight line: its slope stays finite


@dataclass(frozen=True)
class Emitter:
    """The hydraulics of one emitter.

    Attributes
    ----------
    coefficient : k of q = k h^x [m3/s at a head of 1 m]
    exponent : x [-]
    regulates_from : head under which a compensating emitter no longer regulates [m]; 0 for one that does not
    variation : coefficient of manufacturing variation [-]
    """

    coefficient: float
    exponent: float
    regulates_from: float = 0.0
    variation: float = 0.05

    def flow(self, head: npt.ArrayLike) -> Array:
        """Flow at a pressure head, 0 where there is no pressure. [m3/s]"""
        return self.flow_and_slope(head)[0]

    def flow_and_slope(self, head: npt.ArrayLike) -> tuple[Array, Array]:
        """Flow [m3/s] and its derivative by head [m2/s] at `head` [m]."""
        pressure = np.asarray(head, dtype=float)
        if self.regulates_from > 0:
            below = self.coefficient * self.regulates_from ** (self.exponent - ORIFICE_EXPONENT)
            weak = pressure < self.regulates_from
            coefficient = np.where(weak, below, self.coefficient)
            exponent = np.where(weak, ORIFICE_EXPONENT, self.exponent)
        else:
            coefficient, exponent = np.asarray(self.coefficient), np.asarray(self.exponent)
        safe = np.maximum(pressure, _LINEAR_BELOW)
        law = coefficient * safe**exponent
        near_zero = pressure < _LINEAR_BELOW
        flow = np.where(near_zero, law * np.maximum(pressure, 0.0) / _LINEAR_BELOW, law)
        slope = np.where(near_zero, law / _LINEAR_BELOW, exponent * law / safe)
        return flow, slope


def coefficient(nominal_flow: float, nominal_head: float, exponent: float) -> float:
    """k of q = k h^x from one point of the curve.

    Parameters
    ----------
    nominal_flow : float
        [m3/s, or any flow unit: k has the same]
    nominal_head : float
        [m]
    exponent : float
        [-]
    """
    return float(nominal_flow / nominal_head**exponent)


def emission_uniformity(least: float, mean: float, *, variation: float, per_tree: float) -> float:
    """Emission uniformity of Keller and Karmeli, source KK75. [-]

    Parameters
    ----------
    least, mean : float
        Least and mean emitter flow by head alone, same unit.
    variation : float
        Coefficient of manufacturing variation. [-]
    per_tree : float
        Emitters that water one tree; a line counts as one where a tree has less than one. [-]
    """
    if mean <= 0:
        return 0.0
    return max((1 - 1.27 * variation / sqrt(max(per_tree, 1.0))) * least / mean, 0.0)


def lowest_quarter(flow: npt.ArrayLike) -> float:
    """Distribution uniformity: mean of the lowest quarter of the flows over the mean of all. [-]"""
    values = np.sort(np.asarray(flow, dtype=float).ravel())
    quarter = max(round(values.size / 4), 1)
    return float(values[:quarter].mean() / values.mean())


def least_flow(mean_flow: float, uniformity: float, *, variation: float, per_tree: float) -> float:
    """Least emitter flow that still meets a design uniformity, unit of `mean_flow`; source KK75."""
    return mean_flow * uniformity / (1 - 1.27 * variation / sqrt(max(per_tree, 1.0)))


def allowed_head_difference(mean_head: float, least_head: float) -> float:
    """Head the pipes of a zone may lose, 2.5 times the mean less the least head; source KB90. [m]"""
    return 2.5 * (mean_head - least_head)


class Make(StrEnum):
    """How good an emitter's make is."""

    EXCELLENT = "excellent"
    GOOD = "good"
    AVERAGE = "average"
    MARGINAL = "marginal"
    POOR = "poor"
    UNACCEPTABLE = "unacceptable"


def manufacturing_class(variation: float, *, line: bool) -> Make:
    """How good an emitter's make is, by its coefficient of variation; source EP405 (from memory).

    Parameters
    ----------
    variation : float
        [-]
    line : bool
        Emitters in the wall of a line rather than single ones.
    """
    if line:
        classes: tuple[tuple[float, Make], ...] = (
            (0.10, Make.GOOD),
            (0.20, Make.AVERAGE),
            (np.inf, Make.MARGINAL),
        )
    else:
        classes = (
            (0.05, Make.EXCELLENT),
            (0.07, Make.AVERAGE),
            (0.11, Make.MARGINAL),
            (0.15, Make.POOR),
            (np.inf, Make.UNACCEPTABLE),
        )
    return next(grade for limit, grade in classes if variation < limit)


def wetted_share(strip_width: float, row_spacing: float) -> float:
    """Share of the floor that one wetted strip along each row covers; source KB90. [-]"""
    return min(strip_width / row_spacing, 1.0)
