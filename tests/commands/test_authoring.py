"""A rule author's whole path from the shell: copy, change, check, see examples run, walk."""

from __future__ import annotations

import json
from pathlib import Path

import jsonschema
import pytest

from checklist.commands.exits import FINE, REFUSED, WRONG
from checklist.sessions.desk import Desk
from checklist.sessions.opening import begin
from checklist.strictyaml import read_yaml
from tests.commands.conftest import Shell
from tests.rulebook.clubs import lay, overlay

ASKED = "ask: How far is the exhaust from the nearest door, window or vent?"
TEN = (
    ("title: Emergency-power set-up", "titel: Emergency-power set-up"),
    ("signers: {in charge: 1, helper: 1}", "signers: {in charge: 1, onlooker: 1}"),
    ("- part: beforehand", "- part: before"),
    (ASKED, f"{ASKED}\n        colour: red"),
    ("stop: {below: generator/carbon-monoxide-distance}", "stop: {below: generator/distance}"),
    ("stop: {below: generator/carbon-monoxide-distance-wind}", "stop: {below: 25}"),
    ("stop: {below: site/cool-down}", "stop: {below: 15 mph}"),
    ("stop: {below: site/supply-voltage-stop-low, above: site/supply-voltage-stop-high}",
     "stop: {below: 132 V, above: 108 V}"),
    ("below: site/supply-frequency-caution-low", "below: site/supply-frequency-caution-lo"),
    ("- name: exactly 20 ft passes\n", "- name: exactly 20 ft passes\n    likes: it\n"),
)  # fmt: skip
"""Ten slips of a hand: of shape, of reference, of unit, of sense."""


@pytest.fixture
def copy(shell: Shell, logs: Path) -> Path:
    """Copy a shipped rule file into the club's folder from the shell."""
    ran = shell("copy-rules", "emergency-power", "our-power")

    assert ran.code == FINE
    return logs.parent / "club-rules" / "checks" / "our-power.yaml"


def changed(path: Path, *pairs: tuple[str, str]) -> list[str]:
    """Make each change, which must be possible just once, and return the lines of the file."""
    text = path.read_text("utf-8")
    for old, new in pairs:
        assert text.count(old) == 1, f"{old!r} stands {text.count(old)} times"
        text = text.replace(old, new)
    path.write_text(text, encoding="utf-8")
    return text.splitlines()


def test_a_copy_is_right_at_once_and_is_listed(shell: Shell, copy: Path) -> None:
    """The copy has no error, its examples run, and it stands beside the shipped file."""
    ran = shell("check-rules", "--json")
    (file,) = ran.data["files"]
    listed = {(f["name"], f["origin"]) for f in shell("rules", "--json").data["rule-files"]}

    assert ran.code == FINE
    assert (file["file"], file["right"]) == (str(copy), True)
    assert len(file["examples"]) > 5
    assert {("our-power", "club"), ("emergency-power", "shipped")} <= listed


def test_ten_mistakes_are_ten_sentences_that_point_to_their_lines(shell: Shell, copy: Path) -> None:
    """Planted in a copy and checked without naming a file: each once, at its own line."""
    lines = changed(copy, *TEN)
    ran = shell("check-rules", "--json")
    (file,) = ran.data["files"]
    places = [int(error.split(", line ")[1].split(",")[0]) for error in file["errors"]]
    planted = [next(i for i, line in enumerate(lines, 1) if part in line) for part in (
        "titel: ", "onlooker", "part: before", "colour: red", "generator/distance}",
        "{below: 25}", "{below: 15 mph}", "132 V, above", "frequency-caution-lo", "likes: it",
    )]  # fmt: skip

    assert ran.code == WRONG
    assert len(file["errors"]) == len(TEN)
    assert places == sorted(planted)
    assert all(error.startswith("our-power.yaml, line ") for error in file["errors"])


def test_a_changed_question_and_limit_are_checked_and_walked(
    shell: Shell, logs: Path, copy: Path
) -> None:
    """The examples show what a new limit does; put right, the file is walked with both."""
    question = "ask: How far is the exhaust from the nearest opening of any house?"
    limit = "stop: {below: generator/carbon-monoxide-distance}"
    changed(copy, (ASKED, question), (limit, "stop: {below: 22 ft}"))
    before = shell("check-rules")
    text = copy.read_text("utf-8")
    copy.write_text(text.replace("openings: 20 ft", "openings: 22 ft"), encoding="utf-8")
    session = begin(Desk.at(logs), "our-power").session
    step = session.walk.rule_file.step("openings")

    assert before.code == WRONG
    assert "example “exactly 20 ft passes”: gives “stopped”" in before.out
    assert step.ask == question.removeprefix("ask: ")
    session.close()


