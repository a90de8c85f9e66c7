"""How far away lightning is, and when the thirty minutes without thunder are over."""

from __future__ import annotations

from fractions import Fraction

from checklist.calculations.judging import Computed, Judgement, high, near
from checklist.calculations.kinds import Calculation, Given, Input, Result
from checklist.calculations.refusals import InputRefused
from checklist.quantities import Quantity
from checklist.rulebook import Book

_INPUTS = (
    Input(
        "thunder",
        "whether thunder was heard, or lightning seen near, today",
        example="heard",
        choices={"heard": "heard or seen", "not-heard": "neither, and someone listened"},
    ),
    Input(
        "since-thunder",
        "the time since the last thunder; needed where it was heard",
        "time",
        "35 min",
        optional=True,
        least="0 s",
        most="1 d",
    ),
    Input(
        "flash-to-thunder",
        "the time from a flash to its thunder",
        "time",
        "30 s",
        optional=True,
        least="0 s",
        most="5 min",
    ),
    Input(
        "descent",
        "the time that the climber needs to come down and reach shelter",
        "time",
        "15 min",
        optional=True,
        least="0 s",
        most="1 d",
    ),
)


def _refuse(inputs: Given) -> None:
    since = inputs.quantity("since-thunder")
    if inputs.word("thunder") == "heard":
        if since is None and "since-thunder" not in inputs.unknown:
            raise InputRefused(
                "since-thunder", "thunder was heard", right="Give the time since the last one."
            )
    elif inputs.word("thunder") == "not-heard":
        for name in ("since-thunder", "flash-to-thunder"):
            if inputs.quantity(name) is not None:
                raise InputRefused(
                    name, "no thunder was heard", right="Leave it out, or say that it was heard."
                )


def _compute(inputs: Given, book: Book) -> Result:
    judgement = Judgement()
    thunder, since = inputs.word("thunder"), inputs.quantity("since-thunder")
    wait = judgement.value(book.value("weather/thunder-wait"))
    if not thunder:
        judgement.unknown("whether thunder was heard")
    elif thunder == "not-heard":
        judgement.met("No thunder was heard today: the clock does not run.", "thunder")
        judgement.caution("At the first thunder everybody comes down; a tower takes time.")
    if since is not None:
        judgement.at_least("time since the last thunder", since, wait, "without thunder")
        rest = Computed(max(wait.to("min") - since.to("min"), Fraction(0)), "min")
        judgement.output("wait", "time still to wait without thunder", rest)
        judgement.lines.append(
            f"still to wait: {wait.text()} - {since.text()}, not below 0 = {near(rest)}"
        )
    elif thunder == "heard":
        judgement.unknown("the time since the last thunder")
    _distance(judgement, inputs, book)
    return judgement.result()


def _distance(judgement: Judgement, inputs: Given, book: Book) -> None:
    flash, descent = inputs.quantity("flash-to-thunder"), inputs.quantity("descent")
    if flash is not None:
        per_mile = judgement.value(book.value("weather/thunder-speed"))
        away = Computed(flash.si / per_mile.si, "mi")
        judgement.output("distance", "how far away that flash was", away, "down")
        judgement.lines.append(f"{flash.text()} / ({per_mile.text()} per mile) = {near(away)}")
        _near(judgement, flash, book)
    if descent is not None:
        judgement.caution(f"Coming down takes {high(descent)}: start at the first sign, not later.")


def _near(judgement: Judgement, flash: Quantity, book: Book) -> None:
    limit = judgement.value(book.value("weather/thunder-near"))
    judgement.lines.append(f"near up to {limit.text()} from flash to thunder: {flash.text()}")
    nearness = "near" if flash <= limit else "not far"
    judgement.caution(
        f"{flash.text()} from flash to thunder is {nearness} (near: {limit.text()}): whoever hears "
        "thunder can be struck."
    )


LIGHTNING = Calculation(
    name="lightning",
    title="Thunder and the thirty minutes",
    version=1,
    inputs=_INPUTS,
    formula="miles = seconds / 5; work outdoors waits for 30 minutes without thunder",
    sources=("nws-lightning",),
    assumptions=(
        "Each thunder starts the thirty minutes again; no distance is far enough to work on.",
        "A forecast or a detector that warns earlier goes first.",
    ),
    compute=_compute,
    refuse=_refuse,
)
