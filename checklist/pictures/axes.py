"""Axes with a unit: where a value lies on one, and which values are written beside it."""

from __future__ import annotations

import math
from dataclasses import dataclass

_NICE = (1.0, 2.0, 5.0, 10.0)
_FEW_DECADES = 2.0


@dataclass(frozen=True, slots=True)
class Axis:
    """A range of values that is drawn, evenly or by powers of ten."""

    label: str
    """What it is, with its unit."""

    low: float
    high: float
    is_log: bool = False

    def share(self, value: float) -> float:
        """Return where a value lies, 0 at the low end and 1 at the high one; beyond them clamped.

        On an axis by powers of ten everything up to 0 lies at the low end.
        """
        if self.is_log:
            if value <= 0:
                return 0.0
            part = math.log(value / self.low) / math.log(self.high / self.low)
        else:
            part = (value - self.low) / (self.high - self.low)
        return min(1.0, max(0.0, part))

    def ticks(self, most: int) -> tuple[float, ...]:
        """Return at most about `most` round values within the range."""
        return self._powers(most) if self.is_log else self._even(most)

    def _even(self, most: int) -> tuple[float, ...]:
        rough = (self.high - self.low) / max(1, most)
        power = 10.0 ** math.floor(math.log10(rough))
        step = next(n * power for n in _NICE if n * power >= rough * (1 - 1e-9))
        first, last = math.ceil(self.low / step - 1e-9), math.floor(self.high / step + 1e-9)
        return tuple(round(i * step, 9) for i in range(first, last + 1))

    def _powers(self, most: int) -> tuple[float, ...]:
        first = math.floor(math.log10(self.low) + 1e-9)
        last = math.ceil(math.log10(self.high) - 1e-9)
        between = _NICE[:3] if math.log10(self.high / self.low) <= _FEW_DECADES else _NICE[:1]
        every = max(1, math.ceil((last - first + 1) / max(1, most)))
        values = (n * 10.0**p for p in range(first, last + 1, every) for n in between)
        slack = 1e-9
        return tuple(v for v in values if self.low * (1 - slack) <= v <= self.high * (1 + slack))
