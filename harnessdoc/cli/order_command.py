"""The command that writes the order file: in which order things stand on the circuit diagrams.

Exit codes: 0; 1 where the files have errors; 2 wrong usage, or something else stands where the file is to be.
"""

from __future__ import annotations

import click

from .common import FILE, NO_CACHE, QUIET, cache_folder, loaded_without_errors, stop


@click.command("keep-order")
@FILE
@click.option("--paper", type=click.Choice(["a4", "letter"], case_sensitive=False), default="a4", show_default=True, help="Paper of the sheets it is to hold for.")
@QUIET
@NO_CACHE
def keep_order(file: str, paper: str, quiet: bool, no_cache: bool) -> None:
    """Write down beside FILE in which order things stand on its circuit diagrams: FILE.yaml has FILE.order.yaml.

    From then on a small change of FILE moves little on the diagrams. What the file already says is kept; to begin anew delete it.
    """
    from ..book.order import order_of
    from ..description.order_file import is_order_file, order_path, order_text, write_order
    from ..sheets.context import Options

    path = order_path(file)
    if not is_order_file(path):
        stop(f"{path} is no order file, and is not written over", "give it another name, or delete it")
    loaded = loaded_without_errors(file, "text", quiet)
    if path in loaded.texts and loaded.order is None:
        stop(f"{path} is part of the description, and is not written over", "give it another name, and change its `include:`")
    order = order_of(loaded.version, Options(paper.lower(), cache=cache_folder(no_cache)), path)
    try:
        write_order(path, order_text(order, loaded.version.harness.file))
    except OSError as fault:
        stop(f"{path} cannot be written: {fault.strerror or fault}", "what stood there is whole; see who may write to the folder")
    if not quiet:
        click.echo(f"{path}: {len(order.pages)} page{'' if len(order.pages) == 1 else 's'}")
