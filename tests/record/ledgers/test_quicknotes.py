"""The quick reader of entries accepts nothing that the strict one does not, and means the same."""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime
from pathlib import Path

import pytest

from checklist.record.errors import Damaged, RecordError
from checklist.record.files.folder import LogFolder
from checklist.record.ledgers import notes
from checklist.record.ledgers.entries import Draft, Entry, placed
from checklist.record.ledgers.entrytext import from_text, to_text
from checklist.record.ledgers.ledger import Ledger, read_note
from checklist.record.ledgers.notes import Signature
from checklist.record.ledgers.quicknotes import list_note, quick_note
from tests.conftest import Tried
from tests.record.ledgers.test_entries import HASH, SEALED, make
from tests.record.making import open_folder, small_log

BEGUN = Draft("begun", "1" * 32, SEALED.file, rule=SEALED.rule)
SIGNATURE = Signature("ab" * 32, b"\x01\x02\x03\x04", bytes(range(64)))
PLAIN = replace(SEALED, fields=())


@pytest.fixture
def folder(tmp_path: Path) -> LogFolder:
    return open_folder(tmp_path / "logs")


def written(entry: Entry, *signatures: Signature) -> bytes:
    return notes.compose(notes.Note(to_text(entry), signatures))


def strictly(data: bytes) -> tuple[Entry, tuple[Signature, ...]] | None:
    try:
        note = notes.parse(data)
        return from_text(note.text), note.signatures
    except RecordError:
        return None


NOTES = {"begun": written(make(BEGUN)), "sealed": written(make(PLAIN), SIGNATURE, SIGNATURE)}


@pytest.mark.parametrize("data", NOTES.values(), ids=NOTES)
def test_the_commonest_entries_are_read_alike(data: bytes) -> None:
    """A begun and a sealed entry give, to the last part, what the strict reader gives."""
    assert quick_note(data) == strictly(data) is not None


@pytest.mark.parametrize("data", NOTES.values(), ids=NOTES)
def test_every_changed_byte(data: bytes, tried: Tried) -> None:
    """With any bit flipped, any byte lost or doubled, it accepts only what is still in form."""
    changed = [
        data[:at] + bytes([data[at] ^ 1 << bit]) + data[at + 1 :]
        for at in range(len(data))
        for bit in range(8)
    ]
    changed += [data[:at] + data[at + 1 :] for at in range(len(data))]
    changed += [data[: at + 1] + data[at:] for at in range(len(data))]
    changed += [data[:at] for at in range(len(data))]
    tried("bytes", len(changed))

    wrong = [one for one in changed if (found := quick_note(one)) and found != strictly(one)]

    assert wrong == []


ODD = {
    "a later form": ("entry 1\n", "entry 2\n"),
    "number zero": ("number 7", "number 0"),
    "number with a nought before": ("number 7", "number 07"),
    "number of nine digits": ("number 7", "number 123456789"),
    "number in other digits": ("number 7", "number ٧"),
    "size with a nought before": (" 4711\n", " 04711\n"),
    "size of sixteen digits": (" 4711\n", " 1234567890123456\n"),
    "hash in capitals": (f"previous {HASH}", f"previous {HASH.upper()}"),
    "hour 24": ("T09:41:00.123-05:00", "T24:00:00.000-05:00"),
    "offset of no hours, west": ("00.123-05:00", "00.123-00:00"),
    "offset of 24 hours": ("00.123-05:00", "00.123-24:00"),
    "half an hour west": ("00.123-05:00", "00.123-00:30"),
    "microseconds": ("00.123-05", "00.123456-05"),
    "a second 60": ("41:00.123", "41:60.123"),
    "30 February": ("2026-11-25T", "2026-02-30T"),
    "the year nought": ("2026-11-25T", "0000-11-25T"),
    "blank between day and hour": ("2026-11-25T", "2026-11-25 "),
    "another kind": ("kind sealed", "kind closed"),
    "no kind": ("kind sealed", "kind sealed well"),
    "begun with a verdict": ("kind sealed", "kind begun"),
    "unknown verdict": ("verdict no stop found", "verdict safe"),
    "a longer verdict": ("no stop found", "no stop found, with cautions"),
    "no verdict": ("verdict no stop found\n", ""),
    "role with a blank": ("in-charge", "in charge"),
    "unknown role": ("in-charge", "captain"),
    "missing signer": (" here ", " missing "),
    "small-order key": ("signer d75a", "signer " + "0" * 4),
    "key of zeros": ("d75a980182b10ab7d54bfed3c964073a0ee172f3daa62325af021a68f707511a", "0" * 64),
    "two blanks before a name": ("in-charge Ada", "in-charge  Ada"),
    "blank after a name": ("Ada Quill\n", "Ada Quill \n"),
    "no name": ("Ada Quill", ""),
    "escape in a name": ("Ada Quill", "Ada \x1b[31mQuill"),
    "turned around": ("Ada Quill", "Ada \u202eQuill"),
    "not NFC": ("Ada Quill", "Ada Qui\u0308ll"),
    "NFC beyond ASCII": ("Ada Quill", "Ada Quïll"),
    "carriage return": ("Ada Quill\n", "Ada Quill\r\n"),
    "a line separator in a name": ("Ada Quill", "Ada\u2028Quill"),
    "next line in a name": ("Ada Quill", "Ada\x85Quill"),
    "edition missing": (" 2026-11-20 Before", " Before"),
    "two blanks in the rule": (" 2026-11-20 Before", " 2026-11-20  Before"),
    "a field": ("Ada Quill\n", "Ada Quill\nfield note more\n"),
    "a target": ("signer d75a", f"target {HASH}\nsigner d75a"),
    "lines in another order": ("number 7\nprevious", "previous"),
    "blank line within": ("\nkind", "\n\nkind"),
    "dash of another kind": ("\N{EM DASH} ", "- "),
    "key's name in capitals": ("\N{EM DASH} abab", "\N{EM DASH} ABAB"),
    "base64 with other unused bits": ("Pj8=\n", "Pj9=\n"),
    "base64 without its filling": ("=\n", "\n"),
    "no newline at the end": ("=\n", "="),
}  # fmt: skip


