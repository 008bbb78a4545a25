"""Every page asks for a sign-in unless its view says otherwise."""

from typing import Any

from django.contrib.auth.middleware import LoginRequiredMiddleware
from django.http import HttpRequest, HttpResponseBase, JsonResponse
from django_htmx.http import HttpResponseClientRedirect


class SignInRequiredMiddleware(LoginRequiredMiddleware):
    """Sends a browser to the sign-in page, and tells a phone or a part plainly.

    The phone keeps its unsent entries and asks to sign in on a 401; a redirect
    to a page would look to it like an answer.
    """

    def handle_no_permission(  # type: ignore[override] # the base always redirects
        self, request: HttpRequest, view_func: Any
    ) -> HttpResponseBase:
        """Answer in the shape in which the request came."""
        if "application/json" in request.headers.get("Accept", ""):
            return JsonResponse({"error": "Sign in again to go on."}, status=401)
        answer = super().handle_no_permission(request, view_func)
        if request.headers.get("HX-Request") == "true":
            return HttpResponseClientRedirect(answer.headers["Location"])
        return answer
