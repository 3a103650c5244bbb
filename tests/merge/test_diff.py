"""Two versions of a merge: what was decided otherwise, and the rework, to the pin."""

from __future__ import annotations

import pytest
from git_repository import Repository
from merge.vehicles import DONOR, HEAD, HOST, PLACES, merged, texts

from harnessdoc.cli.diff_text import as_lines
from harnessdoc.description.git_files import files_at
from harnessdoc.revision.changes import ChangeKind, Thing
from harnessdoc.revision.lines import lines_of
from harnessdoc.revision.rework import rework
from harnessdoc.revision.steps import Phase
from harnessdoc.steps import compare, load

FATES = "fates:\n  - {fate: kept, pattern: host/*}\n  - {fate: removed, device: host/A0, why: old}\n"
JOINS = "joins:\n  J1: {ends: [host/X7.2, donor/A1.L], method: crimp splice, place: bulkhead}\n  J2: {ends: [host/SP9, donor/E1.1]}\n"
BEFORE = PLACES + FATES + JOINS


def changed(after: str, things: tuple[Thing, ...] = (Thing.SOURCE, Thing.FATE, Thing.JOIN, Thing.FAR_HALF, Thing.INTERFACE, Thing.OPEN_END)) -> list[tuple]:
    changes = compare(merged(BEFORE), merged(after)).changes
    return [(change.kind, change.thing, change.id, change.key, change.was, change.now) for change in changes if change.thing in things]


def test_nothing_changed():
    assert compare(merged(BEFORE), merged(BEFORE)).changes == ()


@pytest.mark.parametrize("written, instead, told", [
    ("place: bulkhead}", "place: dashboard}", [(ChangeKind.RE_ROUTED, Thing.JOIN, "J1", "place", "bulkhead", "dashboard")]),
    ("method: crimp splice", "method: solder", [(ChangeKind.TEXT_ONLY, Thing.JOIN, "J1", "method", "crimp splice", "solder")]),
    ("place: bulkhead}", "place: bulkhead, strip: 8 mm}", [(ChangeKind.RE_LENGTHENED, Thing.JOIN, "J1", "strip", "", "8 mm")]),
    ("place: bulkhead}", "place: bulkhead, stubs: {donor/A1.L: 650 mm}}", [(ChangeKind.RE_LENGTHENED, Thing.JOIN, "J1", "stubs", "", "donor/A1.L 650 mm")]),
    ("why: old}", "why: sold}", [(ChangeKind.TEXT_ONLY, Thing.FATE, "host/37", "why", "", "")][:0]),
    ("joins:", "open: {donor/E1.4: spare}\njoins:", [(ChangeKind.ADDED, Thing.OPEN_END, "donor/E1.4", "", "", "spare")]),
])
def test_one_thing_decided_otherwise(written, instead, told):
    assert changed(BEFORE.replace(written, instead)) == told


def test_a_fate():
    told = changed(BEFORE.replace("pattern: host/*", "pattern: donor/*"))
    assert (ChangeKind.USE_CHANGED, Thing.FATE, "host/1", "fate", "kept", "undecided") in told
    assert (ChangeKind.USE_CHANGED, Thing.FATE, "donor/262", "fate", "undecided", "kept") in told


def test_a_join_more_and_one_less():
    told = changed(BEFORE.replace("J2: {ends: [host/SP9, donor/E1.1]}", "J3: {ends: [host/SP9, donor/E1.2]}"))
    assert (ChangeKind.REMOVED, Thing.JOIN, "J2", "", "ties host/SP9 and donor/E1.1", "") in told
    assert (ChangeKind.ADDED, Thing.JOIN, "J3", "", "", "ties host/SP9 and donor/E1.2") in told
    assert (ChangeKind.REMOVED, Thing.FAR_HALF, "donor/261-far", "", "removed", "") in told


def lines(before: str, after: str) -> list[str]:
    return [line.text for line in lines_of(compare(merged(before), merged(after)))]


def test_the_method_of_a_join_is_told_once_with_its_splice():
    after = BEFORE.replace("method: crimp splice", "method: solder")
    assert lines(BEFORE, after) == ["splice J1, method: was crimp splice, now solder"]
    # a join that makes no splice has a line of its own
    assert lines(BEFORE, BEFORE.replace("donor/E1.1]}", "donor/E1.1], method: solder}")) == ["join J2, method: was none, now solder"]


