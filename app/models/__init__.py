"""The journal's tables, one file a family."""

from .base import Base, local_date
from .beans import Bag, BagCorrection, Bean, FrozenSpan
from .blind import BlindTaster, BlindTest, Trial, TrialBrew
from .brews import Brew, BrewPhoto, FilterUse
from .devices import Device, PairingCode
from .gear import Brewer, Filter, FilterPack, Grinder, Water
from .questions import Question, QuestionBlindTest, QuestionBrew, QuestionSideBySide
from .recipes import Recipe, RecipeRevision, Step
from .settings import Settings
from .tastings import SideBySide, Taster, Tasting

__all__ = [
    "Bag",
    "BagCorrection",
    "Base",
    "Bean",
    "BlindTaster",
    "BlindTest",
    "Brew",
    "BrewPhoto",
    "Brewer",
    "Device",
    "Filter",
    "FilterPack",
    "FilterUse",
    "FrozenSpan",
    "Grinder",
    "PairingCode",
    "Question",
    "QuestionBlindTest",
    "QuestionBrew",
    "QuestionSideBySide",
    "Recipe",
    "RecipeRevision",
    "Settings",
    "SideBySide",
    "Step",
    "Taster",
    "Tasting",
    "Trial",
    "TrialBrew",
    "Water",
    "local_date",
]
