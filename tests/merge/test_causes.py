"""A fault in a merge is told alone, without what only follows from it; and that the rest was not checked."""

from __future__ import annotations

import pytest
from click.testing import CliRunner
from merge.vehicles import DONOR, HEAD, HOST, PLACES, texts

from harnessdoc.cli.main import harnessdoc
from harnessdoc.description.files import near_files
from harnessdoc.steps import load

WHOLE = HEAD + PLACES + """\
fates:
  - {fate: kept, pattern: "*"}
  - {fate: removed, device: [host/A0, donor/R9]}
  - {fate: removed, wire: donor/262}
interfaces:
  I1: {recipe: diode, anode: donor/E1.2, cathode: host/X7.2, place: bulkhead}
joins:
  J1: {ends: [host/X7.2, donor/E1.2], through: I1, place: bulkhead}
  J2: {ends: [host/SP9, donor/E1.1], place: bulkhead}
open: {donor/E1.3: not used}
"""


def said(text: str, donor: str = DONOR, host: str = HOST, **more: str) -> list[str]:
    loaded = load("merge.yaml", texts(text, host, donor) | more)
    assert not loaded.is_checked
    return [f"{finding.place}: {finding.code}" for finding in loaded.findings]


def test_the_whole_one_is_checked():
    loaded = load("merge.yaml", texts(WHOLE))
    assert loaded.is_checked and not loaded.has_errors and loaded.findings


@pytest.mark.parametrize(("was", "now", "code"), [
    ("file: donor.yaml", "file: doner.yaml", "5:17: source-missing"),
    ("file: host.yaml", "file: hosts/", "4:16: source-missing"),
    ("role: donor", "role: giver", "5:35: not-a-choice"),
    ("  donor: {file: donor.yaml, role: donor}\n", "", "4:3: sources-missing"),
    ("file: donor.yaml", "file: host.yaml", "5:17: source-twice"),
])
def test_a_source_that_cannot_be_used_is_all_that_is_told(was, now, code):
    assert was in WHOLE
    assert said(WHOLE.replace(was, now)) == [f"merge.yaml:{code}"]


def test_sources_that_are_no_map_are_all_that_is_told():
    text = WHOLE.replace("  host: {file", "  - host: {file").replace("  donor: {file", "  - donor: {file")
    assert said(text) == ["merge.yaml:4:3: wrong-kind"]


def test_a_source_that_is_no_text_is_all_that_is_told():
    files = texts(WHOLE) | {"donor.yaml": b"\x89PNG\0"}
    assert [finding.code for finding in load("merge.yaml", files).findings] == ["source-missing"]


@pytest.mark.parametrize(("was", "now", "left"), [
    ("ends: [host/SP9, donor/E1.1]", "ends: [host/SP9, donor/E7.1]", ["merge.yaml:22:25: join-end-gone"]),
    ("ends: [host/X7.2, donor/E1.2]", "ends: [host/X7.2, donor/E1.9]", ["merge.yaml:21:26: join-end-gone"]),
    ("ends: [host/X7.2, donor/E1.2]", "ends: [host/X7.2, donor/E1.2", ["merge.yaml:21:14: unclosed-bracket"]),
    ("recipe: diode", "recipe: diod", ["merge.yaml:19:16: no-such-recipe"]),
    ("I1: {recipe", "I1: {{recipe", ["merge.yaml:19:7: unclosed-bracket"]),
    ("interfaces:\n  I1: {", "interfaces:\n  - I1: {", ["merge.yaml:19:3: wrong-kind"]),
])
def test_what_follows_from_a_join_or_interface_that_is_not_made_is_not_told(was, now, left):
    assert was in WHOLE
    assert said(WHOLE.replace(was, now)) == left


def test_what_ends_at_an_interface_that_is_not_made_is_not_told():
    text = WHOLE.replace("recipe: diode", "recipe: diod").replace("[host/SP9, donor/E1.1]", "[donor/E1.1, I1-D.A]")
    assert said(text) == ["merge.yaml:19:16: no-such-recipe"]


def test_names_that_may_stand_on_lost_lines_of_a_source_are_not_judged():
    donor = DONOR.replace("R9: {title: rear wiper,", "R9: {title: rear: wiper,")
    assert said(WHOLE, donor) == ["donor.yaml:7:19: colon-in-value"]
    donor = DONOR.replace("connectors:\n", "connectors:\n  - ", 1).replace("  X30:", "  - X30:")
    assert {line.rpartition(": ")[2] for line in said(WHOLE, donor.replace("  -   E1", "  - E1"))} == {"wrong-kind"}


def test_other_errors_are_told_beside_it():
    text = WHOLE.replace("donor/E1.1]", "donor/E7.1]").replace("wire: donor/262", "wire: donor/999")
    assert said(text) == ["merge.yaml:17:27: fate-of-nothing", "merge.yaml:22:25: join-end-gone"]


def test_the_files_that_may_be_meant_are_named(tmp_path):
    for name, text in {"merges/merge.yaml": WHOLE, "merges/host.yaml": HOST, "donors/donor.yaml": DONOR}.items():
        (tmp_path / name).parent.mkdir(exist_ok=True)
        (tmp_path / name).write_text(text, encoding="utf-8")
    loaded = load(tmp_path / "merges" / "merge.yaml")
    assert [finding.do for finding in loaded.findings] == ["did you mean `file: ../donors/donor.yaml`? write the path from the folder of merge.yaml"]
    mended = WHOLE.replace("file: donor.yaml", "file: ../donors/donor.yaml")
    (tmp_path / "merges" / "merge.yaml").write_text(mended, encoding="utf-8")
    assert not load(tmp_path / "merges" / "merge.yaml").has_errors


def test_a_file_of_that_name_elsewhere_is_nearer_than_one_misspelt():
    assert near_files("a/linnet.yaml", {"a/linnets.yaml": "", "b/linnet.yaml": "", "a/linnet.txt": ""}) == ("b/linnet.yaml", "a/linnets.yaml")
    assert near_files("a/linnet.yaml", {"a/heron.yaml": ""}) == ()
    assert near_files("no\0such/linnet.yaml") == ()


def test_the_terminal_says_that_the_rest_was_not_checked(tmp_path):
    for name, text in texts(WHOLE.replace("donor.yaml", "doner.yaml")).items():
        (tmp_path / name).write_text(text, encoding="utf-8")
    main = str(tmp_path / "merge.yaml")
    shown = CliRunner().invoke(harnessdoc, ["check", main])
    assert shown.exit_code == 1 and shown.output.endswith("1 error\nthe rest was not checked: mend the errors first\n")
    (tmp_path / "merge.yaml").write_text(WHOLE, encoding="utf-8")
    assert "not checked" not in CliRunner().invoke(harnessdoc, ["check", main]).output


@pytest.mark.parametrize("arguments", [["check"], ["check", "--format", "json"], ["book", "--out", "b"], ["sheet", "cover"], ["give", "--as", "cut.csv"], ["labels", "--out", "l.csv"],
                                       ["readings"], ["match"], ["join", "host/X7.2", "donor/A1.L"], ["trace", "host/X7.2"]])
def test_no_command_raises_where_a_source_is_missing(arguments, tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    for name, text in texts(WHOLE.replace("donor.yaml", "doner.yaml")).items():
        (tmp_path / name).write_text(text, encoding="utf-8")
    result = CliRunner().invoke(harnessdoc, [arguments[0], "merge.yaml", *arguments[1:]])
    assert isinstance(result.exception, SystemExit) and result.exit_code in (1, 2)
    assert "source" in result.output


