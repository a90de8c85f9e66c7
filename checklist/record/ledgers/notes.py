"""Signed notes: readable text, a blank line, one line per signature.

The format is the open "signed note" of C2SP (c2sp.org/signed-note), with its Ed25519
signatures. This module knows bytes, names and signatures, and nothing of what a text means.
"""

from __future__ import annotations

import base64
import binascii
import hashlib
import re
from dataclasses import dataclass

from checklist.record.errors import Damaged, RecordError

LARGEST_NOTE = 256 * 1024
"""Bytes in one note."""

MOST_SIGNATURES = 64
"""Signature lines in one note."""

_CONTROL = re.compile(r"[\x00-\x09\x0b-\x1f]")
_ED25519 = b"\x01"  # the signature type of the signed-note specification
_DASH = "\N{EM DASH}"
_ID_SIZE = 4
_KEY_SIZE = 32
_SIGNATURE_SIZE = 64


@dataclass(frozen=True, slots=True)
class Signature:
    """One signature line of a note."""

    name: str
    """The key's name; this program uses the public key's 64 hex digits."""

    key_id: bytes
    """Four bytes that the specification derives from the name and the public key."""

    value: bytes
    """The 64 bytes of an Ed25519 signature over the note's text."""


@dataclass(frozen=True, slots=True)
class Note:
    """A text and the signatures beneath it; nothing is verified by having one."""

    text: str
    """The signed text, final newline included."""

    signatures: tuple[Signature, ...]


def compose(note: Note) -> bytes:
    """Return the note's bytes; RecordError where the text or a name cannot stand in a note."""
    _require_text(note.text)
    lines = []
    for signature in note.signatures:
        _require_name(signature.name)
        packed = base64.b64encode(signature.key_id + signature.value).decode("ascii")
        lines.append(f"{_DASH} {signature.name} {packed}\n")
    return f"{note.text}\n{''.join(lines)}".encode()


def parse(data: bytes) -> Note:
    """Return the note that `data` spells; Damaged for any other spelling.

    A note without signatures is accepted here (a ledger entry may need none), although
    the specification wants at least one: the text then ends with the blank line.
    """
    if len(data) > LARGEST_NOTE:
        raise Damaged(f"the note has more than {LARGEST_NOTE} bytes")
    try:
        whole = data.decode("utf-8")
    except UnicodeDecodeError:
        raise Damaged("the note is not UTF-8") from None
    text, separator, below = _split(whole)
    if not separator:
        raise Damaged("the note has no blank line between text and signatures")
    lines = below.split("\n")
    if lines.pop() != "" or len(lines) > MOST_SIGNATURES:
        raise Damaged("the signature lines are cut off or too many")
    note = Note(text, tuple(map(_signature, lines)))
    try:
        spelled = compose(note)
    except RecordError as problem:
        raise Damaged(problem.what) from problem
    if spelled != data:
        raise Damaged("the note is not spelled in the one form that is accepted")
    return note


def key_id(name: str, public: bytes) -> bytes:
    """Return a key's four-byte identifier: the head of SHA-256(name, newline, type, key)."""
    return hashlib.sha256(name.encode() + b"\n" + _ED25519 + public).digest()[:_ID_SIZE]


def is_signed(note: Note, signature: Signature, public: bytes) -> bool:
    """Say whether `signature` was made by the key `public`, named as it is, over the text."""
    from cryptography.exceptions import InvalidSignature
    from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PublicKey

    if signature.key_id != key_id(signature.name, public):
        return False
    try:
        Ed25519PublicKey.from_public_bytes(public).verify(signature.value, note.text.encode())
    except (InvalidSignature, ValueError):
        return False
    return True


def _split(whole: str) -> tuple[str, str, str]:
    text, separator, below = whole.rpartition("\n\n")
    return text + "\n", separator, below


def _signature(line: str) -> Signature:
    parts = line.split(" ")
    if len(parts) != 3 or parts[0] != _DASH:
        raise Damaged("a signature line has not the form 'dash name base64'")
    raw = _unpacked(parts[2])
    if len(raw) != _ID_SIZE + _SIGNATURE_SIZE:
        raise Damaged("a signature has the wrong length")
    return Signature(parts[1], raw[:_ID_SIZE], raw[_ID_SIZE:])


def _unpacked(text: str) -> bytes:
    try:
        raw = base64.b64decode(text, validate=True)
    except (binascii.Error, ValueError):
        raise Damaged("a signature or key is not base64") from None
    if _packed(raw) != text:  # unused bits may differ without changing what is decoded
        raise Damaged("base64 is not spelled in its one form")
    return raw


def _packed(raw: bytes) -> str:
    return base64.b64encode(raw).decode("ascii")


def _require_text(text: str) -> None:
    if not text.endswith("\n") or text == "\n":
        raise RecordError("a note's text is empty or lacks its final newline")
    if _CONTROL.search(text):
        raise RecordError("a note's text holds a control character")


def _require_name(name: str, refuse: type[RecordError] = RecordError) -> None:
    if "+" in name or name.split() != [name]:
        raise refuse(f"{name[:60]!r} cannot name a key")
