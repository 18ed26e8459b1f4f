from flask import Blueprint

pages = Blueprint("recipes", __name__)
