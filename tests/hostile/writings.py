"""Hostile rules, names and labels."""

from __future__ import annotations

import os
from collections.abc import Callable, Iterator, Sequence
from itertools import islice, product

from tests.hostile.cases import ALL_WELL, UNFIT, WRONG, Case, Scene

EDGES = ("side seam", "hem", "armhole", "shoulder", "neckline")
ANY = ALL_WELL | UNFIT | WRONG
ACTING = (
    "<script>alert(1)</script>",
    '"><img src=x onerror=alert(1)>',
    "</script><script>alert(1)</script>",
    "]]><!--",
    "&lt;b&gt; &amp;lt;",
    "\x9b2J\x9b31m",
    "\u202egnp\u2066",
    "\u2028\u2029\x85",
    "[red]bold[/red] [link=http://x]",
    "{size} %s %(a)s $(touch x) `touch x`",
    "'; DROP TABLE pieces; --",
    "=cmd|' /C calc'!A0",
    "a" * 5000,
    "\U0001f9f5\u0301" * 20,
    "\ufeff\u200b\u2060",
    "../../../etc/passwd",
    "nul\\con",
)
ESCAPED = (
    "\\e[2J\\e]0;title\\a",
    "\\x00",
    "\\x01\\x07",
    "\\ud800",
    "\\ufffe",
    "\\x7f\\x9b2J",
    "\\r\\n",
    "\\t",
)


def _text(data: str | bytes) -> Callable[[Scene], None]:
    content = data if isinstance(data, bytes) else data.encode("utf-8", "surrogatepass")
    return lambda scene: scene.rules.write_bytes(content) and None


def _change(old: str, new: str) -> Callable[[Scene], None]:
    return lambda scene: scene.change(old, new, rules=True)


def _add(text: str) -> Callable[[Scene], None]:
    return lambda scene: (
        scene.rules.write_text(scene.rules.read_text("utf-8") + text + "\n", "utf-8") and None
    )


def _sum(piece: str, edges: Sequence[str]) -> str:
    return " + ".join(f"{piece}/{edge}" for edge in edges)


def _sizes_and_amounts() -> str:
    """Amounts that name sizes of none of tens of thousands."""
    sizes = ", ".join(map(str, range(40_000)))
    edges = ", ".join(f"e{n}: {{at: x{n}, amount: 1, step: 1}}" for n in range(12_000))
    return f"sizes: [{sizes}]\nallowance: {{{edges}}}\n"


