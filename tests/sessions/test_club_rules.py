"""A club's folder of rules: kept with every session, said at its beginning, and in its record."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from checklist.errors import StandclearError
from checklist.record.verifying.report import Outcome
from checklist.record.verifying.verify import verify
from checklist.rulebook import RulebookRefused
from checklist.rulefile import Effect, Reading
from checklist.sessions.copying import copy_rule_file
from checklist.sessions.desk import Desk
from checklist.sessions.numbersinuse import numbers_in_use
from checklist.sessions.opening import begin, go_on, rehearse
from checklist.sessions.past.recorddata import as_data
from checklist.sessions.past.recordtext import as_text
from checklist.sessions.past.review import read_session
from checklist.sessions.session import Session
from tests.rulebook.clubs import NOTE, lay, overlay
from tests.sessions.pastsessions import NAME, RULES, desk_at, sealed, walked

DISTANCE = "generator/carbon-monoxide-distance"


def limit_of(session: Session) -> str:
    """Return what the step “distance” stops below."""
    kind = session.walk.rule_file.step("distance").kind
    assert isinstance(kind, Reading)
    assert kind.stop.below is not None
    return kind.stop.below.quantity.text()


def test_a_walk_says_at_its_beginning_which_club_values_it_is_held_against(tmp_path: Path) -> None:
    """Begun, rehearsed and opened again, it names the club's value and the shipped one."""
    desk = desk_at(tmp_path)
    lay(tmp_path, overlay(DISTANCE, "25 ft"), overlay("fuel/room", "10 gal"))
    said = f"This walk is held against club values: {DISTANCE} 25 ft instead of 20 ft (stricter)."
    begun = begin(desk, NAME)
    begun.session.close()

    assert begun.says == said
    assert rehearse(desk, NAME).says == said
    assert go_on(desk, begun.session.id).says == said
    assert limit_of(begun.session) == "25 ft"


def test_without_club_values_nothing_is_said(tmp_path: Path) -> None:
    """A walk on shipped values alone begins without a word about a club."""
    assert begin(desk_at(tmp_path), NAME).says == ""


@pytest.mark.parametrize("change", ["other value", "gone", "broken"])
def test_a_walk_goes_on_with_the_values_it_was_begun_with(tmp_path: Path, change: str) -> None:
    """The overlay's bytes are kept by hash: whatever becomes of the file, the walk has its own."""
    desk = desk_at(tmp_path)
    path = lay(tmp_path, overlay(DISTANCE, "25 ft"))
    begun = begin(desk, NAME)
    begun.session.close()
    kept = path.read_bytes()
    if change == "gone":
        path.unlink()
    else:
        path.write_text("[" if change == "broken" else path.read_text().replace("25 ft", "15 ft"))
    again = go_on(Desk(desk.logs, desk.disk, desk.clock), begun.session.id)

    assert limit_of(again.session) == "25 ft"
    assert "rule" in again.says
    assert "25 ft instead of 20 ft" in again.says
    assert kept in {p.read_bytes() for p in (desk.logs / "rules").rglob("*") if p.is_file()}


@pytest.mark.parametrize(
    ("value", "word", "effect"),
    [("25 ft", "stricter", Effect.CLEAR), ("15 ft", "laxer", Effect.CAUTION)],
)
def test_the_record_and_its_review_show_both_values(
    tmp_path: Path, value: str, word: str, effect: Effect
) -> None:
    """30 ft passes both: text and data of the session name the club's value and the shipped."""
    desk = desk_at(tmp_path)
    lay(tmp_path, overlay(DISTANCE, value))
    session = walked(desk)
    sealed(desk, session)
    record = read_session(desk, session.id)
    lines = as_text(record)
    text = "\n".join(lines)
    said = f"club value {value} instead of 20 ft ({word}), {NOTE}"
    step = next(s for s in as_data(record)["steps"] if s["step"] == "distance")
    used = step["answers"][0]["judgement"]["used"][0]

    assert record.problems == ()
    assert lines[lines.index("CLUB VALUES IN THE PLACE OF SHIPPED ONES") + 1].endswith(said)
    assert text.count(said) >= 2
    assert "shipped: [CDC" in text
    assert (used["value"], used["instead-of"]["value"]) == (value, "20 ft")
    assert json.dumps(used)
    assert next(s for s in record.steps if s.step == "distance").effect is effect
    assert (word == "laxer") is any(f"held against a {said}" in line for line in lines)
    assert verify(desk.folder).overall is not Outcome.FAILS


def test_a_session_without_club_values_has_no_such_heading(tmp_path: Path) -> None:
    """Nothing about a club stands in a record that none of its values took part in."""
    desk = desk_at(tmp_path)
    lay(tmp_path, overlay("fuel/room", "10 gal"))
    session = walked(desk)
    sealed(desk, session)

    assert "club value" not in "\n".join(as_text(read_session(desk, session.id)))


