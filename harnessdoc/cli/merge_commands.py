"""The commands about a merge: recipe, join, match.

Exit codes: 0, or 1 where a join cannot be made, or 2 for wrong usage. Nothing is written unless ``--write`` is given; then lines are
appended to the merge file, as a person would have written them.
"""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

import click

from .common import FILE, leave, stop

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from ..findings import Finding
    from ..merge.match import Left, Matching
    from ..merge.plan import Merge, Source

WRITE = click.option("--write", is_flag=True, help="Append the lines to FILE; else they are only printed.")


@click.command()
@click.argument("words", nargs=-1, metavar="[NAME]")
def recipe(words: tuple[str, ...]) -> None:
    """Print the wiring of a recipe for an interface, terminal by terminal; without NAME the list of them. NAME needs no quotes."""
    from ..merge.recipes import RECIPES, meant, wiring_text

    name = " ".join(words)
    if not words:
        width = max(map(len, RECIPES))
        for one in RECIPES.values():
            click.echo(f"{one.name:<{width}}  {one.when}")
        return
    near = (name,) if name in RECIPES else meant(name)
    if len(near) != 1:
        stop(f"there is no recipe '{name}'", f"did you mean {' or '.join(f'`{one}`' for one in near)}?" if near else "`harnessdoc recipe` lists them")
    found = RECIPES[near[0]]
    if found.name != name:
        click.echo(f"no recipe '{name}'; the nearest is:\n", err=True)
    click.echo(wiring_text(found), nl=False)


@click.command()
@FILE
@click.argument("ends", nargs=-1, required=True, metavar="END END...")
@click.option("--through", metavar="INTERFACE", help="The interface between the ends.")
@click.option("--cut", metavar="SIDE", help="Whose wire is cut: the name of a source, both (where left out), or none.")
@click.option("--place", metavar="POINT", help="The point at which it sits.")
@click.option("--method", default="crimp splice", show_default=True, help="How it is made.")
@WRITE
def join(file: str, ends: tuple[str, ...], through: str | None, cut: str | None, place: str | None, method: str, write: bool) -> None:
    """Say what a join of the ENDs would cut, leave over and take from either vehicle; with --write, write it into FILE."""
    from ..merge.numbers import next_number
    from ..merge.preview import NoMerge, merge_of, preview

    try:
        _, merge = merge_of(file)
        number = next_number(merge.joins, "J")
        entry = {key: value for key, value in (("ends", list(ends)), ("cut", cut), ("method", method), ("place", place), ("through", through)) if value}
        shown = preview(file, {number: entry})
    except NoMerge as fault:
        stop(str(fault), fault.do)
    _refuse(shown.faults)
    click.echo(f"{number}")
    for line in shown.told.get(number, ()):
        click.echo(f"  {line}")
    line = f"{number}: {_in_one_line(entry)}"
    _write(file, {"joins": [line]}, write)


@click.command()
@FILE
@click.option("--least", type=click.FloatRange(0, 1), default=0.35, show_default=True, help="Propose from this confidence on.")
@WRITE
def match(file: str, least: float, write: bool) -> None:
    """Propose which circuits of the two vehicles belong together, why, and through what; with --write, write the joins into FILE.

    Ends that a join has already are left alone. What has no partner follows, and what no wiring can do.
    """
    import yaml

    from ..merge.interfaces import free_positions, relay_positions
    from ..merge.match import lines
    from ..merge.numbers import next_number
    from ..merge.plan import Role
    from ..merge.preview import NoMerge, merge_of, preview

    try:
        _, merge = merge_of(file)
    except NoMerge as fault:
        stop(str(fault), fault.do)
    host = next((source for source in merge.sources.values() if source.role is Role.HOST), None)
    donors = [source for source in merge.sources.values() if source.role is Role.DONOR]
    if host is None or not donors:
        stop(f"'{file}' has no host and donor that can be read", f"harnessdoc check '{file}' says why")
    for donor in donors:
        matching = _left_to_join(merge, host, donor, least)
        written = _by_section(lines(matching, int(next_number(merge.joins, "J")[1:]), int(next_number(merge.interfaces, "I")[1:]), spare=relay_positions(merge, host)))
        entries = {section: yaml.load("\n".join(found), yaml.BaseLoader) for section, found in written.items()}
        told = preview(file, entries.get("joins", {}), entries.get("interfaces")).told
        _print_matching(matching, list(entries.get("joins", {})), told, host.name, donor.name)
        if positions := free_positions(merge):
            click.echo(f"\nspare positions: {', '.join(positions)}")
        if not written:
            continue
        _write(file, written, write)


