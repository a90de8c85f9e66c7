"""Writes the versions of everything installed here: python -m tests.writing_locked."""

from __future__ import annotations

import re
from importlib.metadata import distributions
from pathlib import Path

LOCKED = Path(__file__).parent / "locked.txt"
HEAD = """\
# Every version the tests run with, on Python 3.11 to 3.14. Made in a fresh .venv by one command:
#   .venv/bin/pip install -q -e '.[test]' && .venv/bin/python -m tests.writing_locked
# No hashes: with them pip refuses the checkout itself, which is installed editable and has none.
"""
NOT_HERE = {"colorama": '0.4.6 ; sys_platform == "win32"'}
"""What other systems need beside what stands here."""

_OURS = {"standclear", "pip", "setuptools", "wheel"}


def written(name: str) -> str:
    """Return a package's name in its one spelling."""
    return re.sub(r"[-_.]+", "-", name).lower()


def locked() -> str:
    """Return the text of the file for what is installed in this environment."""
    found = {written(one.metadata["Name"]): one.version for one in distributions()}
    lines = [f"{name}=={version}" for name, version in (found | NOT_HERE).items()
             if name not in _OURS]  # fmt: skip
    return HEAD + "\n".join(sorted(lines)) + "\n"


if __name__ == "__main__":
    LOCKED.write_text(locked(), encoding="utf-8")
