"""Receipts: what was cut, rolled back or written anew is found, and kept as evidence."""

from __future__ import annotations

from contextlib import suppress
from dataclasses import replace
from datetime import UTC, datetime, timedelta
from typing import TYPE_CHECKING

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from checklist.record.errors import Damaged, EntryRefused, KeyRefused, RecordError
from checklist.record.ledgers.entries import Draft
from checklist.record.ledgers.ledger import Ledger
from checklist.record.lookup.remembered import Departure, departure, evidence
from checklist.record.roll.appointing import appoint, roster_file
from checklist.record.roll.receipts import (
    Covered,
    Receipt,
    Tail,
    check_against,
    make_receipt,
    read_receipt,
    receipts_of,
    take_receipt,
)
from checklist.record.roll.receiving import (
    Contradiction,
    entries_file,
    receipts_given,
    receive_file,
    receive_folder,
    seen,
)
from checklist.record.roll.roster import Roster
from checklist.record.roll.spoken import head_code, key_code, typed_digits
from checklist.record.roll.takingover import take_roster
from checklist.record.verifying.report import Outcome
from checklist.record.verifying.verify import verify
from tests.conftest import Tried
from tests.record.clubs import Club, laptop, make_club, walk
from tests.record.crashdisk import CrashDisk, Inode, PowerCut
from tests.record.making import HandClock, person

if TYPE_CHECKING:
    from checklist.record.files.folder import LogFolder
    from checklist.record.roll.keys import UnlockedKey
    from checklist.record.verifying.report import Check


@pytest.fixture
def club() -> Club:
    made = make_club()
    walk(made.station, made.ada)
    return made


def found(folder: LogFolder, name: str) -> list[Check]:
    return [check for check in verify(folder).checks if check.name == name]


def cut(folder: LogFolder, keep: int) -> None:
    disk = folder.disk
    assert isinstance(disk, CrashDisk)
    for name in Ledger(folder).names()[keep:]:
        del disk.names_now[folder.ledger / name]


def test_receipt_then_tail(club: Club) -> None:
    """A receipt covers what was there; what comes after is stated by number and days."""
    receive_folder(club.officer, club.station, club.vera)
    covered = found(club.station, "completeness")
    walk(club.station, club.ada)
    club.clock.pass_time(3 * 86400)
    tail = found(club.station, "completeness")

    assert [check.outcome for check in covered] == [Outcome.HOLDS]
    assert [check.outcome for check in tail] == [Outcome.CANNOT_TELL]
    assert tail[0].sentence.startswith("2 entries are without a receipt, the oldest for 3 days")
    assert verify(club.station).failures == ()


def test_truncation_is_found(club: Club) -> None:
    """A ledger cut below a receipt fails at the station, and the officer gives no new one."""
    receive_folder(club.officer, club.station, club.vera)
    cut(club.station, 2)

    assert [check.outcome for check in found(club.station, "receipts")] == [Outcome.FAILS]
    with pytest.raises(Contradiction, match="cut off"):
        receive_folder(club.officer, club.station, club.vera)


def test_rollback_with_the_receipts_is_found_by_the_officer(club: Club) -> None:
    """Where the receipts went with the entries, what the officer stored still shows it."""
    early = entries_file(club.station)
    walk(club.station, club.ada)
    receive_folder(club.officer, club.station, club.vera)
    with pytest.raises(Contradiction, match="rolled back"):
        receive_file(club.officer, early, club.vera)
    base = club.officer.path / "received" / club.station.origin / "evidence"

    assert len(club.officer.disk.names(base)) == 1


def test_two_histories_are_kept_as_evidence(club: Club) -> None:
    """A history that departs from the one seen gets no receipt; both are kept."""
    receive_folder(club.officer, club.station, club.vera)
    seen_before = entries_file(club.station)
    cut(club.station, 3)
    walk(club.station, club.ada)
    with pytest.raises(Contradiction, match="two histories"):
        receive_file(club.officer, entries_file(club.station), club.vera)
    base = club.officer.path / "received" / club.station.origin
    kept = club.officer.disk.names(base / "evidence")

    assert len(kept) == 1
    assert len(seen(club.officer, club.station.origin)) == seen_before.count(b"standclear ledger")
    assert [c.outcome for c in found(club.station, "receipts")] == [Outcome.FAILS]


def test_only_the_new_entries(club: Club) -> None:
    """A file with what follows the last receipt suffices, and one with a gap is refused."""
    first = receive_file(club.officer, entries_file(club.station), club.vera)
    walk(club.station, club.ada)
    walk(club.station, club.ada)
    with pytest.raises(Damaged, match="missing"):
        receive_file(club.officer, entries_file(club.station, first.receipt.number + 2), club.vera)
    second = receive_file(club.officer, entries_file(club.station, first.receipt.number), club.vera)
    take_receipt(club.station, second.data)

    assert second.fresh == 4
    assert [check.outcome for check in found(club.station, "completeness")] == [Outcome.HOLDS]
    assert len(receipts_given(club.officer, club.station.origin)) == 2


