"""The command line: thin commands over ``harnessdoc.steps``."""

from __future__ import annotations

import gc
import sys

import click

from .booklet_command import booklet
from .commands import book, check, give, new, sheet, trace, why
from .electric_commands import readings
from .label_commands import labels
from .merge_commands import join, match, recipe
from .order_command import keep_order
from .revision_commands import diff, log

_COLLECT_FROM = 100_000   # new objects


@click.group(context_settings={"help_option_names": ["--help", "-h"]})
@click.version_option(package_name="harnessdoc", message="%(prog)s %(version)s")
def harnessdoc() -> None:
    """From a plain-text description of a vehicle wiring harness to the book a technician carries."""


for command in (new, check, book, booklet, sheet, give, labels, keep_order, trace, readings, why, diff, log, join, match, recipe):
    harnessdoc.add_command(command)


def main() -> None:
    """Entry point: output survives a terminal that lacks a character."""
    for stream in (sys.stdout, sys.stderr):
        reconfigure = getattr(stream, "reconfigure", None)
        if reconfigure:
            reconfigure(errors="backslashreplace")
    # Modules and the harness live to the end: the collector would walk them for nothing,
    # on the way and once more at the end.
    gc.set_threshold(_COLLECT_FROM)
    try:
        harnessdoc(prog_name="harnessdoc")
    finally:
        gc.freeze()
