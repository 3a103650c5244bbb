"""From text to harness: what is read, what stands for what is left out, what is refused."""

from __future__ import annotations

import pytest
from described import built, clean, said

from harnessdoc.model.harness import OPEN, UNKNOWN, Allowances, Kind, Offset, View

TWO = "connectors:\n  X1: {face: [[1..3]], view: mating face}\n  X2: {face: [[1..3]], view: mating face}\n"


def test_a_first_file_is_small():
    harness = clean(TWO + "wires:\n  1: {from: X1.1, to: X2.3}\n")
    (wire,) = harness.wires.values()
    assert (wire.from_, wire.to) == ("X1.1", "X2.3")
    assert (wire.size, wire.colour, wire.type, wire.length, wire.pair, wire.cable, wire.via) == (None, None, None, None, None, None, ())
    assert harness.wires_at == {"X1.1": ("1",), "X2.3": ("1",)}
    assert harness.allowances == Allowances(50, 10, 50, 2000, 100)
    assert (harness.title, harness.supply, harness.convention, harness.log, harness.file) == ("", "12 V", None, (), "main.yaml")


def test_unknown_and_open_ends_are_no_contacts():
    harness = clean(TWO + "wires:\n  1: {from: X1.1, to: unknown}\n  2: {from: open, to: X1.2}\n")
    assert [(wire.from_, wire.to) for wire in harness.wires.values()] == [("X1.1", UNKNOWN), (OPEN, "X1.2")]
    assert set(harness.wires_at) == {"X1.1", "X1.2"}


def test_the_word_unknown_in_every_place_it_may_stand():
    harness = clean(
        "devices:\n  D1: {place: unknown, terminals: [1]}\nfuses:\n  F1: {rating: unknown}\nrelays:\n  K1: {contacts: unknown, suppression: unknown}\n"
        "splices:\n  S1: {members: [unknown], place: unknown}\ngrounds:\n  G1: {metal: unknown}\ncables:\n  W1: {shield: unknown}\n"
        "wires:\n  1: {from: G1, to: unknown, size: unknown, colour: unknown, type: unknown, circuit: unknown, cable: W1, pair: unknown, length: unknown}\n")
    wire = harness.wires["1"]
    assert (wire.size, wire.colour, wire.colour_as_stated, wire.type, wire.circuit, wire.pair, wire.length) == (None, None, "", None, "", None, None)
    assert harness.parts["F1"].rating is None
    assert (harness.parts["K1"].contacts, harness.parts["K1"].suppression) == (None, None)
    assert (harness.splices["S1"].members_unknown, harness.splices["S1"].place) == (True, None)
    assert (harness.grounds["G1"].metal, harness.cables["W1"].shield) == (None, None)
    assert harness.circuits == {} and harness.pairs == {} and harness.place_of == {}


def test_addresses_of_every_kind():
    harness = clean(
        "connectors:\n  X1: {face: [[1]], view: mating face}\n  X2: {title: without a face}\n"
        "devices:\n  A1: {terminals: [B+]}\nboxes:\n  B1: {bars: {30: [F1.1]}}\nfuses:\n  F1: {}\nfusible-links:\n  L1: {}\nrelays:\n  K1: {}\n"
        "diodes:\n  D1: {}\nresistors:\n  R1: {}\nsplices:\n  S1: {}\ngrounds:\n  G1: {}\nwires:\n  1: {from: X2.A7, to: S1}\n")
    assert {address: contact.kind for address, contact in harness.contacts.items()} == {
        "X1.1": Kind.CAVITY, "F1.1": Kind.SOCKET, "F1.2": Kind.SOCKET, "L1.1": Kind.SOCKET, "L1.2": Kind.SOCKET,
        "K1.86": Kind.SOCKET, "K1.85": Kind.SOCKET, "K1.30": Kind.SOCKET, "K1.87": Kind.SOCKET,
        "D1.A": Kind.STUD, "D1.K": Kind.STUD, "R1.1": Kind.STUD, "R1.2": Kind.STUD, "A1.B+": Kind.STUD,
        "B1.30": Kind.BAR, "S1": Kind.SPLICE, "G1": Kind.GROUND, "X2.A7": Kind.CAVITY}
    assert (harness.contacts["X2.A7"].owner, harness.contacts["X2.A7"].name) == ("X2", "A7")


