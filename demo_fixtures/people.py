"""The clients of an invented practice; any likeness to a living person is chance."""

from dataclasses import dataclass, field
from enum import StrEnum

from coaching.rules.plan import EquipmentKind as Kit
from coaching.rules.plan import JointStress


class Story(StrEnum):
    """What has been happening to a client lately."""

    STEADY = "steady progress"
    STALL = "one exercise no longer moves"
    OVERREACHING = "everything fell together"
    SHOULDER = "one shoulder hurts"
    BEGINNER = "began three weeks ago"
    RETURNER = "back after an illness"
    CARELESS = "logs badly"
    PACING = "starts every exercise too hard"
    MISSING = "hardly came lately"
    BLOCK_ENDS = "the block ends on Sunday"
    LIGHT_NOW = "in a planned light week"
    NO_BLOCK = "intake done, no block yet"


FLOOR: dict[Kit, list[float]] = {Kit.BOX: []}
HOME_RINGS: dict[Kit, list[float]] = {
    Kit.RINGS: [],
    Kit.PULL_UP_BAR: [],
    Kit.BOX: [],
    Kit.BANDS: [5, 10, 15],
}
BARS: dict[Kit, list[float]] = {
    Kit.PULL_UP_BAR: [],
    Kit.LOW_BAR: [],
    Kit.DIP_BARS: [],
    Kit.RINGS: [],
    Kit.PARALLETTES: [],
    Kit.BOX: [],
    Kit.BANDS: [5, 10, 15, 25],
    Kit.BELT: [1.25, 1.25, 2.5, 2.5, 5, 5, 10, 10],
}
DUMBBELLS: dict[Kit, list[float]] = {
    **BARS,
    Kit.BENCH: [],
    Kit.DUMBBELLS: [*range(2, 25)],
}
FULL_GYM: dict[Kit, list[float]] = {
    **DUMBBELLS,
    Kit.DUMBBELLS: [*(n / 2 for n in range(2, 20)), *range(10, 20), *range(20, 41, 2)],
    Kit.BARBELL: [1.25, 1.25, 2.5, 2.5, 5, 5, 10, 10, 20, 20, 20, 20],
    Kit.RACK: [],
    Kit.CABLE: [5.0 * step for step in range(1, 17)],
    Kit.LEG_MACHINE: [10.0 * step for step in range(1, 13)],
    Kit.KETTLEBELLS: [8, 12, 16, 20, 24],
    Kit.AB_WHEEL: [],
    Kit.VEST: [5, 5],
}


@dataclass(frozen=True)
class DemoClient:
    """One invented client and what became of the training."""

    name: str
    template: str
    level: str
    equipment: dict[Kit, list[float]]
    story: Story = Story.STEADY
    weeks: int = 26
    sex: str = "unstated"
    stature: int = 175
    kg: float = 74.0
    minutes: int = 60
    time_zone: str = "Europe/Lisbon"
    asks_rir: bool = True
    goal: tuple[str, int] | None = None
    week_now: int = 3
    trains_today: bool = False
    limits: tuple[tuple[JointStress, str], ...] = field(default=())


UPPER_LOWER = "upper-lower"
FULL_BODY = "beginner-full-body"
FLOOR_ONLY = "first-block-floor"
RINGS = "rings-at-home"
WEIGHTS = "upper-body-weights"
SHORT = "dumbbells-short"

