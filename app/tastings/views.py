from flask import Blueprint

pages = Blueprint("tastings", __name__)
