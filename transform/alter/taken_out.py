"""A mouth taken out again: the seam closed across it, the hem raised until the seam has its old length."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace

from rules.labels import fold
from rules.model import TakenOut
from transform.alter.problems import Asked
from transform.alter.runs import NewStretch, Run
from transform.alter.sections import Section, clipped, corners, sections, with_sections
from transform.geometry.chain import Chain
from transform.geometry.nearest import nearest
from transform.geometry.raising import fill, raised

CornerPoint = Callable[[str], complex | None]


def take_out(
    stretches: Sequence[NewStretch], dart: str, finish: TakenOut, corner_point: CornerPoint, asked: Asked
) -> tuple[NewStretch, ...]:
    """The stretches without the mouth of ``dart``, the hem raised.

    ``corner_point`` tells where a named corner of the piece now lies.

    Raises:
        AlterError: where the hem does not adjoin the seam that opened, or where it does not reach to
            where the change is to run out.
    """
    index = next(k for k, stretch in enumerate(stretches) if stretch.dart == dart)
    before, after = stretches[index - 1], stretches[(index + 1) % len(stretches)]
    old_length = before.chain.length + after.chain.length
    row = _turned_to_an_edge_start(list(fill_across(stretches, dart)))
    return _raise_hem(row, before.edge, old_length, dart, finish, corner_point, asked)


def fill_across(stretches: Sequence[NewStretch], dart: str) -> tuple[NewStretch, ...]:
    """The stretches, begun at the mouth of ``dart``, with a line across it that joins both sides smoothly."""
    index = next(k for k, stretch in enumerate(stretches) if stretch.dart == dart)
    row = [*stretches[index:], *stretches[:index]]
    before, after = row[-1], row[1]
    begin, end = (
        max(corners(before.chain), default=0.0),
        min(corners(after.chain), default=after.chain.length),
    )
    filled = fill(before.chain.cut(begin, before.chain.length), after.chain.cut(0.0, end))
    runs = (
        *_clipped(before.runs, 0.0, before.chain.length - filled.back),
        Run(filled.line),
        *_clipped(after.runs, filled.on, after.chain.length),
    )
    return (*_rejoined(before, after, runs), *row[2:-1])


def _clipped(runs: Sequence[Run], first: float, last: float) -> list[Run]:
    found, begin = [], 0.0
    for run in runs:
        end = begin + run.chain.length
        if min(end, last) - max(begin, first) > 1e-9:
            found.append(clipped(run, max(begin, first) - begin, min(end, last) - begin))
        begin = end
    return found


def _rejoined(before: NewStretch, after: NewStretch, runs: tuple[Run, ...]) -> list[NewStretch]:
    """One stretch where a new dart had divided one shape; two where each has its own."""
    if before.source is None or after.source is None or before.source == after.source:
        source = before.source if before.source is not None else after.source
        return [replace(before, runs=runs, source=source)]
    drawn = next(k for k, run in enumerate(runs) if run.kept is None)
    return [replace(before, runs=runs[: drawn + 1]), replace(after, runs=runs[drawn + 1 :])]


def _turned_to_an_edge_start(row: list[NewStretch]) -> list[NewStretch]:
    """The seam stands first in the list; it may have begun on the stretches at its end."""
    while row[-1].edge is not None and row[-1].edge == row[0].edge and row[-1].dart is None:
        row.insert(0, row.pop())
    return row


def _raise_hem(
    row: Sequence[NewStretch],
    seam_edge: str | None,
    old_length: float,
    dart: str,
    finish: TakenOut,
    corner_point: CornerPoint,
    asked: Asked,
) -> tuple[NewStretch, ...]:
    parts = sections(row)
    seam_index = next(k for k, section in enumerate(parts) if section.edge == seam_edge and _drawn(section))
    seam = parts[seam_index]
    hem_index, forward = _hem_beside(parts, seam_index, finish, dart, asked)
    hem = parts[hem_index]
    excess = seam.chain.length - old_length
    if excess <= 0:
        return tuple(row)
    if excess >= seam.chain.length:
        raise asked.refusal("nothing left", f"taking out {dart} would leave nothing of {seam_edge}")
    seam_line = seam.chain if forward else seam.chain.reversed()
    hem_line = hem.chain if forward else hem.chain.reversed()
    place = seam_line.length - excess
    turn = seam_line.tangent(place, before=True) / seam_line.tangent(seam_line.length, before=True)
    reach = _reach(hem_line, finish, parts, hem_index, forward, corner_point, asked)
    drawn = raised(hem_line, seam_line.point(place), turn, reach)
    if forward:
        parts[seam_index] = seam.redrawn(place, seam.chain.length, Chain(()))
        parts[hem_index] = hem.redrawn(0.0, reach, drawn)
    else:
        parts[seam_index] = seam.redrawn(0.0, excess, Chain(()))
        length = hem.chain.length
        parts[hem_index] = hem.redrawn(length - reach, length, drawn.reversed())
    return with_sections(row, parts)


def _drawn(section: Section) -> bool:
    return any(run.kept is None for run in section.runs)


def _hem_beside(
    parts: Sequence[Section], seam_index: int, finish: TakenOut, dart: str, asked: Asked
) -> tuple[int, bool]:
    """The hem's section, and whether it follows the seam (else it comes before it)."""
    count = len(parts)
    for index, forward in (((seam_index + 1) % count, True), ((seam_index - 1) % count, False)):
        edge = parts[index].edge
        if edge is not None and fold(edge) == fold(finish.at):
            return index, forward
    raise asked.refusal(
        "hem not beside the seam",
        f"{finish.at} does not adjoin {parts[seam_index].edge}, where {dart} opens",
    )


def _reach(
    hem: Chain,
    finish: TakenOut,
    parts: Sequence[Section],
    hem_index: int,
    forward: bool,
    corner_point: CornerPoint,
    asked: Asked,
) -> float:
    beyond = parts[(hem_index + (1 if forward else -1)) % len(parts)].edge
    if beyond is not None and fold(beyond) == fold(finish.to):
        return hem.length
    corner = corner_point(finish.to)
    if corner is not None:
        place, distance = nearest(hem, corner)
        if distance < 1.0 and place > 1.0:
            return place
    if beyond is not None and beyond == parts[hem_index].edge:
        raise asked.refusal(
            "hem runs elsewhere",
            f"{finish.at} is divided by a dart or a sharp point before it reaches {finish.to}, and no curve "
            "runs across that; name a corner on this side of it",
        )
    raise asked.refusal(
        "hem runs elsewhere",
        f"{finish.to} is neither the edge at the far end of {finish.at} ({beyond}) nor a corner on it",
    )
