"""Every kind of notice that there is: rules accept them by these words. The list is closed.

A kind is never renamed; a test holds the code to the list.
"""

from __future__ import annotations

from collections.abc import Mapping

NOTICES: Mapping[str, str] = {
    "accepted nothing": "an entry under `accept` that meets no notice",
    "allowance off": "the cut line beside a new line is not quite as far off as its allowance asks for",
    "beyond the frame": "an altered line lies beyond its clip path, frame or page, and did not before",
    "copy altered too": "a `use` draws an altered line a second time, and the copy changes with it",
    "ease changed": "a seam with ease has other ease than before, since one side was altered",
    "edge lost less": "an edge is shorter by over 2 mm less than was removed",
    "edge's end moved": "a closed edge's end had to move along the centre, because a wedge lies beside it",
    "edges not used": "the rules' `edges` of a piece are not used, since its shapes are labelled with theirs",
    "editor's copy dropped": "an editor's own copy of an altered line was dropped, since it would undo it",
    "fold bent": "an edge on the fold runs straight no more, so that the piece cannot be cut on the fold",
    "forgotten piece": "a piece has an edge like an altered one, and no rule links the two",
    "found nothing": "an entry under `find` that matches nothing in any file",
    "inner line in the wedge": "an inner line lay wholly in the wedge and was removed",
    "inner line off the edge": "an inner line that ended on an edge now ends beyond it or short of it",
    "kink across a seam": "edges that ran smoothly across the end of a seam do so no more",
    "large removal": "more is removed at one place than another size would ask for",
    "left-over file": "a file in the output folder that the design wrote once and does not write now",
    "line bends both ways": "the closed edge bends both ways, because its ends leave no other way",
    "link receives nothing": "a linked piece or a strip that no removal reaches",
    "linked edges apart": "a shared edge was altered on one of two linked pieces alone, so that they differ",
    "little room": "the closed edge had less room than a fair line asks for",
    "mark in the wedge": "a mark lay in the wedge and was moved to the closure",
    "near the edge's end": "a leg of the wedge lies within 10 mm of the edge's end",
    "notches apart": "notches that met where a seam is joined do so no more",
    "old revision": "an altered sheet tells a revision and the rules give no new one",
    "piece opened": "a linked piece grows at its far edge, since it opens where the one it follows closes",
    "point at the apex": "a dart ends at the apex, near it or past it",
    "seam was off before": "a seam does not fit, and did not before",
    "size left out": "sizes of a file, or whole files, were not asked for and stay as they came",
    "strip was off before": "a strip was not as long as the edges that it follows ask for",
    "style rule": "a style rule applies to a shape no more, or does now, since it became a path",
    "uneven grade": "a size steps out of the grade of its neighbours, and did not in the files as they came",
    "wide dart": "a dart takes in more than is easily sewn",
}
"""What a person should look at, and may `accept`."""
