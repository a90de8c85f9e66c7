"""What the page on the numbers says of the calculations that take a whole station file.

Their inputs are the file's and their assumptions come with each finding, so that the methods
and the limits of their validity stand here. Numbers are named by the value that holds them.
"""

from __future__ import annotations

from dataclasses import dataclass

from checklist.calculations.fromstation import BONDING, EXPOSURE, StationCalculation


@dataclass(frozen=True, slots=True)
class Told:
    """One of them as the page tells it."""

    calculation: StationCalculation
    methods: tuple[str, ...]
    """Each method: its formula with units, and where it holds; else the result is not shown."""

    holds: tuple[str, ...]


TOLD = (
    Told(
        EXPOSURE,
        (
            "Power at the antenna (W): the transmitter's, peak to average by the mode, share "
            "of time on the air over the limit's averaging time, less the loss of the feed "
            "line in dB where its length and kind are known. For the public near a mobile "
            "transmitter the operator's pauses do not count (47 CFR 2.1091(d)(2)).",
            "Exempt: ERP against the thresholds of 47 CFR 1.1307(b)(3), all sources as one "
            "sum. It is told beside the shares and never in their place: exempt is not "
            "within.",
            "Far field: S = F P G / (4 pi R^2) in W/m2, P in W, R in m to the nearest part of"
            " the radiator, G as a ratio over isotropic, the greatest gain toward the place. "
            "F is `exposure/full-reflection`, or `exposure/partial-reflection` where that was"
            " compared. From `exposure/nearest` wavelengths on; not within a wavelength of a "
            "small loop or a shortened antenna; not for an inverted V or an unknown kind.",
            "Collinear, beside it: S = F P / (2 pi R h), h its height in m, where that is less.",
            "Dish: the aperture's surface power density, its near field, transition and far "
            "field from `exposure/far-field-start` D^2 / wavelength on; the main beam in "
            "every direction unless a pattern was given.",
            "Near field, from wires: the currents by a method of moments on thin straight "
            "wires, E (V/m) and H (A/m) from them, S_E = E^2 / Z0 and S_H = H^2 Z0 (Z0 "
            "376.73 ohm), each against its own limit, at the worst point from soles to head. Each "
            "mesh is halved until the density moves by no more than `exposure/mesh-change`.",
            "Near field over real ground: the larger S of free space and of perfect ground at"
            " the same accepted power, with `exposure/envelope-margin` on top: an empirical "
            "bound, one S for both fields. From `exposure/lowest-frequency` to "
            "`exposure/highest-frequency`, wires from `exposure/lowest-wire` to "
            "`exposure/highest-wire` wavelengths high, people from `exposure/nearest` to "
            "`exposure/farthest` wavelengths off. A wire that stands on the ground is "
            "upright.",
            "Sum: the shares S / limit, or (E / limit)^2 and (H / limit)^2, of all emissions "
            "that can be on together are added at each place, for each table of the set of "
            "limits.",
        ),
        (
            "The station is as its file says. What is not in the file is not summed.",
            "The limits are the set that the file names, in the edition that the result names.",
            "Not modelled: the body itself, buildings, fences and other metal nearby, "
            "radiation from the feed line, loss in wires, contact currents, implanted "
            "devices.",
            "A radio nearer to a body than `exposure/sar-distance` is a matter of SAR: not shown.",
            "A bare conductor in reach of others is over at any power; no field is computed "
            "for it.",
            "Wires over real ground are bounded by comparison and not proven; verticals and "
            "inverted Vs on 160 m rest on scaling.",
        ),
    ),
    Told(
        BONDING,
        (
            "Every electrode and every service is in one connected graph of bonds; "
            "independent loops = conductors - nodes + connected parts.",
            "Each conductor is no thinner (AWG, or the cross-section of a strap) than the row"
            " of the section that governs what it does. Rods are as long and as far apart as "
            "they must be.",
            "Each line that comes in has a protector or discharge unit at the entry, joined "
            "to the bus.",
        ),
        (
            "What is not drawn in the file is not looked at. Joints, corrosion and resistance"
            " are measured at the place and not computed.",
            "It is about voltages between things; it shows nothing about a direct stroke.",
            "The service's own electrodes and their conductor are a licensed electrician's.",
        ),
    ),
)
