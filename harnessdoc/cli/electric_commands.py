"""The command about the solved circuit: readings.

Exit codes: 0; 1 where the files have errors or a state asked for has no solution; 2 wrong usage.
"""

from __future__ import annotations

import click

from .common import FILE, leave, loaded_without_errors
from .state_options import Asked, addresses_of, operation_of, reference_of, refuse_floating, state_of, state_options


@click.command()
@FILE
@state_options
@click.option("--at", metavar="ADDRESS", multiple=True,
              help="Where the meter is held: an address, or a whole connector, box or device. May be repeated; every contact with a wire where left out.")
@click.option("--against", metavar="ADDRESS", help="Where its other lead is; battery minus where left out.")
@click.option("--format", "form", type=click.Choice(["text", "json"]), default="text", show_default=True, help="How the readings are printed.")
def readings(file: str, state: str | None, key: str | None, engine: str | None, switches: tuple[str, ...], on: tuple[str, ...],
             at: tuple[str, ...], against: str | None, form: str) -> None:
    """Print what a meter shows at the contacts of FILE in a state.

    Without a state: the states that were solved, with what the supplies give in each, or
    with --at the reading at these addresses in each.
    """
    from . import readings_json, readings_text

    operation = operation_of(loaded_without_errors(file, "text", True, draws=False), file)
    asked = Asked(state, key, engine, switches, on)
    printer = readings_json if form == "json" else readings_text
    reference = reference_of(operation, file, against) if against is not None else None
    if not asked.options:
        click.echo(printer.of_states(operation, addresses_of(operation, file, at) if at else (), reference))
        leave(0 if all(solved.solution for solved in operation.solved.values()) else 1)
    solved = state_of(operation, file, asked)
    if reference is not None:
        refuse_floating(operation, solved, reference)
    click.echo(printer.of_state(operation, solved, addresses_of(operation, file, at), reference))
    leave(0 if solved.solution else 1)
