"""``python -m transform``: the same as the command."""

from transform.program import main

main()
