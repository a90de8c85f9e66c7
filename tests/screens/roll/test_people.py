"""The screen of people and keys: who is who, the guided paths, and the tail on home."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
from textual.widgets import OptionList

from checklist.record.files.clock import RealClock
from checklist.record.files.disk import RealDisk
from checklist.record.roll.appointing import appoint, roster_file
from checklist.record.roll.keys import UnlockedKey, keys_of
from checklist.record.roll.receiving import receive_folder
from checklist.record.roll.roster import Roster
from checklist.record.roll.spoken import key_code
from checklist.record.roll.takingover import take_roster
from checklist.screens.app import StandclearApp
from checklist.screens.asking import AskForm, AskOne, AskYes
from checklist.screens.frame import BANNER
from checklist.screens.home import HomeScreen
from checklist.screens.roll.people import PeopleScreen
from checklist.screens.walking.field import Field
from checklist.screens.walking.form import Form
from checklist.screens.walking.formrow import FormRow
from checklist.sessions.desk import Desk
from checklist.sessions.roll.people import ask_to_enrol, enrol_from
from checklist.sessions.roll.peopleview import NOBODY_PINNED
from tests.record.making import PASSPHRASE, begin, finish, person
from tests.screens.driving import settled, text_of, until, wait_for

SIZE = (80, 24)
OTHER = "another hill"
VERA, ADA = "Vera Holm", "Zoë [/x] Quill"
"""The safety officer, and a member whose name would act as markup."""


def other_desk(path: Path) -> Desk:
    return Desk(path, RealDisk(), RealClock())


def make_officer(desk: Desk) -> UnlockedKey:
    key = person(desk.folder, VERA)
    appoint(desk.folder, key)
    return key


def enrol(desk: Desk, officer: UnlockedKey, key: UnlockedKey, *roles: str) -> None:
    data = ask_to_enrol(desk.folder, key, roles=roles)
    enrol_from(desk.folder, officer, data, key_code(key.public))


def pin(desk: Desk, other: Desk) -> UnlockedKey:
    """Pin an officer, whose laptop is another one, and enrol the member here."""
    vera, ada = make_officer(other), person(desk.folder, ADA)
    enrol(other, vera, ada, "in charge")
    take_roster(desk.folder, roster_file(Roster.read(other.folder)), key_code(vera.public))
    return ada


def seal_one(desk: Desk, key: UnlockedKey) -> None:
    """Seal a session there, signed with the key."""
    journal = begin(desk.folder)
    finish(desk.folder, journal, key)
    journal.close()


def states(desk: Desk, name: str) -> list[bool]:
    """Return for each key of a person in force whether it was revoked."""
    newest = Roster.read(desk.folder).newest
    member = newest.member(name) if newest else None
    return [term.revoked is not None for term in member.keys] if member else []


async def people_screen(pilot: Any) -> PeopleScreen:
    await wait_for(pilot, HomeScreen)
    await pilot.press("p")
    screen = await wait_for(pilot, PeopleScreen)
    assert isinstance(screen, PeopleScreen)
    await settled(pilot)
    return screen


async def fill(pilot: Any, past: object = None, **values: str) -> Any:
    """Fill the form that comes after `past` by the names of its rows, give it, return it."""
    for _ in range(300):
        await pilot.pause(0.02)
        screen = pilot.app.screen
        if isinstance(screen, AskForm) and screen is not past and screen.focused:
            break
    assert isinstance(screen, AskForm)
    for row in screen.query(FormRow):
        if row.row.name in values:
            row.query_one(Field).value = values[row.row.name]
    await pilot.pause()
    screen.query(Form).last().submit()
    return screen


async def back(pilot: Any) -> str:
    """Wait until the path has ended and the screen has read anew; return what stands on it."""
    for _ in range(600):
        await pilot.pause(0.02)
        screen = pilot.app.screen
        if isinstance(screen, PeopleScreen) and not screen._is_on_path:
            break
    await settled(pilot)
    return " ".join(text_of(pilot.app).split())


@pytest.mark.parametrize("size", [(80, 24), (130, 40)])
async def test_nobody_pinned(app: StandclearApp, desk: Desk, size: tuple[int, int]) -> None:
    """Without an officer the screen says so, with the keys here, the banner and the keys."""
    key = person(desk.folder, ADA)
    async with app.run_test(size=size) as pilot:
        await people_screen(pilot)
        seen = text_of(app)

    assert NOBODY_PINNED in seen
    assert "no officer pinned" in seen
    assert f"{ADA}: in no roster here" in seen
    assert f"key {key_code(key.public)}  not enrolled" in seen
    assert "^Y SOMEONE IS HURT" in seen
    assert BANNER in seen
    assert "a appoint" in seen
    assert "e enrol" not in seen


@pytest.mark.parametrize("size", [(80, 24), (130, 40)])
async def test_station_shows_who_is_who(
    app: StandclearApp, desk: Desk, tmp_path: Path, size: tuple[int, int]
) -> None:
    """Officer and code, everybody with state and roles, the one at the mark whole, the tail."""
    pin(desk, other_desk(tmp_path / "officer"))
    newest = Roster.read(desk.folder).newest
    async with app.run_test(size=size) as pilot:
        screen = await people_screen(pilot)
        screen.query_one(OptionList).highlighted = 1
        await pilot.pause()
        seen = " ".join(text_of(app).split())

    assert newest is not None
    assert f"Safety officer {VERA}, code {key_code(newest.officer)}" in seen
    assert f"{ADA} key holds in charge" in seen
    assert f"{ADA}: in charge, training not known" in seen
    assert "kept on this laptop" in seen
    assert "2 entries are without a receipt" in seen


async def test_enter_lists_what_can_be_done_here(
    app: StandclearApp, desk: Desk, tmp_path: Path
) -> None:
    """What only the officer's laptop can do is not offered at a station."""
    pin(desk, other_desk(tmp_path / "officer"))
    async with app.run_test(size=SIZE) as pilot:
        await people_screen(pilot)
        await pilot.press("enter")
        await wait_for(pilot, AskOne)
        seen = text_of(app)
        await pilot.press("escape")
        await back(pilot)
        await pilot.press("e")
        await pilot.pause(0.2)
        stayed = isinstance(app.screen, PeopleScreen)

    assert "take over a roster or receipt" in seen
    assert "compare a code aloud" in seen
    assert "enrol from a request" not in seen
    assert "give a receipt" not in seen
    assert stayed


