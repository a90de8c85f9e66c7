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


def _two_inks(name: str, ink: str, paper: str, *, warning: str, dark: bool) -> Theme:
    return Theme(
        name=name,
        primary=ink,
        secondary=ink,
        foreground=ink,
        background=paper,
        surface=paper,
        panel=paper,
        warning=warning,
        error=ink,
        success=ink,
        dark=dark,
        variables={QUIET: ink},
    )


FEW_DARK = _two_inks("standclear-dark-16", "#ffffff", "#000000", warning="#ffff00", dark=True)
FEW_LIGHT = _two_inks("standclear-light-16", "#000000", "#ffffff", warning="#000000", dark=False)

LOOKS = (DARK, LIGHT, FEW_DARK, FEW_LIGHT)

_OTHER = {DARK.name: LIGHT, LIGHT.name: DARK, FEW_DARK.name: FEW_LIGHT, FEW_LIGHT.name: FEW_DARK}


def first_look(color_system: str | None) -> str:
    """Return the name of the look to begin with, by what the terminal can show."""
    return (FEW_DARK if color_system in {"standard", "windows"} else DARK).name


def other_look(name: str) -> str:
    """Return the name of the light look for a dark one, and the other way round."""
    return _OTHER.get(name, DARK).name
