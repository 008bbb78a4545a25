"""The next block beside the last one: what each exercise was, what it becomes, and why."""

from collections import Counter
from collections.abc import Collection, Iterator, Mapping
from dataclasses import dataclass, replace
from datetime import date, timedelta
from functools import cached_property

from clients.models import Client
from coaching.blocks.effects import WeekEffects, edit_sentence, volume_sentences, week_effects
from coaching.blocks.models import Block
from coaching.blocks.next_plan import same_weekday, week_with
from coaching.blocks.snapshots import Line, PairData, SessionData, WeekData, week_as_value
from coaching.rules import plan
from coaching.rules.findings import Finding, FindingKind
from coaching.rules.next_block import (
    ALIKE,
    KEEP,
    LastBlock,
    LineChoice,
    Outcome,
    next_block,
    ranked,
)
from coaching.rules.numbers import DELOAD_DUE_UNTIL
from coaching.rules.volume_range import VolumeVerdict
from sessions.forms_next_block import (
    STAY,
    NextBlockForm,
    first_day,
    next_block_form,
    usual_weeks,
    wishes_in,
)
from sessions.next_block_reading import LastPlan, NextReading, last_plan, places_in, read_next
from sessions.next_block_services import changed_lines, draft_after, exercises_of
from sessions.review_words import source_words
from sessions.set_words import load_words, sets_words

OTHERS_SHOWN = 5


@dataclass(frozen=True)
class Option:
    """One thing a coach may choose for a line; the proposal has no value."""

    value: str
    words: str
    reason: str
    is_chosen: bool


@dataclass(frozen=True)
class NextLine:
    """One exercise of the last block and what it becomes."""

    key: str
    letter: str
    part: str
    side: str
    name: str
    was: str
    to: str
    now: str
    outcome: str
    choice: LineChoice
    source: str
    options: tuple[Option, ...]
    same_as: str
    """The session above in which the same line is decided, empty where it is decided here."""

    @property
    def is_own(self) -> bool:
        """Whether the coach chose it."""
        return any(one.is_chosen and one.value for one in self.options)

    @property
    def changes(self) -> bool:
        """Whether it is another exercise, or asks otherwise."""
        return bool(self.to) or self.was != self.now

    @property
    def is_marked(self) -> bool:
        """Whether the coach should look at it: another exercise, less of it, or none."""
        return self.outcome not in {Outcome.KEEP.value, Outcome.STEP_UP.value}

    @property
    def tag(self) -> str:
        """What becomes of it and why, in a few words."""
        if self.is_own:
            return self.choice.why
        says_why = (
            self.is_marked
            or self.changes
            or self.choice.why in {"no log", "nothing like it", "as it runs now"}
        )
        return f"{self.outcome}: {self.choice.why}" if says_why else self.outcome

    @property
    def others(self) -> tuple[Option, ...]:
        """What else may be done, each with its reason."""
        return tuple(one for one in self.options if one.reason)


@dataclass(frozen=True)
class NextSession:
    """One session of the usual week: its day, its minutes before and after, its lines."""

    name: str
    on: date
    was_minutes: int
    minutes: int
    fits: bool
    lines: tuple[NextLine, ...]


@dataclass(frozen=True)
class NextPreview:
    """The first week of the next block beside the usual week of the last one."""

    sessions: tuple[NextSession, ...]
    counts: str
    effects: WeekEffects
    effect_words: str
    balance_words: str
    left: tuple[str, ...]
    """The muscles that were in their range before, and are outside now."""
    volume: tuple[str, ...]


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
    stays: bool = False
    """Whether the coach keeps the exercises for one block more in spite of two alike."""

    @property
    def first_name(self) -> str:
        """The name that a coach would use in a sentence."""
        return self.client.name.partition(" ")[0]

    @property
    def may_stay(self) -> bool:
        """Whether exercises would change for two blocks alike."""
        return self.stays or any(one.why == ALIKE for one in self.choices.values())

    @property
    def weeks(self) -> int:
        """How many weeks the block would have."""
        form, last = self.form, self.last
        if form is not None and form.is_valid():
            return int(form.cleaned_data["weeks"])
        return usual_weeks(last) if last else 0

    @property
    def ends_on(self) -> date | None:
        """The last day of the block."""
        days = timedelta(weeks=self.weeks) - timedelta(days=1)
        return self.reading.starts_on + days if self.reading else None

    @cached_property
    def preview(self) -> NextPreview | None:
        """The first week beside the last usual one; no query."""
        return _preview(self.reading, self.choices, self.wished) if self.reading else None


