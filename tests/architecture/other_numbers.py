"""Numbers that are no numbers of the trade, each with the reason why it may stand where it does.

Keys are a file and the function or name in it that holds the number. A key that no longer holds
exactly these numbers fails the test: nothing stays here that is gone.
"""

FIELD = "a bound of a field that people or files fill in"
LENGTH = "how much a page shows, or reads from the database at once"
TIME = "how far a page looks back or ahead"
GUARD = "guards the server: how long, how many, how large"
STATISTICS = "part of a printed formula of statistics, named beside it"
STATUS = "an answer of HTTP"

RULES: dict[tuple[str, str], tuple[set[float], str]] = {
    ("ability.py", "_SAME_DAY"): ({0.5}, "two sessions of one day are half a day apart"),
    ("ability.py", "ExerciseBelief.no_gain"): ({2}, STATISTICS),
    ("ability_course.py", "IN_BAND"): ({0.9}, "how much of what is believed a band holds"),
    ("ability_forecast.py", "_STATES"): ({4}, "how many states are drawn together"),
    ("ability_observing.py", "_read_effort"): (
        {0.5},
        "a rounded number lies half of one off; a rating counts half for its noise",
    ),
    ("ability_observing.py", "_read_set"): ({0.5}, "a stated reserve counts half for its noise"),
    ("ability_sets.py", "ROUNDING"): ({12}, STATISTICS),
    ("ability_sets.py", "_HALF"): ({0.5}, "a number cut to a whole one lost half of one"),
    ("ability_state.py", "(FORM, BIAS, TIRING, EFFORT, DAY, OCCASION)"): ({6}, "places in a state"),
    ("ability_state.py", "AbilityState"): ({2, 3}, "how many of them a session usually has"),
    ("ability_state.py", "DAYS_A_WEEK"): ({7}, "the days of a week"),
    ("belief_bank.py", "_FAR_ABOVE"): (
        {4},
        "beyond so many standard deviations nothing is learned",
    ),
    ("belief_bank.py", "_WEIGHTLESS"): ({0.0001}, "what is less probable changes no picture"),
    ("capacity.py", "_MOST"): ({4}, "keeps a power from running away"),
    ("fall_hypotheses.py", "_DAYS_A_YEAR"): ({365.25}, "the days of a year"),
    ("body.py", "_mass"): ({2}, "a body has two sides"),
    ("bodyweight_levers.py", "_legs"): ({180}, "half a turn, in degrees: straight"),
    ("bodyweight_levers.py", "sit_moment"): ({180}, "half a turn, in degrees: straight"),
    ("bodyweight_load.py", "_arms_of"): ({2}, "the load of one arm is told as that of two"),
    ("bodyweight_load.py", "_hands_only"): ({2}, "the load of one arm is told as that of two"),
    ("deload.py", "_offsets"): ({6}, "the last day of a week, counted from 0"),
    ("deload_search.py", "PRICE_SET_BETWEEN_SIDES"): ({1000}, "orders the wishes of the search"),
    ("deload_search.py", "PRICE_DROPPED_EXERCISE"): ({100}, "orders the wishes of the search"),
    ("deload_search.py", "PRICE_REP_BETWEEN_SIDES"): ({10}, "orders the wishes of the search"),
    ("deload_search.py", "PRICE_REP_OFF_SHARE"): ({4}, "orders the wishes of the search"),
    ("deload_search.py", "PRICE_SET_OFF_SHARE"): ({2}, "orders the wishes of the search"),
    ("deload_search.py", "PRICE_POINT_OUTSIDE"): ({2000}, "orders the wishes of the search"),
    ("deload_search.py", "MOST_NODES"): ({200}, "stops the search"),
    ("deload_search.py", "_compared"): ({2}, "pushing and pulling are two sides"),
    ("exercise_trend.py", "_collapse"): ({2}, "a first and a last set are two"),
    ("exercise_trend.py", "find_pacing_fault"): ({2}, "the place of the session before the last"),
    ("joint_limits.py", "Sparing"): ({2, 3, 4}, "places in an order"),
    ("joint_limits.py", "findings_for"): ({2}, "the parts of an entry that order it"),
    ("loads.py", "_GRAINS"): ({100}, "hundredths, so that sums of pound plates add up"),
    ("plan.py", "Exercise.sides"): ({2}, "a body has two sides"),
    ("plan.py", "Pair.__post_init__"): ({2}, "a pair is two exercises"),
    ("progression.py", "_evidence"): ({2}, "the last session and the one before are shown"),
    ("progression.py", "_missed"): ({2}, "the last session is compared with the one before"),
    ("session_order.py", "_badly_paired"): ({2}, "a pair is two exercises"),
    ("stair.py", "is_pacing_fault"): ({2}, "a first and a last set are two"),
    ("strength.py", "one_rm_factor"): (
        {2},
        "between one and two repetitions the factor is straight",
    ),
    ("strength.py", "reps_for_factor"): (
        {2},
        "between one and two repetitions the factor is straight",
    ),
    ("trends.py", "mann_kendall"): ({2, 5, 18}, STATISTICS),
}

