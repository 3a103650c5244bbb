"""Pages of power and of ground distribution: all that must be on them is, and what their lines join is what the lists say.

The lists are read by PyYAML and csv where that can be; what must be shown is worked out from them by networkx. The pages are read by the
readers of circuit diagrams, from lines, dots, symbols and print.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import replace
from functools import cache
from textwrap import dedent

import networkx as nx
import pytest
from diagram import mutations, truths
from diagram.circuit_sheets import Truth, page_lies, truth
from diagram.labels_reader import label_faults, labels
from diagram.lines import read_lines
from diagram.printed import outside, overlaps, too_near
from diagram.reader import Reading, nets, read_page
from examples import raw
from sheets.marked_contexts import edited, version_of

from harnessdoc.book.draw import draw_sheet, make_context
from harnessdoc.drawing.record import Drawing, Text, bounds
from harnessdoc.model.harness import Harness
from harnessdoc.revision.compare import compare
from harnessdoc.sheets.context import Context, Options, SheetKind, Since
from harnessdoc.steps import load

NETS = pytest.mark.outside("networkx: connected components of the wire list as PyYAML and csv read it")
PRINTED = pytest.mark.outside("pypdfium2: boxes of the letters of the PDF")
POWER, GROUND = SheetKind.POWER, SheetKind.GROUND_PAGES
SUBJECTS = (*((POWER, name) for name in ("first-merge", "heron", "linnet", *raw.MERGES)), *((GROUND, name) for name in ("diagnostic-socket", "first-merge", "heron", "linnet", *raw.MERGES)))
EACH = 5


@cache
def context(name: str) -> Context:
    return make_context(load(raw.main_file(name)).version, Options())


@cache
def drawn(kind: SheetKind, name: str) -> tuple[Drawing, ...]:
    return pages(context(name), kind)


def pages(of: Context, kind: SheetKind) -> tuple[Drawing, ...]:
    return tuple(page for ref in of.sheets if ref.kind is kind for page in draw_sheet(of, ref).pages)


@cache
def readings(kind: SheetKind, name: str) -> tuple[Reading, ...]:
    return tuple(map(read_page, drawn(kind, name)))


@cache
def lists(name: str) -> tuple[Truth, dict[str, tuple[str, ...]], tuple[str, ...], tuple[str, ...]]:
    """What is so; fuses and links with their terminals; poles of batteries and alternators; grounds."""
    if name in raw.MERGES:
        harness: Harness = context(name).harness
        fuses = {part.id: tuple(f"{part.id}.{end}" for end in part.terminals) for part in harness.parts.values() if part.kind in ("fuse", "fusible link")}
        return truths.of_model(harness), fuses, tuple(end for id in harness.supplies for end in harness.devices[id].between or ()), tuple(harness.grounds)
    whole = raw.whole(name)
    fuses = {id: (f"{id}.1", f"{id}.2") for section in ("fuses", "fusible-links") for id in whole.get(section, {})}
    poles = tuple(end for device in whole.get("devices", {}).values() if {"battery", "alternator"} & set(device) for end in device["between"])
    return truths.of_example(name), fuses, poles, tuple(whole.get("grounds", {}))


def required(kind: SheetKind, name: str) -> set[str]:
    """Of power: wires at fuses and links, at poles, and on their copper to the supply side; of ground: wires on copper with a ground."""
    true, fuses, poles, grounds = lists(name)
    if kind is GROUND:
        of_ground = {end for net in true.nets if net & set(grounds) for end in net}
        return {wire for wire, ends in true.wires.items() if set(ends) & of_ground}
    own = {end for ends in fuses.values() for end in ends}
    fed = {end for net in true.nets if net & set(poles) and not net & set(grounds) for end in net}
    return {wire for wire, ends in true.wires.items() if set(ends) & (own | fed | set(poles))}


def shown(kind: SheetKind, name: str) -> set[str]:
    return {label.wire for reading in readings(kind, name) for label in labels(reading.lines)}


def part_of(true: Truth, wires: set[str], bars: Mapping[str, tuple[str, ...]], named: set[str]) -> Truth:
    """What pages that show these wires and name these contacts join: by wires, by bars, and by halves of connectors that meet."""
    mates = [(one, two) for net in true.nets for one in net & named for two in net & named if one < two and _tail(one) == _tail(two) and one.rpartition(".")[0] != two.rpartition(".")[0]]
    halves = _halves()
    return truth({wire: true.wires[wire] for wire in wires}, {bar: tuple(end for end in ends if end in named) for bar, ends in bars.items() if bar in named},
                 [pair for pair in mates if (pair[0].rpartition(".")[0], pair[1].rpartition(".")[0]) in halves])


def _tail(address: str) -> str:
    return address.rpartition(".")[2]


@cache
def _halves() -> set[tuple[str, str]]:
    found = set()
    for name in ("heron", "linnet", "first-merge", *raw.MERGES):
        for connector in context(name).harness.connectors.values():
            if connector.mates:
                found |= {(connector.id, connector.mates), (connector.mates, connector.id)}
    return found


# ---------------------------------------------------------------------- what is on them

@pytest.mark.parametrize("name", ["first-merge", "heron", "linnet", *raw.MERGES])
def test_every_fuse_and_link_is_on_the_power_pages(name: str):
    _, fuses, _, _ = lists(name)
    named = {end.name for reading in readings(POWER, name) for end in reading.ends}
    assert fuses
    assert [id for id, ends in fuses.items() if not named & set(ends)] == []


@pytest.mark.parametrize("name", ["diagnostic-socket", "first-merge", "heron", "linnet", *raw.MERGES])
def test_every_ground_is_on_the_ground_pages(name: str):
    *_, grounds = lists(name)
    named = {end.name for reading in readings(GROUND, name) for end in reading.ends}
    assert grounds
    assert [ground for ground in grounds if ground not in named] == []


@NETS
@pytest.mark.parametrize(("kind", "name"), SUBJECTS)
def test_every_wire_that_belongs_there_is_shown(kind: SheetKind, name: str):
    wanted = required(kind, name)
    assert wanted
    assert wanted - shown(kind, name) == set()


@pytest.mark.parametrize(("name", "on_the_way"), [("linnet", {"X29.30", "X29.15", "X29.50", "K1.30", "K1.87"}), ("heron", {"X1.30", "X1.15", "X2.30", "X2.58", "K4.30", "K4.87", "K5.30", "K5.87"})])
def test_switches_and_relays_on_the_way_to_a_fuse_stand_in_their_place(name: str, on_the_way: set[str]):
    """Key switch, main relay (linnet); key switch, light switch, relief and split charge relay (heron)."""
    assert on_the_way <= {end.name for reading in readings(POWER, name) for end in reading.ends}


@pytest.mark.parametrize("name", ["heron", "linnet"])
def test_a_ground_page_shows_no_wire_of_another_kind(name: str):
    assert shown(GROUND, name) == required(GROUND, name)


# -------------------------------------------------------------------- what they join

@NETS
@pytest.mark.parametrize(("kind", "name"), SUBJECTS)
def test_what_the_lines_join_is_what_the_lists_say(kind: SheetKind, name: str):
    true, *_ = lists(name)
    read = readings(kind, name)
    assert [fault for reading in read for fault in (*reading.faults, *label_faults(reading, true.wires))] == []
    named = {end.name for reading in read for end in reading.ends} | {bar for reading in read for bar in reading.bars.values()}
    bars = {bar.address: bar.joins for box in context(name).harness.boxes.values() for bar in box.bars}
    own = part_of(true, shown(kind, name), bars, named)
    joined = {known for net in nets(read) if len(known := net & own.contacts) > 1}
    assert joined == set(own.nets)


@pytest.mark.parametrize(("kind", "name"), [(POWER, "linnet"), (GROUND, "linnet"), (POWER, "heron"), (GROUND, "heron")])
@pytest.mark.parametrize("mutate", [mutations.moved_lines, mutations.without_dots, mutations.false_dots, mutations.exchanged_labels])
def test_what_is_drawn_wrong_is_caught(kind: SheetKind, name: str, mutate):
    true, *_ = lists(name)
    missed, tried = [], 0
    for page in drawn(kind, name):
        every = list(mutate(page))
        tried += len(every)
        missed += [what for what, wrong in every[::max(1, len(every) // EACH)][:EACH] if not page_lies(read_page(wrong), true) and not _joins_less(wrong, page)]
    assert tried >= EACH and missed == []


def _joins_less(wrong: Drawing, page: Drawing) -> bool:
    return nets([read_page(wrong)]) != nets([read_page(page)])


# ------------------------------------------------------------------------- the form

@PRINTED
@pytest.mark.parametrize(("kind", "name"), SUBJECTS)
def test_nothing_is_printed_over_anything_or_outside(kind: SheetKind, name: str):
    assert list(_form_faults(kind, name)) == []


def _form_faults(kind: SheetKind, name: str) -> Iterator[str]:
    for number, page in enumerate(drawn(kind, name), start=1):
        for check in (overlaps, outside, lambda drawing: too_near(read_lines(drawing))):
            yield from (f"page {number}: {fault}" for fault in check(page))


# ------------------------------------------------------------------------- the words

def texts(kind: SheetKind, name: str) -> set[str]:
    return {mark.text.strip() for page in drawn(kind, name) for mark in page.marks if isinstance(mark, Text)}


def test_a_fuse_says_rating_box_and_when_it_is_hot():
    found = texts(POWER, "linnet")
    assert {"20 A, in B1", "3 mm²", "80 A", "hot at all times", "hot in run and start"} <= found


def test_a_fuse_behind_a_switch_names_it():
    found = " ".join(mark.text.strip() for page in drawn(POWER, "heron") for mark in page.marks if isinstance(mark, Text))
    assert found.count("hot via light switch") == 2     # F13 and F14, behind S1


def test_ends_name_the_diagram_on_which_they_go_on():
    of = context("linnet")
    sheet = next(ref for ref in of.sheets if ref.kind is SheetKind.CIRCUIT and ref.title == "fuel")
    assert {"to fuel,", f"sheet {sheet.number}"} <= texts(POWER, "linnet")


def test_a_bar_on_two_pages_names_each_on_the_other():
    one, two = ([mark.text.strip() for mark in page.marks if isinstance(mark, Text)] for page in drawn(POWER, "linnet"))
    assert any(text.startswith("to page 2, ") for text in one) and any("from page 1, " in text for text in two)


def test_a_ground_says_its_place_stud_and_metal():
    assert {"gearbox", "housing", "M10, engine"} <= texts(GROUND, "linnet")


BARE = """
    colours: IEC 60757
    fuses:
      F1: {rating: 10 A}
      F2: {rating: 5 A}
    connectors:
      X1: {face: [[1, 2]], view: mating face}
    wires:
      1: {from: X1.1, to: F1.1, size: 1 mm2, colour: RD}
