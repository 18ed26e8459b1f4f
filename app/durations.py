"""How long something lasts, as people type it: 150, 2:30, 2.30, 2 min 30 and the like, in seconds.

A number alone is seconds. Two digits after a point or a comma are seconds, as after a colon, since
a phone's number pad has no colon. One digit after it is a tenth of a minute: 2.5 is two and a half
minutes. Only below ten, as 12.5 may as well be seconds: there it is asked for.
"""

import re

HOW_TO = "Please write seconds, such as 205, or minutes and seconds, such as 3:25."
EITHER = "This can be minutes or seconds: please write it as minutes and seconds, or with an s."

_SECONDS = re.compile(r"(\d{1,7})\s*(?:s|sec|secs|seconds?|″|\"|'')?", re.ASCII)
_PART_OF_A_SECOND = re.compile(r"(\d{1,7})[.,](\d{1,3})\s*(?:s|sec|secs|seconds?)", re.ASCII)
_CLOCK = re.compile(
    r"(?:(\d{1,2})[:.,](?=\d))?(\d{0,3})[:.,](\d{2})(?:\s*(?:min|mins|minutes?|m|h))?", re.ASCII
)
_SHORT_CLOCK = re.compile(r"(\d{1,3}):(\d)", re.ASCII)  # 2:5 is 2:05
_TENTHS = re.compile(r"(\d{0,3})[.,](\d)\s*(min|mins|minutes?|m)?", re.ASCII)
_WORDS = re.compile(
    r"(?:(\d{1,2})\s*(?:h|hrs?|hours?)\s*)?"
    r"(?:(\d{1,4})\s*(?:min|mins|minutes?|m|′|')\s*)?"
    r"(?:(\d{1,2})\s*(?:s|secs?|seconds?|″|\"|'')?)?",
    re.ASCII,
)
_SPACED = re.compile(r"(\d{1,3})\s+(\d{2})", re.ASCII)


def seconds_of(text: str) -> int:
    """The seconds that `text` says; ValueError with a sentence for what cannot be read.

    >>> [seconds_of(text) for text in ("150", "2:30", "2.30", "2,30", "2.5", "2 min 30")]
    [150, 150, 150, 150, 150, 150]
    """
    text = re.sub(r"\s*½", ".5", text.strip().lower().replace("’", "'").removesuffix("."))
    if match := _SECONDS.fullmatch(text):
        return int(match[1])
    if match := _PART_OF_A_SECOND.fullmatch(text):
        return round(float(f"{match[1]}.{match[2]}"))
    if match := _CLOCK.fullmatch(text) or _SHORT_CLOCK.fullmatch(text) or _SPACED.fullmatch(text):
        return _in_all(*match.groups())
    if match := _TENTHS.fullmatch(text):
        minutes = int(match[1] or 0)
        if minutes >= 10 and not match[3]:
            raise ValueError(EITHER)
        return 60 * minutes + 6 * int(match[2])
    if text and (match := _WORDS.fullmatch(text)):
        return _in_all(*match.groups())
    raise ValueError(HOW_TO)


def _in_all(*parts: str | None) -> int:
    """Of (hours), minutes and seconds; those after the first that is given stay below 60."""
    numbers = [int(part or 0) for part in parts if part is not None]
    if any(number > 59 for number in numbers[1:]):
        raise ValueError(HOW_TO)
    hours, minutes, seconds = [int(part or 0) for part in (None, *parts)][-3:]
    return 3600 * hours + 60 * minutes + seconds
