"""Reads the two commonest entries, begun and sealed, in one look at their bytes.

Lists of sessions want twenty thousand notes within a blink. What is accepted here is accepted
by the strict reader with the same outcome, which the tests hold against each other byte by
byte; everything else is left to the strict reader, and `verify` and the audit use that alone.
"""

from __future__ import annotations

import re
from binascii import a2b_base64
from datetime import datetime
from functools import lru_cache
from typing import TYPE_CHECKING

from checklist.record.errors import RecordError, TooLarge
from checklist.record.files.clock import STAMP
from checklist.record.journals.journal import FileMark
from checklist.record.journals.lines import hash_of
from checklist.record.ledgers.entries import ROLES, VERDICTS, Entry, RuleMark, Signer, require_line
from checklist.record.ledgers.entrytext import TITLE
from checklist.record.ledgers.ledger import Recorded, read_note
from checklist.record.ledgers.notes import LARGEST_NOTE, MOST_SIGNATURES, Signature
from checklist.record.roll.keys import require_sound

if TYPE_CHECKING:
    from collections.abc import Sequence

    from checklist.record.files.folder import LogFolder

_HEX32, _HEX64 = "[0-9a-f]{32}", "[0-9a-f]{64}"
_ROLE = "|".join(role.replace(" ", "-") for role in ROLES)
# 68 bytes make 91 characters and one sign of filling; in its one spelling the last character
# carries four bits and two zeros.
_BASE64 = "[A-Za-z0-9+/]{90}[AEIMQUYcgkosw048]="

_NOTE = re.compile(
    f"{TITLE}\norigin ({_HEX32})\nnumber ([1-9][0-9]{{0,7}})\nprevious ({_HEX64})\n"
    f"kind (begun|sealed)\ntime ({STAMP})\nprogram ([^\n]+)\nsession ({_HEX32})\n"
    f"file ({_HEX64}) (0|[1-9][0-9]{{0,14}})\n(?:verdict ({'|'.join(VERDICTS)})\n)?"
    f"rule ([^\n]+)\n((?:signer {_HEX64} here (?:{_ROLE}) [^\n]+\n)*)\n"
    f"((?:\N{EM DASH} {_HEX64} {_BASE64}\n)*)",
    re.ASCII,
)
_RULE = re.compile(f"({_HEX64}) ([^ \n]+) ([^\n]+)")


def list_note(folder: LogFolder, name: str) -> Recorded:
    """Return one entry by its file name, as `read_note` does; Damaged where it is not in form."""
    try:
        data = folder.disk.read_in(folder.ledger, name, at_most=LARGEST_NOTE)
    except (OSError, TooLarge):
        return read_note(folder, name)
    found = quick_note(data)
    if found is None or name != f"{found[0].number:08}.note":
        return read_note(folder, name)
    return Recorded(*found, data, hash_of(data))


def quick_note(data: bytes) -> tuple[Entry, tuple[Signature, ...]] | None:
    """Return entry and signature lines of a note, or None: the strict reader must look at it.

    None proves nothing about the note; neither does anything else here about its signatures.
    """
    try:
        found = _NOTE.fullmatch(data.decode())
        return None if found is None else _entry(*found.groups())
    except (RecordError, ValueError):
        return None


def _entry(
    origin: str, number: str, previous: str, kind: str, at: str, program: str, session: str,
    sha256: str, size: str, verdict: str | None, rule: str, signers: str, below: str,
) -> tuple[Entry, tuple[Signature, ...]] | None:  # fmt: skip
    is_sealed = kind == "sealed"
    if bool(verdict) is not is_sealed or bool(signers) is not is_sealed:
        return None
    if below.count("\n") > MOST_SIGNATURES:
        return None
    require_line(program, "program")
    entry = Entry(
        kind, session, FileMark(sha256, int(size)), verdict, _rule(rule), None, _signers(signers),
        origin=origin, number=int(number), previous=previous, at=datetime.fromisoformat(at),
        program=program,
    )  # fmt: skip
    return entry, tuple([_signature(line) for line in below.split("\n")[:-1]])


@lru_cache(maxsize=1024)  # the same few rule files in ten thousand entries
def _rule(line: str) -> RuleMark:
    found = _RULE.fullmatch(line)
    if found is None:
        raise ValueError("this is no rule file")
    sha256, edition, name = found.groups()
    require_line(edition, "edition")
    require_line(name, "rule file")
    return RuleMark(name, edition, sha256)


@lru_cache(maxsize=1024)  # and the same few people
def _signers(lines: str) -> tuple[Signer, ...]:
    signers = tuple([_signer(line.split(" ", 4)) for line in lines.split("\n")[:-1]])
    if len({(signer.person, signer.role) for signer in signers}) != len(signers):
        raise ValueError("a person stands there twice")
    return signers


def _signer(parts: Sequence[str]) -> Signer:
    _, key, _, role, person = parts
    require_sound(key)
    require_line(person, "signer")
    return Signer(person, role.replace("-", " "), key, is_here=True)


def _signature(line: str) -> Signature:
    raw = a2b_base64(line[67:])
    return Signature(line[2:66], raw[:4], raw[4:])
