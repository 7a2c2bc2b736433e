"""The tests; all that they compute is computed as the command does it, by one thread of linear algebra."""

import os

# Before numpy is loaded: see `transform.command.program`.
os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
