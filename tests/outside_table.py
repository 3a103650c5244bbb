"""The ``outside`` marker: a check against something published, and the table of them.

    @pytest.mark.outside("ISO 1724:2003, table 1")
    @pytest.mark.outside("published harness", needs=("data:kbl",))

``source`` says what the check stands on. ``needs`` names what must be present:
``data:NAME`` (a folder NAME in the folder that $HARNESSDOC_OUTSIDE names) or a
tool of ``TOOLS``. A check whose need is missing is skipped with the reason.

The run ends with a table of the outside checks that ran and of those that did
not, and why. A check that did not run, or that is expected to fail, although its
needs are present makes a whole run (no path, -k, -m, --lf) exit non-zero: in CI
nothing published can be dropped unseen.
"""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
from collections.abc import Callable, Iterable
from dataclasses import dataclass, field
from functools import cache
from importlib.util import find_spec
from pathlib import Path
from typing import Any, TypeVar

import pytest

FOLDER_VARIABLE = "HARNESSDOC_OUTSIDE"
NOT_REACHED = "not reached"
TOLD = "outside checks"
"""Under this name a process of a run in several tells what it collected."""
Key = TypeVar("Key")


@cache
def _missing_cairo() -> str:
    # In another process: inside this one, cairo must load after the program has
    # told it where the font is.
    loads = subprocess.run([sys.executable, "-c", "import cairocffi"], capture_output=True, check=False)
    return "" if loads.returncode == 0 else "cairo is not installed (make outside)"


def _missing_program(name: str) -> Callable[[], str]:
    return lambda: "" if shutil.which(name) else f"{name} is not installed (make outside)"


TOOLS: dict[str, Callable[[], str]] = {
    "cairo": _missing_cairo,
    "chromium": _missing_program("chromium"),
    "ngspice": _missing_program("ngspice"),
    "pygraphviz": lambda: "" if find_spec("pygraphviz") else "pygraphviz is not installed (pip install pygraphviz)",
}
"""Tools a check may need; the function says why one is missing, or ""."""


def _missing_data(name: str) -> str:
    folder = os.environ.get(FOLDER_VARIABLE, "")
    if not folder:
        return f"${FOLDER_VARIABLE} is not set"
    return "" if Path(folder, name).is_dir() else f"no folder {name} in ${FOLDER_VARIABLE}"


def _missing_need(need: str) -> str:
    kind, _, name = need.partition(":")
    return _missing_data(name) if kind == "data" else TOOLS[need]()


def _read_marker(item: pytest.Item, mark: pytest.Mark) -> tuple[str, tuple[str, ...]]:
    """Source and needs; refuses a marker that would hide its check."""

    def read(source: str, needs: tuple[str, ...] = ()) -> tuple[str, tuple[str, ...]]:
        return source, needs

    try:
        source, needs = read(*mark.args, **mark.kwargs)
    except TypeError:
        raise pytest.UsageError(f"{item.nodeid}: outside() takes a source and needs=(...)") from None
    if not isinstance(source, str) or not source.strip():
        raise pytest.UsageError(f"{item.nodeid}: outside() names no source")
    if not isinstance(needs, tuple):
        raise pytest.UsageError(f"{item.nodeid}: needs is a tuple: needs=({needs!r},)")
    for need in needs:
        if need not in TOOLS and not (need.startswith("data:") and need != "data:"):
            known = ", ".join(["data:NAME", *TOOLS])
            raise pytest.UsageError(f"{item.nodeid}: unknown need {need!r}; known: {known}")
    return source, needs


@dataclass(slots=True)
class Check:
    """One outside check. ``outcome`` is "passed", "failed", or "" while it has not run."""

    function: str
    source: str
    missing: str
    outcome: str = ""
    why_not: str = NOT_REACHED


