"""The commands about one harness: new, check, book, sheet, give, trace, why. (``electric_commands`` has readings.)

Each reads its arguments, runs the steps, prints. Exit codes: 0 clean, 1 findings
from the level upward (for all but ``check``: errors), 2 wrong usage. What the steps
need is imported inside the commands, so that ``--help`` is instant.
"""

from __future__ import annotations

from pathlib import Path

import click

from .common import COLOURS, FILE, FORMAT, NO_CACHE, NO_SOLVE, PAPER, QUIET, UNITS, Bar, cache_folder, leave, loaded_without_errors, print_checked, print_findings, stop, waived_hazards
from .state_options import Asked, operation_of, state_of, state_options, state_shown

_SEVERITIES = ["advice", "malfunction", "damage", "hazard", "error"]
_LISTS = ["cut.csv", "parts.csv", "labels.csv"]
_MERGE_LISTS = ["joins.csv", "fates.csv", "stock.csv", "stock-cuts.csv", "to-buy.csv"]
_NETLIST = "spice"
_GRAPH = "dot"


@click.command()
@click.argument("file", type=click.Path())
def new(file: str) -> None:
    """Write a first description to FILE, to be changed into yours. An existing file is left alone."""
    from .starter import STARTER

    path = Path(file if file.endswith((".yaml", ".yml")) else f"{file}.yaml")
    if not path.stem.strip("."):
        stop(f"'{file}' is no name for a file", "name the file to write, such as mine.yaml")
    try:
        with path.open("x", encoding="utf-8") as stream:
            stream.write(STARTER)
    except FileExistsError:
        stop(f"{path} is there already and was left alone", "give another name, or move the old file away")
    except OSError as fault:
        stop(f"{path} cannot be written: {fault.strerror}", "choose a folder you may write to")
    click.echo(f"{path} is written; next: harnessdoc check {path}")


@click.command()
@FILE
@FORMAT
@QUIET
@click.option("--level", type=click.Choice(_SEVERITIES), default="malfunction", show_default=True, help="Exit with 1 from this severity upward.")
@click.option("--timing", is_flag=True, help="Print the time each step took.")
@NO_SOLVE
@click.option("--sweep/--no-sweep", default=None, help="Open every ground and fuse in turn, or not; where left out up to 5,000 wires.")
def check(file: str, form: str, quiet: bool, level: str, timing: bool, no_solve: bool, sweep: bool | None) -> None:
    """Read FILE and print every finding with its place and what to do."""
    from ..findings import Severity
    from ..steps import load

    if sweep and no_solve:
        stop("--sweep opens grounds and fuses in the solved circuit, and --no-solve leaves it unsolved", "leave one of them out")
    loaded = load(file, solve=not no_solve, sweep=sweep)
    print_checked(loaded, form, quiet)
    if loaded.operation is not None and loaded.is_checked and form == "text" and not quiet:
        from .readings_text import states_solved, states_swept

        click.echo(states_solved(loaded.operation))
        click.echo(states_swept(loaded.operation, sweep))
    if form == "text" and not quiet and (words := waived_hazards(loaded)):
        click.echo(words)
    if timing:
        for step, seconds in loaded.seconds.items():
            click.echo(f"{step:<10} {seconds * 1000:8.1f} ms", err=True)
    leave(1 if any(finding.severity >= Severity[level.upper()] for finding in loaded.findings) else 0)


@click.command()
@FILE
@click.option("--out", type=click.Path(file_okay=False), required=True, help="Folder for the book; made if it is not there.")
@PAPER
@UNITS
@COLOURS
@FORMAT
@QUIET
@NO_SOLVE
@NO_CACHE
@state_options
def book(file: str, out: str, paper: str, units: str, colours: str | None, form: str, quiet: bool, no_solve: bool, no_cache: bool,
         state: str | None, key: str | None, engine: str | None, switches: tuple[str, ...], on: tuple[str, ...]) -> None:
    """Bind the book of FILE: one PDF, every sheet as SVG, the lists as CSV. Errors block it.

    Where an option says a state, the circuit diagrams show what a meter reads in it beside each point.
    """
    from ..sheets.context import Options
    from ..steps import bind, draw

    loaded = loaded_without_errors(file, form, quiet, solve=not no_solve)
    shown = state_shown(loaded, file, Asked(state, key, engine, switches, on), no_solve)
    try:
        with Bar(quiet) as progress:
            bound = bind(draw(loaded, Options(paper, units, colours, cache_folder(no_cache), shown), progress), out, progress)
    except OSError as fault:
        stop(f"{fault.filename or out} cannot be written: {fault.strerror or fault}", "what stood there is whole; name another folder")
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
@NO_SOLVE
@NO_CACHE
@state_options
def sheet(file: str, name: str, out: str, kind: str, paper: str, units: str, colours: str | None, quiet: bool, no_solve: bool, no_cache: bool,
          state: str | None, key: str | None, engine: str | None, switches: tuple[str, ...], on: tuple[str, ...]) -> None:
    """Write one sheet of FILE: NAME is a sheet (pinout-E1, cut-list; layout-1to1 is in no book), or an id that has one (E1, S4, K2).

    Where an option says a state, a circuit diagram shows what a meter reads in it beside each point.
    """
    from ..book.one_sheet import NoSuchSheet, SameInEveryState, write_sheet
    from ..drawing.png import MissingLibrary
    from ..sheets.context import Options

    loaded = loaded_without_errors(file, "text", quiet, solve=not no_solve)
    shown = state_shown(loaded, file, Asked(state, key, engine, switches, on), no_solve)
    try:
        written = write_sheet(loaded.version, Options(paper, units, colours, cache_folder(no_cache), shown), name, kind, Path(out))
    except (NoSuchSheet, SameInEveryState) as fault:
        stop(str(fault), fault.do)
    except MissingLibrary as fault:
        stop(str(fault), "")
    except OSError as fault:
        stop(f"{fault.filename or out} cannot be written: {fault.strerror or fault}", "choose a folder you may write to")
    if not quiet:
        for path in written:
            click.echo(path)


