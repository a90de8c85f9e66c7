"""What a run makes of what people type."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

import pytest

from checklist.calculations import (
    CALCULATIONS,
    InputRefused,
    Outcome,
    calculation_named,
    check_input,
    run,
)
from checklist.errors import StandclearError
from checklist.rulebook import Book
from tests.calculations.examples import WITHIN

LADDER = WITHIN["ladder-set-back"]


def refused(name: str, typed: Mapping[str, str | Sequence[str]], book: Book) -> InputRefused:
    with pytest.raises(InputRefused) as caught:
        run(name, typed, book)
    return caught.value


@pytest.mark.parametrize("word", ["unknown", "Unknown", " don't know ", "don’t know", "?"])
def test_every_word_for_unknown_is_not_shown(word: str, book: Book) -> None:
    """However it is said, an unknown input is not shown, and decides."""
    result = run("ladder-set-back", {**LADDER, "set-back": word}, book).result

    assert result.outcome is Outcome.NOT_SHOWN
    assert "set-back" in result.decided_by
    assert result.stops


@pytest.mark.parametrize(
    ("typed", "says"),
    [
        ("", "nothing was given"),
        ("   ", "nothing was given"),
        ("0 ft", "not above zero"),
        ("-5 ft", "not above zero"),
        ("5", "no unit"),
        ("5 kg", "mass"),
        ("5,5 ft", "comma"),
        ("nan ft", "number"),
        ("inf ft", "number"),
        ("1e99 ft", "more than can be meant"),
        ("1e-90 ft", "less than can be meant"),
        ("five feet", "number"),
        ("5 furlongs", "not a unit"),
        ("[red]5 ft[/red]", "number"),
    ],
)
def test_nonsense_is_refused_with_the_field(typed: str, says: str, book: Book) -> None:
    """Bad input gets one sentence that names the field, the fault and what would be right."""
    error = refused("ladder-set-back", {**LADDER, "set-back": typed}, book)

    assert error.field == "set-back"
    assert error.sentence().startswith("set-back: ")
    assert says in error.what
    assert error.right
    assert "\n" not in error.sentence()


def test_a_terminal_escape_is_refused(book: Book) -> None:
    """An escape sequence in an input is refused at the door."""
    with pytest.raises(StandclearError, match=r"set-back.*U\+001B"):
        run("ladder-set-back", {**LADDER, "set-back": "5 ft\x1b[31m"}, book)


def test_an_input_that_is_not_there_is_refused(book: Book) -> None:
    """A misspelt input is no silent default: the near name is offered."""
    error = refused("ladder-set-back", {**LADDER, "setback": "5 ft"}, book)

    assert error.field == "setback"
    assert "set-back" in error.right


def test_a_missing_input_is_refused(book: Book) -> None:
    """Left out is not unknown: a required input must be answered."""
    error = refused("ladder-set-back", {"working-length": "20 ft"}, book)

    assert error.field == "set-back"


def test_a_choice_is_strict_and_lists_what_there_is(book: Book) -> None:
    """Only the choices are taken, with or without capitals."""
    typed = WITHIN["fall-clearance"]
    error = refused("fall-clearance", {**typed, "anchor-at": "overhead"}, book)

    assert "level with the D-ring" in error.right
    assert run("fall-clearance", {**typed, "anchor-at": "ABOVE"}, book).is_clear


def test_rows_come_as_text_or_as_lines(book: Book) -> None:
    """Rows may be one text or a list of lines, empty lines aside, and are kept as text."""
    typed = WITHIN["hoist-loads"]
    lines = typed["pieces"].splitlines()
    by_list = run("hoist-loads", {**typed, "pieces": ["", *lines]}, book)
    by_text = run("hoist-loads", typed, book)

    assert by_text.result == by_list.result
    assert by_text.given["pieces"] == typed["pieces"]


@pytest.mark.parametrize(
    ("line", "field"),
    [
        ("rope, line", "pieces line 1"),
        ("rope, line, 450 lb, more", "pieces line 1"),
        ("rope, aloft, 450 lb", "pieces line 1, carries"),
        ("rope, line, 450", "pieces line 1, working-load"),
        ("rope, line, -4 kN", "pieces line 1, working-load"),
        ("rope, line,", "pieces line 1, working-load"),
        ("x" * 61 + ", line, 450 lb", "pieces line 1, name"),
    ],
)
def test_a_bad_row_names_line_and_column(line: str, field: str, book: Book) -> None:
    """A fault in a row is found by its line and column."""
    error = refused("hoist-loads", {**WITHIN["hoist-loads"], "pieces": line}, book)

    assert error.field == field
    assert error.right


def test_too_many_rows_are_refused(book: Book) -> None:
    """A list beyond any sense is refused, not worked off."""
    many = ["rope, line, 450 lb"] * 61

    assert "61" in refused("hoist-loads", {**WITHIN["hoist-loads"], "pieces": many}, book).what


def test_no_rows_are_refused(book: Book) -> None:
    """An empty list is not a list without loads."""
    assert refused("hoist-loads", {**WITHIN["hoist-loads"], "pieces": "\n \n"}, book).right


def test_two_lines_for_one_field_are_refused(book: Book) -> None:
    """A list where one text belongs is refused."""
    assert refused("ladder-set-back", {**LADDER, "set-back": ["5 ft", "6 ft"]}, book).right


def test_one_field_is_checked_as_it_is_typed() -> None:
    """A single field can be validated before the rest is there."""
    calculation = calculation_named("power-line-distance")
    check_input(calculation, "line-voltage", "7.2 kV")
    check_input(calculation, "line-voltage", "unknown")
    check_input(calculation, "utility-clearance", "")
    with pytest.raises(InputRefused, match=r"line-voltage"):
        check_input(calculation, "line-voltage", "7.2 km")


def test_a_value_from_memory_gives_at_most_a_caution(book: Book) -> None:
    """What rests on a value from memory says so; the same from the manual does not."""
    known = run("generator-fuel", WITHIN["generator-fuel"], book).result
    by_load = {k: v for k, v in WITHIN["generator-fuel"].items() if k != "consumption"}
    from_memory = run("generator-fuel", {**by_load, "load": "2 kW"}, book).result

    assert not known.cautions
    assert from_memory.outcome is Outcome.WITHIN
    assert ["from memory" in caution for caution in from_memory.cautions] == [True]


@pytest.mark.parametrize("name", WITHIN)
def test_an_unused_unknown_is_still_not_within(name: str, book: Book) -> None:
    """An optional input answered `unknown` is never within, though leaving it out may be."""
    for wanted in CALCULATIONS[name].inputs:
        if wanted.optional and wanted.name in WITHIN[name]:
            result = run(name, {**WITHIN[name], wanted.name: "unknown"}, book).result

            assert result.outcome is not Outcome.WITHIN, wanted.name


def test_an_input_alone_is_taken_or_refused_like_in_a_run() -> None:
    """One field as it is typed; a name that is none of them is refused as well."""
    ladder = calculation_named("ladder-set-back")
    check_input(ladder, "set-back", "5 ft")
    with pytest.raises(InputRefused, match="not above zero"):
        check_input(ladder, "set-back", "0 ft")
    with pytest.raises(InputRefused, match="has no such input"):
        check_input(ladder, "set-forward", "5 ft")


def test_two_lines_for_one_input_are_refused_in_words(book: Book) -> None:
    """The field, what is wrong, and what to give."""
    error = refused("ladder-set-back", {**LADDER, "set-back": ["5 ft", "6 ft"]}, book)

    assert error.field == "set-back"
    assert error.what == "more than one line was given"
    assert error.right.startswith("Give ")
    assert error.right.endswith("or “unknown”.")


def test_a_list_of_lines_is_kept_as_lines(book: Book) -> None:
    """Rows may come as a list; what is kept is the text with one row to a line."""
    rows = ["12 mm rope, line, 450 lb", "block, block, 4 kN"]
    finding = run("hoist-loads", {"load": "60 lb", "haul": "ground", "pieces": rows}, book)

    assert finding.given["pieces"] == "\n".join(rows)
    assert (finding.calculation, finding.version) == (
        "hoist-loads",
        CALCULATIONS["hoist-loads"].version,
    )


def test_only_a_near_name_is_suggested(book: Book) -> None:
    """What resembles none of the inputs is met with their list alone."""
    near = refused("ladder-set-back", {**LADDER, "set-bakc": "5 ft"}, book)
    far = refused("ladder-set-back", {**LADDER, "zzz": "5 ft"}, book)

    assert near.right.startswith("Did you mean set-back? Its inputs are working-length, ")
    assert far.right.startswith("Its inputs are working-length, ")


@pytest.mark.parametrize(("length", "fits"), [(60, True), (61, False)])
def test_a_name_has_sixty_characters_at_most(length: int, fits: bool, book: Book) -> None:
    """The last one that fits is taken; our own limit, no source."""
    typed = {"load": "60 lb", "haul": "ground", "pieces": f"{'r' * length}, line, 450 lb"}
    if fits:
        run("hoist-loads", typed, book)
    else:
        assert refused("hoist-loads", typed, book).what == "the text has 61 characters"


def test_a_weight_of_nothing_is_no_pull(book: Book) -> None:
    """Zero is refused in the other dimension too, and half a pound-force is taken."""
    typed = {"load": "0.5 N", "haul": "ground", "pieces": "r, line, 450 lb"}

    assert run("hoist-loads", typed, book).result.outputs
    assert refused("hoist-loads", {**typed, "load": "0 N"}, book).field == "load"
