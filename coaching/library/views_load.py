"""Pages that show what exercises load of a client."""

from typing import Any

from django.http import HttpResponse
from django.shortcuts import render
from django.urls import reverse
from django.views.decorators.http import require_safe
from django_htmx.http import replace_url

from clients.access import coach_or_404
from clients.page_or_part import SignedInRequest, page_or_part, wants_part
from coaching.library.access import exercise_of_coach, ladder_of_library
from coaching.library.chosen_client import client_choice
from coaching.library.pages_exercise import exercise_page
from coaching.library.pages_exercise_load import exercise_load
from coaching.library.pages_ladder import ladder_page
from coaching.library.pages_ladders import ladders_page
from coaching.library.pages_own_exercise import acts_of

RESULTS = "load-results"
"""The id of what is put anew while a coach types into the calculator."""


@require_safe
def ladders(request: SignedInRequest) -> HttpResponse:
    """All progression ladders around the spine, with the loads of a client who is chosen."""
    coach = coach_or_404(request.user)
    choice = client_choice(coach, request.GET)
    context = {"page": ladders_page(coach, choice), "choice": choice}
    part = "library/ladders/_ladders.html"
    answer = page_or_part(request, "library/ladders/page.html", part, context)
    return _with_address(request, answer, reverse("library:ladders") + choice.keeps)


@require_safe
def ladder(request: SignedInRequest, key: str) -> HttpResponse:
    """One ladder, hardest rung on top, with the loads of one client or two."""
    row = ladder_of_library(request.user, key)
    choice = client_choice(request.user, request.GET)
    context = {"page": ladder_page(request.user, row, choice), "choice": choice}
    part = "library/ladder/_ladder.html"
    answer = page_or_part(request, "library/ladder/page.html", part, context)
    return _with_address(request, answer, reverse("library:ladder", args=[key]) + choice.keeps)


@require_safe
def exercise(request: SignedInRequest, key: str) -> HttpResponse:
    """One exercise: what it trains, how it is done, what it loads of a client, where it stands."""
    row = exercise_of_coach(request.user, key)
    choice = client_choice(request.user, request.GET)
    load = exercise_load(row, choice, request.GET)
    status = 422 if load.refused else 200
    context: dict[str, Any] = {"choice": choice, "load": load, "exercise": row}
    if wants_part(request) and request.htmx.target == RESULTS:
        return render(request, "library/exercise/_load_answer.html", context, status=status)
    context |= {"page": exercise_page(request.user, row, choice), "acts": acts_of(row)}
    part = "library/exercise/_exercise.html"
    answer = page_or_part(request, "library/exercise/page.html", part, context, status=status)
    return _with_address(request, answer, reverse("library:exercise", args=[key]) + choice.keeps)


def _with_address(request: SignedInRequest, answer: HttpResponse, address: str) -> HttpResponse:
    """A part goes under the address that shows the same when it is opened again."""
    return replace_url(answer, address) if wants_part(request) else answer