async def test_officer_is_appointed(app: StandclearApp, desk: Desk) -> None:
    """A name, a passphrase twice: the key is made, pinned, and its code shown to be read aloud."""
    async with app.run_test(size=SIZE) as pilot:
        await people_screen(pilot)
        await pilot.press("a")
        first = await fill(pilot, name=VERA, call="[no]")
        again = await fill(pilot, past=first, call="")
        wrong = await fill(pilot, past=again, passphrase=PASSPHRASE, again=OTHER)
        await fill(pilot, past=wrong, passphrase=PASSPHRASE, again=PASSPHRASE)
        seen = await back(pilot)
    newest = Roster.read(desk.folder).newest

    assert newest is not None
    assert newest.officer_name == VERA
    assert key_code(newest.officer) in seen
    assert [card.person for card in keys_of(desk.folder)] == [VERA]


async def test_request_goes_into_a_file_and_is_enrolled(
    app: StandclearApp, desk: Desk, tmp_path: Path
) -> None:
    """The member's laptop writes the request; the officer's refuses another code, then enrols."""
    key = person(desk.folder, ADA)
    path = tmp_path / "request"
    async with app.run_test(size=SIZE) as pilot:
        await people_screen(pilot)
        await pilot.press("r")
        first = await fill(pilot, name=ADA, roles="king", file=str(path))
        for row in first.query(FormRow):
            if row.row.name == "roles":
                row.query_one(Field).value = "In Charge, worker"
        first.query(Form).last().submit()
        await fill(pilot, past=first, passphrase=PASSPHRASE)
        said = await back(pilot)

    assert f"Code to read aloud when asked: {key_code(key.public)}" in said

    officer = other_desk(tmp_path / "officer")
    make_officer(officer)
    other = StandclearApp(officer)
    async with other.run_test(size=SIZE) as pilot:
        await people_screen(pilot)
        await pilot.press("e")
        first = await fill(pilot, file=str(path))
        form = await fill(pilot, past=first, code="0" * 20, passphrase=PASSPHRASE)
        await pilot.pause(0.1)
        refused = " ".join(text_of(other).replace("║", " ").split())
        for row in form.query(FormRow):
            if row.row.name == "code":
                row.query_one(Field).value = key_code(key.public).upper()
        form.query(Form).last().submit()
        enrolled = await back(pilot)
    newest = Roster.read(officer.folder).newest
    member = newest.member(ADA) if newest else None

    assert "do not enrol it" in refused
    assert f"{ADA} is enrolled." in enrolled
    assert member is not None
    assert member.roles == ("in charge", "worker")


