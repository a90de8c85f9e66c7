"""Calculations from the command line, held against published numbers."""

from __future__ import annotations

import json
import shlex
from collections.abc import Iterator
from decimal import Decimal
from pathlib import Path

import pytest

from checklist.calculations import CALCULATIONS, Input
from checklist.caution import BANNER
from checklist.commands.describing import example_command
from checklist.commands.exits import FINE, NOT_SHOWN, REFUSED, WRONG
from checklist.quantities import DIMENSIONS
from checklist.sessions.library import Library
from tests.commands.conftest import Shell

CORD = ("cord-current", "awg=12", "current-carrying=2", "plug=15 A", "continuous=no")


def test_ladder_29_cfr_1926_1053_b_5_i(shell: Shell) -> None:
    """A foot at a quarter of the working length is within: OSHA 29 CFR 1926.1053(b)(5)(i)."""
    ran = shell("calculate", "ladder-set-back", "working-length=20 ft", "set-back=5 ft")

    assert ran.code == FINE
    assert "WITHIN the limits that were compared" in ran.out


def test_ladder_far_out_29_cfr_1926_1053_b_5_i(shell: Shell) -> None:
    """A foot at half of the working length is over: OSHA 29 CFR 1926.1053(b)(5)(i)."""
    ran = shell("calculate", "ladder-set-back", "working-length=20 ft", "set-back=10 ft")

    assert ran.code == WRONG
    assert "OVER: stop" in ran.out


def test_voltage_drop_nec_chapter_9_table_8(shell: Shell) -> None:
    """12 AWG stranded, uncoated: 1.98 ohm/kft at 75 degC (NEC chapter 9, table 8, 2017).

    15 A over 100 ft and back: 15 x 200 x 1.98 / 1000 = 5.94 V.
    """
    ran = shell(
        "calculate", "voltage-drop", "awg=12", "wire=stranded", "length=100 ft",
        "length-is=one-way", "current=15 A", "supply-voltage=120 V", "--json",
    )  # fmt: skip
    volts = [o["value"] for o in ran.data["finding"]["outputs"] if o["unit"] == "V"]

    assert Decimal("5.94") in {Decimal(value) for value in volts}


@pytest.mark.parametrize(
    ("amps", "code"),
    [("25 A", FINE), ("25.01 A", WRONG)],
    ids=["NEC table 400.5(A)(1), 12 AWG, column B, 25 A", "the same, a hundredth above"],
)
def test_cord_at_the_edge_of_its_ampacity(shell: Shell, amps: str, code: int) -> None:
    """A 12 AWG cord with two current-carrying conductors carries 25 A and no more."""
    ran = shell("calculate", *CORD[:3], "plug=30 A", CORD[4], f"current={amps}")

    assert ran.code == code


def test_unknown_is_not_shown(shell: Shell) -> None:
    """An unknown input ends with the number for `not shown`, and says so; never 0."""
    ran = shell("calculate", *CORD, "current=unknown")

    assert ran.code == NOT_SHOWN
    assert "NOT SHOWN to be safe: stop" in ran.out


def test_list_has_every_input_with_its_units(shell: Shell) -> None:
    """Without a name, every calculation is listed with its inputs and the units they take."""
    ran = shell("calculate")

    assert ran.code == FINE
    for calculation in CALCULATIONS.values():
        _, _, after = ran.out.partition(f"{calculation.name}: {calculation.title}\n")
        lines = iter(after.splitlines())
        for wanted in calculation.inputs:
            _assert_listed(wanted, lines)


def _assert_listed(wanted: Input, lines: Iterator[str], indent: str = "  ") -> None:
    line = next(lines)
    units = [u.symbol for u in DIMENSIONS.get(wanted.dimension, ()) if u.symbol != "1"]

    assert line.startswith(f"{indent}{wanted.name}: ")
    assert [text for text in (*units, *(wanted.choices or ())) if text not in line] == []
    for column in wanted.columns:
        _assert_listed(column, lines, "    ")


