"""Relays on circuit diagrams as the trade draws them: at rest, all fixed contacts, what is across the coil within the box; and fuses with the supply side up.

Which terminal is which: DIN 72552. The nets are read back from the drawing's marks and set against the lists as PyYAML reads them.
"""

from __future__ import annotations

from collections.abc import Iterable
from textwrap import dedent

import pytest
import yaml

from harnessdoc.drawing import symbols
from harnessdoc.drawing.pen import Pen
from harnessdoc.drawing.record import Mark, Point, Polyline, Rect, Text, bounds

from . import truths
from .circuit_sheets import Page, draw, lies, loaded_of
from .lines import near, strokes, touches
from .printed import overlaps, too_near
from .reader import read_page

DIN = pytest.mark.outside("DIN 72552: 86 and 85 are start and end of the coil, 30 the common contact, 87 closes and 87a opens when the coil is fed")

RELAYS = dedent("""
    title: Relays
    colours: IEC 60757
    supply: 12 V
    devices:
      G1: {title: battery, terminals: ["+", "-"], between: [G1.+, G1.-], battery: {emf: 12.6 V}}
      H1: {title: one, terminals: [1, 2], between: [H1.1, H1.2], lamp: 2 W at 12 V}
      H2: {title: two, terminals: [1, 2], between: [H2.1, H2.2], lamp: 2 W at 12 V}
      H3: {title: three, terminals: [1, 2], between: [H3.1, H3.2], lamp: 2 W at 12 V}
      H4: {title: four, terminals: [1, 2], between: [H4.1, H4.2], lamp: 2 W at 12 V}
      H5: {title: five, terminals: [1, 2], between: [H5.1, H5.2], lamp: 2 W at 12 V}
    fuses: {F1: {rating: 15 A, type: blade}}
    relays:
      K1: {title: changes over, contacts: changeover, suppression: diode, coil: 85 ohm}
      K2: {title: double, contacts: two 87, suppression: resistor, coil: 85 ohm}
      K3: {title: turned round, contacts: changeover, suppression: diode, coil: 85 ohm}
    splices: {S1: {}}
    grounds: {GB1: {title: wing, metal: body}}
    circuits: {c: {system: relays}}
    wires:
      1: {from: G1.+, to: F1.1, size: 4 mm2, colour: RD, circuit: c}
      2: {from: F1.2, to: S1, size: 4 mm2, colour: RD, circuit: c}
      5: {from: S1, to: K1.86, size: 1 mm2, colour: YE, circuit: c}
      6: {from: S1, to: K2.86, size: 1 mm2, colour: YE, circuit: c}
      7: {from: K1.85, to: GB1, size: 1 mm2, colour: BN, circuit: c}
      8: {from: K2.85, to: GB1, size: 1 mm2, colour: BN, circuit: c}
      9: {from: S1, to: K1.30, size: 1 mm2, colour: RD, circuit: c}
      10: {from: S1, to: K2.30, size: 1 mm2, colour: RD, circuit: c}
      11: {from: K1.87, to: H1.1, size: 1 mm2, colour: BU, circuit: c}
      12: {from: K1.87a, to: H2.1, size: 1 mm2, colour: BU, circuit: c}
      13: {from: K2.87, to: H3.1, size: 1 mm2, colour: BU, circuit: c}
      14: {from: K2.87b, to: H4.1, size: 1 mm2, colour: BU, circuit: c}
      15: {from: H1.2, to: GB1, size: 1 mm2, colour: BN, circuit: c}
      16: {from: H2.2, to: GB1, size: 1 mm2, colour: BN, circuit: c}
      17: {from: H3.2, to: GB1, size: 1 mm2, colour: BN, circuit: c}
      18: {from: H4.2, to: GB1, size: 1 mm2, colour: BN, circuit: c}
      19: {from: S1, to: K3.85, size: 1 mm2, colour: YE, circuit: c}
      20: {from: K3.86, to: GB1, size: 1 mm2, colour: BN, circuit: c}
      21: {from: S1, to: K3.87, size: 1 mm2, colour: RD, circuit: c}
      22: {from: S1, to: K3.87a, size: 1 mm2, colour: YE, circuit: c}
      23: {from: K3.30, to: H5.1, size: 1 mm2, colour: BU, circuit: c}
      24: {from: H5.2, to: GB1, size: 1 mm2, colour: BN, circuit: c}
      25: {from: G1.-, to: GB1, size: 16 mm2, colour: BK, circuit: c}
    """)


@pytest.fixture(scope="module")
def page() -> Page:
    found = draw(loaded_of(RELAYS))
    assert len(found) == 1
    return found[0]


