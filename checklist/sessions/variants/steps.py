"""The steps that a typed value makes: what is changed in the station file, said with its cost."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

from checklist.calculations.exposure.model import Antenna
from checklist.calculations.exposure.variants import middle
from checklist.plaintext import shown
from checklist.quantities import Quantity, both, parse_quantity, rounded
from checklist.sessions.variants.positions import bearing, height_m, raised_by, turned_by
from checklist.sessions.variants.variant import Change, Step, VariantRefused
from checklist.strictyaml import Path

NOT_GIVEN = "not given"
BARRIER = ", kept by a barrier"
REACH = "; look again at what is within reach"
"""Said where conductors and people come nearer: what was found within reach holds no more."""

DIMENSIONS = {
    "power": "power", "duty": "ratio", "gain": "gain", "length": "length", "swr": "ratio",
    "height": "length", "heading": "angle", "distance": "length", "floor": "length",
}  # fmt: skip


@dataclass(frozen=True, slots=True)
class Value:
    """One value of one entry of the station, which can be tried at another."""

    of: str
    """The entry's name."""

    word: str
    means: str
    now: str
    """As it stands, in both habits' units."""

    example: str
    taken: Callable[[str], Step]
    """Makes the step of a typed text; raises StandclearError in one sentence."""

    @property
    def where(self) -> str:
        """How a refusal calls it."""
        return f"{self.of}, {self.word}"


def measured(
    here: Path, word: str, key: str, means: str, before: str | None, example: str,
    costs: Callable[[Quantity, Quantity], str],
) -> Value:  # fmt: skip
    """Return a value that stands under one key of the file; `costs` says what a step costs."""
    name, dimension = str(here[-1]), DIMENSIONS[word]
    known = None if before is None else parse_quantity(before, dimension)

    def taken(text: str) -> Step:
        now = parse_quantity(text, dimension, where=f"{name}, {word}")
        cost = costs(known, now) if known is not None else "it was not given before"
        before = said_of(known) if known is not None else None
        return Step(
            said(name, word, said_of(now), before), cost, (Change((*here, key), now.typed),)
        )

    stands = said_of(known) if known is not None else NOT_GIVEN
    return Value(name, word, means, stands, example, taken)


def said_of(quantity: Quantity) -> str:
    """Return a quantity in both habits' units; of power and ratios everybody has one habit."""
    if quantity.unit.dimension in {"length", "gain"}:
        return both(quantity)
    return rounded(quantity)


def height(name: str, antenna: Any, text: str) -> Step:
    """Return the step that puts the whole antenna at a height."""
    metres, before = metres_in(text, f"{name}, height"), height_m(antenna, name)
    return Step(
        said(name, "height", lengths(metres), lengths(before)),
        moved(metres - before, "higher", "lower") + ("" if metres >= before else REACH),
        raised_by(antenna, name, metres - before),
    )


def heading(name: str, antenna: Any, radiator: Antenna, text: str) -> Step:
    """Return the step that turns the whole antenna, and its sector with it, to a bearing."""
    wanted = parse_quantity(text, "angle", where=f"{name}, heading").number("deg")
    if not 0 <= wanted <= 360:
        raise VariantRefused(
            f"“{shown(text)}” is no bearing", where=f"{name}, heading", right="Give 0 to 360 deg."
        )
    before = parse_quantity(antenna["bearing"], "angle").number("deg")
    left = (before - wanted) % 360
    x, y, _ = middle(radiator)
    return Step(
        said(name, "heading", bearing(antenna["bearing"], left), antenna["bearing"]),
        turn_said(left),
        turned_by(antenna, name, left, (x, y)),
    )


def turn_said(left_deg: float) -> str:
    """Return by how much and to which side something is turned, the shorter way round."""
    left = left_deg % 360
    return f"turned {left:.3g} deg to the left" if left <= 180 else (
        f"turned {360 - left:.3g} deg to the right"
    )  # fmt: skip