def _yaml() -> Iterator[Case]:
    bomb = "a0: &a0 [x]\n" + "".join(
        f"a{n}: &a{n} [{', '.join([f'*a{n - 1}'] * 10)}]\n" for n in range(1, 12)
    )
    yield Case("alias bomb", _text(bomb), WRONG, "anchors")
    yield Case("an alias of itself", _text("a: &a [*a]"), WRONG, "anchors")
    yield Case("merge keys", _text("a: &a {b: 1}\nc:\n  <<: *a\n"), WRONG)
    for tag in (
        "!!python/object/apply:os.system ['touch x']",
        "!!python/name:os.system",
        "!x {}",
        "!!binary aGk=",
        "!!set {a}",
    ):
        yield Case(f"tag {tag}", _text(f"ungape: 1\ndesign: {tag}\n"), WRONG, "tags")
    yield Case("a document of 2 MB", _text("ungape: 1\n" + "# x\n" * 500_000), WRONG, "too large")
    yield Case("a document of 1 MB", _text("ungape: 1\n" + "# x\n" * 240_000), WRONG)
    yield Case("a line of 1 MB", _text("ungape: 1\ndesign: " + "x" * 900_000), WRONG)
    yield Case("100,000 brackets", _text("[" * 100_000), WRONG)
    yield Case("100,000 braces", _text("{a: " * 100_000), WRONG)
    yield Case("100,000 dashes", _text("- " * 100_000), WRONG)
    yield Case("100,000 question marks", _text("? " * 100_000), WRONG)
    yield Case("100,000 quotation marks", _text('"' * 99_999), WRONG)
    yield Case("100,000 exclamation marks", _text("!" * 100_000), WRONG)
    yield Case("80,000 keys", _text("".join(f"k{n}: 1\n" for n in range(80_000))), WRONG)
    yield Case("one key 90,000 times", _text("ungape: 1\n" * 90_000), WRONG, "twice")
    yield Case("duplicate keys", _add("design: again"), WRONG, "twice")
    yield Case("tabs", _change("  - name", "\t- name"), WRONG, "tab")
    yield Case("several documents", _add("---\nungape: 1"), WRONG)
    yield Case("another YAML", _text("%YAML 1.1\n---\nungape: 1\n"), WRONG)
    yield Case("a directive without end", _text("%" + "T" * 100_000), WRONG)
    for name, data in (
        ("empty", b""),
        ("NUL bytes", b"ungape: 1\0"),
        ("chance", bytes(range(256)) * 20),
        ("Latin-1", "design: schön".encode("latin-1")),
        ("UTF-32", "ungape: 1".encode("utf-32")),
        ("UTF-16 cut short", b"\xff\xfeu\0n"),
        ("surrogates", b"design: \xed\xa0\x80"),
        ("JSON of numbers", b"[1e999, -1e999]"),
    ):
        yield Case(f"rules: {name}", _text(data), WRONG)
    yield Case(
        "rules: UTF-16",
        lambda s: s.rules.write_bytes(s.rules.read_text("utf-8").encode("utf-16")) and None,
        ALL_WELL,
    )
    yield Case(
        "many sizes", _change("removals:", f"sizes: [{', '.join(map(str, range(50_000)))}]\nremovals:"), ANY
    )
    removal = (
        "  - {piece: front, edge: neckline, from: shoulder, distance: 60, removed: 1, pivot: apex, "
        "opens: {new dart: d, edge: side seam, from: armhole, distance: 60}}\n"
    )
    yield Case("5,000 removals", _change("seams:", removal * 5000 + "seams:"), ANY)
    yield Case("20,000 seams", _add("  - join: [front/side seam, back/side seam]\n" * 20_000), ALL_WELL)
    for name, rows, exits in (
        (
            "that do not hold",
            (f"[front/side seam x {n % 99 + 1}, back/hem x {n // 99 + 1}]" for n in range(9801)),
            ALL_WELL,
        ),
        ("of unknown edges", (f"[front/side{n} seam, back/hem{n}]" for n in range(18_000)), UNFIT),
        ("of unknown pieces", (f"[fron{n}/hem, bac{n}/hem]" for n in range(18_000)), UNFIT),
        (
            "of many edges",
            (
                f"[{_sum('front', row[:3])}, {_sum('back', row[3:])}]"
                for row in islice(product(EDGES, repeat=6), 6000)
            ),
            ALL_WELL,
        ),
        ("counted often", ("[front/hem x 9999, back/hem x 9998]" for _ in range(18_000)), ALL_WELL),
        ("without a slash", (f"[front{n}, back{n}]" for n in range(18_000)), WRONG),
    ):
        yield Case(f"seams {name}", _add("".join(f"  - join: {row}\n" for row in rows)), exits)
    yield Case("as many sizes as amounts", _change("removals:", _sizes_and_amounts() + "removals:"), WRONG)
    yield Case(
        "20,000 names",
        _add(
            "names: {" + ", ".join(f"front: f{n}" if n == 0 else f"p{n}: q{n}" for n in range(20_000)) + "}"
        ),
        ANY,
    )
    yield Case(
        "an endless sum",
        _add("  - join: [" + " + ".join(["front/side seam"] * 50_000) + ", back/side seam]"),
        ANY,
    )
    yield Case(
        "an endless product", _add("  - join: [front/side seam x 99999999999999, back/side seam]"), ANY
    )


