"""The measured limits, each a ratio or a difference taken in this one run (``make bench``).

Prints a table (what, limit, measured, ok or over) and exits 1 if one is over.
Runs that are compared are taken in turn, and the median of each counts, so that
a busy machine slows both alike. Unix only: peak memory comes from ``wait4``.
"""

from __future__ import annotations

import compileall
import io
import math
import os
import random
import re
import shutil
import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parent.parent))
from benchmarks.generate import generate  # noqa: E402
from benchmarks.generate_electric import generate_electric  # noqa: E402
from electric.random_circuits import random_states  # noqa: E402

PROJECT = Path(__file__).parent.parent.parent
HARNESSDOC = str(Path(sys.executable).parent / "harnessdoc")
PLAIN_READ = "import sys, yaml; yaml.load(open(sys.argv[1], encoding='utf-8'), yaml.CSafeLoader)"


@dataclass(frozen=True, slots=True)
class Row:
    """One line of the table; ``words`` says from what the figure comes."""

    what: str
    limit: float
    measured: float
    unit: str
    words: str

    @property
    def over(self) -> bool:
        return self.measured > self.limit


def run(command: Sequence[str], exits: int = 0) -> tuple[float, float]:
    """Wall time in s and peak memory in MB of a command; it must exit with ``exits``."""
    start = time.perf_counter()
    child = subprocess.Popen(command, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)
    _, status, usage = os.wait4(child.pid, 0)
    seconds = time.perf_counter() - start
    child.returncode = os.waitstatus_to_exitcode(status)
    if child.returncode != exits:
        said = subprocess.run(command, capture_output=True, text=True, check=False)
        sys.exit(f"{' '.join(command)} exits {child.returncode}:\n{(said.stdout + said.stderr)[-2000:]}")
    kilobytes = usage.ru_maxrss / 1024 if sys.platform == "darwin" else usage.ru_maxrss
    return seconds, kilobytes * 1024 / 1e6


def medians(rounds: int, *tasks: Callable[[], float]) -> list[float]:
    """Median of each task's figure; the tasks are run in turn, after one round that does not count."""
    figures = [[task() for task in tasks] for _ in range(rounds + 1)][1:]
    return [statistics.median(column) for column in zip(*figures, strict=True)]


def check(file: Path, *options: str) -> Callable[[], float]:
    # the generated wires join what does not fit, which is no fault of the file
    return lambda: run([HARNESSDOC, "check", "--quiet", "--level", "error", *options, str(file)])[0]


def measure_check(folder: Path) -> list[Row]:
    """``check`` of generated files against only reading them; how it grows; its memory."""
    first = PROJECT / "examples" / "first-wires" / "first-wires.yaml"
    files = {}
    for wires in (2_000, 20_000):
        files[wires] = folder / f"{wires}.yaml"
        files[wires].write_text(generate(wires), encoding="utf-8")

    def read(file: Path) -> Callable[[], float]:
        return lambda: run([sys.executable, "-c", PLAIN_READ, str(file)])[0]

    start, ours, plain = medians(7, check(first), check(files[2_000]), read(files[2_000]))
    large, large_plain = medians(3, check(files[20_000]), read(files[20_000]))
    memory = max(run([HARNESSDOC, "check", "--quiet", "--level", "error", str(files[20_000])])[1] for _ in range(2))
    exponent = math.log10((large - start) / (ours - start))
    return [
        # 0.9 and 0.45 were the limits of a check with ten rules; all of them may take 1.8 times that
        Row("check, 2,000 wires / CSafeLoader", 1.8 * 0.9, ours / plain, "", f"{ours:.2f} s / {plain:.2f} s"),
        Row("check, 20,000 wires / CSafeLoader", 1.8 * 0.45, large / large_plain, "",
            f"{large:.2f} s / {large_plain:.2f} s"),
        Row("check, exponent 2,000 to 20,000", 1.15, exponent, "", f"start-up of {start:.2f} s subtracted"),
        Row("check, 20,000 wires, peak memory", 250, memory, "MB", ""),
    ]


