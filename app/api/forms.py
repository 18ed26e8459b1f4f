"""The form that makes a token."""

from collections.abc import Mapping, Sequence
from datetime import datetime, timedelta

from wtforms import BooleanField, Form, SelectField

from app.models.base import NAME_CHARS
from app.models.tokens import TokenValues
from app.web.api.operations import SCOPES
from app.web.fields import LineField

NOTHING = "Choose at least one thing that the token may do."
LASTS = {"": "until it is revoked", "30": "30 days", "365": "a year"}


class TokenForm(Form):
    name = LineField("What it is for", longest=NAME_CHARS, required=True)
    may_read = BooleanField("Read the journal")
    may_log_brews = BooleanField("Log brews")
    may_log_tastings = BooleanField("Log tastings")
    may_read_tests = BooleanField("Read blind tests, without keys that were not shown")
    from_network = BooleanField("It may be used from the home network, not from this machine alone")
    lasts = SelectField("It works", choices=LASTS, validate_choice=True)

    def validate(self, extra_validators: Mapping[str, Sequence[object]] | None = None) -> bool:
        valid = super().validate(extra_validators)
        if not any(self[scope].data for scope in SCOPES):
            self.may_read.errors = [*self.may_read.errors, NOTHING]
            valid = False
        return valid

    def values(self, now: datetime) -> TokenValues:
        """What a valid form asks for."""
        days = self.lasts.data
        return TokenValues(
            name=self.name.data or "",
            **{scope: bool(self[scope].data) for scope in SCOPES},
            from_network=bool(self.from_network.data),
            expires_at=now + timedelta(days=int(days)) if days else None,
        )
