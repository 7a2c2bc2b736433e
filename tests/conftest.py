"""Property tests try the same examples in every run; ``UNGAPE_RANDOM=1`` has them look for new ones."""

from __future__ import annotations

import os

from hypothesis import settings

settings.register_profile("repeatable", derandomize=True, deadline=None)
settings.register_profile("searching", deadline=None)
settings.load_profile("searching" if os.environ.get("UNGAPE_RANDOM") else "repeatable")
