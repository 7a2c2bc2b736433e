"""Files and rules made by chance: never a fault of ours, never a changed source, never a part of a set.

    python -m tests.fuzz --count 20000 [--seed 7]

A quarter of the inputs are drawings and rules that Hypothesis builds of the format's own words; the others
are the samples and a small design with bytes, tokens and lines changed, taken out, doubled and mixed up.
"""

from __future__ import annotations

import argparse
import random
import re
import shutil
import sys
import tempfile
import time
import traceback
from collections import Counter
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from pathlib import Path

from hypothesis import HealthCheck, Phase, given, seed, settings
from hypothesis import strategies as st

from rules.model import Rules
from rules.problems import UngapeError
from tests.small_designs import back_file, bytes_of, front_file, rules_text, run_design
from transform.designs.orders import Options
from transform.files.ledger import LEDGER
from transform.files.patterns import PatternFile
from transform.first_look.inspecting import examine
from transform.report.facts import Report
from transform.report.json_report import report_text
from transform.report.junit import junit_text
from transform.report.proof import proof_text

SEED = 7
SAMPLES = Path(__file__).parents[1] / "samples"
RULES = "summer.gape.yaml"
_MOST_SHOWN = 3000
_TOKEN = re.compile(rb"[A-Za-z_:-]+|[-+]?[0-9.]+(?:[eE][-+]?[0-9]+)?|\s+|.", re.DOTALL)
_NUMBER = re.compile(rb"[-+]?[0-9]*\.?[0-9]+")
ODD_NUMBERS = (
    b"0",
    b"-0",
    b"1e-9",
    b"1e9",
    b"1e308",
    b"1e400",
    b"-1",
    b"0.5",
    b"NaN",
    b".",
    b"100%",
    b"1e15",
)
PIECES = (
    *b"<g> </g> <!-- --> <![CDATA[ ]]> &amp; &#0; &x; <?x?> Z M A { } [ ] - # &a *a !!x | > : ' \"".split(),
    *(b"\0", b"\xff", b"\xc2\x9b", b"\xef\xbb\xbf", b"\t", b"\n", b": ", b"- ", b"---\n"),
    *(b'transform="scale(-1 1)"', b'transform="rotate(90)"'),
)


@dataclass
class Tally:
    """What became of the inputs, by kind; and what must never have been."""

    inputs: int = 0
    became: Counter[str] = field(default_factory=Counter)
    wrong: list[str] = field(default_factory=list)


def judge(rules: bytes, files: Mapping[str, bytes], tally: Tally, name: str, *, told: bool) -> None:
    """Run a design made of these files; ``told``: make every report of it, and look into the files too.

    An input with which something goes wrong is kept, and said where.
    """
    tally.inputs += 1
    wrong = len(tally.wrong)
    try:
        _judge(rules, files, tally, name, told=told)
    except Exception as error:
        trace = "".join(traceback.format_exception(error)[-4:])
        tally.wrong.append(f"{name}: {trace}")
    if len(tally.wrong) > wrong:
        kept = Path(tempfile.mkdtemp(prefix="fuzz-input-"))
        for each, data in {RULES: rules, **files}.items():
            (kept / each).write_bytes(data)
        tally.wrong[-1] += f"\nthe input is kept in {kept}: {_unlike_the_bases(rules, files)}"


def _unlike_the_bases(rules: bytes, files: Mapping[str, bytes]) -> str:
    """The files that were changed, as far as they can be shown."""
    sound = {data for each, more in bases() for data in (each, *more.values())}
    strange = {name: data for name, data in {RULES: rules, **files}.items() if data not in sound}
    return "; ".join(f"{name}: {data[:_MOST_SHOWN]!r}" for name, data in strange.items())


def _judge(rules: bytes, files: Mapping[str, bytes], tally: Tally, name: str, *, told: bool) -> None:
    folder = Path(tempfile.mkdtemp(dir="/dev/shm" if Path("/dev/shm").is_dir() else None))
    try:
        (folder / RULES).write_bytes(rules)
        for each, data in files.items():
            (folder / each).write_bytes(data)
        before = bytes_of(folder)
        facts = run_design(folder / RULES, Options(writes=True, proof=told))
        after = bytes_of(folder)
        exits = {problem.exit for problem in facts.problems}
        kinds = sorted({problem.kind for problem in facts.problems})
        tally.became[kinds[0] if kinds else "written"] += 1
        faults = [p.text for p in facts.problems if p.exit == 70]
        tally.wrong += [f"{name}: {_with_trace(text)}" for text in faults]
        if {n: after.get(n) for n in before} != before:
            tally.wrong.append(f"{name}: a source was changed")
        new = after.keys() - before.keys()
        if exits and new:
            tally.wrong.append(f"{name}: with {kinds} there is {sorted(new)}")
        if not exits and not any(n.endswith(LEDGER) for n in new):
            tally.wrong.append(f"{name}: written, and no ledger")
        if told:
            report = Report((facts,))
            for make in (report_text, junit_text, proof_text):
                make(report).encode("utf-8", "backslashreplace")
            for each in files:
                _look_into(folder / each)
    finally:
        shutil.rmtree(folder, ignore_errors=True)


