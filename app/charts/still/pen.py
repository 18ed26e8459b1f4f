"""Paths in few bytes: tenths of a pixel, each move told from where the pen is."""

from collections.abc import Iterable

TENTHS = 10


class Pen:
    """Writes the `d` of a path. Places are rounded, so no error adds up."""

    def __init__(self) -> None:
        self._x = self._y = 0
        self._said: list[str] = []
        self._last = ""

    def move(self, x: float, y: float) -> None:
        self._go("m", x, y)

    def line(self, x: float, y: float) -> None:
        self._go("l", x, y)

    def across(self, x: float) -> None:
        to = round(x * TENTHS)
        self._say("h", short(to - self._x))
        self._x = to

    def down(self, y: float) -> None:
        to = round(y * TENTHS)
        self._say("v", short(to - self._y))
        self._y = to

    def dot(self, x: float, y: float) -> None:
        """A line of no length, which round or square ends make a point of."""
        self.move(x, y)
        self._say("h", "0")

    def through(self, points: Iterable[tuple[float, float]], *, on: bool = False) -> None:
        """A line through the points, `on` from where the pen is."""
        for x, y in points:
            self._go("l" if on else "m", x, y)
            on = True

    @property
    def path(self) -> str:
        return "".join(self._said)

    def _go(self, command: str, x: float, y: float) -> None:
        to_x, to_y = round(x * TENTHS), round(y * TENTHS)
        right, below = short(to_x - self._x), short(to_y - self._y)
        self._say(command, f"{right}{'' if below[0] == '-' else ' '}{below}")
        self._x, self._y = to_x, to_y

    def _say(self, command: str, numbers: str) -> None:
        # After a move or a line, further pairs are lines without another letter.
        again = command == "l" and self._last in ("l", "m")
        joint = "" if numbers[0] == "-" else " "
        self._said.append(f"{joint}{numbers}" if again else f"{command}{numbers}")
        self._last = command


def short(tenths: int) -> str:
    """
    >>> [short(n) for n in (120, 5, -34, 0)]
    ['12', '.5', '-3.4', '0']
    """
    whole, rest = divmod(abs(tenths), TENTHS)
    sign = "-" if tenths < 0 else ""
    return f"{sign}{whole or ('' if rest else 0)}{f'.{rest}' if rest else ''}"


def number(value: float) -> str:
    """A coordinate by itself."""
    return short(round(value * TENTHS))


def percent(share: float) -> str:
    """
    >>> percent(0.12345), percent(1), percent(0)
    ('12.35%', '100%', '0')
    """
    text = f"{100 * share:.2f}".rstrip("0").rstrip(".")
    return f"{text}%" if text not in ("0", "-0") else "0"
