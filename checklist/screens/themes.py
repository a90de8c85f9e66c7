"""Two looks: dark for the shack and the night, light for the sun; both read in black and white."""

from __future__ import annotations

from textual.theme import Theme

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
)