async def test_roster_is_taken_after_the_code(
    app: StandclearApp, desk: Desk, tmp_path: Path
) -> None:
    """Without the code it is asked for, with the officer's name; with it the roster is in force."""
    officer = other_desk(tmp_path / "officer")
    vera = make_officer(officer)
    path = tmp_path / "roster"
    path.write_bytes(roster_file(Roster.read(officer.folder)))
    async with app.run_test(size=SIZE) as pilot:
        await people_screen(pilot)
        await pilot.press("t")
        missing = await fill(pilot, file=str(tmp_path / "nothing"))
        first = await fill(pilot, past=missing, file=str(path))
        again = await wait_after(pilot, first)
        asked = " ".join(text_of(app).replace("║", " ").split())
        await fill(pilot, code=key_code(vera.public))
        seen = await back(pilot)

    assert again is not first
    assert f"Call {VERA} on a number that you know" in asked
    assert f"Roster 1 of {VERA} is in force here." in seen


async def wait_after(pilot: Any, screen: object) -> Any:
    await until(
        pilot,
        lambda: isinstance(pilot.app.screen, AskForm) and pilot.app.screen is not screen,
    )
    await pilot.pause()
    return pilot.app.screen


async def test_lost_key_is_revoked(app: StandclearApp, desk: Desk) -> None:
    """On the officer's laptop the key of the person at the mark is revoked, with the reason."""
    vera = make_officer(desk)
    enrol(desk, vera, person(desk.folder, ADA), "worker")
    async with app.run_test(size=SIZE) as pilot:
        screen = await people_screen(pilot)
        screen.query_one(OptionList).highlighted = 1
        await pilot.press("l")
        wrong = await fill(pilot, reason="laptop [b]stolen", passphrase=OTHER)
        again = await wait_after(pilot, wrong)
        kept = {row.row.name: row.text for row in again.query(FormRow)}
        await fill(pilot, passphrase=PASSPHRASE)
        await wait_for(pilot, AskYes)
        await pilot.press("n")
        seen = await back(pilot)

    assert kept["reason"] == "laptop [b]stolen"
    assert kept["passphrase"] == ""
    assert states(desk, ADA) == [True]
    assert "REVOKED" in seen
    assert "laptop [b]stolen" in seen


async def test_lost_key_at_a_station_makes_a_new_one(
    app: StandclearApp, desk: Desk, tmp_path: Path
) -> None:
    """There a new key and its request are made, and the officer is to be told."""
    old = pin(desk, other_desk(tmp_path / "officer"))
    path = tmp_path / "new-key"
    async with app.run_test(size=SIZE) as pilot:
        screen = await people_screen(pilot)
        screen.query_one(OptionList).highlighted = 1
        await pilot.press("l")
        first = await fill(pilot, file=str(path))
        await fill(pilot, past=first, passphrase=PASSPHRASE, again=PASSPHRASE)
        seen = await back(pilot)
    new = keys_of(desk.folder)[-1].public

    assert new != old.public
    assert path.exists()
    assert key_code(new) in seen
    assert "Tell the officer to revoke the old key." in seen


@pytest.mark.parametrize("key", ["l", "w"], ids=["lost", "renewed"])
async def test_key_is_made_anew_without_an_officer(
    app: StandclearApp, desk: Desk, key: str
) -> None:
    """Where nobody is pinned no file has to be written for anybody: the new key signs from now."""
    person(desk.folder, "Ada Quill")
    async with app.run_test(size=SIZE) as pilot:
        await people_screen(pilot)
        await pilot.press(key)
        first = await fill(pilot)
        await fill(pilot, past=first, passphrase=PASSPHRASE, again=PASSPHRASE)
        seen = await back(pilot)
    new = keys_of(desk.folder)[-1].public

    assert len(keys_of(desk.folder)) == 2
    assert f"signs here with a new key from now on, code {key_code(new)}" in seen


async def test_officer_renews_the_own_key(app: StandclearApp, desk: Desk) -> None:
    """Old passphrase, new passphrase: the new key is in office, signed in by the old one."""
    old = make_officer(desk)
    async with app.run_test(size=SIZE) as pilot:
        await people_screen(pilot)
        await pilot.press("w")
        first = await fill(pilot)
        second = await fill(pilot, past=first, passphrase=PASSPHRASE)
        await fill(pilot, past=second, passphrase=OTHER, again=OTHER)
        seen = await back(pilot)
    newest = Roster.read(desk.folder).newest

    assert newest is not None
    assert newest.officer != old.public
    assert key_code(newest.officer) in seen
    assert "EXPIRED" in seen


