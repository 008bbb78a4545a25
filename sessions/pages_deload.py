"""What the deload page shows: the light week beside the usual one, and what it does."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from typing import Any

from clients.models import Client, User
from coaching.blocks.errors import BlockError
from coaching.blocks.models import PlannedSession, Week
from coaching.blocks.plan_rows import snapshot_of
from coaching.blocks.queries import goal_keys, week_value
from coaching.blocks.services import NO_STEP_BACKS, check_light_week, plan_with_light_week
from coaching.blocks.snapshots import Snapshot
from coaching.blocks.target_changes import StepBacks
from coaching.rules.deload import DeloadProposal, light_week
from coaching.rules.findings import Finding, FindingKind
from coaching.rules.plan import PlannedWeek, WeekKind
from sessions.forms_deload import BEFORE, IN_PLACE, LightWeekForm, asked_day, with_defaults
from sessions.light_week_able import eased, step_backs
from sessions.light_week_view import Day, Effect, days_of, effect_of, percent
from sessions.models import Decision
from sessions.next_targets import Proposal
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
from sessions.rest_of_block import RestOfBlock, rest_of_block
from sessions.review_services import change_of
from sessions.review_words import (
    KIND_WORDS,
    after_words,
    before_words,
    light_week_start,
    short_day,
    source_words,
)
from sessions.week_reading import WeekReading, read_weeks

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
    """A light week that is in the plan: where, and by whom."""

    decision: Decision
    starts_on: date
    ends_on: date
    share: str
    first_session: PlannedSession | None


@dataclass(frozen=True)
class Preview:
    """A light week as it would be put into the plan."""

    proposal: DeloadProposal
    starts_on: date
    ends_on: date
    days: tuple[Day, ...]
    effect: Effect
    rest: RestOfBlock
    refusal: str
    source: str
    backs: StepBacks = NO_STEP_BACKS


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
    backs: tuple[Proposal, ...] = ()
    """What the review steps back, undecided."""

    @property
    def back_words(self) -> tuple[str, ...]:
        """What steps back, each in a few words."""
        return tuple(
            f"{one.name}: {before_words(one)} → {f'{one.rung} ' if one.to else ''}{after_words(one)}"
            for one in self.backs
        )

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
            day = short_day(self.applied.starts_on)
            return f"A light week from {day} is already in the plan; undo it to put in another."
        if self.running is not None:
            return "This day lies in a light week already; choose a later one."
        if self.usual is None:
            return "Nothing is planned in that place; publish a block first."
        return "Nothing was changed: look at the fields that are marked."

    @property
    def put_in_words(self) -> str:
        """What was put into the plan, in a sentence, for whoever goes on in the review."""
        if self.preview is None:
            return ""
        days = f"{short_day(self.preview.starts_on)} to {short_day(self.preview.ends_on)}"
        moved = "the rest of the block moves on"
        if self.form is not None and self.form.cleaned_data["place"] == IN_PLACE:
            moved = "the block ends as planned"
        carried = self.preview.backs.carried_from
        count = len(self.backs)
        back = f", {count} step{'s' if count == 1 else ''} back after it" if carried else ""
        return f"light week from {days} is in the plan, {moved}{back}."

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
    default = _first_day(client, review, weeks, today)
    starts_on = asked_day(sent, default, today)
    there = usual_week(weeks, starts_on)
    usual = there or usual_week(weeks, default)
    applied = _applied(client, today)
    asked_for = starts_on if sent.get("starts_on") else today
    running = None if applied else _running_light(weeks, today, asked_for)
    form, preview, backs = None, None, tuple[Proposal, ...]()
    if usual is not None and applied is None and running is None:
        value = week_value(usual.week)
        form = LightWeekForm(
            with_defaults(sent, default, place=_usual_place(weeks, starts_on)),
            today=today,
            usual=value,
            is_planned=there is not None,
            chose_place="place" in sent,
        )
        backs = step_backs(reading, usual.block.pk)
        if form.is_answerable:
            preview = _preview(usual, value, form, (reading, backs))
    return DeloadPage(
        client=client,
        today=today,
        review=review,
        reading=reading,
        found=_led_here(reading),
        pain=tuple(f for f in reading.urgent if f.kind in {FindingKind.RED_FLAG, FindingKind.PAIN}),
        applied=applied,
        running=running,
        usual=usual,
        form=form,
        preview=preview,
        backs=backs,
    )


def _led_here(reading: WeekReading) -> tuple[Found, ...]:
    found = (f for f in reading.urgent if f.kind in LEADS_TO_LIGHT_WEEK)
    return tuple(_found(f, reading) for f in sorted(found, key=_order))


def _first_day(client: Client, review: ReviewWeek, weeks: list[Week], today: date) -> date:
    """The Monday that the review proposes, or the first free day where nothing is planned then."""
    free = first_free_day(client, today)
    monday = max(light_week_start(review.starts_on, today), free)
    return monday if usual_week(weeks, monday) is not None else free


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
    return Applied(
        decision=decision,
        starts_on=starts_on,
        ends_on=ends_on,
        share=percent(decision.proposal["share"]),
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


def _preview(
    usual: UsualWeek,
    value: PlannedWeek,
    form: LightWeekForm,
    known: tuple[WeekReading, Sequence[Proposal]],
) -> Preview:
    data, (reading, backs) = form.cleaned_data, known
    client, now = reading.client, eased(value, reading, backs)
    proposal = light_week(
        now.week,
        starts_on=data["starts_on"],
        share=data["share"] / 100,
        keep=goal_keys(client),
        fixed=form.own_sets,
        days=data["days"],
        wishes=form.wishes,
        able=now.able,
    )
    ends_on = data["starts_on"] + timedelta(days=data["days"] - 1)
    carried = ends_on + timedelta(days=1) if form.carries and backs else None
    moved = StepBacks(tuple(change_of(one) for one in backs), carried)
    rest, refusal = _placed(usual, proposal, (data["starts_on"], ends_on), (form, moved))
    return Preview(
        proposal=proposal,
        starts_on=data["starts_on"],
        ends_on=ends_on,
        days=days_of(value, proposal, form, budget=client.minutes),
        effect=effect_of(value, proposal),
        rest=rest,
        refusal=refusal,
        source=source_words(proposal.source_key),
        backs=moved,
    )


def _placed(
    usual: UsualWeek,
    proposal: DeloadProposal,
    spell: tuple[date, date],
    asked: tuple[LightWeekForm, StepBacks],
) -> tuple[RestOfBlock, str]:
    """The rest of the block around the light week, and why the block cannot take it, or nothing.

    Where the coach chose nothing and the block cannot move, it shortens.
    """
    form, backs = asked
    before = snapshot_of(usual.block)
    replaces = form.cleaned_data["place"] == IN_PLACE

    def made(*, replaces: bool) -> Snapshot:
        days = form.cleaned_data["days"]
        return plan_with_light_week(
            before, usual.week, proposal.week, days=days, replaces=replaces, backs=backs
        )

    after = made(replaces=replaces)
    refusal = "" if form.errors else _refusal(usual, after, spell[0], form.today)
    if refusal and not replaces and not form.chose_place:
        other = made(replaces=True)
        if not _refusal(usual, other, spell[0], form.today):
            form.shorten()
            after, refusal, replaces = other, "", True
    carries = backs.carried_from is not None
    return rest_of_block(before, after, spell, replaces=replaces, carries=carries), refusal


def _refusal(usual: UsualWeek, after: Snapshot, starts_on: date, today: date) -> str:
    """Why the block cannot take it, or nothing."""
    try:
        check_light_week(block=usual.block, snapshot=after, starts_on=starts_on, today=today)
    except BlockError as error:
        return str(error)
    return ""


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
        "steps_back": page.backs,
        "carried_from": page.preview.backs.carried_from,
    }
