"""What a worksheet starts from while the journal has no brew: an invented cup, nobody's recipe.

Other amounts would do as well; they are there to be typed over. Two cups are twice the one, with as
much brewed as a small brewer holds and the rest added.
"""

DOSE_G, WATER_G, WATER_TEMP_C, STEEP_S = 17.5, 305.0, 91.0, 205
TWO_DOSE_G, TWO_WATER_G, TWO_ADDED_G, TWO_STEEP_S = 35.0, 340.0, 270.0, 245
ICED_DOSE_G, ICED_WATER_G = 26.5, 215.0
HOW = {"water_temp_c": (WATER_TEMP_C,), "steep_s": (STEEP_S, TWO_STEEP_S)}
