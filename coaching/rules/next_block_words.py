"""The sentences and rules of the next block, in one place so that they read alike.

``{name}`` is the exercise as it was, ``{to}`` the one in its place, ``{goal}`` its targets.
"""

from coaching.rules.next_block_numbers import ALIKE_SHARE, BLOCKS_ALIKE_MOST, HURT_TIMES
from coaching.rules.numbers import PAIN_LIMIT

IF_AS_PLANNED = "if it goes as planned"
"""Why a step is proposed that rests on sets which nobody has done yet."""

NO_LOG = "No log of {name} in this block: kept as planned."
ONWARD = (
    "The last block asks {asked} already and nothing is logged on it yet. If it goes as planned, "
    "the next block goes on from there: {goal}. Look at it again before publishing."
)
AS_IT_RUNS = (
    "The last block asks {asked} already and nothing is logged on it yet: {name} comes over as it "
    "is."
)
STALLED_STAYS = "{name} stalled in spite of effort, and stays: {why}. "
ALIKE_STAYS = "{name} was in both of the last two blocks, and stays: {why}. "
NEAREST = "{to} is nearest, but {lacks}"
IN_BLOCK = "the last block or the next one has it elsewhere"
HURT_LAST_TIME = f"hurt above {PAIN_LIMIT.value:g} of 10 when it was last done"
NOTHING_ELSE = "equipment, joints and level allow no other exercise for the same muscles"
WOULD_LEAVE_RANGE = "what is like it would put a muscle out of its range ({unfit})"
KEPT = "{name} stays as it was."
WISHED = "{to} in the place of {name}: your choice, {reason}."
FORBIDDEN = "{name} cannot stay: it {why}. {to} in its place: {reason}."
LEFT_OUT = (
    "{name} cannot stay: it {why}, and nothing in the library fits instead. It is left out; what "
    "it was paired with stays alone, so look at the balance."
)
HURT = "{name} hurt above {limit:g} of 10 in {times} sessions of the block. {to} in its place: {reason}."
REGRESSED = "{name} loads {limits}, which is regressed. {to} in its place: {reason}."
STALLED = "{name} stalled in spite of effort. {to} in its place: {reason}."
STALLED_GOAL = (
    "{name} stalled in spite of effort, and a movement goal stands on it: it stays, and the stair "
    "begins again lower, {goal}."
)
TOO_EASY = "{name} is far above its range and nothing harder is left. {to} in its place: {reason}."
ALIKE = "{name} was in both of the last two blocks, which were alike. {to} in its place: {reason}."
RUNG_IN_BLOCK = "{to} would be the next rung and is in the block already: {name} stays at {goal}."
RUNG_TAKEN = (
    "{name} is at the top of its range, and its next rung, {rung}, is in the block already. {to} in "
    "its place: {reason}."
)
BEGIN = " It begins at the bottom of its range, {goal}."
CHOOSE_LOAD = " Its load is not known: choose its load with the client before publishing."
HURT_BEFORE = f" It {HURT_LAST_TIME}."
EQUAL_LOAD = " That is as heavy for the muscles as {name} was."

NO_LOG_RULE = "Without a log nothing is judged: the exercise goes on as it was planned."
KEPT_RULE = "The coach keeps what was planned."
WISHED_RULE = "The coach chose it from what equipment and joint limits allow."
FORBIDDEN_RULE = (
    "What the client's joints forbid or the equipment does not allow gives way to what trains the "
    "same main mover, that with the least of the same joint loading first."
)
HURT_RULE = (
    f"Pain above {PAIN_LIMIT.value:g} of 10 in {HURT_TIMES.value:g} or more sessions of a block: the "
    "next block does without the exercise, and what loads other joints comes first in its place. "
    f"The limit of {PAIN_LIMIT.value:g} is published; that it takes {HURT_TIMES.value:g} sessions is a "
    "choice of this tool, for once may be a bad day."
)
REGRESSED_RULE = "What must be regressed is done on an easier rung that spares it, or swapped."
STALLED_RULE = (
    "An exercise that stalled gives way to another of the same pattern and plane that is loaded in "
    "the same way and is no easier; one that a movement goal stands on stays and begins the stair "
    "again lower."
)
ALIKE_RULE = (
    f"{BLOCKS_ALIKE_MOST.value:g} blocks in a row on similar exercises, then change: blocks are alike "
    f"with {100 * ALIKE_SHARE.value:g} % or more of their exercises in common. Prehab, warm-up and "
    "what a movement goal stands on stay; so does what still goes up in a primary pair, or anywhere "
    "for a beginner, and what loads a joint that hurt; and nothing changes for this while strength "
    "falls as a whole. What comes in "
    "trains the same main mover in the same plane, is loaded in the same way, is no step down and "
    "loads no joint anew that is watched or hurt; where nothing is so, the exercise stays."
)
RANGE_RULE = (
    "Nothing comes in for variety that would put a muscle out of its range of weekly sets, or "
    "further out than it was. Common practice; the range informs and is no hard limit."
)
RUNG_TAKEN_RULE = (
    "What is at the top of its range goes up a rung; where the block has that rung already, another "
    "exercise comes in that trains the same and is no easier. Common practice."
)
TOO_EASY_RULE = (
    "Far above the range with no load, rung or slower tempo left: another exercise takes its place."
)
CAUTION = (
    f" Pain that is sharp, rising, above {PAIN_LIMIT.value:g} of 10 or still there next morning: stop, and refer to a "
    "licensed practitioner."
)
NOT_KNOWN_OF_SWAP = (
    "How strong the client is on the new exercise: a log of another one says too little. Watch the "
    "first session."
)
NOT_KNOWN_NOW = (
    "How strong the client is on it by now: nothing newer is logged. Watch the first session."
)
NOT_LOGGED_YET = "Whether what the last block asks now is reached: nothing is logged on it yet."
AS_IT_RUNS_RULE = (
    "What the log asks for next is in the plan already, and no step after it is known."
)
