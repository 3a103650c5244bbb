"""A small merge for the tests of its sheets: two vehicles, joins of every kind, and something left undone of each kind.

Gives: the texts of the three files, and contexts of the book that is planned of them. The merge has a piece, a tap, an end not found
yet, a splice that takes a wire as it is, a stub measured and one computed, a place on the bundle; wires of every fate; a cavity left open with a reason
and one without; a fuse that leaves its position free, and one that stays live where a wire was taken.
"""

from __future__ import annotations

from collections.abc import Mapping
from textwrap import dedent

from harnessdoc.book.draw import make_context
from harnessdoc.sheets.context import Context, Options
from harnessdoc.steps import Loaded, load

HOST = dedent("""
    title: "Camper, as found"
    colours: DIN 47002
    wire-type: PVC 85 C
    devices:
      G1: {title: battery, place: battery, terminals: ["+", "-"], battery: {}, between: [G1.+, G1.-]}
      Q1: {title: key switch, connectors: [X1], closes: {run: [[X1.30, X1.15]], start: [[X1.30, X1.15], [X1.30, X1.50]]}}
      H4: {title: charge lamp, connectors: [X7], lamp: 2 W at 12 V, between: [X7.1, X7.2]}
      M3: {title: fan, connectors: [X9], motor: 8 A at 12 V, between: [X9.1, X9.2]}
      A0: {title: old generator, place: engine, terminals: [D+]}
      R1: {title: radio, place: dash, terminals: [1]}
      R2: {title: roof lamp, place: dash, terminals: [1]}
      P6: {title: gauges, connectors: [X6]}
    boxes:
      B1: {title: fuse box, place: dash, lid: [[F1, F2, F3, F4, K3]], spare: [K3]}
    segments:
      T1: {from: battery, to: dash, length: 800 mm}
      T2: {from: dash, to: engine, length: 1200 mm}
    connectors:
      X1: {title: key switch plug, place: dash, half: socket, face: [[30, 15, 50]], view: wire side}
      X6: {title: gauge plug, place: dash, half: socket, face: [[1..4]], view: wire side}
      X7: {title: charge lamp plug, place: dash, half: socket, face: [[1, 2]], view: wire side}
      X9: {title: fan plug, place: engine, half: socket, face: [[1, 2]], view: wire side}
    cavities:
      X7.2: {function: charge lamp 61, signal: charge-lamp}
      X6.1: {function: temp gauge snd.}
      X6.2: {function: tacho}
      X6.3: {function: oil lamp}
      X6.4: {function: warn. lamp}
    circuits:
      charge lamp: {hot: [run, start]}
    grounds:
      G2: {title: body, place: battery, metal: body, stud: M8}
    fuses:
      F1: {box: B1, rating: 15 A, type: blade}
      F2: {box: B1, rating: 10 A, type: blade}
      F3: {box: B1, rating: 5 A, type: blade}
      F4: {box: B1, rating: 20 A, type: blade}
    splices:
      SP9: {place: dash}
      SP8: {place: dash}
    wires:
      1: {from: G1.+, to: SP8, size: 4 mm2, colour: rt}
      2: {from: G1.-, to: G2, size: 10 mm2, colour: br}
      3: {from: SP8, to: F1.1, size: 2.5 mm2, colour: rt}
      4: {from: SP8, to: F2.1, size: 2.5 mm2, colour: rt}
      5: {from: SP8, to: F3.1, size: 2.5 mm2, colour: rt}
      6: {from: SP8, to: F4.1, size: 2.5 mm2, colour: rt}
      11: {from: F1.2, to: X1.30, size: 2.5 mm2, colour: rt}
      14: {from: X1.15, to: SP9, size: 1.5 mm2, colour: sw/ge, circuit: ignition}
      15: {from: X1.50, to: unknown, size: 1.5 mm2, colour: sw/rt, circuit: start}
      20: {from: F2.2, to: R1.1, size: 1 mm2, colour: rt/gn, circuit: radio}
      21: {from: F3.2, to: R2.1, size: 0.75 mm2, colour: rt/ws, circuit: roof lamp}
      36: {from: SP9, to: X7.1, size: 0.75 mm2, colour: sw, circuit: ignition}
      37: {from: X7.2, to: A0.D+, size: 0.75 mm2, colour: bl, circuit: charge lamp}
      40: {from: X6.1, to: unknown, size: 0.75 mm2, colour: gn/sw, circuit: temperature gauge, evidence: cut 300 mm from X6}
      41: {from: X6.2, to: unknown, size: 0.75 mm2, colour: gn, circuit: tachometer}
      42: {from: X6.3, to: unknown, size: 0.75 mm2, colour: bl/gn, circuit: oil lamp}
      45: {from: SP9, to: X6.4, size: 0.75 mm2, colour: sw, circuit: ignition}
      43: {from: X9.1, to: unknown, size: 1.5 mm2, colour: rt/ge, circuit: fan}
      44: {from: X9.2, to: G2, size: 1.5 mm2, colour: br, circuit: fan}
""").lstrip()

