"""The bonding network of a station as a graph: what is bonded, and the conductors between.

Only data; what is found about it stands in the modules beside this one.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from enum import StrEnum

from checklist.quantities import Quantity

MATERIALS = ("copper", "aluminium", "copper-clad steel", "bronze")
"""As NEC 810.21(A) lists them."""


class Kind(StrEnum):
    """What a node is."""

    SERVICE = "service"
    """The service equipment, with its own grounding electrode system."""

    ELECTRODE = "electrode"
    BUS = "bus"
    """The station's ground bus, or an intersystem bonding termination."""

    ENTRY = "entry plate"
    TOWER = "tower"
    """A tower leg, mast or other metal support."""

    EQUIPMENT = "equipment"
    LINE = "line"
    """A conductive line that enters the building: feed line, control, telephone, power, pipe."""

    METAL = "other metal"


class Role(StrEnum):
    """What a conductor between two nodes is there for."""

    BOND = "bond"
    ELECTRODE_CONDUCTOR = "electrode conductor"
    """The grounding electrode conductor of the service; the licensed electrician's side."""

    EQUIPMENT_GROUND = "equipment ground"
    """The protective conductor of a cord or branch circuit."""

    SHIELD = "shield"
    """The shield of a cable between two nodes; it carries current and is no bond."""

    STRUCTURE = "structure"
    """Bolted or welded metal, as from tower leg to tower leg."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Node:
    """Something metallic that is, or should be, part of the one system. None is unknown."""

    name: str
    kind: Kind
    electrode: str = ""
    """For an electrode: rod, plate, ring, concrete-encased, water pipe or other."""

    length: Quantity | None = None
    """For a rod: in contact with soil."""

    nearest_rod: Quantity | None = None
    resistance: Quantity | None = None
    """For an electrode: measured by itself, against remote earth."""

    terminals: int | None = None
    """For a bus."""

    protected_by: str = ""
    """For a line: the device at its entry; `nothing` where there is none, empty if unknown."""

    protected_at: str = ""
    """For a line: the node to which that device is bonded; empty if unknown."""

    enters_as: str = ""
    """For a line: what it is, as coax or telephone."""

    lines_enter: bool | None = None
    """For a bus: whether the lines come in right there."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Bond:
    """A conductor between two nodes. None or an empty text is unknown."""

    name: str
    from_: str
    to: str
    role: Role = Role.BOND
    material: str = ""
    gauge: Quantity | None = None
    """In AWG; 1/0 is 0, 2/0 is -1."""

    width: Quantity | None = None
    """Of a flat strap, instead of a gauge."""

    thickness: Quantity | None = None
    length: Quantity | None = None
    outdoors: bool | None = None
    above_earth: Quantity | None = None
    """The least height over earth."""

    on_masonry: bool | None = None
    joints: str = ""
    path: str = ""

    @property
    def is_strap(self) -> bool:
        """Whether it is flat."""
        return self.width is not None or self.thickness is not None

    def between(self) -> str:
        """Return the conductor with its ends, as messages name it."""
        return f"conductor {self.name} ({self.from_} to {self.to})"


@dataclass(frozen=True, slots=True)
class Network:
    """All nodes and conductors; every end of a conductor is a node."""

    nodes: tuple[Node, ...]
    bonds: tuple[Bond, ...]

    def node(self, name: str) -> Node:
        """Return the node of this name; raises KeyError where there is none."""
        return next(n for n in self.nodes if n.name == name) if self.has(name) else _none(name)

    def has(self, name: str) -> bool:
        """Whether there is a node of this name."""
        return any(node.name == name for node in self.nodes)

    def of(self, *kinds: Kind) -> tuple[Node, ...]:
        """Return the nodes of some kinds, in their order."""
        return tuple(node for node in self.nodes if node.kind in kinds)

    def joined_by(self, *roles: Role) -> tuple[Bond, ...]:
        """Return the conductors of some roles, in their order."""
        return tuple(bond for bond in self.bonds if bond.role in roles)


def names(nodes: Iterable[Node]) -> tuple[str, ...]:
    """Return the names of nodes."""
    return tuple(node.name for node in nodes)


def _none(name: str) -> Node:
    raise KeyError(name)
