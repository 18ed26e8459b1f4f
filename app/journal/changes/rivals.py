"""What else that was noted could explain how two kinds of cups of a taster were liked."""

from collections.abc import Collection, Sequence

from app.journal.changes.cups import Held
from app.journal.groups.cups import CupRow
from app.journal.groups.things import Noting, things
from app.journal.groups.wanted import Wanted
from app.sensory.scores.apart import Apart, Scored, by_day
from app.sensory.scores.balance import beside

SAYS_THE_SAME = ("recipe",)  # whose amounts are looked at by themselves


def rivals(
    held: Held, a: Sequence[CupRow], b: Sequence[CupRow], found: Apart, but: Collection[str] = ()
) -> list[str]:
    """Names of what differs between `a` and `b` in such a way, `but` what they are told apart by
    left out."""
    rows = [row._replace(in_a=1) for row in a] + [row._replace(in_b=1) for row in b]
    rows.sort(key=lambda row: (row.brewed_at, row.brew_id, row.id))
    cups = [(row.brewed_on.toordinal(), bool(row.in_a)) for row in rows]
    scores = [Scored(*of, row.liking) for of, row in zip(cups, rows, strict=True)]
    noting = Noting(Wanted(), Wanted(), held.stacks, held.frozen)
    others = (one for one in things(rows, noting) if one.name not in (*but, *SAYS_THE_SAME))
    return [
        one.name
        for one in beside(others, cups, by_day(scores), found)
        if one.verdict == "could explain"
    ]
