"""Whether a bonding or grounding conductor is thick enough for what it joins."""

from __future__ import annotations

from fractions import Fraction

from checklist.calculations.bonding.gauge import SIZES, area_cmil, diameter_in, gauge_text
from checklist.calculations.judging import Computed, Judgement, near
from checklist.calculations.kinds import Calculation, Given, Input, Result
from checklist.calculations.refusals import InputRefused
from checklist.quantities import Quantity
from checklist.rulebook import Book

_SERVICES = ("2 or smaller", "1 or 1/0", "2/0 or 3/0", "over 3/0 to 350", "over 350 to 600",
             "over 600 to 1100", "over 1100")  # fmt: skip
_EXTRA = {
    "service-electrode": "service",
    "equipment": "device",
    "transmitter-protective": "lead-in",
}

_INPUTS = (
    Input(
        "purpose",
        "what the conductor does",
        example="jumper",
        choices={
            "antenna": "bonds a mast or a discharge unit",
            "jumper": "joins a separate electrode to the power system's electrodes",
            "service-electrode": "runs from the service to its electrodes",
            "rod-alone": "runs from the service to a rod and to nothing else",
            "equipment": "grounds equipment beside its circuit",
            "transmitter-protective": "protective ground of a transmitting station",
            "transmitter-operating": "operating ground of a transmitting station",
        },
    ),
    Input("awg", "the gauge of the conductor", example="6", choices={s: s for s in SIZES}),
    Input("material", "what it is made of", example="copper",
          choices={m: m for m in ("copper", "aluminium", "copper-clad steel", "bronze")}),
    Input("service", "the copper conductors of the service, AWG or kcmil, for service-electrode",
          example="2/0 or 3/0", choices={s: s for s in _SERVICES}, optional=True),
    Input("device", "the rating of the circuit's breaker or fuse, for equipment", "current",
          "20 A", optional=True, most="10000 A"),
    Input("lead-in", "the gauge of the lead-in, for transmitter-protective", example="14",
          choices={s: s for s in SIZES}, optional=True),
    Input("above-earth", "for aluminium outdoors: its least height over the earth, 0 in where it "
          "touches earth or masonry", "length", "24 in", optional=True, least="0 in",
          most="1000 ft"),
)  # fmt: skip


def _refuse(inputs: Given) -> None:
    name = _EXTRA.get(inputs.word("purpose"))
    if name and name not in inputs.unknown and not inputs.values.get(name):
        raise InputRefused(
            name, f"the purpose {inputs.word('purpose')} needs it", right="Give it, or “unknown”."
        )


def _compute(inputs: Given, book: Book) -> Result:
    judgement = Judgement()
    purpose, awg = inputs.word("purpose"), inputs.word("awg")
    material = inputs.word("material")
    for name, known in (
        ("what the conductor does", purpose), ("its gauge", awg), ("its material", material),
    ):  # fmt: skip
        if not known:
            judgement.unknown(name)
    if material == "aluminium":
        _aluminium(judgement, inputs, book)
    if not purpose or not material:
        return judgement.result()
    if material != "copper" and purpose != "antenna":
        judgement.unknown(f"{material} for this", "has no row in the tables here, which are copper")
        return judgement.result()
    needed = _needed(judgement, inputs, book)
    if needed is not None:
        _hold(judgement, awg, needed, material)
    if purpose == "antenna":
        judgement.caution("For lightning, NFPA 780 asks for a thicker main conductor than this.")
    return judgement.result()


def _needed(judgement: Judgement, inputs: Given, book: Book) -> Quantity | None:
    """Return the thinnest gauge allowed, or None where an input is unknown or no row covers it."""
    purpose = inputs.word("purpose")
    single = {
        "jumper": "jumper",
        "rod-alone": "rod-alone",
        "transmitter-operating": "operating-ground",
    }
    if purpose in single:
        return judgement.value(book.value(f"bonding/{single[purpose]}"))
    if purpose == "antenna":
        row = book.table("bonding/antenna-ground").row(inputs.word("material"))
        return judgement.cell(row, "gauge")
    if purpose == "service-electrode":
        return _by_service(judgement, inputs.word("service"), book)
    if purpose == "equipment":
        return _by_device(judgement, inputs.quantity("device"), book)
    return _by_lead_in(judgement, inputs.word("lead-in"), book)


def _by_service(judgement: Judgement, service: str, book: Book) -> Quantity | None:
    if not service:
        judgement.unknown("the conductors of the service")
        return None
    return judgement.cell(book.table("bonding/service-electrode").row(service), "gauge")


def _by_device(judgement: Judgement, device: Quantity | None, book: Book) -> Quantity | None:
    if device is None:
        judgement.unknown("the rating of the circuit")
        return None
    row = book.table("bonding/equipment-ground").up_to(device)
    if row is None:
        judgement.unknown(f"a circuit of {device.text()}", "has no row in the table here")
        return None
    return judgement.cell(row, "gauge")


def _by_lead_in(judgement: Judgement, lead_in: str, book: Book) -> Quantity | None:
    least = judgement.value(book.value("bonding/protective-ground"))
    if not lead_in:
        judgement.unknown("the gauge of the lead-in")
        return least
    return min(least, Quantity.of(SIZES[lead_in], "AWG"))


def _hold(judgement: Judgement, awg: str, needed: Quantity, material: str) -> None:
    area = Computed(Fraction(area_cmil(int(needed.value))), "cmil")
    # The oughts have no number that people read; the area and the line below say them.
    if needed.value > 0:
        judgement.output("gauge", f"thinnest {material} allowed", needed, "down")
    judgement.output("area", "its area", area)
    number = int(needed.value)
    judgement.lines.append(f"thinnest {material}: {gauge_text(number)}")
    judgement.lines.append(
        f"its diameter: 0.005 in x 92^((36 - {number}) / 39) = {diameter_in(number):.5g} in"
    )
    judgement.lines.append(
        f"its area: (1000 mil/in x {diameter_in(number):.5g} in)^2 = {near(area)}"
    )
    if not awg:
        return
    has = Quantity.of(SIZES[awg], "AWG")
    said = f"{awg} AWG {material}, at least {gauge_text(int(needed.value))} is needed"
    if has > needed:
        judgement.over(f"{said}: a larger number is thinner.", "gauge")
    else:
        judgement.met(f"{said}.", "gauge")


def _aluminium(judgement: Judgement, inputs: Given, book: Book) -> None:
    height = inputs.quantity("above-earth")
    if height is None:
        judgement.unknown("how far the aluminium is from earth and masonry", "was not given")
        return
    least = judgement.value(book.value("bonding/aluminium-height"))
    judgement.at_least("aluminium above earth", height, least, "NEC 810.21(A), outdoors")


BONDING_CONDUCTOR = Calculation(
    name="bonding-conductor",
    title="Size of a bonding conductor",
    version=1,
    inputs=_INPUTS,
    formula="the gauge is not thinner than the row of the section that governs its purpose",
    sources=(
        "nec-810-21-h", "nec-810-21-j", "nec-810-21-a", "nec-810-58", "nec-250-66", "nec-250-122",
        "awg-definition",
    ),
    assumptions=(
        "Copper tables but for masts and discharge units.",
        "Run straight, protected from damage, listed clamps, no joint that depends on solder.",
        "The service side is the work of a licensed electrician.",
    ),
    compute=_compute,
    refuse=_refuse,
)  # fmt: skip
