"""A session read back whole: from its own folder, from a copy, and from a damaged one."""

from __future__ import annotations

import json
import shutil
from decimal import Decimal
from pathlib import Path

import pytest

from checklist.errors import StandclearError
from checklist.record.files.disk import RealDisk
from checklist.record.files.folder import LogFolder
from checklist.record.journals.seal import Signing, abandon, sign_late
from checklist.record.journals.states import State
from checklist.rulefile import Effect
from checklist.sessions.desk import Desk
from checklist.sessions.past.recorddata import as_data
from checklist.sessions.past.recordtext import as_text
from checklist.sessions.past.review import read_session, session_named
from checklist.sessions.past.sessionrecord import SessionRecord, Signed
from checklist.walk.answers import DONT_KNOW
from tests.record.making import HandClock
from tests.sessions.pastsessions import TITLE, desk_at, key_of, later, sealed, walked

OVER_TO_OTHER_LINES = "boat \x1b[2J[/x]\u202ekcolb"


@pytest.fixture
def desk(tmp_path: Path) -> Desk:
    return desk_at(tmp_path)


def session_path(desk: Desk, session_id: str) -> Path:
    return desk.folder.session_file(session_id)


def one_sealed(desk: Desk) -> str:
    session = walked(desk)
    sealed(desk, session)
    return session.id


def test_whole_session_is_read_back(desk: Desk) -> None:
    """Who, when, which rules, every answer with its changes, and both signatures are there."""
    session_id = one_sealed(desk)

    record = read_session(desk, session_id)

    assert record.problems == ()
    assert (record.title, record.rule_file, record.edition) == (TITLE, "odd-mast", "2026-11-25")
    assert record.program.startswith("standclear ")
    assert record.people == ("Tamsin Reed", "Orrin Vale")
    assert [(s.person, s.outcome) for s in record.signatures] == [
        ("Tamsin Reed", Signed.HOLDS),
        ("Orrin Vale", Signed.HOLDS),
    ]
    clear = record.steps[0]
    assert [given.text for given in clear.answers] == ["no", "yes"]
    assert clear.answers[0].event.judgement.effect is Effect.STOP
    assert clear.answers[0].event.at < clear.answers[1].event.at
    assert clear.cleared[0].clearing.evidence == {"Who cleared it": "Orrin [@click=x]Vale"}
    assert not clear.stop_stands
    assert [remark.what for remark in record.remarks] == [
        "near miss",
        "stop of work",
        "the work went on",
    ]


def test_values_stand_with_number_citation_and_standing(desk: Desk) -> None:
    """The value that a reading was held against is shown as it was resolved then."""
    text = "\n".join(as_text(read_session(desk, one_sealed(desk))))

    assert "30 ft (9.144 m), with tape 1" in text
    assert ": 20 ft [CDC and CPSC" in text


def test_result_expires_and_says_so(desk: Desk) -> None:
    """Eight hours after its end, the rule file's own life, a result is shown as expired."""
    session_id = one_sealed(desk)
    before = read_session(desk, session_id).result
    later(desk, hours=8, minutes=1)

    after = read_session(desk, session_id).result

    assert before.startswith("no stop found, expires 25 Nov 17:4")
    assert after == "no stop found, expired 25 Nov"


def test_clock_set_back_revives_no_result(desk: Desk) -> None:
    """With the clock a week behind the entry, a result is not shown as if it still held."""
    session_id = one_sealed(desk)
    later(desk, days=-7)

    result = read_session(desk, session_id).result

    assert result == "no stop found, how long it held is not known, take it as expired"


def test_missing_signature_is_loud(desk: Desk) -> None:
    """Without all signatures nothing is called sealed; who has not signed is named twice."""
    session = walked(desk)
    sealed(desk, session, absent="Orrin Vale")

    record = read_session(desk, session.id)
    text = as_text(record)

    assert record.state is State.SIGNATURE_MISSING
    assert [s.person for s in record.missing] == ["Orrin Vale"]
    assert text[1].startswith("NOT SEALED: no stop found")
    assert "NOT SEALED: the signature of Orrin Vale (worker) is MISSING." in text
    assert any(line.startswith("  MISSING Orrin Vale") for line in text)


