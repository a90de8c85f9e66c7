"""The bonding network as it stands in the file: the conductors between its nodes."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any

from checklist.calculations.bonding.gauge import gauge_number, gauge_text
from checklist.calculations.bonding.network import MATERIALS, Bond, Kind, Network, Role
from checklist.quantities import Quantity
from checklist.station.geometry import LENGTH
from checklist.station.nodes import NODE, NODES, AnyNode, node_of
from checklist.station.reading import Pass
from checklist.station.records import ByName, Entry, maybe, needed
from checklist.station.shapes import (
    Measure,
    OneOf,
    Shape,
    Words,
    YesNo,
    listed,
    one_text,
    short,
)
from checklist.strictyaml import Path


@dataclass(frozen=True, slots=True)
class Gauge(Shape):
    """An American wire gauge, written `6 AWG` or `2/0 AWG`."""

    def read(self, data: Any, path: Path, reading: Pass) -> str:
        """Return the gauge as it is written."""
        text = one_text(data, path, reading)
        number = gauge_number(text)
        if number is None:
            raise reading.unusable(
                path, f"“{short(text)}” is not a gauge from 40 AWG to 4/0 AWG; write it as 6 AWG"
            )
        return gauge_text(number)

    def write(self, value: str) -> str:
        """Return the gauge."""
        return value


@dataclass(frozen=True, slots=True, kw_only=True)
class Conductor:
    """A conductor between two nodes; what is left out is unknown."""

    name: str
    from_: str = needed(NODES, "the node where it begins")
    to: str = needed(NODES, "the node where it ends")
    role: str = maybe(OneOf(tuple(Role)), "what it is there for", str(Role.BOND))
    material: str | None = maybe(OneOf(MATERIALS), "its material")
    gauge: str | None = maybe(Gauge(), "its gauge, as 6 AWG")
    width: Quantity | None = maybe(Measure("length", most="1 m"), "of a flat strap, its width")
    thickness: Quantity | None = maybe(
        Measure("length", most="5 cm"), "of a flat strap, its thickness"
    )
    length: Quantity | None = maybe(LENGTH, "its length, along it")
    path: str | None = maybe(Words(), "the way it takes")
    outdoors: bool | None = maybe(YesNo(), "whether any of it is outdoors")
    above_earth: Quantity | None = maybe(
        Measure("length", least="0 m", most="1 km"), "its least height over earth"
    )
    on_masonry: bool | None = maybe(YesNo(), "whether it touches masonry anywhere")
    joints: str | None = maybe(
        OneOf(("exothermic weld", "listed clamp", "listed lug", "compression", "solder",
               "twisted", "other")),
        "how its ends are joined; the worse end counts",
    )  # fmt: skip

    def problems(self) -> Iterator[tuple[str, str]]:
        """Yield what contradicts itself."""
        if self.from_ == self.to:
            yield "to", "it ends at the node where it begins; give the other one"
        strap = self.width is not None or self.thickness is not None
        if self.gauge is not None and strap:
            yield "gauge", "a strap has width and thickness, a wire has a gauge; keep one"
        if self.width is not None and self.thickness is not None and self.thickness > self.width:
            yield "thickness", "the strap is thicker than wide; exchange the two"


@dataclass(frozen=True, slots=True, kw_only=True)
class Bonding:
    """The bonding network: its nodes and the conductors between them."""

    nodes: tuple[AnyNode, ...] = needed(
        ByName(NODE, "nodes", most=100), "what is bonded, or should be"
    )
    bonds: tuple[Conductor, ...] = maybe(
        ByName(Entry(Conductor), "bonds", most=200), "the conductors between the nodes", ()
    )

    def network(self) -> Network:
        """Return the network in the form in which it is examined."""
        return Network(tuple(map(node_of, self.nodes)), tuple(map(_bond, self.bonds)))


_ENDS = {
    Role.ELECTRODE_CONDUCTOR: (Kind.SERVICE, Kind.ELECTRODE),
    Role.STRUCTURE: (Kind.TOWER, Kind.METAL, Kind.ENTRY),
    Role.EQUIPMENT_GROUND: (Kind.EQUIPMENT, Kind.SERVICE, Kind.METAL),
    Role.SHIELD: (Kind.EQUIPMENT, Kind.ENTRY, Kind.BUS, Kind.TOWER),
}
"""What a conductor of a role can join; a bond joins anything but a line."""


def misplaced(
    nodes: Mapping[str, AnyNode], bonds: Mapping[str, Conductor]
) -> Iterator[tuple[str, str, str]]:
    """Yield (bond, key, what is wrong) where a conductor cannot be what it is called."""
    kinds = {name: node_of(node).kind for name, node in nodes.items()}
    for bond in bonds.values():
        for key, end in (("from", bond.from_), ("to", bond.to)):
            if end not in kinds:
                continue
            if kinds[end] is Kind.LINE:
                yield bond.name, key, f"{end} is a line; say where it is bonded by its protected-at"
            allowed = _ENDS.get(Role(bond.role))
            if allowed is not None and kinds[end] not in (*allowed, Kind.LINE):
                yield (
                    bond.name,
                    key,
                    (
                        f"{end} is a {kinds[end]}; a conductor with role {bond.role} joins"
                        f" {listed(tuple(map(str, allowed)))}"
                    ),
                )


def _gauge(text: str) -> Quantity | None:
    number = gauge_number(text)
    return None if number is None else Quantity.of(number, "AWG")


def _bond(written: Conductor) -> Bond:
    return Bond(
        name=written.name,
        from_=written.from_,
        to=written.to,
        role=Role(written.role),
        material=written.material or "",
        gauge=_gauge(written.gauge) if written.gauge else None,
        width=written.width,
        thickness=written.thickness,
        length=written.length,
        outdoors=written.outdoors,
        above_earth=written.above_earth,
        on_masonry=written.on_masonry,
        joints=written.joints or "",
        path=written.path or "",
    )
