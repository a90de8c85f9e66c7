"""A number with its unit, exact, comparable with others of its dimension."""

from __future__ import annotations

from dataclasses import dataclass, field
from decimal import Decimal
from fractions import Fraction
from functools import total_ordering

from checklist.errors import StandclearError
from checklist.quantities.units import UNITS, Unit


@total_ordering
@dataclass(frozen=True, slots=True, eq=False)
class Quantity:
    """A value as it was given, in the unit it was given in; rounding belongs to display."""

    value: Decimal
    unit: Unit
    typed: str = field(default="", compare=False)
    """The person's own text, where a person typed it; reports show this one."""

    @classmethod
    def of(cls, value: Decimal | int | str | float | Fraction, unit: str) -> Quantity:
        """Return `value` in the unit with symbol `unit`; a float keeps 12 significant digits."""
        if isinstance(value, Fraction):
            value = Decimal(value.numerator) / Decimal(value.denominator)
        if isinstance(value, float):
            value = Decimal(f"{value:.12g}")
        return cls(Decimal(value), UNITS[unit])

    @property
    def si(self) -> Fraction:
        """The exact value in the SI unit of its dimension (temperatures in kelvin)."""
        return Fraction(self.value) * self.unit.factor + self.unit.offset

    def to(self, unit: str) -> Fraction:
        """Return the exact number of `unit`; raises StandclearError across dimensions."""
        target = UNITS[unit]
        self._refuse_other_dimension(target)
        return (self.si - target.offset) / target.factor

    def number(self, unit: str) -> float:
        """Return the value in `unit` as a float, for formulas."""
        return float(self.to(unit))

    def text(self) -> str:
        """Return value and unit in the plain form that is stored and parsed back."""
        return f"{plain(self.value)} {self.unit.symbol}"

    def __str__(self) -> str:
        return self.text()

    def __eq__(self, other: object) -> bool:
        if not isinstance(other, Quantity) or other.unit.dimension != self.unit.dimension:
            return NotImplemented
        return self.si == other.si

    def __hash__(self) -> int:
        return hash((self.si, self.unit.dimension))

    def __lt__(self, other: Quantity) -> bool:
        self._refuse_other_dimension(other.unit)
        return self.si < other.si

    def _refuse_other_dimension(self, unit: Unit) -> None:
        if unit.dimension != self.unit.dimension:
            raise StandclearError(
                f"{self.text()} is a {self.unit.dimension} and cannot be compared with "
                f"a {unit.dimension} in {unit.symbol}"
            )


def plain(value: Decimal) -> str:
    """Return `value` without exponent and without trailing zeros after the point."""
    text = format(value, "f")
    return text.rstrip("0").rstrip(".") if "." in text else text
