"""``lift evidence``."""

from __future__ import annotations

from lift.cli import options


@options.command("evidence")
@options.curves_option
@options.json_option
def command(curves_file: str | None, as_json: bool) -> int:
    """Compare the model with the outside; the exit code is 1 when a check does not hold."""
    from lift.research.evidence.checks import all_checks

    curves = options.read_curves(curves_file)
    checks = list(all_checks(curves))
    if as_json:
        from lift.answers import to_dict

        options.print_json([to_dict(check) for check in checks])
    else:
        from lift.research.evidence.bands import band_sensitivity, near_bands
        from lift.research.evidence.unknown import unknown
        from lift.show.terminal.evidence import print_evidence

        print_evidence(checks, unknown(curves), near_bands(), band_sensitivity(curves))
    return 0 if all(c.passed for c in checks) else 1
