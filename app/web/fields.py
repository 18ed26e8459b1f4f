"""Form fields that read what people type, and say plainly what is wrong with it."""

from __future__ import annotations

import math
import re
import unicodedata
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import fields
from datetime import date, datetime
from typing import TYPE_CHECKING, Any, Generic, TypedDict, TypeVar, Unpack

from wtforms import Field, FieldList, Form, FormField, RadioField, SelectField, StringField
from wtforms.form import BaseForm
from wtforms.validators import StopValidation, ValidationError
from wtforms.widgets import DateInput, Input, TextArea

from app.brewing import bounds
from app.durations import seconds_of
from app.formats import joined, typed_duration
from app.money import from_minor, is_currency, to_minor
from app.text import few_marks
from app.web.formats import formats
from app.web.widgets import Line, OneMark, OneOf

if TYPE_CHECKING:
    from _typeshed import DataclassInstance

V = TypeVar("V")
Values = TypeVar("Values", bound="DataclassInstance")
NUMBER = re.compile(r"[+-]?\d{1,12}(?:[.,]\d{0,9})?|[+-]?[.,]\d{1,9}", re.ASCII)
DROPPED = re.compile(r"[\x00-\x08\x0b-\x1f\x7f-\x9f\ud800-\udfff]")
LONGEST_TEXT = 10_000  # of text that no field bounds
LONGEST_TYPED = 1000  # of a number, a day or a time


class TextOptions(TypedDict, total=False):
    """What a field of text takes; WTForms adds options of its own when it binds the field."""

    description: str


class Options(TextOptions, total=False):
    """What any other field takes."""

    default: object


class TypedOptions(Options, total=False):
    """What a TypedField takes besides."""

    required: bool


def clean_text(text: str | None, longest: int = LONGEST_TEXT) -> str:
    """Trimmed, in Unicode's form NFC, without control characters or lone surrogates.

    What stays longer than `longest` even if NFC writes four characters as one, the most it does,
    is not normalised; whoever asks refuses it for its length.
    """
    kept = DROPPED.sub("", (text or "").replace("\r\n", "\n")).strip()
    if kept.isascii() or len(kept) > 4 * longest:
        return kept
    return unicodedata.normalize("NFC", few_marks(kept)).strip()


def filled_in(form: BaseForm, of: type[Values], **others: object) -> Values:
    """A valid form's values, and the `others`, as the dataclass that names its fields.

    A field left empty keeps the dataclass's default.
    """
    names = [field.name for field in fields(of) if field.name not in others]
    given = {name: form[name].data for name in names} | others
    return of(**{name: value for name, value in given.items() if value is not None})


class LineField(StringField):
    """One line of text."""

    widget: Input | TextArea = Line()
    one_line = True

    def __init__(
        self, label: str, *, longest: int, required: bool = False, **options: Unpack[TextOptions]
    ) -> None:
        super().__init__(label, filters=[self._clean], **options)
        self.longest, self.required = longest, required

    def _clean(self, text: str | None) -> str:
        return clean_text(text, self.longest)

    def pre_validate(self, form: BaseForm) -> None:
        self.data = self.data or ""
        if self.one_line:
            self.data = self.data.replace("\n", " ")
        if self.required and not self.data:
            raise StopValidation("Please fill this in.")
        if len(self.data) > self.longest:
            raise StopValidation(f"Keep this within {self.longest} characters.")


class NoteField(LineField):
    """Several lines of text."""

    widget = TextArea()
    one_line = False


class CurrencyField(LineField):
    """A currency by its three letters."""

    def pre_validate(self, form: BaseForm) -> None:
        super().pre_validate(form)
        code = (self.data or "").upper()
        if not is_currency(code):
            raise StopValidation("Please write a currency's three letters, such as EUR or JPY.")
        self.data = code


