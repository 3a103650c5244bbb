"""The commands: new, check, book, sheet, give, trace, why.

Each reads its arguments, runs the steps, prints. Exit codes: 0 clean, 1 findings
from the level upward (for all but ``check``: errors), 2 wrong usage. What the steps
need is imported inside the commands, so that ``--help`` is instant.
"""

from __future__ import annotations

import sys
from pathlib import Path
from typing import TYPE_CHECKING

import click

if TYPE_CHECKING:
    from ..findings import Finding
    from ..steps import Loaded, Progress

_SEVERITIES = ["advice", "malfunction", "damage", "hazard", "error"]
_CONVENTIONS = ["IEC 60757", "DIN 47002", "North American trade", "Japanese trade"]
_LISTS = ["cut.csv", "parts.csv", "labels.csv"]

FILE = click.argument("file", type=click.Path())
QUIET = click.option("--quiet", is_flag=True, help="Print findings as single lines, and nothing else.")
PAPER = click.option("--paper", type=click.Choice(["a4", "letter", "a5"], case_sensitive=False), default="a4", show_default=True, help="Paper of the sheets.")
UNITS = click.option("--units", type=click.Choice(["mm", "in"]), default="mm", show_default=True, help="Unit of lengths; the stated one stands beside.")
COLOURS = click.option("--colours", type=click.Choice(_CONVENTIONS), help="Convention in which colours are printed; that of the main file where left out.")
FORMAT = click.option("--format", "form", type=click.Choice(["text", "json"]), default="text", show_default=True, help="How findings are printed.")


@click.command()
@click.argument("file", type=click.Path())
def new(file: str) -> None:
    """Write a first description to FILE, to be changed into yours. An existing file is left alone."""
    from .starter import STARTER

    path = Path(file if file.endswith((".yaml", ".yml")) else f"{file}.yaml")
    if not path.stem.strip("."):
        _stop(f"'{file}' is no name for a file", "name the file to write, such as mine.yaml")
    try:
        with path.open("x", encoding="utf-8") as stream:
            stream.write(STARTER)
    except FileExistsError:
        _stop(f"{path} is there already and was left alone", "give another name, or move the old file away")
    except OSError as fault:
        _stop(f"{path} cannot be written: {fault.strerror}", "choose a folder you may write to")
    click.echo(f"{path} is written; next: harnessdoc check {path}")


@click.command()
@FILE
@FORMAT
@QUIET
@click.option("--level", type=click.Choice(_SEVERITIES), default="malfunction", show_default=True, help="Exit with 1 from this severity upward.")
@click.option("--timing", is_flag=True, help="Print the time each step took.")
def check(file: str, form: str, quiet: bool, level: str, timing: bool) -> None:
    """Read FILE and print every finding with its place and what to do."""
    from ..findings import Severity
    from ..steps import load

    loaded = load(file)
    _print_findings(loaded, loaded.findings, form, quiet)
    if timing:
        for step, seconds in loaded.seconds.items():
            click.echo(f"{step:<10} {seconds * 1000:8.1f} ms", err=True)
    _leave(1 if any(finding.severity >= Severity[level.upper()] for finding in loaded.findings) else 0)


@click.command()
@FILE
@click.option("--out", type=click.Path(file_okay=False), required=True, help="Folder for the book; made if it is not there.")
@PAPER
@UNITS
@COLOURS
@FORMAT
@QUIET
def book(file: str, out: str, paper: str, units: str, colours: str | None, form: str, quiet: bool) -> None:
    """Bind the book of FILE: one PDF, every sheet as SVG, the lists as CSV. Errors block it."""
    from ..sheets.context import Options
    from ..steps import bind, draw

    loaded = _loaded_without_errors(file, form, quiet)
    try:
        with _bar(quiet) as progress:
            bound = bind(draw(loaded, Options(paper, units, colours), progress), out, progress)
    except OSError as fault:
        _stop(f"{fault.filename or out} cannot be written: {fault.strerror or fault}", "what stood there is whole; name another folder")
    if not quiet:
        click.echo(f"{bound.pdf}: {bound.pages} pages; every sheet as SVG in {bound.sheets}", err=form == "json")


