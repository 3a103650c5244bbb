"""The files of a description as they were at a git revision, asked of git itself.

Takes: the path of the main file on disk and a revision in git's own words. Gives: the
path by which that version is shown (``v1:./harness/linnet.yaml``, which ``git show``
takes too, so that no message about the old side can be mistaken for one about the new)
and a mapping that `load_files` reads instead of the disk: includes and tables come from
the same revision. Nothing is ever written to the repository, nothing fetched, and no
setting of the user's changes what git answers.
"""

from __future__ import annotations

import errno
import os
import posixpath
import re
import subprocess
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import cached_property
from pathlib import Path

from harnessdoc.description.reader import MAX_BYTES, TooLarge

_LINK = "120000"
# A revision that may stand before a path as it is; of any other the commit's name stands there.
_SHORT_WORDS = re.compile(r"[\w.+-][\w./@{}^~+-]*")
_MOST_LINKS = 10  # links that lead to links, after which they go in a circle

# What the user's shell may say to git: where its settings and its own programs are. All
# else (another repository, an index, traces, a pager) would change the answers.
_KEPT = ("GIT_CONFIG_", "GIT_EXEC_PATH", "GIT_CEILING_DIRECTORIES", "GIT_DISCOVERY_ACROSS_FILESYSTEM")
_SET = {
    "LC_ALL": "C", "LANGUAGE": "C", "GIT_OPTIONAL_LOCKS": "0", "GIT_TERMINAL_PROMPT": "0",
    "GIT_NO_LAZY_FETCH": "1", "GIT_PAGER": "cat",
}  # fmt: skip


class NotInGit(Exception):
    """git cannot give the file; the message says why, ``do`` the way out."""

    def __init__(self, message: str, do: str) -> None:
        super().__init__(message)
        self.do = do


@dataclass(frozen=True, slots=True)
class AtRevision:
    """A description at a revision: ``load_files(path, texts)`` reads it."""

    path: str
    texts: Mapping[str, bytes]


def files_at(path: str | Path, revision: str) -> AtRevision:
    """The description whose main file is ``path``, as it was at ``revision``.

    path: on disk, in the working copy; ``path``'s folder must exist.
    Raises NotInGit where git is missing, the folder belongs to no repository, the
    revision is not known, or the file was not there.
    """
    shown = os.fspath(path).replace(os.sep, "/")
    folder = posixpath.dirname(shown) or "."
    git = _Git(folder)
    prefix = git.place_in_repository()
    commit = _commit(git, revision, shown)
    listing = _listing(git, commit, prefix)
    name = posixpath.basename(shown)
    if name not in listing:
        raise _not_there(git, shown, prefix + name, revision, commit)
    at = posixpath.normpath(shown)
    words = revision if _SHORT_WORDS.fullmatch(revision) else commit[:12]
    at = posixpath.normpath(f"{words}:{'' if at.startswith(('/', '../')) else './'}{at}")
    return AtRevision(at, _Files(git, posixpath.dirname(at), listing, commit, prefix))


@dataclass(frozen=True, slots=True)
class _Git:
    """Runs git in a folder."""

    folder: str

    def ask(self, *words: str) -> subprocess.CompletedProcess[bytes]:
        """git's answer. Raises NotInGit where there is no git to run."""
        kept = {name: value for name, value in os.environ.items() if not name.startswith("GIT_") or name.startswith(_KEPT)}
        command = ["git", "--no-pager", "-c", "core.quotepath=off", "-c", "color.ui=false", "-c", "core.fsmonitor=false", *words]
        try:
            return subprocess.run(command, cwd=self.folder, env=kept | _SET, stdin=subprocess.DEVNULL, capture_output=True, check=False)
        except FileNotFoundError:
            if os.path.isdir(self.folder):
                raise NotInGit(
                    "git is not installed, or not on the path",
                    "install git, or name the old file itself: harnessdoc diff OLD NEW",
                ) from None
            raise NotInGit(f"there is no folder '{self.folder}'", "check the name and the folder") from None
        except (OSError, ValueError) as fault:
            reason = getattr(fault, "strerror", None) or fault
            raise NotInGit(f"git cannot be run in '{self.folder}': {reason}", "name the old file itself: harnessdoc diff OLD NEW") from None

    def place_in_repository(self) -> str:
        """Where the folder stands in its repository: "" or a path that ends with a slash."""
        answer = self.ask("rev-parse", "--show-prefix")
        if answer.returncode == 0:
            return _text(answer.stdout).removesuffix("\n")
        said = answer.stderr.decode("utf-8", "replace").strip()
        if "dubious ownership" in said:
            raise NotInGit(
                f"git does not trust the repository of '{self.folder}', which belongs to another user",
                "tell git that it may: git config --global --add safe.directory and the folder of the repository",
            )
        if "not a git repository" in said:
            raise NotInGit(
                f"the folder '{self.folder}' is in no git repository",
                "name the old file itself: harnessdoc diff OLD NEW",
            )
        raise NotInGit(_said("git refuses", answer), "run `git status` in that folder; it says the same and more")


