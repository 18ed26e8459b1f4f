"""The earlier versions say which device changed what."""

from __future__ import annotations

import pytest
from flask import Flask

from app.web.security import open_to_network
from tests.support import page
from tests.support.factories import Make
from tests.support.phone import MACHINE, Phone, new_code

FORMS = {"brew": "/brews/1/edit", "tasting": "/tastings/1/edit"}


@pytest.mark.parametrize("kind", FORMS)
def test_a_paired_phone_stands_there_by_its_name(app: Flask, make: Make, kind: str) -> None:
    make.tasting(make.brew())
    app.config["WTF_CSRF_ENABLED"] = True
    open_to_network(app, [MACHINE])
    owner, phone = app.test_client(), Phone(app)
    phone.pair(new_code(owner), "Kitchen phone")
    form = FORMS[kind]
    sent = page.filled(phone.ask(form).text, holding="seen", note="from the kitchen")
    left_open = page.filled(owner.get(form).text, holding="seen", note="from the desk")
    assert phone.ask(form, "POST", data=sent).status_code == 303
    told = owner.post(form, data=left_open)
    assert told.status_code == 409
    assert "Kitchen phone" in page.text(told.text)
    assert owner.post(form, data=page.form(told.text, holding="seen")).status_code == 303
    history = page.text(owner.get(f"/history/{kind}/1").text)
    assert "From Kitchen phone." in history
    assert "From this computer." in history
