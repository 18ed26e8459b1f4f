"""What an ask is about, from its words: pure, our own, for questions of the trade in English.

Each word that says something stands for a *topic* ("sheet" and "filter" for paper) with a weight:
a thing or an act (ice, stir) weighs most, an amount that most have (how hot, how long) less,
and so does what it is asked of (paper, water) and what it may do (bitter). Words for asking weigh
nothing, and those in no table little, however many they are. A word is known in all its forms; a
slip of the pen is read as the word beside it. The table is made by hand; tests/similar holds it
against asks it was not made for.
"""

import re
from collections.abc import Mapping
from functools import lru_cache
from math import sqrt

from app.text import search_text

ASKED, AMOUNT, OF, MAY_DO, UNKNOWN = 1.0, 0.6, 0.4, 0.4, 0.35
# Share of letters that have to agree before a word counts as another one misspelt; from 5 letters,
# and hardly anybody misses the first of them: "setting" is not "wetting".
A_SLIP, SHORTEST = 0.82, 5

# Several words that say one thing, by the word that stands for them.
PHRASES = (
    (r"n['’]?t\b|['’](s|m|d|re|ve|ll)\b", ""),
    (r"\b(second|third|next|another) (time|use)\b|\bhow many times\b", "reuse"),
    (r"\b(\d+|two|three|four|five|six|ten|many|more|few|several) uses\b", "reuse"),
    (r"\bthrow\w* (it |them |the \w+ )?(away|out)\b|\bmore than once\b", "reuse"),
    (r"\bone after the other\b|\bupside ?down\b|\bturn\w* (it |the \w+ )?over\b", "flipped"),
    (r"\bon top of\b|\b(two|2) at (once|a time)\b", "stacked"),
    (r"\bfresh (paper|filter|sheet)", r"reuse \1"),
    (r"\bhow (much|many grams of) (coffee|powder|grounds)\b", "dose"),
    (r"\bhow long\b", "minutes"),
    (r"\bhow (hot|warm|cool)\b|\boff the boil\b|\d ?°( ?[cf]\b)?", " temperature "),
    (r"\bhow hard\b", "force"),
    (r"\bwater filter\b|\bfilter\w* water\b", "filtered water"),
    (r"\b(two|2|second|double|extra) (min\w*|times?|cups?|mugs?|days?|weeks?|months?)\b", r"\2"),
    (r"\b(still|just|also|quite|is it) fine\b", ""),
    (r"\bcold brew\w*", "coldbrew"),
    (r"\badd\w* water|\bwater (is )?added|\bwater(s|ed)? (it )?down", "dilute water"),
)  # fmt: skip
# Topic: its weight, and the words that stand for it; one form of each is enough.
TOPICS: dict[str, tuple[float, str]] = {
    "paper": (OF, "paper filter sheet"),
    "beans": (OF, "bean bag"),
    "water": (OF, "water"),
    "roast": (OF, "roast"),
    "mug": (OF, "mug glass"),
    "brewer": (OF, "brewer"),
    "two papers": (ASKED, "two 2 second double stack sandwich layer"),
    "used again": (ASKED, "used reuse again twice reusable"),
    "metal": (ASKED, "metal metallic steel mesh"),
    "cloth": (ASKED, "cloth cotton fabric linen"),
    "rinse": (ASKED, "rinse wet prerinse"),
    "wash": (ASKED, "wash clean dirty soap smell"),
    "heat": (AMOUNT, "temperature boil degrees cool hotter celsius fahrenheit"),
    "hot": (OF, "hot cold"),
    "grind": (AMOUNT, "grind ground fine coarse"),
    "grinder": (ASKED, "grinder mill electric burr"),
    "stir": (ASKED, "stir swirl"),
    "steep": (AMOUNT, "steep soak contact"),
    "minutes": (AMOUNT, "minute min seconds long short time"),
    "freezer": (ASKED, "freeze freezer frozen"),
    "age": (AMOUNT, "rest day week month stale degas date yesterday"),
    "fresh": (OF, "fresh old"),
    "open bag": (ASKED, "open airtight jar"),
    "kind of water": (ASKED, "tap bottle hard hardness soft mineral filtered limescale"),
    "caffeine": (ASKED, "caffeine"),
    "flipped": (ASKED, "flip upright invert"),
    "ice": (ASKED, "ice iced icy"),
    "cold brew": (ASKED, "coldbrew overnight"),
    "press": (ASKED, "press push plunge force pressure"),
    "bloom": (ASKED, "bloom prewet preinfusion"),
    "dose": (AMOUNT, "dose gram g spoon ratio weigh scale"),
    "dilute": (ASKED, "dilute bypass concentrate"),
    "warmed": (ASKED, "preheat prewarm warm"),
    "kettle": (ASKED, "kettle spout"),
    "milk": (ASKED, "milk cream"),
    "sugar": (ASKED, "sugar sweetener"),
    "decaf": (ASKED, "decaf decaffeinated"),
    "light or dark": (AMOUNT, "light dark"),
    "price": (OF, "price cheap expensive money cost"),
    "bitter": (MAY_DO, "bitter harsh"),
    "sour": (MAY_DO, "sour acid acidic acidity"),
    "muddy": (MAY_DO, "muddy mud silt sediment gritty sludge"),
    "clear": (MAY_DO, "clear cleaner clarity"),
    "strong": (MAY_DO, "strong strength weak thin watery body"),
    "flat": (MAY_DO, "flat dull"),
}
# Words that mean their topic only in an ask that is about another one, too.
ONLY_WITH = {
    "paper": ("two", "2", "second", "double", "stack", "sandwich", "layer"),
    "water": ("hard", "hardness", "soft"),
}
# What only asks, or says nothing on what is asked about: words of grammar, and plain verbs.
_NOTHING = """
a about above across actually after ago all almost alone along already also although always am
among an and another any anybody anyone anything anyway apart are around as aside ask at away back
bad bar be because become been before beforehand begin behind being believe below beside best
better between beyond bit both bring but buy by call can care change coffee come comes could cup
cups brew did differ difference different do does doing done down drink drinkable during each early
either else end enough especially even ever every everybody everyone exactly except far feel few
find first five for forget forgot four friend from full get give go goes good got great grounds
guess had half hand happen hardly has have he hear hello help her here hers hi him his hold how
however hundred i idea if in indeed instead into is it its itself just keep kind know last late
later least leave left less let like little look lot love made make many matter may maybe me mean
might mind mine more most mostly move much must my myself near nearly necessary need neither never
new next nice no nobody none nonsense nor normal not nothing notice now nowhere of off often ok okay
on once one ones only onto opinion or other otherwise our out outside over own part people per
perhaps person please point possible powder prefer probably problem put question quick quite rather
reach really reason recommend right round said same say see seem several shall she should show
since single six small so some somebody someone something sometimes somewhat soon sort start stay
still stop straight such sure take taste tell ten than thank that the their them then there
therefore these they thing think this those though three through till tip to today together
tomorrow too top towards tried true try turn under unless until up upon us use usual versus very
via vs want was way we well went were what whatever when whenever where whether which while who
whole whom whose why will wish with within without wonder work worse worst worth would wrong year
yes yet you your yourself
ml cl l pre
"""
SUFFIX = re.compile(r"(ness|ings?|ed|ers?|est|es|s|ly|y|e)$")
LEAST_STEM = 3


