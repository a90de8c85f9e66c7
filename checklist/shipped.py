"""Where the shipped rules lie: inside the installed package, or beside it in a checkout."""

from __future__ import annotations

from pathlib import Path


def shipped_rules() -> Path:
    """Return the folder that holds checks/, tables/ and sources.yaml."""
    package = Path(__file__).resolve().parent
    installed = package / "shipped_rules"
    return installed if installed.is_dir() else package.parent / "rules"
