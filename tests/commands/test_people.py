"""People and receipts from the shell, on an officer's laptop and a station's."""

from __future__ import annotations

import io
import re
from pathlib import Path

import pytest

from checklist.commands.exits import FINE, NOT_SHOWN, REFUSED, WARNED, WRONG
from checklist.record.roll.keys import keys_of
from checklist.record.roll.spoken import key_code
from checklist.sessions.desk import Desk
from tests.commands.conftest import Ran, Shell
from tests.record.making import PASSPHRASE, begin, finish, person

VERA, ADA = "Vera Holm", "Ada [/x] Quill"
"""The safety officer, and a member whose name would act as markup."""


class Two:
    """Two laptops, with everybody's key made beforehand by few rounds, so that tests are quick."""

    def __init__(self, shell: Shell, base: Path) -> None:
        self.shell, self.base = shell, base
        self.officer, self.station = base / "officer", base / "station"
        self.vera = person(Desk.at(self.officer).folder, VERA)
        self.ada = person(Desk.at(self.station).folder, ADA)

    def at_officer(self, *arguments: str) -> Ran:
        return self.shell(*arguments, "--logs", str(self.officer))

    def at_station(self, *arguments: str) -> Ran:
        return self.shell(*arguments, "--logs", str(self.station))

    def file(self, name: str) -> str:
        return str(self.base / name)

    def enrol_ada(self, *more: str, named: str = "request") -> Ran:
        asked = ("people", "request", ADA, "--role", "in charge", "--out", self.file(named))
        assert self.at_station(*asked).code == FINE
        code = key_code(self.ada.public)
        return self.at_officer("people", "enrol", self.file(named), "--code", code, *more)

    def pin(self) -> None:
        assert self.at_officer("people", "appoint", VERA).code == FINE
        assert self.enrol_ada().code == FINE
        assert self.take("roster", key_code(self.vera.public)).code == FINE

    def take(self, name: str, code: str = "") -> Ran:
        assert self.at_officer("people", "send", "--out", self.file(name)).code == FINE
        coded = ("--code", code) if code else ()
        return self.at_station("people", "take", self.file(name), *coded)

    def walk(self) -> None:
        folder = Desk.at(self.station).folder
        journal = begin(folder)
        finish(folder, journal, self.ada)
        journal.close()


