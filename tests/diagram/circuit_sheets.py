"""The circuit diagrams of a description as a book would draw them, and what they must show, from raw lists.

``draw`` takes a loaded description; gives its pages. ``Truth`` holds the wire list and the nets as networkx finds them in
lists read elsewhere (PyYAML, the random generator, a published table): contacts that wires, bus bars and mated halves join.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

import networkx as nx

from harnessdoc.book.draw import draw_sheet, make_context
from harnessdoc.drawing.record import Drawing
from harnessdoc.sheets.context import Context, Options, SheetKind
from harnessdoc.steps import Loaded, load

from .dot_reference import Figures
from .labels_reader import NOWHERE, label_faults, labels
from .lines import read_lines
from .reader import Reading, nets, read_page

Ends = tuple[str, str]


@dataclass(frozen=True, slots=True)
class Page:
    """sheet: its name and the number of the page."""

    sheet: str
    drawing: Drawing


@dataclass(frozen=True)
class Truth:
    """wires: number -> its ends as listed; nets: joined contacts, those alone with none other left out."""

    wires: Mapping[str, Ends]
    nets: frozenset[frozenset[str]]

    @property
    def contacts(self) -> set[str]:
        """What a diagram must name: every end of a wire, and what bus bars join."""
        return {end for net in self.nets for end in net} | {end for ends in self.wires.values() for end in ends if end not in NOWHERE}


def truth(wires: Mapping[str, Ends], bars: Mapping[str, Iterable[str]], mates: Iterable[Ends]) -> Truth:
    """mates: pairs of cavities that meet; those of which only one has a wire join nothing."""
    graph = nx.Graph()
    for ends in wires.values():
        known = [end for end in ends if end not in NOWHERE]
        graph.add_nodes_from(known)
        graph.add_edges_from([tuple(known)] if len(known) == 2 else [])
    for bar, members in bars.items():
        graph.add_edges_from((bar, member) for member in members)
    graph.add_edges_from([pair for pair in mates if set(pair) <= set(graph)])
    return Truth(dict(wires), frozenset(frozenset(net) for net in nx.connected_components(graph) if len(net) > 1))


def loaded_of(text: str) -> Loaded:
    """A description from its text; one with errors fails here."""
    loaded = load("harness.yaml", {"harness.yaml": text})
    assert loaded.harness is not None and not loaded.has_errors, loaded.findings
    return loaded


def draw(loaded: Loaded) -> list[Page]:
    """All pages of all circuit diagrams, in the order of the book."""
    return draw_from(make_context(loaded.version, Options()))


def draw_from(context: Context) -> list[Page]:
    """The same of a context."""
    return [Page(f"{ref.name} page {number}", drawing)
            for ref in context.sheets if ref.kind is SheetKind.CIRCUIT
            for number, drawing in enumerate(draw_sheet(context, ref).pages, start=1)]


def counted(drawing: Drawing) -> Figures:
    """Crossings, bends, lines without a bend, of the lines of a page that are no bars, from its marks."""
    lines = read_lines(drawing)
    wires = lines.wires()
    return Figures(len(wires), lines.crossings(), sum(wire.bends() for wire in wires), sum(not wire.bends() for wire in wires))


def lies(pages: Iterable[Drawing], true: Truth) -> list[str]:
    """Everything in which the pages together do not say what is true; [] where they do."""
    readings = [read_page(page) for page in pages]
    faults = [fault for reading in readings for fault in (*reading.faults, *label_faults(reading, true.wires))]
    shown = {label.wire for reading in readings for label in labels(reading.lines)}
    faults += [f"wire {wire} is on no page" for wire in true.wires if wire not in shown]
    return [*faults, *_wrong_nets(readings, true)]


def page_lies(reading: Reading, true: Truth) -> list[str]:
    """What one page alone says that is not true: faults of form, labels, and joins of what is not joined."""
    faults = [*reading.faults, *label_faults(reading, true.wires)]
    of = {end: net for net in true.nets for end in net}
    return [*faults, *(f"drawn as joined: {', '.join(sorted(net))}" for net in nets([reading]) if len({of.get(end, end) for end in net & true.contacts}) > 1)]


def _wrong_nets(readings: list[Reading], true: Truth) -> Iterable[str]:
    drawn = {known for net in nets(readings) if len(known := net & true.contacts) > 1}
    for net in sorted(map(sorted, true.nets - drawn)):
        yield f"not drawn as joined: {', '.join(net)}"
    for net in sorted(map(sorted, drawn - true.nets)):
        yield f"drawn as joined: {', '.join(net)}"