def _look_into(path: Path) -> None:
    try:
        examine(PatternFile(path, path.name, path.name), Rules(file=""))
    except UngapeError:
        return


def _with_trace(text: str) -> str:
    found = re.search(r"the full trace is in (\S+)", text)
    if found is None:
        return text
    trace = Path(found[1])
    lines = trace.read_text("utf-8", "replace").splitlines()
    trace.unlink()
    places = [line for line in lines if line.startswith("  File")]
    return "\n".join([text, *places[-4:]])


# changed by chance ------------------------------------------------------------------------------


def changed(data: bytes, rng: random.Random) -> bytes:
    """The bytes with one to four changes made by chance."""
    for _ in range(rng.choice((1, 1, 1, 2, 4))):
        data = rng.choice(_WAYS)(data, rng)
    return data


def _a_byte(data: bytes, rng: random.Random) -> bytes:
    if not data:
        return data
    at = rng.randrange(len(data))
    return data[:at] + bytes((rng.randrange(256),)) + data[at + 1 :]


def _cut_out(data: bytes, rng: random.Random) -> bytes:
    at = rng.randrange(len(data) + 1)
    return data[:at] + data[at + rng.choice((1, 3, 20, 200, 10**6)) :]


def _put_in(data: bytes, rng: random.Random) -> bytes:
    at = rng.randrange(len(data) + 1)
    return data[:at] + rng.choice(PIECES) + data[at:]


def _doubled(data: bytes, rng: random.Random) -> bytes:
    at = rng.randrange(len(data) + 1)
    part = data[at : at + rng.choice((4, 40, 400))]
    return data[:at] + part * rng.choice((2, 3, 20)) + data[at + len(part) :]


def _another_number(data: bytes, rng: random.Random) -> bytes:
    places = list(_NUMBER.finditer(data))
    if not places:
        return data
    place = rng.choice(places)
    new = rng.choice(ODD_NUMBERS)
    if rng.random() < 0.6:
        new = f"{float(place[0]) * rng.choice((-1, 0.1, 0.9, 1.01, 1.5, 10)):g}".encode()
    return data[: place.start()] + new + data[place.end() :]


def _swapped_tokens(data: bytes, rng: random.Random) -> bytes:
    tokens = _TOKEN.findall(data)
    if len(tokens) < 2:
        return data
    one, other = rng.randrange(len(tokens)), rng.randrange(len(tokens))
    tokens[one], tokens[other] = tokens[other], tokens[one]
    return b"".join(tokens)


def _another_word(data: bytes, rng: random.Random) -> bytes:
    words = re.findall(rb"[a-z]{3,}", data)
    if len(words) < 2:
        return data
    return data.replace(rng.choice(words), rng.choice(words), rng.choice((1, -1)))


def _mixed_lines(data: bytes, rng: random.Random) -> bytes:
    lines = data.splitlines(keepends=True)
    if len(lines) < 2:
        return data
    line = lines.pop(rng.randrange(len(lines)))
    lines[rng.randrange(len(lines)) : 0] = [line] * rng.choice((0, 1, 2))
    return b"".join(lines)


_WAYS: tuple[Callable[[bytes, random.Random], bytes], ...] = (
    _a_byte,
    _cut_out,
    _put_in,
    _doubled,
    _another_number,
    _another_number,
    _another_number,
    _swapped_tokens,
    _another_word,
    _mixed_lines,
)