"""


def test_a_fuse_with_no_wire_is_named_at_the_foot():
    page, = pages(replanned(BARE), POWER)
    assert any(isinstance(mark, Text) and mark.text.startswith("No wire is described at F2.") for mark in page.marks)


def test_without_fuses_and_grounds_there_is_no_such_sheet():
    text = "colours: IEC 60757\nconnectors:\n  X1: {face: [[1, 2]], view: mating face}\n  X2: {face: [[1, 2]], view: mating face}\nwires:\n  1: {from: X1.1, to: X2.1, size: 1 mm2, colour: RD}\n"
    assert not {POWER, GROUND} & {ref.kind for ref in replanned(text).sheets}


def replanned(text: str) -> Context:
    """A context with the sheets of a book."""
    loaded = load("harness.yaml", {"harness.yaml": dedent(text)})
    return make_context(loaded.version, Options())


def test_the_copper_of_every_net_on_a_page_is_one_component():
    """A net of the linnet's power pages has the contacts that networkx finds when the wires of the file are walked."""
    true, *_ = lists("linnet")
    graph = nx.Graph(true.wires[wire] for wire in shown(POWER, "linnet"))
    drawn_nets = nets(readings(POWER, "linnet"))
    for component in nx.connected_components(graph):
        assert any(component <= net for net in drawn_nets), component


