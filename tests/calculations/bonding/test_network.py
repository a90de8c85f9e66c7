"""The bonding network: every planted fault is found, named with its remedy, and nothing else."""

from __future__ import annotations

import re
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from checklist.calculations.bonding.network import Bond, Kind, Network, Node, Role
from checklist.calculations.bonding.network_findings import (
    NetworkFindings,
    _unverified_is_said,
    as_result,
    examine,
)
from checklist.calculations.bonding.network_remarks import Remarks, Weight
from checklist.calculations.kinds import Finding, Outcome
from checklist.calculations.stored import as_data, from_data
from checklist.quantities import Quantity
from checklist.rulebook import Book, Standing, load_book
from checklist.shipped import shipped_rules
from checklist.strictyaml import read_yaml
from tests.station.making import loaded, whole

_FAULTS = read_yaml(
    (Path(__file__).parent / "network_faults.yaml").read_text("utf-8"), "network_faults.yaml"
).data["faults"]

# Whoever reads a finding must never be told to take a safety ground away.
_TAKES_AWAY = re.compile(
    r"\b(remove|disconnect|lift|cut|unplug|open|break|isolate|take (out|off|away)|float)\b", re.I
)


def _network(*replaced: tuple[str, str]) -> Network:
    bonding = loaded(*replaced).bonding

    assert bonding is not None
    return bonding.network()


def test_the_sound_network_has_no_stop(book: Book) -> None:
    """The invented station is one connected tree with all sizes given: within, no remark."""
    found = examine(_network(), book)

    assert found.outcome is Outcome.WITHIN
    assert found.remarks == ()
    assert "no stop was found" in found.says()
    assert "safe" not in found.says().replace("safety", "")


@pytest.mark.parametrize(
    "replaced",
    [
        [("terminals: 8", "terminals: 5")],
        [
            ("protected-by: discharge unit, protected-at: entry",
             "protected-by: discharge unit, protected-at: bus"),
            ("terminals: 8", "terminals: 8, lines-enter: yes"),
        ],
    ],
    ids=["NEC 250.8, a terminal for each conductor", "NEC 810.20, the bus where lines enter"],
)  # fmt: skip
def test_what_is_as_it_must_be_gets_no_remark(replaced: list[tuple[str, str]], book: Book) -> None:
    """Exactly as many terminals as conductors suffice; a protector may stand at such a bus."""
    assert examine(_network(*replaced), book).remarks == ()


@pytest.mark.parametrize("fault", _FAULTS, ids=lambda fault: fault["id"])
def test_a_planted_fault_is_found(fault: dict[str, Any], book: Book) -> None:
    """The finding names where it is, says what is wrong and the remedy, and cites its rule."""
    found = examine(_network(*((old, new) for old, new in fault["replaced"])), book)
    named = [r for r in found.remarks if r.rule == fault["rule"] and list(r.where) == fault["where"]
             and str(fault["says"]) in r.says]  # fmt: skip

    assert len(named) == 1, [(r.rule, r.where, r.says) for r in found.remarks]
    assert named[0].weight.value == fault["weight"]
    assert str(fault["remedy"]) in named[0].remedy
    assert named[0].cites in named[0].sentence()
    assert found.outcome is _least(str(fault["weight"]), found)


def _least(weight: str, found: NetworkFindings) -> Outcome:
    if weight == "over":
        return Outcome.OVER
    if weight == "not shown":
        assert not found.of(Weight.OVER)
        return Outcome.NOT_SHOWN
    assert not found.of(Weight.OVER)
    return Outcome.NOT_SHOWN if found.of(Weight.NOT_SHOWN) else Outcome.WITHIN


