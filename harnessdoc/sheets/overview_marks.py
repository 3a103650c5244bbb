"""What differs on the overview from the version before: clouds round blocks and numbers, and beside the title block in words what it was.

Takes a Context that knows the version before, and a page as it stands; draws the marks. Both versions are compared before anything is folded to
blocks, things by the pairing: that another page has room for more in one block is no change. A block has its cloud round
the whole of it where a thing in it is new or has another name, or where other wires lie within it or go to its grounds; a link round its number.
Lengths in mm.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Collection, Iterable, Iterator, Mapping, Sequence

from ..drawing.pen import Pen
from ..drawing.record import Area
from ..drawing.revision_marks import draw_cloud
from ..model.harness import Harness
from ..overview.blocks import Block, Overview, pairs_of
from ..revision.changes import Thing
from .change_marks import AROUND
from .circuit_marks import draw_words
from .context import Context, SheetRef, Since
from .marking import is_new

Ends = frozenset[str]
"""The two things that a wire is counted between."""
GONE = "gone "
"""Before the id of what the new version does not have."""


def draw_overview_marks(pen: Pen, context: Context, ref: SheetRef, overview: Overview, boxes: Mapping[str, Area], numbers: Sequence[Area], free: Area, whole: Sequence[Overview]) -> None:
    """Marks one page; ``boxes`` of its blocks, ``numbers`` of its links; what is gone is told on the last, which alone gets the ``whole``, all pages. Nothing where no version is before."""
    since = context.since
    if since is None:
        return
    if is_new(context, ref):
        draw_words(pen, free, ["New sheet"], since.letter)
        return
    before, now = _counts_before(since), _counts(context.harness, context.harness, lambda id: id)
    words: list[str] = []
    for id, block in overview.blocks.items():
        said = [*_members(context, since, block), *_inside(block, before, now)]
        if said:
            _cloud(pen, boxes[id])
            words += said
    for link, box in zip(overview.links, numbers, strict=True):
        upper, lower = overview.blocks[link.upper], overview.blocks[link.lower]
        count = _between(before, upper.members, lower.members)
        if count != len(link.wires):
            _cloud(pen, box)
            words.append(f"{name_of(upper)} to {name_of(lower)}: {_wires(len(link.wires))}, {_were(count)}")
    if whole:
        words += _gone(before, now, whole, context.harness.grounds)
    if words:
        draw_words(pen, free, words, since.letter)


def name_of(block: Block) -> str:
    """What a block is called in words."""
    if block.system or block.kind == "halves" or len(block.members) == 1:
        return block.system or block.members[0]
    return ", ".join(block.members) if len(block.members) == 2 else f"{block.members[0]} and {len(block.members) - 1} more"


def _cloud(pen: Pen, box: Area) -> None:
    draw_cloud(pen, box.x - AROUND, box.y - AROUND, box.w + 2 * AROUND, box.h + 2 * AROUND)


def _counts_before(since: Since) -> Counter[Ends]:
    """How many wires lay between two things, which are named as they are now; what is gone keeps its name apart from all new ones."""
    pairing = since.comparison.pairing
    return _counts(since.before.harness, since.comparison.new.harness, lambda id: pairing.owner_now.get(id) or pairing.now(Thing.BOX, id) or GONE + id)


def _counts(harness: Harness, names: Harness, as_now: Callable[[str], str]) -> Counter[Ends]:
    """How many wires of a harness lie between two things; of mated halves in ``names`` either may be named first in a version."""
    first = {half: min(half, other) for half, other in _halves(names)}
    return Counter(frozenset(first.get(end, end) for end in map(as_now, pair)) for pair in pairs_of(harness).values())


def _halves(harness: Harness) -> Iterator[tuple[str, str]]:
    for connector in harness.connectors.values():
        if connector.mates:
            yield connector.id, connector.mates


def _between(counts: Counter[Ends], one: Iterable[str], other: Iterable[str]) -> int:
    others = tuple(other)
    return sum(counts[frozenset((a, b))] for a in one for b in others)


def _within(counts: Counter[Ends], members: Sequence[str]) -> int:
    return sum(counts[frozenset((a, b))] for number, a in enumerate(members) for b in members[:number])


def _members(context: Context, since: Since, block: Block) -> Iterator[str]:
    """Things of a block that are new, or are printed otherwise."""
    pairing, before = since.comparison.pairing, since.before.harness
    for id in block.members:
        old_id = pairing.owner_before.get(id) or pairing.before(Thing.BOX, id)
        old, new = _thing(before, old_id) if old_id else None, _thing(context.harness, id)
        if old is None or old_id is None:
            yield f"{id} new"
        elif old_id != id:
            yield f"{id} was {old_id}"
        elif new is not None and new.title != old.title:
            yield f"{id} was {old.title or 'without a name'}"


def _thing(harness: Harness, id: str):
    return next((things[id] for things in (harness.devices, harness.boxes, harness.connectors, harness.parts, harness.grounds) if id in things), None)


def _inside(block: Block, before: Counter[Ends], now: Counter[Ends]) -> Iterator[str]:
    """Wires within a block and to the grounds it tells, where they are others."""
    was = _within(before, block.members) if block.kind != "halves" else 0
    # where none is left, each pair is told as gone
    if block.within and was != len(block.within):
        yield f"{name_of(block)}: {_wires(len(block.within))} within, {_were(was)}"
    if block.kind == "ground":
        return
    grounds = block.grounds
    olds = [_between(before, block.members, (ground,)) for ground in grounds]
    news = [_between(now, block.members, (ground,)) for ground in grounds]
    if olds != news:
        yield from (f"{name_of(block)} to {ground}: {_wires(new)}, {_were(old)}" for ground, old, new in zip(grounds, olds, news, strict=True) if old != new)


def _wires(count: int) -> str:
    return f"{count} {'wire' if count == 1 else 'wires'}"


def _were(count: int) -> str:
    return f"{'was' if count == 1 else 'were'} {count}" if count else "new"


def _gone(before: Counter[Ends], now: Counter[Ends], whole: Sequence[Overview], grounds: Collection[str]) -> Iterator[str]:
    """Things that are gone, and pairs that no wire ties any more; not those between blocks that a link ties, as its number tells them. A ground is named last."""
    told = {frozenset((a, b)) for one in whole for link in one.links for a in one.blocks[link.upper].members for b in one.blocks[link.lower].members}
    for end in dict.fromkeys(end for ends in before for end in sorted(ends) if end.startswith(GONE)):
        yield f"{end.removeprefix(GONE)} gone"
    for ends, count in before.items():
        if ends not in now and ends not in told and not any(end.startswith(GONE) for end in ends):
            yield f"{' to '.join(sorted(ends, key=lambda end: (end in grounds, end)))}: no wire, {_were(count)}"