# ------------------------------------------------------------------------ what changed

SMALL = """
    colours: IEC 60757
    devices:
      G1: {title: battery, terminals: ["+", "-"], between: [G1.+, G1.-], battery: {emf: 12.6 V, resistance: 8 mohm}}
      M1: {title: fan, connectors: [X1]}
    connectors:
      X1: {face: [[1, 2]], view: mating face}
    fuses:
      F1: {rating: 10 A, title: fan}
    grounds:
      GB1: {title: left wing, stud: M6, metal: body}
    wires:
      1: {from: G1.+, to: F1.1, size: 2.5 mm2, colour: RD}
      2: {from: F1.2, to: X1.1, size: 1.5 mm2, colour: RD/WH}
      3: {from: X1.2, to: GB1, size: 1.5 mm2, colour: BN}
      4: {from: G1.-, to: GB1, size: 10 mm2, colour: BK}
"""


def marked(kind: SheetKind, *changes: tuple[str, str]) -> Drawing:
    before, now = replanned(SMALL), replanned(edited(SMALL, *changes))
    context = replace(now, since=Since(before, compare(version_of(before), version_of(now)), "B"))
    page, = pages(context, kind)
    return page


def clouds(page: Drawing) -> list[tuple[float, float, float, float]]:
    """The places of clouds: the box of each run of bows that hang together."""
    found: list[tuple[float, float, float, float]] = []
    for box in [bounds(mark) for mark in page.marks if mark.tag == "cloud"]:
        near = [one for one in found if one[0] <= box[2] + 0.1 and box[0] <= one[2] + 0.1 and one[1] <= box[3] + 0.1 and box[1] <= one[3] + 0.1]
        found = [one for one in found if one not in near]
        boxes = [*near, box]
        found.append((min(b[0] for b in boxes), min(b[1] for b in boxes), max(b[2] for b in boxes), max(b[3] for b in boxes)))
    return found


