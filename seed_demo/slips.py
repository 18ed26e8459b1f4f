"""Notes and mistakes: what people write about a brew, and what goes wrong."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Any


@dataclass(frozen=True, slots=True)
class Slip:
    """Happens to the first everyday cup from `day` on; `twice` means it was entered twice."""

    day: int
    note: str
    change: dict[str, Any] = field(default_factory=dict)
    paper: str = ""
    twice: bool = False


SLIPS = (
    Slip(9, "Dose corrected: first typed as 110 g, it was 11.0."),
    Slip(33, "Saved twice by mistake; the other one is in the bin.", twice=True),
    Slip(57, "Forgot the timer. About four minutes.", {"steep_s": 240}),
    Slip(90, "Kettle switched off too early, 76 degrees.", {"water_temp_c": 76.0}),
    Slip(126, "Entered in the evening from memory.", {"steep_s": None, "press_s": None}),
    Slip(
        145,
        "Wet paper lay over night and smelled. Thrown away, a fresh one taken.",
        paper="replaced",
    ),
    Slip(195, "Spilled some while turning over; nobody hurt.", {"water_g": 180.0}),
    Slip(257, "Grinder was still on the other setting.", {"setting": 7}),
)

# How often a note is written, and the notes to choose from.
NOTES: dict[str, tuple[float, tuple[str, ...]]] = {
    "usual": (
        0.13,
        (
            "Bus was late, cup was not.",
            "Finer next time?",
            "Better than yesterday.",
            "Smells of nuts when the water hits it.",
            "Half asleep, but it worked.",
            "Pressed too fast.",
            "A little bitter at the end.",
            "Drunk on the stairs.",
            "Let it cool for ten minutes: much sweeter.",
            "The bag tastes flatter than last week.",
            "Forgot to rinse the paper.",
            "Stirred more than usual.",
            "Two sips and the phone rang.",
            "Good with the plum cake.",
            "Ground straight from the freezer-cold jar.",
            "Nothing to complain about.",
            "Long look out of the window, cup in both hands.",
            "Should write more here.",
        ),
    ),
    "dull": (0.0, ("",)),
    "pair": (0.0, ("",)),
    "guests": (
        0.8,
        (
            "Two mugs for the neighbours, nobody noticed the make-up water.",
            "Aunt and uncle here. Asked for milk.",
            "Guests for cake. Both mugs finished.",
            "Two cups in one go, four minutes in the press.",
        ),
    ),
    "ice": (0.4, ("31 degrees outside.", "Ice nearly all gone by the end.", "Long straw.")),
    "strong": (0.8, ("Before the night train.", "For once. Strong, small, awake until one.")),
}
