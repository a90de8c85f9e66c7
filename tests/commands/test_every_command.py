"""Every command on the invented club: its exit code, as lines for a screen reader, and as JSON."""

from __future__ import annotations

import io
import re
import shutil
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

import click
import pytest

from checklist.commands import demo as demo_command
from checklist.commands.exits import FINE, MEANINGS, NOT_SHOWN, REFUSED, WRONG
from checklist.commands.typed.program import standclear
from checklist.demo.building import build
from checklist.demo.cast import PASSPHRASE
from checklist.demo.club import Club
from checklist.sessions.overview import overview
from tests.commands.conftest import Ran, Shell

CHANGING = {"correct", "copy-rules", "tags", "people", "receipt", "known", "give-up"}
"""Commands that change a log folder, or whose subcommands do."""

DRAWN = re.compile("[\u2500-\u25ff\u2800-\u28ff]")
RULES = Path(__file__).resolve().parents[2] / "rules" / "checks" / "station-bonding.yaml"
WREN = "Wren Holloway"

NO_JSON = {
    "walk": "asks step by step, or opens the screens",
    "rehearse": "asks step by step, or opens the screens",
    "go-on": "asks step by step",
    "sign": "asks for signatures",
    "station edit": "opens the screens",
    "schema": "is JSON already",
    "completion": "is a script for a shell",
}
"""Commands without --json, and why."""


@dataclass(frozen=True)
class Call:
    """One call of a command, and the number it ends with."""

    words: tuple[str, ...]
    code: int = FINE
    at: str = "hill"
    first: tuple[tuple[str, ...], ...] = ()
    """Calls before it, each at a laptop."""


def _call(text: str, code: int = FINE, at: str = "hill", *first: str) -> Call:
    return Call(tuple(text.split("|")), code, at, tuple(tuple(f.split("|")) for f in first))


CALLS = [
    _call("now"),
    _call("review"),
    _call("review|tower|--since|2026-01-01"),
    _call("show|SESSION"),
    _call("verify", NOT_SHOWN),
    _call("verify|BASE/copies/tampered/logs", WRONG),
    _call("audit", NOT_SHOWN),
    _call("audit|BASE/copies/tampered/logs", WRONG, "officer"),
    _call(f"correct|SESSION|rescue|50 d|--reason|miscounted|--by|{WREN}"),
    _call("export|SESSION|NEW/exported"),
    _call("numbers|fall"),
    _call("check-rules|RULES"),
    _call("check-rules|BASE/INVENTED.txt", WRONG),
    _call("copy-rules|tower-work|our-tower"),
    _call("rules"),
    _call("calculate"),
    _call("calculate|ladder-set-back"),
    _call("calculate|ladder-set-back|working-length=20 ft|set-back=5 ft"),
    _call("calculate|ladder-set-back|working-length=20 ft|set-back=1 ft", WRONG),
    _call("calculate|ladder-set-back|working-length=20 ft|set-back=?", NOT_SHOWN),
    _call("calculate|ladder-set-back|working-length=20 ft|set-back=5 ft|--explain"),
    _call("station|check|STATION"),
    _call("station|new|NEW/new.yaml"),
    _call("bonding|STATION"),
    _call("exposure|STATION"),
    _call("exposure|STATION|--at|18 m, 4 m, 1.5 m"),
    _call("exposure|STATION|--variant|remedies"),
    _call("demo|NEW/another"),
    _call("manual"),
    _call("manual|tower-work"),
    _call("hurt"),
    _call("hurt|shock"),
    _call("tags"),
    _call(f"tags|hang|--point|mast light supply|--lock|12|--person|{WREN}|--why|lamp|--until|8 h"),
    _call("tags|take-off|9|--locks-left|0"),
    _call("tags|remove|9|--by|Wren Holloway|--second|Corin Ashby|--as|safety officer"
          "|--absent|called at home|--contact|two calls|--told|by telephone|--locks-left|0"),
    _call(f"tags|relieve|9|--person|{WREN}|--lock|12|--locks|1|--until|8 h"),
    _call("tags|import|BASE/cellar/logs"),
    _call("tags|print|9"),
    _call("page|session|SESSION"),
    _call("page|session|SESSION|--to|NEW/page.txt"),
    _call("page|evaluation|STATION"),
    _call("page|bonding|STATION"),
    _call("page|audit"),
    _call("page|tag|9"),
    _call("page|form|tower-work"),
    _call("page|hurt"),
    _call("people"),
    _call(f"people|request|{WREN}|--out|NEW/request"),
    _call(f"people|appoint|{WREN}", at="hill"),
    _call("people|enrol|NEW/request|--code|0000-0000-0000-0000-0000", REFUSED, "officer",
          f"hill|people|request|{WREN}|--out|NEW/request"),
    _call(f"people|revoke|{WREN}|--reason|laptop lost", FINE, "officer"),
    _call(f"people|change|{WREN}|--trained|2026-11-01", FINE, "officer"),
    _call("people|send|--out|NEW/roster", FINE, "officer"),
    _call("people|take|NEW/roster", FINE, "hill",
          f"officer|people|change|{WREN}|--trained|2026-11-01",
          "officer|people|send|--out|NEW/roster"),
    _call("receipt", NOT_SHOWN),
    _call("receipt|send|--out|NEW/entries"),
    _call("receipt|give|BASE/hill/logs", FINE, "officer"),
    _call("receipt|take|NEW/receipt", FINE, "hill", "hill|receipt|send|--out|NEW/entries",
          "officer|receipt|give|NEW/entries|--out|NEW/receipt"),
    _call("receipt|compare|00000000", WRONG),
    _call("known"),
    _call("known|kit|harness 2|--kind|harness|--until|2027-11-01"),
    _call("known|forget|kit|harness 1, invented"),
    _call("give-up|UNFINISHED|--reason|rain"),
]  # fmt: skip


