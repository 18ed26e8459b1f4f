from flask import Blueprint

pages = Blueprint("gear", __name__)