def next_block_page(client: Client, sent: Mapping[str, str], today: date) -> NextBlockPage:
    """The page for what was sent; 56 queries at most, whatever the history."""
    last = last_plan(client)
    if last is None:
        return NextBlockPage(client, None, None, None, {}, None, (), {})
    form = next_block_form(sent, last, today)
    valid = form.is_valid()
    starts_on = form.cleaned_data["starts_on"] if valid else first_day(last, today)
    reading = read_next(client, last, starts_on, today)
    wished = wishes_in(sent)
    stays = bool(sent.get(STAY))
    lines = reading.lines
    if stays:
        lines = {key: replace(line, blocks_alike=1) for key, line in lines.items()}
    choices = next_block(lines, wished)
    notes = tuple(_notes(reading))
    return NextBlockPage(
        client, last, form, reading, choices, draft_after(client, last), notes, wished, stays
    )


def _notes(reading: NextReading) -> Iterator[str]:
    """What a coach should know before the draft is made."""
    last, week = reading.last, reading.week
    if not any(line.exposures for line in reading.lines.values()):
        yield f"Nothing of block {last.block.number} is logged: all of it is kept as planned."
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
            "weeks without one, put one in first."
        )


def _preview(
    reading: NextReading, choices: Mapping[str, LineChoice], wished: Mapping[str, str]
) -> NextPreview:
    base = reading.last.base
    first = week_with(base, changed_lines(reading, choices), reading.starts_on)
    before, after = _effects(reading, base, "before"), _effects(reading, first, "next-volume")
    seen: dict[str, str] = {}
    in_order = sorted(base["sessions"], key=lambda one: same_weekday(one["on"], reading.starts_on))
    lines = {
        session["uid"]: tuple(_lines(reading, session, choices, wished, seen))
        for session in in_order
    }
    was = {one.key: one for one in before.sessions}
    now = {one.key: one for one in after.sessions}
    return NextPreview(
        sessions=tuple(
            NextSession(
                name=one["name"],
                on=same_weekday(one["on"], reading.starts_on),
                was_minutes=was[one["uid"]].minutes,
                minutes=now[one["uid"]].minutes if one["uid"] in now else 0,
                fits=one["uid"] not in now or now[one["uid"]].fits,
                lines=lines[one["uid"]],
            )
            for one in in_order
            if one["uid"] in was
        ),
        counts=_counts(choices),
        effects=after,
        effect_words=edit_sentence(before, after),
        balance_words=(
            f"Push : pull {after.balance.push_sets} : {after.balance.pull_sets} sets, before "
            f"{before.balance.push_sets} : {before.balance.pull_sets}."
        ),
        left=tuple(_left(before, after)),
        volume=tuple(volume_sentences(after)),
    )


def _effects(reading: NextReading, week: WeekData, chart_id: str) -> WeekEffects:
    client, joints = reading.client, reading.joints
    return week_effects(
        week_as_value(week, 1, exercises_of(reading, week)),
        level=plan.Level(client.level),
        minutes_budget=client.minutes,
        limits=joints.limits,
        overrides=joints.overrides,
        chart_id=chart_id,
        title="A build week of the next block, sets per muscle",
    )


def _left(before: WeekEffects, after: WeekEffects) -> Iterator[str]:
    was = {one.muscle: one for one in before.lines}
    for line in after.lines:
        then = was.get(line.muscle)
        within = then is not None and then.verdict is VolumeVerdict.WITHIN
        if within and line.verdict is not VolumeVerdict.WITHIN:
            yield line.muscle.value
    now = {line.muscle for line in after.lines}
    gone = (one for one in before.lines if one.verdict is VolumeVerdict.WITHIN)
    yield from (one.muscle.value for one in gone if one.muscle not in now)


