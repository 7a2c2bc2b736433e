"""CSS selectors against small documents."""

from __future__ import annotations

import time

import pytest

from tests.svg.making import document
from transform.svg.document import read_document
from transform.svg.select import SelectorError, select

BODY = (
    '<g id="a" class="size ten" inkscape:label="front">'  # 1
    '<path id="p" stroke-dasharray="4 2"/>'  # 2
    '<rect id="r"/>'  # 3
    '<path id="q" class="ten" xml:lang="en-GB"/>'  # 4
    "</g>"
    '<g id="b"><g><path id="s"/></g><title>t</title></g>'  # 5 6 7 8
    '<x:y xmlns:x="urn:z" id="o"/>'  # 9
)


@pytest.mark.parametrize(
    ("css", "found"),
    [
        ("path", (2, 4, 7)),
        ("[stroke-dasharray='4 2']", (2,)),
        ("#p, #r", (2, 3)),
        ("g.size.ten", (1,)),
        (".ten", (1, 4)),
        ("g path", (2, 4, 7)),
        ("g > path", (2, 4, 7)),
        ("svg > g > path", (2, 4)),
        ("path + rect", (3,)),
        ("path ~ path", (4,)),
        ("rect ~ *", (4,)),
        ("path:first-child", (2, 7)),
        ("path:last-child", (4, 7)),
        ("rect:only-of-type", (3,)),
        (":only-child", (0, 7)),
        ("path:first-of-type", (2, 7)),
        ("path:last-of-type", (4, 7)),
        ("g > :nth-child(2n+1)", (2, 4, 6, 7)),
        ("g > :nth-last-child(1)", (4, 7, 8)),
        ("path:nth-of-type(2)", (4,)),
        ("path:nth-last-of-type(2)", (2,)),
        (":nth-child(-n+1)", (0, 1, 2, 6, 7)),
        ("path:not(#p)", (4, 7)),
        ("path:not(.ten):not(#p)", (7,)),
        (":is(rect, title)", (3, 8)),
        (":where(rect)", (3,)),
        (":root", (0,)),
        ("g:empty", ()),
        ("rect:empty", (3,)),
        ("[inkscape|label='front']", (1,)),
        (r"[inkscape\:label^='fr']", (1,)),
        ("[inkscape|label$='nt'][inkscape|label*='on']", (1,)),
        ("[class~='ten']", (1, 4)),
        ("[xml|lang|='en']", (4,)),
        ("[id='p']", (2,)),
        ("rect[id]", (3,)),
        ("path[id!='p']", (4, 7)),
        ("path[stroke-dasharray!='9']", (2, 4, 7)),
        ("[id^='']", ()),
        ("svg|path", (2, 4, 7)),
        ("*|rect", (3,)),
        ("svg|*#o", ()),
        ("nothing", ()),
        ("path:nth-child(0n+1)", (2, 7)),
    ],
)
def test_selectors(css: str, found: tuple[int, ...]) -> None:
    assert select(document(BODY), css) == found


def test_names_match_whatever_the_prefix_and_without_a_namespace() -> None:
    prefixed = read_document(b'<s:svg xmlns:s="http://www.w3.org/2000/svg"><s:path/></s:svg>', "s.svg")
    assert select(prefixed, "svg > path") == (1,)
    bare = read_document(b"<svg><path/></svg>", "b.svg")
    assert select(bare, "path") == select(bare, "svg|path") == (1,)


@pytest.mark.parametrize(
    ("css", "says"),
    [
        ("path[", "no CSS selector"),
        ("", "no CSS selector"),
        ("path::before", "pseudo-element"),
        ("path:hover", ":hover says nothing"),
        ("path:contains('x')", ":contains() is not read"),
        ("g:has(path)", "kind that is not read"),
        ("what|path", "prefix 'what' is not known"),
        ("[what|id='a']", "prefix 'what' is not known"),
        (":nth-child(x)", "no series"),
        ("path " * 200, "at most 500"),
    ],
)
def test_bad_selectors_say_why(css: str, says: str) -> None:
    with pytest.raises(SelectorError) as caught:
        select(document("<path/><path/>"), css)
    assert says in str(caught.value)


@pytest.mark.parametrize(
    "css",
    [
        "* * * * * * * *",
        "* ~ * ~ * ~ *",
        "* + * + * + *",
        ":nth-child(2n+1) ~ :nth-last-child(3n)",
        "* > * *",
    ],
)
@pytest.mark.parametrize("body", ["<g>" * 200 + "</g>" * 200, "<g/>" * 50_000], ids=["deep", "wide"])
def test_time_grows_only_with_the_file(css: str, body: str) -> None:
    doc = document(body)
    started = time.perf_counter()
    select(doc, css)
    assert time.perf_counter() - started < 5


def test_a_selector_of_too_many_parts_is_refused() -> None:
    drawing = document("<g/>" * 3)
    assert select(drawing, " ".join(["*"] * 2))
    with pytest.raises(SelectorError, match="joins 17 parts"):
        select(drawing, " ~ ".join(["*"] * 17))
