"""What home is told of a log folder: what is open, what is missing, and what is damaged."""

from __future__ import annotations

from pathlib import Path

import pytest

from checklist.record.journals.seal import Signing, abandon
from checklist.record.ledgers.tags import Tag
from checklist.sessions.desk import Desk
from checklist.sessions.opening import begin
from checklist.sessions.overview import MOST_LAST, overview
from checklist.sessions.tagging.untagging import take_off
from checklist.walk.entry import read_answer
from tests.sessions.pastsessions import NAME, TITLE, desk_at, key_of, later, sealed, walked


@pytest.fixture
def desk(tmp_path: Path) -> Desk:
    return desk_at(tmp_path)


def test_empty_folder_has_nothing_to_say(desk: Desk) -> None:
    """On a fresh machine there is nothing open and nothing wrong."""
    found = overview(desk)

    assert (found.unfinished, found.unsigned, found.tags, found.last) == ((), (), (), ())
    assert found.problems == ()


def test_unfinished_walk_says_where_it_stands(desk: Desk) -> None:
    """A walk that was left shows its title, its step, how far it is, and when it was left."""
    session = begin(desk, NAME).session
    step = session.walk.rule_file.step("clear")
    at = session.answer("clear", read_answer(step, "yes")).at
    session.close()

    walk = overview(desk).unfinished[0]

    assert (walk.session_id, walk.title) == (session.id, TITLE)
    assert (walk.done, walk.asked) == (1, 4)
    assert walk.step == "Hang a lock and tag at each point."
    assert walk.left == at
    assert walk.begun is not None
    assert walk.begun < at
    assert not walk.is_open_elsewhere


def test_walk_open_in_a_program_is_said_to_be(desk: Desk) -> None:
    """A session that some program holds is shown as open; looking does not disturb it."""
    session = begin(desk, NAME).session
    step = session.walk.rule_file.step("clear")

    walk = overview(desk).unfinished[0]
    session.answer("clear", read_answer(step, "yes"))

    assert walk.is_open_elsewhere
    assert overview(desk).unfinished[0].done == 1
    session.close()
    assert not overview(desk).unfinished[0].is_open_elsewhere


def test_last_left_walk_stands_first(desk: Desk) -> None:
    """Of several unfinished walks the one left last comes first."""
    ids = []
    for _ in range(3):
        session = begin(desk, NAME).session
        session.close()
        ids.append(session.id)
        later(desk, hours=1)

    assert [walk.session_id for walk in overview(desk).unfinished] == ids[::-1]


def test_missing_signature_names_who(desk: Desk) -> None:
    """A session that lacks a signature is listed with the person and the role."""
    session = walked(desk)
    sealed(desk, session, absent="Orrin Vale")

    unsigned = overview(desk).unsigned

    assert [(u.session_id, [(s.person, s.role) for s in u.missing]) for u in unsigned] == [
        (session.id, [("Orrin Vale", "worker")])
    ]
    assert unsigned[0].result.startswith("NOT SEALED: ")


def test_tags_hang_until_they_are_taken_off(desk: Desk) -> None:
    """Tags of sealed and of running walks hang; an entry of the ledger takes one off."""
    first = walked(desk, lock="3")
    sealed(desk, first)
    second = walked(desk, lock="4", point="rotator plug")
    second.close()
    before = overview(desk).tags
    _off(desk, before[0])

    after = overview(desk).tags

    assert [(t.point, t.lock, t.person, t.why) for t in before] == [
        ("breaker 14", "3", "Tamsin Reed", TITLE),
        ("rotator plug", "4", "Tamsin Reed", TITLE),
    ]
    assert [t.lock for t in after] == ["4"]


def test_tag_hung_again_after_it_was_off_hangs(desk: Desk) -> None:
    """An entry takes off only what hung when it was made."""
    session = walked(desk, lock="3")
    sealed(desk, session)
    _off(desk, overview(desk).tags[0])
    off = overview(desk).tags
    again = walked(desk, lock="3")
    sealed(desk, again)

    hangs = overview(desk).tags

    assert off == ()
    assert [t.session for t in hangs] == [again.id]


def _off(desk: Desk, tag: Tag) -> None:
    take_off(desk.folder, tag, Signing(tag.person, "worker", key_of(desk, tag.person)), "0")


def test_lock_named_in_two_walks_is_one_lock(desk: Desk) -> None:
    """A walk done again with the same lock shows it once, since the first; one entry ends it."""
    first, again = walked(desk, lock="3"), walked(desk, lock="3")
    sealed(desk, first)
    sealed(desk, again)
    hangs = overview(desk).tags
    _off(desk, hangs[0])

    assert [t.session for t in hangs] == [first.id]
    assert overview(desk).tags == ()


