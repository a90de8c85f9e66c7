"""The numbers that the checks rest on, from the command line."""

from __future__ import annotations

from pathlib import Path

from checklist.caution import BANNER
from checklist.commands.exits import FINE, REFUSED, WRONG
from checklist.rulefile.numberlines import CHECK_THEM
from tests.commands.conftest import Shell
from tests.rulebook.clubs import NOTE, lay, overlay


def test_every_number_in_use_is_listed(shell: Shell) -> None:
    """Value, citation and uses of each stand there, and how many there are of which standing."""
    ran = shell("numbers")
    data = shell("numbers", "--json").data["numbers"]
    unverified = sum(one["unverified"] for one in data)

    assert ran.code == FINE
    assert "generator/carbon-monoxide-distance: 20 ft" in ran.out
    assert "emergency-power, step openings, stops below: " in ran.out
    assert [one["address"] for one in data if f"\n{one['address']}: " not in f"\n{ran.out}"] == []
    assert f"{len(data)} numbers, {unverified} unverified, " in ran.out
    assert "more that nothing here uses: find them by “unused”" in ran.out
    assert CHECK_THEM in ran.out
    assert BANNER in ran.out
    assert all(one["citation"] and one["standing"] for one in data)
    assert all(one["steps"] or one["calculations"] for one in data)


def test_words_narrow_the_list(shell: Shell) -> None:
    """Each further word leaves fewer; one list alone is printed with its rows."""
    ran = shell("numbers", "flexible-cord", "ampacity")
    data = shell("numbers", "flexible-cord", "--json").data["numbers"]

    assert ran.code == FINE
    assert "  12: three 20 A, two 25 A" in ran.out
    assert "1 number." in ran.out
    assert data[0]["rows"]["12"] == "three 20 A, two 25 A"
    assert shell("numbers", "no-such-word", "--json").data["numbers"] == []
    assert "0 numbers." in shell("numbers", "no-such-word").out


def test_unverified_and_unused_find_what_they_say(shell: Shell) -> None:
    """The two words that an officer needs first find just these numbers."""
    unsure = shell("numbers", "unverified", "--json").data["numbers"]
    unused = shell("numbers", "unused", "--json").data["numbers"]

    assert unsure
    assert all(one["standing"] == "from memory" for one in unsure)
    assert not any(one["steps"] or one["calculations"] for one in unused)


def test_club_values_are_shown_with_what_they_replaced(shell: Shell, logs: Path) -> None:
    """The list, its data and a calculation all say what the club put in which place."""
    lay(logs.parent, overlay("site/gust-stop", "25 mph"), overlay("generator/high-load", "70 %"))
    ran = shell("numbers", "club")
    data = shell("numbers", "gust-stop", "--json").data["numbers"][0]["club-values"][0]
    computed = shell(
        "calculate", "cord-current", "awg=12", "current-carrying=2", "plug=20 A", "continuous=no",
        "current=12 A",
    )  # fmt: skip

    assert f"CAUTION: club value 25 mph instead of 20 mph (laxer), {NOTE}" in ran.out
    assert "2 by the club" in ran.out
    assert (data["value"], data["instead-of"]["value"]) == ("25 mph", "20 mph")
    assert f"club value 70 % instead of 80 % (stricter), {NOTE}" in computed.out


def test_a_wrong_overlay_is_said_and_nothing_is_listed(shell: Shell, logs: Path) -> None:
    """Every command that would rest on the values refuses, with file and line."""
    lay(logs.parent, overlay("site/gust-stop", "25"))
    for arguments in (("numbers",), ("calculate", "ladder-set-back"), ("walk", "tower-work")):
        ran = shell(*arguments)

        assert (ran.code, ran.out) == (REFUSED, "")
        assert "club-rules/tables/ridge-hollow.yaml, line 5, column " in ran.err


def test_a_rule_file_that_cannot_be_read_is_said(shell: Shell, logs: Path) -> None:
    """Its uses are missing, so the number is 1 and the sentence names it."""
    checks = logs.parent / "club-rules" / "checks"
    checks.mkdir(parents=True)
    (checks / "odd.yaml").write_text("title: [", encoding="utf-8")
    ran = shell("numbers", "gust-stop")

    assert ran.code == WRONG
    assert "Not read, so that its uses are missing above" in ran.out
    assert "odd.yaml, line 2, column 1: this is not YAML" in ran.out


def test_escapes_in_a_club_text_do_not_reach_the_terminal(shell: Shell, logs: Path) -> None:
    """A club's text with an escape in it is refused, and said without acting on the terminal."""
    entry = overlay("site/gust-stop", "15 mph").replace("Wren Holloway", '"W\\e[31m\\u202eH"')
    lay(logs.parent, entry)
    ran = shell("numbers", "gust-stop")

    assert (ran.code, ran.out) == (REFUSED, "")
    assert "U+001B" in ran.err
    assert all(line.isprintable() for line in ran.err.splitlines())