@pytest.mark.parametrize("odd", ODD.values(), ids=ODD)
def test_odd_spellings(odd: tuple[str, str], tried: Tried) -> None:
    """What is nearly in form is accepted only where the strict reader takes it for the same."""
    whole = NOTES["sealed"].decode()
    assert odd[0] in whole
    tried("abuse", 1)
    data = whole.replace(*odd).encode()

    assert quick_note(data) in {None, strictly(data)}


def test_the_same_person_twice() -> None:
    """A signer who stands there twice is refused by both."""
    line = next(one for one in NOTES["sealed"].decode().split("\n") if one.startswith("signer"))
    data = NOTES["sealed"].decode().replace(line, f"{line}\n{line}").encode()

    assert (quick_note(data), strictly(data)) == (None, None)


def test_more_signatures_than_a_note_may_have() -> None:
    """The bound on signature lines is the strict reader's own."""
    entry = make(PLAIN)
    most, too_many = (written(entry, *[SIGNATURE] * count) for count in (64, 65))

    assert quick_note(most) == strictly(most) is not None
    assert (quick_note(too_many), strictly(too_many)) == (None, None)


def test_a_whole_log_is_listed_as_it_is_read(folder: LogFolder) -> None:
    """Every entry of every kind is, for lists, what the strict reader makes of it."""
    small_log(folder)
    names = Ledger(folder).names()

    assert [list_note(folder, name) for name in names] == [read_note(folder, n) for n in names]


def test_an_entry_under_another_number_is_refused(folder: LogFolder) -> None:
    """A note in form that stands under another's name is damage for lists as well."""
    small_log(folder)
    first, second = (folder.ledger / f"{n:08}.note" for n in (1, 2))
    second.write_bytes(first.read_bytes())

    with pytest.raises(Damaged, match="says that it is number 1"):
        list_note(folder, second.name)


def test_what_is_no_file_is_refused(folder: LogFolder) -> None:
    """A link in the place of an entry is not followed, and a missing one is said."""
    small_log(folder)
    first = folder.ledger / "00000001.note"
    elsewhere = folder.path / "elsewhere"
    first.rename(elsewhere)
    with pytest.raises(Damaged, match="cannot be read"):
        list_note(folder, first.name)
    first.symlink_to(elsewhere)

    with pytest.raises(Damaged, match="cannot be read"):
        list_note(folder, first.name)


@pytest.mark.parametrize("zone", ["+00:00", "+14:00", "-09:30", "+05:45"])
def test_any_offset(zone: str) -> None:
    """Times of every offset are the same moment with the same offset in both readers."""
    at = datetime.fromisoformat(f"2026-02-28T23:59:59.999{zone}")
    draft = replace(PLAIN, rule=SEALED.rule)
    data = written(placed(
        draft, origin="0f" * 16, number=12345678, previous=HASH, at=at, program="x 1",
    ))  # fmt: skip

    assert quick_note(data) == strictly(data) is not None
