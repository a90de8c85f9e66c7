"""How long a capacitor takes to bleed down: a plan for the wait, never a permission."""

from __future__ import annotations

from fractions import Fraction
from math import exp, log

from checklist.calculations.judging import Computed, Judgement, high, low, near
from checklist.calculations.kinds import Calculation, Given, Input, Result
from checklist.quantities import Quantity
from checklist.rulebook import Book

_MICROVOLT = 1e-6
_TIME_CONSTANTS = 5  # the saying that is held against the voltage it leaves

_INPUTS = (
    Input(
        "capacitance",
        "the capacitance that the bleeders discharge",
        "capacitance",
        "40 uF",
        most="10000 F",
    ),
    Input(
        "start-voltage",
        "the highest voltage to which it can be charged",
        "voltage",
        "2500 V",
        most="1000 kV",
    ),
    Input(
        "bleeders",
        "every bleeder that lies across it, one a line; “unknown” where one was not measured; "
        "leave out if there is none",
        example="R12, 100 kohm",
        columns=(
            Input("name", "what it is called", example="R12"),
            Input("resistance", "its measured resistance", "resistance", "100 kohm",
                  most="1000000 Mohm"),
        ),
        optional=True,
    ),
    Input(
        "target-voltage",
        "the voltage to reach; 50 V if left out",
        "voltage",
        "50 V",
        optional=True,
        most="1000 kV",
    ),
    Input(
        "waited",
        "a time of waiting, to see what voltage it leaves",
        "time",
        "60 s",
        optional=True,
        most="30 d",
    ),
)  # fmt: skip


def bleed_time(resistance: float, capacitance: float, start: float, target: float) -> float:
    """Return the seconds to fall from `start` to `target` volts, R C ln(V0/V); zero if not above.

    Ohms and farads; `target` above zero, which is never reached. Source: circuit theory.
    """
    return resistance * capacitance * log(start / target) if start > target else 0.0


def voltage_after(resistance: float, capacitance: float, start: float, seconds: float) -> float:
    """Return the volts left after a time, V0 exp(-t / R C). The inverse of `bleed_time`."""
    return start * exp(-seconds / (resistance * capacitance))


def in_parallel(resistances: list[Fraction]) -> Fraction | None:
    """Return the resistance of all in parallel; None for none, which conducts nothing."""
    return 1 / sum((1 / r for r in resistances), Fraction(0)) if resistances else None


def _compute(inputs: Given, book: Book) -> Result:
    judgement = Judgement()
    capacitance, start = inputs.quantity("capacitance"), inputs.quantity("start-voltage")
    if capacitance is None:
        judgement.unknown("the capacitance")
    if start is None:
        judgement.unknown("the voltage at the start")
    known = _bleeders(judgement, inputs)
    if "target-voltage" in inputs.unknown:
        judgement.unknown("the voltage to reach")
    if capacitance is None or start is None:
        return judgement.result()
    _largest(judgement, capacitance, start, book)
    whole = in_parallel(known)
    if whole is not None:
        circuit = (float(whole), float(capacitance.si), float(start.si))
        judgement.lines.append(f"R = {_parallel_words(known)} = {near(Computed(whole, 'ohm'))}")
        _times(judgement, inputs, circuit, start, book)
        _redundancy(judgement, known, circuit, book)
    return judgement.result()


def _bleeders(judgement: Judgement, inputs: Given) -> list[Fraction]:
    rows = inputs.rows["bleeders"]
    if "bleeders" in inputs.unknown:
        judgement.unknown("the bleeders", "are unknown and count as open: the charge stays")
    elif not rows:
        judgement.over("There is no bleeder: the charge stays until it is taken off.", "bleeders")
    known = []
    for row in rows:
        resistance = row["resistance"]
        if isinstance(resistance, Quantity):
            known.append(resistance.si)
        else:
            judgement.unknown(f"bleeder {row['name'] or '?'}", "was not measured, counts as open")
    return known


def _limit(judgement: Judgement, start: Quantity, book: Book) -> Quantity:
    kind = "low" if start <= judgement.value(book.value("stored-energy/low-limit")) else "high"
    return judgement.value(book.value(f"stored-energy/{kind}-time"))


def _largest(judgement: Judgement, capacitance: Quantity, start: Quantity, book: Book) -> None:
    """Put out the largest bleeder that still meets the benchmark."""
    rest = judgement.value(book.value("stored-energy/rest-voltage"))
    limit = _limit(judgement, start, book)
    low = book.value("stored-energy/low-limit").quantity
    judgement.lines.append(
        f"{'up to' if start <= low else 'above'} {low.text()}: within {limit.text()} "
        f"to {rest.text()}"
    )
    if start <= rest:
        return
    per_farad = limit.number("s") / log(start.si / rest.si)
    largest = Computed(Fraction(per_farad) / capacitance.si, "ohm")
    judgement.output("largest-bleeder", "largest bleeder that meets the benchmark", largest, "down")
    judgement.lines.append(
        f"largest bleeder = {limit.text()} / ({capacitance.text()} x ln({start.text()} / "
        f"{rest.text()})) = {near(largest)}"
    )


