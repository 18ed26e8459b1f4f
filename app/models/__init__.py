"""The journal's tables, one file a family."""

from app.models.base import Base, local_date
from app.models.beans import Bag, BagCorrection, Bean, FrozenSpan
from app.models.blind import BlindTaster, BlindTest, Trial, TrialBrew
from app.models.blind_after import Afterthought
from app.models.blind_marks import BlindTestMark, BlindTestUse
from app.models.blind_packets import BlindPacket
from app.models.brews import Brew, BrewPhoto, FilterUse
from app.models.devices import Device, PairingCode
from app.models.experiments import Experiment, ExperimentFactor, ExperimentRun
from app.models.gear import Brewer, Filter, FilterPack, Grinder, Water
from app.models.groups import QuestionGroups
from app.models.history import Change, SavedForm
from app.models.imports import ImportedRows, ImportLink, JournalIdentity, JournalImport, LeftTrial
from app.models.names import NameChange
from app.models.questions import (
    Ask,
    Question,
    QuestionBlindTest,
    QuestionBrew,
    QuestionLeftTest,
    QuestionSideBySide,
)
from app.models.recipes import Recipe, RecipeRevision, Step
from app.models.settings import Settings
from app.models.sittings import (
    Sitting,
    SittingBrew,
    SittingCup,
    SittingFilter,
    SittingLine,
    SittingQuestion,
    SittingTick,
)
from app.models.tastings import SideBySide, Taster, Tasting
from app.models.tokens import ApiToken
