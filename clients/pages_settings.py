"""What the page of settings shows: each budget of false alarms, and what it finds."""

from dataclasses import dataclass

from clients.forms.settings import WatchfulnessForm
from clients.models import User
from coaching.rules.watchfulness import USUAL_BUDGET, choices


@dataclass(frozen=True)
class BudgetChoice:
    """One budget as the form offers it, with the shares of falls it finds [%]."""

    value: str
    words: str
    within_7: str
    within_14: str
    is_chosen: bool
    is_usual: bool


@dataclass(frozen=True)
class SettingsPage:
    """The budgets, the one that holds, and what was wrong with the last try."""

    form: WatchfulnessForm
    choices: tuple[BudgetChoice, ...]


def settings_page(coach: User, form: WatchfulnessForm) -> SettingsPage:
    """Every budget, with the coach's own marked; no query."""
    return SettingsPage(
        form=form,
        choices=tuple(
            BudgetChoice(
                value=f"{one.budget:g}",
                words=one.words,
                within_7=f"{one.within_7:.0%}".replace("%", " %"),
                within_14=f"{one.within_14:.0%}".replace("%", " %"),
                is_chosen=one.budget == coach.false_alarms_a_year,
                is_usual=one.budget == USUAL_BUDGET,
            )
            for one in choices()
        ),
    )
