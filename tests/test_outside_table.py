"""The outside marker and its table, run on small test files by pytester."""

from __future__ import annotations

import pytest

KBL = '''
import pytest

@pytest.mark.outside("published harness", needs=("data:kbl",))
def test_routes(outside_data):
    assert (outside_data / "kbl").is_dir()
'''


@pytest.fixture
def run(pytester: pytest.Pytester, monkeypatch: pytest.MonkeyPatch):
    """Run pytest with the plugin alone on the given files (name -> text) and arguments."""
    monkeypatch.delenv("HARNESSDOC_OUTSIDE", raising=False)

    def run_files(files: dict[str, str], *arguments: str) -> pytest.RunResult:
        for name, text in files.items():
            path = pytester.path / f"{name}.py"
            path.parent.mkdir(parents=True, exist_ok=True)
            path.write_text(text, encoding="utf-8")
        # Without Hypothesis, which pytester would import anew in every run (1 s each).
        return pytester.runpytest("-p", "outside_table", "-p", "no:hypothesispytest", *arguments)

    return run_files


def test_a_check_that_passes_stands_in_the_table_with_its_source(run):
    result = run({"test_a": '''
import pytest

@pytest.mark.outside("ISO 1724")
@pytest.mark.parametrize("pin", [1, 2, 3])
def test_pins(pin):
    assert pin
'''})
    assert result.ret == pytest.ExitCode.OK
    result.stdout.fnmatch_lines(["*outside checks run*", "passed 3         test_a::test_pins  |  ISO 1724",
                                 "*outside checks not run, and why*", "none"])


def test_a_check_that_fails_is_counted_apart(run):
    result = run({"test_a": '''
import pytest

@pytest.mark.outside("ISO 1724")
@pytest.mark.parametrize("pin", [0, 2, 3])
def test_pins(pin):
    assert pin
'''})
    assert result.ret == pytest.ExitCode.TESTS_FAILED
    result.stdout.fnmatch_lines(["FAILED 1 of 3    test_a::test_pins  |  ISO 1724"])


def test_a_failure_in_tear_down_is_a_failure(run):
    result = run({"test_a": '''
import pytest

@pytest.fixture
def broken():
    yield
    assert False

@pytest.mark.outside("ISO 1724")
def test_pins(broken):
    pass
'''})
    result.stdout.fnmatch_lines(["FAILED 1 of 1    test_a::test_pins  |  ISO 1724"])


def test_missing_data_is_skipped_with_the_reason_and_the_run_stays_green(run):
    result = run({"test_a": KBL, "test_b": "def test_plain():\n    pass\n"})
    assert result.ret == pytest.ExitCode.OK
    result.stdout.fnmatch_lines(
        ["*outside checks not run, and why*",
         "not run 1        test_a::test_routes  |  published harness  |  $HARNESSDOC_OUTSIDE is not set"])


def test_a_folder_without_the_data_says_so(run, pytester, monkeypatch):
    monkeypatch.setenv("HARNESSDOC_OUTSIDE", str(pytester.mkdir("elsewhere")))
    result = run({"test_a": KBL})
    result.stdout.fnmatch_lines(["not run 1 *|  no folder kbl in $HARNESSDOC_OUTSIDE"])


def test_data_that_is_present_is_used(run, pytester, monkeypatch):
    folder = pytester.mkdir("published")
    (folder / "kbl").mkdir()
    monkeypatch.setenv("HARNESSDOC_OUTSIDE", str(folder))
    result = run({"test_a": KBL})
    assert result.ret == pytest.ExitCode.OK
    result.stdout.fnmatch_lines(["passed 1         test_a::test_routes  |  published harness"])


def test_a_missing_tool_is_skipped_with_the_reason(run, monkeypatch):
    monkeypatch.setenv("PATH", "")
    result = run({"test_a": '''
import pytest

@pytest.mark.outside("circuit simulator", needs=("ngspice",))
def test_solve():
    assert False
'''})
    assert result.ret == pytest.ExitCode.OK
    result.stdout.fnmatch_lines(["not run 1 *|  ngspice is not installed (make outside)"])


HIDDEN = {
    "skipped in the test": '''
import pytest
@pytest.mark.outside("ISO 1724")
def test_pins():
    pytest.skip("later")
''',
    "skipped by a mark": '''
import pytest
@pytest.mark.skip(reason="later")
@pytest.mark.outside("ISO 1724")
def test_pins():
    pass
''',
    "expected to fail": '''
import pytest
@pytest.mark.xfail(reason="later")
@pytest.mark.outside("ISO 1724")
def test_pins():
    assert False
''',
}


