"""The commands about a merge: nothing is written unless told to, and what is written is what was shown."""

from __future__ import annotations

from pathlib import Path

import pytest
import yaml
from click.testing import CliRunner
from merge.vehicles import HEAD, HOST, PLACES, texts

from harnessdoc.cli.main import harnessdoc
from harnessdoc.merge.recipes import RECIPES
from harnessdoc.steps import load

MERGE = HEAD + PLACES + "fates:\n  - {fate: removed, device: donor/R9, why: no rear wiper}\njoins:\n  J1: {ends: [host/X7.2, donor/A1.L], method: crimp splice}   # the charge lamp\n\n# the end\n"


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    for name, text in texts(MERGE).items():
        (tmp_path / name).write_text(text, encoding="utf-8")
    return tmp_path


def run(*arguments: object):
    return CliRunner().invoke(harnessdoc, [str(argument) for argument in arguments])


def test_a_join_is_shown_with_what_it_cuts_and_takes(folder):
    before = (folder / "merge.yaml").read_bytes()
    result = run("join", folder / "merge.yaml", "host/X1.15", "donor/E1.2")
    assert result.exit_code == 0
    assert result.stdout.splitlines()[0] == "J2"
    for words in ("host/X1.15: wire host/14 1.5 mm2 sw/ge", "cut off: host/14-far", "by the cut of host/14, host/X7.1, ", "J2: {ends: [host/X1.15, donor/E1.2], method: crimp splice}"):
        assert words in result.stdout
    assert "nothing is written" in result.stderr
    assert (folder / "merge.yaml").read_bytes() == before


def test_a_join_is_written_as_it_was_shown_and_all_else_stays(folder):
    main = folder / "merge.yaml"
    result = run("join", main, "host/X1.15", "donor/E1.2", "--cut", "donor", "--place", "bulkhead", "--write")
    assert result.exit_code == 0 and "written into" in result.stdout
    line = "  J2: {ends: [host/X1.15, donor/E1.2], cut: donor, method: crimp splice, place: bulkhead}\n"
    assert main.read_text(encoding="utf-8") == MERGE.replace("# the charge lamp\n", f"# the charge lamp\n{line}")
    loaded = load(str(main))
    assert list(loaded.merge.joins) == ["J1", "J2"] and not loaded.has_errors


def test_a_first_join_gets_a_section_of_its_own(folder):
    main = folder / "merge.yaml"
    main.write_text(HEAD, encoding="utf-8")
    assert run("join", main, "host/SP9", "donor/E1.1", "--write").exit_code == 0
    assert main.read_text(encoding="utf-8") == HEAD + "joins:\n  J1: {ends: [host/SP9, donor/E1.1], method: crimp splice}\n"


@pytest.mark.parametrize("ends, words", [
    (("host/X7.2", "donor/E1.2"), "end-joined-twice: join J2 takes the end host/X7.2 of wire host/37, which join J1 has"),
    (("host/X1.15", "donor/E9.2"), "join-end-gone: join J2 names 'donor/E9.2'"),
    (("host/X1.15", "host/X1.30"), "join-within-one-source"),
    (("host/X1.15", "donor/E1.2", "--place", "bulkhed"), "place-off-the-bundle: splice J2 sits at 'bulkhed', which is no end of any segment"),
    (("host/X1.15", "donor/R9.1"), "join-end-gone: join J2 ends at donor/R9.1, but donor/R9 leaves (removed: no rear wiper)"),
])
def test_a_join_that_cannot_be_made_is_not_written(folder, ends, words):
    result = run("join", folder / "merge.yaml", *ends, "--write")
    assert result.exit_code == 1
    assert words in result.stderr
    assert (folder / "merge.yaml").read_text(encoding="utf-8") == MERGE


def test_what_is_no_merge_is_told(folder):
    for command in (("join", folder / "host.yaml", "a", "b"), ("match", folder / "host.yaml"), ("match", folder / "nowhere.yaml")):
        result = run(*command)
        assert result.exit_code == 2 and "is no merge" in result.stderr


