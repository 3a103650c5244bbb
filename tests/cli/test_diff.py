"""`harnessdoc diff`: two files, two folders, a file and a revision of git; what it prints, how it ends."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from click.testing import CliRunner, Result
from git_repository import Repository, plain_git

from harnessdoc.cli.main import harnessdoc

HEAD = "title: Heron\nlog: [{revision: A, date: 2026-01-01}]\nconnectors:\n  X1: {title: engine plug, face: [[1..4]], view: mating face}\n  X2: {face: [[1..4]], view: mating face}\n"
OLD = HEAD + (
    "wires:\n"
    "  1: {from: X1.1, to: X2.1, size: 1 mm2, colour: BK, type: TXL, length: 400 mm}\n"
    "  2: {from: X1.2, to: X2.2, size: 1 mm2, colour: RD, type: TXL}\n")
NEW = HEAD.replace("Heron\n", "Heron, mended\n").replace("title: Heron, mended", 'title: "Heron, mended"') + (
    "wires:\n"
    "  2: {from: X1.3, to: X2.2, size: 1.0 mm2, colour: rd, type: TXL}\n"
    "  1: {from: X1.1, to: X2.1, size: 1 mm2, colour: WH, type: TXL, length: 420 mm}\n"
    "  3: {from: X1.4, to: X2.4, size: 1 mm2, colour: GN, type: TXL}\n")
ERROR = OLD + "titel: Heron\n"


@pytest.fixture(autouse=True)
def folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.chdir(tmp_path)
    return tmp_path


def put(**texts: str) -> None:
    for name, text in texts.items():
        Path(f"{name}.yaml").write_text(text, encoding="utf-8")


def run(*arguments: str) -> Result:
    result = CliRunner().invoke(harnessdoc, ["diff", *arguments])
    assert isinstance(result.exception, SystemExit | None), result.exception
    assert "Traceback" not in result.output
    return result


# --------------------------------------------------------------------- what it prints


def test_the_same_in_other_words_ends_with_0() -> None:
    put(old=OLD, new=OLD.replace("1 mm2", "1.000 mm²").replace("title: Heron\n", "title: 'Heron'   # as found\n"))
    result = run("old.yaml", "new.yaml")
    assert (result.exit_code, result.stdout, result.stderr) == (
        0, "old: Heron, revision A of 2026-01-01 (old.yaml)\nnew: Heron, revision A of 2026-01-01 (new.yaml)\n\nnothing changed\n", "")


def test_what_changed_is_told_thing_by_thing_with_what_follows_and_the_count() -> None:
    put(old=OLD, new=NEW)
    result = run("old.yaml", "new.yaml")
    assert (result.exit_code, result.stderr) == (1, "")
    assert result.stdout == """\
old: Heron, revision A of 2026-01-01 (old.yaml)
new: Heron, mended, revision A of 2026-01-01 (new.yaml)

the harness itself
  harness, title: was Heron, now Heron, mended
      new.yaml:1:8

wires
  wire 2 moved: was X1.2, now X1.3
      new.yaml:7:13
  wire 1 recoloured: was BK, now WH; re-lengthened: was 400 mm, now 420 mm
      new.yaml:8:50
  wire 3 added: X1.4 to X2.4, 1 mm² GN
      new.yaml:9:6

copper that is joined now
  X1.3 | X2.2

copper that is parted now
  X1.2 | X2.2

lengths
  wire 1: was 400 mm, now 420 mm

labels to replace
  wire 2 at X2.2: take off '2 | 1 mm² RD | to X1.2', put on '2 | 1 mm² RD | to
      X1.3'
  wire 1 at X1.1 and X2.1: take off '1 | 1 mm² BK | to …', put on '1 | 1 mm² WH
      | to …'
  wire 3 at X1.4 and X2.4: put on '3 | 1 mm² GN | to …'

to buy
  4 x terminal, not stated which: X1.1 X2.1 X1.4 X2.4
  0.45 m of wire 1 mm² TXL 125 C WH: 1
  wire 1 mm² TXL 125 C GN, 1 without a length: 3

