"""A drink standing in a room: leftover ice melts, then it warms; a hot one cools.

Newton's law of cooling with one heat transfer for the whole vessel, solved exactly in two parts:
at 0 degC while ice is left, then an exponential approach to the room.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from math import exp

from app.brewing.bounds import DRINK_G, HEAT_TRANSFER_W_PER_K, ROOM_C, STANDING_MIN, require
from app.brewing.dilution import strength_diluted
from app.brewing.heat.balance import MELTING_J_PER_G, NO_VESSEL, WATER_J_PER_G_K, Mixed, Vessel
from app.brewing.sentences import Amount, Sentence

GLASS_W_PER_K = 0.4  # from memory: some 0.04 m2 at 10 W/(m2 K)
ASSUMPTIONS = (
    Sentence(
        "Drink and ice are taken as mixed: it stays at {} until the ice is gone.", Amount(0.0, "°C")
    ),
    Sentence(
        "The glass passes heat at a steady rate; {} is a guess for a full tall glass.",
        Amount(GLASS_W_PER_K, "W/K"),
    ),
    "Nobody drinks from it, and nothing evaporates.",
)


@dataclass(frozen=True, slots=True)
class DrinkState:
    """A drink after ``minutes``: temperature, ice left, and strength in the unit given."""

    minutes: float
    temp_c: float
    ice_left_g: float
    strength: float


def warming_curve(
    mixed: Mixed,
    beverage_g: float,
    strength: float,
    minutes: Sequence[float],
    room_c: float = 22.0,
    w_per_k: float = GLASS_W_PER_K,
    vessel: Vessel = NO_VESSEL,
) -> list[DrinkState]:
    """The drink ``mixed`` (see ``balance.mix_with_ice``) at each of ``minutes`` from then on.

    ``beverage_g`` and ``strength`` are those before the ice went in, ``w_per_k`` the heat transfer
    through the vessel's wall. Of ``vessel`` only the heat capacity counts. Raises ValueError for
    a room outside 0 to 45 degC, a transfer outside 0.01 to 10 W/K, or minutes outside a day.
    """
    require("Beverage", beverage_g, DRINK_G, "g")
    require("Room temperature", room_c, ROOM_C, "°C")
    require("Heat transfer", w_per_k, HEAT_TRANSFER_W_PER_K, "W/K")
    melting_w = w_per_k * room_c
    to_melt_j = mixed.ice_left_g * MELTING_J_PER_G
    whole_g = beverage_g + mixed.melted_g + mixed.ice_left_g
    per_s = w_per_k / (whole_g * WATER_J_PER_G_K + vessel.heat_j_per_k)
    curve = []
    for minute in minutes:
        require("Time", minute, STANDING_MIN, "minutes")
        taken_j = melting_w * minute * 60.0
        if taken_j < to_melt_j:
            left_g, temp_c = mixed.ice_left_g - taken_j / MELTING_J_PER_G, mixed.temp_c
        else:
            since_s = minute * 60.0 - (to_melt_j / melting_w if to_melt_j else 0.0)
            left_g, temp_c = 0.0, room_c + (mixed.temp_c - room_c) * exp(-per_s * since_s)
        melted_g = mixed.melted_g + mixed.ice_left_g - left_g
        diluted = strength_diluted(strength, beverage_g, melted_g)
        curve.append(DrinkState(minute, temp_c, left_g, diluted))
    return curve