PEOPLE: tuple[DemoClient, ...] = (
    DemoClient(
        "Maren Tolsvik",
        UPPER_LOWER,
        "intermediate",
        FULL_GYM,
        Story.OVERREACHING,
        sex="female",
        stature=169,
        kg=63.5,
        minutes=75,
        time_zone="Europe/Oslo",
        goal=("pull-up", 8),
        week_now=4,
        trains_today=True,
    ),
    DemoClient(
        "Idris Oyelaran",
        FULL_BODY,
        "beginner",
        DUMBBELLS,
        Story.SHOULDER,
        weeks=18,
        sex="male",
        stature=183,
        kg=82.0,
        time_zone="Africa/Lagos",
        week_now=2,
    ),
    DemoClient(
        "Sunniva Brekke",
        UPPER_LOWER,
        "intermediate",
        FULL_GYM,
        Story.STALL,
        sex="female",
        stature=172,
        kg=66.0,
        minutes=75,
        week_now=4,
    ),
    DemoClient(
        "Pell Ambrus",
        FULL_BODY,
        "beginner",
        BARS,
        Story.PACING,
        weeks=14,
        sex="male",
        stature=178,
        kg=76.5,
        week_now=3,
    ),
    DemoClient(
        "Gwen Rowlandson",
        UPPER_LOWER,
        "intermediate",
        DUMBBELLS,
        Story.MISSING,
        sex="female",
        stature=165,
        kg=60.5,
        minutes=75,
        time_zone="Europe/London",
        week_now=2,
    ),
    DemoClient(
        "Tomas Velde",
        WEIGHTS,
        "advanced",
        FULL_GYM,
        Story.BLOCK_ENDS,
        sex="male",
        stature=186,
        kg=88.0,
        minutes=75,
        goal=("dip", 10),
    ),
    DemoClient(
        "Noor Haddadin",
        FLOOR_ONLY,
        "absolute beginner",
        FLOOR,
        Story.BEGINNER,
        weeks=3,
        sex="female",
        stature=160,
        kg=68.0,
        minutes=45,
        week_now=4,
    ),
    DemoClient(
        "Ruben Castelo",
        FULL_BODY,
        "intermediate",
        BARS,
        Story.RETURNER,
        sex="male",
        stature=174,
        kg=71.0,
        week_now=3,
    ),
    DemoClient(
        "Oona Lahtela",
        FULL_BODY,
        "beginner",
        DUMBBELLS,
        Story.CARELESS,
        weeks=20,
        sex="female",
        stature=167,
        kg=64.0,
        time_zone="Europe/Helsinki",
        week_now=2,
    ),
    DemoClient(
        "Casper Nyholm",
        RINGS,
        "intermediate",
        HOME_RINGS,
        sex="male",
        stature=181,
        kg=77.0,
        time_zone="Europe/Copenhagen",
        week_now=3,
        trains_today=True,
    ),
    DemoClient(
        "Amara Diallo",
        UPPER_LOWER,
        "intermediate",
        FULL_GYM,
        sex="female",
        stature=170,
        kg=65.5,
        minutes=75,
        goal=("pull-up", 5),
        week_now=2,
        trains_today=True,
    ),
    DemoClient(
        "Jonas Feldmann",
        FULL_BODY,
        "beginner",
        BARS,
        weeks=16,
        sex="male",
        stature=188,
        kg=91.0,
        week_now=3,
    ),
    DemoClient(
        "Leila Karimov",
        RINGS,
        "intermediate",
        HOME_RINGS,
        weeks=22,
        sex="female",
        stature=163,
        kg=57.0,
        time_zone="Asia/Tashkent",
        week_now=2,
    ),
    DemoClient(
        "Bram de Wael",
        WEIGHTS,
        "advanced",
        FULL_GYM,
        limits=((JointStress.LOWER_BACK_COMPRESSION, "watch"),),
        sex="male",
        stature=180,
        kg=83.5,
        minutes=75,
        week_now=3,
    ),
    DemoClient(
        "Ximena Duarte",
        FULL_BODY,
        "beginner",
        DUMBBELLS,
        weeks=12,
        sex="female",
        stature=158,
        kg=59.0,
        time_zone="America/Montevideo",
        week_now=2,
    ),
    DemoClient(
        "Hal Prendergast",
        FLOOR_ONLY,
        "absolute beginner",
        FLOOR,
        weeks=7,
        sex="male",
        stature=176,
        kg=96.0,
        minutes=45,
        asks_rir=False,
        limits=((JointStress.KNEE_IMPACT, "watch"),),
        week_now=2,
    ),
    DemoClient(
        "Saskia Ott",
        UPPER_LOWER,
        "intermediate",
        FULL_GYM,
        sex="female",
        stature=174,
        kg=68.5,
        minutes=75,
        week_now=2,
    ),
    DemoClient(
        "Emeka Nwosu",
        FULL_BODY,
        "intermediate",
        DUMBBELLS,
        sex="male",
        stature=179,
        kg=80.0,
        time_zone="Europe/London",
        week_now=3,
    ),
    DemoClient(
        "Yuki Tanabe",
        RINGS,
        "intermediate",
        HOME_RINGS,
        weeks=19,
        sex="unstated",
        stature=168,
        kg=61.0,
        time_zone="Asia/Tokyo",
        week_now=2,
    ),
    DemoClient(
        "Petra Zelenka",
        FULL_BODY,
        "beginner",
        BARS,
        weeks=10,
        sex="female",
        stature=171,
        kg=72.0,
        time_zone="Europe/Prague",
        limits=((JointStress.WRIST_EXTENSION, "watch"),),
        week_now=1,
    ),
    DemoClient(
        "Dario Mancuso",
        UPPER_LOWER,
        "intermediate",
        FULL_GYM,
        Story.LIGHT_NOW,
        sex="male",
        stature=177,
        kg=79.5,
        minutes=75,
        time_zone="Europe/Rome",
    ),
    DemoClient(
        "Freya Lindqvist",
        WEIGHTS,
        "advanced",
        FULL_GYM,
        sex="female",
        stature=176,
        kg=70.0,
        minutes=75,
        time_zone="Europe/Stockholm",
        week_now=3,
    ),
    DemoClient(
        "Kwame Asante",
        FULL_BODY,
        "beginner",
        DUMBBELLS,
        weeks=9,
        sex="male",
        stature=173,
        kg=78.0,
        time_zone="Africa/Accra",
        week_now=2,
    ),
    DemoClient(
        "Ines Valcarce",
        FULL_BODY,
        "beginner",
        BARS,
        Story.NO_BLOCK,
        weeks=0,
        sex="female",
        stature=164,
        kg=62.5,
        time_zone="Europe/Madrid",
    ),
)
