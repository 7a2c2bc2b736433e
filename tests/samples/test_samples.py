"""The samples are what their script draws, and patterns that a cutter would sew."""

import cmath
import math
import re
from itertools import combinations
from pathlib import Path

import pytest
from lxml import etree
from shapely import LineString, Point, Polygon
from svgpathtools import Line
from svgpathtools import Path as Outline

from rules.reading import read_rules
from samples.drafting.range import files
from tests.samples.reading import SAMPLES, Drawing, all_drawings, scale, value

DESIGNS = dict(all_drawings())
SHEETS = sorted(file for design in DESIGNS for file in (SAMPLES / design).glob("*.svg"))
PIECES = [
    pytest.param(design, key, id=f"{design} {key[1]} {key[0]}") for design, d in DESIGNS.items() for key in d
]
ALLOWANCES = {
    "wrap-blouse": (15.0, {"neckline": 6, "armhole": 6, "outer edge": 6, "lower edge": 6, "upper edge": 6}),
    "choir-bodice": (15.0, {"neckline": 6, "outer edge": 6, "hem": 25}),
}
PIECE_ALLOWANCES = {("sleeve", "hem"): 30.0}
# Both sides of every seam, in every size.
EQUAL = {
    "wrap-blouse": [
        ("front/side seam", "back/side seam"),
        ("front/shoulder", "back/shoulder"),
        ("front facing/neckline", "front/neckline"),
        ("front facing/front edge", "front/front edge"),
        ("back facing/neckline", "back/neckline"),
        ("front facing/shoulder", "back facing/shoulder"),
    ],
    "shell": [
        ("front/side seam", "back/side seam"),
        ("front/shoulder", "back/shoulder"),
        ("front neck facing/neckline", "front/neckline"),
        ("back neck facing/neckline", "back/neckline"),
        ("front lining/neckline", "front/neckline"),
        ("front lining/armhole", "front/armhole"),
        ("front neck facing/shoulder", "back neck facing/shoulder"),
    ],
    "choir-bodice": [
        ("centre front panel/princess seam", "side front panel/princess seam"),
        ("side front panel/side seam", "back/side seam"),
        ("centre front panel/shoulder + side front panel/shoulder", "back/shoulder"),
        ("sleeve/front underarm seam", "sleeve/back underarm seam"),
        ("front facing/neckline", "centre front panel/neckline"),
        ("back facing/neckline", "back/neckline"),
        ("front facing/shoulder", "back facing/shoulder"),
    ],
}
SIZES = {"wrap-blouse": ["8", "10", "12", "14", "16"], "shell": ["XS", "S", "M", "L", "XL"]}
SIZES["choir-bodice"] = SIZES["wrap-blouse"]
EACH_SIZE = [
    pytest.param(design, size, id=f"{design} {size}") for design, names in SIZES.items() for size in names
]


def measured(design: str, size: str, side: str) -> float:
    terms = (term.split("/") for term in side.split(" + "))
    return sum(DESIGNS[design][size, piece].length(edge) for piece, edge in terms)


def flattened(path: Outline, steps: int = 40) -> list[complex]:
    """Points along a path; straight segments by their ends alone."""
    points = [path[0].start]
    for segment in path:
        count = 1 if isinstance(segment, Line) else steps
        points += [segment.point((i + 1) / count) for i in range(count)]
    # Summed relative steps come back to the start but for the last digits.
    return [*points[:-1], points[0]] if abs(points[-1] - points[0]) < 1e-6 else points


def line_string(path: Outline) -> LineString:
    return LineString([(p.real, p.imag) for p in flattened(path)])


def turn(u: complex, v: complex) -> float:
    """Degrees between two directions, 0 to 180."""
    return abs(math.degrees(cmath.phase(v / u)))


def leaving(drawing: Drawing, edge: str, corner: complex) -> complex:
    """Direction in which an edge leaves a corner at one of its ends, into the edge."""
    for path in drawing.edges[edge]:
        if abs(path.start - corner) < 0.01:
            return complex(path[0].unit_tangent(0))
        if abs(path.end - corner) < 0.01:
            return -complex(path[-1].unit_tangent(1))
    raise AssertionError(f"{edge} does not end at {corner}")


