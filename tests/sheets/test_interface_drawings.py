"""The circuit under the table of each interface: what its lines join is what the wires of the merge join, and what is drawn wrong is caught.

The reader of the circuit tests (lines, dots, symbols, print) reads what is drawn within each frame; networkx finds the nets of the wires.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import replace
from functools import cache

import pytest
from diagram import mutations, printed
from diagram.circuit_sheets import Truth, lies, truth
from diagram.lines import read_lines
from examples import raw

from harnessdoc.book.draw import draw_sheet, make_context
from harnessdoc.drawing.record import Arc, Drawing, Rect, Text, bounds
from harnessdoc.revision.compare import compare
from harnessdoc.sheets.context import Context, Options, SheetKind, Since
from harnessdoc.steps import Loaded, load

MERGE = raw.main_file("heron-linnet")
INTERFACES = [f"I{number}" for number in range(1, 8)]
NETS = pytest.mark.outside("networkx: connected components of the wire list")


@cache
def loaded() -> Loaded:
    return load(MERGE)


@cache
def pages() -> tuple[Drawing, ...]:
    return drawn(make_context(loaded().version, Options()))


def drawn(context: Context) -> tuple[Drawing, ...]:
    return draw_sheet(context, next(ref for ref in context.sheets if ref.kind is SheetKind.INTERFACES)).pages


def framed(sheet: tuple[Drawing, ...]) -> dict[str, Drawing]:
    """What is drawn in each frame, by the interface that the words above it name; the frame is that of a page then."""
    found = {}
    for page in sheet:
        for words in page.marks:
            if isinstance(words, Text) and words.text.startswith("Circuit of "):
                frame = next(mark for mark in page.marks if isinstance(mark, Rect) and mark.width == 0.25 and mark.w > 200 and 0 < mark.y - words.y < 3)
                inside = [mark for mark in page.marks if mark is not frame and _within(bounds(mark), frame)]
                found[words.text.split()[2].rstrip(".")] = Drawing(page.width_mm, page.height_mm, (replace(frame, width=0.7), *inside))
    return found


def _within(box, frame: Rect) -> bool:
    return frame.x < box[0] and frame.y < box[1] and box[2] < frame.x + frame.w and box[3] < frame.y + frame.h


@cache
def true(interface: str) -> Truth:
    """The wires at its parts and splices."""
    harness, merge = loaded().harness, loaded().merge
    assert harness is not None and merge is not None
    things = set(merge.interfaces[interface].things)
    own = {address for address, contact in harness.contacts.items() if contact.owner in things and (contact.owner in harness.parts or address in harness.splices)}
    return truth({wire.id: (wire.from_, wire.to) for wire in harness.wires.values() if {wire.from_, wire.to} & own}, {}, [])


def test_each_interface_has_its_circuit():
    assert list(framed(pages())) == INTERFACES == list(loaded().merge.interfaces)


@NETS
@pytest.mark.parametrize("interface", INTERFACES)
def test_the_circuit_joins_what_the_wires_join(interface: str):
    assert len(true(interface).wires) >= 3
    assert lies([framed(pages())[interface]], true(interface)) == []


KINDS = {"moved": mutations.moved_lines, "dot out": mutations.without_dots, "false dot": mutations.false_dots, "line out": mutations.without_lines, "labels exchanged": mutations.exchanged_labels}


@pytest.mark.parametrize("interface", INTERFACES)
@pytest.mark.parametrize("kind", KINDS)
def test_what_is_drawn_wrong_is_caught(interface: str, kind: str):
    mutate: Callable[[Drawing], Iterator[mutations.Mutation]] = KINDS[kind]
    assert [what for what, wrong in mutate(framed(pages())[interface]) if not lies([wrong], true(interface))] == []


def test_every_kind_of_wrong_is_tried():
    for kind, mutate in KINDS.items():
        assert sum(1 for drawing in framed(pages()).values() for _ in mutate(drawing)) > 5, kind


@pytest.mark.outside("pypdfium2: boxes of the letters of the PDF")
@pytest.mark.parametrize("interface", INTERFACES)
def test_nothing_is_printed_over_anything_and_lines_are_apart(interface: str):
    drawing = framed(pages())[interface]
    assert (printed.overlaps(drawing), list(printed.too_near(read_lines(drawing)))) == ([], [])


def test_what_changed_has_a_cloud_in_the_drawing():
    old, new = loaded().version, loaded().version
    harness = new.harness
    wire = harness.wires["I4-85"]
    thicker = replace(new, harness=replace(harness, wires={**harness.wires, wire.id: replace(wire, size=harness.wires["I3-30"].size)}))
    context = replace(make_context(thicker, Options()), since=Since(make_context(old, Options()), compare(old, thicker), "B"))
    plain, marked = framed(pages()), framed(drawn(context))
    # a cloud is nothing but bows
    clouds = {name: sum(isinstance(mark, Arc) for mark in drawing.marks) - sum(isinstance(mark, Arc) for mark in plain[name].marks) for name, drawing in marked.items()}
    assert {name for name, bows in clouds.items() if bows} == {"I4"} and clouds["I4"] > 6