def measure_diff(folder: Path) -> list[Row]:
    """``diff`` of two versions against ``check`` of one; every hundredth wire of the second is of another size, another colour or gone."""
    files = {}
    for wires in (2_000, 20_000):
        old, new = folder / f"old-{wires}.yaml", folder / f"new-{wires}.yaml"
        text = generate(wires)
        old.write_text(text, encoding="utf-8")
        new.write_text(edited(text), encoding="utf-8")
        files[wires] = old, new
    ours, one = medians(7, diff(*files[2_000]), check(files[2_000][0]))
    large = statistics.median(diff(*files[20_000])() for _ in range(3))
    return [
        Row("diff, 2,000 wires / check of one", 2.5, ours / one, "", f"{ours:.2f} s / {one:.2f} s"),
        Row("diff, 20,000 wires", 20, large, "s", ""),
    ]


def diff(old: Path, new: Path) -> Callable[[], float]:
    return lambda: run([HARNESSDOC, "diff", "--quiet", str(old), str(new)], exits=1)[0]


def edited(text: str) -> str:
    """The description with every hundredth wire resized, recoloured or taken out, in turn."""
    lines = text.splitlines(keepends=True)
    wires = [number for number, line in enumerate(lines) if "{from:" in line and "size:" in line]
    for turn, number in enumerate(wires[::100]):
        line = lines[number]
        lines[number] = (re.sub(r"size: [^,}]+", "size: 4 mm2", line), re.sub(r"colour: [^,}]+", "colour: PK/BK", line), "")[turn % 3]
    return "".join(lines)


def measure_example() -> list[Row]:
    """``check`` of the Linnet against a Python that does nothing."""
    linnet = PROJECT / "examples" / "linnet" / "linnet.yaml"
    ours, nothing = medians(9, check(linnet, "--no-sweep"), lambda: run([sys.executable, "-c", "pass"])[0])
    return [Row("check --no-sweep of the Linnet - python -c pass", 0.35, ours - nothing, "s",
                f"{ours:.2f} s - {nothing:.2f} s")]


def measure_book(folder: Path) -> list[Row]:
    """Drawing and binding 100 pinout sheets against cairosvg and pypdf on the same sheets as SVG.

    Imported here, after the processes above: a large parent would count in their memory.
    """
    import cairosvg
    import pypdf

    from harnessdoc import steps
    from harnessdoc.book.bind import pdf_bytes, pdf_pages
    from harnessdoc.book.draw import Book, draw_sheet, make_context
    from harnessdoc.drawing.svg import to_svg
    from harnessdoc.sheets.context import Options, SheetKind

    file = folder / "100-connectors.yaml"
    file.write_text(generate(2_250, connectors=100), encoding="utf-8")   # 40 or 41 cavities each
    loaded = steps.load(file)

    def pinouts() -> Book:
        context = make_context(loaded.version, Options())
        return Book(context, tuple(draw_sheet(context, ref) for ref in context.sheets if ref.kind is SheetKind.PINOUT))

    svgs = [to_svg(page) for sheet in pinouts().sheets for page in sheet.pages]

    def ours() -> float:
        start = time.perf_counter()
        book = pinouts()
        pdf_bytes(book, pdf_pages(book))
        return time.perf_counter() - start

    def theirs() -> float:
        start = time.perf_counter()
        book = pypdf.PdfWriter()
        for svg in svgs:
            book.append(io.BytesIO(cairosvg.svg2pdf(bytestring=svg.encode())))
        book.write(io.BytesIO())
        return time.perf_counter() - start

    own, other = medians(3, ours, theirs)
    return [Row("book of 100 pinouts / cairosvg + pypdf", 0.15, own / other, "",
                f"100 sheets, {len(svgs)} pages, {own:.2f} s / {other:.2f} s")]