class TypedField(Field, Generic[V]):
    """A field typed as text: what could not be read is shown again as it was typed."""

    widget: Input = Line()

    def __init__(self, label: str, *, required: bool = False, **options: Unpack[Options]) -> None:
        super().__init__(label, **options)
        self.required = required
        self.typed: str | None = None

    def process_formdata(self, valuelist: list[object]) -> None:
        self.data, self.typed = None, None
        if not valuelist:
            return
        self.typed = str(valuelist[0])
        text = clean_text(self.typed, LONGEST_TYPED)
        if len(text) > LONGEST_TYPED:
            raise ValueError(f"Keep this within {LONGEST_TYPED} characters.")
        if text:
            self.data = self.read(text)

    def pre_validate(self, form: BaseForm) -> None:
        if self.required and self.data is None and not self.process_errors:
            raise StopValidation("Please fill this in.")

    def _value(self) -> str:
        if self.typed is not None:
            return self.typed
        return "" if self.data is None else self.write(self.data)

    def read(self, text: str) -> V:
        raise NotImplementedError

    def write(self, value: V) -> str:
        return str(value)


class NumberField(TypedField[float]):
    """A number with point or comma, within bounds, in the household's unit.

    `bounds` and `data` are in the stored unit (`stored_unit`), what is typed and shown in the
    chosen one, which the message names.
    """

    def __init__(
        self,
        label: str,
        *,
        bounds: tuple[float, float],
        unit: str = "",
        whole: bool = False,
        **options: Unpack[TypedOptions],
    ) -> None:
        super().__init__(label, **options)
        self.bounds, self.stored_unit, self.whole = bounds, unit, whole

    @property
    def unit(self) -> str:
        return formats().unit(self.stored_unit)

    def read(self, text: str) -> float | int:
        bare = text.removesuffix(self.unit).strip() if self.unit else text
        if not NUMBER.fullmatch(bare):
            such = formats().number(17.4, 1)
            raise ValueError(f"Please write a number, such as 17 or {such}.")
        return self.within(formats().read(float(bare.replace(",", ".")), self.stored_unit))

    def within(self, value: float) -> float | int:
        """The value, if the field takes it; ValueError with a sentence if it does not."""
        low, high = self.bounds
        if not math.isfinite(value) or not low <= value <= high:
            unit = f" {self.unit}" if self.unit else ""
            raise ValueError(f"Please stay between {self.write(low)} and {self.write(high)}{unit}.")
        if not self.whole:
            return value
        if value != int(value):
            raise ValueError("Please write a whole number.")
        return int(value)

    def write(self, value: float) -> str:
        return formats().typed(value, self.stored_unit)


class DurationField(TypedField[int]):
    """How long something lasts, in seconds; `durations` says what may be typed."""

    def __init__(
        self, label: str, *, bounds: tuple[int, int], **options: Unpack[TypedOptions]
    ) -> None:
        super().__init__(label, **options)
        self.bounds = bounds

    @property
    def understood(self) -> str:
        """What was understood, both ways a time is written: 2:30 = 150 s."""
        return "" if self.data is None else joined(f"{formats().clock(self.data)} = {self.data} s")

    def read(self, text: str) -> int:
        return self.within(seconds_of(text))

    def within(self, seconds: int) -> int:
        low, high = self.bounds
        if not low <= seconds <= high:
            raise ValueError(f"Please stay between {low} and {high} seconds.")
        return seconds

    def write(self, value: int) -> str:
        return typed_duration(value)


class DayField(TypedField[date]):
    """A calendar day, as the browser's date field sends it."""

    widget = DateInput()

    def read(self, text: str) -> date:
        try:
            day = date.fromisoformat(text)
        except ValueError:
            raise ValueError("Please write a date as year-month-day, such as 2026-03-05.") from None
        if not 1970 <= day.year <= 2200:
            raise ValueError("Please choose a year between 1970 and 2200.")
        return day

    def write(self, value: date) -> str:
        return value.isoformat()


