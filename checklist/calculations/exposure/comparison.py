"""What the two-ground bound was compared on: outside of it, over real ground, nothing is shown."""

from __future__ import annotations

import math
from collections.abc import Sequence

from checklist.calculations.exposure.constants import SPEED_OF_LIGHT
from checklist.calculations.exposure.figures import Figures
from checklist.calculations.exposure.geometry import heights, parts_of
from checklist.calculations.exposure.model import Wire, Wires
from checklist.calculations.exposure.strength import Refused
from checklist.calculations.exposure.wires import joint


def stands_on_ground(antenna: Wires) -> bool:
    """Return whether a wire ends on the ground, so that there is no such antenna without one."""
    near = joint(antenna.wires)
    return any(abs(p[2]) <= near for w in antenna.wires for p in (w.start, w.end))


def outside_comparison(antenna: Wires, frequency_hz: float, figures: Figures) -> Refused | None:
    """Return why an antenna is outside what the envelope was compared on, or None."""
    wavelength = SPEED_OF_LIGHT / frequency_hz
    low, high = figures["lowest_frequency_hz"], figures["highest_frequency_hz"]
    if not low <= frequency_hz <= high:
        return Refused(
            f"{frequency_hz / 1e6:.6g} MHz is outside {low / 1e6:g} to {high / 1e6:g} MHz, where "
            "the two-ground bound was compared",
            "Have the field measured, or give the antenna by its gain where the far-field formula "
            "is shown for its class.",
        )
    tall = heights(parts_of(antenna))
    least, most = figures["lowest_wire_wavelengths"], figures["highest_wire_wavelengths"]
    grounded = stands_on_ground(antenna)
    if (min(tall) < least * wavelength and not grounded) or max(tall) > most * wavelength:
        return Refused(
            f"wires from {min(tall):.2f} to {max(tall):.2f} m are outside {least * wavelength:.2f} "
            f"to {most * wavelength:.1f} m, where the two-ground bound was compared",
            "Raise the wires, or ask for a measurement.",
        )
    if grounded and not _is_upright(antenna):
        return Refused(
            "a wire that stands on the ground and is not upright was not compared",
            "Describe an upright vertical, or ask for a measurement.",
        )
    return _long_and_low(antenna, wavelength, figures)


def _long_and_low(antenna: Wires, wavelength: float, figures: Figures) -> Refused | None:
    longest = figures["longest_low_wire_wavelengths"] * wavelength
    height = figures["low_dipole_wavelengths"] * wavelength
    for group in _joined(antenna.wires, joint(antenna.wires)):
        level = sorted(
            math.dist(w.start[:2], w.end[:2]) for w in group if min(w.start[2], w.end[2]) < height
        )
        # Radials that leave one joint are no long wire: two of them are the longest path.
        counted = level[-2:] if _is_star(group, joint(antenna.wires)) else level
        low = sum(counted)
        if low > longest:
            return Refused(
                f"{low:.1f} m of joined wire lower than {height:.1f} m is longer than "
                f"{longest:.1f} m, beyond which the comparison itself is in doubt",
                "Raise the wire, or ask for a measurement.",
            )
    return None


def _joined(wires: Sequence[Wire], near: float) -> list[list[Wire]]:
    """Return the wires in groups that hang together."""
    groups: list[list[Wire]] = []
    for wire in wires:
        mine = [g for g in groups if any(_touch(wire, other, near) for other in g)]
        groups = [g for g in groups if g not in mine]
        groups.append([wire, *(w for g in mine for w in g)])
    return groups


def _touch(first: Wire, second: Wire, near: float) -> bool:
    ends = ((p, q) for p in (first.start, first.end) for q in (second.start, second.end))
    return any(math.dist(p, q) <= near for p, q in ends)


def _is_star(group: Sequence[Wire], near: float) -> bool:
    return any(
        all(min(math.dist(p, w.start), math.dist(p, w.end)) <= near for w in group)
        for p in (group[0].start, group[0].end)
    )


def _is_upright(antenna: Wires) -> bool:
    return all(
        math.dist(w.start[:2], w.end[:2]) <= 0.02 * math.dist(w.start, w.end) for w in antenna.wires
    )