def _times(
    judgement: Judgement,
    inputs: Given,
    circuit: tuple[float, float, float],
    start: Quantity,
    book: Book,
) -> None:
    rest = judgement.value(book.value("stored-energy/rest-voltage"))
    target = inputs.quantity("target-voltage") or rest
    time = _seconds(bleed_time(*circuit, target.number("V")))
    judgement.lines.append(f"t to {target.text()} = {_time_words(circuit, target)} = {near(time)}")
    judgement.output("time", f"planned wait until {target.text()}", time)
    to_rest = _seconds(bleed_time(*circuit, rest.number("V")))
    if target != rest:
        words = _time_words(circuit, rest)
        judgement.lines.append(f"t to {rest.text()} = {words} = {near(to_rest)}")
    limit = _limit(judgement, start, book)
    judgement.at_most(f"time to {rest.text()}", to_rest, limit, "discharge benchmark, NEC 460")
    waited = inputs.quantity("waited")
    if waited is not None:
        # Below a microvolt the exponential has digits and no meaning.
        left = _volts(max(voltage_after(*circuit, waited.number("s")), _MICROVOLT))
        judgement.output("left", f"voltage left after {waited.text()}, at most", left)
        judgement.lines.append(
            f"V after {waited.text()} = {circuit[2]:.6g} V x exp(-{waited.text()} / "
            f"({circuit[0]:.5g} ohm x {circuit[1] * 1e6:.5g} uF)) = {near(left)} or less"
        )
    after = _volts(voltage_after(*circuit, _TIME_CONSTANTS * circuit[0] * circuit[1]))
    judgement.lines.append(
        f"V after {_TIME_CONSTANTS} R C = {circuit[2]:.6g} V x exp(-{_TIME_CONSTANTS}) = "
        f"{near(after)}"
    )
    if judgement.is_beyond("after five time constants", after, rest, "rest"):
        judgement.caution(
            f"Five time constants would leave {high(after)}, over {rest.text()}: "
            "go by the voltage, not by the saying."
        )


def _redundancy(
    judgement: Judgement, known: list[Fraction], circuit: tuple[float, float, float], book: Book
) -> None:
    """Say what one open bleeder, which nothing shows, makes of the wait."""
    rest = book.value("stored-energy/rest-voltage").quantity
    without = in_parallel(sorted(known)[1:])
    if without is None:
        judgement.caution("One bleeder alone: if it opens, the charge stays and nothing shows it.")
        return
    time = _seconds(bleed_time(float(without), circuit[1], circuit[2], rest.number("V")))
    judgement.lines.append(
        f"R with the strongest open = {_parallel_words(sorted(known)[1:])} = "
        f"{near(Computed(without, 'ohm'))}"
    )
    words = _time_words((float(without), circuit[1], circuit[2]), rest)
    judgement.lines.append(f"t to {rest.text()} with the strongest open = {words} = {near(time)}")
    judgement.output("one-open", "wait if the strongest bleeder has opened", time)
    judgement.caution(f"With the strongest bleeder open it takes {high(time)} to {low(rest)}.")


def _parallel_words(resistances: list[Fraction]) -> str:
    terms = " + ".join(f"1 / {near(Computed(r, 'ohm'))}" for r in resistances)
    return f"1 / ({terms})"


def _time_words(circuit: tuple[float, float, float], target: Quantity) -> str:
    resistance, capacitance, start = circuit
    held = f"{near(Computed(Fraction(resistance), 'ohm'))} x {capacitance * 1e6:.5g} uF"
    low = ", not below 0" if start <= target.number("V") else ""
    return f"{held} x ln({start:.6g} V / {target.text()}){low}"


def _seconds(value: float) -> Computed:
    return Computed(Fraction(value), "s")


def _volts(value: float) -> Computed:
    return Computed(Fraction(value), "V")


BLEED_DOWN = Calculation(
    name="bleed-down",
    title="Bleeding down a capacitor",
    version=1,
    inputs=_INPUTS,
    formula="t = R C ln(V0/V) in s, R (ohm) of all measured bleeders in parallel, C in F, V0 the "
    "voltage at the start and V the one to reach; V = V0 exp(-t/(R C))",
    sources=("nec-460-6", "nec-460-part-2"),
    assumptions=(
        "A computed time only plans the wait: a meter reading closes the step.",
        "The bleeders are whole; one that was not measured counts as open.",
        "The discharge time is a benchmark of how equipment is made, and no rule for a waiting "
        "person; work on capacitors needs them shorted as well.",
    ),
    compute=_compute,
    only_stops=True,
)
