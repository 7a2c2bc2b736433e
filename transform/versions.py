"""Which versions did the work: ungape's own, and those of what its results hang on."""

from __future__ import annotations

import platform
from importlib import metadata

_LIBRARIES = ("numpy", "shapely", "lxml", "PyYAML")


def versions_text() -> str:
    """A line on ungape, then one on what it runs with, ending with a line end; nothing is loaded for it."""
    try:
        own = f"ungape {metadata.version('ungape')}"
        others = [f"{name} {metadata.version(name)}" for name in _LIBRARIES]
    except metadata.PackageNotFoundError:
        return "ungape, not installed\n"
    return f"{own}\nPython {platform.python_version()}, {', '.join(others)}\n"


def versions_within() -> str:
    """The same, and a line on what the libraries were built with, which only they themselves can tell."""
    import lxml.etree
    import shapely

    libxml2 = ".".join(map(str, lxml.etree.LIBXML_VERSION))
    return f"{versions_text()}GEOS {shapely.geos_version_string}, libxml2 {libxml2}\n"
