"""Rows for tests, each saved when it is made: `make.brew(dose_g=15.0)`.

Whatever a test does not care about has a plain value; what a row must belong to (a bag, a
brewer, a pack, a taster) is made once and shared, unless it is given.
"""

from __future__ import annotations

from functools import cached_property
from typing import Any, TypeVar
from uuid import UUID

from sqlalchemy.orm import Session

from app.database import Database
from app.models import (
    Bag,
    BagCorrection,
    Base,
    Bean,
    Brew,
    Brewer,
    BrewPhoto,
    Filter,
    FilterPack,
    FilterUse,
    FrozenSpan,
    Grinder,
    Recipe,
    RecipeRevision,
    SideBySide,
    Step,
    Taster,
    Tasting,
    Water,
    local_date,
)
from app.text import search_text
from tests.support.clock import A_DAY, FIRST_BREW, moment

Row = TypeVar("Row", bound=Base)


class Make:
    """One journal's factory. Every call commits; keywords override any column."""

    def __init__(self, journal: Database) -> None:
        self._journal = journal
        self._brews = self._entries = 0
        self._numbers: dict[int, int] = {}

    def _entry_key(self) -> str:
        self._entries += 1
        return str(UUID(int=self._entries))

    def save(self, row: Row) -> Row:
        with Session(self._journal.writer, expire_on_commit=False) as session, session.begin():
            session.add(row)
        return row

    def bean(self, **given: Any) -> Bean:
        return self.save(Bean(**{"name": "Morning Hill", "roaster": "Lantern Yard"} | given))

    def bag(self, bean: Bean | None = None, **given: Any) -> Bag:
        owner = (bean or self.bean()).id
        return self.save(Bag(**{"bean_id": owner, "net_g": 250.0} | given))

    def frozen(self, bag: Bag, from_on: Any, to_on: Any = None, **given: Any) -> FrozenSpan:
        return self.save(FrozenSpan(bag_id=bag.id, from_on=from_on, to_on=to_on, **given))

    def correction(self, bag: Bag, grams: float, **given: Any) -> BagCorrection:
        plain = {"noted_on": FIRST_BREW.date(), "why": "Spilled"}
        return self.save(BagCorrection(bag_id=bag.id, grams=grams, **(plain | given)))

    def brewer(self, **given: Any) -> Brewer:
        return self.save(Brewer(**{"name": "Blue press", "kind": "pressed immersion"} | given))

    def grinder(self, **given: Any) -> Grinder:
        return self.save(Grinder(**{"name": "Hand mill", "scale": "clicks from zero"} | given))

    def water(self, **given: Any) -> Water:
        return self.save(Water(**{"name": "Kitchen tap"} | given))

    def pack(self, **given: Any) -> FilterPack:
        plain = {"name": "White round", "material": "paper", "count": 100}
        return self.save(FilterPack(**plain | given))

    def filter(self, pack: FilterPack | None = None, **given: Any) -> Filter:
        """The next filter of its pack: no. 1, no. 2 and so on."""
        owner = pack or self._pack
        self._numbers[owner.id] = self._numbers.get(owner.id, 0) + 1
        plain = {"pack_id": owner.id, "number": self._numbers[owner.id]}
        return self.save(Filter(**plain | given))

    def recipe(self, name: str = "House cup", note: str = "", **given: Any) -> Recipe:
        """A recipe with one revision, which takes the keywords (steps: a list of dicts)."""
        revision = self._revision(number=1, **given)
        return self.save(Recipe(name=name, note=note, revisions=[revision]))

    def revision(self, recipe: Recipe, number: int = 2, **given: Any) -> RecipeRevision:
        return self.save(self._revision(recipe_id=recipe.id, number=number, **given))

    def brew(
        self,
        bag: Bag | None = None,
        brewer: Brewer | None = None,
        recipe: Recipe | None = None,
        filters: list[Filter] | tuple[Filter, ...] = (),
        **given: Any,
    ) -> Brew:
        """A brew a day, from early in the year on; `filters` is its stack."""
        at = moment(given.pop("brewed_at", FIRST_BREW + self._brews * A_DAY))
        zone = given.get("zone", "UTC")
        self._brews += 1
        plain = {
            "entry_key": self._entry_key(),
            "brewed_at": at,
            "zone": zone,
            "brewed_on": local_date(at, zone),
            "bag_id": (bag or self._bag).id,
            "brewer_id": (brewer or self._brewer).id,
            "revision_id": recipe.revisions[0].id if recipe else None,
            "grind": "medium",
            "dose_g": 14.0,
            "water_g": 220.0,
            "note_search": search_text(given.get("note", "")),
        }
        stack = [
            FilterUse(position=position, filter_id=used.id, brewed_at=at)
            for position, used in enumerate(filters, start=1)
        ]
        return self.save(Brew(**plain | given, stack=stack))

    def photo(self, brew: Brew, jpeg: bytes, alt: str = "", **given: Any) -> BrewPhoto:
        return self.save(BrewPhoto(brew_id=brew.id, jpeg=jpeg, alt=alt, **given))

    def taster(self, **given: Any) -> Taster:
        return self.save(Taster(**{"name": "Juniper"} | given))

    def tasting(
        self, brew: Brew | None = None, taster: Taster | None = None, **given: Any
    ) -> Tasting:
        tasted = brew or self.brew()
        plain = {
            "entry_key": self._entry_key(),
            "brew_id": tasted.id,
            "taster_id": (taster or self._taster).id,
            "tasted_at": tasted.brewed_at,
            "zone": tasted.zone,
            "liking": 7,
            "text_search": search_text(given.get("words", ""), given.get("note", "")),
        }
        return self.save(Tasting(**plain | given))

    def side_by_side(
        self, brew_a: Brew | None = None, brew_b: Brew | None = None, **given: Any
    ) -> SideBySide:
        a, b = brew_a or self.brew(), brew_b or self.brew()
        plain = {"brew_a_id": a.id, "brew_b_id": b.id, "saved_at": b.brewed_at}
        return self.save(SideBySide(**plain | given))

    def put_in_the_bin(self, row: Row) -> Row:
        with Session(self._journal.writer, expire_on_commit=False) as session, session.begin():
            session.add(row)
            row.binned_at = FIRST_BREW  # type: ignore[attr-defined]
        return row

    def _revision(self, steps: list[dict[str, Any]] | None = None, **given: Any) -> RecipeRevision:
        plain = {"made_at": FIRST_BREW, "dose_g": 14.0, "water_g": 220.0, "grind": "medium"}
        numbered = enumerate(steps or [], start=1)
        rows = [Step(**{"position": position} | step) for position, step in numbered]
        return RecipeRevision(**plain | given, steps=rows)

    @cached_property
    def _bag(self) -> Bag:
        return self.bag()

    @cached_property
    def _brewer(self) -> Brewer:
        return self.brewer()

    @cached_property
    def _pack(self) -> FilterPack:
        return self.pack()

    @cached_property
    def _taster(self) -> Taster:
        return self.taster()