def in_clouds(page: Drawing) -> set[str]:
    around = clouds(page)
    return {mark.text.strip() for mark in page.marks if isinstance(mark, Text) for box in around if box[0] <= mark.start()[0] <= box[2] and box[1] <= mark.start()[1] <= box[3]}


def words_of(page: Drawing) -> str:
    return " ".join(mark.text for mark in page.marks if isinstance(mark, Text) and mark.tag == "changes")


def test_a_changed_wire_and_a_changed_fuse_are_clouded_and_told():
    page = marked(POWER, ("2: {from: F1.2, to: X1.1, size: 1.5 mm2", "2: {from: F1.2, to: X1.1, size: 2.5 mm2"), ("rating: 10 A", "rating: 15 A"))
    found = in_clouds(page)
    assert {"2", "2.5", "RD/WH", "F1", "15 A"} <= found and "4" not in found
    assert set(words_of(page).split("; ")) == {"F1 was 10 A", "2 was 1.5 mm²"}


def test_a_changed_ground_is_clouded_and_a_wire_that_is_gone_is_told():
    page = marked(GROUND, ("stud: M6", "stud: M8"), ("      3: {from: X1.2, to: GB1, size: 1.5 mm2, colour: BN}\n", ""))
    assert {"GB1", "M8, body"} <= in_clouds(page)
    assert set(words_of(page).split("; ")) == {"GB1 was M6", "3 gone, X1.2 to GB1"}


def test_without_changes_nothing_is_marked():
    page = marked(POWER)
    assert not clouds(page) and not words_of(page)


def test_a_sheet_that_was_not_there_says_so():
    before, now = replanned("colours: IEC 60757\nconnectors:\n  X1: {face: [[1, 2]], view: mating face}\n"), replanned(SMALL)
    page, = pages(replace(now, since=Since(before, compare(version_of(before), version_of(now)), "B")), POWER)
    assert words_of(page) == "New sheet" and not clouds(page)
