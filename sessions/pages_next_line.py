"""One line of the next block: what it was, what it becomes, why, and what else it may be."""

from collections.abc import Collection, Iterator, Mapping
from dataclasses import dataclass

from coaching.blocks.editing.places import lines_in
from coaching.blocks.snapshots import Line, PairData, SessionData
from coaching.rules import plan
from coaching.rules.next_block import KEEP, LastBlock, LineChoice, Outcome, ranked
from coaching.rules.progression_words import amounts
from sessions.next_block_reading import NextReading
from sessions.next_block_week import FirstWeek, LineCut, asked_in, stays
from sessions.review_words import source_words
from sessions.set_words import load_words, sets_words

OTHERS_SHOWN = 5
AS_IT_RUNS = "as it runs now"


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
    measure: plan.Measure
    source: str
    options: tuple[Option, ...]
    same_as: str
    """The session above in which the same line is decided, empty where it is decided here."""
    uid: str
    left: str
    """What is asked of it when its session is made to end on time."""
    cut: LineCut | None
    """What it loses so that its session ends on time."""
    is_whole: bool
    """Whether the coach keeps all of its sets."""

    @property
    def asks(self) -> str:
        """What is asked in the end; nothing where it is left out."""
        return self.now if self.cut is None else self.left

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
        fewer = self.cut is not None and self.cut.is_fewer
        return fewer or self.changes_otherwise

    @property
    def changes_otherwise(self) -> bool:
        """Whether it becomes another exercise, goes back or out by what was chosen for it."""
        return self.outcome not in {Outcome.KEEP.value, Outcome.STEP_UP.value}

    @property
    def sentence(self) -> str:
        """Why, with the sets that are left after the cut."""
        said, cut = self.choice.sentence, self.cut
        if cut is None or not cut.is_fewer:
            return said
        if cut.is_all:
            return f"Left out so that the session ends on time: {cut.why}."
        before, after = (
            amounts(self.choice.targets[:count], self.measure) for count in (None, cut.after)
        )
        head, asks, tail = said.rpartition(before)
        # Where nothing is asked anew the sentence names only what the last block asked.
        told = f"{head}{after}{tail}" if asks and self.choice.why != AS_IT_RUNS else said
        return f"{told} {cut.after} of {cut.before} sets, so that the session ends on time."

    @property
    def tag(self) -> str:
        """What becomes of it and why, in a few words."""
        if self.cut is not None and self.cut.is_all:
            return "no time for it"
        if self.cut is None or not self.cut.is_fewer:
            return self._outcome_tag
        # With fewer sets in all there is no step up to speak of.
        return f"{self._outcome_tag}, fewer sets" if self.changes_otherwise else "fewer sets"

    @property
    def _outcome_tag(self) -> str:
        if self.is_own:
            return self.choice.why
        says_why = (
            self.changes_otherwise
            or self.changes
            or self.choice.why in {"no log", "nothing like it", AS_IT_RUNS}
        )
        return f"{self.outcome}: {self.choice.why}" if says_why else self.outcome

    @property
    def others(self) -> tuple[Option, ...]:
        """What else may be done, each with its reason."""
        return tuple(one for one in self.options if one.reason)


def lines_of(
    reading: NextReading,
    session: SessionData,
    choices: Mapping[str, LineChoice],
    wished: Mapping[str, str],
    first: FirstWeek,
    seen: dict[str, str],
) -> Iterator[NextLine]:
    """The lines of a session; ``seen`` says in which session above one is decided, and grows."""
    for pair, line in lines_in(session):
        key = reading.courses.key_of[line["uid"]]
        place = (pair, line, key)
        wish, above = wished.get(key, ""), seen.get(key, "")
        yield _line(reading, place, choices[key], wish=wish, same_as=above, first=first)
        seen.setdefault(key, session["name"])


def _line(
    reading: NextReading,
    place: tuple[PairData, Line, str],
    choice: LineChoice,
    *,
    wish: str,
    same_as: str,
    first: FirstWeek,
) -> NextLine:
    pair, line, key = place
    case, own = reading.lines[key], reading.exercise_of(line)
    to = choice.exercise
    changes = to is not None and to.key != own.key
    cut = first.cuts.get(line["uid"])
    was = _words(own, tuple(line["targets"]), line["load_kg"])
    return NextLine(
        key=key,
        letter=pair["letter"],
        part=pair["part"],
        side=own.pattern.value if own.pattern.value in {"push", "pull"} else "",
        name=own.name,
        was=was,
        to=to.name if to is not None and changes else "",
        now=was if stays(choice, asked_in(reading, line)) else choice_words(choice, own),
        outcome=choice.outcome.value,
        choice=choice,
        measure=(to or own).measure,
        source=source_words(choice.source_key),
        options=() if same_as else tuple(_options(case, wish, _in_block(reading, choice))),
        same_as=same_as,
        uid=line["uid"],
        left=choice_words(choice, own, cut.after) if cut else "",
        cut=cut,
        is_whole=line["uid"] in first.whole,
    )


def _words(exercise: plan.Exercise, targets: tuple[int, ...], load: float) -> str:
    if not targets:
        return ""
    kilograms = load_words(load, exercise.load_kind)
    return f"{sets_words(targets, exercise.measure)}{f' · {kilograms}' if kilograms else ''}"


def choice_words(choice: LineChoice, own: plan.Exercise, sets: int | None = None) -> str:
    """What is asked next, of so many sets; a load that nobody knows is left to choose."""
    to, targets = choice.exercise or own, choice.targets[:sets]
    if targets and choice.load_is_open and not choice.load:
        return f"{sets_words(targets, to.measure)} · choose its load"
    return _words(to, targets, choice.load)


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
