"""Tags are hung in walks and outside them, handed over, and taken off."""

from __future__ import annotations

from datetime import timedelta
from pathlib import Path

import pytest

from checklist.errors import StandclearError
from checklist.record.errors import NotSaved
from checklist.record.journals.seal import Signing
from checklist.record.ledgers.ledger import Ledger
from checklist.record.ledgers.tags import HUNG, Tag
from checklist.record.lookup.registers import Person
from checklist.sessions.desk import Desk
from checklist.sessions.opening import begin, go_on, rehearse
from checklist.sessions.session import Session
from checklist.sessions.tagging.duetags import complete_due
from checklist.sessions.tagging.hanging import Hanging, hang, read_until
from checklist.sessions.tagging.tags import look_at_tags, tag_named
from checklist.sessions.tagging.untagging import after_taking_off, take_off, take_off_for_another
from checklist.walk.entry import read_answer
from tests.record.ledgers.test_tags import FACTS
from tests.record.making import HandClock
from tests.sessions.pastsessions import NAME, TITLE, desk_at, key_of, later

WREN, TAMSIN, ORRIN = "Wren Holloway", "Tamsin Reed", "Orrin Vale"
ODD = "Zoë [/b] O’Hara <x>"


@pytest.fixture
def desk(tmp_path: Path) -> Desk:
    return desk_at(tmp_path)


def name_tags(session: Session, *lines: str) -> None:
    step = session.walk.rule_file.step("tags")
    session.answer("tags", read_answer(step, list(lines)))


def by(desk: Desk, name: str, role: str = "worker") -> Signing:
    return Signing(name, role, key_of(desk, name))


def hung(desk: Desk, lock: str = "5", person: str = WREN, point: str = "breaker 14") -> Tag:
    return hang(desk.folder, Hanging(point, lock, person, "rotator", "8 h"))


def open_locks(desk: Desk) -> list[str]:
    return [tag.lock for tag in look_at_tags(desk.folder).open]


def test_walk_gives_all_but_point_and_lock(desk: Desk) -> None:
    """The entry has why from the title, the end from the rule file, reach from the register."""
    desk.registers.remember_person(Person(WREN, reach="channel 7"))
    session = begin(desk, NAME).session
    name_tags(session, f"Breaker 14, 5, {WREN}", f"Breaker 14, 6, {TAMSIN}")
    session.close()
    first, second = look_at_tags(desk.folder).tags.open

    assert (first.point, first.lock, first.person) == ("Breaker 14", "5", WREN)
    assert (first.why, first.reach, first.session) == (TITLE, "channel 7", session.id)
    assert first.until == session.walk.events[-1].at + timedelta(hours=8)
    assert (first.locks, second.locks) == ("1", "2")
    assert second.reach == ""


def test_lock_named_again_is_entered_once(desk: Desk) -> None:
    """Changing the answer of the step, or walking again, hangs no lock a second time."""
    session = begin(desk, NAME).session
    name_tags(session, f"breaker 14, 5, {WREN}")
    name_tags(session, f"BREAKER 14, 5, {WREN}", f"plug 2, 6, {TAMSIN}")
    session.close()
    again = begin(desk, NAME).session
    name_tags(again, f"breaker 14, 5, {WREN}")
    again.close()

    assert [r.entry.kind for r in Ledger(desk.folder).entries()].count(HUNG) == 2
    assert open_locks(desk) == ["5", "6"]


def test_lock_left_out_of_a_changed_answer_hangs(desk: Desk) -> None:
    """Editing an answer takes no lock off: only the person who hung it does."""
    session = begin(desk, NAME).session
    name_tags(session, f"breaker 14, 5, {WREN}", f"plug 2, 6, {TAMSIN}")
    name_tags(session, f"plug 2, 6, {TAMSIN}")
    session.close()

    assert open_locks(desk) == ["5", "6"]


def test_lock_hung_again_after_it_was_off_is_a_new_tag(desk: Desk) -> None:
    """Off and on again in one walk are two tags, and the second one hangs."""
    session = begin(desk, NAME).session
    name_tags(session, f"breaker 14, 5, {WREN}")
    first = look_at_tags(desk.folder).open[0]
    take_off(desk.folder, first, by(desk, WREN), "0")
    name_tags(session, f"breaker 14, 5, {WREN}")
    session.close()
    second = look_at_tags(desk.folder).open[0]

    assert first.id != second.id
    assert complete_due(desk.folder, look_at_tags(desk.folder)).due == ()


def test_tag_that_a_crash_kept_out_of_the_ledger_hangs_and_is_entered(desk: Desk) -> None:
    """An answer on disk without its entry shows its tag at once, and the next start enters it."""
    session = begin(desk, NAME).session
    session._enter_tags = lambda event: None  # type: ignore[method-assign]  # the power goes here
    name_tags(session, f"breaker 14, 5, {WREN}")
    session.close()
    before = look_at_tags(desk.folder)
    after = complete_due(desk.folder, before)

    assert [tag.lock for tag in before.due] == ["5"]
    assert after.due == ()
    assert after.tags.open[0].until == before.due[0].since + timedelta(hours=8)
    assert after.tags.open[0].id == before.due[0].id