@pytest.mark.parametrize("name", list(CALCULATIONS))
def test_explanation_is_whole(shell: Shell, name: str) -> None:
    """The name alone explains inputs, formula, assumptions and sources, with the caution."""
    ran = shell("calculate", name)
    calculation = CALCULATIONS[name]
    book = Library().book()
    needed = [
        calculation.formula,
        *calculation.assumptions,
        *(book.source(source).citation() for source in calculation.sources),
        *(f"{wanted.name}: {wanted.meaning}" for wanted in calculation.inputs),
        BANNER,
    ]

    assert ran.code == FINE
    assert [text for text in needed if text not in ran.out] == []


@pytest.mark.parametrize("name", list(CALCULATIONS))
def test_printed_example_runs(shell: Shell, name: str) -> None:
    """The example that an explanation prints can be pasted into a shell and gives a finding."""
    command = example_command(CALCULATIONS[name], Library().book())
    program, *arguments = shlex.split(command)
    ran = shell(*arguments)

    assert program == "standclear"
    assert ran.code in {FINE, WRONG, NOT_SHOWN}
    assert ran.err == ""


def test_rows_are_repeated_or_lines_of_one(shell: Shell) -> None:
    """Two `loads=` and one of two lines are the same finding."""
    rest = ("running-rating=3500 W", "surge-rating=4375 W", "output=120/240")
    one, two = "fridge, 700 W, 2200 W, 1, R1, 20 A", "lamp, 100 W, 100 W, 2, R2, 20 A"
    repeated = shell("calculate", "generator-load", f"loads={one}", f"loads={two}", *rest)
    lines = shell("calculate", "generator-load", f"loads={one}\n{two}", *rest)

    assert repeated.out == lines.out
    assert "800 W" in repeated.out  # 700 + 100


def test_json_has_texts_for_numbers(shell: Shell) -> None:
    """Every number with a unit is a decimal text, and the caution is inside the document."""
    data = shell("calculate", *CORD, "current=12 A", "--json").data

    assert all(isinstance(o["value"], str) for o in data["finding"]["outputs"])
    assert all(Decimal(o["value"]).is_finite() for o in data["finding"]["outputs"])
    assert data["finding"]["outcome"] == "within"
    assert BANNER in data["caution"]
    assert not any(isinstance(number, float) for number in _leaves(data))


def test_json_of_the_list(shell: Shell) -> None:
    """The list as JSON names every calculation, and every input with its units."""
    data = shell("calculate", "--json").data

    assert [c["calculation"] for c in data["calculations"]] == list(CALCULATIONS)
    assert all(i["units"] for c in data["calculations"] for i in c["inputs"] if i["dimension"])


@pytest.mark.parametrize(
    ("arguments", "said"),
    [
        (("no-such-thing",), "there is no calculation “no-such-thing”"),
        (("cord-curent",), "cord-current"),
        ((*CORD, "current"), "“current” is not an input with its value"),
        ((*CORD, "=12 A"), "“=12 A” is not an input with its value"),
        ((*CORD, "current=12"), "“12” has no unit"),
        ((*CORD, "current=12 ft"), "is a length, and a current is asked for"),
        ((*CORD, "current=-12 A"), "is not above zero"),
        ((*CORD, "current=nan A"), "does not begin with a number"),
        ((*CORD, "current=1,5 A"), "has a comma"),
        ((*CORD, "current="), "nothing was given"),
        ((*CORD, "amps=12 A"), "cord-current has no such input"),
        ((*CORD, "awg=14"), "it was given twice"),
        ((*CORD, "current=12 A", "power=100 W"), "both current and power were given"),
        (("cord-current", "awg=13"), "not one of the choices"),
        (("generator-load", "loads=fridge, 700 W"), "it has 2 columns"),
        (("cord-current", f"awg={'9' * 5000}"), "the text has 5000 characters"),
    ],
)
def test_wrong_input_is_one_sentence(shell: Shell, arguments: tuple[str, ...], said: str) -> None:
    """Whatever is wrong is one sentence on stderr, nothing on stdout, and number 2."""
    ran = shell("calculate", *arguments)

    assert ran.code == REFUSED
    assert said in ran.err
    assert ran.err.count("\n") == 1
    assert ran.out == ""


def test_wrong_input_leaves_no_json(shell: Shell) -> None:
    """A refused input prints no half document."""
    ran = shell("calculate", *CORD, "current=12", "--json")

    assert (ran.code, ran.out) == (REFUSED, "")


