"""The command that prints labels: on label paper, as flags for heat-shrink, as a list.

Exit codes: 0; 1 where the files have errors; 2 wrong usage. A label whose words do not fit is told, and is no error.
"""

from __future__ import annotations

import re
from pathlib import Path
from typing import TYPE_CHECKING

import click

from .common import COLOURS, FILE, PAPER, QUIET, loaded_without_errors, stop

if TYPE_CHECKING:
    from ..book.label_file import Asked, Written
    from ..sheets.label_paper import LabelPaper
    from ..steps import Loaded

_MARGINS = ("top", "bottom", "left", "right", "gap-across", "gap-down")
_MOST_TOLD = 10


@click.command()
@FILE
@click.option("--out", type=click.Path(dir_okay=False), required=True, help="File to write: .pdf, or .csv for the list.")
@click.option("--rows", type=int, help="Rows of labels on the paper.")
@click.option("--columns", type=int, help="Columns of labels on the paper.")
@click.option("--flags", is_flag=True, help="Flags to lie under clear heat-shrink, by the sleeve that fits, the longest wire first.")
@click.option("--top", help="Edge of the paper to the first label, in mm or with its unit.  [default: 10 mm]")
@click.option("--bottom", help="Last label to the edge of the paper; that at the top where left out.")
@click.option("--left", help="Edge of the paper to the first label.  [default: 5 mm]")
@click.option("--right", help="Last label to the edge of the paper; that on the left where left out.")
@click.option("--gap-across", help="Between two labels side by side.  [default: 0]")
@click.option("--gap-down", help="Between two labels one below the other.  [default: 0]")
@click.option("--first", type=int, help="Place of the first label on a sheet already begun, from the top left, row by row.  [default: 1]")
@click.option("--outline", is_flag=True, help="Draw the edge of every label: to try the paper, or to cut plain paper.")
@click.option("--joins-only", is_flag=True, help="Only the labels that carry the number of a join.")
@PAPER
@COLOURS
@QUIET
def labels(file: str, out: str, rows: int | None, columns: int | None, flags: bool, top: str | None, bottom: str | None, left: str | None, right: str | None,
           gap_across: str | None, gap_down: str | None, first: int | None, outline: bool, joins_only: bool, paper: str, colours: str | None, quiet: bool) -> None:
    """Write the labels of both ends of every wire and join of FILE.

    On label paper: --rows and --columns, and the margins as measured. As flags for heat-shrink: --flags.
    As a list: --out FILE.csv.
    """
    from ..book.label_file import Asked, unfit_words, write_label_csv, write_label_pdf
    from ..sheets.context import Options

    target = Path(out)
    kind = target.suffix.lower()
    if kind not in (".pdf", ".csv"):
        stop(f"--out {out} does not say what to write", "end its name in .pdf for paper, or in .csv for the list")
    of_paper = {"rows": rows, "columns": columns, "top": top, "bottom": bottom, "left": left, "right": right, "gap-across": gap_across, "gap-down": gap_down,
                "first": first, "outline": outline or None}
    asked = None
    if kind == ".csv" or flags:
        unfit = [f"--{name}" for name, value in of_paper.items() if value is not None] + (["--flags"] if flags and kind == ".csv" else [])
        if unfit:
            stop(f"{', '.join(unfit)} say{'s' if len(unfit) == 1 else ''} nothing to {'a list' if kind == '.csv' else 'flags'}", f"leave {'it' if len(unfit) == 1 else 'them'} out")
        asked = Asked(None)
    else:
        asked = _on_paper(paper, of_paper)
    loaded = loaded_without_errors(file, "text", quiet, solve=False, draws=False)
    options = Options(paper=paper, colours=colours)
    try:
        if kind == ".csv":
            written = write_label_csv(loaded.version, options, joins_only, target, tuple(loaded.texts))
        else:
            written = write_label_pdf(loaded.version, options, asked, joins_only, target, tuple(loaded.texts))
    except OSError as fault:
        stop(f"{out} cannot be written: {fault.strerror or fault}", "name another file, in a folder you may write to")
    if not written.labels:
        stop(f"{file} has no {'labels of joins' if joins_only else 'wires to label'}", "leave out --joins-only" if joins_only else "describe its `wires:`")
    for one in written.unfit[:_MOST_TOLD]:
        click.echo(unfit_words(one, loaded.version), err=True)
    _tell(loaded, written, out, asked, flags, quiet)


def _tell(loaded: Loaded, written: Written, out: str, asked: Asked, flags: bool, quiet: bool) -> None:
    """What is left to say: how many did not fit, joins that lack a label, what was written."""
    if written.unfit:
        ways = "a shorter id, or --rows and --columns" if flags else "fewer --rows or --columns, or a shorter id"
        more = len(written.unfit) - _MOST_TOLD
        click.echo(f"{f'and {more} more; ' if more > 0 else ''}{len(written.unfit)} of {written.labels} labels do not fit\n  do: {ways}", err=True)
    merge = loaded.merge
    unknown = [join.id for join in merge.joins.values() if join.has_unknown_end] if merge else []
    if unknown and not quiet:
        click.echo(f"an end of {', '.join(unknown)} is not known yet, and has no label", err=True)
    if not quiet:
        pages = f" on {written.pages} page{'s' if written.pages > 1 else ''}" if written.pages else ""
        click.echo(f"{out}: {written.labels} label{'' if written.labels == 1 else 's'}{pages}")


def _on_paper(paper: str, given: dict) -> Asked:
    """The label paper as it was measured; what cannot be printed on ends the program."""
    from ..book.label_file import Asked
    from ..drawing.page import PAPERS
    from ..sheets.label_paper import LabelPaper, fault

    if given["rows"] is None or given["columns"] is None:
        stop("labels on paper need --rows and --columns", "count them on the paper in your hand, such as --rows 13 --columns 5; or ask for --flags, or for a list: --out labels.csv")
    mm = {name: _mm(name, given[name]) for name in _MARGINS}
    top = 10.0 if mm["top"] is None else mm["top"]
    left = 5.0 if mm["left"] is None else mm["left"]
    labels = LabelPaper(PAPERS[paper], given["rows"], given["columns"], top, top if mm["bottom"] is None else mm["bottom"], left, left if mm["right"] is None else mm["right"],
                        mm["gap-across"] or 0.0, mm["gap-down"] or 0.0)
    first = 1 if given["first"] is None else given["first"]
    wrong = fault(labels, first)
    if wrong:
        stop(*wrong)
    return Asked(labels, first, bool(given["outline"]))


def _mm(name: str, said: str | None) -> float | None:
    """A margin in mm: a bare number, or a length with its unit."""
    from ..description.units import UnitFault, parse_length

    if said is None:
        return None
    length = parse_length(f"{said} mm" if re.fullmatch(r"[-+0-9.,]+", said) else said, True)
    if isinstance(length, UnitFault):
        stop(f"--{name}: {length.message}", f"write it in mm, or with its unit: --{name} 10, --{name} \"0.5 in\"")
    return length.mm
