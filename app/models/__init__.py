"""The journal's tables, one file a family."""

from .base import Base, local_date
from .beans import Bag, BagCorrection, Bean, FrozenSpan
from .brews import Brew, BrewPhoto, FilterUse
from .gear import Brewer, Filter, FilterPack, Grinder, Water
from .recipes import Recipe, RecipeRevision, Step
from .settings import Settings
from .tastings import SideBySide, Taster, Tasting

__all__ = [
    "Bag",
    "BagCorrection",
    "Base",
    "Bean",
    "Brew",
    "BrewPhoto",
    "Brewer",
    "Filter",
    "FilterPack",
    "FilterUse",
    "FrozenSpan",
    "Grinder",
    "Recipe",
    "RecipeRevision",
    "Settings",
    "SideBySide",
    "Step",
    "Taster",
    "Tasting",
    "Water",
    "local_date",
]