class WallTimeField(TypedField[datetime]):
    """A day and a time on the wall clock, as the browser's datetime-local field sends it."""

    def read(self, text: str) -> datetime:
        try:
            return datetime.fromisoformat(text).replace(second=0, microsecond=0, tzinfo=None)
        except ValueError:
            raise ValueError("Please write a date and a time, such as 2026-03-05 07:30.") from None

    def write(self, value: datetime) -> str:
        return value.strftime("%Y-%m-%dT%H:%M")


class PickField(SelectField):
    """One of the listed rows by its number; an empty choice means none.

    Without a list it takes any number; whoever reads it must check that the row exists.
    """

    widget = OneOf()

    def __init__(
        self,
        label: str,
        *,
        required: bool = False,
        choices: Mapping[int, str] | None = None,
        **options: Unpack[Options],
    ) -> None:
        listed: dict[Any, str] | None = None if choices is None else {**choices}
        super().__init__(
            label, coerce=number_or_none, choices=listed, validate_choice=False, **options
        )
        self.required = required

    def pick_from(self, rows: Iterable[tuple[int, str]], none: str = "") -> None:
        """Offer these rows (id, name) and, where it has a name, the empty choice first."""
        listed: dict[Any, str] = {"": none} if none else {}
        self.choices = listed | dict(rows)

    def pre_validate(self, form: BaseForm) -> None:
        if (self.data is None and not self.required) or self.choices is None:
            return
        if self.data not in {choice[0] for choice in self.iter_choices()}:
            raise ValidationError("Please choose one from the list.")


class WordField(SelectField):
    """One of a few fixed words."""

    widget = OneOf()

    def __init__(self, label: str, words: tuple[str, ...], **options: Unpack[Options]) -> None:
        super().__init__(
            label, choices={word: word or "–" for word in words}, validate_choice=False, **options
        )
        self.words = words

    def pre_validate(self, form: BaseForm) -> None:
        if self.data not in self.words:
            raise ValidationError("Please choose one from the list.")


class StepsField(RadioField):
    """A row of steps from lowest to highest, which may stay unanswered."""

    option_widget = OneMark()

    def __init__(self, label: str, *, bounds: tuple[int, int], **options: Unpack[Options]) -> None:
        low, high = bounds
        choices = {str(n): str(n) for n in range(low, high + 1)}
        super().__init__(
            label, choices=choices, coerce=number_or_none, validate_choice=False, **options
        )
        self.bounds = bounds

    def pre_validate(self, form: BaseForm) -> None:
        low, high = self.bounds
        if self.data is not None and not low <= self.data <= high:
            raise ValidationError(f"Please choose a step from {low} to {high}.")


class RowsField(FieldList):  # type: ignore[type-arg]
    """A list of rows, each a small form whose first field is its place."""

    @property
    def rows(self) -> Sequence[Form]:
        return [entry.form for entry in self if isinstance(entry, FormField)]

    def in_order(self) -> Sequence[Form]:
        """The rows that are filled in, by their place, and numbered anew."""
        return self.rows


def number_or_none(value: object) -> int | None:
    """A choice as the browser sends it: digits, or empty for none."""
    text = "" if value is None else str(value)
    return int(text) if re.fullmatch(r"\d{1,9}", text, re.ASCII) else None


class PriceForm(Form):
    price = NumberField("Price", bounds=bounds.PRICE_MINOR)
    currency = CurrencyField("Currency, three letters", longest=3)

    def validate_price(self, field: NumberField) -> None:
        code, dearest = (self.currency.data or "").upper(), bounds.PRICE_MINOR[1]
        if field.data is None or not is_currency(code):
            return
        if to_minor(field.data, code) > dearest:
            raise ValidationError(f"Please stay within {from_minor(dearest, code):.10g} {code}.")

    @property
    def price_minor(self) -> int | None:
        amount = self.price.data
        return None if amount is None else to_minor(amount, self.currency.data or "")


def typed_price(price_minor: int | None, currency: str) -> float | None:
    """The price of a row, as the form has it."""
    return None if price_minor is None else from_minor(price_minor, currency)
