"""Copies of a SQLite journal: making, checking, thinning and restoring them. No Flask.

A journal on PostgreSQL is backed up and checked by the server's own tools.
"""
