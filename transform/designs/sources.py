"""A design's pattern files: their bytes, each read once, and what they hold."""

from __future__ import annotations

import hashlib
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from rules.model import Rules
from rules.plain_files import read_plain
from rules.problems import Problem, UngapeError
from transform.files.patterns import PatternFile
from transform.pattern.reading import Reading, read_pieces
from transform.svg.document import Document, read_document
from transform.svg.parsing import LARGEST
from transform.svg.problems import PatternError


@dataclass(frozen=True, slots=True)
class SourceFile:
    """A pattern file and its bytes."""

    file: PatternFile
    data: bytes

    @property
    def sha256(self) -> str:
        """Digest of the bytes, in hex."""
        return hashlib.sha256(self.data).hexdigest()


@dataclass(frozen=True)
class Source:
    """A pattern file as it was understood."""

    raw: SourceFile
    document: Document
    reading: Reading

    @property
    def file(self) -> PatternFile:
        """Where it is, and what its name says."""
        return self.raw.file


def load(files: Iterable[PatternFile]) -> list[SourceFile]:
    """The bytes of the files.

    Raises:
        PatternError: with every file that cannot be read.
    """
    found: list[SourceFile] = []
    problems: list[Problem] = []
    for file in files:
        try:
            found.append(SourceFile(file, read_plain(file.path, LARGEST)))
        except OSError as error:
            text = f"the file cannot be read: {error.strerror or error}"
            problems.append(Problem("unreadable file", text, file.name, exit=3))
    if problems:
        raise PatternError(problems)
    return found


def understand(rules: Rules, raws: Iterable[SourceFile], sizes: Sequence[str]) -> list[Source]:
    """What the files hold; ``sizes`` is the order of the design's sizes, as far as it is known.

    Raises:
        PatternError: with every problem of every file.
    """
    found: list[Source] = []
    problems: list[Problem] = []
    for raw in raws:
        try:
            document = read_document(raw.data, raw.file.name)
            found.append(Source(raw, document, read(rules, raw.file, document, sizes)))
        except UngapeError as error:
            problems.extend(error.problems)
    if problems:
        raise PatternError(problems)
    return found


def read(rules: Rules, file: PatternFile, document: Document, sizes: Sequence[str]) -> Reading:
    """The pieces of one document, as the file's name and the rules say.

    Raises:
        UngapeError: with every problem of the file.
    """
    return read_pieces(document, rules, size=file.size, piece=file.piece, sizes=sizes)
