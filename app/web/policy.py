"""The hosts this machine answers to, and what a page may load (Content-Security-Policy)."""

from __future__ import annotations

from flask import g

LOOPBACK_HOSTS = ("127.0.0.1", "localhost")
STRICT_POLICY = (
    "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' blob:; "
    "connect-src 'self'; manifest-src 'self'; form-action 'self'; base-uri 'none'; "
    "frame-ancestors 'none'"
)


# Plotly adds one empty <style> element (the hash is of the empty string) and style attributes.
CHART_POLICY = STRICT_POLICY.replace(
    "style-src 'self'",
    "style-src 'self'; style-src-elem 'self' "
    "'sha256-47DEQpj8HBSa+/TImW+5JCeuQeRkm5NMpJWZG3hSuFU='; style-src-attr 'unsafe-inline'",
)


def allow_charts() -> None:
    """The page being answered has charts, and needs the wider policy that Plotly asks for."""
    g.charts = True
