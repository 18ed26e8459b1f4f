"""The sentences of the tasters' page."""

from app.journal.agreeing import Together, TwoTasters
from app.journal.repeating import Repeats
from app.sensory.scores.agreement import LEAST_CUPS, LEAST_DAYS, Agreement
from app.sensory.scores.repeats import Spread

CALLED = 0.05

NONE_YET = (
    "No recipe was brewed and scored twice yet, so how well this taster repeats is not known. Brew "
    "one recipe again, from the same bag, within three days of rest."
)

CHOSEN = (
    "But the cups that both scored are others than those one of them scored alone: if who leaves "
    "cups out leaves out those they do not like, that alone makes such a difference, and the two "
    "cannot be told apart here."
)

LEFT_OUT = (
    "Scored were {} of the {} cups made meanwhile. If the others were left out for being worse, "
    "cups of one recipe differ by more than this."
)


def repeats(of: Repeats | None) -> list[str]:
    """How much one taster's scores of one recipe differ, and what one cup against one cup takes."""
    if of is None or not of.spreads:
        return [NONE_YET]
    told = [_repeats(spread) for spread in of.spreads]
    return [*told, LEFT_OUT.format(of.scored, of.brews)] if of.leaves_out else told


def _repeats(spread: Spread) -> str:
    told = f"{spread.basis}, scatter by {spread.sd:.1f} points"
    if spread.is_wide:
        return f"{told}: too few to say how far apart two cups have to be."
    return (
        f"{told}. Two cups have to be more than {spread.range_95:.1f} apart to stand out from that."
    )


def agreement(pair: TwoTasters) -> list[str]:
    """How far two tasters agree, plain words first."""
    found = pair.found
    cups = f"Both scored {_counted(found.cups, 'cup')} on {_counted(found.days, 'day')}"
    near = f"{round(100 * found.near)} of 100 within one point of each other"
    said = [f"{cups}: {near}." if found.cups > 4 else f"{cups}.", _higher(pair)]
    if found.kappa is None:
        said.append(_no_kappa(found))
    else:
        said.append(
            f"Where one liked a cup better than the other cups, so did the other to this degree: "
            f"{_signed(found.kappa, 2)} (range {_signed(found.low, 2)} to "
            f"{_signed(found.high, 2)}; 1 is the same score on every cup, 0 what scores put "
            "together at random give)."
        )
    return said


def together(of: Together) -> list[str]:
    """Whether several tasters put the days' cups into one order, plain words first."""
    found = of.found
    days = f"All {found.tasters} scored cups on the same {found.cups} days"
    if found.chance <= CALLED:
        said = f"{days}, and largely agree which they liked better."
    else:
        said = f"{days}; whether they agree which they liked better cannot be told yet."
    return [
        said,
        f"Agreement of their orders is {found.w:.2f} (Kendall's W: 1 is one order for all, 0 is "
        f"none). Orders drawn by lot agree as far as that {_in_how_many(found.chance)}.",
        "It does not say that they like the same: who agrees may give other scores, and who tastes "
        "at one table may have heard the others.",
    ]


def _in_how_many(chance: float) -> str:
    return (
        f"in {100 * chance:.0f} of 100 cases" if chance >= 0.01 else "in less than 1 of 100 cases"
    )


def _no_kappa(found: Agreement) -> str:
    if found.cups >= LEAST_CUPS and found.days >= LEAST_DAYS:
        return "Neither told one cup from another, so there is nothing to agree on."
    return (
        f"How far they agree on which cups are better takes {LEAST_CUPS} such cups on "
        f"{LEAST_DAYS} days."
    )


def _higher(pair: TwoTasters) -> str:
    found = pair.found.apart
    size = abs(found.difference)
    who, other = (pair.first, pair.second) if found.difference > 0 else (pair.second, pair.first)
    if size < 0.05:
        told = "On average they give the same score"
    else:
        told = f"On average {who} gives {size:.1f} more than {other}"
    if found.low is None or found.high is None:
        return f"{told}; a range takes six days."
    low, high = sorted(((found.low, found.high), (-found.high, -found.low))[found.difference < 0])
    sure = "beyond what chance gives" if found.higher else "which chance can give"
    chosen = f" {CHOSEN}" if found.higher and pair.found.chosen else ""
    return f"{told} (range {_signed(low)} to {_signed(high)}), {sure}.{chosen}"


def _signed(value: float | None, digits: int = 1) -> str:
    return f"{value or 0.0:.{digits}f}".replace("-", "−")


def _counted(count: int, word: str) -> str:
    return f"{count} {word}{'' if count == 1 else 's'}"
