"""One page for any worksheet: the form, its answer, and saving that as a recipe.

All state is in the URL. With `fragment` in it only the answer is sent, for the page's script.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import NamedTuple, Protocol, TypeVar
from urllib.parse import urlencode

from flask import flash, g, redirect, render_template, request
from werkzeug.wrappers import Response
from wtforms.form import BaseForm

from app.brewing.strength import notes
from app.journal.history import Thing, version_of
from app.journal.revising import add_recipe
from app.web import clock
from app.web.fields import number_or_none
from app.web.formats import formats
from app.web.session import reading, saved_at, writing
from app.worksheets.forms import SheetForm
from app.worksheets.keeping import KeepForm, recipe_url, save_revision
from app.worksheets.proposal import Proposal
from app.worksheets.start import SheetContext, open_context

Reply = str | Response | tuple[str, int]
FRAGMENT = "fragment"
# Notes of an estimate that say it is outside what the model was made for.
DOUBTS = frozenset(
    {notes.LOW_RATIO, notes.LITTLE_WATER, notes.COOL_WATER, notes.TOO_COOL, notes.NOTHING_NOTED,
     notes.UNSTIRRED, notes.NOTHING_LEFT, notes.HARDLY_LEFT, notes.IMPOSSIBLE, notes.ABOVE_SOLUBLE,
     notes.LIGHT_BEVERAGE, notes.HEAVY_BEVERAGE, notes.NO_MODEL}
)  # fmt: skip


class Sheet(NamedTuple):
    """Its URL, title and what it answers; `from_brew`: it can start from a recipe or a brew."""

    name: str
    title: str
    answers: str
    from_brew: bool = True


SHEETS = (
    Sheet("scale", "Scale", "A recipe for another dose, amount or number of cups, step by step."),
    Sheet(
        "share",
        "One brewer, several cups",
        "What fits, how long to steep it, what to add, and what each cup gets.",
    ),
    Sheet(
        "dilute", "Dilute", "Any three of dose, waters, beverage, ratio and strength give the rest."
    ),
    Sheet("ice", "Ice", "How cold and how strong ice makes a hot brew, now and as the rest melts."),
    Sheet("strength", "Hit a strength", "Dose and water for the strength and amount you want."),
    Sheet(
        "strong",
        "Strong and diluted",
        "A full-water brew against a strong one made up with water, before anyone brews.",
    ),
    Sheet(
        "time",
        "Grind and time",
        "What steeping longer or shorter does at a grind, with your measured brews.",
    ),
    Sheet("caffeine", "Caffeine today", "Today’s cups, and what is left through the day.", False),
    Sheet(
        "paper",
        "Paper or not",
        "What new, reused, cloth and metal filters cost in money, paper and electricity.",
        False,
    ),
    Sheet(
        "water",
        "Water",
        "Hardness in every unit, a bottle’s label, and two waters mixed to a target.",
        False,
    ),
    Sheet(
        "learned",
        "Learned values",
        "What your weighed and measured brews have taught, and how well that predicts.",
        False,
    ),
)
BY_NAME = {sheet.name: sheet for sheet in SHEETS}


class Worked(Protocol):
    """An answer. Its page shows the rest of what it holds."""

    @property
    def proposals(self) -> Sequence[Proposal]: ...


FormT = TypeVar("FormT", bound=SheetForm)


@dataclass(frozen=True)
class SheetPage:
    """A worksheet for what its URL asks: the form, and the answer or what prevents one."""

    name: str
    context: SheetContext
    form: BaseForm
    answer: Worked | None
    trouble: str

    def page(self, keep: KeepForm | None = None) -> str:
        if recipe := self.context.start.recipe:
            g.seen = version_of(self.context.session, [Thing("recipe", recipe.id)])
        fragment = request.method != "POST" and FRAGMENT in request.args
        return render_template(
            f"worksheets/{self.name}.html",
            base="worksheets/_fragment.html" if fragment else "worksheets/_page.html",
            sheet=BY_NAME[self.name],
            form=self.form,
            context=self.context,
            answer=self.answer,
            trouble=self.trouble,
            keep=keep,
            doubts=DOUBTS,
            address=self.address(),
        )

    def keep(self) -> Reply:
        """Save the chosen proposal and go to its recipe, or show what to correct."""
        proposals = () if self.answer is None else self.answer.proposals
        which = number_or_none(request.form.get("which")) or 0
        if which >= len(proposals):
            return self.page(), 422
        why = f"Worksheet: {BY_NAME[self.name].title}"
        recipe, form = self.context.start.recipe, KeepForm(request.form)
        draft = proposals[which].draft
        if recipe is not None and request.form.get("as") == "revision":
            try:
                number = save_revision(recipe.id, draft(recipe.name, recipe.note, why))
            except ValueError as error:
                flash(str(error), "error")
                return redirect(self.address(), 303)
            flash(f"Saved: {recipe.name}, revision {number}.")
        elif not form.validate():
            return self.page(form), 422
        else:
            with writing() as session:
                recipe = add_recipe(session, draft(str(form.name.data), "", why), clock.now())
                saved_at(session, recipe_url(recipe.id))
            flash(f"Saved: {recipe.name}.")
        return redirect(recipe_url(recipe.id), 303)

    def address(self) -> str:
        """Of the whole page, with what it starts from: the newest brew may be another soon."""
        asked = [pair for pair in request.args.items(multi=True) if pair[0] != FRAGMENT]
        start = [pair for pair in self.context.start.query.items() if pair[0] not in request.args]
        return f"{request.path}?{urlencode([*start, *asked])}"


def sheet_page(
    name: str, form_of: type[FormT], work: Callable[[FormT, SheetContext], Worked]
) -> Reply:
    """Answer a worksheet from its URL; a POST saves the answer as a recipe."""
    context = open_context(reading(), request.args)
    form = form_of(data=form_of.initial(context))
    form.fill_choices(context)
    read_url(form)
    return reply(name, context, form, lambda: work(form, context))


def read_url(form: BaseForm) -> None:
    """Take the values of the URL; fields it does not name keep their initial ones."""
    for field in form:
        if field.name in request.args:
            field.process(request.args)


def reply(name: str, context: SheetContext, form: BaseForm, work: Callable[[], Worked]) -> Reply:
    """The page, its answer alone, or a redirect to the recipe just saved."""
    answer, trouble = None, ""
    if form.validate():
        try:
            answer = work()
        except ValueError as error:
            trouble = formats().say(error)
    sheet = SheetPage(name, context, form, answer, trouble)
    return sheet.keep() if request.method == "POST" else sheet.page()
