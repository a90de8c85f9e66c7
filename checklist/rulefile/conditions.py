"""When a step applies: conditions over the answers of earlier steps, in four truth values."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from enum import StrEnum

from checklist.quantities import Quantity


class Truth(StrEnum):
    """The value of a condition while a walk is under way."""

    TRUE = "true"
    FALSE = "false"
    UNKNOWN = "unknown"
    """It hangs on a fact that was answered with don't know; the step then applies."""

    OPEN = "open"
    """It hangs on a step that has no answer yet."""


class Unsaid(StrEnum):
    """What a fact is when it is not a value."""

    DONT_KNOW = "don't know"
    UNANSWERED = "unanswered"
    NOT_ASKED = "not asked"
    """Its step did not apply; every comparison with it is false."""


Fact = str | Quantity | Unsaid
Facts = Mapping[str, Fact]


@dataclass(frozen=True, slots=True)
class Is:
    """True where the fact is one of the values."""

    fact: str
    values: tuple[str, ...]

    def truth(self, facts: Facts) -> Truth:
        """Return its value under `facts`."""
        value = facts.get(self.fact, Unsaid.UNANSWERED)
        return _unsaid(value) if isinstance(value, Unsaid) else _truth(value in self.values)

    def atoms(self) -> Iterator[Atom]:
        """Yield itself: it compares one fact."""
        yield self


@dataclass(frozen=True, slots=True)
class Beyond:
    """True where the fact's quantity is above `above` or below `below`."""

    fact: str
    above: Quantity | None = None
    below: Quantity | None = None

    def truth(self, facts: Facts) -> Truth:
        """Return its value under `facts`."""
        value = facts.get(self.fact, Unsaid.UNANSWERED)
        if isinstance(value, Unsaid):
            return _unsaid(value)
        if not isinstance(value, Quantity):
            return Truth.FALSE
        above = self.above is not None and value > self.above
        below = self.below is not None and value < self.below
        return _truth(above or below)

    def atoms(self) -> Iterator[Atom]:
        """Yield itself: it compares one fact."""
        yield self


@dataclass(frozen=True, slots=True)
class All:
    """True where every part is."""

    parts: tuple[Condition, ...]

    def truth(self, facts: Facts) -> Truth:
        """Return its value under `facts`; one false part decides."""
        return _first(
            [p.truth(facts) for p in self.parts],
            (Truth.FALSE, Truth.OPEN, Truth.UNKNOWN, Truth.TRUE),
        )

    def atoms(self) -> Iterator[Atom]:
        """Yield every comparison in it."""
        for part in self.parts:
            yield from part.atoms()


@dataclass(frozen=True, slots=True)
class AnyOf:
    """True where at least one part is."""

    parts: tuple[Condition, ...]

    def truth(self, facts: Facts) -> Truth:
        """Return its value under `facts`; one true part decides."""
        return _first(
            [p.truth(facts) for p in self.parts],
            (Truth.TRUE, Truth.OPEN, Truth.UNKNOWN, Truth.FALSE),
        )

    def atoms(self) -> Iterator[Atom]:
        """Yield every comparison in it."""
        for part in self.parts:
            yield from part.atoms()


@dataclass(frozen=True, slots=True)
class Not:
    """True where its part is false."""

    part: Condition

    def truth(self, facts: Facts) -> Truth:
        """Return its value under `facts`; unknown stays unknown."""
        inner = self.part.truth(facts)
        return {Truth.TRUE: Truth.FALSE, Truth.FALSE: Truth.TRUE}.get(inner, inner)

    def atoms(self) -> Iterator[Atom]:
        """Yield every comparison in it."""
        yield from self.part.atoms()


Atom = Is | Beyond
Condition = Is | Beyond | All | AnyOf | Not


def _truth(value: bool) -> Truth:
    return Truth.TRUE if value else Truth.FALSE


def _unsaid(value: Unsaid) -> Truth:
    return {
        Unsaid.DONT_KNOW: Truth.UNKNOWN,
        Unsaid.UNANSWERED: Truth.OPEN,
        Unsaid.NOT_ASKED: Truth.FALSE,
    }[value]


def _first(truths: list[Truth], order: tuple[Truth, ...]) -> Truth:
    return next((t for t in order if t in truths), order[-1])