def test_the_last_dot_divides():
    harness = clean("connectors:\n  rear.left: {face: [[1..2]], view: mating face}\nwires:\n  1: {from: rear.left.2, to: unknown}\n")
    contact = harness.contacts["rear.left.2"]
    assert (contact.owner, contact.name) == ("rear.left", "2")


def test_what_makes_two_readings_is_refused_with_both():
    _, findings = built(TWO + "grounds:\n  X1.3: {metal: body}\n")
    assert said(findings) == ["5:9: two-readings: 'X1.3' may be read as cavity 3 of connector X1 or as ground X1.3"]
    assert findings[0].do == "the last dot divides connector and cavity: give one of the two another id"


@pytest.mark.parametrize("form, terminals", [
    ("", "86 85 30 87"), ("contacts: make", "86 85 30 87"), ("contacts: changeover", "86 85 30 87 87a"),
    ("contacts: two 87", "86 85 30 87 87b"), ("contacts: break", "86 85 30 87a"), ("contacts: unknown", "86 85 30 87 87a")])
def test_forms_of_a_relay(form, terminals):
    assert clean(f"relays:\n  K1: {{{form}}}\n").parts["K1"].terminals == tuple(terminals.split())


def test_terminal_seal_and_plug_are_said_once():
    harness = clean(
        "connectors:\n  X1: {face: [[1..3]], view: mating face, terminal: 2.8 mm, seal: blue, plug: white}\n  X2: {terminal: 1.5 mm}\n"
        "grounds:\n  G1: {terminal: eyelet M8}\n"
        "cavities:\n  X1.2: {terminal: 6.3 mm}\n  X1.3: {plug: black}\n"
        "wires:\n  1: {from: X1.1, to: X2.9}\n  2: {from: X1.2, to: G1}\n")
    assert {contact.address: (contact.terminal, contact.seal, contact.plug) for contact in harness.contacts.values()} == {
        "X1.1": ("2.8 mm", "blue", ""), "X1.2": ("6.3 mm", "blue", ""), "X1.3": ("", "", "black"),
        "G1": ("eyelet M8", "", ""), "X2.9": ("1.5 mm", "", "")}


def test_what_a_cavity_says():
    contact = clean(TWO + "cavities:\n  X1.1: {function: lamp, signal: lamp, circuit: c, crimp: double, limit: 1 A, draws: 500 mA, note: n, evidence: e}\n").contacts["X1.1"]
    assert (contact.function, contact.signal, contact.circuit, contact.double, contact.note, contact.evidence) == ("lamp", "lamp", "c", True, "n", "e")
    assert (contact.limit.value, contact.draws.value) == (1.0, 0.5)


def test_two_conventions_in_one_harness():
    harness = clean(
        "colours: DIN 47002\nwire-type: PVC 85 C\ninclude: donor.yaml\n" + TWO + "wires:\n  1: {from: X1.1, to: X2.1, colour: sw/rt}\n",
        donor_yaml="colours: Japanese trade\nwires:\n  2: {from: X1.2, to: X2.2, colour: B-R}\n")
    one, two = harness.wires.values()
    assert one.colour == two.colour is not None
    assert (one.colour_as_stated, one.convention, two.colour_as_stated, two.convention) == ("sw/rt", "DIN 47002", "B-R", "Japanese trade")
    assert (str(one.type), two.type, harness.convention) == ("PVC 85 C", None, "DIN 47002")


def test_color_is_colour_and_a_file_without_a_convention_is_iec():
    harness = clean(TWO + "wires:\n  1: {from: X1.1, to: X2.1, color: BK}\n  2: {from: X1.2, to: X2.2, colour: BK}\ncables:\n  W1: {color: BK}\n")
    assert harness.wires["1"].colour == harness.wires["2"].colour == harness.cables["W1"].colour is not None
    assert harness.wires["1"].convention == "IEC 60757"


