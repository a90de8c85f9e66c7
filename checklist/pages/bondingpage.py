"""The station's bonding diagram with what was found about it, as a page for the wall or binder."""

from __future__ import annotations

from collections.abc import Iterator

from checklist.calculations.bonding.network import Network
from checklist.calculations.bonding.network_findings import (
    ASSUMPTIONS,
    FORMULA,
    VERSION,
    NetworkFindings,
)
from checklist.calculations.bonding.network_remarks import Weight
from checklist.calculations.kinds import Outcome
from checklist.pages.page import (
    Block,
    Grid,
    Heading,
    Identity,
    Labelled,
    Listed,
    Page,
    Words,
)
from checklist.pages.pictured import drawn
from checklist.pictures.network import drawing_of, words_of
from checklist.rulebook import bare

IS_NOT = (
    "This page is no approval of an installation and no substitute for a look at it: it draws what "
    "the station file says."
)
_WORDS = {
    Outcome.WITHIN: "WITHIN what was described and compared",
    Outcome.OVER: "OVER: stop",
    Outcome.NOT_SHOWN: "NOT SHOWN to be safe: stop",
}
_HEADINGS = {
    Weight.OVER: "Stops",
    Weight.NOT_SHOWN: "Not shown, which stops as well",
    Weight.CAUTION: "Cautions",
}


def bonding_page(name: str, network: Network, found: NetworkFindings, identity: Identity) -> Page:
    """Return the diagram of the station called `name` with its findings."""
    title = f"Bonding of {name}"
    blocks: list[Block] = [
        Words(_WORDS[found.outcome], "strong"),
        Words(found.says()),
        drawn(drawing_of(network, title)),
        *conductors(network),
        *_remarks(found),
        Heading("What it rests on"),
        Labelled((("Formula", FORMULA), ("Version", str(VERSION)))),
        *_list("Compared", tuple(found.lines)),
        *_used(found),
        *_list("Assumed", tuple(ASSUMPTIONS)),
    ]
    return Page(title, "Station bonding diagram", identity, IS_NOT, tuple(blocks))


def conductors(network: Network) -> Iterator[Block]:
    """Yield the table of all conductors, with room to note that each was seen."""
    if network.bonds:
        yield Heading("Conductors", 2)
        rows = tuple((b.from_, b.to, str(b.role), words_of(b), "") for b in network.bonds)
        head = ("from", "to", "as", "conductor", "seen: day, initials")
        yield Grid(head, rows, (3, 3, 3, 6, 3), is_roomy=True)


def _remarks(found: NetworkFindings) -> Iterator[Block]:
    for weight, heading in _HEADINGS.items():
        yield from _list(heading, tuple(remark.sentence() for remark in found.of(weight)))


def _list(heading: str, entries: tuple[str, ...]) -> Iterator[Block]:
    if entries:
        yield Heading(heading, 2)
        yield Listed(entries)


def _used(found: NetworkFindings) -> Iterator[Block]:
    if found.used:
        yield Heading("Judged by", 2)
        rows = tuple((bare(c.value), c.means, c.citation) for c in found.used)
        yield Grid(("value", "what it is", "from"), rows, (2, 5, 6))
