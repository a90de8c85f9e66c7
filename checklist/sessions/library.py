"""The rule files at hand: the shipped ones and the club's own, each with the bytes it came from."""

from __future__ import annotations

import hashlib
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from checklist.errors import StandclearError
from checklist.shipped import shipped_rules

if TYPE_CHECKING:  # the list of rule files must be on the first screen before these are loaded
    from checklist.rulebook import Book
    from checklist.rulefile import RuleFile

SHIPPED = "shipped"
CLUB = "club"


@dataclass(frozen=True, slots=True)
class Listed:
    """A rule file as a list shows it, before it is loaded."""

    name: str
    title: str
    about: str
    origin: str
    """`shipped` or `club`."""


@dataclass(frozen=True, slots=True)
class Loaded:
    """A rule file with the book it was read against and the exact bytes of everything used."""

    rule_file: RuleFile
    book: Book
    texts: Mapping[str, bytes]
    """`rule file`, `sources.yaml` and each `tables/NAME.yaml`."""

    def hashes(self) -> dict[str, str]:
        """Return the SHA-256 of each text, by its name."""
        return {name: hashlib.sha256(data).hexdigest() for name, data in self.texts.items()}


RULE_FILE = "rule file"
"""The name under which a session keeps the rule file itself."""


class Library:
    """The shipped rules and, beside them, a club's own folder of rule files."""

    def __init__(self, club: Path | None = None) -> None:
        self._shipped = shipped_rules()
        self._club = club

    def listed(self) -> tuple[tuple[Listed, ...], tuple[str, ...]]:
        """Return every rule file by its head, and a sentence for each that cannot be listed."""
        found: dict[str, Listed] = {}
        problems = []
        for path, origin in self._paths():
            try:
                head = _head(path, origin)
            except StandclearError as error:
                problems.append(error.sentence())
                continue
            if head.name in found:
                problems.append(_clash(path, head.name))
            else:
                found[head.name] = head
        return tuple(found.values()), tuple(problems)

    def load(self, name: str) -> Loaded:
        """Return the rule file called `name`, loaded strictly with all it refers to."""
        found = [p for p, _ in self._paths() if p.stem == name]
        if not found:
            known = ", ".join(p.stem for p, _ in self._paths())
            raise StandclearError(f"there is no rule file “{name}”", right=f"There are: {known}.")
        if len(found) > 1:
            raise StandclearError(_clash(found[1], name))
        return self.load_path(found[0])

    def load_path(self, path: Path) -> Loaded:
        """Return the rule file at `path`, read against the shipped tables and sources."""
        texts = {RULE_FILE: _bytes(path)}
        texts["sources.yaml"] = _bytes(self._shipped / "sources.yaml")
        for table in sorted((self._shipped / "tables").glob("*.yaml")):
            texts[f"tables/{table.name}"] = _bytes(table)
        return loaded_from(texts, path.name)

    def book(self) -> Book:
        """Return the shipped book of values alone."""
        from checklist.rulebook import load_book

        texts = {"sources.yaml": _bytes(self._shipped / "sources.yaml")}
        for table in sorted((self._shipped / "tables").glob("*.yaml")):
            texts[f"tables/{table.name}"] = _bytes(table)
        return load_book({n: _decoded(t, n) for n, t in texts.items()})

    def _paths(self) -> list[tuple[Path, str]]:
        shipped = sorted((self._shipped / "checks").glob("*.yaml"))
        club = sorted(self._club.glob("*.yaml")) if self._club and self._club.is_dir() else []
        return [*((p, SHIPPED) for p in shipped), *((p, CLUB) for p in club)]


def loaded_from(texts: Mapping[str, bytes], shown_name: str) -> Loaded:
    """Return the rule file in `texts`, which hold everything it was or is to be used with."""
    from checklist.calculations.registry import CALCULATIONS
    from checklist.rulebook import load_book
    from checklist.rulefile import load_rule_file

    book = load_book({n: _decoded(t, n) for n, t in texts.items() if n != RULE_FILE})
    text = _decoded(texts[RULE_FILE], shown_name)
    return Loaded(load_rule_file(text, shown_name, book, CALCULATIONS), book, dict(texts))


def loaded_from_kept(hashes: Mapping[str, str], read: Callable[[str], bytes]) -> Loaded:
    """Return the rule file that a session was begun with, from its kept bytes."""
    if RULE_FILE not in hashes:
        raise StandclearError("the session does not name its rule file")
    return loaded_from({name: read(sha) for name, sha in hashes.items()}, "rule file as begun")


def _head(path: Path, origin: str) -> Listed:
    """Read what stands before the parts, with the strict reader; a walk reads the whole file."""
    from checklist.strictyaml import read_yaml

    head, _, _ = _decoded(_bytes(path), path.name).partition("\nparts:")
    data = read_yaml(head, path.name).data
    if not isinstance(data, dict) or not isinstance(data.get("title"), str):
        raise StandclearError("this is not a rule file", where=path.name, right="It has a title.")
    if data.get("name") != path.stem:
        raise StandclearError(
            f"its name is “{data.get('name')}”",
            where=path.name,
            right="Name the file as the rule file in it.",
        )
    about = " ".join(str(data.get("about", "")).split())
    return Listed(path.stem, data["title"], about, origin)


def _bytes(path: Path) -> bytes:
    try:
        return path.read_bytes()
    except OSError as error:
        raise StandclearError(f"it cannot be read ({error.strerror})", where=path.name) from None


def _decoded(data: bytes, name: str) -> str:
    try:
        return data.decode("utf-8")
    except UnicodeDecodeError as error:
        raise StandclearError(
            f"byte {error.start + 1} is not UTF-8", where=name, right="Save it as UTF-8."
        ) from None


def _clash(path: Path, name: str) -> str:
    return (
        f"{path.name}: a shipped rule file is named “{name}” too. Give the club's file a name of "
        "its own; it never replaces a shipped one."
    )
