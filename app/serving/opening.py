"""A journal from opening to closing: held, prepared, served, and left as one file."""

import signal
from collections.abc import Callable, Iterator, Sequence
from concurrent.futures import ThreadPoolExecutor
from contextlib import ExitStack, contextmanager
from dataclasses import replace
from datetime import UTC, datetime
from functools import partial
from threading import Lock, Thread
from types import FrameType

from app import load_pages
from app.backups.daily import DailyBackups
from app.config import Config, make_home, with_secret_key
from app.database import Database
from app.file.hold import Held, holding, put_log_aside
from app.file.lock import InUse
from app.file.opened import mark_anew
from app.health import look
from app.journal.blind.put_back import mark_if_put_back
from app.schema import bring_up_to_date
from app.seals import seals_of
from app.serving import Served, demo_config, make_server, staying
from app.serving.first_start import refuse_to_begin_anew, refuse_to_replace

Prepare = Callable[[Config, Held | None], None]
ENDINGS = ("SIGINT", "SIGTERM", "SIGHUP", "SIGBREAK")
_demo_lock = Lock()


def serve_until_closed(config: Config, prepare: Prepare, lan: Sequence[str] = ()) -> None:
    """Serve a journal until Ctrl+C or another way of ending the process."""
    with closed_by_signals(), ExitStack() as closing:
        served = open_journal(config, prepare, closing, lan)
        closing.callback(served.server.close)
        closing.callback(ignore_signals)
        served.app.extensions["oddcup_open_demo"] = partial(open_demo, served, closing, {})
        print(f"Oddcup is open at {served.address}")
        for address in lan:
            print(f"On your network, for paired devices: http://{address}:{served.port}/")
        print(f"Journal: {config.sqlite_path or 'PostgreSQL'}. Ctrl+C closes it.", flush=True)
        served.server.run()


def open_journal(
    config: Config, prepare: Prepare, closing: ExitStack, lan: Sequence[str] = ()
) -> Served:
    """Hold a journal and make its server, not yet running. `closing` leaves one file."""
    path = config.sqlite_path
    make_home(config.home)
    held = None if path is None else closing.enter_context(holding(path, "serve"))
    if held and held.stray_log:
        print(
            "The journal was replaced after Oddcup had been killed. What the killed one had not "
            f"yet written into the old journal is of no use to this one; it is at {held.stray_log}"
        )
    mark = None
    with ThreadPoolExecutor(1) as beside, staying():
        looking = beside.submit(look, config)
        load_pages()
        health = looking.result()
    if health and health.can_be_shown:  # it is left as it is, and is only read
        print(f"{health.sentence} The page tells what can be read, and how to restore it.")
        if held:
            held.lock.only_reads = True
    else:
        prepare(config, held)
        mark = mark_anew(path, held.lock) if path and held else None
    with staying():
        served = make_server(with_secret_key(config), lan, mark)
    closing.callback(_dispose, served, held)
    if not (health and health.can_be_shown):
        served.app.extensions["oddcup_watch"].opened(datetime.now(UTC).date())
        database: Database = served.app.extensions["oddcup_database"]
        mark_if_put_back(database, seals_of(config), datetime.now(UTC))
    if held:
        held.lock.tell(address=served.address)
        served.app.extensions["oddcup_lock"] = held.lock
        if not held.lock.only_reads:
            _back_up_daily(served, closing)
    return served


def _dispose(served: Served, held: Held | None) -> None:
    served.dispose()
    if held:
        database: Database = served.app.extensions["oddcup_database"]
        held.lock.only_reads = database.damaged or held.lock.only_reads


def _back_up_daily(served: Served, closing: ExitStack) -> None:
    """At the start, and with the first page of each day. A copy that is being made when the
    journal is closed is given up: it would keep the log from being written into the journal."""
    daily = DailyBackups(served.app.config["JOURNAL"], served.app.config["CLOCK"])
    served.app.extensions["oddcup_backups"] = daily
    closing.callback(daily.stop)
    daily.look()


def begin_or_update(config: Config, held: Held | None, *, new: bool = False) -> None:
    """Bring a journal's tables up to date; begin one where there never was one, or if asked to."""
    path = config.sqlite_path
    if new:
        refuse_to_replace(config)
        if path:
            put_log_aside(path)
    else:
        refuse_to_begin_anew(config, held.lock.before if held else None)
    backup = bring_up_to_date(config)
    if backup:
        print(f"The journal was brought up to date; as it was before: {backup}")


def make_demo(config: Config, _held: Held | None) -> None:
    from seed_demo import ensure_demo

    ensure_demo(config)


def open_demo(beside: Served, closing: ExitStack, opened: dict[str, int]) -> int:
    """Open the demo household beside a running journal, once; returns its port."""
    with _demo_lock:
        if "demo" not in opened:
            config: Config = beside.app.config["JOURNAL"]
            try:
                demo = replace(demo_config(config), port=config.port + 1)
                served = open_journal(demo, make_demo, closing)
            except InUse as elsewhere:
                if elsewhere.holder is None or not elsewhere.holder.port:
                    raise
                return elsewhere.holder.port
            Thread(target=served.server.run, daemon=True).start()
            opened["demo"] = served.port
        return opened["demo"]


@contextmanager
def closed_by_signals() -> Iterator[None]:
    """Whatever asks the process to end, a closed terminal window too, closes as Ctrl+C does.

    A signal that was ignored when Oddcup was started, as with nohup, stays so.
    """
    usual = {number: signal.getsignal(number) for number in _endings()}
    for number, handler in usual.items():
        if handler is not signal.SIG_IGN:
            signal.signal(number, _leave)
    try:
        yield
    except KeyboardInterrupt:
        pass
    finally:
        for number, handler in usual.items():
            signal.signal(number, handler)


def _endings() -> list[signal.Signals]:
    return [getattr(signal, name) for name in ENDINGS if hasattr(signal, name)]


def _leave(_number: int, _frame: FrameType | None) -> None:
    raise KeyboardInterrupt


def ignore_signals() -> None:
    """It is closing already: nothing more interrupts that."""
    for number in _endings():
        signal.signal(number, signal.SIG_IGN)
