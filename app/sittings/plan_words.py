"""The plan of a sitting in words: at a glance, and in its order."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from app.brewing.sentences import Amount, Sentence
from app.brewing.sitting import times
from app.brewing.sitting.palate import MOST_TRIALS
from app.brewing.sitting.plan import Line, SittingPlan
from app.journal.sittings.needs import Readiness
from app.journal.sittings.proposal import Proposal
from app.sensory.gathered.words import counted

FROM = {
    "test": "The cups are those of its blind test.",
    "pair": "The cups are those of its side by side.",
    "last brew": "Nothing was set side by side for it yet, so both cups start from the last brew.",
    "nothing": "There is no brew yet that a cup could be like: log one first.",
}
BY_HAND = (
    "What it is about cannot be set here ({}): both are brewed the same way, and you make the "
    "difference by hand."
)
NO_FACTOR = "The question does not say yet what is different: then it can be set here."
NOT_SAID = "What is different in one of the cups of “{}” is not said yet."
ROUNDED_MIN = 5


@dataclass(frozen=True, slots=True)
class RoundRow:
    """A round of the plan: when it begins, its question, what is done in turn, how long it is."""

    starts_s: int
    question_id: int
    steps: tuple[str, ...]
    lasts_s: int


def about(seconds: int) -> str:
    """A length to plan with, to five minutes: 35 min, 1 h 25 min."""
    minutes = ROUNDED_MIN * -(-seconds // (60 * ROUNDED_MIN))
    hours, rest = divmod(minutes, 60)
    return " ".join(filter(None, (f"{hours} h" if hours else "", f"{rest} min" if rest else "")))


def glance(ready: Readiness) -> list[str]:
    """What it is, what it takes, in the fewest words."""
    plan = ready.plan
    of_bags = [need.text for need in ready.needs if need.key.startswith("bag:")]
    water = Sentence("{} of water to heat", Amount(plan.amounts.kettle_g, "ml", 0))
    parts: list[str] = [
        counted(plan.pairs, "side by side") if plan.pairs else "",
        counted(plan.trials, "blind trial") if plan.trials else "",
        counted(plan.amounts.brews, "brew"),
        f"about {about(plan.lasts_s)}",
        *of_bags,
        water,
    ]
    return [part for part in parts if part]


def from_where(of: Proposal, *, settable: bool) -> list[str]:
    """Where a question's cups come from, and what that leaves to be said."""
    said = [FROM[of.source]]
    if of.source == "last brew" and not settable:
        said.append(BY_HAND.format(", ".join(of.factors)) if of.factors else NO_FACTOR)
    return said


def rounds(plan: SittingPlan) -> list[RoundRow]:
    """The lines in rounds: each begins with the first brew after a tasting."""
    rows: list[RoundRow] = []
    now = begins = 0
    held: list[Line] = []
    for line in (*plan.lines, None):
        ends = line is None or (line.kind == "brew" and any(one.kind != "brew" for one in held))
        if ends and held:
            rows.append(RoundRow(begins, held[0].question_id, tuple(_steps(held)), now - begins))
            begins, held = now, []
        if line is not None:
            held.append(line)
            now += line.lasts_s
    return rows


def _steps(lines: Sequence[Line]) -> Iterator[str]:
    for line in lines:
        if line.kind == "brew":
            yield _brew(line)
        elif line.kind == "taste":
            yield f"taste A and B side by side{', ' + line.says.split(':')[0] if line.says else ''}"
        elif line.kind == "trial":
            yield f"blind trial {line.trial}"


def _brew(line: Line) -> str:
    letters = [brew.letter for brew in line.brews]
    if None in letters:
        return f"brew {counted(len(letters), 'cup')} as the page of the trial says"
    return f"brew {' and '.join(map(str, letters))}{' along' if len(letters) > 1 else ''}"


def assumed(kettle_g: float) -> list[Sentence]:
    """What the time and the amounts rest on, in sentences."""
    said: Mapping[str, tuple[float, str]] = {
        "Setting up a brewer (weigh, grind, filter, rinse) takes {}.": (times.SET_UP_S, "s"),
        "Washing one up takes {}.": (times.WASH_UP_S, "s"),
        "Small cups come down to 55 °C within {}; iced ones are tasted at once.": (
            times.COOL_S, "s",
        ),
        "Tasting two cups side by side takes {}.": (times.TASTE_S, "s"),
        "A cup of a blind trial takes {}, rinsing the mouth included.": (times.A_CUP_S, "s"),
        "Between two tastings of the same brews the palate rests for {}.": (times.REST_S, "s"),
        "Before a fainter cup it rests for {}.": (times.LONG_REST_S, "s"),
        "A cup is tasted from {}.": (times.TASTED_G, "g"),
        "A filter that is rinsed hot takes {} of water.": (times.RINSE_G, "ml"),
        "The kettle holds {}.": (kettle_g, "ml"),
    }  # fmt: skip
    return [Sentence(text, Amount(value, unit, 0)) for text, (value, unit) in said.items()] + [
        Sentence(f"One palate takes {MOST_TRIALS} trials a sitting at most (from memory).")
    ]
