from flask import Blueprint

pages = Blueprint("today", __name__)
