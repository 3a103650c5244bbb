"""The commands about two versions: diff, log.

Exit codes of ``diff``: 0 the same, 1 different, 2 wrong usage or a version that cannot be
read; of ``log``: 0, or 2 where nothing could be written that should have been. What looks
like a mistake but may be meant is said on the error stream, and the work goes on. The clock
is read here and nowhere else: an entry of the log is of today unless told otherwise.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from datetime import date as Date
from typing import TYPE_CHECKING

import click

from .common import COLOURS, FILE, NO_CACHE, NO_SOLVE, PAPER, QUIET, UNITS, Bar, cache_folder, errors_of, leave, print_findings, stop

if TYPE_CHECKING:
    from ..revision.compare import Comparison
    from ..sheets.context import Options
    from ..steps import Loaded

SINCE = click.option("--since", metavar="REV", help="A revision of git: the old version is FILE as it was then, with all it names.")
FORM = click.option("--format", "form", type=click.Choice(["text", "json"]), default="text", show_default=True, help="How the changes are printed.")


@dataclass(frozen=True, slots=True)
class Side:
    """One of the two versions. words: "old" or "new"; shown: what the user named, and as it was when."""

    words: str
    shown: str
    loaded: Loaded


@click.command()
@click.argument("old", metavar="OLD", type=click.Path())
@click.argument("new", metavar="[NEW]", type=click.Path(), required=False)
@SINCE
@FORM
@click.option("--out", type=click.Path(file_okay=False), help="Folder for the sheets to exchange: changes, rework, and every sheet that is another, marked.")
@PAPER
@UNITS
@COLOURS
@QUIET
@NO_SOLVE
@NO_CACHE
def diff(old: str, new: str | None, since: str | None, form: str, out: str | None, paper: str, units: str, colours: str | None, quiet: bool, no_solve: bool, no_cache: bool) -> None:
    """Print what changed from OLD to NEW, files or folders; or of one FILE since a revision of git.

    Meaning is compared, not text. Exits with 0 where the two are the same, 1 where they
    differ, 2 where one cannot be read.
    """
    if (new is None) == (since is None):
        raise click.UsageError("name two versions, OLD and NEW, or one file and --since REV")
    if since is not None and not quiet:
        _tell_of_whole("diff", old, since)
    solve = not no_solve
    sides = (_as_on_disk("old", old, solve), _as_on_disk("new", new, solve)) if new is not None else (_as_it_was(old, str(since), solve), _as_on_disk("new", old, solve))
    comparison = _compared(sides, form, quiet)
    if not quiet:
        _ask_whether_exchanged(comparison)
    if form == "json":
        from .diff_json import as_json

        click.echo(as_json(comparison, sides[0].shown, sides[1].shown))
    else:
        from .diff_text import as_lines, as_text

        for line in as_lines(comparison) if quiet else as_text(comparison, sides[0].shown, sides[1].shown, units):
            click.echo(line)
    if out is not None:
        if comparison.changes:
            from ..sheets.context import Options

            _bind_exchange(sides, out, Options(paper, units, colours, cache_folder(no_cache)), quiet or form == "json")
        elif not quiet:
            click.echo("nothing changed, and no sheet was written", err=True)
    leave(1 if comparison.changes else 0)


def _bind_exchange(sides: tuple[Side, Side], out: str, options: Options, quiet: bool) -> None:
    """Write the sheets to exchange; where the new version has errors there is no book of it."""
    from ..steps import bind_exchange, draw_exchange
    from .log_order import gained

    old, new = (side.loaded for side in sides)
    if new.has_errors:
        print_findings(new, errors_of(new), "text", quiet, err=True)
        stop("the new version has errors, and no sheet was written", "mend the errors above first")
    try:
        with Bar(quiet) as progress:
            bound = bind_exchange(draw_exchange(old, new, options, progress), out, progress)
    except OSError as fault:
        stop(f"{fault.filename or out} cannot be written: {fault.strerror or fault}", "what stood there is whole; name another folder")
    if not quiet:
        click.echo(f"{bound.pdf}: {bound.pages} pages to print; its first sheets say what to do and what to throw away", err=True)
        if new.harness is not None and old.harness is not None and not gained(old.harness.log, new.harness.log):
            click.echo("no entry of the log tells of these changes: the triangles are empty and the revision reads 'changed'; run harnessdoc log, then this again", err=True)


def _tell_of_whole(command: str, path: str, since: str) -> None:
    """A file that another one includes is compared as it stands, which is seldom what was meant."""
    from ..description.main_file import whole_of

    if whole := whole_of(path):
        click.echo(f"harnessdoc: {path} is only a part, {whole} includes it; of the whole: harnessdoc {command} {whole} --since {since}", err=True)


def _ask_whether_exchanged(comparison: Comparison) -> None:
    from .log_order import exchanged

    if words := exchanged(comparison.old.harness.log, comparison.new.harness.log):
        click.echo(f"harnessdoc: the new version is older by its log: {words}; are the two exchanged?", err=True)


@click.command()
@FILE
@click.option("--old", type=click.Path(), help="The old version, a file or a folder.")
@SINCE
@click.option("--by", default="", metavar="NAME", help="Who made the changes.")
@click.option("--reading", default="", metavar="TEXT", help="Odometer or hours, such as '148300 km'.")
@click.option("--why", default="", metavar="TEXT", help="What was changed and why; drafted from the changes where left out.")
@click.option("--date", default="", metavar="YEAR-MONTH-DAY", help="Day of the change; today where left out.")
@click.option("--revision", default="", metavar="LETTER", help="Letter or number; the next one where left out.")
@click.option("--print", "only_print", is_flag=True, help="Print the entry and write nothing.")
def log(file: str, old: str | None, since: str | None, by: str, reading: str, why: str, date: str, revision: str, only_print: bool) -> None:
    """Append an entry to the change log of FILE, drafted from what changed since the old version."""
    if (old is None) == (since is None):
        raise click.UsageError("say what FILE is compared with: --old OLD or --since REV")
    from ..description.append_log import CannotAppend, append_entry, entry_as_written
    from .draft import draft_why
    from .log_order import gained

    if since is not None:
        _tell_of_whole("log", file, since)
    before = _as_on_disk("old", old) if old is not None else _as_it_was(file, str(since))
    now = _as_on_disk("new", file)
    comparison = _compared((before, now), "text", False)
    _ask_whether_exchanged(comparison)
    told = why.strip()
    why = told or draft_why(comparison)
    if not why:
        click.echo(f"nothing changed in {file} since {before.shown}, and nothing was written; --why TEXT writes an entry all the same")
        leave(0)
    if not told and (entry_words := gained(comparison.old.harness.log, comparison.new.harness.log)):
        stop(f"{entry_words} stands in the log of {file} already, and not in {before.shown}: its changes would be told twice",
             "compare with the version of that entry, or say what came after it: --why TEXT")
    entry = {"revision": _revision(comparison, file, revision.strip()), "date": _day(comparison, file, date), "by": by, "reading": reading, "why": why}
    if only_print:
        click.echo(f"- {entry_as_written(entry)}")
        leave(0)
    path = next(iter(now.loaded.texts))
    try:
        append_entry(path, entry)
    except CannotAppend as fault:
        stop(str(fault), fault.do)
    except OSError as fault:
        stop(f"{path} cannot be written: {fault.strerror or fault}", "it is as it was; see to its permissions, or add by hand what --print prints")
    click.echo(f"{path}: logged as revision {entry['revision']}:\n- {entry_as_written(entry)}")


def _as_on_disk(words: str, path: str, solve: bool = True) -> Side:
    from ..steps import load

    return Side(words, path, load(_main_file(path), solve=solve))


def _as_it_was(path: str, since: str, solve: bool = True) -> Side:
    from ..description.git_files import NotInGit, files_at
    from ..steps import load

    try:
        then = files_at(_main_file(path), since)
    except NotInGit as fault:
        stop(str(fault), fault.do)
    return Side("old", f"{path} at {since}", load(then.path, then.texts, solve))


def _main_file(path: str) -> str:
    from ..description.main_file import NoMainFile, main_file

    try:
        return main_file(path)
    except NoMainFile as fault:
        stop(str(fault), fault.do)


def _compared(sides: tuple[Side, Side], form: str, quiet: bool) -> Comparison:
    """The comparison; where a version has errors, they are printed with the side they are on and the program ends with 2."""
    from ..steps import compare

    broken = [side for side in sides if not side.loaded.is_understood]
    if not broken:
        return compare(sides[0].loaded, sides[1].loaded)
    if form == "json":
        from .diff_json import errors_as_json

        click.echo(errors_as_json({side.words: (side.shown, errors_of(side.loaded)) for side in sides}))
        leave(2)
    for side in broken:
        if not quiet:
            click.echo(f"{side.words}: {side.shown}", err=True)
        print_findings(side.loaded, errors_of(side.loaded), "text", quiet, err=True)
    if not quiet:
        which = " and ".join(f"the {side.words} version" for side in broken)
        stop(f"{which} cannot be compared", "mend the errors above first")
    leave(2)


def _revision(comparison: Comparison, file: str, wanted: str) -> str:
    """The letter of the entry: the one wanted, or the next; refused where the log has it already."""
    from ..description.append_log import next_revision

    log = comparison.new.harness.log
    letter = wanted or next_revision(log[-1].revision if log else "")
    if letter is None:
        stop(f"what follows revision '{log[-1].revision}' is not known", "name it: --revision LETTER")
    if letter in {entry.revision for entry in log}:
        stop(f"the log of {file} has a revision {letter} already", "name another: --revision LETTER" if wanted else "its entries are not in order; name the next: --revision LETTER")
    return letter


def _day(comparison: Comparison, file: str, wanted: str) -> str:
    """The day of the entry: the one wanted, or today; refused where the log is past it already."""
    from .log_order import entry_words

    day, log = _as_day(wanted) if wanted else _today().isoformat(), comparison.new.harness.log
    if log and day < log[-1].date:
        shown = day if wanted else f"today, {day},"
        stop(f"{shown} is before {entry_words(log[-1])}, the last in the log of {file}", "name the day of the change: --date YEAR-MONTH-DAY; where the log is wrong, mend its date first")
    return day


def _as_day(date: str) -> str:
    try:
        if not re.fullmatch(r"[0-9]{4}-[0-9]{2}-[0-9]{2}", date):
            raise ValueError
        return Date.fromisoformat(date).isoformat()
    except ValueError:
        stop(f"'{date}' is no day", "write it as year-month-day: 2026-01-31")


def _today() -> Date:
    return Date.today()
