"""The rules at hand: the shipped ones and the club's own, each with the bytes it came from."""

from __future__ import annotations

import hashlib
from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
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
    """`rule file`, `sources.yaml`, each `tables/NAME.yaml`, and those two of `club-rules/`."""

    @property
    def has_club_values(self) -> bool:
        """Whether the club has put any value in the place of a shipped one."""
        book = self.book
        rows = (row.cited for table in book.tables.values() for row in table.rows.values())
        values = (value.cited for value in book.values.values())
        return any(cited.replaced for cited in (*values, *rows))

    def hashes(self) -> dict[str, str]:
        """Return the SHA-256 of each text, by its name."""
        return {name: hashlib.sha256(data).hexdigest() for name, data in self.texts.items()}


RULE_FILE = "rule file"
"""The name under which a session keeps the rule file itself."""

CHECKS, TABLES, LIMITS, SOURCES = "checks", "tables", "limits", "sources.yaml"
"""What the shipped rules and a club's folder are made of, alike."""

CLUB_FOLDER = "club-rules"
"""How messages and sessions call the club's folder, whatever it is named on this disk."""


class Library:
    """The shipped rules and, beside them, a club's folder: rule files, tables and sources."""

    def __init__(self, club: Path | None = None) -> None:
        self._shipped = shipped_rules()
        self._club = club

    def listed(self) -> tuple[tuple[Listed, ...], tuple[str, ...]]:
        """Return every rule file by its head, and a sentence for each that cannot be listed."""
        found: dict[str, Listed] = {}
        problems: list[str] = []
        problems += self.misplaced().values()
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
        return self.load_path(self.path(name))

    def names(self) -> tuple[str, ...]:
        """Return the names of all rule files at hand, right or wrong."""
        return tuple(path.stem for path, _ in self._paths())

    def path(self, name: str) -> Path:
        """Return where the rule file called `name` lies; raises StandclearError without one."""
        found = [p for p, _ in self._paths() if p.stem == name]
        if not found:
            known = ", ".join(self.names())
            raise StandclearError(f"there is no rule file “{name}”", right=f"There are: {known}.")
        if len(found) > 1:
            raise StandclearError(_clash(found[1], name))
        return found[0]

    def load_path(self, path: Path, *, as_shipped: bool = False) -> Loaded:
        """Return the rule file at `path`, read against the tables and sources at hand.

        `as_shipped` leaves the club's own values away. Raises RuleFileRefused, or
        RulebookRefused where a table is wrong: nothing is walked past a club's value.
        """
        texts = _texts_in(self._shipped, "") if as_shipped else self.book_texts()
        return loaded_from({RULE_FILE: _bytes(path), **texts}, path.name)

    def load_all(self) -> tuple[tuple[Loaded, ...], tuple[str, ...]]:
        """Return every rule file at hand, and a sentence for each that cannot be used."""
        texts, found, problems = self.book_texts(), [], [*self.misplaced().values()]
        book = _book(texts)
        for path, _ in self._paths():
            try:
                found.append(loaded_from({RULE_FILE: _bytes(path), **texts}, path.name, book))
            except StandclearError as error:
                problems.append(error.sentence())
        return tuple(found), tuple(problems)

    def book(self) -> Book:
        """Return the book of values in use: the shipped ones, with the club's laid over them."""
        return replace(_book(self.book_texts()), limit_texts=self.limit_texts()[0])

    def book_texts(self) -> dict[str, bytes]:
        """Return the bytes of every table and bibliography in use, by its name."""
        found = _texts_in(self._shipped, "")
        if self._club:
            found |= _texts_in(self._club, f"{CLUB_FOLDER}/")
        return found

    def limit_texts(self) -> tuple[dict[str, str], dict[str, str]]:
        """Return the sets of exposure limits, file name to content: shipped ones, and the club's.

        The club's lie in its folder's `limits/`; their names begin with `club-rules/`.
        """
        shipped = {f"{LIMITS}/{p.name}": p for p in _files_in(self._shipped / LIMITS)}
        club = _files_in(self._club / LIMITS) if self._club else []
        own = {f"{CLUB_FOLDER}/{LIMITS}/{path.name}": path for path in club}
        return _read_all(shipped), _read_all(own)

    @property
    def club_checks(self) -> Path | None:
        """The folder of the club's own rule files, which need not be there yet."""
        return self._club / CHECKS if self._club else None

    def club_files(self) -> tuple[Path, ...]:
        """Return the club's own rule files."""
        return tuple(path for path, origin in self._paths() if origin == CLUB)

    def misplaced(self) -> dict[Path, str]:
        """Return the club's YAML files that are not read, each with a sentence that says why."""
        if self._club is None:
            return {}
        astray = [p for p in self._club.glob("*.yaml") if p.name != SOURCES]
        return {path: _misplaced(path) for path in sorted([*astray, *self._club.rglob("*.yml")])}

    def _paths(self) -> list[tuple[Path, str]]:
        shipped = sorted((self._shipped / CHECKS).glob("*.yaml"))
        club = sorted((self._club / CHECKS).glob("*.yaml")) if self._club else []
        return [*((p, SHIPPED) for p in shipped), *((p, CLUB) for p in club)]


def _texts_in(folder: Path, prefix: str) -> dict[str, bytes]:
    """Return the sources, which a club need not have, and the tables of one folder of rules."""
    sources = folder / SOURCES
    found = {f"{prefix}{SOURCES}": _bytes(sources)} if not prefix or sources.exists() else {}
    for table in _files_in(folder / TABLES):
        found[f"{prefix}{TABLES}/{table.name}"] = _bytes(table)
    return found


def _files_in(folder: Path) -> list[Path]:
    """Return the YAML files of a folder; one that is there and cannot be listed is refused.

    A club's value must never fall away unsaid, as it would where a glob comes back empty.
    """
    try:
        return sorted(path for path in folder.iterdir() if path.suffix == ".yaml")
    except FileNotFoundError:
        return []
    except OSError as error:
        raise StandclearError(
            f"it cannot be listed ({error.strerror})", where=str(folder)
        ) from None


def _read_all(paths: Mapping[str, Path]) -> dict[str, str]:
    return {name: _decoded(_bytes(path), name) for name, path in paths.items()}


def _book(texts: Mapping[str, bytes]) -> Book:
    from checklist.rulebook import load_book

    return load_book({n: _decoded(t, n) for n, t in texts.items() if n != RULE_FILE})


def loaded_from(texts: Mapping[str, bytes], shown_name: str, book: Book | None = None) -> Loaded:
    """Return the rule file in `texts`, which hold everything it was or is to be used with.

    `book` is what the tables and sources in `texts` hold, where that has been read already.
    """
    from checklist.calculations.registry import CALCULATIONS
    from checklist.rulefile import load_rule_file

    book = book or _book(texts)
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


def _misplaced(path: Path) -> str:
    return (
        f"{path.name}: it is not read where it lies. Rule files belong into "
        f"{CLUB_FOLDER}/{CHECKS}, tables into {CLUB_FOLDER}/{TABLES}; names end in .yaml."
    )


def _clash(path: Path, name: str) -> str:
    return (
        f"{path.name}: a shipped rule file is named “{name}” too. Give the club's file a name of "
        "its own; it never replaces a shipped one."
    )
