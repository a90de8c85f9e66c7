"""What is refused of receipts, of files of entries, and of what an officer saw before."""

from __future__ import annotations

import errno
import os
from collections.abc import Callable
from dataclasses import replace
from functools import partial
from pathlib import Path

from checklist.record.files.bundle import ENTRIES, pack
from checklist.record.files.folder import LogFolder
from checklist.record.ledgers import notes
from checklist.record.ledgers.ledger import Ledger, note_path
from checklist.record.lookup.remembered import EVIDENCE, departure, evidence
from checklist.record.roll.receipts import FOLDER, keep_receipt, make_receipt, read_receipt
from checklist.record.roll.receiving import (
    RECEIVED,
    entries_file,
    receive_file,
    receive_folder,
    seen,
)
from tests.record.clubs import Club, laptop, make_club, walk
from tests.record.crashdisk import CrashDisk, Inode

Tried = dict[str, Callable[[], object]]


class Refusing(CrashDisk):
    """The same files on a disk that can be read no more, or on which nothing can be written."""

    def __init__(self, of: CrashDisk, number: int) -> None:
        super().__init__()
        self.names_now, self.number = of.names_now, number

    def read(self, path: Path, *, at_most: int) -> bytes:
        if self.number == errno.EIO and path.suffix == ".entries":
            raise OSError(errno.EIO, os.strerror(errno.EIO))
        return super().read(path, at_most=at_most)

    def create_new(self, path: Path) -> int:
        if self.number == errno.ENOSPC:
            raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))
        return super().create_new(path)


def disk_of(club: Club) -> CrashDisk:
    """Return the one disk on which both laptops of a club are."""
    assert isinstance(club.station.disk, CrashDisk)
    return club.station.disk


def seen_twice() -> Club:
    """Return a club whose officer saw the station's first session, and then its second."""
    club = make_club()
    for _ in range(2):
        walk(club.station, club.ada)
        receive_folder(club.officer, club.station, club.vera)
    return club


def _receipts() -> Tried:
    club = seen_twice()
    entry = Ledger(club.station).entries()[2]
    receipt, data = make_receipt(
        club.station.origin, 3, entry.sha256, club.clock.now(), club.vera, "standclear 0.2.0"
    )
    note = notes.parse(data)
    bad = {
        "at no time": replace(note, text=note.text.replace("time 2", "time x", 1)),
        "of no number": replace(note, text=note.text.replace("number 3", "number 03", 1)),
        "of an officer without name": replace(note, text=note.text.replace(" Vera Holm", "")),
        "spelled otherwise": replace(note, text=note.text + "\n"),
        "of a small-order key": replace(
            note, text=note.text.replace(receipt.officer, "01" + "00" * 31)
        ),
        "signed by another": replace(note, signatures=(club.ada.sign(note.text),)),
        "signed over another text": replace(note, signatures=(club.vera.sign("x\n"),)),
    }
    walk(club.station, club.ada)
    full = Refusing(disk_of(club), errno.ENOSPC)
    officer, station = replace(club.officer, disk=full), replace(club.station, disk=full)
    return {
        f"a receipt {what}": lambda note=note: read_receipt(notes.compose(note))
        for what, note in bad.items()
    } | {
        "a receipt on a full disk": lambda: keep_receipt(station.path / FOLDER, data, station),
        "what was seen on a full disk": lambda: receive_folder(officer, station, club.vera),
    }


def _files() -> Tried:
    """Return what is tried with files of entries that do not go on from what was seen."""
    club = seen_twice()
    early = pack(ENTRIES, [one.data for one in Ledger(club.station).entries()[:3]])
    walk(club.station, club.ada)
    newest = Ledger(club.station).entries()
    *old, begun, sealed = newest
    unsigned = replace(sealed, data=sealed.data.partition(b"\n\n")[0] + b"\n\n")
    some = {
        "out of order": [sealed, begun],
        "with a gap before it": [sealed],
        "without its signature": [begun, unsigned],
        "with one twice": [*old, old[-1]],
    }
    turned = seen_twice()
    for number in (5, 6):
        del disk_of(turned).names_now[note_path(turned.station, number)]
    walk(turned.station, turned.ada)
    other = pack(ENTRIES, [one.data for one in Ledger(turned.station).entries()[4:]])
    empty = laptop("empty", club.clock)
    return {
        f"a file of entries {what}": lambda file=file: receive_file(
            club.officer, pack(ENTRIES, [one.data for one in file]), club.vera
        )
        for what, file in some.items()
    } | {
        "a file that ends before what was seen": lambda: receive_file(
            club.officer, early, club.vera
        ),
        "a file of another history": lambda: receive_file(turned.officer, other, turned.vera),
        "an empty ledger": lambda: receive_folder(club.officer, empty, club.vera),
        "a file of no entries": lambda: entries_file(empty),
    }


def _stations() -> Tried:
    """Return what is tried with a station's ledger in which an entry was changed."""
    club = seen_twice()
    inode = disk_of(club).names_now[club.station.ledger / "00000002.note"]
    assert inode is not None
    inode.cached[:] = inode.cached.replace(b"time 2026", b"time 2025", 1)
    return {
        "a receipt for a changed ledger": lambda: receive_folder(
            club.officer, club.station, club.vera
        )
    }


def _listed(officer: LogFolder, origin: str) -> object:
    return list(evidence(officer, origin))


def _memories() -> Tried:
    """Return what is tried where what was seen before is damaged, cannot be read, or has a gap."""
    tried: Tried = {}
    club = seen_twice()
    disk, origin = disk_of(club), club.station.origin
    base = club.officer.path / RECEIVED / origin
    second = max(path for path in disk.names_now if path.parent == base and path.suffix)
    here = {one.entry.number: one.data for one in Ledger(club.station).entries()}
    dead = replace(club.officer, disk=Refusing(disk, errno.EIO))
    tried["what was seen, on a dead disk"] = lambda: seen(dead, origin)
    tried["a departure, on a dead disk"] = lambda: departure(dead, origin, here.get)
    inode = disk.names_now[second]
    assert inode is not None
    whole = bytes(inode.cached)
    for what, data in {
        "cut off": whole[:-9],
        "of another log": whole.replace(origin.encode(), b"0" * 32),
    }.items():
        hurt = CrashDisk()
        hurt.names_now = disk.names_now | {second: Inode(bytearray(data))}
        there = replace(club.officer, disk=hurt)
        tried[f"what was seen, {what}"] = partial(seen, there, origin)
        tried[f"a departure, {what}"] = partial(departure, there, origin, here.get)
    for what, data in {"bad": b"x", "badly kept": pack(ENTRIES, [b"x"])}.items():
        hurt = CrashDisk()
        hurt.names_now = disk.names_now | {
            base / EVIDENCE: None,
            base / EVIDENCE / f"{'a' * 64}.entries": Inode(bytearray(data)),
        }
        there = replace(club.officer, disk=hurt)
        tried[f"evidence, {what}"] = partial(_listed, there, origin)
    return tried


ROOMS = (_receipts, _files, _stations, _memories)
