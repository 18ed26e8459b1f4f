"""What a stopping rule leads to, computed exactly over every count a test can pass through."""

from dataclasses import dataclass

from app.sensory.blind.sequential import Lines
from app.sensory.lazy import np


@dataclass(frozen=True)
class Outcomes:
    """Chances after 1, 2, ... trials of having been shown, or ended otherwise; mean length.

    `mean_trials` counts a test that is still open at the last trial with that length.
    """

    shown: tuple[float, ...]
    ended: tuple[float, ...]
    mean_trials: float


def outcomes(lines: Lines, p_c: float) -> Outcomes:
    """Outcomes of a test looked at after every trial when p_c of answers are right.

    Passes the chance of each open count on from trial to trial; no simulation, no
    approximation beyond floating point.
    """
    most = len(lines.shown)
    open_at = np.zeros(most + 2)
    open_at[0] = 1.0
    shown, ended, length = [0.0], [0.0], 0.0
    for n, (up, down) in enumerate(zip(lines.shown, lines.ended, strict=True), 1):
        length += float(open_at[:n].sum())
        open_at[1 : n + 1] = open_at[1 : n + 1] * (1 - p_c) + open_at[:n] * p_c
        open_at[0] *= 1 - p_c
        shown.append(shown[-1] + float(open_at[up : n + 1].sum()))
        open_at[up : n + 1] = 0.0
        ended.append(ended[-1] + float(open_at[: down + 1].sum()))
        open_at[: down + 1] = 0.0
    return Outcomes(tuple(shown[1:]), tuple(ended[1:]), length)