def test_a_page_of_relays_says_what_is_so_and_keeps_the_form(page):
    assert lies([page.drawing], truths.of_sections(yaml.load(RELAYS, yaml.BaseLoader))) == []
    assert [*overlaps(page.drawing), *read_page(page.drawing).faults] == []
    assert list(too_near(read_page(page.drawing).lines)) == []


def ends_of(page: Page) -> dict[str, Point]:
    """Contact of a relay -> where its lead leaves the frame."""
    return {end.name: end.point for end in read_page(page.drawing).ends if end.name.startswith("K")}


def inked_from(marks: Iterable[Mark], point: Point) -> list[Mark]:
    """All ink of symbols that hangs together with a point."""
    marks = [mark for mark in marks if not isinstance(mark, (Text, Rect)) and not getattr(mark, "dash", ())]
    found = [mark for mark in marks if touches(mark, point)]
    for one in found:
        found += [other for other in marks if not any(other is known for known in found) and (
            any(touches(other, end) for stroke in strokes(one) for end in stroke) or any(touches(one, end) for stroke in strokes(other) for end in stroke))]
    return found


@DIN
@pytest.mark.parametrize("relay", ["K1", "K3"])
def test_at_rest_30_lies_on_87a_and_87_is_open(page, relay):
    ends, marks = ends_of(page), [mark for mark in page.drawing.marks if mark.tag == f"node:node:{relay}"]
    ink = inked_from(marks, ends[f"{relay}.30"])
    assert any(touches(mark, ends[f"{relay}.87a"]) for mark in ink)
    assert not any(touches(mark, ends[f"{relay}.87"]) for mark in ink)


@DIN
def test_at_rest_both_contacts_of_a_double_relay_are_open(page):
    ends, marks = ends_of(page), [mark for mark in page.drawing.marks if mark.tag == "node:node:K2"]
    ink = inked_from(marks, ends["K2.30"])
    assert not any(touches(mark, ends[f"K2.{name}"]) for mark in ink for name in ("87", "87b"))


@pytest.mark.parametrize("relay", ["K1", "K3"])
def test_a_diode_across_a_coil_has_its_bar_toward_86_within_the_frame(page, relay):
    """That the cathode is at 86, so that it blocks while the coil is fed, is common practice; an arrow's apex points to its bar."""
    marks = [mark for mark in page.drawing.marks if mark.tag == f"node:node:{relay}"]
    arrow, = (mark for mark in marks if isinstance(mark, Polyline) and mark.closed and len(mark.points) == 3)
    apex = next(point for point in arrow.points if sum(abs(point[1] - other[1]) < 0.1 for other in arrow.points) == 1)
    ends = ends_of(page)
    assert abs(apex[1] - ends[f"{relay}.86"][1]) < abs(apex[1] - ends[f"{relay}.85"][1])
    frame = next(mark for mark in marks if isinstance(mark, Rect))
    left, top, right, bottom = bounds(arrow)
    assert frame.x < left and right < frame.x + frame.w and frame.y < top and bottom < frame.y + frame.h
    assert {end for mark in inked_from(marks, ends[f"{relay}.86"]) for end in (f"{relay}.85",) if touches(mark, ends[end])}, "the diode is across the coil"


@pytest.mark.parametrize("turn", [0, 180])
@pytest.mark.parametrize("mirrored", [False, True])
@pytest.mark.parametrize("symbol", [symbols.changeover_at_rest, symbols.two_makes_at_rest])
def test_ports_of_forked_contacts_lie_on_ink_however_they_stand(symbol, turn, mirrored):
    pen = Pen(100, 100)
    ports = symbol(pen, 50, 50, turn=turn, mirrored=mirrored)
    for place in ports.values():
        assert any(near(place, end) for mark in pen.drawing().marks for stroke in strokes(mark) for end in stroke)
    left, right = list(ports)[1:]
    assert (ports[left][0] < ports[right][0]) is ((turn == 0) is not mirrored)


def test_where_no_supply_is_described_fuses_have_their_supply_side_up():
    """Terminal 1 is the supply side (the schema says so); of two fuses in a row the first one's."""
    text = dedent("""
        title: Loom
        fuses: {F2: {rating: 5 A, type: blade}, F1: {rating: 30 A, type: maxi}}
        connectors: {X1: {title: unit, half: plug, face: [[1, 2]], view: mating face}}
        circuits: {c: {system: feed}}
        wires:
          1: {from: X1.1, to: F2.2, size: 1 mm2, colour: RD, circuit: c}
          2: {from: F2.1, to: F1.2, size: 4 mm2, colour: RD, circuit: c}
          3: {from: F1.1, to: X1.2, size: 4 mm2, colour: RD, circuit: c}
        """)
    page, = draw(loaded_of(text))
    heights = {end.name: end.point[1] for end in read_page(page.drawing).ends}
    assert heights["F1.1"] < heights["F1.2"] < heights["F2.1"] < heights["F2.2"]
