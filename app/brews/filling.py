"""What the brew form offers and what it starts from: the last brew, a recipe, or nothing."""

from collections.abc import Mapping, Sequence
from datetime import date

from sqlalchemy.orm import Session

from app.brews.forms import FRESH, BrewForm
from app.brews.queries import brew_to_change
from app.formats import ago_days, ordinal
from app.journal.bags import OpenBag, open_bags
from app.journal.brews import last_brew_id
from app.journal.gear import brewers, pick_list
from app.journal.on_hand import OnHand, on_hand
from app.journal.packs import PackLeft, packs_with_left
from app.journal.recipes import pickable_revisions, revision
from app.journal.rows import values_of
from app.models import Brew, Grinder, RecipeRevision, Water
from app.models.brews import BrewValues
from app.models.recipes import Amounts
from app.web.amount_fields import amounts_data
from app.web.fields import number_or_none
from app.web.formats import formats

CAME_OUT = ("beverage_g", "tds_pct", "brix", "note")
SLOTS = ("filter_1", "filter_2", "filter_3")

FormValues = dict[str, object]


def same_again(brew: Brew | None, hand: Sequence[OnHand], packs: Sequence[PackLeft]) -> FormValues:
    """Values for tomorrow's form: what is set, not what came out. Retired filters are replaced
    by a fresh one of their pack, if it holds one."""
    if brew is None:
        return {}
    noted = amounts_data(values_of(brew, BrewValues))
    values: FormValues = {name: noted[name] for name in noted if name not in CAME_OUT}
    usable = {row.filter_id for row in hand}
    full = {pack.id for pack in packs}
    for use in brew.stack:
        slot = f"filter_{use.position}"
        if use.filter.retired_on is None and use.filter_id in usable:
            values[slot] = str(use.filter_id)
        elif use.filter.pack_id in full:
            values[slot] = f"{FRESH}{use.filter.pack_id}"
    return values


def as_it_was(brew: Brew) -> FormValues:
    """Values of the form that changes a brew."""
    values: FormValues = {**amounts_data(values_of(brew, BrewValues))}
    for use in brew.stack:
        values[f"filter_{use.position}"] = str(use.filter_id)
    return values


def from_recipe(revision: RecipeRevision, last: FormValues) -> FormValues:
    """The recipe's numbers over what else the last brew was made with."""
    values = last | amounts_data(values_of(revision, Amounts)) | {"revision_id": revision.id}
    return values if revision.brewer_id is None else values | {"brewer_id": revision.brewer_id}


