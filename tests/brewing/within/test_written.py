"""The limits of an answer for invented records, each written out in full and read line by line.

Amounts are our own. A record is told in the comment above it.
"""

from __future__ import annotations

from typing import Any

from app.brewing.within.facts import (
    BlindFacts,
    BrewFacts,
    FilterFacts,
    PairFacts,
    Record,
    ScoreFacts,
)
from app.brewing.within.writing import written
from app.formats import Formats, Units

FRESH = (FilterFacts("paper", 1, 1),)
SI = Formats(space=" ")
# What is said of plain cups.
ONE_BREW = "Tested in one brew of one bean, 12 days off roast."
TWO_BREWS = "Tested in two brews of one bean, 12 days off roast."
IN_A_CONE = (
    "Brewed in one cone, through one kind of paper filter, with a fresh filter, with a medium "
    "grind, with soft water."
)
AT_92 = "Brewed at 92 °C, for 2.5 min, with one stir."
WIDE = "Brewed at a ratio of 1 : 16, with 220 g of water."
ONE_PAIR = "Tasted by one taster, in one sighted side by side."
NOT_TESTED = (
    "a finer or coarser grind, shorter or longer times, cooler or hotter water, harder water, a "
    "cloth or metal filter."
)


def cup(number: int, **other: Any) -> BrewFacts:
    """A plain cup of which everything was noted."""
    plain: dict[str, Any] = {
        "bag_id": 1, "bean_id": 1, "process": "washed", "origin": "north", "rest_days": 12,
        "brewer_id": 1, "first_brewer_id": 1, "kind": "cone", "filters": FRESH, "grinder_id": 1,
        "grind": "medium", "water_id": 1, "hardness_mg_l": 45.0, "dose_g": 14.0, "water_g": 224.0,
        "water_temp_c": 92.0, "steep_s": 150, "stirs": 1,
    }  # fmt: skip
    return BrewFacts(id=number, **plain | other)


def cups(most: int, **other: Any) -> tuple[BrewFacts, ...]:
    return tuple(cup(number, **other) for number in range(1, most + 1))


def scored(*numbers: int, taster: int = 1, blind: bool = False) -> tuple[ScoreFacts, ...]:
    return tuple(ScoreFacts(brew_id=n, taster_id=taster, blind=blind) for n in numbers)


def pair(a: int, b: int, *tasters: int, gone: bool = False) -> PairFacts:
    return PairFacts(id=a, brew_ids=frozenset((a, b)), taster_ids=frozenset(tasters), gone=gone)


def trials(count: int, *brews: int, noted: int = 0, **other: Any) -> BlindFacts:
    plain: dict[str, Any] = {"id": 1, "taster_ids": frozenset((1,))}
    plain["brew_ids"] = frozenset(brews)
    return BlindFacts(trials=count, noted=noted, **plain | other)


def text(formats: Formats = SI, **record: Any) -> list[str]:
    """The sentences as a household reads them."""
    within = written(Record(**record))
    return [
        formats.say(sentence).replace("\N{NO-BREAK SPACE}", " ") for sentence in within.sentences
    ]


def test_nothing_was_tasted() -> None:
    assert text() == ["Nothing was tasted for this question yet, so nothing is tested."]


def test_one_brew() -> None:
    assert text(brews=cups(1), scores=scored(1)) == [
        "Tested in one brew of one bean, 12 days off roast.",
        "Brewed in one cone, through one kind of paper filter, with a fresh filter, with a medium "
        "grind, with soft water.",
        "Brewed at 92 °C, for 2.5 min, with one stir.",
        "Brewed at a ratio of 1 : 16, with 220 g of water.",
        "Tasted by one taster, in one scored brew, not blind.",
        "Not tested: a finer or coarser grind, shorter or longer times, cooler or hotter water, "
        "harder water, a cloth or metal filter.",
    ]


