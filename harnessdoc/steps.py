"""The table of contents: from files to a book, step by step, each named and timed.

    read -> validate -> (merge) -> build -> connect -> route -> solve -> check -> draw -> bind

Every step takes plain values and returns plain values. `load` runs all up to the check (the
circuit is solved where the description names a supply), `draw` and `bind` the rest; `compare` takes two descriptions that were loaded. Drawing and binding are imported only when asked for,
so that a check starts fast.
"""

from __future__ import annotations

import gc
import time
from collections.abc import Callable, Iterable, Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from .description.files import load_files
from .description.order_file import OrderFile, read_order
from .description.schema import check_schema, has_its_sections
from .description.text import SourceText
from .drawing.lettering import lacks
from .findings import Finding, Severity
from .geometry.measure import Geometry, measure
from .merge.keys import is_merge, stray_keys
from .model.build import build_harness
from .model.harness import Harness
from .network.islands import Network, connect
from .rules.registry import CODES_OF_RULES, Checked, check_rules
from .rules.subject import Subject

if TYPE_CHECKING:
    from .book.bind import Bound
    from .book.draw import Book
    from .merge.plan import Merge
    from .network.trace import Trace
    from .operation.operate import Operation
    from .revision.compare import Comparison
    from .revision.version import Version
    from .rules.lack import Unasked
    from .rules.waivers import Waived
    from .sheets.context import Options

Progress = Callable[[str, int, int], None]
"""Called with the name of the work, how much is done, and how much there is."""


@dataclass(frozen=True, slots=True)
class Loaded:
    """A description after reading, building and checking.

    harness, network, geometry: None where nothing could be read; texts: the files
    read, by name; findings: sorted by place; waived: findings that a waiver takes off the list;
    unasked: what rules could not ask, and what to add; operation: None where nothing gives a
    supply, or nobody asked; seconds: step -> time taken; merge: what was decided, where the description names sources;
    is_checked: False where something could not be read or made, so that what lies behind it was not judged; order: what the order file beside it says;
    order_faults: why an order file cannot be used; it is no part of the harness, so these of the findings keep nobody from what draws nothing.
    """

    harness: Harness | None
    network: Network | None
    geometry: Geometry | None
    texts: Mapping[str, SourceText]
    findings: tuple[Finding, ...]
    waived: tuple[Waived, ...]
    unasked: tuple[Unasked, ...]
    operation: Operation | None
    seconds: Mapping[str, float]
    merge: Merge | None = None
    is_checked: bool = True
    order: OrderFile | None = None
    order_faults: tuple[Finding, ...] = ()

    @property
    def version(self) -> Version:
        """The description as a version, to be drawn or compared.

        Raises ValueError where nothing could be read.
        """
        from .revision.version import Version

        if self.harness is None or self.network is None or self.geometry is None:
            raise ValueError("a description that could not be read is no version")
        return Version(self.harness, self.network, self.geometry, self.findings, self.waived, self.unasked, self.operation, self.merge, self.order)

    @property
    def has_errors(self) -> bool:
        """True where the files do not say what they mean; then there is no book."""
        return any(finding.severity is Severity.ERROR for finding in self.findings)

    @property
    def errors_but_of_order(self) -> tuple[Finding, ...]:
        """The errors that keep from more than drawing."""
        return tuple(finding for finding in self.findings if finding.severity is Severity.ERROR and finding not in self.order_faults)

    @property
    def is_understood(self) -> bool:
        """True where every line of the description was read; what a rule calls an error may still stand in it."""
        return self.harness is not None and all(finding.code in CODES_OF_RULES for finding in self.errors_but_of_order)


def load(path: str | Path, texts: Mapping[str, str | bytes] | None = None, solve: bool = True, sweep: bool | None = None) -> Loaded:
    """Read a description and check it.

    path: the main file; texts: file name -> text, or the bytes of the file, read instead of the disk;
    solve: False leaves the circuit unsolved; sweep: whether every ground and fuse is opened in turn, None: where the harness is
    not too large for that.
    Faults in the files are findings in the result; nothing is raised for them. Where
    lines had to be left out, what is missing because of them is not reported.
    """
    seconds: dict[str, float] = {}
    with _collector_paused():
        with _timed(seconds, "read"):
            description = load_files(path, texts)
        by_name = {text.path: text for text in description.texts}
        findings = list(description.findings)
        if not description.documents:
            return Loaded(None, None, None, by_name, tuple(findings), (), (), None, seconds, is_checked=False)
        with _timed(seconds, "validate"):
            for document in description.documents:
                findings += check_schema(document, description.is_whole)
        documents, merge = description.documents, None
        is_whole = description.is_whole and all(map(has_its_sections, documents))
        assembled = None
        if is_merge(documents):
            from .merge.assemble import assemble

            with _timed(seconds, "merge"):
                assembled = assemble(documents, texts, is_whole)
                documents, is_whole, merge = assembled.documents, assembled.is_whole, assembled.merge
                by_name |= {text.path: text for text in assembled.texts}
                findings += assembled.findings
        else:
            findings += stray_keys(documents)
        if merge is None and documents[0].get("sources"):
            # what is said of the sources' things cannot be judged without them: the cause alone is told
            return Loaded(None, None, None, by_name, _sorted(findings), (), (), None, seconds, is_checked=False)
        with _timed(seconds, "build"):
            harness, found = build_harness(documents, Path(path).name, tuple(merge.sources) if merge else ())
            found = assembled.not_said_yet(found) if assembled else found
            findings += found if is_whole else [finding for finding in found if not finding.code.startswith("no-such-")]
        with _timed(seconds, "connect"):
            network = connect(harness)
        with _timed(seconds, "route"):
            geometry = measure(harness)
            if merge is not None and is_whole:
                harness, geometry = _with_joins_settled(harness, geometry, merge)
                findings += _judged(merge, harness, geometry)
        operation = None
        if solve and harness.supplies:
            from .operation.operate import operate

            with _timed(seconds, "solve"):
                operation = operate(harness, network, geometry)
        with _timed(seconds, "check"):
            checked = Checked((), (), ())
            if is_whole:
                checked = check_rules(Subject(harness, network, geometry, by_name, lacks, operation, sweep, merge))
                findings += checked.findings
            kept = read_order(path, texts, tuple(by_name))
            findings += kept.findings
            if kept.order is not None and is_whole:
                from .circuits.kept_order import faults

                findings += faults(kept.order, harness, Path(path).name)
    if kept.text is not None:
        by_name = {**by_name, kept.text.path: kept.text}
    order_faults = tuple(finding for finding in kept.findings if finding.severity is Severity.ERROR)
    return Loaded(harness, network, geometry, by_name, _sorted(findings), checked.waived, checked.unasked, operation, seconds, merge, is_whole, kept.order, order_faults)