def test_full_ledger_is_not_called_saved(desk: Desk, monkeypatch: pytest.MonkeyPatch) -> None:
    """While a tag is not in the ledger nothing else is taken; saving again enters it."""
    session = begin(desk, NAME).session

    def full(*_: object) -> None:
        raise NotSaved("NOT SAVED, no space left")

    with monkeypatch.context() as patch:
        patch.setattr(Ledger, "append_held", full)
        with pytest.raises(NotSaved):
            name_tags(session, f"breaker 14, 5, {WREN}")
        with pytest.raises(NotSaved):
            session.note("tags", "meanwhile")

    assert session.unsaved is not None

    session.save_again()
    session.note("tags", "now")
    session.close()

    assert session.unsaved is None
    assert [tag.lock for tag in look_at_tags(desk.folder).tags.open] == ["5"]


def test_rehearsal_hangs_nothing(desk: Desk) -> None:
    """A tag named in a rehearsal is written nowhere."""
    session = rehearse(desk, NAME).session
    name_tags(session, f"breaker 14, 5, {WREN}")

    assert not desk.logs.exists()


def test_going_on_with_a_walk_hangs_nothing_again(desk: Desk) -> None:
    """Opening a walk again after its tags were taken off leaves them off."""
    session = begin(desk, NAME).session
    name_tags(session, f"breaker 14, 5, {WREN}")
    session.close()
    take_off(desk.folder, look_at_tags(desk.folder).open[0], by(desk, WREN), "0")
    go_on(desk, session.id).session.close()

    assert complete_due(desk.folder, look_at_tags(desk.folder)).open == ()


def test_hanging_outside_a_walk_fills_the_registers(desk: Desk) -> None:
    """Point, person and how to reach them are picked the next time."""
    hang(desk.folder, Hanging("breaker 14", "5", ODD, "rotator", "8 h", "channel 7"))

    assert [p.name for p in desk.registers.isolation_points()] == ["breaker 14"]
    assert hung(desk, "6", ODD).reach == "channel 7"
    assert look_at_tags(desk.folder).open[0].person == ODD


def test_as_many_personal_locks_as_people(desk: Desk) -> None:
    """Several people hang locks of their own at one point, and each comes off by itself."""
    for number, name in enumerate((WREN, TAMSIN, ORRIN)):
        hung(desk, str(number), name)
    take_off(desk.folder, look_at_tags(desk.folder).open[1], by(desk, TAMSIN), "2")

    assert open_locks(desk) == ["0", "2"]


@pytest.mark.parametrize(
    ("point", "lock", "person"),
    [("breaker 14", "5", TAMSIN), ("Breaker  14", "5", WREN), ("plug 2", "5", WREN)],
    ids=["somebody else's lock", "the same again", "one lock at two points"],
)
def test_lock_that_hangs_is_not_hung_again(desk: Desk, point: str, lock: str, person: str) -> None:
    """A lock is at one place, and each person has a lock of their own."""
    hung(desk)

    with pytest.raises(StandclearError, match="hangs at breaker 14"):
        hung(desk, lock, person, point)


@pytest.mark.parametrize(
    "wanted",
    [
        Hanging("", "5", WREN, "rotator", "8 h"),
        Hanging("breaker 14", "...", WREN, "rotator", "8 h"),
        Hanging("breaker 14", "5", "  ", "rotator", "8 h"),
        Hanging("breaker 14", "5", WREN, "", "8 h"),
        Hanging("breaker 14", "5", WREN, "rotator", "soon"),
        Hanging("breaker 14", "5", WREN, "rotator", "2020-01-01 10:00"),
        Hanging("breaker 14", "5", WREN, "rotator", "8 h", locks="two"),
        Hanging("breaker\x1b[31m 14", "5", WREN, "rotator", "8 h"),
        Hanging("breaker 14", "5", "Wren\u202e Holloway", "rotator", "8 h"),
        Hanging("breaker 14", "5", WREN, "rotator\nfield tag 0", "8 h"),
    ],
)
def test_what_cannot_be_hung_is_a_sentence(desk: Desk, wanted: Hanging) -> None:
    """Missing, nonsense and hostile texts are refused in one line, and nothing is entered."""
    with pytest.raises(StandclearError) as refused:
        hang(desk.folder, wanted)

    assert len(refused.value.sentence().splitlines()) == 1
    assert look_at_tags(desk.folder).open == ()


@pytest.mark.parametrize(
    ("typed", "hours"),
    [("18:00", 8 + 19 / 60), ("09:00", 23 + 19 / 60), ("8 h", 8), ("90 min", 1.5)],
)
def test_expected_end_is_understood(typed: str, hours: float) -> None:
    """A time of day that is past means tomorrow; a duration counts from now."""
    now = HandClock().now().replace(second=0, microsecond=0)

    assert (read_until(typed, now) - now).total_seconds() == pytest.approx(hours * 3600)