# Three side by sides of two steeps; the bag goes from the 9th to the 21st day; one stir or none.
def test_one_thing_asked_about_in_fair_side_by_sides() -> None:
    brews = tuple(
        cup(n, rest_days=day, steep_s=steep, stirs=stirs, water_g=water)
        for n, (day, steep, stirs, water) in enumerate(
            [(9, 120, 0, 210), (9, 180, 0, 210), (15, 120, 1, 224), (15, 180, 1, 224),
             (21, 120, 1, 238), (21, 180, 1, 238)], start=1,
        )
    )  # fmt: skip
    pairs = (pair(1, 2, 1), pair(3, 4, 1), pair(5, 6, 1))
    assert text(brews=brews, pairs=pairs, asked=("steep",)) == [
        "Compared were cups brewed for 2 and 3 min.",
        "Tested in six brews of one bean, 9 to 21 days off roast.",
        "Brewed in one cone, through one kind of paper filter, with a fresh filter, with a medium "
        "grind, with soft water.",
        "Brewed at 92 °C, with one stir or none.",
        "Brewed at ratios of 1 : 15 to 1 : 17.",
        "Brewed with 210 to 240 g of water.",
        "Tasted by one taster, in three sighted side by sides.",
        "Not tested: times under 2 min or over 3 min, a finer or coarser grind, cooler or hotter "
        "water, harder water, a cloth or metal filter.",
    ]


def test_only_blind_trials_of_which_nobody_noted_the_brews() -> None:
    assert text(tests=(trials(10),), asked=("steep",)) == [
        "Tasted by one taster, in ten blind trials.",
        "What was brewed for the ten blind trials was not noted.",
        "So it is not known within which limits it was tested.",
    ]


# Of ten trials two are tied to their brews, which differ in the grind.
def test_blind_trials_of_which_some_brews_were_noted() -> None:
    brews = (cup(1), cup(2, grind="coarse"))
    tests = (trials(10, 1, 2, noted=2),)
    assert text(brews=brews, tests=tests, asked=("grind",)) == [
        "Compared were cups brewed with medium and coarse grinds.",
        "Tested in two brews of one bean, 12 days off roast.",
        "Brewed in one cone, through one kind of paper filter, with a fresh filter, with soft "
        "water.",
        "Brewed at 92 °C, for 2.5 min, with one stir.",
        "Brewed at a ratio of 1 : 16, with 220 g of water.",
        "Tasted by one taster, in ten blind trials.",
        "What was brewed for eight of the ten blind trials was not noted.",
        "Not tested, as far as was noted: a finer grind, shorter or longer times, cooler or hotter "
        "water, harder water, a cloth or metal filter.",
    ]


# Results wait for the end, and so does what was poured.
def test_a_blind_test_whose_results_are_hidden() -> None:
    tests = (trials(7, hidden=True), trials(4, 1, noted=4, id=2))
    assert text(brews=cups(1), tests=tests) == [
        ONE_BREW,
        IN_A_CONE,
        AT_92,
        WIDE,
        "Tasted by one taster, in eleven blind trials.",
        "What was brewed for seven hidden trials is not told before their test ends.",
        f"Not tested, as far as was noted: {NOT_TESTED}",
    ]


# Three beans of two origins, one process noted for two of them only.
def test_mixed_beans() -> None:
    brews = (
        cup(1, origin="north", process="washed"),
        cup(2, bean_id=2, bag_id=2, origin="South", process="Washed"),
        cup(3, bean_id=3, bag_id=3, origin="south ", process="", rest_days=30),
    )
    assert text(brews=brews, scores=scored(1, 2, 3)) == [
        "Tested in three brews of three beans, from two origins, of one process, 12 and 30 days "
        "off roast.",
        IN_A_CONE,
        AT_92,
        WIDE,
        "Tasted by one taster, in three scored brews, none of them blind.",
        "Process of the beans not noted in one of the three brews.",
        f"Not tested: {NOT_TESTED}",
    ]


# Two bags of one bean; the second lay frozen for twenty days, which the days leave out.
def test_frozen_days() -> None:
    brews = (cup(1, rest_days=8), cup(2, bag_id=2, rest_days=10, frozen_days=20))
    assert text(brews=brews, scores=scored(1, 2)) == [
        "Tested in two brews of one bean from two bags, 8 to 10 days off roast, days in the "
        "freezer not counted.",
        IN_A_CONE,
        AT_92,
        WIDE,
        "Tasted by one taster, in two scored brews, none of them blind.",
        f"Not tested: {NOT_TESTED}",
    ]