def _amounts() -> Iterator[Case]:
    for amount in (
        ".nan",
        ".inf",
        "-.inf",
        "1e999",
        "1e308",
        "1e-308",
        "-20",
        "0",
        "0x7fffffff",
        "0o777777",
        "1" * 10_000,
        "1/0 in",
        "0/0",
        "1/3/3",
        '"1 1/0\\""',
        "12:30",
        "1_000",
        "20 parsecs",
        "٢٠",
        "50%",
        "-5%",
        "1e5%",
        "1e999%",
        "{}",
        "[]",
        "null",
        "true",
        "{at: '10', amount: 1e308, step: 1e308}",
        "{at: '10', amount: 10, step: .nan}",
        "{'10': 1, '12': .inf}",
        "{at: '10', amount: 10, keep: angle}",
        "{at: '99', amount: 10, keep: angle}",
        "''",
        '"' + "9" * 400 + ' mm"',
        '"1/' + "9" * 5000 + ' in"',
        '"1/1' + "0" * 400 + ' in"',
    ):
        yield Case(f"removed: {amount[:40]}", _change("removed: 20", f"removed: {amount}"), ANY)
        yield Case(f"distance: {amount[:40]}", _change("distance: 60\n", f"distance: {amount}\n"), ANY)


def _places() -> Iterator[Case]:
    for out in (
        "/tmp/escaped",
        "../escaped",
        "a/../../escaped",
        "C:\\escaped",
        "\\\\host\\share",
        "..\\escaped",
        ".",
        "",
        "~",
        "{size}",
        "a/./..",
        "%TEMP%",
        '"a\\0b"',
        "x" * 300,
        "a/" * 3000 + "b",
    ):
        yield Case(f"out: {out[:30]}", _change("out: fixed", f"out: {out}"), ANY)
    for pattern in (
        "/etc/passwd",
        "../outside/secret.txt",
        "../*/{size}.svg",
        "{size}",
        "{piece}{size}",
        "{a}",
        "*",
        "**/{size}.svg",
        "{size}/../../outside/{piece}.txt",
        "C:\\a.svg",
        "{piece}-{size}.svg",
        "{piece}" + "-{piece}" * 200 + "-{size}.svg",
        "x" * 5000,
        '"a\\0b.svg"',
        "summer.gape.yaml",
        "{piece}.yaml",
    ):
        yield Case(
            f"patterns: {pattern[:40]}",
            _change(
                '["front-{size}.svg", "back-{size}.svg"]',
                f"[{pattern if pattern[0] == chr(34) else repr(pattern)}]",
            ),
            ANY,
        )

    def linked(scene: Scene) -> None:
        (scene.home / "fixed").symlink_to(scene.home)

    yield Case("out is a link to the sources", linked, UNFIT)

    def inner(scene: Scene) -> None:
        (scene.home / "fixed").mkdir()
        (scene.home / "fixed" / "front-10.svg").symlink_to(scene.outside / "secret.txt")

    yield Case("a link in out", inner, UNFIT)

    def pipe(scene: Scene) -> None:
        (scene.home / "fixed").mkdir()
        os.mkfifo(scene.home / "fixed" / "front-10.svg")

    yield Case("a pipe in out", pipe, UNFIT)

    def endless_ledger(scene: Scene) -> None:
        (scene.home / "fixed").mkdir()
        (scene.home / "fixed" / ".ungape.json").symlink_to("/dev/zero")

    yield Case("an endless ledger", endless_ledger, UNFIT)

    def special_rules(scene: Scene) -> None:
        scene.rules.unlink()
        scene.rules.symlink_to("/dev/zero")

    yield Case("rules that never end", special_rules, WRONG)

    def pipe_rules(scene: Scene) -> None:
        scene.rules.unlink()
        os.mkfifo(scene.rules)

    yield Case("rules from a pipe", pipe_rules, WRONG)


