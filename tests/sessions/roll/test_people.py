"""Who is known in a log folder, how keys stand at a moment, and what receipts cover."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta

import pytest

from checklist.record.errors import KeyRefused
from checklist.record.ledgers.ledger import Ledger
from checklist.record.roll.appointing import roster_file
from checklist.record.roll.receipts import Tail
from checklist.record.roll.receiving import receive_folder
from checklist.record.roll.roster import Roster
from checklist.record.roll.spoken import head_code, key_code
from checklist.record.roll.takingover import take_roster
from checklist.sessions.closing import unvouched
from checklist.sessions.roll.covering import covering, receipts_line, tail_text
from checklist.sessions.roll.people import Change, change, officer_card, revoke, vouching_card
from checklist.sessions.roll.peopleview import KeyState, PersonHere, compare_code, look_at_people
from tests.record.clubs import Club, enrol, make_club, walk
from tests.record.making import person


def known(club: Club, name: str) -> PersonHere:
    found = look_at_people(club.officer)
    return next(one for one in found.people if one.name == name)


def test_each_state_of_a_key() -> None:
    """Holds from its day on, runs out on its last, is revoked at once; none of them is hidden."""
    club = make_club()

    assert known(club, "Ada Quill").state is KeyState.HOLDS

    end = (club.clock.now() + timedelta(days=2)).date()
    change(club.officer, club.vera, "Ada Quill", Change(until=end.isoformat()))
    before = known(club, "Ada Quill").state
    club.clock.pass_time(3 * 24 * 3600)
    after = known(club, "Ada Quill").state
    revoke(club.officer, club.vera, "Ada Quill", "", "laptop stolen")

    assert (before, after) == (KeyState.HOLDS, KeyState.EXPIRED)
    assert known(club, "Ada Quill").state is KeyState.REVOKED
    assert "laptop stolen" in known(club, "Ada Quill").keys[0].line()


def test_key_from_a_faster_clock_does_not_count_yet() -> None:
    """A key that counts only from a later moment on does not hold now."""
    club = make_club()
    club.clock.pass_time(3600)
    new = person(club.station, "Ada Quill")
    enrol(club.officer, club.vera, new)
    club.clock.set_wall(-1800)
    states = [key.state for key in known(club, "Ada Quill").keys]

    assert states == [KeyState.HOLDS, KeyState.NOT_YET]


def test_new_key_that_would_sign_here_is_not_enrolled() -> None:
    """What signs here is the newest key kept here: while no roster names it, that is the state."""
    club = make_club()
    person(club.station, "Ada Quill")
    found = next(p for p in look_at_people(club.station).people if p.name == "Ada Quill")

    assert [key.state for key in found.keys] == [KeyState.HOLDS, KeyState.NOT_ENROLLED]
    assert found.state is KeyState.NOT_ENROLLED


def test_the_newest_enrolled_key_signs_for_a_new_one() -> None:
    """One made since and in no roster vouches for nothing, and where all are such, that is said."""
    club = make_club()
    enrolled = vouching_card(club.station, "Ada Quill")[0]
    person(club.station, "ADA QUILL")
    after, said = vouching_card(club.station, "Ada Quill")
    loose = person(club.station, "Ben Marsh")
    other, doubt = vouching_card(club.station, "Ben Marsh")

    assert enrolled is not None
    assert (after, said) == (enrolled, "")
    assert other is not None
    assert other.public == loose.public
    assert "No key of Ben Marsh that is here stands in the roster" in doubt
    assert vouching_card(club.station, "Nobody Here") == (None, "")


def test_a_revoked_key_signs_for_no_new_one() -> None:
    """Where the newest enrolled key was revoked, the one before it signs."""
    club = make_club()
    new = person(club.station, "Ada Quill")
    enrol(club.officer, club.vera, new)
    revoke(club.officer, club.vera, "Ada Quill", key_code(new.public), "seen by others")
    take_roster(club.station, roster_file(Roster.read(club.officer)))
    found, _ = vouching_card(club.station, "Ada Quill")

    assert found is not None
    assert found.public != new.public


def test_person_of_two_spellings_is_one() -> None:
    """A key made under another case of the name stands with the person of the roster."""
    club = make_club()
    person(club.station, "ADA  QUILL")
    people = look_at_people(club.station).people

    assert [one.name for one in people] == ["Vera Holm", "Ada Quill"]
    assert len(people[1].keys) == 2


def test_spoilt_roster_is_said_and_relied_on_by_nobody() -> None:
    """A changed version takes the pin's worth away: the view says why and lists no member."""
    club = make_club()
    newest = Roster.read(club.station).versions[-1]
    path = club.station.kept_file(club.station.roster, newest.sha256)
    club.station.disk.unlink(path)
    found = look_at_people(club.station)

    assert found.version is None
    assert "Nobody can be relied on here" in found.pinned
    assert found.problems
    assert [one.state for one in found.people] == [KeyState.NOT_ENROLLED]