def test_grind_not_noted_in_some_brews() -> None:
    brews = (*cups(4), cup(5, grind=""), cup(6, grind="", stirs=None))
    assert text(brews=brews, scores=scored(*range(1, 7))) == [
        "Tested in six brews of one bean, 12 days off roast.",
        "Brewed in one cone, through one kind of paper filter, with a fresh filter, with a medium "
        "grind, with soft water.",
        "Brewed at 92 °C, for 2.5 min, with one stir.",
        "Brewed at a ratio of 1 : 16, with 220 g of water.",
        "Tasted by one taster, in six scored brews, none of them blind.",
        "Grind not noted in two of the six brews.",
        "Stirs not noted in one of the six brews.",
        "Not tested, as far as was noted: a finer or coarser grind, shorter or longer times, "
        "cooler or hotter water, harder water, a cloth or metal filter.",
    ]


# Of the stirs asked about only one cup has a note: nobody knows whether they differed.
def test_what_is_asked_about_was_noted_in_one_cup_only() -> None:
    brews = (cup(1, stirs=4), cup(2, stirs=None))
    assert text(brews=brews, pairs=(pair(1, 2, 1),), asked=("stirs",)) == [
        "What is asked about was noted in some brews only: cups brewed with four stirs.",
        TWO_BREWS,
        IN_A_CONE,
        "Brewed at 92 °C, for 2.5 min.",
        WIDE,
        ONE_PAIR,
        "Stirs not noted in one of the two brews.",
        "Not tested, as far as was noted: less or more stirring, a finer or coarser grind, shorter "
        "or longer times, cooler or hotter water, harder water.",
    ]


# Nothing but what every brew has.
def test_nothing_was_noted() -> None:
    bare = cup(
        1, process="", origin="", rest_days=None, filters=(), grind="", water_id=None,
        hardness_mg_l=None, water_temp_c=None, steep_s=None, stirs=None,
    )  # fmt: skip
    assert text(brews=(bare,), pairs=(), scores=scored(1)) == [
        "Tested in one brew of one bean.",
        "Brewed in one cone.",
        "Brewed at a ratio of 1 : 16, with 220 g of water.",
        "Tasted by one taster, in one scored brew, not blind.",
        "Not noted: days off roast, filter, grind, hardness of the water, water temperature, time "
        "and stirs.",
        "Not tested: more or less coffee to the water, brewers in which the coffee steeps, smaller "
        "or larger cups.",
    ]


# Left and right are marked as alike, so that they are one brewer.
def test_several_brewers_that_are_alike() -> None:
    brews = tuple(cup(n, brewer_id=n, kind="immersion", filters=()) for n in (1, 2))
    assert text(brews=brews, pairs=(pair(1, 2),)) == [
        TWO_BREWS,
        "Brewed in two immersion brewers that are alike, with a medium grind, with soft water.",
        AT_92,
        WIDE,
        "Tasted in one sighted side by side.",
        "Who tasted was not noted.",
        "Not noted: filter.",
        "Not tested: a finer or coarser grind, shorter or longer times, cooler or hotter water, "
        "harder water, more or less coffee to the water.",
    ]


def test_brewers_of_several_kinds_asked_about() -> None:
    kinds = ("cone", "cone", "immersion", "flat bed")
    brews = tuple(
        cup(n, brewer_id=n, first_brewer_id=n, kind=kind) for n, kind in enumerate(kinds, start=1)
    )
    assert text(brews=brews[:3], pairs=(pair(1, 3, 1), pair(2, 3, 1)), asked=("brewer",)) == [
        "Compared were cups brewed in one immersion brewer and two cones.",
        "Tested in three brews of one bean, 12 days off roast.",
        "Brewed through one kind of paper filter, with a fresh filter, with a medium grind, with "
        "soft water.",
        "Brewed at 92 °C, for 2.5 min, with one stir.",
        "Brewed at a ratio of 1 : 16, with 220 g of water.",
        "Tasted by one taster, in two sighted side by sides.",
        "Not tested: a finer or coarser grind, shorter or longer times, cooler or hotter water, "
        "harder water, a cloth or metal filter.",
    ]
    assert text(brews=brews, pairs=(pair(1, 4),), asked=("brewer",)) == [
        "Compared were cups brewed in four brewers of three kinds.",
        "Tested in four brews of one bean, 12 days off roast.",
        "Brewed through one kind of paper filter, with a fresh filter, with a medium grind, with "
        "soft water.",
        AT_92,
        WIDE,
        "Tasted in one sighted side by side.",
        "Who tasted was not noted.",
        f"Not tested: {NOT_TESTED}",
    ]


