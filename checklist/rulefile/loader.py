"""Loads rule files strictly: a file is whole and right, or every error in it is listed."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from checklist.calculations.kinds import Calculation
from checklist.errors import StandclearError
from checklist.rulebook import Book
from checklist.rulefile.model import RuleFile
from checklist.strictyaml import Document, Path, read_yaml


class RuleFileRefused(StandclearError):
    """One or more errors in a rule file; `errors` has a sentence for each."""

    def __init__(self, errors: list[str]) -> None:
        self.errors = errors
        super().__init__("\n".join(errors))


def load_rule_file(
    text: str, name: str, book: Book, calculations: Mapping[str, Calculation]
) -> RuleFile:
    """Return the rule file in `text`; `name` is how messages call the file.

    Raises RuleFileRefused with all errors at once, in the order of the file, each one
    sentence with file, line and column.
    """
    from pydantic import ValidationError  # late: the first screen needs no models

    from checklist.rulefile.compiler import Compiler
    from checklist.rulefile.form import RuleFileForm

    try:
        document = read_yaml(text, name)
    except StandclearError as error:
        raise RuleFileRefused([error.sentence()]) from None
    try:
        written = RuleFileForm.model_validate(document.data)
    except ValidationError as error:
        found = [_said(e["loc"], dict(e), document) for e in error.errors()]
        raise RuleFileRefused(_in_order(found, document)) from None
    compiler = Compiler(document, book, calculations)
    rule_file = compiler.compile(written)
    if compiler.errors:
        raise RuleFileRefused(_in_order(compiler.errors, document))
    return rule_file


def _in_order(errors: list[tuple[Path, str]], document: Document) -> list[str]:
    def place(error: tuple[Path, str]) -> tuple[int, int]:
        for end in range(len(error[0]), -1, -1):
            found = document.places.get(error[0][:end])
            if found:
                return found.line, found.column
        return 0, 0

    return [
        f"{document.where(path)}: {what.rstrip('.')}." for path, what in sorted(errors, key=place)
    ]


def _said(
    loc: tuple[str | int, ...], error: dict[str, Any], document: Document
) -> tuple[Path, str]:
    """Translate one pydantic error into our words, with the path as the file has it."""
    path = _path_in(document.data, loc)
    key = path[-1] if path else ""
    context = error.get("ctx", {})
    match error["type"]:
        case "extra_forbidden" if key == "yes" and "confirm" in path:
            what = "a confirm is worded so that yes is the safe answer; say only what a no does"
        case "extra_forbidden":
            what = f"the key “{key}” is not known here"
        case "missing":
            what = f"the key “{loc[-1]}” is missing"
        case "literal_error":
            what = f"“{_short(error.get('input'))}” is not {context.get('expected', 'allowed')}"
        case "string_pattern_mismatch":
            what = f"“{_short(error.get('input'))}” is not an id; write small letters, digits and -"
        case "string_type":
            what = "a text is needed here"
        case "too_short":
            what = f"at least {context.get('min_length', 1)} needed here"
        case "string_too_short":
            what = "nothing stands here; write a text"
        case _:
            what = str(error["msg"])
    return path, what


def _path_in(data: Any, loc: tuple[str | int, ...]) -> Path:
    """Return the part of a pydantic location that exists in the data (union tags do not)."""
    path: list[str | int] = []
    inner: Any = data
    for part in loc:
        try:
            inner = inner[part]
        except (KeyError, IndexError, TypeError):
            continue
        path.append(part)
    return tuple(path)


def _short(value: Any) -> str:
    text = str(value)
    return text if len(text) <= 40 else f"{text[:37]}..."
