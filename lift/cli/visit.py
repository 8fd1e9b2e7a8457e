"""``lift visit``: list, show, export, import, delete."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from lift.cli import options
from lift.errors import LiftError, check_choice
from lift.files import write_whole
from lift.words import say

if TYPE_CHECKING:
    from lift.practice.visit.visit_store import VisitStore

FORMATS = ("toml", "json", "csv", "ics")

file_option = options.option("--file", "store_file", metavar="file", says="cli.visit.file")
store_options = options.stack(file_option, options.mixtures_option)
client_option = options.option("--client", metavar="code", says="cli.visit.client")


@options.group("visit")
def command() -> None:
    """Visits."""


@options.command("list", of="visit")
@client_option
@store_options
@options.json_option
def list_visits(client: str | None, store_file: str | None, as_json: bool) -> None:
    """List visits."""
    with _open(store_file) as store:
        kept = store.visits() if client is None else store.of_client(client)
    if as_json:
        from lift.answers.encode import plain
        from lift.answers.visit import visits_listed

        options.print_json(plain(visits_listed(kept)))
        return
    from lift.show.terminal.visit import print_visits

    print_visits(kept)


@options.command("show", of="visit")
@options.argument("name", metavar="visit")
@store_options
@options.curves_option
@options.json_option
def show(name: str, store_file: str | None, curves_file: str | None, as_json: bool) -> None:
    """Show a visit."""
    from lift.practice.visit.pictures import VisitPictures

    with _open(store_file) as store:
        kept, pictures = store.get(name), VisitPictures(store).of(name)
    if as_json:
        from lift.answers.encode import plain
        from lift.answers.visit import kept_visit

        options.print_json(plain(kept_visit(kept)))
        return
    from lift.show.terminal.visit import print_visit

    print_visit(kept.visit, options.read_curves(curves_file), len(pictures))


@options.command("export", of="visit")
@options.argument("name", metavar="visit")
@options.argument("target", metavar="file", required=False)
@options.option("--format", "kind", metavar="toml_json_csv", says="cli.visit_export.format")
@store_options
def export(name: str, target: str | None, kind: str | None, store_file: str | None) -> None:
    """Write a visit to a file or to standard output."""
    from lift.practice.cautions import UNMIXED
    from lift.practice.records.flat import to_csv
    from lift.practice.records.of_visit import records_of
    from lift.practice.visit.next_entry import visit_ics
    from lift.practice.visit.visit_file import to_json, to_toml

    ending = "" if target is None else Path(target).suffix.lower().lstrip(".")
    kind = check_choice("cli.record_export.format_name", kind or ending or FORMATS[0], FORMATS)
    with _open(store_file) as store:
        kept = store.get(name)
    text: str | bytes
    if kind == "ics":
        text = visit_ics(kept.visit)
    elif kind == "csv":
        text = to_csv(records_of(kept.visit, kept.number))
    else:
        text = to_json(kept.visit) if kind == "json" else to_toml(kept.visit)
    if target is None:
        click.echo(text, nl=False)
    else:
        write_whole(target, text, "file.scenario", private=True)
    for caution in UNMIXED:
        click.echo(say("terminal.caution", caution=caution), err=True)


@options.command("import", of="visit")
@options.argument("files", metavar="files", nargs=-1, required=True)
@options.option("--replace", is_flag=True, says="cli.visit_import.replace")
@options.option("--invented", is_flag=True, says="cli.record_add.invented")
@store_options
def import_files(
    files: tuple[str, ...], replace: bool, invented: bool, store_file: str | None
) -> None:
    """Keep what scenario files and files of visits hold."""
    from lift.practice.visit.visit_file import load_visit
    from lift.practice.visit.visit_store import NameTakenError

    # Everything is read before anything is kept.
    visits = [load_visit(path, options.known_mixtures()) for path in files]
    with _open(store_file, create=True) as store:
        for visit in visits:
            if invented:
                visit = visit.replace(invented=True)
            try:
                kept = store.add(visit)
            except NameTakenError:
                if not replace:
                    raise LiftError("cli.visit_import.taken", name=visit.name) from None
                kept = store.put(visit, store.get(visit.name).revision)
            click.echo(say("cli.visit_import.done", name=visit.name, client=kept.visit.client))


@options.command("delete", of="visit")
@options.argument("name", metavar="visit", required=False)
@options.option("--client", metavar="code", says="cli.visit_delete.client")
@options.option("--yes", is_flag=True, says="cli.record_delete.yes")
@store_options
def delete(name: str | None, client: str | None, yes: bool, store_file: str | None) -> None:
    """Delete for good."""
    with _open(store_file) as store:
        if client is not None and name is None and not yes:
            raise LiftError("cli.visit_delete.sure", count=len(store.visits(client)))
        gone = store.delete(name=name, client=client)
    click.echo(say("cli.visit_delete.done", count=gone))


for each in (list_visits, show, export, import_files, delete):
    command.add_command(each)


def _open(path: str | None, **how: Any) -> VisitStore:
    from lift.practice.visit.visit_store import VisitStore

    return VisitStore(path, classes=options.known_mixtures(), **how)
