from flask import Blueprint

pages = Blueprint("side_by_side", __name__)
