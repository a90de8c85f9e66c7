"""Power density by formula: the far field with ground reflection, and apertures and collinears.

S = F P G / (4 pi R^2) with R to the nearest part of the radiator (OET Bulletin 65, equations
3, 6 and 7). F is 4 where the ground may reflect everything; 2.56 only for a Yagi overhead and
beside a vertical, where a comparison with full-wave solutions shows that it suffices.
"""

from __future__ import annotations

import math

from checklist.calculations.exposure.constants import SPEED_OF_LIGHT
from checklist.calculations.exposure.figures import Figures
from checklist.calculations.exposure.geometry import angles_deg, heights, span, to_body
from checklist.calculations.exposure.model import ByGain, Dish, Ground, Kind, Pattern, Place
from checklist.calculations.exposure.strength import Refused, Sort, Strength

CLOSE = {
    Kind.SHORTENED: "close to a shortened or loaded antenna the field is far above the formula",
    Kind.SMALL_LOOP: "close to a small loop the magnetic field is up to 37 dB above the formula",
}
_NEEDS_WIRES = {
    Kind.INVERTED_V: "under an inverted V the formula was up to 5 dB too low",
    Kind.OTHER: "the formula is not shown to be safe for an antenna of unknown kind",
}
_GIVE_WIRES = "Describe the antenna by its wires, and the near-field method decides."


def density_w_m2(power_w: float, gain: float, distance_m: float, factor: float) -> float:
    """Return F P G / (4 pi R^2) in W/m2; gain is a ratio over isotropic."""
    return factor * power_w * gain / (4 * math.pi * distance_m**2)


def distance_m(power_w: float, gain: float, limit_w_m2: float, factor: float) -> float:
    """Return the distance in metres at which `density_w_m2` meets a limit."""
    return math.sqrt(factor * power_w * gain / (4 * math.pi * limit_w_m2))


def by_gain(
    antenna: ByGain, frequency_hz: float, place: Place, ground: Ground, figures: Figures
) -> Strength | Refused:
    """Return the power density for one watt at a place, or why the formula is refused."""
    wavelength = SPEED_OF_LIGHT / frequency_hz
    usable = usable_gain(antenna, wavelength, ground, figures)
    if isinstance(usable, Refused):
        return usable
    distance = to_body(antenna.parts, place) - (antenna.reach_m or 0.0)
    if distance < figures["nearest_wavelengths"] * wavelength or distance <= 0:
        return Refused(
            f"{max(distance, 0.0):.2f} m from the radiator nothing was compared", _GIVE_WIRES
        )
    if antenna.kind in CLOSE and distance < wavelength:
        return Refused(CLOSE[antenna.kind], _GIVE_WIRES)
    factor, why = _factor(antenna, place, ground, figures)
    gain, said = _toward(antenna, usable, place, distance, wavelength, figures)
    density = density_w_m2(1.0, gain, distance, factor)
    method = "far field"
    if antenna.kind is Kind.COLLINEAR:
        tall = max(heights(antenna.parts)) - min(heights(antenna.parts))
        around = factor * cylinder_w_m2(1.0, distance, tall) if tall > 0 else density
        if around < density and _beside(antenna, place):
            density, method = around, "cylindrical near field of a collinear"
    return Strength(
        Sort.PLANE_WAVE,
        density,
        density,
        distance,
        method,
        f"{why} R = {distance:.2f} m to the nearest part of the radiator.",
        said,
    )


