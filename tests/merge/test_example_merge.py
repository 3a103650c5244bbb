"""The example merge: what it must hold, and how much of it the matcher would have proposed."""

from __future__ import annotations

import re
from functools import cache
from pathlib import Path

import networkx
import pytest

from harnessdoc.merge.closure import closure
from harnessdoc.merge.fit import Verdict, fits
from harnessdoc.merge.plan import Fate, Source
from harnessdoc.merge.preview import merge_of
from harnessdoc.merge.proposing import propose_for
from harnessdoc.network.islands import connect
from harnessdoc.steps import Loaded, load

EXAMPLES = Path(__file__).parent.parent.parent / "examples"
MAIN = EXAMPLES / "heron-linnet" / "heron-linnet.yaml"
LEAST_PROPOSED = 0.85


@cache
def example() -> Loaded:
    return load(MAIN)


def test_nothing_is_found_but_what_is_not_known_yet():
    assert {finding.code for finding in example().findings} <= {"not-known-yet"}


def test_it_is_as_large_as_it_should_be():
    merge = example().merge
    assert len(merge.joins) >= 30
    assert len(merge.interfaces) >= 6 and len({interface.recipe for interface in merge.interfaces.values()}) >= 5
    assert not merge.of(Fate.UNDECIDED)
    assert len(merge.sources["host"].harness.wires) >= 70
    assert any(end.wire and not end.cut for join in merge.joins.values() for end in join.ends)      # a tap
    assert sum(bool(join.piece) for join in merge.joins.values()) >= 2                              # stubs too short by themselves


def test_every_wire_reaches():
    short = [fit.wire for fit in fits(example().merge, example().harness, example().geometry) if fit.verdict is Verdict.SHORT]
    assert short == []


def test_it_is_closed_and_a_far_half_hangs_on_a_live_splice():
    state = closure(example().merge, example().harness, example().operation)
    assert state.is_closed
    halves = example().merge.far_halves
    assert any(end.thing in halves and end.contact in example().harness.splices and end.live for end in state.loose_ends)


def test_one_grommet_is_shared():
    harness, geometry = example().harness, example().geometry
    shared = [segment.id for segment in harness.segments.values() if segment.grommet_mm is not None
              and {wire.partition("/")[0] for wire in geometry.bundles[segment.id].wires} >= {"host", "donor"}]
    assert shared


# ------------------------------------------------------------------------------ the matcher

def without_joins() -> str:
    """The example as it was before its joins and interfaces were written."""
    text = MAIN.read_text(encoding="utf-8")
    for section in ("joins", "interfaces"):
        text = re.sub(rf"^{section}:\n(?:[ #].*\n|\n)*", "", text, flags=re.MULTILINE)
    return text


def circuits(*sources: Source) -> dict[str, int]:
    """Address -> the circuit it belongs to: what copper, fuses and closed contacts join; the grounds of one metal are one."""
    graph = networkx.Graph()
    for source in sources:
        harness = source.harness
        for island in connect(harness).islands:
            graph.add_edges_from((source.id(island[0]), source.id(address)) for address in island)
        graph.add_edges_from((source.id(f"{part.id}.1"), source.id(f"{part.id}.2")) for part in harness.parts.values() if part.kind in ("fuse", "fusible link"))
        graph.add_edges_from((source.id(a), source.id(b)) for device in harness.devices.values() for pairs in device.closes.values() for a, b in pairs)
        graph.add_edges_from((source.id(ground.id), f"{source.name} {ground.metal}") for ground in harness.grounds.values())
    return {address: number for number, members in enumerate(networkx.connected_components(graph)) for address in members}


def test_the_matcher_proposes_most_of_the_joins_made_by_hand(tmp_path, capsys):
    """A join counts where a proposal ties the same two circuits, or where it goes through an interface that is proposed for one of the interface's ends."""
    for name in ("heron", "linnet"):
        (tmp_path / name).mkdir()
        (tmp_path / name / f"{name}.yaml").write_text((EXAMPLES / name / f"{name}.yaml").read_text(encoding="utf-8"), encoding="utf-8")
    (tmp_path / "merge").mkdir()
    bare = tmp_path / "merge" / "bare.yaml"
    bare.write_text(without_joins(), encoding="utf-8")
    _, merge = merge_of(str(bare))
    assert not merge.joins and not merge.interfaces
    host, donor = merge.sources["host"], merge.sources["donor"]
    of = circuits(host, donor)
    matching = propose_for(merge, host, donor)
    tied = {frozenset((of[one.host_end], of[one.donor_end])) for one in matching.proposals}
    through = {(of[end], one.interface) for one in matching.proposals if one.interface for end in (one.host_end, one.donor_end)}
    made = example().merge
    between, by_circuit, by_interface = [], [], []
    for join in made.joins.values():
        recipe = made.interfaces[join.through] if join.through else None
        ends = [end.address for end in join.ends if end.address in of]
        given = [address for address in recipe.given.values() if address in of] if recipe else []
        pairs = {frozenset((of[a], of[b])) for a in (*ends, *given) for b in (*ends, *given) if a.startswith("host/") and b.startswith("donor/")}
        if not pairs:
            continue            # a join to something that the merge adds
        between.append(join.id)
        if pairs & tied:
            by_circuit.append(join.id)
        elif recipe and any((of[end], recipe.recipe) in through for end in given):
            by_interface.append(join.id)
    with capsys.disabled():
        print(f"\n{len(between)} of {len(made.joins)} joins tie two vehicles; proposed {len(by_circuit)} by their circuits, {len(by_interface)} more by their interface; "
              f"not {sorted(set(between) - set(by_circuit) - set(by_interface), key=lambda id: int(id[1:]))}; {len(matching.proposals)} proposals")
    assert (len(by_circuit) + len(by_interface)) / len(between) >= LEAST_PROPOSED


def test_what_no_wiring_can_do_is_named():
    _, merge = merge_of(str(MAIN))
    (temperature,) = [one for one in propose_for(merge, merge.sources["host"], merge.sources["donor"]).not_by_wiring if one.donor_end == "donor/E1.23"]
    assert temperature.converter
    assert "donor/E1.23" in merge.open


@pytest.mark.parametrize("state, terminal, live", [("run, stopped", "donor/E1.1", True), ("off, stopped", "donor/E1.1", False)])
def test_the_key_of_the_van_wakes_the_control_unit_of_the_donor(state, terminal, live):
    solved = example().operation.solved[state]
    volts = example().operation.read(solved, [terminal])[terminal]
    assert (volts is not None and volts > 9) is live


def test_two_feeds_are_not_tied_and_what_stays_keeps_its_feed(tmp_path):
    """F3.2 and F2.2 both lie behind fuses; F2.2 of the van feeds the stop lamp switch, which no fate here takes away."""
    for name in ("heron", "linnet"):
        (tmp_path / f"{name}.yaml").write_text((EXAMPLES / name / f"{name}.yaml").read_text(encoding="utf-8"), encoding="utf-8")
    main = tmp_path / "merge.yaml"
    main.write_text("sources:\n  host: {file: heron.yaml, role: host}\n  donor: {file: linnet.yaml, role: donor}\n", encoding="utf-8")
    _, merge = merge_of(str(main))
    found = {one.host_end: one for one in propose_for(merge, merge.sources["host"], merge.sources["donor"]).proposals}
    assert "host/F3.2" not in found
    assert found["host/F2.2"].donor_end == "donor/SP1" and found["host/F2.2"].tapped
    assert not found["host/X8.2"].tapped
