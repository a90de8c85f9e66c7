"""When a carbon-monoxide alarm must sound, and why a silent one says little."""

from __future__ import annotations

from checklist.calculations.judging import Judgement, given
from checklist.calculations.kinds import Calculation, Given, Input, Result
from checklist.quantities import Quantity
from checklist.rulebook import Book, Row

_INPUTS = (
    Input(
        "concentration",
        "the carbon monoxide in the air, as a meter shows it",
        "concentration",
        "70 ppm",
        least="0 ppm",
        most="1000000 ppm",
    ),
)


def _compute(inputs: Given, book: Book) -> Result:
    judgement = Judgement()
    level = inputs.quantity("concentration")
    if level is None:
        judgement.unknown("the concentration", "is unknown; an alarm that is silent does not tell")
        return judgement.result()
    most = judgement.value(book.value("carbon-monoxide/pel"))
    judgement.at_most("carbon monoxide", level, most, "an eight-hour workday's average")
    row = _row(level, book)
    if row is None:
        silent = judgement.value(book.value("alarms/silent-level"))
        time = judgement.value(book.value("alarms/silent-time"))
        judgement.lines.append(f"at {silent.text()} and below: no sound for {time.text()}")
        how = f"for {time.text()}" if level <= silent else "for how long, no row says"
        judgement.caution(
            f"At {given(level)} an alarm stays silent, {how}: a silent alarm is not clean air."
        )
        return judgement.result()
    earliest, latest = judgement.cell(row, "earliest"), row["latest"]
    judgement.lines.append(f"from {row.key} on: {earliest.text()} to {latest.text()}")
    judgement.output("earliest", "an alarm sounds not before", earliest, "down")
    judgement.output("latest", "an alarm sounds not after", latest)
    judgement.caution(
        f"At {given(level)} an alarm may stay silent for {latest.text()}: a silent alarm is not "
        "clean air."
    )
    return judgement.result()


def _row(level: Quantity, book: Book) -> Row | None:
    """Return the row of the highest printed concentration that is reached."""
    rows = book.table("alarms/window").rows.items()
    reached = [row for key, row in rows if Quantity.of(*key.split(" ")) <= level]
    return reached[-1] if reached else None


CO_ALARM = Calculation(
    name="co-alarm",
    title="When a carbon-monoxide alarm sounds",
    version=1,
    inputs=_INPUTS,
    formula="the row of the highest printed concentration that is reached gives the window",
    sources=("ul-2034", "osha-co-pel"),
    assumptions=(
        "A working alarm in date; the concentration stays as it is.",
        "It never permits: anyone with headache or nausea goes out, and the engine stops.",
    ),
    compute=_compute,
    only_stops=True,
)
