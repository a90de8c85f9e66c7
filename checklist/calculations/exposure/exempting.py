"""The sources of a station as the exemption rule of 47 CFR 1.1307(b)(3) sees them."""

from __future__ import annotations

from dataclasses import replace

from checklist.calculations.exposure.comparison import stands_on_ground
from checklist.calculations.exposure.exempt import Exemption, Radiator, together
from checklist.calculations.exposure.figures import Figures
from checklist.calculations.exposure.geometry import antenna_distance_m
from checklist.calculations.exposure.limits import LimitSet
from checklist.calculations.exposure.model import ByGain, Carried, Dish, Emission, Ground, Scene
from checklist.calculations.exposure.power import on_fraction, power_at_antenna
from checklist.calculations.exposure.wires import problems
from checklist.rulebook import Book

UNITED_STATES = "fcc-1310"


def exemption(scene: Scene, limits: LimitSet, figures: Figures, book: Book) -> Exemption | None:
    """Return whether all emissions together are exempt; None under other limits than 47 CFR.

    The distance of each is to the nearest of the places that were given.
    """
    if limits.name != UNITED_STATES or not scene.places or not scene.emissions:
        return None
    window = book.value("exemption/averaging").quantity.number("s")
    found = {e.name: _radiator(e, scene, figures, window) for e in scene.emissions}
    known = {name: r for name, r in found.items() if r is not None}
    if len(known) < len(found):
        says = "Not exempt: the power or the size of an antenna is unknown."
        return Exemption((), None, is_exempt=False, says=says)
    nearest: dict[str, Radiator] = {}
    for emission in scene.emissions:
        # A beam has one heading at a time: the one that comes nearest to somebody stands for it.
        radiator, name = known[emission.name], emission.written_name
        if name not in nearest or radiator.distance_m < nearest[name].distance_m:
            nearest[name] = replace(radiator, name=name)
    return together(list(nearest.values()), book)


def _radiator(
    emission: Emission, scene: Scene, figures: Figures, window_s: float
) -> Radiator | None:
    power = power_at_antenna(emission, figures)
    distances = [antenna_distance_m(emission.antenna, p) for p in scene.places]
    if power is None or None in distances:
        return None
    fixed = emission.carried is Carried.FIXED
    watts = power.always_on_w * (on_fraction(emission.timing, window_s) if fixed else 1.0)
    gain = _greatest_gain(emission)
    erp = None if gain is None else watts * gain / figures["dipole_gain"]
    nearest = min(d for d in distances if d is not None)
    return Radiator(emission.name, emission.frequency_hz, nearest, watts, erp)


def _greatest_gain(emission: Emission) -> float | None:
    antenna = emission.antenna
    if isinstance(antenna, ByGain | Dish):
        return None if antenna.gain_dbi is None else float(10 ** (antenna.gain_dbi / 10))
    # numpy costs more to import than a station without wires takes to evaluate.
    from checklist.calculations.exposure import near

    standing = bool(antenna.wires) and stands_on_ground(antenna)
    ground = Ground.PERFECT if standing else Ground.NONE
    if any(problems(antenna, emission.frequency_hz, ground)):
        return None
    return near.greatest_gain(antenna, emission.frequency_hz, over_ground=standing)
