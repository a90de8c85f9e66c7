"""Lists the rule files at hand, and checks rule files with their examples."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from checklist.commands.exits import FINE, WRONG
from checklist.commands.output import print_document, print_page
from checklist.commands.places import refuse_unreadable
from checklist.errors import StandclearError
from checklist.rulebook import RulebookRefused
from checklist.rulefile import RuleFileRefused
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
    """Print what was found about each file; WRONG where any of them is not right."""
    found = [checked(library, path) for path in files]
    if as_json:
        print_document({"files": [_data(one) for one in found]})
    else:
        print_page([line for one in found for line in _lines(one)])
    return FINE if all(one.is_right for one in found) else WRONG


def checked(library: Library, path: Path) -> Checked:
    """Return every error of one rule file, and what its examples give; never raises for it."""
    try:
        refuse_unreadable(path, LARGEST)
        loaded = library.load_path(path)
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
    )


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
    lines += [f"  {error.rstrip('.')}." for error in one.errors]
    for example in one.examples:
        lines += [f"  example “{example.name}”: {wrong.rstrip('.')}." for wrong in example.wrong]
    return lines


def _said(one: Checked) -> str:
    if one.is_right:
        return (
            f"no error found in {_count(one.steps, 'step')}, "
            f"and {_count(len(one.examples), 'example')} gave what was stated."
        )
    bad = sum(1 for example in one.examples if example.wrong)
    errors = _count(len(one.errors), "error")
    return f"{errors}; {_count(bad, 'example')} wrong." if bad else f"{errors}."


def _count(number: int, noun: str) -> str:
    return f"{number} {noun}" if number == 1 else f"{number} {noun}s"


def _data(one: Checked) -> dict[str, Any]:
    return {
        "file": one.file,
        "right": one.is_right,
        "title": one.title,
        "steps": one.steps,
        "errors": list(one.errors),
        "examples": [
            {"name": e.name, "verdict": str(e.verdict), "wrong": list(e.wrong)}
            for e in one.examples
        ],
    }
