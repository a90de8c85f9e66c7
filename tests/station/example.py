"""The example station that rules/STATION.md gives to copy, and changes to it."""

from __future__ import annotations

import re

from checklist.shipped import shipped_rules


def example() -> str:
    """Return the example as it stands in the guide."""
    guide = (shipped_rules() / "STATION.md").read_text("utf-8")
    found = re.search(r"```yaml\n(.*?)```", guide, re.DOTALL)

    assert found is not None
    return found.group(1)


def changed_example(*pairs: tuple[str, str]) -> str:
    """Return the example with each first text, found exactly once, replaced."""
    text = example()
    for old, new in pairs:
        assert text.count(old) == 1, (text.count(old), old)
        text = text.replace(old, new)
    return text
