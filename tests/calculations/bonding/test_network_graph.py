"""Graph questions held against linear algebra, and against networks with a known verdict."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from checklist.calculations.bonding.network import Bond, Kind, Network, Node, Role
from checklist.calculations.bonding.network_findings import examine
from checklist.calculations.bonding.network_graph import component, loops, tree_from
from checklist.quantities import Quantity
from checklist.rulebook import Book
from checklist.strictyaml import read_yaml

_CASES = read_yaml(
    (Path(__file__).parent / "network_cases.yaml").read_text("utf-8"), "network_cases.yaml"
).data["cases"]


@pytest.mark.parametrize("case", _CASES, ids=lambda case: case["id"])
def test_a_network_gets_the_verdict_it_must(case: dict[str, Any], book: Book) -> None:
    """The four networks with a known verdict, every edge a 6 AWG bond unless it is a cord."""
    named = case["nodes"]
    nodes = tuple(
        Node(name=n, kind=Kind(k), terminals=8, electrode="ring") for n, k in named.items()
    )
    bonds = tuple(
        Bond(
            name="-".join(edge), from_=edge[0], to=edge[1],
            role=Role.EQUIPMENT_GROUND if "cord" in edge else Role.BOND, material="copper",
            gauge=Quantity.of(6, "AWG"), length=Quantity.of(5, "ft"), joints="listed lug",
        )
        for edge in case["edges"]
    )  # fmt: skip
    found = examine(Network(nodes, bonds), book)

    assert found.outcome.value == case["outcome"]
    assert [remark.rule for remark in found.remarks] == case["rules"]


_EDGES = st.lists(st.tuples(st.integers(0, 7), st.integers(0, 7)), max_size=16)


def _bonds(edges: list[tuple[int, int]]) -> tuple[Bond, ...]:
    return tuple(
        Bond(name=f"b{i}", from_=f"n{a}", to=f"n{b}") for i, (a, b) in enumerate(edges) if a != b
    )


def _parts(nodes: list[str], bonds: tuple[Bond, ...]) -> set[frozenset[str]]:
    return {component(node, bonds) for node in nodes}


def _rank(bonds: tuple[Bond, ...], nodes: list[str]) -> int:
    """Return the rank of the incidence matrix: nodes less connected parts (numpy)."""
    matrix = np.zeros((len(nodes), max(len(bonds), 1)))
    for column, bond in enumerate(bonds):
        matrix[nodes.index(bond.from_), column] = 1
        matrix[nodes.index(bond.to), column] = -1
    return int(np.linalg.matrix_rank(matrix))


@given(_EDGES)
def test_parts_and_loops_are_as_many_as_linear_algebra_says(edges: list[tuple[int, int]]) -> None:
    """Parts are nodes less the rank of the incidence matrix, loops are edges less it (Euler)."""
    bonds, nodes = _bonds(edges), [f"n{i}" for i in range(8)]
    rank = _rank(bonds, nodes)
    parts = _parts(nodes, bonds)
    found = [loop for part in parts for loop in loops(tree_from(min(part), bonds))]

    assert len(parts) == len(nodes) - rank
    assert len(found) == len(bonds) - rank


@given(_EDGES)
def test_a_loop_is_a_closed_way_through_its_conductors(edges: list[tuple[int, int]]) -> None:
    """Each step of a loop goes along a conductor that joins its two nodes, each used once."""
    bonds = _bonds(edges)
    for part in _parts([f"n{i}" for i in range(8)], bonds):
        for loop in loops(tree_from(min(part), bonds)):
            steps = list(zip(loop.nodes, loop.nodes[1:], strict=False))

            assert loop.nodes[0] == loop.nodes[-1]
            assert len({bond.name for bond in loop.bonds}) == len(loop.bonds) == len(steps)
            for (here, there), bond in zip(steps, loop.bonds, strict=True):
                assert {here, there} == {bond.from_, bond.to}


def test_a_node_that_is_passed_by_cuts_the_way() -> None:
    """Without the middle of a chain its ends hang apart."""
    chain = _bonds([(0, 1), (1, 2)])

    assert component("n0", chain) == {"n0", "n1", "n2"}
    assert component("n0", chain, without={"n1"}) == {"n0"}