def check(path: str | Path, texts: Mapping[str, str | bytes] | None = None) -> tuple[Finding, ...]:
    """The findings of a description, sorted by place."""
    return load(path, texts).findings


def draw(loaded: Loaded, options: Options | None = None, progress: Progress | None = None) -> Book:
    """All sheets of a loaded description, drawn.

    Raises ValueError where the description has errors: there is no book then.
    """
    if loaded.has_errors:
        raise ValueError("a description with errors has no book")
    from .book.draw import draw_book
    from .sheets.context import Options

    return draw_book(loaded.version, options or Options(), tuple(loaded.texts), progress)


def bind(book: Book, folder: str | Path, progress: Progress | None = None) -> Bound:
    """Write a drawn book into a folder: the PDF, every sheet as SVG, the lists as CSV.

    Written aside and moved: where this fails, what stood there before is whole.
    Raises OSError where the folder cannot be written.
    """
    from .book.bind import bind_book

    return bind_book(book, Path(folder), progress)


def trace(loaded: Loaded, address: str) -> Trace:
    """Everything joined to an address by copper, from end to end.

    Raises KeyError where the harness has no such contact.
    """
    from .network.trace import trace as trace_copper

    if loaded.harness is None or address not in loaded.harness.contacts:
        raise KeyError(address)
    return trace_copper(loaded.harness, loaded.network, address)


def compare(old: Loaded, new: Loaded) -> Comparison:
    """What changed from one loaded description to another, and what follows.

    Raises ValueError where either was not understood. An error that a rule finds (two
    wires in one cavity) keeps nobody from comparing: it is often what was mended.
    """
    from .revision.compare import compare as compare_versions

    with _collector_paused():
        return compare_versions(_version(old), _version(new))


def draw_exchange(old: Loaded, new: Loaded, options: Options | None = None, progress: Progress | None = None) -> Book:
    """The marked sheets to exchange in the book of ``old``, with the changes and the rework that leads to ``new``.

    Raises ValueError where either was not understood, or ``new`` has errors: there is no book of it then.
    """
    if new.has_errors:
        raise ValueError("a description with errors has no book")
    from .book.exchange import draw_exchange_book
    from .sheets.context import Options

    return draw_exchange_book(compare(old, new), options or Options(), (*old.texts, *new.texts), progress)


def bind_exchange(book: Book, folder: str | Path, progress: Progress | None = None) -> Bound:
    """Write the sheets to exchange into a folder, beside the book that may stand there.

    Raises OSError as `bind`.
    """
    from .book.bind import bind_exchange as bind_sheets

    return bind_sheets(book, Path(folder), progress)


def _sorted(findings: Iterable[Finding]) -> tuple[Finding, ...]:
    return tuple(sorted(findings, key=lambda finding: finding.sort_key))


def _with_joins_settled(harness: Harness, geometry: Geometry, merge: Merge) -> tuple[Harness, Geometry]:
    from .merge.stations import settled, without_empty_segments

    moved = settled(harness, geometry, merge)
    return without_empty_segments(moved, measure(moved))


def _judged(merge: Merge, harness: Harness, geometry: Geometry) -> tuple[Finding, ...]:
    from .merge.judge import judge_merge

    return judge_merge(merge, harness, geometry)


def _version(loaded: Loaded) -> Version:
    if not loaded.is_understood:
        raise ValueError("a description that was not understood is no version to compare")
    return loaded.version


@contextmanager
def _timed(seconds: dict[str, float], step: str) -> Iterator[None]:
    start = time.perf_counter()
    yield
    seconds[step] = time.perf_counter() - start


@contextmanager
def _collector_paused() -> Iterator[None]:
    """The steps make many long-lived objects and no cycles; the collector would walk them again and again."""
    was_on = gc.isenabled()
    gc.disable()
    try:
        yield
    finally:
        if was_on:
            gc.enable()
