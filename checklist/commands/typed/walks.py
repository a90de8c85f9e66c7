"""The commands around a walk: begin, go on, give up, sign late, and help for the hurt."""

from __future__ import annotations

from collections.abc import Callable

import click

from checklist.commands.completing import rule_file_names
from checklist.commands.done import json_wish, say_done
from checklist.commands.exits import FINE
from checklist.commands.lines import emergency_lines
from checklist.commands.output import is_plain, print_document, print_page
from checklist.commands.typed.start import Start, logs_option, start_passed
from checklist.commands.wishes import PLAIN_OPTION
from checklist.sessions.desk import Desk

Screens = Callable[[Desk, str, bool], int]


def begin_walk(desk: Desk, name: str, screens: Screens, *, rehearse: bool) -> int:
    """Walk a rule file in the screens, or line by line where plain text is wished."""
    if not is_plain():
        desk.library.load(name)  # said here, in one sentence, before any screen opens
        return screens(desk, name, rehearse)
    from checklist.commands.walking import walk_by_lines
    from checklist.sessions import opening

    opened = opening.rehearse(desk, name) if rehearse else opening.begin(desk, name)
    return walk_by_lines(desk, opened)


@click.command(short_help="Walk the rule file NAME on record.")
@click.argument("name", shell_complete=rule_file_names)
@logs_option
@start_passed
def walk(start: Start, name: str, logs: str | None) -> int:
    """Walk the rule file NAME on record, in the screens, or line by line with --plain."""
    return begin_walk(start.desk(logs), name, start.open_screens, rehearse=False)


@click.command()
@click.argument("name", shell_complete=rule_file_names)
@logs_option
@start_passed
def rehearse(start: Start, name: str, logs: str | None) -> int:
    """Walk the rule file NAME for teaching; nothing is kept."""
    return begin_walk(start.desk(logs), name, start.open_screens, rehearse=True)


@click.command("go-on", short_help="Go on with a walk that was left, line by line.")
@click.argument("session")
@click.option("--logs", metavar="FOLDER", help="The log folder.")
@click.pass_obj
def go_on(start: Start, session: str, logs: str | None) -> int:
    """Go on with the walk SESSION that was left, line by line; home offers it in the screens."""
    from checklist.commands.walking import walk_by_lines
    from checklist.sessions import opening
    from checklist.sessions.past.review import session_named

    desk = start.desk(logs)
    return walk_by_lines(desk, opening.go_on(desk, session_named(desk.folder, session)))


@click.command("give-up", short_help="Give up a walk that was left.")
@click.argument("session")
@click.option("--reason", required=True, help="Why; it stays in the record.")
@click.option("--logs", metavar="FOLDER", help="The log folder.")
@click.option("--json", "as_json", is_flag=True, help="Print one JSON document.")
@click.pass_obj
def give_up(start: Start, session: str, reason: str, logs: str | None, as_json: bool) -> int:
    """Give up the walk SESSION; it stays in the record, with the reason."""
    from checklist.record.journals.seal import abandon
    from checklist.sessions.past.review import session_named

    folder = start.desk(logs).folder
    session_id = session_named(folder, session)
    abandon(folder, session_id, reason)
    if as_json:
        print_document({"session": session_id, "given-up": reason})
    else:
        print_page([f"The walk {session_id[:8]} is given up. It stays in the record."])
    return FINE


@click.command(short_help="Give a signature that was missing.")
@click.argument("session")
@click.option("--logs", metavar="FOLDER", help="The log folder.")
@click.pass_obj
def sign(start: Start, session: str, logs: str | None) -> int:
    """Ask those whose signature is missing in SESSION for it, from whoever is here now."""
    from checklist.commands.sealing import sign_missing
    from checklist.sessions.past.review import session_named

    desk = start.desk(logs)
    return sign_missing(desk, session_named(desk.folder, session))


@click.command(short_help="Someone is hurt: what to do first.")
@click.argument("what", default="")
@json_wish
def hurt(what: str) -> int:
    """Print what to do first: for WHAT (shock, line, carbon-monoxide, fall, burn), or for all."""
    say_done(emergency_lines(what), {"what": what})
    return FINE


@click.command(short_help="What matters now: unfinished walks, tags, signatures.")
@click.option("--logs", metavar="FOLDER", help="The log folder.")
@click.option("--json", "as_json", is_flag=True, help="Print one JSON document.")
@click.pass_obj
def now(start: Start, logs: str | None, as_json: bool) -> int:
    """Print what home shows: what is open, what hangs, what is not signed, and the last walks.

    `standclear --plain` without a command prints the same.
    """
    from checklist.commands.now import print_now

    return print_now(start.desk(logs), as_json=as_json)


@click.command(short_help="Print the completion for a shell.")
@click.argument("shell", type=click.Choice(["bash", "zsh", "fish"]))
@click.pass_context
def completion(context: click.Context, shell: str) -> int:
    r"""Print what makes SHELL complete commands, options and the names of rule files.

    \b
    bash: standclear completion bash >> ~/.bashrc
    zsh:  standclear completion zsh >> ~/.zshrc
    fish: standclear completion fish > ~/.config/fish/completions/standclear.fish
    """
    from checklist.commands.completing import script

    click.echo(script(context.find_root().command, shell), nl=False)
    return FINE


PLAIN_HELP = (
    f"Text that a screen reader reads well, nothing drawn; walks line by line. {PLAIN_OPTION} may "
    "stand anywhere on the line."
)
