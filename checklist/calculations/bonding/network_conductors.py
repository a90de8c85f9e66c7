"""Whether each conductor of the network is thick enough, of fit material, and known."""

from __future__ import annotations

from dataclasses import replace

from checklist.calculations.bonding.gauge import area_cmil, gauge_text
from checklist.calculations.bonding.network import MATERIALS, Bond, Kind, Network, Role
from checklist.calculations.bonding.network_graph import component, other_end
from checklist.calculations.bonding.network_remarks import Remarks
from checklist.quantities import Quantity

_JUDGED = (Role.BOND, Role.ELECTRODE_CONDUCTOR)
_SOFT = {"solder": "solder", "twisted": "twisted wire"}


def check_conductors(network: Network, remarks: Remarks) -> None:
    """Note every conductor that is too thin, of unfit material, badly joined, or not described."""
    ties = _ties(network, remarks)
    for bond in network.joined_by(*_JUDGED):
        _described(bond, remarks)
        _thick_enough(network, bond, ties, remarks)
        _aluminium(bond, remarks)
    for bond in network.bonds:
        if bond.joints in _SOFT:
            remarks.over(
                "joint",
                (bond.name,),
                f"the joints of the {bond.between()} depend on {_SOFT[bond.joints]}",
                "Make them with listed clamps or lugs, or exothermic welds.",
                "nec-250-8",
            )
    unseen = tuple(b.name for b in network.joined_by(*_JUDGED) if not b.joints)
    if unseen:
        remarks.caution(
            "joints not described",
            unseen,
            f"the joints of {', '.join(unseen)} are not described",
            "Look at each end: listed clamp or lug, clean, tight, one conductor in each.",
            "nec-250-8",
        )


def _described(bond: Bond, remarks: Remarks) -> None:
    if bond.length is None:
        remarks.not_shown(
            "length unknown",
            (bond.name,),
            f"the length of the {bond.between()} is not given",
            "Measure it along the conductor.",
            "nec-810-21-e",
        )
    if bond.material not in MATERIALS:
        remarks.not_shown(
            "material unknown",
            (bond.name,),
            f"the material of the {bond.between()} is not given",
            "Look at it and write it down.",
            "nec-810-21-a",
        )


def _thick_enough(network: Network, bond: Bond, ties: frozenset[str], remarks: Remarks) -> None:
    if not _is_sized(bond):
        remarks.not_shown(
            "size unknown",
            (bond.name,),
            f"the size of the {bond.between()} is not given",
            "Read its gauge; measure width and thickness of a strap.",
            "nec-810-21-h",
        )
        return
    if bond.material not in MATERIALS:
        return
    if bond.name in ties and bond.material != "copper":
        remarks.not_shown(
            "jumper material",
            (bond.name,),
            f"the {bond.between()} ties electrodes together and is {bond.material}, and what of it"
            f" equals copper of {remarks.value('bonding/jumper').text()} is not in the tables",
            "Ask a licensed electrician, or add a copper jumper beside it.",
            "nec-810-21-j",
        )
        return
    need, why, source = _needed(network, bond, ties, remarks)
    least = gauge_text(int(need.value))
    said = f"the {bond.between()} is {_size(bond)} {bond.material}, needs {least} or thicker: {why}"
    if _is_thinner(bond, need):
        remarks.over(
            "undersized",
            (bond.name,),
            said,
            f"Add a conductor of {least} or thicker, and keep this one until it is on.",
            source,
        )
    else:
        remarks.lines.append(said)


def _needed(
    network: Network, bond: Bond, ties: frozenset[str], remarks: Remarks
) -> tuple[Quantity, str, str]:
    if bond.role is Role.ELECTRODE_CONDUCTOR:
        row = remarks.row("bonding/service-electrode", "2 or smaller")
        why = "the least to an electrode of any service; the licensed electrician knows this one"
        return row["gauge"], why, "nec-250-66"
    if bond.name in ties:
        jumper = remarks.value("bonding/jumper")
        return jumper, "it ties electrodes together", "nec-810-21-j"
    ends = {network.node(bond.from_).kind, network.node(bond.to).kind}
    if Kind.EQUIPMENT in ends and bond.material == "copper":
        least = remarks.value("bonding/protective-ground")
        return least, "it is the protective ground of equipment", "nec-810-58"
    row = remarks.row("bonding/antenna-ground", bond.material)
    return row["gauge"], f"the least of {bond.material} here", "nec-810-21-h"


