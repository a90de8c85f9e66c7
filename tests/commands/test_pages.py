"""`standclear page`: as text, into files, and refused in one sentence."""

from __future__ import annotations

from pathlib import Path

import pytest

from checklist.caution import BANNER
from tests.commands.conftest import Shell
from tests.station.making import WHOLE


@pytest.fixture
def station(tmp_path: Path) -> str:
    path = tmp_path / "station.yaml"
    path.write_text(WHOLE, "utf-8")
    return str(path)


def test_form_as_text_and_as_pdf(shell: Shell, tmp_path: Path) -> None:
    """Without --to the form is printed; with it a PDF is written, once and not over another."""
    target = tmp_path / "form.pdf"
    printed = shell("page", "form", "release")
    written = shell("page", "form", "release", "--to", str(target), "--paper", "a4")
    again = shell("page", "form", "release", "--to", str(target))

    assert printed.code == written.code == 0
    assert BANNER in " ".join(printed.out.split())
    assert target.read_bytes().startswith(b"%PDF-")
    assert again.code == 2
    assert "a file is there already" in again.err


def test_card_takes_the_address_from_the_station_file(shell: Shell, station: str) -> None:
    """The card has the address where a file gives it, and lines to write on where none does."""
    assert "Ridge" not in shell("page", "hurt").out
    assert "Say where (street" in shell("page", "hurt").out
    assert "Say where (street" not in shell("page", "hurt", station).out


def test_bonding_of_a_station(shell: Shell, station: str) -> None:
    """The diagram stands on the page as a tree, with its conductors."""
    ran = shell("page", "bonding", station)

    assert ran.code == 0
    assert "+-- panel [service]" in ran.out
    assert "CONDUCTORS" in ran.out.upper()


def test_a_variant_says_that_no_file_holds_it(
    shell: Shell, station: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    """What is changed stands above the results, and the power of the table is the changed one."""
    monkeypatch.setattr(
        "checklist.pages.exposurepictures.exposure_pictures", lambda *_: ()
    )  # the pictures have tests of their own, and take seconds
    ran = shell("page", "evaluation", station, "--variant", "evening-net power 123 W")
    words = " ".join(ran.out.split())

    assert ran.code == 0
    assert words.index("A VARIANT, SAVED IN NO FILE") < words.index("Results at each place")
    assert "123 W instead of" in words
    assert "A VARIANT of the station file station.yaml, saved in no file: DRAFT" in words


def test_plain_is_whole_sentences(shell: Shell) -> None:
    """With --plain nothing is drawn and no sheet is fed."""
    ran = shell("--plain", "page", "form", "release")

    assert ran.code == 0
    assert "\f" not in ran.out
    assert "[ ]" not in ran.out
    assert "Tick one: yes;" in ran.out


@pytest.mark.parametrize(
    ("words", "says"),
    [
        (("page", "form", "nothing"), "there is no rule file"),
        (("page", "form", "release", "--to", "form.doc"), "ends in neither .pdf nor .txt"),
        (("page", "form", "release", "--paper", "a3"), "'a3' is not one of"),
        (("page", "evaluation", "abcdef12"), "no such file, and no session of that name"),
        (("page", "session", "abcdef12"), ""),
        (("page", "tag", "5"), ""),
        (("page", "bonding", "nowhere.yaml"), "there is no such file"),
        (("page", "hurt", "nowhere.yaml"), "there is no such file"),
    ],
)
def test_what_cannot_be_printed_is_a_sentence(
    words: tuple[str, ...], says: str, shell: Shell
) -> None:
    """Exit code 2 and one sentence on stderr, nothing on stdout."""
    ran = shell(*words)

    assert ran.code == 2
    assert says in ran.err
    assert ran.said.count("\n") == 1
    assert ran.out == ""
