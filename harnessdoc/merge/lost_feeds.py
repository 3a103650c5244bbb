"""Feeds that a merge has cut off: what a battery fed as found, and no battery feeds any more.

Takes: a Merge and the merged harness. Gives: LostFeeds, and findings of those of which nobody says why, at the lines that took them. When a battery leaves,
its wires leave too: the fuses, boxes and alternators that hung on it stay, and hang loose. A feed is what wires and fuses bring from a battery, whatever the
key does; after the merge any way counts that switches, relays and diodes may close as well. Nothing is solved.
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterator, Mapping
from dataclasses import dataclass

from ..findings import Finding, Place, Severity
from ..model.electric import Alternator
from ..model.harness import UNKNOWN, Harness, Kind
from ..network.islands import connect
from ..network.ways import PROTECTS, Between, Reached, Way, Ways, find_ways
from .numbers import next_number
from .plan import Merge, Role, Source

_FOUND: tuple[Between, ...] = ("wire", "fuse", "fusible link")
_LEFT: tuple[Between, ...] = (*_FOUND, "switch", "relay", "diode")
_TAKES: tuple[Between, ...] = ("load", "coil", "supply")


@dataclass(frozen=True, slots=True)
class LostFeed:
    """Copper that a battery fed as found, and that none feeds now.

    head:       the contact at which it hangs loose, nearest to where the battery was, as its harness has it
    thing, kind: what brought the feed there and does not any more: a wire, fuse or link of the source, by its own id, and what it is
    from_:      the contact at the other end of that, by its own address
    feeds:      what is fed from there, or charges over it, in words: ``fuse box donor/B1``
    alternator: the alternator that charges over it, "" where none does
    backward:   the fuse or link by which current gets there all the same, from its load side: a branch feeds its own bar; "" where none does
    """

    head: str
    thing: str
    kind: str
    from_: str
    feeds: str
    alternator: str
    backward: str


def lost_feeds(merge: Merge, harness: Harness) -> tuple[LostFeed, ...]:
    """Of every source, in the order of its description; what a join leads to an end not found yet is not told."""
    ways = find_ways(harness, connect(harness))
    not_found = {end.lands for join in merge.joins.values() if join.has_unknown_end for end in join.ends if end.lands in harness.contacts}
    return tuple(feed for source in merge.sources.values() for feed in lost_of(source, ways, source.name, not_found))


def lost_of(source: Source, now: Ways, name: str = "", not_found: Collection[str] = ()) -> Iterator[LostFeed]:
    """What has lost its feed of a source. now: the ways as they are now; name: under which these have the source's things, "" where by their own ids; not_found: contacts from which it leads on, not known where."""
    before = find_ways(source.harness, connect(source.harness))
    was = before.reach_over(batteries_of(source.harness), _FOUND)
    prefix = f"{name}/" if name else ""
    entered = {prefix + way.thing: before.point(way.a) == point for way, point in filter(None, was.before.values()) if way.kind in PROTECTS}

    def is_against(way: Way, point: str) -> bool:
        return way.kind in PROTECTS and (now.point(way.a) == point) is not entered.get(way.thing, now.point(way.a) == point)

    fed = now.reach(batteries_of(now.harness), lambda way, point: way.kind in _LEFT and (way.kind != "diode" or now.point(way.a) == point) and not is_against(way, point))
    backward = now.reach_over(batteries_of(now.harness), _LEFT)
    groups: dict[str, tuple[Way, str, list[str]]] = {}
    intact: dict[Way, bool] = {}
    for own in source.harness.contacts:
        id = prefix + own
        if before.point(own) not in was or id not in now.harness.contacts or now.point(id) in fed:
            continue
        for way, near, far in _back(before, was.before, before.point(own)):
            if way not in intact:
                intact[way] = _is_intact(now, prefix + near, prefix + far)
            if not intact[way]:
                head = prefix + far
                groups.setdefault(head if head in now.harness.contacts else id, (way, near, []))[2].append(id)
                break
    for head, (way, near, members) in groups.items():
        reached = now.reach_over([head], (*_LEFT, "resistor"))
        if _takes_current(now, reached.before, head) and not any(now.point(address) in reached for address in not_found):
            alternator = next((id for id in now.harness.supplies if isinstance((device := now.harness.devices[id]).supply, Alternator) and device.between and device.between[0] in members), "")
            yield LostFeed(head, way.thing, way.kind, near, _named(now.harness, alternator or _fed_from(now.harness, head, members)), alternator, _against(now, backward, head, is_against))


