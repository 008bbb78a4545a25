"""What a script or a style sheet brings along: the files that it imports, and theirs."""

import posixpath
import re
from collections.abc import Iterator
from functools import cache
from pathlib import Path

from django.conf import settings
from django.contrib.staticfiles import finders

SCRIPT_IMPORT = re.compile(
    r"""^(?:import|export)\b(?:[^;'"=]*?\bfrom)?\s*["'](\.[^"']+)["'];""", re.MULTILINE
)
SHEET_IMPORT = re.compile(r"""@import url\("([^"]+)"\)(?: layer\(([\w-]+)\))?;""")


def parts_of(*names: str, deep: bool = True) -> tuple[str, ...]:
    """Return static files with what they import, each once, the ones named first.

    ``deep`` is for what the imported ones import in their turn.
    """
    # While one works on the files, they are read again each time.
    return _read_parts(names, deep) if settings.DEBUG else _kept_parts(names, deep)


def _read_parts(names: tuple[str, ...], deep: bool) -> tuple[str, ...]:  # noqa: FBT001
    found = list(dict.fromkeys(names))
    for name in found if deep else list(found):
        found.extend(one for one in _imports(name) if one not in found)
    return tuple(found)


_kept_parts = cache(_read_parts)


def _imports(name: str) -> Iterator[str]:
    if name.endswith((".css", ".js")):
        pattern = SHEET_IMPORT if name.endswith(".css") else SCRIPT_IMPORT
        for match in pattern.finditer(source(name)):
            yield posixpath.normpath(posixpath.join(posixpath.dirname(name), match[1]))


def source(name: str) -> str:
    """Return the text of a static file as it was written.

    Raises:
        FileNotFoundError: there is no static file of that name.
    """
    found = finders.find(name)
    if not isinstance(found, str):
        message = f"There is no static file {name}."
        raise FileNotFoundError(message)
    return Path(found).read_text(encoding="utf-8")
