"""The audit on the screen: worst first, and the session of a finding at one key."""

from __future__ import annotations

import shutil
import threading
from pathlib import Path

import pytest
from textual.pilot import Pilot
from textual.widgets import OptionList, Static

from checklist.audit.entries import Stretch, Task, read_stretch
from checklist.record.ledgers.ledger import Ledger
from checklist.screens.app import StandclearApp
from checklist.screens.frame import BANNER
from checklist.screens.past.audit import AuditScreen
from checklist.screens.past.audited import AuditedSessionScreen, EntryScreen
from checklist.screens.plain import PlainScreen
from checklist.screens.walking.field import Field
from checklist.screens.walking.form import Form
from checklist.screens.walking.sign import AskSigner
from tests.audit.logs import finished
from tests.audit.officers import make_post
from tests.record.making import PASSPHRASE
from tests.screens.driving import text_of, until, wait_for
from tests.screens.roll.test_people import fill


async def audited(pilot: Pilot[None]) -> AuditScreen:
    """Open the audit from home with its key and wait until it is made."""
    await pilot.press("a")
    screen: AuditScreen = await wait_for(pilot, AuditScreen)
    for _ in range(300):
        if screen.report is not None:
            break
        await pilot.pause(0.02)
    await pilot.pause()
    return screen


@pytest.mark.parametrize("size", [(80, 24), (130, 40)])
async def test_the_worst_is_first_and_opens_its_session(
    tmp_path: Path, size: tuple[int, int]
) -> None:
    """A changed session is the first finding; Enter opens it, with the finding above it."""
    desk = finished(tmp_path)
    path = next(p for p in desk.logs.glob("sessions/*.jsonl") if b"wrench fell" in p.read_bytes())
    path.write_bytes(path.read_bytes().replace(b"wrench fell", b"wrench flew"))
    app = StandclearApp(desk)
    async with app.run_test(size=size) as pilot:
        screen = await audited(pilot)
        text = text_of(app)
        marked = screen.query_one(OptionList).highlighted_option

        assert marked is not None
        assert "line hashes" in str(marked.prompt)
        assert text.index("FOLDERS (1)") < text.index("FAILS (")
        assert "does not hold" in text
        assert BANNER in text
        await pilot.press("enter")
        opened = await wait_for(pilot, AuditedSessionScreen)
        for _ in range(200):
            if "Mast [/x]" in str(opened.query_one("#text", Static).render()):
                break
            await pilot.pause(0.02)

        assert "FAILS: " in text_of(app)
        assert "Mast [/x] work [bold]" in str(opened.query_one("#text", Static).render())


async def test_what_it_cannot_catch_is_one_key_away(tmp_path: Path) -> None:
    """The limits of the audit are on the screen, and Escape leads back to the findings."""
    app = StandclearApp(finished(tmp_path))
    async with app.run_test(size=(80, 24)) as pilot:
        screen = await audited(pilot)
        await pilot.press("w")
        await wait_for(pilot, PlainScreen)

        assert "A session that was never begun." in text_of(app)
        await pilot.press("escape")
        assert app.screen is screen


async def read_whole(pilot: Pilot[None], screen: AuditScreen, folders: int = 1) -> None:
    """Wait until the audit is made of so many folders."""

    def is_made() -> bool:
        return screen.report is not None and len(screen.report.folders) == folders

    await until(pilot, is_made, f"an audit of {folders} folders")
    await pilot.pause()


def option_at(screen: AuditScreen, words: str) -> int:
    """Return the place of the first option with these words in it."""
    listing = screen.query_one(OptionList)
    prompts = [" ".join(str(option.prompt).split()) for option in listing.options]
    return next(at for at, prompt in enumerate(prompts) if words in prompt)


async def enter_on(pilot: Pilot[None], screen: AuditScreen, words: str) -> None:
    """Press Enter on the first option with these words in it."""
    listing = screen.query_one(OptionList)
    listing.focus()
    listing.highlighted = option_at(screen, words)
    await pilot.press("enter")


