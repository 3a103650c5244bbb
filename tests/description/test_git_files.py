"""A description as it was at a git revision: real repositories, git itself."""

from __future__ import annotations

import os
import subprocess
from pathlib import Path

import pytest
from git_repository import Repository, plain_git

from harnessdoc.description.files import load_files
from harnessdoc.description.git_files import NotInGit, files_at
from harnessdoc.description.reader import MAX_BYTES

MAIN = "title: Heron\ninclude: parts/cabin.yaml\ntables: {wires: parts/wires.csv}\n"
CABIN = "connectors:\n  X1: {title: one}\n"
WIRES = "wire,from,to\n1,X1.1,unknown\n"


@pytest.fixture(autouse=True)
def plain(monkeypatch: pytest.MonkeyPatch) -> None:
    plain_git(monkeypatch)


@pytest.fixture
def repository(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Repository:
    """Three files in a folder of the repository, committed as v1 and changed afterwards; the test stands at its top."""
    made = Repository(tmp_path / "shop")
    made.commit({"heron/heron.yaml": MAIN, "heron/parts/cabin.yaml": CABIN, "heron/parts/wires.csv": WIRES, "other/heron.yaml": "title: other\n"}, "v1")
    made.put({"heron/heron.yaml": MAIN + "note: later\n", "heron/parts/cabin.yaml": "title: later\n", "heron/parts/wires.csv": "wire\n"})
    monkeypatch.chdir(made.folder)
    return made


def refusal(path: str, revision: str) -> tuple[str, str]:
    with pytest.raises(NotInGit) as caught:
        files_at(path, revision)
    return str(caught.value), caught.value.do


def test_main_file_includes_and_tables_are_of_the_revision(repository: Repository) -> None:
    then = files_at("heron/heron.yaml", "v1")
    description = load_files(then.path, then.texts)
    assert description.findings == ()
    assert {text.path: text.text for text in description.texts} == {
        "v1:./heron/heron.yaml": MAIN, "v1:./heron/parts/cabin.yaml": CABIN, "v1:./heron/parts/wires.csv": WIRES}
    assert description.documents[1]["connectors"]["X1"]["title"] == "one"
    assert "1" in description.documents[0]["wires"]


def test_git_shows_the_file_by_the_path_it_is_shown_by(repository: Repository, monkeypatch: pytest.MonkeyPatch) -> None:
    assert repository.git("show", files_at("heron/heron.yaml", "v1").path) == MAIN.strip()
    monkeypatch.chdir(repository.folder / "other")
    then = files_at("../heron/heron.yaml", "v1")
    assert then.path == "v1:../heron/heron.yaml"
    assert len(load_files(then.path, then.texts).texts) == 3


@pytest.mark.parametrize("path, shown", [
    ("heron.yaml", "v1:./heron.yaml"), ("./heron.yaml", "v1:./heron.yaml"), ("../heron/./heron.yaml", "v1:../heron/heron.yaml")])
def test_from_within_the_folder(repository: Repository, monkeypatch: pytest.MonkeyPatch, path: str, shown: str) -> None:
    monkeypatch.chdir(repository.folder / "heron")
    then = files_at(path, "v1")
    assert then.path == shown
    assert [text.text for text in load_files(then.path, then.texts).texts] == [MAIN, WIRES, CABIN]


def test_absolute_path(repository: Repository) -> None:
    path = (repository.folder / "heron/heron.yaml").as_posix()
    then = files_at(Path(path), "v1")
    assert then.path == f"v1:{path}"
    assert len(load_files(then.path, then.texts).texts) == 3


@pytest.mark.parametrize("words, shown", [
    ("HEAD", "HEAD"), ("HEAD~0", "HEAD~0"), ("bench", "bench"), ("feature/x", "feature/x"), ("note", "note"), ("HEAD^{commit}", "HEAD^{commit}"),
    (":/as found", None), ("HEAD^{/as found}", None), ("bench@{0}", "bench@{0}")])
def test_revisions_in_the_words_of_git(repository: Repository, words: str, shown: str | None) -> None:
    repository.git("branch", "feature/x")
    repository.git("tag", "--annotate", "--message", "a note", "note")
    then = files_at("heron/heron.yaml", words)
    assert then.path == f"{shown or repository.git('rev-parse', 'HEAD')[:12]}:./heron/heron.yaml"
    assert len(load_files(then.path, then.texts).texts) == 3


def test_the_commit_by_its_short_name(repository: Repository) -> None:
    short = repository.git("rev-parse", "--short", "HEAD")
    assert files_at("heron/heron.yaml", short).path == f"{short}:./heron/heron.yaml"


def test_spaces_and_letters_beyond_english(repository: Repository) -> None:
    repository.commit({"büro 1/реле \"x\".yaml": "title: a\ninclude: tür 2.yaml\n", "büro 1/tür 2.yaml": "note: b\n"}, "v2")
    then = files_at("büro 1/реле \"x\".yaml", "v2")
    assert [text.path for text in load_files(then.path, then.texts).texts] == ["v2:./büro 1/реле \"x\".yaml", "v2:./büro 1/tür 2.yaml"]


def test_bytes_that_are_no_text_give_the_finding_they_give_on_disk(repository: Repository) -> None:
    repository.commit({"heron/heron.yaml": b"title: B\xfcro\n", "heron/b.yaml": b"\x00", "heron/c.yaml": b"\xff\xfea\x00", "heron/d.yaml": b"\xef\xbb\xbftitle: d\n"}, "v2")
    for name, codes in (("heron", ["file-encoding"]), ("b", ["file-binary"]), ("c", ["file-encoding"]), ("d", [])):
        then = files_at(f"heron/{name}.yaml", "v2")
        assert [finding.code for finding in load_files(then.path, then.texts).findings] == codes
    finding, = load_files(*_both("heron/heron.yaml", "v2")).findings
    assert (str(finding.place), finding.message) == ("v2:./heron/heron.yaml:1:9", "byte 0xFC at line 1, column 9 is not UTF-8 (in Windows-1252 it would be 'ü')")


def _both(path: str, revision: str) -> tuple:
    then = files_at(path, revision)
    return then.path, then.texts


def test_a_file_too_large_is_not_read(repository: Repository, monkeypatch: pytest.MonkeyPatch) -> None:
    repository.commit({"heron/big.yaml": b"#" * (MAX_BYTES + 1)}, "v2")
    then = files_at("heron/big.yaml", "v2")
    monkeypatch.setattr(subprocess, "run", None)
    assert [finding.code for finding in load_files(then.path, then.texts).findings] == ["file-too-large"]


@pytest.mark.parametrize("include, code, message", [
    ("gone.yaml", "file-missing", "there is no file 'v2:./heron/gone.yaml'"),
    ("later.yaml", "file-missing", "there is no file 'v2:./heron/later.yaml'"),
    ("../other/heron.yaml", "include-outside", "'../other/heron.yaml' is outside the folder of the main file"),
    ("parts/../../other/heron.yaml", "include-outside", "'parts/../../other/heron.yaml' is outside the folder of the main file"),
    ("heron.yaml", "include-cycle", "'v2:./heron/heron.yaml' includes 'v2:./heron/heron.yaml'")])
def test_includes_that_are_not_there(repository: Repository, include: str, code: str, message: str) -> None:
    repository.commit({"heron/heron.yaml": f"title: x\ninclude: {include}\n"}, "v2")
    repository.put({"heron/later.yaml": "title: on disk alone\n"})
    finding, = load_files(*_both("heron/heron.yaml", "v2")).findings
    assert (finding.code, finding.message, str(finding.place)) == (code, message, "v2:./heron/heron.yaml:2:10")


@pytest.mark.skipif(os.name == "nt", reason="links need rights there")
def test_links_within_the_folder_are_followed_and_others_lead_nowhere(repository: Repository) -> None:
    os.symlink("parts/cabin.yaml", repository.folder / "heron/link.yaml")
    os.symlink("../other/heron.yaml", repository.folder / "heron/out.yaml")
    os.symlink("circle.yaml", repository.folder / "heron/circle.yaml")
    repository.commit({"heron/heron.yaml": "title: x\ninclude: [link.yaml, out.yaml, circle.yaml]\n"}, "v2")
    description = load_files(*_both("heron/heron.yaml", "v2"))
    assert [document.get("title") for document in description.documents] == ["x", "later"]
    assert [finding.message for finding in description.findings] == ["there is no file 'v2:./heron/out.yaml'", "there is no file 'v2:./heron/circle.yaml'"]


def test_the_mapping_lists_what_was_in_the_folder(repository: Repository) -> None:
    texts = files_at("heron/heron.yaml", "v1").texts
    assert (len(texts), list(texts)) == (3, ["v1:./heron/heron.yaml", "v1:./heron/parts/cabin.yaml", "v1:./heron/parts/wires.csv"])
    with pytest.raises(KeyError):
        texts["heron/heron.yaml"]


# ------------------------------------------------------------------------- refusals


@pytest.mark.parametrize("revision", ["v9", "--help", "-n1", "", "v1..HEAD", "0123456789012345678901234567890123456789", "v1:heron/heron.yaml", "a b", "\0"])
def test_unknown_revision(repository: Repository, revision: str) -> None:
    assert refusal("heron/heron.yaml", revision) == (
        f"git knows no revision '{revision}' here", "name a commit, tag or branch; `git log --oneline -- 'heron/heron.yaml'` lists those that changed the file")


def test_no_commit_yet(tmp_path: Path) -> None:
    empty = Repository(tmp_path / "empty")
    path = (empty.folder / "heron.yaml").as_posix()
    assert refusal(path, "HEAD") == (f"the repository of '{path}' has no commit yet", "commit the file first: what it was is known from then on")


def test_no_repository(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("GIT_CEILING_DIRECTORIES", str(tmp_path.parent))
    monkeypatch.chdir(tmp_path)
    assert refusal("heron.yaml", "HEAD") == ("the folder '.' is in no git repository", "name the old file itself: harnessdoc diff OLD NEW")


def test_no_folder(repository: Repository) -> None:
    assert refusal("nowhere/heron.yaml", "v1") == ("there is no folder 'nowhere'", "check the name and the folder")


def test_no_git(repository: Repository, monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    monkeypatch.setenv("PATH", str(tmp_path / "no programs"))
    assert refusal("heron/heron.yaml", "v1") == ("git is not installed, or not on the path", "install git, or name the old file itself: harnessdoc diff OLD NEW")


def test_a_file_that_was_not_there(repository: Repository) -> None:
    repository.commit({"heron/new.yaml": "title: of its own\n"})
    assert refusal("heron/new.yaml", "v1") == (
        "'heron/new.yaml' was not there at 'v1'", "name a later revision; `git log --oneline -- 'heron/new.yaml'` lists those that changed the file")
    assert refusal("heron/never.yaml", "v1")[0] == "'heron/never.yaml' was not there at 'v1'"


@pytest.mark.parametrize("committed", [True, False])
def test_a_file_that_was_called_otherwise(repository: Repository, committed: bool) -> None:
    repository.commit({"crane.yaml": "title: a crane\nnote: one\n" * 5}, "v2")
    (repository.folder / "crane").mkdir()
    repository.git("mv", "crane.yaml", "crane/crane.yaml")
    if committed:
        repository.commit({})
    assert refusal("crane/crane.yaml", "v2") == (
        "'crane/crane.yaml' was not there at 'v2': it was called 'crane.yaml' then",
        "write that version to a folder beside, and compare the two: git worktree add ../before 'v2', then harnessdoc diff '../before/crane.yaml' 'crane/crane.yaml'")


def test_a_repository_that_git_does_not_trust(repository: Repository, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("GIT_TEST_ASSUME_DIFFERENT_OWNER", "1")
    monkeypatch.setattr("harnessdoc.description.git_files._KEPT", ("GIT_CONFIG_", "GIT_TEST_ASSUME"))
    assert refusal("heron/heron.yaml", "v1") == (
        "git does not trust the repository of 'heron', which belongs to another user",
        "tell git that it may: git config --global --add safe.directory and the folder of the repository")


def test_a_broken_repository(repository: Repository) -> None:
    (repository.folder / ".git/config").write_text("[core\n")
    message, do = refusal("heron/heron.yaml", "v1")
    assert message == "git refuses: bad config line 1 in file .git/config"
    assert do == "run `git status` in that folder; it says the same and more"


def test_a_blob_that_git_has_lost(repository: Repository) -> None:
    then = files_at("heron/heron.yaml", "v1")
    blob = repository.git("rev-parse", "v1:heron/parts/cabin.yaml")
    (repository.folder / ".git/objects" / blob[:2] / blob[2:]).unlink()
    finding, = load_files(then.path, then.texts).findings
    assert (finding.code, finding.message) == ("file-missing", "'v1:./heron/parts/cabin.yaml' cannot be read: git has not got its content here")


# ------------------------------------------------------------ settings; nothing written


def test_odd_settings_change_nothing(repository: Repository, monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    repository.commit({"bücher/ä.yaml": "title: ä\n"}, "v2")
    for name, value in (("core.quotepath", "true"), ("color.ui", "always"), ("core.pager", "false"), ("pager.ls-tree", "true"), ("core.fsmonitor", str(tmp_path / "hook")),
                        ("diff.renames", "false"), ("core.abbrev", "4"), ("alias.ls-tree", "log"), ("log.showSignature", "true"), ("core.autocrlf", "true")):
        repository.git("config", name, value)
    for name, value in (("GIT_DIR", "/nowhere"), ("GIT_WORK_TREE", "/nowhere"), ("GIT_INDEX_FILE", "/nowhere/index"), ("GIT_TRACE", "1"), ("GIT_PREFIX", "x/"),
                        ("GIT_OBJECT_DIRECTORY", "/nowhere"), ("GIT_LITERAL_PATHSPECS", "0"), ("GIT_PAGER", "false"), ("LC_ALL", "de_DE.UTF-8")):
        monkeypatch.setenv(name, value)
    description = load_files(*_both("bücher/ä.yaml", "v2"))
    assert ([text.text for text in description.texts], description.findings) == (["title: ä\n"], ())
    assert refusal("bücher/ä.yaml", "v1")[0] == "'bücher/ä.yaml' was not there at 'v1'"


def test_another_work_tree_of_the_repository(repository: Repository, tmp_path: Path) -> None:
    repository.git("worktree", "add", "--quiet", "--detach", str(tmp_path / "beside"), "v1")
    then = files_at(tmp_path / "beside/heron/heron.yaml", "HEAD")
    assert len(load_files(then.path, then.texts).texts) == 3


def test_nothing_is_written_to_the_repository(repository: Repository) -> None:
    repository.git("mv", "other/heron.yaml", "other/hero.yaml")
    os.utime(repository.folder / "heron/heron.yaml", (0, 0))   # git would like to note that in its index
    before = repository.whole()
    load_files(*_both("heron/heron.yaml", "v1"))
    refusal("other/hero.yaml", "v1")
    refusal("heron/heron.yaml", "v9")
    assert repository.whole() == before
