"""Bytes to elements and back: safe parsing, byte spans, labels, matrices, path data, splicing."""