def test_late_signature_completes_it(desk: Desk) -> None:
    """A signature given later is verified too, and is shown as late."""
    session = walked(desk)
    sealed(desk, session, absent="Orrin Vale")
    sign_late(
        desk.folder, session.id, [Signing("Orrin Vale", "worker", key_of(desk, "Orrin Vale"))]
    )

    record = read_session(desk, session.id)

    assert record.state is State.SEALED
    assert [(s.outcome, s.is_late) for s in record.signatures] == [
        (Signed.HOLDS, False),
        (Signed.HOLDS, True),
    ]
    assert not record.missing


def test_copied_folder_is_read_without_being_changed(desk: Desk, tmp_path: Path) -> None:
    """A folder collected from another laptop is read for looking only."""
    session_id = one_sealed(desk)
    copy = tmp_path / "collected"
    shutil.copytree(desk.logs, copy)
    (copy / "catalogue.json").unlink(missing_ok=True)
    before = sorted(path.relative_to(copy) for path in copy.rglob("*"))

    record = read_session(LogFolder.look(copy, RealDisk(), HandClock()), session_id)

    assert as_data(record)["steps"] == as_data(read_session(desk, session_id))["steps"]
    assert before == sorted(path.relative_to(copy) for path in copy.rglob("*"))


def test_changed_answer_is_seen_and_the_rest_shown(desk: Desk) -> None:
    """One changed letter in a sealed file is said first, and every line that reads is shown."""
    session_id = one_sealed(desk)
    path = session_path(desk, session_id)
    path.write_bytes(path.read_bytes().replace(b"30 ft", b"90 ft", 1))

    record = read_session(desk, session_id)
    text = as_text(record)

    assert any("changed" in problem for problem in record.problems)
    assert "DAMAGED OR NOT READ" in text
    assert any("90 ft" in line for line in text)
    assert len(record.steps) == 4


def test_torn_file_shows_what_is_whole(desk: Desk) -> None:
    """The last answer cut in half leaves all earlier ones readable."""
    session = walked(desk)
    session.close()
    path = session_path(desk, session.id)
    path.write_bytes(path.read_bytes()[:-20])

    record = read_session(desk, session.id)

    assert record.state is State.RUNNING
    assert "no whole line" in record.problems[0]
    assert record.steps[0].ask == "Is the ground clear?"


@pytest.mark.parametrize("content", [b"", b"\x00\xff" * 40, b"{}\n{}\n", None])
def test_unreadable_file_is_one_sentence(desk: Desk, content: bytes | None) -> None:
    """An empty, garbled or missing session file leaves what the ledger says, without a crash."""
    session_id = one_sealed(desk)
    path = session_path(desk, session_id)
    path.unlink()
    if content is not None:
        path.write_bytes(content)

    record = read_session(desk, session_id)

    assert record.problems
    assert (record.verdict, record.rule_file) == ("no stop found", "odd-mast")
    assert record.steps == ()
    assert as_text(record)[0] == "odd-mast"
    json.dumps(as_data(record))


def test_missing_rules_fall_back_to_ids(desk: Desk) -> None:
    """Where the rules as kept are gone, answers and values are shown with the steps' ids."""
    session_id = one_sealed(desk)
    record = read_session(desk, session_id)
    (desk.folder.rules / record.rule_sha256).unlink()

    left = read_session(desk, session_id)

    assert [step.ask for step in left.steps] == ["clear", "tags", "distance", "words"]
    assert any("rules as they were cannot be read" in problem for problem in left.problems)
    assert left.result == "no stop found, how long it held is not known, take it as expired"
    assert any(": 20 ft [CDC and CPSC" in line for line in as_text(left))


def test_forged_signature_does_not_hold(desk: Desk) -> None:
    """A signed entry whose verdict was changed is shown with signatures that fail."""
    session_id = one_sealed(desk)
    note = next(p for p in desk.folder.ledger.iterdir() if b"kind sealed" in p.read_bytes())
    data = note.read_bytes().replace(b"verdict no stop found\n", b"verdict stopped\n")
    note.write_bytes(data)

    record = read_session(desk, session_id)

    assert [s.outcome for s in record.signatures] == [Signed.FAILS, Signed.FAILS]
    assert any("does NOT hold" in problem for problem in record.problems)


