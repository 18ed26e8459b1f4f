from flask import Blueprint

pages = Blueprint("brews", __name__)
