"""Lists what the checks and calculations rest on: each number, its citation, and what uses it."""

from __future__ import annotations

from collections.abc import Sequence

from checklist.commands.exits import FINE, WRONG
from checklist.commands.output import print_document, print_page
from checklist.rulefile.numberlines import (
    CHECK_THEM,
    count_text,
    number_data,
    row_lines,
    whole_lines,
)
from checklist.sessions.library import Library
from checklist.sessions.numbersinuse import numbers_in_use


def list_numbers(library: Library, words: Sequence[str], *, as_json: bool) -> int:
    """Print every number that holds all `words`; WRONG where a rule file could not be read.

    The rows of a list are printed where it is the only one found.
    """
    in_use = numbers_in_use(library)
    found = in_use.find(" ".join(words))
    if as_json:
        print_document(
            {
                "numbers": [number_data(number) for number in found],
                "problems": list(in_use.problems),
            }
        )
        return WRONG if in_use.problems else FINE
    lines = []
    for number in found:
        lines += [*whole_lines(number), *(row_lines(number) if len(found) == 1 else ()), ""]
    if in_use.problems:
        lines += ["Not read, so that its uses are missing above", *in_use.problems, ""]
    more = [] if words else [in_use.left_out]
    print_page([*lines, f"{count_text(found)}.", *more, CHECK_THEM])
    return WRONG if in_use.problems else FINE
