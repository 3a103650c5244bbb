"""Harnesses whose wires lead from a thing back into it: they are drawn, and drawn true.

An alternator whose minus is wired to the battery's; two outputs of a switch bridged, one of them used by nothing else; a relay's output that leads to another
of its contacts.
"""

from __future__ import annotations

import pytest
import yaml

from harnessdoc.book.draw import draw_sheet, make_context
from harnessdoc.sheets.context import Options, SheetKind

from .circuit_sheets import draw, lies, loaded_of, page_lies
from .reader import read_page
from .truths import of_sections

HEAD = """title: circles
colours: DIN 47002
wire-type: PVC 85 C
supply: 12 V
"""
BATTERY = """
  G1: {title: battery, terminals: ["+", "-"], between: [G1.+, G1.-], battery: {emf: 12.6 V, resistance: 8 mohm}}"""

ALTERNATOR = HEAD + f"""devices:{BATTERY}
  G2: {{title: alternator, terminals: [B+, B-], between: [G2.B+, G2.B-], alternator: {{voltage: 14.2 V, limit: 90 A, field: 4 ohm}}}}
  H1: {{title: lamp, terminals: [1, 2], between: [H1.1, H1.2], lamp: 5 W at 12 V}}
fusible-links: {{FL1: {{rating: 100 A}}}}
fuses: {{F1: {{rating: 10 A}}}}
grounds: {{GR1: {{metal: body}}}}
wires:
  1: {{from: G2.B+, to: FL1.1, size: 16 mm2, colour: rt}}
  2: {{from: FL1.2, to: G1.+, size: 16 mm2, colour: rt/ws}}
  3: {{from: G2.B-, to: G1.-, size: 16 mm2, colour: br}}
  4: {{from: G2.B-, to: G1.-, size: 16 mm2, colour: br/ws}}
  5: {{from: G1.-, to: GR1, size: 25 mm2, colour: sw}}
  6: {{from: G1.+, to: F1.1, size: 4 mm2, colour: rt/sw}}
  7: {{from: F1.2, to: H1.1, size: 1 mm2, colour: gn}}
  8: {{from: H1.2, to: GR1, size: 1 mm2, colour: br/sw}}
"""
SWITCH = HEAD + f"""devices:{BATTERY}
  S1: {{title: light switch, terminals: [30, 56, 57, 58], closes: {{low: [[S1.30, S1.56]], high: [[S1.30, S1.57]], park: [[S1.57, S1.58]]}}}}
  H1: {{title: lamp, terminals: [1, 2], between: [H1.1, H1.2], lamp: 5 W at 12 V}}
fuses: {{F1: {{rating: 10 A}}}}
grounds: {{GR1: {{metal: body}}}}
wires:
  1: {{from: G1.-, to: GR1, size: 25 mm2, colour: sw}}
  2: {{from: G1.+, to: F1.1, size: 4 mm2, colour: rt/sw}}
  3: {{from: F1.2, to: S1.30, size: 1 mm2, colour: rt}}
  4: {{from: S1.56, to: S1.57, size: 1 mm2, colour: ge}}
  5: {{from: S1.56, to: S1.58, size: 1 mm2, colour: ge/sw}}
  6: {{from: S1.56, to: H1.1, size: 1 mm2, colour: ws}}
  7: {{from: H1.2, to: GR1, size: 1 mm2, colour: br}}
"""
RELAY = HEAD + f"""devices:{BATTERY}
  H1: {{title: lamp, terminals: [1, 2], between: [H1.1, H1.2], lamp: 5 W at 12 V}}
fuses: {{F1: {{rating: 10 A}}}}
relays: {{K1: {{title: bridged, contacts: changeover, coil: 85 ohm}}}}
cavities: {{K1.87: {{crimp: double}}, K1.87a: {{crimp: double}}}}
grounds: {{GR1: {{metal: body}}}}
wires:
  1: {{from: G1.-, to: GR1, size: 25 mm2, colour: sw}}
  2: {{from: G1.+, to: F1.1, size: 4 mm2, colour: rt/sw}}
  3: {{from: F1.2, to: K1.30, size: 1 mm2, colour: rt}}
  4: {{from: K1.87a, to: K1.86, size: 0.85 mm2, colour: ge}}
  5: {{from: K1.87a, to: K1.87, size: 0.85 mm2, colour: gr}}
  6: {{from: K1.85, to: GR1, size: 0.85 mm2, colour: br}}
  7: {{from: K1.87, to: H1.1, size: 1 mm2, colour: ws}}
  8: {{from: H1.2, to: GR1, size: 1 mm2, colour: br/sw}}
"""


@pytest.mark.parametrize("text", [pytest.param(text, id=name) for name, text in (("alternator", ALTERNATOR), ("switch", SWITCH), ("relay", RELAY))])
def test_what_leads_back_into_a_thing_is_drawn_true(text: str):
    loaded, true = loaded_of(text), of_sections(yaml.load(text, yaml.BaseLoader))
    assert lies([page.drawing for page in draw(loaded)], true) == []
    context = make_context(loaded.version, Options())
    power = [page for ref in context.sheets if ref.kind in (SheetKind.POWER, SheetKind.GROUND_PAGES) for page in draw_sheet(context, ref).pages]
    assert len(power) >= 2
    assert [fault for page in power for fault in page_lies(read_page(page), true)] == []
