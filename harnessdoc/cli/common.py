"""What the commands have in common: options, how findings and refusals are printed, the progress bar.

Takes and gives what a command takes and gives; whatever the steps need is imported inside.
"""

from __future__ import annotations

import sys
from typing import TYPE_CHECKING, NoReturn

import click

if TYPE_CHECKING:
    from pathlib import Path

    from ..findings import Finding
    from ..steps import Loaded, Progress

_CONVENTIONS = ["IEC 60757", "DIN 47002", "North American trade", "Japanese trade"]

FILE = click.argument("file", type=click.Path())
QUIET = click.option("--quiet", is_flag=True, help="Print single lines, and nothing else.")
PAPER = click.option("--paper", type=click.Choice(["a4", "letter", "a5"], case_sensitive=False), default="a4", show_default=True, help="Paper of the sheets.")
UNITS = click.option("--units", type=click.Choice(["mm", "in"]), default="mm", show_default=True, help="Unit of lengths; the stated one stands beside.")
COLOURS = click.option("--colours", type=click.Choice(_CONVENTIONS), help="Convention in which colours are printed; that of the main file where left out.")
NO_SOLVE = click.option("--no-solve", is_flag=True, help="Leave the circuit unsolved: no voltages, no currents, nothing judged by them.")
NO_CACHE = click.option("--no-cache", is_flag=True, help="Place every circuit diagram anew, and keep none for the next time.")
FORMAT = click.option("--format", "form", type=click.Choice(["text", "json"]), default="text", show_default=True, help="How findings are printed.")


def cache_folder(no_cache: bool) -> Path | None:
    """Where placed circuit diagrams are kept from one run to the next: the user's folder for such things."""
    if no_cache:
        return None
    from platformdirs import user_cache_path

    return user_cache_path("harnessdoc", appauthor=False)


def loaded_without_errors(file: str, form: str, quiet: bool, solve: bool = True, draws: bool = True) -> Loaded:
    """The loaded file, its circuit solved where ``solve``; where it has errors, they are printed and the program ends with 1.

    draws: False for what draws no sheet: an order file that cannot be used does not keep from it
    """
    from ..rules.show import summary
    from ..steps import load

    loaded = load(file, solve=solve)
    errors = errors_of(loaded) if draws else loaded.errors_but_of_order
    if errors or loaded.harness is None:
        print_findings(loaded, errors, form, quiet, err=form != "json")
        leave(1)
    if form == "json":
        print_checked(loaded, form, quiet)
    elif not quiet and loaded.findings:
        click.echo(f"{file}: {summary(loaded.findings)}; `harnessdoc check {file}` prints them", err=True)
    return loaded


def errors_of(loaded: Loaded) -> tuple[Finding, ...]:
    """The findings that keep a book from being bound."""
    from ..findings import Severity

    return tuple(finding for finding in loaded.findings if finding.severity is Severity.ERROR)


def print_findings(loaded: Loaded, findings: tuple[Finding, ...], form: str, quiet: bool, err: bool = False) -> None:
    """Findings as JSON, as single lines (quiet), or in the long form with their count, errors last; err: on the error stream."""
    from ..rules.show import as_json, line_form, long_form, mildest_first, summary

    if form == "json":
        click.echo(as_json(findings), err=err)
        return
    for finding in mildest_first(findings):
        click.echo(line_form(finding) if quiet else long_form(finding, loaded.texts) + "\n", err=err)
    if not quiet:
        click.echo(summary(findings), err=err)
        if not loaded.is_checked:
            click.echo("the rest was not checked: mend the errors first", err=err)


def print_checked(loaded: Loaded, form: str, quiet: bool) -> None:
    """All that the check found; then how many findings are waived, and what could not be asked, a line a rule."""
    from ..rules.show import as_json

    if form == "json":
        click.echo(as_json(loaded.findings, loaded.waived, loaded.unasked))
        return
    print_findings(loaded, loaded.findings, form, quiet)
    if quiet:
        return
    if loaded.waived:
        click.echo(f"waived, with a reason: {summary_of_waived(loaded)}")
    if loaded.unasked:
        click.echo("not asked, as the description does not say it:")
        for one in loaded.unasked:
            click.echo(f"  {one.words}")


def summary_of_waived(loaded: Loaded) -> str:
    """``2 malfunctions, 1 advice``: the findings that waivers take off the list."""
    from ..rules.show import summary

    return summary(waived.finding for waived in loaded.waived)


def waived_hazards(loaded: Loaded) -> str:
    """``2 hazards are waived: wire-over-ampacity at wire 4; fuse-over-wire at F3``; "" where none is. What a waiver puts off stays a hazard."""
    from ..findings import Severity

    hazards = [f"{one.finding.code} at {one.waiver.at}" for one in loaded.waived if one.finding.severity is Severity.HAZARD]
    return f"{len(hazards)} hazard{'s are' if len(hazards) > 1 else ' is'} waived: {'; '.join(hazards)}" if hazards else ""


class Bar:
    """A progress bar on the error stream, where that is a terminal and nobody asked for quiet."""

    def __init__(self, quiet: bool) -> None:
        self._shown = sys.stderr.isatty() and not quiet
        self._bar = None
        self._what = ""

    def __enter__(self) -> Progress | None:
        return self._tell if self._shown else None

    def __exit__(self, *_: object) -> None:
        self._close()

    def _tell(self, what: str, done: int, of: int) -> None:
        if what != self._what:
            self._close()
            self._what = what
            self._bar = click.progressbar(length=of, label=f"{what:<16}", file=sys.stderr)
            self._bar.__enter__()
        self._bar.update(done - self._bar.pos)

    def _close(self) -> None:
        if self._bar is not None:
            self._bar.__exit__(None, None, None)
            self._bar = None


def stop(message: str, do: str) -> NoReturn:
    """Say what cannot be done and the way out ("" where the message says it all), and end with 2."""
    click.echo(f"harnessdoc: {message}", err=True)
    if do:
        click.echo(f"  do: {do}", err=True)
    leave(2)


def leave(code: int) -> NoReturn:
    """End the program with an exit code."""
    sys.exit(code)
