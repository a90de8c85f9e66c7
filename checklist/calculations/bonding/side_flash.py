"""How far metal must be from a lightning conductor, or else be bonded to it."""

from __future__ import annotations

from checklist.calculations.judging import Computed, Judgement, given, near
from checklist.calculations.kinds import Calculation, Given, Input, Result
from checklist.quantities import Quantity
from checklist.rulebook import Book

_INPUTS = (
    Input("height", "the height from the place in question to where the conductors are bonded "
          "together or to ground", "length", "30 ft", most="2500 ft"),
    Input("down-conductors", "how many down conductors share the current there", example="1",
          choices={"1": "one", "2": "two", "3 or more": "three or more"}),
    Input("medium", "what lies between", example="air",
          choices={"air": "air", "solid": "a wall of brick, wood or concrete"}),
    Input("distance", "the distance between conductor and metal", "length", "6 ft", least="0 ft",
          most="2500 ft"),
)  # fmt: skip


def _compute(inputs: Given, book: Book) -> Result:
    judgement = Judgement()
    height, distance = inputs.quantity("height"), inputs.quantity("distance")
    conductors, medium = inputs.word("down-conductors"), inputs.word("medium")
    for name, known in (
        ("the height", height), ("the number of down conductors", conductors),
        ("what lies between", medium), ("the distance", distance),
    ):  # fmt: skip
        if not known:
            judgement.unknown(name)
    if height is not None:
        # One conductor is the strictest where their number is unknown.
        needed = _needed(judgement, height, conductors or "1", medium, book)
        if distance is not None:
            judgement.at_least("distance", distance, needed, "bond it, or keep it apart")
    if distance is not None:
        lead = judgement.value(book.value("bonding/lightning-lead"))
        judgement.lines.append(f"a lead-in from lightning conductors: {lead.text()} at least")
        if distance < lead:
            judgement.caution(
                f"{given(distance)} is below {given(lead)}: an antenna's lead-in stays that far "
                "from lightning conductors."
            )
    return judgement.result()


def _needed(
    judgement: Judgement, height: Quantity, conductors: str, medium: str, book: Book
) -> Computed:
    """Return the distance through air; the smaller one for a wall is put out beside it."""
    unit = height.unit.symbol
    divisor = judgement.value(book.value("bonding/side-flash-divisor"))
    n = judgement.cell(book.table("bonding/down-conductors").row(conductors), "n")
    air = judgement.cell(book.table("bonding/side-flash-medium").row("air"), "km")
    needed = Computed(height.to(unit) * air.si / (divisor.si * n.si), unit)
    judgement.lines.append(
        f"D = {height.text()} x {air.value} / ({divisor.value} x {n.value}) = {near(needed)}"
    )
    judgement.output("needed", "bonding distance, reckoned through air", needed)
    if medium == "solid":
        km = judgement.cell(book.table("bonding/side-flash-medium").row("solid"), "km")
        wall = Computed(needed.exact * km.si, unit)
        judgement.output("through-wall", "the same with the source's factor for a wall", wall)
        judgement.lines.append(f"Km for a wall: {near(needed)} x {km.value} = {near(wall)}")
        judgement.caution("Sources differ on walls: a wall is counted as air here.")
    return needed


SIDE_FLASH = Calculation(
    name="side-flash",
    title="Bonding distance at a lightning conductor",
    version=1,
    inputs=_INPUTS,
    formula="D = h Km / (6 n), Km by what lies between, n = 1, 1.5 or 2.25 by the number of "
    "down conductors",
    sources=("nfpa-780", "nfpa-780-quotient", "nec-810-18"),
    assumptions=(
        "The quotient is from memory: it may stop, and permits nothing by itself.",
        "Metal nearer than this is bonded or moved, by a licensed person.",
    ),
    compute=_compute,
)
