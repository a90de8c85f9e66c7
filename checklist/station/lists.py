"""Shapes that hold several values: lists, the word none, and tables of two columns."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

from checklist.quantities import Quantity
from checklist.station.reading import Pass, Unusable
from checklist.station.shapes import Leaf, Measure, Shape, short
from checklist.strictyaml import Path


@dataclass(frozen=True, slots=True)
class Many(Shape):
    """A list of one shape."""

    item: Shape
    least: int = 1
    most: int = 500

    def read(self, data: Any, path: Path, reading: Pass) -> tuple[Any, ...]:
        """Return the items in their order."""
        if not isinstance(data, list):
            raise reading.unusable(path, "a list is needed here, as [one, two]")
        if not self.least <= len(data) <= self.most:
            raise reading.unusable(
                path, f"{len(data)} stand here; it must be {self.least} to {self.most}"
            )
        items, failed = [], False
        for i, one in enumerate(data):
            try:
                items.append(self.item.read(one, (*path, i), reading))
            except Unusable:
                failed = True
        if failed:
            raise Unusable
        return tuple(items)

    def write(self, value: tuple[Any, ...]) -> list[Any]:
        """Return the items written."""
        return [self.item.write(one) for one in value]

    def leaves(self, value: tuple[Any, ...]) -> Iterator[Leaf]:
        """Yield what each item holds, counted from 1."""
        for i, one in enumerate(value, start=1):
            for steps, compared, written in self.item.leaves(one):
                yield (str(i), *steps), compared, written
        if not value:
            yield (), "none", "none"


@dataclass(frozen=True, slots=True)
class NoneOr(Shape):
    """The word `none`, or a list: that there is nothing is said, not left out."""

    some: Many

    def read(self, data: Any, path: Path, reading: Pass) -> tuple[Any, ...]:
        """Return the items; an empty tuple for `none`."""
        if data == "none":
            return ()
        if not isinstance(data, list):
            raise reading.unusable(path, "write none, or a list")
        return self.some.read(data, path, reading)

    def write(self, value: tuple[Any, ...]) -> Any:
        """Return `none` or the list."""
        return self.some.write(value) if value else "none"

    def leaves(self, value: tuple[Any, ...]) -> Iterator[Leaf]:
        """Yield what each item holds."""
        return self.some.leaves(value)


@dataclass(frozen=True, slots=True)
class Pairs(Shape):
    """A table of two columns, written as `left: right`, in rising order of the left."""

    left: Measure
    right: Measure
    most: int = 60

    def read(self, data: Any, path: Path, reading: Pass) -> tuple[tuple[Quantity, Quantity], ...]:
        """Return the pairs, sorted; two pairs with equal left sides are refused."""
        if not isinstance(data, dict) or not 1 <= len(data) <= self.most:
            raise reading.unusable(path, f"1 to {self.most} pairs are needed here, as 7 MHz: 1 dB")
        pairs: list[tuple[Quantity, Quantity]] = []
        failed = False
        for key, entry in data.items():
            here = (*path, key)
            try:
                pair = self.left.read(key, here, reading), self.right.read(entry, here, reading)
                if any(pair[0] == other for other, _ in pairs):
                    raise reading.unusable(here, f"“{short(key)}” stands twice; keep one")
                pairs.append(pair)
            except Unusable:
                failed = True
        if failed:
            raise Unusable
        return tuple(sorted(pairs, key=lambda pair: pair[0]))

    def write(self, value: tuple[tuple[Quantity, Quantity], ...]) -> dict[str, str]:
        """Return the pairs as a mapping."""
        return {self.left.write(left): self.right.write(right) for left, right in value}

    def leaves(self, value: tuple[tuple[Quantity, Quantity], ...]) -> Iterator[Leaf]:
        """Yield the right side of each pair, under the exact left side."""
        for left, right in value:
            for _, compared, written in self.right.leaves(right):
                yield (left.text(),), f"{left.si} {compared}", written
