"""The sentences of two groups of cups: who is in them, what was found, what it does not say."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

from app.formats import Formats, ordinal
from app.groups.address import Asked
from app.groups.choices import Names
from app.journal.groups.compared import Compared, Stratum
from app.journal.groups.wanted import Wanted
from app.journal.pairs.fairness import listed
from app.sensory.scores.apart import LEAST_DAYS, Apart

ANY = "all cups"
THE_REST = "all the others"
JOURNAL = (
    "This is a journal, not an experiment: nobody drew by lot which cup got what, so no cause is "
    "named here, whatever the numbers say. A blind test, or two cups brewed for it, can name one."
)
LOOKING = (
    "Who looks at many groups finds something by chance: where nothing differs, about 1 such page "
    "in 20 shows a difference. {} Other pages that you look at are not counted, nor is looking "
    "again whenever a cup comes in."
)
SIGHTED = "Who knows what is in the cup also tastes what they expect; blind cups are kept apart."
MOST_NAMED = 4
MOST_KEPT = 2

Level = Literal["too few", "no difference", "told apart", "not told apart"]
LEVELS: dict[Level, tuple[str, str]] = {
    "too few": ("too few days yet", ""),
    "no difference": ("chance can give it", ""),
    "told apart": ("a difference, no cause named", "good"),
    "not told apart": ("cannot be told apart here", "warn"),
}


@dataclass(frozen=True, slots=True)
class Finding:
    """What is said of one taster's blind or sighted cups, plain words first."""

    who: str
    level: Level
    sentence: str
    more: Sequence[str]
    sums: str


def in_words(asked: Asked, names: Names, formats: Formats) -> tuple[str, str, str]:
    """What A is, what B is, and what both have in common (empty: nothing was asked for)."""
    a, b, both = (_said(wanted, names, formats) for wanted in (asked.a, asked.b, asked.both))
    return a or ANY, b or THE_REST, both


def in_a_line(asked: Asked, names: Names, formats: Formats) -> str:
    """Both groups in one line."""
    a, b, both = in_words(asked, names, formats)
    return f"{a} against {b}{f' ({both})' if both else ''}"


def _said(wanted: Wanted, names: Names, formats: Formats) -> str:
    picked = [
        names[name].get(getattr(wanted, name), "one that is gone")
        for name in ("stack", "pack", "recipe", "brewer", "grinder", "water", "bag", "taster")
        if getattr(wanted, name) is not None
    ]
    day = formats.day
    said = [
        _uses(wanted.use_from, wanted.use_to),
        f"{wanted.material} filter" if wanted.material else "",
        *picked,
        f"{wanted.grind} grind" if wanted.grind else "",
        _span("grinder setting", wanted.setting_from, wanted.setting_to, formats),
        wanted.days,
        f"from {day(wanted.since)}" if wanted.since else "",
        f"to {day(wanted.until)}" if wanted.until else "",
    ]
    return ", ".join(filter(None, said))


def _uses(low: int | None, high: int | None) -> str:
    if low is None and high is None:
        return ""
    low = low or 1
    if high is None:
        return f"{ordinal(low)} use and later"
    return f"{ordinal(low)} use" if low == high else f"{ordinal(low)} to {ordinal(high)} use"


def _span(name: str, low: float | None, high: float | None, formats: Formats) -> str:
    ends = [formats.number(end, 2) if end is not None else "" for end in (low, high)]
    if not any(ends):
        return ""
    if low == high:
        return f"{name} {ends[0]}"
    return f"{name} {' to '.join(ends)}" if all(ends) else (
        f"{name} {ends[0]} or more" if ends[0] else f"{name} up to {ends[1]}"
    )  # fmt: skip


def finding(one: Stratum) -> Finding:
    """What is said of one taster's cups."""
    who = f"{one.name or 'Both tasters'}, {'blind' if one.blind else 'sighted'}"
    found = one.found
    if found is None or found.low is None or found.high is None:
        return Finding(who, "too few", _too_few(one, found), (), "")
    if not found.higher:
        sentence = f"{_on_average(found)}, which chance can give. That does not make them the same."
        hidden = [f"{_capital(_some(one.differing))} {_differs(one.differing)} between the groups "
                  "and may hide a difference as well."] if one.differing else []  # fmt: skip
        return Finding(who, "no difference", sentence, hidden, _sums(one, found))
    if one.rivals:
        sentence = (
            f"{_on_average(found)}. But {_some(one.rivals)} {_differs(one.rivals)} between the "
            "groups as well and could explain it. Which it is cannot be told apart here."
        )
        return Finding(who, "not told apart", sentence, _noted(one), _sums(one, found))
    sentence = (
        f"{_on_average(found)}, more than chance usually gives. Nothing else that was noted "
        "explains it, but nobody drew lots either."
    )
    also = [f"{_capital(_some(one.differing))} {_differs(one.differing)} between the groups, too; "
            "cups alike in that show the difference as well."] if one.differing else []  # fmt: skip
    return Finding(who, "told apart", sentence, [*also, *_noted(one)], _sums(one, found))


