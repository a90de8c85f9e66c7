"""People's keys: made at the first signature, kept under a passphrase.

A key file is in OpenSSH's own format, whose slow key derivation (bcrypt) makes guessing a
passphrase dear. Beside it stands a card with the person's name and the public half.
"""

from __future__ import annotations

import unicodedata
from dataclasses import dataclass, field
from functools import lru_cache
from typing import TYPE_CHECKING

from checklist.plaintext import accept
from checklist.record.errors import Damaged, KeyRefused, NotSaved, RecordError, WrongPassphrase
from checklist.record.files.clock import stamp
from checklist.record.files.strictjson import dump, parse
from checklist.record.files.whole import create_whole, is_temporary
from checklist.record.journals.lines import hash_of
from checklist.record.ledgers import notes

if TYPE_CHECKING:
    from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PrivateKey

    from checklist.record.files.folder import LogFolder

ROUNDS = 48
"""Rounds of the key derivation: about 0.4 s on a small laptop, three times OpenSSH's 16."""

SHORTEST_PASSPHRASE = 8
"""Characters. Common practice, no source; the slow derivation carries the rest."""

_LARGEST_KEY_FILE = 16 * 1024
_FORMAT = "standclear key 1"
_FIELD = 2**255 - 19  # RFC 8032, section 5.1
_SIGN_BIT = 1 << 255

# The y coordinates of the eight points whose order divides the cofactor 8. With such a
# key a forged signature passes about once in eight tries, so it is no key at all.
_SMALL_ORDER_Y = {
    0,
    1,
    _FIELD - 1,
    int.from_bytes(
        bytes.fromhex("26e8958fc2b227b045c3f489f2ef98f0d5dfac05d3c63339b13802886d53fc05"), "little"
    ),
    int.from_bytes(
        bytes.fromhex("c7176a703d4dd84fba3c0b760d10670f2a2053fa2c39ccc64ec7fd7792ac037a"), "little"
    ),
}


@dataclass(frozen=True, slots=True)
class KeyCard:
    """The public half of a person's key on this laptop."""

    person: str
    public: str
    """The Ed25519 public key, 64 hex digits."""

    made: str
    """When, as the record writes times."""

    @property
    def name(self) -> str:
        """The name of its files in keys/, without ending."""
        return hash_of(bytes.fromhex(self.public))[:32]


@dataclass(frozen=True, slots=True)
class UnlockedKey:
    """A key that can sign; it is nowhere on disk in this form."""

    person: str
    public: str
    """The Ed25519 public key, 64 hex digits."""

    _secret: Ed25519PrivateKey = field(repr=False)

    def sign(self, text: str) -> notes.Signature:
        """Return this key's signature line for a note's text."""
        key_id = notes.key_id(self.public, bytes.fromhex(self.public))
        return notes.Signature(self.public, key_id, self._secret.sign(text.encode()))


def make_key(
    folder: LogFolder, person: str, passphrase: str, *, rounds: int = ROUNDS
) -> UnlockedKey:
    """Make a person's key, put it in keys/, and return it ready to sign.

    Raises KeyRefused for a passphrase of less than 8 characters, TextRefused for a name
    that cannot be kept, NotSaved when the disk refuses.
    """
    from cryptography.hazmat.primitives import serialization
    from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PrivateKey

    person = _person(person)
    secret_words = _passphrase(passphrase)
    secret = Ed25519PrivateKey.from_private_bytes(folder.chance(32))
    public = secret.public_key().public_bytes_raw().hex()
    sealing = (
        serialization.PrivateFormat.OpenSSH.encryption_builder()
        .kdf_rounds(rounds)
        .build(secret_words)
    )
    card = KeyCard(person, public, stamp(folder.clock.now()))
    locked = secret.private_bytes(
        serialization.Encoding.PEM, serialization.PrivateFormat.OpenSSH, sealing
    )
    described = dump({"format": _FORMAT, "person": person, "public": public, "made": card.made})
    try:
        create_whole(folder.disk, folder.keys / f"{card.name}.key", locked)
        create_whole(folder.disk, folder.keys / f"{card.name}.json", described + b"\n")
    except OSError as problem:
        raise NotSaved(
            f"NOT SAVED, the key could not be written: {problem.strerror}",
            where=str(folder.keys),
            right="Make room or mend the disk, then make the key again.",
        ) from problem
    return UnlockedKey(person, public, secret)


