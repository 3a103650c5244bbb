"""Cases of which a mechanic knows what happened: is it told so?"""

from __future__ import annotations

from itertools import pairwise
from textwrap import dedent

from revision.bench import linnet, rename, version_of, version_of_texts
from revision.canonical import applied, canonical
from revision.edits import edited

from harnessdoc.revision.changes import ChangeKind, Thing
from harnessdoc.revision.compare import Comparison, compare


def _compare(old: str, new: str, allowed: str = "") -> Comparison:
    return _checked(compare(*(version_of_texts({"harness.yaml": dedent(text)}, allowed=allowed) for text in (old, new))))


def _checked(comparison: Comparison) -> Comparison:
    """The comparison, after a look whether its changes are enough to make the new version."""
    assert applied(canonical(comparison.old.harness), comparison.changes) == canonical(comparison.new.harness)
    return comparison


def _told(comparison: Comparison) -> list[str]:
    """``kind thing id key: was -> now``; of ids that differ both."""
    lines = []
    for change in comparison.changes:
        ids = change.id if change.old_id in (change.new_id, None) or change.new_id is None else f"{change.old_id}={change.new_id}"
        values = f": {change.was or '-'} -> {change.now or '-'}" if change.key else ""
        lines.append(" ".join(filter(None, (change.kind.value, change.thing.value, ids, change.key))) + values)
    return lines


# ------------------------------------------------------------ one becomes more than one

CONNECTORS = """
    connectors:
      X1: {title: control unit, face: [[1..4]], view: wire side}
      X2: {title: lamp left, face: [[1, 2]], view: wire side}
      X3: {title: lamp right, face: [[1, 2]], view: wire side}
      X4: {title: lamp rear, face: [[1, 2]], view: wire side}
      X5: {title: lamp roof, face: [[1, 2]], view: wire side}
      X6: {title: lamp step, face: [[1, 2]], view: wire side}
"""


def test_a_wire_replaced_by_six_behind_a_splice() -> None:
    comparison = _compare(CONNECTORS + """
    wires:
      5: {from: X1.1, to: X2.1, size: 1 mm2, colour: RD}
    """, CONNECTORS + """
    splices:
      SP1: {title: lamps}
    wires:
      51: {from: X1.1, to: SP1, size: 1 mm2, colour: RD}
      52: {from: SP1, to: X2.1, size: 1 mm2, colour: RD}
      53: {from: SP1, to: X3.1, size: 1 mm2, colour: RD}
      54: {from: SP1, to: X4.1, size: 1 mm2, colour: RD}
      55: {from: SP1, to: X5.1, size: 1 mm2, colour: RD}
      56: {from: SP1, to: X6.1, size: 1 mm2, colour: RD}
    """)
    # 51 and 52 each have one of its ends: which of the two it was nobody can say
    assert _told(comparison) == [
        "added splice SP1", "removed wire 5", "added wire 51", "added wire 52", "added wire 53", "added wire 54", "added wire 55", "added wire 56",
    ]
    assert comparison.follows.parted == ()
    assert {label.was for label in comparison.follows.labels if label.wire == "5"} != {""}


def test_a_wire_that_keeps_its_number_and_is_cut_for_a_splice() -> None:
    comparison = _compare(CONNECTORS + """
    wires:
      5: {from: X1.1, to: X2.1, size: 1 mm2, colour: RD}
    """, CONNECTORS + """
    splices:
      SP1: {title: lamps}
    wires:
      5: {from: SP1, to: X1.1, size: 1 mm2, colour: RD}
      6: {from: SP1, to: X2.1, size: 1 mm2, colour: RD}
      7: {from: SP1, to: X3.1, size: 1 mm2, colour: RD}
    """)
    assert _told(comparison) == ["added splice SP1", "spliced wire 5 end: X2.1 -> SP1", "added wire 6", "added wire 7"]


def test_a_strap_replaced_by_six_between_the_same_two_grounds() -> None:
    grounds = "grounds:\n  G1: {title: engine}\n  G2: {title: body}\nwires:\n"
    comparison = _compare(f"{grounds}  5: {{from: G1, to: G2, size: 16 mm2, colour: BK}}\n",
                          grounds + "".join(f"  5{n}: {{from: G1, to: G2, size: {'2.5' if n else '16'} mm2, colour: BK}}\n" for n in range(6)))
    assert _told(comparison) == ["renamed wire 5=50", *(f"added wire 5{n}" for n in range(1, 6))]


def test_a_second_connector_added() -> None:
    comparison = _compare(CONNECTORS + """
    wires:
      5: {from: X1.1, to: X2.1, size: 1 mm2, colour: RD}
      6: {from: X1.2, to: X2.2, size: 1 mm2, colour: BK}
    """, CONNECTORS + """
      X7: {title: second plug of the control unit, face: [[1, 2]], view: wire side}
    cavities:
      X7.1: {function: reverse lamp, signal: output-high}
    wires:
      5: {from: X1.1, to: X2.1, size: 1 mm2, colour: RD}
      6: {from: X1.2, to: X2.2, size: 1 mm2, colour: BK}
      7: {from: X7.1, to: X3.1, size: 1 mm2, colour: WH}
    """)
    assert _told(comparison) == ["added connector X7", "added contact X7.1", "added wire 7"]