def stem(word: str) -> str:
    """What the forms of a word share: stir, stirred, stirring."""
    short = SUFFIX.sub("", word)
    if len(short) < LEAST_STEM:
        return word
    return short[:-1] if short[-1] == short[-2] and short[-1] not in "ls" else short


NOTHING = frozenset(_NOTHING.split())
WORDS = {word: topic for topic, (_, words) in TOPICS.items() for word in words.split()}
FORMS = {stem(word): word for word in (*NOTHING, *WORDS)}
COMPANY = {word: topic for topic, words in ONLY_WITH.items() for word in words}
KNOWN = tuple(word for word in (*WORDS, *NOTHING) if len(word) >= SHORTEST)
_PHRASES = [(re.compile(pattern), word) for pattern, word in PHRASES]
_WORD = re.compile(r"[^\W\d_]+|\d+")
NOTHING_SAID = "a"
MOST_WORDS = 60  # of an ask are looked at: who writes more has said it by then


@lru_cache(maxsize=8192)
def topics_of(text: str) -> Mapping[str, float]:
    """What the text is about: topics, and words that are in no table, with their weights; the
    squares of these add up to 1."""
    folded = search_text(text)
    for pattern, word in _PHRASES:
        folded = pattern.sub(word, folded)
    read = (_known(word) for word in _WORD.findall(folded)[:MOST_WORDS])
    words = [word for word in dict.fromkeys(read) if word not in NOTHING]
    topics = {WORDS[word] for word in words if word in WORDS}
    strange = sum(word not in WORDS for word in words)
    found: dict[str, float] = {}
    for word in words:
        if word not in WORDS:
            found[word] = UNKNOWN / sqrt(strange)
        elif word not in COMPANY or COMPANY[word] in topics:
            found[WORDS[word]] = TOPICS[WORDS[word]][0]
    length = sqrt(sum(weight * weight for weight in found.values()))
    return {topic: weight / length for topic, weight in found.items()}


@lru_cache(maxsize=8192)
def _known(word: str) -> str:
    """The word of the tables that it is a form or a slip of; else its stem."""
    if word in WORDS or word in NOTHING:
        return word
    if word.isdigit() or len(word) < 2:
        return NOTHING_SAID
    short = stem(word)
    if short in WORDS or short in NOTHING:
        return short
    if short in FORMS:
        return FORMS[short]
    if len(word) >= SHORTEST:
        from rapidfuzz import process  # as in names/alike.py
        from rapidfuzz.distance import OSA

        alike = [one for one in KNOWN if one[0] == word[0]]
        near = process.extractOne(
            word, alike, scorer=OSA.normalized_similarity, score_cutoff=A_SLIP
        )
        if near:
            return near[0]
    return short
