"""The shapes of single values in a station file: each reads, writes and compares itself.

One declaration serves the reader, the writer and the fingerprint, so that what is read is
what is written and what is written is what is compared.
"""

from __future__ import annotations

import re
from abc import ABC, abstractmethod
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date
from typing import Any

from checklist import plaintext
from checklist.errors import StandclearError
from checklist.quantities import Quantity, parse_quantity
from checklist.station.reading import Pass, Reference
from checklist.strictyaml import Path

Steps = tuple[str, ...]
"""The way to a value inside the station, in the words of the file."""

Leaf = tuple[Steps, str, str]
"""The way, the value as it is compared, and the value as it is written."""

_NAME = re.compile(r"[a-z][a-z0-9]*(-[a-z0-9]+)*")
_LONGEST_NAME = 40
_NO_NAMES = ("unknown", "none")


class Shape(ABC):
    """How one kind of value is read, written and compared."""

    @abstractmethod
    def read(self, data: Any, path: Path, reading: Pass) -> Any:
        """Return the value; note every error and raise Unusable where there is one."""

    @abstractmethod
    def write(self, value: Any) -> Any:
        """Return the value as texts, lists and mappings of texts."""

    def leaves(self, value: Any) -> Iterator[Leaf]:
        """Yield everything in the value that can change."""
        written = str(self.write(value))
        yield (), written, written


def one_text(data: Any, path: Path, reading: Pass) -> str:
    """Return data that is one text, and not empty."""
    if not isinstance(data, str):
        raise reading.unusable(path, "one text is needed here")
    if not data.strip():
        raise reading.unusable(path, "nothing stands here; write a text")
    return data


@dataclass(frozen=True, slots=True)
class Words(Shape):
    """A text for people, one line unless `lines`."""

    longest: int = 200
    lines: bool = False

    def read(self, data: Any, path: Path, reading: Pass) -> str:
        """Return the text as it may be kept."""
        text = one_text(data, path, reading)
        try:
            return plaintext.accept(text, field="", longest=self.longest, lines=self.lines)
        except plaintext.TextRefused as refused:
            raise reading.unusable(path, refused.sentence()) from None

    def write(self, value: str) -> str:
        """Return the text."""
        return value


@dataclass(frozen=True, slots=True)
class Matching(Shape):
    """A text of a fixed pattern, with an example of one."""

    pattern: str
    example: str

    def read(self, data: Any, path: Path, reading: Pass) -> str:
        """Return the text if it matches as a whole."""
        text = one_text(data, path, reading).strip()
        if not re.fullmatch(self.pattern, text):
            raise reading.unusable(path, f"“{short(text)}” is not written as {self.example}")
        return text

    def write(self, value: str) -> str:
        """Return the text."""
        return value


@dataclass(frozen=True, slots=True)
class OneOf(Shape):
    """One word of a list."""

    words: tuple[str, ...]

    def read(self, data: Any, path: Path, reading: Pass) -> str:
        """Return the word."""
        text = one_text(data, path, reading)
        if text not in self.words:
            only = "only " if len(self.words) == 1 else ""
            raise reading.unusable(
                path, f"“{short(text)}” stands here; it must be {only}{listed(self.words)}"
            )
        return text

    def write(self, value: str) -> str:
        """Return the word."""
        return value


@dataclass(frozen=True, slots=True)
class YesNo(Shape):
    """Yes or no."""

    def read(self, data: Any, path: Path, reading: Pass) -> bool:
        """Return whether it is yes."""
        text = one_text(data, path, reading)
        if text not in {"yes", "no"}:
            raise reading.unusable(path, f"“{short(text)}” is not yes or no")
        return text == "yes"

    def write(self, value: bool) -> str:
        """Return yes or no."""
        return "yes" if value else "no"


