"""Forms of beans and bags."""

from dataclasses import asdict

from wtforms import BooleanField, Form
from wtforms.validators import ValidationError

from app.brewing import bounds
from app.journal.rows import values_of
from app.models import Bag, Bean
from app.models.base import NAME_CHARS, NOTE_CHARS
from app.models.beans import BUY_AGAIN, BagValues, BeanValues
from app.web.fields import (
    DayField,
    LineField,
    NoteField,
    NumberField,
    PickField,
    PriceForm,
    WordField,
    filled_in,
    typed_price,
)

OUT, IN = "out of the bag", "into the bag"
BEAN_FIELDS = frozenset({"name", "roaster", "origin", "processed", "robusta_pct", "decaf"})


class BagForm(PriceForm):
    """A bean and a bag of it; `processed` is its process, as forms have a method of that name."""

    name = LineField("Bean", longest=NAME_CHARS)
    roaster = LineField("Roaster", longest=NAME_CHARS)
    origin = LineField("Origin", longest=NAME_CHARS)
    processed = LineField("Process", longest=NAME_CHARS, description="Washed, natural, honey …")
    robusta_pct = NumberField(
        "Robusta",
        bounds=bounds.ROBUSTA_PCT,
        unit="%",
        description="The share of robusta; empty means none.",
    )
    decaf = BooleanField("Decaffeinated")
    roasted_on = DayField("Roasted on")
    opened_on = DayField("Opened on")
    finished_on = DayField("Finished on")
    net_g = NumberField("Net weight", bounds=bounds.NET_G, unit="g")
    note = NoteField("Note", longest=NOTE_CHARS)
    buy_again = WordField("Buy it again?", ("", *BUY_AGAIN), default="")
    buy_again_note = NoteField("Why", longest=NOTE_CHARS)

    def validate_name(self, field: LineField) -> None:
        if not field.data:
            raise ValidationError("Please name the bean.")

    def validate_opened_on(self, field: DayField) -> None:
        if field.data and self.roasted_on.data and field.data < self.roasted_on.data:
            raise ValidationError("This is before the roast. Please check both days.")

    def validate_finished_on(self, field: DayField) -> None:
        if field.data and self.opened_on.data and field.data < self.opened_on.data:
            raise ValidationError("This is before the bag was opened. Please check both days.")

    def bean_values(self) -> BeanValues:
        return filled_in(self, BeanValues, process=self.processed.data)

    def bag_values(self) -> BagValues:
        return filled_in(self, BagValues, price_minor=self.price_minor)


class NewBagForm(BagForm):
    """A bag of a bean that is known, or of a new one named here."""

    bean_id = PickField("A bean you had before")

    def validate_name(self, field: LineField) -> None:
        if self.bean_id.data is None and not field.data:
            raise ValidationError("Please name the new bean, or choose one you had before.")
        if self.bean_id.data is not None and field.data:
            raise ValidationError("Please name a new bean or choose one you had before, not both.")


class VerdictForm(Form):
    """Whether one would buy a bag again, in one tap."""

    buy_again = WordField("Buy it again?", ("", *BUY_AGAIN), default="")


class FrozenForm(Form):
    from_on = DayField("Into the freezer", required=True)
    to_on = DayField("Out again (empty: still in)")

    def validate_to_on(self, field: DayField) -> None:
        if field.data and self.from_on.data and field.data < self.from_on.data:
            raise ValidationError("This is before it went in. Please check both days.")


class CorrectionForm(Form):
    grams = NumberField("Grams", bounds=(0.1, bounds.CORRECTION_G[1]), unit="g", required=True)
    way = WordField("Which way", (OUT, IN), default=OUT)
    why = LineField(
        "Why", longest=NAME_CHARS, required=True, description="Spilled, given away, weighed again."
    )
    noted_on = DayField("Day", required=True)

    def signed_g(self) -> float:
        grams = float(self.grams.data)
        return grams if self.way.data == IN else -grams


def form_values(bag: Bag, bean: Bean) -> dict[str, object]:
    """What a bag's form shows before anything is changed."""
    return {
        **asdict(values_of(bean, BeanValues)),
        **asdict(values_of(bag, BagValues)),
        "processed": bean.process,
        "price": typed_price(bag.price_minor, bag.currency),
    }
