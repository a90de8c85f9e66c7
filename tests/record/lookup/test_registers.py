"""People, instruments, kit and isolation points, filled as one goes and picked from."""

from __future__ import annotations

import json
import subprocess
import sys
from datetime import UTC, date, datetime
from typing import TYPE_CHECKING

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from checklist.plaintext import TextRefused, accept
from checklist.record.files.clock import RealClock
from checklist.record.files.disk import RealDisk
from checklist.record.files.folder import LogFolder
from checklist.record.lookup.matching import name_key
from checklist.record.lookup.registers import Instrument, IsolationPoint, Kit, Person, Registers

if TYPE_CHECKING:
    from collections.abc import Callable
    from pathlib import Path


def test_a_new_folder_knows_nothing_and_looking_writes_nothing(tmp_path: Path) -> None:
    """Before the first entry every register is empty and there is no file."""
    folder = _folder(tmp_path)
    registers = Registers.open(folder)

    assert registers.people() == ()
    assert registers.instruments() == ()
    assert registers.kit() == ()
    assert registers.isolation_points() == ()
    assert registers.person("Ada Example") is None
    assert not folder.registers.exists()


def test_each_register_gives_back_what_it_was_given(tmp_path: Path) -> None:
    """Every field of every kind of entry reads back as it was, by another program too."""
    folder = _folder(tmp_path)
    person = Person("Ada Example", "channel 3", date(2026, 2, 28), "in charge")
    instrument = Instrument("DMM 2", "multimeter")
    kit = Kit("H-114", "harness", date(2028, 12, 31))
    point = IsolationPoint("B14", "shack panel, left door", "amplifier, both legs")
    first = Registers.open(folder)

    assert first.remember_person(person) == person
    assert first.remember_instrument(instrument) == instrument
    assert first.remember_kit(kit) == kit
    assert first.remember_isolation_point(point) == point
    again = Registers.open(folder)
    assert again.people() == (person,)
    assert again.instruments() == (instrument,)
    assert again.kit() == (kit,)
    assert again.isolation_points() == (point,)
    assert again.instrument("dmm  2") == instrument


def test_the_most_recently_used_stands_first(tmp_path: Path) -> None:
    """Using an entry again moves it to the head, and the others keep their order."""
    registers = Registers.open(_folder(tmp_path))
    for name in ("B1", "B2", "B3", "B1"):
        registers.remember_isolation_point(IsolationPoint(name))

    assert [point.name for point in registers.isolation_points()] == ["B1", "B3", "B2"]


def test_another_spelling_is_the_same_entry_under_its_first_name(tmp_path: Path) -> None:
    """Case and spacing make no second person, and the name stays as it was first written."""
    registers = Registers.open(_folder(tmp_path))
    registers.remember_person(Person("Zoë  Example", "channel 3"))
    kept = registers.remember_person(Person("ZOE\u0308 example ", role="helper"))

    assert kept == Person("Zoë  Example", "channel 3", None, "helper")
    assert registers.people() == (kept,)
    assert registers.person("zoë example") == kept


def test_two_people_never_become_one(tmp_path: Path) -> None:
    """A space elsewhere in the name is another person."""
    registers = Registers.open(_folder(tmp_path))
    registers.remember_person(Person("Ann Alee"))
    registers.remember_person(Person("Anna Lee"))

    assert [person.name for person in registers.people()] == ["Anna Lee", "Ann Alee"]


def test_what_is_left_empty_keeps_what_was_known(tmp_path: Path) -> None:
    """A new value replaces the old one; an empty one does not erase it."""
    registers = Registers.open(_folder(tmp_path))
    registers.remember_kit(Kit("H-114", "harness", date(2027, 1, 1)))

    assert registers.remember_kit(Kit("H-114")) == Kit("H-114", "harness", date(2027, 1, 1))
    assert registers.remember_kit(Kit("H-114", expires=date(2026, 1, 1))) == Kit(
        "H-114", "harness", date(2026, 1, 1)
    )


