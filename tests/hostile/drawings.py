"""Hostile drawings: what stands in the place of one sound pattern file."""

from __future__ import annotations

import gzip
import os
from collections.abc import Callable, Iterator
from dataclasses import replace

from tests.hostile.cases import ALL_WELL, UNFIT, Case, Scene

ANY = ALL_WELL | UNFIT
EDGE = 'd="M 70,0 L 190,40"'
MARK = '<rect x="93.5" y="258.5" width="3" height="3"/>'
NUMBERS = (
    "NaN",
    "inf",
    "-Infinity",
    "1e400",
    "1e308",
    "1e-400",
    "0x10",
    "1_000",
    "１２",
    "1,5",
    "--1",
    "1e",
    "9" * 5000,
    "1px;",
    "",
)


def _data(data: bytes) -> Callable[[Scene], None]:
    return lambda scene: scene.pattern.write_bytes(data) and None


def _change(old: str, new: str) -> Callable[[Scene], None]:
    return lambda scene: scene.change(old, new)


def _layer(role: str, inside: str) -> Callable[[Scene], None]:
    """A role layer more, before the grainline."""
    grain = '<g inkscape:label="grainline">'
    return _change(grain, f'<g inkscape:label="{role}">{inside}</g>{grain}')


def _head(before: str, inside: str = "") -> Callable[[Scene], None]:
    def spoil(scene: Scene) -> None:
        words = {"{secret}": scene.secret, "{server}": scene.server, "{dtd}": str(scene.outside / "evil.dtd")}
        texts = [before, inside]
        for word, value in words.items():
            texts = [text.replace(word, value) for text in texts]
        scene.head(*texts)

    return spoil


def _inside(text: str) -> Callable[[Scene], None]:
    return _head("", text)


def _instead(make: Callable[[Scene], None]) -> Callable[[Scene], None]:
    def spoil(scene: Scene) -> None:
        scene.pattern.unlink()
        make(scene)

    return spoil


def _encoded(encoding: str, declared: str) -> Callable[[Scene], None]:
    def spoil(scene: Scene) -> None:
        text = f'<?xml version="1.0" encoding="{declared}"?>\n' + scene.pattern.read_text("utf-8")
        scene.pattern.write_bytes(text.replace("front", "frönt", 1).encode(encoding))

    return spoil


