"""What an entry of the ledger says, and what each kind of entry must and may say."""

from __future__ import annotations

import re
from dataclasses import dataclass
from functools import lru_cache
from typing import TYPE_CHECKING

from checklist.plaintext import TextRefused, accept
from checklist.record.errors import EntryRefused
from checklist.record.journals.journal import FileMark
from checklist.record.roll.keys import require_sound

if TYPE_CHECKING:
    from datetime import datetime

VERDICTS = ("no stop found", "no stop found, with cautions", "stopped")
"""What a walk can end with."""

ROLES = ("in charge", "worker", "helper", "safety officer")
"""In which a person signs."""

NO_KEY = "none"
"""Stands where an expected signer had no key yet."""

FIRST_PREVIOUS = "0" * 64
"""Stands for the entry before in the first entry of a ledger."""

_HEX64 = re.compile(r"[0-9a-f]{64}")
_HEX32 = re.compile(r"[0-9a-f]{32}")
_NAME_OF_FIELD = re.compile(r"[a-z][a-z0-9-]{0,31}")


@dataclass(frozen=True, slots=True)
class KindRule:
    """What an entry of one kind must and may name."""

    must: frozenset[str]
    may: frozenset[str] = frozenset()
    fields: frozenset[str] = frozenset()
    """Names of further fields that it must hold."""


_ENDING = frozenset({"session", "file", "verdict", "rule", "signers"})
_ANY = frozenset({"session", "signers", "target"})
KINDS = {
    "begun": KindRule(frozenset({"session", "file", "rule"})),
    "sealed": KindRule(_ENDING),
    "closed": KindRule(_ENDING),
    "signed late": KindRule(frozenset({"session", "file", "target", "signers"})),
    "abandoned": KindRule(frozenset({"session", "file"}), frozenset({"rule", "signers"})),
    "corrected": KindRule(frozenset({"target"}), _ANY),
    "tag hung": KindRule(frozenset(), _ANY, frozenset({"tag", "point", "lock", "person"})),
    "tag taken off": KindRule(
        frozenset({"signers"}), _ANY, frozenset({"tag", "hung-in", "point", "lock", "locks-left"})
    ),
    "log read": KindRule(frozenset(), frozenset(), frozenset({"of", "number", "hash"})),
    "roster taken": KindRule(
        frozenset(), frozenset(), frozenset({"officer", "name", "version", "hash", "how"})
    ),
    "audited": KindRule(frozenset({"signers"}), frozenset(), frozenset({"report", "outcome"})),
    "near miss": KindRule(frozenset(), _ANY),
    "incident": KindRule(frozenset(), _ANY),
}
"""Every kind of entry. `closed` ended with signatures missing and is never called sealed."""


@dataclass(frozen=True, slots=True)
class RuleMark:
    """Which rule file a session used."""

    name: str
    edition: str
    """As the file states it, without blanks."""

    sha256: str
    """Of its exact bytes, which stand in rules/ under that name."""


@dataclass(frozen=True, slots=True)
class Signer:
    """A person whose signature an entry needs."""

    person: str
    role: str
    key: str = NO_KEY
    """The whole public key in hex, or `none` where the person had none yet."""

    is_here: bool = False
    """Whether this entry itself carries the signature."""