# ------------------------------------------------------------- given twice, and mended

def test_a_cavity_given_to_two_wires_and_mended_in_the_next_version() -> None:
    wires = "    wires:\n      5: {{from: X1.1, to: X2.1, size: 1 mm2, colour: RD}}\n      6: {{from: {}, to: X3.1, size: 1 mm2, colour: WH}}\n"
    wrong, mended = CONNECTORS + wires.format("X1.1"), CONNECTORS + wires.format("X1.2")
    comparison = _compare(wrong, mended, "cavity-used-twice")
    assert _told(comparison) == ["moved wire 6 end: X1.1 -> X1.2"]
    assert "cavity-used-twice" in {finding.code for finding in comparison.follows.findings_gone}
    assert comparison.follows.findings_new == ()
    assert [sorted(map(sorted, merged.parts)) for merged in comparison.follows.merged] in ([], [[["X1.2"], ["X3.1"]]])
    assert [sorted(map(sorted, parted.parts)) for parted in comparison.follows.parted] in ([], [[["X1.1", "X2.1"], ["X3.1"]]], [[["X1.1", "X2.1"], ["X1.2", "X3.1"]]])
    back = _compare(mended, wrong, "cavity-used-twice")
    assert "cavity-used-twice" in {finding.code for finding in back.follows.findings_new}
    assert back.follows.findings_gone == ()


def test_a_cavity_given_two_functions_by_two_wires_each_with_its_own_in_the_next_version() -> None:
    wires = "    wires:\n      5: {{from: X1.1, to: X2.1, circuit: left}}\n      6: {{from: X1.{}, to: X3.1, circuit: right}}\n"
    comparison = _compare(CONNECTORS + "    cavities:\n      X1.1: {function: left and right}\n" + wires.format(1),
                          CONNECTORS + "    cavities:\n      X1.1: {function: left}\n      X1.2: {function: right}\n" + wires.format(2), "cavity-used-twice")
    assert _told(comparison) == ["use changed contact X1.1 function: left and right -> left", "unknown now known contact X1.2 function: - -> right", "moved wire 6 end: X1.1 -> X1.2"]


# ------------------------------------------------------------------------- ids that swap

def _renamed_on_the_linnet(section: str, names: dict[str, str]) -> Comparison:
    old = linnet()
    new = edited(old)
    rename(new, section, names)
    return _checked(compare(version_of(old), version_of(new)))


def test_ids_that_swap() -> None:
    for section, thing, one, other in (("wires", "wire", "204", "205"), ("wires", "wire", "563", "347"), ("connectors", "connector", "X1", "X2"), ("connectors", "connector", "E1", "X30"),
                                       ("fuses", "part", "F2", "F14"), ("splices", "splice", "SP3", "SP10"), ("grounds", "ground", "GE1", "GE2"), ("relays", "part", "K1", "K8")):
        told = _told(_renamed_on_the_linnet(section, {one: other, other: one}))
        assert sorted(told) == sorted([f"renamed {thing} {one}={other}", f"renamed {thing} {other}={one}"])


def test_renumbering_by_one() -> None:
    for section, thing, ids in (("wires", "wire", ["201", "202", "203", "204", "205", "206"]), ("wires", "wire", ["431", "432", "433", "434", "435", "436", "437", "438", "439", "440"]),
                                ("connectors", "connector", ["X21", "X22", "X23", "X24", "X25", "X26", "X27", "X28", "X29", "X33"]), ("fuses", "part", ["F20", "F21", "F22", "F24"]),
                                ("splices", "splice", [f"SP{n}" for n in range(1, 17)])):
        for order in (ids, [ids[0] + "a", *ids[:-1]][::-1]):    # up by one, then down by one
            names = dict(pairwise(order))
            told = _told(_renamed_on_the_linnet(section, names))
            assert sorted(told) == sorted(f"renamed {thing} {name}={new}" for name, new in names.items())


# ------------------------------------------------------------- everything goes elsewhere

def test_a_connector_whose_wires_all_move_to_another() -> None:
    def text(connector: str) -> str:
        return f"""
    connectors:
      X1: {{title: control unit, face: [[1..4]], view: wire side}}
      X2: {{title: dash left, face: [[1..4]], view: wire side}}
      X3: {{title: dash right, face: [[1..4]], view: wire side}}
    cavities:
      {connector}.1: {{function: lamp, signal: lamp, draws: 2 A}}
    wires:
      5: {{from: X1.1, to: {connector}.1, colour: RD}}
      6: {{from: X1.2, to: {connector}.2, colour: BK}}
      7: {{from: X1.3, to: {connector}.3, colour: WH}}
    """

    # both connectors are in both versions, under their own names and titles: it is the wires that went
    assert _told(_compare(text("X2"), text("X3"))) == ["moved contact X2.1=X3.1", *(f"re-ended wire {4 + n} end: X2.{n} -> X3.{n}" for n in (1, 2, 3))]