DONOR = dedent("""
    title: Hatchback engine
    colours: Japanese trade
    wire-type: TXL
    devices:
      A1: {title: alternator, place: motor, terminals: [L]}
      U1: {title: control unit, connectors: [E1]}
      R9: {title: rear wiper, place: tail, terminals: [1, 2]}
      N1: {title: oil switch, place: motor, terminals: [1]}
      N2: {title: temperature sender, place: motor, terminals: [1]}
    connectors:
      E1: {title: control unit plug, place: unit, half: socket, face: [[1..4], [5..8]], view: mating face}
      X30: {title: body plug, place: unit, half: socket, face: [[1..10]], view: mating face}
    cavities:
      E1.1: {function: main supply, signal: feed-switched, draws: 2 A}
      E1.2: {function: fan relay, signal: output-low, limit: 1 A}
      E1.3: {function: ground, signal: ground-power}
      E1.4: {function: tach output, signal: output-tachometer}
      E1.5: {function: A/C request}
      E1.6: {function: neutral switch}
      E1.7: {function: engine warning lamp, signal: output-low, limit: 500 mA}
      A1.L: {function: charge lamp, signal: charge-lamp}
    segments:
      S1: {from: motor, to: unit, length: 900 mm}
      S2: {from: unit, to: tail, length: 2 m}
    splices:
      SD1: {place: unit}
    wires:
      260: {from: A1.L, to: X30.4, size: 0.5 mm2, colour: W-L, circuit: charge lamp}
      261: {from: E1.1, to: X30.1, size: 0.85 mm2, colour: B, circuit: supply}
      262: {from: SD1, to: R9.1, size: 0.85 mm2, colour: G, circuit: rear wiper}
      263: {from: X30.2, to: SD1, size: 0.85 mm2, colour: G, circuit: rear wiper}
      264: {from: SD1, to: X30.8, size: 0.85 mm2, colour: G, circuit: washer}
      265: {from: E1.2, to: X30.3, size: 0.5 mm2, colour: G-Y, circuit: fan}
      266: {from: E1.3, to: X30.5, size: 1.25 mm2, colour: B-W, circuit: ground}
      267: {from: E1.4, to: X30.6, size: 0.5 mm2, colour: Y-R, circuit: tachometer}
      268: {from: E1.5, to: X30.7, size: 0.5 mm2, colour: L-B, circuit: A/C request}
      269: {from: N1.1, to: unknown, size: 0.5 mm2, colour: Y-B, circuit: oil pressure}
      270: {from: N2.1, to: unknown, size: 0.5 mm2, colour: Y-G, circuit: temperature gauge}
      272: {from: E1.7, to: X30.9, size: 0.5 mm2, colour: P, circuit: warning lamp}
      271: {from: R9.2, to: unknown, size: 0.85 mm2, colour: B, circuit: rear wiper}
""").lstrip()

MERGE = dedent("""
    title: "Camper with the hatchback's engine"
    colours: IEC 60757
    log:
      - {revision: A, date: 2026-03-01, by: workshop, why: first joins}
    sources:
      host: {file: camper.yaml, role: host}
      donor: {file: engine.yaml, role: donor}
    places:
      host/engine: engine bay
      donor/motor: engine bay
      donor/E1: dashboard
      host/dash: dashboard
      host/battery: battery tray
      J1: bulkhead
      J3: bulkhead
      I1: bulkhead
    segments:
      M0: {from: battery tray, to: engine bay, length: 500 mm}
      M1: {from: engine bay, to: bulkhead, length: 600 mm}
      M2: {from: bulkhead, to: dashboard, length: 500 mm}
    fates:
      - {fate: kept, device: [host/G1, host/B1, host/H4, host/Q1, host/P6, host/SP8, host/SP9]}
      - {fate: kept, wire: [host/11, host/14, host/36]}
      - {fate: stored, circuit: donor/rear wiper, why: long enough for the oil lamp}
      - {fate: removed, device: [host/A0, host/R1], why: old engine}
      - {fate: removed, device: host/R2, why: no roof lamp}
      - {fate: removed, device: host/F3, why: nothing left behind it}
      - {fate: capped, wire: host/15, at: host/X1.50, why: for the start relay}
    joins:
      J1: {ends: [host/X7.2, donor/A1.L], method: crimp splice, stubs: {donor/A1.L: 1500 mm}, far: {donor/A1.L: capped}, strip: 8 mm, overlap: 12 mm, note: sleeve over the old crimp}
      J2: {ends: [host/SP9, donor/E1.1], method: crimp splice}
      J3: {ends: [host/X6.3, donor/N1.1], method: solder, piece: {size: 0.5 mm2, colour: BU/GN, type: PVC 85 C}}
      J4: {ends: [host/G2, donor/E1.3], method: eyelet M8}
      J10: {ends: [unknown, donor/E1.5], method: crimp splice}
      J6: {ends: [host/X6.2, donor/E1.4], cut: none, method: butt splice, at: 120 mm from dashboard toward bulkhead}
      J7: {ends: [host/X6.1, donor/N2.1], method: crimp splice, place: dashboard}
      J9: {ends: [host/X6.4, donor/E1.7], method: crimp splice, place: dashboard}
      J8: {ends: [host/X9.1, donor/E1.2], method: crimp splice, through: I1}
    interfaces:
      I1: {recipe: low-side output to case-grounded load, command: donor/E1.2, load: host/X9.1, feed: host/F4.2, coil-feed: host/SP9, coil-fuse: 5 A, coil: 85 ohm, size: 1.5 mm2, position: host/K3, colour: RD}
    states:
      fan on: {key: run, engine: stopped, commanded: [donor/E1.2]}
    open:
      donor/E1.6: no neutral switch in this gearbox
""").lstrip()

FILES: Mapping[str, str] = {"merge.yaml": MERGE, "camper.yaml": HOST, "engine.yaml": DONOR}


def merged(files: Mapping[str, str] = FILES, *, solve: bool = True) -> Loaded:
    """The merge, loaded without an error."""
    loaded = load("merge.yaml", files, solve=solve)
    assert not loaded.has_errors, [finding for finding in loaded.findings if finding.severity.word == "error"]
    assert loaded.merge is not None
    return loaded


def merge_context(files: Mapping[str, str] = FILES, *, solve: bool = True, **options: str) -> Context:
    """The context of its book, all sheets planned; ``options`` as those of Options."""
    return make_context(merged(files, solve=solve).version, Options(**options))
