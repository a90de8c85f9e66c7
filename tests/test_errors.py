"""The one base class: a whole sentence on one line."""

from __future__ import annotations

import pytest

from checklist.errors import StandclearError


@pytest.mark.parametrize(
    ("error", "sentence"),
    [
        (StandclearError("it is too near"), "it is too near"),
        (StandclearError("it is too near", where="openings"), "openings: it is too near"),
        (StandclearError("it is too near.", right="Move it."), "it is too near. Move it."),
        (
            StandclearError("it is too near", where="openings", right="Move it."),
            "openings: it is too near. Move it.",
        ),
    ],
)
def test_an_error_says_where_what_and_what_would_be_right(
    error: StandclearError, sentence: str
) -> None:
    """In this order, and its text is the same as its sentence."""
    assert error.sentence() == sentence
    assert str(error) == sentence