def _left_to_join(merge: Merge, host: Source, donor: Source, least: float) -> Matching:
    """What is proposed and sure enough."""
    from ..merge.proposing import propose_for

    matching = propose_for(merge, host, donor)
    return replace(matching, proposals=tuple(one for one in matching.proposals if one.confidence >= least))


def _by_section(lines: Sequence[str]) -> dict[str, list[str]]:
    """Lines below their headings, without the indentation."""
    found: dict[str, list[str]] = {}
    for line in lines:
        if line.endswith(":") and not line.startswith(" "):
            found[line[:-1]] = []
        else:
            found[next(reversed(found))].append(line.strip())
    return found


def _print_matching(matching: Matching, numbers: Sequence[str], told: Mapping[str, Sequence[str]], host: str, donor: str) -> None:
    from ..merge.interface_choice import lacking

    for number, one in zip(numbers, matching.proposals, strict=True):
        through = f", through `{one.interface}`" if one.interface else ""
        click.echo(f"{number}  {one.host_end} - {one.donor_end}: {one.function or 'function not said'}, {one.confidence:.0%} sure")
        click.echo(f"    {one.verdict or 'no verdict'}{through}: {one.reason}")
        if one.further:
            click.echo(f"    with {', '.join(f'{role}: {end}' for role, end in one.further)}")
        if one.interface and (roles := lacking(one, matching.rails)):
            click.echo(f"    to be named by you: {', '.join(roles)}")
        for line in told.get(number, ()):
            if line.startswith(("by the cut", "cut off")):
                click.echo(f"    {line}")
    for name, left in ((host, matching.host_without), (donor, matching.donor_without)):
        if left:
            click.echo(f"\n{name}, without a partner:")
            for one in left:
                click.echo(f"  {one.end}: {one.words or 'function not said'}{_kinds(one)}{_alike(one)}")
    if matching.not_by_wiring:
        click.echo("\nnot to be done by wiring:")
        for one in matching.not_by_wiring:
            click.echo(f"  {one.host_end} - {one.donor_end}: {one.function}; {one.why.rstrip('.')}; {one.converter}")


def _kinds(left: Left) -> str:
    return f" ({', '.join(left.kinds)})" if left.kinds else ""


def _alike(left: Left) -> str:
    return f"; {', '.join(left.alike)} stays too and says the same: no join ties the two" if left.alike else ""


def _refuse(faults: Sequence[Finding]) -> None:
    """Ends with 1 where what was asked for brings errors in."""
    if not faults:
        return
    for finding in faults:
        click.echo(f"{finding.code}: {finding.message}", err=True)
        for line in finding.do.splitlines():
            click.echo(f"  {line}", err=True)
    leave(1)


def _in_one_line(entry: Mapping[str, object]) -> str:
    return "{" + ", ".join(f"{key}: {'[' + ', '.join(value) + ']' if isinstance(value, list) else value}" for key, value in entry.items()) + "}"


def _write(file: str, lines: Mapping[str, Sequence[str]], write: bool) -> None:
    """Print the lines; with ``write`` put them into the file."""
    from ..description.append_lines import append_lines
    from ..description.append_log import CannotAppend

    lines = {section: entries for section, entries in lines.items() if entries}
    if not write:
        for section, entries in lines.items():
            click.echo(f"\n{section}:")
            for entry in entries:
                click.echo(f"  {entry}")
        click.echo("\nnothing is written; --write appends this to the file", err=True)
        return
    try:
        append_lines(file, lines)
    except CannotAppend as fault:
        stop(str(fault), fault.do)
    except OSError as fault:
        stop(f"{file} cannot be written: {fault.strerror or fault}", "it is as it was")
    click.echo(f"written into {file}: {', '.join(f'{len(entries)} under `{section}:`' for section, entries in lines.items())}")
