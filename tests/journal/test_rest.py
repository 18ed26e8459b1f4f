"""Rest days are plain calendar sums, checked by hand and against a count of single days."""

from __future__ import annotations

from datetime import date, timedelta

from hypothesis import given
from hypothesis import strategies as st

from app.journal.rest import Rest, rest_on

ROASTED = date(2026, 3, 1)


def on(text: str) -> date:
    return date.fromisoformat(text)


def test_without_a_roast_day_there_is_no_rest() -> None:
    assert rest_on(on("2026-03-09"), None, [(on("2026-03-02"), None)]) is None


def test_the_roast_day_itself_is_day_zero() -> None:
    assert rest_on(ROASTED, ROASTED, []) == Rest(0, 0)


def test_a_leap_day_counts_and_a_common_year_has_none() -> None:
    assert rest_on(on("2028-03-01"), on("2028-02-28"), []) == Rest(2, 0)
    assert rest_on(on("2027-03-01"), on("2027-02-28"), []) == Rest(1, 0)


def test_a_leap_day_in_the_freezer() -> None:
    span = (on("2028-02-28"), on("2028-03-02"))
    assert rest_on(on("2028-03-05"), on("2028-02-20"), [span]) == Rest(11, 3)


def test_days_in_the_freezer_are_counted_apart() -> None:
    span = (on("2026-03-05"), on("2026-03-15"))
    assert rest_on(on("2026-03-20"), ROASTED, [span]) == Rest(9, 10)


def test_in_and_out_on_one_day_is_no_day() -> None:
    span = (on("2026-03-05"), on("2026-03-05"))
    assert rest_on(on("2026-03-20"), ROASTED, [span]) == Rest(19, 0)


def test_a_brew_from_a_bag_in_the_freezer_rests_as_long_as_it_lay_outside() -> None:
    closed, still_in = (on("2026-03-05"), on("2026-04-05")), (on("2026-03-05"), None)
    assert rest_on(on("2026-03-20"), ROASTED, [closed]) == Rest(4, 15)
    assert rest_on(on("2026-03-20"), ROASTED, [still_in]) == Rest(4, 15)


def test_a_span_after_the_brew_changes_nothing() -> None:
    assert rest_on(on("2026-03-04"), ROASTED, [(on("2026-03-05"), None)]) == Rest(3, 0)


def test_a_span_that_began_before_the_roast_counts_from_the_roast() -> None:
    assert rest_on(on("2026-03-10"), ROASTED, [(on("2026-02-20"), on("2026-03-04"))]) == Rest(6, 3)


def test_overlapping_nested_and_unsorted_spans_count_once() -> None:
    spans = [
        (on("2026-03-08"), on("2026-03-12")),
        (on("2026-03-03"), on("2026-03-10")),
        (on("2026-03-04"), on("2026-03-05")),
    ]
    assert rest_on(on("2026-03-20"), ROASTED, spans) == Rest(10, 9)


def test_a_day_before_the_roast_comes_out_negative() -> None:
    assert rest_on(on("2026-02-27"), ROASTED, [(on("2026-02-01"), None)]) == Rest(-2, 0)


DAYS = st.dates(date(2027, 12, 1), date(2028, 4, 30))


@given(DAYS, DAYS, st.lists(st.tuples(DAYS, st.integers(0, 60) | st.none()), max_size=5))
def test_the_sum_agrees_with_counting_single_days(
    roasted: date, brewed: date, drawn: list[tuple[date, int | None]]
) -> None:
    spans = [(start, None if n is None else start + timedelta(n)) for start, n in drawn]
    between = (roasted + timedelta(n) for n in range(max(0, (brewed - roasted).days)))
    frozen = sum(
        any(start <= day and (end is None or day < end) for start, end in spans) for day in between
    )
    rest = rest_on(brewed, roasted, spans)
    assert rest == Rest((brewed - roasted).days - frozen, frozen)
