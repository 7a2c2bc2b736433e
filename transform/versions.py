"""Which versions did the work: ungape's own, and those of what its results hang on."""

from __future__ import annotations

import platform
from importlib import metadata


def versions_text() -> str:
    """A line on ungape, then one on what it runs with, ending with a line end."""
    try:
        own = f"ungape {metadata.version('ungape')}"
    except metadata.PackageNotFoundError:
        return "ungape, not installed\n"
    return f"{own}\nPython {platform.python_version()}, {', '.join(_libraries())}\n"


def _libraries() -> list[str]:
    import lxml.etree
    import numpy
    import shapely
    import yaml

    return [
        f"numpy {numpy.__version__}",
        f"shapely {shapely.__version__} (GEOS {shapely.geos_version_string})",
        f"lxml {lxml.etree.__version__} (libxml2 {'.'.join(map(str, lxml.etree.LIBXML_VERSION))})",
        f"PyYAML {yaml.__version__}",
    ]
