"""The log folder that a command line means."""

from __future__ import annotations

from pathlib import Path

import pytest

from checklist.commands.places import logs_in, logs_named, path_named
from checklist.errors import StandclearError


def test_option_comes_before_the_environment() -> None:
    """The option names the folder, else the environment does, else nobody."""
    environment = {"STANDCLEAR_LOGS": "/b"}

    assert logs_named("/a", environment) == Path("/a")
    assert logs_named(None, environment) == Path("/b")
    assert logs_named(None, {"STANDCLEAR_LOGS": " "}) is None
    assert logs_named(None, {}) is None


def test_home_is_written_out(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    """`~` means the home folder, as an environment variable has no shell to expand it."""
    monkeypatch.setenv("HOME", str(tmp_path))

    assert logs_named(None, {"STANDCLEAR_LOGS": "~/logs"}) == tmp_path / "logs"


@pytest.mark.parametrize("option", ["", "   ", "a\0b", "~nobody-of-this-name/logs"])
def test_no_folder_is_refused(option: str) -> None:
    """What cannot be a folder is refused with the name of the option."""
    with pytest.raises(StandclearError, match=r"^--logs: "):
        logs_named(option, {})


@pytest.mark.parametrize(
    ("arguments", "found"),
    [
        ([], None),
        (["--logs"], None),
        (["--logs", "a"], "a"),
        (["--logs=a"], "a"),
        (["--logs=a", "review", "--logs", "b"], "b"),
        (["review", "logs=a"], None),
    ],
)
def test_raw_arguments(arguments: list[str], found: str | None) -> None:
    """The folder is found among raw arguments too, the last one counting, as for a fault."""
    assert logs_in(arguments) == found


def test_a_path_is_kept_as_typed() -> None:
    """Nothing in a path is looked up or followed while it is only named."""
    assert path_named("../x/./y", "FILE") == Path("../x/y")