def test_receipt_by_nobody_known(club: Club) -> None:
    """A receipt by a key that is no officer's covers nothing, and is never taken for one."""
    stranger = laptop("stranger", club.clock)
    mallory = person(stranger, "Ben Marsh")
    appoint(stranger, mallory)
    receive_folder(stranger, club.station, mallory)
    report = verify(club.station)

    assert [c.outcome for c in report.checks if c.name == "receipts"] == [Outcome.CANNOT_TELL]
    assert [c.outcome for c in report.checks if c.name == "completeness"] == [Outcome.CANNOT_TELL]


def test_only_the_officer_gives_receipts(club: Club) -> None:
    """Somebody else's key signs no receipt, in the officer's folder or elsewhere."""
    for folder in (club.officer, club.station):
        with pytest.raises(EntryRefused):
            receive_folder(folder, club.station, club.ada)

    assert receipts_of(club.station) == ()


def test_two_officers_programs(club: Club) -> None:
    """What one officer's laptop saw is found by the other through the receipt in the folder."""
    second = laptop("second", club.clock, club.officer.disk)
    take_roster(second, roster_file(Roster.read(club.officer)), key_code(club.vera.public))
    receive_folder(club.officer, club.station, club.vera)
    cut(club.station, 2)
    with pytest.raises(Contradiction, match="cut off"):
        receive_folder(second, club.station, club.vera)


def test_a_false_signature_gets_no_receipt(club: Club) -> None:
    """A ledger with a signature that does not verify is not stored and gets no receipt."""
    data = entries_file(club.station)
    at = data.rindex(b"AAA") if b"AAA" in data else len(data) - 20
    changed = data[:at] + (b"B" if data[at : at + 1] != b"B" else b"C") + data[at + 1 :]
    with pytest.raises(Damaged):
        receive_file(club.officer, changed, club.vera)

    assert seen(club.officer, club.station.origin) == ()


def test_officers_clock_behind(club: Club) -> None:
    """A receipt dated before the entry that it covers is a warning about the clocks."""
    club.clock.pass_time(86400)
    walk(club.station, club.ada)
    club.clock.set_wall(-7200)
    receive_folder(club.officer, club.station, club.vera)
    covered = check_against(
        receipts_of(club.station),
        Ledger(club.station).entries(),
        club.station.origin,
        Roster.read(club.station),
    )

    assert covered.findings[0].outcome is Outcome.WARNING


def test_every_changed_byte_of_a_receipt_is_refused(club: Club, tried: Tried) -> None:
    """No byte of a receipt can change, double, go or be cut without it being refused."""
    data = receive_folder(club.officer, club.station, club.vera).data
    missed = changes = 0
    for at in range(len(data)):
        flips = [data[:at] + bytes([data[at] ^ 1 << bit]) + data[at + 1 :] for bit in range(8)]
        gone, doubled = data[:at] + data[at + 1 :], data[: at + 1] + data[at:]
        for changed in [*flips, data[:at], *({gone, doubled} - {data})]:
            changes += 1
            with suppress(RecordError):
                read_receipt(changed)
                missed += 1
    tried("bytes", changes, missed)

    assert missed == 0


def test_codes_typed_back(club: Club) -> None:
    """The code on paper is read back however it was spaced; too few digits are refused."""
    newest = Ledger(club.station).entries()[-1]
    code = head_code(newest.sha256)

    assert newest.sha256.startswith(typed_digits(f" {code.upper().replace('-', ' ')} "))
    for wrong in ("", "1234", "zzzz-zzzz", "../../etc"):
        with pytest.raises(KeyRefused):
            typed_digits(wrong)


def _give(disk: CrashDisk, vera: UnlockedKey, told: list[int]) -> None:
    clock = HandClock()
    clock.pass_time(86400)
    officer, station = laptop("officer", clock, disk), laptop("station", clock, disk)
    told.append(receive_folder(officer, station, vera).receipt.number)


def test_power_cut_at_every_change(tried: Tried) -> None:
    """A receipt exists nowhere before the officer has stored what it covers, wherever it stops."""
    changes, states = _cut_everywhere()
    tried("operations", changes)
    tried("states", states)

    assert changes > 10
    assert states > 20


def _cut_everywhere() -> tuple[int, int]:
    stop_at = states = 0
    while True:
        club = make_club()
        walk(club.station, club.ada)
        disk, told = club.officer.disk, list[int]()
        assert isinstance(disk, CrashDisk)
        start = disk.done
        disk.stop_at = start + stop_at
        with suppress(PowerCut):
            _give(disk, club.vera, told)
        for booted in disk.after_power_cut(4):
            states += 1
            _check_stored(booted, club, told)
        if told:
            return stop_at, states
        stop_at += 1