@pytest.mark.parametrize("fault", _FAULTS, ids=lambda fault: fault["id"])
def test_no_remedy_takes_a_safety_ground_away(fault: dict[str, Any], book: Book) -> None:
    """NEC 250.4 and 250.50: a loop or a thin wire is mended by adding, never by taking away."""
    found = examine(_network(*((old, new) for old, new in fault["replaced"])), book)

    assert found.remarks
    for remark in found.remarks:
        assert not _TAKES_AWAY.search(remark.remedy), remark.remedy


def test_a_caution_alone_is_within_and_said(book: Book) -> None:
    """A loop, permitted by the code (SPG-3), is no stop, and the result carries the caution."""
    found = examine(
        _network(("    amp-bond:", "    cord: {from: radio, to: panel, role: equipment ground}\n"
                  "    amp-bond:")),
        book,
    )  # fmt: skip
    result = as_result(found)

    assert result.outcome is Outcome.WITHIN
    assert len(result.cautions) == 1
    assert "radio" in result.cautions[0]


def test_over_beats_not_shown(book: Book) -> None:
    """A thin jumper and a missing length: over decides, and both are said."""
    found = examine(
        _network(("gauge: 6 AWG, length: 22 ft,", "gauge: 8 AWG,")), book
    )  # fmt: skip
    result = as_result(found)

    assert result.outcome is Outcome.OVER
    assert len(result.stops) == 2
    assert result.decided_by == "jumper"


def test_a_thin_bond_beside_a_thick_one_ties_nothing(book: Book) -> None:
    """Where 6 AWG copper already ties two electrodes, 10 AWG to equipment is held against 10."""
    found = examine(
        _network(
            ("    amp-bond:", "    second: {from: radio, to: tower-rod, material: copper,"
             " gauge: 10 AWG, length: 9 ft, joints: listed clamp}\n    amp-bond:")
        ),
        book,
    )  # fmt: skip

    assert found.outcome is Outcome.WITHIN
    assert {r.rule for r in found.remarks} == {"loop"}


def test_a_chain_of_thin_bonds_between_electrodes_is_thin_in_each_link(book: Book) -> None:
    """NEC 810.21(J): with 10 AWG from rod to radio to bus, both links are too thin."""
    found = examine(
        _network(
            ("tower-run: {from: tower, to: bus, material: copper, gauge: 4 AWG",
             "tower-run: {from: tower, to: radio, material: copper, gauge: 10 AWG"),
        ),
        book,
    )  # fmt: skip
    thin = {r.where[0] for r in found.remarks if r.rule == "undersized"}

    assert thin == {"tower-run", "radio-bond"}


def test_two_rods_measure_nothing(book: Book) -> None:
    """ROD-4 of the handbook rows: two rods 6 ft apart meet the minimum whatever they measure."""
    found = examine(
        _network(
            ("length: 8 ft, nearest-rod: 16 ft", "length: 8 ft, nearest-rod: 6 ft"),
            ("length: 10 ft, nearest-rod: 16 ft", "length: 8 ft, nearest-rod: 6 ft"),
        ),
        book,
    )

    assert found.outcome is Outcome.WITHIN


def test_the_result_can_be_kept_and_read_back(book: Book) -> None:
    """The findings in the form of every calculation go into a record and come back the same."""
    result = as_result(examine(_network(("length: 22 ft", "length: unknown")), book))
    finding = Finding("bonding-network", 1, {"station": whole().name}, result)

    assert from_data(as_data(finding)) == finding


_BOOK = load_book(
    {f"tables/{p.name}": p.read_text("utf-8") for p in (shipped_rules() / "tables").glob("*.yaml")}
    | {"sources.yaml": (shipped_rules() / "sources.yaml").read_text("utf-8")}
)
_FEET = st.none() | st.integers(1, 60).map(lambda n: Quantity.of(n, "ft"))


