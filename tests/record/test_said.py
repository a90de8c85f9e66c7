"""What the record says where it refuses, and of receipts: words change only on purpose."""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import replace
from datetime import timedelta
from functools import cache, partial
from pathlib import Path
from typing import Any

import pytest

from checklist import __version__
from checklist.errors import StandclearError
from checklist.record.files.bundle import pack, unpack
from checklist.record.files.linereader import LineReader, whole
from checklist.record.files.strictjson import dump as as_json
from checklist.record.files.strictjson import parse
from checklist.record.journals.journal import FileMark
from checklist.record.journals.lines import scan
from checklist.record.ledgers import notes
from checklist.record.ledgers.entries import Draft, RuleMark, Signer, check
from checklist.record.ledgers.entrytext import from_text
from checklist.record.ledgers.ledger import Ledger
from checklist.record.roll.appointing import appoint
from checklist.record.roll.receipts import Tail, read_receipt, take_receipt
from checklist.record.roll.receiving import entries_file, receive_file, receive_folder
from checklist.record.verifying.verify import verify
from checklist.strictyaml import read_yaml
from tests.calculations.saying import dump
from tests.record.clubs import Club, laptop, make_club, walk
from tests.record.crashdisk import CrashDisk, Inode
from tests.record.journals.test_lines import ABUSE
from tests.record.ledgers.test_entries import AT, CHANGES, EVIL, HASH, KEY, TEXT, make
from tests.record.ledgers.test_notes import BAD_NOTES, SPELLED
from tests.record.making import begin, person
from tests.record.refusing import ROOMS, refusals_of
from tests.record.refusingclubs import ROOMS as CLUBS
from tests.record.refusingclubs import said_of_signatures
from tests.record.refusingreceipts import ROOMS as RECEIPTS

_SAID = Path(__file__).parent / "said.yaml"
_ABOUT = (
    "What the record says where it refuses something, and of receipts. The project's own words, "
    "written by python -m tests.record.test_said and read in the diff; they validate nothing."
)
_HASH = re.compile("[0-9a-f]{32,64}")
_PYTHONS = re.compile(r"(?<=JSON in UTF-8) \(.*|(?<=0\.\.23), not 25")
"""What Python adds in words of its own, which differ between its versions."""

_ORIGIN = re.compile(r"\b[0-9a-f]{8}\b")


def _refusal(what: Callable[..., Any], *given: Any) -> str:
    """Return the sentence with which it is refused, hashes and paths left out."""
    try:
        what(*given)
    except StandclearError as refused:
        said = re.sub(r"/\S+/", "", refused.sentence()).replace(__version__, "(version)")
        said = _PYTHONS.sub("", said)
        return _ORIGIN.sub("(origin)", _HASH.sub("(hash)", said))
    return "(it is taken)"


def _json() -> dict[str, str]:
    kept = {"half": 1.5, "bytes": b"x", "key": {1: "a"}, "large": 2**60, "surrogate": "\ud800"}
    deep: Any = []
    for _ in range(200):
        deep = [deep]
    return {f"parsed: {name}": _refusal(parse, data) for name, data in ABUSE.items()} | {
        f"kept: {name}": _refusal(as_json, {"a": value})
        for name, value in (kept | {"deep": deep}).items()
    }