def _truncated(scene: Scene) -> None:
    data = scene.pattern.read_bytes()
    scene.pattern.write_bytes(data[: len(data) // 2])


def _zipped(scene: Scene) -> None:
    scene.pattern.write_bytes(gzip.compress(scene.pattern.read_bytes()))


def _large_zip(scene: Scene) -> None:
    scene.pattern.write_bytes(gzip.compress(b"<svg>" + b" " * 200_000_000, 1))


def _sparse(scene: Scene) -> None:
    with scene.pattern.open("wb") as stream:
        stream.truncate(20 * 2**30)


def _endless_path(count: int, where: str) -> Callable[[Scene], None]:
    path = "M 70,0" + "l 0.1 0 l -0.1 0 " * (count // 2) + "L 190,40"
    if where == "edge":
        return _change(EDGE, f'd="{path}"')
    return _inside(f'<path d="{path}"/>')


def _entities() -> Iterator[Case]:
    laughs = '<!ENTITY a0 "ha">' + "".join(f'<!ENTITY a{n} "{f"&a{n - 1};" * 10}">' for n in range(1, 12))
    yield Case("entity bomb", _head(f"<!DOCTYPE svg [{laughs}]>", "<desc>&a11;</desc>"), UNFIT, "entities")
    yield Case("entity bomb in an attribute", _head(f"<!DOCTYPE svg [{laughs}]>", '<g id="&a11;"/>'), UNFIT)
    quadratic = f'<!ENTITY q "{"q" * 100_000}">'
    yield Case(
        "quadratic entity", _head(f"<!DOCTYPE svg [{quadratic}]>", f"<desc>{'&q;' * 5000}</desc>"), UNFIT
    )
    yield Case("entity in itself", _head('<!DOCTYPE svg [<!ENTITY a "&a;">]>', "<desc>&a;</desc>"), UNFIT)
    yield Case(
        "entities in a ring",
        _head('<!DOCTYPE svg [<!ENTITY a "&b;"><!ENTITY b "&a;">]>', "<desc>&a;</desc>"),
        UNFIT,
    )
    for kind, address in (
        ("file", "{secret}"),
        ("network", "{server}/secret"),
        ("path", "../outside/secret.txt"),
    ):
        head = f'<!DOCTYPE svg [<!ENTITY x SYSTEM "{address}">]>'
        yield Case(f"external entity, {kind}", _head(head, "<desc>&x;</desc>"), ANY)
        yield Case(f"external entity in a label, {kind}", _head(head, '<g id="a&x;"/>'), ANY)
        yield Case(f"external DTD, {kind}", _head(f'<!DOCTYPE svg SYSTEM "{address}">'), ANY)
        more = f'<!DOCTYPE svg [<!ENTITY % p SYSTEM "{address}"> %p;]>'
        yield Case(f"parameter entity, {kind}", _head(more), ANY)
    xi = 'xmlns:xi="http://www.w3.org/2001/XInclude"'
    for kind, address in (("file", "{secret}"), ("network", "{server}/x")):
        include = f'<desc><xi:include {xi} parse="text" href="{address}"/></desc>'
        yield Case(f"XInclude, {kind}", _inside(include), ALL_WELL)


def _fetching() -> Iterator[Case]:
    yield Case("style sheet elsewhere", _head('<?xml-stylesheet href="{server}/a.css"?>'), ALL_WELL)
    yield Case("import in a style sheet", _inside("<style>@import url({server}/a.css);</style>"), ALL_WELL)
    yield Case("picture elsewhere", _inside('<image href="{server}/a.png" width="9" height="9"/>'), ALL_WELL)
    yield Case("script", _inside("<script>fetch('{server}/')</script>"), ALL_WELL)
    yield Case("reference elsewhere", _inside('<use href="{server}/a.svg#b"/>'), ALL_WELL)
    yield Case("base elsewhere", _change("<g ", '<g xml:base="http://127.0.0.1:9/" '), ALL_WELL)


def _large() -> Iterator[Case]:
    yield Case("100,000 levels", _inside("<g>" * 100_000 + "</g>" * 100_000), UNFIT, "too deep")
    yield Case("a million elements", _inside("<g/>" * 1_000_000), UNFIT, "elements")
    yield Case("200,000 elements", _inside("<g/>" * 200_000), ALL_WELL)
    yield Case("a million segments, no part of a piece", _endless_path(1_000_000, "elsewhere"), ANY)
    yield Case("a million segments in an edge", _endless_path(1_000_000, "edge"), UNFIT, "")
    yield Case("15,000 segments in an edge", _endless_path(15_000, "edge"), ANY)
    points = "0,0 " * 1_000_000
    yield Case("a million points", _inside(f'<polyline points="{points}"/>'), ANY)
    yield Case("an attribute of 20 MB", _inside(f'<g id="{"x" * 20_000_000}"/>'), UNFIT, "too long")
    yield Case("an attribute of 9 MB", _inside(f'<g id="{"x" * 9_000_000}"/>'), ALL_WELL)
    yield Case("a text of 20 MB", _inside(f"<desc>{'x' * 20_000_000}</desc>"), UNFIT)
    yield Case("a comment of 20 MB", _inside(f"<!--{'x' * 20_000_000}-->"), UNFIT)
    yield Case("a file of 20 GB", _sparse, UNFIT, "too large")
    yield Case(
        "100,000 attributes", _inside("<g " + " ".join(f'a{n}=""' for n in range(100_000)) + "/>"), ANY
    )
    yield Case(
        "10,000 namespaces", _inside("<g " + " ".join(f'xmlns:a{n}="u"' for n in range(9999)) + "/>"), ANY
    )
    marks = "".join(
        f'<rect inkscape:label="m{n}" x="{n % 90}" y="300" width="1" height="1"/>' for n in range(10_000)
    )
    yield Case("10,000 apex marks", _change(MARK, MARK + marks), ANY)
    lines = "".join(f'<path d="M 0,{200 + n % 300} l 3 0"/>' for n in range(10_000))
    yield Case("10,000 notches", _layer("notches", lines), ANY)
    darts = "".join(f'<path inkscape:label="d{n}" d="M 100,100 l 10 40 l 10 -40"/>' for n in range(2000))
    yield Case("2,000 darts", _layer("darts", darts), ANY)
    zigzag = " ".join(f"L {70 + 120 * n / 2000:.3f},{40 * n / 2000 + n % 2:.3f}" for n in range(1, 2000))
    yield Case("an edge of 2,000 corners", _change(EDGE, f'd="M 70,0 {zigzag} L 190,40"'), ANY)
    pieces = "".join(
        f'<g inkscape:label="p{n}"><g inkscape:label="cut line"><path d="M 0 0 h 9 v 9 h -9 z"/></g></g>'
        for n in range(1500)
    )
    yield Case("1,500 pieces", _inside(pieces), ANY)
    names = "".join(f'<g inkscape:label="size {n}"><g inkscape:label="x"/></g>' for n in range(20_000))
    yield Case("20,000 sizes", _inside(names), ANY)
    yield Case("a style sheet of 5 MB", _inside(f"<style>{'a{d:x}' * 800_000}</style>"), ANY)
    yield Case(
        "a style of 5 MB",
        _change(
            '<path inkscape:label="shoulder"',
            f'<path style="{"a:(" * 1_600_000}d:" inkscape:label="shoulder"',
        ),
        ANY,
    )
    yield Case(
        "brackets without end in a style",
        _change(
            '<path inkscape:label="shoulder"', f'<path style="d:{"(" * 50_000}" inkscape:label="shoulder"'
        ),
        ANY,
    )
    yield Case("a transform of 5 MB", _change(EDGE, EDGE + f' transform="{"scale(1) " * 500_000}"'), ANY)


def _numbers() -> Iterator[Case]:
    for number in NUMBERS:
        shown = repr(number[:12])
        yield Case(f"{shown} in path data", _change("70,0 L", f"{number},0 L"), ANY)
        yield Case(f"{shown} in a mark", _change('x="93.5"', f'x="{number}"'), ANY)
        yield Case(f"{shown} in a viewBox", _change('viewBox="-150', f'viewBox="{number}'), ANY)
        yield Case(f"{shown} as a width", _change('width="600mm"', f'width="{number}mm"'), ANY)
        yield Case(f"{shown} in a transform", _change(EDGE, f'{EDGE} transform="translate({number})"'), ANY)
        yield Case(f"{shown} as a scale", _change(EDGE, f'{EDGE} transform="scale({number})"'), ANY)
    for size in ("0mm", "-600mm", "100%", "0", "1e-30mm", "1e30mm", "600furlongs", "calc(1mm)"):
        yield Case(f"a width of {size}", _change('width="600mm"', f'width="{size}"'), ANY)
    for box in (
        "0 0 0 0",
        "0 0 -600 -800",
        "0 0 600",
        "0 0 600 800 1",
        "0 0 1e300 1e300",
        "0 0 1e-300 1e-300",
    ):
        yield Case(f"a viewBox of {box}", _change('viewBox="-150 -50 600 800"', f'viewBox="{box}"'), ANY)
    for shape in (
        '<circle r="-5"/>',
        '<circle r="0"/>',
        '<rect width="-1" height="50%"/>',
        '<ellipse rx="auto" ry="-1"/>',
        '<polygon points="1"/>',
        '<line x1="50%"/>',
    ):
        yield Case(f"{shape} as a mark", _change(MARK, shape), ANY)
        yield Case(f"{shape} as an edge", _change(f'<path inkscape:label="shoulder" {EDGE}/>', shape), ANY)
    for data in (
        "M 0 0",
        "M 0 0 Z",
        "M 70 0 A 1e300 1e300 0 1 1 190 40",
        "M 70,0 A 0 0 0 0 0 190,40",
        "z",
        "M",
    ):
        yield Case(f"path data {data}", _change(EDGE, f'd="{data}"'), ANY)
    for far in ("1e15", "1e9", "123456789012"):
        yield Case(f"an edge out to {far}", _change("L 190,40", f"L {far},40 L 190,40"), ANY)


def _references() -> Iterator[Case]:
    yield Case("a use of itself", _inside('<use id="u" href="#u"/>'), ANY)
    yield Case("uses in a ring", _inside('<g id="a"><use href="#b"/></g><g id="b"><use href="#a"/></g>'), ANY)
    ring = '<g inkscape:label="cut line"><use id="u" href="#v"/><g id="v"><use href="#u"/></g></g>'
    yield Case(
        "uses in a ring as a line",
        _change('<g inkscape:label="apex mark">', ring + '<g inkscape:label="apex mark">'),
        ANY,
    )
    ten = (f'<use href="#b{n}"/>' * 10 for n in range(11))
    bomb = '<g id="b0"><path d="M 0 0 h 1"/></g>'
    bomb += "".join(f'<g id="b{n}">{uses}</g>' for n, uses in enumerate(ten, 1))
    yield Case("uses that multiply", _inside(bomb), ANY)
    yield Case("uses that multiply, among the marks", _change(MARK, MARK + bomb), ANY)
    yield Case("ids that stand twice", _inside('<g id="a"/><g id="a"/><g id="a"/>'), ALL_WELL)
    yield Case("an attribute that stands twice", _inside('<g id="a" id="b"/>'), UNFIT)
    yield Case("two roots", _change("</svg>", "</svg><svg/>"), UNFIT)
    yield Case("a label of every kind", _inside("<g id='" + "_x41_" * 50_000 + "'/>"), ALL_WELL)
    yield Case("copy counters without end", _inside("<g id='" + "a_1_" * 50_000 + "'/>"), ALL_WELL)


def _bytes() -> Iterator[Case]:
    yield Case("compressed", _zipped, UNFIT, "compressed")
    yield Case("compressed to a thousandth", _large_zip, UNFIT, "compressed")
    yield Case("cut short", _truncated, UNFIT, "not well-formed")
    for name, data in (
        ("empty", b""),
        ("blanks", b" \n" * 1000),
        ("not XML", b"once upon a time"),
        ("HTML", b"<!DOCTYPE html><html><body><p>hello<br></body></html>"),
        ("another XML", b"<svg:svg xmlns:svg='urn:other'/>"),
        ("PDF", b"%PDF-1.4"),
        ("chance", bytes(range(256)) * 40),
        ("NUL bytes", b"<svg xmlns='http://www.w3.org/2000/svg'>\0</svg>"),
        ("a mark and nothing", b"\xef\xbb\xbf"),
        ("UTF-32", "<svg/>".encode("utf-32")),
        ("UTF-16 cut short", b"\xff\xfe<\0s\0v"),
        ("open brackets", b"<" * 1_000_000),
        ("a tag that never ends", b"<svg " + b"a " * 1_000_000),
        ("a declaration that never ends", b"<?xml " + b" " * 5_000_000),
        ("a document type that never ends", b"<!DOCTYPE svg [" + b"<!ENTITY a ''>" * 300_000),
    ):
        yield Case(name, _data(data), UNFIT)
    yield Case("not the encoding it says", _encoded("latin-1", "utf-8"), UNFIT)
    yield Case("an encoding that nobody knows", _encoded("utf-8", "klingon"), UNFIT, "encoding")
    yield Case("UTF-7", _encoded("utf-7", "utf-7"), UNFIT, "encoding")
    yield Case("an encoding that is none", _encoded("utf-8", "base64"), UNFIT, "encoding")
    yield Case("UTF-16", _encoded("utf-16", "utf-16"), ANY)
    yield Case("EBCDIC", _encoded("cp500", "cp500"), UNFIT)


def _special() -> Iterator[Case]:
    yield Case("a pipe", _instead(lambda s: os.mkfifo(s.pattern)), UNFIT)
    yield Case("a link to /dev/zero", _instead(lambda s: s.pattern.symlink_to("/dev/zero")), UNFIT)
    yield Case("a folder", _instead(lambda s: s.pattern.mkdir()), UNFIT)
    yield Case("a link to itself", _instead(lambda s: s.pattern.symlink_to(s.pattern)), UNFIT)
    yield Case("a link to nothing", _instead(lambda s: s.pattern.symlink_to("nothing")), UNFIT)
    yield Case(
        "a link to a secret", _instead(lambda s: s.pattern.symlink_to(s.outside / "secret.txt")), UNFIT
    )


def _notes() -> Iterator[Case]:
    for name, text in (
        ("deep", "[" * 200_000),
        ("long", '{"ungape_note": 1, "removals": [' + "{}," * 300_000 + "{}]}"),
        ("junk", "junk"),
        ("numbers", '{"ungape_note": 1, "removals": [{"size": 1e999, "piece": NaN}]}'),
        ("a mapping", '{"ungape_note": 1, "removals": {}}'),
        ("names", '{"ungape_note": 1, "design": [1], "removals": []}'),
        ("digits", '{"ungape_note": ' + "1" * 10_000 + "}"),
        ("twice", '{"ungape_note": 1, "removals": [], "removals": 5}'),
    ):
        note = f"<metadata><n:note xmlns:n='urn:ungape:note'>{text}</n:note></metadata>"
        yield Case(f"a note: {name}", _inside(note), ANY)


def drawings() -> list[Case]:
    """All of them."""
    groups = (_entities, _fetching, _large, _numbers, _references, _bytes, _special, _notes)
    return [replace(case, drawing=True) for group in groups for case in group()]