def angle(drawing: Drawing, first: str, second: str) -> float:
    """Inner angle of the corner where two edges meet, in degrees."""
    ends = [[p for path in drawing.edges[e] for p in (path.start, path.end)] for e in (first, second)]
    a, _ = min(((p, q) for p in ends[0] for q in ends[1]), key=lambda pair: abs(pair[0] - pair[1]))
    return turn(leaving(drawing, first, a), leaving(drawing, second, a))


def test_the_script_draws_the_files_that_stand_here() -> None:
    drawn = files()
    there = {str(path.relative_to(SAMPLES)) for path in SHEETS}
    assert there == set(drawn)
    for name, text in drawn.items():
        assert (SAMPLES / name).read_bytes() == text.encode(), name


@pytest.mark.parametrize("design", DESIGNS)
def test_every_size_has_every_piece(design: str) -> None:
    pieces = {piece for _, piece in DESIGNS[design]}
    assert set(DESIGNS[design]) == {(size, piece) for size in SIZES[design] for piece in pieces}


@pytest.mark.parametrize("design", DESIGNS)
def test_the_rules_are_sound_and_speak_of_what_is_drawn(design: str) -> None:
    path = SAMPLES / design / f"{design}.gape.yaml"
    read_rules(path)
    pieces = {piece for _, piece in DESIGNS[design]}
    named = set(re.findall(r"^\s*- (?:piece|strip): (.+)$", path.read_text(), re.M))
    named |= set(re.findall(r"^\s+(?:piece|follows): ([a-z ]+)$", path.read_text(), re.M))
    assert named <= pieces
    assert "out: fixed" in path.read_text()


@pytest.mark.parametrize(("design", "size"), EACH_SIZE)
def test_seams_are_of_one_length(design: str, size: str) -> None:
    for first, second in EQUAL[design]:
        assert measured(design, size, first) == pytest.approx(measured(design, size, second), abs=0.3), first


@pytest.mark.parametrize("size", SIZES["choir-bodice"])
def test_the_sleeve_cap_has_its_ease(size: str) -> None:
    armhole = measured("choir-bodice", size, "side front panel/armhole + back/armhole")
    assert 20 <= measured("choir-bodice", size, "sleeve/cap") - armhole <= 28


@pytest.mark.parametrize(("design", "key"), PIECES)
def test_the_outline_is_closed_and_its_edges_are_the_whole_of_it(design: str, key: tuple[str, str]) -> None:
    drawing = DESIGNS[design][key]
    segments = list(drawing.outline)
    for before, after in zip(segments, segments[1:] + segments[:1], strict=True):
        assert abs(before.end - after.start) < 0.005
    if drawing.edges:
        unnamed = drawing.outline.length() - sum(map(drawing.length, drawing.edges))
        mouths = sum(abs(first - last) for first, _, last in drawing.darts.values())
        assert mouths - 0.01 <= unnamed <= mouths * 1.25 + 0.01


@pytest.mark.parametrize(("design", "key"), PIECES)
def test_no_outline_crosses_itself(design: str, key: tuple[str, str]) -> None:
    drawing = DESIGNS[design][key]
    for path in (drawing.outline, drawing.cut):
        if len(path):
            assert Polygon([(p.real, p.imag) for p in flattened(path)]).is_valid


@pytest.mark.parametrize(("design", "key"), PIECES)
def test_corner_marks_stand_on_corners(design: str, key: tuple[str, str]) -> None:
    drawing = DESIGNS[design][key]
    for name, mark in drawing.corners.items():
        joint = min(range(len(drawing.outline)), key=lambda i: abs(drawing.outline[i].start - mark))
        assert abs(drawing.outline[joint].start - mark) < 0.01, name
        before, after = drawing.outline[joint - 1], drawing.outline[joint]
        # At a dart's leg the seam runs on, more or less, into the mouth.
        assert turn(before.unit_tangent(1), after.unit_tangent(0)) > 10 or name.endswith(" leg"), name