def _drafts() -> dict[str, Draft]:
    here, ada = Signer("Ada", "helper", KEY, is_here=True), Signer("Ada", "helper")
    mark, rule = FileMark(HASH, 1), RuleMark("x", "1", HASH)
    return {
        "unknown kind": Draft("sung"),
        "nothing named": Draft("sealed"),
        "too much named": Draft("near miss", "1" * 32, mark, "stopped", rule, HASH),
        "a session of 31 digits": Draft("near miss", "1" * 31),
        "a file with a short hash": Draft("begun", "1" * 32, FileMark("ab", 1), rule=rule),
        "a file below nothing": Draft("begun", "1" * 32, FileMark(HASH, -1), rule=rule),
        "a target that is none": Draft("corrected", "1" * 32, target="ab"),
        "no verdict": Draft("sealed", "1" * 32, mark, "fine", rule, signers=(here,)),
        "a rule with a short hash": Draft("begun", "1" * 32, mark, rule=RuleMark("x", "1", "ab")),
        "a blank in the edition": Draft("begun", "1" * 32, mark, rule=RuleMark("x", "1 2", HASH)),
        "no edition": Draft("begun", "1" * 32, mark, rule=RuleMark("x", "", HASH)),
        "no name of a rule": Draft("begun", "1" * 32, mark, rule=RuleMark("", "1", HASH)),
        "a field in capitals": Draft("near miss", fields=(("What", "x"),)),
        "an empty field": Draft("near miss", fields=(("what", ""),)),
        "no role": Draft("near miss", signers=(Signer("Ada", "visitor"),)),
        "somebody twice": Draft("near miss", signers=(ada, ada)),
        "here without a key": Draft("near miss", signers=(Signer("Ada", "helper", is_here=True),)),
        "sealed with one missing": Draft("sealed", "1" * 32, mark, "stopped", rule, signers=(ada,)),
        "closed with none missing": Draft(
            "closed", "1" * 32, mark, "stopped", rule, signers=(here,)
        ),
        "signed late with one missing": Draft(
            "signed late", "1" * 32, mark, target=HASH, signers=(ada,)
        ),
        "a tag without its place": Draft("tag hung", fields=(("tag", "0" * 32),)),
        "a log that was not read": Draft("log read", fields=(("of", "0" * 32),)),
    } | {f"deceiving: {evil!a}": Draft("near miss", fields=(("what", evil),)) for evil in EVIL}


def _entries() -> dict[str, str]:
    changed = {
        f"an entry, {old[:12]!r} for {new[:20]!a}": _refusal(from_text, TEXT.replace(old, new, 1))
        for old, new in CHANGES
    }
    drafts = {f"a draft: {n}": _refusal(make, draft) for n, draft in _drafts().items()}
    unwritten = replace(make(Draft("near miss")), program="")
    drafts["a draft: by no program"] = _refusal(check, unwritten)
    spelled = {
        f"a note: {name}": _refusal(notes.parse, data)
        for name, data in (BAD_NOTES | {"too long": SPELLED + b"x" * notes.LARGEST_NOTE}).items()
    }
    return changed | drafts | spelled


def _lines() -> dict[str, str]:
    data = b"".join(
        path.cached
        for name, path in _journal().names_now.items()
        if path is not None and name.parent.name == "sessions"
    )
    first, second = data.splitlines(keepends=True)
    swaps = [
        (b'{"n":2', b'{"n":true'), (b'{"n":2', b'{"n":0'), (b'{"n":2', b'{"n":3'),
        (b"+00:00", b"-00:00"), (b"+00:00", b"Z"), (b'"boot_ns":"', b'"boot_ns":"0'),
        (b'"data":{', b'"data":[{'), (b'"what":"answered",', b""), (b"answered", b"Answered"),
        (b'"previous":"', b'"previous":"0'), (b'"data":{}', b'"data":{"a":1.5}'),
    ]  # fmt: skip
    assert all(old in second for old, _ in swaps)
    said = {
        f"a line, {old.decode()} for {new.decode()}": _refusal(
            scan, first + second.replace(old, new, 1) + second, "a" * 32
        )
        for old, new in swaps
    }
    return said | {
        "another session's": _refusal(scan, data, "b" * 32),
        "its first line gone": _refusal(scan, second, "a" * 32),
        "a line twice": _refusal(scan, data + second, "a" * 32),
        "a later form": _refusal(
            scan, first.replace(b"session 1", b"session 2") + second, "a" * 32
        ),
    }


def _journal() -> CrashDisk:
    disk = CrashDisk()
    folder = laptop("laptop", make_club(pinned=False).clock, disk)
    journal = begin(folder, "a" * 32)
    journal.append("answered", {})
    journal.close()
    return disk


