"""A remedy that was found, as a step of a variant: the same change in the words of the file."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from decimal import Decimal

from checklist.calculations.exposure import Remedies, Remedy
from checklist.calculations.exposure.model import Antenna, Emission, OnTime, Point, Scene, Wires
from checklist.calculations.exposure.saying import percent
from checklist.calculations.exposure.variants import middle
from checklist.quantities import Quantity, both, parse_quantity
from checklist.quantities.quantity import plain
from checklist.sessions.stations.exposuretext import NO_REMEDY
from checklist.sessions.variants.positions import (
    height_m,
    metres_of,
    moved_to,
    raised_by,
    turned_by,
)
from checklist.sessions.variants.steps import turn_said
from checklist.sessions.variants.values import values_of
from checklist.sessions.variants.variant import Change, Step, Variant, VariantRefused
from checklist.strictyaml import Path

_HEADING = ","
"""A name in the file has no comma; one that turns is told from its headings by what follows."""

_FINE_DEG = 1e-6
_WRITTEN_M = 0.001
"""Coordinates are written in whole millimetres: a place is moved one more, never one less."""


def step_of(variant: Variant, found: Remedies, remedy: Remedy) -> Step:
    """Return the step that takes a remedy of a place, sought for this variant.

    Raises VariantRefused where the remedy is none that can be written into the file here.
    """
    makers: dict[str, Callable[[Variant, Remedies, Remedy], Step]] = {
        "less power": _power,
        "another mode": _mode,
        "shorter overs": _overs,
        "a higher antenna": _higher,
        "people kept out": _kept_out,
        "turned away": _turned,
        "locked to a sector": _locked,
        "a lower gain": _gain,
    }
    maker = makers.get(remedy.kind)
    if maker is None:
        raise VariantRefused(
            f"“{remedy.kind}” cannot be tried from here", right="Change the station file by hand."
        )
    return maker(variant, found, remedy)


def _power(variant: Variant, found: Remedies, remedy: Remedy) -> Step:
    return _typed(variant, _in_file(found.emission), "power", _plainly(remedy.amount, "W"))


def _mode(variant: Variant, found: Remedies, remedy: Remedy) -> Step:
    emission = _emission(remedy.scene, found.emission)
    return _typed(variant, _in_file(found.emission), "mode", emission.mode)


def _overs(variant: Variant, found: Remedies, remedy: Remedy) -> Step:
    timing = _emission(remedy.scene, found.emission).timing
    if not isinstance(timing, OnTime):
        raise VariantRefused("these overs cannot be tried from here")
    minutes, seconds = divmod(timing.window_s, 60)
    window = _plainly(minutes, "min") if not seconds else _plainly(timing.window_s, "s")
    written = f"{_plainly(timing.on_s, 's')} in {window}"
    return _typed(variant, _in_file(found.emission), "overs", written)


def _higher(variant: Variant, found: Remedies, remedy: Remedy) -> Step:
    name = _emission(variant.described.scene, found.emission).antenna.name
    antenna = variant.data["antennas"][name]
    before = height_m(antenna, name)
    by = both(Quantity.of(remedy.amount, "m"))
    return Step(
        f"{name}: height {both(Quantity.of(round(before + remedy.amount, 3), 'm'))} "
        f"instead of {both(Quantity.of(round(before, 3), 'm'))}",
        f"{by} higher",
        raised_by(antenna, name, remedy.amount),
    )


def _kept_out(variant: Variant, found: Remedies, remedy: Remedy) -> Step:
    there = next(place for place in remedy.scene.places if place.name == found.place)
    position = variant.data["places"][found.place]["at"]
    x, y, _ = metres_of(position)
    dx, dy = there.x_m - x, there.y_m - y
    metres = math.hypot(dx, dy)
    on = 1 + _WRITTEN_M / metres if metres else 1.0
    by = both(Quantity.of(remedy.amount, "m"), side="up")
    return Step(
        f"{found.place}: people kept {by} farther away, by a barrier and signs",
        f"{by} farther away, kept by a barrier",
        moved_to(("places", found.place, "at"), position, x + on * dx, y + on * dy),
    )


def _turned(variant: Variant, found: Remedies, remedy: Remedy) -> Step:
    before = _emission(variant.described.scene, found.emission).antenna
    after = _emission(remedy.scene, found.emission).antenna
    left, (x, y, _) = _angle_deg(before, after), middle(before)
    return Step(
        f"{before.name}: {turn_said(left)}, and held there",
        turn_said(left),
        turned_by(variant.data["antennas"][before.name], before.name, left, (x, y)),
    )


def _locked(variant: Variant, found: Remedies, remedy: Remedy) -> Step:
    """Return the step that locks a rotator to the bearings that are left in the remedy's scene."""
    radiator = _emission(variant.described.scene, found.emission).antenna
    name = radiator.name
    left = {e.bearing_deg for e in remedy.scene.emissions if e.antenna.name == name}
    first, last = _run(sorted(b for b in left if b is not None), remedy.amount)
    if first != last:
        return _typed(variant, name, "sector", f"{first:g} deg to {last:g} deg")
    # A sector of one bearing would be read as the whole circle: it is an antenna that is fixed.
    antenna = variant.data["antennas"][name]
    here: Path = ("antennas", name)
    before = parse_quantity(antenna["bearing"], "angle").number("deg")
    x, y, _ = middle(radiator)
    fixed = {key: one for key, one in antenna.items() if key != "sector"}
    return Step(
        f"{name}: kept at the bearing of {first:g} deg, and locked there",
        "it turns no more",
        (
            *turned_by(fixed, name, (before - first) % 360, (x, y)),
            Change((*here, "turns"), "no"),
            *((Change((*here, "sector"), None),) if "sector" in antenna else ()),
        ),
    )


