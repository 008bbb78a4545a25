"""What the invented people say and write: goals, health answers, notes."""

from dataclasses import dataclass, field

from coaching.rules.screening import Topic


@dataclass(frozen=True)
class Screened:
    """What a client answered beyond the usual, and whether a practitioner agreed."""

    yes: tuple[Topic, ...] = ()
    note: str = ""
    cleared: bool = field(default=False)


SCREENED = {
    "Hal Prendergast": Screened(
        (Topic.BLOOD_PRESSURE,),
        "Tablets for two years. His doctor agreed to training; breathes out on every rep.",
        cleared=True,
    ),
    "Ximena Duarte": Screened(
        (Topic.PREGNANCY,),
        "Second child in spring. Midwife and doctor agreed to training without breath-holding.",
        cleared=True,
    ),
    "Jonas Feldmann": Screened(
        (Topic.METABOLIC,),
        "Type 1, wears a sensor. Doctor agreed; keeps sugar in the bag.",
        cleared=True,
    ),
    "Idris Oyelaran": Screened(note="Left shoulder fell on in football, years ago; painless then."),
    "Petra Zelenka": Screened(note="Broke the right wrist as a child; stiff on long days."),
    "Bram de Wael": Screened(note="Lower back tired after long drives. No pain in the leg."),
}

GOALS = {
    "Maren Tolsvik": "Eight pull-ups in a row before the summer.",
    "Idris Oyelaran": "Play with my kids without my back telling me.",
    "Sunniva Brekke": "Get stronger at climbing without hurting my fingers.",
    "Pell Ambrus": "Twenty clean push-ups.",
    "Gwen Rowlandson": "Stay strong around night shifts.",
    "Tomas Velde": "Ten dips with thirty kilos on the belt.",
    "Noor Haddadin": "Carry the shopping up four floors and not be afraid of it.",
    "Ruben Castelo": "Back to where I was in autumn.",
    "Oona Lahtela": "A first chin-up, slowly is fine.",
    "Casper Nyholm": "A muscle-up on rings, one day.",
    "Amara Diallo": "Five strict pull-ups.",
    "Jonas Feldmann": "Feel at home in my body again.",
    "Bram de Wael": "Bench press my own weight for eight.",
    "Hal Prendergast": "Get off the floor without using my hands.",
    "Freya Lindqvist": "Press half my body weight overhead.",
    "Ines Valcarce": "Learn to train properly from the start.",
}

NOTES = {
    ("Amara Diallo", 1): "Strong week. Keep the last pull-up as slow as the first.",
    ("Amara Diallo", 4): "Dips: stop at the depth where the shoulders stay back.",
    ("Maren Tolsvik", 1): "Good work under a busy month. Tell me how you sleep this week.",
    ("Maren Tolsvik", 3): "Lovely tempo on the rows. Same again.",
    ("Casper Nyholm", 1): "Rings low for the push-ups, please: chest to the floor.",
    ("Casper Nyholm", 5): "Film one set of dips from the side for me.",
    ("Hal Prendergast", 1): "Three sessions in a row, well done. Same again.",
    ("Saskia Ott", 1): "Add a second to every lowering before we add load.",
    ("Gwen Rowlandson", 2): "Nights are hard. Two sessions this week are enough, you choose which.",
    ("Bram de Wael", 2): "Rows: chest stays where it is, the elbows travel.",
    ("Kwame Asante", 1): "Your first week without a missed set. On we go.",
}
"""Words to a client by name and how many weeks ago."""

PRIVATE = {
    ("Maren Tolsvik", 1): "New job since October. Ask about sleep before adding anything.",
    ("Idris Oyelaran", 1): "Watch the left shoulder when he lowers.",
    ("Gwen Rowlandson", 2): "Call her if another week goes by.",
    ("Oona Lahtela", 2): "Logs from memory in the evening. Look at it together next time.",
    ("Pell Ambrus", 3): "Goes too hard on set one. Try a partner to count out loud.",
    ("Tomas Velde", 1): "Next block: heavier dips, fewer flies.",
    ("Bram de Wael", 4): "Back fine since we moved rows before the drive home.",
}
"""Words the coach keeps, by name and how many weeks ago."""

ANSWERS = {
    ("Amara Diallo", 4): "Depth feels better already. Shoulders stayed back on all three sets.",
    ("Maren Tolsvik", 1): "Five to six hours, the move is nearly done. Weekend should be better.",
    ("Maren Tolsvik", 3): "Thank you! The counting out loud helps.",
    ("Casper Nyholm", 5): "Filmed it. Elbows drift out on the last two, I can see it now.",
    ("Hal Prendergast", 1): "Same again it is. Knees are fine, the stairs feel easier.",
    ("Gwen Rowlandson", 2): "Two it is. Monday and Friday, after I slept.",
    ("Bram de Wael", 2): "Harder than it sounds! Went down two kilos to keep still.",
    ("Kwame Asante", 1): "First one ever. Can I do the rows before the presses on Friday?",
}
"""What clients answered to the note of that week; the newest are not read yet."""

LOG_NOTES = (
    "Felt easy today.",
    "Short of time, shorter rests.",
    "Slept well, everything moved.",
    "Grip was the first to go.",
    "Trained at a friend's gym.",
    "Last set was slow.",
    "Warmed up longer, better.",
)
"""What clients write under an ordinary session now and then."""

REASONS = ("travelling", "a cold", "work ran late", "child ill at home")
"""Why an ordinary session is skipped."""