class _Files(Mapping[str, bytes]):
    """Path as shown -> bytes of the blob; asks git for a file when it is looked up.

    A path beside the folder (a source of a merge) is looked for in the whole repository.
    Raises KeyError for what was not there, TooLarge for what is too large to read, OSError
    where git has not got the bytes.
    """

    def __init__(self, git: _Git, folder: str, listing: Mapping[str, _Entry], commit: str, prefix: str) -> None:
        self._git = git
        self._folder = folder
        self._listing = listing
        self._commit = commit
        self._prefix = prefix

    @cached_property
    def _whole(self) -> dict[str, _Entry]:
        """Every file of the repository: the sources of a merge stand beside its folder."""
        return _listing(self._git, self._commit, "")

    def __getitem__(self, path: str) -> bytes:
        inside = path.startswith(f"{self._folder}/")
        name = path.removeprefix(f"{self._folder}/") if inside else posixpath.relpath(path, self._folder)
        entry = self._whole[posixpath.normpath(self._prefix + name)] if name.startswith("../") else self._followed(name)
        if entry.size > MAX_BYTES:
            raise TooLarge(entry.size)
        return _blob(self._git, entry)

    def __iter__(self) -> Iterator[str]:
        return (f"{self._folder}/{name}" for name in self._listing)

    def __len__(self) -> int:
        return len(self._listing)

    def _followed(self, name: str) -> _Entry:
        """The entry of a name, links within the folder followed; KeyError where that leads to nothing."""
        for _ in range(_MOST_LINKS):
            entry = self._listing[name]
            if entry.mode != _LINK:
                return entry
            name = posixpath.normpath(posixpath.join(posixpath.dirname(name), _text(_blob(self._git, entry))))
        raise KeyError(name)


@dataclass(frozen=True, slots=True)
class _Entry:
    """A file in a tree of git's: mode, name of the blob, size in bytes."""

    mode: str
    blob: str
    size: int


def _blob(git: _Git, entry: _Entry) -> bytes:
    answer = git.ask("cat-file", "blob", entry.blob)
    if answer.returncode:
        raise OSError(errno.EIO, "git has not got its content here")
    return answer.stdout


def _commit(git: _Git, revision: str, shown: str) -> str:
    """The name of the commit that the user's words mean."""
    name = revision
    for suffix in ("", "^{commit}"):  # apart, since `:/words` would take the suffix for words
        answer = git.ask("rev-parse", "--verify", "--quiet", name + suffix) if not name.startswith("-") and "\0" not in name else None
        if answer is None or answer.returncode:
            break
        name = _text(answer.stdout).strip()
    else:
        return name
    if git.ask("rev-parse", "--verify", "--quiet", "HEAD").returncode:
        raise NotInGit(f"the repository of '{shown}' has no commit yet", "commit the file first: what it was is known from then on")
    raise NotInGit(
        f"git knows no revision '{revision}' here",
        f"name a commit, tag or branch; `git log --oneline -- '{shown}'` lists those that changed the file",
    )


def _listing(git: _Git, commit: str, prefix: str) -> dict[str, _Entry]:
    """Every file below the folder, by its path from there; empty where the folder was not there."""
    answer = git.ask("ls-tree", "-r", "-l", "-z", "--full-tree", f"{commit}:{prefix.removesuffix('/')}")
    listing = {}
    for line in _text(answer.stdout).split("\0"):
        head, tab, name = line.partition("\t")
        if tab:
            mode, kind, blob, size = head.split()
            if kind == "blob":
                listing[name] = _Entry(mode, blob, int(size))
    return listing


def _not_there(git: _Git, shown: str, path: str, revision: str, commit: str) -> NotInGit:
    """Why the file was not there: it had another name then, or none."""
    answer = git.ask("diff-index", "--cached", "-M", "--diff-filter=R", "--name-status", "-z", commit)
    words = _text(answer.stdout).split("\0")
    for before, now in zip(words[1::3], words[2::3], strict=False):
        if now == path:
            return NotInGit(
                f"'{shown}' was not there at '{revision}': it was called '{before}' then",
                f"write that version to a folder beside, and compare the two: git worktree add ../before '{revision}',"
                f" then harnessdoc diff '../before/{before}' '{shown}'",
            )
    return NotInGit(
        f"'{shown}' was not there at '{revision}'",
        f"name a later revision; `git log --oneline -- '{shown}'` lists those that changed the file",
    )


def _said(before: str, answer: subprocess.CompletedProcess[bytes]) -> str:
    said = answer.stderr.decode("utf-8", "replace").strip().splitlines()
    return f"{before}: {said[-1].removeprefix('fatal: ')}" if said else before


def _text(answer: bytes) -> str:
    """A path or a name as Python has those of the disk."""
    return os.fsdecode(answer)
