"""``lift record``: add, list, export, delete, learn."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from lift.cli import options
from lift.errors import LiftError, check_choice, check_number
from lift.files import write_whole

if TYPE_CHECKING:
    from lift.practice.records.record_store import RecordStore

file_option = click.option(
    "--file",
    "store_file",
    metavar="FILE",
    help="Where records are kept; default: lift/records.sqlite in the user's data folder.",
)
store_options = options.stack(file_option, options.mixtures_option)
client_option = click.option("--client", metavar="CODE", help="Only this client's records.")


@click.group("record", short_help="What was done and what came out; learn from it.")
def command() -> None:
    """Keep what was done and what came out, and learn from it.

    Records carry a code for the client, never a name, and stay in one file on this computer.
    """


@command.command("add", short_help="Append a record.")
@options.hair_options
@options.mixture_options
@click.option("--minutes", metavar="MIN", required=True, help="Rinsed after, 0 to 120 min.")
@click.option(
    "--seen",
    metavar="WHAT",
    required=True,
    help="What came out: a level (7.5) or an instrument's CIELAB (48,8,22).",
)
@click.option("--client", metavar="CODE", help="Code of the client; default: one is made.")
@click.option("--date", metavar="DAY", help="YYYY-MM-DD; default: today.")
@click.option(
    "--zone", metavar="ZONE", help="regrowth, mid-lengths, ends, highlights or 'strand test'."
)
@click.option("--invented", is_flag=True, help="Made up for a demonstration or a test.")
@file_option
@options.curves_option
@options.json_option
def add(
    minutes: str,
    seen: str,
    client: str | None,
    date: str | None,
    zone: str | None,
    invented: bool,
    store_file: str | None,
    curves_file: str | None,
    as_json: bool,
    **typed: Any,
) -> None:
    """Append what was done and what came out."""
    import datetime
    from dataclasses import replace

    from lift.practice.records.forecast import forecast_without_records
    from lift.practice.records.record import Record, make_code
    from lift.practice.trial.observation import observation

    # Everything is checked before the file is touched.
    record = Record(
        client=make_code() if client is None else client,
        date=datetime.date.today().isoformat() if date is None else date,
        hair=options.read_hair(typed),
        mixture=options.read_mixture(typed),
        result=observation(minutes, seen),
        zone=zone,
        invented=invented,
    )
    expected = forecast_without_records(record, options.read_curves(curves_file))
    with _open(store_file, create=True) as store:
        if client is None:
            record = replace(record, client=make_code(store.clients()))
        record = replace(record, number=store.add(record))
        path = store.path
    from lift.show.terminal.record import added_to_dict, print_added

    if as_json:
        options.print_json(added_to_dict(record, expected))
        return
    print_added(record, expected, path)


@command.command("list", short_help="Show records.")
@client_option
@store_options
@options.json_option
def list_records(client: str | None, store_file: str | None, as_json: bool) -> None:
    """Show records."""
    from lift.practice.records.record_export import to_json
    from lift.show.terminal.record import print_records

    with _open(store_file) as store:
        records = store.records(client)
    if as_json:
        click.echo(to_json(records), nl=False)
        return
    print_records(records)


@command.command("export", short_help="Write records as CSV or JSON.")
@click.argument("target", metavar="[FILE]", required=False)
@click.option("--format", "kind", metavar="csv|json", help="Default: by the file's ending, or csv.")
@client_option
@store_options
def export(
    target: str | None, kind: str | None, client: str | None, store_file: str | None
) -> None:
    """Write records as CSV or JSON, to FILE or to standard output."""
    from lift.practice.cautions import ALWAYS
    from lift.practice.records.record_export import to_csv, to_json

    ending = "" if target is None else Path(target).suffix.lower().lstrip(".")
    kind = check_choice("format", kind or (ending if target else "csv"), ("csv", "json"))
    with _open(store_file) as store:
        records = store.records(client)
    text = to_csv(records) if kind == "csv" else to_json(records)
    if target is None:
        click.echo(text, nl=False)
    else:
        write_whole(target, text, "file.records", private=True)
    if target is not None or kind == "csv":
        # A CSV file has no place for them, and every list of mixtures and times needs them.
        for line in map(str, ALWAYS):
            click.echo(f"  ! {line}", err=True)


@command.command("delete", short_help="Delete a record, a client or everything, for good.")
@click.option("--number", metavar="N", help="Number of one record.")
@click.option("--client", metavar="CODE", help="All records of a client.")
@click.option("--all", "everything", is_flag=True, help="All records.")
@click.option("--yes", is_flag=True, help="Needed for a client or for all.")
@store_options
def delete(
    number: str | None, client: str | None, everything: bool, yes: bool, store_file: str | None
) -> None:
    """Delete for good: the rows are overwritten and the file is rewritten without them."""
    which = None if number is None else int(check_number("record number", number, 1, 1e15))
    with _open(store_file) as store:
        if which is None and not yes and (client is not None or everything):
            count = len(store.records(client))
            ending = "s" if count != 1 else ""
            raise LiftError(f"this deletes {count} record{ending} for good; add --yes to do it")
        gone = store.delete(number=which, client=client, everything=everything)
    click.echo(f"Deleted for good: {gone} record{'s' if gone != 1 else ''}.")


@command.command("learn", short_help="A curve set of one's own, and its prediction error.")
@click.option("-o", "--output", metavar="FILE", help="Write the curve set (TOML) for --curves.")
@click.option("--invented", is_flag=True, help="Learn from invented records instead of real ones.")
@store_options
@options.curves_option
@options.plot_option
@options.json_option
def learn(
    output: str | None,
    invented: bool,
    store_file: str | None,
    curves_file: str | None,
    plot_file: str | None,
    as_json: bool,
) -> None:
    """Learn a curve set of one's own from the records, and show how well it predicts.

    The error is that of predicting each client from the other clients' records only.
    """
    from lift.practice.records.calibration import calibrate

    picture = None if plot_file is None else options.plot_path(plot_file)
    curves = options.read_curves(curves_file)
    with _open(store_file) as store:
        records = store.records()
    chosen = [record for record in records if record.invented == invented]
    if not chosen and records:
        raise LiftError(
            "all records are real; leave out --invented"
            if invented
            else "all records are invented; --invented learns from them, for a demonstration"
        )
    result = calibrate(chosen, curves, name="own" if output is None else Path(output).stem)
    if output is not None:
        result.curves.save(output)
    if picture is not None:
        from lift.show.plots.figure import save_figure
        from lift.show.plots.strand_plots import plot_calibration

        save_figure(plot_calibration(result), picture)
    if as_json:
        options.print_json(result.to_dict())
        return
    from lift.show.terminal.record import print_calibration

    print_calibration(result, len(records) - len(chosen))
    if output is not None:
        click.echo(f"Curve set: {output} (lift preview --curves {output})")
    if picture is not None:
        click.echo(f"Picture: {picture}")


def _open(path: str | None, **how: Any) -> RecordStore:
    from lift.practice.records.record_store import RecordStore

    return RecordStore(path, classes=options.known_mixtures(), **how)
