"""The library's pages: exercises, the numbers' sources and the guide."""

from django.http import HttpResponse
from django.shortcuts import render
from django.urls import reverse
from django.views.decorators.http import require_safe
from django_htmx.http import replace_url

from clients.access import coach_or_404
from clients.page_or_part import SignedInRequest, page_or_part, wants_part
from coaching.library.chosen_client import KeptChoice
from coaching.library.forms import SearchForm
from coaching.library.own_exercise_queries import retired_of
from coaching.library.pages_exercises import exercises_page
from coaching.library.pages_guide import guide_page
from coaching.library.pages_sources import certainty_asked, kind_asked, sources_page


def base_of(request: SignedInRequest) -> str:
    """The frame of a page that coaches and clients both read."""
    return "coach.html" if request.user.is_coach else "phone.html"


@require_safe
def exercises(request: SignedInRequest) -> HttpResponse:
    """All exercises, or those that fit what was asked for."""
    coach = coach_or_404(request.user)
    form = SearchForm(request.GET)
    search = form.search()
    choice = KeptChoice.of(request.GET)
    context = {
        "page": exercises_page(coach, search),
        "form": form,
        "retired": retired_of(coach),
        "choice": choice,
    }
    part = "library/exercises/_found.html"
    answer = page_or_part(request, "library/exercises/page.html", part, context)
    if wants_part(request):
        # An address without the empty fields of the form is one that a coach can keep.
        query = "&".join(part for part in (search.query, choice.query) if part)
        replace_url(answer, reverse("library:exercises") + (f"?{query}" if query else ""))
    return answer


@require_safe
def sources(request: SignedInRequest) -> HttpResponse:
    """Every number of the trade with its source, or those of one kind or certainty."""
    asked = request.GET
    page = sources_page(
        kind_asked(asked.get("kind", "")), certainty_asked(asked.get("certainty", ""))
    )
    context = {"page": page, "base": base_of(request)}
    part = "library/sources/_numbers.html"
    return page_or_part(request, "library/sources/page.html", part, context)


@require_safe
def guide(request: SignedInRequest) -> HttpResponse:
    """How to use the tool: everything for a coach, for a client their own part."""
    page = guide_page(for_coach=request.user.is_coach)
    return render(request, "library/guide/page.html", {"page": page, "base": base_of(request)})