def sector(name: str, antenna: Any, text: str) -> Step:
    """Return the step that locks a rotator between two bearings, typed as `0 deg to 90 deg`."""
    ends = [part.strip() for part in text.split(" to ")]
    if len(ends) != 2:
        raise VariantRefused(
            f"“{shown(text[:40])}” is no sector", where=f"{name}, sector",
            right="Give two bearings, clockwise, as 0 deg to 90 deg.",
        )  # fmt: skip
    degrees = [parse_quantity(end, "angle", where=f"{name}, sector").number("deg") for end in ends]
    before = " to ".join(antenna["sector"]) if "sector" in antenna else None
    return Step(
        said(name, "sector", " to ".join(ends), before),
        f"{(degrees[1] - degrees[0]) % 360 or 360.0:.3g} deg left to turn in",
        (Change(("antennas", name, "sector"), ends),),
    )


def overs(here: Path, emission: Any, text: str) -> Step:
    """Return the step to a longest time on the air, typed as `2 min in 6 min`."""
    name = str(here[-1])
    on, _, window = (part.strip() for part in text.partition(" in "))
    if not window:
        raise VariantRefused(
            f"“{shown(text[:40])}” has no time within which it counts", where=f"{name}, overs",
            right="Give two times, as 2 min in 6 min.",
        )  # fmt: skip
    times = [parse_quantity(one, "time", where=f"{name}, overs") for one in (on, window)]
    return Step(
        said(name, "at most", f"{on} in any {window}", overs_now(emission["on-air"])),
        f"on the air {rounded(Quantity.of(times[0].si / times[1].si * 100, '%'), side='up')} "
        "of that time at most" if times[1].si else "",
        (Change((*here, "on-air"), {"kind": "on-time", "window": window, "on": on}),),
    )  # fmt: skip


def overs_now(on_air: Any) -> str:
    """Return in words when an emission is on the air."""
    match on_air["kind"]:
        case "pattern":
            return f"{on_air['on']} on, {on_air['off']} off"
        case "on-time":
            return f"{on_air['on']} in any {on_air['window']}"
        case "log":
            return "as logged"
        case _:
            return "without a pause"


def said(name: str, what: str, now: str, before: str | None) -> str:
    """Return what a step does, beside what stood there."""
    return f"{name}: {what} {now}" + (f" instead of {before}" if before else "")


def metres_in(text: str, where: str) -> float:
    """Return a typed length of zero or more in metres."""
    quantity = parse_quantity(text, "length", where=where)
    if quantity.si < 0:
        raise VariantRefused(f"“{quantity}” is below zero", where=where, right="Give 0 m or more.")
    return quantity.number("m")


def lengths(metres: float) -> str:
    """Return a length in metres and feet; a centimetre is as fine as anybody measures here."""
    return both(Quantity.of(round(metres, 2) + 0.0, "m"))


def moved(metres: float, more: str, less: str) -> str:
    """Return by how much something is moved, and which way."""
    return f"{lengths(abs(metres))} {more if metres >= 0 else less}"


def levels(before: Quantity, now: Quantity, what: str, unit: str) -> str:
    """Return a ratio in decibels and the difference itself."""
    if not (before.si > 0 and now.si > 0):
        return f"no {what}"
    by = Quantity.of(abs(before.to(unit) - now.to(unit)), unit)
    ratio_db = 10 * math.log10(float(now.si / before.si))
    return f"{decibels(ratio_db, what)} ({rounded(by)})"


def decibels(db: float, what: str) -> str:
    """Return decibels as more or less of something."""
    return f"{abs(db):.1f} dB {'more' if db > 0 else 'less'} {what}"


def onward(dx: float, dy: float, metres: float) -> tuple[float, float]:
    """Return a vector of a length along (dx, dy); along the east where there is no direction."""
    length = math.hypot(dx, dy)
    x, y = (dx / length, dy / length) if length > 1e-6 else (1.0, 0.0)
    return metres * x, metres * y
