"""Whether each line that enters has its protector at the entry, and each electrode is whole."""

from __future__ import annotations

from checklist.calculations.bonding.network import Kind, Network, Node, Role
from checklist.calculations.bonding.network_graph import component
from checklist.calculations.bonding.network_remarks import Remarks
from checklist.quantities import rounded

NOTHING = "nothing"
"""What stands for a line that has no protector."""

AT_SERVICE = ("power", "telephone", "network cable", "pipe")
"""Lines whose protector or clamp may be at the service instead of the station's entry."""

_LONE = ("rod", "plate", "other")
"""Electrodes that need a second one unless they are measured."""


def check_entries(network: Network, remarks: Remarks) -> None:
    """Note every line without a protector, or with one elsewhere than at its entry."""
    for line in network.of(Kind.LINE):
        where = (line.name,)
        if line.protected_by == NOTHING:
            remarks.over(
                "unprotected line", where, f"the line {line.name} enters without a protector",
                "Fit a listed discharge unit or protector at the entry, bonded there.",
                "nec-810-20",
            )  # fmt: skip
        elif not line.protected_by or not line.protected_at:
            missing = "its protector" if not line.protected_by else "where its protector is bonded"
            remarks.not_shown(
                "protector unknown", where, f"of the line {line.name}, {missing} is not given",
                "Follow the line to its entry, and write down what is there.", "nec-810-20",
            )  # fmt: skip
        else:
            _at_the_entry(network, line, remarks)


def _at_the_entry(network: Network, line: Node, remarks: Remarks) -> None:
    there = network.node(line.protected_at)
    fits = there.kind is Kind.ENTRY or (there.kind is Kind.BUS and there.lines_enter is True)
    if not fits and there.kind is Kind.SERVICE and line.enters_as in AT_SERVICE:
        fits = True
    where = (line.name, there.name)
    if there.kind is Kind.BUS and there.lines_enter is None:
        remarks.not_shown(
            "protector elsewhere", where,
            f"whether lines enter right at the bus {there.name}, where {line.name} is protected,"
            " is not given",
            "Look, and write it down.", "nec-810-20",
        )  # fmt: skip
    elif not fits:
        remarks.over(
            "protector elsewhere", where,
            f"the protector of the line {line.name} is at the {there.kind} {there.name}, not at"
            " the entry",
            "Fit one where the line enters, at the entry plate.", "nec-810-20",
        )  # fmt: skip
    elif line.protected_by == "grounded shield":
        remarks.caution(
            "inner conductor", where,
            f"the line {line.name} has its shield grounded at {there.name}, and nothing for its"
            " inner conductor",
            "Add a discharge unit for it at the entry.", "practice",
        )  # fmt: skip


def check_electrodes(network: Network, remarks: Remarks) -> None:
    """Note short rods, rods too near each other, and a single electrode that is not measured."""
    rods = [n for n in network.of(Kind.ELECTRODE) if n.electrode == "rod"]
    for rod in rods:
        remarks.at_least(
            "short rod", (rod.name,), f"the length in soil of the rod {rod.name}", rod.length,
            "earth/rod-length",
            "Drive a full one and bond it to the system; keep this one bonded.", "nec-250-52-rod",
        )  # fmt: skip
        if len(rods) > 1:
            remarks.at_least(
                "near rods", (rod.name,), f"the distance from the rod {rod.name} to the nearest",
                rod.nearest_rod, "earth/rod-spacing",
                "Drive a further one at a distance; keep this one bonded.", "nec-250-53",
            )  # fmt: skip
    for node in network.of(Kind.ELECTRODE):
        if not node.electrode:
            remarks.not_shown(
                "electrode unknown", (node.name,),
                f"what kind of electrode {node.name} is, is not given",
                "Look at it: rod, plate, ring, concrete-encased or water pipe.", "nec-250-52-rod",
            )  # fmt: skip
    _single(network, remarks)


def _single(network: Network, remarks: Remarks) -> None:
    """Note a lone electrode: a measured value only decides whether a second one is needed."""
    fixed = network.joined_by(Role.BOND, Role.ELECTRODE_CONDUCTOR, Role.STRUCTURE)
    for service in network.of(Kind.SERVICE):
        joined = component(service.name, fixed)
        there = [n for n in network.of(Kind.ELECTRODE) if n.name in joined]
        if len(there) != 1 or there[0].electrode not in _LONE:
            continue
        alone, limit = there[0], remarks.value("earth/single-rod")
        remedy = "Drive a supplemental electrode and bond it to this one."
        if alone.resistance is None:
            remarks.not_shown(
                "single electrode", (alone.name,),
                f"the electrode {alone.name} is the only one described, and its resistance is"
                " not given",
                f"Describe the service's own electrodes. If it is alone: {remedy}", "nec-250-53",
            )  # fmt: skip
        elif alone.resistance > limit:
            remarks.over(
                "single electrode", (alone.name,),
                f"the electrode {alone.name} is the only one, at {alone.resistance}, above"
                f" {rounded(limit, side='down')}",
                remedy, "nec-250-53",
            )  # fmt: skip
        else:
            remarks.lines.append(
                f"the electrode {alone.name} is the only one, at {alone.resistance},"
                f" at most {limit}"
            )
