"""Several processes that serve one journal on PostgreSQL behind one address.

The process that was started puts the app together, opens the sockets, and answers nobody. It forks
workers that all listen on these sockets, and another one in the place of each that is killed. What
one worker saves, the others see with their next page (`while_unchanged`), writers of all of them
take turns (`Database.writing`), codes are in one file (`web/shared_codes.py`), and each has its
share of what a token may ask.
"""

import os
import signal
import sys
from collections.abc import Sequence
from contextlib import ExitStack, suppress
from dataclasses import dataclass, field, replace
from datetime import UTC, datetime
from functools import partial
from pathlib import Path
from socket import SO_REUSEADDR, SOL_SOCKET, socket
from tempfile import TemporaryDirectory
from threading import Thread
from time import monotonic, sleep

from flask import Flask

from app import create_app
from app.config import Config, make_home, with_secret_key
from app.database import Database
from app.journal.blind.put_back import mark_if_put_back
from app.seals import seals_of
from app.serving import LOOPBACK, Served, free_port, staying
from app.serving.opening import Prepare, closed_by_signals, ignore_signals, open_demo
from app.serving.two_servers import listen_on
from app.web.api.bearer import A_MINUTE, MOST_A_MINUTE
from app.web.security import open_to_network
from app.web.shared_codes import FILE

MOST = 8
END_S = 10.0
PAUSE_S = 1.0
ONE_FILE = (
    "A file is served by one process. For several, move the journal to PostgreSQL (oddcup copy-to) "
    "and name it in ODDCUP_DATABASE_URL."
)
NO_FORK = "Several processes cannot share an address on this system: leave out --processes."
FAILED = "A process could not serve the journal (it ended with {}); the others were closed."


def serve_in_processes(config: Config, prepare: Prepare, lan: Sequence[str], count: int) -> None:
    """Serve a journal until Ctrl+C or another way of ending the process.

    Raises RuntimeError for a journal in a file, on Windows, and where a worker cannot serve.
    """
    if config.sqlite_path:
        raise RuntimeError(ONE_FILE)
    if sys.platform == "win32":
        raise RuntimeError(NO_FORK)
    with closed_by_signals(), ExitStack() as closing:
        make_home(config.home)
        prepare(config, None)
        port = free_port(config.port, (LOOPBACK, *lan))
        sockets = [closing.enter_context(_bound(host, port)) for host in (LOOPBACK, *lan)]
        folder = closing.enter_context(TemporaryDirectory(prefix="oddcup-"))
        with staying():
            app = create_app(with_secret_key(replace(config, port=port)))
        app.config[FILE] = Path(folder) / "codes"
        app.config[A_MINUTE] = MOST_A_MINUTE // count
        open_to_network(app, lan)
        _mark_what_was_put_back(app)
        workers = Workers(app, port, sockets)
        closing.callback(workers.close)
        closing.callback(ignore_signals)
        for _ in range(count):
            workers.start_one()
        print(f"Oddcup is open at http://{LOOPBACK}:{port}/")
        for address in lan:
            print(f"On your network, for paired devices: http://{address}:{port}/")
        print(f"Journal: PostgreSQL. {count} processes. Ctrl+C closes it.", flush=True)
        workers.watch()


def _mark_what_was_put_back(app: Flask) -> None:
    database: Database = app.extensions["oddcup_database"]
    mark_if_put_back(database, seals_of(app.config["JOURNAL"]), datetime.now(UTC))
    database.dispose()  # no two processes may talk over one connection


def _bound(host: str, port: int) -> socket:
    one = socket()
    one.setsockopt(SOL_SOCKET, SO_REUSEADDR, 1)
    one.bind((host, port))
    one.listen(1024)
    return one


@dataclass
class Workers:
    """Those that run, by their process numbers. The first socket is that of this machine itself."""

    app: Flask
    port: int
    sockets: Sequence[socket]
    running: set[int] = field(default_factory=set)

    def __post_init__(self) -> None:
        # Its writing end is open for as long as this process lives, and in no worker.
        self._alive, self._kept = os.pipe()

    def start_one(self) -> None:
        sys.stdout.flush()
        pid = os.fork()
        if pid == 0:
            self._be_a_worker()
        self.running.add(pid)

    def watch(self) -> None:
        """Put another worker in the place of each that is killed, until a signal ends it all."""
        while True:
            pid, status = os.wait()
            if pid not in self.running:
                continue
            self.running.discard(pid)
            code = os.waitstatus_to_exitcode(status)
            if code > 0:
                raise RuntimeError(FAILED.format(code))
            print(f"Process {pid} was ended; another one takes its place.", flush=True)
            sleep(PAUSE_S)
            self.start_one()

    def close(self) -> None:
        """End every worker: asked to first, then without asking."""
        for number in (signal.SIGTERM, signal.SIGKILL):
            for pid in self.running:
                os.kill(pid, number)
            until = monotonic() + END_S
            while self.running and monotonic() < until:
                self.running = {pid for pid in self.running if not os.waitpid(pid, os.WNOHANG)[0]}
                sleep(0.02)

    def _be_a_worker(self) -> None:
        """Ends the process: nothing of what the other one has to clear up is done here."""
        code = 1
        try:
            os.close(self._kept)
            Thread(target=self._end_with_the_other, daemon=True).start()
            self._serve()
            code = 0
        except KeyboardInterrupt:
            code = 0
        except BaseException as trouble:
            sys.stderr.write(f"oddcup: {trouble}\n")
        finally:
            with suppress(OSError, ValueError):
                sys.stdout.flush()
                sys.stderr.flush()
            os._exit(code)

    def _end_with_the_other(self) -> None:
        """Also where that one was killed: no worker stays behind unseen."""
        os.read(self._alive, 1)
        os.kill(os.getpid(), signal.SIGTERM)

    def _serve(self) -> None:
        server = listen_on(self.app, self.port, self.sockets[0], self.sockets[1:])
        served = Served(server, self.port, self.app)
        with ExitStack() as closing:
            closing.callback(served.dispose)
            closing.callback(server.close)
            closing.callback(ignore_signals)
            self.app.extensions["oddcup_watch"].opened(datetime.now(UTC).date())
            self.app.extensions["oddcup_open_demo"] = partial(open_demo, served, closing, {})
            server.run()