5 changes: 1 added, 1 moved, 1 recoloured, 1 re-lengthened, 1 text only
"""
    assert all(len(line) <= 80 for line in result.stdout.splitlines())


def test_lines_are_broken_between_words_alone() -> None:
    name = "-".join(["long"] * 20) + ".yaml"
    put(old=OLD)
    Path(name).write_text(OLD)
    assert run("old.yaml", name).stdout.splitlines()[1:3] == ["new: Heron, revision A of 2026-01-01", f"     ({name})"]


def test_quiet_prints_one_line_a_change_and_nothing_else() -> None:
    put(old=OLD, new=NEW)
    result = run("old.yaml", "new.yaml", "--quiet")
    assert (result.exit_code, result.stderr) == (1, "")
    assert result.stdout == (
        "new.yaml:1:8: harness, title: was Heron, now Heron, mended\n"
        "new.yaml:7:13: wire 2 moved: was X1.2, now X1.3\n"
        "new.yaml:8:50: wire 1 recoloured: was BK, now WH; re-lengthened: was 400 mm, now 420 mm\n"
        "new.yaml:9:6: wire 3 added: X1.4 to X2.4, 1 mm² GN\n")
    assert run("old.yaml", "old.yaml", "--quiet").output == ""


def test_what_follows_in_copper_findings_and_lengths_of_many() -> None:
    bundle = "connectors:\n  X1: {place: P1, face: [[1..4]], view: mating face}\n  X2: {place: P2, face: [[1..4]], view: mating face}\nsegments:\n  T1: {from: P1, to: P2, length: %s}\nwires:\n"
    wires = "".join(f"  {n}: {{from: X1.{n}, to: %s.{n}, size: 1 mm2, colour: BK, type: TXL}}\n" for n in range(1, 5)) % ("X2", "X2", "X2", "X2")
    put(old=bundle % "1 m" + wires, new=bundle % "1.5 m" + wires.replace("size: 1 mm2, colour: BK, type: TXL}\n  2", "size: 1 mm2, colour: BK}\n  2"))
    result = run("old.yaml", "new.yaml")
    assert result.exit_code == 1
    assert "\nlengths\n  4 wires are 500 mm longer: 1, 2, 3, 4\n\n" in result.stdout
    assert "\nfindings that are new\n  new.yaml:7:6: not-known-yet: wire 1: insulation not known yet\n" in result.stdout
    assert "\nlengths\n  4 wires are 19.7 in longer: 1, 2, 3, 4\n\n" in run("old.yaml", "new.yaml", "--units", "in").stdout
    back = run("new.yaml", "old.yaml").stdout
    assert "\nlengths\n  4 wires are 500 mm shorter: 1, 2, 3, 4\n\n" in back
    assert "\nfindings that are gone\n  new.yaml:7:6: not-known-yet: wire 1: insulation not known yet\n" in back


def test_copper_that_is_joined_or_parted() -> None:
    spliced = HEAD + "splices: {S1: {}, S2: {}}\nwires:\n" + "".join(
        f"  {n}: {{from: X{x}.{n}, to: {{}}, size: 1 mm2, colour: BK, type: TXL}}\n" for x, n in ((1, 1), (1, 2), (2, 3), (2, 4)))
    put(old=spliced.replace("to: {}", "to: S1", 2).replace("to: {}", "to: S2"), new=spliced.replace("splices: {S1: {}, S2: {}}", "splices: {S1: {}}").replace("to: {}", "to: S1"))
    assert "\ncopper that is joined now\n  X1.1 X1.2 S1 | X2.3 X2.4\n" in run("old.yaml", "new.yaml").stdout
    assert "\ncopper that is parted now\n  X1.1 X1.2 S1 | X2.3 X2.4\n" in run("new.yaml", "old.yaml").stdout


def test_labels_of_a_wire_both_ends_of_which_went_elsewhere_are_told_one_by_one() -> None:
    put(old=OLD, new=OLD.replace("2: {from: X1.2, to: X2.2", "2: {from: X1.3, to: X2.3"))
    assert """
