"""Pages as PDF, read back with the general-purpose tools of poppler where these are installed."""

from __future__ import annotations

import hashlib
import re
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

from checklist.caution import BANNER
from checklist.errors import StandclearError
from checklist.pages import pdf
from checklist.pages.hurt import hurt_card
from checklist.pages.page import Grid, Page, Paper, Words
from checklist.pages.pdf import LACKING, TypesetterMissing, as_pdf
from checklist.pages.writing import write_page
from checklist.record.files.disk import RealDisk
from tests.pages.making import LONG, ODD, SHOWN_ODD, every_block, page_of

needs_poppler = pytest.mark.skipif(
    shutil.which("pdftotext") is None, reason="poppler's pdftotext is not installed"
)
SIZES = {"a4": (595.3, 841.9), "letter": (612.0, 792.0)}
"""Points of 1/72 inch: ISO 216 (210 x 297 mm) and ANSI/ASME Y14.1 (8.5 x 11 in)."""


def run(tool: str, *arguments: str) -> str:
    done = subprocess.run([tool, *arguments], capture_output=True, check=True, timeout=60)
    return done.stdout.decode()


def text_of(data: bytes, folder: Path) -> str:
    """Return the text on all sheets, as it is copied from them."""
    path = folder / "page.pdf"
    path.write_bytes(data)
    return run("pdftotext", "-raw", str(path), "-")


def sheets_of(data: bytes) -> int:
    """Return the number of sheets, from the page tree (ISO 32000-1, 7.7.3)."""
    found = re.search(rb"/Type\s*/Pages[^>]*?/Count\s+(\d+)", data)

    assert found
    return int(found[1])


@pytest.mark.parametrize("paper", ["a4", "letter"])
def test_same_page_same_bytes(paper: Paper) -> None:
    """Two makings of one page are equal byte for byte, also in another process."""
    page = page_of(*every_block(ODD))
    here = hashlib.sha256(as_pdf(page, paper)).hexdigest()
    script = (
        "import hashlib\nfrom checklist.pages.pdf import as_pdf\n"
        "from tests.pages.making import ODD, every_block, page_of\n"
        f"print(hashlib.sha256(as_pdf(page_of(*every_block(ODD)), {paper!r})).hexdigest())"
    )
    again = run(sys.executable, "-c", script).strip()

    assert here == hashlib.sha256(as_pdf(page, paper)).hexdigest() == again


@needs_poppler
@pytest.mark.parametrize("paper", ["a4", "letter"])
def test_paper_has_its_size(paper: Paper, tmp_path: Path) -> None:
    """Every sheet has the size that the standard gives, and no font comes from the machine."""
    path = tmp_path / "page.pdf"
    path.write_bytes(as_pdf(page_of(*every_block("words")), paper))
    facts = run("pdfinfo", str(path))
    size = [float(n) for n in re.findall(r"Page size:\s+([0-9.]+) x ([0-9.]+)", facts)[0]]
    fonts = {line.split()[0].partition("+")[2].partition("-")[0] for line in
             run("pdffonts", str(path)).splitlines()[2:]}  # fmt: skip

    assert size == pytest.approx(SIZES[paper], abs=0.2)
    assert fonts <= {"LibertinusSerif", "DejaVuSansMono"}


@needs_poppler
def test_text_of_people_is_inert(tmp_path: Path) -> None:
    """Markup stands on paper as it was typed; controls and what no font has, by their number."""
    text = " ".join(text_of(as_pdf(page_of(Words(ODD), title=ODD), "a4"), tmp_path).split())

    assert text.count(SHOWN_ODD) >= 2
    assert "<U+540D><U+524D> <U+1F600> Zoë" in text
    assert LACKING in text


@needs_poppler
def test_long_words_stay_on_the_paper(tmp_path: Path) -> None:
    """All of a word of 5,000 characters lies between the edges of the sheet, also in a cell."""
    path = tmp_path / "page.pdf"
    path.write_bytes(as_pdf(page_of(Words(LONG), Grid(("a", "b"), ((LONG, LONG),), (1, 5))), "a4"))
    boxes = run("pdftotext", "-bbox", str(path), "-")
    rights = [float(n) for n in re.findall(r'xMax="([0-9.]+)"', boxes)]

    assert run("pdftotext", "-raw", str(path), "-").count("x") >= 3 * len(LONG)
    assert max(rights) <= SIZES["a4"][0] - 40


