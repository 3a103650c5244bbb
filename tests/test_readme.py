"""The README shows what the program does: pictures, console blocks, the first file."""

from __future__ import annotations

import re

import pytest
from refresh_readme import PICTURES, README, ROOT, picture, with_consoles

TEXT = README.read_text(encoding="utf-8")


@pytest.mark.parametrize("name", PICTURES)
def test_pictures_are_real_renders(name: str) -> None:
    assert (ROOT / "out" / "readme" / f"{name}.svg").read_text(encoding="utf-8") == picture(name), "run python tests/refresh_readme.py"


def test_every_picture_shown_is_one_of_them() -> None:
    assert set(re.findall(r"out/readme/([a-z-]+)\.svg", TEXT)) == set(PICTURES)


def test_console_blocks_show_what_is_printed() -> None:
    assert with_consoles(TEXT) == TEXT, "run python tests/refresh_readme.py"


def test_the_first_file_is_the_example() -> None:
    shown = re.search(r"```yaml\n(.*?)```", TEXT, re.DOTALL)[1]
    assert shown == (ROOT / "examples" / "first-wires" / "first-wires.yaml").read_text(encoding="utf-8")


def test_the_python_lines_run(tmp_path, monkeypatch: pytest.MonkeyPatch) -> None:
    code = re.search(r"```python\n(.*?)```", TEXT, re.DOTALL)[1]
    monkeypatch.chdir(tmp_path)
    (tmp_path / "first-wires.yaml").write_text((ROOT / "examples" / "first-wires" / "first-wires.yaml").read_text(encoding="utf-8"), encoding="utf-8")
    exec(compile(code, "README.md", "exec"), {})
    assert (tmp_path / "first-wires" / "first-wires.pdf").is_file()