def batteries_of(harness: Harness) -> list[str]:
    """Plus of every battery and test supply; an alternator gives nothing until it turns."""
    stated = [device.between[0] for id in harness.supplies if (device := harness.devices[id]).between and not isinstance(device.supply, Alternator)]
    return list(dict.fromkeys((*stated, *(address for address, contact in harness.contacts.items() if contact.signal == "source-battery"))))


def _back(ways: Ways, before: Mapping[str, tuple[Way, str] | None], point: str) -> Iterator[tuple[Way, str, str]]:
    """(way, the address at which it is entered, that at which it is left), from a point back to the battery."""
    while (step := before[point]) is not None:
        way, point = step
        yield (way, way.a, way.b) if ways.point(way.a) == point else (way, way.b, way.a)


def _against(now: Ways, reached: Reached, head: str, is_against: Callable[[Way, str], bool]) -> str:
    """The first fuse that current goes through the wrong way on its way to ``head``."""
    back = _back(now, reached.before, now.point(head)) if now.point(head) in reached else ()
    return next((way.thing for way, near, _ in reversed(list(back)) if is_against(way, now.point(near))), "")


def _is_intact(now: Ways, near: str, far: str) -> bool:
    return near in now.harness.contacts and far in now.harness.contacts and now.point(far) in now.reach_over([near], _FOUND)


def _takes_current(now: Ways, points: Collection[str], head: str) -> bool:
    """Whether a load, a coil, an alternator or a pin of a device hangs on it. Of a terminal of a load itself the rules for loads and supply pins tell."""
    harness = now.harness
    kinds = [way.kind for point in points for way in now.at.get(point, ())]
    if _device_of(harness, harness.contacts[head].owner):
        return "supply" in kinds
    pins = {now.point(address) for address, contact in harness.contacts.items() if _device_of(harness, contact.owner) and contact.signal != "spare"}
    return any(kind in _TAKES for kind in kinds) or any(point in pins for point in points)


def _device_of(harness: Harness, owner: str) -> str:
    connector = harness.connectors.get(owner)
    return owner if owner in harness.devices else (connector.device or "") if connector is not None else ""


def _fed_from(harness: Harness, head: str, members: Collection[str]) -> str:
    """What is fed: the box whose bar it is, else the device, else what the head belongs to."""
    owners = [harness.contacts[address].owner for address in (*members, head)]
    boxes = [owner for owner in owners if owner in harness.boxes]
    devices = [device for owner in owners if (device := _device_of(harness, owner))]
    return next(iter((*boxes, *devices, owners[-1])))


def _named(harness: Harness, id: str) -> str:
    thing = harness.boxes.get(id) or harness.devices.get(id) or harness.parts.get(id)
    return f"{thing.title if thing is not None else ''} {id}".strip()


# ---------------------------------------------------------------------------- what is told

def feeds_cut_off(merge: Merge, harness: Harness) -> Iterator[Finding]:
    """A finding for each that no line of ``open:`` gives a reason for."""
    told = [feed for feed in lost_feeds(merge, harness) if feed.head not in merge.open]
    for number, feed in enumerate(told):
        source = merge.sources[feed.head.partition("/")[0]]
        what = f"the output of {feed.feeds} leads to no battery" if feed.alternator else f"the feed of {feed.feeds} leads to no source"
        if feed.backward:
            over = "at its load side" if feed.backward == harness.contacts[feed.head].owner else f"through {feed.backward}, which it fed"
            what = f"{feed.feeds} is fed backward alone, {over}"
        yield Finding("feed-cut-off", Severity.MALFUNCTION, f"{what}: {_why(merge, harness, source, feed)}", _place(merge, source, feed),
                      f"{_do(merge, harness, source, feed, number)};\nor say why it is left without: `open: {{{feed.head}: ...}}`", at=tuple(filter(None, (feed.head, feed.alternator))))


