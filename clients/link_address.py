"""The address under which a phone finds a sign-in link, and the code to scan it."""

from urllib.parse import urlsplit

import segno
from django.conf import settings
from django.http import HttpRequest
from django.utils.safestring import SafeString, mark_safe

_THIS_MACHINE = frozenset({"localhost", "127.0.0.1", "::1", "[::1]"})


def phone_address(request: HttpRequest, path: str) -> str:
    """The whole address of a path as a client's phone should open it.

    A coach who works on the machine itself sees an address that no phone can reach;
    then the name under which the program also answers is taken.
    """
    if settings.CSRF_TRUSTED_ORIGINS:
        return f"{settings.CSRF_TRUSTED_ORIGINS[0]}{path}"
    here = urlsplit(request.build_absolute_uri(path))
    if here.hostname not in _THIS_MACHINE:
        return here.geturl()
    others = [host for host in settings.ALLOWED_HOSTS if host not in _THIS_MACHINE]
    if not others:
        return here.geturl()
    port = f":{here.port}" if here.port else ""
    return here._replace(netloc=f"{others[0]}{port}").geturl()


def opens_here_only(address: str) -> bool:
    """Whether only this machine can open an address."""
    return urlsplit(address).hostname in _THIS_MACHINE


def qr_code(address: str) -> SafeString:
    """The address as a code for a phone's camera, as inline SVG without inline style."""
    code = segno.make(address, error="m", micro=False)
    # Always dark on light: many cameras do not read it the other way round.
    drawing = code.svg_inline(
        omitsize=True, dark="#000", light="#fff", border=3, svgclass="qr", lineclass=None
    )
    return mark_safe(drawing)  # noqa: S308 - made by the library from squares only
