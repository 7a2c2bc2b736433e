"""Plain numbers read from many places of a file at once; what is less plain is left to be read by itself."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from transform.svg.tag_places import BLANK, Flags, Places

Bytes = NDArray[np.uint8]

_MOST_DIGITS = 15
"""A number of no more digits than these is a whole number divided by a power of ten, both exact."""
_MOST_BLANKS = 4
_POWERS = 10.0 ** np.arange(_MOST_DIGITS + 1)


def read_numbers(every: Bytes, places: Places) -> tuple[NDArray[np.float64], Places]:
    """The number that begins at each place, and the byte behind it; NaN where none does, or one too long.

    A number has a sign or none, digits, and a point or none; a power of ten behind it is not read.
    """
    at = places.copy()
    sign = every.take(at, mode="clip")
    at += (sign == ord("-")) | (sign == ord("+"))
    values = np.zeros(len(places))
    digits, decimals = np.zeros(len(places), dtype=np.int64), np.zeros(len(places), dtype=np.int64)
    pointed = np.zeros(len(places), dtype=np.bool_)
    left = np.arange(len(places))
    for _ in range(_MOST_DIGITS + 2):
        # What is no digit turns over and is large.
        digit = every.take(at[left], mode="clip") - np.uint8(ord("0"))
        is_digit = digit < 10
        goes_on = is_digit | ((digit == np.uint8(ord(".") - ord("0") + 256)) & ~pointed[left])
        left, digit, is_digit = left[goes_on], digit[goes_on], is_digit[goes_on]
        if not len(left):
            break
        more = left[is_digit]
        values[more] = values[more] * 10 + digit[is_digit]
        digits[more] += 1
        decimals[more] += pointed[more]
        pointed[left[~is_digit]] = True
        at[left] += 1
    digits[left] = 0
    values /= _POWERS[np.minimum(decimals, _MOST_DIGITS)]
    values[sign == ord("-")] *= -1
    values[(digits == 0) | (digits > _MOST_DIGITS)] = np.nan
    return values, at


def behind_blanks(every: Bytes, places: Places) -> Places:
    """The first bytes from these on that are no white space, as far as it is short."""
    at = places.copy()
    for _ in range(_MOST_BLANKS):
        blank = BLANK[every.take(at, mode="clip")]
        if not blank.any():
            break
        at += blank
    return at


def read_pairs(every: Bytes, places: Places) -> tuple[NDArray[np.float64], Places]:
    """The two numbers that begin at each place, in a row, and the byte behind them; NaN where none do."""
    x, end = read_numbers(every, places)
    at = behind_blanks(every, end)
    comma = every.take(at, mode="clip") == ord(",")
    parted = comma | (at > end) | (every.take(at, mode="clip") == ord("-"))
    y, end = read_numbers(every, behind_blanks(every, at + comma))
    pairs = np.stack((x, y), axis=1)
    pairs[~parted] = np.nan
    return pairs, end


def stands(every: Bytes, places: Places, signs: bytes) -> Flags:
    """By place whether one of the signs stands there."""
    table = np.zeros(256, dtype=np.bool_)
    table[list(signs)] = True
    return table[every.take(places, mode="clip")]