def _noted(one: Stratum) -> list[str]:
    blank = one.not_noted
    if not blank:
        return []
    return [f"{_capital(listed(blank))} {'was' if len(blank) == 1 else 'were'} not noted for most "
            "of the cups and may differ, too."]  # fmt: skip


def _too_few(one: Stratum, found: Apart | None) -> str:
    for letter, side in (("A", one.a), ("B", one.b)):
        if not side.count:
            return f"No scored cup of {letter} yet, so there is nothing to compare."
    cups = f"A has {_cups(one.a.count, one.a.days)}, B {_cups(one.b.count, one.b.days)}"
    needs = [
        f"{LEAST_DAYS - side.days} more of {letter}"
        for letter, side in (("A", one.a), ("B", one.b))
        if side.days < LEAST_DAYS
    ]
    missing = (
        f"It takes {LEAST_DAYS} days of each, or {LEAST_DAYS} days with both: "
        f"{listed(needs)} on days of their own, or {LEAST_DAYS - one.both_days} with both"
    )
    bet = ""
    if found and found.belief:
        chances = min(99, max(1, round(100 * found.belief.above_zero)))
        bet = f" A cautious bet gives A {chances} chances in 100 of truly scoring higher."
    return f"{cups}: too few for a range. {missing}.{bet}"


def _cups(count: int, days: int) -> str:
    return f"{_counted(count, 'cup')} on {_counted(days, 'day')}"


def _counted(count: int, word: str) -> str:
    return f"{count} {word}{'' if count == 1 else 's'}"


def _on_average(found: Apart) -> str:
    """Of days with both where only they are compared; the means of all days may be others."""
    size = abs(found.difference)
    days = f"On the {found.n_a} days with both, " if found.by == "pairs" else ""
    if size < 0.05:
        apart = f"{days}A and B were liked alike on average"
    else:
        apart = f"{days}A was liked {size:.1f} {_more(found.difference > 0)} than B on average"
    return f"{apart} (range of A less B: {_signed(found.low)} to {_signed(found.high)})"


def _more(more: bool) -> str:
    return "more" if more else "less"


def _signed(value: float | None) -> str:
    rounded = round(value or 0.0, 1)
    return f"{'−' if rounded < 0 else '+' if rounded > 0 else ''}{abs(rounded):.1f}"


def _sums(one: Stratum, found: Apart) -> str:
    level = f"The range holds with {100 * (1 - found.alpha):.3g} chances in 100."
    if found.by == "pairs":
        return (
            f"By the {found.n_a} days with both, each day's mean of A less that of B: Student's t "
            f"over days; exact sign-flip test (Fisher 1935) p = {found.p:.3f}, as if the number of "
            f"days had been fixed beforehand. {level}"
        )
    alike = (
        f" Days near each other resembled each other (lag-1 correlation {found.alike:.2f}), so the "
        "range was widened where days of one group follow each other."
    )
    return (
        f"By day means, {found.n_a} days of A and {found.n_b} of B: Welch's t (1947), several cups "
        f"of a day counting once. {level}{alike if found.alike > 0.05 else ''}"
    )


def read_today(findings: Sequence[Finding]) -> str:
    """What is kept of a comparison under a question: who said what, the most telling first."""
    kept = [f"{one.who}: {one.sentence}" for one in findings if one.level != "too few"]
    return " ".join(kept[:MOST_KEPT]) or "Too few cups yet to say anything."


def limits(compared: Compared) -> list[str]:
    """What every such page leaves open."""
    many = compared.looked_at
    shared = f"The {many} comparisons of this page share that 1 in 20." if many > 1 else ""
    said = [JOURNAL, " ".join(LOOKING.format(shared).split())]
    if any(not one.blind for one in compared.strata):
        said.append(SIGHTED)
    if compared.in_both:
        few = compared.in_both == 1
        said.append(f"{_counted(compared.in_both, 'cup')} {'fits' if few else 'fit'} both and "
                    f"{'was' if few else 'were'} left out.")  # fmt: skip
    return said


def tasters_of(compared: Compared) -> list[tuple[int, str]]:
    """The tasters of either group by name; none where they tell the groups apart."""
    found = {one.taster_id: one.name for one in compared.strata if one.name}
    return sorted(found.items(), key=lambda row: row[1])


def _some(words: Sequence[str]) -> str:
    """All of a few, and the first of many: the table below has them all."""
    if len(words) <= MOST_NAMED + 1:
        return listed(words)
    return f"{', '.join(words[:MOST_NAMED])} and {len(words) - MOST_NAMED} other things"


def _differs(words: Sequence[str]) -> str:
    return "differs" if len(words) == 1 else "differ"


def _capital(text: str) -> str:
    return text[:1].upper() + text[1:]