@dataclass(slots=True, eq=False)   # a plugin is hashed by identity
class OutsideTable:
    """The plugin: notes each outside check as it is collected and run."""

    checks: dict[str, Check] = field(default_factory=dict)          # by node id
    dropped_modules: dict[str, str] = field(default_factory=dict)   # node id -> reason

    def pytest_itemcollected(self, item: pytest.Item) -> None:
        mark = item.get_closest_marker("outside")
        if mark is None:
            return
        source, needs = _read_marker(item, mark)
        missing = "; ".join(dict.fromkeys(filter(None, map(_missing_need, needs))))
        file, _, name = item.nodeid.partition("::")
        self.checks[item.nodeid] = Check(
            f"{Path(file).stem}::{name.partition('[')[0]}", source, missing)

    def pytest_collectreport(self, report: pytest.CollectReport) -> None:
        # A module that is skipped while it is read has no marks to ask: its folder tells.
        if report.skipped and "outside" in Path(report.nodeid).parts[:-1]:
            self.dropped_modules[report.nodeid] = _skip_reason(report)

    @pytest.hookimpl(tryfirst=True)
    def pytest_runtest_setup(self, item: pytest.Item) -> None:
        check = self.checks.get(item.nodeid)
        if check is not None and check.missing:
            pytest.skip(check.missing)

    def pytest_deselected(self, items: Iterable[pytest.Item]) -> None:
        for item in items:
            if item.nodeid in self.checks:
                self.checks[item.nodeid].why_not = "deselected"

    def pytest_runtest_logreport(self, report: pytest.TestReport) -> None:
        check = self.checks.get(report.nodeid)
        if check is None:
            return
        if report.failed:
            check.outcome = "failed"
        elif report.skipped:
            check.why_not = check.missing or _skip_reason(report)
        elif report.when == "call":
            check.outcome = "passed"

    @pytest.hookimpl(trylast=True)
    def pytest_sessionfinish(self, session: pytest.Session) -> None:
        # one of several processes tells the one that leads, which alone judges
        told = getattr(session.config, "workeroutput", None)
        if told is not None:
            told[TOLD] = ([(node, check.function, check.source, check.missing, check.outcome, check.why_not) for node, check in self.checks.items()],
                          list(self.dropped_modules.items()))
        elif session.exitstatus == pytest.ExitCode.OK and is_whole_run(session.config) and self.hidden():
            session.exitstatus = pytest.ExitCode.TESTS_FAILED

    @pytest.hookimpl(optionalhook=True)
    def pytest_testnodedown(self, node: Any, error: object) -> None:
        """Takes over what a process collected and ran, when it ends: each collects all, and runs its share."""
        checks, modules = getattr(node, "workeroutput", {}).get(TOLD, ((), ()))
        for id, *said in checks:
            told, known = Check(*said), self.checks.get(id)
            if known is None or (told.outcome and not known.outcome) or (told.why_not != NOT_REACHED and known.why_not == NOT_REACHED):
                self.checks[id] = told
        self.dropped_modules.update(modules)

    def hidden(self) -> list[str]:
        """Checks and modules that did not run although nothing was missing, by node id."""
        return [*(node for node, check in self.checks.items() if not check.outcome and not check.missing),
                *self.dropped_modules]

    def pytest_terminal_summary(self, terminalreporter: pytest.TerminalReporter,
                                config: pytest.Config) -> None:
        if not self.checks and not self.dropped_modules or config.option.collectonly:
            return
        ran = _count((check.function, check.source) for check in self.checks.values() if check.outcome)
        failed = _count((check.function, check.source) for check in self.checks.values()
                        if check.outcome == "failed")
        terminalreporter.section("outside checks run")
        for key, number in ran.items():
            verdict = f"FAILED {failed[key]} of {number}" if key in failed else f"passed {number}"
            terminalreporter.line(f"{verdict:<16} {key[0]}  |  {key[1]}")
        terminalreporter.section("outside checks not run, and why")
        for (function, source, why), number in self._not_run().items():
            terminalreporter.line(f"not run {number:<8} {function}  |  {source}  |  {why}")
        if not self._not_run():
            terminalreporter.line("none")
        if is_whole_run(config) and self.hidden():
            terminalreporter.line(
                f"outside checks that did not run although nothing was missing: {len(self.hidden())}", red=True)

    def _not_run(self) -> dict[tuple[str, str, str], int]:
        checks = ((check.function, check.source, check.missing or check.why_not)
                  for check in self.checks.values() if not check.outcome)
        modules = ((node, "whole module", why) for node, why in self.dropped_modules.items())
        return _count([*checks, *modules])


def _count(keys: Iterable[Key]) -> dict[Key, int]:
    """How often each key comes, in order of first coming."""
    numbers: dict[Key, int] = {}
    for key in keys:
        numbers[key] = numbers.get(key, 0) + 1
    return numbers


def _skip_reason(report: pytest.TestReport | pytest.CollectReport) -> str:
    if hasattr(report, "wasxfail"):
        return f"expected to fail: {report.wasxfail}"
    longrepr = report.longrepr
    return (longrepr[2] if isinstance(longrepr, tuple) else str(longrepr)).removeprefix("Skipped: ")


def is_whole_run(config: pytest.Config) -> bool:
    """True where nobody asked for a part: no path, -k, -m, --lf, --sw, --collect-only."""
    option = config.option
    return (config.args_source != pytest.Config.ArgsSource.ARGS
            and not (option.keyword or option.markexpr or option.collectonly)
            and not getattr(option, "lf", False) and not getattr(option, "stepwise", False))


def pytest_configure(config: pytest.Config) -> None:
    config.addinivalue_line("markers", "outside(source, needs=()): a check against something published")
    config.addinivalue_line("markers", "slow: takes more than a few seconds")
    config.pluginmanager.register(OutsideTable(), "outside checks")


@pytest.fixture(scope="session")
def outside_data() -> Path:
    """The folder of published data; the test names what it takes of it in ``needs``."""
    folder = os.environ.get(FOLDER_VARIABLE, "")
    if not folder:
        pytest.fail("mark a test that takes outside_data outside(..., needs=('data:NAME',))")
    return Path(folder)
