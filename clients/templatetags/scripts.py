"""The scripts of a page, asked for at once instead of one import after the other."""

from django import template
from django.templatetags.static import static
from django.utils.html import format_html, format_html_join
from django.utils.safestring import SafeString

from clients.static_storage import served_parts

register = template.Library()


@register.simple_tag
def module(name: str) -> SafeString:
    """Return tags that load a script, and have what it imports fetched beside it."""
    imported = [(static(one),) for one in served_parts(name)[1:]]
    ahead = format_html_join("\n", '<link rel="modulepreload" href="{}">', imported)
    return format_html('{}\n<script type="module" src="{}"></script>', ahead, static(name))
