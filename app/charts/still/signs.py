"""How the household writes numbers and days on axes."""

import re
from dataclasses import dataclass
from datetime import datetime
from math import floor, log10

LARGE, SMALL = 1e6, 1e-5
EXPONENT = re.compile(r"e(?:\+|(-))?0*(?=\d)")


@dataclass(frozen=True)
class Signs:
    """The decimal sign, and the names of the months."""

    point: str = "."
    months: tuple[str, ...] = (
        "Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec",
    )  # fmt: skip

    def number(self, value: float, step: float) -> str:
        """A value on an axis that goes on by `step`: as many decimals as the step has."""
        if step >= LARGE or abs(value) >= LARGE * 10 or 0 < step < SMALL:
            text = EXPONENT.sub(r"e\1", f"{value:.{_figures(value, step)}g}")
        else:
            text = f"{value:.{decimals(step)}f}"
            text = text.removeprefix("-") if not text.strip("-0.") else text
        return self.spelt(text)

    def spelt(self, text: str) -> str:
        return text.replace(".", self.point).replace("-", "−")

    def hour(self, at: datetime) -> str:
        return f"{at.hour}:{at.minute:02d}"

    def day(self, at: datetime) -> str:
        return f"{at.day}\u00a0{self.months[at.month - 1]}"


def _figures(value: float, step: float) -> int:
    """As many as tell two steps apart; of a large one three do."""
    if not value or step <= 0:
        return 3
    return min(15, max(3, floor(log10(abs(value))) - floor(log10(step) + 1e-9) + 1))


def decimals(step: float) -> int:
    return max(0, -floor(log10(step) + 1e-9)) if step > 0 else 0