@dataclass(frozen=True, slots=True)
class Whole(Shape):
    """A whole number within bounds; a count, and so without a unit."""

    least: int
    most: int

    def read(self, data: Any, path: Path, reading: Pass) -> int:
        """Return the number."""
        text = one_text(data, path, reading)
        digits = text.isascii() and text.isdigit() and len(text) <= 9
        if not digits or not self.least <= int(text) <= self.most:
            raise reading.unusable(
                path, f"“{short(text)}” is not a whole number from {self.least} to {self.most}"
            )
        return int(text)

    def write(self, value: int) -> str:
        """Return the digits."""
        return str(value)


@dataclass(frozen=True, slots=True)
class Day(Shape):
    """A day of the calendar."""

    def read(self, data: Any, path: Path, reading: Pass) -> date:
        """Return the day."""
        text = one_text(data, path, reading)
        try:
            return date.fromisoformat(text if len(text) == 10 else "")
        except ValueError:
            raise reading.unusable(
                path, f"“{short(text)}” is not a day; write it as 2026-11-25"
            ) from None

    def write(self, value: date) -> str:
        """Return the day as year, month and day."""
        return value.isoformat()


@dataclass(frozen=True, slots=True)
class Measure(Shape):
    """A quantity of one dimension within bounds; a bare number is refused."""

    dimension: str
    least: str = ""
    """The lowest value that can stand here; where empty, it must be above zero."""

    most: str = ""
    any_sign: bool = False
    """Whether anything from below zero up may stand here, as a gain or a position."""

    def read(self, data: Any, path: Path, reading: Pass) -> Quantity:
        """Return the quantity with the text as it stands in the file."""
        text = one_text(data, path, reading)
        try:
            quantity = parse_quantity(text, self.dimension)
        except StandclearError as refused:
            raise reading.unusable(path, refused.sentence()) from None
        wrong = self._beyond(quantity)
        if wrong:
            raise reading.unusable(path, f"“{short(text)}” {wrong}")
        return quantity

    def write(self, value: Quantity) -> str:
        """Return the quantity as typed, or in its own unit."""
        return value.typed or value.text()

    def leaves(self, value: Quantity) -> Iterator[Leaf]:
        """Yield the exact value: another unit for the same value is no change."""
        yield (), f"{self.dimension} {value.si}", self.write(value)

    def _beyond(self, quantity: Quantity) -> str:
        if self.least and quantity < parse_quantity(self.least, self.dimension):
            return f"is below {self.least}, the least that can stand here"
        if not self.least and not self.any_sign and quantity.si <= 0:
            return "is not above zero"
        if self.most and quantity > parse_quantity(self.most, self.dimension):
            return f"is above {self.most}, the most that can stand here"
        return ""


@dataclass(frozen=True, slots=True)
class Naming(Shape):
    """The name of an entry in another section, such as an antenna's."""

    sections: tuple[str, ...]

    def read(self, data: Any, path: Path, reading: Pass) -> str:
        """Return the name; whether it is there is asked when the whole file has been read."""
        name = a_name(one_text(data, path, reading), path, reading)
        reading.references.append(Reference(path, self.sections, name))
        return name

    def write(self, value: str) -> str:
        """Return the name."""
        return value


def a_name(text: str, path: Path, reading: Pass) -> str:
    """Return `text` if it can be the name of an entry."""
    if text in _NO_NAMES:
        raise reading.unusable(path, f"“{text}” says that nothing is known or there; name it")
    if not _NAME.fullmatch(text) or len(text) > _LONGEST_NAME:
        raise reading.unusable(
            path, f"“{short(text)}” is not a name; write small letters, digits and -, as dipole-40"
        )
    return text


def listed(words: tuple[str, ...]) -> str:
    """Return words as a choice: `a, b or c`."""
    return " or ".join(filter(None, [", ".join(words[:-1]), words[-1]]))


def short(text: object) -> str:
    """Return what stands in a file, cut to fit a message."""
    said = " ".join(str(text).split())
    return said if len(said) <= 40 else f"{said[:37]}..."
