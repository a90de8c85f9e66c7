"""An entry of the ledger is text that reads back the same, and user text cannot break out of it."""

from __future__ import annotations

import unicodedata
from dataclasses import replace
from datetime import UTC, datetime, timedelta, timezone
from pathlib import Path
from typing import TYPE_CHECKING

import pytest
from hypothesis import given
from hypothesis import strategies as st

from checklist.plaintext import TextRefused, accept
from checklist.record.errors import Damaged, EntryRefused
from checklist.record.files.folder import LogFolder
from checklist.record.journals.journal import FileMark
from checklist.record.ledgers.entries import (
    NO_KEY,
    ROLES,
    VERDICTS,
    Draft,
    Entry,
    RuleMark,
    Signer,
    placed,
)
from checklist.record.ledgers.entrytext import from_text, to_text
from checklist.record.ledgers.ledger import Ledger, Recorded
from checklist.record.lookup.recall import Recall
from tests.record.crashdisk import ROOT, CrashDisk
from tests.record.making import HandClock, open_folder, person

if TYPE_CHECKING:
    from pathlib import Path

KEY = "d75a980182b10ab7d54bfed3c964073a0ee172f3daa62325af021a68f707511a"  # RFC 8032, 7.1, TEST 1
HASH = "ab" * 32
AT = datetime(2026, 11, 25, 9, 41, 0, 123_000, tzinfo=timezone(timedelta(hours=-5)))


def make(draft: Draft) -> Entry:
    return placed(
        draft, origin="0f" * 16, number=7, previous=HASH, at=AT, program="standclear 0.1.0"
    )


SEALED = Draft(
    "sealed",
    "1" * 32,
    FileMark(HASH, 4711),
    "no stop found",
    RuleMark("Before tower or antenna work", "2026-11-20", HASH),
    signers=(Signer("Ada Quill", "in charge", KEY, is_here=True),),
    fields=(("note", "signed at the foot"),),
)

TEXT = f"""standclear ledger entry 1
origin {"0f" * 16}
number 7
previous {HASH}
kind sealed
time 2026-11-25T09:41:00.123-05:00
program standclear 0.1.0
session {"1" * 32}
file {HASH} 4711
verdict no stop found
rule {HASH} 2026-11-20 Before tower or antenna work
signer {KEY} here in-charge Ada Quill
field note signed at the foot
"""


def test_the_text_is_what_the_page_says() -> None:
    """An entry is the lines of logs/README.md, in its order, and reads back the same."""
    assert to_text(make(SEALED)) == TEXT
    assert from_text(TEXT) == make(SEALED)


def lines_of_text() -> st.SearchStrategy[str]:
    def is_kept(text: str) -> bool:
        try:
            return bool(text) and accept(text, field="x") == text
        except TextRefused:
            return False

    return (
        st.text(min_size=1, max_size=40)
        .map(lambda text: unicodedata.normalize("NFC", text).strip())
        .filter(is_kept)
    )


@given(
    people=st.lists(st.tuples(lines_of_text(), st.sampled_from(ROLES)), min_size=1, unique=True),
    verdict=st.sampled_from(VERDICTS),
    name=lines_of_text(),
    notes=st.lists(
        st.tuples(st.from_regex(r"[a-z][a-z0-9-]{0,31}", fullmatch=True), lines_of_text())
    ),
    at=st.datetimes(datetime(1970, 1, 1), datetime(2100, 1, 1), timezones=st.just(UTC)),  # noqa: DTZ001  # the strategy adds the zone
)
def test_any_plain_text_reads_back_the_same(
    people: list[tuple[str, str]],
    verdict: str,
    name: str,
    notes: list[tuple[str, str]],
    at: datetime,
) -> None:
    """Whatever plain text people and files bring, the entry reads back letter for letter."""
    signers = tuple(Signer(person, role) for person, role in people)
    draft = Draft(
        "closed", "1" * 32, FileMark(HASH, 1), verdict, RuleMark(name, "1", HASH),
        signers=signers, fields=tuple(notes),
    )  # fmt: skip
    entry = placed(draft, origin="0f" * 16, number=1, previous=HASH, at=at, program="p")

    assert from_text(to_text(entry)) == entry


EVIL = [
    "Ada\nsigner x",
    "Ada\r",
    "Ada\u2028x",
    "\u202eadA",
    "Ada\u200b",
    "Ada\x1b[2J",
    "Ada\x00",
    " Ada",
    "Ada ",
    "e\u0301",
    "\ud800",
    "",
    "\x85",
]


@pytest.mark.parametrize("evil", EVIL)
def test_text_that_could_deceive_is_refused(evil: str) -> None:
    """Line breaks, escapes, bidi and invisible controls, other normal forms: none is signed."""
    signers = (Signer(evil, "helper"),)
    for draft in (
        Draft("near miss", fields=(("what", evil),)),
        Draft("near miss", signers=signers),
        Draft("begun", "1" * 32, FileMark(HASH, 1), rule=RuleMark(evil, "1", HASH)),
    ):
        with pytest.raises(EntryRefused):
            make(draft)


