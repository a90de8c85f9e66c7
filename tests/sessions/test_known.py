"""What the registers offer to pick from."""

from __future__ import annotations

from checklist.sessions.entryrows import rows_for
from checklist.sessions.known import Known
from checklist.sessions.library import Library
from checklist.walk.answers import Hung, HungTag

KNOWN = Known(
    named_instruments=(
        ("rangefinder 1", "rangefinder"),
        ("meter 2", "multimeter"),
        ("old rangefinder", "rangefinder"),
    )
)


def test_an_instrument_of_another_kind_is_never_put_in() -> None:
    """The one of the kind that was used last stands in the field; none where none is known."""
    assert KNOWN.instrument_at_hand("rangefinder") == "rangefinder 1"
    assert KNOWN.instrument_at_hand("multimeter") == "meter 2"
    assert KNOWN.instrument_at_hand("voltage tester") == ""


def test_every_instrument_can_be_picked_those_of_the_kind_first() -> None:
    """What is offered while typing is all that is known, the right kind above."""
    assert KNOWN.instruments("multimeter")[0] == "meter 2"
    assert len(KNOWN.instruments("multimeter")) == 3


def test_a_lock_of_somebody_who_is_not_here_is_not_offered() -> None:
    """Of theirs only the point is, so that none is forgotten; of the others all as it hung."""
    step = Library().load("tower-work").rule_file.step("ground-locks")
    before = Hung((HungTag("b14", "3", "Wren Holloway"), HungTag("b15", "4", "Corin Ashby")))
    today = Known(crew=("WREN HOLLOWAY", "Tamsin Reed"))
    offered = rows_for(step, today, before=before)[0].offer
    unknown = rows_for(step, Known(), before=before)[0].offer

    assert offered == ("b14, 3, Wren Holloway", "b15,")
    assert unknown == ("b14, 3, Wren Holloway", "b15, 4, Corin Ashby")