def test_match_proposes_and_writes_only_when_told(folder):
    main = folder / "merge.yaml"
    main.write_text(HEAD, encoding="utf-8")
    shown = run("match", main)
    assert shown.exit_code == 0 and main.read_text(encoding="utf-8") == HEAD
    assert "host/X7.2 - donor/A1.L: charge lamp" in shown.stdout
    assert "without a partner:" in shown.stdout
    written = run("match", main, "--write")
    assert written.exit_code == 0
    text = main.read_text(encoding="utf-8")
    assert text.startswith(HEAD)
    section = yaml.load(text, yaml.BaseLoader)["joins"]
    assert ["host/X7.2", "donor/A1.L"] in [entry["ends"] for entry in section.values()]
    assert not [finding for finding in load(str(main)).findings if finding.place.file == str(main) and finding.severity.word == "error"]


def test_match_leaves_alone_what_is_joined(folder):
    result = run("match", folder / "merge.yaml")
    assert "host/X7.2" not in result.stdout and "donor/A1.L" not in result.stdout


def test_the_recipes_are_listed_and_shown():
    listed = run("recipe").stdout
    assert all(name in listed for name in RECIPES)
    shown = run("recipe", "pull-up")
    assert shown.exit_code == 0 and shown.stdout.startswith("pull-up\n")
    near = run("recipe", "pulup")
    assert near.exit_code == 0 and "the nearest is" in near.stderr and near.stdout.startswith("pull-up\n")
    assert run("recipe", "xyzzy").exit_code == 2


@pytest.mark.parametrize(("written", "meant"), [("start chain", "start chain with interlock"), ("interlock", "start chain with interlock"), ("Low side", "low-side output to case-grounded load"),
                                                ("main relay", "control-unit-held main relay"), ("two comanders on one load", "two commanders on one load")])
def test_a_recipe_is_found_by_how_it_begins_and_by_its_words(written, meant):
    near = run("recipe", written)
    assert near.exit_code == 0 and near.stdout.startswith(f"{meant}\n")


def test_of_several_recipes_that_are_meant_none_is_shown():
    near = run("recipe", "ground signal to")
    assert near.stdout.startswith("ground signal to supply input\n")
    near = run("recipe", "signal ground")
    assert near.exit_code == 2 and "did you mean `supply signal to ground input` or `ground signal to supply input`?" in near.stderr
    assert run("recipe", "").exit_code == 2


def test_a_file_in_a_form_that_cannot_be_added_to_stays_as_it_is(folder):
    main = folder / "merge.yaml"
    text = HEAD + "joins: {J1: {ends: [host/X7.2, donor/A1.L]}}\n"
    main.write_text(text, encoding="utf-8")
    result = run("join", main, "host/SP9", "donor/E1.1", "--write")
    assert main.read_text(encoding="utf-8") == text
    assert result.exit_code == 2 and "add by hand" in result.stderr


def test_windows_line_ends_stay(folder):
    main = folder / "merge.yaml"
    main.write_bytes(MERGE.replace("\n", "\r\n").encode())
    assert run("join", main, "host/SP9", "donor/E1.1", "--write").exit_code == 0
    data = main.read_bytes()
    assert b"\r\n  J2: {ends: [host/SP9, donor/E1.1], method: crimp splice}\r\n" in data and data.count(b"\n") == data.count(b"\r\n")


def test_a_host_alone_has_nothing_to_match(folder):
    (folder / "lone.yaml").write_text("sources:\n  host: {file: host.yaml, role: host}\n", encoding="utf-8")
    assert run("match", folder / "lone.yaml").exit_code == 2
    assert HOST == (folder / "host.yaml").read_text(encoding="utf-8")


def test_the_name_of_a_recipe_needs_no_quotes():
    assert run("recipe", "start", "chain", "with", "interlock").stdout == run("recipe", "start chain with interlock").stdout != ""
    assert "no recipe 'start chains interlock'" in run("recipe", "start", "chains", "interlock").stderr


def test_of_what_was_not_checked_no_states_are_told(folder):
    main = folder / "merge.yaml"
    assert "states solved" in run("check", main).stdout
    main.write_text(MERGE.replace("host/X7.2", "host/X7.9"), encoding="utf-8")
    result = run("check", main)
    assert "the rest was not checked" in result.stdout and "states solved" not in result.stdout and "was opened" not in result.stdout
