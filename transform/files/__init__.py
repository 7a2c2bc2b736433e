"""Files on disk: which are read, which may be written, and how a whole set is written or none of it."""
