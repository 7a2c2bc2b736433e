"""Every hostile file, each with the whole command in a process of its own: time, memory, what became of it.

python -m tests.hostile [--fast] [WORD…]
"""

from __future__ import annotations

import sys

from tests.hostile.cases import LARGE, LONG
from tests.hostile.drawings import drawings
from tests.hostile.running import by_itself, in_a_child, listening, try_whole
from tests.hostile.writings import writings


def main() -> int:
    """Run the cases whose names hold one of the words (none: all); 1 where something is not as it must be."""
    words = [word for word in sys.argv[1:] if not word.startswith("--")]
    command = in_a_child if "--fast" in sys.argv else by_itself
    asked_for = [c for c in (*drawings(), *writings()) if not words or any(word in c.name for word in words)]
    bad, slowest, largest = 0, (0.0, ""), (0.0, "")
    with listening() as (server, asked):
        for case in asked_for:
            runs = try_whole(case, server, asked, command)
            for name, run, wrong in runs:
                slowest = max(slowest, (run.seconds, f"{name}: {case.name}"))
                largest = max(largest, (run.megabytes, f"{name}: {case.name}"))
                bad += bool(wrong)
                for one in wrong:
                    print(f"{name}: {case.name}: {one}", flush=True)
            # Loading takes a good part of a run by itself; what counts is measured without it.
            if command is in_a_child and case.name not in LARGE:
                took = sum(run.seconds for _, run, _ in runs)
                if took > LONG:
                    print(f"{case.name}: took {took:.2f} s and is not among the large ones", flush=True)
    print(f"{len(asked_for)} hostile files, {bad} runs not as they must be")
    print(
        f"the longest run: {slowest[0]:.2f} s ({slowest[1]}); the largest: {largest[0]:.0f} MB ({largest[1]})"
    )
    return 1 if bad else 0


if __name__ == "__main__":
    # Loaded once, for the runs that are children of this process.

    sys.exit(main())
