"""Terminal output of a strand test: what was seen, what moved, and when to look next."""

from __future__ import annotations

from rich.console import Console
from rich.text import Text

from lift.practice.preview import Preview
from lift.practice.trial.look import LookTimes
from lift.practice.trial.strand_test import StrandTest
from lift.show.terminal.preview import chance, console, facts, print_foot, risk_words, window_words

UNUSUAL = 0.01


def print_strand(test: StrandTest, to: Console | None = None, *, only_when: bool = False) -> None:
    """Print a strand test, or only when to look.

    Parameters
    ----------
    test : StrandTest
        Result to print.
    to : rich Console, optional
        Default: standard output.
    only_when : bool
        Leave out what moved.
    """
    to = to or console()
    hair, mixture = test.before.hair, test.before.mixture
    to.print(
        f"[bold]Strand test[/], {mixture.kind}, {mixture.developer_volume:g} vol on natural level "
        f"{hair.level:g}, {hair.fibre_um:g} um{', damp' if hair.damp else ''} \u2014 rinse planned "
        f"at [bold]{test.before.minutes:g} min[/], goal {test.before.window.target.words}"
    )
    table = facts()
    if test.observations and not only_when:
        for i, words in enumerate(seen_words(test)):
            table.add_row("Seen" if i == 0 else "", words)
        for name, quantity in ((test.quantity.capitalize(), test.quantity), ("Warmth", "warmth")):
            table.add_row(name, moved_words(test, quantity))
        was, now = test.before.p_too_warm, test.after.p_too_warm
        table.add_row(
            "Too warm?",
            Text(f"{chance(was)} before; now {risk_words(now)}: {chance(now)}", style="bold"),
        )
        table.add_row("Window before", window_words(test.before))
        table.add_row("Window now", window_words(test.after))
    for i, words in enumerate(look_words(test.next_look, again=bool(test.observations))):
        table.add_row(("Look again" if test.observations else "Look") if i == 0 else "", words)
    if test.posterior is not None and not only_when:
        table.add_row(
            "Rests on",
            f"{test.posterior.effective_size:.0f} effective draws of "
            f"{test.posterior.weights.size}, {test.posterior.rounds} round"
            f"{'s' if test.posterior.rounds > 1 else ''} of importance sampling",
        )
    to.print(table)
    curves = test.before.curves
    print_foot(to, test.cautions, curves.name, curves.standing)


def seen_words(test: StrandTest) -> list[str]:
    """Each observation with what its time was worth, and a word where the fit is unusual."""
    lines = []
    for seen, gain, verdict in zip(test.observations, test.gains, test.verdicts, strict=True):
        line = f"{seen.words}: {verdict.upper() if verdict != 'useful' else 'useful'} time"
        line += f", expected to settle {100 * gain:.0f} %"
        if verdict != "useful":
            looks = test.looks
            line += (
                f"; most informative {looks.best_minutes:.0f} min ({100 * looks.best_gain:.0f} %)"
            )
        lines.append(line)
    if test.fit_chance is not None and test.fit_chance < UNUSUAL:
        lines.append(
            f"Unusual: {chance(test.fit_chance)} strands of such hair fit as badly; check the "
            "natural level and the mixture."
        )
    return lines


def moved_words(test: StrandTest, quantity: str) -> str:
    """Median and band at the rinse time, before and after, and whether the band narrowed."""
    sign = "" if quantity == "level" else "+"
    unit = {"level": "", "lift": " levels", "warmth": " dC*"}[quantity]

    def band(result: Preview) -> str:
        low, median, high = result.band_at(quantity)
        return f"{median:{sign}.2f} ({low:{sign}.2f} to {high:{sign}.2f})"

    before, after = test.width(quantity)
    change = 100.0 * (after / before - 1.0) if before > 0.0 else 0.0
    how = f"{-change:.0f} % narrower" if change < 0.0 else f"not narrower ({change:+.0f} %)"
    return f"{band(test.before)} before; now {band(test.after)}{unit}, band {how}"


def look_words(looks: LookTimes, *, again: bool) -> list[str]:
    """When to look, and what that is expected to bring."""
    how = "by eye" if looks.by_eye else "with the instrument"
    settles = f"{100 * looks.best_gain:.0f} % of the uncertainty at {looks.rinse_minutes:g} min"
    lines = [f"{looks.best_minutes:.0f} min, {how}: expected to settle {settles}"]
    if looks.soonest_minutes < looks.best_minutes:
        lines.append(f"{looks.soonest_minutes:.0f} min already tells nine tenths of that")
    lines.append(
        f"chance of rinsing inside the window: {chance(looks.p_inside_now)} now, "
        f"{chance(looks.p_inside_at_best)} with {'one more' if again else 'that'} look"
    )
    return lines
