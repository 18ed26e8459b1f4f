"""Evidence from tasting: plain functions of numbers, usable without the rest of the app."""

ROUNDING = 1e-9  # a line missed by no more than this is reached
Z_95 = 1.959963984540054  # 95 % of a normal distribution lies within so many SD of its mean