def test_in_a_convention_that_does_not_exist_no_colour_is_read():
    harness, findings = built("colours: RAL\n" + TWO + "wires:\n  1: {from: X1.1, to: X2.1, colour: 9005}\n")
    assert said(findings) == ["1:10: not-a-choice: `colours` is 'RAL', which is none of its words"]
    assert harness.wires["1"].colour is None


def test_wires_cavities_and_segments_in_tables():
    harness = clean(
        TWO + "tables: {wires: [wires.csv, more.csv], cavities: cavities.csv, segments: segments.csv}\n",
        wires_csv="wire,from,to,size,colour,via\n1,X1.1,X2.1,0.75 mm2,BK/YE,\n", more_csv="wire;from;to\n2;X1.2;unknown\n",
        cavities_csv="cavity,function,signal\nX1.1,\"lamp, left\",lamp\n", segments_csv="segment,from,to,length\nT1,P1,P2,420 mm\n")
    assert list(harness.wires) == ["1", "2"]
    assert str(harness.wires["1"].size) == "0.75 mm²"
    assert str(harness.wires["1"].source.place()) == "wires.csv:2:1"
    assert harness.contacts["X1.1"].function == "lamp, left"
    assert (harness.segments["T1"].length_mm, list(harness.points)) == (420.0, ["P1", "P2"])


def test_cables_and_pairs_are_gathered_from_their_wires():
    harness = clean(
        TWO + "cables:\n  W1: {shield: braid, lay: 30 mm, diameter: 5 mm, length: 1 m}\npairs:\n  can: {lay: 25 mm, twisted: 500 mm}\n"
        "wires:\n  1: {from: X1.1, to: X2.1, cable: W1}\n  2: {from: X1.2, to: X2.2, cable: W1, pair: can}\n  3: {from: X1.3, to: open, cable: W1, core: drain, pair: can}\n")
    cable, pair = harness.cables["W1"], harness.pairs["can"]
    assert (cable.wires, cable.shield, cable.lay_mm, cable.diameter_mm, cable.length.mm) == (("1", "2", "3"), "braid", 30.0, 5.0, 1000.0)
    assert (pair.wires, pair.lay_mm, pair.twisted_mm) == (("2", "3"), 25.0, 500.0)
    assert [wire.core for wire in harness.wires.values()] == ["core", "core", "drain"]


def test_a_cable_a_pair_and_a_circuit_need_not_be_declared():
    harness = clean(TWO + "wires:\n  1: {from: X1.1, to: X2.1, cable: W1, pair: can, circuit: data}\n")
    assert (harness.cables["W1"].wires, harness.pairs["can"].wires) == (("1",), ("1",))
    assert str(harness.pairs["can"].source.place()) == str(harness.cables["W1"].source.place()) == "main.yaml:5:6"
    assert (harness.circuits["data"].title, harness.circuits["data"].hot) == ("data", None)


@pytest.mark.parametrize("written, read", [
    ("{}", Allowances()),
    ("{end: 30 mm}", Allowances(30, 10, 50, 2000, 100)),
    ("{end: 0 mm, splice: 0 mm, rounding: 0 mm}", Allowances(0, 0, 0, None, 0)),
    ("{rounding: 10 mm}", Allowances(50, 10, 10, None, 10)),
    ("{rounding: {step: 20 mm}}", Allowances(50, 10, 20, None, 20)),
    ("{splice: 1 in, rounding: {step: 20 mm, above: 1 m, step-above: 50 mm}}", Allowances(50, 25.4, 20, 1000, 50))])
def test_allowances(written, read):
    assert clean(f"allowances: {written}\n").allowances == read