def test_club_tables_are_checked_too_and_named_where_they_decide(
    shell: Shell, logs: Path, copy: Path
) -> None:
    """A stricter club value is said beside the examples that it changes."""
    lay(logs.parent, overlay("generator/carbon-monoxide-distance", "25 ft"))
    ran = shell("check-rules")

    assert ran.code == WRONG
    assert "club-rules/tables/ridge-hollow.yaml: no error found." in ran.out
    assert "held against a club value: generator/carbon-monoxide-distance 25 ft" in ran.out
    assert f"{copy}: 0 errors; " in ran.out


def test_errors_of_club_tables_come_first(shell: Shell, logs: Path, copy: Path) -> None:
    """While a table is wrong each of its errors is told; the rule files wait for it."""
    lay(logs.parent, overlay("site/gust-stop", "25"), overlay("site/nowhere", "25 mph"))
    ran = shell("check-rules", "--json")
    files = {file["file"]: file["errors"] for file in ran.data["files"]}

    assert ran.code == WRONG
    assert len(files["club-rules/tables/ridge-hollow.yaml"]) == 2
    assert files["club-rules/sources.yaml"] == []
    assert str(copy) not in files


def test_shipped_files_are_checked_against_the_shipped_values(shell: Shell, logs: Path) -> None:
    """A club's stricter value makes no shipped example wrong: those state the shipped limit."""
    from checklist.shipped import shipped_rules

    lay(logs.parent, overlay("generator/carbon-monoxide-distance", "25 ft"))
    ran = shell("check-rules", str(shipped_rules() / "checks" / "emergency-power.yaml"))

    assert ran.code == FINE


def test_a_misplaced_file_is_an_error(shell: Shell, logs: Path, copy: Path) -> None:
    """A rule file beside the folder it belongs into is named, since it would not be read."""
    copy.rename(logs.parent / "club-rules" / "our-power.yaml")
    ran = shell("check-rules")

    assert ran.code == WRONG
    assert "it is not read where it lies. Rule files belong into club-rules/checks" in ran.out


def test_without_club_files_there_is_nothing_to_check(shell: Shell) -> None:
    """Nothing checked is not taken for nothing wrong."""
    ran = shell("check-rules")

    assert (ran.code, ran.out) == (REFUSED, "")
    assert "there is nothing to check" in ran.err


@pytest.mark.parametrize(
    ("arguments", "said"),
    [
        (("tower-work", "tower-work"), "already"),
        (("no-such-file", "ours"), "there is no rule file “no-such-file”"),
        (("tower-work", "../ours"), "is no name for a rule file"),
    ],
)
def test_a_copy_that_cannot_be_made_is_one_sentence(
    shell: Shell, arguments: tuple[str, str], said: str
) -> None:
    """Taken names, unknown files and paths are refused, and end with number 2."""
    ran = shell("copy-rules", *arguments)

    assert (ran.code, ran.out) == (REFUSED, "")
    assert said in ran.err


def test_a_copy_is_not_made_twice(shell: Shell, copy: Path) -> None:
    """What an author has written is never replaced."""
    copy.write_text("mine", encoding="utf-8")
    ran = shell("copy-rules", "emergency-power", "our-power")

    assert ran.code == REFUSED
    assert copy.read_text("utf-8") == "mine"


def test_the_schema_alone_is_printed_and_takes_the_copy(shell: Shell, copy: Path) -> None:
    """What goes to a file is a JSON Schema and nothing else, and the copy fits it."""
    ran = shell("schema")
    schema = json.loads(ran.out)
    jsonschema.Draft202012Validator.check_schema(schema)
    data = read_yaml(copy.read_text("utf-8"), copy.name).data

    assert ran.code == FINE
    assert set(schema) >= {"$schema", "properties", "$defs"}
    assert jsonschema.Draft202012Validator(schema).is_valid(data)