def test_a_connector_replaced_by_another_with_the_same_wires_is_another_part_under_another_name() -> None:
    old = linnet()
    new = edited(old)
    rename(new, "connectors", {"X10": "X40"})
    new["connectors"]["X40"] |= {"title": "pedal position sensor", "housing": "grey, 6 ways"}
    comparison = _checked(compare(version_of(old), version_of(new)))
    assert _told(comparison) == [
        "renamed connector X10=X40", "text only connector X10=X40 title: accelerator pedal -> pedal position sensor", "unknown now known connector X10=X40 housing: - -> grey, 6 ways",
    ]
    assert all(change.why for change in comparison.changes)


def test_a_module_moved_cavity_for_cavity_within_its_connector() -> None:
    """The six wires of the pedal go one cavity on, and what is said of the cavities goes with them."""
    old = linnet()
    new = edited(old)
    on = {f"X10.{n}": f"X10.{n % 6 + 1}" for n in range(1, 7)}
    new["cavities"] = {on.get(address, address): entry for address, entry in new["cavities"].items()}
    for wire in new["wires"].values():
        wire |= {key: on.get(wire[key], wire[key]) for key in ("from", "to")}
    comparison = _checked(compare(version_of(old), version_of(new)))
    moved = [(change.thing, change.old, change.new) for change in comparison.changes if change.kind is ChangeKind.MOVED and change.key == "end"]
    assert sorted(moved, key=str) == sorted(((Thing.WIRE, old, new) for old, new in on.items()), key=str)
    contacts = {(change.old_id, change.new_id) for change in comparison.changes if change.thing is Thing.CONTACT}
    assert contacts == set(on.items())
    assert {change.kind for change in comparison.changes} == {ChangeKind.MOVED}
    assert (len(comparison.follows.merged), len(comparison.follows.parted)) == (6, 6)    # each cavity of the pedal has the signal of another


def test_a_connector_that_has_another_name_and_two_of_its_wires_exchanged() -> None:
    old = linnet()
    new = edited(old)
    rename(new, "connectors", {"X10": "X41"})
    on = {"X41.3": "X41.6", "X41.6": "X41.3"}
    new["cavities"] = {on.get(address, address): entry for address, entry in new["cavities"].items()}
    for wire in new["wires"].values():
        wire |= {key: on.get(wire[key], wire[key]) for key in ("from", "to")}
    comparison = _checked(compare(version_of(old), version_of(new)))
    assert sorted(_told(comparison)) == [
        "moved contact X10.3=X41.6", "moved contact X10.6=X41.3", "moved wire 303 end: X10.3 -> X41.6", "moved wire 306 end: X10.6 -> X41.3", "renamed connector X10=X41",
    ]


# ------------------------------------------------- the same id for something else

def test_an_id_given_to_something_of_another_kind_is_one_gone_and_one_new() -> None:
    comparison = _compare("""
    connectors:
      X1: {title: plug, face: [[1, 2]], view: wire side}
    splices:
      A: {title: lamps}
    wires:
      1: {from: X1.1, to: A, colour: RD}
    """, """
    connectors:
      X1: {title: plug, face: [[1, 2]], view: wire side}
    grounds:
      A: {title: body}
    wires:
      1: {from: X1.1, to: A, colour: RD}
    """)
    assert _told(comparison) == ["removed splice A", "added ground A", "unspliced wire 1 end: A -> A"]


def test_a_circuit_that_loses_its_entry_but_not_its_wires() -> None:
    wires = "connectors:\n  X1: {title: plug}\nwires:\n  1: {from: X1.1, to: unknown, circuit: lamp}\n  2: {from: X1.2, to: unknown, circuit: lamp}\n"
    comparison = _compare(f"circuits:\n  lamp: {{system: lights, hot: [run]}}\n{wires}", wires)
    assert {(change.thing, change.id) for change in comparison.changes} == {(Thing.CIRCUIT, "lamp")}


def test_a_connector_with_nothing_in_it_is_known_again_by_its_title() -> None:
    text = "connectors:\n  X1: {title: control unit, face: [[1, 2]], view: wire side}\n  X8: {title: trailer socket, face: [[1, 2]], view: wire side}\n"
    assert _told(_compare(text, text.replace("X8", "X9"))) == ["renamed connector X8=X9"]
    assert _told(_compare(text, text.replace("X8", "X9").replace("trailer socket", "radio"))) == ["removed connector X8", "added connector X9"]
