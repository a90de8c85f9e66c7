"""The catalogue follows ledger and files, and is never believed over them."""

from __future__ import annotations

import multiprocessing
import os
import shutil
import signal
import subprocess
import sys
from concurrent.futures import ProcessPoolExecutor
from dataclasses import replace
from datetime import UTC, datetime
from pathlib import Path

import pytest

from checklist.record.files import workers
from checklist.record.files.clock import RealClock
from checklist.record.files.disk import RealDisk
from checklist.record.files.folder import LogFolder
from checklist.record.journals.seal import Signing, sign_late
from checklist.record.lookup.card import Card
from checklist.record.lookup.catalogue import Catalogue, Stamp
from checklist.sessions.desk import Desk
from checklist.sessions.past import cardmaking
from checklist.sessions.past.cataloguing import Cards, catch_up, newest
from checklist.sessions.past.finding import find
from checklist.sessions.past.sessionfile import read_session_file
from tests.record.making import HandClock
from tests.sessions.manysessions import fill
from tests.sessions.pastsessions import NAME, TITLE, desk_at, key_of, later, sealed, walked


@pytest.fixture
def desk(tmp_path: Path) -> Desk:
    return desk_at(tmp_path)


def test_missing_catalogue_is_made_from_ledger_and_files(desk: Desk) -> None:
    """Every session has a card with title, people, stops and words that were typed."""
    session = walked(desk, words="swallow's nest in the gutter")
    sealed(desk, session)

    card = catch_up(desk.folder).cards[0]

    assert (card.session_id, card.title, card.rule_file) == (session.id, TITLE, NAME)
    assert (card.state, card.verdict) == ("sealed", "no stop found")
    assert card.people == ("Tamsin Reed", "Orrin Vale")
    assert card.stops == ("clear: answered no",)
    assert "swallow's nest" in card.text
    assert desk.folder.catalogue.exists()


def test_only_what_is_new_is_read(desk: Desk, monkeypatch: pytest.MonkeyPatch) -> None:
    """A session that the catalogue knows as it stands is not opened again."""
    sealed(desk, walked(desk))
    catch_up(desk.folder)
    fresh = walked(desk)
    sealed(desk, fresh)
    opened: list[str] = []

    def counted(folder: LogFolder, session_id: str) -> object:
        opened.append(session_id)
        return read_session_file(folder, session_id)

    monkeypatch.setattr(cardmaking, "read_session_file", counted)
    cards = catch_up(desk.folder).cards

    assert opened == [fresh.id]
    assert len(cards) == 2


