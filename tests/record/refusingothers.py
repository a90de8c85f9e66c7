"""What is refused of keys and their cards, and of what other laptops and later programs wrote."""

from __future__ import annotations

import errno
import os
from collections.abc import Callable
from dataclasses import replace
from functools import partial
from pathlib import Path

from checklist.record.files.disk import RealDisk
from checklist.record.files.folder import LogFolder
from checklist.record.files.kept import attach
from checklist.record.files.kept import read as read_kept
from checklist.record.files.layout import said
from checklist.record.files.linereader import LineReader
from checklist.record.files.strictjson import Json, parse
from checklist.record.files.tinystore import tables_of
from checklist.record.journals.journal import Journal
from checklist.record.journals.lines import (
    LARGEST_FILE,
    LONGEST_LINE,
    compose,
    line_of,
    parse_line,
    read_lines,
)
from checklist.record.ledgers import notes
from checklist.record.ledgers.entries import Draft
from checklist.record.ledgers.entrytext import from_text
from checklist.record.ledgers.ledger import Ledger, note_path, read_note
from checklist.record.ledgers.otherlogs import FOLDER, other_tags, take_over
from checklist.record.ledgers.tags import HUNG, Tag, hung_fields
from checklist.record.lookup.card import LISTS, TEXTS, TIMES, card_of
from checklist.record.lookup.catalogue import Catalogue
from checklist.record.lookup.registers import Registers
from checklist.record.roll.keys import keys_of, make_key, unlock
from tests.record.making import PASSPHRASE, HandClock, begin, finish, open_folder, person

Tried = dict[str, Callable[[], object]]


class ShutDisk(RealDisk):
    """A disk on which nobody may read a photo or list a folder of another laptop's entries."""

    def read(self, path: Path, *, at_most: int) -> bytes:
        if path.suffix == ".jpg" or path.name == "registers.json":
            raise OSError(errno.EACCES, os.strerror(errno.EACCES))
        return super().read(path, at_most=at_most)

    def names(self, folder: Path) -> list[str]:
        if folder.parent.name == FOLDER:
            raise OSError(errno.EACCES, os.strerror(errno.EACCES))
        return super().names(folder)


def keys(base: Path) -> Tried:
    """Return what is tried with keys, their cards and their passphrases."""
    folder = open_folder(base / "keys")
    person(folder, "Ada Quill"), person(folder, "Ben Marsh")
    (ada,), (ben,) = keys_of(folder, "Ada Quill"), keys_of(folder, "Ben Marsh")
    ada_file, ben_file = (folder.keys / f"{card.name}.key" for card in (ada, ben))
    tried: Tried = {
        "a wrong passphrase": lambda: unlock(folder, ada, "a hill in spring"),
        "a broken passphrase": lambda: unlock(folder, ada, "a hill \ud800 in spring"),
        "a short passphrase": lambda: make_key(folder, "Ada Quill", "a hill"),
        "a key without a name": lambda: make_key(folder, " ", PASSPHRASE),
        "a key with a long name": lambda: make_key(folder, "A" * 101, PASSPHRASE),
    }
    swapped = open_folder(base / "swapped")
    (swapped.keys / ada_file.name).write_bytes(ben_file.read_bytes())
    tried["another's key file"] = lambda: unlock(swapped, ada, PASSPHRASE)
    tried["a key file that is gone"] = lambda: unlock(swapped, ben, PASSPHRASE)
    card = (folder.keys / f"{ada.name}.json").read_bytes()
    for what, data in {
        "of no key": card.replace(b"standclear key 1", b"standclear kex 1"),
        "with more in it": card.replace(b'{"format"', b'{"a":"b","format"'),
        "of a small-order key": card.replace(ada.public.encode(), b"01" + b"00" * 31),
        "of nobody": card.replace(b"Ada Quill", b""),
        "that is a list": b"[]\n",
    }.items():
        one = open_folder(base / f"card {what}".replace(" ", "-"))
        (one.keys / f"{ada.name}.json").write_bytes(data)
        tried[f"a card {what}"] = partial(keys_of, one)
    return tried