def test_escapes_in_input_do_not_reach_the_terminal(shell: Shell) -> None:
    """Terminal escapes in names, values and arguments come out as code points."""
    evil = "\x1b]52;c;AAAA\x07\x9b31m"
    calls = [
        shell("calculate", evil),
        shell("calculate", *CORD, f"current={evil}"),
        shell("calculate", *CORD, f"{evil}=12 A"),
        shell("calculate", *CORD, evil),
        shell("calculate", f"--{evil}"),
        shell(evil),
    ]

    assert all(ran.code == REFUSED for ran in calls)
    assert all(ran.err.rstrip("\n").isprintable() for ran in calls)


def test_markup_in_input_is_text(shell: Shell) -> None:
    """Brackets that other programs take for markup are kept as they were typed."""
    rest = ("running-rating=3500 W", "surge-rating=4375 W", "output=120/240")
    name = "D[/x]E [b]lamp[/b]"
    load = f"loads={name}, 100 W, 100 W, 1, R1, 20 A"
    page = shell("calculate", "generator-load", load, *rest)
    data = shell("calculate", "generator-load", load, *rest, "--json").data

    assert name in page.out
    assert name in data["finding"]["given"]["loads"]


def _leaves(data: object) -> list[object]:
    if isinstance(data, dict):
        return [leaf for value in data.values() for leaf in _leaves(value)]
    if isinstance(data, list):
        return [leaf for value in data for leaf in _leaves(value)]
    return [data]


def test_json_is_ascii(shell: Shell) -> None:
    """The document holds no character that could act on a terminal or be lost in an encoding."""
    ran = shell("calculate", "--json")

    assert ran.out.isascii()
    assert json.loads(ran.out)


LINE = ("power-line-distance", "mast-height=40 ft", "above-top=5 ft", "sideways-reach=12 ft",
        "line-voltage=7.2 kV", "ground-distance=90 ft")  # fmt: skip


def test_explained_it_is_said_in_whole_sentences(shell: Shell) -> None:
    """--explain goes from what was given to what it means, each line of arithmetic numbered."""
    ran = shell("calculate", *LINE, "--explain")

    assert ran.code == FINE
    for part in ("What was given", "What is published", "The arithmetic, step by step",
                 "mast-height is 40 ft (12.2 m): the height of the mast", "What comes out",
                 "Where it holds", "Sources"):  # fmt: skip
        assert part in ran.out
    assert "  3. height: 40 ft + 5 ft = 45 ft" in ran.out


def test_a_picture_is_drawn_in_the_shell_and_into_a_new_file(shell: Shell, tmp_path: Path) -> None:
    """--picture draws below the text, --svg into a file that was not there, and never over one."""
    file = tmp_path / "fall.svg"
    first = shell("calculate", *LINE, "--picture", "--svg", str(file))
    kept = file.read_text("utf-8")
    again = shell("calculate", *LINE, "--svg", str(file))

    assert first.code == FINE
    assert "How far the mast can fall, from above" in first.out
    assert kept.startswith("<svg ")
    assert again.code == REFUSED
    assert "there is a file already" in again.err
    assert file.read_text("utf-8") == kept


def test_a_calculation_without_a_picture_says_which_have_one(shell: Shell, tmp_path: Path) -> None:
    """Nothing is written where there is nothing to draw."""
    file = tmp_path / "none.svg"
    ran = shell("calculate", "ladder-set-back", "working-length=20 ft", "set-back=5 ft",
                "--svg", str(file))  # fmt: skip

    assert ran.code == REFUSED
    assert "it has no picture" in ran.err
    assert "generator-load, power-density, power-line-distance" in ran.err
    assert not file.exists()


def test_the_limit_of_a_tier_is_read_from_the_rules_47_cfr_1_1310(shell: Shell) -> None:
    """Uncontrolled at 7.1 MHz: 180 / 7.1^2 = 3.571 mW/cm2, table 1 of 47 CFR 1.1310."""
    ran = shell("calculate", "power-density", "power=100 W", "gain=6 dBi", "distance=20 m",
                "frequency=7.1 MHz", "ground=full", "tier=uncontrolled")  # fmt: skip

    assert ran.code == FINE
    assert "uncontrolled limit at 7.1 MHz, as power density: 3.5707 mW/cm2" in ran.out
    assert "This picture may stop the work; it never permits it." in ran.out
