"""Keys: what chance gives is the key, and nothing else goes into it."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

from checklist.record.roll.keys import keys_of, make_key, unlock
from tests.record.making import PASSPHRASE, open_folder

SECRET = "9d61b19deffd5a60ba844af492ec2cc44449c5697b326919703bac031cae7f60"  # noqa: S105 - a published example, of no use to anybody
PUBLIC = "d75a980182b10ab7d54bfed3c964073a0ee172f3daa62325af021a68f707511a"
"""RFC 8032, section 7.1, test 1; the signature is that of an empty message there."""


def test_a_key_is_made_of_32_bytes_of_chance_and_nothing_else(tmp_path: Path) -> None:
    """The public half is the one that RFC 8032, section 7.1, test 1, gives for these bytes."""
    asked: list[int] = []

    def chance(count: int) -> bytes:
        asked.append(count)
        return bytes.fromhex(SECRET)

    folder = replace(open_folder(tmp_path / "logs"), chance=chance)
    made = make_key(folder, "Ada Quill", PASSPHRASE, rounds=1)
    [card] = keys_of(folder)

    assert (asked, made.public) == ([32], PUBLIC)
    assert unlock(folder, card, PASSPHRASE).public == PUBLIC
