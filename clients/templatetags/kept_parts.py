"""Parts of pages that are rendered once for each content."""

from collections.abc import Hashable
from contextlib import suppress
from functools import lru_cache

from django import template
from django.conf import settings
from django.template.loader import render_to_string
from django.urls import get_script_prefix, reverse
from django.utils.safestring import SafeString

register = template.Library()
KEPT = 2000


@register.simple_tag
def kept_part(template_name: str, **values: Hashable) -> SafeString:
    """A part made from those values and nothing else, kept for the next time they are the same.

    For parts that hold no form and nothing of the request, made from frozen values; a part of
    values that cannot be compared is made anew each time.
    """
    if not settings.DEBUG:
        # Asked for at once: to look first whether it can be compared costs as much again.
        with suppress(TypeError):
            return _kept(template_name, tuple(values.items()))
    return render_to_string(template_name, values)


@register.simple_tag
def kept_url(name: str, *arguments: Hashable) -> str:
    """The address of a page as ``{% url %}`` gives it, looked for once.

    Which addresses there are does not change while the program runs, nor beneath which path it
    answers.
    """
    return _address(get_script_prefix(), name, arguments)


@lru_cache(maxsize=KEPT)
def _address(_prefix: str, name: str, arguments: tuple[Hashable, ...]) -> str:
    return reverse(name, args=arguments)


@lru_cache(maxsize=KEPT)
def _kept(template_name: str, values: tuple[tuple[str, Hashable], ...]) -> SafeString:
    return render_to_string(template_name, dict(values))
