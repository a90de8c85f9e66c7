"""The drawing: text and picture show every node and conductor, from one description."""

from __future__ import annotations

import xml.etree.ElementTree as ET
from dataclasses import replace

from checklist.calculations.bonding.network import Bond, Kind, Network, Node
from checklist.pictures.network import drawing_of, network_text
from checklist.pictures.networksvg import network_svg
from tests.station.making import loaded, whole

_CORD = (
    "    amp-bond:",
    "    cord: {from: radio, to: panel, role: equipment ground}\n    amp-bond:",
)


def _network(*replaced: tuple[str, str]) -> Network:
    bonding = (loaded(*replaced) if replaced else whole()).bonding

    assert bonding is not None
    return bonding.network()


def test_the_tree_hangs_from_the_bus() -> None:
    """The bus is the root, and what hangs on it stands below with the conductor's size."""
    assert network_text(drawing_of(_network())) == (
        "bus [bus]",
        "+-- panel [service]   (jumper: 6 AWG copper, 22 ft)",
        "|   +-- house-rod [rod]   (house-lead: 6 AWG copper, 6 ft)",
        "|   +-- phone [telephone], by surge protector",
        "+-- entry [entry plate]   (plate-strap: strap 3 in x 0.5 mm copper, 2 ft)",
        "|   +-- coax-40 [coax], by discharge unit",
        "+-- tower [tower]   (tower-run: 4 AWG copper, 40 ft)",
        "|   +-- tower-rod [rod]   (tower-lead: 4 AWG copper, 5 ft)",
        "+-- radio [equipment]   (radio-bond: 10 AWG copper, 4 ft)",
        "+-- amp [equipment]   (amp-bond: 10 AWG copper, 4 ft)",
    )


def test_what_closes_a_loop_and_what_stands_apart_is_drawn() -> None:
    """A cord's ground is listed as closing a loop; a lone rod stands as a tree of its own."""
    network = _network(_CORD)
    apart = replace(network, nodes=(*network.nodes, Node(name="lone", kind=Kind.ELECTRODE)))
    lines = network_text(drawing_of(apart))

    assert "  radio to panel   (cord: equipment ground)" in lines
    assert "lone [electrode]" in lines


def test_every_node_and_conductor_is_in_both_pictures() -> None:
    """Nothing that is described is left out of the text or of the picture."""
    network = _network(_CORD)
    text = "\n".join(network_text(drawing_of(network)))
    picture = network_svg(drawing_of(network, "t"))

    for name in (*(n.name for n in network.nodes), *(b.name for b in network.bonds)):
        assert name in text
        assert name in picture


def test_unknown_sizes_and_lengths_say_so() -> None:
    """A conductor of which nothing is known is drawn as unknown, not left blank."""
    network = Network(
        (Node(name="a", kind=Kind.BUS), Node(name="b", kind=Kind.TOWER)),
        (Bond(name="c", from_="a", to="b"),),
    )

    assert (
        "(c: size unknown material unknown, length unknown)" in network_text(drawing_of(network))[1]
    )


def test_the_picture_is_xml_whatever_the_names_hold() -> None:
    """A title with markup in it is text in the picture, and no element of its own."""
    picture = network_svg(drawing_of(_network(), '<script>&"\u202e'))
    root = ET.fromstring(picture)  # noqa: S314  # made here, and the very thing under test

    assert root.tag == "{http://www.w3.org/2000/svg}svg"
    assert not root.findall(".//{http://www.w3.org/2000/svg}script")
    assert "\u202e" not in picture


def test_a_network_without_bus_or_service_is_still_drawn() -> None:
    """The first metal that is named becomes the root; nothing to draw is an empty drawing."""
    alone = Network((Node(name="a", kind=Kind.TOWER),), ())

    assert network_text(drawing_of(alone)) == ("a [tower]",)
    assert network_text(drawing_of(Network((), ()))) == ()
    assert ET.fromstring(network_svg(drawing_of(Network((), ()), "t"))) is not None  # noqa: S314  # made here
