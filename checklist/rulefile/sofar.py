"""What is known while a rule file is compiled, and all that is wrong in it so far."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import timedelta

from checklist.calculations.kinds import Calculation
from checklist.errors import StandclearError
from checklist.quantities import Quantity, parse_quantity
from checklist.rulebook import Book, Source, Standing
from checklist.rulefile.model import Step
from checklist.rulefile.repair import Blind
from checklist.strictyaml import Path

_NOWHERE = Source("", "", "", Standing.MEMORY)


@dataclass(slots=True)
class SoFar:
    """Resolves what a rule file refers to; nothing is guessed, and every error is gathered."""

    book: Book
    calculations: Mapping[str, Calculation]
    blind: Blind
    errors: list[tuple[Path, str]] = field(default_factory=list)
    """Each with its place in the file."""

    steps: dict[str, Step] = field(default_factory=dict)
    """Those above the place that is looked at: only an earlier step provides a fact."""

    def error(self, path: Path, what: str) -> None:
        """Keep what is wrong at `path`, unless a worse error above it hides the place."""
        if not self.blind.hides(path):
            self.errors.append((path, what))

    def quantity(self, path: Path, text: str, dimension: str) -> Quantity | None:
        """Return the quantity that is written there; None with an error where it is none."""
        try:
            return parse_quantity(text, dimension)
        except StandclearError as error:
            self.error(path, error.sentence())
            return None

    def duration(self, path: Path, text: str) -> timedelta:
        """Return how long something holds; no time at all, with an error, where it is none."""
        quantity = self.quantity(path, text, "time")
        if quantity is None or quantity.si <= 0:
            if quantity is not None:
                self.error(path, f"“{text}” is not a time that something can hold")
            return timedelta(0)
        return timedelta(seconds=float(quantity.si))

    def source(self, path: Path, source_id: str) -> Source:
        """Return the source of that id; an empty one, with an error, where there is none."""
        found = self.book.sources.get(source_id)
        if found is None:
            self.error(path, f"the source “{source_id}” is not in rules/sources.yaml")
        return found or _NOWHERE

    def expect_step(self, path: Path, step_id: str) -> None:
        """Keep an error unless a step above has that id."""
        if step_id not in self.steps and not self.blind.ids:
            self.error(path, f"there is no step “{step_id}”")

    def no_fact(self, path: Path, fact: str) -> None:
        """Keep an error that no step above provides the fact, unless an unreadable one may."""
        if not self.blind.ids:
            self.error(path, f"no earlier step provides the fact “{fact}”")