def _run(bearings: Sequence[float], width_deg: float) -> tuple[float, float]:
    """Return the first and last of bearings that lie within a width, clockwise."""
    for first in bearings:
        if all((one - first) % 360 <= width_deg + _FINE_DEG for one in bearings):
            return first, max(bearings, key=lambda one: (one - first) % 360)
    raise VariantRefused("this sector cannot be tried from here")


def _gain(variant: Variant, found: Remedies, remedy: Remedy) -> Step:
    name = _emission(variant.described.scene, found.emission).antenna.name
    return _typed(variant, name, "gain", _plainly(remedy.amount, "dBi"))


def _typed(variant: Variant, name: str, word: str, text: str) -> Step:
    value = next(v for v in values_of(variant) if (v.of, v.word) == (name, word))
    return value.taken(text)


def _emission(scene: Scene, name: str) -> Emission:
    return next(emission for emission in scene.emissions if emission.name == name)


def _in_file(name: str) -> str:
    """Return the name in the file of an emission that counts at several headings."""
    return name.partition(_HEADING)[0]


def _angle_deg(before: Antenna, after: Antenna) -> float:
    """Return by how much an antenna was turned to the left, 0 to 360."""
    if not (isinstance(before, Wires) and isinstance(after, Wires)):
        azimuths = [getattr(antenna, "azimuth_deg", None) or 0.0 for antenna in (before, after)]
        return (azimuths[1] - azimuths[0]) % 360
    x, y, _ = middle(before)
    ends = [_ends(before), _ends(after)]
    far = max(range(len(ends[0])), key=lambda i: math.dist(ends[0][i][:2], (x, y)))
    angles = [math.degrees(math.atan2(e[far][1] - y, e[far][0] - x)) for e in ends]
    return (angles[1] - angles[0]) % 360


def _ends(antenna: Wires) -> list[Point]:
    return [p for wire in antenna.wires for p in (wire.start, wire.end)]


def _plainly(number: float, unit: str) -> str:
    """Return a number without an exponent, with its unit."""
    return f"{plain(Decimal(f'{number:.9g}'))} {unit}"


def remedy_rows(found: Sequence[Remedies]) -> list[tuple[str, tuple[Remedies, Remedy] | None]]:
    """Return the remedies of each place as lines, each that can be tried with its number first."""
    if not found:
        return [(line, None) for line in NO_REMEDY]
    rows: list[tuple[str, tuple[Remedies, Remedy] | None]] = []
    number = 0
    for place in found:
        aim = percent(place.share)
        alone = f"{place.place}: each of these alone brings it to {aim} of the limit or less"
        none = f"{place.place}: no single change was found that brings it to {aim} of the limit"
        rows += [("", None), (alone if place.found else none, None)]
        for remedy in place.found:
            number += 1
            said = f"{number}  {remedy.says.rstrip('.')}. Then {percent(remedy.fraction)}."
            rows.append((said, (place, remedy)))
        rows += [(f"   {said}", None) for said in place.not_enough]
    return rows[1:]