def measure_solve(folder: Path) -> list[Row]:
    """All states of the Linnet against one of them; one state of two circuits of 20,000 conductors against ngspice on the same netlist, where that is installed."""
    from harnessdoc import steps
    from harnessdoc.electric import settle, solve, spice
    from harnessdoc.operation.operate import Operation, operate, wired

    linnet = steps.load(PROJECT / "examples" / "linnet" / "linnet.yaml", solve=False)
    parts = replace(linnet.harness, states={}), linnet.network, linnet.geometry    # those that are visited by themselves
    visited = operate(*parts).solved
    run_case = visited["run, stopped"].case

    def seconds(work: Callable[[], object]) -> Callable[[], float]:
        def timed() -> float:
            start = time.perf_counter()
            work()
            return time.perf_counter() - start
        return timed

    one, every = medians(15, seconds(lambda: Operation(wired(*parts), {}).state(run_case)), seconds(lambda: operate(*parts)))
    rows = [Row(f"{len(visited)} default states of the Linnet / one", 10, every / one, "", f"{every * 1000:.0f} ms / {one * 1000:.1f} ms"),
            Row("all default states of the Linnet", 0.5, every, "s", f"after import, on {os.cpu_count()} cores of this machine")]
    if shutil.which("ngspice") is None:
        print("ngspice is not installed: no row compares with it", file=sys.stderr)
        return rows
    file = folder / "electric.yaml"
    file.write_text(generate_electric(20_000), encoding="utf-8")
    large = steps.load(file, solve=False)
    circuits = {"conductors of a harness": wired(large.harness, large.network, large.geometry).circuit(run_case),
                "conductors, many meshes": random_states(1, 20_000)[0]}
    for words, circuit in circuits.items():
        states = settle(circuit, {}).relay_states    # and scipy is imported
        netlist = folder / "large.cir"
        netlist.write_text(spice(circuit, states, words), encoding="ascii")
        ours, theirs = medians(3, seconds(lambda: solve(circuit, states)), lambda: run(["ngspice", "-b", "-r", str(folder / "large.raw"), str(netlist)])[0])
        rows.append(Row(f"20,000 {words} / ngspice", 0.1, ours / theirs, "", f"one state, {ours:.2f} s / {theirs:.2f} s, {len(circuit.elements_in(states))} elements"))
    return rows


def measure_sweep(folder: Path) -> list[Row]:
    """Every ground and fuse of 2,000 wires opened in turn in every state, against solving each such case from nothing, by samples of all and of those that carry current."""
    from harnessdoc import steps
    from harnessdoc.electric import settle
    from harnessdoc.electric.without import NOTHING_A
    from harnessdoc.judgement.sneaks import opened_in, sweep
    from harnessdoc.operation.operate import Operation

    file = folder / "sweep.yaml"
    file.write_text(generate_electric(2_000), encoding="utf-8")
    operation = steps.load(file, sweep=False).operation
    every = [(solved, element) for solved in operation.solved.values() if solved.solution is not None for element in opened_in(operation, solved)]
    carrying = [(solved, element) for solved, element in every if abs(solved.solution.currents.get(element, 0.0)) >= NOTHING_A]
    samples = [random.Random(1).sample(cases, 60) for cases in (every, carrying)]

    def resolve(number: int) -> Callable[[], float]:
        """Seconds a case."""
        def timed() -> float:
            start = time.perf_counter()
            for solved, gone in samples[number]:
                settle(replace(solved.circuit, elements=tuple(element for element in solved.circuit.elements if element.id != gone)), solved.solution.relay_states)
            return (time.perf_counter() - start) / len(samples[number])
        return timed

    asked = []

    def swept() -> float:
        start = time.perf_counter()
        asked.append(sweep(Operation(operation.wiring, operation.solved), True).cases)   # of a new one nothing is kept
        return time.perf_counter() - start

    ours, one, live = medians(3, swept, resolve(0), resolve(1))
    assert set(asked) == {len(every)}
    return [
        Row("grounds and fuses of 2,000 wires / re-solved", 0.1, ours / (one * len(every)), "",
            f"{len(every)} cases in {len(operation.solved)} states, {one * 1000:.0f} ms each re-solved, by a sample of {len(samples[0])}"),
        Row("the same / those with current re-solved", 0.1, ours / (live * len(carrying)), "",
            f"{len(carrying)} of them carry current, {live * 1000:.0f} ms each re-solved, by a sample of {len(samples[1])}; the rest need no solving"),
        Row("grounds and fuses of 2,000 wires", 10, ours, "s", ""),
    ]


