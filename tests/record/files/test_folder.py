"""Where logs are kept when nobody names a folder."""

from __future__ import annotations

from pathlib import Path

import platformdirs
import pytest

from checklist.record.files import folder
from checklist.record.files.folder import default_log_folder

ROOT = Path(__file__).parents[3]


def test_a_checkout_keeps_its_logs_beside_the_package() -> None:
    """As the README says: in the folder logs of the checkout that the program runs from."""
    assert default_log_folder() == ROOT / "logs"


@pytest.mark.parametrize("beside", ["nothing", "pyproject.toml", "logs/README.md"])
def test_elsewhere_the_platform_says(
    monkeypatch: pytest.MonkeyPatch, tmp_path: Path, beside: str
) -> None:
    """Installed without a whole checkout around it: in the platform's folder for data."""
    installed = tmp_path / "lib" / "checklist" / "record" / "files" / "folder.py"
    (tmp_path / "lib" / beside).parent.mkdir(parents=True)
    (tmp_path / "lib" / beside).touch()
    monkeypatch.setattr(folder, "__file__", str(installed))

    assert default_log_folder() == platformdirs.user_data_path("standclear") / "logs"