@click.command()
@FILE
@click.argument("name")
@click.option("--out", type=click.Path(file_okay=False), default=".", show_default=True, help="Folder to write to.")
@click.option("--as", "kind", type=click.Choice(["svg", "png", "pdf"]), default="svg", show_default=True, help="What to write.")
@PAPER
@UNITS
@COLOURS
@QUIET
def sheet(file: str, name: str, out: str, kind: str, paper: str, units: str, colours: str | None, quiet: bool) -> None:
    """Write one sheet of FILE: NAME is a sheet (pinout-E1, cut-list), or an id that has one (E1, S4, K2)."""
    from ..book.one_sheet import NoSuchSheet, write_sheet
    from ..drawing.png import MissingLibrary
    from ..sheets.context import Options

    loaded = _loaded_without_errors(file, "text", quiet)
    try:
        written = write_sheet(loaded.harness, loaded.network, loaded.geometry, loaded.findings, Options(paper, units, colours), name, kind, Path(out))
    except NoSuchSheet as fault:
        _stop(str(fault), fault.do)
    except MissingLibrary as fault:
        _stop(str(fault), "")
    except OSError as fault:
        _stop(f"{fault.filename or out} cannot be written: {fault.strerror or fault}", "choose a folder you may write to")
    if not quiet:
        for path in written:
            click.echo(path)


@click.command()
@FILE
@click.option("--as", "name", type=click.Choice(_LISTS), required=True, help="Which list.")
@COLOURS
def give(file: str, name: str, colours: str | None) -> None:
    """Print a list of FILE as CSV; lengths in mm and m, as the headings say."""
    from ..book.draw import make_context
    from ..book.lists import LISTS
    from ..sheets.context import Options

    loaded = _loaded_without_errors(file, "text", True)
    context = make_context(loaded.harness, loaded.network, loaded.geometry, loaded.findings, Options(colours=colours))
    click.echo(LISTS[name](context), nl=False)


@click.command()
@FILE
@click.argument("address")
def trace(file: str, address: str) -> None:
    """Follow the copper of FILE from ADDRESS end to end: every wire, splice and cavity."""
    from difflib import get_close_matches

    from ..network.trace import lines
    from ..steps import load
    from ..steps import trace as trace_copper

    loaded = load(file)
    _print_findings(loaded, _errors(loaded), "text", True, err=True)
    if loaded.harness is None:
        _leave(1)
    if address not in loaded.harness.contacts:
        wire = loaded.harness.wires.get(address)
        if wire is not None:
            _stop(f"'{address}' is a wire, and a trace starts at an address", f"trace one of its ends: {wire.from_} or {wire.to}")
        near = get_close_matches(address, list(loaded.harness.contacts), n=3, cutoff=0.4)
        _stop(f"{file} has no address '{address}'", f"did you mean {' or '.join(near)}?" if near else "an address is CONNECTOR.CAVITY, or a splice or ground")
    click.echo("\n".join(lines(trace_copper(loaded, address), loaded.harness)))
    _leave(1 if loaded.has_errors else 0)


@click.command()
@click.argument("code")
def why(code: str) -> None:
    """Print what a finding's CODE means, why it matters and what to do."""
    from difflib import get_close_matches

    from ..rules.codes import CODES, page

    if code not in CODES:
        near = get_close_matches(code, list(CODES), n=3, cutoff=0.4)
        _stop(f"there is no code '{code}'", f"did you mean {' or '.join(near)}?" if near else f"the codes are {', '.join(sorted(CODES))}")
    click.echo(page(code))


def _loaded_without_errors(file: str, form: str, quiet: bool) -> Loaded:
    """The loaded file; where it has errors, they are printed and the program ends with 1."""
    from ..rules.show import summary
    from ..steps import load

    loaded = load(file)
    errors = _errors(loaded)
    if errors or loaded.harness is None:
        _print_findings(loaded, errors, form, quiet, err=form != "json")
        _leave(1)
    if form == "json":
        _print_findings(loaded, loaded.findings, form, quiet)
    elif not quiet and loaded.findings:
        click.echo(f"{file}: {summary(loaded.findings)}; `harnessdoc check {file}` prints them", err=True)
    return loaded


def _errors(loaded: Loaded) -> tuple[Finding, ...]:
    from ..findings import Severity

    return tuple(finding for finding in loaded.findings if finding.severity is Severity.ERROR)


def _print_findings(loaded: Loaded, findings: tuple[Finding, ...], form: str, quiet: bool, err: bool = False) -> None:
    from ..rules.show import as_json, line_form, long_form, summary

    if form == "json":
        click.echo(as_json(findings), err=err)
        return
    for finding in findings:
        click.echo(line_form(finding) if quiet else long_form(finding, loaded.texts) + "\n", err=err)
    if not quiet:
        click.echo(summary(findings), err=err)


class _bar:
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


def _stop(message: str, do: str) -> None:
    click.echo(f"harnessdoc: {message}", err=True)
    if do:
        click.echo(f"  do: {do}", err=True)
    _leave(2)


def _leave(code: int) -> None:
    sys.exit(code)
