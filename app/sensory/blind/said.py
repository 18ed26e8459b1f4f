"""What a blind test says, in words that a guest at the table understands.

First what was done and what guessing gets, then what that is enough for. The figures behind it
stand in sums.py.
"""

from app.sensory.blind.fixed import FixedNumber
from app.sensory.blind.record import Panel, Record, size_of
from app.sensory.terms import Discrimination, State

# What a right answer is. A new method needs a line in each of the two tables.
DID: dict[Discrimination, str] = {
    "triangle": "picked the odd cup {times}",
    "tetrad": "found the cup that goes with the first {times}",
    "three-cup": "picked {more} as the cup with the most {attribute} {times}",
    "duo-trio": "picked the cup that is the same as the reference {times}",
    "paired": "picked {more} as the cup with more {attribute} {times}",
    "A-not-A": "said correctly {times} whether the cup was A",
    "same-different": "said correctly {times} whether the two cups were the same",
}
# What can be done by whom so many right answers are enough for; a directed method says which cup.
CAN: dict[Discrimination, str] = {
    "triangle": "tell {subject} apart",
    "tetrad": "tell {subject} apart",
    "duo-trio": "tell {subject} apart",
    "A-not-A": "tell whether a cup is A",
    "same-different": "tell {subject} apart",
}
WHO: dict[Panel, str] = {
    "one taster": "you",
    "one trial each": "people like these, taken together,",
    "several trials each": "these tasters, taken together,",
}


def sentence(record: Record, state: State) -> str:
    """The verdict in plain words."""
    if record.n == 0:
        stopped = "Stopped before the first trial" if state == "stopped" else "No trial yet"
        return f"{stopped}: nothing is known."
    turned = state == "shown" and record.other_way and record.method == "paired"
    return f"{lead(record, turned=turned)} {_enough(record, state)}"


def lead(record: Record, *, turned: bool = False) -> str:
    """What was done, and what guessing gets; `turned`: told of the cup that was not named."""
    correct, n, more = record.correct, record.n, record.more
    if turned:
        correct, more = n - correct - record.lost, record.way
    words = {"more": more, "attribute": _what(record)}
    did = DID[record.method]
    expected = record.guess * n
    about = f"about {expected:.0f}" if expected >= 0.75 else f"1 in {1 / record.guess:.0f}"
    rest = f", though {record.more} was named; guessing gets {about}." if turned else ""
    rest = rest or f"; guessing gets {about}."
    if record.panel == "one trial each":
        done = " ".join(did.format(times="", **words).split())
        return f"{correct} of {n} tasters {done}{rest}"
    who = record.taster or "You" if record.panel == "one taster" else "These tasters"
    times = f"{correct} {'time' if correct == 1 else 'times'} out of {n}"
    return f"{who} {did.format(times=times, **words)}{rest}"


def _enough(record: Record, state: State) -> str:
    if state == "shown":
        return f"That is enough to say {_found(record)}."
    if state == "close enough":
        return _close(record)
    if state == "undecided":
        return _undecided(record)
    if state == "stopped":
        return "It was stopped before its rule was met, so there is no verdict."
    return f"That is not enough yet to say {_found_or_not(record)}: the test goes on."


def _found(record: Record) -> str:
    """What a difference that is shown means."""
    if record.method == "A-not-A" and record.other_way:
        return f"that {_who(record)} can tell the cups apart, but {_takes(record)} A for the other"
    if not record.directed:
        return f"that {_who(record)} can {_can(record)}"
    if record.other_way:
        return f"it the other way round: {record.way} has more {_what(record)}, not {record.more}"
    return f"that {record.way} has more {_what(record)}"


def _close(record: Record) -> str:
    p_d, subject = record.rule.p_d, record.subject
    size = "A difference of the size set beforehand"
    if p_d is not None:
        size += f", a {size_of(p_d)} one noticed {record.noticed(p_d)},"
    if record.directed:
        even = "would rarely leave it so even, whichever cup had more"
        return f"{size} {even}: {subject} are close enough in {_what(record)}."
    if record.both_ways:
        return f"{size} would rarely leave it so even: {subject} are close enough."
    return f"{size} would rarely bring so few: {subject} are close enough."


def _undecided(record: Record) -> str:
    rule = record.rule
    left = isinstance(rule, FixedNumber) and record.n < rule.trials
    text = f"That is not enough to say {_found_or_not(record)}"
    return f"{text}, and the trials left cannot change it." if left else f"{text}."


def _found_or_not(record: Record) -> str:
    rule, which = record.rule, f"that {_which_differs(record)}"
    if isinstance(rule, FixedNumber) and rule.close is None:
        return which
    they = "they" if "apart" in which else "A and B"
    return f"{which}, nor that {they} are close enough"


def _which_differs(record: Record) -> str:
    if record.directed:
        return f"either cup has more {_what(record)}"
    return f"{_who(record)} can {_can(record)}"


def _who(record: Record) -> str:
    return record.taster or "you" if record.panel == "one taster" else WHO[record.panel]


def _takes(record: Record) -> str:
    return "takes" if record.taster and record.panel == "one taster" else "take"


def _can(record: Record) -> str:
    return CAN[record.method].format(subject=record.subject)


def _what(record: Record) -> str:
    return record.attribute or "of it"