def _why(merge: Merge, harness: Harness, source: Source, feed: LostFeed) -> str:
    thing = source.id(feed.thing)
    if feed.kind != "wire":
        return f"{feed.head} hung on {feed.kind} {thing}, which left" + (f" ({why})" if (why := merge.gone.get(thing)) else "")
    lost = f"has lost wire {thing}, which" if harness.wires_at.get(feed.head) else f"has no wire since {thing}"
    if (left := _left_with(merge, source, feed)):
        return f"{feed.head} {lost} left with {left}"
    decision = merge.decisions[thing]
    if decision.fate.leaves:
        return f"{feed.head} {lost} left{f' ({decision.by})' if decision.by else ''}"
    return f"{feed.head} was fed by wire {thing}, which {f'join {decision.joins[0]} leads elsewhere' if decision.joins else 'leads to what is gone'}"


def _left_with(merge: Merge, source: Source, feed: LostFeed) -> str:
    """The thing at the other end of the wire, where it has left; "" where it stays."""
    owner = source.harness.contacts[feed.from_].owner
    device = _device_of(source.harness, owner)
    return next((id for own in (device, owner) if own and (id := source.id(own)) in merge.gone), "")


def _place(merge: Merge, source: Source, feed: LostFeed) -> Place:
    decision = merge.decisions.get(source.id(feed.thing))
    if decision is not None and decision.joins:
        return merge.joins[decision.joins[0]].source.place_of("ends")
    if decision is not None and decision.line is not None:
        return decision.line.place()
    return merge.record.place_of_key("fates" if "fates" in merge.record else "sources")


def battery_for(merge: Merge, harness: Harness, source: Source) -> str:
    """Plus of the battery that may feed what stays of a source: its own, else that of the host, else any; "" where none is left."""
    order = (source.name, *(name for name, one in merge.sources.items() if one.role is Role.HOST))
    ranks = {name: rank for rank, name in reversed(list(enumerate(order)))}
    return min(batteries_of(harness), key=lambda address: ranks.get(address.partition("/")[0], len(order)), default="")


def _do(merge: Merge, harness: Harness, source: Source, feed: LostFeed, number: int) -> str:
    battery = battery_for(merge, harness, source)
    if not battery:
        return f"let a battery stay, and join {feed.head} to its plus"
    decision = merge.decisions.get(source.id(feed.thing))
    if decision is not None and decision.joins:
        return f"name {battery} among the ends of join {decision.joins[0]}"
    own = feed.head.partition("/")[2]
    found = source.harness.wires_at.get(own, ())
    wire = source.harness.wires[feed.thing] if feed.kind == "wire" else None
    size = f"size: {wire.size.stated if wire is not None and wire.size else UNKNOWN}, colour: {UNKNOWN}"
    if battery.startswith(f"{source.name}/"):
        return f"write `wires: {{{_after(next_number(harness.wires, 'W'), number)}: {{from: {battery}, to: {feed.head}, {size}}}}}`"
    at_battery = merge.sources[battery.partition("/")[0]].harness.wires_at.get(battery.partition("/")[2], ()) if "/" in battery else ()
    itself = f", wires: {{{battery}: none}}" if len(at_battery) == 1 else ""
    kind = harness.contacts[feed.head].kind
    is_bare = kind in (Kind.BAR, Kind.SPLICE) or len(found) != 1
    return f"join it: `{_after(next_number(merge.joins, 'J'), number)}: {{ends: [{battery}, {feed.head}]{itself}{f', piece: {{{size}}}' if is_bare else ''}}}`"


def _after(number: str, count: int) -> str:
    """The number ``count`` behind: of what is told together each has its own."""
    return f"{number[0]}{int(number[1:]) + count}"
