"""The loads of a generator, and what they come to on each leg and receptacle."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from fractions import Fraction

from checklist.calculations.kinds import Cell, Given, Input
from checklist.quantities import Quantity

LEGS = ("1", "2")

LOADS = Input(
    "loads",
    "every load, one a line",
    example="fridge, 700 W, 2200 W, 1, R1, 20 A",
    columns=(
        Input("name", "what it is", example="fridge"),
        Input(
            "running",
            "its running watts; volts x amps where its plate gives them",
            "power",
            "700 W",
            also="apparent power",
            most="200 kW",
        ),
        Input(
            "starting",
            "its watts at the start; the running watts again where it has no motor",
            "power",
            "2200 W",
            also="apparent power",
            most="1000 kW",
        ),
        Input(
            "leg",
            "the leg it hangs on",
            example="1",
            choices={"1": "leg 1, or a 120 V set", "2": "leg 2", "both": "a 240 V load"},
        ),
        Input("receptacle", "the receptacle it hangs on", example="R1"),
        Input("breaker", "the breaker of that receptacle", "current", "20 A", most="400 A"),
    ),
)


@dataclass(frozen=True, slots=True)
class Load:
    """One line of the load list; None or an empty text is unknown."""

    name: str
    running: Quantity | None
    starting: Quantity | None
    leg: str
    receptacle: str
    breaker: Quantity | None

    @property
    def extra(self) -> Fraction:
        """Watts that its start takes above its running watts; zero where not known."""
        if self.running is None or self.starting is None:
            return Fraction(0)
        return self.starting.si - self.running.si


def loads_of(inputs: Given) -> tuple[Load, ...]:
    """Return the typed loads in their order."""
    return tuple(
        Load(
            _word(row["name"]) or f"load {number}",
            _quantity(row["running"]),
            _quantity(row["starting"]),
            _word(row["leg"]),
            _word(row["receptacle"]),
            _quantity(row["breaker"]),
        )
        for number, row in enumerate(inputs.rows["loads"], start=1)
    )


def watts(loads: Iterable[Load]) -> Fraction:
    """Return the sum of the running watts that are known."""
    return sum((load.running.si for load in loads if load.running is not None), Fraction(0))


def leg_watts(loads: Iterable[Load], leg: str) -> Fraction:
    """Return the running watts on one leg: its own loads, and half of each 240 V load."""
    listed = tuple(loads)
    return (
        watts(x for x in listed if x.leg == leg) + watts(x for x in listed if x.leg == "both") / 2
    )


def leg_extra(loads: Iterable[Load], leg: str) -> Fraction:
    """Return the watts that the largest start adds on one leg."""
    return max(
        (load.extra / 2 if load.leg == "both" else load.extra
         for load in loads if load.leg in {leg, "both"}),
        default=Fraction(0),
    )  # fmt: skip


def by_receptacle(loads: Iterable[Load]) -> dict[str, tuple[Load, ...]]:
    """Return the loads of each receptacle that is named, without regard to case."""
    grouped: dict[str, list[Load]] = {}
    for load in loads:
        if load.receptacle:
            grouped.setdefault(load.receptacle.casefold(), []).append(load)
    return {group[0].receptacle: tuple(group) for group in grouped.values()}


def _word(cell: Cell) -> str:
    return cell if isinstance(cell, str) else ""


def _quantity(cell: Cell) -> Quantity | None:
    return cell if isinstance(cell, Quantity) else None