def test_forgetting_takes_off_one_entry(tmp_path: Path) -> None:
    """A forgotten entry is gone, the others stay, and a second time says there was none."""
    registers = Registers.open(_folder(tmp_path))
    registers.remember_instrument(Instrument("DMM 1"))
    registers.remember_instrument(Instrument("DMM 2"))

    assert registers.forget_instrument("dmm 1")
    assert not registers.forget_instrument("dmm 1")
    assert registers.instruments() == (Instrument("DMM 2"),)
    registers.remember_person(Person("Ada Example"))
    registers.remember_kit(Kit("H-114"))
    registers.remember_isolation_point(IsolationPoint("B14"))
    assert registers.forget_person("Ada Example")
    assert registers.forget_kit("H-114")
    assert registers.forget_isolation_point("B14")
    assert (registers.people(), registers.kit(), registers.isolation_points()) == ((), (), ())


@pytest.mark.parametrize(
    ("remember", "sentence"),
    [
        (lambda r: r.remember_person(Person("  ")), "name: a person needs one"),
        (lambda r: r.remember_kit(Kit("\u200d")), "name or serial number: a piece of kit"),
        (lambda r: r.remember_person(Person("A\x1b[2J")), "name: character 2 is U+001B"),
        (lambda r: r.remember_person(Person("A", "5\n5")), "how to reach them: character 2"),
        (lambda r: r.remember_instrument(Instrument("\ud800")), "name or number: character 1"),
        (lambda r: r.remember_isolation_point(IsolationPoint("B1", "x" * 201)), "where it is: the"),
        (lambda r: r.remember_isolation_point(IsolationPoint("B1", "", "\u202e")), "what it feeds"),
    ],
)
def test_text_that_may_not_enter_is_refused_by_field(
    tmp_path: Path, remember: Callable[[Registers], object], sentence: str
) -> None:
    """Each refusal names the field, and nothing is written."""
    folder = _folder(tmp_path)
    with pytest.raises(TextRefused) as refusal:
        remember(Registers.open(folder))

    assert refusal.value.sentence().startswith(sentence)
    assert not folder.registers.exists()


def test_a_day_given_as_a_moment_is_kept_as_the_day(tmp_path: Path) -> None:
    """A datetime, which Python takes for a date, still reads back as a day."""
    registers = Registers.open(_folder(tmp_path))
    registers.remember_person(Person("Ada", trained=datetime(2026, 3, 4, 5, 6, tzinfo=UTC)))

    assert registers.people() == (Person("Ada", trained=date(2026, 3, 4)),)


@pytest.mark.parametrize(
    "row",
    [
        {"name": "Bo", "reach": "", "trained": "", "role": ""},
        {"name": "Bo", "reach": "", "trained": "soon", "role": "", "used": 9},
        {"name": "Bo", "reach": 5, "trained": "", "role": "", "used": 9},
        {"name": "Bo", "reach": "", "trained": "", "role": "", "used": True},
        {"name": "Bo", "reach": "", "trained": "", "role": "", "used": -1},
        {"name": "Bo", "reach": "\ud800", "trained": "", "role": "", "used": 9},
        {"name": "B\x1bo", "reach": "", "trained": "", "role": "", "used": 9},
        {"name": "", "reach": "", "trained": "", "role": "", "used": 9},
        {"name": "Bo", "reach": "", "trained": "", "role": "", "used": 9, "more": ""},
    ],
)
def test_an_entry_that_cannot_be_read_is_told_and_left_standing(
    tmp_path: Path, row: dict[str, object]
) -> None:
    """One spoilt entry costs no other, is named, and stays in the file through changes."""
    folder = _folder(tmp_path)
    Registers.open(folder).remember_person(Person("Ada"))
    tables = json.loads(folder.registers.read_bytes())
    tables["people"]["7"] = row
    folder.registers.write_text(json.dumps(tables))
    registers = Registers.open(folder)

    assert registers.people() == (Person("Ada"),)
    assert registers.people() == (Person("Ada"),)
    assert registers.notes == (
        "Entry 7 of the register people cannot be read; it was left as it is",
    )
    if row["reach"] != "\ud800":  # such a text cannot be written back: NOT SAVED, nothing lost
        registers.remember_person(Person("Cy"))
        assert json.loads(folder.registers.read_bytes())["people"]["7"] == row
        assert registers.people() == (Person("Cy"), Person("Ada"))