async def test_officer_changes(app: StandclearApp, desk: Desk, tmp_path: Path) -> None:
    """The officer in office signs the next one in from a request."""
    make_officer(desk)
    other = other_desk(tmp_path / "next")
    ada = person(other.folder, ADA)
    path = tmp_path / "request"
    path.write_bytes(ask_to_enrol(other.folder, ada, roles=["in charge"]))
    async with app.run_test(size=SIZE) as pilot:
        await people_screen(pilot)
        await pilot.press("o")
        await wait_for(pilot, AskOne)
        await pilot.press("1")
        first = await fill(pilot, file=str(path))
        await fill(pilot, past=first, code=key_code(ada.public), passphrase=PASSPHRASE)
        await back(pilot)
    newest = Roster.read(desk.folder).newest

    assert newest is not None
    assert (newest.officer, newest.officer_name) == (ada.public, ADA)


async def test_details_are_changed(app: StandclearApp, desk: Desk) -> None:
    """Roles, training and the end of the keys of the person at the mark; a bad date is said."""
    vera = make_officer(desk)
    enrol(desk, vera, person(desk.folder, ADA), "worker")
    async with app.run_test(size=SIZE) as pilot:
        screen = await people_screen(pilot)
        screen.query_one(OptionList).highlighted = 1
        await pilot.press("d")
        wrong = await fill(pilot, trained="yesterday", passphrase=PASSPHRASE)
        await wait_after(pilot, wrong)
        refused = " ".join(text_of(app).replace("║", " ").split())
        await fill(
            pilot, past=wrong, roles="in charge, helper", trained="2026-11-01",
            until="2027-11-25", passphrase=PASSPHRASE,
        )  # fmt: skip
        seen = await back(pilot)
    newest = Roster.read(desk.folder).newest
    member = newest.member(ADA) if newest else None

    assert "yesterday" in refused
    assert "Changed. Roster" in seen
    assert member is not None
    assert member.roles == ("in charge", "helper")
    assert member.trained is not None
    assert member.trained.isoformat() == "2026-11-01"
    assert [t.until.date().isoformat() for t in member.keys if t.until] == ["2027-11-25"]


async def test_roster_is_sent_in_a_file(app: StandclearApp, desk: Desk, tmp_path: Path) -> None:
    """The file holds the roster in force; a file that is there already is left alone."""
    make_officer(desk)
    (tmp_path / "taken").write_bytes(b"mine")
    async with app.run_test(size=SIZE) as pilot:
        await people_screen(pilot)
        await pilot.press("s")
        wrong = await fill(pilot, file=str(tmp_path / "taken"))
        await fill(pilot, past=wrong, file=str(tmp_path / "roster"))
        seen = await back(pilot)

    assert "Written:" in seen
    assert (tmp_path / "taken").read_bytes() == b"mine"
    assert (tmp_path / "roster").read_bytes() == roster_file(Roster.read(desk.folder))


async def test_entries_go_to_the_officer_and_a_receipt_comes_back(
    app: StandclearApp, desk: Desk, tmp_path: Path
) -> None:
    """With n at the station, g at the officer's, t at the station: then every entry is covered."""
    officer = other_desk(tmp_path / "officer")
    ada = pin(desk, officer)
    seal_one(desk, ada)
    entries, receipt = tmp_path / "entries", tmp_path / "receipt"
    async with app.run_test(size=SIZE) as pilot:
        await people_screen(pilot)
        await pilot.press("n")
        wrong = await fill(pilot, file=str(entries), after="99")
        await wait_after(pilot, wrong)
        refused = " ".join(text_of(app).replace("║", " ").split())
        await fill(pilot, past=wrong, file=str(entries), after="0")
        sent = await back(pilot)
    other = StandclearApp(officer)
    async with other.run_test(size=SIZE) as pilot:
        await people_screen(pilot)
        await pilot.press("g")
        first = await fill(pilot, source=str(entries), passphrase=PASSPHRASE)
        await wait_after(pilot, first)
        no_file = " ".join(text_of(other).replace("║", " ").split())
        await fill(pilot, past=first, source=str(entries), out=str(receipt), passphrase=PASSPHRASE)
        given = await back(pilot)
    async with StandclearApp(desk).run_test(size=SIZE) as pilot:
        await people_screen(pilot)
        await pilot.press("t")
        await fill(pilot, file=str(receipt))
        taken = await back(pilot)

    assert "this ledger ends at entry" in refused
    assert "Entries 1 to 4 are written." in sent
    assert "a receipt for a file goes into a file" in no_file
    assert "up to entry 4, new: 4." in given
    assert "The receipt up to entry 4 is kept here." in taken
    assert "Every entry is covered by a receipt." in taken


