"""The address of two groups: all that was chosen, in one order, and nothing else."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from urllib.parse import parse_qsl, urlencode

from werkzeug.datastructures import MultiDict

from app.groups.forms import GroupForm
from app.journal.groups.wanted import Wanted
from app.web.fields import number_or_none

PREFIXES = {"both": "", "a": "a-", "b": "b-"}
SHOW = "show"
LONGEST = 1000

NO_A = "Choose something for group A: what its cups have in common."
ALIKE = "A and B are the same cups: choose something else for one of them."


@dataclass(frozen=True, slots=True)
class Asked:
    """What was asked for: of both groups, of A, of B, and whose scores are drawn."""

    both: Wanted = field(default_factory=Wanted)
    a: Wanted = field(default_factory=Wanted)
    b: Wanted = field(default_factory=Wanted)
    show: int | None = None

    @property
    def rest(self) -> bool:
        """Whether B is all that is not A."""
        return not self.b.given()

    @property
    def group_a(self) -> Wanted:
        return self.a.within(self.both)

    @property
    def group_b(self) -> Wanted:
        return self.b.within(self.both)

    @property
    def trouble(self) -> str:
        """Why there is nothing to compare; empty where there is."""
        if not self.a.given():
            return NO_A
        return ALIKE if self.group_a == self.group_b else ""


Forms = Mapping[str, GroupForm]


def forms_of(args: Mapping[str, str]) -> Forms:
    """The three forms of the page, filled in as the address says."""
    sent = MultiDict(args)
    return {name: GroupForm(sent, prefix=prefix) for name, prefix in PREFIXES.items()}


def asked_in(forms: Forms, args: Mapping[str, str]) -> Asked:
    """What the valid forms ask for."""
    parts = {name: form.wanted() for name, form in forms.items()}
    return Asked(**parts, show=number_or_none(args.get(SHOW)))


def said_in(asked: Asked) -> list[tuple[str, str]]:
    """Names and values of the address, in order."""
    said = [
        (PREFIXES[name] + key, str(value))
        for name in PREFIXES
        for key, value in getattr(asked, name).given().items()
    ]
    return [*said, *([(SHOW, str(asked.show))] if asked.show else [])]


def query_of(asked: Asked) -> str:
    """The query of the address, without the question mark."""
    return urlencode(said_in(asked))


def asked_of_query(query: str) -> Asked | None:
    """What the query of an address asks for; None where nothing can be compared."""
    args = MultiDict(parse_qsl(query[:LONGEST]))
    forms = forms_of(args)
    if not all(form.validate() for form in forms.values()):
        return None
    asked = asked_in(forms, args)
    return None if asked.trouble else asked