async def test_a_stick_with_several_folders_is_added_by_one_path(tmp_path: Path) -> None:
    """Each is listed with what was found there; Enter on one shows its findings alone."""
    desk = finished(tmp_path / "own")
    for name in ("one", "two"):
        shutil.copytree(finished(tmp_path / name).logs, tmp_path / "stick" / name)
    changed = next((tmp_path / "stick" / "two" / "sessions").glob("*.jsonl"))
    changed.write_bytes(changed.read_bytes() + b"\n")
    app = StandclearApp(desk)
    async with app.run_test(size=(100, 40)) as pilot:
        screen = await audited(pilot)
        await pilot.press("f")
        wrong = await fill(pilot, folder=str(tmp_path / "nothing"))
        await fill(pilot, past=wrong, folder=str(tmp_path / "stick"))
        await read_whole(pilot, screen, folders=3)
        whole = text_of(app)
        listing = screen.query_one(OptionList)
        listing.focus()
        listing.highlighted = option_at(screen, f"{tmp_path / 'stick' / 'two'}: ")
        await pilot.press("enter")
        await pilot.pause()
        alone = [str(option.prompt) for option in listing.options]
        await pilot.press("x")
        await read_whole(pilot, screen, folders=2)

        assert "FOLDERS (3)" in whole
        assert "FAILS" in whole.splitlines()[0]
        assert any("findings FAIL" in " ".join(line.split()) for line in alone)
        assert not any(str(tmp_path / "own" / "logs") in line for line in alone[4:])
        assert "FOLDERS (2)" in text_of(app)
        assert "FAILS (" not in text_of(app)


async def test_the_session_of_another_folder_is_only_to_be_read(tmp_path: Path) -> None:
    """The finding stands above it, one's own roster says whose the keys are, no key changes it."""
    post = make_post(tmp_path)
    post.clock.pass_time(60)
    app = StandclearApp(post.officer)
    async with app.run_test(size=(100, 40)) as pilot:
        screen = await audited(pilot)
        await pilot.press("f")
        await fill(pilot, folder=str(post.station.logs))
        await read_whole(pilot, screen, folders=2)
        await enter_on(pilot, screen, "near misses: ")
        opened = await wait_for(pilot, AuditedSessionScreen)

        def text() -> str:
            return " ".join(str(opened.query_one("#text", Static).render()).split())

        await until(pilot, lambda: "SIGNATURES" in text(), "the session is read")
        await pilot.press("o", "s", "c", "x")
        await pilot.pause()

        assert "whose: Tamsin Reed signs as in charge: the key is in roster 3." in text()
        assert "Seen by the safety officer on" in text()
        assert app.screen is opened


async def test_two_histories_are_shown_side_by_side(tmp_path: Path) -> None:
    """Enter on the finding shows both notes, the lines that differ marked 1 and 2."""
    post = make_post(tmp_path)
    shutil.copytree(post.station.logs, tmp_path / "before")
    post.walk("7")
    post.receipt()
    shutil.rmtree(post.station.logs)
    shutil.copytree(tmp_path / "before", post.station.logs)
    post.walk("8")
    app = StandclearApp(post.officer)
    async with app.run_test(size=(80, 24)) as pilot:
        screen = await audited(pilot)
        await pilot.press("f")
        await fill(pilot, folder=str(post.station.logs))
        await read_whole(pilot, screen, folders=2)
        await enter_on(pilot, screen, "seen before: There are two histories")
        await wait_for(pilot, EntryScreen)
        seen = text_of(app)

        assert "1  seen here before" in seen
        assert "The same in both has no number before it." in seen
        assert "1  session " in seen
        assert "2  session " in seen


async def test_reading_can_be_stopped(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Escape stops a long audit, which says that nothing is shown by it; r begins it again."""
    real, may_go_on = read_stretch, threading.Event()

    def slowly(task: Task) -> Stretch:
        may_go_on.wait(20)
        return real(task)

    monkeypatch.setattr("checklist.audit.auditing.read_stretch", slowly)
    app = StandclearApp(finished(tmp_path))
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press("a")
        screen: AuditScreen = await wait_for(pilot, AuditScreen)
        await until(
            pilot,
            lambda: "reading 0 of" in " ".join(text_of(app).split()),
            "it tells how far it is",
        )
        await pilot.press("escape")
        may_go_on.set()
        await pilot.pause(0.2)

        assert app.screen is screen
        assert "nothing is shown by it" in text_of(app)
        assert screen.report is None
        await pilot.press("r")
        await read_whole(pilot, screen)
        await pilot.press("escape")
        assert app.screen is not screen


async def test_the_officer_countersigns_from_the_screen(tmp_path: Path) -> None:
    """Name and passphrase of the officer in office: the entry stands in the own ledger."""
    post = make_post(tmp_path)
    app = StandclearApp(post.officer)
    async with app.run_test(size=(80, 24)) as pilot:
        await audited(pilot)
        before = len(Ledger(post.officer.folder).names())
        await pilot.press("ctrl+g")
        asked = await wait_for(pilot, AskSigner)
        asked.query_one("#person", Form).submit()
        await until(pilot, lambda: bool(asked.query("#secret Field")), "the passphrase is asked")
        asked.query_one("#secret Field", Field).value = PASSPHRASE
        asked.query_one("#secret", Form).submit()
        await until(pilot, lambda: "Countersigned by Wilma Fenn" in text_of(app), "signed")
    entries = Ledger(post.officer.folder).entries()

    assert len(entries) == before + 1
    assert entries[-1].entry.kind == "audited"
