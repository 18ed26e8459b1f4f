"""Oddcup: a journal for coffee brewed by hand."""

from contextlib import suppress
from pathlib import Path
from types import ModuleType

from flask import Flask, Response, current_app
from jinja2 import FileSystemBytecodeCache
from jinja2.bccache import Bucket
from sqlalchemy.engine import make_url

from app.backups.daily import DailyBackups
from app.config import MAX_REQUEST_BYTES, Config, machine_zone
from app.database import Database
from app.devices import gate
from app.formats import Formats
from app.web import as_table, assets, clock, conflicts, errors, pictures, places, security
from app.web import formats as web_formats
from app.web.addresses import Address
from app.web.damage import Watch, watch_journal
from app.web.formats import CurrentFormats, UnitsStay
from app.web.household import follow_settings, keep_units_of_forms
from app.web.ids import IdConverter
from app.web.pause import Pause, can_pause
from app.web.session import close_reading

ROOT = Path(__file__).resolve().parent.parent


class PageCache(FileSystemBytecodeCache):
    """Compiled templates; on a disk that is full or fails, pages are only slower."""

    def load_bytecode(self, bucket: Bucket) -> None:
        with suppress(OSError):
            super().load_bytecode(bucket)

    def dump_bytecode(self, bucket: Bucket) -> None:
        with suppress(OSError):
            super().dump_bytecode(bucket)


def create_app(config: Config) -> Flask:
    """The app on one journal."""
    app = wire(config.home / "pages")
    open_journal(app, config)
    return app


def wire(cache: Path) -> Flask:
    """Put the parts together; the only place that knows them all.

    `cache` keeps compiled templates and the compressed chart script.
    """
    app = Flask(__name__, static_folder=str(ROOT / "static"))
    app.config.update(
        MAX_CONTENT_LENGTH=MAX_REQUEST_BYTES,
        MAX_FORM_MEMORY_SIZE=1024 * 1024,
        MAX_FORM_PARTS=500,
        CLOCK=clock.machine_clock,
        ZONE=machine_zone(),
    )
    can_pause(app)
    app.teardown_appcontext(close_reading)
    app.url_rule_class = Address
    app.url_map.converters["id"] = IdConverter
    app.url_map.strict_slashes = False
    watch_journal(app)
    _set_up_pages(app, cache)
    app.before_request(gate.admit)
    security.protect(app)
    errors.handle(app)
    conflicts.handle(app)
    keep_units_of_forms(app)
    assets.serve_assets(app, cache)
    app.after_request(_look_after_backups)
    for feature in _features():
        app.register_blueprint(feature.pages)
    for room in _api():
        # No cookie is read there, so no page can send anything in somebody's name.
        app.extensions["csrf"].exempt(room.pages)
        app.register_blueprint(room.pages)
    return app


def open_journal(app: Flask, config: Config) -> None:
    """Everything in the app that depends on which journal it is on."""
    app.config.update(
        SECRET_KEY=config.secret_key, SESSION_COOKIE_NAME=f"oddcup_{config.port}", JOURNAL=config
    )
    database = app.extensions["oddcup_database"] = Database(config.url)
    app.extensions["oddcup_watch"] = Watch(config, database)
    app.extensions["oddcup_pause"] = Pause()
    app.extensions["oddcup_formats"].now = Formats(config.locale)
    app.jinja_env.globals.update(journal_name=_journal_name(config))


def _look_after_backups(response: Response) -> Response:
    """Once the page is done: the first one of a day starts a backup. A server sets this up."""
    daily: DailyBackups | None = current_app.extensions.get("oddcup_backups")
    if daily is not None:
        daily.look()
    return response


def load_pages() -> None:
    """Import what is imported only for an app; a server does it while it waits for the disk."""
    _features()
    _api()


def _api() -> tuple[ModuleType, ...]:
    from app.api import blind_views as api_tests
    from app.api import list_views as api_lists
    from app.api import views as api
    from app.bags import api_views as api_bags
    from app.brews import api_views as api_brews
    from app.tastings import api_views as api_tastings

    return api, api_brews, api_tastings, api_lists, api_bags, api_tests


def _features() -> tuple[ModuleType, ...]:
    from app.along import views as along
    from app.api import token_views as tokens
    from app.bags import views as bags
    from app.blind import views as blind
    from app.brews import look_views as look
    from app.brews import two_views as two_cups
    from app.brews import views as brews
    from app.changes import views as changes
    from app.claimed import views as claimed
    from app.devices import views as devices
    from app.experiments import views as experiments
    from app.filters import views as filters
    from app.gear import views as gear
    from app.groups import views as groups
    from app.history import views as history
    from app.lookback import views as lookback
    from app.names import views as names
    from app.questions import ask_views as asks
    from app.questions import piece_views as pieces
    from app.questions import views as questions
    from app.ranking import views as ranking
    from app.readers import views as readers
    from app.recipes import views as recipes
    from app.settings import backup_views as backups
    from app.settings import views as settings
    from app.sheets import views as sheets
    from app.side_by_side import views as side_by_side
    from app.sittings import views as sittings
    from app.taking_out import views as taking_out
    from app.tasters import views as tasters
    from app.tastings import two_views as two_tastings
    from app.tastings import views as tastings
    from app.today import views as today
    from app.worksheets import views as worksheets

    return (
        today, brews, look, two_cups, along, tastings, two_tastings, tasters, side_by_side,
        blind, questions, pieces, asks, sittings, claimed, groups, readers, bags, experiments,
        filters, recipes, changes, ranking, worksheets, gear, lookback, names, settings, backups,
        taking_out, sheets, devices, tokens, history,
    )  # fmt: skip


def _set_up_pages(app: Flask, cache: Path) -> None:
    current = app.extensions["oddcup_formats"] = CurrentFormats()
    app.jinja_env.trim_blocks = app.jinja_env.lstrip_blocks = True
    app.jinja_env.filters.update(current.filters())
    app.jinja_env.add_extension(UnitsStay)
    app.jinja_env.globals.update(
        current_formats=current,
        places=places,
        picture=pictures.picture,
        numbers_address=pictures.numbers_address,
        table_address=as_table.table_address,
    )
    # Compiled templates are cached between starts: that halves the wait for the first page. They
    # depend on how filters are called, so those compiled before these files changed are not used.
    changed_at = max(Path(file).stat().st_mtime_ns for file in (__file__, web_formats.__file__))
    with suppress(OSError):
        cache.mkdir(parents=True, exist_ok=True)
    app.jinja_env.bytecode_cache = PageCache(str(cache), f"{changed_at}_%s.cache")
    app.before_request(follow_settings)


def _journal_name(config: Config) -> str:
    """Shown on every page when this is not the user's own journal in its usual place."""
    if config.demo:
        return "Demo household"
    return "" if config.sqlite_path else str(make_url(config.url).database)