def test_giving_up_a_walk_takes_no_lock_off(desk: Desk) -> None:
    """The tags of an abandoned walk hang as all others do."""
    session = walked(desk, lock="7")
    session.close()
    abandon(desk.folder, session.id, "the weather turned")

    found = overview(desk)

    assert [t.lock for t in found.tags] == ["7"]


def test_last_sessions_expire(desk: Desk) -> None:
    """The last sessions come newest first, and an old result is said to be expired."""
    for number in range(MOST_LAST + 1):
        sealed(desk, walked(desk, lock=str(number)))
        later(desk, hours=1)
    later(desk, hours=5)

    found = overview(desk)

    assert len(found.last) == MOST_LAST
    assert [past.ended for past in found.last] == sorted(
        (past.ended for past in found.last), reverse=True
    )
    assert found.last[0].result.startswith("no stop found, expires 25 Nov")
    assert found.last[-1].result == "no stop found, expired 25 Nov"
    assert found.last[-1].brief == "expired 25 Nov, no stop found"
    assert found.last_of[NAME] == found.last[0]


def test_changed_session_file_is_a_sentence(desk: Desk) -> None:
    """A sealed file that was changed since is noticed at home, and home still opens."""
    session = walked(desk)
    sealed(desk, session)
    path = desk.folder.session_file(session.id)
    path.write_bytes(path.read_bytes().replace(b"tape 1", b"tape 2"))

    found = overview(desk)

    assert any("changed since" in problem for problem in found.problems)
    assert len(found.last) == 1


@pytest.mark.parametrize("content", [b"", b"\xff\xfe\x00" * 9, b"[]\n", b'{"tags"\n"tags"\n'])
def test_damaged_running_session_is_a_sentence(desk: Desk, content: bytes) -> None:
    """A running walk whose file is garbled is listed, with what is wrong, and nothing raises."""
    session = walked(desk)
    session.close()
    desk.folder.session_file(session.id).write_bytes(content)

    found = overview(desk)

    assert found.unfinished[0].says
    assert found.unfinished[0].done is None
    assert any(session.id[:8] in problem for problem in found.problems)


def test_missing_file_and_broken_ledger_are_sentences(desk: Desk) -> None:
    """A lost session file and a broken entry are each said; all that is left is shown."""
    gone, kept = walked(desk), walked(desk)
    sealed(desk, gone)
    sealed(desk, kept)
    desk.folder.session_file(gone.id).unlink()
    (desk.folder.ledger / "00000001.note").write_bytes(b"no entry")

    found = overview(desk)

    assert any("missing" in problem for problem in found.problems)
    assert any("00000001.note" in problem for problem in found.problems)
    assert kept.id in {past.session_id for past in found.last}


def test_folder_that_cannot_be_used_is_a_sentence(tmp_path: Path) -> None:
    """Where a file stands in place of the log folder, home says so and opens."""
    (tmp_path / "logs").write_text("not a folder", encoding="utf-8")

    found = overview(desk_at(tmp_path))

    assert len(found.problems) == 1
    assert "logs" in found.problems[0]


def test_unreadable_rules_leave_the_walk_listed(desk: Desk) -> None:
    """Where the rules as begun are gone, the walk is listed without its step, and says why."""
    session = walked(desk)
    session.close()
    for path in desk.folder.rules.iterdir():
        path.unlink()

    walk = overview(desk).unfinished[0]

    assert (walk.title, walk.done, walk.step) == (TITLE, None, "")
    assert "kept file" in walk.says


def test_a_folder_that_cannot_be_written_is_read(tmp_path: Path) -> None:
    """What hangs and was walked is told of a folder that is refused for writing, and that it is."""
    desk = desk_at(tmp_path)
    sealed(desk, walked(desk))
    before = overview(desk)
    desk.logs.chmod(0o777)
    found = overview(Desk(desk.logs, desk.disk, desk.clock))

    assert found.read_only.startswith("Read only: ")
    assert found.problems == ()
    assert found.tags
    assert (found.tags, found.last_of) == (before.tags, before.last_of)


def test_one_lost_entry_is_one_sentence(desk: Desk) -> None:
    """Of the entries that stand after a lost one, none is called missing."""
    for _ in range(4):
        begin(desk, NAME).session.close()
    (desk.logs / "ledger" / "00000002.note").unlink()
    said = [problem for problem in overview(desk).problems if "is missing" in problem]

    assert len(said) == 1
    assert "entry 2 is missing: the next one found is 3" in said[0]