@click.command()
@FILE
@click.option("--as", "name", type=click.Choice([*_LISTS, *_MERGE_LISTS, _NETLIST, _GRAPH]), required=True, help="Which list, the netlist, or the graph of the overview.")
@COLOURS
@NO_SOLVE
@state_options
def give(file: str, name: str, colours: str | None, no_solve: bool, state: str | None, key: str | None, engine: str | None,
         switches: tuple[str, ...], on: tuple[str, ...]) -> None:
    """Print a list of FILE as CSV, lengths in mm and m, as the headings say; its circuit in a state as a SPICE netlist; or its overview as a graph in the DOT language.

    The netlist is of key run, engine stopped, where no option says another state; the lists have none.
    """
    asked = Asked(state, key, engine, switches, on)
    if name == _NETLIST:
        unfit = (*(["--colours"] if colours else []), *(["--no-solve"] if no_solve else []))
        if unfit:
            stop(f"{' and '.join(unfit)} say{'s' if len(unfit) == 1 else ''} nothing to a netlist", f"leave {'it' if len(unfit) == 1 else 'them'} out")
        click.echo(_netlist(file, asked), nl=False)
        return
    if asked.options:
        stop(f"{', '.join(asked.options)} choose{'s' if len(asked.options) == 1 else ''} a state, and {name} is the same in every state",
             f"leave {'it' if len(asked.options) == 1 else 'them'} out, or print the netlist: --as spice")
    from ..book.draw import make_context
    from ..book.merge_lists import lists_of
    from ..sheets.context import Options

    if name == _GRAPH and colours:
        stop("--colours says nothing to the graph of the overview", "leave it out")
    loaded = loaded_without_errors(file, "text", True, solve=not no_solve, draws=False)
    context = make_context(loaded.version, Options(colours=colours))
    if name == _GRAPH:
        from ..sheets.overview import overview_dot

        click.echo(overview_dot(context), nl=False)
        return
    lists = lists_of(context)
    if name not in lists:
        stop(f"{file} is no merge, so it has no {name}", f"ask for {', '.join(lists)}; a merge names its `sources:`")
    click.echo(lists[name](context), nl=False)


def _netlist(file: str, asked: Asked) -> str:
    """The netlist of the state that is asked for; without a solution the program ends with 1."""
    from ..operation.netlist import netlist
    from .readings_text import of_state

    operation = operation_of(loaded_without_errors(file, "text", True, draws=False), file)
    harness = operation.wiring.harness
    solved = state_of(operation, file, asked)
    if solved.solution is None:
        click.echo(of_state(operation, solved, (), None), err=True)
        leave(1)
    return netlist(solved, f"{harness.title or harness.file}: {solved.case.words}")


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
    print_findings(loaded, loaded.errors_but_of_order, "text", True, err=True)
    if loaded.harness is None:
        leave(1)
    if address not in loaded.harness.contacts:
        wire = loaded.harness.wires.get(address)
        if wire is not None:
            stop(f"'{address}' is a wire, and a trace starts at an address", f"trace one of its ends: {wire.from_} or {wire.to}")
        near = get_close_matches(address, list(loaded.harness.contacts), n=3, cutoff=0.4)
        stop(f"{file} has no address '{address}'", f"did you mean {' or '.join(near)}?" if near else "an address is CONNECTOR.CAVITY, or a splice or ground")
    click.echo("\n".join(lines(trace_copper(loaded, address), loaded.harness)))
    leave(1 if loaded.errors_but_of_order else 0)


@click.command()
@click.argument("code", required=False)
def why(code: str | None) -> None:
    """Print what a finding's CODE means, why it matters and what to do; without CODE the list of codes."""
    from difflib import get_close_matches

    from ..rules.codes import CODES, list_of_codes, page

    if code is None:
        click.echo(list_of_codes())
        return
    if code not in CODES:
        near = get_close_matches(code, list(CODES), n=3, cutoff=0.4)
        stop(f"there is no code '{code}'", f"did you mean {' or '.join(near)}?" if near else "`harnessdoc why` lists the codes")
    click.echo(page(code))
