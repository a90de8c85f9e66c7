"""Whether a portable generator carries what is to hang on it, and starts it."""

from __future__ import annotations

from fractions import Fraction

from checklist.calculations.electrical.derating import DERATING_INPUTS, derating
from checklist.calculations.electrical.generator_legs import (
    caution_high,
    hold_half,
    hold_leg,
    hold_receptacle,
)
from checklist.calculations.electrical.loads import (
    LEGS,
    LOADS,
    Load,
    by_receptacle,
    loads_of,
    watts,
)
from checklist.calculations.judging import Computed, Judgement, near
from checklist.calculations.kinds import Calculation, Given, Input, Result
from checklist.calculations.refusals import InputRefused
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
        hold_leg(judgement, leg, loads, inputs, book)
        if two_legs:
            hold_half(judgement, leg, loads, running, surge, book)
    for receptacle, group in by_receptacle(loads).items():
        hold_receptacle(judgement, receptacle, group, book)
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
        caution_high(judgement, "The running loads", total, running, "the running rating", book)
    if surge is not None:
        judgement.at_most("largest start", peak, surge, "the set's surge rating")


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
