"""The resistance of one rod and of two rods to earth, by Dwight's formulas."""

from __future__ import annotations

from math import log, pi


def one_rod(resistivity: float, length: float, diameter: float) -> float:
    """Return the ohms of a driven rod, rho / (2 pi L) (ln(4 L / a) - 1), a being the radius.

    Ohm metres and metres; `diameter` is halved here. Source: Dwight, 1936.
    """
    radius = diameter / 2
    return resistivity / (2 * pi * length) * (log(4 * length / radius) - 1)


def two_rods(resistivity: float, length: float, diameter: float, spacing: float) -> float:
    """Return the ohms of two equal rods farther apart than they are long.

    Half of one rod and rho / (4 pi s) (1 - L2 / (3 s2) + 2 L4 / (5 s4)). Source: Dwight, 1936.
    """
    share = (length / spacing) ** 2
    mutual = resistivity / (4 * pi * spacing) * (1 - share / 3 + 2 * share**2 / 5)
    return one_rod(resistivity, length, diameter) / 2 + mutual