def test_only_the_applier_takes_off(desk: Desk) -> None:
    """Anybody else is refused with the applier's name, and the tag hangs."""
    tag = hung(desk)

    with pytest.raises(StandclearError, match=WREN):
        take_off(desk.folder, tag, by(desk, TAMSIN), "0")

    assert open_locks(desk) == ["5"]


def test_tag_comes_off_once(desk: Desk) -> None:
    """A second taking off is refused: it is off already."""
    tag = hung(desk)
    take_off(desk.folder, tag, by(desk, WREN), "0")

    with pytest.raises(StandclearError, match="is off since"):
        take_off(desk.folder, tag, by(desk, WREN), "0")


@pytest.mark.parametrize(
    ("left", "says"),
    [("1", "1 other lock hangs there"), ("0", "logs know of 1"), ("3", "Counted at the point: 3")],
)
def test_count_at_the_point_is_held_against_the_logs(desk: Desk, left: str, says: str) -> None:
    """What was counted is kept, and said aloud where the logs know another number."""
    tag, _ = hung(desk), hung(desk, "6", TAMSIN)
    recorded = take_off(desk.folder, tag, by(desk, WREN), left)

    assert says in after_taking_off(recorded)
    assert recorded.entry.field("locks-left") == left
    assert recorded.entry.field("locks-known") == "1"


@pytest.mark.parametrize("left", ["", "-1", "one", "٣", "1e3", "99999"])
def test_count_that_is_none_is_refused(desk: Desk, left: str) -> None:
    """Without a count of the locks at the point nothing comes off."""
    tag = hung(desk)

    with pytest.raises(StandclearError, match="count"):
        take_off(desk.folder, tag, by(desk, WREN), left)

    assert open_locks(desk) == ["5"]


@pytest.mark.parametrize("missing", FACTS)
@pytest.mark.parametrize("text", ["", "  ", "..."])
def test_removal_by_another_needs_all_three_facts(desk: Desk, missing: str, text: str) -> None:
    """29 CFR 1910.147(e)(3)(i) to (iii): with one fact missing, or saying nothing, it stays."""
    tag = hung(desk)
    signers = [by(desk, TAMSIN), by(desk, ORRIN, "in charge")]

    with pytest.raises(StandclearError, match="all three facts"):
        take_off_for_another(desk.folder, tag, signers, FACTS | {missing: text}, "0")

    assert open_locks(desk) == ["5"]


def test_removal_by_another_needs_the_second_signature(desk: Desk) -> None:
    """The facts and one signature are not enough; nor is a second who is not here."""
    tag = hung(desk)
    for second in ([], [Signing(ORRIN, "in charge")]):
        with pytest.raises(StandclearError, match="two signatures"):
            take_off_for_another(desk.folder, tag, [by(desk, TAMSIN), *second], FACTS, "0")

    assert open_locks(desk) == ["5"]


def test_removal_by_another_in_full(desk: Desk) -> None:
    """With the facts and both signatures it is off, and the entry holds every fact."""
    tag = hung(desk)
    signers = [by(desk, TAMSIN), by(desk, ORRIN, "safety officer")]
    recorded = take_off_for_another(desk.folder, tag, signers, FACTS, "0")

    assert open_locks(desk) == []
    assert {name: recorded.entry.field(name) for name in FACTS} == FACTS


def test_shift_changes_without_a_gap(desk: Desk) -> None:
    """The lock that comes on hangs before the other is off; at no moment is there none."""
    old = hung(desk)
    new = hang(desk.folder, Hanging(old.point, "9", TAMSIN, "rotator", "8 h"), relieves=old.id)

    assert open_locks(desk) == ["5", "9"]

    recorded = take_off(desk.folder, old, by(desk, WREN), "1", relieved_by=new.id)

    assert open_locks(desk) == ["9"]
    assert recorded.entry.field("relieved-by") == new.id


def test_shift_does_not_change_to_a_lock_elsewhere(desk: Desk) -> None:
    """The old lock stays while the new one is not at the point, by the log or by the count."""
    old = hung(desk)
    elsewhere, there = hung(desk, "8", TAMSIN, "plug 2"), hung(desk, "9", ORRIN)

    with pytest.raises(StandclearError, match="does not hang at this point"):
        take_off(desk.folder, old, by(desk, WREN), "1", relieved_by=elsewhere.id)
    with pytest.raises(StandclearError, match="no lock was counted"):
        take_off(desk.folder, old, by(desk, WREN), "0", relieved_by=there.id)

    assert "5" in open_locks(desk)


def test_tag_stays_open_over_days(desk: Desk) -> None:
    """Days later, past its expected end, it hangs as before."""
    hung(desk)
    later(desk, days=40)

    assert open_locks(desk) == ["5"]


def test_tag_is_named_by_id_or_lock(desk: Desk) -> None:
    """The beginning of the id, or the number of the lock, names one tag or is refused."""
    first, _ = hung(desk), hung(desk, "6", TAMSIN)
    here = look_at_tags(desk.folder)

    assert tag_named(here, first.id[:8]) == first
    assert tag_named(here, "5") == first
    with pytest.raises(StandclearError, match="no open tag"):
        tag_named(here, "7")
