"""Bringing a kept sheet in: at once where it is short, else beside the requests, with progress."""

from __future__ import annotations

from datetime import date, datetime
from threading import Thread

from app.config import Config
from app.database import Database
from app.sheets.keeping import Progress, State, progress, take_turn, tell
from app.sheets.looking import Look
from app.sheets.words import MEANWHILE, STOPPED
from app.spreadsheet.names import there_already
from app.spreadsheet.saving import save_sheet
from app.trouble import trouble_of

AT_ONCE = 1500


def begin(
    config: Config,
    database: Database,
    number: int,
    kept: State,
    look: Look,
    now: datetime,
    today: date,
    device: str,
) -> None:
    """Write in a thread of its own; `progress` says how far it is. One at a time for a sheet."""
    turn, of = take_turn(config, number), len(look.brews)
    if turn is None:
        return
    before = progress(config, number)
    if before and before.import_id is not None:
        turn.release()
        return
    tell(config, number, Progress(0, of))

    def write() -> None:
        try:
            with database.writing() as session:
                session.info.update(now=now, device=device)
                if not kept.bring_twins and there_already(session, look.brews):
                    tell(config, number, Progress(0, of, why=MEANWHILE))
                    return
                import_id = save_sheet(
                    session, look.brews, kept.matching, kept.file_name, kept.zone, today,
                    told=lambda saved: tell(config, number, Progress(saved, of)),
                )  # fmt: skip
            tell(config, number, Progress(of, of, import_id=import_id))
        except Exception as error:
            trouble = trouble_of(error)
            why = f"{trouble} {STOPPED}" if trouble else STOPPED
            tell(config, number, Progress(0, of, why=why))
        finally:
            turn.release()

    Thread(target=write, name=f"sheet-{number}", daemon=True).start()
