"""The worksheets in the order of the list: URL, title, and what each answers."""

from typing import NamedTuple


class Sheet(NamedTuple):
    """`from_brew` tells whether a recipe or a brew gives it something to start from."""

    name: str
    title: str
    answers: str
    from_brew: bool = True


SHEETS = (
    Sheet("scale", "Scale", "A recipe for another dose, amount or number of cups, step by step."),
    Sheet(
        "share",
        "One brewer, several cups",
        "What fits, how long to steep it, what to add, and what each cup gets.",
    ),
    Sheet(
        "dilute", "Dilute", "Any three of dose, waters, beverage, ratio and strength give the rest."
    ),
    Sheet("ice", "Ice", "How cold and how strong ice makes a hot brew, now and as the rest melts."),
    Sheet("strength", "Hit a strength", "Dose and water for the strength and amount you want."),
    Sheet(
        "strong",
        "Strong and diluted",
        "A full-water brew against a strong one made up with water, before anyone brews.",
    ),
    Sheet(
        "time",
        "Grind and time",
        "What steeping longer or shorter does at a grind, with your measured brews.",
    ),
    Sheet("caffeine", "Caffeine today", "Today’s cups, and what is left through the day.", False),
    Sheet(
        "paper",
        "Paper or not",
        "What new, reused, cloth and metal filters cost in money, paper and electricity.",
        False,
    ),
    Sheet(
        "water",
        "Water",
        "Hardness in every unit, a bottle’s label, and two waters mixed to a target.",
        False,
    ),
    Sheet(
        "learned",
        "Learned values",
        "What your weighed and measured brews have taught, and how well that predicts.",
        False,
    ),
)
BY_NAME = {sheet.name: sheet for sheet in SHEETS}
