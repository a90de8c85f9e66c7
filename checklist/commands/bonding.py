"""Examines the bonding network of a station file, and draws it as text and as a picture."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from checklist.calculations.bonding.network import Network
from checklist.calculations.bonding.network_findings import (
    ASSUMPTIONS,
    FORMULA,
    VERSION,
    NetworkFindings,
    examine,
)
from checklist.calculations.bonding.network_remarks import Remark, Weight
from checklist.calculations.kinds import Outcome
from checklist.commands.exits import FINE, NOT_SHOWN, WRONG
from checklist.commands.output import print_document, print_page
from checklist.commands.picturefile import write_picture
from checklist.errors import StandclearError
from checklist.pictures.drawing import picture_svg
from checklist.pictures.network import drawing_of, network_text
from checklist.rulebook import Book
from checklist.sessions.stations.stationread import station_bytes, station_text
from checklist.station import Station, load_station

_WORDS = {
    Outcome.WITHIN: "WITHIN what was described and compared",
    Outcome.OVER: "OVER: stop",
    Outcome.NOT_SHOWN: "NOT SHOWN to be safe: stop",
}
_EXITS = {Outcome.WITHIN: FINE, Outcome.OVER: WRONG, Outcome.NOT_SHOWN: NOT_SHOWN}
_HEADINGS = {
    Weight.OVER: "Stops",
    Weight.NOT_SHOWN: "Not shown, which stops as well",
    Weight.CAUTION: "Cautions",
}


def examine_bonding(path: Path, book: Book, picture: Path | None, *, as_json: bool) -> int:
    """Print what is found about the network of the station file, with its tree.

    Writes the picture as SVG where a path is named and nothing is there yet. Returns FINE
    for within, WRONG for over, NOT_SHOWN where something is not known. Raises StandclearError
    for a file that cannot be read, or that describes no network.
    """
    station = load_station(station_text(station_bytes(path), path.name), path.name)
    if station.bonding is None:
        raise StandclearError(
            "it describes no bonding network", where=str(path), right="Add bonding: to it."
        )
    network = station.bonding.network()
    findings = examine(network, book)
    if picture is not None:
        write_picture(picture, picture_svg(drawing_of(network, f"Bonding of {station.name}")))
    if as_json:
        print_document(_data(station, network, findings))
    else:
        print_page(_lines(station, network, findings))
    return _EXITS[findings.outcome]


def _lines(station: Station, network: Network, findings: NetworkFindings) -> list[str]:
    lines = [f"Bonding network of {station.name}", _WORDS[findings.outcome], findings.says(), ""]
    lines += network_text(drawing_of(network))
    for weight, heading in _HEADINGS.items():
        lines += _part(heading, [remark.sentence() for remark in findings.of(weight)])
    lines += _part("Compared", list(findings.lines))
    lines += _part(
        "Judged by", [f"{c.means}: {_bare(c.value)} [{c.citation}]" for c in findings.used]
    )
    lines += _part("Formula", [FORMULA])
    return lines + _part("Assumed", list(ASSUMPTIONS))


def _bare(value: str) -> str:
    """Return a value without the unit of a plain count."""
    return value.removesuffix(" 1") if value.count(" ") == 1 else value


def _part(heading: str, entries: list[str]) -> list[str]:
    return ["", heading, *(f"  {entry}" for entry in entries)] if entries else []


def _data(station: Station, network: Network, findings: NetworkFindings) -> dict[str, Any]:
    return {
        "station": station.name,
        "version": VERSION,
        "outcome": findings.outcome.value,
        "says": findings.says(),
        "remarks": [_remark(remark) for remark in findings.remarks],
        "compared": list(findings.lines),
        "counts": {count.name: int(count.quantity.value) for count in findings.counts},
        "used": [
            {"address": c.address, "value": c.value, "means": c.means, "citation": c.citation,
             "standing": c.standing.value}
            for c in findings.used
        ],
        "formula": FORMULA,
        "assumptions": list(ASSUMPTIONS),
        "tree": list(network_text(drawing_of(network))),
    }  # fmt: skip


def _remark(remark: Remark) -> dict[str, Any]:
    return {
        "rule": remark.rule,
        "weight": remark.weight.value,
        "where": list(remark.where),
        "says": remark.says,
        "remedy": remark.remedy,
        "cites": remark.cites,
    }
