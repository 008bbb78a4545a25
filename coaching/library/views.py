"""The library's pages: exercises, ladders, the numbers' sources and the guide."""

from django.http import HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_safe

from clients.access import coach_or_404
from clients.page_or_part import SignedInRequest, page_or_part
from coaching.library.access import exercise_of_coach
from coaching.library.forms import SearchForm
from coaching.library.pages import exercise_page, exercises_page, ladders_page
from coaching.library.pages_sources import sources_page


def base_of(request: SignedInRequest) -> str:
    """The frame of a page that coaches and clients both read."""
    return "coach.html" if request.user.is_coach else "phone.html"


@require_safe
def exercises(request: SignedInRequest) -> HttpResponse:
    """All exercises, or those that fit what was asked for."""
    coach = coach_or_404(request.user)
    form = SearchForm(request.GET)
    wanted = form.cleaned_data if form.is_valid() else {}
    context = {"page": exercises_page(coach, wanted), "form": form}
    part = "library/exercises/_found.html"
    return page_or_part(request, "library/exercises/page.html", part, context)


@require_safe
def exercise(request: SignedInRequest, key: str) -> HttpResponse:
    """One exercise: what it trains, how it is done, where it stands."""
    coach = coach_or_404(request.user)
    row = exercise_of_coach(request.user, key)
    return render(request, "library/exercise/page.html", {"page": exercise_page(coach, row)})


@require_safe
def ladders(request: SignedInRequest) -> HttpResponse:
    """All progression ladders, easiest rung first."""
    coach = coach_or_404(request.user)
    return render(request, "library/ladders/page.html", {"ladders": ladders_page(coach)})


@require_safe
def sources(request: SignedInRequest) -> HttpResponse:
    """Every number of the trade with its source."""
    context = {"page": sources_page(), "base": base_of(request)}
    return render(request, "library/sources/page.html", context)


@require_safe
def guide(request: SignedInRequest) -> HttpResponse:
    """How to use the tool, for coaches and for clients."""
    return render(request, "library/guide/page.html", {"base": base_of(request)})
