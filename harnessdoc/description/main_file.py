"""From what a user names to the main file of a description: a file as it is, or the one in a folder.

Takes: a path. Gives: the path of the main file. A folder's main file is the one of the
folder's name, else the only YAML file in it that no other one includes. Of a file: which
other one of its folder it is only a part of.
"""

from __future__ import annotations

import os
import posixpath
from pathlib import Path

from harnessdoc.description.files import names_at
from harnessdoc.description.reader import read_text, read_yaml

_SUFFIXES = (".yaml", ".yml")


class NoMainFile(Exception):
    """A folder has no main file, or several could be it; ``do`` is the way out."""

    def __init__(self, message: str, do: str) -> None:
        super().__init__(message)
        self.do = do


def main_file(path: str) -> str:
    """The main file, with forward slashes. Whatever is no folder is taken for a file; reading it says more.

    Raises NoMainFile, which names the candidates.
    """
    shown = path.replace(os.sep, "/")
    if not os.path.isdir(path):
        return shown
    try:
        names = sorted(entry.name for entry in os.scandir(path) if entry.name.endswith(_SUFFIXES) and entry.is_file())
    except OSError as fault:
        raise NoMainFile(f"the folder '{shown}' cannot be read: {fault.strerror}", "check its permissions") from None
    own = Path(path).resolve().name
    name = next((own + suffix for suffix in _SUFFIXES if own + suffix in names), None) or _only_one(shown, own, names)
    return posixpath.join(shown, name)


def whole_of(path: str) -> str:
    """The first YAML file of the same folder that includes the one at ``path``; "" where none does, or the folder cannot be read."""
    folder, name = posixpath.split(path.replace(os.sep, "/"))
    try:
        others = sorted(entry.name for entry in os.scandir(folder or ".") if entry.name.endswith(_SUFFIXES) and entry.name != name and entry.is_file())
        # most files do not even name it, and need not be understood to know
        named = [other for other in others if name.encode() in Path(folder, other).read_bytes()]
    except OSError:
        return ""
    return next((whole for other in named if name in _included_by(whole := posixpath.join(folder, other), other)), "")


def _only_one(shown: str, own: str, names: list[str]) -> str:
    if not names:
        raise NoMainFile(f"the folder '{shown}' holds no YAML file", "name the main file of the description")
    included = {name for other in names for name in _included_by(posixpath.join(shown, other), other)}
    roots = [name for name in names if name not in included]
    if len(roots) != 1:
        candidates = ", ".join(f"'{name}'" for name in roots or names)
        why = "none of its YAML files is named after it, and several could be the main file" if roots else "its YAML files include each other"
        raise NoMainFile(f"the folder '{shown}' has no main file: {why}: {candidates}", f"name the file, or call it {own}.yaml")
    return roots[0]


def _included_by(path: str, name: str) -> list[str]:
    """The files of the same folder that a file includes; faults in it are found when it is read as a whole."""
    text, _ = read_text(path, path)
    record = read_yaml(text)[0] if text is not None else None
    named = [posixpath.normpath(include) for include, _ in names_at(record, "include")] if record is not None else []
    return [include for include in named if include != name]
