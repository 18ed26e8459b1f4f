"""What the lines of a run sheet are called, and what is said of a sitting."""

from datetime import datetime, timedelta

from app.brewing.sentences import Amount, Sentence
from app.formats import Formats
from app.journal.sittings.standing import SittingStanding
from app.models import Sitting

SCALDS = (
    "Boiling water and steam scald: pour slowly, keep children away from the kettle. With two "
    "brews at a time, finish what your hands do at one before you turn to the other. Press slowly, "
    "on a firm base; a flipped brewer can slip or come apart: turn it slowly and away from you."
)
DRINK = Sentence(
    "What is hotter than about {} burns in seconds: let it cool.", Amount(60.0, "°C", 0)
)


def name_of(sitting: Sitting, formats: Formats, zone: str) -> str:
    return f"Sitting of {formats.moment(sitting.planned_at, zone)}"


def how_far(standing: SittingStanding) -> str:
    skipped = sum(line.state == "skipped" for line in standing.lines)
    said = f"{standing.done} of {len(standing.lines)} lines done"
    return f"{said}, {skipped} skipped" if skipped else said


def about(seconds: float) -> str:
    """Such as: about 1 h 25 min."""
    minutes = max(1, round(seconds / 60))
    hours, rest = divmod(minutes, 60)
    parts = [f"{hours}\xa0h" if hours else "", f"{rest}\xa0min" if rest or not hours else ""]
    return f"about {' '.join(filter(None, parts))}"


def lead(standing: SittingStanding, now: datetime, zone: str, formats: Formats) -> str:
    """How far it is, and when it would be over."""
    left = f"{len(standing.questions)} questions" if len(standing.questions) > 1 else "One question"
    said = f"{left}, {how_far(standing)}."
    if standing.sitting.ended_at is not None:
        return f"{said} Closed {formats.moment(standing.sitting.ended_at, zone)}."
    if standing.next is None:
        return f"{said} Nothing is left to do: close it."
    ends = formats.hour(now + timedelta(seconds=standing.left_s), zone)
    return f"{said} {about(standing.left_s).capitalize()} to go, to {ends} if you go on now."
