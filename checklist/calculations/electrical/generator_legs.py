"""The legs and receptacles of a generator, held against breakers and halves of ratings."""

from __future__ import annotations

from checklist.calculations.electrical.loads import LEGS, Load, leg_extra, leg_watts
from checklist.calculations.judging import Computed, Judgement, high, near
from checklist.calculations.kinds import Given
from checklist.quantities import UNITS, Quantity
from checklist.rulebook import Book


def hold_leg(
    judgement: Judgement, leg: str, loads: tuple[Load, ...], inputs: Given, book: Book
) -> None:
    """Hold the current of a leg against the main breaker, where one is given."""
    breaker = inputs.quantity("main-breaker")
    volts = judgement.value(book.value("generator/leg-voltage"))
    current = Computed(leg_watts(loads, leg) / volts.si, "A")
    judgement.output(f"leg-{leg}", f"current in leg {leg}", current)
    on_leg = near(Computed(leg_watts(loads, leg), "W"))
    judgement.lines.append(f"leg {leg}: {_leg_words(loads, leg)} = {on_leg}")
    judgement.lines.append(f"leg {leg}: {on_leg} / {volts.text()} = {near(current)}")
    if breaker is None:
        return
    judgement.at_most(f"leg {leg}", current, breaker, "the main breaker")
    caution_high(judgement, f"Leg {leg}", current, breaker, "the main breaker", book)


def _leg_words(loads: tuple[Load, ...], leg: str) -> str:
    """Return what a leg carries as a sum: its own loads, and half of each 240 V load."""
    parts = [
        f"{x.running.text()} / 2" if x.leg == "both" else x.running.text()
        for x in loads
        if x.running is not None and x.leg in {leg, "both"}
    ]
    return " + ".join(parts) or "nothing"


def hold_half(
    judgement: Judgement,
    leg: str,
    loads: tuple[Load, ...],
    running: Computed | None,
    surge: Computed | None,
    book: Book,
) -> None:
    """Hold the watts of a leg against half of the ratings, the surge for a caution alone."""
    on_leg = leg_watts(loads, leg)
    if running is not None:
        half = Computed(running.exact / 2, "W")
        used = Computed(on_leg, "W")
        judgement.lines.append(f"half of the running rating: {near(running)} / 2 = {near(half)}")
        judgement.at_most(f"leg {leg}", used, half, "half of the running rating")
        caution_high(judgement, f"Leg {leg}", used, half, "half of the running rating", book)
    peak = Computed(on_leg + leg_extra(loads, leg), "W")
    if surge is None:
        return
    most = Computed(surge.exact / 2, "W")
    judgement.lines.append(f"half of the surge rating: {near(surge)} / 2 = {near(most)}")
    judgement.lines.append(
        f"leg {leg} with its largest start: {near(Computed(on_leg, 'W'))} + "
        f"{near(Computed(leg_extra(loads, leg), 'W'))} = {near(peak)}"
    )
    if judgement.is_beyond(f"leg {leg} with its largest start", peak, most, "half of the surge"):
        judgement.caution(
            f"The largest start on leg {leg} comes to {high(peak)}, over half of the surge rating."
        )


def hold_receptacle(judgement: Judgement, name: str, group: tuple[Load, ...], book: Book) -> None:
    """Hold the current of a receptacle, in its fuller leg, against its breaker."""
    breaker: Quantity | None = next((x.breaker for x in group if x.breaker is not None), None)
    if breaker is None:
        return
    volts = judgement.value(book.value("generator/leg-voltage"))
    leg = max(LEGS, key=lambda one: leg_watts(group, one))
    current = Computed(leg_watts(group, leg) / volts.si, "A")
    judgement.lines.append(
        f"receptacle {name}, in its fuller leg {leg}: ({_leg_words(group, leg)}) / "
        f"{volts.text()} = {near(current)}"
    )
    judgement.at_most(f"receptacle {name}", current, breaker, "its breaker")
    caution_high(judgement, f"Receptacle {name}", current, breaker, "its breaker", book)


def caution_high(
    judgement: Judgement,
    what: str,
    got: Computed,
    limit: Computed | Quantity,
    limit_name: str,
    book: Book,
) -> None:
    """Caution where a load is within its limit and too high a share of it for hours."""
    share = judgement.value(book.value("generator/high-load"))
    unit = got.unit
    most = Computed(limit.si / UNITS[unit].factor * share.si, unit)
    judgement.lines.append(f"{share.text()} of {limit_name}: {share.text()} x {near(limit)} = "
                           f"{near(most)}")  # fmt: skip
    if judgement.is_beyond(what, got, most, f"{share.text()} of {limit_name}") and (
        got.si <= limit.si
    ):
        judgement.caution(f"{what}: {high(got)} is over {share.text()} of {limit_name}: "
                          "not for hours.")  # fmt: skip
