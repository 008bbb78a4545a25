"""What the block's page shows: the working copy around the spine, week by week, and its effects."""

from collections.abc import Set
from dataclasses import dataclass
from datetime import date, timedelta
from functools import cached_property

from django.urls import reverse

from clients.models import Client
from clients.queries import screening_answers
from coaching.blocks.adaptation_values import ToldChanges, told_changes
from coaching.blocks.block_effects import BlockEffects
from coaching.blocks.block_facts import BlockFacts, effects_of
from coaching.blocks.editing.compare import differences, in_words
from coaching.blocks.editing.draft_queries import Draft
from coaching.blocks.editing.start_acts import late_sessions, later_start
from coaching.blocks.equipment_guard import Missing, missing_in
from coaching.blocks.health import open_cautions
from coaching.blocks.limit_queries import standing_overrides
from coaching.blocks.loads_to_choose import to_choose_in
from coaching.blocks.logged_pain import PainNote, notes_of
from coaching.blocks.models import Block, JointLimitOverride
from coaching.blocks.needed_equipment import Needed, needed_in
from coaching.blocks.pages_block_strip import StripSetting, strips_of
from coaching.blocks.pages_block_weeks import (
    CardSetting,
    SessionCard,
    WeekTab,
    chosen_number,
    session_cards,
    week_tabs,
)
from coaching.blocks.pages_conflict import Conflict, conflict_of
from coaching.blocks.pages_limits import LimitedExercise, limited_in_snapshot
from coaching.blocks.pages_panels import Panel
from coaching.blocks.snapshots import Snapshot, WeekData
from coaching.blocks.words import weeks_named
from coaching.rules import plan
from coaching.rules.joint_limits import CAUTION
from coaching.rules.screening import BreathCaution, Caution, breath_caution
from coaching.rules.volume_course import length_words


