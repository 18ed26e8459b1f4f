"""The sentences of the list of claims: what was looked at, and what the list is worth."""

from app.journal.claims import Claims


def looked_at(claims: Claims) -> str:
    """How many tests were looked at, and what came of them."""
    apart = ", ".join(f"{count} {state}" for state, count in claims.states.items() if count)
    some = _counted(claims.tests, "blind test")
    shown, close = claims.count("shown"), claims.count("close enough")
    return (
        f"{some} {'was' if claims.tests == 1 else 'were'} looked at in this journal"
        f"{f' ({apart})' if apart else ''}. {shown} {'shows' if shown == 1 else 'show'} a "
        f"difference, {close} ended close enough."
    )


def what_it_is_worth(claims: Claims) -> list[str]:
    """What to make of the list, plain words first."""
    stand, listed = sum(row.stands for row in claims.rows), len(claims.rows)
    which = {0: "None of these stands", 1: "1 of these stands"}.get(
        stand, f"{stand} of these stand"
    )
    if stand == listed:
        which = "It stands" if listed == 1 else "All of these stand"
    said = [
        f"{which} when all that was looked at is counted: of claims that stand so, at most 1 in 20 "
        "is false on average. The others may be right, but so many looks bring some by luck.",
        f"If nothing had differed in any test, luck alone would have brought about "
        f"{_about(claims.worth.false_shown)} of them to “shown”, at most. If everything had "
        f"differed by the size set beforehand, about {_about(claims.worth.false_close)} would have "
        "ended close enough, at most.",
    ]
    if claims.questions:
        several = _counted(claims.questions, "question")
        said.append(
            f"{several} with several tests {'is' if claims.questions == 1 else 'are'} counted "
            "among what was looked at; all tests under one question share one bound of 1 in 20."
        )
    return said


def _about(expected: float) -> str:
    return f"{expected:.0f}" if expected >= 10 else f"{expected:.1f}"


def _counted(count: int, word: str) -> str:
    return f"{count} {word}{'' if count == 1 else 's'}"