def test_places_come_from_the_owner_or_from_what_it_belongs_to():
    harness = clean(
        "segments:\n  T1: {from: P1, to: P2, length: 1 m}\nplaces:\n  P3: {title: behind the seat, zone: cabin}\n"
        "devices:\n  U1: {place: P1, connectors: [X1, X2]}\nconnectors:\n  X1: {}\n  X2: {place: P2}\n  X3: {}\n"
        "boxes:\n  B1: {place: P2}\nfuses:\n  F1: {box: B1}\n  F2: {box: B1, place: P1}\ngrounds:\n  G1: {place: P1}\nsplices:\n  S1: {place: P2}\n")
    assert harness.place_of == {"U1": "P1", "B1": "P2", "S1": "P2", "G1": "P1", "F1": "P2", "F2": "P1", "X1": "P1", "X2": "P2"}
    assert [(point.id, point.title, point.zone) for point in harness.points.values()] == [("P3", "behind the seat", "cabin"), ("P1", "", None), ("P2", "", None)]
    assert harness.connectors["X1"].device == "U1"


def test_a_splice_on_a_segment():
    splice = clean("segments:\n  T1: {from: P1, to: left of the bulkhead, length: 1 m}\nsplices:\n  S1: {at: 120 mm from P1 toward left of the bulkhead, join: J4}\n").splices["S1"]
    assert isinstance(splice.at, Offset)
    assert (splice.at.length.mm, splice.at.origin, splice.at.toward, splice.join) == (120.0, "P1", "left of the bulkhead", "J4")


def test_what_a_device_and_a_box_hold():
    harness = clean(
        "devices:\n  Q1: {terminals: [30, 15, 50], links: [[Q1.30, Q1.15]], closes: {off: [], start: [[Q1.30, Q1.50], [Q1.30, Q1.15]]}, between: [Q1.30, Q1.15], lamp: 2 W at 12 V}\n"
        "boxes:\n  B1: {lid: [[F1, gap, F5], [K1]], bars: {30: [F1.1, K1.30]}, spare: [F5]}\nfuses:\n  F1: {rating: 15 A, type: mini, feeds: lamps}\nrelays:\n  K1: {coil: 85 ohm, commanded-by: switch}\n")
    device, box = harness.devices["Q1"], harness.boxes["B1"]
    assert device.links == (("Q1.30", "Q1.15"),)
    assert device.closes == {"off": (), "start": (("Q1.30", "Q1.50"), ("Q1.30", "Q1.15"))}
    assert (device.between, device.lamp) == (("Q1.30", "Q1.15"), "2 W at 12 V")
    assert (box.lid, box.lid_view, box.spare) == ((("F1", "", "F5"), ("K1",)), "lid side", ("F5",))
    assert [(bar.address, bar.joins) for bar in box.bars] == [("B1.30", ("F1.1", "K1.30"))]
    assert (harness.parts["F1"].rating.value, harness.parts["K1"].value.value, harness.parts["K1"].commanded_by) == (15.0, 85.0, "switch")


def test_the_title_block_and_the_log():
    harness = clean("title: Heron\nowner: o\nnumber: n\nby: b\napproved: a\nnote: w\nsupply: 24 V\nlog:\n"
                    "  - {revision: A, date: 2026-01-31, by: me, reading: 148 km, why: first}\n  - {revision: B, date: 2026-02-01}\n")
    assert (harness.title, harness.owner, harness.number, harness.by, harness.approved, harness.note, harness.supply) == ("Heron", "o", "n", "b", "a", "w", "24 V")
    assert [(entry.revision, entry.date, entry.by, entry.reading, entry.why) for entry in harness.log] == [
        ("A", "2026-01-31", "me", "148 km", "first"), ("B", "2026-02-01", "", "", "")]


def test_words_that_other_readers_of_yaml_turn_into_something_else_stay_words():
    harness = clean("title: no\ncircuits:\n  on: {number: 010, system: 12:30}\nconnectors:\n  1e3: {title: 1_0}\nsplices:\n  off: {join: 0x1}\n")
    assert (harness.title, harness.circuits["on"].number, harness.circuits["on"].system) == ("no", "010", "12:30")
    assert (harness.connectors["1e3"].title, harness.splices["off"].join) == ("1_0", "0x1")