def keys_of(folder: LogFolder, person: str | None = None) -> tuple[KeyCard, ...]:
    """Return the cards of a person's keys here, oldest first; of everybody's without a name."""
    cards = [
        _read_card(folder, name)
        for name in folder.disk.names(folder.keys)
        if name.endswith(".json") and not is_temporary(name)
    ]
    wanted = None if person is None else unicodedata.normalize("NFC", person).strip()
    chosen = (card for card in cards if wanted is None or card.person == wanted)
    return tuple(sorted(chosen, key=lambda card: (card.made, card.public)))


def unlock(folder: LogFolder, card: KeyCard, passphrase: str) -> UnlockedKey:
    """Return the key that `card` describes, opened.

    Raises WrongPassphrase, or KeyRefused when the file holds another key than the card
    says; Damaged when the file cannot be read.
    """
    from cryptography.exceptions import UnsupportedAlgorithm
    from cryptography.hazmat.primitives import serialization
    from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PrivateKey

    path = folder.keys / f"{card.name}.key"
    folder.check_file(path)
    try:
        data = folder.disk.read(path, at_most=_LARGEST_KEY_FILE)
    except OSError as problem:
        raise Damaged(
            f"the key file cannot be read: {problem.strerror}",
            where=str(path),
            right="Restore it from a copy, or make a new key.",
        ) from problem
    try:
        secret = serialization.load_ssh_private_key(data, _encoded(passphrase))
    except (ValueError, TypeError, UnsupportedAlgorithm):
        raise WrongPassphrase(
            f"this passphrase does not open the key of {card.person}",
            right="Type it again; a key whose passphrase is lost is replaced by a new key.",
        ) from None
    if (
        not isinstance(secret, Ed25519PrivateKey)
        or secret.public_key().public_bytes_raw().hex() != card.public
    ):
        raise KeyRefused(
            "the key file holds another key than its card says",
            where=str(path),
            right="Restore both from a copy, or make a new key.",
        )
    return UnlockedKey(card.person, card.public, secret)


@lru_cache(maxsize=1024)
def require_sound(public: str) -> bytes:
    """Return a public key's 32 bytes; KeyRefused where signatures by it would prove nothing."""
    try:
        raw = bytes.fromhex(public)
    except ValueError:
        raw = b""
    if len(raw) != 32 or raw.hex() != public:
        raise KeyRefused("a public key is 64 characters of 0-9 and a-f")
    y = int.from_bytes(raw, "little") % _SIGN_BIT
    if y >= _FIELD or y in _SMALL_ORDER_Y:
        raise KeyRefused(
            "this public key is of small order or not in its one spelling: anyone could sign by it",
            right="Make a new key.",
        )
    return raw


def _read_card(folder: LogFolder, name: str) -> KeyCard:
    path = folder.keys / name
    folder.check_file(path)
    try:
        found = parse(folder.disk.read(path, at_most=_LARGEST_KEY_FILE).removesuffix(b"\n"))
        if list(found) != ["format", "person", "public", "made"] or found["format"] != _FORMAT:
            raise Damaged("it does not describe a key")
        card = KeyCard(str(found["person"]), str(found["public"]), str(found["made"]))
        require_sound(card.public)
        _person(card.person)
    except (RecordError, OSError) as problem:
        said = problem.what if isinstance(problem, RecordError) else str(problem.strerror)
        raise Damaged(
            f"the card of a key is damaged: {said}",
            where=str(path),
            right="Restore it from a copy, or move it away and make a new key.",
        ) from problem
    if name != f"{card.name}.json":
        raise Damaged("the card of a key bears another key's name", where=str(path))
    return card


def _person(name: str) -> str:
    clean = accept(name, field="name", longest=100)
    if not clean:
        raise KeyRefused("a key needs a person's name", right="Type the name.")
    return clean


def _passphrase(text: str) -> bytes:
    if len(unicodedata.normalize("NFC", text)) < SHORTEST_PASSPHRASE:
        raise KeyRefused(
            f"the passphrase is shorter than {SHORTEST_PASSPHRASE} characters",
            right="Several plain words are good.",
        )
    return _encoded(text)


def _encoded(text: str) -> bytes:
    try:
        return unicodedata.normalize("NFC", text).encode()
    except UnicodeEncodeError:
        raise KeyRefused(
            "the passphrase holds a broken character", right="Type it again."
        ) from None