def test_a_damaged_file_is_told_and_kept(tmp_path: Path) -> None:
    """Registers over a damaged file are empty, say so, and the bytes go to quarantine."""
    folder = _folder(tmp_path)
    folder.registers.write_bytes(b"{")
    folder.registers.chmod(0o600)
    registers = Registers.open(folder)

    assert registers.people() == ()
    registers.remember_person(Person("Ada"))
    assert registers.people() == (Person("Ada"),)
    assert [file.read_bytes() for file in folder.quarantine.iterdir()] == [b"{"]
    assert "quarantine/registers-" in registers.notes[-1]


def test_two_open_programs_see_and_keep_each_other_s_entries(tmp_path: Path) -> None:
    """Both were opened before either wrote; neither overwrites the other."""
    one, other = Registers.open(_folder(tmp_path)), Registers.open(_folder(tmp_path))
    one.remember_person(Person("Ada"))
    other.remember_person(Person("Bo"))
    one.remember_person(Person("ada", role="worker"))

    assert one.people() == other.people() == (Person("Ada", role="worker"), Person("Bo"))


def test_processes_writing_at_once_lose_nothing(tmp_path: Path) -> None:
    """Three processes that remember the same and different people leave all, each once."""
    folder = _folder(tmp_path)
    program = f"""
import sys
from pathlib import Path
from checklist.record.lookup.registers import Person, Registers
from tests.record.lookup.test_registers import _folder
registers = Registers.open(_folder(Path({str(tmp_path)!r})))
for number in range(10):
    registers.remember_person(Person(f"Person {{sys.argv[1]}}-{{number}}"))
    registers.remember_person(Person("Everyone", reach=sys.argv[1]))
"""
    children = [subprocess.Popen([sys.executable, "-c", program, str(n)]) for n in range(3)]

    assert [child.wait(timeout=60) for child in children] == [0] * 3
    names = sorted(person.name for person in Registers.open(folder).people())
    assert names == sorted([f"Person {n}-{i}" for n in range(3) for i in range(10)] + ["Everyone"])


def _acceptable(text: str) -> bool:
    try:
        return accept(text, field="any", longest=200) == text
    except TextRefused:
        return False


TEXT = st.text(st.characters(exclude_categories=["Cc", "Cs", "Co", "Cn"]), max_size=40).filter(
    _acceptable
)
NAME = TEXT.filter(lambda text: bool(name_key(text)))
DAY = st.none() | st.dates()


@given(st.builds(Person, NAME, TEXT, DAY, TEXT), st.builds(Kit, NAME, TEXT, DAY))
@settings(
    max_examples=60, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture]
)
def test_any_accepted_text_comes_back_as_it_is(tmp_path: Path, person: Person, kit: Kit) -> None:
    """Whatever text may enter, and whatever day, is read back by a program opened later."""
    folder = _folder(tmp_path)
    folder.registers.unlink(missing_ok=True)
    registers = Registers.open(folder)
    registers.remember_person(person)
    registers.remember_kit(kit)
    again = Registers.open(folder)

    assert again.people() == (person,)
    assert again.kit() == (kit,)
    assert again.person(f"  {person.name}  ") == person


def _folder(path: Path) -> LogFolder:
    return LogFolder.open(path, RealDisk(), RealClock())