def test_a_wrong_overlay_stops_the_walk_before_it_begins(tmp_path: Path) -> None:
    """The shipped value never steps in unsaid for a club's that cannot be read."""
    desk = desk_at(tmp_path)
    lay(tmp_path, overlay(DISTANCE, "25"))
    for doing in (begin, rehearse):
        with pytest.raises(RulebookRefused, match=r"ridge-hollow\.yaml, line 5"):
            doing(desk, NAME)

    assert not (desk.logs / "sessions").exists() or not [*(desk.logs / "sessions").iterdir()]


def test_a_folder_of_tables_that_is_none_is_said(tmp_path: Path) -> None:
    """Where the club's tables cannot be listed, that is an error and not an empty folder."""
    desk = desk_at(tmp_path)
    (tmp_path / "club-rules" / "tables").write_text("not a folder")
    with pytest.raises(StandclearError, match="cannot be listed"):
        begin(desk, NAME)


@pytest.mark.parametrize("where", ["odd-pole.yaml", "tables/ours.yml", "checks/odd-pole.yml"])
def test_a_file_that_is_not_read_is_said(tmp_path: Path, where: str) -> None:
    """A rule file or table in the wrong place, or with another ending, is named on home."""
    desk = desk_at(tmp_path)
    path = tmp_path / "club-rules" / where
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_text(RULES)
    listed, problems = desk.library.listed()

    assert NAME in {one.name for one in listed}
    assert [p for p in problems if p.startswith(f"{path.name}: it is not read where it lies")]


def test_the_numbers_in_use_are_those_of_club_and_shipped_files(tmp_path: Path) -> None:
    """A club's step stands among the uses; a club file that cannot be read is a problem."""
    desk = desk_at(tmp_path)
    lay(tmp_path, overlay(DISTANCE, "25 ft"))
    whole = numbers_in_use(desk.library)
    (tmp_path / "club-rules" / "checks" / "odd-pole.yaml").write_text("title: [")
    less = numbers_in_use(desk.library)
    (number,) = whole.find(DISTANCE + " club")

    assert ("odd-mast", "distance") in {(u.rule_file, u.step) for u in number.uses}
    assert whole.problems == ()
    assert len(less.problems) == 1
    assert [n.address for n in less.numbers] == [n.address for n in whole.numbers]
    assert all(n.is_used or n.replaced for n in whole.find(""))


@pytest.mark.parametrize(
    ("new_name", "said"),
    [
        ("../escape", "is no name for a rule file"),
        ("a/b", "is no name for a rule file"),
        ("Our-Mast", "is no name for a rule file"),
        ("", "is no name for a rule file"),
        ("x" * 61, "is no name for a rule file"),
        ("our-mast\n", "is no name for a rule file"),
        ("aux", "is the name of a device on Windows"),
        ("com1", "is the name of a device on Windows"),
        ("tower-work", "already"),
        (NAME, "already"),
    ],
)
def test_a_copy_needs_a_name_of_its_own(tmp_path: Path, new_name: str, said: str) -> None:
    """A name that is none, or is taken, is refused in a sentence, and nothing is written."""
    desk = desk_at(tmp_path)
    before = sorted(tmp_path.rglob("*"))
    with pytest.raises(StandclearError, match=said):
        copy_rule_file(desk.library, desk.disk, NAME, new_name)

    assert sorted(tmp_path.rglob("*")) == before


def test_a_copy_differs_in_its_name_alone(tmp_path: Path) -> None:
    """Every line but that of the name, comments too, is the original's; the copy is read."""
    desk = desk_at(tmp_path)
    path = copy_rule_file(desk.library, desk.disk, "tower-work", "our-tower")
    old = desk.library.path("tower-work").read_text("utf-8").splitlines()
    new = path.read_text("utf-8").splitlines()

    assert path == tmp_path / "club-rules" / "checks" / "our-tower.yaml"
    assert [(a, b) for a, b in zip(old, new, strict=True) if a != b] == [
        ("name: tower-work", "name: our-tower")
    ]
    assert desk.library.load("our-tower").rule_file.name == "our-tower"


def test_a_copy_that_cannot_be_written_is_said(tmp_path: Path) -> None:
    """Where the club's folder cannot be made, the sentence says NOT SAVED."""
    (tmp_path / "club-rules").write_text("in the way")
    desk = Desk.at(tmp_path / "logs")
    with pytest.raises(StandclearError, match="NOT SAVED"):
        copy_rule_file(desk.library, desk.disk, "tower-work", "our-tower")
