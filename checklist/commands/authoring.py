"""What a rule author needs from the shell: a copy to change, and the schema of the format."""

from __future__ import annotations

from checklist.commands.exits import FINE
from checklist.commands.output import print_bare, print_document, print_page
from checklist.sessions.copying import copy_rule_file
from checklist.sessions.desk import Desk


def copy_rules(desk: Desk, name: str, new_name: str, *, as_json: bool) -> int:
    """Copy a rule file into the club's folder under a new name, and say what to do next."""
    path = copy_rule_file(desk.library, desk.disk, name, new_name)
    if as_json:
        print_document({"copied": name, "name": new_name, "file": str(path)})
        return FINE
    print_page(
        [
            f"{path}: a copy of {name}.",
            "Change its title, its edition, and what is to be asked; then:",
            "  standclear check-rules",
            f"  standclear rehearse {new_name}",
        ]
    )
    return FINE


def print_schema() -> int:
    """Print the JSON Schema of rule files, alone, so that it can be sent to a file."""
    from checklist.rulefile.schema import rule_file_schema

    print_bare(rule_file_schema())
    return FINE