# Papers of two packs, both fresh.
def test_two_papers() -> None:
    brews = (cup(1), cup(2, filters=(FilterFacts("paper", 2, 1),)))
    assert text(brews=brews, pairs=(pair(1, 2, 1),), asked=("filter",)) == [
        "Compared were cups brewed through two kinds of paper filter.",
        "Tested in two brews of one bean, 12 days off roast.",
        "Brewed in one cone, with a fresh filter, with a medium grind, with soft water.",
        "Brewed at 92 °C, for 2.5 min, with one stir.",
        "Brewed at a ratio of 1 : 16, with 220 g of water.",
        "Tasted by one taster, in one sighted side by side.",
        "Not tested: a cloth or metal filter, a finer or coarser grind, shorter or longer times, "
        "cooler or hotter water, harder water.",
    ]


# A paper in its first and its fourth use; the household has gone up to the ninth.
def test_uses_of_a_paper() -> None:
    brews = (cup(1), cup(2, filters=(FilterFacts("paper", 1, 4),)))
    around = (cup(9, filters=(FilterFacts("paper", 1, 9),)),)
    told = text(brews=brews, pairs=(pair(1, 2, 1),), asked=("use of the filter",), around=around)
    assert told == [
        "Compared were cups brewed with a filter in its first or fourth use.",
        TWO_BREWS,
        "Brewed in one cone, through one kind of paper filter, with a medium grind, with soft "
        "water.",
        AT_92,
        WIDE,
        ONE_PAIR,
        "Not tested: filters used more often, a finer or coarser grind, shorter or longer times, "
        "cooler or hotter water, harder water.",
    ]


# Metal below paper in one cup, and no paper at all in the other.
def test_two_filters_at_a_time() -> None:
    metal = FilterFacts("metal", 5)
    brews = (cup(1, filters=(metal, *FRESH)), cup(2, filters=(metal,)))
    assert text(brews=brews, pairs=(pair(1, 2, 1),), asked=("filter",)) == [
        "Compared were cups brewed through one kind of paper filter and one kind of metal filter, "
        "with one or two filters at a time.",
        TWO_BREWS,
        "Brewed in one cone, with a fresh filter, with a medium grind, with soft water.",
        AT_92,
        WIDE,
        ONE_PAIR,
        "Not tested: a cloth filter, more filters at a time, a finer or coarser grind, shorter or "
        "longer times, cooler or hotter water.",
    ]


def test_over_ice() -> None:
    brews = (cup(1, ice_g=70.0, water_g=154.0), cup(2))
    assert text(brews=brews, pairs=(pair(1, 2, 1),), asked=("ice",)) == [
        "Compared were cups brewed with ice and without.",
        "Tested in two brews of one bean, 12 days off roast.",
        "Brewed in one cone, through one kind of paper filter, with a fresh filter, with a medium "
        "grind, with soft water.",
        "Brewed at 92 °C, for 2.5 min, with one stir.",
        "Brewed at ratios of 1 : 11 and 1 : 16.",
        "Brewed with 220 g of water.",
        "Tasted by one taster, in one sighted side by side.",
        "Not tested: a finer or coarser grind, shorter or longer times, cooler or hotter water, "
        "harder water, a cloth or metal filter.",
    ]
    assert text(brews=brews[:1], scores=scored(1), around=(cup(2),)) == [
        ONE_BREW,
        IN_A_CONE,
        "Brewed at 92 °C, for 2.5 min, with one stir, over ice.",
        "Brewed at a ratio of 1 : 11, with 220 g of water.",
        "Tasted by one taster, in one scored brew, not blind.",
        "Not tested: more or less coffee to the water, cups without ice, a finer or coarser grind, "
        "shorter or longer times, cooler or hotter water.",
    ]


