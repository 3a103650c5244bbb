"""Random harnesses drawn, read back and spoiled, many of them, and what came of it: ``make long``.

Takes how many (``--harnesses 300``) and a file for the figures (``--into``): a line a harness. What stands in the file, of this
same program, is not done again: a run that was stopped goes on where it was. Prints the sums; exits 1 where a page says what is not so, or a page spoiled in one
place is not seen to be.
"""

from __future__ import annotations

import argparse
import hashlib
import multiprocessing
import sys
import time
from collections.abc import Iterator
from dataclasses import astuple, dataclass, fields
from pathlib import Path

from . import truths
from .circuit_sheets import draw, lies, loaded_of
from .random_circuits import random_raw
from .spoiled import KINDS, spoil

PROJECT = Path(__file__).parents[2]


@dataclass(frozen=True, slots=True)
class Row:
    """The figures of one harness. several: of its systems, how many take more than one page; lies: of the pages as drawn; tried, caught: spoiled pages; seconds: of the processor."""

    seed: int
    wires: int
    pages: int
    several: int
    splices: int
    relays: int
    halves: int
    lies: int
    tried: int
    caught: int
    seconds: float


def row_of(seed: int) -> tuple[Row, tuple[str, ...]]:
    """The figures of the harness of a seed, and what is wrong in words."""
    start = time.process_time()
    raw = random_raw(seed)
    pages, true = draw(loaded_of(raw.text())), truths.of_random(raw)
    untrue = lies([page.drawing for page in pages], true)
    spoiled = [spoil(pages, true, kind) for kind in KINDS]
    missed = [what for one in spoiled for what in one.missed]
    tried = sum(one.tried for one in spoiled)
    several = sum(page.sheet.endswith(" page 2") for page in pages)
    row = Row(seed, len(raw.wires), len(pages), several, len(raw.splices), len(raw.relays), 2 * len(raw.mates), len(untrue), tried, tried - len(missed), round(time.process_time() - start, 1))
    return row, (*(f"harness {seed}: {what}" for what in untrue), *(f"harness {seed}, not seen: {what}" for what in missed))


def program() -> str:
    """A word for the text of the program and of these readers."""
    found = hashlib.sha256()
    for file in sorted((*(PROJECT / "harnessdoc").rglob("*.py"), *Path(__file__).parent.glob("*.py"))):
        found.update(file.read_bytes())
    return found.hexdigest()[:16]


def known(file: Path, of: str) -> Iterator[Row]:
    """The rows of a file that this program wrote."""
    for line in file.read_text(encoding="utf-8").splitlines() if file.exists() else ():
        words = line.split()
        if words[0] == of:
            yield Row(*map(int, words[1:-1]), float(words[-1]))


def summary(rows: list[Row]) -> str:
    def total(name: str) -> int:
        return sum(getattr(row, name) for row in rows)

    return (f"{len(rows)} random harnesses of {min(row.wires for row in rows)} to {max(row.wires for row in rows)} wires: {total('wires')} wires, {total('pages')} pages "
            f"({total('several')} systems on more than one), {total('splices')} splices, {total('relays')} relays, {total('halves')} connector halves; "
            f"{total('lies')} lies; {total('caught')} of {total('tried')} spoiled pages seen; {total('seconds'):.0f} s of the processor")


def main() -> int:
    parser = argparse.ArgumentParser(description="Draw random harnesses, read them back, spoil them.")
    parser.add_argument("--harnesses", type=int, default=300)
    parser.add_argument("--processes", type=int, default=multiprocessing.cpu_count())
    parser.add_argument("--into", type=Path, default=PROJECT / "out" / "long.txt")
    asked = parser.parse_args()
    of = program()
    rows = {row.seed: row for row in known(asked.into, of) if row.seed < asked.harnesses}
    asked.into.parent.mkdir(parents=True, exist_ok=True)
    with multiprocessing.Pool(asked.processes) as pool, asked.into.open("a", encoding="utf-8") as file:
        for row, words in pool.imap_unordered(row_of, [seed for seed in range(asked.harnesses) if seed not in rows]):
            rows[row.seed] = row
            print(of, *astuple(row), file=file, flush=True)
            print(*words, sep="\n", end="\n" if words else "", flush=True)
    print(" ".join(field.name for field in fields(Row)))
    for _, row in sorted(rows.items()):
        print(*astuple(row))
    print(summary(list(rows.values())))
    return int(any(row.lies or row.caught < row.tried for row in rows.values()))


if __name__ == "__main__":
    sys.exit(main())
