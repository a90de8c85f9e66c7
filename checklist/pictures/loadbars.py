"""The loads of a generator, stacked against what it carries and what it starts."""

from __future__ import annotations

from checklist.calculations.electrical.loads import Load, loads_of
from checklist.calculations.kinds import Finding, Given
from checklist.pictures.axes import Axis
from checklist.pictures.bars import Bar, Bars, Mark, Piece
from checklist.pictures.finished import caption, outputs
from checklist.pictures.plots import letter
from checklist.quantities import both

_ROOM = 1.08
START = "*"
"""The letter of what the largest start takes on top."""


def load_bars(finding: Finding, given: Given) -> Bars | None:
    """Return two bars, all running and the largest start on top; None without a known load."""
    loads = loads_of(given)
    made = outputs(finding)
    if "running" not in made or "peak" not in made or not any(x.running for x in loads):
        return None
    pieces, at = _stacked(loads)
    starting = max(loads, key=lambda load: load.extra)
    peak = made["peak"].quantity.number("W")
    on_top = (Piece(START, at, peak),) if peak > at else ()
    marks = {name: _mark(finding, name) for name in ("running-rating", "surge-rating")}
    largest = max([at, peak, *(mark.value for mark in marks.values() if mark)])
    legend = [(letter(i), _says(load)) for i, load in enumerate(loads)]
    if on_top:
        legend.append((START, f"what the start of {starting.name} takes on top of its running"))
    return Bars(
        "Loads on the generator",
        Axis("power, W", 0.0, largest * _ROOM),
        (
            Bar("All loads running, against the running rating", pieces,
                marks["running-rating"], both(made["running"].quantity, side="up")),
            Bar("The largest start on top, against the starting (surge) rating",
                (*pieces, *on_top), marks["surge-rating"],
                both(made["peak"].quantity, side="up")),
        ),
        tuple(legend),
        ("Legs, breakers and receptacles are not drawn; the sentences below count them.",
         *caption(finding)),
    )  # fmt: skip


def _stacked(loads: tuple[Load, ...]) -> tuple[tuple[Piece, ...], float]:
    """Return the running watts of each load behind those of the one before, and their end."""
    pieces, at = [], 0.0
    for number, load in enumerate(loads):
        if load.running is not None:
            end = at + float(load.running.si)
            pieces.append(Piece(letter(number), at, end))
            at = end
    return tuple(pieces), at


def _mark(finding: Finding, name: str) -> Mark | None:
    output = outputs(finding).get(name)
    if output is None:
        return None
    said = both(output.quantity, side=output.rounds)
    return Mark(output.quantity.number("W"), f"{output.meaning}, {said}")


def _says(load: Load) -> str:
    running = load.running.text() if load.running is not None else "unknown"
    starting = load.starting.text() if load.starting is not None else "unknown"
    drawn = "" if load.running is not None else " (not drawn)"
    return f"{load.name}: running {running}, starting {starting}{drawn}"
