"""Whether a portable generator carries what is to hang on it, and starts it."""

from __future__ import annotations

from fractions import Fraction

from checklist.calculations.electrical.derating import DERATING_INPUTS, derating
from checklist.calculations.electrical.loads import (
    LEGS,
    LOADS,
    Load,
    by_receptacle,
    leg_extra,
    leg_watts,
    loads_of,
    watts,
)
from checklist.calculations.judging import Computed, Judgement, high, near
from checklist.calculations.kinds import Calculation, Given, Input, Result
from checklist.calculations.refusals import InputRefused
from checklist.quantities import UNITS, Quantity
from checklist.rulebook import Book

_INPUTS = (
    LOADS,
    Input(
        "running-rating", "the set's running (continuous) rating", "power", "3500 W", most="200 kW"
    ),
    Input(
        "surge-rating",
        "the set's starting (surge) rating; the running rating again where its plate has none",
        "power",
        "4375 W",
        most="1000 kW",
    ),
    Input(
        "output",
        "what the set gives out",
        example="120/240",
        choices={"120": "120 V only", "120/240": "120 and 240 V, two legs"},
    ),
    Input(
        "main-breaker",
        "the set's main breaker, for each leg",
        "current",
        "30 A",
        optional=True,
        most="1000 A",
    ),
    *DERATING_INPUTS,
)


def _refuse(inputs: Given) -> None:
    for number, load in enumerate(loads_of(inputs), start=1):
        field = f"loads line {number}"
        if load.extra < 0:
            raise InputRefused(
                f"{field}, starting",
                f"{load.name} starts on less than it runs on",
                right="Give the running watts again where nothing is added at the start.",
            )
        if inputs.word("output") == "120" and load.leg in {"2", "both"}:
            raise InputRefused(
                f"{field}, leg",
                f"a set of 120 V has no leg “{load.leg}”",
                right="Give leg 1, or the output 120/240.",
            )
    for receptacle, group in by_receptacle(loads_of(inputs)).items():
        if len({load.breaker for load in group if load.breaker is not None}) > 1:
            raise InputRefused(
                "loads",
                f"the receptacle {receptacle} stands with two different breakers",
                right="Give one breaker for each receptacle.",
            )
    running, surge = inputs.quantity("running-rating"), inputs.quantity("surge-rating")
    if running is not None and surge is not None and surge < running:
        raise InputRefused(
            "surge-rating",
            f"{surge.text()} is below the running rating",
            right="Check which is which; give the running rating again if there is no other.",
        )


def _compute(inputs: Given, book: Book) -> Result:
    judgement = Judgement()
    loads = loads_of(inputs)
    left = derating(judgement, inputs)
    _say_unknown(judgement, inputs, loads)
    running = _rating(judgement, inputs, "running-rating", left)
    surge = _rating(judgement, inputs, "surge-rating", left)
    _hold_sums(judgement, loads, running, surge, book)
    two_legs = inputs.word("output") == "120/240"
    for leg in LEGS if two_legs else LEGS[:1]:
        _hold_leg(judgement, leg, loads, inputs, book)
        if two_legs:
            _hold_half(judgement, leg, loads, running, surge, book)
    for receptacle, group in by_receptacle(loads).items():
        _hold_receptacle(judgement, receptacle, group, book)
    return judgement.result()


def _say_unknown(judgement: Judgement, inputs: Given, loads: tuple[Load, ...]) -> None:
    if not loads:
        judgement.unknown("the loads", "are unknown")
    for name in ("running-rating", "surge-rating", "main-breaker"):
        if name in inputs.unknown:
            judgement.unknown(f"the {name.replace('-', ' ')}")
    if not inputs.word("output"):
        judgement.unknown("whether the set has one leg or two")
    for load in loads:
        for what, known in (
            ("running watts", load.running),
            ("starting watts", load.starting),
            ("leg", load.leg),
            ("receptacle", load.receptacle),
            ("breaker", load.breaker),
        ):
            if not known:
                judgement.unknown(f"the {what} of {load.name}")