def test_what_is_wrong_is_left_out_and_the_rest_is_whole():
    harness, findings = built(TWO + "wires:\n  1: {from: X1.9, to: X2.1, size: 1 mile}\n  2: {from: X1.2, to: X2.2, size: 1 mm2}\n")
    assert [finding.code for finding in findings] == ["no-such-cavity", "bad-quantity"]
    assert (harness.wires["1"].from_, harness.wires["1"].size) == (UNKNOWN, None)
    assert harness.wires["2"].size is not None and harness.wires_at["X2.1"] == ("1",)


HERON = """\
title: "Heron camper, as found"
colours: DIN 47002
wire-type: PVC 85 C
devices:
  Q1: {title: key switch, connectors: [X1], closes: {accessory: [[X1.30, X1.75]], run: [[X1.30, X1.75], [X1.30, X1.15]], start: [[X1.30, X1.15], [X1.30, X1.50]]}}
  H4: {title: charge lamp, connectors: [X7], lamp: 2 W at 12 V, between: [X7.1, X7.2]}
boxes:
  B1: {title: fuse box, place: left of pedals, bars: {30: [F1.1, F2.1], 15: [F4.1, F5.1]}, spare: [F5, K3]}
fuses:
  F1: {box: B1}
  F2: {box: B1}
  F3: {box: B1}
  F4: {box: B1}
  F5: {box: B1}
segments:
  T1: {from: column, to: left of bulkhead, length: 820 mm, covering: tape}
connectors:
  X1: {title: key switch plug, place: column, half: socket, face: [[30, 15], [50, 75]], view: wire side}
  X7: {title: charge lamp plug, face: [[1..2]], view: wire side}
splices:
  SP9: {members: [unknown]}
circuits:
  charge lamp: {hot: [run, start]}
wires:
  11: {from: F3.2,  to: X1.30,   size: 2.5 mm2,  colour: rt,    circuit: key feed}
  14: {from: X1.15, to: SP9,     size: 1.5 mm2,  colour: sw/ge, circuit: ignition}
  37: {from: X7.2,  to: unknown, size: 0.75 mm2, colour: bl,    circuit: charge lamp, evidence: cut 340 mm from X7}
"""
LINNET = """\
title: Linnet hatchback engine
colours: Japanese trade
devices:
  U1: {title: engine control unit, connectors: [E1, E2]}
  A1: {title: alternator, terminals: [B+, L]}
connectors:
  E1: {title: engine control unit plug 1, half: socket, face: [[1..13], [14..26]], view: mating face}
  E2: {title: engine control unit plug 2}
  X30: {title: bulkhead plug}
relays:
  K8: {title: start relay}
cavities:
  E1.13: {function: start relay, signal: output-low, limit: 1 A}
  E1.26: {function: main supply, signal: feed-switched, draws: 9 A}
  A1.L:  {function: charge lamp, signal: charge-lamp}
wires:
  204: {from: E1.13, to: K8.85, size: 0.5 mm2,  colour: G-Y, circuit: start}
  260: {from: A1.L,  to: X30.4, size: 0.5 mm2,  colour: W-L, circuit: charge lamp}
"""


def test_the_sample_of_the_language_is_read_without_a_finding():
    heron, linnet = clean(HERON), clean(LINNET)
    assert heron.connectors["X1"].face.view is View.WIRE
    assert heron.wires["37"].evidence == "cut 340 mm from X7"
    assert heron.circuits["charge lamp"].hot == ("run", "start")
    assert linnet.contacts["E1.13"].signal == "output-low"
    assert linnet.wires["260"].to == "X30.4"


MISNAMED = """\
connectors:
  X1: {face: [[1..2]], view: wire side}
  X2: {face: [[1..2]], view: wire side}
cables:
  W1: {}
wires:
  1: {from: X1.1, to: X2.1, cable: W7, pair: data}
  2: {from: X1.2, to: X2.2, cable: W1, pair: data}
"""


def test_a_cable_that_is_not_among_the_declared_ones_is_a_slip():
    """Where none is declared, a wire's word is enough: so the pair stands."""
    harness, findings = built(MISNAMED)
    assert said(findings) == ["7:36: no-such-cable: `cable` of wire 1 names 'W7', but there is no such cable"]
    assert findings[0].do == "the description has W1"
    assert harness.pairs["data"].wires == ("1", "2")
