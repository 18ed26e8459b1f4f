"""A POST counts once, however often it is sent, if it carries a key: the header Idempotency-Key,
or `entry_key` in the body. The key becomes the name of what is saved, as that of a form does."""

import json
import re
from uuid import UUID

from flask import request

from app.models import SavedForm
from app.web.api.json_forms import WRONG_FIELDS
from app.web.api.problems import Fault, Refused
from app.web.saved_forms import KEY_FIELD, sends, sent_content, sent_key
from app.web.session import reading

HEADER = "Idempotency-Key"
KEY = re.compile(r"[0-9a-f]{8}(-[0-9a-f]{4}){3}-[0-9a-f]{12}", re.ASCII | re.IGNORECASE)
KEY_SCHEMA = {
    "type": ["string", "null"],
    "format": "uuid",
    "description": "Names what is saved: the same sent again with the same key counts once.",
}
NO_KEY = "Please send a UUID, such as 3f0c1d5e-9a41-4c6b-8a5e-2d7b61f0c9aa."
TWO_KEYS = "The key of the header and that of the body differ; send one of them."
OTHER = "Something else was saved with this key already. Nothing was saved now."


def sent_before(sent: dict[str, object]) -> str | None:
    """Note the request's key; the key, if the same was saved with it before.

    Raises Refused for what is no key, and where other content was saved with it.
    """
    key = _key(sent)
    content = json.dumps({k: v for k, v in sent.items() if k != KEY_FIELD}, sort_keys=True)
    sends(key, content.encode())
    return saved_before() if key else None


def saved_before() -> str | None:
    saved = reading().get(SavedForm, sent_key())
    if saved is None:
        return None
    if saved.content != sent_content():
        raise Refused(409, OTHER)
    return saved.key


def _key(sent: dict[str, object]) -> str:
    header, own = request.headers.get(HEADER), sent.get(KEY_FIELD)
    found = []
    for value, where in ((header, HEADER), (own, f"#/{KEY_FIELD}")):
        if value is None:
            continue
        text = value.strip('"') if isinstance(value, str) else ""
        if not KEY.fullmatch(text):
            raise Refused(422, WRONG_FIELDS, [Fault(where, NO_KEY)])
        found.append(str(UUID(text)))
    if len(set(found)) > 1:
        raise Refused(422, WRONG_FIELDS, [Fault(f"#/{KEY_FIELD}", TWO_KEYS)])
    return found[0] if found else ""