def dish(
    antenna: Dish, frequency_hz: float, place: Place, ground: Ground, figures: Figures
) -> Strength | Refused:
    """Return the power density of a dish for one watt, the main beam taken in every direction.

    With a pattern the beam counts where it points, in the far field alone.
    """
    wavelength = SPEED_OF_LIGHT / frequency_hz
    gain = 10 ** (antenna.gain_dbi / 10)
    efficiency = aperture_efficiency(gain, antenna.diameter_m, wavelength)
    if efficiency > 1:
        return Refused(
            f"a gain of {antenna.gain_dbi:g} dBi is more than a dish of "
            f"{antenna.diameter_m:g} m can have",
            "Check gain, diameter and frequency.",
        )
    distance = to_body(((antenna.centre, antenna.centre),), place) - antenna.diameter_m / 2
    factor = 1.0 if ground is Ground.NONE else figures["full_reflection"]
    start = figures["aperture_far_start"] * antenna.diameter_m**2 / wavelength
    if distance > start and antenna.pattern and antenna.azimuth_deg is not None:
        angles = angles_deg(antenna.centre, antenna.azimuth_deg, antenna.elevation_deg, None, place)
        gain *= 10 ** (-least_attenuation_db(antenna.pattern, *angles) / 10)
        density = density_w_m2(1.0, gain, distance, 1.0)
    else:
        density = aperture_w_m2(1.0, gain, antenna.diameter_m, wavelength, distance, figures)
    return Strength(
        Sort.PLANE_WAVE,
        factor * density,
        factor * density,
        max(distance, 0.0),
        "aperture model of a dish",
        f"Factor {factor:g} for ground reflection; the beam counts "
        f"{'where it points' if antenna.pattern else 'in every direction'}.",
        ("Spill-over and the feed's own radiation are not modelled.",),
    )


def aperture_efficiency(gain: float, diameter_m: float, wavelength_m: float) -> float:
    """Return (G lambda^2 / 4 pi) / (pi D^2 / 4)."""
    return gain * wavelength_m**2 / (4 * math.pi) / (math.pi * diameter_m**2 / 4)


def surface_w_m2(power_w: float, diameter_m: float) -> float:
    """Return the greatest density at the surface of an aperture, 4 P / A."""
    return 4 * power_w / (math.pi * diameter_m**2 / 4)


def aperture_near_w_m2(
    power_w: float, efficiency: float, diameter_m: float, figures: Figures
) -> float:
    """Return the greatest density in the near field of an aperture, 16 eta P / (pi D^2)."""
    return figures["aperture_near"] * efficiency * power_w / (math.pi * diameter_m**2)


def aperture_between_w_m2(near_w_m2: float, near_end_m: float, distance_m: float) -> float:
    """Return the density between near and far field, falling as 1/R from the near field's end."""
    return near_w_m2 * near_end_m / distance_m


def aperture_w_m2(
    power_w: float,
    gain: float,
    diameter_m: float,
    wavelength_m: float,
    distance_m: float,
    figures: Figures,
) -> float:
    """Return the greatest density on the axis of a dish: surface, near, between, and far.

    The models do not join exactly: where two hold, the larger is taken, and never more than
    the near field's maximum.
    """
    if distance_m <= 0:
        return surface_w_m2(power_w, diameter_m)
    efficiency = aperture_efficiency(gain, diameter_m, wavelength_m)
    near = aperture_near_w_m2(power_w, efficiency, diameter_m, figures)
    near_end = diameter_m**2 / (4 * wavelength_m)
    if distance_m <= near_end:
        return near
    beyond = density_w_m2(power_w, gain, distance_m, 1.0)
    if distance_m >= figures["aperture_far_start"] * diameter_m**2 / wavelength_m:
        return min(near, beyond)
    return min(near, max(aperture_between_w_m2(near, near_end, distance_m), beyond))


def cylinder_w_m2(
    power_w: float, distance_m: float, height_m: float, beamwidth_deg: float = 360.0
) -> float:
    """Return P / (2 pi R h), or 180 P / (theta pi R h) for a sector, beside a collinear."""
    return 180 * power_w / (beamwidth_deg * math.pi * distance_m * height_m)


def least_attenuation_db(pattern: Pattern, least_deg: float, most_deg: float) -> float:
    """Return the least attenuation that a pattern has anywhere between two angles.

    Between two printed points the smaller of both counts: lobes hide there.
    """
    points = sorted(pattern.points)
    below = [i for i, (angle, _) in enumerate(points) if angle <= least_deg]
    above = [i for i, (angle, _) in enumerate(points) if angle >= most_deg]
    if not below or not above:
        return 0.0
    return min(attenuation for _, attenuation in points[below[-1] : above[0] + 1])


