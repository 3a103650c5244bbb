"""For tests: a small vehicle with a control unit, a bus, a starter, an alternator, an airbag and an injector."""

VEHICLE = """
    title: Bench vehicle
    colours: IEC 60757
    supply: 12 V
    devices:
      G1: {title: battery, terminals: ["+", "-"], between: [G1.+, G1.-], battery: {emf: 12.6 V, resistance: 10 mohm}}
      A1: {title: alternator, terminals: [B, L, E], between: [A1.B, A1.E], alternator: {voltage: 14.2 V, charge-lamp: A1.L}}
      Q1: {title: key switch, terminals: [30, 15, 50], closes: {run: [[Q1.30, Q1.15]], start: [[Q1.30, Q1.15], [Q1.30, Q1.50]]}}
      M1:
        title: starter
        terminals: [30, 50, E]
        loads:
          solenoid: {between: [M1.50, M1.E], solenoid: {winding: 0.5 ohm, pull-in: 7 V, release: 3 V}}
          motor: {between: [M1.30, M1.E], motor: {running: 120 A at 10 V, stalled: 20 mohm}, closed-by: solenoid}
      U1: {title: control unit, connectors: [X1], loads: {end: {between: [X1.5, X1.6], load: 120 ohm}}}
      U2: {title: gauge, connectors: [X2], loads: {end: {between: [X2.1, X2.2], load: 120 ohm}}}
      H1: {title: charge lamp, terminals: [a, b], between: [H1.a, H1.b], lamp: 2 W at 12 V}
      Y1: {title: injector, terminals: [a, b], between: [Y1.a, Y1.b], solenoid: 14 ohm}
      B1: {title: airbag module, terminals: [a, b]}
      P1: {title: pump, terminals: [a, b], between: [P1.a, P1.b], motor: {running: 6 A at 12 V, stalled: 0.8 ohm}}
      R9: {title: sensor, terminals: [a, b], between: [R9.a, R9.b], sender: 2.5 kohm to 190 ohm}
    connectors:
      X1: {face: [[1..12]], view: wire side}
      X2: {face: [[1..4]], view: wire side}
      X3: {face: [[1..4]], view: wire side}
    cavities:
      X1.1: {function: main supply, signal: feed-switched, draws: 2 A}
      X1.2: {function: memory, signal: feed-constant, draws: 10 mA}
      X1.3: {function: ground, signal: ground-power}
      X1.4: {function: reference, signal: reference-5v}
      X1.5: {function: bus high, signal: can-high}
      X1.6: {function: bus low, signal: can-low}
      X1.7: {function: injector, signal: output-injector}
      X1.8: {function: pump relay, signal: output-fuel-pump}
      X1.9: {function: sensor ground, signal: ground-sensor}
      X1.10: {function: left over}
      X3.1: {function: bus high, signal: can-high}
      X3.2: {function: bus low, signal: can-low}
      X1.11: {function: squib supply, signal: reference-5v}
      B1.a: {function: squib, signal: airbag}
      B1.b: {function: squib, signal: airbag}
    fuses:
      F1: {title: main, rating: 60 A, type: blade}
      F2: {title: memory, rating: 5 A, type: blade}
      F3: {title: key, rating: 20 A, type: blade}
      F4: {title: airbag, rating: 5 A, type: blade}
    relays:
      K1: {part: micro relay 30 A}
    splices: {S1: {}, S2: {}, S3: {}, S4: {}}
    circuits:
      injection: {pulsed: true}
    wires:
      1: {from: G1.+, to: M1.30, size: 25 mm2, length: 1 m, colour: RD}
      2: {from: G1.+, to: F1.1, size: 10 mm2, length: 300 mm, colour: RD}
      3: {from: F1.2, to: S1, size: 6 mm2, length: 1 m, colour: RD}
      4: {from: S1, to: F2.1, size: 1 mm2, length: 1 m, colour: RD}
      5: {from: S1, to: F3.1, size: 2.5 mm2, length: 1 m, colour: RD}
      6: {from: F2.2, to: X1.2, size: 0.5 mm2, length: 1 m, colour: WH}
      7: {from: F3.2, to: Q1.30, size: 2.5 mm2, length: 1 m, colour: RD}
      8: {from: Q1.15, to: S2, size: 1.5 mm2, length: 1 m, colour: YE}
      9: {from: S2, to: X1.1, size: 1 mm2, length: 1 m, colour: YE}
      10: {from: Q1.50, to: M1.50, size: 4 mm2, length: 1 m, colour: BN}
      11: {from: M1.E, to: G1.-, size: 25 mm2, length: 1 m, colour: BK}
      12: {from: X1.3, to: G1.-, size: 2.5 mm2, length: 1 m, colour: BK}
      13: {from: A1.B, to: G1.+, size: 16 mm2, length: 1 m, colour: RD}
      14: {from: A1.E, to: G1.-, size: 16 mm2, length: 1 m, colour: BK}
      15: {from: S2, to: H1.a, size: 0.5 mm2, length: 1 m, colour: YE}
      16: {from: H1.b, to: A1.L, size: 0.5 mm2, length: 1 m, colour: BU}
      17: {from: X1.5, to: S3, size: 0.5 mm2, length: 1 m, colour: GN}
      18: {from: X1.6, to: S4, size: 0.5 mm2, length: 1 m, colour: GY}
      19: {from: X2.1, to: S3, size: 0.5 mm2, length: 1 m, colour: GN}
      20: {from: X2.2, to: S4, size: 0.5 mm2, length: 1 m, colour: GY}
      21: {from: X3.1, to: S3, size: 0.5 mm2, length: 1 m, colour: GN}
      22: {from: X3.2, to: S4, size: 0.5 mm2, length: 1 m, colour: GY}
      23: {from: X1.7, to: Y1.b, size: 0.5 mm2, length: 1 m, colour: BN, circuit: injection}
      24: {from: S2, to: Y1.a, size: 0.5 mm2, length: 1 m, colour: BN, circuit: injection}
      25: {from: X1.8, to: K1.85, size: 0.5 mm2, length: 1 m, colour: BN}
      26: {from: S2, to: K1.86, size: 0.5 mm2, length: 1 m, colour: BN}
      27: {from: S1, to: F4.1, size: 1 mm2, length: 1 m, colour: RD}
      28: {from: F4.2, to: B1.a, size: 1 mm2, length: 1 m, colour: YE}
      29: {from: X1.4, to: R9.a, size: 0.5 mm2, length: 1 m, colour: GN}
      30: {from: X1.9, to: R9.b, size: 0.5 mm2, length: 1 m, colour: BK}
      32: {from: X1.11, to: B1.b, size: 0.5 mm2, length: 1 m, colour: YE}
      31: {from: X3.3, to: X2.4, colour: BK}
"""
