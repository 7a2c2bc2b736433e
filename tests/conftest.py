"""Property tests try the same examples in every run; ``UNGAPE_RANDOM=1`` has them look for new ones."""

from __future__ import annotations

import os
import signal

from hypothesis import settings

# Where a service runs the tests, the command under test is not to know.
os.environ.pop("GITHUB_ACTIONS", None)
# A run in the background may have been told to ignore interrupts; what is tested here must not inherit that.
signal.signal(signal.SIGINT, signal.default_int_handler)
settings.register_profile("repeatable", derandomize=True, deadline=None)
settings.register_profile("searching", deadline=None)
settings.load_profile("searching" if os.environ.get("UNGAPE_RANDOM") else "repeatable")