# Every number that is not free in these files is a length, a width or a place in a drawing.
DRAWINGS = (
    "coaching/blocks/charts.py",
    "sessions/charts.py",
    "sessions/charts_ability.py",
    "sessions/light_week_view.py",
)

# A form is made of the bounds of its fields; it judges nothing.
FORMS = ("**/forms.py", "**/forms_*.py", "**/*_forms.py", "**/forms/*.py")

APPS: dict[tuple[str, str], tuple[set[float], str]] = {
    ("clients/access.py", "_setup_token"): ({48}, GUARD),
    ("clients/account_services.py", "FAILURES_COUNT_FOR"): ({15}, GUARD),
    ("clients/account_services.py", "MOST_FAILURES"): ({5}, GUARD),
    ("clients/page_or_part.py", "MessagesInPartsMiddleware.__call__"): ({300, 400}, STATUS),
    ("clients/services.py", "LINK_LASTS"): ({30}, GUARD),
    ("clients/services.py", "make_sign_in_link"): ({24}, GUARD),
    ("clients/templatetags/in_words.py", "rest"): (
        {120},
        "from two minutes rest is said in minutes",
    ),
    ("coaching/blocks/limit_services.py", "LONGEST_REASON"): ({300}, FIELD),
    ("coaching/blocks/pages_block.py", "MOST_VERSIONS"): ({20}, LENGTH),
    ("coaching/blocks/pages_prescription.py", "MOST_SWAPS"): ({8}, LENGTH),
    ("coaching/blocks/prescription_services.py", "LONGEST_SET"): ({600}, FIELD),
    ("coaching/blocks/prescription_services.py", "MOST_REASON"): ({500}, FIELD),
    ("coaching/blocks/prescription_services.py", "MOST_SETS"): ({12}, FIELD),
    ("coaching/blocks/services.py", "MOST_WEEKS"): ({8}, FIELD),
    ("coaching/blocks/shared_templates.py", "_HIGHEST_TARGET"): ({300}, FIELD),
    ("coaching/blocks/shared_templates.py", "_MOST_LOAD_KG"): ({500}, FIELD),
    ("coaching/blocks/shared_templates.py", "_MOST_SETS"): ({12}, FIELD),
    ("coaching/blocks/shared_templates.py", "_line"): ({10, 600}, FIELD),
    ("coaching/blocks/shared_templates.py", "_session"): ({6}, FIELD),
    ("coaching/blocks/shared_templates.py", "_template"): ({20, 90}, FIELD),
    ("coaching/blocks/shared_templates.py", "_week_kinds"): ({8}, FIELD),
    ("coaching/blocks/views/limits.py", "number_sent"): ({10}, GUARD),
    ("coaching/blocks/words.py", "rest_text"): ({120}, "from two minutes rest is said in minutes"),
    ("coaching/library/chosen_client.py", "_client"): ({10}, "digits of an id in an address"),
    ("coaching/library/facing.py", "MOST"): ({6}, LENGTH),
    ("coaching/library/goal_services.py", "MOST_SECONDS"): ({600}, FIELD),
    ("coaching/library/own_exercise_checks.py", "LONGEST_CUE"): ({160}, FIELD),
    ("coaching/library/own_exercise_checks.py", "MOST_CUES"): ({8}, FIELD),
    ("coaching/library/own_exercise_services.py", "_free_key"): (
        {3},
        "one try more than keys that are taken",
    ),
    ("coaching/library/pages_load.py", "_bar"): ({0.8}, "the least width that can be seen"),
    ("coaching/library/pages_search.py", "_words_of"): ({4096}, "texts kept in memory"),
    ("coaching/library/pages_strength.py", "_NEXT"): ({3, 5, 8}, LENGTH),
    ("coaching/library/pages_sources.py", "_MOST_PADDED"): ({3}, "decimals of a column"),
    ("coaching/library/shared_catalogue.py", "HIGHEST_SUPPORT"): ({300}, FIELD),
    ("coaching/library/shared_catalogue.py", "_exercise"): ({5}, FIELD),
    ("coaching/library/shared_catalogue.py", "_place_on_ladder"): ({30}, FIELD),
    ("coaching/library/shared_catalogue.py", "_prerequisites"): ({600}, FIELD),
    ("coaching/library/toml_fields.py", "Entry.shares"): ({0.01}, FIELD),
    ("sessions/entries.py", "CLOCK_BEHIND"): ({366}, GUARD),
    ("sessions/entries.py", "LARGEST_ID"): ({63}, GUARD),
    ("sessions/log_cells.py", "EARLIEST_YEAR"): ({1970}, FIELD),
    ("sessions/log_import_services.py", "NOON"): ({12}, "the hour of a log that tells none"),
    ("sessions/log_rows.py", "_READERS"): ({10, 25, 50, 120, 300, 500, 999, 1000}, FIELD),
    ("sessions/pages_client.py", "COMING_DAYS"): ({21}, TIME),
    ("sessions/pages_client.py", "COMING_SHOWN"): ({5}, LENGTH),
    ("sessions/pages_client.py", "REVIEWS_SHOWN"): ({12}, LENGTH),
    ("sessions/pages_client.py", "WEIGHTS_SHOWN"): ({40}, LENGTH),
    ("sessions/pages_client.py", "_exercises"): ({9}, "what has no place in the order comes last"),
    ("sessions/pages_deload.py", "NEAR"): ({21}, TIME),
    ("sessions/pages_my_log.py", "(SPARK_WIDTH, SPARK_HEIGHT)"): ({300}, "size of a drawing"),
    ("sessions/pages_my_log.py", "SESSIONS_A_PAGE"): ({10}, LENGTH),
    ("sessions/pages_my_log.py", "TIMES_SHOWN"): ({20}, LENGTH),
    ("sessions/pages_my_log.py", "WEIGHTS_SHOWN"): ({8}, LENGTH),
    ("sessions/pages_my_log.py", "sparkline"): ({4, 8}, "margin of a drawing"),
    ("sessions/pages_today.py", "STILL_RUNNING"): ({12}, TIME),
    ("sessions/pages_today.py", "TodayPage"): ({3, 4}, "the choices of reserve that fit one thumb"),
    ("sessions/queries_deload.py", "_LOOK_BACK"): ({12}, TIME),
    ("sessions/queries_phone.py", "DAYS_REMEMBERED"): ({120}, TIME),
    ("sessions/replay_findings.py", "NEARLY"): (
        {4},
        "from here on a belief is read as the review reads it; nothing is said by it",
    ),
    ("sessions/replay_findings.py", "WORTH_PROCESSES"): ({300}, GUARD),
    ("sessions/roster_reading.py", "KEPT_AT_MOST"): ({1000}, GUARD),
    ("sessions/roster_reading.py", "KEPT_FOR"): ({300}, GUARD),
    ("sessions/roster_reading.py", "WEEKS_KEPT"): ({3}, LENGTH),
    ("sessions/views/sync.py", "LONGEST_ENTRY"): ({20000}, GUARD),
    ("sessions/week_facts.py", "DAYS_AHEAD"): ({14}, TIME),
    ("sessions/week_facts.py", "WEEKS_REMEMBERED"): ({26}, TIME),
    ("sessions/week_facts.py", "calendar_of"): ({14}, TIME),
    ("sessions/week_reading.py", "WEEKS_FOLLOWED"): ({16}, LENGTH),
    ("sessions/week_reading.py", "WEEKS_READ"): ({8}, LENGTH),
}