_COUNTED = {
    Outcome.STEP_UP: "up",
    Outcome.SWAP: "swapped",
    Outcome.STEP_BACK: "back",
    Outcome.LEAVE_OUT: "left out",
    Outcome.KEEP: "kept",
}


def _counts(choices: Mapping[str, LineChoice]) -> str:
    """How many of each: 6 up, 2 swapped, 5 kept."""
    found = Counter(one.outcome for one in choices.values())
    return ", ".join(f"{found[one]} {word}" for one, word in _COUNTED.items() if found[one])


def counts_of(page: NextBlockPage) -> str:
    """The same for a page."""
    return _counts(page.choices)


def _lines(
    reading: NextReading,
    session: SessionData,
    choices: Mapping[str, LineChoice],
    wished: Mapping[str, str],
    seen: dict[str, str],
) -> Iterator[NextLine]:
    here: WeekData = {"starts_on": session["on"], "kind": "build", "sessions": [session]}
    for _session, pair, line, key in places_in(here):
        yield _line(
            reading, (pair, line, key), choices[key], wished.get(key, ""), seen.get(key, "")
        )
        seen.setdefault(key, session["name"])


def _line(
    reading: NextReading,
    place: tuple[PairData, Line, str],
    choice: LineChoice,
    wish: str,
    same_as: str,
) -> NextLine:
    pair, line, key = place
    case, own = reading.lines[key], reading.exercise_of(line)
    to = choice.exercise
    changes = to is not None and to.key != own.key
    stays = choice.outcome is Outcome.KEEP and (choice.targets, choice.load) == (
        case.asked.targets,
        case.asked.load,
    )
    was = _words(own, tuple(line["targets"]), line["load_kg"])
    return NextLine(
        key=key,
        letter=pair["letter"],
        part=pair["part"],
        side=own.pattern.value if own.pattern.value in {"push", "pull"} else "",
        name=own.name,
        was=was,
        to=to.name if to is not None and changes else "",
        now=was if stays else choice_words(choice, own),
        outcome=choice.outcome.value,
        choice=choice,
        source=source_words(choice.source_key),
        options=() if same_as else tuple(_options(case, wish, _in_block(reading, choice))),
        same_as=same_as,
    )


def _words(exercise: plan.Exercise, targets: tuple[int, ...], load: float) -> str:
    if not targets:
        return ""
    kilograms = load_words(load, exercise.load_kind)
    return f"{sets_words(targets, exercise.measure)}{f' · {kilograms}' if kilograms else ''}"


def choice_words(choice: LineChoice, own: plan.Exercise) -> str:
    """What is asked next; a load that nobody knows is left to choose, not made up."""
    to = choice.exercise or own
    if choice.load_is_open and not choice.load:
        return f"{sets_words(choice.targets, to.measure)} · choose its load"
    return _words(to, choice.targets, choice.load)


def _in_block(reading: NextReading, choice: LineChoice) -> set[str]:
    """What the block has already, but for what was chosen here."""
    own = choice.exercise.key if choice.exercise else ""
    return {case.exercise.key for case in reading.lines.values()} - {own}


def _options(case: LastBlock, wish: str, beside: Collection[str]) -> Iterator[Option]:
    """The proposal, the line as it was, and what may be in its place."""
    free = [one for one in ranked(case) if one.exercise.key not in beside]
    others = free[:OTHERS_SHOWN]
    yield Option("", "As proposed", "", is_chosen=not wish)
    if not case.forbidden:
        yield Option(KEEP, "As it was", "", is_chosen=wish == KEEP)
    # A choice that came with an address stays in the list it was made from.
    more = [one for one in free[OTHERS_SHOWN:] if one.exercise.key == wish]
    for one in (*others, *more):
        key = one.exercise.key
        yield Option(key, one.exercise.name, one.reason, is_chosen=wish == key)
