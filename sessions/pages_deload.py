"""What the deload page shows: the light week beside the usual one, and what it does."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from typing import Any

from clients.models import Client, User
from coaching.blocks.errors import BlockError
from coaching.blocks.models import PlannedSession, Week
from coaching.blocks.queries import goal_keys, week_value
from coaching.blocks.services import check_light_week, plan_with_light_week
from coaching.blocks.snapshots import Snapshot, snapshot_of
from coaching.rules.deload import DeloadProposal, light_week
from coaching.rules.findings import Finding, FindingKind
from coaching.rules.plan import PlannedWeek, WeekKind
from sessions.forms_deload import BEFORE, IN_PLACE, LightWeekForm, asked_day, with_defaults
from sessions.light_week_view import Day, Effect, days_of, effect_of, percent
from sessions.models import Decision
from sessions.pages_ability import chart_address
from sessions.pages_review import ReviewWeek
from sessions.queries_deload import (
    UsualWeek,
    first_free_day,
    light_days,
    live_light_week,
    published_weeks,
    usual_week,
    week_on,
)
from sessions.review_words import KIND_WORDS, source_words
from sessions.week_reading import WeekReading, read_weeks

NEAR = timedelta(days=21)
"""Two light weeks that begin within so many days are named to the coach."""

LEADS_TO_LIGHT_WEEK = (
    FindingKind.OVERREACHING,
    FindingKind.DELOAD_DUE,
    FindingKind.STALLED,
    FindingKind.MISSED,
)


@dataclass(frozen=True)
class Found:
    """One finding that led here, and where its chart is."""

    word: str
    finding: Finding
    source: str
    chart: str


@dataclass(frozen=True)
class Applied:
    """A light week that is in the plan: where, by whom, and whether it can be taken back."""

    decision: Decision
    starts_on: date
    ends_on: date
    share: str
    is_newest: bool
    first_session: PlannedSession | None


@dataclass(frozen=True)
class Preview:
    """A light week as it would be put into the plan."""

    proposal: DeloadProposal
    starts_on: date
    ends_on: date
    days: tuple[Day, ...]
    effect: Effect
    then: tuple[str, ...]
    refusal: str
    source: str


@dataclass(frozen=True)
class DeloadPage:
    """Everything on the page; ``preview`` is none while the form has errors.

    ``usual`` is none when nothing is planned in that place; ``running`` is the light week
    that the client is in already, ``applied`` the one that was put in here.
    """

    client: Client
    today: date
    review: ReviewWeek
    reading: WeekReading
    found: tuple[Found, ...]
    pain: tuple[Finding, ...]
    applied: Applied | None
    running: Week | None
    usual: UsualWeek | None
    form: LightWeekForm | None
    preview: Preview | None

    @property
    def first_name(self) -> str:
        """What the coach calls the client."""
        return self.client.name.split()[0]

    @property
    def day_after_running(self) -> date | None:
        """The first day after the planned light week."""
        return self.running.starts_on + timedelta(days=7) if self.running else None

    @property
    def why_not(self) -> str:
        """Why nothing can be put in now, should somebody try."""
        if self.applied is not None:
            day = _day(self.applied.starts_on)
            return f"A light week from {day} is already in the plan; undo it to put in another."
        if self.running is not None:
            return "This day lies in a light week already; choose a later one."
        if self.usual is None:
            return "Nothing is planned in that place; publish a block first."
        return "Nothing was changed: look at the fields that are marked."

    @property
    def findings(self) -> tuple[Finding, ...]:
        """What is kept with the decision: what led here, pain included."""
        return (*(f.finding for f in self.found), *self.pain)


def deload_page(
    client: Client, review: ReviewWeek, sent: Mapping[str, Any], now: datetime
) -> DeloadPage:
    """The page for what the coach asked; about 45 queries, whatever the length of history."""
    today = client.local_date(now)
    (reading,) = read_weeks([client], review.starts_on, today)
    weeks = published_weeks(client, today)
    default = first_free_day(client, today)
    starts_on = asked_day(sent, default, today)
    there = usual_week(weeks, starts_on)
    usual = there or usual_week(weeks, default)
    applied = _applied(client, today)
    running = None if applied else _running_light(weeks, today, starts_on)
    form, preview = None, None
    if usual is not None and applied is None and running is None:
        value = week_value(usual.week)
        asked = with_defaults(sent, default, place=_usual_place(weeks, starts_on))
        form = LightWeekForm(asked, today=today, usual=value, is_planned=there is not None)
        preview = _preview(client, usual, value, form) if form.is_answerable else None
    found = [f for f in reading.urgent if f.kind in LEADS_TO_LIGHT_WEEK]
    return DeloadPage(
        client=client,
        today=today,
        review=review,
        reading=reading,
        found=tuple(_found(f, reading) for f in sorted(found, key=_order)),
        pain=tuple(f for f in reading.urgent if f.kind is FindingKind.PAIN),
        applied=applied,
        running=running,
        usual=usual,
        form=form,
        preview=preview,
    )


def _order(finding: Finding) -> int:
    return LEADS_TO_LIGHT_WEEK.index(finding.kind)


def _found(finding: Finding, reading: WeekReading) -> Found:
    return Found(
        word=KIND_WORDS[finding.kind],
        finding=finding,
        source=source_words(finding.source_key),
        chart=chart_address(reading, finding),
    )


def _applied(client: Client, today: date) -> Applied | None:
    decision = live_light_week(client, today)
    if decision is None or decision.version is None:
        return None
    starts_on, ends_on = light_days(decision)
    newest = decision.version.block.versions.order_by("-number").values_list("pk", flat=True)[:1]
    return Applied(
        decision=decision,
        starts_on=starts_on,
        ends_on=ends_on,
        share=percent(decision.proposal["share"]),
        is_newest=newest[0] == decision.version_id,
        first_session=PlannedSession.objects.filter(
            week__block=decision.version.block, week__starts_on=starts_on
        )
        .order_by("on", "position")
        .first(),
    )


def _running_light(weeks: list[Week], today: date, starts_on: date) -> Week | None:
    """The light week that the client is in today, unless a later first day is asked."""
    now, then = week_on(weeks, today), week_on(weeks, starts_on)
    is_light = now is not None and now.kind == WeekKind.DELOAD and now == then
    return now if is_light else None


def _usual_place(weeks: list[Week], starts_on: date) -> str:
    """A light week takes the place of one that is planned there anyway."""
    here = week_on(weeks, starts_on)
    return IN_PLACE if here is not None and here.kind == WeekKind.DELOAD else BEFORE


def _preview(client: Client, usual: UsualWeek, value: PlannedWeek, form: LightWeekForm) -> Preview:
    data = form.cleaned_data
    proposal = light_week(
        value,
        starts_on=data["starts_on"],
        share=data["share"] / 100,
        keep=goal_keys(client),
        fixed=form.wishes,
        days=data["days"],
    )
    replaces = data["place"] == IN_PLACE
    before = snapshot_of(usual.block)
    after = plan_with_light_week(
        before, usual.week, proposal.week, days=data["days"], replaces=replaces
    )
    then = [*_then(before, after, data, replaces=replaces), *_own_light(after, data)]
    return Preview(
        proposal=proposal,
        starts_on=data["starts_on"],
        ends_on=data["starts_on"] + timedelta(days=data["days"] - 1),
        days=days_of(value, proposal, form, budget=client.minutes),
        effect=effect_of(value, proposal),
        then=tuple(then),
        refusal="" if form.errors else _refusal(usual, after, data["starts_on"], form.today),
        source=source_words(proposal.source_key),
    )


def _refusal(usual: UsualWeek, after: Snapshot, starts_on: date, today: date) -> str:
    """Why the block cannot take it, or nothing."""
    try:
        check_light_week(block=usual.block, snapshot=after, starts_on=starts_on, today=today)
    except BlockError as error:
        return str(error)
    return ""


def _then(
    before: Snapshot, after: Snapshot, data: Mapping[str, Any], *, replaces: bool
) -> list[str]:
    """What becomes of the rest of the block."""
    start = data["starts_on"]
    was, now = _session_days(before), _session_days(after)
    spell = start + timedelta(days=data["days"])
    following = next((day for day in now if day >= spell), None)
    goes_on = f"Then the block goes on on {_day(following)}" if following else "Then the block ends"
    if not replaces:
        later = round((max(now) - max(was)).days / 7) if following else 0
        weeks = {0: "as before", 1: "a week later"}.get(later, f"{later} weeks later")
        return [f"{goes_on}; its last session is on {_day(max(now))}, {weeks}."]
    first, gone = start.isoformat(), set(_uids(before)) - set(_uids(after))
    days = [day for day, uid in _dated(before) if uid in gone and day.isoformat() >= first]
    count = "1 planned session gives" if len(days) == 1 else f"{len(days)} planned sessions give"
    if not days:
        return [f"{goes_on}; nothing else was planned in these days."]
    return [
        f"{count} way, {_day(min(days))} to {_day(max(days))}.",
        f"{goes_on}; nothing else moves." if following else f"{goes_on}.",
    ]


def _dated(snapshot: Snapshot) -> list[tuple[date, str]]:
    return [
        (date.fromisoformat(session["on"]), session["uid"])
        for week in snapshot["weeks"]
        for session in week["sessions"]
    ]


def _uids(snapshot: Snapshot) -> list[str]:
    return [uid for _, uid in _dated(snapshot)]


def _session_days(snapshot: Snapshot) -> list[date]:
    return sorted(day for day, _ in _dated(snapshot))


def _day(day: date) -> str:
    return f"{day:%a} {day.day} {day:%b}"


def _own_light(after: Snapshot, data: Mapping[str, Any]) -> list[str]:
    """That the block has a light week of its own soon after, should it be so."""
    start = data["starts_on"]
    days = [date.fromisoformat(w["starts_on"]) for w in after["weeks"] if w["kind"] == "deload"]
    follows = next((day for day in days if start < day <= start + NEAR), None)
    if follows is None:
        return []
    return [
        f"The block’s own light week follows from {_day(follows)}. To have one only, start on its "
        "first day and take its place."
    ]


def apply_arguments(page: DeloadPage, by: User) -> dict[str, Any] | None:
    """What the service needs to put the previewed week in; none while there is no preview."""
    if page.preview is None or page.usual is None or page.form is None or page.form.errors:
        return None
    return {
        "client": page.client,
        "usual": page.usual.week,
        "proposal": page.preview.proposal,
        "findings": page.findings,
        "week_starts_on": page.review.starts_on,
        "today": page.today,
        "by": by,
        "days": page.form.cleaned_data["days"],
        "replaces": page.form.cleaned_data["place"] == IN_PLACE,
    }
