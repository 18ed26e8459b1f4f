"""What an ask is about, from its words: pure, our own, for questions of the trade in English.

Each word that says something stands for a *topic* ("sheet" and "filter" for paper) with a weight:
what is asked about weighs most, what it is asked of (paper, water) less, and so does what it may do
(bitter, muddy). Words for asking weigh nothing. A slip of the pen is read as the word beside it.
The table is made by hand; tests/similar holds it against asks it was not made for.
"""

import re
from collections.abc import Mapping
from functools import lru_cache
from math import sqrt

from rapidfuzz import process
from rapidfuzz.distance import OSA

from app.text import search_text

ASKED, OF, MAY_DO, UNKNOWN = 1.0, 0.5, 0.5, 0.6
# Share of letters that have to agree before a word counts as another one misspelt; from 5 letters.
A_SLIP, SHORTEST = 0.82, 5

# Several words that say one thing, by the word that stands for them.
PHRASES = (
    (r"\b(second|third|next|another) (time|use)\b|\bhow many times\b|\b\w+ uses\b", "reuse"),
    (r"\bone after the other\b|\bupside ?down\b", "flipped"),
    (r"\bon top of\b|\btwo at once\b", "stacked"),
    (r"\bfresh (paper|filter|sheet)", r"reuse \1"),
    (r"\bhow (much|many grams of) (coffee|powder|grounds)\b", "dose"),
    (r"\bhow long\b", "minutes"),
    (r"\bhow (hot|warm)\b|\boff the boil\b", "temperature"),
    (r"\b(two|2|second|double|extra) (minutes?|times?|cups?|mugs?|days?|weeks?|months?)\b", r"\2"),
    (r"\b(still|just|also|quite|is it) fine\b", ""),
    (r"\bcold brew\w*", "coldbrew"),
    (r"\badd\w* water|\bwater (is )?added", "dilute water"),
)  # fmt: skip
# Topic: its weight, and the words that stand for it.
TOPICS: dict[str, tuple[float, str]] = {
    "paper": (OF, "paper papers filter filters sheet sheets"),
    "beans": (OF, "bean beans bag bags"),
    "water": (OF, "water"),
    "roast": (OF, "roast roasts roasted roasting"),
    "mug": (OF, "mug mugs"),
    "brewer": (OF, "brewer brewers"),
    "two papers": (ASKED, "two 2 second double doubled doubling stack stacked stacking sandwich"),
    "used again": (ASKED, "used reuse reused reusing again twice reusable"),
    "metal": (ASKED, "metal metallic steel mesh"),
    "cloth": (ASKED, "cloth cotton fabric linen"),
    "rinse": (ASKED, "rinse rinsed rinsing wet wetting prerinse"),
    "wash": (ASKED, "wash washed washing clean cleaning dirty soap smell smells"),
    "heat": (ASKED, "temperature temperatures boil boiled boiling degrees cooler hotter celsius"),
    "hot": (OF, "hot"),
    "grind": (ASKED, "grind grinds grinding ground fine finer coarse coarser"),
    "grinder": (ASKED, "grinder grinders mill mills electric burr burrs"),
    "stir": (ASKED, "stir stirs stirred stirring swirl swirling"),
    "steep": (ASKED, "steep steeps steeping steeped soak contact"),
    "minutes": (ASKED, "minute minutes seconds long longer short shorter time"),
    "freezer": (ASKED, "freeze freezer freezing frozen"),
    "age": (ASKED, "rest rests resting day days week weeks month months stale degas date"),
    "fresh": (OF, "fresh fresher freshness old older"),
    "kind of water": (ASKED, "tap bottled bottle hard hardness soft mineral minerals filtered"),
    "caffeine": (ASKED, "caffeine"),
    "flipped": (ASKED, "flip flips flipped flipping upright invert inverted inverting"),
    "ice": (ASKED, "ice iced icy"),
    "cold brew": (ASKED, "coldbrew overnight"),
    "press": (ASKED, "press pressed pressing push pushing force pressure"),
    "bloom": (ASKED, "bloom blooms blooming prewet preinfusion"),
    "dose": (ASKED, "dose doses dosing gram grams g spoon spoons ratio"),
    "dilute": (ASKED, "dilute diluted diluting bypass concentrate"),
    "warmed": (ASKED, "preheat preheated preheating prewarm warm warmed warming"),
    "kettle": (ASKED, "kettle kettles spout"),
    "milk": (ASKED, "milk cream"),
    "sugar": (ASKED, "sugar sweetener"),
    "decaf": (ASKED, "decaf decaffeinated"),
    "light or dark": (ASKED, "light lighter dark darker"),
    "price": (OF, "price cheap cheaper expensive money cost costs"),
    "bitter": (MAY_DO, "bitter bitterness harsh"),
    "sour": (MAY_DO, "sour sourness acid acidic acidity"),
    "muddy": (MAY_DO, "muddy muddier mud silt sediment gritty"),
    "clear": (MAY_DO, "clear clearer cleaner clarity"),
    "strong": (MAY_DO, "strong stronger strength weak weaker thin thinner body"),
    "flat": (MAY_DO, "flat dull"),
}
# What only asks, or says nothing on what is asked about.
_NOTHING = """
a about after all also always am an and any anything are as ask at bad be because been before
best better between both brew brewed brewing brews bring brings but by can change changes
changing coffee could cup cups did differ difference differences different do does doing done
drink drinkable each either else enough ever every first for from get gets give go goes good had
happen happens has have hello help helps her hi his how i if in instead into is it its just kind
know less like little lot made make makes making many matter matters may me might more most much
must my necessary need needed needs never no nonsense not now of off often ok okay on once one
only or other others our over own people per please possible put question quite rather really
recommend recommended right say see shall she should since single so some something still
straight sure take taken takes taste tasted tastes tasting tell than thank thanks that the their
them then there these they thing things think this those through to too top tried try under
until up us use uses using usual very want was way ways we well were what when where whether
which while who why will with without wonder wondering work works worth would wrong yes you your
ml cl l hand pre
"""
NOTHING = frozenset(_NOTHING.split())
WORDS = {word: topic for topic, (_, words) in TOPICS.items() for word in words.split()}
KNOWN = (*WORDS, *(word for word in NOTHING if len(word) >= SHORTEST))
_PHRASES = [(re.compile(pattern), word) for pattern, word in PHRASES]
_WORD = re.compile(r"[^\W\d_]+|\d+")
MOST_WORDS = 60  # of an ask are looked at: who writes more has said it by then