def _selectors() -> Iterator[Case]:
    for css in (
        "g " * 200 + "path",
        "* ~ " * 100 + "*",
        "g > " * 100 + "path",
        ":not(" * 80 + "g" + ")" * 80,
        ":is(" + ", ".join(["g g g"] * 50) + ")",
        "*:nth-child(2n+1) " * 25 + "*",
        "[a" * 200,
        "(" * 499,
        "\\",
        "::before",
        "a:has(b)",
        "*:nth-child(99999999999999999999n+1)",
        "[inkscape|label*='']",
        "\x9b",
        "\u202e",
        ",",
        "",
        "|",
        "x|y",
        "*|*",
        "#" + "x" * 400,
        "g:nth-last-of-type(n) ~ " * 20 + "*",
    ):
        text = css.replace("'", "''")
        yield Case(f"find: {css[:30]!r}", _add(f"find: {{'front/cut line': '{text}'}}"), ANY)

    def wide(scene: Scene) -> None:
        scene.change("</svg>", "<g><g/></g>" * 60_000 + "</svg>")
        _add("find: {'front/cut line': '" + "* ~ " * 100 + "*'}")(scene)

    yield Case("find: siblings in a wide file", wide, ANY)

    def deep(scene: Scene) -> None:
        tower = "<g>" * 200 + "<g/>" * 300 + "</g>" * 200
        scene.change("</svg>", tower * 20 + "</svg>")
        _add("find: {'front/cut line': '" + "g " * 200 + "path'}")(scene)

    yield Case("find: ancestors in a deep file", deep, ANY)


def _labels() -> Iterator[Case]:
    for text in ACTING:
        shown = repr(text[:30])
        escaped = text.replace("&", "&amp;").replace("<", "&lt;").replace('"', "&quot;")

        def label(scene: Scene, escaped: str = escaped, text: str = text) -> None:
            scene.pattern.write_text(
                scene.pattern.read_text("utf-8").replace('"front"', f'"{escaped}"'), "utf-8"
            )
            line = '<g inkscape:label="cut line"><path d="M 0 0 h 9 v 9 z"/></g>'
            extra = f'<g inkscape:label="{escaped}">{line}</g>'
            scene.change("</svg>", extra + f"<title>{escaped.replace('>', '&gt;')}</title></svg>")

        yield Case(f"label {shown}", label, ANY)
        quoted = "'" + text.replace("'", "''") + "'"
        yield Case(f"design {shown}", _change("design: summer bodice", f"design: {quoted}"), ANY)
        yield Case(f"removal {shown}", _change("name: neck gape", f"name: {quoted}"), ANY)
        yield Case(f"dart {shown}", _change("new dart: bust dart", f"new dart: {quoted}"), ANY)
        yield Case(f"edge {shown}", _change("edge: neckline", f"edge: {quoted}"), ANY)
        yield Case(f"key {shown}", _add(f"{quoted}: 1"), ANY)
    for text in ESCAPED:
        yield Case(f"design escaped {text}", _change("design: summer bodice", f'design: "a{text}b"'), ANY)
        yield Case(f"removal escaped {text}", _change("name: neck gape", f'name: "a{text}b"'), ANY)
        yield Case(f"dart escaped {text}", _change("new dart: bust dart", f'new dart: "a{text}b"'), ANY)
        yield Case(f"edge escaped {text}", _change("edge: neckline", f'edge: "a{text}b"'), ANY)
        yield Case(f"revision escaped {text}", _add(f'revision: {{mark: "a{text}b", date: 2026-01-01}}'), ANY)
    for name in (
        "front-\x1b[2J\n10.svg",
        "front-<b>&10.svg",
        "front-\udcff10.svg",
        "front-\u202e10.svg",
        "front-" + "9" * 200 + ".svg",
    ):

        def named(scene: Scene, name: str = name) -> None:
            scene.pattern.rename(scene.home / name)

        yield Case(f"file name {name[:20]!r}", named, ANY)


def writings() -> list[Case]:
    """All of them."""
    return [case for group in (_yaml, _amounts, _places, _selectors, _labels) for case in group()]
