"""Every number of the body that the load estimates use, with its unit, kind and source.

The segment tables were measured on young, lean-to-normal adults. Everything that is called
a house choice here was chosen for this model; where a choice was made after looking at
published forces, the tests say so.
"""

from coaching.rules.register import Number, NumberKind, NumberTable

SEGMENT_MASS = NumberTable(
    ("female", "male"),
    {
        "head and neck": (6.68, 6.94),
        "trunk": (42.57, 43.46),
        "upper arm": (2.55, 2.71),
        "forearm": (1.38, 1.62),
        "hand": (0.56, 0.61),
        "thigh": (14.78, 14.16),
        "shank": (4.81, 4.33),
        "foot": (1.29, 1.37),
    },
    "% of body mass, each",
    "Mass of a body segment",
    NumberKind.EVIDENCE,
    "de-leva-1996",
)
SEGMENT_CENTRE = NumberTable(
    ("female", "male"),
    {
        "trunk": (37.82, 43.10),
        "upper arm": (57.54, 57.72),
        "forearm": (45.59, 45.74),
        "hand": (74.74, 79.00),
        "thigh": (36.12, 40.95),
        "shank": (43.52, 43.95),
        "foot": (40.14, 44.15),
    },
    "% of its length, from the end nearer the trunk (foot: from the heel; trunk: from the shoulders)",
    "Where the centre of mass of a body segment lies",
    NumberKind.EVIDENCE,
    "de-leva-1996",
)
SEGMENT_LENGTH = NumberTable(
    ("female", "male"),
    {
        "trunk": (28.70, 29.61),
        "upper arm": (15.86, 16.18),
        "forearm": (15.23, 15.45),
        "hand": (4.50, 4.95),
        "thigh": (21.24, 24.25),
        "shank": (24.92, 24.93),
        "foot": (13.16, 14.82),
    },
    "% of stature",
    "Length of a body segment (trunk: shoulders to hips; hand: wrist to knuckle)",
    NumberKind.EVIDENCE,
    "de-leva-lengths",
)
HEAD_ABOVE_SHOULDER = NumberTable(
    ("female", "male"),
    {"head and neck": (13.98, 12.02)},
    "% of stature",
    "How far the centre of mass of head and neck lies above the shoulders",
    NumberKind.EVIDENCE,
    "de-leva-lengths",
)
ANKLE_HEIGHT = Number(
    0.039, "of stature", "Ankle joint above the sole", NumberKind.EVIDENCE, "winter-2009"
)
ANKLE_ALONG_FOOT = Number(
    0.25, "of the foot, from the heel", "Where the ankle is", NumberKind.HOUSE_CHOICE, "house"
)
BALL_ALONG_FOOT = Number(
    0.72,
    "of the foot, from the heel",
    "Where the ball of the foot presses on the floor",
    NumberKind.HOUSE_CHOICE,
    "house",
)
WRIST_HEIGHT = Number(
    0.020, "of stature", "Wrist joint above the palm", NumberKind.HOUSE_CHOICE, "house"
)
KNEE_PAD = Number(
    0.030, "of stature", "Knee joint above the kneeling contact", NumberKind.HOUSE_CHOICE, "house"
)
PALM_ALONG_HAND = Number(
    0.5,
    "of wrist to knuckle",
    "Where a flat hand presses on the floor",
    NumberKind.HOUSE_CHOICE,
    "house",
)
CHEST_DEPTH = Number(
    0.09,
    "of stature",
    "Trunk line above the hands when the chest nearly touches",
    NumberKind.HOUSE_CHOICE,
    "house",
)
BAR_BELOW_SHOULDER = Number(
    0.04,
    "of stature",
    "Where a row meets the chest, below the shoulders",
    NumberKind.HOUSE_CHOICE,
    "house",
)
GRAVITY = Number(9.80665, "m/s²", "Standard gravity", NumberKind.CONVENTION, "standard-gravity")
SEAT_OF_LOAD = NumberTable(
    ("down the trunk",),
    {"at the shoulders": (0,), "vest": (35,), "mid trunk": (50,), "hips": (100,)},
    "% of the way from the shoulders to the hips",
    "Where an added load sits",
    NumberKind.HOUSE_CHOICE,
    "house",
)
USUAL_ADDED = Number(
    10,
    "kg",
    "Load in a vest with which the share that the hands feel is worked out",
    NumberKind.HOUSE_CHOICE,
    "house",
)
LEVER_ANGLES = NumberTable(
    ("hip °", "knee °", "spread per leg °"),
    {
        "tuck": (45, 40, 0),
        "advanced tuck": (90, 60, 0),
        "straddle": (180, 180, 45),
        "half-lay": (180, 90, 0),
        "full": (180, 180, 0),
    },
    "as headed; 180 is straight",
    "Shape of the body in levers and planche, taken as usual",
    NumberKind.CONVENTION,
    "common-practice",
)
SIT_KNEE = Number(90, "°", "Knee angle of a tuck sit", NumberKind.CONVENTION, "common-practice")
WALL_LEAN = Number(
    70,
    "° above the floor",
    "Lean of the body in a wall push-up, taken as usual",
    NumberKind.HOUSE_CHOICE,
    "house",
)
WALL_LEANS = NumberTable(
    ("lowest", "highest"),
    {"body": (45, 90)},
    "° above the floor",
    "Leans for which the load of a wall push-up is estimated",
    NumberKind.HOUSE_CHOICE,
    "house",
)
PLANCHE_LEAN = Number(
    15,
    "cm",
    "How far the shoulders lead the hands in a planche lean, taken as usual",
    NumberKind.HOUSE_CHOICE,
    "house",
)
ARCHER_SHARE = NumberTable(
    ("little shift", "full shift"),
    {"push-up": (0.79, 0.89), "hanging": (0.60, 0.90)},
    "share of the load at the hands",
    "What the working arm carries when the body is shifted to it (no measurement; hanging a guess)",
    NumberKind.HOUSE_CHOICE,
    "house",
)
LOAD_ERROR = NumberTable(
    ("±",),
    {
        "push-up": (5,),
        "push-up, 46 to 76 cm": (6,),
        "push-up, above 76 cm": (8,),
        "push-up on the knees": (6,),
        "push-up against a wall": (8,),
        "planche lean": (6,),
        "pike push-up": (6,),
        "pike push-up, feet raised": (10,),
        "inverted row": (8,),
    },
    "points of body weight",
    "How far an estimated load may be off, from hand placement, contact points and closure",
    NumberKind.HOUSE_CHOICE,
    "house",
)
MOMENT_ERROR = Number(
    0.12,
    "share of the moment",
    "How far an estimated joint moment may be off; ratios between rungs are surer",
    NumberKind.HOUSE_CHOICE,
    "house",
)
RAISED = NumberTable(
    ("height",),
    {"raised": (46,), "high": (76,), "highest": (100,)},
    "cm",
    "Heights of hands or feet from which a push-up estimate is less sure, and where it ends",
    NumberKind.HOUSE_CHOICE,
    "house",
)
BODY_LIMITS = NumberTable(
    ("lowest", "highest"),
    {"stature m": (1.40, 2.10), "kg/m²": (17, 30)},
    "as named",
    "Bodies that the segment tables can stand for; outside there is no answer",
    NumberKind.HOUSE_CHOICE,
    "house",
)
