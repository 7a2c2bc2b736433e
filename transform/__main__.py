"""``python -m transform``: the same as the command."""

from transform.cli import main

main()
