"""Loads rule files strictly: a file is whole and right, or every error in it is listed."""

from __future__ import annotations

from collections.abc import Mapping

from checklist.calculations.kinds import Calculation
from checklist.errors import StandclearError
from checklist.rulebook import Book
from checklist.rulefile.model import RuleFile
from checklist.rulefile.saying import Wrong, shape_errors
from checklist.strictyaml import Document, later_format, read_yaml

FORMAT = "1"
"""The version of the written form that this program reads."""


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

    from checklist.rulefile.compiler import compiled
    from checklist.rulefile.form import RuleFileForm
    from checklist.rulefile.repair import Blind, repaired
    from checklist.rulefile.sofar import SoFar

    try:
        document = read_yaml(text, name)
    except StandclearError as error:
        raise RuleFileRefused([error.sentence()]) from None
    if refusal := later_format(document, FORMAT):
        raise RuleFileRefused([refusal])
    blind = Blind()
    errors: list[Wrong] = []
    written: RuleFileForm | None
    try:
        written = RuleFileForm.model_validate(document.data)
    except ValidationError as error:
        errors, unusable = shape_errors(error.errors(), document.data)
        any_source = next(iter(book.sources), "practice")
        written, blind = repaired(document.data, unusable, any_source)
    if written is None:
        raise RuleFileRefused(_in_order(errors, document))
    so_far = SoFar(book, calculations, blind)
    rule_file = compiled(so_far, written)
    errors += so_far.errors
    if errors:
        raise RuleFileRefused(_in_order(errors, document))
    return rule_file


def _in_order(errors: list[Wrong], document: Document) -> list[str]:
    def place(error: Wrong) -> tuple[int, int]:
        for end in range(len(error[0]), -1, -1):
            found = document.places.get(error[0][:end])
            if found:
                return found.line, found.column
        return 0, 0

    return [f"{document.where(path)}: {_whole(what)}" for path, what in sorted(errors, key=place)]


def _whole(what: str) -> str:
    return what if what.endswith((".", "?")) else f"{what}."