# Three people in trials, a fourth only scored.
def test_several_tasters() -> None:
    tests = (trials(15, 1, 2, noted=15, taster_ids=frozenset((1, 2, 3))),)
    assert text(brews=cups(3), tests=tests, scores=scored(3, taster=4)) == [
        "Tested in three brews of one bean, 12 days off roast.",
        IN_A_CONE,
        AT_92,
        WIDE,
        "Tasted by four tasters, in 15 blind trials and in one scored brew, not blind.",
        "Of these brews two were tasted blind.",
        f"Not tested: {NOT_TESTED}",
    ]


# Two brews were poured for blind trials; the other four were compared sighted, more widely.
def test_blind_and_sighted() -> None:
    brews = (
        *cups(2),
        cup(3, water_temp_c=84.0, grind="coarse"),
        cup(4, water_temp_c=88.0),
        cup(5, water_temp_c=96.0),
        cup(6, water_temp_c=92.0, rest_days=25),
    )
    told = text(
        brews=brews,
        tests=(trials(12, 1, 2, noted=12),),
        pairs=(pair(3, 4, 1), pair(5, 6, 1)),
        scores=scored(1, blind=True),
        asked=("water temperature",),
    )
    assert told == [
        "Compared were cups brewed at 84 to 96 °C.",
        "Tested in six brews of one bean, 12 and 25 days off roast.",
        "Brewed in one cone, through one kind of paper filter, with a fresh filter, with medium "
        "and coarse grinds, with soft water.",
        "Brewed for 2.5 min, with one stir, at a ratio of 1 : 16.",
        "Brewed with 220 g of water.",
        "Tasted by one taster, in twelve blind trials, in two sighted side by sides and in one "
        "scored brew, blind.",
        "Of these brews two were tasted blind.",
        "Blind cups were only brewed 12 days off roast, with a medium grind, at 92 °C.",
        "Not tested: water under 84 °C or over 96 °C, a finer grind, shorter or longer times, "
        "harder water, a cloth or metal filter.",
    ]


# A blind test that was taken away and a fair side by side in the bin count for the strength.
def test_what_is_in_the_bin_and_still_counts() -> None:
    told = text(
        brews=cups(4),
        tests=(trials(6, 1, 2, noted=6, gone=True),),
        pairs=(pair(3, 4, 1, gone=True), pair(1, 2, 1)),
    )
    assert told == [
        "Tested in four brews of one bean, 12 days off roast.",
        IN_A_CONE,
        AT_92,
        WIDE,
        "Tasted by one taster, in six blind trials and in two sighted side by sides.",
        "One blind test and one side by side of these are in the bin or taken away and still "
        "count.",
        "Of these brews two were tasted blind.",
        f"Not tested: {NOT_TESTED}",
    ]


# Which paper, how often used: both are asked about, and differ at once.
def test_several_things_asked_about() -> None:
    brews = (cup(1), cup(2, filters=(FilterFacts("cloth", 3, 14),), steep_s=156))
    told = text(brews=brews, pairs=(pair(1, 2, 1),), asked=("use of the filter", "filter", "dose"))
    assert told == [
        "Compared were cups brewed through one kind of paper filter and one kind of cloth filter.",
        "Compared were cups brewed with a filter in its 1st or 14th use.",
        "Asked about as well, but the same in all: cups brewed with 14 g of coffee.",
        "Tested in two brews of one bean, 12 days off roast.",
        "Brewed in one cone, with a medium grind, with soft water.",
        "Brewed at 92 °C, with one stir, at a ratio of 1 : 16.",
        "Brewed for 2.5 and 2.6 min.",
        "Brewed with 220 g of water.",
        "Tasted by one taster, in one sighted side by side.",
        "Not tested: a metal filter, filters used more often, less or more coffee, a finer or "
        "coarser grind, times under 2.5 min or over 2.6 min.",
    ]


