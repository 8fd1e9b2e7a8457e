"""``lift record``: add, list, export, delete, learn."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from lift.cli import options, photo_options, strand_options
from lift.errors import LiftError, check_choice, check_number
from lift.files import write_whole
from lift.practice.records.record import ZONES
from lift.quantities import MINUTES
from lift.words import note, say

if TYPE_CHECKING:
    from lift.practice.records.record_store import RecordStore

file_option = options.option("--file", "store_file", metavar="file", says="cli.record.file")
store_options = options.stack(file_option, options.mixtures_option)
client_option = options.option("--client", metavar="code", says="cli.record.client_only")
MINUTES_HELP = note("cli.record_add.minutes", low=MINUTES.low, high=MINUTES.high)


@options.group("record")
def command() -> None:
    """Records."""


@options.command("add", of="record")
@strand_options.hair_options
@strand_options.mixture_options
@options.option("--minutes", metavar="minutes", required=True, says=MINUTES_HELP)
@options.option("--seen", metavar="seen", says="cli.record_add.seen")
@photo_options.photo_option
@options.option("--client", metavar="code", says="cli.record_add.client")
@options.option("--date", metavar="day", says="cli.record_add.date")
@options.option("--zone", metavar="zone", says=note("cli.record_add.zone", zones=ZONES))
@options.option("--invented", is_flag=True, says="cli.record_add.invented")
@file_option
@options.curves_option
@options.json_option
def add(
    minutes: str,
    seen: str | None,
    photo: str | None,
    chart: tuple[str, ...],
    hair: tuple[str, ...],
    client: str | None,
    date: str | None,
    zone: str | None,
    invented: bool,
    store_file: str | None,
    curves_file: str | None,
    as_json: bool,
    **typed: Any,
) -> None:
    """Append a record."""
    import datetime
    from dataclasses import replace

    from lift.practice.records.forecast import forecast_without_records
    from lift.practice.records.record import Record
    from lift.practice.trial.observation import observation
    from lift.practice.trial.photographed import photographed
    from lift.practice.visit.codes import make_code

    if (seen is None) == (photo is None):
        raise LiftError("cli.record_add.one_of")
    curves = options.read_curves(curves_file)
    # Everything is checked before the file is touched.
    measured = photo_options.measured_in([photo] if photo else [], chart, hair, curves)
    result = photographed(minutes, measured[0][1]) if seen is None else observation(minutes, seen)
    record = Record(
        client=make_code() if client is None else client,
        date=datetime.date.today().isoformat() if date is None else date,
        hair=strand_options.read_hair(typed),
        mixture=strand_options.read_mixture(typed),
        result=result,
        zone=zone,
        invented=invented,
    )
    expected = forecast_without_records(record, curves)
    with _open(store_file, create=True) as store:
        if client is None:
            record = replace(record, client=make_code(store.clients()))
        record = replace(record, number=store.add(record))
        path = store.path
    photo_options.tell_measured(measured, aside=as_json)
    if as_json:
        from lift.answers.encode import plain
        from lift.answers.record import added_answer

        options.print_json(plain(added_answer(record, expected)))
        return
    from lift.show.terminal.record import print_added

    print_added(record, expected, path)


@options.command("list", of="record")
@client_option
@store_options
@options.json_option
def list_records(client: str | None, store_file: str | None, as_json: bool) -> None:
    """Show records."""
    with _open(store_file) as store:
        records = store.records(client)
    if as_json:
        from lift.answers.record import records_json

        click.echo(records_json(records), nl=False)
        return
    from lift.show.terminal.record import print_records

    print_records(records)


@options.command("export", of="record")
@options.argument("target", metavar="file", required=False)
@options.option("--format", "kind", metavar="csv_json", says="cli.record_export.format")
@client_option
@store_options
def export(
    target: str | None, kind: str | None, client: str | None, store_file: str | None
) -> None:
    """Write records to a file or to standard output."""
    from lift.answers.record import records_json
    from lift.practice.cautions import UNMIXED
    from lift.practice.records.flat import to_csv

    ending = "" if target is None else Path(target).suffix.lower().lstrip(".")
    kind = check_choice(
        "cli.record_export.format_name", kind or (ending if target else "csv"), ("csv", "json")
    )
    with _open(store_file) as store:
        records = store.records(client)
    text = to_csv(records) if kind == "csv" else records_json(records)
    if target is None:
        click.echo(text, nl=False)
    else:
        write_whole(target, text, "file.records", private=True)
    if target is not None or kind == "csv":
        # A CSV file has no place for them, and every list of mixtures and times needs them.
        for caution in UNMIXED:
            click.echo(say("terminal.caution", caution=caution), err=True)


@options.command("delete", of="record")
@options.option("--number", metavar="n", says="cli.record_delete.number")
@options.option("--client", metavar="code", says="cli.record_delete.client")
@options.option("--all", "everything", is_flag=True, says="cli.record_delete.all")
@options.option("--yes", is_flag=True, says="cli.record_delete.yes")
@store_options
def delete(
    number: str | None, client: str | None, everything: bool, yes: bool, store_file: str | None
) -> None:
    """Delete for good."""
    which = None if number is None else int(check_number("records.number", number, 1, 1e15))
    with _open(store_file) as store:
        if which is None and not yes and (client is not None or everything):
            count = len(store.records(client))
            raise LiftError("cli.record_delete.sure", count=count)
        gone = store.delete(number=which, client=client, everything=everything)
    click.echo(say("cli.record_delete.done", count=gone))


@options.command("learn", of="record")
@options.option("-o", "--output", metavar="file", says="cli.record_learn.output")
@options.option("--invented", is_flag=True, says="cli.record_learn.invented")
@store_options
@options.curves_option
@options.plot_option
@options.json_option
def learn(
    output: str | None,
    invented: bool,
    store_file: str | None,
    curves_file: str | None,
    picture: Path | None,
    as_json: bool,
) -> None:
    """Learn from records."""
    from lift.practice.records.learned import Learned, learn_from_records
    from lift.show.plots.strand_plots import plot_learned
    from lift.show.terminal.record import print_learned

    curves = options.read_curves(curves_file)
    with _open(store_file) as store:
        records = store.records()
    chosen = [record for record in records if record.invented == invented]
    if not chosen and records:
        raise LiftError(f"cli.record_learn.{'all_real' if invented else 'all_invented'}")
    result = learn_from_records(chosen, curves, name="own" if output is None else Path(output).stem)
    if output is not None:
        result.curves.save(output)

    def tell(learnt: Learned) -> None:
        print_learned(learnt, len(records) - len(chosen))
        if output is not None:
            click.echo(say("cli.record_learn.written", path=output))

    options.answer(result, as_json, tell, (picture, plot_learned))


for each in (add, list_records, export, delete, learn):
    command.add_command(each)


def _open(path: str | None, **how: Any) -> RecordStore:
    from lift.practice.records.record_store import RecordStore

    return RecordStore(path, classes=options.known_mixtures(), **how)