def measure_merge(folder: Path) -> list[Row]:
    """``check`` of the example merge, and ``match`` of two harnesses of 2,000 wires: whole processes, in seconds of this machine."""
    example = PROJECT / "examples" / "heron-linnet" / "heron-linnet.yaml"
    places = folder / "match"
    places.mkdir()
    for name, seed in (("host", 1), ("donor", 2)):
        (places / f"{name}.yaml").write_text(generate_electric(2_000, seed), encoding="utf-8")
    main = places / "merge.yaml"
    main.write_text("sources:\n  host: {file: host.yaml, role: host}\n  donor: {file: donor.yaml, role: donor}\n", encoding="utf-8")
    imported, checked, matched = medians(3, lambda: run([sys.executable, "-c", "import harnessdoc.merge.assemble, harnessdoc.cli.main, harnessdoc.steps"])[0],
                                         lambda: run([HARNESSDOC, "check", "--quiet", "--level", "error", "--no-sweep", str(example)])[0],
                                         lambda: run([HARNESSDOC, "match", str(main)])[0])
    return [
        Row("merge of the Heron, check", 1.5, checked, "s", "load, merge and check, whole process, no sweep"),
        Row("merge of the Heron, imports", 0.4, imported, "s", "of which importing"),
        Row("match of 2 x 2,000 wires", 20.0, matched, "s", "whole process"),
    ]


def measure_circuits(folder: Path) -> list[Row]:
    """The circuit pages of the example merge, placed on all cores as for a book, with nothing kept and with all kept; each system by itself; and a whole book of 2,000 wires."""
    file = folder / "book.yaml"
    file.write_text(generate_electric(2_000), encoding="utf-8")
    seconds, memory = run([HARNESSDOC, "book", str(file), "--out", str(folder / "book"), "--no-cache", "--quiet"])
    # imported here, after the process above: a large parent would count in its memory
    from harnessdoc import steps
    from harnessdoc.book.draw import draw_sheet, make_context
    from harnessdoc.book.place_ahead import placed_ahead
    from harnessdoc.sheets.circuit_pages import circuit_book
    from harnessdoc.sheets.context import Options, SheetKind

    version = steps.load(PROJECT / "examples" / "heron-linnet" / "heron-linnet.yaml").version
    options = Options(cache=folder / "placed")

    def pages() -> tuple[float, int]:
        start = time.perf_counter()
        with placed_ahead(make_context(version, options)) as context:
            drawn = [page for ref in context.sheets if ref.kind is SheetKind.CIRCUIT for page in draw_sheet(context, ref).pages]
        return time.perf_counter() - start, len(drawn)

    (cold, count), *warm = [pages() for _ in range(4)]
    book = circuit_book(make_context(version, Options()))
    each: list[float] = []
    for system in book.refs:
        start = time.process_time()
        found = book.pages(system)
        each += [(time.process_time() - start) / len(found)] * len(found)
    cores = f"on {os.cpu_count()} cores of this machine"
    return [
        Row("a circuit page of the merge, median", 4, statistics.median(each), "s", f"of {len(each)} pages, each its share of its system's placing on one core"),
        Row("circuit pages of the merge, cold", 30, cold, "s", f"{count} pages {cores}, after loading"),
        Row("the same, nothing changed", 2, statistics.median(again for again, _ in warm), "s", ""),
        Row("book of 2,000 wires", 240, seconds, "s", f"all sheets, {cores}, whole process, nothing kept"),
        Row("the same, peak memory", 800, memory, "MB", "of the largest process"),
    ]


def print_table(rows: Sequence[Row]) -> None:
    print(f"{'':<42}{'limit':>9}{'measured':>12}")
    for row in rows:
        digits = 0 if row.limit >= 10 else 2
        print(f"{row.what:<42}{row.limit:>9}{row.measured:>12.{digits}f} {row.unit:<3}"
              f"{'OVER' if row.over else 'ok':<6}{row.words}")


def main() -> int:
    # Installing a wheel compiles it; an editable install on a machine that writes no
    # bytecode would compile anew at each start, which is not what users run.
    compileall.compile_dir(PROJECT / "harnessdoc", quiet=1)
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        rows = measure_check(folder) + measure_diff(folder) + measure_example() + measure_book(folder) + measure_solve(folder) + measure_sweep(folder) + measure_merge(folder)
        rows += measure_circuits(folder)
    print_table(rows)
    return int(any(row.over for row in rows))


if __name__ == "__main__":
    sys.exit(main())
