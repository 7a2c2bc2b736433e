"""What a person can do about each kind of notice, in a sentence."""

from __future__ import annotations

from collections.abc import Mapping

REMEDIES: Mapping[str, str] = {
    "accepted nothing": "Take the entry out of `accept`, or mend its kind or its piece.",
    "allowance off": "Look at the cut line there; draw it by hand if the cloth needs it.",
    "beyond the frame": "Enlarge the clip path or the page in the new file, or move the piece.",
    "copy altered too": "Unlink the copy in the file that came if it is to stay as it was.",
    "ease changed": "Sew a sample; if the ease is right, accept it, else alter the other side too.",
    "edge lost less": "Take the excess out where the wedge meets the edge more squarely, if the toile allows "
    "it; else accept the notice.",
    "edge's end moved": "See that the edge still meets the centre as it should; else move the wedge.",
    "edges not used": "Take the entry out of `edges`, or the labels off the shapes.",
    "editor's copy dropped": "Nothing to do; keep the file that came if you still need its path effects.",
    "fold bent": "Let the wedge point and open elsewhere; else cut a seam at the centre.",
    "forgotten piece": "Name the piece under `linked`; accept the notice if the two are never sewn together.",
    "found nothing": "Mend the selector, or take the entry out of `find`.",
    "inner line in the wedge": "Draw the line again in the new file if it is still wanted.",
    "inner line off the edge": "Trim the line, or draw it on to the edge, in the new file.",
    "kink across a seam": "Lay the pieces together along the seam and true the line across it.",
    "large removal": "Try another size or a bust adjustment on a toile first.",
    "left-over file": "Delete it if nobody needs it any more.",
    "linked edges apart": "Alter the linked piece by hand, or give both pieces the same removals.",
    "link receives nothing": "Mend `along` or `follows`, or take the entry out of `linked`.",
    "line bends both ways": "Look at the closed edge; move the wedge, or ask for `line: straight`.",
    "little room": "Look at the closed edge; move the wedge away from the end of its edge.",
    "mark in the wedge": "See that the mark still stands where it is wanted, and meets its partner.",
    "near the edge's end": "Move the wedge away from the end of its edge if the toile allows it.",
    "notches apart": "Walk the seam and set the notches anew on one side.",
    "old revision": "Give the rules a `revision` with a new mark and date.",
    "piece opened": "See that the far edge of the piece may grow; else give the piece a removal of its own.",
    "point at the apex": "Draw the point back: 25 mm for a small cup to 65 mm for a large one.",
    "seam was off before": "True the seam in the pattern itself; ungape has made it no worse.",
    "size left out": "Run again without `--size`, or list the size under `sizes` if it shall be written.",
    "strip was off before": "Measure the strip again; it was cut by the difference all the same.",
    "style rule": "Give the shape a class, and the style rule that class, in the file that came.",
    "uneven grade": "Look at the amount and the place of that size beside those of its neighbours.",
    "wide dart": "Trim or slit it before pressing, sew it in steps, or share it between two darts.",
}
"""By the kind of the notice (`rules.notices.NOTICES`)."""
