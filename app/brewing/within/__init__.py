"""Tested within: the limits of an answer, and what was not tested, written by rule from the brews,
side by sides and blind trials that it rests on."""
