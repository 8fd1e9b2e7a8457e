"""``lift evidence``."""

from __future__ import annotations

import click

from lift.cli import options


@click.command("evidence", short_help="Every check against the outside.")
@options.curves_option
@options.json_option
def command(curves_file: str | None, as_json: bool) -> int:
    """Compare the model with published figures, reference libraries and trade practice.

    The exit code is 1 when a check fails.
    """
    from lift.research.evidence.checks import all_checks

    checks = list(all_checks(options.read_curves(curves_file)))
    if as_json:
        options.print_json([c.to_dict() for c in checks])
    else:
        from lift.show.terminal.evidence import print_evidence

        print_evidence(checks)
    return 0 if all(c.passed for c in checks) else 1
