"""The nodes of the bonding network as they stand in the file: what is bonded, or should be."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from checklist.calculations.bonding.network import Kind, Node
from checklist.calculations.bonding.network_entries import NOTHING
from checklist.quantities import Quantity
from checklist.station.records import Kinds, maybe, needed
from checklist.station.shapes import (
    Measure,
    Naming,
    OneOf,
    Whole,
    Words,
    YesNo,
)

NODES = Naming(("nodes",))
_ROD = Measure("length", most="100 m")


@dataclass(frozen=True, slots=True, kw_only=True)
class Service:
    """The service equipment of the building."""

    name: str
    is_: str = needed(Words(), "what it is, and where")


@dataclass(frozen=True, slots=True, kw_only=True)
class Electrode:
    """A grounding electrode."""

    name: str
    is_: str | None = maybe(Words(), "what it is, and where")
    electrode: str | None = maybe(
        OneOf(("rod", "plate", "ring", "concrete-encased", "water pipe", "other")), "its kind"
    )
    length: Quantity | None = maybe(_ROD, "of a rod, the length in contact with soil")
    nearest_rod: Quantity | None = maybe(_ROD, "of a rod, how far the nearest other rod is")
    resistance: Quantity | None = maybe(
        Measure("resistance", most="1 Mohm"), "what was measured, by itself, to remote earth"
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class Bus:
    """A ground bus or intersystem bonding termination."""

    name: str
    is_: str | None = maybe(Words(), "what it is, and where")
    terminals: int | None = maybe(Whole(1, 200), "how many terminals it has")
    lines_enter: bool | None = maybe(YesNo(), "whether the lines enter the building right there")


@dataclass(frozen=True, slots=True, kw_only=True)
class Metal:
    """An entry plate, a tower leg or mast, equipment, or other metal."""

    name: str
    is_: str | None = maybe(Words(), "what it is, and where")


class EntryPlate(Metal):
    """The plate at which the lines enter."""

    __slots__ = ()


class Tower(Metal):
    """A tower leg, a mast or another metal support."""

    __slots__ = ()


class Equipment(Metal):
    """A transmitter, amplifier or other equipment with a metal case."""

    __slots__ = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Line:
    """A conductive line that enters the building."""

    name: str
    is_: str | None = maybe(Words(), "what it is for")
    enters_as: str = needed(
        OneOf(
            (
                "coax",
                "open wire",
                "single wire",
                "control cable",
                "network cable",
                "telephone",
                "power",
                "pipe",
            )
        ),
        "what kind of line it is",
    )
    protected_by: str | None = maybe(
        OneOf(("discharge unit", "surge protector", "grounded shield", "bonding clamp", NOTHING)),
        "what protects it where it enters",
    )
    protected_at: str | None = maybe(NODES, "the node to which that is bonded")

    def problems(self) -> Iterator[tuple[str, str]]:
        """Yield what contradicts itself."""
        if self.protected_by == NOTHING and self.protected_at is not None:
            yield "protected-at", "nothing protects it, so it is at no node; leave it out"
        shielded = ("coax", "network cable", "control cable")
        if self.protected_by == "grounded shield" and self.enters_as not in shielded:
            yield "protected-by", f"a line that enters as {self.enters_as} has no shield"
        if self.protected_by == "bonding clamp" and self.enters_as != "pipe":
            yield "protected-by", "a bonding clamp is for a pipe; a line needs a protector"


NODE_KINDS = {
    Kind.SERVICE: Service,
    Kind.ELECTRODE: Electrode,
    Kind.BUS: Bus,
    Kind.ENTRY: EntryPlate,
    Kind.TOWER: Tower,
    Kind.EQUIPMENT: Equipment,
    Kind.LINE: Line,
    Kind.METAL: Metal,
}
NODE = Kinds({str(kind): form for kind, form in NODE_KINDS.items()})

AnyNode = Service | Electrode | Bus | Metal | Line


def node_of(node: AnyNode) -> Node:
    """Return a node in the form in which the network is examined."""
    kind = next(kind for kind, form in NODE_KINDS.items() if type(node) is form)
    match node:
        case Electrode():
            return Node(
                name=node.name,
                kind=kind,
                electrode=node.electrode or "",
                length=node.length,
                nearest_rod=node.nearest_rod,
                resistance=node.resistance,
            )
        case Bus():
            return Node(
                name=node.name, kind=kind, terminals=node.terminals, lines_enter=node.lines_enter
            )
        case Line():
            return Node(
                name=node.name,
                kind=kind,
                enters_as=node.enters_as,
                protected_by=node.protected_by or "",
                protected_at=node.protected_at or "",
            )
        case _:
            return Node(name=node.name, kind=kind)