def test_of_the_states_only_those_are_told_that_differ():
    states = "states:\n  standing: {key: off, engine: stopped}\n  waiting: {key: run, engine: stopped}\n  going: {key: run, engine: running}\n"
    assert lines(BEFORE + states, BEFORE + states.replace("waiting: {key: run", "waiting: {key: off")) == ["harness, states: was waiting: key run, engine stopped, now waiting: key off, engine stopped"]
    assert lines(BEFORE + states, BEFORE + states.replace("  standing: {key: off, engine: stopped}\n", "")) == ["harness, states: was standing: key off, engine stopped, now none"]


def test_an_interface():
    before = merged(PLACES + FATES)
    after = merged(PLACES + FATES + "interfaces:\n  I1: {recipe: diode, anode: host/X7.2, cathode: donor/A1.L}\njoins:\n  J1: {ends: [host/X7.2, donor/A1.L], through: I1}\n")
    told = [(change.kind, change.id, change.now) for change in compare(before, after).changes if change.thing is Thing.INTERFACE]
    assert told == [(ChangeKind.ADDED, "I1", "diode: anode host/X7.2, cathode donor/A1.L")]
    assert any(change.thing is Thing.PART and change.id == "I1-D" for change in compare(before, after).changes)


def test_a_source():
    other = load("merge.yaml", texts(HEAD.replace("donor.yaml", "other.yaml") + BEFORE) | {"other.yaml": DONOR})
    told = [(change.thing, change.id, change.was, change.now) for change in compare(merged(BEFORE), other).changes if change.thing is Thing.SOURCE]
    assert told == [(Thing.SOURCE, "donor", "donor.yaml", "other.yaml")]


def test_what_changed_in_a_source_is_told_as_of_any_harness():
    after = merged(BEFORE, donor=DONOR.replace("262: {from: X30.2, to: R9.1, size: 0.85 mm2", "262: {from: X30.2, to: R9.1, size: 1.25 mm2"))
    lines = list(as_lines(compare(merged(BEFORE), after)))
    assert lines == ["donor.yaml:17:38: wire donor/262 resized: was 0.85 mm², now 1.25 mm²"]


def test_the_rework_of_a_changed_join_is_right_to_the_pin():
    """J2 goes from E1.1 to E1.2: the old wire comes out of the splice, the new one goes in, and each other end is named."""
    comparison = compare(merged(BEFORE), merged(BEFORE.replace("donor/E1.1]", "donor/E1.2]")))
    steps = rework(comparison).steps
    by_hand = [(step.phase, step.at, step.wire) for step in steps if step.phase in (Phase.DE_PIN, Phase.CUT, Phase.SPLICE, Phase.PIN)]
    assert by_hand == [
        (Phase.DE_PIN, "donor/E1.1", "donor/261"), (Phase.DE_PIN, "donor/X30.3", "donor/263"), (Phase.CUT, "host/SP9", ""), (Phase.CUT, "", "donor/261"),
        (Phase.CUT, "", "donor/261"), (Phase.CUT, "", "donor/263"), (Phase.SPLICE, "host/SP9", ""), (Phase.PIN, "donor/E1.1", "donor/261"), (Phase.PIN, "donor/X30.1", "donor/261"),
    ]
    (splice,) = (step for step in steps if step.phase is Phase.SPLICE)
    assert splice.words.startswith("join host/14, host/36, host/40, donor/263:") and "donor/E1.2" in splice.proof
    labels = {step.at: step.words for step in steps if step.phase is Phase.LABEL}
    assert labels["donor/E1.2"].endswith("put on: J2 | donor/263 | 0.85 mm² YE | to host/SP9")


def test_a_merge_against_one_harness():
    changes = compare(load("host.yaml", {"host.yaml": HOST}), merged(BEFORE)).changes
    assert {change.kind for change in changes if change.thing is Thing.JOIN} == {ChangeKind.ADDED}


def test_the_sources_of_an_old_version_are_those_of_then(tmp_path):
    """A source stands in a folder beside that of the merge, and changes after the commit."""
    shop = Repository(tmp_path / "shop")
    merge = (HEAD + BEFORE).replace("file: host", "file: ../host/host").replace("file: donor", "file: ../donor/donor")
    shop.commit({"host/host.yaml": HOST, "donor/donor.yaml": DONOR, "merge/merge.yaml": merge})
    shop.put({"donor/donor.yaml": DONOR.replace("size: 0.85 mm2, colour: G", "size: 1.25 mm2, colour: G")})
    main = tmp_path / "shop" / "merge" / "merge.yaml"
    was = files_at(main, "HEAD")
    lines = list(as_lines(compare(load(was.path, was.texts), load(main))))
    assert len(lines) == 1 and lines[0].endswith("wire donor/262 resized: was 0.85 mm², now 1.25 mm²")
