"""The same form twice on one page, for cup A and cup B."""

from collections.abc import Iterator, Mapping
from itertools import chain
from typing import Generic, TypeVar

from wtforms import Field, Form

from app.sensory.terms import Letter

F = TypeVar("F", bound=Form)


class TwoForms(Generic[F]):
    """Both forms as one: their fields, and what is wrong with them."""

    def __init__(self, cups: Mapping[Letter, F]) -> None:
        self.cups = cups

    @property
    def a(self) -> F:
        return self.cups["A"]

    @property
    def b(self) -> F:
        return self.cups["B"]

    def __iter__(self) -> Iterator[Field]:
        return chain(self.a, self.b)

    @property
    def errors(self) -> bool:
        return bool(self.a.errors or self.b.errors)

    @property
    def form_errors(self) -> list[str]:
        return [*self.a.form_errors, *self.b.form_errors]
