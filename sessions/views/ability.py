"""The chart behind a finding."""

from datetime import date

from django.http import Http404, HttpResponse
from django.views.decorators.http import require_safe

from clients.access import client_of_coach
from clients.page_or_part import SignedInRequest, page_or_part
from coaching.rules.findings import FindingKind
from sessions.pages_ability import Asked, ability_page
from sessions.views.review import week_of

PAGE, PART = "sessions/ability/page.html", "sessions/ability/_part.html"


@require_safe
def ability(request: SignedInRequest, client_id: int) -> HttpResponse:
    """Ability of one exercise, or of all together, beside what was planned and done."""
    asked = Asked(
        client=client_of_coach(request.user, client_id),
        week=week_of(request),
        exercise=request.GET.get("exercise", ""),
        since=_day_sent(request.GET.get("since", "")),
        said=_kind_sent(request.GET.get("said", "")),
    )
    page = ability_page(asked)
    if page is None:
        raise Http404("This exercise is not in this log.")
    return page_or_part(request, PAGE, PART, {"page": page})


def _day_sent(text: str) -> date | None:
    """A day of the address; what is none draws no line."""
    try:
        return date.fromisoformat(text)
    except ValueError:
        return None


def _kind_sent(text: str) -> str:
    """The kind of a finding as the address holds it; anything else names nothing."""
    return text if text.upper() in FindingKind.__members__ else ""