def _carried() -> dict[str, str]:
    data = pack("title 1", [b"one", b"two"])
    reader = LineReader("title 1\none 1\ntwo 2\n", "title 1")
    bad = {
        "another title": b"x" + data, "nothing in its first line": b"\n" + data,
        "cut off": data[:-1], "cut at its count": b"title 1\n2",
        "more": data + b"x", "no count": data.replace(b"\n2\n", b"\n02\n", 1),
        "a piece longer than it": data.replace(b"\n3\n", b"\n9\n", 1),
    }  # fmt: skip
    return {f"a bundle: {n}": _refusal(unpack, "title 1", d) for n, d in bad.items()} | {
        "a bundle with a long title": _refusal(unpack, "x" * 70, pack("x" * 70, [])),
        "a bundle, whole": repr(unpack("title 1", data)),
        "text with another title": _refusal(LineReader, "title 2\n", "title 1"),
        "text without a word": _refusal(reader.due, "origin"),
        "text with too few parts": _refusal(reader.parts, "one", 2),
        "text with more": _refusal(reader.end),
        "no whole number": _refusal(whole, "07"),
        "no whole number, long": _refusal(whole, "12345 " * 10),
    }


def _two_histories(club: Club) -> None:
    receive_folder(club.officer, club.station, club.vera)
    _cut(club, 3)
    walk(club.station, club.ada)


def _cut(club: Club, keep: int) -> None:
    disk = club.station.disk
    assert isinstance(disk, CrashDisk)
    for name in Ledger(club.station).names()[keep:]:
        del disk.names_now[club.station.ledger / name]


def _cut_below_a_receipt(club: Club) -> None:
    receive_folder(club.officer, club.station, club.vera)
    _cut(club, 2)


def _no_receipt_there(club: Club) -> None:
    disk = club.station.disk
    assert isinstance(disk, CrashDisk)
    receive_folder(club.officer, club.station, club.vera)
    disk.names_now[club.station.path / "receipts" / "x.note"] = Inode(bytearray(b"x"))


def _strangers(club: Club) -> None:
    stranger = laptop("stranger", club.clock)
    mallory = person(stranger, "Ben Marsh")
    appoint(stranger, mallory)
    receive_folder(stranger, club.station, mallory)


def _clock_behind(club: Club) -> None:
    club.clock.pass_time(86400)
    walk(club.station, club.ada)
    club.clock.set_wall(-7200)
    receive_folder(club.officer, club.station, club.vera)


def _other_folders(club: Club) -> None:
    other = laptop("other", club.clock, club.station.disk)
    walk(other, person(other, "Ben Marsh"))
    given = receive_folder(club.officer, other, club.vera)
    name = club.station.path / "receipts"
    club.station.disk.make_folder(name)
    assert isinstance(club.station.disk, CrashDisk)
    club.station.disk.names_now[name / "00000002-x.note"] = Inode(bytearray(given.data))


RECEIVED: dict[str, Callable[[Club], object]] = {
    "none": lambda _: None,
    "one": lambda club: receive_folder(club.officer, club.station, club.vera),
    "one, then another session": lambda club: (
        receive_folder(club.officer, club.station, club.vera), walk(club.station, club.ada),
    ),
    "two histories": _two_histories,
    "entries cut off": _cut_below_a_receipt,
    "a file that is no receipt": _no_receipt_there,
    "by nobody known": _strangers,
    "by a clock behind": _clock_behind,
    "for another folder": _other_folders,
}  # fmt: skip


def _receipts() -> dict[str, list[str]]:
    said = {}
    for name, plant in RECEIVED.items():
        club = make_club()
        walk(club.station, club.ada)
        plant(club)
        said[f"receipts: {name}"] = [
            f"{c.name}: {c.outcome.value}: {_ORIGIN.sub('(origin)', c.sentence)}"
            for c in verify(club.station).checks
            if c.name in {"receipts", "completeness", "identity"}
        ]
    return said


