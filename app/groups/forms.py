"""The form of a group: what its cups have in common, all of it optional."""

from wtforms import Form

from app.brewing import bounds
from app.journal.groups.wanted import DAYS, Wanted
from app.web.fields import DayField, NumberField, PickField, WordField, filled_in

SETTING = (-1e6, 1e6)
STACKS = {0: "no filter", 1: "one filter", 2: "two stacked", 3: "three stacked"}


class GroupForm(Form):
    """Each field is one of `Wanted`; in the address the names begin with "a-", "b-" or nothing."""

    use_from = NumberField("Use of the filter, from the", bounds=bounds.FILTER_USE, whole=True)
    use_to = NumberField("Use of the filter, to the", bounds=bounds.FILTER_USE, whole=True)
    material = WordField("Filter of", ("", *bounds.FILTER_MATERIALS), default="")
    stack = PickField("Stack")
    pack = PickField("Pack of filters")
    recipe = PickField("Recipe")
    brewer = PickField("Brewer")
    grinder = PickField("Grinder")
    grind = WordField("Grind", bounds.GRINDS_OR_NONE, default="")
    setting_from = NumberField("Grinder setting, from", bounds=SETTING)
    setting_to = NumberField("Grinder setting, to", bounds=SETTING)
    water = PickField("Kettle water")
    bag = PickField("Bag")
    taster = PickField("Taster")
    days = WordField("Days", ("", *DAYS), default="")
    since = DayField("From")
    until = DayField("To")

    def wanted(self) -> Wanted:
        return filled_in(self, Wanted)


# The rows of the form: what stands together for A and for B.
ROWS = (
    ("Filter", ("use_from", "use_to", "material", "stack", "pack")),
    ("Recipe and gear", ("recipe", "brewer", "grinder", "grind", "setting_from", "setting_to")),
    ("Beans and water", ("bag", "water")),
    ("Who and when", ("taster", "days", "since", "until")),
)
IN_BOTH = ("bag", "recipe", "brewer", "taster", "since", "until")
