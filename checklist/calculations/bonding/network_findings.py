"""All that is found about a bonding network, as one result with its verdict words."""

from __future__ import annotations

from dataclasses import dataclass

from checklist.calculations.bonding.network import Network
from checklist.calculations.bonding.network_conductors import check_conductors
from checklist.calculations.bonding.network_connection import check_connection
from checklist.calculations.bonding.network_entries import check_electrodes, check_entries
from checklist.calculations.bonding.network_remarks import Remark, Remarks, Weight
from checklist.calculations.kinds import Outcome, Output, Result
from checklist.quantities import Quantity
from checklist.rulebook import Book, Cited

VERSION = 1
"""Raised whenever the same network could give other findings."""

FORMULA = (
    "Every electrode and service in one connected graph of bonds; independent loops ="
    " conductors - nodes + connected parts; each conductor against the least gauge for what it"
    " does; each line against the protector at its entry."
)

ASSUMPTIONS = (
    "What is not described in the station file is not looked at: go round and compare.",
    "The service is taken to have its own electrodes, described or not: a licensed electrician"
    " knows.",
    "A cord's equipment ground joins equipment, never electrodes; a cable's shield joins nothing.",
    "The sizes of equipment grounds, shields and structure are not judged here.",
    "The service's own electrode conductor is held against the least of its table alone; it is"
    " the licensed electrician's.",
    "A protective ground must not be thinner than the lead-in that it serves (NEC 810.58): compare"
    " the two.",
    "A strap is taken by its cross-section against that of the round wire.",
    "Bends, corrosion, and the resistance of joints are looked at and measured, not computed.",
    "A lightning protection system asks for thicker conductors than are held against here.",
)


@dataclass(frozen=True, slots=True)
class NetworkFindings:
    """What was found, the stricter first, and by which published values."""

    outcome: Outcome
    remarks: tuple[Remark, ...]
    lines: tuple[str, ...]
    """What was compared and passes, a line each."""

    used: tuple[Cited, ...]
    counts: tuple[Output, ...]

    def of(self, weight: Weight) -> tuple[Remark, ...]:
        """Return the remarks of one weight."""
        return tuple(remark for remark in self.remarks if remark.weight is weight)

    def says(self) -> str:
        """Return one sentence: the first thing that stops, or that no stop was found."""
        for weight in (Weight.OVER, Weight.NOT_SHOWN):
            found = self.of(weight)
            if found:
                return found[0].sentence()
        return "What was described was compared, and no stop was found in it."


def examine(network: Network, book: Book) -> NetworkFindings:
    """Return everything that is found about the network by the values in the book.

    Over beats not shown, not shown beats within. Sources: each remark cites its own.
    """
    remarks = Remarks(book)
    check_connection(network, remarks)
    check_entries(network, remarks)
    check_conductors(network, remarks)
    check_electrodes(network, remarks)
    _unverified_is_said(remarks)
    ranks = list(Weight)
    found = tuple(sorted(remarks.found, key=lambda remark: ranks.index(remark.weight)))
    return NetworkFindings(
        outcome=_outcome(found),
        remarks=found,
        lines=tuple(remarks.lines),
        used=tuple(remarks.used.values()),
        counts=_counts(network, found),
    )


def as_result(findings: NetworkFindings) -> Result:
    """Return the findings in the form that every calculation answers with."""
    stops = (*findings.of(Weight.OVER), *findings.of(Weight.NOT_SHOWN))
    return Result(
        outcome=findings.outcome,
        says=findings.says(),
        outputs=findings.counts,
        stops=tuple(remark.sentence() for remark in stops),
        cautions=tuple(remark.sentence() for remark in findings.of(Weight.CAUTION)),
        decided_by=", ".join(stops[0].where) or stops[0].rule if stops else "",
        used=findings.used,
        lines=findings.lines,
    )


def _outcome(found: tuple[Remark, ...]) -> Outcome:
    weights = {remark.weight for remark in found}
    if Weight.OVER in weights:
        return Outcome.OVER
    return Outcome.NOT_SHOWN if Weight.NOT_SHOWN in weights else Outcome.WITHIN


def _unverified_is_said(remarks: Remarks) -> None:
    named = [
        f"{cited.means}, {cited.value}" for cited in remarks.used.values() if cited.is_unverified
    ]
    if named:
        remarks.caution(
            "unverified", (), f"rests on what is only from memory: {'; '.join(named)}",
            "Look it up in the local code.", "practice",
        )  # fmt: skip


def _counts(network: Network, found: tuple[Remark, ...]) -> tuple[Output, ...]:
    loops = sum(remark.rule == "loop" for remark in found)
    return (
        Output("nodes", "what is described", Quantity.of(len(network.nodes), "1")),
        Output("conductors", "conductors between them", Quantity.of(len(network.bonds), "1")),
        Output("loops", "independent loops", Quantity.of(loops, "1")),
    )