def _check_stored(booted: CrashDisk, club: Club, told: list[int]) -> None:
    officer = laptop("officer", HandClock(), booted)
    station = laptop("station", HandClock(), booted)
    stored = seen(officer, station.origin)
    newest = stored[-1].entry.number if stored else 0
    receipts = (*receipts_of(station), *receipts_given(officer, station.origin))
    assert all(not receipt.problem and receipt.number <= newest for receipt in receipts)
    assert newest >= max(told, default=0)
    assert verify(station).failures == ()
    _give(booted, club.vera, [])
    assert receipts_of(station)[-1].number == seen(officer, station.origin)[-1].entry.number


@settings(deadline=None)  # other programs may have the processor meanwhile
@given(
    received=st.dictionaries(st.integers(1, 9), st.integers(0, 9), max_size=5),
    number=st.integers(0, 10),
)
def test_when_an_entry_was_first_received(received: dict[int, int], number: int) -> None:
    """Of all receipts that reach an entry the earliest counts, in whatever order they came."""
    begin = datetime(2026, 11, 25, tzinfo=UTC)
    times = {up_to: begin + timedelta(days=day) for up_to, day in received.items()}
    covered = Covered((), Tail(0, None), 0, times)

    assert covered.received_at(number) == min(
        (at for up_to, at in times.items() if up_to >= number), default=None
    )


def test_three_visits_are_one_memory(club: Club) -> None:
    """What was seen on several days goes on from file to file, each entry once, in order."""
    for _ in range(3):
        receive_folder(club.officer, club.station, club.vera)
        walk(club.station, club.ada)
    Ledger(club.station).append(Draft("near miss"))
    one = receive_folder(club.officer, club.station, club.vera)
    none = receive_folder(club.officer, club.station, club.vera)
    everything = seen(club.officer, club.station.origin)

    assert (one.fresh, none.fresh) == (3, 0)
    assert everything == Ledger(club.station).entries()


def test_one_entry_alone_is_held_against_what_was_seen(club: Club) -> None:
    """A visit after which a single entry was new is no other than one after which many were."""
    receive_folder(club.officer, club.station, club.vera)
    Ledger(club.station).append(Draft("near miss"))
    receive_folder(club.officer, club.station, club.vera)
    here = {one.entry.number: one.data for one in Ledger(club.station).entries()}
    changed = here | {5: b"another"}
    found = departure(club.officer, club.station.origin, changed.get)

    assert departure(club.officer, club.station.origin, here.get) is None
    assert found == Departure(5, here[5], b"another")


def test_evidence_can_begin_with_the_last_entry_that_was_seen(club: Club) -> None:
    """A file whose first entry is another than the last one seen departs right there."""
    receive_folder(club.officer, club.station, club.vera)
    cut(club.station, 3)
    Ledger(club.station).append(Draft("near miss"))
    with pytest.raises(Contradiction):
        receive_file(club.officer, entries_file(club.station, 4), club.vera)
    [kept] = evidence(club.officer, club.station.origin)

    assert kept.departure is not None
    assert (kept.departure.number, kept.last) == (4, 4)


def test_a_receipt_of_the_very_moment_holds(club: Club) -> None:
    """Only a receipt dated before the entry that it names tells of a wrong clock."""
    last = Ledger(club.station).entries()[-1]
    dated = {
        0: Outcome.HOLDS, 1: Outcome.HOLDS, -1: Outcome.WARNING,
    }  # fmt: skip
    for seconds, outcome in dated.items():
        receipt, _ = make_receipt(
            club.station.origin, last.entry.number, last.sha256,
            last.entry.at + timedelta(seconds=seconds), club.vera, "standclear 0.2.0",
        )  # fmt: skip
        covered = check_against([receipt], [last], club.station.origin, Roster.read(club.station))

        assert [finding.outcome for finding in covered.findings] == [outcome]


def test_a_file_that_is_no_receipt_says_nothing_else(club: Club) -> None:
    """What cannot be read covers no entry, at no time, by nobody."""
    path = club.station.path / "receipts"
    club.station.disk.make_folder(path)
    disk = club.station.disk
    assert isinstance(disk, CrashDisk)
    disk.names_now[path / "x.note"] = Inode(bytearray(b"x"))
    [bad] = receipts_of(club.station)

    assert bad.problem.startswith("x.note: ")
    assert replace(bad, problem="") == Receipt(
        "", 0, "", datetime.fromtimestamp(0, UTC), "", "", ""
    )


def test_evidence_is_told_by_its_last_entry_and_where_it_departs(club: Club) -> None:
    """Of a history that was refused: how far it went, and the first entry that was another."""
    receive_folder(club.officer, club.station, club.vera)
    before = entries_file(club.station)
    cut(club.station, 3)
    with pytest.raises(Contradiction):
        receive_file(club.officer, entries_file(club.station), club.vera)
    walk(club.station, club.ada)
    with pytest.raises(Contradiction):
        receive_file(club.officer, entries_file(club.station), club.vera)
    told = sorted(evidence(club.officer, club.station.origin), key=lambda kept: kept.last)
    parting = told[1].departure

    assert [kept.last for kept in told] == [3, 5]
    assert told[0].departure is None
    assert parting is not None
    assert parting.number == 4
    assert parting.seen in before
    assert parting.here == Ledger(club.station).entries()[3].data
