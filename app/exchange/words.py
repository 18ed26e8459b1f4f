"""What the tables are called, and what came in, in sentences."""

from __future__ import annotations

from collections.abc import Iterator

from app.exchange.coming_in import CameIn
from app.exchange.merging import DIFFERS, LEFT, NEW, SAME, Differs

OTHERS = {
    "bag_correction": "corrections of bags", "brew_photo": "photos", "filter_pack": "packs",
    "filter_use": "uses of filters", "frozen_span": "days in the freezer",
    "left_trial": "trials whose key stayed elsewhere", "side_by_side": "side by sides",
    "recipe_revision": "revisions of recipes", "change": "earlier versions",
    "settings": "settings", "blind_taster": "tasters of blind tests", "step": "steps of recipes",
    "trial_brew": "brews of trials", "afterthought": "words after a reveal",
    "question_groups": "groups under questions", "question_brew": "brews under questions",
    "question_side_by_side": "side by sides under questions",
    "question_blind_test": "blind tests under questions",
    "question_left_test": "blind tests taken from questions",
}  # fmt: skip
NOTHING = "All of it is here already: nothing is new."
EMPTY = "The journal is empty, so everything comes as it was."
MERGED = "It is a package of this journal, or of a copy of it: rows are known by their numbers."
ANOTHER = (
    "It is a package of another journal: beans, gear and tasters of the same name are taken for "
    "the same, everything else comes beside what is here."
)
LEFT_OUT = (
    "{} rows are left out: what a blind test, a brew, a revision or a sitting that is here already "
    "is made of stays as it is here, and so do its earlier versions."
)


def name(table: str) -> str:
    return OTHERS.get(table, f"{table.replace('_', ' ')}s")


def counted(count: int, table: str) -> str:
    """Such as "1 bean" or "24 bags"."""
    return f"{count} {table.replace('_', ' ') if count == 1 else name(table)}"


def whose(came: CameIn) -> str:
    if came.is_empty:
        return EMPTY
    return MERGED if came.same_journal else ANOTHER


def difference(row: Differs) -> str:
    """Both versions of a row, such as "bag 3: note is “dry” here, “sweet” in the package"."""
    sides = (
        f"{column} is {_side(row.mine[column])} here, {_side(row.theirs[column])} in the package"
        for column in row.mine
    )
    key = " ".join(str(part) for part in row.key)
    return f"{row.table.replace('_', ' ')} {key}: {'; '.join(sides)}"


def _side(value: object) -> str:
    text = "empty" if value is None or value == "" else f"“{value}”"
    return text if len(text) <= 80 else f"{text[:79]}…”"


def told(came: CameIn, *, only_try: bool) -> Iterator[str]:
    """Line by line, for a terminal."""
    yield whose(came)
    for table, counts in came.counts.items():
        parts = [
            f"{counts[kind]} {says}"
            for kind, says in (
                (NEW, "new"), (SAME, "the same"), (DIFFERS, "differ"), (LEFT, "left out")
            )
            if counts.get(kind)
        ]  # fmt: skip
        yield f"{name(table)}: {', '.join(parts) or 'none'}"
    if came.left:
        yield LEFT_OUT.format(came.left)
    yield from (difference(row) for row in came.differing)
    if not came.new and not came.differs:
        yield NOTHING
    elif only_try:
        yield "Only tried: nothing was changed."
    else:
        yield "It is in. In and out, under Settings, takes it back as one."