def later(base: Path) -> Tried:
    """Return what is tried with entries of a later form, sound and changed."""
    folder = open_folder(base / "later")
    ada = person(folder, "Ada Quill")
    finish(folder, begin(folder), ada)
    note = notes.parse(note_path(folder, 2).read_bytes())
    newer = note.text.replace("entry 1\n", "entry 2\n").replace("standclear 0.", "standclear 999.")
    bad = ada.sign(note.text)
    named = {
        "sound": replace(note, text=newer, signatures=(ada.sign(newer),)),
        "with a wrong signature": replace(note, text=newer, signatures=(bad,)),
        "signed by no key": replace(note, text=newer, signatures=(replace(bad, name="ab"),)),
    }
    for number, one in enumerate(named.values(), start=11):
        note_path(folder, number).write_bytes(notes.compose(one))
    return {
        f"a later entry, {what}": lambda name=f"{number:08}.note": read_note(folder, name)
        for number, what in enumerate(named, start=11)
    } | {"an entry of something else": lambda: from_text("standclear roster 1\n")}


def files(base: Path) -> Tried:
    """Return what is tried with session files, photos and parts of a folder that are damaged."""
    folder = open_folder(base / "files")
    (base / "photo.jpg").write_bytes(b"x")
    first = begin(folder, "a" * 32)
    for _ in range(2):
        first.append("answered", {"step": "lines"})
    first.close()
    first.path.write_bytes(first.path.read_bytes().replace(b"lines", b"liner", 1))
    ended = begin(folder, "b" * 32)
    finish(folder, ended, ada := person(folder, "Ada Quill"))
    ended.close()
    (folder.path / "locks").rename(base / "locks-away")
    (folder.path / "locks").touch()
    bare, large = open_folder(base / "bare"), open_folder(base / "large")
    bare.ledger.rename(base / "ledger-away")
    bare.catalogue.mkdir(0o700)
    other = Journal.begin(large, "d" * 32, "begun", first.lines[0].data)
    Ledger(large).append(
        Draft("abandoned", "d" * 32, other.digest(), fields=(("reason", "the weather turned"),))
    )
    finish(sealed := open_folder(base / "sealed"), journal := begin(sealed), ada)
    with (large.path / "rules" / ("0" * 64)).open("wb") as file:
        file.truncate(8 * 1024 * 1024 + 1)
    large.catalogue.write_text('{"about":{"1":{"format":2}}}', encoding="utf-8")
    large.catalogue.chmod(0o600)
    return {
        "a session with a changed line": lambda: read_lines(folder.disk, first.path),
        "a photo that nobody may read": lambda: attach(
            replace(folder, disk=ShutDisk()), base / "photo.jpg"
        ),
        "a lock that cannot be held": lambda: folder.hold("ledger"),
        "a session on a folder without locks": lambda: begin(folder, "e" * 32),
        "a ledger that is gone": lambda: Ledger(bare).names(),
        "a rule file that is too large": lambda: read_kept(large, "rules", "0" * 64),
        "an end with another verdict": lambda: finish(sealed, journal, ada, verdict="stopped"),
        "an end after it was given up": lambda: finish(large, other, ada),
        "a catalogue of a later form": lambda: Catalogue.open(large).cards(),
        "registers that nobody may read": lambda: Registers.open(
            replace(large, disk=ShutDisk())
        ).people(),
        "a catalogue that is a folder": lambda: Catalogue.open(bare).cards(),
        "a catalogue that is no text": lambda: tables_of(b"\xff", where="catalogue.json"),
    }


class ReadOnlyDisk(RealDisk):
    """A disk on which this person may write nowhere; a test may be run by root, who may."""

    def can_write(self, folder: Path) -> bool:
        return False


