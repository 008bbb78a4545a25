"""How pages answer: a whole page, or the part of it that HTMX asked for."""

from collections.abc import Callable
from typing import Any

from django.contrib.messages import get_messages
from django.http import HttpRequest, HttpResponse, HttpResponseBase
from django.shortcuts import redirect, render, resolve_url
from django.template.loader import render_to_string
from django.utils.cache import patch_vary_headers
from django_htmx.http import HttpResponseClientRedirect
from django_htmx.middleware import HtmxDetails

from clients.models import User

INSTEAD = "instead"
"""Tag of a message that takes the place of all older ones, which it may contradict."""


class SignedInRequest(HttpRequest):
    """A request of somebody who signed in."""

    user: User
    htmx: HtmxDetails


def wants_part(request: HttpRequest) -> bool:
    """Whether HTMX asked for a part (and not for a whole page by a boosted link)."""
    htmx: HtmxDetails = request.htmx  # type: ignore[attr-defined]
    return bool(htmx) and not htmx.boosted and not htmx.history_restore_request


def page_or_part(
    request: HttpRequest,
    page: str,
    part: str,
    context: dict[str, Any],
    *,
    status: int = 200,
) -> HttpResponse:
    """Answer with the part's template to HTMX and with the page's otherwise."""
    answer = render(request, part if wants_part(request) else page, context, status=status)
    patch_vary_headers(answer, ["HX-Request"])
    return answer


def go_to(request: HttpRequest, to: str, *args: Any, **kwargs: Any) -> HttpResponse:
    """Redirect, in the way that HTMX understands when it asked."""
    if wants_part(request):
        return HttpResponseClientRedirect(resolve_url(to, *args, **kwargs))
    there: HttpResponse = redirect(to, *args, **kwargs)
    return there


class MessagesInPartsMiddleware:
    """Adds waiting messages to a part, out of band, so that no act is silent."""

    def __init__(self, get_response: Callable[[HttpRequest], HttpResponseBase]) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponseBase:
        """Append the messages to the answer of an HTMX request."""
        answer = self.get_response(request)
        if not wants_part(request) or not isinstance(answer, HttpResponse):
            return answer
        is_html = answer.headers.get("Content-Type", "").startswith("text/html")
        moves_on = "HX-Redirect" in answer.headers or 300 <= answer.status_code < 400
        if not is_html or moves_on:
            return answer
        messages = list(get_messages(request))
        if messages:
            instead = any(INSTEAD in (one.extra_tags or "").split() for one in messages)
            context = {"messages": messages, "out_of_band": True, "instead": instead}
            answer.write(render_to_string("_shared/_messages.html", context))
        return answer
