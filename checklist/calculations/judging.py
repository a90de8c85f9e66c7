"""Holds computed values against their limits, and keeps account of which one decided."""

from __future__ import annotations

from dataclasses import dataclass, field
from decimal import Decimal
from fractions import Fraction

from checklist.calculations.kinds import Outcome, Output, Result
from checklist.quantities import UNITS, Quantity, both, rounded
from checklist.quantities.display import Side, unrounded
from checklist.rulebook import Cited, Row, Value

_DIGITS = 12


@dataclass(frozen=True, slots=True)
class Computed:
    """A computed number, kept exact for comparison and rounded to 12 digits to be shown."""

    exact: Fraction
    unit: str

    @property
    def si(self) -> Fraction:
        """The exact value in the SI unit of its dimension."""
        return self.exact * UNITS[self.unit].factor + UNITS[self.unit].offset

    @property
    def quantity(self) -> Quantity:
        """The value as a Quantity of 12 significant digits, for outputs and lines."""
        quotient = Decimal(self.exact.numerator) / Decimal(self.exact.denominator)
        if not quotient:
            return Quantity.of(0, self.unit)
        kept = quotient.quantize(Decimal(1).scaleb(quotient.adjusted() - _DIGITS + 1))
        return Quantity.of(kept, self.unit)


Number = Quantity | Computed
"""Something to hold against something else, compared by its exact SI value."""


