"""One check a module; each yields findings: the laws, seams, advice, stale files."""
