"""Graph questions about a bonding network: what hangs together, and what goes round.

The number of independent loops of a graph is edges - nodes + components (Euler); the tests
hold these functions against another library.
"""

from __future__ import annotations

from collections import deque
from collections.abc import Collection, Iterable, Mapping
from dataclasses import dataclass

from checklist.calculations.bonding.network import Bond


@dataclass(frozen=True, slots=True)
class Loop:
    """A way round: the conductors in order, beginning and ending at one node."""

    nodes: tuple[str, ...]
    bonds: tuple[Bond, ...]


@dataclass(frozen=True, slots=True)
class Tree:
    """How each node was first reached from the root, and the conductors that close loops."""

    root: str
    order: tuple[str, ...]
    """Nodes as they were reached, the root first."""

    by: Mapping[str, Bond]
    """The conductor by which a node was reached."""

    closing: tuple[Bond, ...]

    def parent(self, node: str) -> str:
        """Return the node from which `node` was reached; empty for the root."""
        bond = self.by.get(node)
        return other_end(bond, node) if bond else ""


def other_end(bond: Bond, node: str) -> str:
    """Return the end of a conductor that is not `node`."""
    return bond.to if bond.from_ == node else bond.from_


def component(start: str, bonds: Iterable[Bond], without: Collection[str] = ()) -> frozenset[str]:
    """Return all nodes that hang together with `start`, not passing `without`."""
    neighbours: dict[str, list[str]] = {}
    for bond in bonds:
        if bond.from_ not in without and bond.to not in without:
            neighbours.setdefault(bond.from_, []).append(bond.to)
            neighbours.setdefault(bond.to, []).append(bond.from_)
    found, waiting = {start}, deque([start])
    while waiting:
        for node in neighbours.get(waiting.popleft(), ()):
            if node not in found:
                found.add(node)
                waiting.append(node)
    return frozenset(found)


def tree_from(root: str, bonds: Collection[Bond]) -> Tree:
    """Return the shortest ways from `root`; conductors named first win between equals."""
    order, by, waiting = [root], {}, deque([root])
    used: set[str] = set()
    while waiting:
        node = waiting.popleft()
        for bond in bonds:
            far = other_end(bond, node)
            if node not in (bond.from_, bond.to) or far in by or far == root:
                continue
            by[far] = bond
            used.add(bond.name)
            order.append(far)
            waiting.append(far)
    reached = set(order)
    closing = tuple(b for b in bonds if b.from_ in reached and b.name not in used)
    return Tree(root, tuple(order), by, closing)


def loops(tree: Tree) -> tuple[Loop, ...]:
    """Return the loop that each closing conductor makes with the tree."""
    return tuple(_loop(tree, bond) for bond in tree.closing)


def _loop(tree: Tree, closing: Bond) -> Loop:
    left, right = _way_up(tree, closing.from_), _way_up(tree, closing.to)
    meeting = next(node for node in left if node in right)
    up = left[: left.index(meeting) + 1]
    down = right[: right.index(meeting)][::-1]
    nodes = (*up, *down)
    along = [*(tree.by[n] for n in up[:-1]), *(tree.by[n] for n in down), closing]
    return Loop((*nodes, nodes[0]), tuple(along))


def _way_up(tree: Tree, node: str) -> list[str]:
    way = [node]
    while way[-1] != tree.root:
        way.append(tree.parent(way[-1]))
    return way