@pytest.mark.parametrize(("design", "key"), [case for case in PIECES if case.values[0] in ALLOWANCES])
def test_the_cut_line_lies_at_its_allowance(design: str, key: tuple[str, str]) -> None:
    drawing = DESIGNS[design][key]
    whole, exceptions = ALLOWANCES[design]
    cut = line_string(drawing.cut)
    fold = drawing.paths["fold line"]
    corners = [p for paths in drawing.edges.values() for path in paths for p in (path.start, path.end)]
    seen = 0
    for edge, paths in drawing.edges.items():
        wanted = PIECE_ALLOWANCES.get((key[1], edge), exceptions.get(edge, whole))
        for path in paths:
            if fold and abs(fold[0].start - path.start) < 0.01 and abs(fold[0].end - path.end) < 0.01:
                wanted = 0.0
            for point in (path.point(i / 40) for i in range(41)):
                # Nearer a corner than this, the neighbour's cut line may be the nearer one.
                if min(abs(point - corner) for corner in corners) > 30:
                    assert cut.distance(Point(point.real, point.imag)) == pytest.approx(wanted, abs=0.05), (
                        edge
                    )
                    seen += 1
    assert seen or key[1] == "neck tape" or not drawing.edges


@pytest.mark.parametrize(
    ("design", "piece", "edges"),
    [
        ("wrap-blouse", "back", ("neckline", "centre back")),
        ("wrap-blouse", "back", ("hem", "centre back")),
        ("wrap-blouse", "back", ("hem", "side seam")),
        ("wrap-blouse", "front", ("hem", "side seam")),
        ("wrap-blouse", "front", ("hem", "front edge")),
        ("wrap-blouse", "back facing", ("outer edge", "centre back")),
        ("shell", "front", ("neckline", "centre front")),
        ("shell", "front", ("hem", "centre front")),
        ("shell", "front", ("hem", "side seam")),
        ("shell", "front", ("armhole", "side seam")),
        ("shell", "front lining", ("hem", "side seam")),
        ("shell", "back", ("neckline", "centre back")),
        ("shell", "back", ("hem", "side seam")),
        ("shell", "back", ("armhole", "side seam")),
        ("shell", "front neck facing", ("outer edge", "centre front")),
        ("choir-bodice", "back", ("neckline", "centre back")),
        ("choir-bodice", "back", ("hem", "side seam")),
        ("choir-bodice", "centre front panel", ("hem", "centre front")),
        ("choir-bodice", "centre front panel", ("hem", "princess seam")),
        ("choir-bodice", "side front panel", ("hem", "princess seam")),
        ("choir-bodice", "side front panel", ("hem", "side seam")),
        ("choir-bodice", "side front panel", ("armhole", "side seam")),
        ("choir-bodice", "sleeve", ("hem", "front underarm seam")),
        ("choir-bodice", "sleeve", ("cap", "back underarm seam")),
    ],
)
def test_square_where_it_must_be(design: str, piece: str, edges: tuple[str, str]) -> None:
    for size in SIZES[design]:
        assert angle(DESIGNS[design][size, piece], *edges) == pytest.approx(90, abs=0.1), size


@pytest.mark.parametrize(
    ("design", "first", "second"),
    [
        ("wrap-blouse", ("front", "neckline", "shoulder"), ("back", "neckline", "shoulder")),
        ("wrap-blouse", ("front", "armhole", "shoulder"), ("back", "armhole", "shoulder")),
        ("wrap-blouse", ("front", "armhole", "side seam"), ("back", "armhole", "side seam")),
        ("shell", ("front", "neckline", "shoulder"), ("back", "neckline", "shoulder")),
        ("shell", ("front", "armhole", "shoulder"), ("back", "armhole", "shoulder")),
        ("choir-bodice", ("centre front panel", "neckline", "shoulder"), ("back", "neckline", "shoulder")),
        ("choir-bodice", ("side front panel", "armhole", "shoulder"), ("back", "armhole", "shoulder")),
        (
            "choir-bodice",
            ("centre front panel", "princess seam", "shoulder"),
            ("side front panel", "princess seam", "shoulder"),
        ),
    ],
)
def test_joined_corners_run_on_smoothly(
    design: str, first: tuple[str, str, str], second: tuple[str, str, str]
) -> None:
    for size in SIZES[design]:
        angles = [angle(DESIGNS[design][size, piece], *edges) for piece, *edges in (first, second)]
        assert sum(angles) == pytest.approx(180, abs=0.1), size


