"""The floor: several clients who train at once, one column each."""

from collections.abc import Callable

from csp.constants import SELF
from csp.decorators import csp_replace
from django.http import HttpResponse
from django.http.response import HttpResponseBase
from django.shortcuts import redirect, render
from django.utils import timezone
from django.views.decorators.cache import never_cache
from django.views.decorators.clickjacking import xframe_options_sameorigin
from django.views.decorators.http import require_safe

from clients.access import clients_of_coach, coach_or_404
from clients.page_or_part import SignedInRequest
from sessions.pages_floor import floor_page, floor_url
from sessions.views.today import today, unplanned


def _in_column(view: Callable[..., HttpResponse]) -> Callable[..., HttpResponseBase]:
    """A page that may stand in a frame, and only in a frame of ours."""
    return xframe_options_sameorigin(csp_replace({"frame-ancestors": [SELF]})(view))


# Nothing else may: in a frame of somebody else's page one taps what one does not see.
today_in_column, unplanned_in_column = _in_column(today), _in_column(unplanned)

KEPT = "floor"


@require_safe
@never_cache
def floor(request: SignedInRequest) -> HttpResponse:
    """The columns that the address names; without any, those of earlier today."""
    coach = coach_or_404(request.user)
    day = timezone.localdate().isoformat()
    kept = request.session.get(KEPT, {})
    earlier = kept.get("clients") if kept.get("on") == day else None
    if earlier and not request.GET:
        return redirect(floor_url(earlier))
    chosen = clients_of_coach(coach, request.GET.getlist("client"))
    page = floor_page(coach, chosen, timezone.now())
    if request.GET:
        ids = [column.pk for column in page.columns]
        request.session[KEPT] = {"on": day, "clients": ids}
    return render(request, "sessions/floor/page.html", {"page": page})