def test_damaged_ledger_entry_is_said(desk: Desk) -> None:
    """A broken entry does not keep the session from being read; the state is called in doubt."""
    session_id = one_sealed(desk)
    later_session = one_sealed(desk)
    note = max(desk.folder.ledger.glob("*.note"))
    note.write_bytes(b"broken")

    record = read_session(desk, later_session)

    assert record.state is State.RUNNING
    assert "The ledger is damaged" in record.problems[0]
    assert record.steps
    assert read_session(desk, session_id).verdict == "no stop found"


def test_text_acts_neither_as_markup_nor_as_escape(desk: Desk) -> None:
    """Harmful characters in an old file reach the terminal written out as code points."""
    session = walked(desk)
    session.close()
    path = session_path(desk, session.id)
    escaped = json.dumps(OVER_TO_OTHER_LINES, ensure_ascii=False)[1:-1]
    path.write_bytes(path.read_bytes().replace(b"thunder heard", escaped.encode()))

    text = "\n".join(as_text(read_session(desk, session.id)))

    assert "\x1b" not in text
    assert "\u202e" not in text
    assert "boat <U+001B>[2J[/x]<U+202E>kcolb" in text


def test_abandoned_walk_keeps_its_reason(desk: Desk) -> None:
    """A walk that was given up is a record with its reason and its answers."""
    session = walked(desk)
    session.close()
    abandon(desk.folder, session.id, "the weather turned")

    record = read_session(desk, session.id)

    assert (record.state, record.result) == (State.ABANDONED, "abandoned")
    assert record.abandoned_because == "the weather turned"
    assert record.steps


def test_clock_that_was_set_is_a_remark(desk: Desk) -> None:
    """A wall clock set back during a walk is shown with its size."""
    session = walked(desk)
    clock = desk.clock
    assert isinstance(clock, HandClock)
    clock.set_wall(-3600)
    session.answer("words", DONT_KNOW)
    session.close()

    record = read_session(desk, session.id)

    clock_remarks = [r.text for r in record.remarks if r.what == "clock"]
    assert len(clock_remarks) == 1
    assert clock_remarks[0].startswith("set back by 60 min 0 s")


def test_standing_stop_is_said_to_stand(desk: Desk) -> None:
    """A session that ends on a stop shows it as standing."""
    session = walked(desk)
    session.answer("words", DONT_KNOW)
    sealed(desk, session)

    record = read_session(desk, session.id)

    assert (record.verdict, record.result) == ("stopped", "stopped")
    assert "  STOP STANDS: What else is there?" in as_text(record)


def test_data_holds_decimal_texts_only(desk: Desk) -> None:
    """The JSON form has no floating-point number; readings are decimal texts with their unit."""
    data = as_data(read_session(desk, one_sealed(desk)))
    distance = next(step for step in data["steps"] if step["step"] == "distance")
    number, unit = distance["answers"][0]["answer"]["understood"].split()

    assert (Decimal(number), unit) == (Decimal(30), "ft")
    assert not _floats(data)
    assert json.loads(json.dumps(data)) == data


def test_session_is_called_by_the_beginning_of_its_name(desk: Desk) -> None:
    """Six characters are enough where they fit one session, and anything else is one sentence."""
    session_id = one_sealed(desk)

    assert session_named(desk.folder, session_id[:6].upper()) == session_id
    for wrong in (session_id[:5], "zzzzzz", "../../etc/passwd"):
        with pytest.raises(StandclearError):
            session_named(desk.folder, wrong)


def test_unknown_session_is_one_sentence(desk: Desk) -> None:
    """A name that is no session's, and one that could be a path, are refused."""
    for wrong in ("0" * 32, "../" + "0" * 29, ""):
        with pytest.raises(StandclearError):
            read_session(desk, wrong)


def _floats(value: object) -> list[float]:
    if isinstance(value, dict):
        return [f for item in value.values() for f in _floats(item)]
    if isinstance(value, list):
        return [f for item in value for f in _floats(item)]
    return [value] if isinstance(value, float) else []


def test_record_is_frozen(desk: Desk) -> None:
    """What was read cannot be changed afterwards."""
    record: SessionRecord = read_session(desk, one_sealed(desk))

    with pytest.raises(AttributeError):
        record.verdict = "no stop found"  # type: ignore[misc]  # that is what is tried here
