"""Rule files listed and checked from the command line."""

from __future__ import annotations

import os
from pathlib import Path

import pytest

from checklist.caution import BANNER, US_RULES
from checklist.commands.exits import FINE, REFUSED, WRONG
from checklist.shipped import shipped_rules
from tests.commands.conftest import Shell

SHIPPED = sorted((shipped_rules() / "checks").glob("*.yaml"))

SMALL = """\
format: 1
name: mast-base
title: Digging a mast base
edition: 2026-11-25
written-for: US rules
about: Walk it before the first spade goes in.
valid: 8 h
signers: {in charge: 1}
parts:
  - part: beforehand
    title: Papers
    valid: 7 d
    steps:
      - id: marked
        ask: Is every buried line marked?
        confirm: {no: stop}
        clear:
          - do: Have the lines marked, then answer again.
            evidence: [Ticket number, Date of marking]
        guards-life: yes
        why: A spade can go through a gas pipe.
        sources: [practice]
examples:
  - name: nothing is marked
    answers: {marked: no}
    verdict: stopped
    stops: [marked]
  - name: all is marked
    answers: {marked: yes}
    verdict: no stop found
"""


@pytest.fixture
def small(tmp_path: Path) -> Path:
    """Write a club's own rule file that is right."""
    path = tmp_path / "mast-base.yaml"
    path.write_text(SMALL, encoding="utf-8")
    return path


def test_shipped_rule_files_are_listed(shell: Shell) -> None:
    """Every shipped rule file is listed by the name that walks it, with both cautions."""
    ran = shell("rules")

    assert ran.code == FINE
    assert [path.stem for path in SHIPPED if f"{path.stem}: " not in ran.out] == []
    assert BANNER in ran.out
    assert US_RULES in ran.out


def test_club_rule_files_are_listed_beside_the_logs(shell: Shell, logs: Path) -> None:
    """A club's file is found beside the log folder; a clash is said and ends with number 1."""
    club = logs.parent / "club-rules" / "checks"
    club.mkdir(parents=True)
    (club / "mast-base.yaml").write_text(SMALL, encoding="utf-8")
    alone = shell("rules", "--json")
    (club / SHIPPED[0].name).write_bytes(SHIPPED[0].read_bytes())
    clash = shell("rules")

    assert alone.code == FINE
    assert ("mast-base", "club") in {(f["name"], f["origin"]) for f in alone.data["rule-files"]}
    assert clash.code == WRONG
    assert "it never replaces a shipped one" in clash.out


@pytest.mark.parametrize("path", SHIPPED, ids=lambda path: path.stem)
def test_shipped_rule_files_are_right(shell: Shell, path: Path) -> None:
    """A shipped file has no error, and each of its examples gives the verdict it states."""
    ran = shell("check-rules", str(path), "--json")
    (file,) = ran.data["files"]

    assert ran.code == FINE
    assert file["right"] is True
    assert len(file["examples"]) > 1


def test_right_file_says_what_was_run(shell: Shell, small: Path) -> None:
    """What is right is said with the number of steps and examples, and nothing more."""
    ran = shell("check-rules", str(small))

    assert ran.code == FINE
    assert f"{small}: no error found in 1 step, and 2 examples gave what was stated." in ran.out


def test_every_error_has_its_place(shell: Shell, small: Path) -> None:
    """All errors of a file come at once, in its order, with file, line and column."""
    text = SMALL.replace("sources: [practice]", "sources: [no-such-source]\n        colour: red")
    small.write_text(text, encoding="utf-8")
    ran = shell("check-rules", str(small), "--json")
    (file,) = ran.data["files"]
    line = 1 + text.splitlines().index("        colour: red")

    assert ran.code == WRONG
    assert any(error.startswith(f"mast-base.yaml, line {line}, ") for error in file["errors"])


def test_wrong_example_is_found(shell: Shell, small: Path) -> None:
    """An example that gives another verdict than it states is an error."""
    text = SMALL.replace("verdict: no stop found", "verdict: stopped\n    stops: [marked]")
    small.write_text(text, encoding="utf-8")
    ran = shell("check-rules", str(small))

    assert ran.code == WRONG
    assert "example “all is marked”: gives “no stop found”, must give “stopped”" in ran.out