@st.composite
def _networks(draw: st.DrawFn) -> Network:
    kinds = draw(st.lists(st.sampled_from(list(Kind)), min_size=1, max_size=8))
    nodes = tuple(
        Node(
            name=f"n{i}", kind=kind, electrode=draw(st.sampled_from(["", "rod", "ring"])),
            length=draw(_FEET), nearest_rod=draw(_FEET),
            protected_by=draw(st.sampled_from(["", "nothing", "discharge unit"])),
            protected_at=draw(st.sampled_from(["", *(f"n{j}" for j in range(len(kinds)))])),
        )
        for i, kind in enumerate(kinds)
    )  # fmt: skip
    ends = st.integers(0, len(nodes) - 1)
    pairs = [p for p in draw(st.lists(st.tuples(ends, ends), max_size=14)) if p[0] != p[1]]
    bonds = tuple(
        Bond(
            name=f"b{i}", from_=f"n{a}", to=f"n{b}", role=draw(st.sampled_from(list(Role))),
            material=draw(st.sampled_from(["", "copper", "aluminium", "bronze"])),
            gauge=draw(st.none() | st.integers(-3, 18).map(lambda n: Quantity.of(n, "AWG"))),
            length=draw(_FEET),
        )
        for i, (a, b) in enumerate(pairs)
    )  # fmt: skip
    return Network(nodes, bonds)


@settings(max_examples=150, deadline=None)
@given(network=_networks())
def test_any_network_gets_an_answer_and_unknowns_never_pass(network: Network) -> None:
    """Whatever is drawn: no traceback, no unknown within, no service never within."""
    found = examine(network, _BOOK)
    judged = network.joined_by(Role.BOND, Role.ELECTRODE_CONDUCTOR)

    assert found.remarks or found.outcome is Outcome.WITHIN
    if not network.of(Kind.SERVICE):
        assert found.outcome is Outcome.OVER
    if any(b.length is None or b.gauge is None or not b.material for b in judged):
        assert found.outcome is not Outcome.WITHIN
    for remark in found.remarks:
        assert not _TAKES_AWAY.search(remark.remedy)


@settings(max_examples=100, deadline=None)
@given(network=_networks(), wider=st.integers(1, 4))
def test_thicker_copper_never_makes_it_worse(network: Network, wider: int) -> None:
    """Where every conductor is taken some gauges thicker, no new conductor is too thin."""
    thicker = Network(
        network.nodes,
        tuple(
            Bond(
                name=b.name, from_=b.from_, to=b.to, role=b.role, material=b.material,
                gauge=b.gauge and Quantity.of(b.gauge.value - wider, "AWG"), length=b.length,
            )
            for b in network.bonds
        ),
    )  # fmt: skip
    thin = {r.where for r in examine(network, _BOOK).remarks if r.rule == "undersized"}
    still = {r.where for r in examine(thicker, _BOOK).remarks if r.rule == "undersized"}

    assert still <= thin


def test_what_is_only_from_memory_is_a_caution(book: Book) -> None:
    """Every such value that took part is named in one remark, with what it is; others are not."""
    remarks = Remarks(book)
    for address in ("bonding/jumper", "bonding-network/terminals", "earth/rod-length"):
        remarks.value(address)
    first, second, read = remarks.used.values()
    remarks.used = {
        "a": replace(first, standing=Standing.MEMORY),
        "b": replace(second, standing=Standing.MEMORY),
        "c": read,
    }
    _unverified_is_said(remarks)
    [said] = remarks.found

    assert (said.rule, said.weight, said.where) == ("unverified", Weight.CAUTION, ())
    assert said.says == (
        f"rests on what is only from memory: {first.means}, {first.value}; "
        f"{second.means}, {second.value}"
    )
    assert said.remedy == "Look it up in the local code."
    assert said.cites.startswith("Common practice of the trade")


def test_the_least_number_of_terminals_suffices(book: Book) -> None:
    """NEC 250.94 asks for three: with three nothing but the conductors' number is remarked."""
    [said] = examine(_network(("terminals: 8", "terminals: 3")), book).remarks

    assert said.says == "5 conductors meet at the bus bus, which has 3 terminals"