def test_a_household_of_ounces_and_fahrenheit() -> None:
    brews = (cup(1, water_temp_c=80.0, water_g=182.0), cup(2))
    formats = Formats(units=Units("oz", "US fl oz", "°F"))
    assert text(formats, brews=brews, scores=scored(1, 2), asked=("dose", "water temperature")) == [
        "Compared were cups brewed at 176 and 198 °F.",
        "Asked about as well, but the same in all: cups brewed with 0.49 oz of coffee.",
        "Tested in two brews of one bean, 12 days off roast.",
        "Brewed in one cone, through one kind of paper filter, with a fresh filter, with a medium "
        "grind, with soft water.",
        "Brewed for 2.5 min, with one stir.",
        "Brewed at ratios of 1 : 13 and 1 : 16.",
        "Brewed with 6.4 and 7.9 oz of water.",
        "Tasted by one taster, in two scored brews, none of them blind.",
        "Not tested: water under 176 °F or over 198 °F, less or more coffee, a finer or coarser "
        "grind, shorter or longer times, harder water.",
    ]


def test_a_household_with_a_decimal_comma() -> None:
    assert text(Formats("de"), brews=cups(1), scores=scored(1)) == [
        ONE_BREW,
        IN_A_CONE,
        "Brewed at 92 °C, for 2,5 min, with one stir.",
        WIDE,
        "Tasted by one taster, in one scored brew, not blind.",
        f"Not tested: {NOT_TESTED}",
    ]


# A night in the cold, one kind of coffee for guests, at a wide ratio.
def test_cold_and_long() -> None:
    brew = cup(
        1, kind="pressed immersion", grind="coarse", water_temp_c=8.0, steep_s=43200, stirs=2,
        dose_g=62.0, water_g=740.0, hardness_mg_l=240.0, decaf=True,
        filters=(FilterFacts("metal", 9),),
    )  # fmt: skip
    assert text(brews=(brew,), scores=scored(1, blind=True)) == [
        "Tested in one brew of one bean, decaffeinated, 12 days off roast.",
        "Brewed in one pressed immersion brewer, through one kind of metal filter, with a coarse "
        "grind, with very hard water.",
        "Brewed at 8 °C, for 12 h, with two stirs.",
        "Brewed at a ratio of 1 : 12, with 740 g of water.",
        "Tasted by one taster, in one scored brew, blind.",
        "Not tested: a finer grind, shorter or longer times, cooler or hotter water, softer water, "
        "a paper or cloth filter.",
    ]


# Two hundred brews, of which a third has no water noted.
def test_many_brews() -> None:
    brews = tuple(
        cup(n, rest_days=5 + n % 40, hardness_mg_l=None if n % 3 else 150.0, steep_s=90 + n % 50)
        for n in range(1, 201)
    )
    told = text(brews=brews, scores=scored(*range(1, 201)))
    assert told == [
        "Tested in 200 brews of one bean.",
        "Brewed 5 to 44 days off roast.",
        "Brewed in one cone, through one kind of paper filter, with a fresh filter, with a medium "
        "grind, with hard water.",
        "Brewed at 92 °C, with one stir, at a ratio of 1 : 16.",
        "Brewed for 1.5 to 2.3 min.",
        "Brewed with 220 g of water.",
        "Tasted by one taster, in 200 scored brews, none of them blind.",
        "Hardness of the water not noted in more than 130 of the 200 brews.",
        "Not tested, as far as was noted: a finer or coarser grind, times under 1.5 min or over "
        "2.3 min, cooler or hotter water, softer or harder water, a cloth or metal filter.",
    ]


# What the household does besides is named before what is only known to matter.
def test_what_the_household_does_besides_is_named_first() -> None:
    around = (cup(8, ice_g=60.0), cup(9, bean_id=2, bag_id=2, process="natural", stirs=4))
    told = text(brews=cups(1), scores=scored(1), around=around, asked=("steep",))
    assert told == [
        "What is asked about did not differ in these: cups brewed for 2.5 min.",
        ONE_BREW,
        IN_A_CONE,
        "Brewed at 92 °C, with one stir, at a ratio of 1 : 16.",
        "Brewed with 220 g of water.",
        "Tasted by one taster, in one scored brew, not blind.",
        "Not tested: shorter or longer times, smaller or larger cups, beans of another process, "
        "less or more stirring, cups over ice.",
    ]
