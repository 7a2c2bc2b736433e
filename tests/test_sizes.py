"""Sizes in the order in which a person lays them out."""

from __future__ import annotations

import random

import pytest
from hypothesis import given
from hypothesis import strategies as st

from transform.sizes import natural_order

# The sizes of ASTM D5585-11e1, and what is usual elsewhere.
ORDERS = (
    "00 0 2 4 6 8 10 12 14 16 18 20",
    "8 10 12",
    "34 36 38",
    "XXS XS S M L XL XXL",
    "3XS 2XS XS S M L XL 2XL 3XL 10XL",
    "xs s m l xl",
    "1X 2X 3X",
    "30 32B 32C 34B",
    "9 10 10,5 11",
    "9 10 10.5 11",
    "8 10 M",
    "XS-S S-M M-L L",
    "large small",
    "EU34 EU36",
)


@pytest.mark.parametrize("order", ORDERS)
def test_they_are_put_in_order(order: str) -> None:
    sizes = order.split()
    for seed in range(5):
        mixed = random.Random(seed).sample(sizes, len(sizes))
        assert natural_order([*mixed, *mixed]) == sizes


@given(st.lists(st.text(max_size=6)))
def test_any_text_has_a_place(sizes: list[str]) -> None:
    found = natural_order(sizes)
    assert set(found) == set(sizes)
    assert len(found) == len(set(found))
    assert natural_order(reversed(found)) == found