def test_one_wrong_file_among_right_ones(shell: Shell, small: Path, tmp_path: Path) -> None:
    """Each file is told by itself, and one wrong one decides the number."""
    ran = shell("check-rules", str(small), str(tmp_path / "none.yaml"), "--json")

    assert ran.code == WRONG
    assert [file["right"] for file in ran.data["files"]] == [True, False]


def test_misnamed_file_is_an_error(shell: Shell, small: Path) -> None:
    """A file that the program would not find under its name is not right."""
    ran = shell("check-rules", str(small.rename(small.with_name("other.yml"))))

    assert ran.code == WRONG
    assert "Call it mast-base.yaml." in ran.out


def test_name_of_a_shipped_file_is_an_error(shell: Shell, tmp_path: Path) -> None:
    """A copy that keeps a shipped name is refused: it never replaces the shipped one."""
    copy = tmp_path / SHIPPED[0].name
    copy.write_bytes(SHIPPED[0].read_bytes())
    ran = shell("check-rules", str(copy))

    assert ran.code == WRONG
    assert "a shipped rule file is named" in ran.out


@pytest.mark.parametrize(
    ("content", "said"),
    [
        (b"", "the file is empty"),
        (b"\x00\x01\x02", "cannot be read"),
        (b"title: \xff\n", "byte 8 is not UTF-8"),
        (b"title: [\n", "line 2, column 1"),
        (b"just words\n", "line 1, column 1: keys "),
        (b"- a\n- b\n", "line 1, column 1"),
        (b"a: &x 1\nb: *x\n", "anchors and aliases"),
        (b"a: !name 1\n", "tags (!) are not read here"),
        (b"a: 1\na: 2\n", "“a” stands twice"),
        (b"a: " + b"[" * 3000 + b"]" * 3000, "line 1"),
        (b"a" * 1_000_001, "the file has 1000001 characters"),
        (b"\0" * 4_000_001, "the file has 4000001 bytes"),
    ],
    ids=["empty", "binary", "latin-1", "torn", "words", "list", "anchor", "tag", "twice",
         "deep", "long", "huge"],
)  # fmt: skip
def test_any_content_is_one_sentence(
    shell: Shell, tmp_path: Path, content: bytes, said: str
) -> None:
    """Whatever a file holds, it is one sentence with its place, and number 1."""
    path = tmp_path / "any.yaml"
    path.write_bytes(content)
    ran = shell("check-rules", str(path))
    (first, *rest) = ran.out.partition("\n\n")[0].splitlines()

    assert ran.code == WRONG
    assert first == f"{path}: 1 error."
    assert len(rest) == 1
    assert said in rest[0]
    assert ran.err == ""


def test_what_is_no_file_is_not_waited_on(shell: Shell, tmp_path: Path) -> None:
    """A folder, a device, a pipe, a dangling link and a missing file are a sentence each."""
    pipe, dangling = tmp_path / "pipe.yaml", tmp_path / "dangling.yaml"
    os.mkfifo(pipe)
    dangling.symlink_to(tmp_path / "nowhere")
    named = [str(tmp_path), "/dev/zero", str(pipe), str(dangling), str(tmp_path / ("x" * 300))]
    ran = shell("check-rules", *named, "--json")

    assert ran.code == WRONG
    assert [len(file["errors"]) for file in ran.data["files"]] == [1] * len(named)


def test_null_in_a_path_is_refused(shell: Shell) -> None:
    """A path with a null character is a sentence."""
    ran = shell("check-rules", "a\0b.yaml")

    assert (ran.code, ran.out) == (REFUSED, "")
    assert "null character" in ran.err


def test_escapes_in_a_file_do_not_reach_the_terminal(shell: Shell, tmp_path: Path) -> None:
    """Escapes in a file's name and in its YAML come out as code points."""
    path = tmp_path / "a\x1b[31mb.yaml"
    path.write_text('"\\e]52;c;AAAA\\a": 1\n', encoding="utf-8")
    ran = shell("check-rules", str(path))

    assert ran.code == WRONG
    assert "<U+001B>" in ran.out
    assert all(line.isprintable() for line in ran.out.splitlines())


def test_no_file_named(shell: Shell) -> None:
    """Without a file the command says what is missing, and ends with number 2."""
    ran = shell("check-rules")

    assert ran.code == REFUSED
    assert "FILE" in ran.err