@dataclass(slots=True)
class Judgement:
    """Collects the checks, arithmetic and cited values of one run, and makes its Result.

    Over beats not shown, not shown beats within. The check that decides is the one nearest
    to its limit or farthest past it, by ratio, unrounded.
    """

    lines: list[str] = field(default_factory=list)
    outputs: list[Output] = field(default_factory=list)
    cautions: list[str] = field(default_factory=list)
    assumptions: list[str] = field(default_factory=list)
    _used: dict[str, Cited] = field(default_factory=dict)
    _over: list[str] = field(default_factory=list)
    _not_shown: list[str] = field(default_factory=list)
    _tightest: tuple[Fraction, str, str] | None = None
    _decided_over: str = ""
    _decided_unknown: str = ""

    def value(self, cited: Value) -> Quantity:
        """Note that a published value takes part, and return its quantity."""
        self._used[cited.cited.address] = cited.cited
        return cited.quantity

    def cell(self, row: Row, column: str) -> Quantity:
        """Note that a row of a published table takes part, and return one of its cells."""
        self._used[row.cited.address] = row.cited
        return row[column]

    def output(self, name: str, meaning: str, number: Number, rounds: Side = "up") -> None:
        """Put a computed number among the outputs, to be shown rounded to the strict side."""
        self.outputs.append(Output(name, meaning, _shown(number), rounds))

    def at_most(self, what: str, got: Number, limit: Number, limit_name: str) -> bool:
        """Hold `got` against an upper limit, equal passes; return whether it passes."""
        # Equal numbers must not be rounded apart, or what passes would read as over.
        equal = got.si == limit.si
        shown = _said(limit, "nearest") if equal else low(limit)
        held = _said(got, "nearest") if equal else high(got)
        said = f"{what} {held}, at most {shown} ({limit_name})"
        return self._judge(
            got.si <= limit.si, _ratio(got.si, limit.si), said, f"{what}: {limit_name}"
        )

    def at_least(self, what: str, got: Number, need: Number, need_name: str) -> bool:
        """Hold `got` against a lower limit, equal passes; return whether it passes.

        A measured `got` is shown as it was given, a computed one rounded down.
        """
        equal = got.si == need.si
        shown = _said(need, "nearest") if equal else high(need)
        held = low(got) if isinstance(got, Computed) and not equal else _said(got, "nearest")
        said = f"{what} {held}, needs {shown} ({need_name})"
        return self._judge(got.si >= need.si, _ratio(need.si, got.si), said, f"{what}: {need_name}")

    def is_beyond(self, what: str, got: Number, mark: Number, mark_name: str) -> bool:
        """Note a comparison that may caution and never stops; return whether `got` is above it."""
        beyond = got.si > mark.si
        self.lines.append(
            f"for a caution: {what} {near(got)} against {near(mark)} ({mark_name}): "
            f"{'beyond' if beyond else 'not beyond'}"
        )
        return beyond

    def met(self, sentence: str, rule: str) -> None:
        """Note a rule that is met and is no comparison of numbers; any comparison outranks it."""
        self.lines.append(f"met: {sentence}")
        if self._tightest is None:
            self._tightest = (Fraction(0), sentence, rule)

    def over(self, sentence: str, decided_by: str) -> None:
        """Stop for a reason that is no comparison of numbers."""
        self.lines.append(f"not met: {sentence}")
        self._over.append(sentence)
        self._decided_over = self._decided_over or decided_by

    def unknown(self, what: str, why: str = "is unknown") -> None:
        """Say that something is not shown, because an input is unknown or not covered."""
        self._not_shown.append(f"Not shown: {what} {why}.")
        self._decided_unknown = self._decided_unknown or what

    def caution(self, sentence: str) -> None:
        """Add a caution: one sentence, number beside limit."""
        self.cautions.append(sentence)

    def result(self) -> Result:
        """Return the Result; a run that compared nothing is not shown, never within."""
        if not self._over and not self._not_shown and self._tightest is None:
            self.unknown("there was nothing to compare", "with a limit")
        stops = (*self._over, *self._not_shown)
        says, decided = self._says()
        return Result(
            outcome=self._outcome(),
            says=says,
            outputs=tuple(self.outputs),
            stops=stops,
            cautions=tuple(self.cautions),
            decided_by=decided,
            used=tuple(self._used.values()),
            lines=tuple(self.lines),
            assumptions=tuple(self.assumptions),
        )

    def _judge(self, passes: bool, ratio: Fraction, said: str, decides: str) -> bool:
        sentence = f"{said[0].upper()}{said[1:]}."
        self.lines.append(f"compare: {said}: {'holds' if passes else 'does not hold'}")
        if self._tightest is None or ratio >= self._tightest[0]:
            self._tightest = (ratio, sentence, decides)
        if not passes:
            self._over.append(sentence)
        return passes

    def _outcome(self) -> Outcome:
        if self._over:
            return Outcome.OVER
        return Outcome.NOT_SHOWN if self._not_shown else Outcome.WITHIN

    def _says(self) -> tuple[str, str]:
        if self._over and self._decided_over:
            return self._over[0], self._decided_over
        if self._not_shown and not self._over:
            return self._not_shown[0], self._decided_unknown
        _, said, name = self._tightest or (0, "", "")
        return said, name


def high(number: Number) -> str:
    """Return a load or a need for display: both units, rounded up, never milder than it is."""
    return _said(number, "up")


def low(number: Number) -> str:
    """Return an upper limit for display: both units, rounded down, never milder than it is."""
    return _said(number, "down")


def near(number: Number) -> str:
    """Return a number for a line of arithmetic, in its own unit, to five digits at least."""
    return rounded(_shown(number), digits=5)


def given(quantity: Quantity) -> str:
    """Return a measured quantity as it was given; only the other unit is rounded."""
    return _said(quantity, "nearest")


def _said(number: Number, side: Side) -> str:
    shown = both(_shown(number), side=side)
    if isinstance(number, Computed):
        return shown
    _, bracket, rest = shown.partition(" (")
    return f"{unrounded(number)}{bracket}{rest}"


def _shown(number: Number) -> Quantity:
    return number.quantity if isinstance(number, Computed) else number


def _ratio(upper: Fraction, lower: Fraction) -> Fraction:
    return upper / lower if lower > 0 else Fraction(10**9) + upper
