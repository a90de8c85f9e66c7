"""How far around each antenna the categories of exposure reach, while on without a pause."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass

from checklist.calculations.exposure import far
from checklist.calculations.exposure.constants import SPEED_OF_LIGHT
from checklist.calculations.exposure.figures import Figures
from checklist.calculations.exposure.held import hold
from checklist.calculations.exposure.limits import Limit, LimitSet, NotCovered, Tier
from checklist.calculations.exposure.model import ByGain, Dish, Emission, Ground
from checklist.calculations.exposure.power import Power, power_at_antenna
from checklist.calculations.exposure.strength import Refused, Sort, Strength

_BISECTIONS = 60


@dataclass(frozen=True, slots=True)
class Zone:
    """The reach of categories 2, 3 and 4 around one antenna, in any direction."""

    antenna: str
    beyond_uncontrolled_m: float | None
    """Category 2 ends here, from the nearest part of the radiator; None where not shown."""

    beyond_controlled_m: float | None
    beyond_severe_m: float | None
    says: str
    not_shown: str = ""


@dataclass(frozen=True, slots=True)
class _Step:
    tier: Tier
    multiple: float


def zones(
    emissions: Sequence[Emission], ground: Ground, limits: LimitSet, figures: Figures
) -> tuple[Zone, ...]:
    """Return one zone for each antenna, all its emissions together, duty of the mode counted.

    Distances of several transmitters on one antenna are added as squares: for fields that
    fall at least with the distance that is never too short.
    """
    names = dict.fromkeys(e.antenna.name for e in emissions)
    return tuple(
        _zone(name, [e for e in emissions if e.antenna.name == name], ground, limits, figures)
        for name in names
    )


def _zone(
    name: str, emissions: list[Emission], ground: Ground, limits: LimitSet, figures: Figures
) -> Zone:
    steps = (
        _Step(Tier.UNCONTROLLED, 1.0),
        _Step(Tier.CONTROLLED, 1.0),
        _Step(Tier.CONTROLLED, figures["severe"]),
    )
    reach: list[dict[str, float]] = [{}, {}, {}]
    for emission in emissions:
        found = _reaches(emission, steps, ground, limits, figures)
        if isinstance(found, Refused):
            return Zone(name, None, None, None, "not shown", f"{emission.name}: {found.reason}.")
        for step, distance in enumerate(found):
            most = max(reach[step].get(emission.transmitter, 0.0), distance)
            reach[step][emission.transmitter] = most
    metres = [math.hypot(*by.values()) for by in reach]
    return Zone(name, metres[0], metres[1], metres[2], _says(metres))


def _says(metres: list[float]) -> str:
    """Return the rings from outside in; one of no width is left out."""
    outer, middle, inner = metres
    rings = [f"category 1 beyond {outer:.2f} m"]
    rings += [f"category 2 from {middle:.2f} to {outer:.2f} m"] if middle < outer else []
    rings += [f"category 3 from {inner:.2f} to {middle:.2f} m"] if inner < middle else []
    return "; ".join([*rings, f"nearer than {inner:.2f} m category 4, or not shown"])


def _reaches(
    emission: Emission,
    steps: Sequence[_Step],
    ground: Ground,
    limits: LimitSet,
    figures: Figures,
) -> list[float] | Refused:
    power = power_at_antenna(emission, figures)
    if power is None:
        return Refused("its power is unknown", "Give the power at the transmitter.")

    def fraction(strength: Strength, tier: Tier) -> float:
        rows = limits.at(emission.frequency_hz, tier)
        return max(_squared(strength, power, emission, tier, row, figures) for row in rows)

    try:
        return _by_kind(emission, steps, ground, figures, fraction)
    except NotCovered as refused:
        return Refused(refused.what, refused.right)


def _squared(
    strength: Strength, power: Power, emission: Emission, tier: Tier, row: Limit, figures: Figures
) -> float:
    """Return a fraction that falls like power density, also where the limit is of the field."""
    held = hold(strength, power, emission, tier, row, figures)
    return held.always_on if held.averaging_s else held.always_on**2


def _by_kind(
    emission: Emission,
    steps: Sequence[_Step],
    ground: Ground,
    figures: Figures,
    fraction: Callable[[Strength, Tier], float],
) -> list[float] | Refused:
    antenna = emission.antenna
    wavelength = SPEED_OF_LIGHT / emission.frequency_hz
    if isinstance(antenna, Dish):
        return [_of_dish(antenna, wavelength, ground, figures, fraction, s) for s in steps]
    if isinstance(antenna, ByGain):
        gain = far.usable_gain(antenna, wavelength, ground, figures)
        if isinstance(gain, Refused):
            return gain
        at_1_m = _plain(max(gain, figures["dipole_gain"]), ground, figures)
        least = figures["nearest_wavelengths"] * wavelength
        # A small loop or a loaded whip is within its formula only a wavelength away.
        least = wavelength if antenna.kind in far.CLOSE else least
        return [max(least, math.sqrt(fraction(at_1_m, s.tier) / s.multiple)) for s in steps]
    from checklist.calculations.exposure import shells

    pairs = [(s.tier, s.multiple) for s in steps]
    return shells.reaches(antenna, emission.frequency_hz, pairs, ground, figures, fraction)


def _of_dish(
    antenna: Dish,
    wavelength: float,
    ground: Ground,
    figures: Figures,
    fraction: Callable[[Strength, Tier], float],
    step: _Step,
) -> float:
    gain = 10 ** (antenna.gain_dbi / 10)
    factor = 1.0 if ground is Ground.NONE else figures["full_reflection"]

    def over(distance: float) -> bool:
        density = factor * far.aperture_w_m2(
            1.0, gain, antenna.diameter_m, wavelength, distance, figures
        )
        return fraction(_flat(density), step.tier) > step.multiple

    low, high = 1e-3, 1e6
    if not over(low):
        return 0.0
    for _ in range(_BISECTIONS):
        middle = math.sqrt(low * high)
        low, high = (middle, high) if over(middle) else (low, middle)
    return high


def _plain(gain: float, ground: Ground, figures: Figures) -> Strength:
    factor = 1.0 if ground is Ground.NONE else figures["full_reflection"]
    return _flat(far.density_w_m2(1.0, gain, 1.0, factor))


def _flat(density: float) -> Strength:
    return Strength(Sort.PLANE_WAVE, density, density, 1.0, "far field", "")
