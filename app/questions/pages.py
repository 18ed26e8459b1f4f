"""The blueprint that the views of questions share."""

from flask import Blueprint, abort
from sqlalchemy.orm import Session

from app.models import Question

pages = Blueprint("questions", __name__, url_prefix="/questions")


def question_or_404(session: Session, question_id: int) -> Question:
    return session.get(Question, question_id) or abort(404)
