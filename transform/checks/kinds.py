"""Every kind of error and of notice that there is, and what it means. The lists are closed.

Reports, `accept` and other people's scripts go by these words, so a kind is never renamed; a test holds the
code to the lists.
"""

from __future__ import annotations

from collections.abc import Mapping

ERRORS: Mapping[str, str] = {
    # The rules and the command line: exit 2.
    "command line": "a command or an option that does not exist, or a value that it does not take",
    "no rules": "a rules file that is not there or cannot be read, or a folder without any",
    "yaml": "the rules file is no YAML, or uses a part of YAML that rules do without",
    "duplicate key": "a key stands twice in one mapping of the rules, or two keys are one name",
    "unknown word": "a key or a word in the rules that the format does not have",
    "wrong value": "a value in the rules of another form than the format asks for",
    "missing value": "something that the format needs is not in the rules",
    "clash": "two things in the rules, each right by itself, that contradict each other",
    "removal of nothing": "a removal whose width is 0",
    "wrong version": "the rules are written for another version of the format",
    "missing size": "an amount by size has no entry for a size of the design",
    "selector": "a CSS selector under `find` that cannot be read",
    "two designs, one file": "two designs of one run would write the same file",
    "report over source": "a report would overwrite a file that was read",
    # Pattern files as files: exit 3 from here on.
    "missing pattern": "no file has a name that the rules give, or one of the sizes has none",
    "two files, one name": "two pattern files would be written under one name",
    "unreadable file": "a pattern file that cannot be read, is no SVG, or is too large",
    "encoding": "a pattern file in an encoding that is not read, or that is not in the one it names",
    "entity": "a part that would have to change comes out of an entity of the document type",
    "no real size": "a drawing without width and height in real units",
    "viewBox": "a viewBox that cannot be read",
    "length": "a length in the drawing that cannot be read",
    "transform": "a transform that cannot be read, or that flattens what it maps",
    "geometry in css": "geometry that is set by a style sheet",
    "foreign element": "an element of another kind of document that says where a drawing lies",
    "not a shape": "an element that is no shape of SVG where one is needed",
    "path data": "path data that cannot be read, from the command named on",
    "reference": "a reference to an element that is not there, or that refers to itself",
    "broken note": "the note of an earlier run in the file cannot be read",
    "removed already": "a pattern file carries the removal that is asked for",
    # Pattern files as patterns.
    "names disagree": "the file's name says one size or piece, the labels in it another",
    "piece without a name": "a line that belongs to no named piece",
    "no outline": "a layer of lines that hold no closed outline",
    "two outlines": "two outlines in one layer that are equally good",
    "gap": "lines of an outline that do not meet",
    "outline by reference": "an outline that is drawn by a `use`",
    "edges overlap": "two edges of the rules run over one part of the outline",
    "which way round": "an edge of the rules that could run either way round the outline",
    "unknown corner": "a corner of the rules that no corner mark names",
    "corner mark": "a corner mark that is too far from the outline, or named twice",
    "dart": "a dart of which the legs or the point cannot be told",
    "shared dart": "a dart outside all sizes that would have to change in one of them",
    "allowance": "a line that has to be carried in, and cannot be, by the allowance given",
    # Rules that the pattern does not fit.
    "unknown size": "a size that is not among the design's sizes",
    "unknown piece": "a piece that the size does not hold",
    "unknown edge": "an edge that the piece does not have",
    "unknown end": "neither a corner at an end of the edge nor an edge that adjoins it",
    "unknown dart": "a dart that the piece does not have",
    "unknown apex mark": "an apex mark that the piece does not have",
    "piece outside the sizes": "a removal on a piece that serves every size",
    "no apex mark": "a wedge that closes to an apex on a piece without a mark for it",
    "which apex": "a piece with several apex marks, none of which is named",
    "dart exists": "a new dart of a name that the piece has",
    "past the edge": "a place or a leg beyond the end of its edge",
    "too wide": "a wedge that is wider than can be",
    "pinched at the fold": "a pinch at a fold line or a centre seam, where it is shared by both halves",
    "pivot outside": "a pivot that does not lie on the piece",
    "over a dart": "a wedge over the mouth of a dart",
    "over its mouth": "a wedge over the place that it is to open",
    "wedges overlap": "two wedges that share a part of an edge",
    "crosses a wedge": "a leg or a cut that crosses another wedge",
    "crosses a dart": "a leg or a cut that crosses a dart",
    "cannot see the edge": "a leg or a cut that leaves the piece",
    "no wedge": "legs that lie on one line with the pivot",
    "held on both parts": "`hold` names an edge that lies on both parts",
    "differing finish": "two removals that finish one dart differently",
    "drawn back too far": "a dart point drawn back beyond the mouth",
    "no centre": "a dart to be pressed to the centre of a piece that shows none",
    "nothing left": "a dart that takes out more than the hem has",
    "hem not beside the seam": "a dart taken out at an edge that does not adjoin the seam",
    "hem runs elsewhere": "a hem that does not lead to where its curve is to end",
    # The output folder.
    "output is no folder": "the name of the output folder is that of a file",
    "output over source": "the output folder holds a pattern file that is read",
    "not ours": "a file in the output folder that ungape did not write",
    "edited file": "a file in the output folder that was edited since it was written",
    "written by another design": "a file in the output folder that another design wrote",
    "broken ledger": "the ledger of the output folder cannot be read",
    "busy folder": "another run is writing into the output folder",
    "cannot write": "the disk refuses to write",
    # What `check` finds: exit 1.
    "stale file": "a file in the output folder that is not what would be written now",
    "missing file": "a file that would be written now and is not in the output folder",
    "left-over file": "a file that the design wrote once and would not write now",
    "unfinished run": "a run was killed while it wrote; the next `apply` completes it",
    # Faults of ours: exit 4 and 70; and 130.
    "failed its own check": "a result broke one of the laws that every result obeys",
    "unexpected fault": "something went wrong that nobody thought of",
    "interrupted": "the run was interrupted",
}
"""What stops a design, or needs a person; by the exit code that it leads to."""

NOTICES: Mapping[str, str] = {
    "accepted nothing": "an entry under `accept` that meets no notice",
    "edge lost less": "an edge is shorter by over 2 mm less than was removed",
    "inner line in the wedge": "an inner line lay wholly in the wedge and was removed",
    "large removal": "more is removed at one place than another size would ask for",
    "left-over file": "a file in the output folder that the design wrote once and does not write now",
    "line bends both ways": "the closed edge bends both ways, because its ends leave no other way",
    "little room": "the closed edge had less room than a fair line asks for",
    "mark in the wedge": "a mark lay in the wedge and was moved to the closure",
    "near the edge's end": "a leg of the wedge lies within 10 mm of the edge's end",
    "old revision": "an altered sheet tells a revision and the rules give no new one",
    "point at the apex": "a dart ends at the apex, near it or past it",
    "seam was off before": "a seam does not fit, and did not before",
    "size left out": "a file holds sizes that were not asked for and stay as they came",
    "wide dart": "a dart takes in more than is easily sewn",
}
"""What a person should look at, and may `accept`."""
