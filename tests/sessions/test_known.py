"""What the registers offer to pick from."""

from __future__ import annotations

from checklist.sessions.known import Known

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
