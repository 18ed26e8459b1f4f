from flask import Blueprint

pages = Blueprint("filters", __name__)
