"""The variants of one station that are kept side by side in one sitting."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field

from checklist.calculations.exposure import Remedies
from checklist.errors import StandclearError
from checklist.sessions.stations.exposing import Exposed
from checklist.sessions.variants.variant import Source, Variant, VariantRefused, with_steps

MOST = 12
"""Variants beside the station as it is; more cannot be overlooked."""

AS_TYPED = "as typed"
"""What the variant of a value that is just being typed is called."""


@dataclass(slots=True)
class VariantSet:
    """The station as it is, its variants in their order, and the one that is looked at.

    It changes in place, and only between computations: threads get the variants themselves.
    """

    source: Source
    variants: list[Variant] = field(default_factory=list)
    current: int = 0
    """0 for the station as it is, then each variant."""

    typed: Variant | None = None
    """The variant of what is being typed on top of the one that is looked at; not kept yet."""

    _numbered: int = 0
    _found: dict[str, Exposed] = field(default_factory=dict)
    _remedies: dict[str, tuple[Remedies, ...]] = field(default_factory=dict)

    @property
    def every(self) -> tuple[Variant, ...]:
        """The station as it is, then its variants, then what is being typed."""
        typed = (self.typed,) if self.typed is not None else ()
        return (self.source.origin, *self.variants, *typed)

    @property
    def base(self) -> Variant:
        """The one that is looked at, without what is being typed on top of it."""
        return self.every[self.current]

    @property
    def shown(self) -> Variant:
        """The one that is looked at, with what is being typed on top of it."""
        return self.typed or self.base

    @property
    def at(self) -> int:
        """Where the one that is shown stands in `every`."""
        return len(self.every) - 1 if self.typed is not None else self.current

    def found(self, variant: Variant) -> Exposed | None:
        """Return the evaluation of a variant, where it has been found."""
        return self._found.get(variant.name)

    def remedies(self, variant: Variant) -> tuple[Remedies, ...] | None:
        """Return the remedies on top of a variant, where they have been sought."""
        return self._remedies.get(variant.name)

    def keep(self, variant: Variant, exposed: Exposed) -> None:
        """Keep the evaluation of one of these variants; of one that was dropped it is let go."""
        if self._has(variant):
            self._found[variant.name] = exposed

    def keep_remedies(self, variant: Variant, remedies: tuple[Remedies, ...]) -> None:
        """Keep the remedies on top of one of these variants."""
        if self._has(variant):
            self._remedies[variant.name] = remedies

    def _has(self, variant: Variant) -> bool:
        return any(variant is one for one in self.every)

    def next_name(self) -> str:
        """Return the name for one more variant; raises VariantRefused where there are too many."""
        if len(self.variants) >= MOST:
            raise VariantRefused(
                f"{MOST} variants are kept already", right="Drop one that is not needed."
            )
        return f"variant {self._numbered + 1}"

    def add(self, variant: Variant) -> None:
        """Keep one more variant, and look at it; no number is given twice in one sitting."""
        self.stop_typing()
        self._numbered += 1
        self.variants.append(variant)
        self.current = len(self.variants)

    def type(self, variant: Variant) -> None:
        """Show what is being typed; what was typed before is let go."""
        self.stop_typing()
        self.typed = variant

    def stop_typing(self) -> None:
        """Let go of what was being typed."""
        self._forget(self.typed)
        self.typed = None

    def drop(self) -> str:
        """Drop the variant that is looked at, and return its name; the station itself stays."""
        if self.current == 0:
            raise VariantRefused(
                "the station as it is cannot be dropped", right="Look at a variant, then drop it."
            )
        self.stop_typing()
        dropped = self.variants.pop(self.current - 1)
        self._forget(dropped)
        self.current -= 1
        return dropped.name

    def look(self, by: int) -> None:
        """Look at the next one, or the one before, round and round."""
        self.stop_typing()
        self.current = (self.current + by) % (len(self.variants) + 1)

    def renew(self, source: Source, again: Sequence[Variant]) -> None:
        """Take the station as it was saved since, with the variants that were taken on it again."""
        self.source, self.variants, self.typed = source, list(again), None
        self.current = min(self.current, len(self.variants))
        self._found.clear()
        self._remedies.clear()

    def _forget(self, variant: Variant | None) -> None:
        if variant is not None:
            self._found.pop(variant.name, None)
            self._remedies.pop(variant.name, None)


def taken_again(
    source: Source, variants: Sequence[Variant]
) -> tuple[tuple[Variant, ...], tuple[str, ...]]:
    """Return each variant on top of the station as it was saved since, where it still fits.

    A sentence for each that does not; it is left out.
    """
    again: list[Variant] = []
    said: list[str] = []
    for variant in variants:
        try:
            again.append(with_steps(source, variant.steps, variant.name))
        except StandclearError as error:
            said.append(f"{variant.name} was dropped: {error.sentence()}")
    return tuple(again), tuple(said)
