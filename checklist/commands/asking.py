"""Asks for a passphrase where a command needs a signature, from a terminal or from a pipe."""

from __future__ import annotations

import getpass
import sys
from typing import TYPE_CHECKING

from checklist.errors import StandclearError

if TYPE_CHECKING:
    from checklist.record.files.folder import LogFolder
    from checklist.record.journals.seal import Signing
    from checklist.record.roll.keys import KeyCard, UnlockedKey

_LONGEST = 4096


def ask_signature(folder: LogFolder, person: str, role: str) -> Signing:
    """Return a person ready to sign, after asking for the passphrase of that person's key.

    In a terminal nothing that is typed is shown, and a first signature, which makes the
    key, asks twice; from a pipe one line is read for each person. Raises StandclearError
    where there is none, WrongPassphrase.
    """
    from checklist.sessions.closing import signing

    passphrase = passphrase_of(folder, person)
    if not passphrase:
        raise StandclearError(f"{person} has not signed", right="Type the passphrase.")
    return signing(folder, person, role, passphrase)


def passphrase_of(folder: LogFolder, person: str) -> str:
    """Return the passphrase of a person's key, twice the same where the key is made by it.

    Empty where nothing is typed; raises StandclearError where the two differ.
    """
    from checklist.sessions.closing import key_of

    is_new = key_of(folder, person) is None
    passphrase = _passphrase(f"Passphrase of {person}{' (a key is made)' if is_new else ''}: ")
    if passphrase and is_new and _is_terminal() and passphrase != _passphrase("Once more: "):
        raise StandclearError("the two passphrases differ", right="Give them again.")
    return passphrase


def _is_terminal() -> bool:
    return sys.stdin is not None and sys.stdin.isatty()


def _passphrase(prompt: str) -> str:
    if _is_terminal():
        try:
            return getpass.getpass(prompt, stream=sys.stderr)
        except EOFError:
            return ""
    return sys.stdin.readline(_LONGEST).rstrip("\r\n") if sys.stdin is not None else ""


def ask_to_open(folder: LogFolder, card: KeyCard) -> UnlockedKey:
    """Return the key of a card, opened; StandclearError where nothing is typed, WrongPassphrase."""
    from checklist.record.roll.keys import unlock

    passphrase = _passphrase(f"Passphrase of {card.person}: ")
    if not passphrase:
        raise StandclearError(f"{card.person} has not signed", right="Type the passphrase.")
    return unlock(folder, card, passphrase)


def ask_new_passphrase(person: str) -> str:
    """Return the passphrase for a new key, asked twice in a terminal, one line from a pipe."""
    passphrase = _passphrase(f"Passphrase for the new key of {person}: ")
    if _is_terminal() and passphrase != _passphrase("Once more: "):
        raise StandclearError("the two passphrases differ", right="Give the command again.")
    return passphrase
