"""How long the fuel at hand lasts, and whether it may be kept where it is."""

from __future__ import annotations

from checklist.calculations.judging import Computed, Judgement, high, low, near
from checklist.calculations.kinds import Calculation, Given, Input, Result
from checklist.calculations.refusals import InputRefused
from checklist.quantities import Quantity
from checklist.rulebook import Book

_FEDERAL = {"detached-room": "fuel/room", "cabinet": "fuel/cabinet"}

_INPUTS = (
    Input("hours", "how long the set is to run", "time", "8 h", most="60 d"),
    Input(
        "consumption",
        "what the set burns at this load, from its manual; or give the load",
        "volume flow",
        "0.35 gal/h",
        optional=True,
        most="100 gal/h",
    ),
    Input(
        "load",
        "the electrical load, where the consumption is not known",
        "power",
        "2000 W",
        optional=True,
        most="200 kW",
    ),
    Input(
        "fuel-at-hand",
        "all the petrol at hand, in the tank and in cans",
        "volume",
        "5 gal",
        least="0 gal",
        most="10000 gal",
    ),
    Input(
        "kept",
        "where the cans stand",
        example="outdoors",
        choices={
            "outdoors": "outdoors, away from buildings, flame and people",
            "detached-room": "in a detached building where nobody lives",
            "cabinet": "in an approved storage cabinet in such a building",
            "dwelling": "in or under a dwelling, a tent or camper, or in an attached garage",
        },
    ),
    Input(
        "largest-can",
        "the size of the largest can",
        "volume",
        "5 gal",
        optional=True,
        most="1000 gal",
    ),
    Input(
        "local-limit",
        "what the local fire code or fire authority allows",
        "volume",
        "10 gal",
        optional=True,
        least="0 gal",
        most="10000 gal",
    ),
)


def _refuse(inputs: Given) -> None:
    has = {n for n in ("consumption", "load") if n in inputs.unknown or inputs.quantity(n)}
    if len(has) == 2:
        raise InputRefused(
            "consumption", "both consumption and load were given",
            right="Give the consumption alone if the manual has it.",
        )  # fmt: skip
    if not has:
        raise InputRefused(
            "consumption", "nothing was given", right="Give what the set burns, as 0.35 gal/h, or "
            "its load in watts.",
        )  # fmt: skip


def burnt(load: Quantity, judgement: Judgement, book: Book) -> Computed:
    """Return the petrol that a small set burns for an electrical load, in gal/h.

    Load over alternator efficiency, in horsepower, times the specific consumption, over the
    weight of a gallon. Handbook figures from memory; a light load burns more for each kWh.
    """
    per_horsepower = judgement.value(book.value("fuel/specific-consumption"))
    weight = judgement.value(book.value("fuel/petrol-weight"))
    efficiency = judgement.value(book.value("fuel/alternator-efficiency"))
    per_hp = judgement.value(book.value("fuel/horsepower"))
    horsepower = load.si / efficiency.si / per_hp.si
    rate = Computed(horsepower * per_horsepower.si / weight.si, "gal/h")
    judgement.lines.append(
        f"{load.text()} / {efficiency.text()} / {near(per_hp)} for each hp = "
        f"{float(horsepower):.5g} hp"
    )
    judgement.lines.append(
        f"burnt: {float(horsepower):.5g} hp x {per_horsepower.text()} for each hp h / "
        f"{weight.text()} for each gal = {near(rate)}"
    )
    return rate


def _compute(inputs: Given, book: Book) -> Result:
    judgement = Judgement()
    hours, at_hand = inputs.quantity("hours"), inputs.quantity("fuel-at-hand")
    for name, known in (("running time", hours), ("fuel at hand", at_hand)):
        if known is None:
            judgement.unknown(f"the {name}")
    rate = _rate(judgement, inputs, book)
    if rate is None:
        judgement.unknown("what the set burns")
    elif hours is not None:
        _hold_hours(judgement, rate, hours, at_hand)
    _storage(judgement, inputs, at_hand, book)
    return judgement.result()


def _rate(judgement: Judgement, inputs: Given, book: Book) -> Computed | None:
    known, load = inputs.quantity("consumption"), inputs.quantity("load")
    if known is not None:
        return Computed(known.to("gal/h"), "gal/h")
    return None if load is None else burnt(load, judgement, book)


def _hold_hours(
    judgement: Judgement, rate: Computed, hours: Quantity, at_hand: Quantity | None
) -> None:
    need = Computed(rate.exact * hours.to("h"), "gal")
    judgement.output("consumption", "what the set burns", rate)
    judgement.output("needed", "fuel for the hours planned", need)
    judgement.lines.append(f"needed: {near(rate)} x {hours.text()} = {near(need)}")
    if at_hand is None:
        return
    lasts = Computed(at_hand.to("gal") / rate.exact, "h")
    judgement.output("lasts", "how long the fuel at hand lasts", lasts, "down")
    judgement.lines.append(f"lasts: {at_hand.text()} / {near(rate)} = {near(lasts)}")
    if need.si > at_hand.si:
        judgement.caution(
            f"The fuel at hand lasts {low(lasts)} of {hours.text()}; {high(need)} are needed."
        )


def _storage(judgement: Judgement, inputs: Given, at_hand: Quantity | None, book: Book) -> None:
    kept, local = inputs.word("kept"), inputs.quantity("local-limit")
    if not kept:
        judgement.unknown("where the cans stand")
    if kept == "dwelling" and (at_hand is None or at_hand.value > 0):
        judgement.over(
            "Petrol is kept in or under a dwelling or an attached garage: never any amount.", "kept"
        )
    if at_hand is not None:
        # The federal figure bounds what stands outdoors too: more than a room takes is more yet.
        federal = judgement.value(book.value(_FEDERAL.get(kept, "fuel/room")))
        judgement.at_most("fuel kept", at_hand, federal, "the federal construction rule")
        if local is not None:
            judgement.at_most("fuel kept", at_hand, local, "the local fire code")
    if local is None and "local-limit" not in inputs.unknown:
        judgement.caution(
            "The local limit was not given: ask the fire authority; homes are mostly allowed far "
            "less than the federal construction rule."
        )
    can = inputs.quantity("largest-can")
    if can is not None:
        judgement.at_most("largest can", can, judgement.value(book.value("fuel/can")),
                          "largest approved can")  # fmt: skip


GENERATOR_FUEL = Calculation(
    name="generator-fuel",
    title="Fuel for a generator",
    version=1,
    inputs=_INPUTS,
    formula="needed = consumption x hours; consumption from a load = load / efficiency in hp x "
    "0.5 lb/hp h / 6.1 lb/gal; the amount against the local and the federal limit",
    sources=("osha-1926-152", "engine-handbook", "nist-sp-811"),
    assumptions=(
        "Petrol in a small engine; a light load burns more for each kilowatt-hour.",
        "The federal amounts are construction rules, used as an upper bound: no permission for a "
        "home, where the local fire code decides.",
        "All fuel at hand counts as stored, that in the tank included.",
    ),
    compute=_compute,
    refuse=_refuse,
)