labels to replace
  wire 2 at X1.3: take off '2 | 1 mm² RD | to X2.2', put on '2 | 1 mm² RD | to
      X2.3'
  wire 2 at X2.3: take off '2 | 1 mm² RD | to X1.2', put on '2 | 1 mm² RD | to
      X1.3'
""" in run("old.yaml", "new.yaml").stdout


def test_a_crimp_that_was_single() -> None:
    put(old=OLD.replace("wires:", "cavities: {X1.1: {crimp: single}}\nwires:"), new=OLD.replace("wires:", "cavities: {X1.1: {crimp: double}}\nwires:"))
    assert "\n  cavity X1.1, crimp: was single, now double\n" in run("old.yaml", "new.yaml").stdout


LOG = "log: [{revision: A, date: 2026-01-01}"


@pytest.mark.parametrize("old, new, words", [
    (", {revision: B, date: 2026-01-02}", "", "revision A of 2026-01-01 before B of 2026-01-02"),
    (", {revision: B, date: 2026-01-01}", "", "revision A of 2026-01-01 before B of 2026-01-01"),
    (", {revision: B, date: 2026-01-09}", ", {revision: K, date: 2026-01-03}", "revision K of 2026-01-03 before B of 2026-01-09")])
def test_a_new_version_older_than_the_old_one_is_asked_about_and_told_all_the_same(old: str, new: str, words: str) -> None:
    put(old=OLD.replace(LOG, LOG + old), new=NEW.replace(LOG, LOG + new))
    result = run("old.yaml", "new.yaml")
    assert (result.exit_code, result.stderr) == (1, f"harnessdoc: the new version is older by its log: {words}; are the two exchanged?\n")
    assert "wire 3 added" in result.stdout
    assert run("old.yaml", "new.yaml", "--quiet").stderr == ""
    assert run("new.yaml", "old.yaml").stderr == "", "the right way round"


def test_a_new_version_without_a_log_is_not_asked_about() -> None:
    put(old=OLD, new=NEW.replace(LOG + "]\n", ""))
    assert run("old.yaml", "new.yaml").stderr == ""


def test_no_sheet_is_written_where_nothing_changed() -> None:
    put(old=OLD)
    result = run("old.yaml", "old.yaml", "--out", "sheets")
    assert (result.exit_code, result.stderr) == (0, "nothing changed, and no sheet was written\n")
    assert result.stdout.endswith("\nnothing changed\n")
    assert run("old.yaml", "old.yaml", "--out", "sheets", "--quiet").output == ""
    assert not Path("sheets").exists()


# ------------------------------------------------------------------------------- JSON


def test_json_has_every_change_the_lines_what_follows_and_the_work() -> None:
    put(old=OLD, new=NEW)
    result = run("old.yaml", "new.yaml", "--format", "json")
    said = json.loads(result.stdout)
    assert (result.exit_code, result.stderr, list(said)) == (1, "", ["old", "new", "changes", "lines", "follows", "rework"])
    assert said["new"] == {"file": "new.yaml", "title": "Heron, mended", "revision": "A", "date": "2026-01-01"}
    assert said["changes"][1] == {
        "kind": "moved", "thing": "wire", "old_id": "2", "new_id": "2", "key": "end", "was": "X1.2", "now": "X1.3", "why": "",
        "old_place": {"file": "old.yaml", "line": 8, "column": 13}, "new_place": {"file": "new.yaml", "line": 7, "column": 13}}
    assert said["changes"][-1] | {"new_place": None} == {
        "kind": "added", "thing": "wire", "old_id": None, "new_id": "3", "key": "", "was": "", "now": "X1.4 to X2.4, 1 mm² GN", "why": "", "old_place": None, "new_place": None}
    assert said["lines"][2] == {
        "kinds": ["recoloured", "re-lengthened"], "thing": "wire", "id": "1", "text": "wire 1 recoloured: was BK, now WH; re-lengthened: was 400 mm, now 420 mm",
        "place": {"file": "new.yaml", "line": 8, "column": 50}, "changes": [2, 3]}
    assert sorted(number for line in said["lines"] for number in line["changes"]) == list(range(len(said["changes"])))
    assert said["follows"] | {"labels": said["follows"]["labels"][:1]} == {
        "joined": [[["X1.3"], ["X2.2"]]], "parted": [[["X1.2"], ["X2.2"]]], "lengths": [{"wire": "1", "was_mm": 400.0, "now_mm": 420.0}],
        "labels": [{"wire": "2", "at": "X2.2", "was": "2 | 1 mm² RD | to X1.2", "now": "2 | 1 mm² RD | to X1.3"}],
        "readings": [], "verdicts": [], "findings_new": [], "findings_gone": [], "findings_waived": [], "waived_worse": [], "waivers": []}
    step = next(step for step in said["rework"]["steps"] if step["phase"] == "Pin")
    assert list(step) == ["phase", "at", "words", "wire", "size", "colour", "terminal", "seal", "proof"]
    assert (step["at"], step["wire"], step["size"], step["colour"]) == ("X1.1", "1", "1 mm²", "WH")
    assert [(part["part"], part["length_m"], part["pieces"], part["where"], part["lengths_unknown"]) for part in said["rework"]["parts_needed"]] == [
        ("terminal, not stated which", None, 4, ["X1.1", "X2.1", "X1.4", "X2.4"], 0), ("1 mm² TXL 125 C WH", 0.45, None, ["1"], 0), ("1 mm² TXL 125 C GN", 0.0, None, ["3"], 1)]
    assert [(part["part"], part["length_m"]) for part in said["rework"]["parts_taken_off"]] == [("1 mm² TXL 125 C BK", 0.4)]


def test_json_of_the_same() -> None:
    put(old=OLD)
    result = run("old.yaml", "old.yaml", "--format", "json")
    said = json.loads(result.stdout)
    assert (result.exit_code, said["changes"], said["lines"], said["rework"]) == (0, [], [], {"steps": [], "parts_needed": [], "parts_taken_off": []})


# ------------------------------------------------------------------- errors on a side


@pytest.mark.parametrize("side", ["old", "new"])
def test_errors_are_printed_with_the_side_they_are_on(side: str) -> None:
    put(**({"old": OLD, "new": OLD} | {side: ERROR}))
    result = run("old.yaml", "new.yaml")
    assert (result.exit_code, result.stdout) == (2, "")
    assert result.stderr.startswith(
        f"{side}: {side}.yaml\n{side}.yaml:9:1: unknown-key: the description has no key `titel`\n    9 | titel: Heron\n      | ^\n  severity: error\n  do: did you mean `title`?")
    assert result.stderr.endswith(f"\n\n1 error\nharnessdoc: the {side} version cannot be compared\n  do: mend the errors above first\n")


def test_errors_on_both_sides() -> None:
    put(old=ERROR)
    result = run("old.yaml", "new.yaml", "--quiet")
    assert (result.exit_code, result.stdout) == (2, "")
    assert result.stderr == "old.yaml:9:1: unknown-key: the description has no key `titel`\nnew.yaml:1:1: file-missing: there is no file 'new.yaml'\n"
    assert run("old.yaml", "new.yaml").stderr.endswith("harnessdoc: the old version and the new version cannot be compared\n  do: mend the errors above first\n")


def test_errors_as_json() -> None:
    put(old=OLD, new=ERROR)
    result = run("old.yaml", "new.yaml", "--format", "json")
    said = json.loads(result.stdout)
    assert (result.exit_code, result.stderr, said["old"]) == (2, "", {"file": "old.yaml", "findings": []})
    assert [(finding["file"], finding["line"], finding["code"]) for finding in said["new"]["findings"]] == [("new.yaml", 9, "unknown-key")]


@pytest.mark.parametrize("arguments", [(), ("old.yaml",), ("old.yaml", "new.yaml", "--since", "v1"), ("old.yaml", "new.yaml", "more.yaml"), ("old.yaml", "new.yaml", "--format", "xml")])
def test_wrong_usage_ends_with_2(arguments: tuple[str, ...]) -> None:
    result = run(*arguments)
    assert result.exit_code == 2
    assert result.stderr.startswith("Usage: harnessdoc diff [OPTIONS] OLD [NEW]\n")
    if len(arguments) < 2:
        assert result.stderr.endswith("Error: name two versions, OLD and NEW, or one file and --since REV\n") == bool(arguments)


# ---------------------------------------------------------------------------- folders


def make(folder: str, **texts: str) -> None:
    Path(folder).mkdir(parents=True)
    for name, text in texts.items():
        Path(folder, f"{name}.yaml").write_text(text, encoding="utf-8")


def test_two_folders_and_a_file_that_became_a_folder() -> None:
    put(heron=OLD)
    make("one/heron", heron=OLD, other="note: not named\n")
    head, wires = OLD.split("wires:\n")
    make("two", main=head + "include: lines.yaml\n", lines="wires:\n" + wires)
    for old, new in (("one/heron", "two"), ("heron.yaml", "two"), ("one/heron/", "heron.yaml")):
        result = run(old, new)
        assert (result.exit_code, result.stdout.splitlines()[-1]) == (0, "nothing changed")
    Path("two/lines.yaml").write_text("wires:\n" + wires.replace("BK", "WH"), encoding="utf-8")
    assert run("heron.yaml", "two", "--quiet").stdout == "two/lines.yaml:2:50: wire 1 recoloured: was BK, now WH\n"


def test_the_folder_one_stands_in(monkeypatch: pytest.MonkeyPatch) -> None:
    put(heron=OLD)
    make("crane", crane=OLD, note=OLD)
    monkeypatch.chdir("crane")
    assert run("../heron.yaml", ".").exit_code == 0


@pytest.mark.parametrize("texts, message", [
    ({}, "harnessdoc: the folder 'shop' holds no YAML file\n  do: name the main file of the description\n"),
    ({"a": "title: a\n", "b": "title: b\n", "c": "include: a.yaml\n"},
     "harnessdoc: the folder 'shop' has no main file: none of its YAML files is named after it, and several could be the main file: 'b.yaml', 'c.yaml'\n  do: name the file, or call it shop.yaml\n"),
    ({"a": "include: [b.yaml]\n", "b": "include: ./a.yaml\n"},
     "harnessdoc: the folder 'shop' has no main file: its YAML files include each other: 'a.yaml', 'b.yaml'\n  do: name the file, or call it shop.yaml\n")])
def test_a_folder_without_a_main_file(texts: dict[str, str], message: str) -> None:
    put(old=OLD)
    make("shop", **texts)
    result = run("old.yaml", "shop")
    assert (result.exit_code, result.stdout, result.stderr) == (2, "", message)


def test_a_file_that_includes_itself_is_the_main_file_all_the_same() -> None:
    put(old=OLD)
    make("shop", a="include: a.yaml\n")
    assert run("old.yaml", "shop", "--quiet").stderr.startswith("shop/a.yaml:1:10: include-cycle:")


def test_a_broken_file_in_the_folder_is_still_a_candidate() -> None:
    put(old=OLD)
    make("shop", a="wires: [", b="")
    assert "'a.yaml', 'b.yaml'" in run("old.yaml", "shop").stderr


# -------------------------------------------------------------------------------- git


@pytest.fixture
def repository(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Repository:
    """heron/heron.yaml with an include, committed as v1; the test stands at the top."""
    plain_git(monkeypatch)
    made = Repository(tmp_path / "my shop")
    head, wires = OLD.split("wires:\n")
    made.commit({"heron/heron.yaml": head + "include: lines.yaml\n", "heron/lines.yaml": "wires:\n" + wires}, "v1")
    monkeypatch.chdir(made.folder)
    return made


def test_since_a_revision_includes_are_of_that_revision_too(repository: Repository) -> None:
    for name in ("heron", "heron/heron.yaml"):
        assert run(name, "--since", "v1").exit_code == 0
    lines = Path("heron/lines.yaml")
    lines.write_text(lines.read_text().replace("  2: {from: X1.2", "  2: {from: X1.4").replace("  1: {from", "  7: {from"))
    result = run("heron", "--since", "v1")
    assert result.exit_code == 1
    assert result.stdout.startswith("old: Heron, revision A of 2026-01-01 (heron at v1)\nnew: Heron, revision A of 2026-01-01 (heron)\n")
    assert "2 changes: 1 renamed, 1 moved\n" in result.stdout
    assert "  wire 2 moved: was X1.2, now X1.4\n      heron/lines.yaml:3:13\n" in result.stdout


def test_a_file_that_is_only_a_part_is_told_of_its_whole(repository: Repository) -> None:
    repository.put({"heron/other.yaml": "note: lines.yaml is named and not included\n", "heron/broken.yaml": "include: [lines.yaml\n"})
    result = run("heron/lines.yaml", "--since", "v1")
    assert result.stderr.startswith(
        "harnessdoc: heron/lines.yaml is only a part, heron/heron.yaml includes it; of the whole: harnessdoc diff heron/heron.yaml --since v1\n")
    assert "only a part" not in run("heron/lines.yaml", "--since", "v1", "--quiet").stderr
    assert run("heron/heron.yaml", "--since", "v1").stderr == ""


def test_what_is_gone_is_shown_where_it_was(repository: Repository) -> None:
    lines = Path("heron/lines.yaml")
    lines.write_text("".join(lines.read_text().splitlines(keepends=True)[:-1]))
    assert run("heron", "--since", "v1", "--quiet").stdout == "v1:./heron/lines.yaml:3:6: wire 2 removed: was X1.2 to X2.2, 1 mm² RD\n"
    said = json.loads(run("heron", "--since", "v1", "--format", "json").stdout)
    assert (said["old"]["file"], said["changes"][0]["old_place"]["file"]) == ("heron at v1", "v1:./heron/lines.yaml")


def test_the_old_version_has_errors(repository: Repository) -> None:
    repository.commit({"heron/lines.yaml": "wire: {}\n"}, "v2")
    repository.git("checkout", "--quiet", "v1")
    result = run("heron/heron.yaml", "--since", "v2")
    assert result.exit_code == 2
    assert result.stderr.startswith("old: heron/heron.yaml at v2\nv2:./heron/lines.yaml:1:1: unknown-key: the description has no key `wire`\n    1 | wire: {}\n")
    assert result.stderr.endswith("harnessdoc: the old version cannot be compared\n  do: mend the errors above first\n")


def test_what_git_cannot_give_is_said_with_the_way_out(repository: Repository) -> None:
    result = run("heron/heron.yaml", "--since", "v9")
    assert (result.exit_code, result.stdout, result.stderr) == (
        2, "", "harnessdoc: git knows no revision 'v9' here\n  do: name a commit, tag or branch; `git log --oneline -- 'heron/heron.yaml'` lists those that changed the file\n")


def test_nothing_is_written(repository: Repository) -> None:
    before = repository.whole()
    run("heron", "--since", "v1")
    assert repository.whole() == before


# ----------------------------------------------------------------- the sheets to exchange

def test_sheets_of_a_change_that_is_not_logged_say_so() -> None:
    put(old=OLD, new=NEW)
    result = run("old.yaml", "new.yaml", "--out", "out")
    assert result.exit_code == 1
    assert "no entry of the log tells of these changes" in result.stderr
    assert Path("out/new-changes.pdf").read_bytes().startswith(b"%PDF")
    put(logged=NEW.replace("2026-01-01}]", "2026-01-01}, {revision: B, date: 2026-02-02}]"))
    result = run("old.yaml", "logged.yaml", "--out", "out")
    assert (result.exit_code, "no entry of the log" in result.stderr) == (1, False)


def test_the_sheets_wait_for_a_new_version_without_errors_and_the_comparison_does_not() -> None:
    put(old=OLD, new=NEW.replace("wires:\n", "wires:\n  99: {from: X1.1, to: X2.2, size: 1 mm2, colour: BK}\n"))
    result = run("old.yaml", "new.yaml")
    assert (result.exit_code, "wire 99 added" in result.stdout) == (1, True)
    result = run("old.yaml", "new.yaml", "--out", "out")
    assert result.exit_code == 2
    assert "cavity-used-twice" in result.stderr and "no sheet was written" in result.stderr
    assert not Path("out").exists()
