"""Whether a cord and its plug carry the current that a load draws."""

from __future__ import annotations

from checklist.calculations.judging import Computed, Judgement, near
from checklist.calculations.kinds import Calculation, Given, Input, Result
from checklist.calculations.refusals import InputRefused
from checklist.quantities import Quantity
from checklist.rulebook import Book

_COLUMN = {"2": "two", "3": "three"}

_INPUTS = (
    Input(
        "awg",
        "the gauge printed on the cord's jacket",
        example="12",
        choices={size: size for size in ("18", "16", "14", "12", "10")},
    ),
    Input(
        "current-carrying",
        "how many conductors of the cord carry current",
        example="2",
        choices={"2": "an ordinary 120 V cord, or 240 V alone", "3": "120/240 V with neutral"},
    ),
    Input(
        "plug",
        "the smallest rating of any plug, receptacle or breaker along the cord",
        "current",
        "15 A",
        most="400 A",
    ),
    Input(
        "continuous",
        "whether the load runs for three hours or more",
        example="no",
        choices={"yes": "three hours or more", "no": "less than three hours"},
    ),
    Input(
        "current",
        "the current that the load draws; or give power and voltage",
        "current",
        "12 A",
        optional=True,
        most="1000 A",
    ),
    Input(
        "power",
        "the power that the load draws, as volts x amps where its plate gives them",
        "power",
        "1500 W",
        optional=True,
        also="apparent power",
        most="200 kW",
    ),
    Input(
        "voltage",
        "the voltage of the cord, with the power",
        "voltage",
        "120 V",
        optional=True,
        least="1 V",
        most="1000 V",
    ),
)


def _refuse(inputs: Given) -> None:
    has = {n for n in ("current", "power", "voltage") if n in inputs.unknown or inputs.quantity(n)}
    if "current" in has and "power" in has:
        raise InputRefused(
            "current", "both current and power were given", right="Give one of them."
        )
    if not has & {"current", "power"}:
        raise InputRefused(
            "current", "nothing was given", right="Give the current, or power and voltage."
        )
    if "power" in has and "voltage" not in has:
        raise InputRefused("voltage", "nothing was given", right="Give it with the power: 120 V.")


def _compute(inputs: Given, book: Book) -> Result:
    judgement = Judgement()
    drawn = _drawn(judgement, inputs)
    if drawn is None:
        judgement.unknown("the current that the load draws")
    _cord(judgement, inputs, drawn, book)
    _plug(judgement, inputs, drawn, book)
    return judgement.result()


def _drawn(judgement: Judgement, inputs: Given) -> Computed | None:
    current = inputs.quantity("current")
    if current is not None:
        return Computed(current.to("A"), "A")
    power, voltage = inputs.quantity("power"), inputs.quantity("voltage")
    if power is None or voltage is None:
        return None
    drawn = Computed(power.si / voltage.si, "A")
    judgement.lines.append(f"current = {power.text()} / {voltage.text()} = {near(drawn)}")
    judgement.assumptions.append("Power over voltage: a motor draws more than its watts say.")
    judgement.output("current", "current that the load draws", drawn)
    return drawn


def _cord(judgement: Judgement, inputs: Given, drawn: Computed | None, book: Book) -> None:
    awg, carrying = inputs.word("awg"), inputs.word("current-carrying")
    if not awg:
        judgement.unknown("the gauge of the cord")
        return
    if not carrying:
        judgement.unknown("the number of current-carrying conductors")
    # Two conductors are the larger column: what is over that is over both.
    column = _COLUMN[carrying or "2"]
    limit = judgement.cell(book.table("conductors/flexible-cord").row(awg), column)
    judgement.lines.append(f"{awg} AWG cord, {carrying or '2 at best'} conductors: {near(limit)}")
    judgement.output("ampacity", "what the cord carries", limit, "down")
    if drawn is not None:
        judgement.at_most("current", drawn, limit, f"what a {awg} AWG cord carries")


def _plug(judgement: Judgement, inputs: Given, drawn: Computed | None, book: Book) -> None:
    plug, continuous = inputs.quantity("plug"), inputs.word("continuous")
    if plug is None:
        judgement.unknown("the rating of the plug")
    if not continuous:
        judgement.unknown("whether the load runs for three hours or more")
    if drawn is None or plug is None:
        return
    judgement.at_most("current", drawn, plug, "the rating of the plug")
    if continuous == "yes":
        _hold_for_hours(judgement, drawn, plug, book)
        return
    share = judgement.value(book.value("generator/high-load"))
    most = Computed(plug.to("A") * share.si, "A")
    judgement.lines.append(f"for hours: {share.text()} x {plug.text()} = {near(most)}")
    if judgement.is_beyond("current", drawn, most, "for hours at most") and drawn.si <= plug.si:
        judgement.caution(
            f"The current {near(drawn)} is over {share.text()} of the plug's {plug.text()}: "
            "not for hours."
        )


def _hold_for_hours(judgement: Judgement, drawn: Computed, plug: Quantity, book: Book) -> None:
    share = judgement.value(book.value("conductors/continuous-load"))
    most = Computed(plug.to("A") / share.si, "A")
    judgement.lines.append(f"for hours: {plug.text()} / {share.text()} = {near(most)}")
    judgement.output("continuous-current", "what the plug carries for hours", most, "down")
    judgement.at_most("current for hours", drawn, most, f"plug rating over {share.text()}")


CORD_CURRENT = Calculation(
    name="cord-current",
    title="Current in a cord",
    version=1,
    inputs=_INPUTS,
    formula="current = power / voltage; it may pass neither what the cord carries nor the rating "
    "of the plug, nor for three hours or more the rating of the plug over 125 %",
    sources=("nec-400-5", "nec-210-20", "practice"),
    assumptions=(
        "Copper cord, whole, outdoor type, uncoiled: on a reel it carries less.",
        "Ambient temperature not above 30 °C (86 °F), cords not bundled.",
    ),
    compute=_compute,
    refuse=_refuse,
)