def _receiving() -> dict[str, str]:
    club = make_club()
    walk(club.station, club.ada)
    first = entries_file(club.station)
    receipt = receive_folder(club.officer, club.station, club.vera).data
    walk(club.station, club.ada)
    other = laptop("other", club.clock, club.station.disk)
    _cut(club, 2)
    doing: dict[str, tuple[Any, ...]] = {
        "a receipt on another laptop": (take_receipt, other, receipt),
        "a receipt with a letter more": (read_receipt, receipt + b"x"),
        "a receipt of another number": (read_receipt, receipt.replace(b"number 4", b"number 3")),
        "a receipt by hand": (read_receipt, b"standclear receipt 1\n\n"),
        "a cut ledger": (receive_folder, club.officer, club.station, club.vera),
        "a key that is no officer's": (receive_folder, club.officer, club.station, club.ada),
        "a laptop without officer": (receive_folder, other, club.station, club.ada),
        "a file of entries from beyond": (entries_file, club.station, 99),
        "a file that is none": (receive_file, club.officer, b"x", club.vera),
        "a file that is cut": (receive_file, club.officer, first[:-5], club.vera),
        "an empty file": (receive_file, club.officer, pack("standclear entries 1", []), club.vera),
    }
    return {name: _refusal(*d) for name, d in doing.items()}


def _tails() -> dict[str, str]:
    days = {0: 1, 1: 1, 2: 5, 30: 5}
    return {
        f"a tail of {count} for {day} days": Tail(count, AT).sentence(AT + timedelta(days=day))
        for day, count in days.items()
    } | {
        "no tail": Tail(0, None).sentence(AT),
        "a tail from the future": Tail(2, AT).sentence(AT - timedelta(days=3)),
    }


def _of_clubs(room: Callable[[Club], dict[str, Callable[[], object]]]) -> dict[str, str]:
    return {of: _refusal(tried) for of, tried in room(make_club()).items()}


def _tried(room: Callable[[], dict[str, Callable[[], object]]]) -> dict[str, str]:
    return {of: _refusal(tried) for of, tried in room().items()}


PARTS: dict[str, Callable[[], dict[str, Any]]] = {
    "JSON": _json,
    "entries": _entries,
    "lines": _lines,
    "bundles": _carried,
    "receipts in verifying": _receipts,
    "receiving": _receiving,
    "tails": _tails,
    **{room.__name__.strip("_"): partial(refusals_of, room) for room in ROOMS},
    **{f"clubs, {room.__name__.strip('_')}": partial(_of_clubs, room) for room in CLUBS},
    **{f"receipts, {room.__name__.strip('_')}": partial(_tried, room) for room in RECEIPTS},
    "signatures": said_of_signatures,
}
"""What is tried, by what it is tried with; each part by itself, so that a change shows where."""


@cache
def _kept() -> dict[str, dict[str, Any]]:
    parts = read_yaml(_SAID.read_text("utf-8"), _SAID.name).data["parts"]
    return {p["part"]: {case["of"]: case["said"] for case in p["cases"]} for p in parts}


def test_every_part_is_kept() -> None:
    """Nothing is kept that is no longer tried, and no part goes by another's name."""
    assert len(PARTS) == 8 + len(ROOMS) + len(CLUBS) + len(RECEIPTS)
    assert list(_kept()) == list(PARTS)


@pytest.mark.parametrize("part", PARTS)
def test_it_says_this_and_nothing_else(part: str) -> None:
    """Every refusal, and every sentence on receipts, is what was last read through."""
    assert PARTS[part]() == _kept()[part]


if __name__ == "__main__":
    listed = [
        {"part": name, "cases": [{"of": of, "said": said} for of, said in part().items()]}
        for name, part in PARTS.items()
    ]
    dump({"about": _ABOUT, "parts": listed}, _SAID)
