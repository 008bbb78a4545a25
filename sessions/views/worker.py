"""What makes Today open without a network, and from the home screen; nothing in it is private."""

from django.contrib.auth.decorators import login_not_required
from django.http import HttpRequest, HttpResponse, JsonResponse
from django.shortcuts import render
from django.views.decorators.cache import cache_control
from django.views.decorators.http import require_safe

from sessions.pages_worker import manifest, worker_facts


@login_not_required
@require_safe
@cache_control(no_cache=True)
def worker(request: HttpRequest) -> HttpResponse:
    """The service worker; from here it may serve what lies below Today."""
    context = {"facts": worker_facts()}
    return render(request, "sessions/today/worker.js", context, content_type="text/javascript")


@login_not_required
@require_safe
@cache_control(no_cache=True)
def offline(request: HttpRequest) -> HttpResponse:
    """What stands in the place of a page that is not kept on the phone."""
    return render(request, "sessions/today/offline.html")


@login_not_required
@require_safe
@cache_control(no_cache=True)
def webmanifest(_request: HttpRequest) -> JsonResponse:
    """How a phone puts the app on its home screen."""
    return JsonResponse(manifest(), content_type="application/manifest+json")
