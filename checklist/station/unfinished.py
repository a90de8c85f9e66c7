"""Entries that are not finished: what was typed for them, kept beside the station file.

A file of its own, so that the station file always loads. Plain YAML, to be read by hand.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Any

import yaml

from checklist.errors import StandclearError
from checklist.strictyaml import Path, read_yaml

_HEAD = (
    "# Entries of {name} that are not finished, as they were typed. standclear goes on with them.\n"
)


@dataclass(frozen=True, slots=True)
class Unfinished:
    """One entry that was begun."""

    section: Path
    name: str
    """The name typed for it, or an empty text."""

    typed: dict[str, str | list[str]] = field(default_factory=dict)
    """What was typed, by the row's name."""

    @property
    def called(self) -> str:
        """How it is called until it is finished."""
        return self.name or str(self.typed.get("kind", "")) or "without a name"


def unfinished_text(held: tuple[Unfinished, ...], name: str) -> str:
    """Return the file of all unfinished entries of the station file called `name`."""
    data = [
        {"section": "/".join(map(str, one.section)), "name": one.name, "typed": one.typed}
        for one in held
    ]
    dumped = yaml.safe_dump(data, allow_unicode=True, sort_keys=False, width=100)
    return f"{_HEAD.format(name=name)}{dumped}"


def read_unfinished(text: str, name: str) -> tuple[Unfinished, ...]:
    """Return the entries that the text holds; raises StandclearError for another kind of file."""
    data = read_yaml(text, name).data
    if data == []:
        return ()
    if not isinstance(data, list) or not all(map(_is_one, data)):
        raise StandclearError(
            "this is no list of unfinished entries", where=name, right="Move it away."
        )
    return tuple(
        Unfinished(tuple(one["section"].split("/")), one["name"], dict(one["typed"]))
        for one in data
    )


def _is_one(data: Any) -> bool:
    if not isinstance(data, dict) or data.keys() != {"section", "name", "typed"}:
        return False
    texts = isinstance(data["section"], str) and isinstance(data["name"], str)
    return texts and isinstance(data["typed"], dict) and all(map(_is_typed, data["typed"].values()))


def _is_typed(data: Any) -> bool:
    return isinstance(data, str) or (
        isinstance(data, list) and all(isinstance(one, str) for one in data)
    )
