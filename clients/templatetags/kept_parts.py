"""Parts of pages that are rendered once for each content."""

from collections.abc import Hashable
from functools import lru_cache

from django import template
from django.conf import settings
from django.template.loader import render_to_string
from django.utils.safestring import SafeString

register = template.Library()
KEPT = 2000


@register.simple_tag
def kept_part(template_name: str, **values: Hashable) -> SafeString:
    """A part made from those values and nothing else, kept for the next time they are the same.

    For parts that hold no form and nothing of the request, made from frozen values; a part of
    values that cannot be compared is made anew each time.
    """
    given = tuple(sorted(values.items()))
    try:
        hash(given)
    except TypeError:
        return render_to_string(template_name, values)
    if settings.DEBUG:
        return render_to_string(template_name, values)
    return _kept(template_name, given)


@lru_cache(maxsize=KEPT)
def _kept(template_name: str, values: tuple[tuple[str, Hashable], ...]) -> SafeString:
    return render_to_string(template_name, dict(values))
