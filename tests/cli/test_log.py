"""`harnessdoc log`: the entry that is drafted, where it is written, what is refused."""

from __future__ import annotations

import os
from datetime import date
from pathlib import Path

import pytest
from click.testing import CliRunner, Result
from git_repository import Repository, plain_git

from harnessdoc.cli.main import harnessdoc
from harnessdoc.description.files import load_files

CONNECTORS = "connectors:\n  X1: {face: [[1..9]], view: mating face}\n  X2: {face: [[1..9]], view: mating face}\n"
OLD = "title: Heron\nlog:\n  - {revision: A, date: 2026-01-01, why: as found}\n" + CONNECTORS + "wires:\n" + "".join(
    f"  {n}: {{from: X1.{n}, to: X2.{n}, size: 1 mm2, colour: BK, type: TXL}}\n" for n in range(1, 7))
NEW = OLD.replace("  2: {from: X1.2,", "  2: {from: X1.8,")
WHY = '"wire 2 moved: was X1.2, now X1.8"'
WRITTEN = f"- {{revision: B, date: 2026-02-03, why: {WHY}}}"


@pytest.fixture(autouse=True)
def bench(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """old.yaml and heron.yaml in the folder one stands in; today is the third of February 2026."""
    monkeypatch.chdir(tmp_path)
    monkeypatch.setattr("harnessdoc.cli.revision_commands._today", lambda: date(2026, 2, 3))
    Path("old.yaml").write_text(OLD, encoding="utf-8")
    Path("heron.yaml").write_text(NEW, encoding="utf-8")
    return tmp_path


def run(*arguments: str) -> Result:
    result = CliRunner().invoke(harnessdoc, ["log", *arguments])
    assert isinstance(result.exception, SystemExit | None), result.exception
    assert "Traceback" not in result.output
    return result


def refused(*arguments: str, text: str = NEW) -> str:
    """What is said; the file must be as it was."""
    Path("heron.yaml").write_text(text, encoding="utf-8")
    result = run("heron.yaml", *arguments)
    assert (result.exit_code, result.stdout) == (2, "")
    assert Path("heron.yaml").read_text(encoding="utf-8") == text
    return result.stderr


def drafted(old: str, new: str) -> str:
    Path("old.yaml").write_text(old, encoding="utf-8")
    Path("heron.yaml").write_text(new, encoding="utf-8")
    result = run("heron.yaml", "--old", "old.yaml")
    assert result.exit_code == 0, result.output
    return load_files("heron.yaml").documents[0]["log"][-1]["why"]


def test_the_entry_is_drafted_and_appended() -> None:
    result = run("heron.yaml", "--old", "old.yaml")
    assert (result.exit_code, result.stdout, result.stderr) == (0, f"heron.yaml: logged as revision B:\n{WRITTEN}\n", "")
    assert Path("heron.yaml").read_text() == NEW.replace("why: as found}\n", f"why: as found}}\n  {WRITTEN}\n")


def test_print_writes_nothing() -> None:
    result = run("heron.yaml", "--old", "old.yaml", "--print")
    assert (result.exit_code, result.stdout, result.stderr) == (0, f"{WRITTEN}\n", "")
    assert Path("heron.yaml").read_text() == NEW


def test_all_may_be_said() -> None:
    run("heron.yaml", "--old", "old.yaml", "--by", "A. Wright", "--reading", "148300 km", "--why", "start wire: to 8", "--date", "2026-01-31", "--revision", "K")
    assert '\n  - {revision: K, date: 2026-01-31, by: A. Wright, reading: 148300 km, why: "start wire: to 8"}\n' in Path("heron.yaml").read_text()


def test_the_sheets_carry_the_new_letter() -> None:
    from harnessdoc import load

    run("heron.yaml", "--old", "old.yaml")
    assert [(entry.revision, entry.date) for entry in load("heron.yaml").harness.log] == [("A", "2026-01-01"), ("B", "2026-02-03")]


# ------------------------------------------------------------------------------ drafts


def test_every_change_where_that_is_short() -> None:
    assert drafted(OLD, NEW.replace("title: Heron", "title: Crane").replace("  3: {from: X1.3, to: X2.3, size: 1 mm2", "  3: {from: X1.3, to: X2.3, size: 2 mm2")) == (
        "wire 2 moved: was X1.2, now X1.8; wire 3 resized: was 1 mm², now 2 mm²; harness, title: was Heron, now Crane")


def test_of_many_the_weightiest_and_the_count_of_the_rest() -> None:
    new = NEW.replace("BK", "WH").replace("title: Heron", "title: Crane") + "  7: {from: X1.7, to: X2.7, size: 1 mm2, colour: WH, type: TXL}\n"
    assert drafted(OLD, new) == (
        "wire 7 added: X1.7 to X2.7, 1 mm² WH; wire 2 moved: was X1.2, now X1.8; recoloured: was BK, now WH; and 6 more: 5 recoloured, 1 text only")


def test_a_found_far_end_stands_before_what_is_said_of_its_cavity() -> None:
    old = OLD.replace("1: {from: X1.1, to: X2.1,", "1: {from: X1.1, to: unknown, evidence: cut 200 mm from the plug,")
    new = OLD.replace("wires:", "cavities:\n  X2.1: {function: sensor of the water temperature, crimp: double, signal: input-resistive}\nwires:").replace(
        "1: {from: X1.1, to: X2.1,", "1: {from: X1.1, to: X2.1, evidence: rings to X2.1,")
    assert drafted(old, new) == (
        "wire 1, far end now known: was unknown, now X2.1 (sensor of the water temperature); and 4 more: 1 part changed, 2 unknown now known, 1 text only")


def test_a_main_thing_too_long_to_tell_is_named() -> None:
    function = "a function told in many words " * 6
    old = OLD.replace("wires:", f"cavities:\n  X1.8: {{function: {function}}}\nwires:")
    new = old.replace("  2: {from: X1.2,", "  2: {from: X1.8,").replace("title: Heron", "title: Crane")
    assert drafted(old, new) == "wire 2, moved; and 1 more: 1 text only"


def test_where_the_kinds_are_many_they_give_way() -> None:
    new = OLD.replace("1: {from: X1.1, to: X2.1, size: 1 mm2, colour: BK", "1: {from: X1.7, to: X2.7, size: 2 mm2, colour: WH").replace("title: Heron", "title: Crane")
    for number in (2, 3, 4, 5):
        new = new.replace(f"{number}: {{from: X1.{number}, to: X2.{number}, size: 1 mm2, colour: BK", f"{number}: {{from: X1.{number}, to: unknown, colour: WH")
    assert drafted(OLD, new) == "wire 2, far end no longer known: was X2.2, now unknown; size: was 1 mm², now unknown; recoloured: was BK, now WH; and 14 more"


def test_a_draft_is_one_line_of_a_length_that_fits_the_book() -> None:
    title = "a title of many words " * 10
    assert drafted(OLD, OLD.replace("title: Heron", f"title: {title}")) == "harness, text only: title"


def test_the_log_itself_is_no_change() -> None:
    Path("heron.yaml").write_text(OLD.replace("as found", "as it was found"))
    result = run("heron.yaml", "--old", "old.yaml")
    assert (result.exit_code, result.stderr) == (0, "")
    assert result.stdout == "nothing changed in heron.yaml since old.yaml, and nothing was written; --why TEXT writes an entry all the same\n"
    assert Path("heron.yaml").read_text() == OLD.replace("as found", "as it was found")


def test_the_log_is_not_spoken_of_beside_other_words_of_the_title_block() -> None:
    assert drafted(OLD, OLD.replace("as found", "as it was found").replace("title: Heron", "title: Crane")) == "harness, title: was Heron, now Crane"


def test_nothing_changed_and_said_why() -> None:
    assert run("old.yaml", "--old", "old.yaml", "--why", "looked over").exit_code == 0
    assert "\n  - {revision: B, date: 2026-02-03, why: looked over}\n" in Path("old.yaml").read_text()


# ---------------------------------------------------------------------------- refusals


def test_a_letter_that_is_there_already() -> None:
    assert refused("--old", "old.yaml", "--revision", "A") == "harnessdoc: the log of heron.yaml has a revision A already\n  do: name another: --revision LETTER\n"
    mixed = NEW.replace("log:\n", "log:\n  - {revision: B, date: 2025-01-01}\n")
    assert refused("--old", "old.yaml", text=mixed) == (
        "harnessdoc: the log of heron.yaml has a revision B already\n  do: its entries are not in order; name the next: --revision LETTER\n")


def test_a_letter_that_nothing_is_known_to_follow() -> None:
    assert refused("--old", "old.yaml", text=NEW.replace("revision: A", "revision: draft 2")) == "harnessdoc: what follows revision 'draft 2' is not known\n  do: name it: --revision LETTER\n"


def test_a_day_before_the_last_entry() -> None:
    assert refused("--old", "old.yaml", "--date", "2025-12-31") == (
        "harnessdoc: 2025-12-31 is before revision A of 2026-01-01, the last in the log of heron.yaml\n"
        "  do: name the day of the change: --date YEAR-MONTH-DAY; where the log is wrong, mend its date first\n")
    assert run("heron.yaml", "--old", "old.yaml", "--date", "2026-01-01", "--print").exit_code == 0
    Path("old.yaml").write_text(OLD.replace("2026-01-01", "2026-02-04"))
    assert refused("--old", "old.yaml", text=NEW.replace("2026-01-01", "2026-02-04")).startswith(
        "harnessdoc: today, 2026-02-03, is before revision A of 2026-02-04, the last in the log of heron.yaml\n")


def test_the_same_changes_are_not_logged_twice() -> None:
    run("heron.yaml", "--old", "old.yaml")
    once = Path("heron.yaml").read_text()
    assert refused("--old", "old.yaml", text=once) == (
        "harnessdoc: revision B of 2026-02-03 stands in the log of heron.yaml already, and not in old.yaml: its changes would be told twice\n"
        "  do: compare with the version of that entry, or say what came after it: --why TEXT\n")
    assert run("heron.yaml", "--old", "old.yaml", "--why", "looked over").exit_code == 0
    assert Path("heron.yaml").read_text() == once.replace(WRITTEN, f"{WRITTEN}\n  - {{revision: C, date: 2026-02-03, why: looked over}}")


def test_an_entry_whose_words_were_mended_is_none_gained() -> None:
    Path("heron.yaml").write_text(NEW.replace("why: as found", "why: as it was found"))
    assert run("heron.yaml", "--old", "old.yaml").exit_code == 0


def test_the_older_version_logged_against_the_newer_is_asked_about() -> None:
    Path("old.yaml").write_text(OLD.replace("why: as found}", "why: as found}\n  - {revision: B, date: 2026-01-09}"))
    result = run("heron.yaml", "--old", "old.yaml")
    assert (result.exit_code, result.stderr) == (0, "harnessdoc: the new version is older by its log: revision A of 2026-01-01 before B of 2026-01-09; are the two exchanged?\n")


@pytest.mark.parametrize("day", ["2026-13-01", "2026-02-30", "3.2.2026", "20260203", "2026-W05-2", "today"])
def test_a_day_that_is_none(day: str) -> None:
    assert refused("--old", "old.yaml", "--date", day) == f"harnessdoc: '{day}' is no day\n  do: write it as year-month-day: 2026-01-31\n"


def test_a_character_that_cannot_be_seen() -> None:
    assert refused("--old", "old.yaml", "--why", "a\x07b") == "harnessdoc: `why` has a character that cannot be seen\n  do: write it without\n"


def test_a_form_that_cannot_be_added_to() -> None:
    assert refused("--old", "old.yaml", text=NEW.replace("log:\n", "log: &log\n")) == (
        "harnessdoc: the log of 'heron.yaml' stands in a form that cannot be added to without changing the rest\n"
        f"  do: add by hand, as the last entry of `log:`: {WRITTEN[2:]}\n")


def test_errors_on_a_side() -> None:
    said = refused("--old", "old.yaml", text=NEW + "titel: x\n")
    assert said.startswith("new: heron.yaml\nheron.yaml:14:1: unknown-key:")
    assert said.endswith("harnessdoc: the new version cannot be compared\n  do: mend the errors above first\n")


def test_a_write_that_fails(monkeypatch: pytest.MonkeyPatch) -> None:
    def full(*_: object) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr("os.replace", full)
    assert refused("--old", "old.yaml") == (
        "harnessdoc: heron.yaml cannot be written: No space left on device\n  do: it is as it was; see to its permissions, or add by hand what --print prints\n")
    assert sorted(os.listdir()) == ["heron.yaml", "old.yaml"]


@pytest.mark.parametrize("arguments", [(), ("heron.yaml",), ("heron.yaml", "--old", "old.yaml", "--since", "v1"), ("heron.yaml", "old.yaml")])
def test_wrong_usage_ends_with_2(arguments: tuple[str, ...]) -> None:
    result = run(*arguments)
    assert result.exit_code == 2
    assert result.stderr.startswith("Usage: harnessdoc log [OPTIONS] FILE\n")


# -------------------------------------------------------------------- where the log is


def test_since_a_revision_of_git(bench: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    plain_git(monkeypatch)
    repository = Repository(bench / "shop")
    repository.commit({"heron.yaml": OLD}, "v1")
    repository.put({"heron.yaml": NEW})
    monkeypatch.chdir(repository.folder)
    assert run("heron.yaml", "--since", "v1").stdout == f"heron.yaml: logged as revision B:\n{WRITTEN}\n"
    assert repository.git("status", "--porcelain") == "M heron.yaml"
    assert run("heron.yaml", "--since", "v9").exit_code == 2


def test_the_log_is_that_of_the_main_file(bench: Path) -> None:
    (bench / "crane").mkdir()
    head, rest = NEW.split("connectors:", 1)
    Path("crane/crane.yaml").write_text("title: Heron\ninclude: rest.yaml\n")
    Path("crane/rest.yaml").write_text(head.removeprefix("title: Heron\n") + "connectors:" + rest)
    result = run("crane", "--old", "old.yaml")
    assert result.stdout == f"crane/crane.yaml: logged as revision A:\n{WRITTEN.replace('revision: B', 'revision: A')}\n"
    assert Path("crane/crane.yaml").read_text() == f"title: Heron\ninclude: rest.yaml\nlog:\n  {WRITTEN.replace('revision: B', 'revision: A')}\n"


def test_the_day_is_that_of_the_clock_where_none_is_said(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.undo()
    from harnessdoc.cli.revision_commands import _today

    assert abs((_today() - date.today()).days) <= 1
