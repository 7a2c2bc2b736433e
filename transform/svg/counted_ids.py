"""Which ids of a plain file a program counted up by itself, told of all at once: ``path1234``, ``g8-3``.

In a large drawing nearly all are such, and say nothing. What is not of so plain a form is left to
`labels.is_automatic`.
"""

from __future__ import annotations

import numpy as np

from transform.svg.attribute_places import AttributePlaces
from transform.svg.labels import is_automatic
from transform.svg.tag_places import Flags

_LETTERS = np.zeros(256, dtype=np.bool_)
_LETTERS[list(b"abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ")] = True
_LONGEST_WORD = 8
_FRONT = np.array([(1 << (8 * count)) - 1 for count in range(_LONGEST_WORD + 1)], dtype="<u8")
_MOST_WORDS = 100
_LONGEST_COUNT = 24


def counted_ids(places: AttributePlaces, those: Flags) -> Flags:
    """By element whether its id is a word and a count that say nothing; ``those`` are not odd."""
    counted = np.zeros(len(places.starts), dtype=np.bool_)
    elements, begins = places.values(b"id", those)
    every = places.every
    near = every.take(begins[:, None] + np.arange(_LONGEST_WORD + 1), mode="clip")
    lengths = np.argmin(_LETTERS[near], axis=1)
    words = np.ascontiguousarray(near[:, :_LONGEST_WORD]).view("<u8")[:, 0] & _FRONT[lengths]
    left = np.flatnonzero(lengths > 0)
    at = begins + lengths
    numbered = np.zeros(len(elements), dtype=np.bool_)
    ended = np.zeros(len(elements), dtype=np.bool_)
    for _ in range(_LONGEST_COUNT):
        byte = every.take(at[left], mode="clip")
        digit = byte - np.uint8(ord("0")) < 10
        ended[left] = numbered[left] & (byte == ord('"'))
        goes_on = digit | (numbered[left] & (byte == ord("-")))
        left, digit = left[goes_on], digit[goes_on]
        if not len(left):
            break
        numbered[left] = digit
        at[left] += 1
    different, of = np.unique(words[ended], return_inverse=True)
    if len(different) <= _MOST_WORDS:
        texts = (word.tobytes().rstrip(b"\0").decode("ascii") for word in different)
        silent = np.array([is_automatic(f"{text}1") for text in texts], dtype=np.bool_)
        counted[elements[ended][silent[of]]] = True
    return counted
