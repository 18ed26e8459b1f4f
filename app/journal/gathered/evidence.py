"""What was gathered under a question, each piece with what it says, and how strong it all is."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from statistics import fmean
from typing import Literal

from sqlalchemy.orm import Session

from app.formats import Formats
from app.journal.blind.evidence import BlindEvidence
from app.journal.families import Member, read_families
from app.journal.gathered.groups import NAMES, BrewLine, Groups, group, is_number
from app.journal.gathered.tied import TiedPair, tied_to
from app.journal.groups.links import GroupsUnder, groups_under
from app.journal.pairs.fairness import Fairness, compare, listed
from app.journal.pairs.pair import Side, read_sides
from app.journal.pairs.rows import Line, lines
from app.models import Question
from app.sensory.gathered.sighted import Sighted
from app.sensory.gathered.weight import Weight, weigh

Bearing = Literal["fair", "not fair", "a repeat", "another thing"]

TOGETHER = (
    "Fair for this question: nothing differs but what it asks about, the {}. They differ at once, "
    "so which of them it is cannot be told apart."
)


@dataclass(frozen=True, slots=True)
class PairLine:
    """A saved side by side: what differed, what that means for the question, the preference."""

    row: TiedPair
    a: Side
    b: Side
    fairness: Fairness
    apart: list[Line]
    bearing: Bearing

    @property
    def sentence(self) -> str:
        """What it can say; where several things asked about differ at once, which of them it is, it
        cannot."""
        if self.bearing == "fair" and len(self.apart) > 1:
            names = listed([line.label for line in self.apart])
            return TOGETHER.format(names)
        return self.fairness.sentence


@dataclass(frozen=True, slots=True)
class Gathered:
    """Everything under a question. `gone` are blind tests in the bin or taken away, which count;
    `in_the_bin` says how many other things are there that do not, `still_count` how many do.
    `groups_of_cups` are comparisons of groups, an anecdote at most.
    `members` are all tests that count, `counted_pairs` all side by sides, wherever they are now.
    """

    brews: list[BrewLine]
    groups: Groups | None
    pairs: list[PairLine]
    tests: list[BlindEvidence]
    gone: list[Member]
    in_the_bin: int
    still_count: int
    weight: Weight
    members: list[Member]
    counted_pairs: list[PairLine]
    groups_of_cups: list[GroupsUnder]

    @property
    def together(self) -> list[list[str]]:
        """What is asked about and differed at once in fair side by sides, each set once."""
        sets = [
            [line.label for line in pair.apart] for pair in self.pairs if pair.bearing == "fair"
        ]
        return [list(each) for each in dict.fromkeys(map(tuple, sets)) if len(each) > 1]

    @property
    def to_test(self) -> tuple[int, int] | None:
        """The two brews to test blind: those of the side by side saved last, a fair one if there
        is any; where none is, the only two brews."""
        rows = [pair.row for pair in self.pairs if pair.bearing == "fair"]
        rows = rows or [pair.row for pair in self.pairs]
        if rows:
            return rows[-1].brew_a_id, rows[-1].brew_b_id
        if len(self.brews) != 2:
            return None
        first, then = self.brews
        return first.side.row.id, then.side.row.id


def gather(session: Session, question: Question, formats: Formats, now: datetime) -> Gathered:
    """Read and weigh what is tied to a question, in a number of statements that stays the same."""
    tied = tied_to(session, question.id)
    every = [*tied.pairs, *tied.binned_pairs]
    in_pairs = {brew_id for row in every for brew_id in (row.brew_a_id, row.brew_b_id)}
    sides = read_sides(session, in_pairs.union(tied.brew_ids))
    brews = [_brew(sides[brew_id], formats) for brew_id in tied.brew_ids]
    compared = [pair_line(row, sides, question.factors, formats) for row in every]
    pairs = compared[: len(tied.pairs)]
    members = read_families(session, [question.id], now).get(question.id, [])
    tests = [one.shown for one in members if not one.blind.gone]
    groups = group(brews, question.factors)
    bear = bearing_on_it(compared)
    counted = [_sighted(pair) for pair in bear]
    scored = sum(brew.liking is not None for brew in brews)
    compared_groups = groups_under(session, question.id)
    weight = weight_of(members, compared, scored, len(compared_groups))
    gone = [one for one in members if one.blind.gone]
    still_count = sum(bool(one.gone and one.favours) for one in counted)
    in_the_bin = tied.in_the_bin - still_count
    taken = [p for p, one in zip(bear, counted, strict=True) if not one.gone or one.favours]
    return Gathered(
        brews, groups, pairs, tests, gone, in_the_bin, still_count, weight, members, taken,
        compared_groups,
    )  # fmt: skip


def weight_of(
    members: Sequence[Member], compared: Sequence[PairLine], scored: int, of_cups: int
) -> Weight:
    """How strong blind tests, side by sides, scored brews and groups of cups are together."""
    sighted = [_sighted(pair) for pair in bearing_on_it(compared)]
    return weigh([one.blind for one in members], sighted, scored, of_cups)


def bearing_on_it(compared: Sequence[PairLine]) -> list[PairLine]:
    """The side by sides that the strength takes in, in the order of time."""
    in_time = sorted(compared, key=lambda pair: (pair.row.saved_at, pair.row.id))
    return [
        pair for pair in in_time if pair.row.preference and pair.bearing in ("fair", "not fair")
    ]


def _brew(side: Side, formats: Formats) -> BrewLine:
    """Its settings are those that were noted, as the side by side writes them."""
    _, noted = lines(side, side, compare(side.setup, side.setup), formats)
    scores = [row.liking for row in side.tastings if row.liking is not None]
    return BrewLine(side, {line.label: line.a for line in noted}, fmean(scores) if scores else None)


def pair_line(
    row: TiedPair, sides: Mapping[int, Side], factors: Sequence[str], formats: Formats
) -> PairLine:
    a, b = sides[row.brew_a_id], sides[row.brew_b_id]
    fairness = compare(a.setup, b.setup)
    apart, _ = lines(a, b, fairness, formats)
    differing = [line for line in apart if line.state == "differs"]
    bearing = _bearing([line.label for line in differing], factors)
    return PairLine(row, a, b, fairness, differing, bearing)


def _bearing(causes: Sequence[str], factors: Sequence[str]) -> Bearing:
    """What a comparison can say of what is asked about (of any one thing, where nothing is named).

    Fair is one thing that differs, or several at once if the question names all of them.
    """
    if not causes:
        return "a repeat"
    asked = set(factors).intersection(NAMES)
    if not asked:
        return "fair" if len(causes) == 1 else "not fair"
    if not asked.intersection(causes):
        return "another thing"
    return "fair" if asked.issuperset(causes) else "not fair"


def _sighted(line: PairLine) -> Sighted:
    gone = line.row.binned_at is not None
    if line.bearing != "fair":
        return Sighted(False, gone=gone)
    contrast, cups = _contrast(line)
    if line.row.preference == "neither":
        return Sighted(True, contrast, gone=gone)
    preferred = cups[0] if line.row.preference == "a" else cups[1]
    brews = frozenset((line.row.brew_a_id, line.row.brew_b_id))
    return Sighted(True, contrast, preferred, brews, gone)


def _contrast(line: PairLine) -> tuple[str, tuple[str, str]]:
    """The things compared, the same whichever cup was A, and what A and B are called in it."""
    if len(line.apart) == 1:
        (cause,) = line.apart
        cups = _higher(line, cause)
        if cups:
            return cause.label, cups
        cups = _names(line, cause)
        return f"{cause.label}, {' or '.join(sorted(cups))}", cups
    told = [(cause.label, _higher(line, cause) or _names(line, cause)) for cause in line.apart]
    a, b = (" with ".join(f"{label} {cups[n]}" for label, cups in told) for n in (0, 1))
    return " or ".join(sorted((a, b))), (a, b)


def _higher(line: PairLine, cause: Line) -> tuple[str, str] | None:
    """Which cup has the higher number; None for what is no number."""
    name = NAMES[cause.label]
    a, b = (getattr(side.setup, name) for side in (line.a, line.b))
    if not (is_number(a, name) and is_number(b, name)):
        return None
    return ("the higher", "the lower") if a > b else ("the lower", "the higher")


def _names(line: PairLine, cause: Line) -> tuple[str, str]:
    """What differs in A and in B; brewers that are alike go by the name of the first of them."""
    if NAMES[cause.label] == "first_brewer_id":
        return line.a.details.first_brewer_name, line.b.details.first_brewer_name
    return cause.a, cause.b
