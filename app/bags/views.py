from flask import Blueprint

pages = Blueprint("bags", __name__)