@pytest.fixture
def two(shell: Shell, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Two:
    monkeypatch.setattr("sys.stdin", io.StringIO(f"{PASSPHRASE}\n" * 40))
    return Two(shell, tmp_path)


def keys_at(two: Two, where: Path, name: str) -> list[tuple[str, str]]:
    data = two.shell("people", "--json", "--logs", str(where)).data
    found = next(one for one in data["people"] if one["name"] == name)
    return [(key["code"], key["state"]) for key in found["keys"]]


def test_nobody_is_pinned(two: Two) -> None:
    """Without an officer the list says that identity cannot be told, and shows the keys here."""
    listed = two.at_station("people")

    assert listed.code == NOT_SHOWN
    assert "No safety officer is pinned here: who is who cannot be told." in listed.out
    assert f"{ADA}: in no roster here" in listed.out
    assert f"key {key_code(two.ada.public)}  not enrolled" in listed.out


def test_club_is_set_up(two: Two) -> None:
    """Appointed, enrolled after the code, taken over after the code: both laptops list both."""
    two.pin()
    listed = two.at_station("people")
    data = two.at_officer("people", "--json").data

    assert (listed.code, listed.err) == (FINE, "")
    assert f"Safety officer {VERA}, code {key_code(two.vera.public)}, roster 2" in listed.out
    assert f"{ADA}: in charge, training not known" in listed.out
    assert keys_at(two, two.station, ADA) == [(key_code(two.ada.public), "holds")]
    assert data["officer-key-here"] is True
    assert data["officer-code"] == key_code(two.vera.public)


def test_request_prints_the_code(two: Two) -> None:
    """The code to read aloud is printed, and an existing file is never written over."""
    asked = ("people", "request", ADA, "--role", "worker", "--out", two.file("request"))
    first, second = two.at_station(*asked), two.at_station(*asked)

    assert key_code(two.ada.public) in first.out
    assert second.code == REFUSED
    assert "exists already" in second.err


@pytest.mark.parametrize("code", ["", "0" * 20, "short", "1234-5678"])
def test_another_code_enrols_nobody(two: Two, code: str) -> None:
    """A code that is not the whole one of the key is refused, and the roster stays."""
    two.at_officer("people", "appoint", VERA)
    two.at_station("people", "request", ADA, "--role", "worker", "--out", two.file("request"))
    refused = two.at_officer("people", "enrol", two.file("request"), "--code", code)

    assert refused.code == REFUSED
    assert len(refused.err.splitlines()) == 1
    assert two.at_officer("people", "--json").data["roster"] == "1"


def test_station_needs_the_code_the_first_time(two: Two) -> None:
    """Without a code, or with another, no roster is taken; the sentence says whom to call."""
    two.at_officer("people", "appoint", VERA)
    without = two.take("one")
    other = two.at_station("people", "take", two.file("one"), "--code", "0" * 20)

    assert (without.code, other.code) == (REFUSED, REFUSED)
    assert f"Call {VERA} on a number that you know" in without.err
    assert "do not use this roster" in other.err
    assert two.at_station("people").code == NOT_SHOWN


def test_details_change_and_reach_the_station(two: Two) -> None:
    """Training, call sign and roles are in the next roster, which needs no code any more."""
    two.pin()
    done = two.at_officer(
        "people", "change", ADA, "--trained", "2026-03-01", "--call-sign", "qq0ada",
        "--role", "worker", "--role", "in charge",
    )  # fmt: skip
    taken = two.take("later")
    listed = two.at_station("people").out

    assert (done.code, taken.code) == (FINE, FINE)
    assert f"{ADA}: worker, in charge, QQ0ADA, trained 2026-03-01" in listed


def test_key_runs_out(two: Two) -> None:
    """An end before the key's beginning is refused; a later one is listed."""
    two.pin()
    late = two.at_officer("people", "change", ADA, "--until", "2020-01-01")
    two.at_officer("people", "change", ADA, "--until", "2999-01-01")

    assert late.code == REFUSED
    assert "runs out before it begins" in late.err
    assert "until 01 Jan 2999" in two.at_officer("people").out


def test_lost_key_is_revoked_and_replaced(two: Two) -> None:
    """The lost key is revoked with its reason; the new one is enrolled from its own request."""
    two.pin()
    revoked = two.at_officer("people", "revoke", ADA, "--reason", "laptop stolen")
    two.at_station(
        "people", "request", ADA, "--role", "in charge", "--new-key", "--old-lost",
        "--out", two.file("new"),
    )  # fmt: skip
    new = keys_of(Desk.at(two.station).folder)[-1].public
    enrolled = two.at_officer("people", "enrol", two.file("new"), "--code", key_code(new))

    assert (revoked.code, enrolled.code) == (FINE, FINE)
    assert keys_at(two, two.officer, ADA) == [
        (key_code(two.ada.public), "REVOKED"),
        (key_code(new), "holds"),
    ]
    assert "laptop stolen" in two.at_officer("people").out


def test_key_is_renewed(two: Two) -> None:
    """The old key vouches for the new one and runs out when the new one is enrolled."""
    two.pin()
    two.at_station("people", "request", ADA, "--new-key", "--out", two.file("new"))
    new = keys_of(Desk.at(two.station).folder)[-1].public
    two.at_officer("people", "enrol", two.file("new"), "--code", key_code(new))

    assert keys_at(two, two.officer, ADA) == [
        (key_code(two.ada.public), "EXPIRED"),
        (key_code(new), "holds"),
    ]


def test_officer_renews_the_own_key(two: Two) -> None:
    """The officer in office signs with the old key although a newer one is kept beside it."""
    two.pin()
    two.at_officer("people", "request", VERA, "--new-key", "--out", two.file("own"))
    new = keys_of(Desk.at(two.officer).folder)[-1].public
    done = two.at_officer(
        "people", "enrol", two.file("own"), "--code", key_code(new), "--as-officer"
    )
    taken = two.take("renewed")

    assert (done.code, done.err, taken.code) == (FINE, "", FINE)
    assert two.at_station("people", "--json").data["officer-code"] == key_code(new)


def test_next_officer_is_signed_in(two: Two) -> None:
    """Enrolled as officer by the one in office, the next one is in force by signatures alone."""
    two.pin()
    done = two.enrol_ada("--as-officer", "--trained", "2026-11-01", named="again")
    taken = two.take("next")
    said = two.at_station("people").out

    assert f"{VERA}: safety officer (not the one in office)" in said
    assert said.count("not the one in office") == 1
    assert (done.code, taken.code) == (FINE, FINE)
    assert two.at_station("people", "--json").data["officer"] == ADA


def test_officer_whose_key_is_lost_is_appointed_anew(two: Two) -> None:
    """A new officer who was not signed in needs the code at every station again."""
    two.pin()
    assert two.at_station("people", "appoint", ADA).code == FINE
    assert two.at_station("people", "send", "--out", two.file("anew")).code == FINE
    without = two.at_officer("people", "take", two.file("anew"))
    code = key_code(two.ada.public)
    taken = two.at_officer("people", "take", two.file("anew"), "--code", code)

    assert without.code == REFUSED
    assert f"Call {ADA}" in without.err
    assert taken.code == FINE


def test_station_cannot_sign_for_the_officer(two: Two) -> None:
    """Where the officer's key is not kept nothing is signed, and no key is made in that name."""
    two.pin()
    refused = two.at_station("people", "revoke", ADA, "--reason", "laptop stolen")

    assert refused.code == REFUSED
    assert "is not on this laptop" in refused.err
    assert [card.person for card in keys_of(Desk.at(two.station).folder)] == [ADA]


def test_receipt_for_a_folder(two: Two) -> None:
    """Before it the tail is stated; after it every entry is covered, until the next one."""
    two.pin()
    two.walk()
    before = two.at_station("receipt")
    given = two.at_officer("receipt", "give", str(two.station))
    after = two.at_station("receipt")
    two.walk()
    later = two.at_station("receipt", "--json")

    assert (before.code, given.code, after.code, later.code) == (NOT_SHOWN, FINE, FINE, NOT_SHOWN)
    assert "4 entries are without a receipt" in before.out
    assert "Every entry is covered by a receipt." in after.out
    assert (later.data["covers"], later.data["without"]) == ("4", "2")
    assert "they could be cut off unseen" in two.at_station("people").out


def test_what_wants_a_look_and_fails_nowhere_has_a_number_of_its_own(two: Two) -> None:
    """With all signed for by the officer, a strange file among the receipts ends with 5."""
    two.pin()
    two.walk()
    two.at_officer("receipt", "give", str(two.station))
    sound = [two.at_station(command).code for command in ("receipt", "verify")]
    (two.station / "receipts" / "00000009-abc.note").write_text("a shopping list")
    ran = [two.at_station(command) for command in ("receipt", "verify")]

    assert sound == [FINE, FINE]
    assert [one.code for one in ran] == [WARNED, WARNED]
    assert any("what stands as a warning wants a look" in one.out for one in ran)
    assert all("A file that is no receipt stands there" in one.out for one in ran)


def test_receipt_by_file(two: Two) -> None:
    """Entries and receipt are carried as files, the second time only what is new."""
    two.pin()
    two.walk()
    two.at_station("receipt", "send", "--out", two.file("entries"))
    without = two.at_officer("receipt", "give", two.file("entries"))
    two.at_officer("receipt", "give", two.file("entries"), "--out", two.file("receipt"))
    taken = two.at_station("receipt", "take", two.file("receipt"))
    two.walk()
    two.at_station("receipt", "send", "--after", "4", "--out", two.file("more"))
    more = two.at_officer("receipt", "give", two.file("more"), "--out", two.file("second"))

    assert without.code == REFUSED
    assert "The receipt up to entry 4 is kept here." in taken.out
    assert more.code == FINE
    assert "up to entry 6; new entries: 2." in more.out


def test_cut_ledger_gets_no_receipt(two: Two) -> None:
    """A ledger that was cut after a receipt is told at once, at the station and to the officer."""
    two.pin()
    two.walk()
    two.at_officer("receipt", "give", str(two.station))
    (two.station / "ledger" / "00000004.note").unlink()
    at_station, given = (
        two.at_station("receipt"),
        two.at_officer("receipt", "give", str(two.station)),
    )

    assert (at_station.code, given.code) == (WRONG, WRONG)
    assert "Entries were cut off" in at_station.out
    assert "kept as evidence" in given.err


def test_only_the_officer_gives_receipts(two: Two) -> None:
    """A station cannot sign its own receipt."""
    two.pin()
    two.walk()
    refused = two.at_station("receipt", "give", str(two.station))

    assert refused.code == REFUSED
    assert "is not on this laptop" in refused.err


def test_code_of_the_paper_log_is_found(two: Two) -> None:
    """The printed code finds its entry; another one is wrong; a short one is weak, and said so."""
    two.pin()
    two.walk()
    printed = re.search(r"entry (\d+) ([0-9a-f-]{19})", two.at_station("receipt").out)

    assert printed is not None

    number, code = printed.groups()
    found = two.at_station("receipt", "compare", code, "--number", number)
    written = two.at_station("receipt", "compare", f"{number} {code}")
    unquoted = two.at_station("receipt", "compare", number, code)
    weak = two.at_station("receipt", "compare", code[:9])
    wrong = two.at_station("receipt", "compare", "0" * 16)
    elsewhere = two.at_station("receipt", "compare", code, "--number", "1")

    assert [ran.code for ran in (found, weak, written, unquoted)] == [FINE] * 4
    assert f"Entry {number} of" in found.out
    assert "does not stop a forger" in weak.out
    assert (wrong.code, elsewhere.code) == (WRONG, WRONG)


@pytest.mark.parametrize(
    "arguments",
    [
        ("people", "take", "/nowhere/at/all"),
        ("people", "take", "/"),
        ("people", "send", "--out", "x"),
        ("people", "enrol", "/dev/zero", "--code", "0" * 20),
        ("people", "request", "Ada\x1b[31m", "--role", "worker", "--out", "never-written"),
        ("people", "request", ADA, "--role", "king", "--out", "never-written"),
        ("people", "request", ADA, "--call-sign", "[red]", "--out", "never-written"),
        ("people", "change", "Nobody Here", "--role", "worker"),
        ("people", "revoke", "Nobody Here", "--reason", "lost"),
        ("receipt", "take", "/nowhere/at/all"),
        ("receipt", "send", "--after", "99", "--out", "never-written"),
        ("receipt", "compare", "xyz"),
        ("receipt", "give", "/nowhere/at/all", "--out", "never-written"),
    ],
)
def test_refusals_are_one_sentence(two: Two, arguments: tuple[str, ...]) -> None:
    """What cannot be done is one line on stderr without an escape in it, and number 2."""
    refused = two.at_station(*arguments)

    assert refused.code == REFUSED
    assert len(refused.err.splitlines()) == 1
    assert "\x1b" not in refused.err
    assert not Path("never-written").exists()


def test_show_says_what_receipts_cover(two: Two) -> None:
    """A session's page states the tail, and when the officer saw its last entry."""
    two.pin()
    two.walk()
    session = next((two.station / "sessions").glob("*.jsonl")).stem
    before = two.at_station("show", session).out
    listed = two.at_station("review").out
    two.at_officer("receipt", "give", str(two.station))
    after = two.at_station("show", session)

    assert "4 entries are without a receipt, the oldest for less than a day" in before
    assert "4 entries are without a receipt" in listed
    assert "Seen by the safety officer on" in after.out
    assert (
        two.at_station("show", session, "--json")
        .data["receipts"]
        .endswith("Every entry is covered by a receipt.")
    )
