"""Two small vehicles to be merged, invented: for tests."""

from __future__ import annotations

from harnessdoc.steps import Loaded, load

HOST = """\
title: host as found
colours: DIN 47002
wire-type: PVC 85 C
supply: 12 V
devices:
  G1: {title: battery, place: battery, terminals: ["+", "-"], battery: {}, between: [G1.+, G1.-]}
  Q1: {title: key switch, connectors: [X1], closes: {run: [[X1.30, X1.15]], start: [[X1.30, X1.15], [X1.30, X1.50]]}}
  H4: {title: charge lamp, connectors: [X7], lamp: 2 W at 12 V, between: [X7.1, X7.2]}
  A0: {title: old generator, place: engine, terminals: [D+]}
  M0: {title: old wiper, place: dash, terminals: [1]}
segments:
  T1: {from: battery, to: dash, length: 800 mm}
  T2: {from: dash, to: engine, length: 1200 mm}
connectors:
  X1: {title: key switch plug, place: dash, half: socket, face: [[30, 15, 50]], view: wire side}
  X7: {title: charge lamp plug, place: dash, half: socket, face: [[1, 2]], view: wire side}
boxes:
  B1: {title: fuse box, place: dash, lid: [[F2, K3]], spare: [K3]}
grounds:
  G2: {title: body, place: battery, metal: body}
fuses:
  F1: {place: battery, rating: 15 A, type: blade}
  F2: {box: B1, rating: 8 A, type: blade}
splices:
  SP9: {place: dash}
wires:
  1: {from: G1.+, to: F1.1, size: 2.5 mm2, colour: rt}
  2: {from: G1.-, to: G2, size: 10 mm2, colour: br}
  11: {from: F1.2, to: X1.30, size: 2.5 mm2, colour: rt}
  14: {from: X1.15, to: SP9, size: 1.5 mm2, colour: sw/ge, circuit: ignition}
  36: {from: SP9, to: X7.1, size: 0.75 mm2, colour: sw}
  37: {from: X7.2, to: A0.D+, size: 0.75 mm2, colour: bl, circuit: charge lamp}
  40: {from: SP9, to: F2.1, size: 1 mm2, colour: sw/rt, circuit: wiper}
  41: {from: F2.2, to: M0.1, size: 1 mm2, colour: gn, circuit: wiper}
"""
DONOR = """\
title: donor as found
colours: Japanese trade
wire-type: TXL
devices:
  A1: {title: alternator, place: motor, terminals: [L]}
  U1: {title: control unit, connectors: [E1]}
  R9: {title: rear wiper, place: tail, terminals: [1]}
connectors:
  E1: {title: control unit plug, place: unit, half: socket, face: [[1..4]], view: mating face}
  X30: {title: body plug, place: unit, half: socket, face: [[1..4]], view: mating face}
segments:
  S1: {from: motor, to: unit, length: 900 mm}
  S2: {from: unit, to: tail, length: 2 m}
wires:
  260: {from: A1.L, to: X30.4, size: 0.5 mm2, colour: W-L, circuit: charge lamp}
  261: {from: E1.1, to: X30.1, size: 0.85 mm2, colour: B, circuit: supply, length: 700 mm}
  262: {from: X30.2, to: R9.1, size: 0.85 mm2, colour: G, circuit: rear wiper}
  263: {from: E1.2, to: X30.3, size: 0.85 mm2, colour: Y}
"""
HEAD = """\
title: merged
colours: IEC 60757
sources:
  host: {file: host.yaml, role: host}
  donor: {file: donor.yaml, role: donor}
"""
PLACES = """\
places:
  host/engine: engine bay
  host/dash: dashboard
  donor/motor: engine bay
  donor/E1: dashboard
segments:
  M1: {from: engine bay, to: bulkhead, length: 600 mm}
  M2: {from: bulkhead, to: dashboard, length: 500 mm}
"""


def texts(merge: str, host: str = HOST, donor: str = DONOR) -> dict[str, str]:
    """The files of a merge of the two."""
    return {"merge.yaml": merge, "host.yaml": host, "donor.yaml": donor}


def merged(merge: str, host: str = HOST, donor: str = DONOR, **options: bool) -> Loaded:
    """The merge of the two, loaded; ``merge`` is what stands behind HEAD."""
    return load("merge.yaml", texts(HEAD + merge, host, donor), **options)


def codes(loaded: Loaded) -> list[str]:
    """``line: code`` of every finding that is no rule's, in the merge file."""
    return [f"{finding.place.line}: {finding.code}" for finding in loaded.findings if finding.place.file == "merge.yaml"]
