"""The best cups as a table."""

from app.journal.as_table import Column, columns, of_part
from app.journal.lookback.best import Best, CupRow


def _cup(row: Best) -> CupRow:
    return row.cup


BEST_COLUMNS: list[Column[Best]] = [
    *of_part(_cup, (one for one in columns("brew", CupRow) if not one.name.startswith("liking"))),
    Column("mean_liking_1_to_9", lambda row, _zone: row.liking),
    Column("tastings", lambda row, _zone: row.tastings),
    Column("repeats", lambda row, _zone: row.repeats),
    Column("repeats_mean_liking_1_to_9", lambda row, _zone: row.repeats_liking),
]
