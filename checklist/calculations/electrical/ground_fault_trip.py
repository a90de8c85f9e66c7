"""How long a ground-fault interrupter may take to open, by the current that leaks."""

from __future__ import annotations

from fractions import Fraction

from checklist.calculations.judging import Computed, Judgement, near
from checklist.calculations.kinds import Calculation, Given, Input, Result
from checklist.rulebook import Book

_INPUTS = (
    Input("current", "the current that leaks to ground", "current", "6 mA", most="10000 A"),
    Input(
        "path",
        "where that current flows",
        example="to-ground",
        choices={
            "to-ground": "from a live conductor to ground, outside the circuit",
            "line-to-neutral": "from the live conductor to the neutral, as through two hands",
        },
    ),
)


def trip_seconds(milliamperes: float, at_one_second: float, exponent: float) -> float:
    """Return the longest time to open in seconds, (20/I)^1.43. Source: UL 943, class A."""
    return float((at_one_second / milliamperes) ** exponent)


def _compute(inputs: Given, book: Book) -> Result:
    judgement = Judgement()
    current, path = inputs.quantity("current"), inputs.word("path")
    if path == "line-to-neutral":
        judgement.over(
            "Contact from line to neutral is not seen by a ground-fault interrupter: it never "
            "opens.",
            "path",
        )
    elif not path:
        judgement.unknown("where the current flows")
    if current is None:
        judgement.unknown("the current that leaks")
        return judgement.result()
    trip = judgement.value(book.value("shock/trip"))
    if current < trip:
        none = judgement.value(book.value("shock/no-trip"))
        does = "must not open" if current < none else "may open or not"
        judgement.unknown(
            "that it opens", f"cannot be said: below {trip.text()} it {does} ({current.text()})"
        )
        return judgement.result()
    judgement.at_least("current", current, trip, "must open from there on")
    end = judgement.value(book.value("shock/curve-end"))
    one = judgement.value(book.value("shock/curve-current"))
    exponent = judgement.value(book.value("shock/curve-exponent"))
    on_curve = min(current, end).number("mA")
    seconds = trip_seconds(on_curve, one.number("mA"), exponent.number("1"))
    time = Computed(Fraction(seconds), "s")
    judgement.lines.append(
        f"on the curve: the smaller of {current.text()} and {end.text()}, {on_curve:.4g} mA"
    )
    judgement.lines.append(
        f"T = ({one.text()} / {on_curve:.4g} mA)^{exponent.value} = {near(time)}"
    )
    judgement.output("time", "longest time in which it must open", time)
    judgement.caution(
        "It limits how long a shock lasts, not how strong it is; 25 ms holds only at high current."
    )
    return judgement.result()


GROUND_FAULT_TRIP = Calculation(
    name="ground-fault-trip",
    title="Trip time of a ground-fault interrupter",
    version=1,
    inputs=_INPUTS,
    formula="T = (20 mA / I)^1.43 seconds from a current I of 6 mA on; below 4 mA it must not open",
    sources=("ul-943",),
    assumptions=(
        "A class A device that works: press its button.",
        "Above 264 mA the time at 264 mA is taken.",
        "On a floating neutral the first fault has no path back, and the device may see nothing.",
    ),
    compute=_compute,
    only_stops=True,
)