@needs_poppler
def test_what_is_copied_from_the_paper_is_what_was_written(tmp_path: Path) -> None:
    """Where a name may be broken stands no character: it is copied whole, and searched for."""
    name = "f28395f82c1ab773e533bf3887474f0b"
    page = page_of(
        Grid(("ledger", "folder", "more"), ((name, "a", "b"),), (4, 4, 4)), Words(name * 9)
    )
    text = text_of(as_pdf(page, "a4"), tmp_path)

    assert "\u200b" not in text
    assert "".join(text.split()).count(name) == 10


@needs_poppler
def test_rows_of_a_table_are_not_cut_in_two(tmp_path: Path) -> None:
    """A row goes onto the next sheet whole, and there the head of its table stands again."""
    rows = tuple((f"row {n}", "\n".join(f"part {n}.{k}." for k in range(9))) for n in range(20))
    data = as_pdf(page_of(Grid(("name", "said"), rows, (1, 1))), "letter")
    sheets = text_of(data, tmp_path).split("\f")[:-1]
    seen = [[n for n in range(20) if f"part {n}.{k}." in sheet] for sheet in sheets for k in (0, 8)]

    assert len(sheets) > 2
    assert seen[::2] == seen[1::2]
    assert all("name" in sheet and "said" in sheet for sheet in sheets)


@needs_poppler
def test_every_sheet_says_what_it_is_and_is_not(tmp_path: Path) -> None:
    """Banner, identity, code, number of the sheet and what it is not stand on each."""
    data = as_pdf(page_of(*(Words(f"line {n}") for n in range(200))), "letter")
    sheets = text_of(data, tmp_path).split("\f")[:-1]
    said = [BANNER, "ledger 11, entry 2", "abab-abab-abab-abab", "ab" * 32, "no permission"]

    assert len(sheets) == sheets_of(data) > 2
    for number, sheet in enumerate(sheets, start=1):
        one_line = " ".join(sheet.split())
        assert [s for s in said if s not in one_line] == []
        assert f"page {number} of {len(sheets)}" in one_line


@pytest.mark.parametrize("paper", ["a4", "letter"])
@pytest.mark.parametrize("where", ["", "Ridge Hollow Road 14\nsecond gate"])
def test_wall_card_is_one_sheet(where: str, paper: Paper) -> None:
    """What hangs on the wall does not go on behind."""
    assert sheets_of(as_pdf(hurt_card(where), paper)) == 1


@pytest.fixture
def without_typesetter(monkeypatch: pytest.MonkeyPatch) -> None:
    """Make it as if the extra had never been installed."""
    monkeypatch.setitem(sys.modules, "typst", None)


@pytest.mark.usefixtures("without_typesetter")
def test_without_the_extra_a_page_is_text(tmp_path: Path) -> None:
    """The page is written as plain text, and one sentence says how to get the PDF."""
    page: Page = page_of(Words("here"))
    written = write_page(RealDisk(), page, tmp_path / "page.pdf")

    assert written.path == tmp_path / "page.txt"
    assert "here" in written.path.read_text(encoding="utf-8")
    assert pdf.HOW_TO in written.says
    with pytest.raises(TypesetterMissing, match="pip install"):
        as_pdf(page)


def test_nothing_is_overwritten(tmp_path: Path) -> None:
    """A file that is there stays as it is."""
    path = tmp_path / "page.txt"
    path.write_text("mine")

    with pytest.raises(StandclearError, match="a file is there already"):
        write_page(RealDisk(), page_of(Words("here")), path)
    assert path.read_text() == "mine"


def test_typesetter_is_loaded_late() -> None:
    """The command line with its pages loads no typesetter."""
    script = (
        "import sys\nimport checklist.commands.typed.program, checklist.commands.pages\n"
        "print('typst' in sys.modules)"
    )

    assert run(sys.executable, "-c", script).strip() == "False"
