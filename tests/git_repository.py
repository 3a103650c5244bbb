"""A git repository for tests, made with git itself: its settings are the test's own, whoever runs it."""

from __future__ import annotations

import os
import shutil
import subprocess
from pathlib import Path

import pytest

CLOCK = "2026-02-03T10:00:00+00:00"


class Repository:
    """A repository in a folder; `commit` writes files and commits all there is."""

    def __init__(self, folder: Path) -> None:
        folder.mkdir(parents=True, exist_ok=True)
        self.folder = folder
        self.git("init", "--quiet", "--initial-branch=bench", ".")

    def git(self, *words: str) -> str:
        done = subprocess.run(["git", "-c", "user.name=bench", "-c", "user.email=bench@bench", "-c", "commit.gpgsign=false", *words], cwd=self.folder,
                              env=os.environ | {"GIT_AUTHOR_DATE": CLOCK, "GIT_COMMITTER_DATE": CLOCK}, capture_output=True, check=False)
        assert done.returncode == 0, done.stderr.decode()
        return done.stdout.decode("utf-8", "surrogateescape").strip()

    def put(self, files: dict[str, str | bytes]) -> None:
        for name, text in files.items():
            path = self.folder / name
            path.parent.mkdir(parents=True, exist_ok=True)
            path.write_bytes(text if isinstance(text, bytes) else text.encode())

    def commit(self, files: dict[str, str | bytes], tag: str = "") -> str:
        """Write and commit; the name of the commit."""
        self.put(files)
        self.git("add", "--all")
        self.git("commit", "--quiet", "--allow-empty", "--message", "as found")
        if tag:
            self.git("tag", tag)
        return self.git("rev-parse", "HEAD")

    def whole(self) -> dict[str, tuple[bytes, int]]:
        """Every file below the folder, that of git too: bytes and time of the last change."""
        return {path.relative_to(self.folder).as_posix(): (path.read_bytes(), path.stat().st_mtime_ns)
                for path in sorted(self.folder.rglob("*")) if path.is_file()}


def plain_git(monkeypatch: pytest.MonkeyPatch) -> None:
    """No settings of the user's or the machine's; git itself must be there."""
    assert shutil.which("git"), "these tests need git: install it (Debian: apt install git)"
    for name in [name for name in os.environ if name.startswith("GIT_")]:
        monkeypatch.delenv(name)
    monkeypatch.setenv("GIT_CONFIG_GLOBAL", os.devnull)
    monkeypatch.setenv("GIT_CONFIG_NOSYSTEM", "1")
