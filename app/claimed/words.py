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
    worth, said = claims.worth, []
    shown, close = claims.count("shown"), claims.count("close enough")
    if shown:
        said.append(
            f"{_by_luck(worth.most_shown, shown, 'difference shown', 'differences shown')}: with "
            "so many looked at, luck brings more than that in at most 1 of 20 such journals. If "
            f"nothing differed at all, it would bring about {_about(worth.false_shown)}."
        )
    if close:
        said.append(
            f"{_by_luck(worth.most_close, close, 'close enough', 'times close enough')}, in the "
            "same sense: if everything differed by the size set beforehand, luck would bring about "
            f"{_about(worth.false_close)}."
        )
    stand = sum(row.stands for row in claims.rows)
    if stand:
        number = "All" if stand == len(claims.rows) else str(stand)
        said.append(
            f"{number} of the entries below {'stands' if stand == 1 else 'stand'} alone: strong "
            "enough for all that was looked at."
        )
    else:
        said.append(
            "None of the entries below is strong enough alone for all that was looked at; which "
            "are the lucky ones, if any, the list cannot tell."
        )
    if claims.questions:
        several = _counted(claims.questions, "question")
        said.append(
            f"{several} with several tests {'is' if claims.questions == 1 else 'are'} counted "
            "among what was looked at; all tests under one question share one bound of 1 in 20."
        )
    return said


def _by_luck(most: int, of: int, one: str, several: str) -> str:
    """How many of these may be luck, 95 times in 100."""
    if of == 1:
        return f"The one {one} is probably no luck" if not most else f"The one {one} may be luck"
    if most >= of:
        return f"All {of} {several} may be luck"
    number = "none" if not most else f"at most {most}"
    return f"Probably {number} of the {of} {several} {'are' if most > 1 else 'is'} luck"


def _about(expected: float) -> str:
    return f"{expected:.0f}" if expected >= 10 else f"{expected:.1f}"


def _counted(count: int, word: str) -> str:
    return f"{count} {word}{'' if count == 1 else 's'}"
