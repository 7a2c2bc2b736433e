"""Bytes to elements and back."""