@pytest.mark.parametrize("text", HIDDEN.values(), ids=list(HIDDEN))
def test_a_check_that_hides_though_its_needs_are_present_turns_the_run_red(run, text):
    files = {"test_a": text, "test_b": "def test_plain():\n    pass\n"}
    result = run(files)
    assert result.ret == pytest.ExitCode.TESTS_FAILED
    result.stdout.fnmatch_lines(["not run 1 *test_a::test_pins  |  ISO 1724  |  *later",
                                 "outside checks that did not run although nothing was missing: 1"])
    assert run(files, "-k", "pins or plain").ret == pytest.ExitCode.OK
    assert run(files, "test_a.py", "test_b.py").ret == pytest.ExitCode.OK


def test_a_deselected_check_turns_the_run_red(run):
    files = {"test_a": '''
import pytest
@pytest.mark.outside("ISO 1724")
def test_pins():
    pass
''', "test_b": "def test_plain():\n    pass\n"}
    result = run(files, "--deselect", "test_a.py::test_pins")
    assert result.ret == pytest.ExitCode.TESTS_FAILED
    result.stdout.fnmatch_lines(["not run 1 *|  ISO 1724  |  deselected"])
    assert run(files, "-m", "not outside").ret == pytest.ExitCode.OK


def test_a_module_of_outside_that_skips_itself_turns_the_run_red(run):
    result = run({"outside/test_a": 'import pytest\npytest.importorskip("no_such_module")\n',
                  "test_b": "def test_plain():\n    pass\n"})
    assert result.ret == pytest.ExitCode.TESTS_FAILED
    result.stdout.fnmatch_lines(["not run 1 *outside/test_a.py  |  whole module  |  *no_such_module*"])


@pytest.mark.parametrize("mark, words", [
    ('outside()', "outside() takes a source and needs=(...)"),
    ('outside(" ")', "outside() names no source"),
    ('outside("ISO 1724", need="cairo")', "outside() takes a source and needs=(...)"),
    ('outside("ISO 1724", needs="cairo")', "needs is a tuple: needs=('cairo',)"),
    ('outside("ISO 1724", needs=("cario",))', "unknown need 'cario'; known: data:NAME, cairo, chromium, ngspice, pygraphviz"),
    ('outside("ISO 1724", needs=("data:",))', "unknown need 'data:'; known: *"),
])
def test_a_mark_that_would_hide_its_check_is_refused(run, mark, words):
    result = run({"test_a": f"import pytest\n@pytest.mark.{mark}\ndef test_pins():\n    pass\n"})
    assert result.ret == pytest.ExitCode.USAGE_ERROR
    result.stderr.fnmatch_lines([f"ERROR: test_a.py::test_pins: {words}"])


def test_outside_data_without_the_need_fails(run):
    result = run({"test_a": '''
def test_routes(outside_data):
    pass
'''})
    assert result.ret == pytest.ExitCode.TESTS_FAILED
    result.stdout.fnmatch_lines(["*mark a test that takes outside_data outside(*"])


def test_no_table_where_there_is_no_outside_check(run):
    result = run({"test_b": "def test_plain():\n    pass\n"})
    result.stdout.no_fnmatch_line("*outside checks*")


PARTS = {
    "test_a": """
import pytest
@pytest.mark.outside("ISO 1724")
@pytest.mark.parametrize("pin", [1, 2, 3])
def test_pins(pin):
    assert pin
""",
    "test_b": """
import pytest
@pytest.mark.outside("ISO 7200")
def test_block():
    assert SOUND
@pytest.mark.outside("published harness", needs=("data:kbl",))
def test_routes(outside_data):
    pass
""",
}


def test_several_processes_make_one_table(run):
    result = run({name: text.replace("SOUND", "True") for name, text in PARTS.items()}, "-n", "2", "--dist", "loadfile")
    assert result.ret == pytest.ExitCode.OK
    result.stdout.fnmatch_lines_random(["passed 3         test_a::test_pins  |  ISO 1724", "passed 1         test_b::test_block  |  ISO 7200",
                                        "not run 1 *test_b::test_routes  |  published harness  |  $HARNESSDOC_OUTSIDE is not set"])
    assert str(result.stdout).count("test_a::test_pins  |") == 1


def test_what_hides_in_one_of_several_processes_turns_the_run_red(run):
    files = {name: text.replace("assert SOUND", 'pytest.skip("later")') for name, text in PARTS.items()}
    result = run(files, "-n", "2", "--dist", "loadfile")
    assert result.ret == pytest.ExitCode.TESTS_FAILED
    result.stdout.fnmatch_lines(["not run 1 *test_b::test_block  |  ISO 7200  |  later", "outside checks that did not run although nothing was missing: 1"])
    failed = run({name: text.replace("SOUND", "False") for name, text in PARTS.items()}, "-n", "2", "--dist", "loadfile")
    assert failed.ret == pytest.ExitCode.TESTS_FAILED
    failed.stdout.fnmatch_lines_random(["FAILED 1 of 1    test_b::test_block  |  ISO 7200"])