@dataclass(frozen=True, slots=True)
class Draft:
    """What a new entry shall say; the ledger adds its place in the chain."""

    kind: str
    session: str | None = None
    file: FileMark | None = None
    verdict: str | None = None
    rule: RuleMark | None = None
    target: str | None = None
    """SHA-256 of the entry that this one is about, signatures included."""

    signers: tuple[Signer, ...] = ()
    fields: tuple[tuple[str, str], ...] = ()
    """Further names and values, in order; a value is one line of plain text."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Entry(Draft):
    """One entry of a ledger."""

    origin: str
    """The log folder that the entry was made in."""

    number: int
    """1 for the first."""

    previous: str
    """SHA-256 of the whole note before it, signatures included."""

    at: datetime
    """Wall time with its offset, to the millisecond."""

    program: str
    """The version of standclear that wrote it."""

    def missing(self) -> tuple[Signer, ...]:
        """Return the expected signers whose signature this entry does not carry."""
        return tuple(signer for signer in self.signers if not signer.is_here)

    def field(self, name: str) -> str | None:
        """Return the first value under a further name, or None."""
        return next((value for key, value in self.fields if key == name), None)


def placed(
    draft: Draft, *, origin: str, number: int, previous: str, at: datetime, program: str
) -> Entry:
    """Return the draft as an entry at one place of a ledger; EntryRefused if it is not in form."""
    entry = Entry(
        draft.kind, draft.session, draft.file, draft.verdict, draft.rule, draft.target,
        draft.signers, draft.fields,
        origin=origin, number=number, previous=previous, program=program,
        at=at.replace(microsecond=at.microsecond // 1000 * 1000),
    )  # fmt: skip
    check(entry)
    return entry


def check(entry: Entry) -> None:
    """Refuse an entry that is not in form: EntryRefused, or KeyRefused for a worthless key."""
    _require(_HEX32.fullmatch(entry.origin), "its origin is not 32 hex digits")
    _require(0 < entry.number < 10**8, "its number is out of range")
    _require(_HEX64.fullmatch(entry.previous), "the hash before it is not 64 hex digits")
    require_line(entry.program, "program")
    _check_kind(entry)
    if entry.session is not None:
        _require(_HEX32.fullmatch(entry.session), "its session is not 32 hex digits")
    if entry.file is not None:
        _require(_HEX64.fullmatch(entry.file.sha256), "its file's hash is not 64 hex digits")
        _require(0 <= entry.file.size < 10**15, "its file's size is out of range")
    if entry.target is not None:
        _require(_HEX64.fullmatch(entry.target), "its target is not 64 hex digits")
    if entry.verdict is not None:
        _require(entry.verdict in VERDICTS, f"{entry.verdict!r} is no verdict")
    if entry.rule is not None:
        _require(_HEX64.fullmatch(entry.rule.sha256), "the rule file's hash is not 64 hex digits")
        _require(" " not in entry.rule.edition, "the rule file's edition holds a blank")
        require_line(entry.rule.edition, "edition")
        require_line(entry.rule.name, "rule file")
    for name, value in entry.fields:
        _require(_NAME_OF_FIELD.fullmatch(name), f"{name!r} is no name of a field")
        require_line(value, name)
    _check_signers(entry)


def _check_kind(entry: Entry) -> None:
    rule = KINDS.get(entry.kind)
    if rule is None:
        raise EntryRefused(f"{entry.kind!r} is no kind of entry that this version knows")
    named = {
        name
        for name in ("session", "file", "verdict", "rule", "target")
        if getattr(entry, name) is not None
    }
    if entry.signers:
        named.add("signers")
    for name in sorted(rule.must - named):
        raise EntryRefused(f"an entry of kind {entry.kind!r} must name its {name}")
    for name in sorted(named - rule.must - rule.may):
        raise EntryRefused(f"an entry of kind {entry.kind!r} cannot name a {name}")
    for name in sorted(rule.fields - {name for name, _ in entry.fields}):
        raise EntryRefused(f"an entry of kind {entry.kind!r} must hold a field {name!r}")


def _check_signers(entry: Entry) -> None:
    seen: set[tuple[str, str]] = set()
    for signer in entry.signers:
        _require(signer.role in ROLES, f"{signer.role!r} is no role")
        require_line(signer.person, "signer")
        _require((signer.person, signer.role) not in seen, f"{signer.person} stands there twice")
        seen.add((signer.person, signer.role))
        if signer.key != NO_KEY:
            require_sound(signer.key)
        _require(signer.key != NO_KEY or not signer.is_here, "a signature without a key")
    missing = len(entry.missing())
    if entry.kind in {"sealed", "signed late"}:
        _require(missing == 0, f"an entry of kind {entry.kind!r} lacks a signature")
    if entry.kind == "closed":
        _require(missing > 0, "a closed entry lacks no signature, so it must be called sealed")


@lru_cache(maxsize=1024)  # an audit reads the same names and versions a hundred thousand times
def require_line(text: str, field: str) -> None:
    """Refuse what is not one line of plain text in NFC: EntryRefused, naming the field."""
    try:
        clean = accept(text, field=field)
    except TextRefused as problem:
        raise EntryRefused(problem.what, where=field) from problem
    _require(clean == text and text, f"the {field} is empty, or not plain text in NFC")


def _require(condition: object, otherwise: str) -> None:
    if not condition:
        raise EntryRefused(otherwise)