@dataclass(frozen=True)
class BlockPage:
    """Everything on the block's page for one chosen week; rare parts are read when shown."""

    facts: BlockFacts
    tabs: tuple[WeekTab, ...]
    week: WeekTab
    data: WeekData
    effects: BlockEffects
    value: plan.PlannedWeek
    panel: Panel | None = None
    caution: str = CAUTION

    @property
    def block(self) -> Block:
        """The block."""
        return self.facts.block

    @property
    def client(self) -> Client:
        """Whose block it is."""
        return self.facts.block.client

    @property
    def draft(self) -> Draft:
        """The working copy."""
        return self.facts.draft

    @cached_property
    def sessions(self) -> tuple[SessionCard, ...]:
        """The sessions of the week that is shown."""
        return self.cards({one["uid"] for one in self.data["sessions"]})

    def cards(self, uids: Set[str]) -> tuple[SessionCard, ...]:
        """Those sessions of the week that is shown; an edit shows anew what it touched."""
        facts = self.facts
        begun = facts.draft.begun
        strip = StripSetting(self.week.number, facts.past_before, begun, facts.exercises)
        strips = strips_of(facts.draft.snapshot, strip, uids)
        by_key = {effect.key: effect for effect in self.effects.week.sessions}
        changed = self.effects.change.minutes if self.effects.change else {}
        setting = CardSetting(
            facts.past_before,
            begun,
            facts.joints,
            strips,
            by_key,
            changed,
            facts.shelf.kinds,
        )
        return session_cards(self.data, self.value.sessions, setting, uids)

    @property
    def starts_on(self) -> date:
        """The first day of the block as it is edited."""
        return self.tabs[0].starts_on

    @property
    def ends_on(self) -> date:
        """The last day of the block as it is edited."""
        return self.tabs[-1].ends_on

    @property
    def weeks(self) -> tuple[int, ...]:
        """The numbers of the block's weeks."""
        return tuple(one.number for one in self.tabs)

    @cached_property
    def path(self) -> str:
        """The address of this page."""
        return reverse("blocks:block", args=[self.block.pk])

    @cached_property
    def here(self) -> str:
        """Where the week that is shown can be opened again."""
        return f"{self.path}?week={self.week.number}"

    @property
    def address(self) -> str:
        """The same, for parts that lead back here."""
        return self.here

    @cached_property
    def to_publish(self) -> tuple[str, ...]:
        """What the client does not see yet: how the plan differs, however it was edited."""
        return in_words(differences(self.draft.base, self.draft.snapshot))

    @property
    def still_to_look_at(self) -> str:
        """How much is found in the weeks that are not over, in words: 3 in weeks 1 to 6."""
        over = self.facts.today - timedelta(weeks=1)
        weeks: dict[int, list[int]] = {}
        for one in self.effects.columns:
            if one.findings and one.starts_on > over:
                weeks.setdefault(one.findings, []).append(one.number)
        return "; ".join(f"{found} in {weeks_named(numbers)}" for found, numbers in weeks.items())

    @property
    def unpublished(self) -> int:
        """How many changes the client does not see yet."""
        return len(self.to_publish)

    @property
    def can_publish(self) -> bool:
        """Whether there is anything that the client does not see."""
        return self.block.published_at is None or self.draft.is_changed

    @property
    def revision(self) -> int:
        """What an act is put on top of."""
        return self.draft.revision

    @cached_property
    def conflict(self) -> Conflict | None:
        """What was changed in two places and waits for a decision."""
        return conflict_of(self.block, self.draft)

    @cached_property
    def changes(self) -> ToldChanges:
        """What was changed of the template to fit the client."""
        return told_changes(self.block.changes_from_template)

    @cached_property
    def missing(self) -> tuple[Missing, ...]:
        """What is brought in without the equipment for it; 1 query where it needs any.

        Of a plan that nobody has seen yet everything is brought in.
        """
        facts = self.facts
        stands: Snapshot = facts.draft.base if self.block.published_at else {"weeks": []}
        plan = facts.draft.snapshot
        return missing_in(self.client, plan, stands, facts.exercises, since=facts.today)

    @cached_property
    def needed(self) -> tuple[Needed, ...]:
        """What stands in a published plan, is to come, and needs what is not there; no query.

        It is told and never in the way: no edit brought it in.
        """
        facts, draft = self.facts, self.facts.draft
        if self.block.published_at is None:
            return ()
        kinds = facts.shelf.kinds
        return needed_in(
            draft.snapshot, facts.exercises, kinds, since=facts.today, begun=draft.begun
        )

    @property
    def length_note(self) -> str:
        """That the block is longer than is usual."""
        return length_words(len(self.tabs))

    @cached_property
    def late(self) -> int:
        """How many sessions of a plan that nobody has seen lie before today; no query."""
        if self.block.published_at is not None:
            return 0
        return late_sessions(self.draft.snapshot, self.facts.today)

    @property
    def later_start(self) -> date:
        """When it would start, so that none does."""
        return later_start(self.draft.snapshot, self.facts.today)

    @cached_property
    def to_choose(self) -> tuple[str, ...]:
        """The exercises to come whose load nobody has chosen; no query."""
        draft = self.facts.draft
        return to_choose_in(draft.snapshot, self.facts.exercises, self.facts.today, draft.begun)

    @cached_property
    def limited(self) -> tuple[LimitedExercise, ...]:
        """What is to come and loads a joint limit; no query without limits."""
        facts = self.facts
        return limited_in_snapshot(
            self.block,
            facts.coach,
            facts.draft.snapshot,
            today=facts.today,
            begun=facts.draft.begun,
            joints=facts.joints,
            values=facts.exercises,
        )

    @property
    def avoided(self) -> tuple[LimitedExercise, ...]:
        """What loads a joint that must be spared, and is not decided."""
        return tuple(one for one in self.limited if one.is_avoided)

    @property
    def regressed(self) -> tuple[LimitedExercise, ...]:
        """What loads a joint on which the client steps back a rung."""
        return tuple(one for one in self.limited if not one.is_avoided)

    @cached_property
    def pains(self) -> tuple[PainNote, ...]:
        """What hurt lately and is loaded alike by the plan to come; 1 query, 2 where any did."""
        return notes_of(self.client, self.draft, self.facts.exercises)

    @cached_property
    def overrides(self) -> tuple[JointLimitOverride, ...]:
        """The overrides that stand; no query without any."""
        return tuple(standing_overrides([self.client])) if self.facts.joints.overrides else ()

    @cached_property
    def cautions(self) -> tuple[Caution, ...]:
        """What the health screen asks for before a first publishing."""
        return () if self.block.published_at else open_cautions(self.client, self.facts.today)

    @cached_property
    def breath(self) -> BreathCaution | None:
        """Whether hard repetitions ask for a word about breathing; 1 query."""
        return breath_caution(self.value.sessions, screening_answers(self.client))

    @property
    def has_signed_in(self) -> bool:
        """Whether the client has ever opened the practice on a phone."""
        return signed_in_ever(self.client)


def block_page(facts: BlockFacts, *, number: int | None, panel: Panel | None = None) -> BlockPage:
    """The page of a block with one week chosen; no query, its rare parts read when they are shown."""
    snapshot, today = facts.draft.snapshot, facts.today
    shown = chosen_number(snapshot, number, today)
    figures, effects = effects_of(facts, shown)
    tabs = week_tabs(effects.columns, facts.past_before)
    return BlockPage(
        facts=facts,
        tabs=tabs,
        week=tabs[shown - 1],
        data=snapshot["weeks"][shown - 1],
        effects=effects,
        value=figures.week,
        panel=panel,
    )


def signed_in_ever(client: Client) -> bool:
    """Whether a client has ever opened the practice on a phone."""
    return client.user is not None and client.user.last_login is not None
