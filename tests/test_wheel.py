"""The wheel alone makes a book: built, installed into an empty environment, run from elsewhere.

The package index (or the cache of pip) must be reachable for the dependencies.
"""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
import zipfile
from pathlib import Path

import pytest

PROJECT = Path(__file__).parent.parent
CARRIED = {"schemas": "harnessdoc/schemas", "harnessdoc/trade/data": "harnessdoc/trade/data",
           "harnessdoc/drawing/font": "harnessdoc/drawing/font"}
"""Folder of the project with data files -> where the wheel must hold them."""

pytestmark = pytest.mark.slow


def run(*command: str | Path, folder: Path) -> str:
    """Output of a command that must succeed, run in ``folder`` without our environment's paths."""
    clean = {name: value for name, value in os.environ.items() if name not in ("PYTHONPATH", "VIRTUAL_ENV")}
    done = subprocess.run(command, cwd=folder, env=clean, check=False, text=True,
                          stdout=subprocess.PIPE, stderr=subprocess.STDOUT)
    assert done.returncode == 0, done.stdout
    return done.stdout


@pytest.fixture(scope="module")
def wheel(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("dist")
    run(sys.executable, "-m", "build", "--wheel", "--no-isolation", "--outdir", folder, PROJECT, folder=folder)
    (built,) = folder.glob("*.whl")
    return built


def test_the_wheel_carries_schema_facts_and_font_and_no_tests(wheel):
    names = set(zipfile.ZipFile(wheel).namelist())
    for folder, inside in CARRIED.items():
        files = {path.relative_to(PROJECT / folder).as_posix() for path in (PROJECT / folder).rglob("*")
                 if path.is_file() and path.suffix != ".pyc"}
        assert files, f"{folder} is empty"
        assert {f"{inside}/{file}" for file in files} - names == set()
    assert any(name.endswith(".dist-info/licenses/LICENSE") for name in names)
    assert {name.split("/")[0].partition("-")[0] for name in names} == {"harnessdoc"}


def test_the_wheel_makes_a_book_in_an_empty_environment(wheel, tmp_path):
    environment = tmp_path / "empty environment"
    run(sys.executable, "-m", "venv", environment, folder=tmp_path)
    scripts = environment / ("Scripts" if os.name == "nt" else "bin")
    python = scripts / "python"
    run(python, "-m", "pip", "install", "--quiet", "--disable-pip-version-check",
        "-c", PROJECT / "constraints.txt", wheel, folder=tmp_path)
    assert Path(run(python, "-c", "import harnessdoc; print(harnessdoc.__file__)", folder=tmp_path).strip()
                ).is_relative_to(environment)

    bench = tmp_path / "bench"
    shutil.copytree(PROJECT / "examples" / "first-wires", bench)
    run(scripts / "harnessdoc", "book", "first-wires.yaml", "--out", "made", folder=bench)
    assert (bench / "made" / "first-wires.pdf").read_bytes().startswith(b"%PDF-")
    assert any("<svg" in sheet.read_text(encoding="utf-8") for sheet in (bench / "made").rglob("*.svg"))
