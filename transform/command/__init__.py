"""The command: what is asked for, what is told, and the exit code. Nothing is worked out here."""
