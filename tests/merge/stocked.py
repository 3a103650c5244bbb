"""A merge whose vehicles give stock of every kind, and whose new wires take some of it; invented, for tests.

All lengths that matter are measured, so that every figure of the plan can be reckoned by hand.
"""

from __future__ import annotations

from harnessdoc.steps import Loaded, load

HOST = """\
title: host as found
colours: DIN 47002
wire-type: PVC 85 C
devices:
  Q1: {title: key switch, connectors: [X1]}
  M4: {title: old wiper, place: dash, terminals: [1]}
connectors:
  X1: {title: key switch plug, place: dash, half: socket, face: [[1..9]], view: wire side}
  X2: {title: lamp plug, place: dash, half: socket, face: [[1..2]], view: wire side}
wires:
  10: {from: X1.1, to: M4.1, size: 0.5 mm2, colour: rt, length: 900 mm}
  11: {from: X1.2, to: unknown, size: 0.5 mm2, colour: sw, length: 5 m}
  12: {from: X2.1, to: unknown, size: 1 mm2, colour: sw, length: 400 mm}
"""
DONOR = """\
title: donor as found
colours: Japanese trade
wire-type: TXL
devices:
  U1: {title: control unit, connectors: [E1]}
  R9: {title: rear lamp, place: tail, terminals: [1]}
boxes:
  B1: {title: fuse box, place: dash}
fuses:
  F1: {box: B1, rating: 10 A, type: blade}
  F2: {box: B1, rating: 10 A, type: blade}
connectors:
  E1: {title: control unit plug, place: unit, half: socket, face: [[1..9]], view: mating face, terminal: pin 0.6}
  X5: {title: body plug, place: unit, half: socket, face: [[1..9]], view: mating face, terminal: pin 1.5}
  X8: {title: tail plug, place: tail, half: plug, face: [[1..4]], view: mating face, terminal: blade 2.8, housing: four way}
cavities:
  X5.8: {crimp: double}
cables:
  W1: {title: sender cable, part: two cores}
wires:
  1: {from: E1.1, to: X5.1, size: 0.5 mm2, colour: R, length: 2 m}
  2: {from: E1.2, to: X5.2, size: 0.5 mm2, colour: G-Y, length: 1500 mm, evidence: scraped at 300 mm}
  3: {from: E1.3, to: unknown, size: 0.5 mm2, colour: R}
  4: {from: E1.4, to: X5.4, size: 0.5 mm2, colour: R, length: 1 m}
  5: {from: X8.1, to: R9.1, size: 0.85 mm2, colour: B, length: 700 mm}
  6: {from: X8.2, to: unknown, size: 0.85 mm2, colour: W, length: 650 mm}
  7: {from: E1.5, to: X5.5, size: 0.5 mm2, colour: R, cable: W1, length: 3 m}
  8: {from: E1.6, to: X5.6, size: 0.5 mm2, colour: W, cable: W1, length: 3 m}
  9: {from: E1.7, to: X5.8, size: 0.5 mm2, colour: B, length: 800 mm}
  20: {from: E1.8, to: X5.8, size: 0.5 mm2, colour: B, length: 800 mm}
  21: {from: F1.2, to: F2.1, size: 0.5 mm2, colour: R}
"""
MERGE = """\
title: merged
colours: IEC 60757
wire-type: PVC 85 C
sources:
  host: {file: host.yaml, role: host}
  donor: {file: donor.yaml, role: donor}
fates:
  - {fate: kept, pattern: "host/*"}
  - {fate: removed, device: host/M4}
  - {fate: kept, pattern: "donor/*"}
  - {fate: removed, wire: [donor/1, donor/3, donor/7, donor/8, donor/9, donor/21]}
  - {fate: stored, wire: donor/2}
  - {fate: stored, connector: donor/X8}
joins:
  J1: {ends: [host/X1.2, donor/E1.4], method: crimp splice, stubs: {donor/E1.4: 400 mm, host/X1.2: 4600 mm}}
wires:
  N1: {from: host/X1.3, to: donor/E1.1, size: 0.5 mm2, colour: RD, length: 1200 mm}
  N2: {from: host/X1.4, to: donor/E1.2, size: 0.5 mm2, colour: RD, length: 750 mm}
  N3: {from: host/X1.5, to: donor/E1.3, size: 0.5 mm2, colour: RD, length: 800 mm}
  N4: {from: host/X1.6, to: donor/E1.5, size: 0.5 mm2, colour: BU, length: 1400 mm}
  N5: {from: host/X1.7, to: donor/E1.6, size: 0.85 mm2, colour: BK, length: 300 mm, type: TXL}
  N6: {from: host/X1.8, to: unknown, size: 0.5 mm2, colour: BK}
  N7: {from: host/X1.9, to: unknown, size: 0.5 mm2, colour: RD, length: 2600 mm}
"""


def files(merge: str = MERGE, host: str = HOST, donor: str = DONOR) -> dict[str, str]:
    return {"merge.yaml": merge, "host.yaml": host, "donor.yaml": donor}


def stocked(merge: str = MERGE, host: str = HOST, donor: str = DONOR) -> Loaded:
    """The merge, loaded without an error."""
    loaded = load("merge.yaml", files(merge, host, donor), solve=False)
    assert not loaded.has_errors, [finding for finding in loaded.findings if finding.severity.word == "error"]
    return loaded
