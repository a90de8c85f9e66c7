"""A mast from above: how far it and what it carries can fall, and the power line beside it."""

from __future__ import annotations

from checklist.calculations.kinds import Finding, Given
from checklist.pictures.finished import caption, outputs
from checklist.pictures.rings import Ring, Rings
from checklist.quantities import both

_PARTS = ("mast-height", "above-top", "sideways-reach")
REACH, MULTIPLE, MAST = "o", "x", "."


def fall_circle(finding: Finding, given: Given) -> Rings | None:
    """Return the circles that a line must stay out of, and the line where it was measured.

    None where no part of what can fall is known.
    """
    made = outputs(finding)
    mast = given.quantity("mast-height")
    if "reach" not in made or not any(given.quantity(name) for name in _PARTS):
        return None
    unit = made["reach"].quantity.unit.symbol
    rings = [] if mast is None else [
        Ring(mast.number(unit), MAST, f"the mast alone, {both(mast)}")
    ]  # fmt: skip
    for name, mark in (("height-multiple", MULTIPLE), ("reach", REACH)):
        quantity = made[name].quantity
        rings.append(
            Ring(quantity.number(unit), mark, f"{made[name].meaning}, {both(quantity, side='up')}")
        )
    distance = given.quantity("ground-distance")
    if distance is None:
        line = "the power line, whose distance on the ground is unknown"
    else:
        line = f"the power line, measured on the ground {both(distance)} from the foot"
    return Rings(
        "How far the mast can fall, from above",
        unit,
        tuple(rings),
        None if distance is None else distance.number(unit),
        line,
        (*_unknown(given),
         "Drawn to the right of the foot, wherever it runs; its nearest point counts.",
         *caption(finding)),
    )  # fmt: skip


def _unknown(given: Given) -> tuple[str, ...]:
    names = [name for name in (*_PARTS, "line-voltage") if given.quantity(name) is None]
    if not names:
        return ()
    return (f"Unknown: {', '.join(names)}. The circles are larger than drawn.",)
