"""Two descriptions as text, compared; shared by the tests of lines, rework and parts needed."""

from __future__ import annotations

from textwrap import dedent

from harnessdoc.revision.compare import Comparison, compare
from harnessdoc.revision.version import Version
from harnessdoc.steps import load

FILE = "harness.yaml"

BENCH = """
    colours: IEC 60757
    wire-type: PVC 85 C
    segments:
      T1: {from: P1, to: P2, length: 1000 mm, covering: tape}
      T2: {from: P2, to: P3, length: 500 mm, covering: tape}
    devices:
      U1: {title: control unit, connectors: [X1]}
    boxes:
      B1: {place: P1}
    fuses:
      F1: {box: B1, rating: 10 A, type: blade}
    connectors:
      X1: {title: unit plug, place: P1, face: [[1..4], [5..8]], view: mating face, terminal: pin 1.5, seal: seal A, plug: plug A}
      X2: {title: lamp plug, place: P2, face: [[1..4], [5..8]], view: mating face, terminal: pin 2.8}
      X3: {place: P3, face: [[1..4], [5..8]], view: mating face, terminal: pin 2.8}
    cavities:
      X1.1: {function: lamp}
      X1.2: {function: pump}
    splices:
      SP1: {at: 400 mm from P1 toward P2, method: crimp splice, sleeve: sleeve 4, shrink: tube 6}
    grounds:
      G1: {place: P2, stud: M6, metal: body, terminal: eyelet M6}
      G2: {place: P3, stud: M6, metal: body, terminal: eyelet M6}
    wires:
      w1: {from: X1.1, to: X2.1, size: 1 mm2, colour: RD}
      w2: {from: X1.2, to: X2.2, size: 1 mm2, colour: BU}
      w3: {from: X1.3, to: SP1,  size: 1 mm2, colour: GN}
      w4: {from: SP1,  to: X2.3, size: 1 mm2, colour: GN}
      w5: {from: SP1,  to: X2.4, size: 1 mm2, colour: GN}
      w6: {from: X2.8, to: G1,   size: 1 mm2, colour: BK}
      w7: {from: F1.2, to: X2.5, size: 1 mm2, colour: BN}
"""


def version(text: str) -> Version:
    """One version; a description with errors fails here."""
    loaded = load(FILE, {FILE: dedent(text)})
    assert loaded.harness and loaded.network and loaded.geometry and not loaded.has_errors, loaded.findings
    return loaded.version


def edited(text: str, *edits: tuple[str, str]) -> str:
    """``text`` with each first string, which stands in it once, replaced by the second."""
    for old, new in edits:
        assert text.count(old) == 1, (old, text.count(old))
        text = text.replace(old, new)
    return text


def compared(*edits: tuple[str, str], text: str = BENCH) -> Comparison:
    """``text`` against itself after edits."""
    return compare(version(text), version(edited(text, *edits)))