def test_officer_key_that_is_elsewhere_is_refused() -> None:
    """At a station nothing is signed for the officer; at the officer's own laptop the card is."""
    club = make_club()

    assert officer_card(club.officer).public == club.vera.public
    with pytest.raises(KeyRefused, match="not on this laptop"):
        officer_card(club.station)


def test_compare_finds_keys_and_entries() -> None:
    """Officer, member and entry are told apart; a short or foreign code is never a key's."""
    club = make_club()
    entry = Ledger(club.station).entries()[-1]
    code = head_code(entry.sha256)

    assert "The same" in compare_code(club.station, key_code(club.vera.public))
    assert "key of Ada Quill: holds" in compare_code(club.station, key_code(club.ada.public))
    assert f"Entry {entry.entry.number}" in compare_code(club.station, code.upper())
    assert "has this code" in compare_code(club.station, f"{entry.entry.number} {code}")
    assert "has this code" in compare_code(club.station, code.replace("-", " "))
    assert "forger" in compare_code(club.station, f"{entry.entry.number} {code[:9]}")
    for wrong in (key_code(club.vera.public)[:14], f"{entry.entry.number + 1} {code}", "0" * 20):
        with pytest.raises(KeyRefused, match="no key and no entry"):
            compare_code(club.station, wrong)
    for nonsense in ("", "?", "king", "12"):
        with pytest.raises(KeyRefused, match="no code"):
            compare_code(club.station, nonsense)


def test_tail_in_words() -> None:
    """Nothing, everything, and how much for how long are three different sentences."""
    club = make_club()
    now = club.clock.now()
    since = now - timedelta(days=3, hours=2)

    assert tail_text(Tail(0, None), 0, now) == "The ledger has no entry yet."
    assert tail_text(Tail(0, None), 4, now) == "Every entry is covered by a receipt."
    assert tail_text(Tail(2, since), 4, now).startswith(
        "2 entries are without a receipt, the oldest for 3 days"
    )


def test_session_line_with_and_without_a_receipt() -> None:
    """The line says when the officer saw the entry; a later entry is the tail."""
    club = make_club()
    walk(club.station, club.ada)
    number = len(Ledger(club.station).entries())
    before = receipts_line(club.station, number, club.clock.now())
    receive_folder(club.officer, club.station, club.vera)
    seen = receipts_line(club.station, number, club.clock.now())
    walk(club.station, club.ada)
    later = receipts_line(club.station, number + 2, club.clock.now())

    assert before.startswith(f"{number} entries are without a receipt")
    assert seen.startswith("Seen by the safety officer on")
    assert seen.endswith("Every entry is covered by a receipt.")
    assert later.startswith("2 entries are without a receipt")


def test_folder_without_a_roster_needs_no_whole_reading() -> None:
    """Where nobody was ever pinned the tail is every entry, the same as by reading all."""
    club = make_club(pinned=False)
    walk(club.station, club.ada)
    walk(club.station, club.ada)
    entries = Ledger(club.station).entries()
    now = club.clock.now()

    assert receipts_line(club.station, 2, now) == covering(club.station, entries).tail_text(now)
    assert receipts_line(club.station, 2, now).startswith("4 entries are without")


def test_receipt_that_contradicts_is_a_problem() -> None:
    """A ledger without the entries that a receipt names is told as cut, wherever this is shown."""
    club = make_club()
    walk(club.station, club.ada)
    receive_folder(club.officer, club.station, club.vera)
    entries = Ledger(club.station).entries()
    found = covering(club.station, entries[:-1])

    assert any("Entries were cut off" in problem for problem in found.problems)
    assert found.is_pinned
    assert not replace(found, roster=Roster()).is_pinned


def test_a_seal_says_whom_the_roster_does_not_vouch_for() -> None:
    """Who signs with a key outside the roster hears it at once; without a roster, nobody does."""
    club, alone = make_club(), make_club(pinned=False)
    stranger = person(club.station, "Bo Pell")
    said = unvouched(club.station, walk(club.station, stranger))

    assert unvouched(club.station, walk(club.station, club.ada)) == ""
    assert "The key that signs as Bo Pell is not in the roster." in said
    assert unvouched(alone.station, walk(alone.station, alone.ada)) == ""
