"""The file that ``harnessdoc new`` writes: small, complete, and free of findings but for one unknown."""

STARTER = """\
# A first harness: two connectors and the wires between them.
# Change it into yours, one line a wire, as you find them.
title: My harness
colours: IEC 60757          # or DIN 47002, North American trade, Japanese trade
wire-type: PVC 85 C
log:
  - {revision: A, date: 2026-01-31, by: me, why: first lines}

connectors:
  X1: {title: engine plug, half: socket, face: [[1..2], [3..4]], view: wire side}
  X2: {title: body plug,   half: plug,   face: [[1..3]],         view: mating face}

wires:
  1: {from: X1.1, to: X2.1,    size: 0.75 mm2, colour: YE/BK, circuit: charge lamp}
  2: {from: X1.2, to: X2.2,    size: 2.5 mm2,  colour: RD,    circuit: feed}
  3: {from: X1.4, to: unknown, size: 0.5 mm2,  colour: BN,    evidence: cut 120 mm from X1}
"""
