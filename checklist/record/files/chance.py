"""Randomness for the record, handed in as time is: names of folders and sessions, and keys."""

from __future__ import annotations

import secrets
from collections.abc import Callable

Chance = Callable[[int], bytes]
"""Returns so many bytes that nobody can foretell."""

REAL_CHANCE: Chance = secrets.token_bytes
"""The operating system's own randomness; anything else is for an invented club alone."""
