"""The package as it is handed on: its versions, its wheel and its source archive."""

from __future__ import annotations

import os
import re
import subprocess
import sys
import tarfile
import tomllib
import venv
from importlib.metadata import version as installed
from pathlib import Path
from typing import Any

import pytest
from packaging.requirements import Requirement

from checklist import __version__
from tests.writing_locked import LOCKED, written

ROOT = Path(__file__).parents[1]


def project() -> dict[str, Any]:
    return tomllib.loads((ROOT / "pyproject.toml").read_text("utf-8"))["project"]  # type: ignore[no-any-return]  # TOML is untyped


def pins() -> dict[str, str]:
    lines = [line for line in LOCKED.read_text("utf-8").splitlines() if line[:1] not in {"#", ""}]
    return {written(Requirement(line).name): str(Requirement(line).specifier) for line in lines}


def wanted() -> list[Requirement]:
    found = project()
    extras = [one for name in ("pages", "test") for one in found["optional-dependencies"][name]]
    return [Requirement(text) for text in (*found["dependencies"], *extras)]


@pytest.mark.parametrize("requirement", wanted(), ids=lambda one: one.name)
def test_what_is_needed_is_locked_within_its_bounds(requirement: Requirement) -> None:
    """Each requirement has one locked version, which the project's own bounds allow."""
    pin = pins()[written(requirement.name)]

    assert re.fullmatch(r"==[0-9][^,]*", pin)
    assert requirement.specifier.contains(pin.removeprefix("=="), prereleases=True)


def test_the_lock_names_no_place_to_fetch_from() -> None:
    """The lock holds names and versions alone, so that any index of packages will do."""
    text = LOCKED.read_text("utf-8")

    assert not re.search(r"://|--|@", text)


def test_the_readme_installs_what_is_locked() -> None:
    """The command that people are told to type for the tests uses the lock."""
    assert "-c tests/locked.txt -e '.[test]'" in (ROOT / "README.md").read_text("utf-8")


def test_the_changelog_begins_with_this_version() -> None:
    """What changed in this version stands first in the list of changes."""
    text = (ROOT / "checklist" / "manual" / "changes.md").read_text("utf-8")

    assert re.findall(r"^## (\S+)", text, re.MULTILINE)[0] == __version__


def run(*command: str | Path, at: Path) -> str:
    environment = {k: v for k, v in os.environ.items() if not k.startswith(("PYTEST", "PYTHON"))}
    done = subprocess.run(
        [str(part) for part in command],
        cwd=at, env=environment, capture_output=True, text=True, check=False, timeout=600,
    )  # fmt: skip

    assert done.returncode == 0, done.stdout[-2000:] + done.stderr[-2000:]
    return done.stdout


def built(what: str, at: Path) -> Path:
    """Build the wheel or the source archive by the project's own build backend."""
    place = at / "built"
    place.mkdir()
    code = f"import hatchling.build as b; b.build_{what}({str(place)!r})"
    builder = empty(at / "builder")
    run(builder, "-m", "pip", "install", "-q", "hatchling", at=at)
    run(builder, "-c", code, at=ROOT)
    return next(place.iterdir())


def empty(at: Path) -> Path:
    """Make an empty environment and return its Python."""
    venv.create(at, with_pip=True, symlinks=os.name != "nt")
    return at / ("Scripts" if os.name == "nt" else "bin") / Path(sys.executable).name


def runs(python: Path, at: Path) -> None:
    """See that the main commands of an installed package do their work outside the checkout."""
    logs, program = at / "logs", (python, "-m", "checklist")

    assert __version__ in run(*program, "--version", at=at)
    assert "tower-work" in run(*program, "--logs", logs, "rules", at=at)
    code = "from checklist.shipped import shipped_rules as s; print(s() / 'checks')"
    checks = Path(run(python, "-c", code, at=at).strip())

    assert at in checks.parents
    run(*program, "--logs", logs, "check-rules", *sorted(checks.glob("*.yaml")), at=at)
    run(*program, "demo", at / "club", "--size", "small", at=at)
    assert "tower" in run(*program, "--logs", at / "club" / "hill" / "logs", "review", at=at)


@pytest.mark.long
@pytest.mark.parametrize("what", ["wheel", "sdist"])
def test_what_is_built_runs_from_an_empty_environment(what: str, tmp_path: Path) -> None:
    """Wheel and source archive build, install into an empty environment, and run there."""
    archive = built(what, tmp_path)
    python = empty(tmp_path / "venv")
    run(python, "-m", "pip", "install", "-q", "-c", LOCKED, archive, at=tmp_path)
    runs(python, tmp_path)


@pytest.mark.long
def test_the_source_archive_tests_itself(tmp_path: Path) -> None:
    """The unpacked source archive holds all that its tests need: some of each kind pass there."""
    with tarfile.open(built("sdist", tmp_path)) as packed:
        packed.extractall(tmp_path, filter="data")
    root = next(tmp_path.glob("standclear-*"))
    some = ("tests/quantities", "tests/test_strictyaml.py", "tests/rules",
            "tests/record/test_versions.py", "tests/record/test_by_hand.py")  # fmt: skip
    out = run(sys.executable, "-m", "pytest", "-n", "0", "-q", *some, at=root)

    assert " failed" not in out
    assert installed("pytest")
