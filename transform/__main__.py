"""``python -m transform``: the same as the command."""

from transform.command.program import main

main()