@pytest.mark.parametrize("size", SIZES["shell"])
def test_the_bust_dart_folds_down_onto_the_side_seam(size: str) -> None:
    drawing = DESIGNS["shell"][size, "front"]
    upper, point, lower = drawing.darts["bust dart"]
    assert abs(upper - point) == pytest.approx(abs(lower - point), abs=0.005)
    below = line_string(drawing.edges["side seam"][0])
    leg, middle = (lower - point) / abs(lower - point), (upper + lower) / 2 - point
    middle /= abs(middle)
    segments = list(drawing.outline)
    start = min(range(len(segments)), key=lambda i: abs(segments[i].start - lower))
    first, second = segments[start : start + 2]
    assert abs(second.end - upper) < 0.01
    for segment, once_more in ((first, False), (second, True)):
        for i in range(11):
            p = segment.point(i / 10) - point
            if once_more:
                p = middle * middle * p.conjugate()
            folded = point + leg * leg * p.conjugate()
            assert below.distance(Point(folded.real, folded.imag)) < 0.05


@pytest.mark.parametrize(
    ("design", "strip", "edges", "ratio"),
    [
        ("wrap-blouse", "neck tape", ["front/neckline", "back/neckline"] * 2, 0.98),
        ("shell", "armhole binding", ["front/armhole", "back/armhole"], 0.95),
    ],
)
def test_strips_fit_what_they_are_sewn_to(design: str, strip: str, edges: list[str], ratio: float) -> None:
    for size in SIZES[design]:
        points = flattened(DESIGNS[design][size, strip].outline)
        reach = max(p.real for p in points) - min(p.real for p in points)
        assert reach == pytest.approx(ratio * measured(design, size, " + ".join(edges)), abs=0.05)


@pytest.mark.parametrize(("design", "key"), PIECES)
def test_a_piece_has_what_a_cutter_needs(design: str, key: tuple[str, str]) -> None:
    size, name = key
    drawing = DESIGNS[design][key]
    printed = " ".join(
        element.text for element in drawing.shapes["lettering"] or drawing.shapes["grainline"] if element.text
    )
    assert name in printed
    assert f"size {size}" in printed
    assert "cut 1" in printed
    assert "rev. A 2026" in printed
    assert ("fold" in printed) == bool(drawing.paths["fold line"])
    inside = Polygon([(p.real, p.imag) for p in flattened(drawing.outline)]).buffer(0.5)
    assert inside.covers(LineString([(p.real, p.imag) for p in flattened(drawing.paths["grainline"][0])]))
    for notch in drawing.paths["notches"]:
        edge = line_string(drawing.cut if len(drawing.cut) else drawing.outline)
        assert edge.distance(Point(notch.start.real, notch.start.imag)) < 0.3


def test_pieces_do_not_lie_on_each_other() -> None:
    apart = {
        design: [[key for key in DESIGNS[design] if key[0] == size] for size in SIZES[design]]
        for design in ("wrap-blouse", "shell")
    }
    names = {piece for _, piece in DESIGNS["choir-bodice"]}
    apart["choir-bodice"] = [[key for key in DESIGNS["choir-bodice"] if key[1] == name] for name in names]
    for design, sheets in apart.items():
        for sheet in sheets:
            shapes = [
                line_string(DESIGNS[design][key].cut if design != "shell" else DESIGNS[design][key].outline)
                for key in sheet
            ]
            for one, other in combinations([Polygon(shape.coords) for shape in shapes], 2):
                assert one.distance(other) > 5


@pytest.mark.parametrize("path", SHEETS, ids=lambda path: path.name)
def test_a_sheet_can_be_printed_and_checked(path: Path) -> None:
    root = etree.parse(path).getroot()
    factor = scale(root)
    (square,) = root.iter("{*}rect")
    assert float(value(square, "width")) * factor == pytest.approx(50, abs=0.001)
    assert value(square, "width") == value(square, "height")
    assert "measure the square" in " ".join(map(str, root.itertext()))
    weights = re.findall(r"stroke-width[:=]\s*\"?([\d.]+)", path.read_text())
    assert weights
    assert all(0.349 <= float(weight) * factor <= 0.501 for weight in weights)