CHANGES = [
    ("number 7", "number 07"),
    ("number 7", "number +7"),
    ("number 7", "number \u0667"),
    ("number 7", "number 100000000"),
    ("4711", "04711"),
    ("4711", "-1"),
    ("kind sealed", "kind Sealed"),
    ("kind sealed", "kind roster"),
    ("kind sealed", "kind closed"),
    ("kind sealed", "kind begun"),
    ("no stop found", "safe"),
    ("here", "missing"),
    ("here", "absent"),
    ("in-charge", "in charge"),
    ("in-charge", "visitor"),
    (KEY, NO_KEY),
    (KEY, "00" * 32),
    (KEY, KEY.upper()),
    ("-05:00", "-05"),
    (".123", ".123000"),
    ("T09:41", " 09:41"),
    ("T09:41", "T25:41"),
    ("Ada Quill", "Ada  Quill "),
    ("ledger entry 1", "ledger entry 2"),
    ("session " + "1" * 32 + "\n", ""),
    ("verdict no stop found\n", "verdict no stop found\nverdict stopped\n"),
    ("verdict no stop found\n", "verdict no stop found\n\n"),
    ("field note", "field Note"),
    ("field note", "target " + HASH + "\nfield note"),
    ("signed at the foot\n", "signed at the foot\nthe end\n"),
    ("signed at the foot\n", "signed at the foot"),
    ("signed at the foot\n", "signed at the foot\r\n"),
    ("origin", "Origin"),
]


@pytest.mark.parametrize(("old", "new"), CHANGES)
def test_other_spellings_of_an_entry_are_refused(old: str, new: str) -> None:
    """An entry has one spelling, and its kind says what it must and may name."""
    changed = TEXT.replace(old, new, 1)
    assert changed != TEXT
    with pytest.raises(Damaged):
        from_text(changed)


def test_a_time_needs_its_offset() -> None:
    """A wall time without offset means nothing a year later and is refused."""
    with pytest.raises(ValueError, match="offset"):
        to_text(
            placed(
                SEALED, origin="0f" * 16, number=1, previous=HASH, program="p",
                at=datetime(2026, 11, 25),  # noqa: DTZ001  # the point of the test
            )
        )  # fmt: skip


def test_one_signer_stands_once() -> None:
    """The same person in the same role twice is refused: it would look like two people."""
    with pytest.raises(EntryRefused, match="twice"):
        make(Draft("near miss", signers=(Signer("Ada", "helper"), Signer("Ada", "helper"))))


def test_keys_and_named_signers_must_match(tmp_path: Path) -> None:
    """An entry that announces a signature without its key, or a key unannounced, is refused."""
    folder = open_folder(tmp_path / "logs")
    ada, ben = person(folder, "Ada Quill"), person(folder, "Ben Marsh")
    here = Signer("Ada Quill", "helper", ada.public, is_here=True)
    for keys in ([], [ben], [ada, ben], [ada, ada]):
        with pytest.raises(EntryRefused):
            Ledger(folder).append(Draft("near miss", signers=(here,)), keys)
    recorded = Ledger(folder).append(Draft("near miss", signers=(here,)), [ada])

    assert [signature.name for signature in recorded.signatures] == [ada.public]
    assert Ledger(folder).entries() == (recorded,)


def test_a_gap_in_the_ledger_stops_it(tmp_path: Path) -> None:
    """A ledger with an entry missing is neither read nor added to."""
    ledger = Ledger(open_folder(tmp_path / "logs"))
    for _ in range(3):
        ledger.append(Draft("near miss"))
    (tmp_path / "logs/ledger/00000002.note").unlink()

    with pytest.raises(Damaged, match="entry 2 is missing"):
        ledger.entries()
    with pytest.raises(Damaged, match="missing"):
        ledger.append(Draft("near miss"))


def test_an_unfinished_file_is_passed_over(tmp_path: Path) -> None:
    """A temporary file that a crash left in the ledger means nothing."""
    ledger = Ledger(open_folder(tmp_path / "logs"))
    ledger.append(Draft("near miss"))
    (tmp_path / "logs/ledger/.00000002.note.0011aabbccdd.tmp").write_bytes(b"half")
    ledger.append(Draft("near miss"))

    assert [recorded.entry.number for recorded in ledger.entries()] == [1, 2]
    assert ledger.strangers() == []


def test_the_largest_file_can_be_named_and_one_byte_more_cannot() -> None:
    """A size has at most 15 digits, as it is read back."""
    most = replace(SEALED, file=FileMark(HASH, 10**15 - 1))

    assert from_text(to_text(make(most))) == make(most)
    with pytest.raises(EntryRefused, match="size is out of range"):
        make(replace(SEALED, file=FileMark(HASH, 10**15)))


def test_entries_that_did_not_change_are_not_read_again() -> None:
    """With a memory the second look at a ledger reads what is new, and nothing else."""

    class Counting(CrashDisk):
        read_now: list[str]

        def read(self, path: Path, *, at_most: int) -> bytes:
            self.read_now.append(path.name)
            return super().read(path, at_most=at_most)

    disk, recall = Counting(), Recall[Recorded]()
    disk.read_now = []
    ledger = Ledger(LogFolder.open(ROOT / "laptop", disk, HandClock()))
    ledger.append(Draft("near miss"))
    first = ledger.entries(recall)
    ledger.append(Draft("near miss"))
    disk.read_now.clear()
    second = ledger.entries(recall)

    assert disk.read_now == ["00000002.note"]
    assert second[:1] == first
