"""Labels as a file: on label paper, as flags, or as a list.

Takes a version, the reader's options and what is asked for; gives the file, written aside and moved,
and the labels whose words did not fit.
"""

from __future__ import annotations

import os
import tempfile
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from ..drawing.pdf import Meta, PdfPage, write_pdf
from ..geometry.labels import Label, label_list
from ..revision.version import Version
from ..sheets.context import Context, Options
from ..sheets.label_cell import needed
from ..sheets.label_flags import draw_label_flags
from ..sheets.label_paper import LabelPages, LabelPaper, Unfit, draw_label_paper, print_order
from .bind import spare_inputs
from .draw import make_context
from .lists import labels_csv


@dataclass(frozen=True, slots=True)
class Asked:
    """What is wanted: ``paper`` for label paper, None for flags; first, outline: see `label_paper.draw_label_paper`."""

    paper: LabelPaper | None
    first: int = 1
    outline: bool = False


@dataclass(frozen=True, slots=True)
class Written:
    """How many labels and pages; unfit: the labels that print their number alone. Without labels no file is written."""

    labels: int
    pages: int
    unfit: tuple[Unfit, ...]


def write_label_pdf(version: Version, options: Options, asked: Asked, joins_only: bool, out: Path, inputs: Sequence[str]) -> Written:
    """Draw the labels into the PDF ``out``. joins_only: those that carry the number of a join; inputs: the files the harness was read from.

    Raises OSError where it cannot be written, or stands in the place of an input.
    """
    context = make_context(version, options)
    labels = _labels(context, joins_only)
    if not labels:
        return Written(0, 0, ())
    drawn = draw_label_paper(print_order(labels), asked.paper, asked.first, asked.outline) if asked.paper else draw_label_flags(context, labels)
    _write(out, _pdf(context, drawn), inputs)
    return Written(len(labels), len(drawn.pages), drawn.unfit)


def write_label_csv(version: Version, options: Options, joins_only: bool, out: Path, inputs: Sequence[str]) -> Written:
    """Write the list of the labels as CSV into ``out``; see `write_label_pdf`."""
    context = make_context(version, options)
    labels = _labels(context, joins_only)
    if labels:
        _write(out, labels_csv(context, labels).encode("utf-8"), inputs)
    return Written(len(labels), 0, ())


def unfit_words(unfit: Unfit, version: Version) -> str:
    """One line: where the wire stands, what does not fit, and both sizes."""
    label = unfit.label
    smallest = " or ".join(f"{width:.1f} x {height:.1f} mm" for width, height in needed(label))
    return (f"{version.harness.wires[label.wire].source.place()}: the label of wire {label.wire} at {label.at}, '{label.text}', needs {smallest}, "
            f"and has {unfit.width:.1f} x {unfit.height:.1f} mm: its number stands alone")


def _labels(context: Context, joins_only: bool) -> list[Label]:
    return [label for label in label_list(context.harness, context.convention, context.join_numbers) if label.joins or not joins_only]


def _pdf(context: Context, drawn: LabelPages) -> bytes:
    harness = context.harness
    pages = [PdfPage(drawing, f"labels-{number}", str(number)) for number, drawing in enumerate(drawn.pages, start=1)]
    return write_pdf(pages, Meta(f"{harness.title or harness.file}: labels", harness.by, harness.log[-1].date if harness.log else ""))


def _write(out: Path, data: bytes, inputs: Sequence[str]) -> None:
    spare_inputs(tuple(inputs), [out])
    with tempfile.TemporaryDirectory(prefix=".unfinished-", dir=out.parent) as aside:
        (Path(aside) / out.name).write_bytes(data)
        os.replace(Path(aside) / out.name, out)
