"""A later form is told from a changed one."""

from __future__ import annotations

import pytest

from checklist import __version__
from checklist.record.errors import Damaged, LaterForm
from checklist.record.files.forms import refuse_later

TITLE = "standclear ledger entry 1"


def test_a_later_form_by_a_later_program_is_named_as_such() -> None:
    """Nothing need be wrong with it, and the sentence names the program that wrote it."""
    with pytest.raises(LaterForm, match=r"written by standclear 999\.0\.0"):
        refuse_later("standclear ledger entry 2", TITLE, "standclear 999.0.0")


@pytest.mark.parametrize("program", [f"standclear {__version__}", "standclear 0.1.0"])
def test_a_later_form_by_a_program_that_never_wrote_it_was_changed(program: str) -> None:
    """One doubled digit must not turn a changed entry into one that cannot be judged."""
    with pytest.raises(Damaged, match="it was changed") as refused:
        refuse_later("standclear ledger entry 11", TITLE, program)

    assert not isinstance(refused.value, LaterForm)


def test_the_form_of_today_passes() -> None:
    """Whatever is not a later form is left to the reader of the form."""
    refuse_later(TITLE, TITLE, f"standclear {__version__}")
    for other in ("something else", None, 5):
        refuse_later(other, TITLE)


@pytest.mark.parametrize("program", ["", "another program 1", 5, None])
def test_a_later_form_by_a_program_that_nobody_knows_is_a_later_form(program: object) -> None:
    """What cannot be compared with the version of today is not called changed."""
    with pytest.raises(LaterForm, match="and was written by"):
        refuse_later("standclear ledger entry 2", TITLE, program)