@lru_cache(maxsize=8192)
def topics_of(text: str) -> Mapping[str, float]:
    """What the text is about: topics, and words that are in no table, with their weights; the
    squares of these add up to 1."""
    folded = search_text(text)
    for pattern, word in _PHRASES:
        folded = pattern.sub(word, folded)
    found: dict[str, float] = {}
    for word in _WORD.findall(folded)[:MOST_WORDS]:
        topic = _topic(word)
        if topic:
            found[topic] = TOPICS[topic][0] if topic in TOPICS else UNKNOWN
    if "two papers" in found and "paper" not in found:
        del found["two papers"]
    length = sqrt(sum(weight * weight for weight in found.values()))
    return {topic: weight / length for topic, weight in found.items()}


@lru_cache(maxsize=8192)
def _topic(word: str) -> str:
    """The topic a word stands for, empty for none; of an unknown word its stem."""
    if word in WORDS:
        return WORDS[word]
    if word in NOTHING or word.isdigit() or len(word) < 2:
        return ""
    if len(word) >= SHORTEST:
        near = process.extractOne(
            word, KNOWN, scorer=OSA.normalized_similarity, score_cutoff=A_SLIP
        )
        if near:
            return WORDS.get(near[0], "")
    return re.sub(r"(ness|ings?|e?s|ed|er|ly)$", "", word) if len(word) > SHORTEST else word
