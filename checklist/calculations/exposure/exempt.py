"""Exemption from routine evaluation, 47 CFR 1.1307(b)(3): exempt is not the same as compliant.

A single source is exempt by (A) an available power of no more than 1 mW, (B) the power
threshold at 0.5 to 40 cm and 0.3 to 6 GHz, or (C) its ERP against the table where
R >= wavelength/2pi. Several sources together are exempt only if their shares sum to 1 or less.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from checklist.calculations.exposure.constants import SPEED_OF_LIGHT
from checklist.quantities import Quantity
from checklist.quantities.display import power
from checklist.rulebook import Book, Cited

NOT_COMPLIANT = "Exempt from routine evaluation is not the same as within the limits."


@dataclass(frozen=True, slots=True)
class Radiator:
    """One source as the rule sees it, time-averaged over no more than 30 minutes."""

    name: str
    frequency_hz: float
    distance_m: float
    """From any part of the radiating structure to any part of a body."""

    power_w: float
    """Greatest available time-averaged power."""

    erp_w: float | None
    """Greatest delivered power x greatest gain over a half-wave dipole; None where unknown."""


@dataclass(frozen=True, slots=True)
class Share:
    """How much of an exemption one source uses up; None where no criterion applies to it."""

    name: str
    criterion: str
    """`A`, `B`, `C`, or empty."""

    ratio: float | None
    says: str
    used: tuple[Cited, ...] = ()

    @property
    def is_exempt(self) -> bool:
        """Whether the source, taken alone, is exempt."""
        return self.ratio is not None and self.ratio <= 1


@dataclass(frozen=True, slots=True)
class Exemption:
    """Whether all sources together are exempt from routine evaluation."""

    shares: tuple[Share, ...]
    total: float | None
    is_exempt: bool
    says: str


def quasi_static_m(frequency_hz: float) -> float:
    """Return wavelength/2pi in metres, below which criterion (C) is not available."""
    return SPEED_OF_LIGHT / frequency_hz / (2 * math.pi)


def threshold_erp_w(frequency_hz: float, distance_m: float, book: Book) -> float | None:
    """Return the ERP that is exempt by criterion (C), or None where it is not available.

    Not available nearer than wavelength/2pi or outside 0.3 MHz to 100 GHz; on a shared end
    of two rows the lower row holds, which is the stricter one.
    """
    row = book.table("exemption/erp").up_to(Quantity.of(frequency_hz, "Hz"))
    least = book.value("exemption/erp-least-frequency").quantity.number("Hz")
    if row is None or frequency_hz < least or distance_m < quasi_static_m(frequency_hz):
        return None
    f = frequency_hz / 1e6
    return float(row["factor"].number("1") * distance_m**2 * f ** row["power"].number("1"))


def threshold_power_w(frequency_hz: float, distance_m: float, book: Book) -> float | None:
    """Return the power that is exempt by criterion (B), or None where it is not available."""

    def number(name: str, unit: str) -> float:
        return book.value(f"exemption/{name}").quantity.number(unit)

    f, d = frequency_hz / 1e9, distance_m * 100
    if not (
        number("pth-least-frequency", "GHz") <= f <= number("pth-most-frequency", "GHz")
        and number("pth-least-distance", "cm") <= d <= number("pth-most-distance", "cm")
    ):
        return None
    rising = f < number("pth-break-frequency", "GHz")
    at_20_cm = number("pth-slope", "mW") * f if rising else number("pth-upper", "mW")
    exponent = -math.log10(number("pth-body", "mW") / (at_20_cm * math.sqrt(f)))
    share = min(1.0, d / number("pth-full-distance", "cm"))
    return float(at_20_cm * share**exponent / 1000)


def share(source: Radiator, book: Book) -> Share:
    """Return the criterion that serves a source best, and how much of it the source uses up."""
    if source.power_w <= book.value("exemption/one-milliwatt").quantity.number("W"):
        used = (book.value("exemption/one-milliwatt").cited,)
        ratio = source.power_w / book.value("exemption/one-milliwatt").quantity.number("W")
        return Share(source.name, "A", ratio, "No more than 1 mW.", used)
    found = [s for s in (_by_power(source, book), _by_erp(source, book)) if s is not None]
    if found:
        return min(found, key=lambda s: s.ratio or 0.0)
    least = quasi_static_m(source.frequency_hz)
    if source.distance_m < least:
        why = (
            f"No exemption: {source.distance_m:.2f} m is nearer than {least:.2f} m, "
            "a wavelength over 2 pi."
        )
    else:
        why = "No exemption: its effective radiated power or its row is not known."
    return Share(source.name, "", None, why)


def together(sources: Sequence[Radiator], book: Book) -> Exemption:
    """Return whether sources that operate in the same averaging time are exempt together.

    Individually exempt sources can fail together. Criterion (A) is not combined with others:
    beside other sources one of up to 1 mW must find its own share by (B) or (C).
    """
    limit = book.value("exemption/one-milliwatt").quantity.number("W")
    if sources and sum(s.power_w for s in sources) <= limit:
        shares = tuple(share(s, book) for s in sources)
        return Exemption(shares, None, True, f"All together no more than 1 mW. {NOT_COMPLIANT}")
    if len(sources) == 1:
        only = share(sources[0], book)
        return _said((only,), only.ratio)
    shares = tuple(_combinable(s, book) for s in sources)
    ratios = [s.ratio for s in shares]
    total = None if not ratios or None in ratios else sum(r for r in ratios if r is not None)
    return _said(shares, total)


def _said(shares: tuple[Share, ...], total: float | None) -> Exemption:
    if total is None:
        open_ones = ", ".join(s.name for s in shares if s.ratio is None) or "no emission"
        return Exemption(shares, None, False, f"Not exempt: {open_ones} has no exemption.")
    verdict = "Exempt from routine evaluation" if total <= 1 else "Not exempt"
    said = f"{verdict}: the shares sum to {total:.3g}, at most 1."
    return Exemption(shares, total, total <= 1, f"{said} {NOT_COMPLIANT}" if total <= 1 else said)


def _combinable(source: Radiator, book: Book) -> Share:
    found = [s for s in (_by_power(source, book), _by_erp(source, book)) if s is not None]
    return min(found, key=lambda s: s.ratio or 0.0) if found else _without(source)


def _without(source: Radiator) -> Share:
    return Share(source.name, "", None, "No criterion that can be combined applies to it.")


def _by_power(source: Radiator, book: Book) -> Share | None:
    allowed = threshold_power_w(source.frequency_hz, source.distance_m, book)
    if allowed is None or source.erp_w is None:
        return None
    counts = max(source.power_w, source.erp_w)
    sent, most = power(counts, "up"), power(allowed, "down")
    says = f"{sent}, at most {most} by the power threshold (unverified)."
    used = (book.value("exemption/pth-slope").cited, book.value("exemption/pth-body").cited)
    return Share(source.name, "B", counts / allowed, says, used)


def _by_erp(source: Radiator, book: Book) -> Share | None:
    allowed = threshold_erp_w(source.frequency_hz, source.distance_m, book)
    row = book.table("exemption/erp").up_to(Quantity.of(source.frequency_hz, "Hz"))
    if allowed is None or row is None or source.erp_w is None:
        return None
    erp, most = power(source.erp_w, "up"), power(allowed, "down")
    says = f"ERP {erp}, at most {most} at {source.distance_m:.2f} m."
    return Share(source.name, "C", source.erp_w / allowed, says, (row.cited,))
