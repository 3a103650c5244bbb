"""``python -m harnessdoc``: the command line."""

from harnessdoc.cli.main import main

main()
