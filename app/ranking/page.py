"""The page of recipes in order of what was preferred."""

from dataclasses import dataclass

from flask import abort, render_template, request, url_for
from werkzeug.wrappers import Response

from app.charts.figure import Chart
from app.journal.ranking.orders import Order, Wanted, first_pair, named_bag, read_orders
from app.ranking import words
from app.ranking.as_table import RANK_COLUMNS, rank_lines
from app.web import clock
from app.web.as_table import as_table, asked_as_table
from app.web.assets import show_charts
from app.web.fields import number_or_none
from app.web.formats import formats
from app.web.session import reading


@dataclass(frozen=True, slots=True)
class Shown:
    """An order as its card has it."""

    name: str
    order: Order
    finding: str
    beside: list[str]
    chart: Chart | None
    table: list[list[str]]
    sums: str
    brew_url: str


def ranking_page() -> str | Response:
    session, args = reading(), request.args
    bag_id, taster_id = (number_or_none(args.get(name)) for name in ("bag", "taster"))
    wanted = Wanted(bag_id, taster_id, every="every" in args)
    orders = read_orders(session, clock.now(), wanted)
    bags, tasters = dict(orders.bags), dict(orders.tasters)
    if bag_id and bag_id not in bags:
        bags[bag_id] = named_bag(session, bag_id) or abort(404)
    if taster_id and taster_id not in tasters:
        abort(404)
    if asked_as_table():
        return as_table("ranking", RANK_COLUMNS, rank_lines((orders.sighted, orders.blind)))
    shown = [_shown(order, wanted) for order in (orders.sighted, orders.blind)]
    if any(one.chart for one in shown):
        show_charts()
    nothing = not any(one.order.recipes or one.order.mixed for one in shown)
    begin = first_pair(session) if nothing else []
    return render_template(
        "ranking/index.html",
        wanted=wanted,
        bags=bags,
        bag=bags.get(bag_id or 0),
        tasters=tasters,
        shown=shown,
        limits=words.LIMITS,
        expected=words.EXPECTED,
        head=words.HEAD,
        nothing=nothing,
        begin=begin,
        begin_url=_brew([row.revision_id for row in begin], bag_id) if len(begin) == 2 else "",
    )


def _shown(order: Order, wanted: Wanted) -> Shown:
    return Shown(
        words.NAMES[order.blind],
        order,
        words.finding(order),
        words.beside(order, every=wanted.every),
        words.chart(order, formats()),
        words.table(order),
        words.sums(order),
        _brew([row.revision_id for row in order.next], wanted.bag_id) if order.next else "",
    )


def _brew(revisions: list[int], bag_id: int | None) -> str:
    """The form of two cups, one by each revision."""
    first, second = revisions
    return url_for("two_cups.new", recipe=first, recipe_b=second, bag=bag_id)
