"""Whether everything hangs together in one system, at a single point, and without loops."""

from __future__ import annotations

from checklist.calculations.bonding.network import Kind, Network, Node, Role, names
from checklist.calculations.bonding.network_graph import component, loops, tree_from
from checklist.calculations.bonding.network_remarks import Remarks

_FIXED = (Role.BOND, Role.ELECTRODE_CONDUCTOR, Role.STRUCTURE)
"""What joins electrodes: a cord or a shield can be unplugged."""

_SAFETY = (*_FIXED, Role.EQUIPMENT_GROUND)
_KEPT = "Every equipment ground and every jumper between electrodes stays."


def check_connection(network: Network, remarks: Remarks) -> None:
    """Note what is separate, what hangs in a row, and what goes round."""
    services = network.of(Kind.SERVICE)
    if not services:
        remarks.over(
            "no service",
            (),
            "no service is described, so nothing shows that this is one system with its electrode",
            "Describe the service and the bond to it.",
            "nec-250-50",
        )
    _separate(network, remarks)
    _bus(network, remarks)
    _daisy_chains(network, remarks)
    _loops(network, remarks)


def root_of(network: Network) -> str:
    """Return the node from which the network is drawn: the bus, else the service, else any."""
    for kinds in ((Kind.BUS,), (Kind.SERVICE,), tuple(k for k in Kind if k is not Kind.LINE)):
        found = network.of(*kinds)
        if found:
            return found[0].name
    return ""


def _separate(network: Network, remarks: Remarks) -> None:
    services = network.of(Kind.SERVICE)
    if not services:
        return
    main = services[0].name
    fixed = component(main, network.joined_by(*_FIXED))
    safety = component(main, network.joined_by(*_SAFETY))
    bus = root_of(network)
    for node in network.nodes:
        if node.name in fixed or node.kind is Kind.LINE:
            continue
        if node.kind in (Kind.ELECTRODE, Kind.SERVICE):
            remarks.over(
                f"separate {node.kind}",
                (node.name,),
                f"the {node.kind} {node.name} is not bonded to the service {main}",
                f"Bond {node.name} to {bus if bus in fixed else main} with copper of"
                f" {remarks.value('bonding/jumper').text()} or thicker.",
                "nec-250-50",
            )
        elif node.kind is Kind.EQUIPMENT:
            _loose_equipment(node, node.name in safety, remarks)
        elif node.kind is Kind.METAL:
            remarks.caution(
                "not bonded",
                (node.name,),
                f"the metal {node.name} is not bonded to the service {main}",
                "Ask a licensed electrician whether it must be.",
                "practice",
            )
        else:
            remarks.over(
                "not bonded",
                (node.name,),
                f"the {node.kind} {node.name} is not bonded to the service {main}",
                f"Bond {node.name} to {bus if bus in fixed and bus != node.name else main}.",
                "nec-810-15" if node.kind is Kind.TOWER else "nec-810-21-f",
            )


def _loose_equipment(node: Node, has_cord: bool, remarks: Remarks) -> None:
    if has_cord:
        remarks.caution(
            "cord alone",
            (node.name,),
            f"the equipment {node.name} is bonded by its cord alone",
            "Add a bond of its own to the bus; the cord's ground stays.",
            "practice",
        )
    else:
        remarks.over(
            "not bonded",
            (node.name,),
            f"the equipment {node.name} is not bonded to the service",
            f"Bond {node.name} to the bus.",
            "nec-810-71",
        )


def _bus(network: Network, remarks: Remarks) -> None:
    buses = network.of(Kind.BUS)
    if not buses:
        remarks.caution(
            "no bus",
            (),
            "no ground bus is described, so there is no single point to which all is bonded",
            "Fit an accessible bus and bring every bond to it.",
            "nec-250-94",
        )
        return
    for bus in buses:
        _terminals(network, bus, remarks)
    _single_point(network, buses, remarks)


def _terminals(network: Network, bus: Node, remarks: Remarks) -> None:
    least = remarks.value("bonding-network/terminals")
    if bus.terminals is None or bus.terminals < least.si:
        said = "are not counted" if bus.terminals is None else f"are {bus.terminals}"
        remarks.caution(
            "few terminals",
            (bus.name,),
            f"the terminals of the bus {bus.name} {said}, at least {least.value} are asked for",
            "Count them, and fit a bus with enough.",
            "nec-250-94",
        )
    on_it = sum(bus.name in (bond.from_, bond.to) for bond in network.bonds)
    if bus.terminals is not None and on_it > bus.terminals:
        remarks.caution(
            "few terminals",
            (bus.name,),
            f"{on_it} conductors meet at the bus {bus.name}, which has {bus.terminals} terminals",
            "Fit a bus with a terminal for each; one clamp takes one conductor.",
            "nec-250-8",
        )


def _single_point(network: Network, buses: tuple[Node, ...], remarks: Remarks) -> None:
    around = names(network.of(Kind.SERVICE))
    for node in network.of(Kind.EQUIPMENT, Kind.ENTRY, Kind.TOWER):
        fixed = network.joined_by(*_FIXED)
        joined = component(node.name, fixed)
        past = component(node.name, fixed, without=around)
        if joined & set(around) and not past & set(names(buses)):
            remarks.caution(
                "not at the single point",
                (node.name,),
                f"the {node.kind} {node.name} meets the rest at the service, past the bus",
                f"Add a bond from {node.name} to {buses[0].name}. {_KEPT}",
                "practice",
            )


def _daisy_chains(network: Network, remarks: Remarks) -> None:
    """Note equipment that hangs on the system only through other equipment."""
    equipment = set(names(network.of(Kind.EQUIPMENT)))
    fixed = network.joined_by(*_FIXED)
    for name in sorted(equipment):
        all_of_it = component(name, fixed)
        own = component(name, fixed, without=equipment - {name})
        if all_of_it - equipment and not own - equipment:
            bond = next(b for b in fixed if name in (b.from_, b.to))
            remarks.caution(
                "daisy chain",
                (name, bond.name),
                f"the equipment {name} is bonded only through other equipment, by the"
                f" {bond.between()}",
                f"Run a bond of its own from {name} to the bus, and keep this one until it is on.",
                "practice",
            )


def _loops(network: Network, remarks: Remarks) -> None:
    rank = {role: place for place, role in enumerate(Role)}
    ordered = tuple(sorted(network.bonds, key=lambda bond: rank[bond.role]))
    seen: set[str] = set()
    for start in (root_of(network), *names(network.nodes)):
        if not start or start in seen:
            continue
        tree = tree_from(start, ordered)
        seen |= set(tree.order)
        for loop in loops(tree):
            remarks.caution(
                "loop",
                tuple(bond.name for bond in loop.bonds),
                f"a loop goes {' - '.join(loop.nodes)}, closed by the {loop.bonds[-1].between()}",
                f"Run its conductors close together, or by another way. {_KEPT}",
                "practice",
            )
