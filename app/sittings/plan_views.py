"""The address where a sitting is planned; it imports the sums of plans, for which no other page has
to wait."""

from app.sittings.pages import Answer, pages


@pages.get("/new")
def choose() -> Answer:
    from app.sittings import planning

    return planning.choose()


@pages.post("/new")
def create() -> Answer:
    from app.sittings import planning

    return planning.create()
