"""How static files are gathered for serving: names that hold a hash, one file where one will do."""

from collections.abc import Callable, Iterator
from fnmatch import fnmatchcase
from typing import Any

from django.contrib.staticfiles.storage import staticfiles_storage
from django.core.files.base import ContentFile
from whitenoise.storage import CompressedManifestStaticFilesStorage

from clients.static_in_one import in_one_script, in_one_sheet
from clients.static_parts import parts_of

IN_ONE: dict[str, Callable[[str], str]] = {
    "css/app.css": in_one_sheet,
    "js/phone/pages/*.js": in_one_script,
}
"""What a page asks for with all that it imports in it, by name."""

# Our own scripts only: those of others write imports in ways of their own.
OWN_SCRIPTS = (
    "js[/\\]*.js",
    (
        (r"""(?P<matched>\bfrom\s*["'](?P<url>\.[^"']+)["'];)""", 'from "%(url)s";'),
        (r"""(?P<matched>\bimport\s*["'](?P<url>\.[^"']+)["'];)""", 'import "%(url)s";'),
        (r"""(?P<matched>\bimport\(["'](?P<url>\.[^"']+)["']\))""", 'import("%(url)s")'),
    ),
)


class GatheredFiles(CompressedManifestStaticFilesStorage):  # type: ignore[misc] # has no types
    """Hashed names also inside scripts, so that each may be kept for ever and is loaded once."""

    patterns = (*CompressedManifestStaticFilesStorage.patterns, OWN_SCRIPTS)
    max_post_process_passes = 20
    """A script's name is settled after those that it imports: as many rounds as imports are deep."""

    def post_process(
        self, paths: dict[str, Any], *args: Any, **options: Any
    ) -> Iterator[tuple[str, str | None, Any]]:
        """Put into one file what belongs together, then let names and compression follow."""
        if not options.get("dry_run"):
            paths = {**paths, **{name: (self, name) for name in paths if self._put_in_one(name)}}
        yield from super().post_process(paths, *args, **options)

    def is_in_one(self, name: str) -> bool:
        """Whether a file is served with all that it imports inside."""
        return any(fnmatchcase(name, pattern) for pattern in IN_ONE)

    def _put_in_one(self, path: str) -> bool:
        name = self.clean_name(path)
        for pattern, put in IN_ONE.items():
            if fnmatchcase(name, pattern):
                text = put(name)
                self.delete(path)
                self._save(path, ContentFile(text.encode()))
                return True
        return False


def served_parts(*names: str) -> tuple[str, ...]:
    """Return the files that a browser asks for when it loads these, each once, these first."""
    is_in_one = getattr(staticfiles_storage, "is_in_one", lambda _name: False)
    parts = (parts_of(name) if not is_in_one(name) else (name,) for name in names)
    return tuple(dict.fromkeys([*names, *(one for found in parts for one in found)]))
