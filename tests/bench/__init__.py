"""The benchmark: what a run costs, as a ratio to what the same bytes cost anyone who reads and writes them.

    python -m tests.bench            every figure, of at least seven runs (some minutes)
    python -m tests.bench --small    the same on small files, one run each: that it runs, not how fast

Every row measures its work and its floor in turn. Of both the least is taken: what other programs on the
machine add to a run only ever makes it longer.
"""