def usable_gain(
    antenna: ByGain, wavelength: float, ground: Ground, figures: Figures
) -> float | Refused:
    """Return the stated gain as a ratio, or why no formula is fit for the antenna."""
    if antenna.kind in _NEEDS_WIRES:
        return Refused(_NEEDS_WIRES[antenna.kind], _GIVE_WIRES)
    if antenna.gain_dbi is None:
        return Refused("its gain is unknown", "Give the gain in dBi or dBd.")
    if antenna.reach_m is None or not antenna.parts:
        return Refused("how far its conductors reach is unknown", "Give its size and its height.")
    lowest = min(heights(antenna.parts))
    needed = figures["low_dipole_wavelengths"] * wavelength
    sensitive = antenna.kind in {Kind.DIPOLE, *CLOSE}
    if sensitive and ground is not Ground.NONE and lowest < needed:
        return Refused(
            f"a {antenna.kind} antenna at {lowest:.1f} m is lower than {needed:.1f} m, a quarter "
            "wavelength, and under it the formula was too low",
            _GIVE_WIRES,
        )
    return float(10 ** (antenna.gain_dbi / 10))


def _factor(antenna: ByGain, place: Place, ground: Ground, figures: Figures) -> tuple[float, str]:
    full, partial = figures["full_reflection"], figures["partial_reflection"]
    if ground is Ground.NONE:
        return 1.0, "Factor 1: no ground."
    if antenna.kind is Kind.VERTICAL and _beside(antenna, place):
        return partial, f"Factor {partial:g}: beside a vertical."
    if antenna.kind is Kind.YAGI and _overhead(antenna, place):
        return partial, f"Factor {partial:g}: a Yagi overhead."
    return full, f"Factor {full:g}: the ground may reflect everything."


def _beside(antenna: ByGain, place: Place) -> bool:
    """Whether the body stands in the height of the radiator, at least in part."""
    tall = heights(antenna.parts)
    return place.high_m >= min(tall) and place.low_m <= max(tall)


def _overhead(antenna: ByGain, place: Place) -> bool:
    """Whether the body is below all of the antenna, no farther to the side than down."""
    down = min(heights(antenna.parts)) - place.high_m
    level = tuple(((p[0], p[1], 0.0), (q[0], q[1], 0.0)) for p, q in antenna.parts)
    flat = Place(place.name, place.x_m, place.y_m, 0.0, 0.0, controlled=False)
    return down > 0 and to_body(level, flat) <= down


def _toward(
    antenna: ByGain,
    gain: float,
    place: Place,
    distance: float,
    wavelength: float,
    figures: Figures,
) -> tuple[float, tuple[str, ...]]:
    """Return the gain that counts toward a place, a ratio, and what was assumed."""
    said = []
    if antenna.gain_includes_ground:
        said.append(
            "The gain was stated over ground: reflection is counted twice, on the safe side."
        )
    far_enough = distance >= max(2 * span(antenna.parts) ** 2 / wavelength, wavelength)
    if antenna.pattern and antenna.azimuth_deg is not None and far_enough:
        turns = antenna.sector_deg
        start = antenna.parts[0][0]
        angles = angles_deg(start, antenna.azimuth_deg, antenna.elevation_deg, turns, place)
        down = least_attenuation_db(antenna.pattern, *angles)
        said.append(f"The pattern takes {down:.1f} dB off toward the place.")
        return gain * 10 ** (-down / 10), tuple(said)
    if gain < figures["dipole_gain"]:
        said.append("The gain counts as a half-wave dipole's at least: no loss is credited.")
        gain = figures["dipole_gain"]
    said.append("The greatest gain is taken toward the place.")
    return gain, tuple(said)