def test_every_session_is_listed_before_its_file_is_read(
    desk: Desk, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The first list is whole, in order, and says of each session what the ledger says.

    One session file is read for the title of each rule file, no matter how many there are.
    """
    fill(desk, 9)
    sealed(desk, walked(desk), absent="Orrin Vale")
    walked(desk).close()
    opened: list[str] = []
    firsts: list[Cards] = []

    def counted(folder: LogFolder, session_id: str) -> object:
        opened.append(session_id)
        return read_session_file(folder, session_id)

    monkeypatch.setattr(cardmaking, "read_session_file", counted)
    whole = catch_up(desk.folder, listed=firsts.append)
    first = firsts[0].cards

    assert len(firsts) == 1
    assert len(opened) == len(whole.cards) + 1
    assert [_by_the_ledger(card) for card in first] == [_by_the_ledger(c) for c in whole.cards]
    assert {card.text for card in first} == {NAME}
    assert [card.people for card in first[-9:]] == [("Tamsin Reed", "Orrin Vale")] * 9


def _by_the_ledger(card: Card) -> Card:
    return replace(card, people=(), stops=(), text="")


def test_what_the_catalogue_knows_is_on_the_first_list(desk: Desk) -> None:
    """Only new sessions lack their words at first; with nothing to read there is no first list."""
    sealed(desk, walked(desk, words="heron on the mast"))
    known = catch_up(desk.folder).cards
    new = walked(desk)
    sealed(desk, new)
    firsts: list[Cards] = []
    catch_up(desk.folder, listed=firsts.append)
    catch_up(desk.folder, listed=firsts.append)

    assert len(firsts) == 1
    assert [card.session_id for card in firsts[0].cards] == [new.id, known[0].session_id]
    assert firsts[0].cards[1] == known[0]


def test_first_list_of_damaged_files(desk: Desk) -> None:
    """Sessions whose files are gone or garbled are listed at first by what the ledger says."""
    lost, garbled = walked(desk), walked(desk)
    sealed(desk, lost)
    sealed(desk, garbled)
    desk.folder.session_file(lost.id).unlink()
    desk.folder.session_file(garbled.id).write_bytes(b"\x00" * 9)
    firsts: list[Cards] = []

    catch_up(desk.folder, listed=firsts.append)

    assert [(c.session_id, c.title, c.verdict) for c in firsts[0].cards] == [
        (garbled.id, NAME, "no stop found"),
        (lost.id, NAME, "no stop found"),
    ]


def test_running_session_is_read_every_time(desk: Desk) -> None:
    """What was answered since the last look can be found, although no entry names it."""
    session = walked(desk)
    catch_up(desk.folder)
    session.note("words", "heron on the mast")
    session.close()

    assert [card.session_id for card in find(desk, text="heron")] == [session.id]


def test_forged_catalogue_is_not_believed(desk: Desk) -> None:
    """State, verdict and validity on a card that someone edited come from ledger and rules."""
    session = walked(desk)
    sealed(desk, session, absent="Orrin Vale")
    card = catch_up(desk.folder).cards[0]
    forged = replace(
        card,
        state="sealed",
        verdict="no stop found, with cautions",
        valid_until=datetime(2099, 1, 1, tzinfo=UTC),
        rule_file="something else",
    )
    Catalogue.open(desk.folder).put_many([forged])

    assert catch_up(desk.folder).cards == (card,)
    assert card.state == "signature missing"


def test_forged_card_without_session_is_dropped(desk: Desk) -> None:
    """A card of a session that neither ledger nor folder knows does not appear, or stay."""
    sealed(desk, walked(desk))
    card = catch_up(desk.folder).cards[0]
    Catalogue.open(desk.folder).put_many([replace(card, session_id="f" * 32)])

    assert catch_up(desk.folder).cards == (card,)
    assert Catalogue.open(desk.folder).cards() == (card,)


def test_damaged_catalogue_is_rebuilt_and_said(desk: Desk) -> None:
    """A garbled catalogue is set aside, said, and made again with nothing lost."""
    sealed(desk, walked(desk))
    before = catch_up(desk.folder).cards
    desk.folder.catalogue.write_bytes(b'{"cards": nonsense')

    found = catch_up(desk.folder)

    assert found.cards == before
    assert any("damaged" in problem for problem in found.problems)
    assert catch_up(desk.folder).problems == ()


def test_catalogue_of_another_ledger_is_rebuilt(desk: Desk, tmp_path: Path) -> None:
    """A catalogue that was copied beside another ledger is not taken for its own."""
    sealed(desk, walked(desk))
    (tmp_path / "other").mkdir()
    other = desk_at(tmp_path / "other")
    sealed(other, walked(other, words="elsewhere"))
    catch_up(other.folder)
    shutil.copy(other.folder.catalogue, desk.folder.catalogue)

    cards = catch_up(desk.folder).cards

    assert len(cards) == 1
    assert "elsewhere" not in cards[0].text


def test_catalogue_of_another_history_is_rebuilt(desk: Desk) -> None:
    """Where the stamp names an entry that this ledger does not have, no card is kept."""
    sealed(desk, walked(desk))
    card = catch_up(desk.folder).cards[0]
    elsewhere = replace(card, text="elsewhere")
    Catalogue.open(desk.folder).rebuild([elsewhere], Stamp(2, "0" * 64))

    assert catch_up(desk.folder).cards == (card,)


def test_last_words_before_the_seal_are_found(desk: Desk) -> None:
    """What was added between a look at the running walk and its end is on the card."""
    session = walked(desk)
    catch_up(desk.folder)
    session.note("words", "heron on the mast")
    sealed(desk, session)

    assert [card.session_id for card in find(desk, text="heron")] == [session.id]


def test_late_signature_reaches_the_card(desk: Desk) -> None:
    """A card follows when a missing signature is given."""
    session = walked(desk)
    sealed(desk, session, absent="Orrin Vale")
    catch_up(desk.folder)
    sign_late(
        desk.folder, session.id, [Signing("Orrin Vale", "worker", key_of(desk, "Orrin Vale"))]
    )

    assert catch_up(desk.folder).cards[0].state == "sealed"


def test_damaged_session_file_is_a_card_that_says_so(desk: Desk) -> None:
    """A garbled file has a card with the ledger's verdict and the word damaged, until restored."""
    session = walked(desk)
    sealed(desk, session)
    path = desk.folder.session_file(session.id)
    whole = path.read_bytes()
    path.write_bytes(b"\x00" * 50)

    damaged = catch_up(desk.folder).cards[0]
    path.write_bytes(whole)
    restored = catch_up(desk.folder).cards[0]

    assert damaged.title == f"{NAME} (session file damaged)"
    assert damaged.verdict == "no stop found"
    assert restored.title == TITLE


def test_folder_for_reading_is_left_alone(desk: Desk, tmp_path: Path) -> None:
    """Cards of a copied folder are made without writing a catalogue into it."""
    sealed(desk, walked(desk))
    copy = tmp_path / "copy"
    shutil.copytree(desk.logs, copy)

    cards = catch_up(LogFolder.look(copy, RealDisk(), HandClock())).cards

    assert len(cards) == 1
    assert not (copy / "catalogue.json").exists()


def test_newest_need_no_whole_ledger(desk: Desk) -> None:
    """The newest sessions are known from the end of the ledger alone, and truly."""
    fill(desk, 80)

    quick, whole = newest(desk.folder).cards, catch_up(desk.folder).cards

    assert quick == whole[: len(quick)]
    assert 10 <= len(quick) < 80


def test_progress_is_told(desk: Desk) -> None:
    """Whoever waits is told how many files of how many were read."""
    fill(desk, 120)
    told: list[tuple[int, int]] = []

    catch_up(desk.folder, lambda done, of: told.append((done, of)))

    assert told == [(0, 120), (50, 120), (100, 120), (120, 120)]


def test_finding_by_everything(desk: Desk) -> None:
    """Text, rule file, person, verdict and days each narrow the list, newest first."""
    old = walked(desk, words="Möwe on the boom")
    sealed(desk, old)
    later(desk, days=3)
    new = walked(desk)
    sealed(desk, new, absent="Orrin Vale")
    day = desk.clock.now().date()

    def ids(**wanted: object) -> list[str]:
        return [card.session_id for card in find(desk, **wanted)]  # type: ignore[arg-type]  # one helper for all filters

    assert ids() == [new.id, old.id]
    assert ids(text="mowe BOOM") == [old.id]
    assert ids(text="expired") == [old.id]
    assert ids(person="vale orrin", rule_file="mast") == [new.id, old.id]
    assert ids(person="nobody") == []
    assert ids(verdict="not sealed") == [new.id]
    assert ids(verdict="sealed") == [old.id]
    assert ids(verdict="stopped") == []
    assert ids(since=day) == [new.id]
    assert ids(until=old.now().date().replace(day=25)) == [old.id]


def test_several_processes_make_the_same_cards(desk: Desk, monkeypatch: pytest.MonkeyPatch) -> None:
    """Above a few thousand sessions every processor reads files; what comes of it is the same."""
    fill(desk, 120)
    alone = catch_up(desk.folder)
    desk.folder.catalogue.unlink()
    monkeypatch.setattr(workers, "WORTH_IT", 1)
    real = LogFolder.open(desk.folder.path, RealDisk(), RealClock())

    assert catch_up(real).cards == alone.cards
    assert len(alone.cards) == 120


def test_a_process_that_is_killed_costs_only_time() -> None:
    """Its tasks are done again in the program's own process, in order, none twice."""
    tasks = [(os.getpid(), number) for number in SOME]
    with ProcessPoolExecutor(1, multiprocessing.get_context("spawn")) as pool:
        found = list(workers.Workers(pool, 1).each(_dies_elsewhere, tasks))

    assert found == list(SOME)


SOME = range(12)


def _dies_elsewhere(task: tuple[int, int]) -> int:
    parent, number = task
    if os.getpid() != parent and number == 5:
        os.kill(os.getpid(), signal.SIGKILL)
    return number


IN_SCREENS = """
import io, sys
from pathlib import Path
from checklist.record.files import workers
from checklist.record.files.clock import RealClock
from checklist.record.files.disk import RealDisk
from checklist.record.files.folder import LogFolder

class Captured(io.StringIO):
    def fileno(self):
        return -1

if __name__ == "__main__":
    workers.WORTH_IT = 1
    sys.stderr = Captured()
    folder = LogFolder.open(Path(sys.argv[1]), RealDisk(), RealClock())
    with workers.workers_for(9, [folder]) as some:
        print(some.count, *some.each(abs, [-3, -4]))
"""


def test_processes_start_while_the_screens_hold_stderr(tmp_path: Path) -> None:
    """Textual's stderr has no file number; it must not keep the other processes from starting."""
    script = tmp_path / "in_screens.py"
    script.write_text(IN_SCREENS, "utf-8")
    done = subprocess.run(
        [sys.executable, str(script), str(tmp_path / "logs")],
        capture_output=True, text=True, check=False,
        env={"PYTHONPATH": str(Path(__file__).parents[2])},
    )  # fmt: skip

    assert (done.returncode, done.stderr) == (0, "")
    assert done.stdout.split()[1:] == ["3", "4"]
