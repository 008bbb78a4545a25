"""The next block beside the last one: what each exercise was, what it becomes, and why."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from datetime import date, timedelta
from functools import cached_property

from clients.models import Client
from coaching.blocks.effects import WeekEffects, edit_sentence, volume_sentences, week_effects
from coaching.blocks.models import Block
from coaching.blocks.next_plan import same_weekday
from coaching.blocks.pages_template_look import FoundInPlan, found_in_plan, names_to_choose
from coaching.blocks.plan_figures import week_figures
from coaching.blocks.snapshots import Snapshot, WeekData, week_as_value
from coaching.rules import plan
from coaching.rules.findings import Finding, FindingKind
from coaching.rules.next_block import ALIKE, LineChoice
from coaching.rules.numbers import DELOAD_DUE_UNTIL, DELOAD_SHARE
from coaching.rules.shorter_session import MILD_RULE, RULE
from sessions.forms_next_block import (
    LIGHT_FIRST,
    STAY,
    NextBlockForm,
    first_day,
    next_block_form,
    usual_weeks,
    whole_in,
    wishes_in,
)
from sessions.next_block_fit import fitting_choices
from sessions.next_block_out import OutOfRange, out_of_range
from sessions.next_block_reading import LastPlan, NextReading, last_plan, read_next
from sessions.next_block_services import draft_after, plan_after
from sessions.next_block_sets import exercises_of
from sessions.next_block_week import FirstWeek, first_week
from sessions.next_block_words import counted, lost
from sessions.pages_next_line import NextLine, lines_of
from sessions.review_words import source_words


@dataclass(frozen=True)
class NextSession:
    """One session of the usual week: its day, its minutes before and after, its lines."""

    uid: str
    name: str
    on: date
    was_minutes: int
    asked_minutes: int
    """What it would take with nothing cut."""
    minutes: int
    fits: bool
    is_whole: bool
    """Whether the coach keeps it as long as it is."""
    lines: tuple[NextLine, ...]

    @property
    def is_cut(self) -> bool:
        """Whether something was taken out so that it ends on time."""
        return any(one.cut for one in self.lines)

    @property
    def cut_rule(self) -> str:
        """What goes first."""
        return f"{RULE} {MILD_RULE} {source_words('common-practice')}"


@dataclass(frozen=True)
class NextPreview:
    """The first week of the next block beside the usual week of the last one."""

    sessions: tuple[NextSession, ...]
    counts: str
    effects: WeekEffects
    effect_words: str
    balance_words: str
    out: tuple[OutOfRange, ...]
    """The muscles that are out of their range now, or further out than before."""
    volume: tuple[str, ...]
    loses: str
    """What the week has less of than before: sets, and muscles now out of their range."""
    found: FoundInPlan
    """What is found in the whole draft; the muscles out of their range are told apart."""
    to_choose: tuple[str, ...]
    """The exercises whose load is chosen in the draft."""

    @property
    def cut(self) -> int:
        """How many sessions were cut to end on time."""
        return sum(one.is_cut for one in self.sessions)


@dataclass(frozen=True)
class NextBlockPage:
    """All of the page; without a last block there is nothing to make one from."""

    client: Client
    last: LastPlan | None
    form: NextBlockForm | None
    reading: NextReading | None
    choices: Mapping[str, LineChoice]
    draft: Block | None
    notes: tuple[str, ...]
    wished: Mapping[str, str]
    whole: frozenset[str] = frozenset()
    stays: bool = False
    """Whether the coach keeps the exercises for one block more in spite of two alike."""
    begins_light: bool = False
    """Whether a light week comes before the first usual one."""

    @property
    def first_name(self) -> str:
        """The name that a coach would use in a sentence."""
        return self.client.name.partition(" ")[0]

    @property
    def may_stay(self) -> bool:
        """Whether exercises would change for two blocks alike."""
        return self.stays or any(one.why == ALIKE for one in self.choices.values())

    @property
    def may_begin_light(self) -> bool:
        """Whether something asks for a light week before the block."""
        kinds = {one.kind for one in self.reading.week.findings} if self.reading else set()
        return self.begins_light or not kinds.isdisjoint(_ASKS_FOR_LIGHT)

    @property
    def light_words(self) -> str:
        """What a light week at the beginning is."""
        share = f"{100 * DELOAD_SHARE.value:.0f}%"
        said = (
            f"One week with about {share} of the usual repetitions comes first, then the "
            f"{self.weeks} weeks of the block."
        )
        return f"{said}{self._light_already()} {source_words('common-practice')}"

    def _light_already(self) -> str:
        """A light week at the end of the last block that is not over yet."""
        last = self.last
        if last is None or self.reading is None:
            return ""
        newest = max(last.snapshot["weeks"], key=lambda week: week["starts_on"])
        is_light = newest["kind"] == plan.WeekKind.DELOAD.value and newest["sessions"]
        if not is_light or self.reading.today > last.ends_on or last.later:
            return ""
        on = date.fromisoformat(newest["starts_on"])
        return (
            f" Block {last.block.number} ends with a light week already, from {on.day} {on:%b}: "
            "two in a row are rarely needed."
        )

    @property
    def runs_still(self) -> bool:
        """Whether the last block has a day to come, so that a light week may be put into it."""
        reading = self.reading
        return reading is not None and reading.today < reading.last.until[1]

    @property
    def weeks(self) -> int:
        """How many weeks the block would have, without a light one at its beginning."""
        form, last = self.form, self.last
        if form is not None and form.is_valid():
            return int(form.cleaned_data["weeks"])
        return usual_weeks(last) if last else 0

    @property
    def ends_on(self) -> date | None:
        """The last day of the block."""
        days = timedelta(weeks=self.weeks + self.begins_light) - timedelta(days=1)
        return self.reading.starts_on + days if self.reading else None

    @cached_property
    def first(self) -> FirstWeek | None:
        """The first week as it will be; no query."""
        if self.reading is None:
            return None
        return first_week(self.reading, self.choices, self.wished, self.whole)

    @cached_property
    def preview(self) -> NextPreview | None:
        """The first week beside the last usual one; no query."""
        if self.reading is None or self.first is None:
            return None
        plan_made = None
        if self.first.week["sessions"]:
            plan_made = plan_after(
                self.reading, self.first, self.weeks, begins_light=self.begins_light
            )
        return _preview(self.reading, self.choices, self.wished, self.first, plan_made)


def next_block_page(client: Client, sent: Mapping[str, str], today: date) -> NextBlockPage:
    """The page for what was sent; 56 queries at most, whatever the history."""
    last = last_plan(client)
    if last is None:
        return NextBlockPage(client, None, None, None, {}, None, (), {})
    form = next_block_form(sent, last, today)
    valid = form.is_valid()
    starts_on = form.cleaned_data["starts_on"] if valid else first_day(last, today)
    begins_light = bool(sent.get(LIGHT_FIRST))
    weeks = int(form.cleaned_data["weeks"]) if valid else usual_weeks(last)
    reading = read_next(client, last, starts_on, today, weeks=weeks + begins_light)
    wished = wishes_in(sent)
    stays = bool(sent.get(STAY))
    lines = reading.lines
    if stays:
        lines = {key: replace(line, blocks_alike=1) for key, line in lines.items()}
    choices = fitting_choices(reading, lines, wished)
    notes = tuple(_notes(reading))
    return NextBlockPage(
        client,
        last,
        form,
        reading,
        choices,
        draft_after(client, last),
        notes,
        wished,
        whole_in(sent),
        stays,
        begins_light,
    )


_ASKS_FOR_LIGHT = frozenset({FindingKind.OVERREACHING, FindingKind.DELOAD_DUE})


def _notes(reading: NextReading) -> Iterator[str]:
    """What a coach should know before the draft is made."""
    last, week = reading.last, reading.week
    if not any(line.exposures for line in reading.lines.values()):
        yield f"Nothing of block {last.block.number} is logged: all of it is kept as planned."
    if last.later is not None:
        yield (
            f"Block {last.later[0].number} has no usual week to go on from: this is made from "
            f"block {last.block.number}."
        )
    if reading.today <= last.ends_on:
        days = f"{last.ends_on.day} {last.ends_on:%b}"
        yield (
            f"Block {last.block.number} runs until {days}: what is logged until then is not in this "
            "yet."
        )
    kinds: dict[FindingKind, Finding] = {one.kind: one for one in reversed(week.findings)}
    for kind in (FindingKind.RED_FLAG, FindingKind.OVERREACHING, FindingKind.NOT_BACK):
        if kind in kinds:
            yield kinds[kind].sentence
    due = kinds.get(FindingKind.DELOAD_DUE)
    if due is not None:
        yield (
            f"{due.sentence} The light week of the draft is its last; after {DELOAD_DUE_UNTIL.value:g} "
            "weeks without one, begin with one."
        )


def _preview(
    reading: NextReading,
    choices: Mapping[str, LineChoice],
    wished: Mapping[str, str],
    first: FirstWeek,
    made: Snapshot | None,
) -> NextPreview:
    before = _effects(reading, reading.last.base, "before")
    after = _effects(reading, first.week, "next-volume")
    out = out_of_range(reading, choices, first)
    exercises = exercises_of(reading, first.week)
    weeks = [
        week_as_value(one, number, exercises)
        for number, one in enumerate(made["weeks"] if made else (), start=1)
    ]
    figures, joints = [week_figures(one) for one in weeks], reading.library.joints
    return NextPreview(
        sessions=tuple(_sessions(reading, choices, wished, first, before, after)),
        counts=counted(reading, choices, first),
        effects=after,
        effect_words=edit_sentence(before, after),
        balance_words=(
            f"Push : pull {after.balance.push_sets} : {after.balance.pull_sets} sets, before "
            f"{before.balance.push_sets} : {before.balance.pull_sets}."
        ),
        out=out,
        volume=tuple(volume_sentences(after)),
        loses=lost(before, after, out),
        found=found_in_plan(figures, reading.client, joints, reading.library.equipment),
        to_choose=names_to_choose(weeks),
    )


def _sessions(
    reading: NextReading,
    choices: Mapping[str, LineChoice],
    wished: Mapping[str, str],
    first: FirstWeek,
    before: WeekEffects,
    after: WeekEffects,
) -> Iterator[NextSession]:
    """Every session that was, in the order of the days to come."""
    was, now = ({one.key: one for one in week.sessions} for week in (before, after))
    uncut = _effects(reading, first.asked, "uncut").sessions if first.cuts else after.sessions
    asked = {one.key: one.minutes for one in uncut}
    seen: dict[str, str] = {}
    days = {
        one["uid"]: same_weekday(one["on"], reading.starts_on)
        for one in reading.last.base["sessions"]
    }
    for session in sorted(reading.last.base["sessions"], key=lambda one: days[one["uid"]]):
        uid = session["uid"]
        lines = tuple(lines_of(reading, session, choices, wished, first, seen))
        if uid not in was:
            continue
        yield NextSession(
            uid=uid,
            name=session["name"],
            on=days[uid],
            was_minutes=was[uid].minutes,
            asked_minutes=asked.get(uid, 0),
            minutes=now[uid].minutes if uid in now else 0,
            fits=uid not in now or now[uid].fits,
            is_whole=uid in first.whole,
            lines=lines,
        )


def _effects(reading: NextReading, week: WeekData, chart_id: str) -> WeekEffects:
    client = reading.client
    return week_effects(
        week_as_value(week, 1, exercises_of(reading, week)),
        level=plan.Level(client.level),
        minutes_budget=client.minutes,
        chart_id=chart_id,
        title="A usual week of the next block, sets per muscle",
    )
