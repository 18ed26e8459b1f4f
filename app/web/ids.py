"""Row numbers in URLs: digits that fit the database, nothing else."""

from werkzeug.routing import IntegerConverter


class IdConverter(IntegerConverter):
    regex = r"[1-9][0-9]{0,8}"
