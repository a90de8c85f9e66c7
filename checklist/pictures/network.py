"""The bonding network as a drawing: one description, and the tree of text made from it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from checklist.calculations.bonding.gauge import gauge_text
from checklist.calculations.bonding.network import Bond, Kind, Network, Node, Role, names
from checklist.calculations.bonding.network_connection import root_of
from checklist.calculations.bonding.network_graph import Tree, tree_from


@dataclass(frozen=True, slots=True)
class Row:
    """One node of the drawing, below the node it hangs on."""

    node: str
    label: str
    by: str
    """The conductor by which it hangs, in words; empty for a root."""

    depth: int
    is_last: bool
    parent: int
    """The row on which it hangs; -1 for a root."""


@dataclass(frozen=True, slots=True)
class Extra:
    """A conductor that closes a loop, drawn beside the tree."""

    from_: int
    to: int
    label: str


@dataclass(frozen=True, slots=True)
class Drawing:
    """A tree for each part that hangs together, the bus's first, and what closes loops."""

    title: str
    rows: tuple[Row, ...]
    extras: tuple[Extra, ...]


def drawing_of(network: Network, title: str = "Bonding network") -> Drawing:
    """Return the drawing; lines hang where their protector is bonded."""
    rank = {role: place for place, role in enumerate(Role)}
    bonds = tuple(sorted(network.bonds, key=lambda bond: rank[bond.role]))
    lines = _lines(network)
    rows: list[Row] = []
    extras: list[tuple[Bond, int, int]] = []
    for start in (root_of(network), *names(network.nodes)):
        if not start or any(row.node == start for row in rows):
            continue
        if network.node(start).kind is Kind.LINE and network.node(start).protected_at:
            continue
        tree = tree_from(start, bonds)
        _hang(network, tree, lines, start, rows, depth=0, parent=-1, is_last=True)
        place = {row.node: i for i, row in enumerate(rows)}
        extras += [(b, place[b.from_], place[b.to]) for b in tree.closing]
    return Drawing(
        title, tuple(rows), tuple(Extra(here, there, words_of(b)) for b, here, there in extras)
    )


def words_of(bond: Bond) -> str:
    """Return a conductor in words: name, size, material, length; what is unknown says so."""
    if bond.role in (Role.SHIELD, Role.STRUCTURE, Role.EQUIPMENT_GROUND):
        return f"{bond.name}: {bond.role}"
    if bond.gauge is not None:
        size = gauge_text(int(bond.gauge.value))
    elif bond.is_strap:
        size = f"strap {bond.width or '?'} x {bond.thickness or '?'}"
    else:
        size = "size unknown"
    length = str(bond.length) if bond.length is not None else "length unknown"
    return f"{bond.name}: {size} {bond.material or 'material unknown'}, {length}"


def network_text(drawing: Drawing) -> tuple[str, ...]:
    """Return the drawing as lines of plain characters, readable without colour."""
    lines: list[str] = []
    trunk: dict[int, bool] = {}
    for row in drawing.rows:
        if row.depth == 0:
            lines += ([""] if lines else []) + [row.label]
            continue
        trunk[row.depth] = not row.is_last
        lead = "".join("|   " if trunk.get(level) else "    " for level in range(1, row.depth))
        lines.append(f"{lead}+-- {row.label}" + (f"   ({row.by})" if row.by else ""))
    if drawing.extras:
        lines += ["", "Also joined, which closes a loop"]
        lines += [
            f"  {drawing.rows[e.from_].node} to {drawing.rows[e.to].node}   ({e.label})"
            for e in drawing.extras
        ]
    return tuple(lines)


def _lines(network: Network) -> dict[str, list[Node]]:
    """Return the lines by the node at which they are protected."""
    there: dict[str, list[Node]] = {}
    for line in network.of(Kind.LINE):
        if line.protected_at and not any(line.name in (b.from_, b.to) for b in network.bonds):
            there.setdefault(line.protected_at, []).append(line)
    return there


def _hang(
    network: Network,
    tree: Tree,
    lines: Mapping[str, list[Node]],
    name: str,
    rows: list[Row],
    *,
    depth: int,
    parent: int,
    is_last: bool,
) -> None:
    """Add a node and all that hangs on it, in the order in which it was reached."""
    bond = tree.by.get(name)
    by = words_of(bond) if bond else ""
    rows.append(Row(name, _label(network.node(name)), by, depth, is_last, parent))
    here = len(rows) - 1
    children = [n for n in tree.order if tree.parent(n) == name]
    hung = lines.get(name, [])
    for i, child in enumerate(children):
        last = i == len(children) - 1 and not hung
        _hang(network, tree, lines, child, rows, depth=depth + 1, parent=here, is_last=last)
    for i, line in enumerate(hung):
        label = f"{_label(line)}, by {line.protected_by or 'unknown protector'}"
        rows.append(Row(line.name, label, "", depth + 1, i == len(hung) - 1, here))


def _label(node: Node) -> str:
    return f"{node.name} [{node.electrode or node.enters_as or node.kind}]"