def bases() -> list[tuple[bytes, dict[str, bytes]]]:
    """Sound designs to begin from: rules, and pattern files by name. The small ones come more often."""
    small = {"front-10.svg": front_file("10").encode(), "back-10.svg": back_file("10").encode()}
    seam = "seams:\n  - join: [front/side seam, back/side seam]\n"
    more = (
        "linked:\n  - {piece: back, follows: front, along: shoulder}\n"
        "  - {strip: band, follows: [front/neckline]}\nnames: {neckline: neck}\n"
        "revision: {mark: B, date: 2026-01-01}\nallowance: {default: 15 mm, hem: 3 cm}\n"
    )
    found = [
        (rules_text(tail=seam).encode(), small),
        (rules_text(tail=seam + more).encode(), small),
        (rules_text(tail="", removed="{at: '10', amount: 1/2 in, step: 1}").encode(), small),
    ] * 40
    for rules in sorted(SAMPLES.glob("*/*.gape.yaml")):
        patterns = {path.name: path.read_bytes() for path in sorted(rules.parent.glob("*.svg"))}
        found.append((rules.read_bytes(), patterns))
    return found


def change_all(count: int, seeded: int, tally: Tally) -> None:
    """So many designs with changes made by chance."""
    rng = random.Random(seeded)
    sound = bases()
    for number in range(count):
        rules, files = rng.choice(sound)
        files = dict(files)
        if rng.random() < 0.4:
            rules = changed(rules, rng)
        else:
            name = rng.choice(sorted(files))
            files[name] = changed(files[name], rng)
        judge(rules, files, tally, f"change {number} of seed {seeded}", told=number % 10 == 0)


# built of the format's words --------------------------------------------------------------------

_WORDS = [
    "size 10",
    "size 12",
    "front",
    "back",
    "front facing",
    "stitching line",
    "cut line",
    "apex mark",
    "corner marks",
    "darts",
    "notches",
    "grainline",
    "fold line",
    "neckline",
    "shoulder",
    "armhole",
    "side seam",
    "hem",
    "bust dart",
    "apex",
    "a",
    "",
    "front stitching line size 12",
    "g12",
]
_coordinate = st.one_of(
    st.integers(-50, 300).map(str), st.sampled_from(("0", "1e3", "-0.001", "99999", "1e-7"))
)
_point = st.tuples(_coordinate, _coordinate).map(",".join)
_flag = st.sampled_from("01")
_step = st.one_of(
    st.builds("{} {}".format, st.sampled_from("MmLlTt"), _point),
    st.builds("{} {}".format, st.sampled_from("HhVv"), _coordinate),
    st.builds("{} {} {}".format, st.sampled_from("QqSs"), _point, _point),
    st.builds("{} {} {} {}".format, st.sampled_from("Cc"), _point, _point, _point),
    st.builds("{} {} 30 {} {} {}".format, st.sampled_from("Aa"), _point, _flag, _flag, _point),
    st.sampled_from("Zz"),
)
_path = st.lists(_step, max_size=8).map(lambda steps: "M 0,0 " + " ".join(steps))
_transform = st.sampled_from(
    [
        "",
        "",
        "",
        "scale(-1,1)",
        "rotate(30)",
        "matrix(1 0 0 1 5 5)",
        "scale(0)",
        "skewX(20)",
        "scale(2 1)",
        "rotate(1e9)",
    ]
)
_shape = st.one_of(
    _path.map(lambda d: f'<path LABEL d="{d}"/>'),
    st.lists(_point, max_size=8).map(lambda points: f'<polygon LABEL points="{" ".join(points)}"/>'),
    st.builds('<rect LABEL x="{}" y="{}" width="{}" height="{}"/>'.format, *[_coordinate] * 4),
    st.builds('<circle LABEL cx="{}" cy="{}" r="{}"/>'.format, *[_coordinate] * 3),
    st.builds('<line LABEL x1="{}" y1="{}" x2="{}" y2="{}"/>'.format, *[_coordinate] * 4),
    st.sampled_from(
        ('<use LABEL href="#a"/>', '<text LABEL x="1">t</text>', "<svg LABEL/>", "<desc>x</desc>")
    ),
)


def _labelled(element: str, label: str, transform: str) -> str:
    attributes = f'inkscape:label="{label}"' + (f' transform="{transform}"' if transform else "")
    return element.replace("LABEL", attributes, 1)


