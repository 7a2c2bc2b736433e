"""Drafts all designs and writes their files."""

from pathlib import Path

from .range import files

if __name__ == "__main__":
    samples = Path(__file__).parent.parent
    for name, text in files().items():
        path = samples / name
        path.parent.mkdir(exist_ok=True)
        path.write_text(text, encoding="utf-8", newline="\n")