@pytest.fixture(scope="module")
def built(tmp_path_factory: pytest.TempPathFactory) -> Club:
    return build(tmp_path_factory.mktemp("every") / "club", whole_year=False)


@pytest.fixture
def run(built: Club, shell: Shell, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Shell:
    """Call at one laptop, of a fresh copy of the club where it would be changed."""
    monkeypatch.setattr(demo_command, "build", lambda *_, **__: built)

    def call(at: str, *given: str) -> Ran:
        club = tmp_path / "club"
        if given[0] not in CHANGING:
            club = built.folder
        elif not club.exists():
            shutil.copytree(built.folder, club, ignore=shutil.ignore_patterns("field-*", "copies"))
        words = {
            "SESSION": built.sessions["climb"][:10],
            "UNFINISHED": _unfinished(built),
            "STATION": str(club / "hill" / "station.yaml"),
            "RULES": str(RULES),
        }
        monkeypatch.setattr("sys.stdin", io.StringIO(f"{PASSPHRASE}\n" * 4))
        named = [
            words.get(w, w.replace("BASE", str(club)).replace("NEW", str(tmp_path))) for w in given
        ]
        return shell("--logs", str(club / at / "logs"), *named)

    return call


def _unfinished(club: Club) -> str:
    return next(iter(overview(club.desks["hill"]).unfinished)).session_id[:10]


def _told(call: Call) -> str:
    return " ".join(call.words)[:60]


@pytest.mark.parametrize("call", CALLS, ids=_told)
def test_plain(run: Shell, call: Call) -> None:
    """No box, block or braille, no columns, leaders, tree or mere signs; and its exit code."""
    for before in call.first:
        assert run(*before).code == FINE
    ran = run(call.at, *call.words, "--plain")
    lines = ran.out.splitlines()

    assert ran.code == call.code, ran.out[-800:] + ran.err
    assert not DRAWN.search(ran.out + ran.err)
    assert [line for line in lines if re.search(r"\S {2,}\S|\.{4,}|[+]--|^\s+\S", line)] == []
    assert [line for line in lines if line and not re.search(r"\w", line)] == []
    assert ran.said.count("\n") == 1 if call.code == REFUSED else len(lines) > 2


@pytest.mark.parametrize("call", CALLS, ids=_told)
def test_json(run: Shell, call: Call) -> None:
    """One JSON document with the caution and what was found; the exit code is the same."""
    for before in call.first:
        assert run(*before).code == FINE
    ran = run(call.at, *call.words, "--json")

    assert ran.code == call.code, ran.out[-800:] + ran.err
    if call.code != REFUSED:
        assert "local electrical code" in ran.data["caution"]
        assert set(ran.data) - {"caution"}


def every_command(
    command: click.Command = standclear, path: tuple[str, ...] = ()
) -> Iterator[tuple[str, click.Command]]:
    """Yield every command with its words, groups that list something as well."""
    if path and getattr(command, "invoke_without_command", True):
        yield " ".join(path), command
    if isinstance(command, click.Group):
        for name, inner in command.commands.items():
            yield from every_command(inner, (*path, name))


def test_each_command_has_json_or_a_reason() -> None:
    """Whatever lists, judges or does something without asking has --json."""
    without = {
        name
        for name, command in every_command()
        if not any("--json" in parameter.opts for parameter in command.params)
    }

    assert without == set(NO_JSON)


def test_each_command_is_called_here() -> None:
    """The list above leaves no command out but those that ask or open screens."""
    called = {" ".join(call.words) for call in CALLS}
    names = {name for name, _ in every_command()} - set(NO_JSON)

    assert {n for n in names if not any(f"{c} ".startswith(f"{n} ") for c in called)} == set()


def test_the_help_has_every_exit_code(shell: Shell) -> None:
    """--help and the manual's page give each number with its meaning."""
    helped, page = shell("--help").out, shell("manual", "shell").out

    for number, meaning in MEANINGS.items():
        assert f"{number}  {meaning}" in helped
        assert " ".join(f"{number}: {meaning}".split()) in " ".join(page.split())
