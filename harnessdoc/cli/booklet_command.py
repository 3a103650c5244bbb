"""The command that prints the booklet for the glove box.

Exit codes: 0; 1 where the files have errors; 2 wrong usage.
"""

from __future__ import annotations

from pathlib import Path

import click

from .common import COLOURS, FILE, NO_CACHE, NO_SOLVE, QUIET, UNITS, Bar, cache_folder, loaded_without_errors, stop


@click.command()
@FILE
@click.option("--out", type=click.Path(file_okay=False), required=True, help="Folder for the booklet; made if it is not there.")
@click.option("--paper", type=click.Choice(["a4", "letter"], case_sensitive=False), default="a4", show_default=True, help="Paper that is folded; a page is half of it.")
@click.option("--unfolded", is_flag=True, help="Page after page, to read on a screen or to print page by page.")
@UNITS
@COLOURS
@QUIET
@NO_SOLVE
@NO_CACHE
def booklet(file: str, out: str, paper: str, unfolded: bool, units: str, colours: str | None, quiet: bool, no_solve: bool, no_cache: bool) -> None:
    """Print the booklet of FILE: what one wants beside the road, on sheets to print on both sides (flip on the short edge), fold and staple.

    In it: battery off, fuses, relays and grounds on the first page; index, cautions, power and ground distribution, circuit diagrams and harness layout over
    facing pages, pinouts (without terminal, seal and volts), splice places, grounds, what a meter shows. Not in it: findings, cut and parts lists, labels, electrical
    data, joins and fates; they are in the book. More than 15 sheets of paper make several folds, which are put one on the other.
    """
    from ..book.booklet import bind_booklet, draw_booklet
    from ..sheets.context import Options

    loaded = loaded_without_errors(file, "text", quiet, solve=not no_solve)
    try:
        with Bar(quiet) as progress:
            drawn = draw_booklet(loaded.version, Options(paper.lower(), units, colours, cache_folder(no_cache)), progress)
            bound = bind_booklet(drawn, Path(out), not unfolded, tuple(loaded.texts))
    except OSError as fault:
        stop(f"{fault.filename or out} cannot be written: {fault.strerror or fault}", "what stood there is whole; name another folder")
    for line in drawn.unfit:
        click.echo(line, err=True)
    if drawn.unfit:
        click.echo("  do: the book has these diagrams whole; in the booklet they find room with shorter ids and functions, or with the loads of one device in circuits of their own", err=True)
    if not quiet:
        how = "in their order" if unfolded else f"on {bound.papers} sheets of paper in {bound.folds} {'fold' if bound.folds == 1 else 'folds'}: print on both sides, flip on the short edge"
        click.echo(f"{bound.pdf}: {bound.pages} pages {how}")