_leaf = st.builds(_labelled, _shape, st.sampled_from(_WORDS), _transform)
_tree = st.recursive(
    _leaf,
    lambda inner: st.builds(
        lambda rows, label, moved: _labelled(f"<g LABEL>{''.join(rows)}</g>", label, moved),
        st.lists(inner, max_size=5),
        st.sampled_from(_WORDS),
        _transform,
    ),
    max_leaves=25,
)
_HEAD = (
    '<svg xmlns="http://www.w3.org/2000/svg" xmlns:inkscape="http://www.inkscape.org/namespaces/inkscape" '
    'width="600mm" height="800mm" viewBox="-150 -50 600 800">'
)
drawings = st.lists(_tree, max_size=4).map(lambda rows: f"{_HEAD}{''.join(rows)}</svg>".encode())
added_drawings = _tree.map(lambda tree: front_file("10", tree).encode())

_VALUES = [
    "10",
    "12 mm",
    "1/2 in",
    "40%",
    "apex",
    "straight",
    "-1",
    "0",
    "1e9",
    "yes",
    "down",
    "10 mm .. 20 mm",
]
_INNER = [
    "dart",
    "edge",
    "from",
    "at",
    "amount",
    "step",
    "share",
    "new dart",
    "take out at",
    "to",
    "draw back",
    "press",
    "10",
]
_value = st.recursive(
    st.sampled_from((*_WORDS, *_VALUES)),
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(st.sampled_from(_INNER), inner, max_size=4),
    max_leaves=6,
)
_KEYS = [
    "ungape",
    "design",
    "patterns",
    "out",
    "sizes",
    "units",
    "allowance",
    "names",
    "user unit",
    "find",
    "finish",
    "edges",
    "removals",
    "linked",
    "seams",
    "accept",
    "revision",
    "name",
    "piece",
    "edge",
    "from",
    "distance",
    "pinched",
    "removed",
    "measured",
    "pivot",
    "opens",
    "hold",
    "line",
    "again",
    "follows",
    "along",
    "strip",
    "ratio",
    "join",
    "ease",
    "tolerance",
]


def _flow(value: object) -> str:
    if isinstance(value, dict):
        return "{" + ", ".join(f"{key}: {_flow(each)}" for key, each in value.items()) + "}"
    if isinstance(value, list):
        return "[" + ", ".join(map(_flow, value)) + "]"
    return f'"{value}"' if value == "" else str(value)


_LINE = re.compile(r"(?m)^( *(?:- )?)([a-z ]+): .*$")


def _replaced(text: str, place: int, key: str, value: object, whole: bool) -> bytes:
    lines = list(_LINE.finditer(text))
    line = lines[place % len(lines)]
    word = key if whole else line[2]
    return (text[: line.start()] + f"{line[1]}{word}: {_flow(value)}" + text[line.end() :]).encode()


writings = st.builds(
    _replaced,
    st.sampled_from([rules.decode() for rules, _ in bases()[:3]]),
    st.integers(0, 40),
    st.sampled_from(_KEYS),
    _value,
    st.booleans(),
)


def build_all(count: int, seeded: int, tally: Tally) -> None:
    """So many designs that Hypothesis builds: a third with other rules, the others with other drawings."""
    rules, files = bases()[0]

    @seed(seeded)
    @settings(
        max_examples=count,
        database=None,
        phases=[Phase.generate],
        suppress_health_check=list(HealthCheck),
        deadline=None,
        derandomize=False,
    )
    @given(st.one_of(writings, drawings, added_drawings))
    def built(made: bytes) -> None:
        name = f"built {tally.inputs} of seed {seeded}"
        told = tally.inputs % 10 == 0
        if made.startswith(b"<"):
            judge(rules, {**files, "front-10.svg": made}, tally, name, told=told)
        else:
            judge(made, files, tally, name, told=told)

    built()


def fuzz(count: int, seeded: int = SEED) -> Tally:
    """So many inputs."""
    tally = Tally()
    change_all(count - count // 4, seeded, tally)
    build_all(count // 4, seeded, tally)
    return tally


def main() -> int:
    """Fuzz as the command line says, print what became of the inputs; 1 where something was wrong."""
    parser = argparse.ArgumentParser(prog="python -m tests.fuzz")
    parser.add_argument("--count", type=int, default=20_000)
    parser.add_argument("--seed", type=int, default=SEED)
    asked = parser.parse_args()
    began = time.perf_counter()
    tally = fuzz(asked.count, asked.seed)
    for kind, count in tally.became.most_common():
        print(f"{count:7}  {kind}")
    for wrong in tally.wrong:
        print(wrong)
    took = time.perf_counter() - began
    print(f"{tally.inputs} inputs in {took:.0f} s, {len(tally.wrong)} that went wrong")
    return 1 if tally.wrong else 0


if __name__ == "__main__":
    sys.exit(main())