def _rating(judgement: Judgement, inputs: Given, name: str, left: Fraction) -> Computed | None:
    plate = inputs.quantity(name)
    if plate is None:
        return None
    derated = Computed(plate.to("W") * left, "W")
    if left != 1:
        judgement.lines.append(f"{name}: {plate.text()} x {float(left):.6g} = {near(derated)}")
    judgement.output(name, f"the set's {name.replace('-', ' ')} here", derated, "down")
    return derated


def _hold_sums(
    judgement: Judgement,
    loads: tuple[Load, ...],
    running: Computed | None,
    surge: Computed | None,
    book: Book,
) -> None:
    total = Computed(watts(loads), "W")
    words = " + ".join(x.running.text() for x in loads if x.running is not None)
    judgement.lines.append(f"running: {words} = {near(total)}")
    judgement.output("running", "running watts of all loads together", total)
    worst = max(loads, key=lambda load: load.extra, default=None)
    extra = worst.extra if worst else Fraction(0)
    peak = Computed(total.exact + extra, "W")
    if worst and worst.starting and worst.running and extra:
        judgement.lines.append(
            f"start of {worst.name}: {worst.starting.text()} - {worst.running.text()} = "
            f"{near(Computed(extra, 'W'))}"
        )
        judgement.lines.append(f"start of {worst.name} on top: {near(total)} + "
                               f"{near(Computed(extra, 'W'))} = {near(peak)}")  # fmt: skip
    judgement.output("peak", "all running, and the largest start on top", peak)
    if running is not None:
        judgement.at_most("running loads", total, running, "the set's running rating")
        _caution_high(judgement, "The running loads", total, running, "the running rating", book)
    if surge is not None:
        judgement.at_most("largest start", peak, surge, "the set's surge rating")


def _hold_leg(
    judgement: Judgement, leg: str, loads: tuple[Load, ...], inputs: Given, book: Book
) -> None:
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
    _caution_high(judgement, f"Leg {leg}", current, breaker, "the main breaker", book)


def _leg_words(loads: tuple[Load, ...], leg: str) -> str:
    """Return what a leg carries as a sum: its own loads, and half of each 240 V load."""
    parts = [
        f"{x.running.text()} / 2" if x.leg == "both" else x.running.text()
        for x in loads
        if x.running is not None and x.leg in {leg, "both"}
    ]
    return " + ".join(parts) or "nothing"


def _hold_half(
    judgement: Judgement,
    leg: str,
    loads: tuple[Load, ...],
    running: Computed | None,
    surge: Computed | None,
    book: Book,
) -> None:
    on_leg = leg_watts(loads, leg)
    if running is not None:
        half = Computed(running.exact / 2, "W")
        used = Computed(on_leg, "W")
        judgement.lines.append(f"half of the running rating: {near(running)} / 2 = {near(half)}")
        judgement.at_most(f"leg {leg}", used, half, "half of the running rating")
        _caution_high(judgement, f"Leg {leg}", used, half, "half of the running rating", book)
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


def _hold_receptacle(judgement: Judgement, name: str, group: tuple[Load, ...], book: Book) -> None:
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
    _caution_high(judgement, f"Receptacle {name}", current, breaker, "its breaker", book)


def _caution_high(
    judgement: Judgement,
    what: str,
    got: Computed,
    limit: Computed | Quantity,
    limit_name: str,
    book: Book,
) -> None:
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


GENERATOR_LOAD = Calculation(
    name="generator-load",
    title="Loads on a generator",
    version=1,
    inputs=_INPUTS,
    formula="all running watts <= running rating; all running watts + the largest (starting - "
    "running) <= surge rating; each leg <= its breaker and half of the running rating; each "
    "receptacle <= its breaker; the ratings after the maker's own derating, whose factors multiply",
    sources=("practice",),
    assumptions=(
        "Only one load starts at a time, the one with the largest start last.",
        "A 240 V load draws half of its watts from each leg; legs have 120 V.",
        "Watts over volts: a motor draws more current than its watts say, so give volts x amps.",
        "A breaker rides through a start; running current alone is held against it.",
    ),
    compute=_compute,
    refuse=_refuse,
)
