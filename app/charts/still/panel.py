"""From the values of a settled figure to places on its picture."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import cached_property

from app.charts.figure import Figure
from app.charts.still.frame import Frame
from app.charts.still.values import axis_of, bar_ends, coordinate, ends, noted, pairs

Point = tuple[float, float]  # share of the width, pixels from the top of the picture


@dataclass(frozen=True)
class Panel:
    """`ref` is y, y2 ... as traces call the upright axis; the lying one is everybody's."""

    ref: str
    layout: Figure
    frame: Frame

    @cached_property
    def x_axis(self) -> Figure:
        return axis_of(self.layout, "x")

    @cached_property
    def y_axis(self) -> Figure:
        return axis_of(self.layout, self.ref)

    @cached_property
    def top(self) -> float:
        return self._down(1)

    @cached_property
    def bottom(self) -> float:
        return self._down(0)

    def _down(self, end: int) -> float:
        return self.frame.top + self.frame.plot_height * (1 - float(self.y_axis["domain"][end]))

    @cached_property
    def _scales(self) -> tuple[float, float, float, float]:
        """Where each axis begins, and what one of its units takes."""
        (left, right), (low, high) = ends(self.x_axis), ends(self.y_axis)
        return left, 1 / (right - left), low, (self.bottom - self.top) / (high - low)

    def x(self, at: float) -> float:
        return (at - self._scales[0]) * self._scales[1]

    def y(self, at: float) -> float:
        return self.bottom - (at - self._scales[2]) * self._scales[3]

    def points(self, trace: Figure) -> list[Point | None]:
        return [p and (self.x(p[0]), self.y(p[1])) for p in pairs(trace, self.layout)]

    def shown(self, trace: Figure) -> Iterator[tuple[int, Point]]:
        """The points within the axes, each with its number."""
        for n, point in enumerate(self.points(trace)):
            if point and -1e-6 <= point[0] <= 1 + 1e-6 and self._beside(point[1]):
                yield n, point

    def _beside(self, y: float) -> bool:
        return self.top - 1e-6 <= y <= self.bottom + 1e-6

    def bars(self, trace: Figure, way: str) -> Iterator[tuple[Point, Point, Point]]:
        """Each error bar: its point, and both ends."""
        axis = self.x_axis if way == "x" else self.y_axis
        ends: Sequence[tuple[float, float] | None] = bar_ends(
            trace[f"error_{way}"], trace[way], axis
        )
        for point, both in zip(self.points(trace), ends, strict=False):
            if point and both:
                low, high = both
                if way == "x":
                    yield point, (self.x(low), point[1]), (self.x(high), point[1])
                else:
                    yield point, (point[0], self.y(low)), (point[0], self.y(high))


@dataclass(frozen=True)
class Sheet:
    """A settled figure with its frame, and where shapes and notes lie on it."""

    data: list[Figure]
    layout: Figure
    frame: Frame

    @cached_property
    def panels(self) -> list[Panel]:
        names = [name for name in self.layout if name.startswith("yaxis")]
        return [Panel(f"y{name[5:]}", self.layout, self.frame) for name in names]

    def panel(self, trace: Figure) -> Panel:
        return Panel(trace.get("yaxis", "y"), self.layout, self.frame)

    def x(self, ref: str, at: float | None) -> float:
        """A share of the width, from a share of the paper or a coordinate of the axis."""
        return (at or 0.0) if ref == "paper" else Panel("y", self.layout, self.frame).x(at or 0.0)

    def y(self, ref: str, at: float | None) -> float:
        """Pixels from the top."""
        if ref == "paper":
            return self.frame.top + self.frame.plot_height * (1 - (at or 0.0))
        return Panel(ref, self.layout, self.frame).y(at or 0.0)

    def corners(self, shape: Figure) -> tuple[Point, Point]:
        x0, x1 = (
            self.x(shape["xref"], self._of(shape["xref"], shape[key])) for key in ("x0", "x1")
        )
        y0, y1 = (
            self.y(shape["yref"], self._of(shape["yref"], shape[key])) for key in ("y0", "y1")
        )
        return (x0, y0), (x1, y1)

    def of_note(self, note: Figure) -> Point:
        """Notes lie on a log axis by their power of ten."""
        x, y = (
            note[way] if note[f"{way}ref"] == "paper"
            else noted(axis_of(self.layout, note[f"{way}ref"]), note[way])
            for way in "xy"
        )  # fmt: skip
        return self.x(note["xref"], x), self.y(note["yref"], y) - note.get("yshift", 0)

    def _of(self, ref: str, value: float | str) -> float | None:
        return float(value) if ref == "paper" else coordinate(axis_of(self.layout, ref), value)
