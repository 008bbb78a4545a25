"""Every citation the rules rest on, by key.

``certainty`` says how sure we are of the number we took from it: read in the
publication itself, read in a secondary text, or written from memory.
"""

from dataclasses import dataclass
from enum import StrEnum


class Certainty(StrEnum):
    """How the number was checked."""

    VERIFIED = "verified"
    SECONDARY = "secondary text"
    MEMORY = "from memory"
    NOT_APPLICABLE = "no publication"


@dataclass(frozen=True, slots=True)
class Source:
    """Where a number or a rule comes from."""

    key: str
    citation: str
    certainty: Certainty


def _by_key(*sources: Source) -> dict[str, Source]:
    table = {source.key: source for source in sources}
    if len(table) != len(sources):
        message = "Two sources share a key."
        raise ValueError(message)
    return table


SOURCES = _by_key(
    Source(
        "common-practice",
        "Common practice among strength and calisthenics coaches; no published source.",
        Certainty.NOT_APPLICABLE,
    ),
    Source(
        "house",
        "A choice of this tool, made where neither a publication nor common practice decides.",
        Certainty.NOT_APPLICABLE,
    ),
    Source(
        "made-up-clients",
        "Measured by this tool on made-up clients whose falls are known (tests/benchmarks/signals). "
        "It compares choices with each other; it is no promise for real clients.",
        Certainty.NOT_APPLICABLE,
    ),
    Source(
        "pelland-2024",
        "Pelland JC et al. The resistance training dose-response: meta-regressions of weekly "
        "set volume and frequency. SportRxiv preprint 2024. Fractional counting: direct set 1, "
        "indirect set 0.5.",
        Certainty.VERIFIED,
    ),
    Source(
        "acsm-2009",
        "Ratamess NA et al. Progression models in resistance training for healthy adults. "
        "Med Sci Sports Exerc 2009;41(3):687-708. doi 10.1249/MSS.0b013e3181915670.",
        Certainty.VERIFIED,
    ),
    Source(
        "iversen-2021",
        "Iversen VM, Norum M, Schoenfeld BJ, Fimland MS. No time to lift? Designing time-efficient "
        "training programs for strength and hypertrophy. Sports Med 2021;51:2079-2095. "
        "doi 10.1007/s40279-021-01490-1. At least 4 weekly sets per muscle.",
        Certainty.VERIFIED,
    ),
    Source(
        "schoenfeld-2017",
        "Schoenfeld BJ, Ogborn D, Krieger JW. Dose-response relationship between weekly resistance "
        "training volume and increases in muscle mass. J Sports Sci 2017;35(11):1073-1082. "
        "doi 10.1080/02640414.2016.1210197. The step to 10 or more sets is a trend only, P = 0.074.",
        Certainty.VERIFIED,
    ),
    Source(
        "baz-valle-2022",
        "Baz-Valle E et al. A systematic review of the effects of different resistance training "
        "volumes on muscle hypertrophy. J Hum Kinet 2022;81:199-210. 12-20 weekly sets recommended "
        "for trained men.",
        Certainty.VERIFIED,
    ),
    Source(
        "halperin-2022",
        "Halperin I et al. Accuracy in predicting repetitions to task failure in resistance "
        "exercise. Sports Med 2022;52(2):377-390. doi 10.1007/s40279-021-01559-x. Repetitions in "
        "reserve under-predicted by 0.95 (95 % CI 0.17-1.73); far worse in sets above 12.",
        Certainty.VERIFIED,
    ),
    Source(
        "reynolds-2006",
        "Reynolds JM, Gordon TJ, Robergs RA. Prediction of one repetition maximum strength from "
        "multiple repetition maximum testing and anthropometry. J Strength Cond Res "
        "2006;20(3):584-592. No more than 10 repetitions.",
        Certainty.VERIFIED,
    ),
    Source(
        "epley-1985",
        "Epley B. Poundage chart. Boyd Epley Workout. Lincoln NE, 1985.",
        Certainty.SECONDARY,
    ),
    Source(
        "brzycki-1993",
        "Brzycki M. Strength testing: predicting a one-rep max from reps-to-fatigue. JOPERD "
        "1993;64(1):88-90. doi 10.1080/07303084.1993.10606684.",
        Certainty.SECONDARY,
    ),
    Source(
        "lander-1985",
        "Lander J. Maximum based on reps. NSCA J 1985;6(6):60-61.",
        Certainty.SECONDARY,
    ),
    Source(
        "lombardi-1989",
        "Lombardi VP. Beginning Weight Training. Dubuque: WC Brown, 1989.",
        Certainty.MEMORY,
    ),
    Source(
        "mayhew-1992",
        "Mayhew JL et al. Relative muscular endurance performance as a predictor of bench press "
        "strength in college men and women. J Appl Sport Sci Res 1992;6:200-206.",
        Certainty.SECONDARY,
    ),
    Source(
        "oconner-1989",
        "O'Conner B, Simmons J, O'Shea P. Weight Training Today. St Paul: West, 1989.",
        Certainty.MEMORY,
    ),
    Source(
        "wathan-1994",
        "Wathan D. Load assignment. In: Baechle TR (ed). Essentials of Strength Training and "
        "Conditioning. Champaign: Human Kinetics, 1994.",
        Certainty.MEMORY,
    ),
    Source(
        "vanderburgh-1997",
        "Vanderburgh PM, Edmonds T. The effect of experimental alterations in excess mass on "
        "pull-up performance in fit young men. J Strength Cond Res 1997;11(4):230-233. Repetitions "
        "go with total mass to the power -7.91; 10 % more mass, 53 % fewer pull-ups.",
        Certainty.VERIFIED,
    ),
    Source(
        "rogerson-2024",
        "Rogerson D et al. Deloading practices in strength and physique sports: a cross-sectional "
        "survey. Sports Med Open 2024;10:26. doi 10.1186/s40798-024-00691-y. 6.4 +/- 1.7 days every "
        "5.6 +/- 2.3 weeks; sets and repetitions down, reserve up, frequency and exercises kept.",
        Certainty.VERIFIED,
    ),
    Source(
        "bosquet-2007",
        "Bosquet L et al. Effects of tapering on performance: a meta-analysis. Med Sci Sports Exerc "
        "2007;39(8):1358-1365. doi 10.1249/mss.0b013e31806010e0. Volume down by 41-60 %, intensity "
        "and frequency kept.",
        Certainty.VERIFIED,
    ),
    Source(
        "grgic-2020",
        "Grgic J et al. Test-retest reliability of the one-repetition maximum (1RM) strength "
        "assessment: a systematic review. Sports Med Open 2020;6:31. "
        "doi 10.1186/s40798-020-00260-z. Median CV 4.2 % over 32 studies.",
        Certainty.VERIFIED,
    ),
    Source(
        "thomee-1997",
        "Thomee R. A comprehensive treatment approach for patellofemoral pain syndrome in young "
        "women. Phys Ther 1997;77:1690-1703; limit of 5 of 10 also in Silbernagel KG et al. Am J "
        "Sports Med 2007;35:897-906. Tried at the knee and Achilles tendon; elsewhere by analogy.",
        Certainty.SECONDARY,
    ),
    Source(
        "red-flags",
        "Signs that call for a licensed practitioner: general clinical consensus, written from "
        "memory; not a diagnosis.",
        Certainty.MEMORY,
    ),
    Source(
        "meeusen-2013",
        "Meeusen R et al. Prevention, diagnosis and treatment of the overtraining syndrome. Med Sci "
        "Sports Exerc 2013;45(1):186-205. doi 10.1249/MSS.0b013e318279a10a. No single marker; "
        "other causes are excluded first.",
        Certainty.VERIFIED,
    ),
    Source(
        "riebe-2015",
        "Riebe D et al. Updating ACSM's recommendations for exercise preparticipation health "
        "screening. Med Sci Sports Exerc 2015;47(11):2473-2479. Three questions decide: regular "
        "exercise now; symptoms or known cardiovascular, metabolic or renal disease; intensity. "
        "The outcomes are written from memory.",
        Certainty.MEMORY,
    ),
    Source(
        "helsel-hirsch",
        "Helsel DR, Hirsch RM. Statistical Methods in Water Resources. US Geological Survey, "
        "ch. 10: Theil-Sen line.",
        Certainty.MEMORY,
    ),
    Source(
        "epa-g9s",
        "US EPA. Data Quality Assessment: Statistical Methods for Practitioners, EPA QA/G-9S. "
        "2006. Mann-Kendall test.",
        Certainty.VERIFIED,
    ),
    Source(
        "de-leva-1996",
        "de Leva P. Adjustments to Zatsiorsky-Seluyanov's segment inertia parameters. J Biomech "
        "1996;29(9):1223-1230. doi 10.1016/0021-9290(95)00178-6. Masses and centres of mass read "
        "in two public copies of the table.",
        Certainty.SECONDARY,
    ),
    Source(
        "de-leva-lengths",
        "de Leva P. J Biomech 1996;29(9):1223-1230: mean segment lengths, divided by the mean "
        "statures 1.741 m and 1.735 m. Mid-shoulder trunk and hand from memory, the others partly "
        "read in public copies.",
        Certainty.MEMORY,
    ),
    Source(
        "winter-2009",
        "Winter DA. Biomechanics and Motor Control of Human Movement, 4th ed. Wiley, 2009, fig. "
        "4.1, after Drillis R, Contini R 1966: ankle height 0.039 of stature.",
        Certainty.SECONDARY,
    ),
    Source(
        "standard-gravity",
        "Standard acceleration of gravity, 3rd General Conference on Weights and Measures, 1901.",
        Certainty.MEMORY,
    ),
    Source(
        "pound-1959",
        "International yard and pound agreement, 1959: one avoirdupois pound is 0.45359237 kg.",
        Certainty.MEMORY,
    ),
    Source(
        "ebben-2011",
        "Ebben WP et al. Kinetic analysis of several variations of push-ups. J Strength Cond Res "
        "2011;25(10):2891-2894. doi 10.1519/JSC.0b013e31820c8587. Floor 0.64, knees 0.49, feet on "
        "30 and 61 cm 0.70 and 0.74, hands on them 0.55 and 0.41 of body weight.",
        Certainty.SECONDARY,
    ),
    Source(
        "mier-2014",
        "Mier CM et al. Differences in kinetics of push-ups between men and women. Int J Exerc Sci "
        "2014;7(2):161-168. Static: 67.0 and 65.1 % up, 74.6 and 70.3 % down, men and women; on "
        "the knees 52.5 and 51.5 % up, 60.1 and 56.6 % down.",
        Certainty.VERIFIED,
    ),
    Source(
        "gouvali-2005",
        "Gouvali MK, Boudolos K. Dynamic and electromyographical analysis in variants of push-up "
        "exercise. J Strength Cond Res 2005;19(1):146-151. doi 10.1519/14733.1. 66.4 % of body "
        "weight on the toes, 52.9 % on the knees.",
        Certainty.VERIFIED,
    ),
    Source(
        "suprak-2011",
        "Suprak DN, Dawes J, Stephenson MD. The effect of position on the percentage of body mass "
        "supported during traditional and modified push-up variants. J Strength Cond Res "
        "2011;25(2):497-503. 69.2 % up, 75.0 % down; on the knees 53.6 and 61.8 %.",
        Certainty.MEMORY,
    ),
)