def _ties(network: Network, remarks: Remarks) -> frozenset[str]:
    """Return the bonds by which alone electrodes or services are tied together.

    Whatever already hangs together by copper as thick as a jumper, by the electrician's
    conductor or by structure, counts as one; of the rest, what lies between two such groups
    with electrodes in them is what ties these together.
    """
    jumper = remarks.value("bonding/jumper")
    strong = [
        b
        for b in network.joined_by(Role.BOND, Role.ELECTRODE_CONDUCTOR, Role.STRUCTURE)
        if b.role is not Role.BOND
        or (b.material == "copper" and _is_sized(b) and not _is_thinner(b, jumper))
    ]
    group = {n.name: min(component(n.name, strong)) for n in network.nodes}
    ends = {group[n.name] for n in network.of(Kind.ELECTRODE, Kind.SERVICE)}
    among = [
        replace(b, from_=group[b.from_], to=group[b.to])
        for b in network.joined_by(Role.BOND)
        if group[b.from_] != group[b.to]
    ]
    weak = [b for b in among if len(ends) > 1 and _joins_two(b, among, ends)]
    thick = [b for b in strong if b.role is Role.BOND and _is_between(b, strong, network)]
    return frozenset(b.name for b in (*weak, *thick))


def _joins_two(bond: Bond, among: list[Bond], ends: set[str]) -> bool:
    """Whether some way between two different ends goes through this conductor.

    By Menger's theorem it does just where no single other node cuts both its ends off.
    """
    rest = [b for b in among if b is not bond]
    for cut in {bond.from_, bond.to}.union(*({b.from_, b.to} for b in rest)):
        sides = {bond.from_, bond.to} - {cut}
        if not any(component(side, rest, without={cut}) & (ends - {cut}) for side in sides):
            return False
    return True


def _is_between(bond: Bond, strong: list[Bond], network: Network) -> bool:
    """Whether a thick bond has electrodes on either side of it; it is then judged as a jumper."""
    rest = [b for b in strong if b is not bond]
    far = {n.name for n in network.of(Kind.ELECTRODE, Kind.SERVICE)}
    sides = component(bond.from_, rest), component(other_end(bond, bond.from_), rest)
    return sides[0] != sides[1] and all(side & far for side in sides)


def _is_sized(bond: Bond) -> bool:
    return bond.gauge is not None or (bond.width is not None and bond.thickness is not None)


def _is_thinner(bond: Bond, need: Quantity) -> bool:
    if bond.gauge is not None:
        return bond.gauge > need
    if bond.width is None or bond.thickness is None:
        return True
    area = Quantity.of(bond.width.si * bond.thickness.si, "m2")
    return area.number("cmil") < area_cmil(int(need.value))


def _size(bond: Bond) -> str:
    if bond.gauge is not None:
        return gauge_text(int(bond.gauge.value))
    return f"a strap {bond.width} x {bond.thickness} of"


def _aluminium(bond: Bond, remarks: Remarks) -> None:
    if bond.material != "aluminium":
        return
    where, name = (bond.name,), f"the {bond.between()}"
    remedy = "Add a copper conductor there, and keep this one until it is on."
    if bond.outdoors is None:
        remarks.not_shown(
            "aluminium near earth", where, f"whether {name}, aluminium, runs outdoors is not given",
            "Look, and write it down.", "nec-810-21-a",
        )  # fmt: skip
    elif bond.outdoors:
        remarks.at_least(
            "aluminium near earth", where, f"the least height over earth of {name}, aluminium,",
            bond.above_earth, "bonding/aluminium-height", remedy, "nec-810-21-a",
        )  # fmt: skip
    if bond.on_masonry is None:
        remarks.not_shown(
            "aluminium on masonry", where,
            f"whether {name}, aluminium, touches masonry, is not given",
            "Look, and write it down.", "nec-810-21-a",
        )  # fmt: skip
    elif bond.on_masonry:
        remarks.over(
            "aluminium on masonry", where, f"{name} is aluminium and touches masonry",
            remedy, "nec-810-21-a",
        )  # fmt: skip
