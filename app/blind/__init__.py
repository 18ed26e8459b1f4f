"""Blind tests: planned, poured by somebody else or with a turned tray, answered, then read."""