async def test_a_receipt_goes_straight_into_a_folder(
    app: StandclearApp, desk: Desk, tmp_path: Path
) -> None:
    """Given the station's folder itself, g puts the receipt there and shows its code."""
    station = other_desk(tmp_path / "station")
    ada = pin(station, desk)
    seal_one(station, ada)
    async with app.run_test(size=SIZE) as pilot:
        await people_screen(pilot)
        await pilot.press("g")
        await fill(pilot, source=str(station.logs), passphrase=PASSPHRASE)
        seen = await back(pilot)

    assert "Code for the paper log: 4 " in seen
    assert len(list((station.logs / "receipts").iterdir())) == 1


async def test_code_is_compared(app: StandclearApp, desk: Desk, tmp_path: Path) -> None:
    """The pinned officer's code is the same; of one that nothing here has, the screen says so."""
    pin(desk, other_desk(tmp_path / "officer"))
    newest = Roster.read(desk.folder).newest
    assert newest is not None
    async with app.run_test(size=SIZE) as pilot:
        await people_screen(pilot)
        await pilot.press("c")
        first = await fill(pilot, code="0" * 20)
        await wait_after(pilot, first)
        refused = " ".join(text_of(app).replace("║", " ").split())
        await fill(pilot, code=key_code(newest.officer))
        seen = await back(pilot)

    assert "no key and no entry here has this code" in refused
    assert f"The same: it is the key of {VERA}, the safety officer pinned here." in seen


async def test_keys_typed_between_questions_do_nothing(app: StandclearApp, desk: Desk) -> None:
    """While a path waits for the disk, neither its keys nor Escape begin or end anything."""
    make_officer(desk)
    async with app.run_test(size=SIZE) as pilot:
        screen = await people_screen(pilot)
        screen._is_on_path = True
        await pilot.press("l", "enter", "escape")
        await pilot.pause(0.1)
        stayed = app.screen is screen

    assert stayed


async def test_home_states_the_tail_where_an_officer_is_pinned(
    app: StandclearApp, desk: Desk, tmp_path: Path
) -> None:
    """One row with entries and age; Enter goes to the people; under a receipt it is gone."""
    officer = other_desk(tmp_path / "officer")
    ada = pin(desk, officer)
    seal_one(desk, ada)
    async with app.run_test(size=SIZE) as pilot:
        home = await wait_for(pilot, HomeScreen)
        before = await _home_text(pilot, "no receipt")
        home.query_one(OptionList).highlighted = 1
        await pilot.press("enter")
        await wait_for(pilot, PeopleScreen)
        await settled(pilot)
        vera = next(card for card in keys_of(officer.folder) if card.person == VERA)
        receive_folder(officer.folder, desk.folder, _unlocked(officer, vera))
        await pilot.press("escape")
        await wait_for(pilot, HomeScreen)
        for _ in range(100):
            await pilot.pause(0.02)
            if "no receipt" not in text_of(app):
                break
        after = text_of(app)

    assert "not yet seen by the officer" in before
    assert "no receipt for 4 entries, oldest 0 min" in before
    assert "no receipt" not in after


async def test_home_is_silent_without_an_officer(app: StandclearApp, desk: Desk) -> None:
    """A club that never appoints one is not reminded at every look."""
    ada = person(desk.folder, ADA)
    seal_one(desk, ada)
    async with app.run_test(size=SIZE) as pilot:
        await wait_for(pilot, HomeScreen)
        seen = await _home_text(pilot, "LAST SESSIONS")

    assert "LAST SESSIONS" in seen
    assert "without a receipt" not in seen


def _unlocked(desk: Desk, card: Any) -> UnlockedKey:
    from checklist.record.roll.keys import unlock

    return unlock(desk.folder, card, PASSPHRASE)


async def _home_text(pilot: Any, wanted: str) -> str:
    for _ in range(100):
        await pilot.pause(0.02)
        if wanted in text_of(pilot.app):
            break
    return text_of(pilot.app)
