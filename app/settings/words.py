"""Words of the settings and of the backups."""

from app.backups.names import BEFORE_RESTORE, BY_HAND, DAILY, DOUBTFUL, KEPT, Backup

LABELS = {
    DAILY: "daily",
    BY_HAND: "by hand",
    BEFORE_RESTORE: "set aside by a restore, not checked",
    KEPT: "kept when the journal was moved, not checked",
    DOUBTFUL: "did not pass every check",
}


def label_in_words(backup: Backup) -> str:
    return LABELS.get(backup.label, "before the tables were brought up to date")
