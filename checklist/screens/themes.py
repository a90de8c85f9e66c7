"""Two looks: dark for the shack and the night, light for the sun; both read in black and white.

A terminal with 16 colours has two looks of its own: its palette would turn the fine shades of
the others into greys that are hard to tell from the text on them.
"""

from __future__ import annotations

from textual.theme import Theme

QUIET = "quiet"
"""The colour of what is less than the rest and still as legible: explanations, examples."""

DARK = Theme(
    name="standclear-dark",
    primary="#9fc2dd",
    secondary="#7f93a0",
    foreground="#f3efe4",
    background="#0f1316",
    surface="#182026",
    panel="#222d35",
    warning="#f0c060",
    error="#ff7a68",
    success="#a9cfa0",
    dark=True,
    variables={QUIET: "#c4c1b6"},
)

LIGHT = Theme(
    name="standclear-light",
    primary="#1f4a6b",
    secondary="#5b6a74",
    foreground="#101010",
    background="#fcfaf3",
    surface="#f0ece0",
    panel="#e2ddcd",
    warning="#7a5200",
    error="#a30f00",
    success="#1f5c22",
    dark=False,
    variables={QUIET: "#4a4a46"},
)

FEW_DARK = Theme(
    name="standclear-dark-16",
    primary="#ffffff",
    secondary="#ffffff",
    foreground="#ffffff",
    background="#000000",
    surface="#000000",
    panel="#000000",
    warning="#ffff00",
    error="#ffffff",
    success="#ffffff",
    dark=True,
    variables={QUIET: "#ffffff"},
)

FEW_LIGHT = Theme(
    name="standclear-light-16",
    primary="#000000",
    secondary="#000000",
    foreground="#000000",
    background="#ffffff",
    surface="#ffffff",
    panel="#ffffff",
    warning="#000000",
    error="#000000",
    success="#000000",
    dark=False,
    variables={QUIET: "#000000"},
)

LOOKS = (DARK, LIGHT, FEW_DARK, FEW_LIGHT)

_OTHER = {DARK.name: LIGHT, LIGHT.name: DARK, FEW_DARK.name: FEW_LIGHT, FEW_LIGHT.name: FEW_DARK}


def first_look(color_system: str | None) -> str:
    """Return the name of the look to begin with, by what the terminal can show."""
    return (FEW_DARK if color_system in {"standard", "windows"} else DARK).name


def other_look(name: str) -> str:
    """Return the name of the light look for a dark one, and the other way round."""
    return _OTHER.get(name, DARK).name
