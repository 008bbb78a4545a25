"""Style sheets and scripts put into one file each, so that a phone asks once and not forty times."""

import posixpath
import re

from clients.static_parts import SHEET_IMPORT, parts_of, source

COMMENT = re.compile(r"/\*.*?\*/", re.DOTALL)
COMMENT_LINES = re.compile(r"^[ \t]*/\*.*?\*/[ \t]*\n", re.DOTALL | re.MULTILINE)
OTHER_FILE = re.compile(r"""url\(["']?(?!data:|#)|@import""")

NAMED_IMPORT = re.compile(r"""^import\s*\{([^}]*)\}\s*from\s*["'](\.[^"']+)["'];\n""", re.MULTILINE)
BARE_IMPORT = re.compile(r"""^import\s*["'](\.[^"']+)["'];\n""", re.MULTILINE)
EXPORT = re.compile(r"^export (?=(?:const|class|function|async function)\s+([\w$]+))", re.MULTILINE)
LEFT_OVER = re.compile(r"^(?:import|export)\b.*|\bimport\s*[(.].*", re.MULTILINE)


def in_one_sheet(name: str) -> str:
    """Return a style sheet with its parts in the place of its imports, each in its layer.

    Raises:
        ValueError: a part imports or names another file, whose address would change.
    """

    def put_in_place(match: re.Match[str]) -> str:
        part = COMMENT.sub("", source(_beside(name, match[1]))).strip()
        if OTHER_FILE.search(part):
            message = f"{match[1]} names another file, which cannot be found from {name}."
            raise ValueError(message)
        return f"@layer {match[2]} {{\n{part}\n}}" if match[2] else part

    return SHEET_IMPORT.sub(put_in_place, COMMENT.sub("", source(name))).strip() + "\n"


def in_one_script(name: str) -> str:
    """Return a script with all that it imports, each in a block of its own and run once.

    Understood are imports and exports of named constants, classes and functions, which our
    scripts keep to.

    Raises:
        ValueError: a script imports or exports in another way, or two import each other.
    """
    order = _in_order(name, ())
    places = {one: f"m{place}" for place, one in enumerate(order)}
    return "\n".join(_block(one, places) for one in order)


def _beside(name: str, relative: str) -> str:
    return posixpath.normpath(posixpath.join(posixpath.dirname(name), relative))


def _in_order(name: str, above: tuple[str, ...]) -> list[str]:
    """Return scripts so that each stands after those that it imports."""
    if name in above:
        message = f"{' imports '.join([*above, name])}: two scripts import each other."
        raise ValueError(message)
    imported = [_in_order(one, (*above, name)) for one in parts_of(name, deep=False)[1:]]
    return list(dict.fromkeys([*(one for found in imported for one in found), name]))


def _block(name: str, places: dict[str, str]) -> str:
    def take(match: re.Match[str]) -> str:
        wanted = re.sub(r"\s+as\s+", ": ", match[1].strip())
        return f"const {{ {wanted} }} = {places[_beside(name, match[2])]};\n"

    text = COMMENT_LINES.sub("", source(name))
    names = EXPORT.findall(text)
    body = BARE_IMPORT.sub("", NAMED_IMPORT.sub(take, EXPORT.sub("", text))).strip()
    if found := LEFT_OVER.search(body):
        message = f"{name} cannot be put into one file with others: {found[0]}"
        raise ValueError(message)
    given = f"\nObject.assign({places[name]}, {{ {', '.join(names)} }});" if names else ""
    return f"const {places[name]} = {{}};\n{{\n{body}{given}\n}}"
