"""How long something took, in words."""

from __future__ import annotations

import pytest

from checklist.ages import span_text


@pytest.mark.parametrize(
    ("seconds", "said"),
    [
        (0.4, "0.4 s"), (45, "45 s"), (59.94, "59.9 s"), (59.95, "1 min 0 s"), (4020, "67 min 0 s"),
        (7199, "119 min 59 s"), (7199.6, "2 h 0 min"), (93_900, "26 h 5 min"),
        (172_800, "2 days 0 h"), (1_000_000, "11 days 13 h"),
    ],
)  # fmt: skip
def test_a_span_is_said_in_two_units_that_fit(seconds: float, said: str) -> None:
    """Seconds up to a minute, then minutes, hours from two of them, days from two."""
    assert span_text(seconds) == said
