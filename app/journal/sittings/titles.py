"""What the lines of a sitting are called, on its sheet and on the first page."""

from app.journal.sittings.standing import LineStanding, SittingStanding


def title_of(line: LineStanding) -> str:
    """What is to be done, such as: Brew A and B along."""
    letters = " and ".join(sorted({brew.letter for brew in line.brews if brew.letter}))
    match line.row.kind:
        case "brew" if line.by_lot:
            return "Brew for the trial, as its serving card says"
        case "brew":
            return f"Brew {letters} along" if len(line.brews) > 1 else f"Brew {letters}"
        case "cool":
            return "Pour out, and let it cool"
        case "taste":
            return f"Taste {letters} side by side"
        case "trial":
            return f"Blind trial {line.row.trial}"
    return "Rest"


def next_in_words(standing: SittingStanding) -> str:
    """What a sitting waits for, in a few words."""
    line = standing.next
    if line is None:
        return "all lines are done or skipped"
    return f"{title_of(line)[0].lower()}{title_of(line)[1:]}"
