"""The sentences of a ranking: what was found, and what it does not say."""

from math import exp

from app.charts.figure import Chart, Triple
from app.charts.worths import worths
from app.formats import Formats
from app.journal.pairs.fairness import listed
from app.journal.ranking.orders import Order, Placed
from app.sensory.scores.ranking import DRAWS, SURE

LEAST = 3  # preferences; fewer are said in words
MOST_DRAWN = 8
NAMES = {True: "Blind", False: "Sighted"}
LIMITS = (
    "What was brewed against what was chosen, often after tasting, and not drawn by lot: this is "
    "the pattern of a journal, not an experiment. It says which was preferred, not why.",
    "Where recipes are alike, chance makes one of them the best in fewer than 1 order in 20 for "
    "who looks after each of 30 preferences. More preferences, and other bags and tasters looked "
    "at, add to that.",
    "A pair counts where nothing differs that was noted, but what a recipe says. What was not "
    "noted may differ, a brew counts for its recipe whether or not it was followed, and all "
    "revisions of a recipe count as one.",
)
EXPECTED = "Whoever knows which cup is which also tastes what they expect."
HEAD = ("Recipe", "Revisions#", "Preferred#", "Not preferred#", "Best of these, of 100#")


def finding(order: Order) -> str:
    """What was found, in no more words than it carries."""
    many = order.counted
    if not many:
        neither = f" {_times(order.ties)} neither was preferred." if order.ties else ""
        return f"No preference between two recipes yet.{neither}"
    first, last = order.islands[0][0], order.islands[0][-1]
    if many == 1:
        return f"One preference: {first.recipe.name} over {last.recipe.name}."
    counted = f"{many} preferences between {order.recipes} recipes"
    if many < LEAST:
        return f"{counted}: too few for an order."
    if first.ranked.best >= SURE:
        of = f"the {len(order.islands[0])} that were compared"
        chances = f"{of_100(first.ranked.best)} chances in 100 that it is the best of {of}"
        return f"{first.recipe.name} is preferred: {chances}. {many} preferences."
    if last.ranked.high >= first.ranked.low:
        return f"Nothing separates them yet: {counted}."
    return f"No recipe is clearly the best yet: {counted}."


def beside(order: Order, *, every: bool) -> list[str]:
    """What belongs to the finding, the weightiest first."""
    said = []
    if 0 < order.counted < LEAST:
        said.append(f"An order begins with {LEAST} preferences: {LEAST - order.counted} more.")
    if order.counted and len(order.islands) > 1:
        said.append(
            "No preference links these, so they cannot be ranked against each other: "
            f"{'; '.join(listed([one.recipe.name for one in own]) for own in order.islands)}."
        )
    if order.mixed:
        why = listed([f"{name} ({many})" for name, many in order.because])
        said.append(
            f"In {order.mixed} of them more than the recipe differed: {why}. What was preferred "
            "may have been that."
            if every
            else f"{_preferences(order.mixed)} left out: more than the recipe differed, {why}."
        )
    if order.ties and order.counted:
        said.append(f"{_times(order.ties)} neither was preferred: that counts for neither.")
    if order.again:
        said.append(f"{_more(order.again)} of two brews that count already: the luck of a brew is "
                    "in all that was said of it, so it counts once.")  # fmt: skip
    return said + _whose(order)


def _whose(order: Order) -> list[str]:
    people = [f"{name} {many}" for name, many in order.whose]
    if order.nobodys:
        people.append(f"nobody noted {order.nobodys}")
    if not order.whose:
        return []
    if len(people) == 1:
        return [f"All are {order.whose[0][0]}’s."]
    mixed = " Different people may like different recipes." if len(order.whose) > 1 else ""
    return [f"Whose they are: {listed(people)}.{mixed}"]


def _times(many: int) -> str:
    return "Once" if many == 1 else f"{many} times"


def _preferences(many: int) -> str:
    return "1 preference is" if many == 1 else f"{many} preferences are"


def _more(many: int) -> str:
    return "1 more preference was" if many == 1 else f"{many} more preferences were"


def of_100(chance: float) -> str:
    """Never 0 and never 100: draws are counted."""
    whole = int(100 * chance)
    return str(min(99, whole)) if whole else "under 1"


def table(order: Order) -> list[list[str]]:
    """A row a recipe, island after island."""
    return [
        [
            one.recipe.name,
            str(one.revisions),
            str(one.ranked.won),
            str(one.ranked.lost),
            of_100(one.ranked.best) if len(island) > 1 else "–",
        ]
        for island in order.islands
        for one in island
    ]


def sums(order: Order) -> str:
    """How it was worked out."""
    gain = ""
    if order.gain:
        gain = (f" The next pair is that whose outcome tells most about which is best (Lindley "
                f"1956): {order.gain.bits:.2f} of the {order.gain.missing:.2f} bits that are "
                "missing.")  # fmt: skip
    return (
        "Bradley and Terry’s model (1952): the log-odds of a preference are the difference of two "
        "worths, each with a normal prior of mean 0 and SD 1; the chance of being best from "
        f"{DRAWS} draws. Ranges of 95 % by the curvature of the posterior, over that with a prior "
        "of SD 3 by Student’s t, which lets recipes be far apart. From "
        f"{100 * SURE:g} in 100 on a recipe is called the best.{gain}"
    )


def chart(order: Order, formats: Formats) -> Chart | None:
    """The largest island; none where there is too little to draw."""
    if order.counted < LEAST:
        return None
    shown = order.islands[0][:MOST_DRAWN]
    values = [_share(one) for one in shown]
    rows = [
        [one.recipe.name, *(formats.fixed(number, 0) for number in triple)]
        for one, triple in zip(shown, values, strict=True)
    ]
    names = [one.recipe.name for one in shown]
    more = len(order.islands[0]) - len(shown)
    words = "Preferred to a middling one of these, so many times of 100, with the range. Ranges " \
            "that overlap leave the order open."  # fmt: skip
    left_out = f" {more} further down are in the sums only." if more else ""
    head = ["Recipe", "Of 100#", "From#", "To#"]
    title = f"How often each would be preferred, {NAMES[order.blind].lower()}"
    return Chart(title, worths(names, values), head, rows, words + left_out)


def _share(one: Placed) -> Triple:
    value, low, high = (
        100 / (1 + exp(-worth)) for worth in (one.ranked.worth, one.ranked.low, one.ranked.high)
    )
    return value, low, high
