"""What would bring a place to a share of the limit: how far each remedy must go alone."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass, field, replace
from functools import partial

from checklist.calculations.exposure.codec import NOT_KEPT
from checklist.calculations.exposure.figures import Figures, figures
from checklist.calculations.exposure.limits import LimitSet, NotCovered
from checklist.calculations.exposure.model import (
    ByGain,
    Dish,
    Emission,
    OnTime,
    Place,
    Scene,
)
from checklist.calculations.exposure.places import Total, judge, tier_of
from checklist.calculations.exposure.power import PowerRefused, on_fraction, on_time_counts
from checklist.calculations.exposure.search import first_height_m, first_step_m, is_met
from checklist.calculations.exposure.turning import good_arcs, good_sectors
from checklist.calculations.exposure.variants import (
    middle,
    moved,
    raised,
    with_antenna,
    with_emission,
    with_power,
    with_timing,
)
from checklist.rulebook import Book

_HALVINGS = 24
_LEAST_SHARE = 1e-6
_NO_SCENE = Scene((), ())


@dataclass(frozen=True, slots=True)
class Remedy:
    """One change that alone brings a place to the share of the limit asked for."""

    kind: str
    says: str
    amount: float
    """How far: watts, a duty factor, seconds, metres, dBi or degrees, by `unit`."""

    unit: str
    fraction: float
    """What the same engine then finds at the place."""

    scene: Scene = field(default=_NO_SCENE, compare=False, metadata=NOT_KEPT)
    """The station with the remedy applied; a moved place is in it too. Empty when read back."""


@dataclass(frozen=True, slots=True)
class Remedies:
    """The remedies for one place, and the ones that do not suffice alone."""

    place: str
    share: float
    emission: str
    """The one that decides, which power, mode, overs, gain and direction act on."""

    found: tuple[Remedy, ...]
    not_enough: tuple[str, ...]


def remedies(
    scene: Scene, place: Place, limits: LimitSet, book: Book, share: float = 1.0
) -> Remedies:
    """Return every remedy that alone brings the place to `share` of the limit or below.

    Power, mode, overs and gain act on the emission that decides and cannot cure what is not
    shown; distance and height can, where they bring the place into a method's domain.
    """
    work = _Work(scene, place, limits, figures(book), share)
    emission = work.emission
    if is_met(work.judged(scene), share):
        return Remedies(place.name, share, "", (), ("It is met as things are.",))
    if emission is None:
        return Remedies(place.name, share, "", (), ("No emission can be named as deciding.",))
    tries: tuple[tuple[str, Callable[[Emission], Remedy | None]], ...] = (
        ("less power", work.power),
        ("another mode", work.mode),
        ("shorter overs", work.overs),
        ("a higher antenna", work.height),
        ("more distance, people kept out", work.distance),
        ("turning it away or locking the sector", work.turn),
        ("a lower gain", work.gain),
    )
    found, missing = [], []
    for name, attempt in tries:
        remedy = attempt(emission)
        if remedy:
            found.append(remedy)
        else:
            missing.append(f"Alone not enough, or not possible here: {name}.")
    return Remedies(place.name, share, emission.name, tuple(found), tuple(missing))


@dataclass(frozen=True, slots=True)
class _Work:
    scene: Scene
    place: Place
    limits: LimitSet
    figures: Figures
    share: float

    @property
    def now(self) -> Total:
        return self.judged(self.scene)

    @property
    def emission(self) -> Emission | None:
        total = self.now
        deciding = total.deciding
        refused = next((c for c in total.contributions if c.refused), None)
        name = deciding.emission if deciding else (refused.emission if refused else "")
        return next((e for e in self.scene.emissions if e.name == name), None)

    def judged(self, scene: Scene, place: Place | None = None) -> Total:
        where = place or self.place
        return judge(scene.emissions, where, scene.ground, self.limits, self.figures)

    def power(self, emission: Emission) -> Remedy | None:
        if emission.power_w is None:
            return None
        factor = self._most(lambda x: self._changed(emission, lambda e: with_power(e, x)))
        if factor is None:
            return None
        watts = _floor(emission.power_w * factor)
        scene = self._changed(emission, lambda e: replace(e, power_w=watts))
        said = f"{emission.written_name}: at most {watts:g} W instead of {emission.power_w:g} W"
        return self._remedy("less power", said, watts, "W", scene)

    def mode(self, emission: Emission) -> Remedy | None:
        for mode, duty in sorted(self.figures.duty.items(), key=lambda row: -row[1].number):
            scene = self._changed(emission, partial(replace, mode=mode, own_duty=None))
            try:
                suffices = mode != emission.mode and is_met(self.judged(scene), self.share)
            except PowerRefused:  # a carrier power says nothing for this mode
                continue
            if suffices:
                name = emission.written_name
                said = f"{name}: {mode}, duty factor {duty.number:.0%}, or a lower one"
                return self._remedy("another mode", said, duty.number, "", scene)
        return None

    def overs(self, emission: Emission) -> Remedy | None:
        tier, _ = tier_of(self.place)
        try:
            rows = self.limits.at(emission.frequency_hz, tier)
        except NotCovered:
            return None
        times = [row.averaging_s for row in rows if row.averaging_s]
        if not times or not on_time_counts(emission, tier):
            return None
        window = min(times)
        now = on_fraction(emission.timing, window)

        def shorter(factor: float) -> Scene:
            timing = OnTime(max(factor * now * window, _LEAST_SHARE), window)
            return self._changed(emission, lambda e: with_timing(e, timing))

        factor = self._most(shorter)
        if factor is None:
            return None
        seconds = _floor(factor * now * window)
        scene = self._changed(emission, lambda e: with_timing(e, OnTime(seconds, window)))
        said = (
            f"{emission.written_name}: at most {seconds:g} s on the air in any "
            f"{window / 60:g} min, instead of {now * window:.0f} s"
        )
        return self._remedy("shorter overs", said, seconds, "s", scene)

    def height(self, emission: Emission) -> Remedy | None:
        metres = first_height_m(
            self.scene, self.place, self.now, self.limits, self.figures, self.share
        )
        if metres is None:
            return None
        name = emission.antenna.name
        scene = with_antenna(self.scene, name, lambda a: raised(a, metres))
        said = f"{name}: {metres:g} m higher"
        return self._remedy("a higher antenna", said, metres, "m", scene)

    def distance(self, emission: Emission) -> Remedy | None:
        metres = first_step_m(
            self.scene, self.place, self.now, self.limits, self.figures, self.share
        )
        if metres is None:
            return None
        there = moved(self.place, middle(emission.antenna), metres)
        places = tuple(there if p == self.place else p for p in self.scene.places)
        scene = replace(self.scene, places=places)
        said = (
            f"{self.place.name}: {_ceil(metres):g} m farther from {emission.antenna.name}, with a "
            "barrier that somebody put there and signs, so that nobody comes nearer."
        )
        fraction = self.judged(scene, there).fraction
        return Remedy("people kept out", said, _ceil(metres), "m", fraction or 0.0, scene)

    def turn(self, emission: Emission) -> Remedy | None:
        if emission.heading_of:
            return self._sector(emission)
        arcs = good_arcs(self.scene, self.place, emission, self.limits, self.figures, self.share)
        if not arcs:
            return None
        first, last, scene = max(arcs, key=lambda arc: arc[1] - arc[0])
        said = (
            f"{emission.antenna.name}: turned by {first:g} to {last:g} degrees to the left of "
            "where it points now, and the rotator locked to that sector"
        )
        return self._remedy("turned away", said, last - first, "deg", scene)

    def _sector(self, emission: Emission) -> Remedy | None:
        sectors = good_sectors(self.scene, emission, self.now, self.share)
        if not sectors:
            return None
        first, last, scene = max(sectors, key=lambda one: (one[1] - one[0]) % 360)
        name = emission.antenna.name
        between = f"from {first:g} to {last:g} degrees, clockwise"
        said = (
            f"{name}: turned only to bearings {between}, and the rotator locked to that sector"
            if first != last
            else f"{name}: kept at the bearing of {first:g} degrees, and locked there"
        )
        return self._remedy("locked to a sector", said, (last - first) % 360, "deg", scene)

    def gain(self, emission: Emission) -> Remedy | None:
        antenna = emission.antenna
        if not isinstance(antenna, ByGain | Dish) or antenna.gain_dbi is None:
            return None
        now = antenna.gain_dbi

        def lower(factor: float) -> Scene:
            gain = now + 10 * math.log10(factor)
            return with_antenna(self.scene, antenna.name, lambda _: replace(antenna, gain_dbi=gain))

        factor = self._most(lower)
        if factor is None:
            return None
        gain = math.floor((now + 10 * math.log10(factor)) * 10) / 10
        changed = replace(antenna, gain_dbi=gain)
        scene = with_antenna(self.scene, antenna.name, lambda _: changed)
        said = f"{antenna.name}: a gain of at most {gain:g} dBi instead of {now:g} dBi"
        return self._remedy("a lower gain", said, gain, "dBi", scene)

    def _changed(self, emission: Emission, change: Callable[[Emission], Emission]) -> Scene:
        return with_emission(self.scene, emission.name, change)

    def _most(self, scene_with: Callable[[float], Scene]) -> float | None:
        """Return the largest factor below 1 that meets the share; None if hardly any does."""
        low, high = _LEAST_SHARE, 1.0
        if not is_met(self.judged(scene_with(low)), self.share):
            return None
        for _ in range(_HALVINGS):
            middle_factor = math.sqrt(low * high)
            if is_met(self.judged(scene_with(middle_factor)), self.share):
                low = middle_factor
            else:
                high = middle_factor
        return low

    def _remedy(
        self, kind: str, says: str, amount: float, unit: str, scene: Scene
    ) -> Remedy | None:
        """Return the remedy if the engine, asked again, finds that it suffices."""
        total = self.judged(scene)
        if not is_met(total, self.share):
            return None
        return Remedy(kind, f"{says}.", amount, unit, total.fraction or 0.0, scene)


def _floor(value: float) -> float:
    """Return a number rounded down to three digits: a bound that is shown must hold."""
    scale = 10.0 ** (2 - math.floor(math.log10(value)))
    return math.floor(value * scale) / scale


def _ceil(metres: float) -> float:
    return math.ceil(metres * 100) / 100