def untrusted_folders(base: Path) -> Tried:
    """Return what is tried with log folders that cannot be made, written, or trusted."""
    wide, odd, unnamed = (open_folder(base / name) for name in ("wide", "odd", "unnamed"))
    wide.sessions.chmod(0o777)
    odd.rules.rmdir()
    odd.rules.touch()
    (unnamed.path / "origin").write_bytes(b"x" * 65)
    (base / "taken").touch()
    clock = HandClock()
    return {
        "a folder below a file": lambda: open_folder(base / "taken" / "logs"),
        "a file in the place of a folder": lambda: open_folder(base / "taken"),
        "a folder that is read-only": lambda: open_folder(base / "shut", ReadOnlyDisk()),
        "a folder that others can change": lambda: open_folder(wide.path),
        "a folder with a file as a part": lambda: open_folder(odd.path),
        "a folder without its name": lambda: open_folder(unnamed.path),
        "a folder without its name, looked at": lambda: LogFolder.look(
            unnamed.path, RealDisk(), clock
        ),
        "a session that has no such name": lambda: wide.session_file("../x"),
        "a kept file that has no such name": lambda: wide.kept_file(wide.rules, "../x"),
        "the system's words": lambda: said(OSError("Odd")),
        "a title of a later form": partial(
            LineReader, "standclear roster 2\n", "standclear roster 1"
        ),
    }


def single_lines(base: Path) -> Tried:
    """Return what is tried with single lines of a session, and with cards of the catalogue."""
    journal = begin(open_folder(base / "lines"), "a" * 32)
    data = compose(journal.lines[0])
    found = parse(data[:-1])
    bad: dict[str, Json] = {
        "at": 5,
        "n": True,
        "previous": 5,
        "boot_ns": "01",
        "what": "X",
        "data": [],
    }
    journal._size = LARGEST_FILE
    card: dict[str, object] = dict.fromkeys(TEXTS, "")
    card |= {name: [] for name in LISTS} | dict.fromkeys(TIMES, "")
    card |= {"session_id": "a" * 32, "begun": "2026-11-25T09:41:00+00:00"}
    return {
        f"a line with another {name}": partial(line_of, found | {name: value})
        for name, value in bad.items()
    } | {
        "a line that is cut off": lambda: parse_line(data[:-1]),
        "a line that is too long": lambda: parse_line(b"x" * LONGEST_LINE + b"\n"),
        "a session that is too long": lambda: journal.append("answered", {}),
        "a card of nothing": lambda: card_of({}),
        **{
            f"a card with another {name}": partial(card_of, card | {name: value})
            for name, value in {
                "rule_file": 5,
                "people": "Ada Quill",
                "session_id": "x",
                "begun": "noon",
                "valid_until": "2026-11-25T09:41:00",
                "text": "\udfff",
            }.items()
        },
        "a card without a beginning": lambda: card_of(card | {"begun": ""}),
    }


def other_laptops(base: Path) -> Tried:
    """Return what is tried with the entries of a laptop that hung a tag."""
    own, shack, twin = (open_folder(base / name) for name in ("own-tags", "shack", "twin"))
    tag = Tag("", "1" * 32, "breaker 14", "5", "Wren Holloway", HandClock().now(), "rotator")
    Ledger(shack).append(Draft(HUNG, fields=hung_fields(tag)))
    take_over(own, shack)
    take_over(own, shack)
    copy = own.path / FOLDER / shack.origin / "00000001.note"
    data = copy.read_bytes()
    full = open_folder(base / "full-tags", ShutDisk())
    (full.path / FOLDER).touch()
    spoilt = open_folder(base / "spoilt")
    take_over(spoilt, shack)
    spoilt_copy = spoilt.path / FOLDER / shack.origin / "00000001.note"
    spoilt_copy.write_bytes(data.replace(b"lock 5", b"lock 6"))
    gone = open_folder(base / "gone-tags")
    take_over(gone, shack)
    (gone.path / FOLDER / shack.origin / "00000001.note").unlink()
    (gone.path / FOLDER / shack.origin / "00000001.note").mkdir()
    (twin.path / FOLDER).mkdir()
    (twin.path / FOLDER / shack.origin).touch()
    return {
        "a copy that was changed": lambda: take_over(spoilt, shack),
        "a file in the place of the copies": lambda: take_over(full, shack),
        "copies that are no folder": lambda: other_tags(full).problems,
        "copies that cannot be listed": lambda: other_tags(replace(own, disk=ShutDisk())).problems,
        "copies of one laptop that are no folder": lambda: other_tags(twin).problems,
        "copies that cannot be read": lambda: other_tags(gone).problems,
    }


ROOMS = (keys, later, files, untrusted_folders, single_lines, other_laptops)
