"""Lists the rule files at hand, and checks rule files with their examples."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from checklist.calculations.registry import CALCULATIONS
from checklist.commands.exits import FINE, WRONG
from checklist.commands.output import print_document, print_page
from checklist.commands.places import refuse_unreadable
from checklist.errors import StandclearError
from checklist.rulebook import CLUB_PREFIX, RulebookRefused
from checklist.rulefile import RuleFileRefused
from checklist.rulefile.numbers import club_values_of
from checklist.sessions.library import Library, Loaded
from checklist.shipped import shipped_rules
from checklist.walk.examples import ExampleResult, run_example

LARGEST = 4_000_000
"""Bytes of a rule file that are read at all: a million characters, four bytes each at most."""

_ENDING = ".yaml"


@dataclass(frozen=True, slots=True)
class Checked:
    """What was found about one rule file."""

    file: str
    """As it was named on the command line."""

    errors: tuple[str, ...]
    """A sentence each, with line and column where they are known."""

    examples: tuple[ExampleResult, ...] = ()
    title: str = ""
    steps: int = 0
    club_values: tuple[str, ...] = ()
    """The club's own values that can decide its steps, each beside the shipped one."""

    is_table: bool = False
    """Whether it is a table or a bibliography and holds no steps."""

    @property
    def is_right(self) -> bool:
        """Whether the file loads, is named as it must be, and every example holds."""
        return not self.errors and not any(example.wrong for example in self.examples)


def list_rules(library: Library, *, as_json: bool) -> int:
    """Print every rule file by name; WRONG where one in the folders cannot be listed."""
    listed, problems = library.listed()
    if as_json:
        files = [
            {"name": one.name, "title": one.title, "about": one.about, "origin": one.origin}
            for one in listed
        ]
        print_document({"rule-files": files, "problems": list(problems)})
        return WRONG if problems else FINE
    lines = []
    for one in listed:
        lines += [f"{one.name}: {one.title} ({one.origin})", f"  {one.about}"]
    if problems:
        lines += ["Cannot be used", *(f"  {problem}" for problem in problems)]
    print_page(
        [*lines, "", "standclear walk NAME walks one; standclear rehearse NAME keeps nothing."]
    )
    return WRONG if problems else FINE


def check_rules(library: Library, files: Sequence[Path], *, as_json: bool) -> int:
    """Print what was found about each file; WRONG where any of them is not right.

    Without files those of the club are checked; StandclearError where it has none.
    """
    found = [checked(library, path) for path in files] if files else _club_checked(library)
    if not found:
        raise StandclearError(
            f"there is nothing to check in {library.club_checks}",
            right="Name a FILE, or begin one with standclear copy-rules NAME NEWNAME.",
        )
    if as_json:
        print_document({"files": [_data(one) for one in found]})
    else:
        print_page([line for one in found for line in _lines(one)])
    return FINE if all(one.is_right for one in found) else WRONG


def _club_checked(library: Library) -> list[Checked]:
    """Return what was found about the club's tables and sources, then about its rule files.

    Rule files are read against the tables, so they wait until these are right.
    """
    found = [Checked(str(path), (why,)) for path, why in library.misplaced().items()]
    names = [name for name in library.book_texts() if name.startswith(CLUB_PREFIX)]
    try:
        library.book()
    except RulebookRefused as refused:
        ours = {n: [e for e in refused.errors if e.startswith((f"{n},", f"{n}:"))] for n in names}
        if not any(ours.values()):
            raise
        return [*found, *(Checked(n, tuple(e), is_table=True) for n, e in ours.items())]
    found += [Checked(name, (), is_table=True) for name in names]
    return [*found, *(checked(library, path) for path in library.club_files())]


def checked(library: Library, path: Path) -> Checked:
    """Return every error of one rule file, and what its examples give; never raises for it.

    A shipped file is read against the shipped values alone, which its examples were written for.
    """
    try:
        refuse_unreadable(path, LARGEST)
        loaded = library.load_path(path, as_shipped=_is_shipped(path))
    except (RuleFileRefused, RulebookRefused) as refused:
        return Checked(str(path), tuple(refused.errors))
    except StandclearError as error:
        return Checked(str(path), (error.sentence(),))
    rule_file = loaded.rule_file
    results = [run_example(rule_file, example, loaded.book) for example in rule_file.examples]
    return Checked(
        str(path),
        tuple(_misnamed(loaded, path)),
        tuple(results),
        rule_file.title,
        len(rule_file.steps),
        tuple(club_values_of(rule_file, loaded.book, CALCULATIONS)),
    )


def _is_shipped(path: Path) -> bool:
    return path.resolve().parent == (shipped_rules() / "checks").resolve()


def _misnamed(loaded: Loaded, path: Path) -> list[str]:
    """Return what about the file's name would keep the program from finding or taking it."""
    name = loaded.rule_file.name
    wrong = []
    if path.name != f"{name}{_ENDING}":
        wrong.append(
            f"{path.name}: the rule file in it is named “{name}”. Call it {name}{_ENDING}."
        )
    shipped = shipped_rules() / "checks" / f"{name}{_ENDING}"
    if shipped.is_file() and not shipped.samefile(path):
        wrong.append(
            f"{path.name}: a shipped rule file is named “{name}” too. Give it a name of its own."
        )
    return wrong


def _lines(one: Checked) -> list[str]:
    lines = [f"{one.file}: {_said(one)}"]
    lines += [f"  {_ended(error)}" for error in one.errors]
    for example in one.examples:
        lines += [f"  example “{example.name}”: {_ended(wrong)}" for wrong in example.wrong]
    lines += [f"  held against a club value: {said}." for said in one.club_values]
    return lines


def _said(one: Checked) -> str:
    if one.is_right and one.is_table:
        return "no error found."
    if one.is_right:
        return (
            f"no error found in {_count(one.steps, 'step')}, "
            f"and {_count(len(one.examples), 'example')} gave what was stated."
        )
    bad = sum(1 for example in one.examples if example.wrong)
    errors = _count(len(one.errors), "error")
    return f"{errors}; {_count(bad, 'example')} wrong." if bad else f"{errors}."


def _ended(text: str) -> str:
    return text if text.endswith("?") else f"{text.rstrip('.')}."


def _count(number: int, noun: str) -> str:
    return f"{number} {noun}" if number == 1 else f"{number} {noun}s"


def _data(one: Checked) -> dict[str, Any]:
    return {
        "file": one.file,
        "right": one.is_right,
        "title": one.title,
        "steps": one.steps,
        "errors": list(one.errors),
        "club-values": list(one.club_values),
        "examples": [
            {"name": e.name, "verdict": str(e.verdict), "wrong": list(e.wrong)}
            for e in one.examples
        ],
    }