class PickLists:
    """What can be picked, read once a page; what a `brew` being changed was made with stays."""

    def __init__(self, session: Session, today: date, brew: Brew | None = None) -> None:
        stack = [use.filter_id for use in brew.stack] if brew else []
        self.bags = open_bags(session, also=[brew.bag_id] if brew else [])
        brewed_in = brewers(session, brew.brewer_id if brew else None)
        self.gear = {
            "brewer_id": [(row.id, row.name) for row in brewed_in],
            "grinder_id": pick_list(session, Grinder, brew.grinder_id if brew else None),
            "water_id": pick_list(session, Water, brew.water_id if brew else None),
        }
        self.firsts = {row.id: row.first_id for row in brewed_in}
        self.recipes = pickable_revisions(session)
        self.brewed = revision(session, brew.revision_id) if brew and brew.revision_id else None
        self.hand = on_hand(session, also=stack)
        self.packs = packs_with_left(session)
        self.today = today
        self.brew = brew

    def are_alike(self, brewer_id: int | None, other_id: int | None) -> bool:
        """Whether two of the listed brewers are alike, or one and the same."""
        first = self.firsts.get(brewer_id or 0)
        return first is not None and first == self.firsts.get(other_id or 0)

    def put_into(self, form: BrewForm) -> None:
        """Offer the lists; where one is empty, nothing stands before what can be named instead."""
        for offered, field, alone in (
            (self.bags, form.new_bean, "Bean"),
            (self.gear["brewer_id"], form.new_brewer_kind, "Kind of brewer"),
            (self.gear["grinder_id"], form.new_grinder, "Grinder"),
        ):
            if not offered:
                field.label.text = alone
        form.bag_id.pick_from(((bag.id, bag_name(bag)) for bag in self.bags), none="–")
        form.brewer_id.pick_from(self.gear["brewer_id"], none="–")
        form.grinder_id.pick_from(self.gear["grinder_id"], none="–")
        form.water_id.pick_from(self.gear["water_id"], none="–")
        form.revision_id.pick_from(self._revisions(), none="–")
        form.filter_1.choices = filters = self.filters()
        # A stack is rare: the lists of its other filters have their names only.
        for slot in form.slots[1:]:
            slot.choices = {value: name.partition("\n")[0] for value, name in filters.items()}

    def _revisions(self) -> list[tuple[int, str]]:
        listed = [(row.revision_id, row.name) for row in self.recipes]  # their latest revisions
        brewed = self.brewed
        if brewed is not None and brewed.id not in dict(listed):
            listed.append((brewed.id, f"{brewed.recipe.name}, revision {brewed.number}"))
        return listed

    def filters(self) -> dict[str, str]:
        listed = {"": "No filter from the journal"}
        for row in self.hand:
            listed[str(row.filter_id)] = f"{row.name}\n{self._uses(row)}"
        for pack in self.packs:
            listed[f"{FRESH}{pack.id}"] = f"Fresh: {pack.name}\n1st use · {pack.left} left"
        return listed

    def _uses(self, row: OnHand) -> str:
        if self.brew is not None:
            return f"{row.uses} {'use' if row.uses == 1 else 'uses'} · {row.state}"
        last = ago_days((self.today - row.last_on).days) if row.last_on else "not used yet"
        return f"{ordinal(row.uses + 1)} use · {last} · {row.state}"


def bag_name(bag: OpenBag) -> str:
    parts = [bag.bean_name, bag.roaster]
    if bag.left_g is not None:
        left = formats().amount(bag.left_g, "g", 0) if bag.left_g > 0 else "nothing"
        parts.append(f"{left} left")
    return " · ".join(filter(None, parts))


def start(session: Session, lists: PickLists, args: Mapping[str, str]) -> FormValues:
    """What the URL's arguments ask to start from: the brew named by `like`, else the last of a
    `bag`, else the last of all; the numbers of a `recipe` over it; a filter `filter_1`."""
    bag_id = number_or_none(args.get("bag"))
    like = number_or_none(args.get("like")) or last_brew_id(session, Brew.bag_id == bag_id)
    like = like or last_brew_id(session)
    source = brew_to_change(session, like) if like else None
    values = same_again(source, lists.hand, lists.packs)
    if bag_id in {bag.id for bag in lists.bags}:
        values["bag_id"] = bag_id
    recipe = number_or_none(args.get("recipe"))
    wanted = revision(session, recipe) if recipe else None
    values = from_recipe(wanted, values) if wanted else values
    return _with_filter(values, lists, args["filter_1"]) if "filter_1" in args else values


def second_recipe(
    session: Session, cups: Sequence[FormValues], args: Mapping[str, str]
) -> Sequence[FormValues]:
    """Two cups, the second by the recipe that `recipe_b` names, if it does; what that does not
    say stays as it is."""
    named = number_or_none(args.get("recipe_b"))
    wanted = revision(session, named) if named else None
    if wanted is None:
        return cups
    a, b = cups
    return a, from_recipe(wanted, b)


def _with_filter(values: FormValues, lists: PickLists, named: str) -> FormValues:
    """The stack that holds a named filter: that of `values`, or it alone; none if it is retired."""
    if named in [values.get(slot) for slot in SLOTS]:
        return values
    stack: FormValues = {"filter_1": named if named in lists.filters() else ""}
    return {name: value for name, value in values.items() if name not in SLOTS} | stack
